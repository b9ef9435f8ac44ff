//! Cues as sound: the firmware's steps, as samples.
//!
//! ```text
//! Signal --steps--> tone, ms --> /~~~~~~\____/~~~\    16 bits, one channel
//!                             ramps of 4 ms, so that no click spreads the tone
//! ```

use hornrule_core::cue::Signal;

/// Samples per second.
pub const RATE: u32 = 44_100;
/// Rise and fall of a tone, milliseconds.
const RAMP_MS: u32 = 4;
/// Amplitude: half of what 16 bits hold.
const PEAK: f64 = 16_000.0;

const fn samples(ms: u32) -> u32 {
    ms * RATE / 1000
}

/// A signal as samples, [`RATE`] per second.
#[must_use]
pub fn render(signal: Signal) -> Vec<i16> {
    let mut sound = Vec::new();
    for step in signal.steps() {
        let length = samples(u32::from(step.ms));
        for at in 0..length {
            let sample = step.tone_hz.map_or(0.0, |hz| {
                let turn = f64::from(at) * f64::from(hz) / f64::from(RATE);
                let edge = f64::from(at.min(length - 1 - at)) / f64::from(samples(RAMP_MS));
                let ramp = 0.5 - 0.5 * (edge.min(1.0) * std::f64::consts::PI).cos();
                PEAK * ramp * (turn * std::f64::consts::TAU).sin()
            });
            // Within plus and minus PEAK: it fits.
            sound.push(sample as i16);
        }
    }
    sound
}

#[cfg(test)]
mod tests {
    use super::*;
    use hornrule_core::cue::Cue;

    /// Energy by frequency of real samples: (hertz, energy) of each bin up to half the rate.
    /// Fourier transform of Cooley and Tukey (Math. Comp. 19:297, 1965), radix 2.
    fn spectrum(samples: &[f64]) -> Vec<(f64, f64)> {
        let n = samples.len().next_power_of_two();
        let mut re: Vec<f64> = samples.to_vec();
        re.resize(n, 0.0);
        let mut im = vec![0.0; n];
        let shift = usize::BITS - n.trailing_zeros();
        for i in 0..n {
            let j = i.reverse_bits() >> shift;
            if i < j {
                re.swap(i, j);
            }
        }
        let mut half = 1;
        while half < n {
            for k in 0..half {
                let (sin, cos) = (-std::f64::consts::PI * k as f64 / half as f64).sin_cos();
                for i in (k..n).step_by(2 * half) {
                    let (r, s) = (re[i + half], im[i + half]);
                    let (r, s) = (r * cos - s * sin, r * sin + s * cos);
                    (re[i + half], im[i + half]) = (re[i] - r, im[i] - s);
                    (re[i], im[i]) = (re[i] + r, im[i] + s);
                }
            }
            half *= 2;
        }
        let hertz = f64::from(RATE) / n as f64;
        (0..n / 2).map(|k| (k as f64 * hertz, re[k] * re[k] + im[k] * im[k])).collect()
    }

    fn share(spectrum: &[(f64, f64)], band: std::ops::Range<f64>) -> f64 {
        let all: f64 = spectrum.iter().map(|(_, energy)| energy).sum();
        spectrum.iter().filter(|(hz, _)| band.contains(hz)).map(|(_, e)| e).sum::<f64>() / all
    }

    /// The transform itself, against a tone whose frequency and energy are known: Parseval's
    /// theorem.
    #[test]
    fn the_spectrum_finds_a_tone_and_keeps_energy() {
        let tone: Vec<f64> = (0..4096)
            .map(|i| (f64::from(i) * std::f64::consts::TAU * 100.0 / 4096.0).sin())
            .collect();
        let spectrum = spectrum(&tone);
        let loudest = (0..2048).max_by(|a, b| spectrum[*a].1.total_cmp(&spectrum[*b].1)).unwrap();
        assert_eq!(loudest, 100);
        let energy: f64 = tone.iter().map(|s| s * s).sum();
        let found: f64 = spectrum.iter().map(|(_, e)| e).sum::<f64>() * 2.0 / 4096.0;
        assert!((found / energy - 1.0).abs() < 1e-9, "{found} {energy}");
    }

    /// Below 1,500 Hz for people with ear defenders or hearing loss, above 500 Hz where attention
    /// is called for (figures of the danger-signal standard ISO 7731, from memory); our tones are
    /// meant to be within 800 to 1,500 Hz. The slack of 50 Hz allows for the spread of a 25 ms
    /// sound.
    #[test]
    fn energy_lies_where_ears_and_ear_defenders_let_it_through() {
        for cue in Cue::ALL {
            let sound: Vec<f64> = render(cue.told()).into_iter().map(f64::from).collect();
            let spectrum = spectrum(&sound);
            assert!(share(&spectrum, 750.0..1550.0) > 0.95, "{cue:?}");
            assert!(share(&spectrum, 500.0..2500.0) > 0.995, "{cue:?}");
        }
    }

    /// A plain beeper makes square waves. Four fifths (8/pi^2 = 0.81) of their energy is in the
    /// tone itself; the rest is at three, five, seven times its frequency.
    #[test]
    fn a_square_wave_keeps_four_fifths_of_it_there() {
        for cue in Cue::ALL {
            let square = |s: i16| f64::from(i32::from(s).signum());
            let sound: Vec<f64> = render(cue.told()).into_iter().map(square).collect();
            let share = share(&spectrum(&sound), 750.0..1550.0);
            assert!((0.75..0.85).contains(&share), "{cue:?}: {share}");
        }
    }

    #[test]
    fn a_cue_lasts_as_long_as_its_steps_and_never_clips() {
        for cue in Cue::ALL {
            let sound = render(cue.told());
            let ms = sound.len() as u32 * 1000 / RATE;
            assert!(
                ms.abs_diff(cue.told().length_ms()) <= 1 + cue.told().steps().count() as u32,
                "{cue:?}"
            );
            assert!(sound.iter().all(|s| s.unsigned_abs() <= 16_000), "{cue:?}");
            assert!(sound.iter().any(|s| s.unsigned_abs() > 15_000), "{cue:?}");
        }
    }
}
