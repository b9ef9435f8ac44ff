//! The battery.

use embassy_time::{Duration, Timer};
use embedded_storage::nor_flash::NorFlash;
use hornrule_core::device::{Input, Plan};

use crate::Shell;

/// How often it is measured: a cell empties over hours.
const PERIOD: Duration = Duration::from_secs(30);

/// Measures the battery.
pub trait Gauge {
    /// Millivolts; zero if there is nothing to measure with.
    fn millivolts(&mut self) -> impl Future<Output = u16>;
}

/// Runs for ever.
pub async fn battery<F: NorFlash, P: Plan>(shell: &Shell<'_, F, P>, mut gauge: impl Gauge) -> ! {
    loop {
        let mv = gauge.millivolts().await;
        // A battery that cannot be measured is not an empty one.
        if mv > 0 {
            shell.input(Input::Battery(mv));
        }
        Timer::after(PERIOD).await;
    }
}
