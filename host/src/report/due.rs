//! What follows from a visit: cows for the vet, feet to see again, blocks to take off.
//!
//! Every line names the rule that fired. What the trimmer keyed goes before any rule. The rules are
//! the trade's rules of thumb, marked with a star that [`STARRED`] explains; a farm may agree on
//! other days.

use std::collections::BTreeMap;

use hornrule_protocol::codes::{ActionKind, Seat};
use hornrule_protocol::record::{Done, Finding};
use hornrule_protocol::{Foot, Place};

use super::visit::Name;
use crate::herd::Day;

/// What the star behind a rule says.
pub const STARRED: &str =
    "* Common practice, no source. What the trimmer keyed goes before any rule.";

/// Code numbers that a rule speaks of.
const TOE_NECROSIS: u8 = 16;
const DIGITAL_DERMATITIS: u8 = 31;
const PHLEGMON: u8 = 34;
const SWELLING: u8 = 61;
const SEVERE: u8 = 3;
/// M1, M2 and M4.1 as keyed: the active stages.
const ACTIVE_STAGES: [u8; 3] = [1, 2, 5];
const VET_TO_SEE: u8 = 80;
const VET_NOW: u8 = 81;
const SEE_AGAIN: u8 = 82;
const WRAP_ON: u8 = 21;
const HORN_OPENED: u8 = 31;
const CLAW_LOWERED: u8 = 32;
const CLEANED: u8 = 60;

/// Days until each thing is due.
const RECHECK_DAYS: u16 = 14;
const BLOCK_OFF_DAYS: u16 = 28;
const ACTIVE_DD_DAYS: u16 = 7;
const PHLEGMON_DAYS: u16 = 3;

/// How urgent the vet is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Urgency {
    /// Now.
    Now,
    /// At the next occasion.
    ToSee,
}

/// A cow for the vet.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Vet {
    /// How urgent.
    pub urgency: Urgency,
    /// Who.
    pub name: Name,
    /// Which foot or claw; `Cow` for the whole cow.
    pub place: Place,
    /// Who or what says so.
    pub why: String,
}

/// Something due on a cow.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Due {
    /// On which day.
    pub day: Day,
    /// Who.
    pub name: Name,
    /// Which foot or claw.
    pub place: Place,
    /// What.
    pub what: String,
    /// The rule that fired.
    pub rule: String,
}

/// What was said of one cow on one day, in order.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Said {
    /// Findings.
    pub findings: Vec<Finding>,
    /// Actions.
    pub actions: Vec<Done>,
}

/// The vet's list: what was keyed, and what a rule says. One line a cow and place.
#[must_use]
pub fn vet(name: &Name, said: &Said) -> Vec<Vet> {
    let line = |urgency, place, why: String| Vet { urgency, name: name.clone(), place, why };
    let keyed = said.actions.iter().filter_map(|done| match done.action.code() {
        VET_NOW => Some(line(Urgency::Now, done.place, "keyed by the trimmer".to_owned())),
        VET_TO_SEE => Some(line(Urgency::ToSee, done.place, "keyed by the trimmer".to_owned())),
        _ => None,
    });
    let ruled = said.findings.iter().filter_map(|finding| {
        let why = match finding.lesion.code() {
            TOE_NECROSIS => "toe necrosis",
            SWELLING if finding.grade == SEVERE => "severe swelling above the horn",
            _ => return None,
        };
        Some(line(Urgency::Now, finding.place, format!("rule: {why}*")))
    });
    let mut lines: Vec<Vet> = keyed.chain(ruled).collect();
    lines.sort();
    lines.dedup();
    lines
}

/// What is due on a cow after that day.
#[must_use]
pub fn due(name: &Name, day: Day, said: &Said) -> Vec<Due> {
    let line = |days: u16, place, what: &str, rule: String| Due {
        day: day.plus(days),
        name: name.clone(),
        place,
        what: what.to_owned(),
        rule,
    };
    let mut lines = Vec::new();
    // Keyed for the cow, it speaks for all her feet; keyed for a foot, for that one. The last wins.
    let mut keyed: BTreeMap<Option<Foot>, &Done> = BTreeMap::new();
    for done in said.actions.iter().filter(|done| done.action.code() == SEE_AGAIN) {
        keyed.insert(done.place.foot(), done);
    }
    for done in keyed.values() {
        let rule = format!("keyed: in {} days", done.days);
        lines.push(line(done.days.into(), done.place, "see again", rule));
    }
    for foot in Foot::ALL {
        if keyed.contains_key(&None) || keyed.contains_key(&Some(foot)) {
            continue;
        }
        if let Some((days, what, why)) = recheck(foot, said) {
            let rule = format!("rule: {why}, {days} days*");
            lines.push(line(days, Place::Foot(foot), what, rule));
        }
    }
    for place in blocks_still_on(said) {
        let rule = format!("rule: block glued, {BLOCK_OFF_DAYS} days*");
        lines.push(line(BLOCK_OFF_DAYS, place, "take the block off", rule));
    }
    lines.sort();
    lines
}

/// The soonest rule that wants to see a foot again: days, what, why.
fn recheck(foot: Foot, said: &Said) -> Option<(u16, &'static str, &'static str)> {
    let here = || said.findings.iter().filter(|finding| finding.place.foot() == Some(foot));
    let phlegmon = |finding: &Finding| finding.lesion.code() == PHLEGMON;
    let active = |finding: &Finding| {
        finding.lesion.code() == DIGITAL_DERMATITIS && ACTIVE_STAGES.contains(&finding.grade)
    };
    let treated =
        said.actions.iter().any(|done| done.place.foot() == Some(foot) && is_treatment(done));
    if here().any(phlegmon) {
        Some((PHLEGMON_DAYS, "see again; vet if not better", "phlegmon"))
    } else if here().any(active) {
        Some((ACTIVE_DD_DAYS, "see again", "active digital dermatitis"))
    } else if treated && here().any(is_lesion) {
        Some((RECHECK_DAYS, "see again", "treated lesion"))
    } else {
        None
    }
}

/// Anything but "sound" and healed digital dermatitis.
#[must_use]
pub fn is_lesion(finding: &Finding) -> bool {
    let healed = finding.lesion.code() == DIGITAL_DERMATITIS && finding.grade == 0;
    finding.lesion.code() != 0 && !healed
}

/// Work on a lesion, beyond trimming to form.
fn is_treatment(done: &Done) -> bool {
    done.action.kind == ActionKind::BlockOn
        || matches!(done.action.code(), WRAP_ON | HORN_OPENED | CLAW_LOWERED | CLEANED..=69)
}

/// Claws that got a block and did not lose it again on the same day.
fn blocks_still_on(said: &Said) -> Vec<Place> {
    let mut on: Vec<Place> = Vec::new();
    for done in &said.actions {
        match (done.action.kind, done.action.code()) {
            (ActionKind::BlockOn, _) if !on.contains(&done.place) => on.push(done.place),
            (ActionKind::BlockSeen, 41 | 42) => on.retain(|place| *place != done.place),
            _ => {}
        }
    }
    on
}

/// Where a finding counts: its claw, or for skin lesions its foot.
#[must_use]
pub fn counted_place(finding: &Finding) -> Place {
    match (finding.lesion.seat, finding.place.foot()) {
        (Seat::Foot, Some(foot)) => Place::Foot(foot),
        _ => finding.place,
    }
}

#[cfg(test)]
mod tests {
    use hornrule_protocol::{Action, Claw, Lesion, Side};

    use super::*;
    use crate::herd::AnimalId;

    fn claw(foot: Foot, side: Side) -> Place {
        Place::Claw(Claw { foot, side })
    }

    fn found(code: u8, grade: u8, place: Place) -> Finding {
        Finding { lesion: Lesion::from_code(code).unwrap(), place, grade, zone: None }
    }

    fn done(code: u8, days: u8, place: Place) -> Done {
        Done { action: Action::from_code(code).unwrap(), place, days }
    }

    fn days(said: &Said) -> Vec<(i32, Place)> {
        let name = Name { animal: AnimalId(1), name: None };
        due(&name, Day(100), said).into_iter().map(|due| (due.day.0 - 100, due.place)).collect()
    }

    const LH: Place = Place::Foot(Foot::LeftHind);

    #[test]
    fn a_treated_lesion_is_seen_in_14_days_and_its_block_comes_off_after_28() {
        let sore = claw(Foot::LeftHind, Side::Lateral);
        let partner = claw(Foot::LeftHind, Side::Medial);
        let said = Said {
            findings: vec![found(13, 2, sore)],
            actions: vec![done(30, 0, sore), done(10, 0, partner)],
        };
        assert_eq!(days(&said), [(14, LH), (28, partner)]);
    }

    #[test]
    fn a_lesion_that_was_only_seen_and_a_block_that_fell_off_are_not_due() {
        let sore = claw(Foot::LeftHind, Side::Lateral);
        let seen = Said { findings: vec![found(19, 1, sore)], actions: vec![done(30, 0, sore)] };
        assert_eq!(days(&seen), []);
        let lost = Said { findings: vec![], actions: vec![done(10, 0, sore), done(42, 0, sore)] };
        assert_eq!(days(&lost), []);
    }

    #[test]
    fn active_dermatitis_and_phlegmon_come_sooner() {
        for (grade, expected) in [(0, None), (1, Some(7)), (2, Some(7)), (3, None), (5, Some(7))] {
            let said = Said { findings: vec![found(31, grade, LH)], actions: vec![] };
            assert_eq!(days(&said).first().map(|(days, _)| *days), expected, "stage {grade}");
        }
        let both = Said { findings: vec![found(31, 2, LH), found(34, 2, LH)], actions: vec![] };
        assert_eq!(days(&both), [(3, LH)]);
    }

    #[test]
    fn what_the_trimmer_keyed_wins() {
        let said = |place| Said {
            findings: vec![found(31, 2, LH), found(34, 1, Place::Foot(Foot::RightHind))],
            actions: vec![done(82, 10, place)],
        };
        assert_eq!(days(&said(LH)), [(3, Place::Foot(Foot::RightHind)), (10, LH)]);
        assert_eq!(days(&said(Place::Cow)), [(10, Place::Cow)]);
    }

    #[test]
    fn the_vet_hears_what_was_keyed_and_what_cannot_wait() {
        let toe = claw(Foot::RightHind, Side::Lateral);
        let said = Said {
            findings: vec![found(16, 1, toe), found(61, 2, LH)],
            actions: vec![done(80, 0, Place::Cow)],
        };
        let name = Name { animal: AnimalId(1), name: None };
        let lines: Vec<_> = vet(&name, &said).into_iter().map(|v| (v.urgency, v.place)).collect();
        assert_eq!(lines, [(Urgency::Now, toe), (Urgency::ToSee, Place::Cow)]);
    }
}
