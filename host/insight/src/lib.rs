//! Insight: statistics, as pure functions on slices.
//!
//! ```text
//! counts, lengths, intervals in --> Estimate { value, low, high, n, method }
//!                              \--> Verdict  { statistic, df, p, n, method }
//!                              \--> Refusal: why the figures do not carry an answer
//! ```
//!
//! Nothing here knows a database, a file, a clock or a page. Each function names its formula and
//! where it is from, the shapes and units of what goes in, and when it refuses. No answer leaves
//! without its n, its interval or p value, and the name of its method; where there are too few
//! figures there is no answer but a [`Refusal`] that says so.
//!
//! Floats live here and nowhere below: lengths are nanometres and times are milliseconds until a
//! caller hands them in.

pub mod agree;
pub mod band;
pub mod bunched;
pub mod chart;
pub mod cluster;
pub mod compare;
pub mod distribution;
pub mod estimate;
pub mod growth;
pub mod icc;
pub mod interval;
pub mod kappa;
pub mod luck;
pub mod mixed;
pub mod proportion;
pub mod rate;
pub mod sums;
pub mod survival;
pub mod table;
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
