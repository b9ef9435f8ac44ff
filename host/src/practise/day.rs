//! The timed day: ten cows, one of each kind of `firmware/core/SENTENCES.md`, in an order that the
//! seed deals.
//!
//! ```text
//! seed, habits --day--> ten Exercises, one plan --Session--> CowTime --DayTimes--> presses, seconds
//! ```

use hornrule_protocol::plan::{Need, Needs};
use hornrule_protocol::record::{CalliperKind, Finding, Reading, UnitMode};
use hornrule_protocol::{
    Bundle, Claw, Dimension, Entry, Foot, Lesion, Nanometres, Place, Scale, Side,
};

use super::bundles::{parts, with_bundles};
use super::chance::Chance;
use super::exercise::{Exercise, Lesson, plan_of};
use super::lessons::{animal, done};
use super::speech::{ask_found, capital, entry, place};
use hornrule_facts::Habits;
use hornrule_facts::codes::{NOT_TRIMMED, TRIMMED};
use hornrule_line::keying::{Spelling, Stroke};
use hornrule_papers::words::{Say, Words};

/// A kind of cow.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Two hind feet trimmed.
    Hind,
    /// Four feet trimmed.
    Four,
    /// The same, and the hind walls measured.
    Walls,
    /// Sound and not trimmed.
    Sound,
    /// Heel horn erosion on both hind outer claws.
    Erosion,
    /// Digital dermatitis, cleaned, treated, wrapped.
    Dermatitis,
    /// A sole ulcer with a block.
    Ulcer,
    /// A white line abscess with a block.
    Abscess,
    /// A recheck.
    Recheck,
    /// Healed, and the block taken off.
    Healed,
}

impl Kind {
    /// All ten.
    pub const ALL: [Self; 10] = [
        Self::Hind,
        Self::Four,
        Self::Walls,
        Self::Sound,
        Self::Erosion,
        Self::Dermatitis,
        Self::Ulcer,
        Self::Abscess,
        Self::Recheck,
        Self::Healed,
    ];

    /// How many of a day's 80 cows are of this kind (the page's shares: common practice, no source).
    #[must_use]
    pub const fn of_eighty(self) -> u32 {
        match self {
            Self::Hind | Self::Recheck => 4,
            Self::Four => 36,
            Self::Walls | Self::Erosion => 9,
            Self::Sound | Self::Ulcer | Self::Abscess => 3,
            Self::Dermatitis => 7,
            Self::Healed => 2,
        }
    }

    /// Its name.
    #[must_use]
    pub fn name(self, words: &Words) -> String {
        words.say(match self {
            Self::Hind => Say::TrainKindHind,
            Self::Four => Say::TrainKindFour,
            Self::Walls => Say::TrainKindWalls,
            Self::Sound => Say::TrainKindSound,
            Self::Erosion => Say::TrainKindErosion,
            Self::Dermatitis => Say::TrainKindDermatitis,
            Self::Ulcer => Say::TrainKindUlcer,
            Self::Abscess => Say::TrainKindAbscess,
            Self::Recheck => Say::TrainKindRecheck,
            Self::Healed => Say::TrainKindHealed,
        })
    }
}

/// The ten cows of a seed. Where the habits have no bundles, an example's are in the plan.
#[must_use]
pub fn day(seed: u64, habits: &Habits, words: &Words) -> Vec<Exercise> {
    let habits = with_bundles(habits);
    let mut chance = Chance::new(seed);
    let mut kinds = Kind::ALL;
    chance.shuffle(&mut kinds);
    let mut number = 100;
    let cows = kinds.into_iter().filter_map(|kind| {
        // Three digits, ascending: a step of 1 to 80 leaves room for all ten.
        number += chance.between(1, 80);
        cow(kind, number, &habits, words, &mut chance)
    });
    cows.collect()
}

/// What is told of one cow, what must be said of her, and the shortest way to say it.
struct Told<'a> {
    words: &'a Words,
    habits: &'a Habits,
    say: Vec<String>,
    said: Vec<Entry>,
    spelling: Spelling,
    answer: Vec<Stroke>,
}

impl Told<'_> {
    fn tell(&mut self, say: Say<'_>) {
        self.say.push(self.words.say(say));
    }

    fn say(&mut self, entry: Entry) {
        self.answer.extend(self.spelling.spell(&entry));
        self.said.push(entry);
    }

    fn scored(&mut self, value: u8) {
        let Some(scale) = Scale::from_code(1) else { return };
        let (name, said) = (self.words.scale(scale), Entry::Score { scale, value });
        self.say.push(capital(
            &self.words.say(Say::AskScoreHerself { scale: name.into(), value: value.into() }),
        ));
        self.say(said);
    }

    fn find(&mut self, code: u8, grade: u8, place: Place) {
        let Some(lesion) = Lesion::from_code(code) else { return };
        let found = Finding { lesion, place, grade, zone: None };
        self.say.push(format!("{}.", ask_found(self.words, &found)));
        self.say(Entry::Finding(found));
    }

    fn does(&mut self, code: u8, place: Place) {
        if let Some(entry) = done(code, place, 0) {
            self.say(entry);
        }
    }

    /// With this claw in hand: the bundle that says just this, where there is one.
    fn together(&mut self, claw: Claw, said: &[Option<Entry>]) {
        let said: Vec<Entry> = said.iter().flatten().copied().collect();
        let says_it = |bundle: &&Bundle| parts(bundle, claw).is_some_and(|parts| parts == said);
        if let Some(bundle) = self.habits.bundles().find(says_it)
            && let Ok(parts) = u8::try_from(said.len())
        {
            self.answer.extend(self.spelling.choose(claw));
            self.say(Entry::Bundle { bundle: bundle.number(), parts });
        }
        said.into_iter().for_each(|entry| self.say(entry));
    }

    fn measure(&mut self, foot: Foot) {
        let first = self.habits.first_claws.of(foot);
        for side in [first, first.partner()] {
            let (length, dimension) = (Nanometres::from_mm(76), Dimension::DORSAL_WALL);
            let (unit, kind) = (UnitMode::Millimetre, CalliperKind::Sync24);
            let place = Place::Claw(Claw { foot, side });
            self.say(Entry::Reading(Reading { length, dimension, place, unit, kind }));
        }
    }
}

fn cow(
    kind: Kind,
    number: u32,
    habits: &Habits,
    words: &Words,
    chance: &mut Chance,
) -> Option<Exercise> {
    let foot = *chance.one_of(&[Foot::LeftHind, Foot::RightHind])?;
    let claw = Claw { foot, side: Side::Lateral };
    let spelling = Spelling::starting_at(habits.first_claws);
    let (say, said, answer) = (Vec::new(), Vec::new(), Vec::new());
    let mut told = Told { words, habits, say, said, spelling, answer };
    let cow = animal(number);
    let comes = capital(&entry(words, &cow)).into();
    let needs = match kind {
        Kind::Recheck | Kind::Healed => {
            told.tell(Say::AskComesRecheck { cow: comes });
            Needs::NONE.with(Need::Recheck(foot)).with(Need::BlockOff(foot))
        }
        _ => {
            told.tell(Say::AskNext { cow: comes });
            Needs::NONE
        }
    };
    told.say(cow);
    match kind {
        Kind::Sound => {}
        Kind::Dermatitis | Kind::Recheck => told.scored(2),
        Kind::Ulcer | Kind::Abscess => told.scored(3),
        _ => told.scored(1),
    }
    work(kind, claw, &mut told);
    let Told { say, said: wants, answer, .. } = told;
    Some(Exercise {
        lesson: Lesson::Day,
        say: say.join(" "),
        given: Vec::new(),
        plan: plan_of(&wants, needs, habits),
        wants,
        answer,
        kind: Some(kind),
    })
}

/// What is done with her, after her number and her score.
fn work(kind: Kind, claw: Claw, told: &mut Told<'_>) {
    let (this, foot) = (Place::Claw(claw), Place::Foot(claw.foot));
    let partner = Place::Claw(Claw { side: claw.side.partner(), ..claw });
    let hind = [Foot::LeftHind, Foot::RightHind];
    match kind {
        Kind::Hind => told.tell(Say::AskHindFeet),
        Kind::Sound => told.tell(Say::AskNotTrimmed),
        Kind::Four | Kind::Walls => told.tell(Say::AskAllFeet),
        Kind::Recheck | Kind::Healed => {}
        _ => told.tell(Say::AskDayFeet),
    }
    match kind {
        Kind::Hind => hind.into_iter().for_each(|foot| told.does(TRIMMED, Place::Foot(foot))),
        Kind::Sound => told.does(NOT_TRIMMED, Place::Cow),
        Kind::Recheck | Kind::Healed => {}
        _ => told.does(TRIMMED, Place::Cow),
    }
    match kind {
        Kind::Hind | Kind::Four | Kind::Sound => {}
        Kind::Walls => {
            told.tell(Say::AskHindWalls);
            hind.into_iter().for_each(|foot| told.measure(foot));
        }
        Kind::Erosion => {
            let outer = |foot| Place::Claw(Claw { foot, side: Side::Lateral });
            hind.into_iter().for_each(|foot| told.find(19, 1, outer(foot)));
        }
        Kind::Dermatitis => {
            told.find(31, 2, foot);
            told.tell(Say::AskCleaned);
            told.together(claw, &[done(60, foot, 0), done(61, foot, 0), done(21, foot, 0)]);
        }
        Kind::Ulcer => {
            told.find(13, 2, this);
            told.tell(Say::AskOpened);
            told.together(claw, &[done(31, this, 0), done(32, this, 0), done(10, partner, 0)]);
        }
        Kind::Abscess => {
            told.find(22, 2, this);
            told.tell(Say::AskOpenedAgain);
            let again = done(82, foot, 14);
            told.together(
                claw,
                &[done(31, this, 0), done(32, this, 0), again, done(10, partner, 0)],
            );
        }
        Kind::Recheck => {
            told.find(13, 1, this);
            told.tell(Say::AskBetter);
            told.together(claw, &[done(51, this, 0), done(20, foot, 0), done(40, partner, 0)]);
        }
        Kind::Healed => {
            let place = capital(&place(told.words, this));
            told.tell(Say::AskHealed { place: place.into() });
            told.together(claw, &[done(50, this, 0), done(41, partner, 0)]);
        }
    }
}
