//! Tables of counts: two by two, stratified, and along a scale.

use serde::Serialize;

use super::distribution::{chi_squared_above, ln_choose, normal_quantile_above};
use super::estimate::{Estimate, Level, Refusal, Verdict, all_finite, at_least};
use super::proportion::Count;
use super::sums::sum;

/// A fourfold table: two groups, each with and without.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fourfold {
    /// First group with.
    pub a: u64,
    /// First group without.
    pub b: u64,
    /// Second group with.
    pub c: u64,
    /// Second group without.
    pub d: u64,
}

impl Fourfold {
    /// From two counts, one for each group.
    #[must_use]
    pub const fn of(one: Count, other: Count) -> Self {
        Self {
            a: one.cases(),
            b: one.of() - one.cases(),
            c: other.cases(),
            d: other.of() - other.cases(),
        }
    }

    const fn all(self) -> u64 {
        self.a + self.b + self.c + self.d
    }
}

/// Fisher's exact test of a fourfold table.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Fisher {
    /// Two-sided: all tables no more likely than this one. The statistic is the conditional odds
    /// ratio.
    pub both: Verdict,
    /// One-sided: the first group has as many or more.
    pub more: Verdict,
    /// The conditional maximum likelihood estimate of the odds ratio, given the margins.
    pub odds_ratio: Estimate,
}

/// With more tables than this, only some are looked at.
const MANY: u64 = 10_000;
/// Standard deviations beyond which probabilities are below the smallest double.
const FAR: f64 = 40.0;

/// Smallest and largest number in the first cell with these margins.
const fn ends(table: Fourfold) -> (u64, u64) {
    let (row, column) = (table.a + table.b, table.a + table.c);
    (column.saturating_sub(table.c + table.d), if row < column { row } else { column })
}

/// Tables with these margins: (number in the first cell, logarithm of their weight at odds ratio
/// 1). Where there are many, only those close enough to `about` to matter at odds that make it
/// likely.
fn tables(table: Fourfold, about: u64) -> Vec<(f64, f64)> {
    let (row, column, all) = (table.a + table.b, table.a + table.c, table.all());
    let (mut least, mut most) = ends(table);
    if most - least >= MANY {
        let cells = [about, row - about, column - about, all - row - (column - about)];
        let spread = 1.0 / sum(cells.iter().map(|cell| 1.0 / (*cell as f64 + 0.5))).sqrt();
        let far = (FAR * (spread + 1.0)) as u64;
        (least, most) = (least.max(about.saturating_sub(far)), most.min(about + far));
    }
    (least..=most)
        .map(|a| (a as f64, ln_choose(row, a) + ln_choose(all - row, column - a)))
        .collect()
}

/// Probabilities of the tables at an odds ratio, given as its logarithm.
fn chances(tables: &[(f64, f64)], ln_odds: f64) -> Vec<f64> {
    let logs: Vec<f64> = tables.iter().map(|(a, ln)| ln + a * ln_odds).collect();
    let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let raw: Vec<f64> = logs.iter().map(|ln| (ln - top).exp()).collect();
    let all = sum(raw.iter().copied());
    raw.into_iter().map(|one| one / all).collect()
}

/// The odds ratio at which something that rises with it reaches a target.
fn odds_where(target: f64, rising: impl Fn(f64) -> f64) -> f64 {
    super::distribution::rising_root(-60.0, 60.0, target, rising).exp()
}

/// Fisher's exact test with the conditional odds ratio and its exact ends (Fisher 1935; noncentral
/// hypergeometric distribution as in Cornfield 1956; two-sided p as the sum over all tables that
/// are no more likely). n is all four cells.
///
/// # Errors
/// [`Refusal::TooFew`] where a margin is empty.
pub fn fisher(table: Fourfold, level: Level) -> Result<Fisher, Refusal> {
    let Fourfold { a, b, c, d } = table;
    for margin in [a + b, c + d, a + c, b + d] {
        if margin == 0 {
            return Err(Refusal::TooFew {
                of: "observations in a row or column",
                have: 0,
                need: 1,
            });
        }
    }
    let (least, most) = ends(table);
    // The most likely number at odds ratio 1.
    let middle = ((a + b + 1) as f64 * (a + c + 1) as f64 / (table.all() + 2) as f64) as u64;
    let all = tables(table, middle.clamp(least, most));
    let even = chances(&all, 0.0);
    let (seen, least, most) = (a as f64, least as f64, most as f64);
    let here = all.iter().zip(&even).find(|((x, _), _)| *x == seen).map_or(0.0, |(_, p)| *p);
    let both = sum(even.iter().copied().filter(|p| *p <= here * (1.0 + 1e-7))).min(1.0);
    let more = sum(all.iter().zip(&even).filter(|((x, _), _)| *x >= seen).map(|(_, p)| *p));
    let all = tables(table, a);
    let above = |ln_odds: f64| {
        let chances = chances(&all, ln_odds);
        sum(all.iter().zip(chances).filter(|((x, _), _)| *x >= seen).map(|(_, p)| p))
    };
    let below_or_here = |ln_odds: f64| {
        let chances = chances(&all, ln_odds);
        sum(all.iter().zip(chances).filter(|((x, _), _)| *x <= seen).map(|(_, p)| p))
    };
    let expected = |ln_odds: f64| {
        let chances = chances(&all, ln_odds);
        sum(all.iter().zip(chances).map(|((x, _), p)| x * p))
    };
    let value = if seen == least {
        0.0
    } else if seen == most {
        f64::INFINITY
    } else {
        odds_where(seen, expected)
    };
    let low = if seen == least { 0.0 } else { odds_where(level.tail(), above) };
    let high = if seen == most {
        f64::INFINITY
    } else {
        odds_where(1.0 - level.tail(), |ln_odds| 1.0 - below_or_here(ln_odds))
    };
    let (n, method) = (table.all(), "Fisher exact");
    let verdict = |p: f64| Verdict { statistic: value, df: None, p, n, method };
    Ok(Fisher {
        both: verdict(both),
        more: verdict(more.min(1.0)),
        odds_ratio: Estimate {
            value,
            low,
            high,
            level,
            n,
            method: "conditional odds ratio, exact",
        },
    })
}

/// Whether shares rise or fall along a scale (Cochran 1954, Armitage 1955, Biometrics 11:375-386):
/// chi squared with one degree of freedom, variance with divisor N. `scores` in any unit, one for
/// each group; n is all observations.
///
/// # Errors
/// [`Refusal`] with fewer than two groups, or where all observations are alike.
pub fn trend(groups: &[Count], scores: &[f64]) -> Result<Verdict, Refusal> {
    at_least("groups", groups.len(), 2)?;
    if groups.len() != scores.len() {
        return Err(Refusal::Unequal { one: groups.len(), other: scores.len() });
    }
    all_finite("a score", scores)?;
    let n: u64 = groups.iter().map(|one| one.of()).sum();
    let cases: u64 = groups.iter().map(|one| one.cases()).sum();
    let share = cases as f64 / n as f64;
    let weigh =
        |f: &dyn Fn(&Count, f64) -> f64| sum(groups.iter().zip(scores).map(|(g, s)| f(g, *s)));
    let middle = weigh(&|group, score| group.of() as f64 * score) / n as f64;
    let slope = weigh(&|group, score| group.cases() as f64 * (score - middle));
    let spread = weigh(&|group, score| group.of() as f64 * (score - middle).powi(2));
    if spread == 0.0 || cases == 0 || cases == n {
        return Err(Refusal::NoSpread { of: "groups" });
    }
    let statistic = slope * slope / (share * (1.0 - share) * spread);
    let p = chi_squared_above(1.0, statistic);
    Ok(Verdict { statistic, df: Some(1.0), p, n, method: "Cochran-Armitage trend" })
}

/// The common odds ratio of strata (Mantel and Haenszel 1959, J Natl Cancer Inst 22:719-748) with
/// the interval of Robins, Breslow and Greenland 1986 (Biometrics 42:311-323), and the test of no
/// association with continuity correction. n is all cells of all strata.
///
/// # Errors
/// [`Refusal`] where no stratum is informative.
pub fn mantel_haenszel(strata: &[Fourfold], level: Level) -> Result<(Estimate, Verdict), Refusal> {
    at_least("strata", strata.len(), 1)?;
    let (mut top, mut bottom) = (0.0, 0.0);
    let (mut pr, mut ps_qr, mut qs) = (0.0, 0.0, 0.0);
    let (mut off, mut variance) = (0.0, 0.0);
    for stratum in strata.iter().filter(|stratum| stratum.all() > 1) {
        let [a, b, c, d] = [stratum.a, stratum.b, stratum.c, stratum.d].map(|cell| cell as f64);
        let n = a + b + c + d;
        let (r, s) = (a * d / n, b * c / n);
        let (p, q) = ((a + d) / n, (b + c) / n);
        top += r;
        bottom += s;
        pr += p * r;
        ps_qr += p * s + q * r;
        qs += q * s;
        off += a - (a + b) * (a + c) / n;
        variance += (a + b) * (c + d) * (a + c) * (b + d) / (n * n * (n - 1.0));
    }
    if top == 0.0 || bottom == 0.0 || variance == 0.0 {
        return Err(Refusal::NoSpread { of: "strata" });
    }
    let value = top / bottom;
    let error =
        (pr / (2.0 * top * top) + ps_qr / (2.0 * top * bottom) + qs / (2.0 * bottom * bottom))
            .sqrt();
    let reach = normal_quantile_above(level.tail()) * error;
    let (low, high) = ((value.ln() - reach).exp(), (value.ln() + reach).exp());
    let n = strata.iter().map(|stratum| stratum.all()).sum();
    let corrected = (off.abs() - 0.5).max(0.0);
    let statistic = corrected * corrected / variance;
    let p = chi_squared_above(1.0, statistic);
    let method = "Mantel-Haenszel";
    Ok((
        Estimate { value, low, high, level, n, method },
        Verdict { statistic, df: Some(1.0), p, n, method },
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    fn table(a: u64, b: u64, c: u64, d: u64) -> Fourfold {
        Fourfold { a, b, c, d }
    }

    /// The lady tasting tea (R's `TeaTasting`): p values and odds ratio as in R `fisher.test` and
    /// scipy 1.17 `odds_ratio`. R finds the ends with a tolerance of 1.2e-4 in the probability and
    /// prints 0.2117329 and 621.93; those of scipy are where the tails are 0.025.
    #[test]
    fn tea_is_tasted_as_by_r() {
        let got = fisher(table(3, 1, 1, 3), Level::P95).unwrap();
        near(got.more.p, 0.242_857_1, 6e-8);
        near(got.both.p, 0.485_714_3, 6e-8);
        near(got.odds_ratio.value, 6.408_309, 2e-5);
        near(got.odds_ratio.low, 0.211_735_595_446_58, 1e-9);
        near(got.odds_ratio.high, 626.243_530_588_8, 1e-5);
        near(got.odds_ratio.low, 0.211_732_9, 1e-5);
        let right = fisher(table(4, 0, 0, 4), Level::P95).unwrap();
        near(right.more.p, 0.014_285_7, 6e-8);
        near(right.both.p, 0.028_571_4, 6e-8);
        assert!(right.odds_ratio.high.is_infinite());
    }

    /// 300,000 and ten million observations, where only tables close to the most likely one are
    /// looked at: scipy 1.17, `fisher_exact` and, for the smaller one, `odds_ratio`.
    #[test]
    fn large_tables_are_tested_as_by_scipy() {
        let got = fisher(table(120_000, 30_000, 119_850, 30_150), Level::P95).unwrap();
        near(got.both.p, 0.496_851_286_555, 1e-8);
        near(got.more.p, 0.248_425_643_278, 1e-8);
        near(got.odds_ratio.value, 1.006_257_801_354_5, 1e-9);
        near(got.odds_ratio.low, 0.988_389_501_563_9, 1e-9);
        near(got.odds_ratio.high, 1.024_449_259_688_7, 1e-9);
        let got = fisher(table(4_000_000, 1_000_000, 3_995_000, 1_005_000), Level::P95).unwrap();
        near(got.both.p, 7.868_798_876_7e-5, 1e-11);
        near(got.more.p, 3.934_399_438_4e-5, 1e-11);
        let got = fisher(table(4_000_000, 1_000_000, 3_000_000, 2_000_000), Level::P95).unwrap();
        assert_eq!((got.both.p, got.more.p), (0.0, 0.0));
        near(got.odds_ratio.value, 8.0 / 3.0, 1e-6);
    }

    /// Block and pain relief against trim only (Thomas and others 2015); p from scipy and R.
    #[test]
    fn a_claw_trials_two_arms() {
        let two = Fourfold::of(Count::new(23, 41).unwrap(), Count::new(11, 45).unwrap());
        near(fisher(two, Level::P95).unwrap().both.p, 0.003_960_6, 6e-8);
    }

    /// The example of R's `prop.trend.test` (smokers among patients, Fleiss 1981 p. 139).
    #[test]
    fn smokers_trend() {
        let groups =
            [(83, 86), (90, 93), (129, 136), (70, 82)].map(|(x, n)| Count::new(x, n).unwrap());
        let got = trend(&groups, &[1.0, 2.0, 3.0, 4.0]).unwrap();
        near(got.statistic, 8.2249, 6e-5);
        near(got.p, 0.004_132, 6e-7);
        assert_eq!(got.n, 397);
    }

    /// R's `mantelhaen.test(UCBAdmissions)` (Bickel, Hammel and O'Connell 1975).
    #[test]
    fn admissions_by_department() {
        let strata = [
            table(512, 313, 89, 19),
            table(353, 207, 17, 8),
            table(120, 205, 202, 391),
            table(138, 279, 131, 244),
            table(53, 138, 94, 299),
            table(22, 351, 24, 317),
        ];
        let (odds, test) = mantel_haenszel(&strata, Level::P95).unwrap();
        near(odds.value, 0.904_696_8, 6e-8);
        near(odds.low, 0.771_907_4, 6e-8);
        near(odds.high, 1.060_329_8, 6e-8);
        near(test.statistic, 1.4269, 6e-5);
        assert_eq!(odds.n, 4526);
    }

    #[test]
    fn empty_margins_are_refused() {
        assert!(fisher(table(0, 0, 3, 4), Level::P95).is_err());
        assert!(trend(&[Count::new(1, 2).unwrap()], &[1.0]).is_err());
        assert!(mantel_haenszel(&[table(0, 3, 0, 4)], Level::P95).is_err());
    }
}
