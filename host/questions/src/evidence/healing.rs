//! How long lesions take to be covered by sound horn, by what they were and what was done; how their
//! area shrinks; how long a healed claw stays sound.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_casebook::{Case, Casebook, Cow, Examined, FORGOTTEN_DAYS, State};
use hornrule_facts::Day;
use hornrule_herd::Span;
use hornrule_protocol::codes::Grades;
use hornrule_protocol::{Action, Lesion, Place};
use serde::Serialize;

use super::{Answer, Bands, DRAWS, SEED, holm};
use hornrule_facts::codes::{BLOCK_USUAL, CLAW_LOWERED, HORN_OPENED, LEFT_OPEN, WRAP_ON};
use hornrule_insight::band::Band;
use hornrule_insight::bunched::{Bunch, compare_bunches};
use hornrule_insight::compare::Compared;
use hornrule_insight::growth::{Gain, Growth, growth};
use hornrule_insight::interval::Between;
use hornrule_insight::turnbull::{Turnbull, turnbull};
use hornrule_insight::weibull::weibull;
use hornrule_insight::{Count, Estimate, Level, cluster_share};

const SHUFFLES: u32 = 4000;
/// What is done about a lesion of a foot, in the order told.
const TREATMENTS: [u8; 5] = [BLOCK_USUAL, LEFT_OPEN, WRAP_ON, HORN_OPENED, CLAW_LOWERED];
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
    /// The nonparametric curve.
    pub curve: Answer<Turnbull>,
    /// The band about it, by cow, day by day for six weeks.
    pub band: Answer<Band>,
    /// The nonparametric curve and its band after 28 days.
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
    /// Within severities, by cow; a score above zero heals sooner with it.
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
    /// Share found again, allowing for claws of one cow being alike.
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
    /// Cases of a lesion that the cow had at that claw before, of all.
    pub again: (u64, u64),
    /// How healed claws went on.
    pub recurrence: Recurrence,
    /// What to keep in mind.
    pub cautions: Vec<&'static str>,
}

/// A case as this question follows it.
struct Followed {
    cow: Cow,
    lesion: Lesion,
    grade: u8,
    done: Vec<u8>,
    again: bool,
    seen: Option<Between>,
}

impl Followed {
    fn of(case: &Case) -> Self {
        let days = |day: Day| f64::from(day.0 - case.found.0);
        // Followed until it first goes out of sight. Found again after that it would be another case,
        // so healed after that must not count either, or only healed ones would be seen late.
        let in_sight = |last: Day, next: Day| next.0 - last.0 <= FORGOTTEN_DAYS;
        let mut last = case.found;
        for look in &case.looks {
            if !in_sight(last, look.day) {
                break;
            }
            last = look.day;
        }
        let open = days(last);
        let seen = match case.healed().filter(|healed| in_sight(last, *healed)) {
            Some(healed) => Between::new(open, days(healed)).ok(),
            None if open > 0.0 => Between::later_than(open).ok(),
            None => None,
        };
        Self {
            cow: (case.herd, case.animal),
            lesion: case.lesion,
            grade: case.grade,
            done: case.done.clone(),
            again: case.again,
            seen,
        }
    }

    const fn between(&self) -> Option<Between> {
        self.seen
    }
}

/// Cases gathered cow by cow: those in the horn of a claw, which have a severity.
#[derive(Default)]
pub struct CasesSeen {
    cases: Vec<Followed>,
    /// Changes of ln(area) a week.
    gains: Vec<Gain>,
    /// Healed claws, days from healing to the next lesion; `None` for one not looked at again.
    recurred: Vec<(Cow, Option<Between>)>,
}

/// Whether this question follows a case.
#[must_use]
pub fn follows(case: &Case) -> bool {
    case.is_horn() && case.lesion.grades == Grades::Severity
}

impl CasesSeen {
    /// Takes a cow's cases that were found in a span.
    pub fn take(&mut self, book: &Casebook, span: Span) {
        let here = |case: &&Case| follows(case) && span.has(case.found);
        for case in book.cases.iter().filter(here) {
            let bearer = self.cases.len() as u64;
            for pair in case.sizes.windows(2) {
                let time = f64::from(pair[1].day.0 - pair[0].day.0) / 7.0;
                let gained = (pair[1].area_mm2() / pair[0].area_mm2()).ln();
                if time > 0.0 && gained.is_finite() {
                    self.gains.push(Gain { bearer, part: 0, time, gained });
                }
            }
            self.cases.push(Followed::of(case));
        }
        let healed: BTreeSet<(Place, Day)> = book
            .cases
            .iter()
            .filter(here)
            .filter_map(|case| Some((case.place, case.healed()?)))
            .collect();
        for (place, day) in healed {
            if let Some(again) = recurred(book, place, day) {
                self.recurred.push(again);
            }
        }
    }

    /// What they say.
    #[must_use]
    pub fn answer(self, bands: Bands) -> Healing {
        Healing::of(&self, bands)
    }
}

/// How a claw went on after it healed on a day; `None` where another case of it was open then.
fn recurred(book: &Casebook, place: Place, healed: Day) -> Option<(Cow, Option<Between>)> {
    let on_claw = || book.cases.iter().filter(|case| follows(case) && case.place == place);
    let cow = on_claw().next().map(|case| (case.herd, case.animal))?;
    let sore = |case: &Case| matches!(case.state_on(healed), Some(State::New | State::Open));
    // A case that was found and healed on this very day is new on it, and no other case.
    if on_claw().any(|case| sore(case) && case.healed() != Some(healed)) {
        return None;
    }
    let next = on_claw().map(|case| case.found).filter(|found| *found > healed).min();
    let before_next = |day: Day| next.is_none_or(|next| day < next);
    let looked =
        |one: &&Examined| one.day > healed && one.claws().any(|claw| Place::Claw(claw) == place);
    let examined = book.examined.iter().filter(looked).map(|one| one.day);
    let last = examined.filter(|day| before_next(*day));
    let last = last.max().map_or(0.0, |day| f64::from(day.0 - healed.0));
    let seen = match next {
        Some(next) => Between::new(last, f64::from(next.0 - healed.0)).ok(),
        None if last > 0.0 => Between::later_than(last).ok(),
        None => None,
    };
    Some((cow, seen))
}

impl Healing {
    /// Curves drawn for a band: the fewest of any.
    #[must_use]
    pub fn draws(&self) -> u32 {
        let drawn = self.groups.iter().filter_map(|one| one.band.told());
        drawn.map(|band| band.resamples).min().unwrap_or(DRAWS)
    }

    fn of(seen: &CasesSeen, bands: Bands) -> Self {
        let cases = &seen.cases;
        let mut groups: BTreeMap<(Kind, u8), (String, Vec<&Followed>)> = BTreeMap::new();
        for case in cases {
            let severity = Grades::Severity.word(case.grade).unwrap_or("").to_owned();
            let letters = case.lesion.letters.to_owned();
            let mut of = vec![
                (Kind::Severity, case.grade, severity),
                (Kind::Lesion, case.lesion.code(), letters),
            ];
            of.extend(case.done.iter().map(|action| (Kind::Action, *action, treatment(*action))));
            for (kind, code, what) in of {
                groups.entry((kind, code)).or_insert((what, Vec::new())).1.push(case);
            }
        }
        let groups = groups.into_iter().map(|(by, (what, cases))| group(by, what, &cases, bands));
        let cautions = vec![
            "Treated and untreated cows differ for reasons not on record: this is how long healing \
             took, not what caused it.",
            "Healed means keyed as healed at a recheck; nobody looked in between.",
        ];
        Self {
            groups: groups.collect(),
            treated: treated(cases),
            area: growth(&seen.gains, Level::P95).into(),
            again: (cases.iter().filter(|case| case.again).count() as u64, cases.len() as u64),
            recurrence: recurrence(&seen.recurred),
            cautions,
        }
    }
}

fn treatment(action: u8) -> String {
    let name = Action::from_code(action).map_or("", |action| action.name);
    if action == BLOCK_USUAL { "block glued on".to_owned() } else { name.to_owned() }
}

fn group((kind, code): (Kind, u8), what: String, cases: &[&Followed], bands: Bands) -> Group {
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
fn treated(cases: &[Followed]) -> Vec<Treated> {
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
