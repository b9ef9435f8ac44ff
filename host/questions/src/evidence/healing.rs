//! How long lesions take to be covered by sound horn, by what they were and what was done; how their
//! area shrinks; how long a healed claw stays sound.

use std::collections::BTreeMap;

use hornrule_protocol::Action;
use hornrule_protocol::codes::Grades;
use serde::Serialize;

use super::cases::{Case, TREATMENTS, follow};
use super::{Answer, Bands, Cow, DRAWS, SEED, holm};
use hornrule_facts::codes::BLOCK_USUAL;
use hornrule_herd::Said;
use hornrule_insight::band::Band;
use hornrule_insight::bunched::{Bunch, compare_bunches};
use hornrule_insight::compare::Compared;
use hornrule_insight::growth::{Growth, growth};
use hornrule_insight::interval::Between;
use hornrule_insight::turnbull::{Turnbull, turnbull};
use hornrule_insight::weibull::weibull;
use hornrule_insight::{Count, Estimate, Level, cluster_share};

const SHUFFLES: u32 = 4000;
/// How long a healed claw is asked to stay sound, days: from one trimming to the next, about four
/// months (common practice, no source).
const SOUND_DAYS: f64 = 120.0;

/// What puts cases together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// How bad it was when found.
    Severity,
    /// Which lesion it was.
    Lesion,
    /// What was done to the foot in the stay in which it was found. A case may be in several.
    Action,
}

/// Cases that belong together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Group {
    /// By what.
    pub kind: Kind,
    /// Its number in the code tables: grade, lesion or action; 10 is a block glued any way.
    pub code: u8,
    /// Lesion letters, severity or action.
    pub what: String,
    /// Cases seen again.
    pub cases: u64,
    /// Of them, seen healed.
    pub healed: u64,
    /// Cases never seen again: they say nothing.
    pub unseen: u64,
    /// Days until half are healed.
    pub half_healed: Answer<Estimate>,
    /// Share not yet healed after 28 days.
    pub open_after_28_days: Answer<Estimate>,
    /// What is known of each case, days from finding; no `by` where it was not seen healed.
    pub intervals: Vec<Between>,
    /// The curve without a form.
    pub curve: Answer<Turnbull>,
    /// The band about it, by cow, day by day for six weeks.
    pub band: Answer<Band>,
    /// The curve without a form and its band after 28 days.
    pub without_form_after_28_days: Answer<Estimate>,
}

/// Lesions with which something was done against those with which it was not.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Treated {
    /// The action; 10 is a block glued any way.
    pub action: u8,
    /// In words.
    pub what: String,
    /// Lesions seen again with it.
    pub with: u64,
    /// And without.
    pub without: u64,
    /// Within severities, by cow; a score above nought heals sooner with it.
    pub test: Answer<Compared>,
    /// Its p by shuffling, after Holm.
    pub p_holm: Option<f64>,
}

/// How healed claws went on.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Recurrence {
    /// Healed claws looked at again on a later day.
    pub claws: u64,
    /// Of them, found with a lesion again.
    pub again: u64,
    /// Healed claws never looked at again: they say nothing.
    pub unseen: u64,
    /// Share found again, cows as bunches.
    pub share: Answer<Estimate>,
    /// Share still sound after 120 days, smooth curve.
    pub sound_after_120_days: Answer<Estimate>,
}

/// The whole answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Healing {
    /// By severity, by lesion and by action.
    pub groups: Vec<Group>,
    /// What was done against what was not.
    pub treated: Vec<Treated>,
    /// Change of ln(length * width) a week; below zero shrinks.
    pub area: Answer<Growth>,
    /// Cases found on a claw that had a healed one before, of all.
    pub again: (u64, u64),
    /// How healed claws went on.
    pub recurrence: Recurrence,
    /// What to keep in mind.
    pub cautions: Vec<&'static str>,
}

impl Healing {
    /// Curves drawn for a band.
    pub const DRAWS: u32 = DRAWS;

    /// From everything said, of one herd or several.
    #[must_use]
    pub fn of(said: &[Said], bands: Bands) -> Self {
        let followed = follow(said);
        let cases = &followed.cases;
        let mut groups: BTreeMap<(Kind, u8), (String, Vec<&Case>)> = BTreeMap::new();
        for case in cases {
            let severity = Grades::Severity.word(case.grade).unwrap_or("").to_owned();
            let letters = case.lesion.letters.to_owned();
            let mut of = vec![
                (Kind::Severity, case.grade, severity),
                (Kind::Lesion, case.lesion.code, letters),
            ];
            of.extend(case.done.iter().map(|action| (Kind::Action, *action, treatment(*action))));
            for (kind, code, what) in of {
                groups.entry((kind, code)).or_insert((what, Vec::new())).1.push(case);
            }
        }
        let groups = groups.into_iter().map(|(by, (what, cases))| group(by, what, &cases, bands));
        let cautions = vec![
            "Treated and untreated cows differ for reasons the records do not know: this is how long \
             it took, not what made it heal.",
            "Healed is what was keyed at a recheck; nobody looked in between.",
        ];
        Self {
            groups: groups.collect(),
            treated: treated(cases),
            area: growth(&followed.gains, Level::P95).into(),
            again: (cases.iter().filter(|case| case.again).count() as u64, cases.len() as u64),
            recurrence: recurrence(&followed.recurred),
            cautions,
        }
    }
}

fn treatment(action: u8) -> String {
    let name = Action::from_code(action).map_or("", |action| action.name);
    if action == BLOCK_USUAL { "block glued on".to_owned() } else { name.to_owned() }
}

fn group((kind, code): (Kind, u8), what: String, cases: &[&Case], bands: Bands) -> Group {
    let seen: Vec<Between> = cases.iter().filter_map(|case| case.between()).collect();
    let mut cows: BTreeMap<Cow, Vec<Between>> = BTreeMap::new();
    for case in cases {
        cows.entry(case.cow).or_default().extend(case.between());
    }
    let cows: Vec<Vec<Between>> = cows.into_values().collect();
    let smooth = weibull(&seen);
    let band = bands.about(&cows);
    Group {
        kind,
        code,
        what,
        cases: seen.len() as u64,
        healed: seen.iter().filter(|one| one.happened()).count() as u64,
        unseen: (cases.len() - seen.len()) as u64,
        half_healed: smooth.map(|curve| curve.time_of(0.5, Level::P95)).into(),
        open_after_28_days: smooth.map(|curve| curve.still(28.0, Level::P95)).into(),
        curve: turnbull(&seen).into(),
        without_form_after_28_days: band.after_28_days(),
        band,
        intervals: seen,
    }
}

/// A cow with lesions of two severities counts as two: labels are shuffled within severities.
fn treated(cases: &[Case]) -> Vec<Treated> {
    let mut all: Vec<Treated> = Vec::new();
    for action in TREATMENTS {
        let mut bunches: BTreeMap<(u8, Cow), Vec<(Between, bool)>> = BTreeMap::new();
        let (mut with, mut without) = (0, 0);
        for case in cases {
            let Some(between) = case.between() else { continue };
            let done = case.done.contains(&action);
            (with, without) = (with + u64::from(done), without + u64::from(!done));
            bunches.entry((case.grade, case.cow)).or_default().push((between, done));
        }
        if with == 0 {
            continue;
        }
        let bunches: Vec<Bunch> = bunches
            .into_iter()
            .map(|((grade, _), seen)| Bunch { stratum: u32::from(grade), seen })
            .collect();
        let test = compare_bunches(&bunches, SHUFFLES, SEED).into();
        all.push(Treated { action, what: treatment(action), with, without, test, p_holm: None });
    }
    let p: Vec<Option<f64>> =
        all.iter().map(|one| one.test.told().map(|test| test.shuffled.p)).collect();
    for (one, p) in all.iter_mut().zip(holm(&p)) {
        one.p_holm = p;
    }
    all
}

fn recurrence(recurred: &[(Cow, Option<Between>)]) -> Recurrence {
    let seen: Vec<Between> = recurred.iter().filter_map(|(_, one)| *one).collect();
    let mut cows: BTreeMap<Cow, (u64, u64)> = BTreeMap::new();
    for (cow, one) in recurred {
        if let Some(one) = one {
            let count = cows.entry(*cow).or_default();
            *count = (count.0 + u64::from(one.happened()), count.1 + 1);
        }
    }
    let counts: Vec<Count> =
        cows.into_values().filter_map(|(again, of)| Count::new(again, of).ok()).collect();
    Recurrence {
        claws: seen.len() as u64,
        again: seen.iter().filter(|one| one.happened()).count() as u64,
        unseen: (recurred.len() - seen.len()) as u64,
        share: cluster_share(&counts, Level::P95).map(|share| share.share).into(),
        sound_after_120_days: weibull(&seen)
            .map(|curve| curve.still(SOUND_DAYS, Level::P95))
            .into(),
    }
}
