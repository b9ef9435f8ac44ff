//! What was seen in a span of days, counted cow by cow.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_casebook::{Casebook, Class, place_key};
use hornrule_facts::{Day, Fact, ListedAnimal, What};
use hornrule_herd::Span;
use hornrule_insight::Count;
use hornrule_protocol::{DeviceId, Lesion, Place, Scale};

use super::share::Share;

/// Some of a herd that is known whole: no sample, so no interval.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Part {
    /// How many.
    pub cases: u64,
    /// Of how many.
    pub of: u64,
}

impl Part {
    /// 0 to 1; `None` of nothing.
    #[must_use]
    pub fn share(self) -> Option<f64> {
        Count::new(self.cases, self.of).ok().map(Count::share)
    }
}

/// One lesion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LesionTally {
    /// Which.
    pub lesion: Lesion,
    /// Cows with it, of the cows examined.
    pub cows: Share,
    /// Cases found there for the first time.
    pub new: u64,
    /// Cases of a lesion that was there before.
    pub again: u64,
}

/// Gait on one scale: each cow once, with her worst value.
#[derive(Clone, Debug, PartialEq)]
pub struct Scored {
    /// The scale.
    pub scale: Scale,
    /// How many cows for each value of it, from the lowest on.
    pub cows: Vec<(u8, u64)>,
    /// Cows that are lame on it, of those scored.
    pub lame: Share,
}

/// What was seen.
#[derive(Clone, Debug, PartialEq)]
pub struct Tally {
    /// Days with a visit.
    pub visits: usize,
    /// Different cows in the chute.
    pub cows: usize,
    /// Handhelds that recorded findings.
    pub finders: usize,
    /// Cows with a lesion, new or open, of the cows examined.
    pub with_lesion: Share,
    /// Cows in the chute who were not examined: in no share.
    pub not_examined: u64,
    /// Claws with a lesion of the horn, of the claws examined.
    pub claws: Share,
    /// Cows trimmed.
    pub trimmed: u64,
    /// Each lesion.
    pub lesions: Vec<LesionTally>,
    /// Cases found for the first time.
    pub new: u64,
    /// Cases of a lesion that was there before.
    pub again: u64,
    /// Blocks glued on.
    pub blocks: u64,
    /// Of the herd list: cows trimmed. `None` without a list.
    pub herd: Option<Part>,
    /// Gait, on each scale that says who is lame.
    pub gait: Vec<Scored>,
}

/// A tally in the making.
pub(super) struct Counting {
    span: Span,
    visits: BTreeSet<Day>,
    finders: BTreeSet<DeviceId>,
    cows: u64,
    sore: u64,
    examined: u64,
    trimmed: u64,
    trimmed_listed: u64,
    blocks: u64,
    claws: Vec<Count>,
    /// By lesion: cows with it, cases new, cases again.
    lesions: BTreeMap<u8, (u64, u64, u64)>,
    /// By scale: how many cows have which worst value.
    gait: BTreeMap<u8, (Scale, BTreeMap<u8, u64>)>,
}

impl Counting {
    pub(super) fn of(span: Span) -> Self {
        Self {
            span,
            visits: BTreeSet::new(),
            finders: BTreeSet::new(),
            cows: 0,
            sore: 0,
            examined: 0,
            trimmed: 0,
            trimmed_listed: 0,
            blocks: 0,
            claws: Vec::new(),
            lesions: BTreeMap::new(),
            gait: BTreeMap::new(),
        }
    }

    /// Takes a cow: her facts, her casebook, and whether she is on the herd list now.
    pub(super) fn take(&mut self, facts: &[Fact], book: &Casebook, listed: bool) {
        let span = self.span;
        for fact in facts.iter().filter(|fact| span.has(fact.day)) {
            if matches!(fact.what, What::Finding(_)) {
                self.finders.insert(fact.key.0);
            }
        }
        self.cases(book);
        let days: Vec<Day> = book.stays.iter().copied().filter(|day| span.has(*day)).collect();
        if days.is_empty() {
            return;
        }
        self.visits.extend(&days);
        self.cows += 1;
        let classes = || days.iter().map(|day| book.class_on(*day));
        self.sore += u64::from(classes().any(|one| matches!(one, Class::New | Class::Open)));
        self.examined += u64::from(classes().any(|one| one != Class::NotExamined));
        let mut hers: BTreeSet<u8> = BTreeSet::new();
        for day in &days {
            hers.extend(book.present_on(*day).map(|(case, _)| case.lesion.code()));
        }
        for code in hers {
            self.lesions.entry(code).or_default().0 += 1;
        }
        self.claws_of(book, &days);
        let trimmed = book.claws.iter().any(|one| one.trimmed && span.has(one.day));
        self.trimmed += u64::from(trimmed);
        self.trimmed_listed += u64::from(trimmed && listed);
        self.gait_of(book);
    }

    fn cases(&mut self, book: &Casebook) {
        for case in book.cases.iter().filter(|case| self.span.has(case.found)) {
            let (_, new, again) = self.lesions.entry(case.lesion.code()).or_default();
            *(if case.again { again } else { new }) += 1;
        }
        let glued =
            |block: &&hornrule_casebook::Block| block.way.is_some() && self.span.has(block.on);
        self.blocks += book.blocks.iter().filter(glued).count() as u64;
    }

    /// Claws examined, and those of them with a horn case on such a day, each once.
    fn claws_of(&mut self, book: &Casebook, days: &[Day]) {
        let mut claws: BTreeMap<(u8, u8), bool> = BTreeMap::new();
        for day in days {
            let Some(examined) = book.examined_on(*day) else { continue };
            for claw in examined.claws() {
                let place = Place::Claw(claw);
                let sore =
                    book.present_on(*day).any(|(case, _)| case.is_horn() && case.place == place);
                *claws.entry(place_key(place)).or_default() |= sore;
            }
        }
        let sore = claws.values().filter(|sore| **sore).count() as u64;
        self.claws.extend(Count::new(sore, claws.len() as u64));
    }

    /// Each cow once a scale, with her worst value.
    fn gait_of(&mut self, book: &Casebook) {
        let mut worst: BTreeMap<u8, (Scale, u8)> = BTreeMap::new();
        let scored = book.scores.iter().filter(|one| self.span.has(one.day));
        for one in scored.filter(|one| one.scale.lame_from.is_some()) {
            let (_, value) = worst.entry(one.scale.code()).or_insert((one.scale, one.value));
            *value = one.value.max(*value);
        }
        for (code, (scale, value)) in worst {
            let (_, cows) = self.gait.entry(code).or_insert((scale, BTreeMap::new()));
            *cows.entry(value).or_default() += 1;
        }
    }

    /// Lesions with a case in the span: the code, and how many cases.
    pub(super) fn by_lesion(&self) -> impl Iterator<Item = (u8, u64)> + '_ {
        let cases = self.lesions.iter().map(|(code, (_, new, again))| (*code, new + again));
        cases.filter(|(_, cases)| *cases > 0)
    }

    /// The tally, with these lesions in this order.
    pub(super) fn tally(self, lesions: &[Lesion], list: &[ListedAnimal]) -> Tally {
        let of = |lesion: &Lesion| self.lesions.get(&lesion.code()).copied().unwrap_or_default();
        let sum = |which: fn(&(u64, u64, u64)) -> u64| self.lesions.values().map(which).sum();
        let herd = list.iter().filter(|one| one.in_herd).count() as u64;
        Tally {
            visits: self.visits.len(),
            cows: self.cows as usize,
            finders: self.finders.len(),
            with_lesion: Share::of_cows(self.sore, self.examined),
            not_examined: self.cows - self.examined,
            claws: Share::of_claws(&self.claws),
            trimmed: self.trimmed,
            lesions: lesions
                .iter()
                .map(|lesion| {
                    let (cows, new, again) = of(lesion);
                    let cows = Share::of_cows(cows, self.examined);
                    LesionTally { lesion: *lesion, cows, new, again }
                })
                .collect(),
            new: sum(|one| one.1),
            again: sum(|one| one.2),
            blocks: self.blocks,
            herd: (herd > 0).then_some(Part { cases: self.trimmed_listed, of: herd }),
            gait: self.gait.values().map(|(scale, cows)| scored(*scale, cows)).collect(),
        }
    }
}

fn scored(scale: Scale, cows: &BTreeMap<u8, u64>) -> Scored {
    let many = |value: u8| cows.get(&value).copied().unwrap_or_default();
    let (low, high) = scale.range;
    let lame = (low..=high).filter(|value| scale.lame_from.is_some_and(|from| *value >= from));
    Scored {
        scale,
        cows: (low..=high).map(|value| (value, many(value))).collect(),
        lame: Share::of_cows(lame.map(many).sum(), cows.values().sum()),
    }
}
