//! The worked histories of `CASES.md`, run from the page.

use hornrule_facts::{AnimalId, Certainty, Clip, Day, Fact, HerdId, What, When};
use hornrule_protocol::record::{CalliperKind, Done, Finding, UnitMode};
use hornrule_protocol::{
    Action, Claw, DeviceId, Dimension, Foot, Lesion, LogId, Nanometres, Place, Scale, Seq, Side,
};

use super::{Block, Case, Casebook, End, Off, Unwrapped, Urgency};

const PAGE: &str = include_str!("../CASES.md");

/// "LH outer", "LH", "cow".
fn shown(place: Place) -> String {
    match place {
        Place::Cow => "cow".to_owned(),
        Place::Foot(foot) => foot.letters().to_owned(),
        Place::Claw(Claw { foot, side }) => {
            format!("{} {}", foot.letters(), side.common_name())
        }
    }
}

fn place(words: &mut std::iter::Peekable<std::str::SplitWhitespace<'_>>) -> Place {
    let first = words.next().unwrap();
    let Some(foot) = Foot::ALL.into_iter().find(|foot| foot.letters() == first) else {
        assert_eq!(first, "cow");
        return Place::Cow;
    };
    let side = match words.peek() {
        Some(&"outer") => Side::Lateral,
        Some(&"inner") => Side::Medial,
        _ => return Place::Foot(foot),
    };
    words.next();
    Place::Claw(Claw { foot, side })
}

/// "14 LH outer DO 52", the `nth` line of its history.
fn fact(line: &str, nth: u32) -> Fact {
    let mut words = line.split_whitespace().peekable();
    let day: i32 = words.next().unwrap().parse().unwrap();
    let place = place(&mut words);
    let verb = words.next().unwrap();
    let numbers: Vec<u8> = words.map(|word| word.parse().unwrap()).collect();
    let what = match verb {
        "FIND" => What::Finding(Finding {
            lesion: Lesion::from_code(numbers[0]).unwrap(),
            place,
            grade: numbers[1],
            zone: None,
        }),
        "DO" => What::Action(Done {
            action: Action::from_code(numbers[0]).unwrap(),
            place,
            days: numbers.get(1).copied().unwrap_or(0),
        }),
        "SIZE" => What::Reading(Clip {
            length: Nanometres::from_mm(numbers[1].into()),
            dimension: Dimension::from_code(numbers[0]).unwrap(),
            unit: UnitMode::Millimetre,
            kind: CalliperKind::Sync24,
            trimmed: false,
            gauge_ok: None,
        }),
        "SCORE" => What::Score { scale: Scale::from_code(numbers[0]).unwrap(), value: numbers[1] },
        other => panic!("{other} is no verb of a history"),
    };
    let at_ms = i64::from(day) * 86_400_000 + i64::from(nth) * 60_000;
    Fact {
        key: (DeviceId(1), LogId(1), Seq(nth)),
        herd: HerdId(1),
        animal: Some(AnimalId(312)),
        place,
        day: Day(day),
        when: When { at_ms, uncertainty_ms: Some(0), certainty: Certainty::Anchored },
        stay: Some(Seq(1)),
        what,
        whole: false,
        doubted: false,
    }
}

fn days(days: impl Iterator<Item = Day>) -> String {
    days.map(|day| day.0.to_string()).collect::<Vec<_>>().join(" ")
}

fn case(case: &Case) -> String {
    let again = if case.again { "again" } else { "new" };
    let (place, letters) = (shown(case.place), case.lesion.letters);
    let mut line = format!("case {place} {letters} {again} {}", case.found.0);
    line.push_str(&format!(", grade {}", case.last_grade));
    if !case.looks.is_empty() {
        line.push_str(&format!(", looks {}", days(case.looks.iter().map(|look| look.day))));
    }
    match case.ended {
        Some(ended) if ended.how == End::Healed => {
            line.push_str(&format!(", healed {}", ended.day.0))
        }
        Some(ended) if ended.how == End::Sound => {
            line.push_str(&format!(", sound {}", ended.day.0))
        }
        Some(ended) if ended.how == End::Amputated => {
            line.push_str(&format!(", amputated {}", ended.day.0));
        }
        Some(_) => line.push_str(", out of sight"),
        None => {}
    }
    if !case.done.is_empty() {
        let mut done = case.done.clone();
        done.sort_unstable();
        let done: Vec<String> = done.iter().map(u8::to_string).collect();
        line.push_str(&format!(", done {}", done.join(" ")));
    }
    for size in &case.sizes {
        line.push_str(&format!(", area {} {:.1}", size.day.0, size.area_mm2()));
    }
    line
}

fn block(block: &Block) -> String {
    let mut line = format!("block {} ", shown(block.place));
    line.push_str(&match block.way {
        Some(way) => format!("way {way} glued {}", block.on.0),
        None => format!("first seen {}", block.on.0),
    });
    if !block.seen.is_empty() {
        line.push_str(&format!(", seen {}", days(block.seen.iter().copied())));
    }
    if let Some((day, how)) = block.off {
        let how = match how {
            Off::TakenOff => "taken off",
            Off::Lost => "lost",
            Off::Replaced => "replaced",
            Off::Trimmed => "trimmed",
            Off::Told => "told",
            Off::Amputated => "amputated",
        };
        line.push_str(&format!(", {how} {}", day.0));
        if let Some(reason) = block.reason {
            line.push_str(&format!(" {}", format!("{reason:?}").to_lowercase()));
        }
    }
    let failed = block.failed().is_some() && block.reason.is_some();
    let states = [(block.cold, "cold"), (block.wet, "wet"), (failed, "failed")];
    for (_, word) in states.into_iter().filter(|(holds, _)| *holds) {
        line.push_str(&format!(", {word}"));
    }
    line
}

fn lines(book: &Casebook) -> Vec<String> {
    let mut lines: Vec<String> = book.cases.iter().map(case).collect();
    lines.extend(book.blocks.iter().map(block));
    for wrap in &book.wraps {
        let off = wrap.off.map_or_else(String::new, |(day, how)| {
            let how = match how {
                Unwrapped::TakenOff => "taken off",
                Unwrapped::LeftOpen => "left open",
                Unwrapped::Replaced => "replaced",
                Unwrapped::Bare => "bare",
                Unwrapped::Told => "told",
            };
            format!(", {how} {}", day.0)
        });
        lines.push(format!("wrap {} on {}{off}", wrap.foot.letters(), wrap.on.0));
    }
    for one in book.claws.iter().filter(|one| one.trimmed) {
        lines.push(format!("trimmed {} {}", shown(Place::Claw(one.claw)), one.day.0));
    }
    for one in &book.referrals {
        let urgency = if one.urgency == Urgency::Now { "now" } else { "to see" };
        let mut raised: Vec<Day> = one.raised.iter().map(|(day, _)| *day).collect();
        raised.dedup();
        let answered = one.answered.map(|day| format!(", answered {}", day.0)).unwrap_or_default();
        let raised = days(raised.into_iter());
        lines.push(format!("referral {} {urgency} {raised}{answered}", shown(one.place)));
    }
    for one in &book.signs {
        lines.push(format!("sign {} {} {}", shown(one.place), one.sign.letters, one.day.0));
    }
    for one in &book.office {
        let answered = one.answered.map(|day| format!(", answered {}", day.0)).unwrap_or_default();
        lines.push(format!("office cow {}{answered}", days(one.asked.iter().copied())));
    }
    lines
}

/// As the reader of the herd tables gives them.
fn as_read(facts: &[Fact]) -> Vec<Fact> {
    let days = facts.chunk_by(|one, other| one.day == other.day);
    let mut gone: Vec<Claw> = Vec::new();
    days.flat_map(|day| {
        let lost = day.iter().filter_map(hornrule_facts::spread::amputated);
        let mut day = day.to_vec();
        hornrule_facts::spread(&mut day, &gone);
        gone.extend(lost);
        day
    })
    .collect()
}

/// Kinds of lines that a history of another kind leaves out.
const KINDS: [&str; 8] =
    ["case", "block", "wrap", "trimmed", "referral", "sign", "office", "examined"];

#[test]
fn every_worked_history_is_true() {
    let mut run = 0;
    for history in PAGE.split("```history\n").skip(1) {
        let history = history.split("```").next().unwrap();
        let (told, expected) = history.split_once("=>\n").unwrap();
        let mut told = told.lines();
        let title = told.next().unwrap();
        let facts: Vec<Fact> = (1..).zip(told).map(|(nth, line)| fact(line, nth)).collect();
        let facts = as_read(&facts);
        let book = Casebook::of(&facts, &[]);
        let mut got = lines(&book);
        got.extend(book.examined.iter().map(|one| format!("examined {}", one.day.0)));
        let expected: Vec<&str> = expected.lines().collect();
        // A page about wraps need not tell who was examined.
        let told_of = |kind: &str| expected.iter().any(|line| line.starts_with(kind));
        got.retain(|line| KINDS.iter().any(|kind| line.starts_with(kind) && told_of(kind)));
        let (mut got, mut want) = (got, expected.clone());
        got.sort_unstable();
        want.sort_unstable();
        assert_eq!(got, want, "{title}");
        run += 1;
    }
    assert!(run >= 20, "{run} histories");
}
