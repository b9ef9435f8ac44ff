//! The unit that lengths are drawn in. Answers are in millimetres; a figure is in what its reader
//! cuts to.

use crate::words::Words;
use hornrule_facts::LengthUnit;
use hornrule_insight::Estimate;
use hornrule_insight::agree::BlandAltman;
use hornrule_insight::chart::Chart;
use hornrule_insight::growth::Growth;

/// Millimetres or inches.
#[derive(Clone, Copy)]
pub(super) struct Unit {
    per_mm: f64,
    /// Decimals more than millimetres have.
    finer: usize,
    /// "mm" or "in".
    pub(super) sign: &'static str,
}

impl Unit {
    pub(super) const fn of(words: &Words) -> Self {
        let (per_mm, finer) = match words.unit() {
            LengthUnit::Millimetre => (1.0, 0),
            LengthUnit::Inch => (1e6 / LengthUnit::NM_PER_INCH, 1),
        };
        Self { per_mm, finer, sign: words.unit_sign() }
    }

    /// As many decimals as are as fine as so many of millimetres.
    pub(super) const fn places(self, of_mm: usize) -> usize {
        of_mm + self.finer
    }

    pub(super) fn length(self, mm: f64) -> f64 {
        mm * self.per_mm
    }

    pub(super) fn estimate(self, one: &Estimate) -> Estimate {
        let ends = (self.length(one.low), self.length(one.high));
        Estimate { value: self.length(one.value), low: ends.0, high: ends.1, ..*one }
    }

    pub(super) fn growth(self, growth: &Growth) -> Growth {
        Growth {
            slope: self.estimate(&growth.slope),
            spread: self.length(growth.spread),
            spread_between: growth.spread_between.map(|one| self.estimate(&one)),
            error: self.length(growth.error),
            next: (self.length(growth.next.0), self.length(growth.next.1)),
            ..*growth
        }
    }

    pub(super) fn limits(self, limits: &BlandAltman) -> BlandAltman {
        BlandAltman {
            bias: self.estimate(&limits.bias),
            spread: self.length(limits.spread),
            lower: self.estimate(&limits.lower),
            upper: self.estimate(&limits.upper),
        }
    }

    pub(super) fn chart(self, chart: &Chart) -> Chart {
        Chart {
            centre: self.length(chart.centre),
            low: self.length(chart.low),
            high: self.length(chart.high),
            ..chart.clone()
        }
    }
}
