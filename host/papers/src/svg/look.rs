//! How lines and marks differ: by pattern and shape first, by hue last.
//!
//! ```text
//! 0  ──●──   black      2  ··▲··   vermilion     4  ——○——   purple
//! 1  - ■ -   blue       3  —·◆·—   green         5  —··×    orange
//! ```
//!
//! Hues are Okabe and Ito's eight for every kind of colour vision (Color Universal Design, 2008;
//! values from memory). In grey, each is recognised by its pattern and its mark.

use super::Svg;

/// The shape of a mark.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// A filled circle.
    Disc,
    /// A filled square.
    Square,
    /// A filled triangle.
    Triangle,
    /// A filled square on its corner.
    Diamond,
    /// An empty circle.
    Ring,
    /// Two strokes.
    Cross,
}

/// How one series looks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Look {
    /// Colour of line and mark.
    pub hue: &'static str,
    /// Pattern of the line as `stroke-dasharray` takes it; empty for an unbroken one.
    pub dash: &'static str,
    /// Mark.
    pub mark: Mark,
    /// How thick the line is.
    pub wide: f64,
}

impl Look {
    /// In the order in which they are given out.
    pub const ALL: [Self; 6] = [
        Self::made("#000000", "", Mark::Disc),
        Self::made("#0072b2", "8 4", Mark::Square),
        Self::made("#d55e00", "2 3", Mark::Triangle),
        Self::made("#009e73", "10 3 2 3", Mark::Diamond),
        Self::made("#aa4499", "14 4", Mark::Ring),
        Self::made("#b87800", "10 3 2 3 2 3", Mark::Cross),
    ];
    /// What is aimed at, or compared with.
    pub const QUIET: Self = Self { hue: "#555555", dash: "4 3", mark: Mark::Ring, wide: 1.1 };
    /// What is not known.
    pub const UNKNOWN: Self = Self { hue: "#555555", dash: "1 2.5", mark: Mark::Ring, wide: 1.2 };

    const fn made(hue: &'static str, dash: &'static str, mark: Mark) -> Self {
        Self { hue, dash, mark, wide: 2.0 }
    }

    /// The look of a series by its place; they begin again after the sixth.
    #[must_use]
    pub const fn of(place: usize) -> Self {
        Self::ALL[place % Self::ALL.len()]
    }

    /// The same, thinner.
    #[must_use]
    pub const fn thin(self) -> Self {
        Self { wide: 1.0, ..self }
    }

    pub(super) fn mark(self, svg: &mut Svg, (x, y): (f64, f64), r: f64) {
        let hue = self.hue;
        match self.mark {
            Mark::Disc => svg.add(format_args!(
                "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{r:.1}\" fill=\"{hue}\"/>"
            )),
            Mark::Ring => svg.add(format_args!(
                "<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"{r:.1}\" fill=\"#ffffff\" \
                 stroke=\"{hue}\" stroke-width=\"1\"/>"
            )),
            Mark::Square => svg.add(format_args!(
                "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{2:.1}\" height=\"{2:.1}\" fill=\"{hue}\"/>",
                x - r * 0.9,
                y - r * 0.9,
                1.8 * r
            )),
            Mark::Triangle => self.corners(
                svg,
                &[(x, y - r * 1.2), (x + r * 1.1, y + r * 0.8), (x - r * 1.1, y + r * 0.8)],
            ),
            Mark::Diamond => self.corners(
                svg,
                &[(x, y - r * 1.3), (x + r * 1.1, y), (x, y + r * 1.3), (x - r * 1.1, y)],
            ),
            Mark::Cross => svg.add(format_args!(
                "<path d=\"M{:.1} {:.1} L{:.1} {:.1} M{0:.1} {3:.1} L{2:.1} {1:.1}\" \
                 stroke=\"{hue}\" stroke-width=\"1.3\" fill=\"none\"/>",
                x - r,
                y - r,
                x + r,
                y + r
            )),
        }
    }

    fn corners(self, svg: &mut Svg, corners: &[(f64, f64)]) {
        let path = joined(corners);
        svg.add(format_args!("<path d=\"M{path} Z\" fill=\"{}\"/>", self.hue));
    }

    pub(super) fn line(self, svg: &mut Svg, points: &[(f64, f64)]) {
        if points.len() < 2 {
            return;
        }
        let Self { hue, dash, wide, .. } = self;
        let pattern =
            if dash.is_empty() { String::new() } else { format!(" stroke-dasharray=\"{dash}\"") };
        svg.add(format_args!(
            "<path d=\"M{}\" fill=\"none\" stroke=\"{hue}\" stroke-width=\"{wide}\" \
             stroke-linejoin=\"round\"{pattern}/>",
            joined(points)
        ));
    }
}

pub(super) fn joined(points: &[(f64, f64)]) -> String {
    let all: Vec<String> = points.iter().map(|(x, y)| format!("{x:.1} {y:.1}")).collect();
    all.join(" L")
}
