//! A cue as a WAV, rendered from its steps.

use std::f64::consts::TAU;

use hornrule_core::cue::Cue;

/// Samples a second: far above twice the highest tone.
const RATE: u32 = 16_000;
/// Ramp at both ends of a tone, samples (4 ms), so that it does not click.
const RAMP: u32 = 64;

/// One channel, 16 bits, as a whole WAV file.
pub(super) fn wav(cue: Cue) -> Vec<u8> {
    let mut samples: Vec<i16> = Vec::new();
    for step in cue.steps() {
        let length = u32::from(step.ms) * RATE / 1000;
        for at in 0..length {
            let ramp = f64::from(at.min(length - 1 - at).min(RAMP)) / f64::from(RAMP);
            let wave = step
                .tone_hz
                .map_or(0.0, |hz| (TAU * f64::from(hz) * f64::from(at) / f64::from(RATE)).sin());
            // Within an i16: both factors are at most 1.
            samples.push((wave * ramp * 24_000.0) as i16);
        }
    }
    // A cue lasts two seconds at most.
    let bytes = (samples.len() * 2) as u32;
    let mut file = Vec::with_capacity(44 + bytes as usize);
    file.extend(b"RIFF");
    file.extend((36 + bytes).to_le_bytes());
    file.extend(b"WAVEfmt ");
    file.extend(16u32.to_le_bytes());
    // PCM, one channel, rate, bytes a second, bytes a sample, bits.
    file.extend(1u16.to_le_bytes());
    file.extend(1u16.to_le_bytes());
    file.extend(RATE.to_le_bytes());
    file.extend((RATE * 2).to_le_bytes());
    file.extend(2u16.to_le_bytes());
    file.extend(16u16.to_le_bytes());
    file.extend(b"data");
    file.extend(bytes.to_le_bytes());
    for sample in samples {
        file.extend(sample.to_le_bytes());
    }
    file
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_is_as_long_as_its_cue() {
        for cue in Cue::ALL {
            let file = wav(cue);
            let seconds = (file.len() - 44) as f64 / 2.0 / f64::from(RATE);
            assert!((seconds - f64::from(cue.length_ms()) / 1000.0).abs() < 0.001, "{cue:?}");
            assert!(file[44..].iter().any(|byte| *byte != 0), "{cue:?} is silent");
        }
    }
}
