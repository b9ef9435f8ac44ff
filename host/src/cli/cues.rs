//! `hornrule cues`: what the handheld answers, to be read and to be heard.

#[cfg(feature = "virtual")]
use std::path::PathBuf;

use clap::Args;
use hornrule_core::cue::{Cue, Light};
use serde::Serialize;

use super::Failure;

#[cfg(feature = "virtual")]
pub(super) mod wav;

/// List the cues of the handheld, or write them as sound files
///
/// Cues differ by rhythm: ' is a tick, · short, – long, — very long. With every sound the motor
/// buzzes and the light shows: green for done, amber for take care, red for not done.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule cues\n  hornrule cues --wav cues\n  \
                  hornrule cues --json")]
pub(super) struct Options {
    /// Folder to write each cue into as a sound file; created if missing
    #[cfg(feature = "virtual")]
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

pub(super) fn run(options: &Options) -> Result<(), Failure> {
    #[cfg(feature = "virtual")]
    if let Some(folder) = &options.wav {
        wav::all(folder)?;
    }
    let rows: Vec<Row> = Cue::ALL.into_iter().map(row).collect();
    if options.json {
        println!("{}", super::json(&rows)?);
        return Ok(());
    }
    print!("{}", told(&rows));
    #[cfg(feature = "virtual")]
    if let Some(folder) = &options.wav {
        println!("{} sound files in {}", rows.len(), folder.display());
    }
    Ok(())
}

fn row(cue: Cue) -> Row {
    let sounds = || cue.steps().filter(|step| step.tone_hz.is_some());
    let buzzes = sounds().filter(|step| step.buzz).map(|step| step.ms.to_string());
    Row {
        cue: format!("{cue:?}"),
        meaning: cue.meaning(),
        rhythm: cue.signal().rhythm().collect(),
        // One colour a cue, of its last sound; every sound of a cue shows a light.
        light: sounds().last().map_or("dark", |step| colour(step.light)),
        buzz: buzzes.collect::<Vec<_>>().join(" "),
        in_flash: cue.is_promise(),
        ms: cue.signal().length_ms(),
        steps: cue
            .steps()
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
}
