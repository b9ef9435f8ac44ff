//! The ring goes round, refuses when full, and releases in any state.

use hornrule_core::log::{AppendError, MountError, ReadError, ReleaseError};
use hornrule_protocol::Seq;
use hornrule_testkit::flash::{Fault, Flash, FlashError, LargePages, SmallPages};

use crate::{all, append, mounted, mounted_twice, record};

/// Slots of a page of 1 KiB; `FLASH.md` has the table.
const SMALL_SLOTS: u16 = 21;

fn fill<const PAGE: usize>(pages: usize) -> hornrule_core::log::Log<Flash<PAGE>> {
    let mut log = mounted(Flash::blank(pages));
    let free = log.free();
    append(&mut log, free);
    log
}

#[test]
fn a_new_log_is_empty() {
    for flash in [SmallPages::blank(4), SmallPages::zeroed(4)] {
        let mut log = mounted(flash);
        assert_eq!((log.first(), log.next(), log.released()), (Seq(1), Seq(1), Seq::NONE));
        assert_eq!((log.waiting(), log.torn()), (0, 0));
        assert_eq!(log.read_from(Seq(0)).unwrap(), None);
        assert_eq!(log.release_through(Seq(0)).unwrap(), Seq(0));
        assert_eq!(log.release_through(Seq(1)), Err(ReleaseError::Beyond { last: Seq(0) }));
    }
}

#[test]
fn p1_a_committed_record_is_there_after_a_restart() {
    let mut log = mounted(SmallPages::blank(4));
    let sealed = append(&mut log, 30);
    let mut log = mounted_twice(log.into_flash());
    assert_eq!(all(&mut log), sealed);
    assert_eq!(log.next(), Seq(31));
    assert_eq!(log.append(&record(Seq(30), 1)), Err(AppendError::OutOfOrder { next: Seq(31) }));
    assert_eq!(log.append(&record(Seq(32), 1)), Err(AppendError::OutOfOrder { next: Seq(31) }));
}

fn wraps<const PAGE: usize>() {
    let mut log = mounted(Flash::<PAGE>::blank(3));
    let mut last = Vec::new();
    for round in 0..300 {
        last = append(&mut log, 13);
        let through = log.next().previous();
        assert_eq!(log.release_through(through).unwrap(), through);
        if round % 50 == 0 {
            log = mounted_twice(log.into_flash());
            assert_eq!(log.released(), through);
            assert_eq!(log.waiting(), 0);
        }
    }
    assert!(all(&mut log).ends_with(&last), "released records can still be read");
    let first = log.first();
    assert_eq!(log.read_from(first.previous()), Err(ReadError::Gone { first }));
    let flash = log.into_flash();
    assert!(flash.erases().iter().all(|n| *n > 15), "the ring did not go round");
    let (least, most) = (flash.erases().iter().min(), flash.erases().iter().max());
    assert!(most.unwrap() - least.unwrap() <= 1, "pages wear unevenly: {:?}", flash.erases());
}

#[test]
fn the_ring_goes_round_many_times() {
    wraps::<1024>();
    wraps::<4096>();
}

/// The one-byte lap wraps too: 300 laps.
#[test]
fn laps_wrap() {
    let mut log = mounted(SmallPages::blank(3));
    for _ in 0..900 {
        append(&mut log, 20);
        log.release_through(log.next().previous()).unwrap();
    }
    let sealed = append(&mut log, 20);
    let mut log = mounted_twice(log.into_flash());
    assert!(all(&mut log).ends_with(&sealed));
    assert!(log.into_flash().erases()[0] > 256);
}

#[test]
fn p2_a_full_log_refuses_and_changes_nothing() {
    for log in [fill::<1024>(3), fill::<1024>(5)] {
        let mut log = log;
        let waiting = log.waiting();
        assert!(waiting >= log.capacity() - 1, "{waiting} of {}", log.capacity());
        let (before, image) = (all(&mut log), log.into_flash());
        let mut log = mounted(image.clone());
        assert_eq!(log.append(&record(log.next(), 3)), Err(AppendError::Full));
        assert_eq!((log.free(), log.waiting()), (0, waiting));
        assert_eq!(all(&mut log), before);
        assert_eq!(log.into_flash().image(), image.image());
    }
}

/// Always full, thousands of releases of one record each: the worst case for the reserve.
fn drips<const PAGE: usize>(pages: usize, rounds: u32) {
    let mut log = fill::<PAGE>(pages);
    for round in 1..=rounds {
        let through = log.released().next();
        assert_eq!(log.release_through(through).unwrap(), through, "round {round}");
        let free = log.free();
        append(&mut log, free);
        assert_eq!(log.append(&record(log.next(), 3)), Err(AppendError::Full));
        assert!(log.waiting() > 0);
    }
    let waiting: Vec<Seq> =
        all(&mut log).iter().map(|r| r.seq()).filter(|s| *s > log.released()).collect();
    assert_eq!(waiting.len() as u32, log.waiting());
    assert_eq!(waiting[0], Seq(rounds + 1));
    assert_eq!(mounted_twice(log.into_flash()).released(), Seq(rounds));
}

#[test]
fn p3_a_full_log_releases_one_by_one_without_end() {
    drips::<1024>(3, 3_000);
    drips::<1024>(6, 1_000);
    drips::<4096>(3, 500);
}

#[test]
fn p3_a_full_log_drains_to_nothing_one_by_one_and_goes_on() {
    let mut log = fill::<1024>(6);
    let last = log.next().previous();
    for through in 1..=last.0 {
        assert_eq!(log.release_through(Seq(through)).unwrap(), Seq(through));
    }
    let mut log = mounted_twice(log.into_flash());
    assert_eq!((log.waiting(), log.released(), log.next()), (0, last, last.next()));
    let sealed = append(&mut log, 21);
    assert_eq!(sealed[0].seq(), last.next());
    assert!(all(&mut mounted_twice(log.into_flash())).ends_with(&sealed));
}

#[test]
fn p3_old_repeated_and_impossible_releases_do_nothing() {
    let mut log = mounted(SmallPages::blank(4));
    append(&mut log, 10);
    assert_eq!(log.release_through(Seq(6)).unwrap(), Seq(6));
    let image = log.into_flash();
    let mut log = mounted(image.clone());
    for old in [0, 1, 5, 6] {
        assert_eq!(log.release_through(Seq(old)).unwrap(), Seq(6));
    }
    for beyond in [11, 12, u32::MAX] {
        assert_eq!(log.release_through(Seq(beyond)), Err(ReleaseError::Beyond { last: Seq(10) }));
    }
    assert_eq!((log.released(), log.waiting()), (Seq(6), 4));
    assert_eq!(log.into_flash().image(), image.image());
}

/// Each restart costs a slot, in the reserve too. When the reserve is used up, a release that frees
/// the oldest page still succeeds, and smaller ones report that they did nothing.
#[test]
fn p3_a_reserve_used_up_by_restarts_does_not_lock_the_log() {
    let mut log = fill::<1024>(4);
    let mut stuck = 0;
    for _ in 0..15 {
        log = mounted_twice(log.into_flash());
        let through = log.released().next();
        if log.release_through(through).unwrap() < through {
            stuck += 1;
        }
    }
    assert!(stuck > 0, "the reserve was never used up: this test tests nothing");
    let image = log.into_flash().image().to_vec();
    for through in 20..=log_next(&image).0 - 1 {
        let mut log = mounted(SmallPages::load(&image));
        let waiting = log.next().0 - 1 - through;
        assert_eq!(log.release_through(Seq(through)).unwrap(), Seq(through));
        assert_eq!(log.waiting(), waiting);
        let log = mounted_twice(log.into_flash());
        assert_eq!((log.released(), log.waiting()), (Seq(through), waiting));
    }
}

fn log_next(image: &[u8]) -> Seq {
    mounted(SmallPages::load(image)).next()
}

#[test]
fn reading_on_costs_one_slot_a_record() {
    let log = fill::<1024>(40);
    let count = log.waiting();
    let mut flash = log.into_flash();
    flash.seed(2);
    let mut log = mounted(flash.clone());
    let mounting = log_reads(&flash);
    assert_eq!(all(&mut log).len() as u32, count);
    let reads = log.into_flash().reads() - flash.reads() - mounting;
    // One slot each; once the way to the first page; blank slots skipped, headers at the end.
    assert!(reads < u64::from(count) + 200, "{reads} reads for {count} records");
}

fn log_reads(flash: &SmallPages) -> u64 {
    mounted(flash.clone()).into_flash().reads() - flash.reads()
}

#[test]
fn any_number_can_be_asked_for() {
    let mut log = fill::<1024>(7);
    log.release_through(Seq(30)).unwrap();
    let records = all(&mut log);
    for from in (1..=log.next().0 + 1).rev() {
        let expected = records.iter().find(|r| r.seq().0 == from);
        assert_eq!(log.read_from(Seq(from)).unwrap().as_ref(), expected);
    }
}

#[test]
fn a_failed_write_uses_the_next_slot_and_the_same_number() {
    for fault in [Fault::Refused, Fault::Torn, Fault::SaidToFail, Fault::SaidToWork] {
        for nth in 1..=2 {
            let mut log = mounted(SmallPages::blank(3));
            let mut sealed = append(&mut log, 3);
            let mut flash = log.into_flash();
            let mut log = mounted(flash.clone());
            let kept_in_a_slot = log.free();
            flash.faults_in(nth, fault);
            let mut failing = mounted(flash);
            let next = record(Seq(4), 9);
            let answer = failing.append(&next);
            match (fault, nth) {
                (Fault::SaidToFail, 2) => assert_eq!(answer, Ok(Seq(4)), "it was committed"),
                (Fault::SaidToWork, _) => assert_eq!(answer, Err(AppendError::NotKept)),
                _ => assert_eq!(answer, Err(AppendError::Flash(FlashError::Faulted))),
            }
            if answer.is_err() {
                assert_eq!((failing.next(), failing.torn()), (Seq(4), 1));
                assert_eq!(failing.free(), kept_in_a_slot - 1);
                assert_eq!(failing.append(&next).unwrap(), Seq(4));
            }
            sealed.push(next);
            assert_eq!(all(&mut failing), sealed);
            assert_eq!(all(&mut mounted_twice(failing.into_flash())), sealed);
            append(&mut log, 1);
        }
    }
}

/// Faults at every call while entering a new page: erase, header, its checksum.
#[test]
fn a_page_that_cannot_be_entered_is_tried_again() {
    for fault in [Fault::Refused, Fault::Torn, Fault::SaidToFail, Fault::SaidToWork] {
        for nth in 1..=3 {
            let mut log = mounted(SmallPages::blank(3));
            let mut sealed = append(&mut log, 19);
            let mut flash = log.into_flash();
            let slots_left = mounted(flash.clone()).free();
            assert_eq!(slots_left, 21, "the head page is full");
            flash.faults_in(nth, fault);
            let mut log = mounted(flash);
            let next = record(Seq(20), 9);
            let answer = log.append(&next);
            match (fault, nth) {
                (Fault::SaidToFail, 2 | 3) => {
                    let said = "a header that is only said to fail is read back, unless cut short";
                    assert_eq!(answer.is_ok(), nth == 3, "{said}");
                }
                _ => assert!(answer.is_err()),
            }
            if answer.is_err() {
                assert_eq!(log.append(&next).unwrap(), Seq(20));
            }
            sealed.push(next);
            assert_eq!(all(&mut log), sealed);
            assert_eq!(all(&mut mounted_twice(log.into_flash())), sealed);
        }
    }
}

/// The flash fails and cannot even be read back: what became of the slot is found out later, before
/// anything else is written.
#[test]
fn a_slot_in_doubt_is_settled_before_the_next_write() {
    for (fault, committed) in [(Fault::SaidToFail, true), (Fault::Torn, false)] {
        let mut log = mounted(SmallPages::blank(3));
        let sealed = append(&mut log, 3);
        let mut flash = mounted(log.into_flash()).into_flash();
        flash.faults_in(2, fault); // the commit word
        flash.deaf_after_fault(2);
        let mut log = mounted(flash);
        let (doubtful, other) = (record(Seq(4), 9), record(Seq(4), 10));
        let failed = Err(AppendError::Flash(FlashError::Faulted));
        assert_eq!(log.append(&doubtful), failed);
        assert_eq!(log.append(&other), failed, "still cannot be read");
        let kept = match committed {
            true => {
                assert_eq!(log.append(&other), Err(AppendError::OutOfOrder { next: Seq(5) }));
                assert_eq!(log.torn(), 0);
                doubtful
            }
            false => {
                assert_eq!(log.append(&other), Ok(Seq(4)));
                assert_eq!(log.torn(), 1);
                other
            }
        };
        let expected = [sealed, vec![kept]].concat();
        assert_eq!(all(&mut log), expected);
        assert_eq!(all(&mut mounted_twice(log.into_flash())), expected);
    }
}

#[test]
fn a_mark_in_doubt_is_settled_before_the_next_write() {
    for (fault, released) in [(Fault::SaidToFail, Seq(2)), (Fault::Torn, Seq(0))] {
        let mut log = mounted(SmallPages::blank(3));
        append(&mut log, 3);
        let mut flash = log.into_flash();
        flash.faults_in(2, fault); // the commit word
        flash.deaf_after_fault(1);
        let mut log = mounted(flash);
        let failed = Err(ReleaseError::Flash(FlashError::Faulted));
        assert_eq!(log.release_through(Seq(2)), failed);
        assert_eq!(log.release_through(Seq(0)), Ok(released));
        assert_eq!(log.release_through(Seq(3)), Ok(Seq(3)));
        assert_eq!(mounted_twice(log.into_flash()).released(), Seq(3));
    }
}

#[test]
fn an_erase_that_only_says_it_worked_is_seen() {
    let mut log = mounted(SmallPages::blank(3));
    for _ in 0..10 {
        append(&mut log, 10);
        log.release_through(log.next().previous()).unwrap();
    }
    let in_head = log.free() - 21;
    append(&mut log, in_head);
    let mut flash = log.into_flash();
    flash.faults_in(1, Fault::SaidToWork);
    let mut log = mounted(flash);
    let next = record(log.next(), 1);
    assert_eq!(log.append(&next), Err(AppendError::NotKept));
    assert_eq!(log.append(&next), Ok(next.seq()));
}

/// Including when the last mark fills the head page and the next record enters a new one.
#[test]
fn an_emptied_log_has_all_its_room_wherever_it_stands() {
    for rounds in 0..50 {
        let mut log = mounted(SmallPages::blank(4));
        for _ in 0..rounds {
            append(&mut log, 1);
            log.release_through(log.next().previous()).unwrap();
            assert!(log.free() >= log.capacity(), "{} free", log.free());
        }
        append(&mut log, 1);
        let free = log.free();
        let mounted = mounted(log.into_flash()).free();
        assert!(free == mounted || free == mounted + 1, "{rounds}: {free} and {mounted}");
    }
}

/// Without a reserve, the oldest page is erased and then the mark fails: that page is released, and
/// no more than that page.
#[test]
fn p3_a_release_without_a_reserve_that_loses_its_mark_releases_the_page() {
    let mut log = fill::<1024>(4);
    for _ in 0..15 {
        log = mounted(log.into_flash());
        log.release_through(log.released().next()).unwrap();
    }
    let before = log.released();
    let mut flash = log.into_flash();
    flash.faults_in(4, Fault::Refused); // erase, header, its checksum, then the mark
    let mut log = mounted(flash);
    let failed = Err(ReleaseError::Flash(FlashError::Faulted));
    assert_eq!(log.release_through(Seq(30)), failed);
    let partly = log.released();
    assert!(before < partly && partly < Seq(30), "{partly:?} released");
    assert_eq!(log.first(), partly.next());
    let flash = log.into_flash();
    assert_eq!(mounted_twice(flash.clone()).released(), partly);
    let mut log = mounted(flash);
    assert_eq!(log.release_through(Seq(30)), Ok(Seq(30)));
}

fn erases<const PAGE: usize>(flash: &Flash<PAGE>) -> u32 {
    flash.erases().iter().sum()
}

/// Erased once, before it is needed; nothing else on flash changes, and it is not done twice.
#[test]
fn the_next_page_is_erased_ahead() {
    for mut log in [mounted(SmallPages::blank(4)), fill(4)] {
        if log.free() == 0 {
            log.release_through(log.next().previous()).unwrap();
        }
        while !log.wants_tending() {
            append(&mut log, 1);
        }
        let numbers = (log.next(), log.released(), log.waiting(), log.free());
        let there: Vec<_> =
            all(&mut log).into_iter().filter(|r| r.seq() > log.released()).collect();
        log.tend();
        assert!(!log.wants_tending());
        assert_eq!((log.next(), log.released(), log.waiting(), log.free()), numbers);
        let mut flash = log.into_flash();
        let before = erases(&flash);
        log = mounted(flash);
        assert!(all(&mut log).ends_with(&there));
        // A restart does not know about it, and erases again.
        assert!(log.wants_tending());
        log.tend();
        let in_head = log.free() % u32::from(SMALL_SLOTS);
        append(&mut log, in_head + 1);
        assert!(!log.wants_tending(), "the new head page has only begun");
        flash = log.into_flash();
        assert_eq!(erases(&flash), before + 1, "one erase for the page, and it came before");
    }
}

#[test]
fn p2_a_page_that_waits_is_never_erased_ahead() {
    let mut log = fill::<1024>(3);
    let sealed = all(&mut log);
    log.tend();
    assert_eq!(all(&mut log), sealed, "the reserve is erased, the rest is there");
    // Marks of single records fill the reserve page: then no page is free.
    let mut through = 0;
    while log.free() == 0 && through + 1 < sealed.len() as u32 {
        through += 1;
        log.release_through(Seq(through)).unwrap();
        let waits = |r: &&hornrule_protocol::Sealed| r.seq() > Seq(through);
        let before: Vec<_> = sealed.iter().filter(waits).cloned().collect();
        log.tend();
        let after: Vec<_> = all(&mut log).into_iter().filter(|r| r.seq() > Seq(through)).collect();
        assert_eq!(after, before, "released through {through}");
    }
    assert!(through > 10, "{through} releases");
    assert_eq!(mounted_twice(log.into_flash()).released(), Seq(through));
}

/// An erase ahead that fails is repeated when someone needs the page, and reported then.
#[test]
fn an_erase_ahead_that_fails_is_tried_again_on_entering() {
    for fault in [Fault::Refused, Fault::SaidToFail, Fault::SaidToWork] {
        let mut log = fill::<1024>(3);
        log.release_through(log.next().previous()).unwrap();
        while !log.wants_tending() {
            append(&mut log, 1);
        }
        let mut flash = log.into_flash();
        flash.faults_in(1, fault);
        log = mounted(flash);
        let begun = log.next();
        log.tend();
        assert!(!log.wants_tending(), "not again and again");
        let sealed = append(&mut log, u32::from(SMALL_SLOTS));
        let mut log = mounted_twice(log.into_flash());
        assert_eq!(sealed.first().map(|r| r.seq()), Some(begun));
        assert!(all(&mut log).ends_with(&sealed));
    }
}

/// What a log knows while running is what a restart finds, except for the slot that a restart
/// costs.
#[test]
fn a_running_log_and_a_mounted_one_agree() {
    let mut log = mounted(SmallPages::blank(4));
    for round in 0..400 {
        append(&mut log, round % 4);
        let through = Seq(log.released().0 + (round * 7) % (log.waiting() + 1));
        log.release_through(through).unwrap();
        if round % 9 == 0 {
            log.release_through(log.next().previous()).unwrap();
            assert!(log.free() >= log.capacity(), "an empty log has all its room");
            let in_head = log.free() - log.capacity();
            append(&mut log, in_head + 1);
        }
        log.tend();
        // A second log mounts the same bytes.
        let running = (log.first(), log.next(), log.released(), log.free());
        let image = log.into_flash();
        let other = mounted(SmallPages::load(image.image()));
        let (first, next, released, free) = running;
        assert_eq!((other.first(), other.next(), other.released()), (first, next, released));
        assert!(free == other.free() || free == other.free() + 1, "{free}, {}", other.free());
        log = mounted(image);
    }
}

#[test]
fn three_pages_are_the_least() {
    for pages in 0..3 {
        let (_, error) = hornrule_core::log::Log::mount(LargePages::blank(pages), crate::LOG)
            .expect_err("fewer than three pages");
        assert_eq!(error, MountError::TooSmall { pages: pages as u32 });
    }
}
