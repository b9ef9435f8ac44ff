//! The file beside the standard's: lengths, scores, and what is neither diagnosis nor treatment.

use hornrule_protocol::Place;
use serde::Serialize;

use super::events::{has_event, is_diagnosis, lines};
use super::resource::Identifier;
use super::{Wishes, animal};
use crate::extract::Dated;
use crate::extract::{Extract, SOFTWARE, utc, version};
use crate::words::{calliper_word, clock_word, gauge_word, moment_word, unit_word};
use hornrule_facts::observation::Clip;

/// Highest version of the file that this program writes.
const VERSION: u8 = 1;

/// The whole file.
#[derive(Clone, Debug, Serialize)]
struct Beside {
    format: &'static str,
    version: u8,
    software: &'static str,
    herd: String,
    handhelds: Vec<Handheld>,
    readings: Vec<Said<Length>>,
    scores: Vec<Said<Score>>,
    findings: Vec<Said<Looked>>,
    actions: Vec<Said<Done>>,
}

#[derive(Clone, Debug, Serialize)]
struct Handheld {
    handheld: String,
    firmware: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    gauge_block_mm: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    gauge_tolerance_mm: Option<f64>,
}

/// What all rows share.
#[derive(Clone, Debug, Serialize)]
struct Said<T> {
    id: String,
    animal: Identifier,
    time: String,
    day: String,
    clock: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    clock_within_s: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    foot: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    claw: Option<&'static str>,
    #[serde(flatten)]
    own: T,
}

#[derive(Clone, Debug, Serialize)]
struct Length {
    dimension: u8,
    name: &'static str,
    landmarks: &'static str,
    length_nm: i32,
    length_mm: f64,
    unit: &'static str,
    calliper: &'static str,
    moment: &'static str,
    gauge_check: &'static str,
}

#[derive(Clone, Debug, Serialize)]
struct Score {
    scale: &'static str,
    value: u8,
    least: u8,
    most: u8,
    #[serde(skip_serializing_if = "Option::is_none")]
    lame_from: Option<u8>,
}

#[derive(Clone, Debug, Serialize)]
struct Looked {
    lesion: u8,
    letters: &'static str,
    name: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    stage: Option<&'static str>,
}

#[derive(Clone, Debug, Serialize)]
struct Done {
    action: u8,
    name: &'static str,
}

/// The text, and how many readings, scores, findings and actions are in it.
pub(super) fn write(
    extract: &Extract,
    wishes: &Wishes,
) -> Result<(String, [usize; 4]), serde_json::Error> {
    let handhelds = extract.handhelds.iter().map(|(device, known)| Handheld {
        handheld: format!("{:016x}", device.0),
        firmware: known.firmware.iter().map(|one| version(*one)).collect(),
        gauge_block_mm: known.gauge.map(|(size, _)| size.as_mm()),
        gauge_tolerance_mm: known.gauge.map(|(_, tolerance)| tolerance.as_mm()),
    });
    let file = Beside {
        format: "hornrule-beside",
        version: VERSION,
        software: SOFTWARE,
        herd: extract.herd.name.clone(),
        handhelds: handhelds.collect(),
        readings: rows(&extract.readings, extract, wishes, |clip| Some(length(clip))),
        scores: rows(&extract.scores, extract, wishes, |(scale, value)| {
            let (least, most) = scale.range;
            let lame_from = scale.lame_from;
            Some(Score { scale: scale.name, value: *value, least, most, lame_from })
        }),
        findings: rows(&extract.findings, extract, wishes, |finding| {
            let lesion = finding.lesion;
            (!is_diagnosis(finding)).then(|| Looked {
                lesion: lesion.code(),
                letters: lesion.letters,
                name: lesion.name,
                stage: lesion.grades.word(finding.grade),
            })
        }),
        actions: rows(&extract.actions, extract, wishes, |done| {
            let action = done.action;
            (!has_event(done)).then(|| Done { action: action.code(), name: action.name })
        }),
    };
    let Beside { readings, scores, findings, actions, .. } = &file;
    let count = [readings.len(), scores.len(), findings.len(), actions.len()];
    Ok((lines(&file)?, count))
}

fn rows<T, O>(
    from: &[Dated<T>],
    extract: &Extract,
    wishes: &Wishes,
    own: impl Fn(&T) -> Option<O>,
) -> Vec<Said<O>> {
    let row = |one: &Dated<T>| {
        let own = own(&one.what)?;
        let claw = match one.place {
            Place::Claw(claw) => Some(claw.side.name()),
            Place::Foot(_) | Place::Cow => None,
        };
        Some(Said {
            id: one.name(),
            animal: animal(extract, wishes, one.animal?),
            time: utc(one.when.at_ms),
            day: one.day.to_string(),
            clock: clock_word(one.when.certainty),
            clock_within_s: one.when.uncertainty_ms.map(seconds),
            foot: one.place.foot().map(hornrule_protocol::Foot::letters),
            claw,
            own,
        })
    };
    from.iter().filter_map(row).collect()
}

fn length(clip: &Clip) -> Length {
    Length {
        dimension: clip.dimension.code(),
        name: clip.dimension.name,
        landmarks: clip.dimension.landmarks,
        length_nm: clip.length.0,
        length_mm: clip.length.as_mm(),
        unit: unit_word(clip.unit),
        calliper: calliper_word(clip.kind),
        moment: moment_word(clip.trimmed),
        gauge_check: gauge_word(clip.gauge_ok),
    }
}

/// Milliseconds as seconds, for people and statistics.
#[expect(clippy::cast_precision_loss, reason = "285,000 years of milliseconds are exact")]
fn seconds(ms: i64) -> f64 {
    ms as f64 / 1000.0
}
