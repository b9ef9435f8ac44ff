//! Batches in every order, contradictions, and the cursor.

use hornrule_protocol::{DeviceId, Seq};
use proptest::prelude::*;

use super::*;
use crate::tests::begin;
use hornrule_kit::{DEVICE, LOG, Story};

fn cows(count: u32) -> Story {
    let mut story = Story::at_work();
    for number in 1..=count {
        story.cow(number);
    }
    story
}

fn part(story: &Story, from: u32, through: u32) -> Batch {
    let inside = |seq: Seq| from <= seq.0 && seq.0 <= through;
    let sealed = story.sealed.iter().filter(|one| inside(one.seq())).cloned().collect();
    Batch { device: DEVICE, log: LOG, from: Seq(from), through: Seq(through), sealed }
}

#[test]
fn the_cursor_rises_only_over_what_is_all_there() {
    let mut herd = Database::in_memory().unwrap();
    let pull = begin(&mut herd);
    let story = cows(20);
    let cursor = |herd: &Database| herd.cursor(DEVICE, LOG).unwrap().0;
    assert_eq!(cursor(&herd), 0);
    herd.store(pull, &part(&story, 11, 15)).unwrap();
    assert_eq!(cursor(&herd), 0);
    herd.store(pull, &part(&story, 1, 4)).unwrap();
    assert_eq!(cursor(&herd), 4);
    herd.store(pull, &part(&story, 5, 10)).unwrap();
    assert_eq!(cursor(&herd), 15);
    let stored = herd.store(pull, &part(&story, 3, 16)).unwrap();
    assert_eq!(stored, Stored { new: 1, known: 13, ..Stored::default() });
    assert_eq!(cursor(&herd), 16);
    assert_eq!(herd.logs().unwrap(), [(DEVICE, LOG)]);
    assert_eq!(herd.lost(DEVICE, LOG).unwrap(), []);
}

#[test]
fn numbers_without_records_are_lost_until_they_come() {
    let mut herd = Database::in_memory().unwrap();
    let pull = begin(&mut herd);
    let story = cows(9);
    let mut holes = part(&story, 1, 12);
    holes.sealed.retain(|one| ![1, 5, 6, 12].contains(&one.seq().0));
    herd.store(pull, &holes).unwrap();
    let runs = [(1, 1), (5, 6), (12, 12)].map(|(first, last)| (Seq(first), Seq(last)));
    assert_eq!(herd.lost(DEVICE, LOG).unwrap(), runs);
    assert_eq!(herd.cursor(DEVICE, LOG).unwrap(), Seq(12));
    herd.store(pull, &part(&story, 1, 12)).unwrap();
    assert_eq!(herd.lost(DEVICE, LOG).unwrap(), []);
}

/// A hostile or broken handheld may account for any numbers; they cost one row.
#[test]
fn a_batch_over_all_numbers_there_are_is_one_run() {
    let mut herd = Database::in_memory().unwrap();
    let pull = begin(&mut herd);
    herd.store(pull, &part(&cows(3), 0, u32::MAX)).unwrap();
    assert_eq!(herd.count("covered"), 1);
    assert_eq!(herd.cursor(DEVICE, LOG).unwrap(), Seq(u32::MAX));
    assert_eq!(herd.lost(DEVICE, LOG).unwrap(), [(Seq(7), Seq(u32::MAX))]);
}

#[test]
fn a_contradiction_is_counted_and_kept() {
    let mut herd = Database::in_memory().unwrap();
    let pull = begin(&mut herd);
    herd.store(pull, &cows(5).batch()).unwrap();
    let mut other = Story::at_work();
    other.cow(1).cow(77);
    let stored = herd.store(pull, &part(&other, 4, 5)).unwrap();
    assert_eq!(stored, Stored { known: 1, conflicts: 1, contradictions: 1, new: 0 });
    // The first one stays; the second is kept beside, once.
    herd.store(pull, &part(&other, 5, 5)).unwrap();
    assert_eq!(herd.conflicts(DEVICE, LOG).unwrap(), 1);
    assert_eq!(herd.store(pull, &cows(5).batch()).unwrap().known, 8);
}

/// In whatever order a damaged record and the whole one of its number come, the whole one stands.
#[test]
fn a_whole_record_goes_before_a_damaged_one() {
    let whole = cows(2);
    let mut damaged = cows(2);
    damaged.damage();
    for (first, second) in [(&whole, &damaged), (&damaged, &whole)] {
        let mut herd = Database::in_memory().unwrap();
        let pull = begin(&mut herd);
        herd.store(pull, &first.batch()).unwrap();
        assert_eq!(herd.store(pull, &second.batch()).unwrap().conflicts, 1);
        assert_eq!(herd.conflicts(DEVICE, LOG).unwrap(), 1);
        assert_eq!(herd.store(pull, &whole.batch()).unwrap().conflicts, 0);
    }
}

#[test]
fn a_record_whose_number_lies_outside_its_batch_is_kept_beside() {
    let mut herd = Database::in_memory().unwrap();
    let pull = begin(&mut herd);
    let mut batch = part(&cows(5), 1, 8);
    batch.through = Seq(7);
    assert_eq!(
        herd.store(pull, &batch).unwrap(),
        Stored { new: 7, conflicts: 1, ..Stored::default() }
    );
    assert_eq!(herd.cursor(DEVICE, LOG).unwrap(), Seq(7));
}

/// Cut off between the two, the next pull would find nothing new and bring no anchor.
#[test]
fn an_anchor_comes_with_the_first_new_record_or_not_at_all() {
    let mut herd = Database::in_memory().unwrap();
    let pull = begin(&mut herd);
    let story = cows(3);
    let anchor = Anchor { boot: Boot(1), uptime: Uptime(9), unix_ms: 7, round_trip_ms: 1 };
    let other = Batch { device: DeviceId(2), ..part(&story, 1, 4) };
    assert!(herd.store_anchored(pull, &other, Some(&anchor)).is_err());
    assert_eq!(herd.anchors(DEVICE, LOG).unwrap(), []);
    herd.store_anchored(pull, &part(&story, 1, 4), Some(&anchor)).unwrap();
    assert_eq!(herd.anchors(DEVICE, LOG).unwrap(), [anchor]);
    let later = Anchor { uptime: Uptime(99), ..anchor };
    herd.store_anchored(pull, &part(&story, 1, 4), Some(&later)).unwrap();
    assert_eq!(herd.anchors(DEVICE, LOG).unwrap(), [anchor], "nothing was new");
}

#[test]
fn wrong_calls_are_refused_and_change_nothing() {
    let mut herd = Database::in_memory().unwrap();
    let pull = begin(&mut herd);
    let story = cows(3);
    let backwards = part(&story, 5, 4);
    assert!(matches!(herd.store(pull, &backwards), Err(InboxError::Backwards { .. })));
    let other = Batch { device: DeviceId(2), ..part(&story, 1, 4) };
    assert!(matches!(herd.store(pull, &other), Err(InboxError::OtherPull { .. })));
    let never = PullId(pull.0 + 1);
    assert!(matches!(herd.store(never, &story.batch()), Err(InboxError::OtherPull { .. })));
    assert_eq!((herd.count("sealed"), herd.count("covered")), (0, 0));
}

#[test]
fn a_pull_counts_what_it_brought() {
    let mut herd = Database::in_memory().unwrap();
    let pull = begin(&mut herd);
    herd.store(pull, &cows(3).batch()).unwrap();
    herd.store(pull, &cows(4).batch()).unwrap();
    herd.end_pull(pull, 5).unwrap();
    let row = herd.pull_counts(pull.0);
    assert_eq!(row, (7, 6, 5));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Promise P4, against the stupid model: a set of numbers.
    #[test]
    fn any_order_of_batches_covers_the_same(
        runs in prop::collection::vec((1..40u32, 0..12u32), 1..12),
    ) {
        let story = cows(50);
        let mut herd = Database::in_memory().unwrap();
        let pull = begin(&mut herd);
        let mut model = std::collections::BTreeSet::new();
        for (from, more) in runs {
            let batch = part(&story, from, from + more);
            let stored = herd.store(pull, &batch).unwrap();
            let new = (from..=from + more).filter(|seq| model.insert(*seq)).count();
            prop_assert_eq!(stored.new as usize, new);
            let through = (1..).take_while(|seq| model.contains(seq)).last().unwrap_or(0);
            prop_assert_eq!(herd.cursor(DEVICE, LOG).unwrap(), Seq(through));
        }
        prop_assert_eq!(herd.lost(DEVICE, LOG).unwrap(), []);
    }
}
