//! Hears cues: the decider. Sounds with their times in, cues out.
//!
//! ```text
//! sound  |‾‾|__|‾‾|__________|‾‾‾‾‾‾|___________
//!            ^ 80 ms: within a cue  ^ longer: the cue is over
//! ```

use hornrule_core::cue::{Cue, Light};

/// Silence longer than this parts two cues, microseconds: between the 80 ms within a cue and the
/// 120 ms after one.
pub const PARTS_US: u32 = 100_000;
/// Silence longer than this means that no further cue was waiting, microseconds.
const RESTS_US: u32 = 150_000;
/// A sound may be so much longer than its step, microseconds: timers of the emulator come late.
const LATE_US: u32 = 30_000;

/// A sound.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sound {
    /// 1 low, 2 middle, 3 high.
    pub tone: u8,
    /// Its light.
    pub light: Light,
    /// When it began, microseconds since the handheld started.
    pub from_us: u32,
    /// How long it was, microseconds; nothing while it still sounds.
    pub length_us: Option<u32>,
}

/// All cues that are over at `now_us`, and whether the voice rests: none sounds, none was waiting.
///
/// # Panics
/// A run of sounds that is no cue.
#[must_use]
pub fn cues(sounds: &[Sound], now_us: u32) -> (Vec<Cue>, bool) {
    let mut cues = Vec::new();
    let mut run = Vec::new();
    let mut quiet_us = u32::MAX;
    for (at, sound) in sounds.iter().enumerate() {
        let Some(length) = sound.length_us else { return (cues, false) };
        run.push((sound.tone, sound.light, length));
        let end = sound.from_us + length;
        let next = sounds.get(at + 1).map(|next| next.from_us);
        // What ends after `now_us` was heard while we listened.
        quiet_us = next.unwrap_or(now_us).saturating_sub(end);
        let restarted = next.is_some_and(|next| next < end);
        if restarted || quiet_us > PARTS_US {
            let cue = Cue::ALL.into_iter().find(|cue| sounds_like(*cue, &run));
            cues.push(cue.unwrap_or_else(|| panic!("no cue sounds like {run:?}")));
            run.clear();
        }
    }
    (cues, run.is_empty() && quiet_us > RESTS_US)
}

fn sounds_like(cue: Cue, run: &[(u8, Light, u32)]) -> bool {
    let steps = cue.steps().iter().filter_map(|step| Some((step.tone_hz?, step.light, step.ms)));
    let steps: Vec<(u16, Light, u16)> = steps.collect();
    steps.len() == run.len()
        && steps.iter().zip(run).all(|(step, heard)| {
            let tone = match step.0 {
                0..1_000 => 1,
                1_000..1_300 => 2,
                _ => 3,
            };
            let ms = u32::from(step.2) * 1_000;
            (tone, step.1) == (heard.0, heard.1) && (ms..ms + LATE_US).contains(&heard.2)
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A cue as it sounds, each step so much too late.
    fn sounds(cue: Cue, from_us: u32, late_us: u32) -> Vec<Sound> {
        let mut sounds = Vec::new();
        let mut at = from_us;
        for step in cue.steps() {
            let length_us = u32::from(step.ms) * 1_000 + late_us;
            if let Some(hz) = step.tone_hz {
                let tone = if hz < 1_000 { 1 } else { 2 + u8::from(hz >= 1_300) };
                let (light, length_us) = (step.light, Some(length_us));
                sounds.push(Sound { tone, light, from_us: at, length_us });
            }
            at += length_us;
        }
        sounds
    }

    #[test]
    fn every_cue_is_told_from_every_other() {
        for cue in Cue::ALL {
            for late in [0, 5_000] {
                assert_eq!(cues(&sounds(cue, 7, late), 9_000_000), (vec![cue], true));
            }
        }
    }

    #[test]
    fn a_restart_parts_cues() {
        let both = [sounds(Cue::Committed, 7_000_000, 0), sounds(Cue::Ready, 90_000, 0)].concat();
        assert_eq!(cues(&both, 3_000_000), (vec![Cue::Committed, Cue::Ready], true));
    }

    #[test]
    fn a_cue_counts_when_it_is_over() {
        let both = [sounds(Cue::KeyTaken, 0, 0), sounds(Cue::Committed, 145_000, 0)].concat();
        assert_eq!(cues(&both, 346_000), (vec![Cue::KeyTaken], false), "the rest may go on");
        assert_eq!(cues(&both, 900_000), (vec![Cue::KeyTaken, Cue::Committed], true));
    }
}
