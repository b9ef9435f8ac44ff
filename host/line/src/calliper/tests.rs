//! Proofs on the virtual handheld: every kind of calliper, wired every way, and those that are refused.

use std::cell::RefCell;
use std::io;
use std::rc::Rc;
use std::time::Duration;

use hornrule_board_sim::{Bench, Cue, FlashFile, Handheld, Identity};
use hornrule_protocol::calliper::{
    CalliperSetting, InchCode, Level, Pace, RawPacket, Sampled, SignBit, Slope, WordOrder,
};
use hornrule_protocol::record::CalliperKind;
use hornrule_protocol::{DeviceId, LogId, Nanometres};

use super::hear::hear_with;
use super::*;
use crate::port::Port;

const GAUGE: Nanometres = Nanometres(75_000_000);
/// What the display shows at each step.
const SHOWN: [&str; 4] = ["0.00 mm", "75.00 mm", "-75.00 mm", "-2.9525 in"];

/// A handheld, a calliper on its plug, a cable.
#[derive(Clone)]
struct Rig(Rc<RefCell<(Handheld<FlashFile>, Bench)>>);

impl Rig {
    fn new(make: &str) -> Self {
        let identity = Identity { device: DeviceId(7), fresh_log: LogId(7) };
        let mut handheld = Handheld::new(FlashFile::in_memory(8), identity, 1_000);
        handheld.power_on().unwrap();
        Self(Rc::new(RefCell::new((handheld, Bench::new(make.parse().unwrap(), 3)))))
    }

    fn run_ms(&self, ms: u64) {
        let (handheld, bench) = &mut *self.0.borrow_mut();
        bench.run_until(handheld, handheld.now_us() + ms * 1_000);
    }

    fn show(&self, shown: &str) {
        self.0.borrow_mut().1.show(shown).unwrap();
    }

    fn listen(&mut self, proof: &mut Proof) -> Result<Seen, Doubt> {
        let rig = self.clone();
        step(proof, |pace| hear_with(self, pace, || rig.run_ms(40))).unwrap()
    }

    /// All four steps.
    fn prove(&mut self) -> Result<CalliperSetting, Doubt> {
        let mut proof = Proof::new(GAUGE);
        for shown in SHOWN {
            self.show(shown);
            self.run_ms(3_000);
            self.listen(&mut proof)?;
        }
        Ok(proof.proved().unwrap())
    }

    /// The cue that a clip of this gets, without a cow.
    fn clip(&self, shown: &str) -> Cue {
        self.show(shown);
        self.run_ms(3_000);
        self.0.borrow_mut().0.pedal();
        self.run_ms(9_000);
        self.0.borrow().0.heard().last().unwrap().cue
    }
}

impl Port for Rig {
    fn send(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.0.borrow_mut().0.receive(bytes);
        Ok(())
    }

    fn receive(&mut self, buffer: &mut [u8], _wait: Duration) -> io::Result<usize> {
        let Some(frame) = self.0.borrow_mut().0.transmit() else { return Ok(0) };
        buffer[..frame.len()].copy_from_slice(&frame);
        Ok(frame.len())
    }
}

const PLAIN: CalliperSetting = CalliperSetting::usual(CalliperKind::Sync24);

/// How each make is to be read: the simulator was told, the proof was not.
fn makes() -> Vec<(&'static str, CalliperSetting)> {
    let bcd = CalliperSetting { kind: CalliperKind::Bcd52, ..PLAIN };
    let words = CalliperSetting { kind: CalliperKind::Words48, ..PLAIN };
    let nibbles = CalliperSetting { kind: CalliperKind::Nibbles28, ..PLAIN };
    vec![
        ("sync24", PLAIN),
        ("sync24,sign21", CalliperSetting { sign: SignBit::Bit21, ..PLAIN }),
        ("bcd52", bcd),
        ("bcd52,inch8", CalliperSetting { inch: InchCode::Eight, ..bcd }),
        ("words48", words),
        ("words48,zeroed-first", CalliperSetting { words: WordOrder::ZeroedFirst, ..words }),
        ("nibbles28", nibbles),
    ]
}

#[test]
fn every_kind_is_found_straight_and_turned_over() {
    for (make, setting) in makes() {
        assert_eq!(Rig::new(make).prove(), Ok(setting), "{make}");
        let inverted = CalliperSetting { slope: Slope::Rising, one: Level::Low, ..setting };
        let make = format!("{make},inverted");
        assert_eq!(Rig::new(&make).prove(), Ok(inverted), "{make}");
    }
}

#[test]
fn a_stored_setting_reads_the_calliper_and_outlives_the_power() {
    let mut rig = Rig::new("sync24,inverted,sign21");
    assert_eq!(rig.clip("-5.00 mm"), Cue::CalliperFault, "read as most are, it is nonsense");
    let proved = rig.prove().unwrap();
    assert_eq!(setting(&mut rig).unwrap(), None, "proving stores nothing by itself");
    assert_eq!(store(&mut rig, proved).unwrap(), Some(proved));
    assert_eq!(store(&mut rig, proved).unwrap(), Some(proved), "asked again");
    assert_eq!(rig.clip("-5.00 mm"), Cue::Unplaced, "a length, and no cow for it");
    rig.0.borrow_mut().0.power_on().unwrap();
    assert_eq!(setting(&mut rig).unwrap(), Some(proved));
    assert_eq!(rig.clip("75.00 mm"), Cue::Unplaced);
}

#[test]
fn a_calliper_with_trouble_is_refused_at_every_try() {
    let told = |make, shown: &str| {
        let mut rig = Rig::new(make);
        rig.show(shown);
        let mut proof = Proof::new(GAUGE);
        let doubts: Vec<Doubt> = (0..3).filter_map(|_| rig.listen(&mut proof).err()).collect();
        assert_eq!(doubts.len(), 3, "{make}");
        assert_eq!(proof.step(), Some(Step::Zero), "nothing was taken");
        doubts[0].clone()
    };
    for make in ["sync24,restless", "bcd52,restless", "words48,restless", "nibbles28,restless"] {
        assert!(matches!(told(make, "0.00 mm"), Doubt::Disagree(_)), "{make}");
    }
    for make in ["sync24,loose", "bcd52,loose"] {
        let doubt = told(make, "0.00 mm");
        assert!(matches!(doubt, Doubt::Broken(_) | Doubt::Disagree(_)), "{make}: {doubt}");
    }
    assert_eq!(told("sync24", "off"), Doubt::Silent);
    assert!(matches!(told("sync24", "0.31 mm"), Doubt::Unexpected { .. }), "not zeroed");
}

#[test]
fn a_step_that_was_done_wrongly_is_done_again() {
    let mut rig = Rig::new("bcd52");
    let mut proof = Proof::new(GAUGE);
    rig.listen(&mut proof).unwrap();
    for wrong in ["74.80 mm", "-75.00 mm", "2.9525 in"] {
        rig.show(wrong);
        let doubt = rig.listen(&mut proof).unwrap_err();
        assert!(matches!(doubt, Doubt::Unexpected { .. }), "{wrong}: {doubt}");
        assert!(doubt.to_string().contains("not 75.00 mm"), "{doubt}");
    }
    assert_eq!(proof.step(), Some(Step::Gauge));
    rig.show("75.01 mm");
    rig.listen(&mut proof).unwrap();
    // Another calliper on the plug: what was found so far does not fit it.
    let mut other = Rig::new("sync24");
    other.show("-75.00 mm");
    assert!(matches!(other.listen(&mut proof), Err(Doubt::Broken(_))));
    rig.show("-75.00 mm");
    assert_eq!(rig.listen(&mut proof).unwrap().length, Nanometres(-75_000_000));
}

/// Listening ends by itself, and a clip meanwhile is answered and no reading.
#[test]
fn listening_keeps_the_calliper_from_nobody_for_long() {
    let mut rig = Rig::new("sync24");
    rig.show("20.00 mm");
    let listen = rig.clone();
    hear_with(&mut rig, Pace::Usual, || listen.run_ms(40)).unwrap();
    rig.0.borrow_mut().0.pedal();
    assert_eq!(rig.0.borrow().0.heard().last().unwrap().cue, Cue::Refused);
    assert_eq!(rig.clip("20.00 mm"), Cue::Unplaced);
}

/// Two settings that read alike are one; two that differ are refused. No calliper of the simulator is
/// so made: the packets are written by hand.
#[test]
fn what_cannot_be_told_apart_is_refused() {
    // 24 bits whose two slopes differ by one step of the display, within what a hand holds.
    let packet = |falls: u64, rises: u64| RawPacket {
        fall: Sampled { bits: falls, count: 24 },
        rise: Sampled { bits: rises, count: 24 },
        hurried: false,
    };
    let prove = |off: u64| {
        let mut proof = Proof::new(GAUGE);
        let negative = 1 << 20 | 7_500;
        // -2.9525 in is 5,905 steps of half a thousandth.
        let inch = 1 << 23 | 1 << 20 | 5_905;
        let steps = [0, 7_500, negative, inch];
        steps.map(|bits| proof.on(&[packet(bits, bits + off); 6])).into_iter().collect::<Vec<_>>()
    };
    assert!(prove(0).iter().all(Result::is_ok), "alike: the commoner is taken");
    assert_eq!(prove(2).last().unwrap(), &Err(Doubt::Undecided));
}
