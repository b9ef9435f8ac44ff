//! Statistics as pure functions on slices.
//!
//! ```text
//! counts, lengths, intervals in --> Estimate { value, low, high, n, method }
//!                              \--> Verdict  { statistic, df, p, n, method }
//!                              \--> Refusal: why the figures give no answer
//! ```
//!
//! Nothing here knows about databases, files, clocks or pages. Each function names its formula and
//! the source of it, the shape and unit of its inputs, and when it refuses. Every answer carries
//! its n, an interval or p value, and the name of its method; where there are too few figures, the
//! answer is a [`Refusal`] that says so.
//!
//! Floating-point numbers are used here and in no lower layer: lengths are nanometres and times are
//! milliseconds until a caller converts them.

pub mod agree;
pub mod band;
pub mod bunched;
pub mod chart;
pub mod cluster;
pub mod cluster_mean;
pub mod compare;
pub mod derived;
pub mod distribution;
pub mod estimate;
pub mod growth;
pub mod heel_difference;
pub mod icc;
pub mod interval;
pub mod kappa;
pub mod lot;
pub mod luck;
pub mod mixed;
pub mod proportion;
pub mod rate;
pub mod sole_estimate;
pub mod sums;
pub mod survival;
pub mod table;
pub mod toe_angle;
pub mod turnbull;
pub mod weibull;

mod draw;
mod kinds;
#[cfg(test)]
pub(crate) mod near;
mod newton;
mod search;
mod shuffle;
mod urn;

pub use cluster::{Cluster, Clustered, Split, cluster_difference, cluster_share};
pub use estimate::{Estimate, Level, Refusal, Verdict};
pub use proportion::{Count, clopper_pearson, difference, wilson};
pub use rate::{Exposure, rate, rate_ratio};
pub use sums::{mean, standard_deviation};
pub use table::{Fisher, Fourfold, fisher, mantel_haenszel, trend};
