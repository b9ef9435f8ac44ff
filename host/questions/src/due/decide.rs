//! Decides what is open on one cow at the end of a day. `DUTIES.md` has the rules.

use std::collections::BTreeMap;

use hornrule_casebook::{Case, Casebook, Urgency, Why, Word};
use hornrule_facts::codes::{
    BULB_ULCER, DIGITAL_DERMATITIS, PHLEGMON, SOLE_ULCER, TOE_NECROSIS, TOE_ULCER,
    WHITE_LINE_ABSCESS,
};
use hornrule_facts::{Closing, Day, DueRules, Duty};
use hornrule_protocol::{Foot, Place};

use super::need::{Because, Need};

/// M1, M2 and M4.1 as keyed: the active stages.
const ACTIVE_STAGES: [u8; 3] = [1, 2, 5];
/// Seen again whether anything was done or not.
const ALWAYS: [u8; 5] = [SOLE_ULCER, BULB_ULCER, TOE_ULCER, TOE_NECROSIS, WHITE_LINE_ABSCESS];

/// Everything that a cow's duties are decided from.
pub struct Asked<'a> {
    /// Her casebook, up to and with the day that is asked about.
    pub book: &'a Casebook,
    /// What the office was told of her.
    pub closings: &'a [Closing],
    /// The days of the rules.
    pub rules: &'a DueRules,
}

/// What is open on her, by day, place and duty. Herd and cow are the asker's to fill in.
#[must_use]
pub fn open(asked: &Asked<'_>) -> Vec<Open> {
    let mut all = Vec::new();
    all.extend(rechecks(asked));
    all.extend(blocks(asked));
    all.extend(wraps(asked));
    all.extend(vet(asked));
    all.extend(trims(asked));
    all.retain(|one| {
        let done =
            |closing: &Closing| closing.duty == one.duty && closing.is_about(one.place, one.since);
        !asked.closings.iter().any(done)
    });
    all.sort();
    all
}

/// Something open on a cow.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Open {
    /// When it is due.
    pub day: Day,
    /// Where.
    pub place: Place,
    /// What.
    pub duty: Duty,
    /// Why.
    pub because: Because,
    /// The day it comes from.
    pub since: Day,
    /// The cases it is about, by their place in the casebook.
    pub cases: Vec<usize>,
}

fn due(asked: &Asked<'_>, duty: Duty, place: Place, because: Because, since: Day) -> Open {
    // Only what was keyed has no days of its own.
    let days = because.days(asked.rules).unwrap_or_default();
    Open { day: since.plus(days), place, duty, because, since, cases: Vec::new() }
}

/// Why a case is to be seen again after the last word about it; `None` where no rule wants it.
fn why_again(book: &Casebook, case: &Case) -> Option<Because> {
    let code = case.lesion.code();
    let unhealed = case.looks.last().is_some_and(|look| look.word != Word::Found);
    if code == PHLEGMON {
        Some(Because::Phlegmon)
    } else if code == DIGITAL_DERMATITIS && ACTIVE_STAGES.contains(&case.last_grade) {
        Some(Because::Dermatitis)
    } else if book.treated_on(case.place, case.last_word()) {
        Some(Because::TreatedLesion)
    } else if unhealed {
        Some(Because::NotHealed)
    } else if ALWAYS.contains(&code) {
        Some(Because::Found)
    } else {
        None
    }
}

fn rechecks(asked: &Asked<'_>) -> Vec<Open> {
    let book = asked.book;
    let mut feet: BTreeMap<Place, Open> = BTreeMap::new();
    for (at, case) in book.cases.iter().enumerate().filter(|(_, case)| case.ended.is_none()) {
        let since = case.last_word();
        let by_rule = why_again(book, case)
            .map(|because| due(asked, Duty::Recheck, case.place, because, since));
        let Some(mut one) = chosen(case, keyed(book, case), by_rule) else { continue };
        one.place = case.place.foot().map_or(Place::Cow, Place::Foot);
        one.cases.push(at);
        match feet.get_mut(&one.place) {
            None => {
                feet.insert(one.place, one);
            }
            Some(there) => {
                let mut cases = std::mem::take(&mut there.cases);
                cases.append(&mut one.cases);
                if one.day < there.day {
                    *there = one;
                }
                there.cases = cases;
            }
        }
    }
    let mut all: Vec<Open> = feet.into_values().collect();
    all.extend(without_case(book));
    all
}

/// What was keyed takes precedence over a rule; but of a lesion that is always seen again the
/// earlier day counts.
fn chosen(case: &Case, keyed: Option<Open>, by_rule: Option<Open>) -> Option<Open> {
    let code = case.lesion.code();
    let active = code == DIGITAL_DERMATITIS && ACTIVE_STAGES.contains(&case.last_grade);
    let always = ALWAYS.contains(&code) || code == PHLEGMON || active;
    match (keyed, by_rule) {
        (Some(keyed), Some(by_rule)) if always && by_rule.day < keyed.day => Some(by_rule),
        (keyed, by_rule) => keyed.or(by_rule),
    }
}

/// What the trimmer keyed for a case's foot or for the cow, on the day of the last word or later.
fn keyed(book: &Casebook, case: &Case) -> Option<Open> {
    let speaks = |place: Place| place == Place::Cow || place.foot() == case.place.foot();
    let said = book.again.iter().rev().find(|one| speaks(one.place))?;
    (said.day >= case.last_word()).then(|| keyed_open(said, case.place))
}

fn keyed_open(said: &hornrule_casebook::SeeAgain, place: Place) -> Open {
    Open {
        day: said.day.plus(said.days.into()),
        place,
        duty: Duty::Recheck,
        because: Because::Keyed,
        since: said.day,
        cases: Vec::new(),
    }
}

/// "See again" where no case was open: of the last one a place, until the foot is examined later.
fn without_case(book: &Casebook) -> Vec<Open> {
    let mut last: BTreeMap<Place, &hornrule_casebook::SeeAgain> = BTreeMap::new();
    for said in &book.again {
        last.insert(said.place, said);
    }
    let about_a_case = |said: &hornrule_casebook::SeeAgain| {
        book.cases.iter().any(|case| {
            let here = said.place == Place::Cow || said.place.foot() == case.place.foot();
            let ended_before = case.ended.is_some_and(|ended| ended.day < said.day);
            here && case.found <= said.day && !ended_before
        })
    };
    let seen_since = |said: &hornrule_casebook::SeeAgain| {
        book.examined.iter().any(|one| {
            let this_foot = |foot: Foot| one.claws().any(|claw| claw.foot == foot);
            one.day > said.day && said.place.foot().is_none_or(this_foot)
        })
    };
    last.into_values()
        .filter(|said| !about_a_case(said) && !seen_since(said))
        .map(|said| keyed_open(said, said.place))
        .collect()
}

fn blocks(asked: &Asked<'_>) -> Vec<Open> {
    let on = asked.book.blocks.iter().filter(|block| block.off.is_none());
    on.map(|block| due(asked, Duty::BlockOff, block.place, Because::BlockGlued, block.on)).collect()
}

fn wraps(asked: &Asked<'_>) -> Vec<Open> {
    let on = asked.book.wraps.iter().filter(|wrap| wrap.off.is_none());
    on.map(|wrap| due(asked, Duty::WrapOff, Place::Foot(wrap.foot), Because::Wrapped, wrap.on))
        .collect()
}

/// One line a place: what was raised first, of the most urgent.
fn vet(asked: &Asked<'_>) -> Vec<Open> {
    let mut lines: BTreeMap<Place, (Urgency, Open)> = BTreeMap::new();
    for one in asked.book.referrals.iter().filter(|one| one.answered.is_none()) {
        let Some((since, why)) = one.raised.first() else { continue };
        let because = match why {
            Why::VetNow => Because::VetNow,
            Why::VetToSee => Because::VetToSee,
            Why::ToeNecrosis => Because::ToeNecrosis,
            Why::Swelling => Because::Swelling,
        };
        let line = due(asked, Duty::Vet, one.place, because, *since);
        match lines.get(&one.place) {
            Some((urgency, _)) if *urgency <= one.urgency => {}
            _ => {
                lines.insert(one.place, (one.urgency, line));
            }
        }
    }
    lines.into_values().map(|(_, line)| line).collect()
}

fn trims(asked: &Asked<'_>) -> Vec<Open> {
    let mut claws: BTreeMap<(Foot, u8), Day> = BTreeMap::new();
    for one in asked.book.claws.iter().filter(|one| one.trimmed) {
        claws.insert((one.claw.foot, one.claw.side.number()), one.day);
    }
    let mut feet: BTreeMap<Foot, Day> = BTreeMap::new();
    for ((foot, _), day) in claws {
        let first = feet.entry(foot).or_insert(day);
        *first = day.min(*first);
    }
    let mut days: BTreeMap<Day, Vec<Foot>> = BTreeMap::new();
    for (foot, day) in &feet {
        days.entry(*day).or_default().push(*foot);
    }
    let all = feet.len();
    let mut lines = Vec::new();
    for (since, of) in days {
        if of.len() == all {
            lines.push(due(asked, Duty::Trim, Place::Cow, Because::Trimmed, since));
        } else {
            let line = |foot| due(asked, Duty::Trim, Place::Foot(foot), Because::Trimmed, since);
            lines.extend(of.into_iter().map(line));
        }
    }
    lines
}

impl Open {
    /// The same as a need of a cow.
    #[must_use]
    pub fn of(self, book: &Casebook, cow: hornrule_casebook::Cow) -> Need {
        let cases = self.cases.iter().filter_map(|at| book.cases.get(*at)).cloned().collect();
        let Self { day, place, duty, because, since, .. } = self;
        Need { day, herd: cow.0, animal: cow.1, place, duty, because, since, cases }
    }
}

#[cfg(test)]
mod tests;
