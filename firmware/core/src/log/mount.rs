//! From bytes to a log, or to the reason why not: the numbered steps and tables of `FLASH.md`.
//!
//! ```text
//! headers --survey--> Fresh ------------begin, finish--+
//!                     One log, unfinished ------finish--+--> Ring --open--> State
//!                     One log --------------------------+
//!                     Two logs, one unfinished --finish-+
//!                     or MountError
//! ```

use embedded_storage::nor_flash::NorFlash;
use hornrule_protocol::{LogId, Seq};

use super::error::{MountError, WriteError};
use super::layout::{
    Content, HEADER, Header, HeaderView, Slot, Was, begins_first_header, is_uniform, view_header,
};
use super::ring::{Ring, Written, all_of_page, erase, pages, read_header};

const LEAST_PAGES: u32 = 3;

/// The newest intact header of one log, and how many intact headers it has.
#[derive(Clone, Copy)]
struct Found {
    newest: Header,
    page: u32,
    headers: u32,
}

enum Survey {
    Fresh,
    One(Found),
    Two(Found, Found),
}

/// A log found on flash or made there. If its format is unfinished: the slot for its mark.
struct Standing<'a, F> {
    ring: Ring<&'a mut F>,
    unfinished: Option<u16>,
}

/// What mounting learns about a log in addition to its ring.
pub(super) struct State {
    pub(super) first: Seq,
    pub(super) next: Seq,
    pub(super) released: Seq,
    pub(super) hold: u32,
    pub(super) slot: u16,
    pub(super) torn: u32,
}

/// Steps 1 to 6: the log's id, head and lap, with a format started or finished where the tables say
/// so.
pub(super) fn find<F: NorFlash>(
    flash: &mut F,
    fresh: LogId,
) -> Result<(LogId, u32, u8), MountError<F::Error>> {
    let standing = match survey(flash)? {
        Survey::Fresh => begin(flash, 0, fresh)?,
        Survey::One(found) => stand(flash, found).map_err(MountError::Flash)?,
        Survey::Two(a, b) => unfinished_of(flash, a, b)?,
    };
    let ring = finish(standing)?;
    Ok((ring.id, ring.head, ring.lap))
}

/// Replaces whatever is there with a new log.
pub(super) fn replace<F: NorFlash>(
    flash: &mut F,
    log: LogId,
) -> Result<(LogId, u32, u8), MountError<F::Error>> {
    let page = match find_old(flash) {
        Ok(None) => 0,
        Ok(Some((old, _, FormatWas::Cut))) if old.id == log => return Ok((log, old.head, old.lap)),
        Ok(Some((old, ..))) if old.id == log => return Err(MountError::SameLog),
        Ok(Some((_, page, _))) => page,
        Err(MountError::NotOurs | MountError::Torn | MountError::Newer { .. }) => 0,
        Err(error) => return Err(error),
    };
    let ring = finish(begin(flash, page, log)?)?;
    Ok((ring.id, ring.head, ring.lap))
}

enum FormatWas {
    Cut,
    Done,
}

type Old<'a, F> = (Ring<&'a mut F>, u32, FormatWas);

/// The log that a format replaces, the page it would enter next, and whether its own format had
/// to be finished first.
fn find_old<F: NorFlash>(flash: &mut F) -> Result<Option<Old<'_, F>>, MountError<F::Error>> {
    let standing = match survey(flash)? {
        Survey::Fresh => return Ok(None),
        Survey::One(found) => stand(flash, found).map_err(MountError::Flash)?,
        Survey::Two(a, b) => unfinished_of(flash, a, b)?,
    };
    let format = match standing.unfinished {
        Some(_) => FormatWas::Cut,
        None => FormatWas::Done,
    };
    let ring = finish(standing)?;
    let (page, _) = ring.beyond_head();
    Ok(Some((ring, page, format)))
}

/// Steps 1 to 4.
fn survey<F: NorFlash>(flash: &mut F) -> Result<Survey, MountError<F::Error>> {
    let pages = pages(flash);
    if pages < LEAST_PAGES {
        return Err(MountError::TooSmall { pages });
    }
    let (mut one, mut two): (Option<Found>, Option<Found>) = (None, None);
    let (mut torn, mut mixed) = (false, false);
    let mut newer = None;
    for page in 0..pages {
        match view_header(&read_header(flash, page).map_err(MountError::Flash)?) {
            HeaderView::Newer(version) => newer = newer.max(Some(version)),
            HeaderView::Torn => torn = true,
            HeaderView::Blank | HeaderView::Foreign => {}
            HeaderView::Ours(header) => {
                let mine = |f: &Option<Found>| f.is_none_or(|f| f.newest.log == header.log);
                match (mine(&one), mine(&two)) {
                    (true, _) => one = Some(count(one, header, page, pages)),
                    (false, true) => two = Some(count(two, header, page, pages)),
                    (false, false) => mixed = true,
                }
            }
        }
    }
    match (newer, mixed, one, two) {
        (Some(version), ..) => Err(MountError::Newer { version }),
        (None, true, ..) => Err(MountError::Torn),
        (None, false, Some(one), Some(two)) => Ok(Survey::Two(one, two)),
        (None, false, Some(one), None) => Ok(Survey::One(one)),
        (None, false, None, _) if is_fresh(flash, pages).map_err(MountError::Flash)? => {
            Ok(Survey::Fresh)
        }
        (None, false, None, _) => Err(if torn { MountError::Torn } else { MountError::NotOurs }),
    }
}

/// Counts a header and keeps the newest. Laps count modulo 256, and two pages of one log are never
/// more than a lap apart.
fn count(found: Option<Found>, header: Header, page: u32, pages: u32) -> Found {
    let Some(found) = found else { return Found { newest: header, page, headers: 1 } };
    let laps = header.lap.wrapping_sub(found.newest.lap).cast_signed();
    let ahead = i64::from(laps) * i64::from(pages) + i64::from(page) - i64::from(found.page);
    let headers = found.headers + 1;
    if ahead > 0 { Found { newest: header, page, headers } } else { Found { headers, ..found } }
}

/// The first table: whether a region without an intact header of ours may be formatted.
fn is_fresh<F: NorFlash>(flash: &mut F, pages: u32) -> Result<bool, F::Error> {
    let zero = |b: &[u8]| b.iter().all(|b| *b == 0);
    let blank = |b: &[u8]| b.iter().all(|b| *b == 0xFF);
    let mut others_zero = true;
    for page in 1..pages {
        let is_zero = all_of_page(flash, page, 0, zero)?;
        others_zero &= is_zero;
        if !is_zero && !all_of_page(flash, page, 0, blank)? {
            return Ok(false);
        }
    }
    if others_zero {
        return Ok(true);
    }
    let header = read_header(flash, 0)?;
    let begun = is_uniform(&header) || begins_first_header(&header);
    Ok(begun && all_of_page(flash, 0, HEADER, blank)? || all_of_page(flash, 0, 0, zero)?)
}

/// Steps 5 and 6.
fn stand<F: NorFlash>(flash: &mut F, found: Found) -> Result<Standing<'_, F>, F::Error> {
    let Header { log: id, lap, first } = found.newest;
    let mut ring = Ring { flash, id, head: found.page, lap };
    while let Some((page, lap)) = damaged_head(&mut ring)? {
        (ring.head, ring.lap) = (page, lap);
    }
    let untouched = found.headers == 1 && lap == 0 && first == Seq::FIRST;
    let alone = untouched && ring.head == found.page;
    let unfinished = match alone && !any_committed(&mut ring, found.page, lap)? {
        true => Some(write_place(&mut ring)?),
        false => None,
    };
    Ok(Standing { ring, unfinished })
}

/// The page after the head, if it belongs to the log and only its header is damaged.
fn damaged_head<F: NorFlash>(ring: &mut Ring<&mut F>) -> Result<Option<(u32, u8)>, F::Error> {
    let (page, lap) = ring.beyond_head();
    match view_header(&read_header(&mut ring.flash, page)?) {
        HeaderView::Ours(header) if header.log == ring.id => Ok(None),
        HeaderView::Blank => Ok(None),
        HeaderView::Ours(_) | HeaderView::Newer(_) | HeaderView::Torn | HeaderView::Foreign => {
            Ok(any_committed(ring, page, lap)?.then_some((page, lap)))
        }
    }
}

fn any_committed<F: NorFlash>(
    ring: &mut Ring<&mut F>,
    page: u32,
    lap: u8,
) -> Result<bool, F::Error> {
    for slot in 0..Ring::<&mut F>::SLOTS {
        match ring.slot_of_lap(page, lap, slot)? {
            Slot::Record(_) | Slot::Mark(_) => return Ok(true),
            Slot::Blank | Slot::Torn(_) => {}
        }
    }
    Ok(false)
}

/// Of two logs, the one whose format was interrupted.
fn unfinished_of<F: NorFlash>(
    flash: &mut F,
    a: Found,
    b: Found,
) -> Result<Standing<'_, F>, MountError<F::Error>> {
    let a_unfinished = stand(flash, a).map_err(MountError::Flash)?.unfinished.is_some();
    let b_unfinished = stand(flash, b).map_err(MountError::Flash)?.unfinished.is_some();
    match (a_unfinished, b_unfinished) {
        (true, false) => stand(flash, a).map_err(MountError::Flash),
        (false, true) => stand(flash, b).map_err(MountError::Flash),
        (true, true) | (false, false) => Err(MountError::Torn),
    }
}

/// The first steps of a format: from here on the new log is the one that mounts.
fn begin<F: NorFlash>(
    flash: &mut F,
    page: u32,
    id: LogId,
) -> Result<Standing<'_, F>, MountError<F::Error>> {
    let mut ring = Ring { flash, id, head: page, lap: 0 };
    erase(&mut ring.flash, page)?;
    ring.enter(page, 0, Seq::FIRST)?;
    Ok(Standing { ring, unfinished: Some(0) })
}

/// The last steps of a format, if still needed.
fn finish<F: NorFlash>(standing: Standing<'_, F>) -> Result<Ring<&'_ mut F>, MountError<F::Error>> {
    let Standing { mut ring, unfinished } = standing;
    let Some(mut slot) = unfinished else { return Ok(ring) };
    for page in (0..ring.pages()).filter(|page| *page != ring.head) {
        erase(&mut ring.flash, page)?;
    }
    if slot >= Ring::<&mut F>::SLOTS {
        let (page, lap) = ring.beyond_head();
        erase(&mut ring.flash, page)?;
        ring.enter(page, lap, Seq::FIRST)?;
        slot = 0;
    }
    match ring.write(slot, Content::Mark(Seq::NONE)) {
        Written::Kept => Ok(ring),
        Written::Spent(error) => Err(error.into()),
        Written::Doubt(error) => Err(WriteError::Flash(error).into()),
    }
}

/// Step 7.
fn write_place<F: NorFlash>(ring: &mut Ring<&mut F>) -> Result<u16, F::Error> {
    let slots = Ring::<&mut F>::SLOTS;
    if ring.header(ring.head)?.is_none() {
        return Ok(slots);
    }
    let mut used = 0;
    for slot in 0..slots {
        if ring.slot(ring.head, slot)? != Slot::Blank {
            used = slot + 1;
        }
    }
    Ok(slots.min(used + 1))
}

/// Steps 7 to 10.
pub(super) fn open<F: NorFlash>(ring: &mut Ring<&mut F>) -> Result<State, F::Error> {
    let slot = write_place(ring)?;
    let oldest = ring.start_after(ring.head)?;
    let gone = oldest.map_or(Seq::NONE, |(_, first)| first.previous());
    let released = last_mark(ring)?.max(gone);
    let next = next_number(ring)?.max(released.next());
    let from = oldest.map_or(ring.head, |(page, _)| page);
    let hold = ring.page_of(from, released.next())?;
    let mut torn = 0;
    let mut page = hold;
    loop {
        for slot in 0..Ring::<&mut F>::SLOTS {
            torn += u32::from(matches!(ring.slot(page, slot)?, Slot::Torn(_)));
        }
        if page == ring.head {
            break;
        }
        page = ring.after(page);
    }
    let first = oldest.map_or(next, |(_, first)| first);
    Ok(State { first, next, released, hold, slot, torn })
}

/// Step 8.
fn last_mark<F: NorFlash>(ring: &mut Ring<&mut F>) -> Result<Seq, F::Error> {
    let mut page = ring.head;
    loop {
        for slot in (0..Ring::<&mut F>::SLOTS).rev() {
            if let Slot::Mark(through) = ring.slot(page, slot)? {
                return Ok(through);
            }
        }
        page = ring.before(page);
        if page == ring.head {
            return Ok(Seq::NONE);
        }
    }
}

/// Step 9.
fn next_number<F: NorFlash>(ring: &mut Ring<&mut F>) -> Result<Seq, F::Error> {
    let mut perhaps = 0;
    let after = |seq: u32, perhaps: u32| Seq(seq.saturating_add(perhaps));
    let mut page = ring.head;
    loop {
        for slot in (0..Ring::<&mut F>::SLOTS).rev() {
            match ring.slot(page, slot)? {
                Slot::Record(sealed) => return Ok(after(sealed.seq().next().0, perhaps)),
                Slot::Torn(Was::PerhapsRecord) => perhaps += 1,
                Slot::Torn(Was::NoRecord) | Slot::Mark(_) | Slot::Blank => {}
            }
        }
        if let Some(header) = ring.header(page)? {
            return Ok(after(header.first.0, perhaps));
        }
        page = ring.before(page);
        if page == ring.head {
            return Ok(after(Seq::FIRST.0, perhaps));
        }
    }
}
