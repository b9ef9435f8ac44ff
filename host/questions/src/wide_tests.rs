//! A day keyed for whole feet gives every answer that the same day keyed claw by claw gives.

use hornrule_facts::{Day, HerdId};
use hornrule_herd::{Database, Span};
use hornrule_kit::{EIGHT, LH, LH_IN, LH_OUT, Story, take_in, two_farms};
use hornrule_protocol::{Claw, Foot, Place};
use jiff::civil::date;

use crate::due::open_needs;
use crate::farm::FarmTrend;
use crate::visit::VisitReport;

const DAY_MS: i64 = 86_400_000;

/// Trims these claws, one sentence each.
fn claws(story: &mut Story, of: impl Fn(Claw) -> bool) {
    for claw in Claw::all().filter(|claw| of(*claw)) {
        story.act(30, Place::Claw(claw));
    }
}

/// A lesion with its block, a plain cow, one with her left hind alone, one not trimmed; the first
/// comes again three weeks later.
fn told(wide: bool) -> (Database, HerdId) {
    let (mut herd, lindenhof) = two_farms();
    let mut story = Story::at_work();
    let all = |story: &mut Story| match wide {
        true => {
            story.act(30, Place::Cow);
        }
        false => claws(story, |_| true),
    };
    story.cow(312).score(1, 3).find(13, 2, LH_OUT).act(31, LH_OUT).act(10, LH_IN);
    all(&mut story);
    story.cow(313).score(1, 1);
    all(&mut story);
    story.cow(351);
    match wide {
        true => {
            story.act(30, LH).act(33, Place::Cow);
        }
        false => {
            claws(&mut story, |claw| claw.foot == Foot::LeftHind);
            for foot in [Foot::LeftFore, Foot::RightFore, Foot::RightHind] {
                story.act(33, Place::Foot(foot));
            }
        }
    }
    story.start().clock(EIGHT + 21 * DAY_MS).visit(1).cow(312).act(52, LH_OUT).act(40, LH_IN);
    match wide {
        true => {
            story.act(30, Place::Cow);
        }
        // One by one, nobody trims the claw that bears the block.
        false => claws(&mut story, |claw| Place::Claw(claw) != LH_IN),
    }
    take_in(&mut herd, &story);
    (herd, lindenhof)
}

#[test]
fn every_answer_is_the_same_however_wide_it_was_keyed() {
    let ((wide, herd), (narrow, other)) = (told(true), told(false));
    assert_eq!(herd, other);
    let days = [date(2026, 3, 2), date(2026, 3, 23)].map(Day::from_date);
    for day in days {
        let visit = |database: &Database| {
            let report = VisitReport::gather(database, herd, day).unwrap().unwrap();
            format!("{:#?}", (report.summary, report.cows, report.due))
        };
        assert_eq!(visit(&wide), visit(&narrow), "{day}");
        let due = |database: &Database| {
            let needs = open_needs(database, day).unwrap();
            needs.iter().map(|one| (one.animal, one.place, one.duty, one.day)).collect::<Vec<_>>()
        };
        assert_eq!(due(&wide), due(&narrow), "{day}");
        assert!(!due(&wide).is_empty());
    }
    let trend = |database: &Database| {
        let through = days[1];
        format!(
            "{:#?}",
            FarmTrend::gather(database, herd, Span { from: days[0], through }).unwrap()
        )
    };
    assert_eq!(trend(&wide), trend(&narrow));
}
