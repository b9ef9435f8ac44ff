//! Decides what is open on one cow at the end of a day. `DUTIES.md` has the rules.

use std::collections::BTreeMap;

use hornrule_casebook::{Case, Casebook, ClawDay, SeeAgain, Word};
use hornrule_facts::codes::{
    BONE_OR_JOINT, BULB_ULCER, DIGITAL_DERMATITIS, PHLEGMON, SOLE_ULCER, SWELLING_OF_ONE_CLAW,
    TOE_NECROSIS, TOE_ULCER, WHITE_LINE_ABSCESS,
};
use hornrule_facts::{Closing, Day, DueRules, Duty, Told};
use hornrule_protocol::{Foot, Lesion, Place};

use super::need::{Because, Need, Window};

/// M1, M2 and M4.1 as keyed: the active stages.
const ACTIVE_STAGES: [u8; 3] = [1, 2, 5];
/// Seen again whether anything was done or not.
const ALWAYS: [u8; 7] = [
    SOLE_ULCER,
    BULB_ULCER,
    TOE_ULCER,
    TOE_NECROSIS,
    WHITE_LINE_ABSCESS,
    SWELLING_OF_ONE_CLAW,
    BONE_OR_JOINT,
];

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
    all.extend(office(asked));
    all.sort();
    all
}

impl Asked<'_> {
    /// Whether the office says that a duty is done which came up at a place on a day. Blocks, wraps
    /// and referrals are closed by the casebook itself.
    fn is_done(&self, duty: Duty, place: Place, since: Day) -> bool {
        let done = |one: &Closing| one.what == Told::Done(duty) && one.is_about(place, since);
        self.closings.iter().any(done)
    }
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
    /// When it may as well be done.
    pub window: Window,
    /// The cases it is about, by their place in the casebook.
    pub cases: Vec<usize>,
}

fn due(asked: &Asked<'_>, duty: Duty, place: Place, because: Because, since: Day) -> Open {
    // Only what was keyed has no days of its own.
    let day = since.plus(because.days(asked.rules).unwrap_or_default());
    let window = Window::of((duty, because), day, since, asked.rules);
    Open { day, place, duty, because, since, window, cases: Vec::new() }
}

/// Digital dermatitis in an active stage.
pub(crate) fn is_active(lesion: Lesion, stage: u8) -> bool {
    lesion.code() == DIGITAL_DERMATITIS && ACTIVE_STAGES.contains(&stage)
}

/// Why a case is to be seen again after the last word about it; `None` where no rule wants it.
fn why_again(book: &Casebook, case: &Case) -> Option<Because> {
    let code = case.lesion.code();
    if code == PHLEGMON {
        Some(Because::Phlegmon)
    } else if is_active(case.lesion, case.last_grade) {
        Some(Because::Dermatitis)
    } else if [case.found, case.last_word()].iter().any(|day| book.treated_on(case.place, *day)) {
        Some(Because::TreatedLesion)
    } else if case.word_on_last_day() != Word::Found {
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
        let Some(mut one) = chosen(case, keyed(asked, case), by_rule) else { continue };
        // Of each case by itself: what was done once says nothing of what came up later.
        if asked.is_done(Duty::Recheck, case.place, one.since) {
            continue;
        }
        one.place = case.place.foot().map_or(Place::Cow, Place::Foot);
        one.cases.push(at);
        match feet.get_mut(&one.place) {
            None => {
                feet.insert(one.place, one);
            }
            Some(there) => {
                let mut cases = std::mem::take(&mut there.cases);
                cases.append(&mut one.cases);
                let last = one.window.last.min(there.window.last);
                if one.day < there.day {
                    *there = one;
                }
                there.window.last = last;
                there.cases = cases;
            }
        }
    }
    let mut all: Vec<Open> = feet.into_values().collect();
    all.extend(
        without_case(asked).filter(|one| !asked.is_done(Duty::Recheck, one.place, one.since)),
    );
    all
}

/// What was keyed takes precedence over a rule; but of a lesion that is always seen again the
/// earlier day counts.
fn chosen(case: &Case, keyed: Option<Open>, by_rule: Option<Open>) -> Option<Open> {
    let code = case.lesion.code();
    let always =
        ALWAYS.contains(&code) || code == PHLEGMON || is_active(case.lesion, case.last_grade);
    match (keyed, by_rule) {
        (Some(keyed), Some(by_rule)) if always && by_rule.day < keyed.day => Some(by_rule),
        (keyed, by_rule) => keyed.or(by_rule),
    }
}

/// What the trimmer keyed for a case's foot or for the cow, on the day of the last word or later.
fn keyed(asked: &Asked<'_>, case: &Case) -> Option<Open> {
    let said = asked.book.again.iter().rev().find(|one| is_for(one, case))?;
    (said.day >= case.last_word()).then(|| keyed_open(asked, said, case.place))
}

/// Whether "see again" was keyed for a case's foot, or for the cow.
fn is_for(said: &SeeAgain, case: &Case) -> bool {
    said.place == Place::Cow || said.place.foot() == case.place.foot()
}

fn keyed_open(asked: &Asked<'_>, said: &SeeAgain, place: Place) -> Open {
    let (duty, because, since) = (Duty::Recheck, Because::Keyed, said.day);
    let day = since.plus(said.days.into());
    let window = Window::of((duty, because), day, since, asked.rules);
    Open { day, place, duty, because, since, window, cases: Vec::new() }
}

/// "See again" where no case was open: of the last one a place, until the foot is examined later.
fn without_case<'a>(asked: &'a Asked<'a>) -> impl Iterator<Item = Open> + 'a {
    let book = asked.book;
    let mut last: BTreeMap<Place, &SeeAgain> = BTreeMap::new();
    for said in &book.again {
        last.insert(said.place, said);
    }
    let about_a_case = move |said: &SeeAgain| {
        book.cases
            .iter()
            .any(|case| is_for(said, case) && case.ended.is_none() && case.last_word() <= said.day)
    };
    let seen_since = move |said: &SeeAgain| {
        book.examined.iter().any(|one| {
            let this_foot = |foot: Foot| one.claws().any(|claw| claw.foot == foot);
            one.day > said.day && said.place.foot().is_none_or(this_foot)
        })
    };
    last.into_values()
        .filter(move |said| !about_a_case(said) && !seen_since(said))
        .map(|said| keyed_open(asked, said, said.place))
}

/// The same with the cases of its foot, of the cow with all of hers: those found by its last day that
/// had not ended before its first.
fn about(book: &Casebook, one: Open, (first, last): (Day, Day)) -> Open {
    let here = |case: &Case| one.place == Place::Cow || case.place.foot() == one.place.foot();
    let then =
        |case: &Case| case.found <= last && case.ended.is_none_or(|ended| ended.day >= first);
    let cases = book.cases.iter().enumerate().filter(|(_, case)| here(case) && then(case));
    Open { cases: cases.map(|(at, _)| at).collect(), ..one }
}

/// Every day after all: what has not ended.
const NOW: (Day, Day) = (Day(i32::MAX), Day(i32::MAX));

fn blocks(asked: &Asked<'_>) -> Vec<Open> {
    let on = asked.book.blocks.iter().filter(|block| block.off.is_none());
    on.map(|block| due(asked, Duty::BlockOff, block.place, Because::BlockGlued, block.on))
        .map(|one| about(asked.book, one, NOW))
        .collect()
}

fn wraps(asked: &Asked<'_>) -> Vec<Open> {
    let on = asked.book.wraps.iter().filter(|wrap| wrap.off.is_none());
    on.map(|wrap| due(asked, Duty::WrapOff, Place::Foot(wrap.foot), Because::Wrapped, wrap.on))
        .map(|one| about(asked.book, one, NOW))
        .collect()
}

/// One line a referral, on the earliest day that what raised it gives; of one day the first raised.
fn vet(asked: &Asked<'_>) -> Vec<Open> {
    let open = asked.book.referrals.iter().filter(|one| one.answered.is_none());
    open.filter_map(|one| {
        let raised = one.raised.iter().map(|(since, why)| (*since, Because::from(*why)));
        let dated = raised.filter(|(_, because)| because.days(asked.rules).is_some());
        let lines = dated.map(|(since, because)| due(asked, Duty::Vet, one.place, because, since));
        let last = one.raised.last().map_or(one.opened(), |(day, _)| *day);
        lines.min_by_key(|line| line.day).map(|line| about(asked.book, line, (one.opened(), last)))
    })
    .collect()
}

/// What was left to the office: of all that was asked and not answered one line.
fn office(asked: &Asked<'_>) -> Vec<Open> {
    let open = asked.book.office.iter().filter(|one| one.answered.is_none());
    open.map(|one| due(asked, Duty::Office, Place::Cow, Because::Office, one.opened())).collect()
}

/// A foot when the first of its claws is; feet of one day are one line for the cow.
fn trims(asked: &Asked<'_>) -> Vec<Open> {
    let mut claws: BTreeMap<(Foot, u8), ClawDay> = BTreeMap::new();
    for one in asked.book.claws.iter().filter(|one| one.trimmed) {
        claws.insert((one.claw.foot, one.claw.side.number()), *one);
    }
    let mut feet: BTreeMap<Foot, Day> = BTreeMap::new();
    for one in claws.into_values() {
        if !asked.is_done(Duty::Trim, Place::Claw(one.claw), one.day) {
            let first = feet.entry(one.claw.foot).or_insert(one.day);
            *first = one.day.min(*first);
        }
    }
    let mut days: BTreeMap<Day, Vec<Foot>> = BTreeMap::new();
    for (foot, day) in feet {
        days.entry(day).or_default().push(foot);
    }
    let line = |(since, of): (Day, Vec<Foot>)| {
        let place = match of[..] {
            [foot] => Place::Foot(foot),
            _ => Place::Cow,
        };
        due(asked, Duty::Trim, place, Because::Trimmed, since)
    };
    days.into_iter().map(line).collect()
}

impl Open {
    /// The same as a need of a cow.
    #[must_use]
    pub fn of(self, book: &Casebook, cow: hornrule_casebook::Cow) -> Need {
        let cases = self.cases.iter().filter_map(|at| book.cases.get(*at)).cloned().collect();
        let Self { day, place, duty, because, since, window, .. } = self;
        Need { day, herd: cow.0, animal: cow.1, place, duty, because, since, window, cases }
    }
}

#[cfg(test)]
mod tests;
