//! Figures of the questions: what an answer looks like on paper.
//!
//! ```text
//! Blocks, Healing, Horn, Agreement --(Words)--> Sheet --svg--> SVG, PNG
//! ```
//!
//! Every figure says in itself its units, its numbers, its intervals and its methods: it is to be
//! understood when it is cut out. Where there is nothing to draw there is no figure.

mod agreement;
mod blocks;
mod curve;
mod gauge;
mod growth;
mod healing;
mod unit;

#[cfg(test)]
mod tests;

pub use agreement::agreement;
pub use blocks::blocks;
pub use gauge::gauge;
pub use growth::growth;
pub use healing::healing;

use crate::words::{Say, Words};
use hornrule_insight::Estimate;

/// "3.96 (3.87 to 4.05)".
fn estimate(words: &Words, one: &Estimate, decimals: usize) -> String {
    let number = |value: f64| signed(words, value, decimals);
    range(words, number(one.value), number(one.low), number(one.high))
}

/// "56 % (45 % to 66 %)".
fn share(words: &Words, one: &Estimate) -> String {
    range(words, words.percent(one.value), words.percent(one.low), words.percent(one.high))
}

fn range(words: &Words, share: String, low: String, high: String) -> String {
    words.say(Say::ShareWithRange { share: share.into(), low: low.into(), high: high.into() })
}

/// A minus as printers set it.
fn signed(words: &Words, value: f64, decimals: usize) -> String {
    words.decimal(value, decimals).replace('-', "\u{2212}")
}
