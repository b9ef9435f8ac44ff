//! The search for Turnbull's curve with many observations: Newton's method on the few places that
//! have mass.
//!
//! ```text
//! places   . . . | . . . . | . . | . .      mass only at the places marked |
//! pull     _/\__ - __/\___ - ___ - ___      where the pull between them rises above 1, its peak
//!            ^       ^                      is added; a place whose mass falls to zero is dropped
//! ```
//!
//! In cumulative sums, only those at the two ends of an interval occur together, so the matrix of
//! second derivatives is sparse: intervals are short compared with the whole time.

use super::turnbull::Problem;

const ROUNDS: u32 = 300;
/// Halvings of a step.
const HALVINGS: u32 = 40;
/// With more places than this in play, the slower search takes over: the matrix grows with their
/// square.
const MOST: usize = 2_500;

impl Problem {
    /// The masses at the optimum, how close to it they are and the rounds it took; `None` where it
    /// is not reached. Each round adds places between those with mass, then maximises the
    /// second-order approximation of the likelihood over masses that are not negative (Wang 2008,
    /// Comput Stat Data Anal 52:2388-2402). The optimum is recognised by the same conditions as in
    /// the slower search.
    pub(crate) fn newton(&self, n: f64, near: f64) -> Option<(Vec<f64>, f64, u32)> {
        let mut masses = self.pierced();
        for round in 1..=ROUNDS {
            let pulls = self.pulls(&masses, n);
            let gap = pulls.iter().fold(0.0f64, |most, pull| most.max(pull - 1.0));
            if gap < near {
                return Some((masses, gap, round));
            }
            let free = free(&masses, &pulls);
            if free.len() > MOST {
                return None;
            }
            let goal = self.goal(&masses, free, n)?;
            masses = self.towards(&masses, &goal)?;
        }
        None
    }

    /// Equal masses at the fewest places that give every run at least one: taking runs in the order
    /// of their ends, the last place of each that has none yet.
    fn pierced(&self) -> Vec<f64> {
        let mut ends: Vec<(usize, usize)> =
            self.runs.iter().map(|(first, last, _)| (*last, *first)).collect();
        ends.sort_unstable();
        let mut masses = vec![0.0; self.places];
        let (mut after, mut many) = (0, 0.0);
        for (last, first) in ends {
            if first >= after {
                masses[last - 1] = 1.0;
                (after, many) = (last, many + 1.0);
            }
        }
        masses.iter_mut().for_each(|mass| *mass /= many);
        masses
    }

    /// Masses on the free places that maximise the approximation: go towards its unrestricted
    /// maximum until a mass reaches zero, drop that place, and repeat (Lawson and Hanson 1974,
    /// *Solving Least Squares Problems*, chapter 23).
    fn goal(&self, masses: &[f64], mut free: Vec<usize>, n: f64) -> Option<Vec<f64>> {
        let before = Self::before(masses);
        let mut now: Vec<f64> = free.iter().map(|place| masses[*place]).collect();
        while !free.is_empty() {
            let top = self.top(&before, &free, n);
            let part = now.iter().zip(&top).filter(|(_, top)| **top <= 0.0);
            let part = part.map(|(now, top)| now / (now - top)).fold(1.0f64, f64::min);
            if top.iter().all(|mass| *mass > 0.0) {
                let mut goal = vec![0.0; self.places];
                free.iter().zip(top).for_each(|(place, mass)| goal[*place] = mass);
                return Some(goal);
            }
            let on = now.iter().zip(&top).map(|(now, top)| {
                let next = now + part * (top - now);
                let falls = *top <= 0.0 && now / (now - top) <= part;
                if falls { 0.0 } else { next }
            });
            let on: Vec<f64> = on.collect();
            // Where both are zero the ratio is NaN: that place is dropped too.
            let stays = |(mass, top): (&f64, &f64)| *mass > 0.0 || *top > 0.0;
            let stays: Vec<bool> = on.iter().zip(&top).map(stays).collect();
            if stays.iter().all(|stays| *stays) {
                return None;
            }
            let mut keep = stays.iter();
            free.retain(|_| *keep.next().unwrap_or(&false));
            now = on.into_iter().zip(&stays).filter(|(_, stays)| **stays).map(|(m, _)| m).collect();
        }
        None
    }

    /// The unrestricted maximum of the approximation, by free place; masses may be negative.
    fn top(&self, before: &[f64], free: &[usize], n: f64) -> Vec<f64> {
        // The number of free places before each place, which is the index of the sum that ends
        // there.
        let mut sums = vec![0; self.places + 1];
        for place in free {
            sums[place + 1] = 1;
        }
        for place in 0..self.places {
            sums[place + 1] += sums[place];
        }
        let mut system = System::new(free.len());
        for (first, last, many) in &self.runs {
            let (from, to) = (sums[*first], sums[*last]);
            if from < to {
                let mass = before[*last] - before[*first];
                let weight = many / n;
                system.add(from, to, 2.0 * weight / mass, weight / (mass * mass));
            }
        }
        let mut last = 0.0;
        let mut top = system.solved();
        for sum in &mut top {
            (*sum, last) = (*sum - last, *sum);
        }
        top
    }

    /// As far towards `goal` as makes the curve more likely; `None` where nothing does.
    fn towards(&self, masses: &[f64], goal: &[f64]) -> Option<Vec<f64>> {
        let here = self.log_likelihood(masses);
        // At the optimum, likelihoods differ by rounding only.
        let least = here - 1e-14 * here.abs();
        let mut part = 1.0;
        for _ in 0..HALVINGS {
            let next = masses.iter().zip(goal).map(|(mass, goal)| mass + part * (goal - mass));
            let next: Vec<f64> = next.collect();
            let all: f64 = next.iter().sum();
            let next: Vec<f64> = next.into_iter().map(|mass| mass / all).collect();
            if self.log_likelihood(&next) >= least {
                return Some(next);
            }
            part /= 2.0;
        }
        None
    }
}

/// Places whose mass may change: those with mass, and between each two of them the one with the
/// greatest pull if that is above 1.
fn free(masses: &[f64], pulls: &[f64]) -> Vec<usize> {
    let mut free = Vec::new();
    let mut top: Option<usize> = None;
    for (place, (mass, pull)) in masses.iter().zip(pulls).enumerate() {
        if *mass > 0.0 {
            free.extend(top.take());
            free.push(place);
        } else if *pull > 1.0 && top.is_none_or(|top| *pull > pulls[top]) {
            top = Some(place);
        }
    }
    free.extend(top);
    free
}

/// Second and first derivatives with respect to the cumulative sums, of the log-likelihood minus
/// the sum of all masses; at the optimum that sum comes out as 1.
struct System {
    /// The lower half, row by row; each row starts at its first cell that is not zero.
    rows: Vec<Vec<f64>>,
    slope: Vec<f64>,
    /// Runs as (from, to, second derivative), until it is known where the rows start.
    pairs: Vec<(usize, usize, f64)>,
}

impl System {
    fn new(size: usize) -> Self {
        let mut slope = vec![0.0; size];
        if let Some(last) = slope.last_mut() {
            *last = -1.0;
        }
        Self { rows: vec![Vec::new(); size], slope, pairs: Vec::new() }
    }

    /// Adds a run between two sums; sum 0 is always zero.
    fn add(&mut self, from: usize, to: usize, slope: f64, bend: f64) {
        self.slope[to - 1] += slope;
        if from > 0 {
            self.slope[from - 1] -= slope;
        }
        self.pairs.push((from, to, bend));
    }

    /// Fills in the matrix, with rows as long as they need to be.
    fn assemble(&mut self) {
        let mut begins: Vec<usize> = (0..self.rows.len()).collect();
        for (from, to, _) in self.pairs.iter().filter(|(from, ..)| *from > 0) {
            begins[to - 1] = begins[to - 1].min(from - 1);
        }
        for (row, (cells, begin)) in self.rows.iter_mut().zip(&begins).enumerate() {
            cells.resize(row + 1 - begin, 0.0);
        }
        for (from, to, bend) in &self.pairs {
            let row = &mut self.rows[to - 1];
            let diagonal = row.len() - 1;
            row[diagonal] += bend;
            if *from > 0 {
                row[diagonal - (to - from)] -= bend;
                let row = &mut self.rows[from - 1];
                *row.last_mut().unwrap_or(&mut 0.0) += bend;
            }
        }
    }

    /// Where the slope is zero, by Cholesky decomposition within the rows.
    fn solved(mut self) -> Vec<f64> {
        self.assemble();
        let Self { mut rows, slope: mut at, .. } = self;
        for row in 0..rows.len() {
            let (above, below) = rows.split_at_mut(row);
            let cells = &mut below[0];
            let begin = row + 1 - cells.len();
            for column in begin..row {
                let other = &above[column];
                let from = begin.max(column + 1 - other.len());
                let (ours, theirs) = (&cells[from - begin..column - begin], other);
                let theirs = &theirs[from + theirs.len() - column - 1..];
                let products: f64 = ours.iter().zip(theirs).map(|(a, b)| a * b).sum();
                let pivot = theirs[theirs.len() - 1];
                cells[column - begin] = (cells[column - begin] - products) / pivot;
            }
            let (left, diagonal) = cells.split_at_mut(row - begin);
            let square = diagonal[0] - left.iter().map(|a| a * a).sum::<f64>();
            // A place that cannot be told from others has no pivot: it gets no mass.
            diagonal[0] = if square > 1e-13 * diagonal[0] { square.sqrt() } else { f64::INFINITY };
            let known: f64 = left.iter().zip(&at[begin..row]).map(|(a, b)| a * b).sum();
            at[row] = (at[row] - known) / diagonal[0];
        }
        for row in (0..rows.len()).rev() {
            let cells = &rows[row];
            let begin = row + 1 - cells.len();
            let value = at[row] / cells[row - begin];
            at[row] = value;
            for (one, cell) in at[begin..row].iter_mut().zip(cells) {
                *one -= value * cell;
            }
        }
        at
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::interval::{Between, cosmesis};
    use super::super::turnbull::{Ends, Search, Turnbull, turnbull_of};
    use crate::luck::Luck;
    use crate::near::near;

    fn both(counted: &[(Between, u64)]) -> [Turnbull; 2] {
        [usize::MAX, 0].map(|from| {
            let search = Search::of(counted.len(), from);
            turnbull_of(counted, Ends::HalfOpen, search).unwrap()
        })
    }

    fn counted(seen: Vec<Between>) -> Vec<(Between, u64)> {
        seen.into_iter().map(|one| (one, 1)).collect()
    }

    /// The masses of the slower search are checked against other programs in its own tests.
    #[test]
    fn both_searches_find_the_same_curve() {
        for seen in [cosmesis::radiation(), cosmesis::both()] {
            let [slow, quick] = both(&counted(seen));
            assert_eq!(slow.steps.len(), quick.steps.len());
            for (slow, quick) in slow.steps.iter().zip(&quick.steps) {
                assert_eq!((slow.after, slow.by), (quick.after, quick.by));
                near(slow.mass, quick.mass, 1e-7);
            }
            near(slow.log_likelihood, quick.log_likelihood, 1e-8);
            assert!(quick.gap < 1e-11 && quick.rounds < 30, "{quick:?}");
        }
    }

    /// Looks at arbitrary times: thousands of places, few of them with mass.
    #[test]
    fn looks_at_any_moment_take_few_rounds() {
        let mut luck = Luck::of(6);
        let seen = (0..6_000).map(|_| {
            let (lasts, first) = (luck.weibull(1.6, 50.0), 20.0 * luck.part());
            let looks = [0.0, first, first + 14.0 + luck.part(), first + 35.0 + luck.part()];
            let at = looks.iter().take_while(|look| **look < lasts).count();
            let by = looks.get(at).copied().unwrap_or(f64::INFINITY);
            Between::new(looks[at - 1], by).unwrap()
        });
        let counted = counted(seen.collect());
        let search = Search::of(counted.len(), 0);
        let curve = turnbull_of(&counted, Ends::HalfOpen, search).unwrap();
        assert!(curve.rounds < 40 && curve.gap < 1e-11, "{} {}", curve.rounds, curve.gap);
        // The true share; with looks at arbitrary times the curve gets close to it only slowly.
        near(curve.still(30.0).0, (-(0.6f64).powf(1.6)).exp(), 0.05);
    }

    proptest! {
        /// However intervals overlap, both searches reach the same likelihood. Masses may differ
        /// where places cannot be told apart.
        #[test]
        fn both_searches_reach_the_same_likelihood(
            seen in prop::collection::vec((0u8..30, 1u8..20, 1u64..50), 1..40),
        ) {
            let counted: Vec<(Between, u64)> = seen
                .into_iter()
                .map(|(after, long, many)| {
                    let after = f64::from(after);
                    let by = if long > 15 { f64::INFINITY } else { after + f64::from(long) };
                    (Between::new(after, by).unwrap(), many)
                })
                .collect();
            let [slow, quick] = both(&counted);
            let n = slow.n as f64;
            prop_assert!((slow.log_likelihood - quick.log_likelihood).abs() < 1e-9 * n);
            prop_assert!(quick.gap < 1e-7);
            let all: f64 = quick.steps.iter().map(|step| step.mass).sum();
            prop_assert!((all - 1.0).abs() < 1e-7);
        }
    }
}
