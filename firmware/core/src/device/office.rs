//! What the office asks of the handheld beyond its log: the clock, the plan, the calliper.
//!
//! ```text
//! byte --Link--> Asked --+--> clock: sealed as a record
//!                        +--> plan, calliper: their shelf
//!                        +--> state: counted here       --> Link::answer
//! ```

use embedded_storage::nor_flash::NorFlash;
use hornrule_protocol::Entry;
use hornrule_protocol::frame::RequestId;
use hornrule_protocol::message::{Refusal, Response, State};

use super::shelf::LogShelf;
use super::{Device, NotStored, Outputs, Plan};
use crate::calliper::{self, Calliper};
use crate::cue::Cue;
use crate::link::{Asked, CalliperAsked, Now, PlanAsked};
use crate::time::Micros;

impl<F: NorFlash, P: Plan> Device<F, P> {
    pub(super) fn on_byte(&mut self, byte: u8, now: Micros, out: &mut Outputs) {
        let seen = Now {
            firmware: self.settings.firmware,
            boot: self.journal.boot(),
            uptime: now.uptime(),
        };
        let mut shelf = LogShelf { device: self.settings.device, log: self.journal.log_mut() };
        match self.link.receive(byte, &mut shelf, seen) {
            Asked::Nothing => {}
            Asked::Clock(id, unix_ms) => self.set_clock(id, unix_ms, now, out),
            Asked::State(id) => {
                let state = self.state(now);
                self.link.answer(id, Response::State(state));
            }
            Asked::Plan(id, asked) => {
                let answer = self.on_plan(asked, now, out);
                self.link.answer(id, answer.unwrap_or_else(Response::Refused));
            }
            Asked::Calliper(id, asked) => {
                let answer = self.on_calliper(asked, now);
                self.link.answer(id, answer.unwrap_or_else(Response::Refused));
            }
            Asked::PullBegan => out.play(Cue::Pulling),
            Asked::AllReleased => out.play(Cue::PullDone),
        }
    }

    fn set_clock(&mut self, id: RequestId, unix_ms: i64, now: Micros, out: &mut Outputs) {
        self.commit_held(now, out);
        let answer = match self.journal.say(Entry::Clock { unix_ms }, now) {
            Ok(_) => Response::ClockSet { boot: self.journal.boot(), uptime: now.uptime() },
            Err(NotStored::Full) => Response::Refused(Refusal::LogFull),
            Err(NotStored::Flash) => Response::Refused(Refusal::FlashFault),
        };
        self.link.answer(id, answer);
    }

    fn on_plan(
        &mut self,
        asked: PlanAsked,
        now: Micros,
        out: &mut Outputs,
    ) -> Result<Response<'static>, Refusal> {
        Ok(match asked {
            PlanAsked::State => Response::Plan(self.plan.plan_state()),
            PlanAsked::Begin(length, plan) => {
                Response::PlanAt { next: self.plan.plan_begin(length, plan)? }
            }
            PlanAsked::Part(at, bytes) => {
                Response::PlanAt { next: self.plan.plan_part(at, &bytes)? }
            }
            PlanAsked::Commit(plan) => {
                let before = self.plan.plan_state().in_force;
                let name = self.plan.plan_commit(plan)?;
                if before != Some(name) {
                    self.commit_held(now, out);
                    self.chute.plan_changed();
                    let entry = Entry::PlanLoaded { plan: name.plan, animals: name.animals };
                    // The plan is in force whether or not the log takes this record; its state says
                    // so.
                    if self.journal.say(entry, now).is_err() {
                        out.play(Cue::LogFull);
                    }
                }
                Response::Plan(self.plan.plan_state())
            }
        })
    }

    fn on_calliper(
        &mut self,
        asked: CalliperAsked,
        now: Micros,
    ) -> Result<Response<'static>, Refusal> {
        match asked {
            CalliperAsked::Hear(pace) => {
                return Ok(Response::CalliperHeard(self.calliper.listen(pace, now)));
            }
            CalliperAsked::Store(setting) => {
                self.plan.calliper_store(setting)?;
                self.calliper = Calliper::new(calliper::Settings::proved(setting));
            }
            CalliperAsked::State => {}
        }
        Ok(Response::Calliper { setting: self.plan.calliper() })
    }

    fn state(&self, now: Micros) -> State {
        State {
            uptime: now.uptime(),
            waiting: self.journal.waiting(),
            free: self.journal.free(),
            refused: self.journal.refused(),
            torn: self.journal.torn(),
            calliper_faults: self.calliper_faults,
            stuck_keys: self.keypad.stuck(),
            clock_known: self.journal.clock_known(),
            battery_mv: self.battery_mv,
        }
    }
}
