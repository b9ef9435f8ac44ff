//! A clip at the pins: the pedal, then packets until the handheld answers.
//!
//! ```text
//! pedal   ‾|__ until the calliper is asked __|‾‾‾
//! packets         |||||||   |||||||   ...            each at times that we tell the image
//! ```

use std::time::{Duration, Instant};

use hornrule_core::calliper::Level;
use hornrule_core::time::Micros;
use hornrule_protocol::Nanometres;
use hornrule_protocol::record::{CalliperKind, UnitMode};
use hornrule_testkit::bits::{Script, Shape};

use super::{ANSWER, Lines, Player, PowerCut};

/// Jitter of a calliper edge, microseconds.
const JITTER_US: u64 = 12;
/// How long the pedal is up at least before it goes down again: its contact has to agree for 15 ms.
const PEDAL_UP: Duration = Duration::from_millis(40);
/// After a packet, by the image's clock, microseconds: a calliper sends about eight a second.
const PERIOD_US: u32 = 100_000;
/// How long the image may take to answer a packet before the next one is sent.
const REST: Duration = Duration::from_millis(20);

impl Player {
    pub(super) fn clip(&mut self, length: Nanometres, unit: UnitMode) -> Result<(), PowerCut> {
        self.rest()?;
        let before = self.on().panel.begun();
        let asked = self.on().panel.asked();
        // Down until it was seen: then the calliper is asked.
        self.on().pedal(true);
        let seen = self.on().panel.wait_asked(asked, self.wait());
        self.on().pedal(false);
        if !seen {
            return self.cut_or("the pedal is never seen");
        }
        let until = Instant::now() + ANSWER;
        let packet = self.calliper.map(|kind| packet_of(kind, length, unit));
        // From the first packet to the answer the time is ours: a computer that is slow at sending
        // would else let a clip run out of its two seconds.
        let mut at_us = None;
        while self.on().panel.begun() == before {
            assert!(Instant::now() < until, "the clip is never answered");
            let asked = match self.calliper {
                None => false,
                Some(CalliperKind::Sync24 | CalliperKind::Words48 | CalliperKind::Nibbles28) => {
                    true
                }
                Some(CalliperKind::Bcd52) => self.on().panel.wait_request(REST),
            };
            match (&packet, at_us) {
                (Some(script), at) if asked => {
                    let from = at.unwrap_or_else(|| self.on().panel.clock_us());
                    at_us = Some(self.send(script.clone(), from));
                }
                // Nothing to send: what is waited for is that time goes by.
                (_, Some(at)) => {
                    let later = at + PERIOD_US;
                    self.on().set_time(later);
                    at_us = Some(later);
                }
                (_, None) => {}
            }
            self.nap(Duration::ZERO)?;
            self.on().panel.wait_begun(before, REST);
        }
        if let Some(end) = at_us {
            // The timer must have come as far as we said, or time would go back.
            while self.on().panel.clock_us() < end {
                self.nap(Duration::from_millis(1))?;
            }
            self.on().let_time_run();
        }
        self.nap(PEDAL_UP)
    }

    /// Sends one packet from this time on at the calliper's own speed by the image's clock, whatever
    /// ours says, and gives the time at which it has long been over.
    fn send(&mut self, script: Script, start: u32) -> u32 {
        let script = script.jittered(JITTER_US, &mut self.chance);
        let script = if self.lines == Lines::Inverted { script.inverted() } else { script };
        let high = |level: Level| level == Level::High;
        for (at, edge) in script.edges() {
            if self.loose && self.chance.once_in(12) {
                continue;
            }
            let at_us = start + u32::try_from(at.0).unwrap();
            let (clock, data) = (high(edge.clock), high(edge.data));
            let (clock, data) =
                if self.lines == Lines::Swapped { (data, clock) } else { (clock, data) };
            self.on().edge(clock, data, at_us);
        }
        let end = start + u32::try_from(script.end().0).unwrap() + PERIOD_US;
        self.on().set_time(end);
        end
    }
}

fn packet_of(kind: CalliperKind, length: Nanometres, unit: UnitMode) -> Script {
    // From a little after its own zero, because data settles before the first edge.
    let at = Micros(1_000);
    match kind {
        CalliperKind::Sync24 => Script::sync24(
            hornrule_board_sim::player::sync24_word(length, unit).unwrap(),
            Shape::SYNC24_SLOW,
            at,
        ),
        CalliperKind::Bcd52 => Script::bcd52(
            hornrule_board_sim::player::bcd52_digits(length, unit).unwrap(),
            Shape::BCD52,
            at,
        ),
        CalliperKind::Words48 | CalliperKind::Nibbles28 => {
            panic!("no story plugs in a calliper with so quick a clock")
        }
    }
}
