//! The handheld's image for an nRF51822: wiring only.
//!
//! ```text
//! register --> clock, flash, uart, pins, edges, voice --traits--> shell tasks --> core
//! last: why we started, where we stopped        sim: what a test may set
//! ```
//!
//! What it decides is in `hornrule-core`, and when it is asked in `hornrule-shell`. In the firmware
//! only boards have `unsafe`.
#![no_std]
#![no_main]

mod chip;
mod clock;
mod edges;
mod flash;
mod last;
mod pins;
mod register;
mod sim;
mod traces;
mod uart;
mod voice;

use embassy_executor::{SpawnError, SpawnToken, Spawner};
use hornrule_core::calliper;
use hornrule_core::device::{Device, Settings};
use hornrule_core::plan::Plans;
use hornrule_shell::{Gauge, Looks, Matrix, Shell, line};
use static_cell::StaticCell;

use flash::PartOfFlash;
use pins::{Input, Output};
use uart::{FromOffice, ToOffice};

/// Voltage at which a lithium cell is nearly empty, millivolts (common practice, no source).
const BATTERY_LOW_MV: u16 = 3_400;

type Core = Device<PartOfFlash, Plans<PartOfFlash>>;
type Handheld = Shell<'static, PartOfFlash, Plans<PartOfFlash>>;

static DEVICE: StaticCell<Core> = StaticCell::new();
static SHELL: StaticCell<Handheld> = StaticCell::new();

#[embassy_executor::main]
async fn main(spawner: Spawner) {
    let (cause, fault) = last::take();
    chip::start_crystal();
    clock::start();
    match start(cause, fault) {
        Some(shell) => spawn(&spawner, shell),
        None => hornrule_shell::unusable(voice::Pins::new()).await,
    }
}

/// Starts the core on its flash; `None` if its log cannot be used.
fn start(cause: hornrule_protocol::record::StartCause, fault: u32) -> Option<&'static Handheld> {
    let (device, fresh_log) = chip::identity();
    let settings = Settings {
        device,
        fresh_log,
        firmware: [0, 1, 0],
        cause,
        fault,
        calliper: calliper::Settings::DEFAULT,
        battery_low_mv: BATTERY_LOW_MV,
    };
    let plans = Plans::mount(PartOfFlash::plan()).with_calliper(PartOfFlash::calliper());
    // Straight from the result into its place: each further move would take as much stack again.
    let device = match Device::start(PartOfFlash::log(), settings, plans) {
        Ok(device) => DEVICE.init(device),
        Err(_) => return None,
    };
    Some(SHELL.init(Shell::new(device, clock::now)))
}

fn spawn(spawner: &Spawner, shell: &'static Handheld) {
    let (from_office, to_office) = uart::open();
    begin(spawner, cues(shell, voice::Pins::new()));
    begin(spawner, keys(shell));
    begin(spawner, pedal(shell, Input::new(pins::PEDAL)));
    begin(spawner, edges(shell, edges::Edges::new()));
    begin(spawner, battery(shell));
    begin(spawner, time(shell, Output::new(pins::REQUEST, true)));
    begin(spawner, receive(shell, from_office));
    begin(spawner, send(shell, to_office));
}

fn begin<S>(spawner: &Spawner, task: Result<SpawnToken<S>, SpawnError>) {
    // Each task has room for one, and each is made once, so none is ever refused.
    if let Ok(task) = task {
        spawner.spawn(task);
    }
}

#[embassy_executor::task]
async fn cues(shell: &'static Handheld, voice: voice::Pins) {
    hornrule_shell::cues(shell, voice).await;
}

#[embassy_executor::task]
async fn keys(shell: &'static Handheld) {
    let rows = pins::ROWS.map(|pin| Output::new(pin, true));
    let columns = pins::COLUMNS.map(pins::Column::new);
    hornrule_shell::keys(shell, Matrix { rows, columns }, Looks).await;
}

#[embassy_executor::task]
async fn pedal(shell: &'static Handheld, pin: Input) {
    hornrule_shell::pedal(shell, pin, Looks).await;
}

#[embassy_executor::task]
async fn edges(shell: &'static Handheld, source: edges::Edges) {
    hornrule_shell::edges(shell, source).await;
}

#[embassy_executor::task]
async fn battery(shell: &'static Handheld) {
    hornrule_shell::battery(shell, Battery).await;
}

#[embassy_executor::task]
async fn time(shell: &'static Handheld, request: Output) {
    hornrule_shell::time(shell, request).await;
}

#[embassy_executor::task]
async fn receive(shell: &'static Handheld, line: FromOffice) {
    line::receive(shell, line).await;
}

#[embassy_executor::task]
async fn send(shell: &'static Handheld, line: ToOffice) {
    line::send(shell, line, traces::Waiting).await;
}

struct Battery;

impl Gauge for Battery {
    async fn millivolts(&mut self) -> u16 {
        sim::battery_mv()
    }
}
