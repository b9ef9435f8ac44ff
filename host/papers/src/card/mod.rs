//! The code card as values: everything that may be keyed and everything that may be heard.
//!
//! ```text
//! code tables (protocol) --+
//! sentences (keying) ------+--gather(Words)--> Card --page--> a sheet
//! cues (core) -------------+
//! ```
//!
//! Nothing on it is written twice: a row that is added to a table stands on the next card.

mod page;

#[cfg(test)]
mod tests;

use hornrule_core::cue::{Count, Cue, Family, Signal};
use hornrule_protocol::bundle::{At, BundlePart};
use hornrule_protocol::codes::{Grades, Seat};
use hornrule_protocol::plan::FirstClaws;
use hornrule_protocol::{Action, Bundle, Dimension, Foot, Lesion, Nanometres, Scale, Zone};
use serde::Serialize;

use crate::words::{Say, Words};
use hornrule_facts::Habits;
use hornrule_line::keying;
use hornrule_line::keying::SENTENCES;

/// What is keyed, and what it says.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Keyed {
    /// "13", "11-19", "COW COW".
    pub keys: String,
    /// What it says.
    pub says: String,
    /// Letters, zone, range or light; empty where there is nothing to add.
    pub more: String,
}

/// A cue to learn.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Heard {
    /// Lengths of sound and silence in turn, milliseconds, sound first.
    pub rhythm_ms: Vec<u16>,
    /// The same as a bar of text.
    pub bar: String,
    /// "green", "amber", "red".
    pub light: &'static str,
    /// What it is called.
    pub name: String,
    /// What to do.
    pub advice: String,
    /// What it may mean, by the count that SIZE SIZE asks for; first what has none.
    pub means: Vec<Keyed>,
}

/// The card.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Card {
    /// What may be keyed.
    pub sentences: Vec<Keyed>,
    /// DO 0 b: the plan's bundles, where it has any.
    pub bundles: Vec<Keyed>,
    /// Where work starts; empty where it is the outer claw of every foot.
    pub starts: String,
    /// FIND c c; `more` has letters and the usual zone.
    pub lesions: Vec<Keyed>,
    /// Codes of lesions that are the whole foot's and no claw's.
    pub of_foot: Vec<String>,
    /// The digit after a lesion: severity, then stage.
    pub grades: Vec<Keyed>,
    /// DO a a.
    pub actions: Vec<Keyed>,
    /// SIZE d; `more` has what is usual, in the unit of the words.
    pub dimensions: Vec<Keyed>,
    /// SCORE t v; `more` has the range.
    pub scales: Vec<Keyed>,
    /// FIND c c FIND z z.
    pub zones: Vec<Keyed>,
    /// What is heard, seen and felt.
    pub cues: Vec<Heard>,
}

impl Card {
    /// From the tables, in the language and unit of the words; with what this trimmer's plan says.
    #[must_use]
    pub fn gather(words: &Words, habits: &Habits) -> Self {
        Self {
            sentences: sentences(words),
            bundles: habits.bundles().map(|one| bundle(words, one)).collect(),
            starts: starts(words, habits.first_claws),
            lesions: Lesion::all().map(|one| lesion(words, one)).collect(),
            of_foot: Lesion::all()
                .filter(|lesion| lesion.seat == Seat::Foot)
                .map(|lesion| code(lesion.code()))
                .collect(),
            grades: grades(words),
            actions: together(Action::all().map(|one| action(words, one)).collect()),
            dimensions: Dimension::all().map(|one| dimension(words, one)).collect(),
            scales: Scale::all().map(|one| scale(words, one)).collect(),
            zones: (0..=u8::MAX).map_while(Zone::new).map(|one| zone(words, one)).collect(),
            cues: cues(words),
        }
    }
}

fn sentences(words: &Words) -> Vec<Keyed> {
    let one = |(at, row): (usize, &keying::SentenceRow)| Keyed {
        keys: row.keys.to_owned(),
        says: words.sentence(at, row.says),
        more: String::new(),
    };
    SENTENCES.iter().enumerate().map(one).collect()
}

fn bundle(words: &Words, bundle: &Bundle) -> Keyed {
    let says = bundle_says(words, bundle);
    Keyed { keys: format!("DO 0 {}", bundle.number()), says, more: String::new() }
}

/// What a bundle does, part by part.
pub(crate) fn bundle_says(words: &Words, bundle: &Bundle) -> String {
    let part = |part: BundlePart| {
        let action = words.action(part.action());
        let action = match part.days() {
            0 => action,
            days => words.say(Say::CardPartDays { action: action.into(), days: days.into() }),
        };
        match part.at() {
            At::ThisClaw => words.say(Say::CardPartThis { action: action.into() }),
            At::Partner => words.say(Say::CardPartPartner { action: action.into() }),
            At::Foot | At::Cow => action,
        }
    };
    let parts: Vec<String> = bundle.parts().map(part).collect();
    parts.join("; ")
}

fn starts(words: &Words, first: FirstClaws) -> String {
    if first == FirstClaws::OUTER {
        return String::new();
    }
    let side = |foot| words.side(first.of(foot));
    let (hind, front) = (side(Foot::LeftHind), side(Foot::LeftFore));
    words.say(Say::CardStarts { hind: hind.into(), front: front.into() })
}

fn lesion(words: &Words, lesion: Lesion) -> Keyed {
    let zone = lesion.zones.first().map_or_else(String::new, |zone| format!(" {zone:02}"));
    let letters = if lesion.code() == 0 { "" } else { lesion.letters };
    Keyed {
        keys: code(lesion.code()),
        says: words.lesion(lesion),
        more: format!("{letters}{zone}"),
    }
}

/// Each scale of grades once, with the lesions that use it as `more`.
fn grades(words: &Words) -> Vec<Keyed> {
    let mut all = Vec::new();
    for grades in [Grades::Severity, Grades::Stage] {
        let Some(lesion) = Lesion::all().find(|lesion| lesion.grades == grades) else { continue };
        let digits: Vec<String> = (0..10)
            .filter_map(|digit| words.grade(lesion, digit).map(|word| format!("{digit} {word}")))
            .collect();
        let of = Lesion::all().filter(|lesion| lesion.grades == grades).count();
        let more = if of == 1 { code(lesion.code()) } else { String::new() };
        all.push(Keyed { keys: "s".to_owned(), says: digits.join(", "), more });
    }
    all
}

fn action(words: &Words, action: Action) -> Keyed {
    let name = words.action(action);
    let says =
        if action.takes_days { words.say(Say::CardInDays { action: name.into() }) } else { name };
    let keys = if action.takes_days {
        format!("{} d d", code(action.code()))
    } else {
        code(action.code())
    };
    Keyed { keys, says, more: String::new() }
}

fn dimension(words: &Words, dimension: Dimension) -> Keyed {
    let (low, high) = dimension.usual_mm;
    let end = |mm: u16| {
        let length = Nanometres::from_mm(i32::from(mm));
        match words.unit() {
            // Limits are whole millimetres.
            hornrule_facts::LengthUnit::Millimetre => mm.to_string(),
            hornrule_facts::LengthUnit::Inch => words.length(length),
        }
    };
    let more = if dimension.is_gauge() {
        String::new()
    } else {
        format!("{}\u{2013}{}", end(low), end(high))
    };
    Keyed { keys: dimension.code().to_string(), says: words.dimension(dimension), more }
}

fn scale(words: &Words, scale: Scale) -> Keyed {
    let (low, high) = scale.range;
    let lame = scale.lame_from.map_or_else(String::new, |from| {
        format!(", {}", words.say(Say::CardLameFrom { from: from.into() }))
    });
    Keyed {
        keys: scale.code().to_string(),
        says: words.scale(scale),
        more: format!("{low}\u{2013}{high}{lame}"),
    }
}

fn zone(words: &Words, zone: Zone) -> Keyed {
    Keyed { keys: code(zone.number()), says: words.zone(zone), more: String::new() }
}

/// Two digits, as they are keyed.
fn code(code: u8) -> String {
    format!("{code:02}")
}

/// Rows with codes in a row, whose words differ in their last number alone, become one:
/// "11-19 block glued on, trial way 1-9".
fn together(rows: Vec<Keyed>) -> Vec<Keyed> {
    let mut all: Vec<Keyed> = Vec::new();
    let mut runs: Vec<(u8, u8)> = Vec::new();
    for row in rows {
        let same = |last: &Keyed| {
            let (stem, from) = numbered(&last.says)?;
            let (other, to) = numbered(&row.says)?;
            (stem == other && from < to).then(|| (stem.to_owned(), from))
        };
        let code: Option<u8> = row.keys.parse().ok();
        let follows = runs.last().zip(code).filter(|((_, last), code)| last + 1 == *code);
        match (all.last_mut().and_then(|last| same(last).map(|same| (last, same))), follows) {
            (Some((last, (stem, from))), Some(((first, _), code))) => {
                let to = numbered(&row.says).map_or(0, |(_, to)| to);
                let first = *first;
                last.keys = format!("{first:02}\u{2013}{code:02}");
                last.says = format!("{stem}{from}\u{2013}{to}");
                if let Some(run) = runs.last_mut() {
                    *run = (first, code);
                }
            }
            (Some(_) | None, _) => {
                // A code with digits to follow is in no run: none can follow 255.
                runs.push((code.unwrap_or(u8::MAX - 1), code.unwrap_or(u8::MAX - 1)));
                all.push(row);
            }
        }
    }
    all
}

/// "trial way 1" and "trial way 1-3" end with a number: what stands before it, and the first.
fn numbered(text: &str) -> Option<(&str, u8)> {
    let begin = text.rfind(' ')? + 1;
    let (stem, end) = text.split_at(begin);
    let first = end.split('\u{2013}').next()?;
    Some((stem, first.parse().ok()?))
}

fn cues(words: &Words) -> Vec<Heard> {
    let heard = |family: Family| {
        let signal = Signal::of(family);
        Heard {
            rhythm_ms: signal.steps().map(|step| step.ms).collect(),
            bar: keying::bar(signal, 60),
            light: keying::light(signal.cue),
            name: words.family(family),
            advice: words.advice(family),
            means: meanings(words, family),
        }
    };
    Family::ALL.into_iter().map(heard).collect()
}

/// What a family's cues tell: those without a count in one row, then one for each count. Cues that
/// are numbered through are a run.
fn meanings(words: &Words, family: Family) -> Vec<Keyed> {
    let of = || Cue::ALL.into_iter().filter(move |cue| cue.family() == family);
    let row = |keys: String, says: String| Keyed { keys, says, more: String::new() };
    let at_once: Vec<String> =
        of().filter(|cue| cue.count() == Count::Untold).map(|cue| words.cue(cue)).collect();
    let mut counted: Vec<(u8, Cue)> =
        of().filter_map(|cue| Some((cue.told().count()?, cue))).collect();
    counted.sort_unstable_by_key(|(count, _)| *count);
    let runs = [
        (Cue::Next1, Cue::Next9, Say::CardNextRun),
        (Cue::DrawnWay1, Cue::DrawnWay9, Say::CardDrawnRun),
    ];
    let mut rows = Vec::new();
    if !at_once.is_empty() {
        rows.push(row("\u{2013}".to_owned(), at_once.join(" \u{b7} ")));
    }
    for (count, cue) in counted {
        let place = cue as u8;
        let run =
            runs.iter().find(|(first, last, _)| (*first as u8..=*last as u8).contains(&place));
        match run {
            None => rows.push(row(count.to_string(), words.cue(cue))),
            Some((first, _, says)) if *first == cue => {
                rows.push(row(format!("{count}\u{2013}{}", count + 8), words.say(says.clone())));
            }
            // Told by the first of its run.
            Some(_) => {}
        }
    }
    rows
}
