//! The proof, sans-IO: raw packets in, what they mean or why that is in doubt out.
//!
//! ```text
//! Zero --0--> Gauge --+block--> Negative --minus block--> Inch --minus block, in inches--> proved
//!   ^ doubt: the same step again; nothing is taken of it
//! ```

use hornrule_core::calliper::{Shown, open};
use hornrule_protocol::Nanometres;
use hornrule_protocol::calliper::{CalliperSetting, Pace, RawPacket};
use hornrule_protocol::record::{CalliperKind, UnitMode};

use super::candidates::candidates;

/// How far off a step's length may be: a block held in a hand, read on a display of 0.01 mm. A wrong
/// slope or sign is off by far more. Common practice, no source.
const TOLERANCE_NM: u32 = 50_000;

/// Number of broken packets allowed in one step: the line is at rest, so none should be.
const BROKEN_AT_MOST: usize = 1;

/// What the person does with the calliper.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Step {
    /// Closed and zeroed: it reads 0.
    Zero,
    /// On the block.
    Gauge,
    /// Zeroed on the block, then closed: it reads minus the block.
    Negative,
    /// The same in inches.
    Inch,
}

impl Step {
    /// In the order in which they are done.
    pub const ALL: [Self; 4] = [Self::Zero, Self::Gauge, Self::Negative, Self::Inch];

    /// What the display shows then.
    #[must_use]
    pub const fn expected(self, gauge: Nanometres) -> Nanometres {
        match self {
            Self::Zero => Nanometres(0),
            Self::Gauge => gauge,
            Self::Negative | Self::Inch => Nanometres(-gauge.0),
        }
    }

    const fn unit(self) -> UnitMode {
        match self {
            Self::Zero | Self::Gauge | Self::Negative => UnitMode::Millimetre,
            Self::Inch => UnitMode::Inch,
        }
    }
}

/// What a step showed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Seen {
    /// By the newest packet.
    pub length: Nanometres,
    /// As the calliper is set; callipers of two words do not tell it.
    pub unit: UnitMode,
}

/// Why a step is in doubt.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Doubt {
    /// Nothing came.
    #[error(
        "the calliper sends nothing; check its switch, battery and plug, and that this handheld \
         supports its output"
    )]
    Silent,
    /// What came is not a packet of a known kind.
    #[error(
        "unknown packets (bits in each: {0}); check the plug, and keep the cable away from that of \
         the grinder"
    )]
    Broken(String),
    /// Packets that contradict each other.
    #[error(
        "the packets disagree ({0} mm); hold the jaws still. If they were still, do not trust this \
         calliper"
    )]
    Disagree(String),
    /// Another length, or another unit, than the step should give.
    #[error("it shows {shown}, not {:.2} mm{unit}; repeat this step", .expected.as_mm())]
    Unexpected {
        /// What it shows, in each reading that is still possible.
        shown: String,
        /// What it should show.
        expected: Nanometres,
        /// " in inches" where that was asked.
        unit: &'static str,
    },
    /// Well-formed, and not what it was before.
    #[error(
        "what it sends now does not fit the steps before; start again. If that does not help, do \
         not trust this calliper"
    )]
    Changed,
    /// Settings are left that read the same packets differently.
    #[error("two ways of reading it fit equally well; use a longer gauge block")]
    Undecided,
}

/// A proof under way.
#[derive(Clone, Debug)]
pub struct Proof {
    gauge: Nanometres,
    done: usize,
    left: Vec<CalliperSetting>,
    heard: Vec<RawPacket>,
}

/// What one setting makes of a step's packets.
enum Reading {
    /// Too few packets are of its kind.
    Other,
    /// Of its kind, and no value.
    Nonsense,
    /// Values that contradict each other.
    Disagree(Vec<Nanometres>),
    /// One value.
    Value(Shown),
}

impl Proof {
    /// With a block of this size; it must not be zero.
    #[must_use]
    pub fn new(gauge: Nanometres) -> Self {
        Self { gauge, done: 0, left: candidates(), heard: Vec::new() }
    }

    /// What is to be done next; `None` when all is proved.
    #[must_use]
    pub fn step(&self) -> Option<Step> {
        Step::ALL.get(self.done).copied()
    }

    /// How quickly the settings that are left send; `None` while both are possible.
    #[must_use]
    pub fn pace(&self) -> Option<Pace> {
        let first = self.left.first().map(|setting| pace(setting.kind))?;
        self.left.iter().all(|setting| pace(setting.kind) == first).then_some(first)
    }

    /// The setting, when all steps are done.
    #[must_use]
    pub fn proved(&self) -> Option<CalliperSetting> {
        if self.step().is_some() { None } else { self.left.first().copied() }
    }

    /// Takes the packets of the step that is next.
    ///
    /// # Errors
    /// [`Doubt`]: nothing was taken, the step is to be done again.
    pub fn on(&mut self, packets: &[RawPacket]) -> Result<Seen, Doubt> {
        let Some(step) = self.step() else { return Err(Doubt::Changed) };
        let mut fits: Vec<(CalliperSetting, Shown)> = Vec::new();
        let mut others: Vec<Reading> = Vec::new();
        for setting in &self.left {
            match read(packets, *setting) {
                Reading::Value(shown) if self.is_expected(step, shown) => {
                    fits.push((*setting, shown));
                }
                other => others.push(other),
            }
        }
        let Some((_, shown)) = fits.first() else {
            return Err(self.doubt(step, packets, &others));
        };
        let seen = Seen { length: shown.length, unit: shown.unit };
        let left: Vec<CalliperSetting> = fits.iter().map(|(setting, _)| *setting).collect();
        let heard: Vec<RawPacket> = self.heard.iter().chain(packets).copied().collect();
        if self.done + 1 == Step::ALL.len() && !alike(&left, &heard) {
            return Err(Doubt::Undecided);
        }
        self.left = left;
        self.heard = heard;
        self.done += 1;
        Ok(seen)
    }

    fn is_expected(&self, step: Step, shown: Shown) -> bool {
        let unit = shown.kind == CalliperKind::Words48 || shown.unit == step.unit();
        unit && shown.length.distance(step.expected(self.gauge)) <= TOLERANCE_NM
    }

    /// Why none fits: the complaint that comes nearest to a value.
    fn doubt(&self, step: Step, packets: &[RawPacket], readings: &[Reading]) -> Doubt {
        if packets.is_empty() {
            return Doubt::Silent;
        }
        let mut shown: Vec<String> = Vec::new();
        let mut disagree: Option<&[Nanometres]> = None;
        let mut nonsense = false;
        for reading in readings {
            match reading {
                Reading::Value(value) => {
                    let unit = if value.unit == UnitMode::Inch { " (in inches)" } else { "" };
                    let text = format!("{:.2} mm{unit}", value.length.as_mm());
                    if !shown.contains(&text) {
                        shown.push(text);
                    }
                }
                Reading::Disagree(lengths) => disagree = disagree.or(Some(lengths)),
                Reading::Nonsense => nonsense = true,
                Reading::Other => {}
            }
        }
        if !shown.is_empty() {
            return Doubt::Unexpected {
                shown: shown.join(" or "),
                expected: step.expected(self.gauge),
                unit: if step == Step::Inch { " in inches" } else { "" },
            };
        }
        if let Some(lengths) = disagree {
            let lengths: Vec<String> =
                lengths.iter().map(|length| format!("{:.2}", length.as_mm())).collect();
            return Doubt::Disagree(lengths.join(", "));
        }
        if nonsense && step != Step::Zero {
            return Doubt::Changed;
        }
        let counts: Vec<String> = packets
            .iter()
            .map(|packet| packet.fall.count.max(packet.rise.count).to_string())
            .collect();
        Doubt::Broken(counts.join(", "))
    }
}

const fn pace(kind: CalliperKind) -> Pace {
    match kind {
        CalliperKind::Sync24 | CalliperKind::Bcd52 => Pace::Usual,
        CalliperKind::Words48 | CalliperKind::Nibbles28 => Pace::Quick,
    }
}

fn read(packets: &[RawPacket], setting: CalliperSetting) -> Reading {
    let opened: Vec<_> = packets.iter().filter_map(|packet| open(packet, setting)).collect();
    if opened.is_empty() || opened.len() + BROKEN_AT_MOST < packets.len() {
        return Reading::Other;
    }
    let values: Vec<Shown> = opened.iter().filter_map(|one| one.ok()).collect();
    if values.len() < opened.len() {
        return Reading::Nonsense;
    }
    match values.last() {
        Some(last) if values.windows(2).all(|two| two[0].agrees(two[1])) => Reading::Value(*last),
        Some(_) | None => Reading::Disagree(values.iter().map(|shown| shown.length).collect()),
    }
}

/// Whether these settings read all that was heard alike: then it is all one which is taken.
fn alike(settings: &[CalliperSetting], heard: &[RawPacket]) -> bool {
    settings.windows(2).all(|two| {
        heard.iter().all(|packet| match (open(packet, two[0]), open(packet, two[1])) {
            (Some(Ok(one)), Some(Ok(other))) => one.agrees(other),
            // A packet that one of them cannot read says nothing about the other.
            _ => true,
        })
    })
}
