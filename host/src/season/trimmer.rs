//! One cow in the chute: trimmed, seen again, or looked at.

use hornrule_protocol::{Claw, Entry, Foot, Place, Side};

use super::cow::{Cow, Followed, Glued};
use super::narrator::{LIFTED, Narrator, foot};
use super::truth::{self, Truth, WAYS};
use super::visit::sore_foot;
use hornrule_facts::Day;
use hornrule_facts::codes::{
    BLOCK_LOST, BLOCK_OFF, BLOCK_STILL_ON, CLAW_LOWERED, DORSAL_WALL, HEALED, HORN_OPENED,
    LESION_LENGTH, LESION_WIDTH, NOT_TRIMMED, REGROWN, SEE_AGAIN, TRIMMED, VET_NOW, WRAP_OFF,
    WRAP_ON,
};
use hornrule_insight::luck::Luck;

/// Actions keyed.
const TOPICAL: u8 = 61;
/// The usual way of gluing a block, which her bundle 1 has: opened, lowered, block on the partner. Her
/// bundle 2 is treated and wrapped.
const USUAL: u8 = 10;
/// Days until a foot is seen again.
const AGAIN_DAYS: u8 = 14;
/// A block comes off from this day on.
const BLOCK_DAYS: i32 = 26;
/// Horn that forms over an opened lesion in two weeks, mm, at best: 1/8 inch (common practice, no
/// source).
const REGROWN_MM: f64 = 3.175;
/// Lesions of the claw's horn: number, how often, zones.
const LESIONS: [(u8, f64, &[u8]); 7] = [
    (13, 0.35, &[]),
    (22, 0.20, &[3, 2, 1]),
    (21, 0.15, &[3, 2]),
    (12, 0.14, &[]),
    (17, 0.08, &[]),
    (15, 0.05, &[]),
    (19, 0.03, &[]),
];
/// Lesions that get a block whatever their severity.
const BLOCKED: [u8; 3] = [13, 22, 15];

/// The chute, with all that is at hand.
pub(super) struct Stall<'a> {
    pub(super) luck: &'a mut Luck,
    pub(super) told: &'a mut Narrator,
    pub(super) truth: &'a mut Truth,
    pub(super) second: Option<&'a mut Narrator>,
    pub(super) farm: u8,
    pub(super) target: f64,
    pub(super) day: Day,
    /// 0 in the morning, 1 at the day's end.
    pub(super) tired: f64,
    /// Whether a claw is measured twice, to know what a reading is worth.
    pub(super) repeat: bool,
}

impl Stall<'_> {
    fn slips(&mut self) -> bool {
        let often = 0.003 + 0.015 * self.tired * self.tired;
        self.luck.chance(often)
    }

    fn enter(&mut self, cow: &Cow, lame: bool) {
        if self.slips() {
            // The right number with the last digit off by one, noticed at once.
            let wrong = self.told.cow(cow.number ^ 1);
            self.told.wait(7.0);
            if let Some(wrong) = wrong {
                self.told.take_back(wrong);
                self.truth.slips.undone += 1;
            }
            self.told.wait(4.0);
        }
        self.told.cow(cow.number);
        self.told.wait(9.0);
        let score = if lame { 3 + self.luck.below(2) } else { 1 + self.luck.below(2) };
        self.told.locomotion(score as u8);
        self.told.wait(15.0);
    }

    fn measure(&mut self, cow: &Cow, claw: Claw) {
        let mm = cow.length(claw, self.day);
        if self.slips() {
            let heel = 41.0 + 2.0 * self.luck.normal();
            let wrong = self.told.clip(DORSAL_WALL, heel, Place::Claw(claw));
            self.truth.slips.wrong_dimension += 1;
            self.told.wait(6.0);
            if let Some(wrong) = wrong.filter(|_| self.luck.chance(0.6)) {
                self.told.take_back(wrong);
                self.told.wait(3.0);
            }
        }
        let seen = mm + truth::READING_SD * self.luck.normal();
        self.told.clip(DORSAL_WALL, seen, Place::Claw(claw));
        self.told.wait(22.0);
    }

    fn say_and_perhaps_again(&mut self, action: u8, place: Place) {
        self.told.act(action, place);
        if self.slips() {
            self.told.wait(1.5);
            self.told.act(action, place);
            self.truth.slips.twice += 1;
        }
        self.told.wait(20.0);
    }

    /// The second person judges and measures the same claws, knowing nothing of the first's
    /// numbers.
    fn beside(&mut self, cow: &Cow) {
        let now = self.told.now_ms();
        let Some(second) = self.second.as_deref_mut() else { return };
        second.wait_until(now);
        second.cow(cow.number);
        for at in [Foot::RightHind, Foot::LeftHind] {
            let claw = Claw { foot: at, side: Side::Lateral };
            let worn = self.luck.below(4) as u8;
            let mm = cow.length(claw, self.day);
            for _ in 0..2 {
                second.wait(11.0);
                let off = truth::SECOND_BIAS + truth::SECOND_SD * self.luck.normal();
                second.clip(DORSAL_WALL, mm + off, Place::Claw(claw));
            }
            let theirs = judged(self.luck, worn);
            let ours = judged(self.luck, worn);
            second.wait(8.0);
            find_haemorrhage(second, theirs, claw);
            find_haemorrhage(self.told, ours, claw);
            self.told.wait(25.0);
        }
    }
}

fn judged(luck: &mut Luck, truly: u8) -> u8 {
    match luck.below(20) {
        0 | 1 => truly.saturating_sub(1),
        2 | 3 => (truly + 1).min(3),
        _ => truly,
    }
}

fn find_haemorrhage(told: &mut Narrator, grade: u8, claw: Claw) {
    let lesion = if grade == 0 { 0 } else { 11 };
    told.find(lesion, grade, None, Place::Claw(claw));
}

/// Trims all four feet; a lame cow nearly always has a sore, another one sometimes.
pub(super) fn trim(stall: &mut Stall<'_>, cow: &mut Cow, lame: bool) {
    stall.truth.trimmings += 1;
    stall.enter(cow, lame);
    for foot in LIFTED {
        let hind = matches!(foot, Foot::LeftHind | Foot::RightHind);
        for side in [Side::Lateral, Side::Medial] {
            let claw = Claw { foot, side };
            let measured = hind && side == Side::Lateral;
            if measured {
                stall.measure(cow, claw);
                if stall.repeat && foot == Foot::LeftHind {
                    stall.measure(cow, claw);
                }
            }
            if measured && foot == Foot::RightHind {
                stall.beside(cow);
            }
            cow.cut(stall.luck, claw, stall.day, stall.target);
            say_trimmed(stall, claw);
            if measured {
                stall.measure(cow, claw);
            }
        }
    }
    cow.trimmed = stall.day;
    if stall.luck.chance(if lame { 0.95 } else { 0.22 }) {
        new_sore(stall, cow);
    } else if stall.luck.chance(0.1) {
        new_dermatitis(stall, cow);
    }
}

/// Claw by claw where claws are measured twice; else the foot in one sentence, at its first claw.
fn say_trimmed(stall: &mut Stall<'_>, claw: Claw) {
    match (stall.repeat, claw.side) {
        (true, _) => stall.say_and_perhaps_again(TRIMMED, Place::Claw(claw)),
        (false, Side::Lateral) => stall.say_and_perhaps_again(TRIMMED, foot(claw)),
        (false, Side::Medial) => {
            // Luck goes on as if it had been said: the season is the same, however it is keyed.
            let _slipped = stall.slips();
            stall.told.wait(20.0);
        }
    }
}

fn new_sore(stall: &mut Stall<'_>, cow: &mut Cow) {
    let luck = &mut *stall.luck;
    let side = if luck.chance(0.8) { Side::Lateral } else { Side::Medial };
    let anew = Claw { foot: sore_foot(luck), side };
    let claw = cow.weak.filter(|_| luck.chance(0.5)).unwrap_or(anew);
    let mut at = luck.part();
    let mut chosen = LESIONS[0];
    for lesion in LESIONS {
        chosen = lesion;
        at -= lesion.1;
        if at <= 0.0 {
            break;
        }
    }
    let (lesion, _, zones) = chosen;
    let zone = zones.get(luck.below(zones.len())).copied();
    let grade = 1 + [0, 0, 1, 1, 2][luck.below(5)];
    let heals = luck.weibull(truth::HEALING_SHAPE, truth::healing_scale(grade));
    let length = (18.0 + 5.0 * luck.normal()).max(6.0);
    let (found, due) = (stall.day, stall.day.plus(u16::from(AGAIN_DAYS)));
    let sore = Followed { claw, found, heals, length, said_healed: false, due };
    stall.told.find(lesion, grade, zone, Place::Claw(claw));
    stall.told.wait(45.0);
    measure_sore(stall, &sore);
    let place = Place::Claw(claw);
    let way =
        if BLOCKED.contains(&lesion) || grade > 1 { Some(glued(stall, cow, claw)) } else { None };
    let partner = Place::Claw(Claw { side: claw.side.partner(), ..claw });
    match way {
        Some(USUAL) if grade > 1 => {
            let parts = [(HORN_OPENED, place), (CLAW_LOWERED, place), (USUAL, partner)];
            stall.told.together(1, &parts);
            stall.told.wait(20.0);
        }
        way => {
            stall.told.act(HORN_OPENED, place);
            if grade > 1 {
                stall.told.act(CLAW_LOWERED, place);
            }
            if let Some(way) = way {
                stall.told.act(way, partner);
                stall.told.wait(20.0);
            }
        }
    }
    if lesion == 15 && grade == 3 {
        stall.told.act(VET_NOW, Place::Cow);
        stall.told.wait(6.0);
    }
    stall.told.act_in(SEE_AGAIN, Place::Cow, AGAIN_DAYS);
    let (farm, number) = (stall.farm, cow.number);
    let heals_days = heals;
    stall.truth.sores.push(truth::Sore {
        farm,
        cow: number,
        claw,
        lesion,
        grade,
        found,
        heals_days,
    });
    cow.sore = Some(sore);
}

fn measure_sore(stall: &mut Stall<'_>, sore: &Followed) {
    let length = sore.length_on(stall.day);
    for (dimension, mm) in [(LESION_LENGTH, length), (LESION_WIDTH, 0.6 * length)] {
        let seen = (mm * (1.0 + 0.06 * stall.luck.normal())).max(0.5);
        stall.told.wait(8.0);
        stall.told.clip(dimension, seen, Place::Claw(sore.claw));
    }
    stall.told.wait(20.0);
}

/// Glues a block under the sound partner claw, and says so.
fn glue(stall: &mut Stall<'_>, cow: &mut Cow, sore: Claw) {
    let way = glued(stall, cow, sore);
    stall.told.act(way, Place::Claw(Claw { side: sore.side.partner(), ..sore }));
    stall.told.wait(20.0);
}

/// Glues it, and gives the way, which is not yet said.
fn glued(stall: &mut Stall<'_>, cow: &mut Cow, sore: Claw) -> u8 {
    let claw = Claw { side: sore.side.partner(), ..sore };
    let mut at = stall.luck.part();
    let mut way = WAYS[0];
    for one in WAYS {
        way = one;
        at -= one.share;
        if at <= 0.0 {
            break;
        }
    }
    let lasts = stall.luck.weibull(way.shape, way.scale_days);
    stall.told.wait(70.0);
    cow.block = Some(Glued { claw, on: stall.day, lasts });
    stall.truth.blocks.push(truth::Block {
        farm: stall.farm,
        cow: cow.number,
        claw,
        way: way.action,
        glued: stall.day,
        lasts_days: lasts,
    });
    way.action
}

fn new_dermatitis(stall: &mut Stall<'_>, cow: &mut Cow) {
    let at = if stall.luck.chance(0.5) { Foot::LeftHind } else { Foot::RightHind };
    let stage = if stall.luck.chance(0.7) { 2 } else { 1 };
    stall.told.find(31, stage, None, Place::Foot(at));
    stall.told.wait(20.0);
    stall.told.wait(15.0);
    stall.told.together(2, &[(TOPICAL, Place::Foot(at)), (WRAP_ON, Place::Foot(at))]);
    stall.told.wait(8.0);
    stall.told.act_in(SEE_AGAIN, Place::Cow, AGAIN_DAYS);
    cow.skin = Some((at, stall.day.plus(u16::from(AGAIN_DAYS))));
}

/// Sees a foot again: the block, the sore, the skin.
pub(super) fn see_again(stall: &mut Stall<'_>, cow: &mut Cow) {
    let lame = cow.sore.is_some_and(|sore| !sore.healed_on(stall.day)) && stall.luck.chance(0.4);
    stall.enter(cow, lame);
    if let Some((at, _)) = cow.skin.take() {
        stall.told.act(WRAP_OFF, Place::Foot(at));
        stall.told.wait(12.0);
        let stage = [0, 0, 0, 4, 4, 2][stall.luck.below(6)];
        stall.told.find(31, stage, None, Place::Foot(at));
        stall.told.wait(10.0);
    }
    let Some(mut sore) = cow.sore else { return };
    see_block(stall, cow);
    let healed = sore.healed_on(stall.day);
    if !sore.said_healed {
        see_sore(stall, &sore, healed);
        sore.said_healed = healed;
    }
    if healed && cow.block.is_none() {
        (cow.sore, cow.weak) = (None, Some(sore.claw));
        return;
    }
    let gone = f64::from(stall.day.0 - sore.found.0) / sore.heals;
    if !healed && cow.block.is_none() && gone < 0.7 && stall.luck.chance(0.5) {
        glue(stall, cow, sore.claw);
    }
    stall.told.act_in(SEE_AGAIN, Place::Cow, AGAIN_DAYS);
    sore.due = stall.day.plus(u16::from(AGAIN_DAYS));
    cow.sore = Some(sore);
}

fn see_block(stall: &mut Stall<'_>, cow: &mut Cow) {
    let Some(block) = cow.block else { return };
    let days = stall.day.0 - block.on.0;
    let place = Place::Claw(block.claw);
    if f64::from(days) >= block.lasts {
        stall.say_and_perhaps_again(BLOCK_LOST, place);
        cow.block = None;
    } else if days >= BLOCK_DAYS {
        stall.told.act(BLOCK_OFF, place);
        stall.told.wait(30.0);
        cow.cut(stall.luck, block.claw, stall.day, stall.target);
        stall.told.act(TRIMMED, place);
        stall.told.wait(20.0);
        cow.block = None;
    } else {
        stall.told.act(BLOCK_STILL_ON, place);
        stall.told.wait(12.0);
    }
}

fn see_sore(stall: &mut Stall<'_>, sore: &Followed, healed: bool) {
    let days = f64::from(stall.day.0 - sore.found.0);
    let place = Place::Claw(sore.claw);
    let progress = days / sore.heals;
    let word = match progress {
        _ if healed => HEALED,
        part if part > 0.45 => HEALED + 1,
        part if part > 0.2 => HEALED + 2,
        _ => HEALED + 3,
    };
    if stall.slips() {
        // Said before a foot was chosen: the office cannot know which, and holds it.
        stall.told.act(word, Place::Cow);
        stall.truth.slips.no_claw += 1;
        stall.told.wait(6.0);
    }
    stall.told.act(word, place);
    stall.told.wait(14.0);
    if !healed {
        measure_sore(stall, sore);
        let most = REGROWN_MM * (days / f64::from(AGAIN_DAYS)).min(2.0);
        let regrown = most * (0.2 + 0.75 * stall.luck.part());
        stall.told.clip(REGROWN, regrown, place);
        stall.told.wait(10.0);
    }
}

/// A cow that is only looked at; now and then under a number that no list has.
pub(super) fn look_only(stall: &mut Stall<'_>, cow: &Cow) {
    let unlisted = stall.luck.chance(0.12);
    // A further digit was hit: no herd of the season has five.
    let number = if unlisted { cow.number * 10 + 7 } else { cow.number };
    stall.truth.slips.not_listed += u32::from(unlisted);
    stall.told.cow(number);
    stall.told.wait(12.0);
    for at in [Foot::LeftHind, Foot::RightHind] {
        stall.told.act(NOT_TRIMMED, foot(Claw { foot: at, side: Side::Lateral }));
        stall.told.wait(25.0);
    }
    stall.told.say(Entry::AnimalLeft);
}
