//! The battery.

use embassy_time::{Duration, Timer};
use embedded_storage::nor_flash::NorFlash;
use hornrule_core::chute::DayPlan;
use hornrule_core::device::Input;

use crate::Shell;

/// How often it is measured: a cell empties over hours.
const PERIOD: Duration = Duration::from_secs(30);

/// Measures the battery.
pub trait Gauge {
    /// Millivolts; nothing where it could not be measured.
    fn millivolts(&mut self) -> impl Future<Output = Option<u16>>;
}

/// Runs for ever.
pub async fn battery<F: NorFlash, P: DayPlan>(shell: &Shell<'_, F, P>, mut gauge: impl Gauge) -> ! {
    loop {
        if let Some(mv) = gauge.millivolts().await {
            shell.input(Input::Battery(mv));
        }
        Timer::after(PERIOD).await;
    }
}
