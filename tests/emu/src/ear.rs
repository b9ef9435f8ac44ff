//! Recognises cues: timed sounds in, signals out.
//!
//! ```text
//! sound  |‾‾|__|‾‾|__________|‾‾‾‾‾‾|___________
//!                  ^ over            ^ over
//! ```
//!
//! A cue is recognised by its tones, its lights and how long each sound and silence lasted. The image
//! reports when it is over, because on a busy computer a gap of 80 ms may last longer than the rest
//! after a cue. For the same reason nothing may be too short, but much may be too long: of the
//! cues that fit, the longest is the right one. Cues of one family sound alike unless their count is
//! told: what was heard is one of them, and [`may_be`] any.

use hornrule_core::cue::{Cue, Light, Signal};

/// Silence longer than this after a cue means that no further cue was waiting, microseconds: the
/// rest is 120 ms.
const RESTS_US: u32 = 150_000;
/// A sound.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sound {
    /// 1 low, 2 middle, 3 high.
    pub tone: u8,
    /// Its light.
    pub light: Light,
    /// When it began, microseconds since the handheld started.
    pub from_us: u32,
    /// How long it was, microseconds; `None` while it still sounds.
    pub length_us: Option<u32>,
    /// Whether the cue was over then.
    pub over: bool,
}

/// All cues that are over at `now_us`, and whether the voice is at rest: nothing sounds or is
/// waiting.
///
/// # Panics
/// If a run of sounds is not a cue.
#[must_use]
pub fn cues(sounds: &[Sound], now_us: u32) -> (Vec<Signal>, bool) {
    let mut cues = Vec::new();
    let mut run: Vec<Sound> = Vec::new();
    let mut end_us = None;
    for sound in sounds {
        let Some(length) = sound.length_us else { return (cues, false) };
        run.push(*sound);
        end_us = Some(sound.from_us + length);
        if sound.over {
            let fits = all().filter(|signal| sounds_like(*signal, &run));
            let signal = fits.max_by_key(|signal| signal.length_ms());
            cues.push(signal.unwrap_or_else(|| panic!("no cue sounds like {run:?}")));
            run.clear();
        }
    }
    // What ends after `now_us` was heard while we were listening.
    let quiet = end_us.is_none_or(|end| now_us.saturating_sub(end) > RESTS_US);
    (cues, run.is_empty() && quiet)
}

/// Everything that can be heard, each sound once: of cues that sound alike the last.
fn all() -> impl Iterator<Item = Signal> {
    let plain = Cue::ALL.into_iter().map(|cue| Signal { cue, counted: false });
    plain.chain(Cue::ALL.into_iter().map(Cue::told).filter(|signal| signal.counted))
}

/// Whether what was heard may have been this cue, asked about or not: unasked, a family's cues
/// sound alike.
#[must_use]
pub fn may_be(heard: Signal, cue: Cue) -> bool {
    let as_told = heard.count() == cue.told().count();
    heard.cue.family() == cue.family()
        && (as_told || heard == cue.signal() || heard.count().is_none())
}

fn sounds_like(signal: Signal, run: &[Sound]) -> bool {
    let mut steps = signal.steps().peekable();
    let mut end_us = None;
    for heard in run {
        let long = |since_us: u32, ms: u16| heard.from_us - since_us >= u32::from(ms) * 1_000;
        let silence = steps.next_if(|step| step.tone_hz.is_none());
        if let (Some(end_us), Some(silence)) = (end_us, silence)
            && !long(end_us, silence.ms)
        {
            return false;
        }
        let Some(step) = steps.next() else { return false };
        let tone = match step.tone_hz {
            None => return false,
            Some(0..1_000) => 1,
            Some(1_000..1_300) => 2,
            Some(1_300..) => 3,
        };
        let length_us = heard.length_us.unwrap_or_default();
        let as_long = length_us >= u32::from(step.ms) * 1_000;
        if (tone, step.light) != (heard.tone, heard.light) || !as_long {
            return false;
        }
        end_us = Some(heard.from_us + length_us);
    }
    steps.next().is_none()
}

#[cfg(test)]
mod tests {
    use super::*;
    use hornrule_core::cue::Family;

    /// What is heard of a signal, each step too long by this much.
    fn sounds(signal: Signal, from_us: u32, late_us: u32) -> Vec<Sound> {
        let mut sounds = Vec::new();
        let mut at = from_us;
        for step in signal.steps() {
            let length_us = u32::from(step.ms) * 1_000 + late_us;
            if let Some(hz) = step.tone_hz {
                let tone = if hz < 1_000 { 1 } else { 2 + u8::from(hz >= 1_300) };
                let (light, length_us) = (step.light, Some(length_us));
                sounds.push(Sound { tone, light, from_us: at, length_us, over: false });
            }
            at += length_us;
        }
        sounds.last_mut().unwrap().over = true;
        sounds
    }

    #[test]
    fn every_family_and_every_count_is_told_from_every_other() {
        for signal in all() {
            for late in [0, 5_000, 90_000] {
                let (heard, rests) = cues(&sounds(signal, 7, late), 90_000_000);
                let [one] = heard[..] else { panic!("{signal:?}: {heard:?}") };
                let same = (signal.cue.family(), signal.count());
                assert_eq!((one.cue.family(), one.count(), rests), (same.0, same.1, true));
                assert!(may_be(one, signal.cue), "{one:?} {signal:?}");
            }
        }
        let told = cues(&sounds(Cue::DueTrim.signal(), 7, 0), 90_000_000).0[0];
        assert!(!may_be(told, Cue::DueRecheck), "counts are told apart");
    }

    #[test]
    fn a_cue_counts_when_it_is_over() {
        let [tick, stored] = [Cue::KeyTaken.signal(), Cue::Committed.signal()];
        let families = |sounds: &[Sound], now_us| {
            let (heard, rests) = cues(sounds, now_us);
            (heard.iter().map(|one| one.cue.family()).collect::<Vec<_>>(), rests)
        };
        let late = sounds(stored, 0, 700_000);
        let all = families(&late, 9_000_000);
        assert_eq!(all, (vec![Family::InFlash], true), "a very busy computer");
        let mut both = [sounds(tick, 0, 0), sounds(stored, 145_000, 0)].concat();
        let (taken, in_flash) = (Family::Taken, Family::InFlash);
        assert_eq!(families(&both[..2], 900_000), (vec![taken], false), "half a cue");
        assert_eq!(families(&both, 400_000), (vec![taken, in_flash], false), "no rest");
        assert_eq!(families(&both, 900_000), (vec![taken, in_flash], true));
        both[2].length_us = None;
        assert_eq!(families(&both, 900_000), (vec![taken], false), "it still sounds");
    }
}
