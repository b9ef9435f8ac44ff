//! Rows to diagnosis, treatment and attention events.

use hornrule_protocol::claw::Zone;
use hornrule_protocol::codes::{ActionKind, Grades, Says};
use hornrule_protocol::record::{Done, Finding};
use hornrule_protocol::{Lesion, Scale};

use super::earlier::Gone;
use super::place::{positions, site};
use super::resource::{
    Attention, Collection, Diagnosed, Diagnosis, Event, Events, Identifier, Meta, Treated,
};
use super::{Wishes, animal, beside};
use crate::extract::Dated;
use crate::extract::{Extract, utc};
use hornrule_facts::codes::{LEFT_OPEN, NOT_TRIMMED, SEE_AGAIN, VET_HAS_SEEN, VET_NOW, VET_TO_SEE};
use hornrule_facts::observation::{Certainty, When};

const MEDICINE: &str = "product, dose and withdrawal times are not recorded here: see the farm's \
                        medicine record";

/// The collections of a file, in its order.
pub(super) const COLLECTIONS: [&str; 3] = [
    "icarDiagnosisEventCollection",
    "icarTreatmentEventCollection",
    "icarAttentionEventCollection",
];

/// An export: two texts, and how much is in them.
#[derive(Clone, Debug)]
pub struct Exported {
    /// The file of ADE.
    pub ade: String,
    /// The file beside it.
    pub beside: String,
    /// Diagnosis events.
    pub diagnoses: usize,
    /// Treatment events.
    pub treatments: usize,
    /// Attention events.
    pub attention: usize,
    /// What is in the file beside it: readings, scores, findings, actions.
    pub own: [usize; 4],
}

/// Where an action goes.
enum Goes {
    /// Something done.
    Treatment,
    /// Somebody is to look.
    Attention(Attention),
    /// The standard has nothing for it.
    Beside,
}

/// The events that records say.
pub(super) struct Said {
    pub(super) diagnoses: Vec<Event<Diagnosed>>,
    pub(super) treatments: Vec<Event<Treated>>,
    pub(super) attention: Vec<Event<Attention>>,
}

impl Said {
    pub(super) fn of(extract: &Extract, wishes: &Wishes) -> Self {
        let writer = Writer { extract, wishes };
        let diagnoses = extract.findings.iter().filter(|one| is_diagnosis(&one.what));
        let treatments =
            extract.actions.iter().filter(|one| matches!(goes(&one.what), Goes::Treatment));
        Self {
            diagnoses: diagnoses.filter_map(|one| writer.diagnosis(one)).collect(),
            treatments: treatments.filter_map(|one| writer.treatment(one)).collect(),
            attention: writer.attention(),
        }
    }
}

/// Writes both texts; `gone` is what an earlier file has and is no longer on record.
///
/// # Errors
/// Only where JSON cannot be written, which these values do not do.
pub fn export(
    extract: &Extract,
    wishes: &Wishes,
    gone: Gone,
) -> Result<Exported, serde_json::Error> {
    let said = Said::of(extract, wishes);
    let (diagnoses, treatments, attention) =
        (said.diagnoses.len(), said.treatments.len(), said.attention.len());
    let Gone([no_diagnoses, no_treatments, no_attention]) = gone;
    let events = Events {
        diagnoses: Collection::of(said.diagnoses, no_diagnoses),
        treatments: Collection::of(said.treatments, no_treatments),
        attention: Collection::of(said.attention, no_attention),
    };
    let (beside, own) = beside::write(extract, wishes)?;
    Ok(Exported { diagnoses, treatments, attention, own, ade: lines(&events)?, beside })
}

/// The farm, as asked for, or in a scheme of ours.
pub(super) fn location(extract: &Extract, wishes: &Wishes) -> Identifier {
    wishes.location.clone().unwrap_or_else(|| Identifier {
        scheme: format!("{}.herd", wishes.source),
        id: extract.herd.name.clone(),
    })
}

/// Pretty, with a line end at its end.
pub(super) fn lines<T: serde::Serialize>(value: &T) -> Result<String, serde_json::Error> {
    Ok(serde_json::to_string_pretty(value)? + "\n")
}

/// Not "sound", not a sign, for which the standard has no code, and not dermatitis that has healed.
pub(super) fn is_diagnosis(finding: &Finding) -> bool {
    match finding.lesion.grades {
        Grades::None => finding.lesion.says == Says::Lesion,
        Grades::Stage => finding.grade != 0,
        Grades::Severity => true,
    }
}

/// Whether an action has an event of its own.
pub(super) fn has_event(done: &Done) -> bool {
    !matches!(goes(done), Goes::Beside)
}

fn goes(done: &Done) -> Goes {
    let alert = |priority| {
        Goes::Attention(Attention {
            category: "Health",
            causes: &["Health"],
            priority,
            device_attention_score: None,
        })
    };
    match (done.action.kind, done.action.code()) {
        (ActionKind::BlockOn | ActionKind::Topical | ActionKind::Relief, _) => Goes::Treatment,
        (ActionKind::BlockSeen, _) if done.action.takes_block_off() => Goes::Treatment,
        (ActionKind::Dressing, LEFT_OPEN)
        | (ActionKind::Horn, NOT_TRIMMED)
        | (ActionKind::BlockSeen | ActionKind::Healing | ActionKind::Hygiene, _)
        | (ActionKind::Ahead, VET_HAS_SEEN) => Goes::Beside,
        (ActionKind::Dressing | ActionKind::Horn, _) => Goes::Treatment,
        (ActionKind::Ahead, VET_NOW) => alert("Critical"),
        (ActionKind::Ahead, VET_TO_SEE) => alert("Urgent"),
        (ActionKind::Ahead, SEE_AGAIN) => alert("Normal"),
        (ActionKind::Ahead, _) => Goes::Attention(Attention {
            category: "Other",
            causes: &["Other"],
            priority: "Informational",
            device_attention_score: None,
        }),
    }
}

struct Writer<'a> {
    extract: &'a Extract,
    wishes: &'a Wishes,
}

impl Writer<'_> {
    fn event<T, O>(
        &self,
        resource_type: &'static str,
        of: &Dated<T>,
        about: Option<String>,
        own: O,
    ) -> Option<Event<O>> {
        // Everything but a gauge block is said of a cow.
        let cow = of.animal?;
        let name = of.name();
        let decided = self.extract.decided.get(&of.key).copied();
        let modified = decided.map_or(of.when.at_ms, |at| at.max(of.when.at_ms));
        let known = known(of.when);
        Some(Event {
            resource_type,
            meta: Meta {
                source: self.wishes.source.clone(),
                source_id: name.clone(),
                modified: utc(modified),
            },
            location: location(self.extract, self.wishes),
            id: name,
            animal: animal(self.extract, self.wishes, cow),
            event_date_time: utc(of.when.at_ms),
            responsible: self.wishes.responsible.clone(),
            remark: about.map_or(known.clone(), |about| format!("{about}; {known}")),
            own,
        })
    }

    fn diagnosis(&self, of: &Dated<Finding>) -> Option<Event<Diagnosed>> {
        let Finding { lesion, grade, zone, place } = of.what;
        let (severity, severity_score) = match (lesion.grades, grade) {
            (Grades::Severity, 1) => (Some("Light"), Some(1)),
            (Grades::Severity, 2) => (Some("Moderate"), Some(2)),
            (Grades::Severity, 3) => (Some("Severe"), Some(3)),
            (Grades::Severity | Grades::Stage | Grades::None, _) => (None, None),
        };
        let grade = match (lesion.grades, lesion.grades.word(grade)) {
            (Grades::Stage, Some(stage)) => format!(", stage {stage}"),
            (_, Some(word)) => format!(", {word} (our scale of three)"),
            (_, None) => String::new(),
        };
        let diagnosis = Diagnosis {
            id: format!("{}-1", of.name()),
            name: lesion.name,
            description: format!("{}{grade}", letters(lesion)),
            diagnosis_code: Identifier {
                scheme: format!("{}.lesion", self.wishes.source),
                id: lesion.code().to_string(),
            },
            site: site(place, zone.or_else(|| zone_of_wider(lesion))),
            stage: stage(&of.what),
            severity,
            severity_score,
            positions: positions(self.wishes.positions, place),
        };
        self.event("icarDiagnosisEventResource", of, None, Diagnosed { diagnoses: [diagnosis] })
    }

    fn treatment(&self, of: &Dated<Done>) -> Option<Event<Treated>> {
        let product = matches!(
            (of.what.action.kind, of.what.action.code()),
            (ActionKind::Topical, 61..) | (ActionKind::Relief, _)
        );
        let own = Treated {
            procedure: of.what.action.name,
            site: site(of.place, None),
            positions: positions(self.wishes.positions, of.place),
            comment: product.then_some(MEDICINE),
        };
        self.event("icarTreatmentEventResource", of, None, own)
    }

    /// Alerts keyed and gaits that are lame, in the order of time.
    fn attention(&self) -> Vec<Event<Attention>> {
        const WHAT: &str = "icarAttentionEventResource";
        let mut all = Vec::new();
        for one in &self.extract.actions {
            let Goes::Attention(own) = goes(&one.what) else { continue };
            let where_ = site(one.place, None).map_or(String::new(), |site| format!(", {site}"));
            let when = if one.what.action.code() == SEE_AGAIN {
                let day = one.day.plus(one.what.days.into()).date();
                format!(" in {} days, on {day}", one.what.days)
            } else {
                String::new()
            };
            let about = format!("{}{when}{where_}", one.what.action.name);
            all.push(((one.when.at_ms, one.key), self.event(WHAT, one, Some(about), own)));
        }
        for one in &self.extract.scores {
            let Some((about, own)) = lame(one.what) else { continue };
            all.push(((one.when.at_ms, one.key), self.event(WHAT, one, Some(about), own)));
        }
        all.sort_by_key(|(at, _)| *at);
        all.into_iter().filter_map(|(_, event)| event).collect()
    }
}

/// The atlas's letters, or ours where it has none, and what is to be known of them.
fn letters(lesion: Lesion) -> String {
    match lesion.atlas() {
        Some(atlas) if atlas.is_published() => atlas.letters.to_owned(),
        Some(atlas) => format!("{} (letters from memory)", atlas.letters),
        None => format!("{} (letters of our own)", lesion.letters),
    }
}

/// Letters that mean more than the lesion need its place to say which it is.
fn zone_of_wider(lesion: Lesion) -> Option<Zone> {
    let wider = lesion.atlas().is_some_and(|atlas| atlas.wider);
    lesion.zones.first().filter(|_| wider).and_then(|zone| Zone::new(*zone))
}

/// A gait that its scale calls lame.
fn lame((scale, value): (Scale, u8)) -> Option<(String, Attention)> {
    let from = scale.lame_from.filter(|from| value >= *from)?;
    let (least, most) = scale.range;
    let about = format!("{} score {value} of {least} to {most}, lame from {from}", scale.name);
    let own = Attention {
        category: "Health",
        causes: &["Lameness", "MobilityScore"],
        priority: "Normal",
        device_attention_score: Some(value),
    };
    Some((about, own))
}

/// Our reading of the stages' definitions in the standard's words.
fn stage(finding: &Finding) -> Option<&'static str> {
    match (finding.lesion.grades, finding.lesion.grades.word(finding.grade)?) {
        (Grades::Stage, "M1") => Some("Early"),
        (Grades::Stage, "M2") => Some("Acute"),
        (Grades::Stage, "M3") => Some("Other"),
        (Grades::Stage, "M4") => Some("Chronic"),
        (Grades::Stage, "M4.1") => Some("AcuteOnChronic"),
        (Grades::Stage | Grades::Severity | Grades::None, _) => None,
    }
}

/// How well a time is known.
fn known(when: When) -> String {
    let within = |ms: i64| format!("within {}", span(ms));
    match (when.certainty, when.uncertainty_ms) {
        (Certainty::Anchored, Some(ms)) => format!("time known {}", within(ms)),
        (Certainty::Bounded, Some(ms)) => format!("time estimated {}", within(ms)),
        (_, None) => "time estimated, nobody can say how far off".to_owned(),
    }
}

/// The least whole number of seconds, minutes or hours that holds it.
fn span(ms: i64) -> String {
    let up = |unit: i64| ms.max(0) / unit + i64::from(ms.max(0) % unit > 0);
    match ms {
        ..=120_000 => format!("{} s", up(1000)),
        120_001..=7_200_000 => format!("{} min", up(60_000)),
        _ => format!("{} h", up(3_600_000)),
    }
}
