//! Cues as sound files.

use std::io::{self, Cursor};
use std::path::Path;

use hornrule_board_sim::sound::{RATE, render};
use hornrule_core::cue::Cue;

use crate::cli::Failure;
use hornrule_files::output;

/// Writes every cue into a folder; made where there is none.
pub(super) fn all(folder: &Path) -> Result<(), Failure> {
    output::folder(folder)?;
    for cue in Cue::ALL {
        write(&folder.join(format!("{}.wav", file_name(cue))), cue)?;
    }
    Ok(())
}

/// `CowDue` as `cow-due`.
fn file_name(cue: Cue) -> String {
    let mut name = String::new();
    for letter in format!("{cue:?}").chars() {
        if (letter.is_ascii_uppercase() || letter.is_ascii_digit()) && !name.is_empty() {
            name.push('-');
        }
        name.push(letter.to_ascii_lowercase());
    }
    name
}

fn write(file: &Path, cue: Cue) -> Result<(), Failure> {
    let sound = wav(cue).map_err(|source| Failure::File { file: file.to_owned(), source })?;
    Ok(output::write(file, &sound)?)
}

/// A cue as a whole sound file.
pub(in crate::cli) fn wav(cue: Cue) -> Result<Vec<u8>, io::Error> {
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
    for sample in render(cue) {
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
        write(&file, Cue::CowDue).unwrap();
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
        assert_eq!(read, render(Cue::CowDue));
    }

    #[test]
    fn file_names_are_plain() {
        assert_eq!(file_name(Cue::CowDue), "cow-due");
        assert_eq!(file_name(Cue::Next4), "next-4");
    }
}
