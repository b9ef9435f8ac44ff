//! Plays cues.

use embassy_time::{Duration, Timer};
use embedded_storage::nor_flash::NorFlash;
use hornrule_core::cue::{Cue, Light, Signal, Step};
use hornrule_core::device::Plan;

use crate::Shell;

/// Silence after a cue: longer than the 80 ms within one, so that two are not taken for one.
const REST: Duration = Duration::from_millis(120);
/// Interval between "the flash cannot be used" cues.
const COMPLAINT: Duration = Duration::from_secs(5);
/// Nothing to hear, see or feel.
const SILENCE: Step = Step { tone_hz: None, light: Light::Off, buzz: false, ms: 0 };

/// Beeper, light and motor.
pub trait Voice {
    /// Plays this tone, light and buzz until told otherwise. A cue is followed by a silent step
    /// that lasts 0 ms.
    fn show(&mut self, step: &Step);
}

/// Runs for ever. A late key tick means nothing and is skipped if something newer is waiting. Every
/// other cue is played in full, in order.
pub async fn cues<F: NorFlash, P: Plan>(shell: &Shell<'_, F, P>, mut voice: impl Voice) -> ! {
    loop {
        let signal = shell.cues.receive().await;
        if signal.cue == Cue::KeyTaken && !shell.cues.is_empty() {
            continue;
        }
        play(signal, &mut voice).await;
    }
}

/// Runs for ever: all that a handheld can do if its log cannot be used.
pub async fn unusable(mut voice: impl Voice) -> ! {
    loop {
        play(Cue::LogUnusable.signal(), &mut voice).await;
        Timer::after(COMPLAINT).await;
    }
}

async fn play(signal: Signal, voice: &mut impl Voice) {
    for step in signal.steps() {
        voice.show(&step);
        Timer::after(Duration::from_millis(u64::from(step.ms))).await;
    }
    voice.show(&SILENCE);
    Timer::after(REST).await;
}
