//! The serial line, awake only while a cable is plugged in: a listening receiver keeps the fast
//! clock running, a thousand times what the rest of a sleeping handheld needs.

use embassy_futures::select::select3;
use embassy_nrf::Peri;
use embassy_nrf::buffered_uarte::BufferedUarte;
use embassy_nrf::gpio::Input;
use embassy_nrf::peripherals::{P0_06, P0_08, PPI_CH0, PPI_CH1, PPI_GROUP0, TIMER1, UARTE0};
use embassy_nrf::uarte::Config;
use hornrule_shell::line;

use crate::{Board, Irqs};

/// What the line needs from the chip.
pub(crate) struct Cable {
    /// Low while a cable is in: its plug ties this pin to ground.
    pub(crate) plugged: Input<'static>,
    pub(crate) uart: Peri<'static, UARTE0>,
    pub(crate) timer: Peri<'static, TIMER1>,
    pub(crate) channels: (Peri<'static, PPI_CH0>, Peri<'static, PPI_CH1>),
    pub(crate) group: Peri<'static, PPI_GROUP0>,
    pub(crate) from_office: Peri<'static, P0_08>,
    pub(crate) to_office: Peri<'static, P0_06>,
}

/// Runs for ever: listens and answers while the cable is in.
#[embassy_executor::task]
pub(crate) async fn cable(board: &'static Board, mut cable: Cable) -> ! {
    loop {
        cable.plugged.wait_for_low().await;
        let (mut from, mut to) = ([0; 512], [0; 512]);
        let (tx, rx) = {
            let line = BufferedUarte::new(
                cable.uart.reborrow(),
                cable.timer.reborrow(),
                cable.channels.0.reborrow(),
                cable.channels.1.reborrow(),
                cable.group.reborrow(),
                cable.from_office.reborrow(),
                cable.to_office.reborrow(),
                Irqs,
                // 115,200 baud 8N1 is the driver's default.
                Config::default(),
                &mut from,
                &mut to,
            );
            let (rx, tx) = line.split();
            (tx, rx)
        };
        let out = cable.plugged.wait_for_high();
        select3(line::receive(board, rx), line::send(board, tx, line::NoTraces), out).await;
    }
}
