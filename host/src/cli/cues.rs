//! `hornrule cues`: what the handheld answers, to be read and to be heard.

use std::fs;
use std::io::{self, Cursor};
use std::path::{Path, PathBuf};

use clap::Args;
use hornrule_board_sim::sound::{RATE, render};
use hornrule_board_sim::{Cue, Light};
use serde::Serialize;

use super::Failure;

/// List the cues of the handheld, or write them as sound files
///
/// Cues differ by rhythm: ' is a tick, · short, – long, — very long. With every sound the motor
/// buzzes and the light shows: green for done, amber for take care, red for not done.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule cues\n  hornrule cues --wav cues\n  \
                  hornrule cues --json")]
pub(super) struct Words {
    /// Folder to write each cue into as a sound file; created if missing
    #[arg(long, value_name = "DIR")]
    wav: Option<PathBuf>,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Row {
    cue: String,
    meaning: &'static str,
    rhythm: String,
    light: &'static str,
    buzz: String,
    in_flash: bool,
    ms: u32,
    steps: Vec<StepRow>,
}

#[derive(Serialize)]
struct StepRow {
    tone_hz: Option<u16>,
    light: &'static str,
    buzz: bool,
    ms: u16,
}

pub(super) fn run(words: &Words) -> Result<(), Failure> {
    if let Some(folder) = &words.wav {
        fs::create_dir_all(folder).map_err(Failure::file(folder))?;
        for cue in Cue::ALL {
            write(&folder.join(format!("{}.wav", file_name(cue))), cue)?;
        }
    }
    let rows: Vec<Row> = Cue::ALL.into_iter().map(row).collect();
    if words.json {
        println!("{}", super::json(&rows)?);
        return Ok(());
    }
    print!("{}", told(&rows));
    if let Some(folder) = &words.wav {
        println!("{} sound files in {}", rows.len(), folder.display());
    }
    Ok(())
}

fn row(cue: Cue) -> Row {
    let sounds = || cue.steps().iter().filter(|step| step.tone_hz.is_some());
    let buzzes = sounds().filter(|step| step.buzz).map(|step| step.ms.to_string());
    Row {
        cue: format!("{cue:?}"),
        meaning: cue.meaning(),
        rhythm: cue.rhythm().collect(),
        // One colour a cue, of its last sound; every sound of a cue shows a light.
        light: sounds().next_back().map_or("dark", |step| colour(step.light)),
        buzz: buzzes.collect::<Vec<_>>().join(" "),
        in_flash: cue.is_promise(),
        ms: cue.length_ms(),
        steps: cue
            .steps()
            .iter()
            .map(|step| StepRow {
                tone_hz: step.tone_hz,
                light: colour(step.light),
                buzz: step.buzz,
                ms: step.ms,
            })
            .collect(),
    }
}

const fn colour(light: Light) -> &'static str {
    match light {
        Light::Off => "dark",
        Light::Green => "green",
        Light::Amber => "amber",
        Light::Red => "red",
    }
}

fn told(rows: &[Row]) -> String {
    let mut text =
        format!("{:<14} {:<9} {:<6} {:<22} {}\n", "cue", "rhythm", "light", "buzz ms", "meaning");
    for row in rows {
        let Row { cue, rhythm, light, buzz, meaning, .. } = row;
        // Rhythm signs are one column wide each, which `{:<9}` counts rightly as characters.
        text += &format!("{cue:<14} {rhythm:<9} {light:<6} {buzz:<22} {meaning}\n");
    }
    text
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
    fs::write(file, sound).map_err(Failure::file(file))
}

/// A cue as a whole sound file.
pub(super) fn wav(cue: Cue) -> Result<Vec<u8>, io::Error> {
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

    /// What people read, whole.
    #[test]
    fn the_cues_as_listed() {
        let rows: Vec<Row> = Cue::ALL.into_iter().map(row).collect();
        let text = told(&rows);
        assert!(text.lines().all(|line| line.chars().count() <= 120), "{text}");
        insta::assert_snapshot!(text);
    }

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
