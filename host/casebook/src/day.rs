//! One day of a cow's cases: findings and outcomes of the day together, whatever their order.
//!
//! ```text
//! findings --open or see again--> cases --sizes--> outcomes, sound --> look, or end
//! ```

use hornrule_facts::codes::{
    BETTER, BLOCK_USUAL, CLAW_LOWERED, CORIUM_EXPOSED, HEALED, HORN_OPENED, LEFT_OPEN,
    LESION_LENGTH, LESION_WIDTH, SOUND, UNCHANGED, WORSE, WRAP_ON,
};
use hornrule_facts::spread::amputated;
use hornrule_facts::{Day, Fact, What};
use hornrule_protocol::codes::{ActionKind, Says, Seat};
use hornrule_protocol::record::Finding;
use hornrule_protocol::{Nanometres, Place};

use crate::case::{Case, CaseId, End, Ended, FORGOTTEN_DAYS, Look, Size, Word, is_lesion, seat_of};

/// What is done about a lesion of a foot.
const TREATMENTS: [u8; 4] = [LEFT_OPEN, WRAP_ON, HORN_OPENED, CLAW_LOWERED];

/// What the day says of an open case.
#[derive(Clone, Copy, Default)]
struct Told {
    /// Found on this day: the highest grade.
    found: Option<u8>,
    healed: bool,
    sound: bool,
    /// The corium is exposed: whatever else was keyed, horn does not cover it.
    exposed: bool,
    word: Option<Word>,
}

/// Takes a day's facts into a cow's cases. Repetitions are harmless: they say the same.
pub(super) fn take(cases: &mut Vec<Case>, on: Day, facts: &[Fact]) {
    let speaks = |fact: &Fact| match fact.what {
        What::Finding(_) => true,
        What::Action(done) => done.action.kind == ActionKind::Healing,
        What::Reading(clip) => [LESION_LENGTH, LESION_WIDTH].contains(&clip.dimension.code()),
        What::Stay { .. } | What::Score { .. } => false,
    };
    if !facts.iter().any(speaks) {
        return;
    }
    let mut today = Today::of(cases, on);
    for fact in facts {
        if let What::Finding(finding) = fact.what
            && is_lesion(&finding)
        {
            today.found(fact, &finding);
        }
    }
    today.treated(facts);
    for fact in facts {
        match fact.what {
            What::Finding(finding) if finding.lesion.says == Says::Sign => {
                today.exposed(&finding);
            }
            What::Finding(finding) if !is_lesion(&finding) => today.sound(&finding),
            What::Action(done) if done.action.kind == ActionKind::Healing => {
                today.outcome(done.place, done.action.code());
            }
            _ => {}
        }
    }
    today.measured(facts);
    today.settle();
    for claw in facts.iter().filter_map(amputated) {
        today.amputated(Place::Claw(claw));
    }
}

struct Today<'a> {
    on: Day,
    cases: &'a mut Vec<Case>,
    /// The cases that are not ended, by their place in `cases`, and what the day says of each.
    open: Vec<(usize, Told)>,
}

impl<'a> Today<'a> {
    fn of(cases: &'a mut Vec<Case>, on: Day) -> Self {
        let open = cases.iter().enumerate().filter(|(_, case)| case.ended.is_none());
        let open = open.map(|(at, _)| (at, Told::default())).collect();
        Self { on, cases, open }
    }

    fn found(&mut self, fact: &Fact, finding: &Finding) {
        let place = seat_of(finding);
        let same = |case: &Case| case.place == place && case.lesion == finding.lesion;
        if let Some(seen) = self.open.iter().position(|(at, _)| same(&self.cases[*at])) {
            let (at, told) = &mut self.open[seen];
            let case = &mut self.cases[*at];
            if told.found.is_some() || self.on.0 - case.last_word().0 <= FORGOTTEN_DAYS {
                // Several findings of a day are one, of the highest grade.
                told.found = told.found.max(Some(finding.grade));
                case.zone = finding.zone.or(case.zone);
                return;
            }
            case.ended = Some(Ended { day: self.on, how: End::OutOfSight });
            self.open.remove(seen);
        }
        let again = self.cases.iter().any(same);
        let told = Told { found: Some(finding.grade), ..Told::default() };
        self.open.push((self.cases.len(), told));
        self.cases.push(Case {
            id: CaseId(fact.key),
            herd: fact.herd,
            // A finding is some cow's.
            animal: fact.animal.unwrap_or(hornrule_facts::AnimalId(0)),
            place,
            lesion: finding.lesion,
            found: self.on,
            grade: finding.grade,
            word: Word::Found,
            last_grade: finding.grade,
            zone: finding.zone,
            again,
            looks: Vec::new(),
            ended: None,
            done: Vec::new(),
            sizes: Vec::new(),
        });
    }

    /// What was done to the feet of the cases found today.
    fn treated(&mut self, facts: &[Fact]) {
        for (at, _) in &self.open {
            let case = &mut self.cases[*at];
            if case.found != self.on {
                continue;
            }
            for fact in facts.iter().filter(|fact| fact.place.foot() == case.place.foot()) {
                let What::Action(done) = fact.what else { continue };
                let code = match done.action.kind {
                    ActionKind::BlockOn => BLOCK_USUAL,
                    _ => done.action.code(),
                };
                if (code == BLOCK_USUAL || TREATMENTS.contains(&code)) && !case.done.contains(&code)
                {
                    case.done.push(code);
                }
            }
            case.done.sort_unstable();
        }
    }

    /// The last length and width of each place are a size of one case there.
    fn measured(&mut self, facts: &[Fact]) {
        let mut sizes: Vec<(Place, [Option<Nanometres>; 2])> = Vec::new();
        for fact in facts.iter().filter(|fact| !fact.doubted) {
            let What::Reading(clip) = fact.what else { continue };
            let which = match clip.dimension.code() {
                LESION_LENGTH => 0,
                LESION_WIDTH => 1,
                _ => continue,
            };
            let at = sizes.iter().position(|(place, _)| *place == fact.place);
            let at = at.unwrap_or_else(|| {
                sizes.push((fact.place, [None; 2]));
                sizes.len() - 1
            });
            sizes[at].1[which] = Some(clip.length);
        }
        for (place, size) in sizes {
            let [Some(length), Some(width)] = size else { continue };
            if let Some(at) = self.measured_case(place) {
                self.cases[at].sizes.push(Size { day: self.on, length, width });
            }
        }
    }

    /// The case that a size at a place is of: found last, then worst, then of the lowest code.
    fn measured_case(&self, place: Place) -> Option<usize> {
        let spoken = self.spoken_of(place);
        spoken.into_iter().map(|at| self.open[at].0).min_by_key(|at| {
            let case = &self.cases[*at];
            (std::cmp::Reverse((case.found, case.last_grade)), case.lesion.code())
        })
    }

    /// The open cases that a word at a place speaks of, by their place in `open`.
    fn spoken_of(&self, place: Place) -> Vec<usize> {
        let which = |fits: &dyn Fn(&Case) -> bool| -> Vec<usize> {
            let fitting =
                self.open.iter().enumerate().filter(|(_, (at, _))| fits(&self.cases[*at]));
            fitting.map(|(at, _)| at).collect()
        };
        let whole = place.foot().map(Place::Foot);
        match place {
            Place::Cow => which(&|case| case.place == Place::Cow),
            Place::Foot(_) => which(&|case| case.place.foot() == place.foot()),
            Place::Claw(_) => {
                let horn = which(&|case| {
                    case.is_horn() && (case.place == place || Some(case.place) == whole)
                });
                if horn.is_empty() { which(&|case| Some(case.place) == whole) } else { horn }
            }
        }
    }

    fn outcome(&mut self, place: Place, code: u8) {
        let word = match code {
            HEALED => None,
            BETTER => Some(Word::Better),
            UNCHANGED => Some(Word::Unchanged),
            WORSE => Some(Word::Worse),
            _ => return,
        };
        for at in self.spoken_of(place) {
            let told = &mut self.open[at].1;
            told.healed |= word.is_none();
            told.word = told.word.max(word);
        }
    }

    /// "Sound" speaks of all there; dermatitis in stage 0 of dermatitis alone.
    fn sound(&mut self, finding: &Finding) {
        let all = finding.lesion.code() == SOUND;
        let place = if all { finding.place } else { seat_of(finding) };
        for (at, told) in &mut self.open {
            let case = &self.cases[*at];
            let here = match (place, case.lesion.seat) {
                (Place::Claw(_), Seat::Foot) | (Place::Cow, _) => false,
                (Place::Claw(_), Seat::Claw) => case.place == place,
                (Place::Foot(_), _) => case.place.foot() == place.foot(),
            };
            if here && all {
                told.sound = true;
            } else if here && case.lesion == finding.lesion && told.found.is_none() {
                told.healed = true;
            }
        }
    }

    fn exposed(&mut self, finding: &Finding) {
        if finding.lesion.code() == CORIUM_EXPOSED {
            for at in self.spoken_of(finding.place) {
                self.open[at].1.exposed = true;
            }
        }
    }

    /// The horn of a claw that is gone has no lesion any more. Last of the day: what was said of it
    /// before stands.
    fn amputated(&mut self, claw: Place) {
        let ended = Some(Ended { day: self.on, how: End::Amputated });
        for (at, _) in &self.open {
            let case = &mut self.cases[*at];
            if case.place == claw && case.is_horn() && case.ended.is_none() {
                case.ended = ended;
            }
        }
    }

    /// What the day's words together make of each case.
    fn settle(&mut self) {
        for (at, told) in &mut self.open {
            if told.exposed && (told.healed || told.sound) {
                told.word = told.word.or(Some(Word::Unchanged));
            }
            let case = &mut self.cases[*at];
            case.last_grade = told.found.unwrap_or(case.last_grade);
            if case.found == self.on {
                case.grade = case.last_grade;
                case.word = told.word.unwrap_or(Word::Found);
            }
            // Healed against "unchanged" is no healing; sound against a finding is no sound.
            let how = match told {
                Told { word: Some(_), .. } => None,
                Told { healed: true, .. } => Some(End::Healed),
                Told { sound: true, found: None, .. } => Some(End::Sound),
                Told { .. } => None,
            };
            if let Some(how) = how {
                case.ended = Some(Ended { day: self.on, how });
            } else if case.found < self.on && (told.word.is_some() || told.found.is_some()) {
                let word = told.word.unwrap_or(Word::Found);
                case.looks.push(Look { day: self.on, word, grade: case.last_grade });
            }
        }
    }
}
