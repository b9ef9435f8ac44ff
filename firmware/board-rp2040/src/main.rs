//! The handheld on an RP2040: wiring only. Pins and power: `hardware-notes/boards/rp2040.md`.
//!
//! ```text
//!  interrupt executor (above all):  clock pin --stamp--> queue
//!  thread executor:                 the shell's tasks, and the watchdog's
//! ```
#![no_std]
#![no_main]

mod fault;
mod gauge;
mod spawn;
mod stamp;
mod voice;

use core::cell::RefCell;

use embassy_embedded_hal::flash::partition::BlockingPartition;
use embassy_executor::Spawner;
use embassy_rp::bind_interrupts;
use embassy_rp::clocks::RoscRng;
use embassy_rp::flash::{self, Flash};
use embassy_rp::gpio::{Input, Level, Output, OutputOpenDrain, Pull};
use embassy_rp::peripherals::{FLASH, UART0};
use embassy_rp::uart::{
    self, BufferedInterruptHandler, BufferedUart, BufferedUartRx, BufferedUartTx,
};
use embassy_rp::watchdog::Watchdog;
use embassy_sync::blocking_mutex::{Mutex, raw::NoopRawMutex};
use embassy_time::{Duration, Instant, Timer};
use hornrule_core::calliper;
use hornrule_core::device::{Device, Settings};
use hornrule_core::keypad::{COLUMNS, ROWS};
use hornrule_core::plan::Plans;
use hornrule_core::time::Micros;
use hornrule_protocol::{DeviceId, LogId};
use hornrule_shell::{self as shell, Looks, Matrix, Shell};
use static_cell::StaticCell;

use crate::gauge::Divider;
use crate::spawn::{send_spawn, spawn};
use crate::voice::Horn;

bind_interrupts!(struct Irqs {
    UART0_IRQ => BufferedInterruptHandler<UART0>;
});

/// The whole flash chip, and the log's position at its end (`memory.x` keeps code out of it).
const FLASH_BYTES: usize = 2 * 1024 * 1024;
const LOG_BYTES: u32 = 256 * 1024;
const LOG_AT: u32 = FLASH_BYTES as u32 - LOG_BYTES;
/// The plan's position, before the log.
const PLAN_BYTES: u32 = 64 * 1024;
const PLAN_AT: u32 = LOG_AT - PLAN_BYTES;
/// The position of the calliper's setting, before the plan: two pages.
const CALLIPER_BYTES: u32 = 8 * 1024;
const CALLIPER_AT: u32 = PLAN_AT - CALLIPER_BYTES;

const FIRMWARE: [u8; 3] = [0, 1, 0];
/// Voltage at which a lithium cell is nearly empty, millivolts (common practice, no source).
const BATTERY_LOW_MV: u16 = 3_400;
/// Longer than any flash operation (a page erase takes 400 ms at worst, from memory of a
/// datasheet).
const WATCHDOG: Duration = Duration::from_secs(4);

type Chip = Flash<'static, FLASH, flash::Blocking, FLASH_BYTES>;
type Part = BlockingPartition<'static, NoopRawMutex, Chip>;
type Board = Shell<'static, Part, Plans<Part>>;
type Keys = Matrix<Output<'static>, Input<'static>>;

#[embassy_executor::main]
async fn main(spawner: Spawner) {
    let p = embassy_rp::init(embassy_rp::config::Config::default());
    let mut dog = Watchdog::new(p.WATCHDOG);
    let (cause, fault) = fault::last(&mut dog);

    let horn = Horn::new(p.PWM_SLICE0, p.PIN_16, p.PIN_17, p.PIN_18, p.PIN_19);
    let mut chip: Chip = Flash::new_blocking(p.FLASH);
    let settings = Settings {
        device: number(&mut chip),
        fresh_log: LogId(RoscRng.next_u32()),
        firmware: FIRMWARE,
        cause,
        fault,
        calliper: calliper::Settings::DEFAULT,
        battery_low_mv: BATTERY_LOW_MV,
    };
    static FLASH_CHIP: StaticCell<Mutex<NoopRawMutex, RefCell<Chip>>> = StaticCell::new();
    let chip = FLASH_CHIP.init(Mutex::new(RefCell::new(chip)));
    let log = BlockingPartition::new(chip, LOG_AT, LOG_BYTES);
    let plan = BlockingPartition::new(chip, PLAN_AT, PLAN_BYTES);
    let calliper = BlockingPartition::new(chip, CALLIPER_AT, CALLIPER_BYTES);
    let plans = Plans::mount(plan).with_calliper(calliper);
    let device = Device::start(log, settings, plans);
    // Only now: a first format erases 64 pages, which takes seconds.
    dog.start(WATCHDOG);
    spawn(spawner, feed(dog));
    let device = match device {
        Ok(device) => device,
        Err(_) => return spawn(spawner, unusable(horn)),
    };
    static DEVICE: StaticCell<Device<Part, Plans<Part>>> = StaticCell::new();
    static BOARD: StaticCell<Board> = StaticCell::new();
    let board: &'static Board = BOARD.init(Shell::new(DEVICE.init(device), now));

    let (clock, level) = (Input::new(p.PIN_2, Pull::Up), Input::new(p.PIN_3, Pull::Up));
    send_spawn(stamp::executor(), stamp::stamp(clock, level));
    spawn(spawner, edges(board));
    spawn(spawner, time(board, OutputOpenDrain::new(p.PIN_4, Level::High)));
    spawn(spawner, pedal(board, Input::new(p.PIN_5, Pull::Up)));
    let rows: [Output; ROWS as usize] = [
        Output::new(p.PIN_6, Level::High),
        Output::new(p.PIN_7, Level::High),
        Output::new(p.PIN_8, Level::High),
        Output::new(p.PIN_9, Level::High),
        Output::new(p.PIN_10, Level::High),
    ];
    let columns: [Input; COLUMNS as usize] = [
        Input::new(p.PIN_11, Pull::Up),
        Input::new(p.PIN_12, Pull::Up),
        Input::new(p.PIN_13, Pull::Up),
        Input::new(p.PIN_14, Pull::Up),
    ];
    spawn(spawner, keys(board, Matrix { rows, columns }));
    spawn(spawner, cues(board, horn));
    spawn(spawner, battery(board, Divider::new(p.ADC, p.PIN_26)));

    static TO_OFFICE: StaticCell<[u8; 512]> = StaticCell::new();
    static FROM_OFFICE: StaticCell<[u8; 512]> = StaticCell::new();
    let (to, from) = (TO_OFFICE.init([0; 512]), FROM_OFFICE.init([0; 512]));
    // 115,200 baud 8N1 is the driver's default.
    let line = uart::Config::default();
    let (tx, rx) = BufferedUart::new(p.UART0, p.PIN_0, p.PIN_1, Irqs, to, from, line).split();
    spawn(spawner, send(board, tx));
    spawn(spawner, receive(board, rx));
}

fn now() -> Micros {
    Micros(Instant::now().as_micros())
}

/// The flash chip's own unique number.
fn number(chip: &mut Chip) -> DeviceId {
    let mut id = [0; 8];
    // A chip that does not answer is reported as number zero, and the office asks.
    let _unanswered = chip.blocking_unique_id(&mut id);
    DeviceId(u64::from_be_bytes(id))
}

#[embassy_executor::task]
async fn feed(mut dog: Watchdog) -> ! {
    loop {
        dog.feed(WATCHDOG);
        Timer::after(WATCHDOG / 4).await;
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
async fn time(board: &'static Board, request: OutputOpenDrain<'static>) -> ! {
    shell::time(board, request).await
}

#[embassy_executor::task]
async fn pedal(board: &'static Board, pin: Input<'static>) -> ! {
    shell::pedal(board, pin, Looks).await
}

#[embassy_executor::task]
async fn keys(board: &'static Board, matrix: Keys) -> ! {
    shell::keys(board, matrix, Looks).await
}

#[embassy_executor::task]
async fn cues(board: &'static Board, horn: Horn) -> ! {
    shell::cues(board, horn).await
}

#[embassy_executor::task]
async fn battery(board: &'static Board, divider: Divider) -> ! {
    shell::battery(board, divider).await
}

#[embassy_executor::task]
async fn send(board: &'static Board, tx: BufferedUartTx) -> ! {
    shell::line::send(board, tx, shell::line::NoTraces).await
}

#[embassy_executor::task]
async fn receive(board: &'static Board, rx: BufferedUartRx) -> ! {
    shell::line::receive(board, rx).await
}
