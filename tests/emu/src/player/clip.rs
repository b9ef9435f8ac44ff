//! The calliper at the pins: a clip, which is the pedal and packets until the handheld answers, and
//! packets for as long as the office listens.
//!
//! ```text
//! pedal   ‾|__ until the calliper is asked __|‾‾‾
//! packets         |||||||   |||||||   ...            each at times that we set in the image
//! ```

use std::time::{Duration, Instant};

use hornrule_core::calliper::Level;
use hornrule_protocol::Nanometres;
use hornrule_protocol::record::{CalliperKind, UnitMode};
use hornrule_testkit::bits::Script;

use super::{ANSWER, Lines, Player, PowerCut};

/// How long the pedal is up at least before it goes down again: its contact must agree for 15 ms.
const PEDAL_UP: Duration = Duration::from_millis(40);
/// Delay after a packet, by the image's clock, microseconds: a calliper sends about eight a second.
const PERIOD_US: u32 = 100_000;
/// How far ahead the image's clock is set when we take it over, microseconds.
const AHEAD_US: u32 = 50_000;
/// How long the image may take to answer a packet before the next is sent.
const REST: Duration = Duration::from_millis(20);

impl Player {
    pub(super) fn clip(&mut self, length: Nanometres, unit: UnitMode) -> Result<(), PowerCut> {
        self.rest()?;
        let before = self.on().panel.begun();
        let asked = self.on().panel.asked();
        // Hold it down until it is seen: then the calliper is asked.
        self.on().pedal(true);
        let seen = self.on().panel.wait_asked(asked, self.wait());
        self.on().pedal(false);
        if !seen {
            return self.cut_or("the pedal is never seen");
        }
        if let Some(calliper) = &mut self.calliper {
            calliper.show_length(length, unit).unwrap();
        }
        self.packets_until(|player| player.on().panel.wait_begun(before, REST))?;
        self.nap(PEDAL_UP)
    }

    /// Sends what the display shows, packet after packet, until `over`, which is checked after
    /// each.
    ///
    /// # Errors
    /// The power was cut.
    /// # Panics
    /// If it never is.
    pub fn packets_until(&mut self, mut over: impl FnMut(&Self) -> bool) -> Result<(), PowerCut> {
        let until = Instant::now() + ANSWER;
        // From the first packet to the last we control the time: otherwise a computer slow at
        // sending could let a clip run out of its two seconds.
        let mut at_us = None;
        while !over(self) {
            assert!(Instant::now() < until, "the calliper is never answered");
            let script = match &mut self.calliper {
                None => None,
                Some(calliper) if calliper.make().kind == CalliperKind::Bcd52 => {
                    let asked =
                        self.emulator.as_ref().is_some_and(|on| on.panel.wait_request(REST));
                    asked.then(|| calliper.packet()).flatten()
                }
                Some(calliper) => calliper.packet(),
            };
            match (script, at_us) {
                (Some(script), at) => {
                    let from = at.unwrap_or_else(|| self.hold_time());
                    at_us = Some(self.send(&script, from));
                }
                // Nothing to send: just let time pass.
                (None, Some(at)) => {
                    let later = at + PERIOD_US;
                    self.on().set_time(later);
                    at_us = Some(later);
                }
                (None, None) => {}
            }
            self.nap(Duration::ZERO)?;
        }
        if let Some(end) = at_us {
            // The timer must have caught up with our time, or time would go backwards.
            while self.on().panel.clock_us() < end {
                self.nap(Duration::from_millis(1))?;
            }
            self.on().let_time_run();
        }
        Ok(())
    }

    /// Stops the image's clock, a little ahead: it keeps running while we read it, and an edge must
    /// not come before the current time.
    fn hold_time(&self) -> u32 {
        let at_us = self.on().panel.clock_us() + AHEAD_US;
        self.on().set_time(at_us);
        at_us
    }

    /// Sends one packet starting at this time, at the calliper's own speed by the image's clock,
    /// whatever ours says, and returns a time well after its end.
    fn send(&mut self, script: &Script, start: u32) -> u32 {
        let turned = (self.lines == Lines::Inverted).then(|| script.clone().inverted());
        let script = turned.as_ref().unwrap_or(script);
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
