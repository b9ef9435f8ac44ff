//! Cues as sound files.

use std::io::{self, Cursor};
use std::path::Path;

use hornrule_board_sim::sound::{RATE, render};
use hornrule_core::cue::{Cue, Family, Signal};

use crate::cli::Failure;
use hornrule_files::output;

/// Writes the families to learn and every count into a folder; made where there is none. Gives how
/// many files.
pub(super) fn all(folder: &Path) -> Result<usize, Failure> {
    output::folder(folder)?;
    let learned = Family::ALL.into_iter().map(Signal::of);
    let told = Cue::ALL.into_iter().map(Cue::told).filter(|signal| signal.counted);
    let mut files = 0;
    for signal in learned.chain(told) {
        write(&folder.join(format!("{}.wav", file_name(signal))), signal)?;
        files += 1;
    }
    Ok(files)
}

/// "look-out", or with its count "look-out-21-too-short".
fn file_name(signal: Signal) -> String {
    let family = dashed(&format!("{:?}", signal.cue.family()));
    match signal.count() {
        None => family,
        Some(count) => format!("{family}-{count:02}-{}", dashed(&format!("{:?}", signal.cue))),
    }
}

/// `CowDue` as `cow-due`.
fn dashed(camel: &str) -> String {
    let mut name = String::new();
    for letter in camel.chars() {
        if (letter.is_ascii_uppercase() || letter.is_ascii_digit()) && !name.is_empty() {
            name.push('-');
        }
        name.push(letter.to_ascii_lowercase());
    }
    name
}

fn write(file: &Path, signal: Signal) -> Result<(), Failure> {
    let sound = wav(signal).map_err(|source| Failure::File { file: file.to_owned(), source })?;
    Ok(output::write(file, &sound)?)
}

/// A signal as a whole sound file.
pub(in crate::cli) fn wav(signal: Signal) -> Result<Vec<u8>, io::Error> {
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: RATE,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let failed = |error: hound::Error| match error {
        hound::Error::IoError(source) => source,
        other => io::Error::other(other.to_string()),
    };
    let mut file = Cursor::new(Vec::new());
    let mut writer = hound::WavWriter::new(&mut file, spec).map_err(failed)?;
    for sample in render(signal) {
        writer.write_sample(sample).map_err(failed)?;
    }
    writer.finalize().map_err(failed)?;
    Ok(file.into_inner())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Read back by its fixed places (RIFF/WAVE with PCM, as published in 1991), not by the crate
    /// that wrote it.
    #[test]
    fn a_sound_file_holds_the_rendered_samples() {
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("x.wav");
        write(&file, Cue::DueTrim.signal()).unwrap();
        let bytes = std::fs::read(&file).unwrap();
        let number = |at: usize| u32::from_le_bytes(bytes[at..at + 4].try_into().unwrap());
        assert_eq!((&bytes[0..4], &bytes[8..16]), (&b"RIFF"[..], &b"WAVEfmt "[..]));
        assert_eq!(number(24), RATE);
        let start = 20 + number(16) as usize;
        assert_eq!(&bytes[start..start + 4], b"data");
        let samples = &bytes[start + 8..];
        assert_eq!(number(start + 4) as usize, samples.len());
        let read: Vec<i16> =
            samples.chunks(2).map(|pair| i16::from_le_bytes([pair[0], pair[1]])).collect();
        assert_eq!(read, render(Cue::DueTrim.signal()));
    }

    #[test]
    fn the_eight_to_learn_and_every_count_have_a_file() {
        let folder = tempfile::tempdir().unwrap();
        let files = all(folder.path()).unwrap();
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), files);
        let counted = Cue::ALL.into_iter().filter(|cue| cue.told().counted).count();
        assert_eq!(files, Family::ALL.len() + counted);
    }

    #[test]
    fn file_names_are_plain() {
        assert_eq!(file_name(Cue::CowDue.signal()), "due");
        assert_eq!(file_name(Cue::TooShort.told()), "look-out-21-too-short");
        assert_eq!(file_name(Cue::Next4.signal()), "calliper-04-next-4");
    }
}
