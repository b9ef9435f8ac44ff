//! A board, a calliper and a foot on the pedal, in time order.
//!
//! The bench calls `on_time` exactly when the machine asks for it, and plays a calliper with a
//! request line: each fall of that line is answered by a script.

use hornrule_core::calliper::{Calliper, Clip, Edge, Settings};
use hornrule_core::time::{Micros, Wake};
use hornrule_protocol::Nanometres;
use hornrule_protocol::record::{CalliperKind, UnitMode};
use hornrule_testkit::bits::Script;

/// What happens to the machine, and when.
#[derive(Clone, Copy, Debug)]
enum Happening {
    Edge(Edge),
    Pressed,
}

/// Answers the nth fall of the request line at this time with a script, or not at all.
type Answer = Box<dyn FnMut(usize, Micros) -> Option<Script>>;

pub(crate) struct Bench {
    pub(crate) calliper: Calliper,
    happenings: Vec<(Micros, Happening)>,
    answer: Option<Answer>,
    line_low: bool,
    /// When the request line fell.
    pub(crate) requests: Vec<Micros>,
    /// The results of clips, and when.
    pub(crate) outcomes: Vec<(Micros, Clip)>,
}

impl Bench {
    pub(crate) fn new(settings: Settings) -> Self {
        Self {
            calliper: Calliper::new(settings),
            happenings: Vec::new(),
            answer: None,
            line_low: false,
            requests: Vec::new(),
            outcomes: Vec::new(),
        }
    }

    pub(crate) fn answering(
        mut self,
        answer: impl FnMut(usize, Micros) -> Option<Script> + 'static,
    ) -> Self {
        self.answer = Some(Box::new(answer));
        self
    }

    pub(crate) fn play(&mut self, script: &Script) {
        let edges = script.edges().iter().map(|(t, edge)| (*t, Happening::Edge(*edge)));
        self.happenings.extend(edges);
        self.happenings.sort_by_key(|(t, _)| *t);
    }

    pub(crate) fn play_edge(&mut self, at: Micros, edge: Edge) {
        let place = self.happenings.partition_point(|(t, _)| *t <= at);
        self.happenings.insert(place, (at, Happening::Edge(edge)));
    }

    pub(crate) fn press(&mut self, at: Micros) {
        self.happenings.push((at, Happening::Pressed));
        self.happenings.sort_by_key(|(t, _)| *t);
    }

    /// Runs up to a time and returns the results so far, without their times.
    pub(crate) fn run(&mut self, until: Micros) -> Vec<Clip> {
        let mut before = Micros(0);
        let mut calls_at_once = 0;
        loop {
            let next = self.happenings.first().map(|(t, _)| *t);
            let wake = match self.calliper.next_wake() {
                Wake::At(t) => Some(t.max(before)),
                Wake::Now => Some(before),
                Wake::OnInput => None,
            };
            let Some(now) = [next, wake].into_iter().flatten().min().filter(|t| *t <= until) else {
                break;
            };
            calls_at_once = if now == before { calls_at_once + 1 } else { 0 };
            assert!(calls_at_once < 20, "no progress at {now:?}");
            before = now;
            let outcome = if next == Some(now) {
                match self.happenings.remove(0).1 {
                    Happening::Edge(edge) => self.calliper.on_edge(edge, now),
                    Happening::Pressed => self.calliper.on_clip(now),
                }
            } else {
                self.calliper.on_time(now)
            };
            self.outcomes.extend(outcome.map(|clip| (now, clip)));
            self.watch_line(now);
        }
        self.outcomes.iter().map(|(_, clip)| *clip).collect()
    }

    fn watch_line(&mut self, now: Micros) {
        let low = self.calliper.request();
        if low && !self.line_low {
            let nth = self.requests.len();
            self.requests.push(now);
            if let Some(script) = self.answer.as_mut().and_then(|answer| answer(nth, now)) {
                self.play(&script);
            }
        }
        self.line_low = low;
    }
}

pub(crate) fn measured(nm: i32, unit: UnitMode, kind: CalliperKind) -> Clip {
    Clip::Measured { length: Nanometres(nm), unit, kind }
}

pub(crate) fn ms(ms: u64) -> Micros {
    Micros(0).after_ms(ms)
}
