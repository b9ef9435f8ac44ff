//! Calliper edges, with their times.

use embedded_storage::nor_flash::NorFlash;
use hornrule_core::calliper::Edge;
use hornrule_core::device::{Input, Plan};
use hornrule_core::time::Micros;

use crate::Shell;

/// Where edges come from: a time-stamping interrupt, different on every board.
pub trait EdgeSource {
    /// The next change of the clock line (those of the data line may be left out), both levels just
    /// after it, and its time on the board's clock.
    fn next(&mut self) -> impl Future<Output = (Edge, Micros)>;
}

/// Runs for ever.
pub async fn edges<F: NorFlash, P: Plan>(
    shell: &Shell<'_, F, P>,
    mut source: impl EdgeSource,
) -> ! {
    loop {
        let (edge, at) = source.next().await;
        shell.input_at(Input::Edge(edge), at);
    }
}
