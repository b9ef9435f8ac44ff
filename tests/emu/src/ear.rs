//! Recognises cues: timed sounds in, cues out.
//!
//! ```text
//! sound  |‾‾|__|‾‾|__________|‾‾‾‾‾‾|___________
//!                  ^ over            ^ over
//! ```
//!
//! A cue is recognised by its tones, its lights and how long each lasted. The image reports when it
//! is over, because on a busy computer a gap of 80 ms may last longer than the rest after a cue.
//! For the same reason a sound may be too long, but never too short: of the cues that fit, the
//! longest is the right one.

use hornrule_core::cue::{Cue, Light};

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
pub fn cues(sounds: &[Sound], now_us: u32) -> (Vec<Cue>, bool) {
    let mut cues = Vec::new();
    let mut run = Vec::new();
    let mut end_us = None;
    for sound in sounds {
        let Some(length) = sound.length_us else { return (cues, false) };
        run.push((sound.tone, sound.light, length));
        end_us = Some(sound.from_us + length);
        if sound.over {
            let fits = Cue::ALL.into_iter().filter(|cue| sounds_like(*cue, &run));
            let cue = fits.max_by_key(|cue| cue.signal().length_ms());
            cues.push(cue.unwrap_or_else(|| panic!("no cue sounds like {run:?}")));
            run.clear();
        }
    }
    // What ends after `now_us` was heard while we were listening.
    let quiet = end_us.is_none_or(|end| now_us.saturating_sub(end) > RESTS_US);
    (cues, run.is_empty() && quiet)
}

fn sounds_like(cue: Cue, run: &[(u8, Light, u32)]) -> bool {
    let steps = cue.steps().filter_map(|step| Some((step.tone_hz?, step.light, step.ms)));
    let steps: Vec<(u16, Light, u16)> = steps.collect();
    steps.len() == run.len()
        && steps.iter().zip(run).all(|(step, heard)| {
            let tone = match step.0 {
                0..1_000 => 1,
                1_000..1_300 => 2,
                _ => 3,
            };
            let ms = u32::from(step.2) * 1_000;
            (tone, step.1) == (heard.0, heard.1) && heard.2 >= ms
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The sounds of a cue, each step too long by this much.
    fn sounds(cue: Cue, from_us: u32, late_us: u32) -> Vec<Sound> {
        let mut sounds = Vec::new();
        let mut at = from_us;
        for step in cue.steps() {
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
    fn every_cue_is_told_from_every_other() {
        for cue in Cue::ALL {
            for late in [0, 5_000, 90_000] {
                assert_eq!(cues(&sounds(cue, 7, late), 9_000_000), (vec![cue], true));
            }
        }
    }

    #[test]
    fn a_cue_counts_when_it_is_over() {
        let late = sounds(Cue::Committed, 0, 700_000);
        assert_eq!(cues(&late, 9_000_000), (vec![Cue::Committed], true), "a very busy computer");
        let mut both = [sounds(Cue::KeyTaken, 0, 0), sounds(Cue::Committed, 145_000, 0)].concat();
        assert_eq!(cues(&both[..2], 900_000), (vec![Cue::KeyTaken], false), "half a cue");
        assert_eq!(cues(&both, 400_000), (vec![Cue::KeyTaken, Cue::Committed], false), "no rest");
        assert_eq!(cues(&both, 900_000), (vec![Cue::KeyTaken, Cue::Committed], true));
        both[2].length_us = None;
        assert_eq!(cues(&both, 900_000), (vec![Cue::KeyTaken], false), "it still sounds");
    }
}
