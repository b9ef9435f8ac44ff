//! What a comparison of ways of gluing says, in words, and what it may advise.

use hornrule_facts::codes::BLOCK_USUAL;

use super::blocks::{Against, Way};
use super::{Answer, percent};

/// More blocks of a way than this nobody glues in years: no plan is made of them.
const MOST_NEEDED: f64 = 2000.0;

/// What may be concluded from a comparison.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Trust {
    /// Somebody chose the ways: nothing about which to use.
    Chosen,
    /// They were drawn, and cows are still being drawn.
    Open,
    /// They were drawn, and the trial is closed.
    Closed,
}

/// A comparison with the way that ours is held against, in words; empty where one of them is missing.
pub(super) fn sentence(
    one: &Against,
    ways: &[Way],
    held: u8,
    difference: f64,
    trust: Trust,
) -> String {
    let of = |action: u8| ways.iter().find(|way| way.action == action);
    let (Some(ours), Some(usual)) = (of(one.action), of(held)) else { return String::new() };
    let is_usual = held == BLOCK_USUAL;
    let (Answer::Told(here), Answer::Told(there)) = (&ours.after_28_days, &usual.after_28_days)
    else {
        let other = if is_usual { "the usual way".to_owned() } else { format!("way {held}") };
        return format!(
            "Too few blocks of this way ({}) or of {other} ({}) to compare them.",
            ours.blocks, usual.blocks
        );
    };
    let other = if is_usual { "the usual ones".to_owned() } else { format!("way {held}") };
    let shares = format!(
        "After 28 days {} of these are still on ({} to {}), of {other} {} ({} to {}).",
        percent(here.value),
        percent(here.low),
        percent(here.high),
        percent(there.value),
        percent(there.low),
        percent(there.high)
    );
    let verdict = match one.p_holm {
        Some(p) if p < 0.05 => shown(p, here.value > there.value, trust),
        Some(p) => {
            let planned = (one.power.told(), one.needed_for_difference.told());
            let power = if let (Some(power), Some(needed)) = planned {
                format!(
                    " A difference of {:.0} in 100 is seen in {} of such trials; {:.0} blocks of each way \
                     see it in 80 %.",
                    difference * 100.0,
                    percent(*power),
                    needed.ceil()
                )
            } else {
                String::new()
            };
            let needed = match one.needed.told() {
                Some(needed) if *needed <= MOST_NEEDED => format!(
                    " To show a difference as large as the one seen, {:.0} blocks of each way are \
                     needed; there are {} and {}.",
                    needed.ceil(),
                    ours.blocks,
                    usual.blocks
                ),
                Some(_) => {
                    " The shares seen are so close that counting on will not part them.".to_owned()
                }
                None => String::new(),
            };
            format!(
                "No difference is shown (p = {p:.2}), which does not mean there is none.{power}{needed}"
            )
        }
        None => "The two ways cannot be compared yet.".to_owned(),
    };
    format!("{shares} {verdict}")
}

/// What a difference that is shown allows to be said. Which way to use only where ways were drawn and
/// no more cows are: the rule of `LOT.md`.
fn shown(p: f64, longer: bool, trust: Trust) -> String {
    let seen = if longer {
        format!("They stay on longer than chance explains (p = {p:.4})")
    } else {
        format!("They come off sooner than chance explains (p = {p:.4})")
    };
    match (trust, longer) {
        (Trust::Chosen, _) => format!(
            "{seen}, but somebody chose the way, and for which cows is part of that: draw the ways \
             (hornrule trial draw) before you change yours."
        ),
        (Trust::Open, _) => format!(
            "{seen}, but the trial is open: who looks often enough finds a difference where there is \
             none. Wait until it is closed."
        ),
        (Trust::Closed, true) => format!("{seen}: glue this way, and keep counting."),
        (Trust::Closed, false) => format!("{seen}: not this way."),
    }
}
