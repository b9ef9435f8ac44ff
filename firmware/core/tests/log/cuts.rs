//! Power cut at every byte of short runs: everything acknowledged is there, at most one record
//! more, nothing twice, and mounting again changes nothing.

use embedded_storage::nor_flash::NorFlash;
use hornrule_core::log::{AppendError, Log, MountError, ReleaseError};
use hornrule_protocol::{LogId, Sealed, Seq};
use hornrule_testkit::flash::{Flash, FlashError, HalfErase, SmallPages};

use crate::{LOG, all, append, mounted, mounted_twice, record};

#[derive(Clone, Copy)]
enum Step {
    Append(u32),
    /// Releases this many.
    Release(u32),
    /// Erases ahead, if that is due.
    Tend,
}

/// What a run was told before the power failed.
#[derive(Default)]
struct Told {
    acknowledged: Vec<Sealed>,
    /// The record under way when power failed.
    under_way: Option<Sealed>,
    released: Seq,
    releasing: Seq,
}

fn run<const PAGE: usize>(log: &mut Log<Flash<PAGE>>, steps: &[Step]) -> Told {
    let mut told = Told {
        acknowledged: all(log),
        released: log.released(),
        releasing: log.released(),
        under_way: None,
    };
    for step in steps {
        match *step {
            Step::Append(count) => {
                for _ in 0..count {
                    let sealed = record(log.next(), log.next().0 as u8);
                    match log.append(&sealed) {
                        Ok(_) => told.acknowledged.push(sealed),
                        Err(AppendError::Flash(FlashError::PowerOff)) => {
                            told.under_way = Some(sealed);
                            return told;
                        }
                        Err(e) => panic!("append {:?}: {e}", sealed.seq()),
                    }
                }
            }
            // If it was cut, the next step says so; nothing depends on it.
            Step::Tend => log.tend(),
            Step::Release(count) => {
                told.releasing = Seq(told.released.0 + count);
                match log.release_through(told.releasing) {
                    Ok(released) => told.released = released,
                    Err(ReleaseError::Flash(FlashError::PowerOff)) => return told,
                    Err(e) => panic!("release {:?}: {e}", told.releasing),
                }
            }
        }
    }
    told
}

/// Whether a release has a slot for its mark, or must first erase the page that it frees.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Reserve {
    There,
    UsedUp,
}

fn check<const PAGE: usize>(flash: Flash<PAGE>, told: &Told, reserve: Reserve) {
    let mut log = mounted_twice(flash);
    let first = log.first();
    assert!(log.released() >= told.released, "a release was forgotten");
    assert!(log.released() <= told.releasing.max(told.released));
    assert!(first <= log.released().next(), "waiting records were overwritten");
    let found = all(&mut log);
    // In the page that a cut erase has half erased, released records may have gone individually.
    // Without a reserve, so may those being released, and no others.
    let limit = if reserve == Reserve::There { log.released() } else { told.releasing };
    let waits = |r: &&Sealed| r.seq() > limit;
    let acknowledged: Vec<&Sealed> = told.acknowledged.iter().filter(waits).collect();
    let waiting: Vec<&Sealed> = found.iter().filter(waits).collect();
    let mut expected = acknowledged;
    if waiting.len() > expected.len() {
        expected.extend(&told.under_way);
    }
    assert_eq!(waiting, expected);
    let known = |r: &Sealed| told.acknowledged.contains(r) || told.under_way.as_ref() == Some(r);
    assert!(found.iter().all(known), "a record that was never appended");
    let last = told.acknowledged.last().map_or(Seq::NONE, Sealed::seq);
    assert!(log.next() > last && log.next() <= Seq(last.0 + 2), "next is {:?}", log.next());
    goes_on(log);
}

/// After the cut, the log takes records again (after a release if it must) and keeps them.
fn goes_on<const PAGE: usize>(mut log: Log<Flash<PAGE>>) {
    if log.free() < 2 {
        let last = log.next().previous();
        assert_eq!(log.release_through(last), Ok(last));
    }
    let sealed = append(&mut log, 2);
    assert!(all(&mut mounted(log.into_flash())).ends_with(&sealed));
}

/// Runs with a cut at every step; each run starts from the flash of `prepared`.
fn cut_everywhere<const PAGE: usize>(
    prepared: &Flash<PAGE>,
    steps: &[Step],
    reserve: Reserve,
) -> u64 {
    let start = mounted(prepared.clone()).into_flash().steps();
    let mut whole = mounted(prepared.clone());
    assert!(run(&mut whole, steps).under_way.is_none(), "nothing dies without a cut");
    let length = whole.into_flash().steps() - start;
    for at in 0..=length {
        let mut flash = prepared.clone();
        flash.seed(at + 1);
        flash.half_erase(HalfErase::ALL[(at % 4) as usize]);
        flash.dies_after(at);
        let mut log = mounted(flash);
        let told = run(&mut log, steps);
        let mut flash = log.into_flash();
        assert_eq!(flash.is_dead(), at < length);
        flash.revive();
        check(flash, &told, reserve);
    }
    length
}

/// Three pages, gone round once, the head page nearly full and two records waiting.
fn nearly_full_page<const PAGE: usize>() -> Flash<PAGE> {
    let mut log = mounted(Flash::<PAGE>::blank(3));
    let slots = log.capacity();
    for _ in 0..4 {
        append(&mut log, slots - 1);
        log.release_through(log.next().previous()).unwrap();
    }
    append(&mut log, slots - 5);
    log.release_through(Seq(log.next().0 - 3)).unwrap();
    log.into_flash()
}

#[test]
fn p1_cut_at_every_byte_while_appending_into_a_new_page() {
    let steps = [Step::Append(3), Step::Release(2), Step::Append(6)];
    assert!(cut_everywhere(&nearly_full_page::<1024>(), &steps, Reserve::There) > 200);
}

#[test]
fn p1_cut_at_every_byte_with_large_pages() {
    let steps = [Step::Append(3), Step::Release(2), Step::Append(3)];
    assert!(cut_everywhere(&nearly_full_page::<4096>(), &steps, Reserve::There) > 100);
}

#[test]
fn p3_cut_at_every_byte_while_a_full_log_releases_one_by_one() {
    let mut log = mounted(SmallPages::blank(3));
    let free = log.free();
    append(&mut log, free);
    for through in 1..=15 {
        log.release_through(Seq(through)).unwrap();
    }
    let steps = [Step::Release(1); 8];
    assert!(cut_everywhere(&log.into_flash(), &steps, Reserve::There) > 80);
}

/// As above, with the page erased before the record that enters it. `Flash` counts its erases: each
/// run must have erased ahead, or this would show nothing.
#[test]
fn p1_p2_cut_at_every_byte_while_erasing_ahead() {
    fn tended<const PAGE: usize>() {
        let prepared = nearly_full_page::<PAGE>();
        assert!(mounted(prepared.clone()).wants_tending());
        let steps = [Step::Tend, Step::Append(3), Step::Tend, Step::Release(2), Step::Append(3)];
        assert!(cut_everywhere(&prepared, &steps, Reserve::There) > 100);
        // Entering the page takes no second erase.
        let erases = |flash: &Flash<PAGE>| flash.erases().iter().sum::<u32>();
        let mut log = mounted(prepared.clone());
        assert!(run(&mut log, &steps).under_way.is_none());
        assert_eq!(erases(&log.into_flash()), erases(&prepared) + 1);
    }
    tended::<1024>();
    tended::<4096>();
}

/// The reserve page is erased ahead of the marks that enter it.
#[test]
fn p2_p3_cut_at_every_byte_while_a_full_log_erases_its_reserve() {
    let mut log = mounted(SmallPages::blank(3));
    let free = log.free();
    append(&mut log, free);
    assert!(log.wants_tending() && log.waiting() > 0);
    let steps = [Step::Tend, Step::Release(1), Step::Release(1), Step::Tend, Step::Release(20)];
    assert!(cut_everywhere(&log.into_flash(), &steps, Reserve::There) > 40);
}

/// The reserve is used up, and the release erases the page that it frees.
#[test]
fn p3_cut_at_every_byte_of_a_release_without_a_reserve() {
    let mut log = mounted(SmallPages::blank(4));
    let free = log.free();
    append(&mut log, free);
    for _ in 0..15 {
        log = mounted(log.into_flash());
        log.release_through(log.released().next()).unwrap();
    }
    assert_eq!(log.release_through(log.released().next()).unwrap(), log.released());
    let steps = [Step::Release(25), Step::Release(2)];
    assert!(cut_everywhere(&log.into_flash(), &steps, Reserve::UsedUp) > 20);
}

/// Cuts without end: each run gets a little further, on the same flash.
#[test]
fn cuts_one_after_the_other_on_the_same_flash() {
    let mut flash = mounted(SmallPages::blank(4)).into_flash();
    let mut known: Vec<Sealed> = Vec::new();
    for round in 0..400 {
        flash.seed(round + 3);
        flash.half_erase(HalfErase::ALL[(round % 4) as usize]);
        flash.dies_after(round % 97);
        let mut log = mounted(flash);
        let release = log.waiting() / 2;
        let told = run(&mut log, &[Step::Release(release), Step::Tend, Step::Append(2)]);
        flash = log.into_flash();
        flash.revive();
        let mut log = mounted_twice(flash);
        let found = all(&mut log);
        assert!(
            told.acknowledged
                .iter()
                .filter(|r| r.seq() > log.released())
                .all(|r| found.contains(r))
        );
        for sealed in found {
            match known.iter().find(|k| k.seq() == sealed.seq()) {
                Some(same) => assert_eq!(*same, sealed, "a number was given again"),
                None => known.push(sealed),
            }
        }
        flash = log.into_flash();
    }
    assert!(known.len() > 200, "{} records in all", known.len());
}

fn flash_of<F: NorFlash, E>(result: Result<Log<F>, (F, E)>) -> F {
    match result {
        Ok(log) => log.into_flash(),
        Err((flash, _)) => flash,
    }
}

/// More steps than formatting four pages takes: four erases, a header, a mark.
const FORMAT_STEPS: u64 = 4 * 8 + 16 + 12;

/// Which log mounts after a cut during a format: the old one with its numbers, or the new one.
#[test]
fn cut_at_every_step_of_a_format_over_a_log() {
    for used in [0, 5, 45, 60] {
        let mut log = mounted(SmallPages::blank(4));
        append(&mut log, used / 2);
        log.release_through(log.next().previous()).unwrap();
        append(&mut log, used / 2);
        let next = log.next();
        let old = log.into_flash();
        let (mut olds, mut news) = (0, 0);
        for (at, half_erase) in (0..=FORMAT_STEPS).flat_map(|at| HalfErase::ALL.map(|h| (at, h))) {
            let mut flash = old.clone();
            flash.seed(at + 1);
            flash.half_erase(half_erase);
            flash.dies_after(at);
            let mut flash = flash_of(Log::format(flash, LogId(9)));
            flash.revive();
            let mut log = mounted_twice(flash);
            match log.id() {
                LOG => {
                    assert_eq!(log.next(), next, "the old log lost its place");
                    olds += 1;
                }
                id => {
                    assert_eq!((id, log.next(), log.waiting()), (LogId(9), Seq(1), 0));
                    assert!(all(&mut log).is_empty(), "records of the old log in the new one");
                    news += 1;
                }
            }
            goes_on(log);
        }
        assert!(olds > 50 && news > 50, "{olds} cuts before and {news} after the change");
    }
}

/// The first format, by mounting; each mount after a cut is cut as well.
#[test]
fn cut_at_every_step_of_a_first_mount_and_of_the_next() {
    let mut not_ours = 0;
    for (first, second) in (0..=FORMAT_STEPS).flat_map(|a| [0, 7, 29].map(|b| (a, b))) {
        for (zero, half_erase) in HalfErase::ALL.into_iter().flat_map(|h| [(0, h), (1, h)]) {
            let mut flash = [SmallPages::blank(4), SmallPages::zeroed(4)][zero].clone();
            flash.seed(first * 64 + second + 1);
            flash.half_erase(half_erase);
            for at in [first, second] {
                flash.dies_after(at);
                flash = flash_of(Log::mount(flash, LOG));
                flash.revive();
            }
            match Log::mount(flash, LOG) {
                Ok(log) => {
                    let log = mounted_twice(log.into_flash());
                    assert_eq!((log.id(), log.next(), log.torn() <= 2), (LOG, Seq(1), true));
                    goes_on(log);
                }
                Err((flash, error)) => {
                    // The one case mentioned in FLASH.md.
                    assert_eq!((error, zero), (MountError::NotOurs, 0));
                    assert_eq!(half_erase, HalfErase::FromZero);
                    assert_eq!(Log::format(flash, LOG).unwrap().next(), Seq(1));
                    not_ours += 1;
                }
            }
        }
    }
    assert!(not_ours < 60, "{not_ours} first mounts of 1,464 refused");
}
