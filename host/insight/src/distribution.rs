//! Distributions: probabilities from `statrs`, quantiles by bisection.
//!
//! ```text
//! statrs (erfc, regularised beta and gamma) --> lower and upper tails --bisection--> quantiles
//! ```
//!
//! The inverses in `statrs` 0.19 fail in far tails (inverse beta with shapes of one half, inverse
//! gamma below 1e-3), and its t quantile is off by 3.5e-6 at 1e5 degrees of freedom; the tail
//! probabilities themselves agree with scipy 1.17 to 2e-10 (1,950 points). So only the tails are
//! used, and every quantile is a bisection on the small tail, which cannot fail: some sixty steps,
//! a few microseconds.

use statrs::function::beta::checked_beta_reg;
use statrs::function::erf::{erfc, erfc_inv};
use statrs::function::gamma::{checked_gamma_lr, checked_gamma_ur, ln_gamma};

/// Halvings of a bracket: a double has 53 bits, and brackets start less than 2^11 wide.
const HALVINGS: u32 = 80;
/// Doublings while looking for an upper bracket.
const DOUBLINGS: u32 = 200;

/// Where a rising function reaches a target between two ends; one of the ends where it does not.
pub(crate) fn rising_root(
    mut low: f64,
    mut high: f64,
    target: f64,
    rising: impl Fn(f64) -> f64,
) -> f64 {
    for _ in 0..HALVINGS {
        let middle = f64::midpoint(low, high);
        // Neighbours: there is nothing between them.
        if middle <= low || middle >= high {
            break;
        }
        if rising(middle) < target {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}

/// The same on the half line from zero.
pub(crate) fn rising_root_from_zero(target: f64, rising: impl Fn(f64) -> f64) -> f64 {
    let mut high = 1.0;
    for _ in 0..DOUBLINGS {
        if rising(high) >= target {
            break;
        }
        high *= 2.0;
    }
    rising_root(0.0, high, target, rising)
}

/// P(Z > z), standard normal.
#[must_use]
pub fn normal_above(z: f64) -> f64 {
    0.5 * erfc(z / std::f64::consts::SQRT_2)
}

/// The z exceeded with probability p, 0 < p < 1.
#[must_use]
pub fn normal_quantile_above(p: f64) -> f64 {
    std::f64::consts::SQRT_2 * erfc_inv(2.0 * p)
}

/// P(|Z| >= |z|), standard normal.
#[must_use]
pub fn normal_both(z: f64) -> f64 {
    (2.0 * normal_above(z.abs())).min(1.0)
}

/// P(B <= x), beta distribution; beyond [0, 1] the nearer end.
#[must_use]
pub fn beta_below(a: f64, b: f64, x: f64) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    if x >= 1.0 {
        return 1.0;
    }
    checked_beta_reg(a, b, x).unwrap_or(f64::NAN)
}

/// The x with probability p below it, beta distribution.
#[must_use]
pub fn beta_quantile(a: f64, b: f64, p: f64) -> f64 {
    rising_root(0.0, 1.0, p, |x| beta_below(a, b, x))
}

/// P(G <= x), gamma distribution with this shape and scale 1.
#[must_use]
pub fn gamma_below(shape: f64, x: f64) -> f64 {
    if x <= 0.0 { 0.0 } else { checked_gamma_lr(shape, x).unwrap_or(f64::NAN) }
}

/// P(G > x), gamma distribution with this shape and scale 1.
#[must_use]
pub fn gamma_above(shape: f64, x: f64) -> f64 {
    if x <= 0.0 { 1.0 } else { checked_gamma_ur(shape, x).unwrap_or(f64::NAN) }
}

/// The x with probability p below it, gamma distribution with this shape and scale 1.
#[must_use]
pub fn gamma_quantile(shape: f64, p: f64) -> f64 {
    rising_root_from_zero(p, |x| gamma_below(shape, x))
}

/// P(X > x), chi squared.
#[must_use]
pub fn chi_squared_above(df: f64, x: f64) -> f64 {
    gamma_above(df / 2.0, x / 2.0)
}

/// The x with probability p below it, chi squared.
#[must_use]
pub fn chi_squared_quantile(df: f64, p: f64) -> f64 {
    2.0 * gamma_quantile(df / 2.0, p)
}

/// P(|T| >= |t|), Student's t.
#[must_use]
pub fn t_both(df: f64, t: f64) -> f64 {
    beta_below(df / 2.0, 0.5, df / (df + t * t))
}

/// The t exceeded with probability p, 0 < p <= 0.5.
#[must_use]
pub fn t_quantile_above(df: f64, p: f64) -> f64 {
    // With more degrees of freedom than this, bisection gains nothing over the expansion of the
    // normal quantile (Abramowitz & Stegun 26.7.5, two terms: the next is below 1e-13).
    if df > 1e4 {
        let z = normal_quantile_above(p);
        let first = (z.powi(3) + z) / (4.0 * df);
        let second = (5.0 * z.powi(5) + 16.0 * z.powi(3) + 3.0 * z) / (96.0 * df * df);
        return z + first + second;
    }
    rising_root_from_zero(1.0 - 2.0 * p, |t| 1.0 - t_both(df, t))
}

/// P(F > x), F with df1 and df2 degrees of freedom, numerator and denominator.
#[must_use]
pub fn f_above(df1: f64, df2: f64, x: f64) -> f64 {
    if x <= 0.0 { 1.0 } else { beta_below(df2 / 2.0, df1 / 2.0, df2 / (df2 + df1 * x)) }
}

/// The x with probability p below it, F.
#[must_use]
pub fn f_quantile(df1: f64, df2: f64, p: f64) -> f64 {
    rising_root_from_zero(p, |x| 1.0 - f_above(df1, df2, x))
}

/// Natural logarithm of the binomial coefficient, n choose k.
#[must_use]
pub fn ln_choose(n: u64, k: u64) -> f64 {
    let ln_factorial = |m: u64| ln_gamma(m as f64 + 1.0);
    ln_factorial(n) - ln_factorial(k) - ln_factorial(n - k.min(n))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::near::near;

    /// scipy 1.17: `norm.isf`, `t.isf`, `chi2.ppf`, `f.ppf`, `beta.ppf`, `gamma.ppf`.
    #[test]
    fn quantiles_are_scipys() {
        near(normal_quantile_above(0.025), 1.959_963_984_540_054_5, 1e-12);
        near(t_quantile_above(9.0, 0.025), 2.262_157_162_798_205_3, 1e-9);
        near(t_quantile_above(16.0, 0.005), 2.920_781_622_425_100_6, 1e-9);
        near(t_quantile_above(1e5, 0.025), 1.959_987_707_534_61, 1e-11);
        near(chi_squared_quantile(1.0, 0.95), 3.841_458_820_694_04, 1e-9);
        near(f_quantile(5.0, 18.0, 0.975), 3.381_967_805_875_243, 1e-9);
        near(beta_quantile(0.5, 0.5, 0.025), 0.001_541_333_133_436_012, 1e-12);
        near(gamma_quantile(11.0, 0.025), 5.491_160_367_236_84, 1e-9);
        // Where the library's own inverse is off by 40 %: arcsine law, sin(pi p / 2) squared.
        near(beta_quantile(0.5, 0.5, 1e-8), 2.467_401_100_272_34e-16, 1e-22);
    }
}
