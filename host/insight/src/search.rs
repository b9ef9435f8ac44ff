//! The minimum of a function, and where a function crosses zero, in few calls.

/// The smaller part of a golden section.
const GOLD: f64 = 0.381_966_011_250_105_1;
const ROUNDS: u32 = 100;

/// A position and the value there.
type At = (f64, f64);

/// The minimum of a function with one valley, to within about `near`, and its value (Brent 1973,
/// *Algorithms for Minimization without Derivatives*, chapter 5). The low end is returned where it
/// is no higher.
pub(crate) fn lowest(low: f64, high: f64, near: f64, f: impl Fn(f64) -> f64) -> At {
    let first = low + GOLD * (high - low);
    let best = (first, f(first));
    let (from, best) = valley((low, high), [best; 3], near, &f);
    if from > low {
        return best;
    }
    let at_low = f(low);
    if at_low <= best.1 { (low, at_low) } else { best }
}

/// The same from a guess: steps away from it, each twice the last, until the function rises again.
pub(crate) fn lowest_about(
    guess: f64,
    step: f64,
    (low, high): (f64, f64),
    near: f64,
    f: impl Fn(f64) -> f64,
) -> At {
    let at = |place: f64| (place, f(place));
    let mut best = at(guess.clamp(low, high));
    let mut next = at(if best.0 + step <= high { best.0 + step } else { best.0 - step }.max(low));
    if next.1 <= best.1 {
        (best, next) = (next, best);
    }
    // `best` is the lower of the two; go on downhill, away from `next`.
    let mut step = best.0 - next.0;
    loop {
        let further = at((best.0 + step).clamp(low, high));
        if further.0 == best.0 {
            return best;
        }
        if further.1 >= best.1 {
            let ends = (next.0.min(further.0), next.0.max(further.0));
            return valley(ends, [best, next, further], near, &f).1;
        }
        (next, best, step) = (best, further, 2.0 * step);
    }
}

/// The minimum between two ends, from the best position so far and two others: by the minimum of
/// the parabola through the three where that helps, otherwise by golden section. Also returns how
/// far the lower end was raised.
fn valley(
    (mut from, mut to): (f64, f64),
    [mut best, mut second, mut third]: [At; 3],
    near: f64,
    f: &impl Fn(f64) -> f64,
) -> (f64, At) {
    let (mut step, mut before) = (0.0f64, if second.0 == best.0 { 0.0 } else { to - from });
    for _ in 0..ROUNDS {
        let middle = f64::midpoint(from, to);
        if (best.0 - middle).abs() + (to - from) / 2.0 <= 2.0 * near {
            break;
        }
        let useful = parabola(best, second, third).filter(|top| {
            let at = best.0 + top;
            top.abs() < before.abs() / 2.0 && at > from && at < to
        });
        if let Some(top) = useful {
            // As good as there already: the next step would show rounding only.
            if top.abs() < near && step != 0.0 && step.abs() < 1e3 * near {
                break;
            }
            (before, step) = (step, top);
            let at = best.0 + top;
            if at - from < 2.0 * near || to - at < 2.0 * near {
                step = near.copysign(middle - best.0);
            }
        } else {
            before = if best.0 < middle { to - best.0 } else { from - best.0 };
            step = GOLD * before;
        }
        let at = best.0 + if step.abs() < near { near.copysign(step) } else { step };
        let new = (at, f(at));
        if new.1 <= best.1 {
            if at < best.0 {
                to = best.0
            } else {
                from = best.0
            }
            (third, second, best) = (second, best, new);
        } else {
            if at < best.0 {
                from = at
            } else {
                to = at
            }
            if new.1 <= second.1 || second.0 == best.0 {
                (third, second) = (second, new);
            } else if new.1 <= third.1 || third.0 == best.0 || third.0 == second.0 {
                third = new;
            }
        }
    }
    (from, best)
}

/// The way from the first of three points to the minimum of the parabola through them.
fn parabola(one: At, two: At, three: At) -> Option<f64> {
    let r = (one.0 - two.0) * (one.1 - three.1);
    let q = (one.0 - three.0) * (one.1 - two.1);
    let above = (one.0 - three.0) * q - (one.0 - two.0) * r;
    let below = 2.0 * (q - r);
    (below != 0.0).then(|| -above / below)
}

/// Where a function crosses zero between two points of opposite sign, given with their values;
/// stops when the value is within `near` of zero. False position, with the value of an end that
/// stays halved (the Illinois method; Dowell and Jarratt 1971, BIT 11:168-174, from memory).
pub(crate) fn crossing(mut one: At, mut other: At, near: f64, f: impl Fn(f64) -> f64) -> f64 {
    let mut at = f64::midpoint(one.0, other.0);
    for _ in 0..ROUNDS {
        at = (one.0 * other.1 - other.0 * one.1) / (other.1 - one.1);
        let value = f(at);
        if value.abs() <= near || at == one.0 || at == other.0 {
            break;
        }
        if value * other.1 < 0.0 {
            one = other;
        } else {
            one.1 /= 2.0;
        }
        other = (at, value);
    }
    at
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use super::*;
    use crate::near::near;

    #[test]
    fn valleys_are_found_in_few_calls() {
        let calls = Cell::new(0);
        let counted = |value: f64| {
            calls.set(calls.get() + 1);
            value
        };
        // x - ln x is lowest at 1.
        let (at, least) = lowest(0.1, 9.0, 1e-7, |x| counted(x - x.ln()));
        near(at, 1.0, 1e-6);
        near(least, 1.0, 1e-12);
        assert!(calls.get() < 20, "{}", calls.get());
        calls.set(0);
        let (at, _) = lowest_about(0.98, 0.01, (0.1, 9.0), 1e-7, |x| counted(x - x.ln()));
        near(at, 1.0, 1e-6);
        assert!(calls.get() < 10, "{}", calls.get());
        near(lowest_about(7.0, 0.1, (0.1, 9.0), 1e-7, |x| x - x.ln()).0, 1.0, 1e-6);
        near(lowest_about(7.0, 0.1, (0.1, 9.0), 1e-7, |x| -x).0, 9.0, 1e-6);
        near(lowest_about(9.0, 0.1, (0.1, 9.0), 1e-7, |x| x).0, 0.1, 1e-6);
        // Lowest at the low end, at a kink, and at the high end.
        assert_eq!(lowest(0.0, 1.0, 1e-7, |x| 3.0 + x * x), (0.0, 3.0));
        assert_eq!(lowest(0.0, 1.0, 1e-7, |x| x).0, 0.0);
        near(lowest(0.0, 1.0, 1e-7, |x| (x - 0.97).abs()).0, 0.97, 1e-6);
        near(lowest(0.0, 1.0, 1e-7, |x| -x).0, 1.0, 1e-6);
    }

    #[test]
    fn crossings_are_found_from_either_side() {
        near(crossing((1.0, -1.0), (2.0, 2.0), 1e-12, |x| x * x - 2.0), 2f64.sqrt(), 1e-11);
        near(crossing((2.0, 2.0), (1.0, -1.0), 1e-12, |x| x * x - 2.0), 2f64.sqrt(), 1e-11);
        near(crossing((0.0, -1.0), (8.0, 7.0), 1e-12, |x| x.powi(9) - 1.0), 1.0, 1e-9);
    }
}
