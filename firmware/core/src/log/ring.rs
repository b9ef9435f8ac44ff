//! Pages in a ring: positions, and reading and writing one header or slot.
//!
//! ```text
//!        lap L                 lap L-1
//! | 0 | 1 | .. | head | head+1 (oldest) | .. | n-1 |
//! ```

use embedded_storage::nor_flash::NorFlash;
use hornrule_protocol::{LogId, Seq};

use super::error::WriteError;
use super::layout::{
    COMMIT, Content, HEADER, HEADER_CHECK, Header, HeaderView, Place, SLOT, Slot, decode_slot,
    encode_slot, view_header,
};

/// One log's pages on flash and the position of its head.
#[derive(Debug)]
pub(super) struct Ring<F> {
    pub(super) flash: F,
    pub(super) id: LogId,
    pub(super) head: u32,
    pub(super) lap: u8,
}

/// How writing a slot ended.
pub(super) enum Written<E> {
    /// Committed, and read back.
    Kept,
    /// Not committed; the slot must not be used again.
    Spent(WriteError<E>),
    /// Cannot be read back: it may or may not be committed.
    Doubt(E),
}

/// How many whole pages the flash has.
pub(super) fn pages<F: NorFlash>(flash: &F) -> u32 {
    (flash.capacity() / F::ERASE_SIZE) as u32 // offsets are u32 in the trait
}

fn offset<F: NorFlash>(page: u32, within: usize) -> u32 {
    page * F::ERASE_SIZE as u32 + within as u32 // within the capacity, which fits u32
}

pub(super) fn read_header<F: NorFlash>(flash: &mut F, page: u32) -> Result<[u8; HEADER], F::Error> {
    let mut bytes = [0; HEADER];
    flash.read(offset::<F>(page, 0), &mut bytes)?;
    Ok(bytes)
}

/// Whether `holds` is true for every 16 bytes of the page, starting at `from`.
pub(super) fn all_of_page<F: NorFlash>(
    flash: &mut F,
    page: u32,
    from: usize,
    holds: impl Fn(&[u8]) -> bool,
) -> Result<bool, F::Error> {
    let mut bytes = [0; HEADER];
    for at in (from..F::ERASE_SIZE).step_by(HEADER) {
        flash.read(offset::<F>(page, at), &mut bytes)?;
        if !holds(&bytes) {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Erases a page and checks that it reads blank.
pub(super) fn erase<F: NorFlash>(flash: &mut F, page: u32) -> Result<(), WriteError<F::Error>> {
    let erased = flash.erase(offset::<F>(page, 0), offset::<F>(page + 1, 0));
    erased.map_err(WriteError::Flash)?;
    let blank = all_of_page(flash, page, 0, |b| b.iter().all(|b| *b == 0xFF));
    if blank.map_err(WriteError::Flash)? { Ok(()) } else { Err(WriteError::NotKept) }
}

impl<F: NorFlash> Ring<F> {
    /// Slots per page. The requirements on the flash are checked here, at compile time.
    pub(super) const SLOTS: u16 = {
        assert!(F::ERASE_SIZE >= HEADER + SLOT, "a page holds a header and a slot");
        assert!(F::ERASE_SIZE.is_multiple_of(HEADER), "pages are read in pieces of 16 bytes");
        assert!(4_usize.is_multiple_of(F::WRITE_SIZE), "words are programmed one by one");
        assert!(HEADER.is_multiple_of(F::READ_SIZE), "reads are aligned to 16");
        let slots = (F::ERASE_SIZE - HEADER) / SLOT;
        assert!(slots <= u16::MAX as usize, "slot numbers fit 16 bits");
        slots as u16
    };

    pub(super) fn pages(&self) -> u32 {
        pages(&self.flash)
    }

    pub(super) fn after(&self, page: u32) -> u32 {
        if page + 1 == self.pages() { 0 } else { page + 1 }
    }

    pub(super) fn before(&self, page: u32) -> u32 {
        if page == 0 { self.pages() - 1 } else { page - 1 }
    }

    /// The page after the head, and the lap it would be entered in.
    pub(super) fn beyond_head(&self) -> (u32, u8) {
        match self.after(self.head) {
            0 => (0, self.lap.wrapping_add(1)),
            page => (page, self.lap),
        }
    }

    /// The lap that a page of this log has, if it is one.
    fn lap_of(&self, page: u32) -> u8 {
        if page <= self.head { self.lap } else { self.lap.wrapping_sub(1) }
    }

    /// The page's header, if it is intact and belongs in this position.
    pub(super) fn header(&mut self, page: u32) -> Result<Option<Header>, F::Error> {
        let view = view_header(&read_header(&mut self.flash, page)?);
        Ok(self.of_this_log(page, &view))
    }

    fn of_this_log(&self, page: u32, view: &HeaderView) -> Option<Header> {
        match view {
            HeaderView::Ours(h) if h.log == self.id && h.lap == self.lap_of(page) => Some(*h),
            _ => None,
        }
    }

    /// The slot, read as one of this log at its position in the ring.
    pub(super) fn slot(&mut self, page: u32, slot: u16) -> Result<Slot, F::Error> {
        self.slot_of_lap(page, self.lap_of(page), slot)
    }

    pub(super) fn slot_of_lap(&mut self, page: u32, lap: u8, slot: u16) -> Result<Slot, F::Error> {
        let mut bytes = [0; SLOT];
        self.flash.read(Self::slot_offset(page, slot), &mut bytes)?;
        Ok(decode_slot(Place { log: self.id, lap, page, slot }, &bytes))
    }

    fn slot_offset(page: u32, slot: u16) -> u32 {
        offset::<F>(page, HEADER + SLOT * usize::from(slot))
    }

    /// A page's first number: from its header or, if that is damaged, from the first record that
    /// proves itself. `None` for a page that holds nothing of this log.
    pub(super) fn start(&mut self, page: u32) -> Result<Option<Seq>, F::Error> {
        // Read once: while a log is in its first lap, entering a page asks this of every page after.
        let view = view_header(&read_header(&mut self.flash, page)?);
        if let Some(header) = self.of_this_log(page, &view) {
            return Ok(Some(header.first));
        }
        if view == HeaderView::Blank {
            return Ok(None);
        }
        for slot in 0..Self::SLOTS {
            if let Slot::Record(sealed) = self.slot(page, slot)? {
                return Ok(Some(sealed.seq()));
            }
        }
        Ok(None)
    }

    /// The first page after `page`, up to the head, that has a start, with that start.
    pub(super) fn start_after(&mut self, page: u32) -> Result<Option<(u32, Seq)>, F::Error> {
        let mut at = page;
        loop {
            at = self.after(at);
            if let Some(first) = self.start(at)? {
                return Ok(Some((at, first)));
            }
            if at == self.head {
                return Ok(None);
            }
        }
    }

    /// The page that holds record `seq`, if it is `from` or a later page. Reads headers one by one:
    /// reading 190 of them is faster than programming one slot, and unlike in a binary search a
    /// damaged one does not mislead.
    pub(super) fn page_of(&mut self, from: u32, seq: Seq) -> Result<u32, F::Error> {
        let mut best = from;
        let mut at = from;
        while at != self.head {
            at = self.after(at);
            match self.start(at)? {
                Some(first) if first > seq => break,
                Some(_) => best = at,
                None => {}
            }
        }
        Ok(best)
    }

    /// Makes an erased page the head.
    pub(super) fn enter(
        &mut self,
        page: u32,
        lap: u8,
        first: Seq,
    ) -> Result<(), WriteError<F::Error>> {
        let bytes = Header { log: self.id, lap, first }.to_bytes();
        let (body, check) = bytes.split_at(HEADER_CHECK);
        let written = self
            .flash
            .write(offset::<F>(page, 0), body)
            .and_then(|()| self.flash.write(offset::<F>(page, HEADER_CHECK), check));
        let found = read_header(&mut self.flash, page).map_err(WriteError::Flash)?;
        if found != bytes {
            written.map_err(WriteError::Flash)?;
            return Err(WriteError::NotKept);
        }
        (self.head, self.lap) = (page, lap);
        Ok(())
    }

    /// Writes a slot of the head page: all but the commit word, then the commit word.
    pub(super) fn write(&mut self, slot: u16, content: Content<'_>) -> Written<F::Error> {
        let place = Place { log: self.id, lap: self.lap, page: self.head, slot };
        let (bytes, used) = encode_slot(place, content);
        let at = Self::slot_offset(self.head, slot);
        let written = self
            .flash
            .write(at, &bytes[..used])
            .and_then(|()| self.flash.write(at + COMMIT as u32, &bytes[COMMIT..]));
        match (self.slot(self.head, slot), written) {
            (Ok(found), _) if found.is(content) => Written::Kept,
            (Ok(_), Ok(())) => Written::Spent(WriteError::NotKept),
            (Ok(_), Err(e)) => Written::Spent(WriteError::Flash(e)),
            (Err(e), _) => Written::Doubt(e),
        }
    }
}
