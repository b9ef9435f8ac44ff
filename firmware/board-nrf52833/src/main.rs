//! The handheld on an nRF52833, for a battery: wiring only. Pins and power:
//! `hardware-notes/boards/nrf52833.md`.
//!
//! ```text
//!  interrupt executor (above all):  clock pin --stamp--> queue
//!  thread executor:                 the shell's tasks, the cable's and the watchdog's
//!  between them:                    asleep; 32,768 Hz clock, pin sense and watchdog stay on
//! ```
#![no_std]
#![no_main]

mod cable;
mod fault;
mod gauge;
mod spawn;
mod stamp;
mod voice;

use core::cell::RefCell;

use embassy_embedded_hal::flash::partition::BlockingPartition;
use embassy_executor::Spawner;
use embassy_nrf::config::{Config, HfclkSource, LfclkSource};
use embassy_nrf::gpio::{AnyPin, Input, Level, Output, OutputDrive, Pull};
use embassy_nrf::nvmc::Nvmc;
use embassy_nrf::peripherals::{UARTE0, WDT};
use embassy_nrf::rng::Rng;
use embassy_nrf::wdt::{self, Watchdog, WatchdogHandle};
use embassy_nrf::{Peri, bind_interrupts, buffered_uarte, pac, saadc};
use embassy_sync::blocking_mutex::{Mutex, raw::NoopRawMutex};
use embassy_time::{Duration, Instant, Timer};
use hornrule_core::calliper;
use hornrule_core::device::{Device, Settings};
use hornrule_core::keypad::{COLUMNS, ROWS};
use hornrule_core::plan::Plans;
use hornrule_core::time::Micros;
use hornrule_protocol::{DeviceId, LogId};
use hornrule_shell::{self as shell, Matrix, Shell, Wakes};
use static_cell::StaticCell;

use crate::cable::Cable;
use crate::gauge::Divider;
use crate::spawn::{send_spawn, spawn};
use crate::voice::Horn;

bind_interrupts!(pub(crate) struct Irqs {
    SAADC => saadc::InterruptHandler;
    UARTE0 => buffered_uarte::InterruptHandler<UARTE0>;
});

/// Positions of log, plan and calliper setting in flash (`memory.x` keeps code out of them).
const LOG_AT: u32 = 256 * 1024;
const LOG_BYTES: u32 = 256 * 1024;
const PLAN_AT: u32 = 192 * 1024;
const CALLIPER_AT: u32 = 184 * 1024;

const FIRMWARE: [u8; 3] = [0, 1, 0];
/// Voltage at which a lithium cell is nearly empty, millivolts (common practice, no source).
const BATTERY_LOW_MV: u16 = 3_400;
/// Much longer than a page erase, 85 ms (from memory of a datasheet).
const WATCHDOG_S: u32 = 4;

type Part = BlockingPartition<'static, NoopRawMutex, Nvmc<'static>>;
pub(crate) type Board = Shell<'static, Part, Plans<Part>>;
type Keys = Matrix<Output<'static>, Input<'static>>;

#[embassy_executor::main]
async fn main(spawner: Spawner) {
    let mut config = Config::default();
    // The fast clock may drift: no peripheral here needs a crystal for it. The slow one gives the
    // uptime.
    config.hfclk_source = HfclkSource::Internal;
    config.lfclk_source = LfclkSource::ExternalXtal;
    config.dcdc.reg1 = true;
    let p = embassy_nrf::init(config);
    let (cause, fault) = fault::last();

    let horn = Horn::new(p.PWM0, p.P0_13, p.P0_14, p.P0_15, p.P0_16);
    let settings = Settings {
        device: number(),
        fresh_log: LogId(Rng::new_blocking(p.RNG).blocking_next_u32()),
        firmware: FIRMWARE,
        cause,
        fault,
        calliper: calliper::Settings::DEFAULT,
        battery_low_mv: BATTERY_LOW_MV,
    };
    static FLASH: StaticCell<Mutex<NoopRawMutex, RefCell<Nvmc<'static>>>> = StaticCell::new();
    let flash = FLASH.init(Mutex::new(RefCell::new(Nvmc::new(p.NVMC))));
    let calliper = BlockingPartition::new(flash, CALLIPER_AT, PLAN_AT - CALLIPER_AT);
    let plan = Plans::mount(BlockingPartition::new(flash, PLAN_AT, LOG_AT - PLAN_AT))
        .with_calliper(calliper);
    let device = Device::start(BlockingPartition::new(flash, LOG_AT, LOG_BYTES), settings, plan);
    // Only now: a first format erases 64 pages, which takes seconds.
    spawn(spawner, feed(guard(p.WDT)));
    let device = match device {
        Ok(device) => device,
        Err(_) => return spawn(spawner, unusable(horn)),
    };
    static DEVICE: StaticCell<Device<Part, Plans<Part>>> = StaticCell::new();
    static BOARD: StaticCell<Board> = StaticCell::new();
    let board: &'static Board = BOARD.init(Shell::new(DEVICE.init(device), now));

    let (clock, level) = (Input::new(p.P0_03, Pull::Up), Input::new(p.P0_04, Pull::Up));
    send_spawn(stamp::executor(), stamp::stamp(clock, level));
    spawn(spawner, edges(board));
    let request = Output::new(p.P0_05, Level::High, OutputDrive::Standard0Disconnect1);
    spawn(spawner, time(board, request));
    spawn(spawner, pedal(board, Input::new(p.P0_07, Pull::Up)));
    let row = |pin: Peri<'static, AnyPin>| Output::new(pin, Level::High, OutputDrive::Standard);
    let rows: [Output; ROWS as usize] = [
        row(p.P0_17.into()),
        row(p.P0_19.into()),
        row(p.P0_20.into()),
        row(p.P0_21.into()),
        row(p.P0_22.into()),
    ];
    let column = |pin: Peri<'static, AnyPin>| Input::new(pin, Pull::Up);
    let columns: [Input; COLUMNS as usize] = [
        column(p.P0_23.into()),
        column(p.P0_24.into()),
        column(p.P0_25.into()),
        column(p.P1_00.into()),
    ];
    spawn(spawner, keys(board, Matrix { rows, columns }));
    spawn(spawner, cues(board, horn));
    spawn(spawner, battery(board, Divider::new(p.SAADC, p.P0_02)));
    let line = Cable {
        plugged: Input::new(p.P1_01, Pull::Up),
        uart: p.UARTE0,
        timer: p.TIMER1,
        channels: (p.PPI_CH0, p.PPI_CH1),
        group: p.PPI_GROUP0,
        from_office: p.P0_08,
        to_office: p.P0_06,
    };
    spawn(spawner, cable::cable(board, line));
}

fn now() -> Micros {
    Micros(Instant::now().as_micros())
}

/// The chip's own unique number.
fn number() -> DeviceId {
    let [low, high] = [0, 1].map(|word| u64::from(pac::FICR.deviceid(word).read()));
    DeviceId(high << 32 | low)
}

/// The watchdog, which keeps counting while the chip sleeps.
fn guard(dog: Peri<'static, WDT>) -> WatchdogHandle {
    let mut config = wdt::Config::default();
    config.timeout_ticks = WATCHDOG_S * 32_768;
    match Watchdog::try_new(dog, config) {
        Ok((_, [handle])) => handle,
        // It is running with other settings: only other firmware can have started it.
        Err(_) => fault::stop(line!()),
    }
}

#[embassy_executor::task]
async fn feed(mut dog: WatchdogHandle) -> ! {
    loop {
        dog.pet();
        Timer::after(Duration::from_secs(1)).await;
    }
}

#[embassy_executor::task]
async fn unusable(horn: Horn) -> ! {
    shell::unusable(horn).await
}

#[embassy_executor::task]
async fn edges(board: &'static Board) -> ! {
    shell::edges(board, stamp::stamped()).await
}

#[embassy_executor::task]
async fn time(board: &'static Board, request: Output<'static>) -> ! {
    shell::time(board, request).await
}

#[embassy_executor::task]
async fn pedal(board: &'static Board, pin: Input<'static>) -> ! {
    shell::pedal(board, pin, Wakes).await
}

#[embassy_executor::task]
async fn keys(board: &'static Board, matrix: Keys) -> ! {
    shell::keys(board, matrix, Wakes).await
}

#[embassy_executor::task]
async fn cues(board: &'static Board, horn: Horn) -> ! {
    shell::cues(board, horn).await
}

#[embassy_executor::task]
async fn battery(board: &'static Board, divider: Divider) -> ! {
    shell::battery(board, divider).await
}
