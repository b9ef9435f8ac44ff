//! Plays a story into a virtual handheld: fingers, jaws, plugs.

use embedded_storage::nor_flash::NorFlash;
use hornrule_core::cue::Cue;
use hornrule_core::keypad::Key;
use hornrule_core::time::Micros;
use hornrule_players::bits::{Script, Shape, digits};
use hornrule_players::contacts::Contacts;
use hornrule_players::seeded::Seeded;
use hornrule_protocol::frame::{self, RequestId};
use hornrule_protocol::limits::{MAX_REQUEST_ON_WIRE, MAX_RESPONSE_ON_WIRE};
use hornrule_protocol::message::{Request, Response};
use hornrule_protocol::part::MAX_PART;
use hornrule_protocol::record::{CalliperKind, UnitMode};
use hornrule_protocol::seal::CRC;
use hornrule_protocol::{Deframer, Nanometres, Part};

use crate::handheld::Handheld;
use crate::story::{Event, Line};

/// How long a gloved finger stays on a key, and the time between keys, microseconds.
const KEY_DOWN_US: u64 = 110_000;
const KEY_NEXT_US: u64 = 230_000;
/// Longest contact bounce, microseconds: the worst usual switch (figure from memory).
const BOUNCE_US: u64 = 6_000;
/// Interval between packets of a 24-bit calliper, microseconds (measured by builders: 110 to 210
/// ms).
pub(crate) const SYNC24_PERIOD_US: u64 = 126_000;
/// From the request to the first bit of a 52-bit calliper, microseconds.
pub(crate) const BCD52_ANSWER_US: u64 = 20_000;
/// Jitter per edge, microseconds.
pub(crate) const JITTER_US: u64 = 12;
/// A clip is over after this, microseconds: the handheld gives up earlier.
const CLIP_US: u64 = 5_000_000;

/// How one event of a story went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Played {
    /// Done.
    Done,
    /// The cable is in: the caller serves it, then continues.
    PluggedIn,
}

/// Why a story cannot go on.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("story line {line}: {why}")]
pub struct PlayError {
    /// Line, from 1.
    pub line: usize,
    /// Why.
    pub why: String,
}

/// The person, the calliper and the plugs.
#[derive(Clone, Debug)]
pub struct Player {
    chance: Seeded,
    calliper: Option<CalliperKind>,
    loose: bool,
}

impl Player {
    /// A person with steady habits: the same seed bounces the same way.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self { chance: Seeded::new(seed), calliper: Some(CalliperKind::Sync24), loose: false }
    }

    /// Plays one line.
    ///
    /// # Errors
    /// [`PlayError`]: an expectation that does not hold, a time that goes back, a flash that the
    /// handheld cannot use.
    pub fn play<F: NorFlash>(
        &mut self,
        handheld: &mut Handheld<F>,
        line: &Line,
    ) -> Result<Played, PlayError> {
        let wrong = |why: String| PlayError { line: line.number, why };
        match &line.event {
            Event::At(ms) => {
                let to = u64::try_from(*ms).map_err(|_| wrong("that is before 1970".to_owned()))?;
                if to < handheld.now_ms() {
                    return Err(wrong("time cannot go back".to_owned()));
                }
                handheld.run_until(to * 1000);
            }
            Event::Wait(ms) => handheld.run_until(handheld.now_us() + ms * 1000),
            Event::PowerOn => handheld
                .power_on()
                .map_err(|error| wrong(format!("the handheld cannot use its flash: {error}")))?,
            Event::PowerOff => handheld.power_off(),
            Event::Keys(keys) => {
                for key in keys {
                    self.press(handheld, *key, KEY_DOWN_US);
                }
            }
            Event::Hold(key, ms) => self.press(handheld, *key, ms * 1000),
            Event::Clip(length, unit) => self.clip(handheld, *length, *unit).map_err(wrong)?,
            Event::Calliper(kind) => self.calliper = *kind,
            Event::PlugLoose(loose) => self.loose = *loose,
            Event::Battery(mv) => handheld.battery(*mv),
            Event::OfficeClock => office_clock(handheld),
            Event::Tag(line) => {
                handheld.tag(format!("\u{2}{line}\r\n").as_bytes());
                handheld.run_until(handheld.now_us() + KEY_NEXT_US);
            }
            Event::OfficePlan(plan) => office_plan(handheld, plan).map_err(wrong)?,
            Event::PlugIn => return Ok(Played::PluggedIn),
            Event::Expect(cue) => expect(handheld, *cue).map_err(wrong)?,
        }
        Ok(Played::Done)
    }

    fn press<F: NorFlash>(&mut self, handheld: &mut Handheld<F>, key: Key, down_us: u64) {
        let start = handheld.now_us();
        let mut contacts = Contacts::new();
        let bounce = self.chance.below(BOUNCE_US + 1);
        let up = Micros(down_us);
        contacts.press(key.position(), Micros(0), up, bounce, &mut self.chance);
        for at in contacts.changes() {
            handheld.run_until(start + at.0);
            handheld.contacts(contacts.mask_at(at));
        }
        handheld.run_until(start + down_us + KEY_NEXT_US - KEY_DOWN_US);
    }

    fn clip<F: NorFlash>(
        &mut self,
        handheld: &mut Handheld<F>,
        length: Nanometres,
        unit: UnitMode,
    ) -> Result<(), String> {
        let start = handheld.now_us();
        let answered = handheld.heard().len();
        match self.calliper {
            None => handheld.pedal(),
            Some(CalliperKind::Words48 | CalliperKind::Nibbles28) => {
                return Err("its clock is too quick for this handheld".to_owned());
            }
            Some(CalliperKind::Sync24) => {
                let word = sync24_word(length, unit)?;
                // The calliper has been sending since it was opened; the pedal comes between two
                // packets.
                self.packet(handheld, |at| Script::sync24(word, Shape::SYNC24_SLOW, at));
                handheld.pedal();
                while handheld.heard().len() == answered && handheld.now_us() < start + CLIP_US {
                    handheld.run_until(handheld.now_us() + SYNC24_PERIOD_US);
                    self.packet(handheld, |at| Script::sync24(word, Shape::SYNC24_SLOW, at));
                }
            }
            Some(CalliperKind::Bcd52) => {
                let digits = bcd52_digits(length, unit)?;
                handheld.pedal();
                while handheld.heard().len() == answered && handheld.now_us() < start + CLIP_US {
                    handheld.run_until(handheld.now_us() + BCD52_ANSWER_US);
                    if handheld.requests() {
                        self.packet(handheld, |at| Script::bcd52(digits, Shape::BCD52, at));
                    }
                }
            }
        }
        // The clip is over once it is answered, or once the handheld gives up.
        while handheld.heard().len() == answered && handheld.now_us() < start + CLIP_US {
            handheld.run_until(handheld.now_us() + SYNC24_PERIOD_US);
        }
        handheld.run_until(handheld.now_us() + KEY_NEXT_US);
        Ok(())
    }

    /// Sends one packet; a loose plug loses about one edge in twelve.
    fn packet<F: NorFlash>(&mut self, handheld: &mut Handheld<F>, draw: impl Fn(Micros) -> Script) {
        let start = handheld.now_us();
        // Drawn starting a little after its own zero, because data settles before the first edge.
        let script = draw(Micros(1_000)).jittered(JITTER_US, &mut self.chance);
        for (at, edge) in script.edges() {
            handheld.run_until(start + at.0);
            if !(self.loose && self.chance.once_in(12)) {
                handheld.edge(*edge);
            }
        }
    }
}

/// 24 bits: magnitude in steps of 0.01 mm or 0.0005 in, bit 20 sign, bit 23 inch.
///
/// # Errors
/// A length that this calliper cannot show.
pub fn sync24_word(length: Nanometres, unit: UnitMode) -> Result<u32, String> {
    let (step, flag) = match unit {
        UnitMode::Millimetre => (10_000, 0),
        UnitMode::Inch => (12_700, 1 << 23),
    };
    let steps = length.0.unsigned_abs() / step;
    if !length.0.unsigned_abs().is_multiple_of(step) || steps >= 1 << 20 {
        return Err("a 24-bit calliper cannot show this length".to_owned());
    }
    let sign = if length.0 < 0 { 1 << 20 } else { 0 };
    Ok(steps | sign | flag)
}

/// 13 digits: 0.01 mm with two decimal places, or 0.0005 in with four.
///
/// # Errors
/// A length that this calliper cannot show.
pub fn bcd52_digits(length: Nanometres, unit: UnitMode) -> Result<[u8; 13], String> {
    let (step, places, code) = match unit {
        UnitMode::Millimetre => (10_000, 2, 0),
        UnitMode::Inch => (2_540, 4, 1),
    };
    let number = length.0.unsigned_abs() / step;
    if !length.0.unsigned_abs().is_multiple_of(step) || number > 999_999 {
        return Err("a 52-bit calliper cannot show this length".to_owned());
    }
    Ok(digits(if length.0 < 0 { 8 } else { 0 }, number, places, code))
}

/// The office sets the clock, as it does over the cable.
fn office_clock<F: NorFlash>(handheld: &mut Handheld<F>) {
    let mut line = [0u8; MAX_REQUEST_ON_WIRE];
    // 292 million years fit in the number.
    let unix_ms = handheld.now_ms() as i64;
    if let Ok(bytes) = frame::encode(RequestId(1), &Request::SetClock { unix_ms }, &mut line) {
        handheld.receive(bytes);
    }
    // The answer goes into a cable that nobody is listening to any more.
    while handheld.transmit().is_some() {}
}

/// The office loads a plan, as it does over the cable.
fn office_plan<F: NorFlash>(handheld: &mut Handheld<F>, plan: &[u8]) -> Result<(), String> {
    let name = CRC.checksum(plan);
    let length = u16::try_from(plan.len()).map_err(|_| "the plan is too long".to_owned())?;
    said(handheld, &Request::PlanBegin { length, plan: name })?;
    let mut at = 0;
    for piece in plan.chunks(MAX_PART) {
        // A chunk is never longer than a piece, nor all of them longer than `length`.
        let Some(bytes) = Part::new(piece) else { return Err("a piece is too long".to_owned()) };
        said(handheld, &Request::PlanPart { at, bytes })?;
        at += piece.len() as u16;
    }
    said(handheld, &Request::PlanCommit { plan: name })
}

/// Sends a request and checks that it was not refused.
fn said<F: NorFlash>(handheld: &mut Handheld<F>, request: &Request) -> Result<(), String> {
    let mut line = [0u8; MAX_REQUEST_ON_WIRE];
    let bytes = frame::encode(RequestId(1), request, &mut line)
        .map_err(|_| "the request is too long".to_owned())?;
    handheld.receive(bytes);
    let mut deframer = Deframer::<MAX_RESPONSE_ON_WIRE>::new();
    while let Some(frame) = handheld.transmit() {
        for byte in frame {
            let Some(Ok(frame)) = deframer.push(byte) else { continue };
            match frame.message::<Response<'_>>() {
                Ok(Response::Refused(refusal)) => {
                    return Err(format!("the handheld refuses the plan: {refusal}"));
                }
                Ok(_) => return Ok(()),
                Err(_) => {}
            }
        }
    }
    Err("the handheld does not answer; is it on?".to_owned())
}

fn expect<F: NorFlash>(handheld: &Handheld<F>, cue: Cue) -> Result<(), String> {
    match handheld.heard().last() {
        Some(heard) if heard.cue == cue => Ok(()),
        Some(heard) => Err(format!("expected {cue:?}, heard {:?}", heard.cue)),
        None => Err(format!("expected {cue:?}, heard nothing")),
    }
}
