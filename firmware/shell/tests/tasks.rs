//! All tasks together, on simulated pins and a simulated line, in simulated time.
//!
//! One test, because the simulated time is shared by the whole process.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::cell::{Cell, RefCell};
use std::collections::VecDeque;
use std::convert::Infallible;
use std::future::{Future, pending, poll_fn};
use std::pin::pin;
use std::task::{Context, Poll, Waker};

use embassy_futures::join::{join, join5};
use embassy_time::{Duration, Instant, MockDriver};
use embedded_hal::digital::{ErrorType, InputPin, OutputPin};
use embedded_hal_async::digital::Wait;
use embedded_io_async::{Read, Write};
use hornrule_core::calliper::{self, Edge};
use hornrule_core::chute::NoPlan;
use hornrule_core::cue::{Cue, Family, Step};
use hornrule_core::device::{Device, Settings};
use hornrule_core::keypad::Key;
use hornrule_core::time::Micros;
use hornrule_protocol::frame::{self, RequestId};
use hornrule_protocol::limits::{MAX_REQUEST_ON_WIRE, MAX_RESPONSE_ON_WIRE};
use hornrule_protocol::message::{Request, Response};
use hornrule_protocol::record::StartCause;
use hornrule_protocol::{Deframer, DeviceId, LogId, Seq};
use hornrule_shell::{EdgeSource, Gauge, Looks, Matrix, Rest, Shell, Voice, Wakes, line};
use hornrule_testkit::bits::{Script, Shape};
use hornrule_testkit::flash::Flash;

/// Step of the simulated time: finer than anything the tasks wait for.
const TICK: Duration = Duration::from_micros(100);

/// The world outside the handheld.
#[derive(Default)]
struct World {
    contacts: Cell<u32>,
    rows_low: Cell<u32>,
    /// Columns that a broken wire holds low.
    shorted: Cell<u32>,
    pedal: Cell<bool>,
    request_low: Cell<bool>,
    sounds: RefCell<Vec<(u64, Step)>>,
    edges: RefCell<VecDeque<(Edge, Micros)>>,
    to_handheld: RefCell<VecDeque<u8>>,
    from_reader: RefCell<VecDeque<u8>>,
    to_office: RefCell<Vec<u8>>,
}

struct Row<'w>(&'w World, usize);
struct Column<'w>(&'w World, usize);
struct Pedal<'w>(&'w World);
struct RequestLine<'w>(&'w World);
struct Ear<'w>(&'w World);
struct Edges<'w>(&'w World);
struct End<'w>(&'w World);
struct Reader<'w>(&'w World);
struct NoGauge;

impl ErrorType for Row<'_> {
    type Error = Infallible;
}
impl OutputPin for Row<'_> {
    fn set_low(&mut self) -> Result<(), Infallible> {
        self.0.rows_low.set(self.0.rows_low.get() | 1 << self.1);
        Ok(())
    }
    fn set_high(&mut self) -> Result<(), Infallible> {
        self.0.rows_low.set(self.0.rows_low.get() & !(1 << self.1));
        Ok(())
    }
}
impl ErrorType for Column<'_> {
    type Error = Infallible;
}
impl InputPin for Column<'_> {
    fn is_low(&mut self) -> Result<bool, Infallible> {
        let closed = (0..5)
            .filter(|row| self.0.rows_low.get() >> row & 1 == 1)
            .any(|row| self.0.contacts.get() >> (4 * row + self.1) & 1 == 1);
        Ok(closed || self.0.shorted.get() >> self.1 & 1 == 1)
    }
    fn is_high(&mut self) -> Result<bool, Infallible> {
        self.is_low().map(|low| !low)
    }
}
impl ErrorType for Pedal<'_> {
    type Error = Infallible;
}
impl InputPin for Pedal<'_> {
    fn is_low(&mut self) -> Result<bool, Infallible> {
        Ok(self.0.pedal.get())
    }
    fn is_high(&mut self) -> Result<bool, Infallible> {
        Ok(!self.0.pedal.get())
    }
}
/// A pin that can wake.
macro_rules! waits {
    ($pin:ident) => {
        impl Wait for $pin<'_> {
            async fn wait_for_low(&mut self) -> Result<(), Infallible> {
                poll_fn(|_| match self.is_low() {
                    Ok(true) => Poll::Ready(()),
                    _ => Poll::Pending,
                })
                .await;
                Ok(())
            }
            async fn wait_for_high(&mut self) -> Result<(), Infallible> {
                unreachable!("nobody waits for a contact to open")
            }
            async fn wait_for_rising_edge(&mut self) -> Result<(), Infallible> {
                unreachable!("nobody waits for edges")
            }
            async fn wait_for_falling_edge(&mut self) -> Result<(), Infallible> {
                unreachable!("a key that is down already would be missed")
            }
            async fn wait_for_any_edge(&mut self) -> Result<(), Infallible> {
                unreachable!("nobody waits for edges")
            }
        }
    };
}
waits!(Column);
waits!(Pedal);

impl ErrorType for RequestLine<'_> {
    type Error = Infallible;
}
impl OutputPin for RequestLine<'_> {
    fn set_low(&mut self) -> Result<(), Infallible> {
        self.0.request_low.set(true);
        Ok(())
    }
    fn set_high(&mut self) -> Result<(), Infallible> {
        self.0.request_low.set(false);
        Ok(())
    }
}
impl Voice for Ear<'_> {
    fn show(&mut self, step: &Step) {
        self.0.sounds.borrow_mut().push((Instant::now().as_millis(), *step));
    }
}
impl Gauge for NoGauge {
    async fn millivolts(&mut self) -> u16 {
        0
    }
}
impl EdgeSource for Edges<'_> {
    async fn next(&mut self) -> (Edge, Micros) {
        poll_fn(|_| {
            let mut edges = self.0.edges.borrow_mut();
            match edges.front().is_some_and(|(_, at)| *at <= now()) {
                true => Poll::Ready(edges.pop_front().unwrap()),
                false => Poll::Pending,
            }
        })
        .await
    }
}
impl embedded_io_async::ErrorType for End<'_> {
    type Error = Infallible;
}
impl Read for End<'_> {
    async fn read(&mut self, bytes: &mut [u8]) -> Result<usize, Infallible> {
        if self.0.to_handheld.borrow().is_empty() {
            poll_fn(|_| match self.0.to_handheld.borrow().is_empty() {
                true => Poll::Pending,
                false => Poll::Ready(()),
            })
            .await;
        }
        // One at a time, as on a line.
        bytes[0] = self.0.to_handheld.borrow_mut().pop_front().unwrap();
        Ok(1)
    }
}
impl embedded_io_async::ErrorType for Reader<'_> {
    type Error = Infallible;
}
impl Read for Reader<'_> {
    async fn read(&mut self, bytes: &mut [u8]) -> Result<usize, Infallible> {
        poll_fn(|_| match self.0.from_reader.borrow().is_empty() {
            true => Poll::Pending,
            false => Poll::Ready(()),
        })
        .await;
        bytes[0] = self.0.from_reader.borrow_mut().pop_front().unwrap();
        Ok(1)
    }
}
impl Write for End<'_> {
    async fn write(&mut self, bytes: &[u8]) -> Result<usize, Infallible> {
        self.0.to_office.borrow_mut().push(bytes[0]);
        Ok(1)
    }
    async fn flush(&mut self) -> Result<(), Infallible> {
        Ok(())
    }
}

fn now() -> Micros {
    Micros(Instant::now().as_micros())
}

/// What was played, as far as it can be told apart unasked; separated by the rest after each.
fn families(world: &World) -> Vec<Family> {
    let shown: Vec<Step> = world.sounds.borrow().iter().map(|(_, step)| *step).collect();
    let runs = shown.split(|step| step.ms == 0).filter(|run| !run.is_empty());
    let played = |run: &[Step]| {
        Cue::ALL.into_iter().find(|cue| cue.steps().eq(run.iter().copied())).unwrap().family()
    };
    runs.map(played).collect()
}

/// Lets the tasks run for this long.
fn run(tasks: &mut std::pin::Pin<&mut impl Future>, ms: u64) {
    let until = Instant::now() + Duration::from_millis(ms);
    let mut context = Context::from_waker(Waker::noop());
    while Instant::now() < until {
        assert!(tasks.as_mut().poll(&mut context).is_pending(), "no task ever ends");
        MockDriver::get().advance(TICK);
    }
}

fn device() -> Device<Flash<1024>, NoPlan> {
    let settings = Settings {
        device: DeviceId(7),
        fresh_log: LogId(9),
        firmware: [0, 1, 0],
        cause: StartCause::PowerOn,
        fault: 0,
        calliper: calliper::Settings::DEFAULT,
        battery_low_mv: 3_400,
    };
    Device::start(Flash::blank(8), settings, NoPlan).ok().unwrap()
}

#[test]
fn pins_and_line_reach_the_core_and_answers_come_back() {
    // One after the other: both share the simulated time.
    day(Looks);
    day(Wakes);
}

fn day<'w, R>(rest: R)
where
    R: Rest<Column<'w>> + Rest<Pedal<'w>> + Copy,
{
    // Lives as long as the pins that are waited on.
    let world: &'w World = Box::leak(Box::default());
    let mut core = device();
    let shell = Shell::new(&mut core, now);
    let matrix = Matrix {
        rows: std::array::from_fn(|row| Row(world, row)),
        columns: std::array::from_fn(|column| Column(world, column)),
    };
    let inputs = join5(
        hornrule_shell::keys(&shell, matrix, rest),
        hornrule_shell::pedal(&shell, Pedal(world), rest),
        hornrule_shell::edges(&shell, Edges(world)),
        hornrule_shell::battery(&shell, NoGauge),
        line::receive(&shell, End(world)),
    );
    let outputs = join5(
        hornrule_shell::cues(&shell, Ear(world)),
        hornrule_shell::time(&shell, RequestLine(world)),
        line::send(&shell, End(world), line::NoTraces),
        line::tag(&shell, Reader(world)),
        pending::<()>(),
    );
    let mut tasks = pin!(join(inputs, outputs));
    let press = |tasks: &mut _, key: Key| {
        world.contacts.set(1 << key.position());
        run(tasks, 60);
        world.contacts.set(0);
        run(tasks, 400);
    };

    run(&mut tasks, 600);
    assert_eq!(families(world), [Family::LookOut], "and no word of a battery that nobody measures");
    for key in [Key::Cow, Key::Two, Key::Seven, Key::Cow, Key::Rh] {
        press(&mut tasks, key);
    }
    run(&mut tasks, 1_000);
    let [tick, stored, clock] = [Family::Taken, Family::InFlash, Family::LookOut];
    assert_eq!(families(world)[1..], [tick, tick, tick, stored, clock, tick]);

    // A column that stays low: none of its keys is heard, because nobody pressed them; the others
    // are, after half a second.
    let before = families(world).len();
    world.shorted.set(0b0100);
    run(&mut tasks, 1_000);
    assert_eq!(families(world).len(), before);
    press(&mut tasks, Key::Lh);
    world.shorted.set(0);
    run(&mut tasks, 400);
    press(&mut tasks, Key::Rh);
    assert_eq!(families(world)[before..], [tick, tick]);
    let before = families(world).len();

    // The pedal asks the calliper, two packets answer.
    world.pedal.set(true);
    run(&mut tasks, 30);
    world.pedal.set(false);
    assert!(world.request_low.get(), "the request line is pulled");
    for _ in 0..2 {
        let at = now().after_ms(2);
        let script = Script::sync24(8_120, Shape::SYNC24_SLOW, at);
        world.edges.borrow_mut().extend(script.edges().iter().map(|(at, edge)| (*edge, *at)));
        run(&mut tasks, 40);
    }
    run(&mut tasks, 500);
    assert!(!world.request_low.get(), "and let go");
    assert_eq!(families(world)[before..], [stored]);

    // The tag reader, on a line of its own.
    let before = families(world).len();
    world.from_reader.borrow_mut().extend(b"\x02999000000000027\r\n");
    run(&mut tasks, 600);
    assert_eq!(families(world)[before..], [stored]);

    // The office asks who is there.
    let mut bytes = [0; MAX_REQUEST_ON_WIRE];
    let asked = frame::encode(RequestId(3), &Request::Hello, &mut bytes).unwrap();
    world.to_handheld.borrow_mut().extend(asked);
    run(&mut tasks, 20);
    let mut deframer = Deframer::<MAX_RESPONSE_ON_WIRE>::new();
    let mut hello = None;
    for byte in world.to_office.borrow().iter() {
        if let Some(frame) = deframer.push(*byte) {
            let frame = frame.unwrap();
            if let Response::Hello(found) = frame.message::<Response<'_>>().unwrap() {
                hello = Some(found);
            }
        }
    }
    // Started, the cow, the reading, the cow by her tag.
    assert_eq!(hello.unwrap().next, Seq(5));
}
