//! The letter to the vet: which cows are referred and why now, what is known of each and of the feet it
//! is about, and room for the answer. What a trimmer does with knife, block and grinder is no matter of
//! the vet's, so none of those cautions stand here.

mod history;
mod json;

use crate::page::{Block, Notice, Page, Room, Table, Weight};
use crate::words::{Say, Words};
use crate::{terms, visit};
use hornrule_facts::{Day, Paper, Practice};
use hornrule_questions::vet::{Referred, VetLetter};
use hornrule_questions::visit::due::{Due, Urgency, Vet};

pub use json::json;

/// The table of the referred cows, for a spreadsheet.
pub const REFERRED: &str = "referred";
/// Lines for the answer about each cow.
const ANSWER_LINES: u8 = 4;
/// The same about each referral of an earlier visit.
const WAITING_LINES: u8 = 2;

/// The letter to the vet about the cows that a visit refers. `practice` is who writes it.
#[must_use]
pub fn page(letter: &VetLetter, practice: &Practice, words: &Words, paper: Paper) -> Page {
    let report = &letter.report;
    let title = words.say(Say::LetterTitle { farm: report.farm.as_str().into() });
    let mut page = Page::new(words, paper, title, report.day);
    page.subtitle = Some(words.long_date(report.day));
    head(letter, practice, words, &mut page);
    if letter.cows.is_empty() {
        page.para(words.say(Say::LetterNobody));
    } else {
        page.para(words.say(Say::LetterOpening));
    }
    for cow in &letter.cows {
        referred(cow, report.day, words, &mut page);
    }
    if !letter.waiting.is_empty() {
        page.heading(words.say(Say::LetterWaiting));
        for due in &letter.waiting {
            page.add(Block::Room(Room { label: waiting(due, words), lines: WAITING_LINES }));
        }
    }
    let asks = !letter.cows.is_empty() || !letter.waiting.is_empty();
    if asks && !practice.phone.is_empty() {
        page.para(words.say(Say::LetterAnswerTo { phone: practice.phone.as_str().into() }));
    }
    if !letter.cows.is_empty() {
        page.note(words.say(Say::Starred));
    }
    page.note(words.say(Say::LetterMedicines));
    page.beside.push(every_cow(letter, words));
    page
}

/// Whom it goes to, who writes it, and whose cows they are.
fn head(letter: &VetLetter, practice: &Practice, words: &Words, page: &mut Page) {
    let report = &letter.report;
    let farm = || report.farm.as_str().into();
    let mut to = report.settings.vet.clone();
    if to.is_empty() {
        to.push(words.say(Say::LetterToVetOf { farm: farm() }));
    }
    let mut from = practice.lines();
    if from.is_empty() {
        from.push(words.say(Say::LetterFromTrimmer { farm: farm() }));
    }
    if !practice.phone.is_empty() {
        from.push(words.say(Say::LetterPhone { phone: practice.phone.as_str().into() }));
    }
    from.extend(Some(practice.email.clone()).filter(|email| !email.is_empty()));
    let mut of = vec![report.farm.clone()];
    of.extend(report.settings.address.iter().filter(|line| **line != report.farm).cloned());
    for (label, mut lines) in [(Say::LetterTo, to), (Say::LetterFrom, from), (Say::LetterFarm, of)]
    {
        lines.insert(0, format!("{}:", words.say(label)));
        page.add(Block::Lines(lines));
    }
}

fn referred(cow: &Referred, day: Day, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::LetterCow { cow: cow.name.to_string().into() }));
    let known = known(cow, day, words);
    if !known.is_empty() {
        page.para(known);
    }
    let now = cow.why.iter().any(|one| one.urgency == Urgency::Now);
    page.add(Block::Notice(Notice {
        weight: if now { Weight::Now } else { Weight::Soon },
        heading: words.say(Say::LetterWhy),
        lines: cow.why.iter().map(|one| why(one, words)).collect(),
    }));
    page.para(words.say(Say::LetterToday { date: words.date(day).into() }));
    let mut table = Table::new("today", words.say(Say::AboutCows), visit::columns(words));
    visit::titled(cow.name.to_string(), &cow.line, words, &mut table);
    page.add(Block::Table(table));
    page.note(words.say(Say::NoteCows));
    history::history(cow, day, words, page);
    page.add(answer(words));
}

fn answer(words: &Words) -> Block {
    Block::Room(Room { label: words.say(Say::LetterAnswer), lines: ANSWER_LINES })
}

/// "RH outer: vet now (keyed by the trimmer)".
fn why(one: &Vet, words: &Words) -> String {
    let urgency = words.say(match one.urgency {
        Urgency::Now => Say::VisitVetNow,
        Urgency::ToSee => Say::VisitVetToSee,
    });
    words.say(Say::LetterWhyLine {
        place: words.place(one.place).into(),
        urgency: urgency.into(),
        why: terms::vet_why(words, one).into(),
    })
}

fn waiting(due: &Due, words: &Words) -> String {
    words.say(Say::LetterWaitingLine {
        cow: due.name.to_string().into(),
        place: words.place(due.place).into(),
        why: words.say(terms::reason(due.because)).into(),
        date: words.date(Day(due.day.0 - due.days)).into(),
    })
}

/// Ear tag, age, lactation, calving, breed and group, as far as the herd list has them.
fn known(cow: &Referred, day: Day, words: &Words) -> String {
    let Some(listed) = &cow.listed else { return words.say(Say::LetterUnlisted) };
    let official = listed.official.as_deref();
    let lactation = listed.lactation.map(|n| match n {
        0 => Say::LetterHeifer,
        n => Say::LetterLactation { n: n.into() },
    });
    let calved = listed.calved.filter(|calved| *calved <= day).map(|calved| {
        let days = words.say(Say::DaysN { n: (day.0 - calved.0).into() }).into();
        Say::LetterCalved { date: words.date(calved).into(), days }
    });
    let all = [
        official.map(|tag| Say::LetterOfficial { tag: tag.into() }),
        cow.tag.as_deref().map(|tag| Say::LetterElectronic { tag: tag.into() }),
        listed.born.map(|born| Say::LetterBorn { date: words.date(born).into() }),
        lactation,
        calved,
    ];
    let mut parts: Vec<String> = all.into_iter().flatten().map(|say| words.say(say)).collect();
    parts.extend(listed.breed.clone());
    let pen = listed.pen.as_deref();
    parts.extend(pen.map(|pen| words.say(Say::LetterGroup { pen: pen.into() })));
    parts.join("; ")
}

/// All of them in one table, by cow.
fn every_cow(letter: &VetLetter, words: &Words) -> Table {
    let table = Table::new(REFERRED, words.say(Say::AboutCows), visit::columns(words));
    let mut table = table.grouped_by(words.say(Say::ColumnCow));
    for cow in &letter.cows {
        visit::titled(cow.name.to_string(), &cow.line, words, &mut table);
    }
    table
}
