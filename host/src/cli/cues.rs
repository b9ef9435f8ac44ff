//! `hornrule cues`: what the handheld answers, to be read and to be heard.

#[cfg(feature = "virtual")]
use std::path::PathBuf;

use clap::Args;
use hornrule_core::cue::{Count, Cue, Family, Signal};
use serde::Serialize;

use super::Failure;

#[cfg(feature = "virtual")]
pub(super) mod wav;

/// List the cues of the handheld, or write them as sound files
///
/// Eight are to be learned; they differ by rhythm: ' is a tick, · short, – long, — very long. With
/// every sound the motor buzzes and the light shows: green for go on, amber for think, red for no.
/// SIZE SIZE asks for more and is answered by the same rhythm and a count: short sounds one by one,
/// a very long one for five, a long one for nought; two digits have a pause between.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule cues\n  hornrule cues --wav cues\n  \
                  hornrule cues --json")]
pub(super) struct Options {
    /// Folder to write the eight cues and every count into as sound files; created if missing
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
    family: &'static str,
    meaning: &'static str,
    rhythm: String,
    /// Told when asked, or at once where the cue is itself an answer.
    count: Option<u8>,
    count_at_once: bool,
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
    let files = options.wav.as_deref().map(wav::all).transpose()?;
    let rows: Vec<Row> = Cue::ALL.into_iter().map(row).collect();
    if options.json {
        println!("{}", super::json(&rows)?);
        return Ok(());
    }
    print!("{}", told(&rows));
    #[cfg(feature = "virtual")]
    if let (Some(folder), Some(files)) = (&options.wav, files) {
        println!("{files} sound files in {}", folder.display());
    }
    Ok(())
}

fn row(cue: Cue) -> Row {
    let sounds = cue.steps().filter(|step| step.buzz).map(|step| step.ms.to_string());
    Row {
        cue: format!("{cue:?}"),
        family: cue.family().name(),
        meaning: cue.meaning(),
        rhythm: cue.signal().rhythm().collect(),
        count: cue.told().count(),
        count_at_once: matches!(cue.count(), Count::AtOnce(_)),
        light: cue.family().light().name(),
        buzz: sounds.collect::<Vec<_>>().join(" "),
        in_flash: cue.is_promise(),
        ms: cue.signal().length_ms(),
        steps: cue
            .steps()
            .map(|step| StepRow {
                tone_hz: step.tone_hz,
                light: step.light.name(),
                buzz: step.buzz,
                ms: step.ms,
            })
            .collect(),
    }
}

/// The eight to learn, then what each of them may mean.
fn told(rows: &[Row]) -> String {
    let mut text =
        format!("{:<12} {:<7} {:<6} {:>5}  {}\n", "learn", "rhythm", "light", "ms", "buzz ms");
    for family in Family::ALL {
        let signal = Signal::of(family);
        let buzz: Vec<String> =
            signal.steps().filter(|step| step.buzz).map(|step| step.ms.to_string()).collect();
        let (rhythm, light) = (signal.rhythm().collect::<String>(), family.light().name());
        let (ms, buzz) = (signal.length_ms(), buzz.join(" "));
        // Rhythm signs are one column wide each, which `{:<7}` counts rightly as characters.
        text += &format!("{:<12} {rhythm:<7} {light:<6} {ms:>5}  {buzz}\n", family.name());
    }
    for family in Family::ALL {
        text += &format!("\n{}\n", family.name());
        let mut of: Vec<&Row> = rows.iter().filter(|row| row.family == family.name()).collect();
        of.sort_by_key(|row| row.count);
        for row in of {
            let count = match (row.count, row.count_at_once) {
                (None, _) => String::new(),
                (Some(count), false) => count.to_string(),
                (Some(count), true) => format!("={count}"),
            };
            text += &format!("{count:>5}  {}\n", row.meaning);
        }
    }
    text + "\nSIZE SIZE asks for the count; one with = is told at once.\n"
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
