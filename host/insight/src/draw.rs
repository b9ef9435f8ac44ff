//! Random whole numbers: how many of a kind come up.
//!
//! ```text
//! binomial        successes in a number of tries, all with the same probability
//! hypergeometric  one of two kinds among a number drawn, none put back
//!
//!         mode
//!    4  2  0  1  3  5     probabilities are subtracted from one uniform number in this order,
//!                         until it is used up
//! ```

use super::distribution::ln_choose;
use super::luck::Luck;

/// Probabilities below this are lost in the rounding of a logarithm.
const NOTHING: f64 = 1e-20;

/// A distribution on whole numbers with one mode.
struct Whole<Up, Down> {
    mode: u64,
    ends: (u64, u64),
    /// The probability of the mode.
    chance: f64,
    /// The probability of the next number divided by that of this one.
    up: Up,
    /// The probability of the previous number divided by that of this one.
    down: Down,
}

impl<Up: Fn(u64) -> f64, Down: Fn(u64) -> f64> Whole<Up, Down> {
    /// One number, by inversion outwards from the mode (Kemp 1986, Commun Stat Theory Methods
    /// 15:805-813): about two standard deviations of steps. Exact except for the rounding of the
    /// probability of the mode, 1 part in 10^7 with ten million.
    fn draw(&self, luck: &mut Luck) -> u64 {
        let mut left = luck.part() - self.chance;
        let (mut above, mut below) = ((self.mode, self.chance), (self.mode, self.chance));
        while left > 0.0 {
            let (mut some, (low, high)) = (false, self.ends);
            if above.0 < high && above.1 > NOTHING {
                above = (above.0 + 1, above.1 * (self.up)(above.0));
                left -= above.1;
                some = true;
                if left <= 0.0 {
                    return above.0;
                }
            }
            if below.0 > low && below.1 > NOTHING {
                below = (below.0 - 1, below.1 * (self.down)(below.0));
                left -= below.1;
                some = true;
                if left <= 0.0 {
                    return below.0;
                }
            }
            if !some {
                break;
            }
        }
        self.mode
    }
}

impl Luck {
    /// The number of successes in `tries` with this probability of each, 0 to 1.
    pub(crate) fn binomial(&mut self, tries: u64, chance: f64) -> u64 {
        if tries == 0 || chance <= 0.0 {
            return 0;
        }
        if chance >= 1.0 {
            return tries;
        }
        let odds = chance / (1.0 - chance);
        let mode = (((tries + 1) as f64 * chance) as u64).min(tries);
        let ln = ln_choose(tries, mode)
            + mode as f64 * chance.ln()
            + (tries - mode) as f64 * (-chance).ln_1p();
        let up = |k: u64| (tries - k) as f64 / (k + 1) as f64 * odds;
        let down = |k: u64| k as f64 / (tries - k + 1) as f64 / odds;
        Whole { mode, ends: (0, tries), chance: ln.exp(), up, down }.draw(self)
    }

    /// How many of the first kind are among `draws` from a box with `first` of one kind and
    /// `others` of another, none put back.
    pub(crate) fn hypergeometric(&mut self, first: u64, others: u64, draws: u64) -> u64 {
        let all = first + others;
        let draws = draws.min(all);
        let ends = (draws.saturating_sub(others), draws.min(first));
        if ends.0 == ends.1 {
            return ends.0;
        }
        let middle = (draws + 1) as f64 * (first + 1) as f64 / (all + 2) as f64;
        let mode = (middle as u64).clamp(ends.0, ends.1);
        let ln = ln_choose(first, mode) + ln_choose(others, draws - mode) - ln_choose(all, draws);
        let up = |k: u64| {
            (first - k) as f64 * (draws - k) as f64
                / ((k + 1) as f64 * (others + k + 1 - draws) as f64)
        };
        let down = |k: u64| {
            k as f64 * (others + k - draws) as f64
                / ((first - k + 1) as f64 * (draws - k + 1) as f64)
        };
        Whole { mode, ends, chance: ln.exp(), up, down }.draw(self)
    }
}

#[cfg(test)]
mod tests {
    use super::super::distribution::chi_squared_above;
    use super::*;

    const DRAWS: u32 = 40_000;

    /// Chi squared of the numbers drawn against their probabilities, with numbers expected fewer
    /// than five times pooled. The seeds are fixed, so a p below 0.001 is a fault and not bad luck.
    fn fits(chance: impl Fn(u64) -> f64, most: u64, mut draw: impl FnMut() -> u64) {
        let mut seen = vec![0u32; most as usize + 1];
        for _ in 0..DRAWS {
            seen[draw() as usize] += 1;
        }
        let (mut statistic, mut cells) = (0.0, 0);
        let mut rest = (0.0, 0.0);
        for (k, seen) in (0..).zip(seen) {
            let expected = chance(k) * f64::from(DRAWS);
            rest = (rest.0 + expected, rest.1 + f64::from(seen));
            if rest.0 >= 5.0 {
                statistic += (rest.1 - rest.0).powi(2) / rest.0;
                (rest, cells) = ((0.0, 0.0), cells + 1);
            }
        }
        let p = chi_squared_above(f64::from(cells - 1), statistic);
        assert!(cells > 1 && p > 0.001, "{statistic} in {cells} cells, p = {p}");
    }

    #[test]
    fn binomial_numbers_come_as_often_as_they_should() {
        let mut luck = Luck::of(3);
        for (tries, p) in [(1, 0.3f64), (7, 0.02), (40, 0.5), (40, 0.97), (900, 0.31)] {
            let chance = |k: u64| {
                let ln = k as f64 * p.ln() + (tries - k) as f64 * (1.0 - p).ln();
                (ln_choose(tries, k) + ln).exp()
            };
            fits(chance, tries, || luck.binomial(tries, p));
        }
        assert_eq!(
            [luck.binomial(0, 0.5), luck.binomial(9, 0.0), luck.binomial(9, 1.0)],
            [0, 0, 9]
        );
    }

    #[test]
    fn hypergeometric_numbers_come_as_often_as_they_should() {
        let mut luck = Luck::of(4);
        for (first, others, draws) in
            [(1, 1, 1), (5, 20, 8), (20, 5, 8), (20, 5, 22), (300, 700, 400), (3, 9_997, 5_000)]
        {
            let chance = |k: u64| {
                if k > draws || draws - k > others {
                    return 0.0;
                }
                let ln = ln_choose(first, k) + ln_choose(others, draws - k);
                (ln - ln_choose(first + others, draws)).exp()
            };
            fits(chance, first, || luck.hypergeometric(first, others, draws));
        }
        assert_eq!(luck.hypergeometric(4, 0, 3), 3);
        assert_eq!(luck.hypergeometric(0, 4, 3), 0);
        assert_eq!(luck.hypergeometric(4, 4, 8), 4);
    }

    /// Ten million: mean and variance within five standard errors of 2,000 draws.
    #[test]
    fn large_numbers_keep_mean_and_variance() {
        let mut luck = Luck::of(5);
        let draws: Vec<f64> = (0..2000)
            .map(|_| luck.hypergeometric(4_000_000, 6_000_000, 5_000_000) as f64)
            .collect();
        let n = draws.len() as f64;
        let mean = draws.iter().sum::<f64>() / n;
        let variance = draws.iter().map(|k| (k - mean).powi(2)).sum::<f64>() / (n - 1.0);
        // draws * f * (1 - f) * (N - draws) / (N - 1).
        let want = 5e6 * 0.4 * 0.6 * 5e6 / (1e7 - 1.0);
        assert!((mean - 2e6).abs() < 5.0 * (want / n).sqrt(), "{mean}");
        assert!((variance / want - 1.0).abs() < 5.0 * (2.0 / n).sqrt(), "{variance}");
    }
}
