//! `hornrule due done`: what the office was told is done with.

use clap::{ArgGroup, Args};
use jiff::civil::Date;
use serde::Serialize;

use super::super::herd::chosen;
use super::super::text::{name, note};
use super::super::{Desk, Failure, json, signed};
use super::today;
use hornrule_facts::{AnimalId, Closing, Day, Duty, Field, Gone, Herd, Told, plain};
use hornrule_herd::Database;
use hornrule_protocol::{Place, Side};
use hornrule_questions::due::{Need, ended_by};

/// Note what the office was told: the vet has answered, a wrap is off, a cow was sold
///
/// For a vet referral, --why is the vet's answer; beside "vet has seen her" (DO 83) at the chute
/// nothing else ends one. A cow that is gone owes nothing, until a later record shows her in the
/// chute. "Not brought" ends nothing and is counted. Nothing is erased: a slip is taken back by a
/// further note. Without a cow, the notes that stand are shown.
#[derive(Debug, Args)]
#[command(group(ArgGroup::new("what").args(["duty", "gone", "not_brought"]).requires("cows")))]
#[command(after_help = "Example:\n  \
    hornrule due done 412 --duty vet --at \"LH outer\" --who Anna --why \"vet: seen, see again in May\"\n  \
    hornrule due done 58 73 --duty block-off --day 2026-04-02 --who Anna --why \"farmer took it off\"\n  \
    hornrule due done 58 --duty block-off --day 2026-04-02 --take-back --who Anna --why \"was 85\"\n  \
    hornrule due done 97 --gone sold --who Anna --why \"market, 3 April\"\n  \
    hornrule due done 97 101 --not-brought --who Anna --why \"still on the far pasture\"\n  \
    hornrule due done")]
pub(super) struct Options {
    /// Herd numbers of the cows
    #[arg(value_name = "COW", requires_all = ["what", "who", "why"])]
    cows: Vec<i64>,
    /// What is done: vet, recheck, block-off, wrap-off, trim or office
    #[arg(long, value_name = "DUTY", value_parser = duty)]
    duty: Option<Duty>,
    /// She has left the farm: sold or dead
    #[arg(long, value_name = "HOW", value_parser = gone)]
    gone: Option<Gone>,
    /// She was due and was not brought
    #[arg(long)]
    not_brought: bool,
    /// Which foot or claw: LH, "LH outer", "RF inner" [default: all of hers]
    #[arg(long, value_name = "PLACE", value_parser = place, requires = "duty")]
    at: Option<Place>,
    /// Take back an earlier note about the same thing, place and day
    #[arg(long, requires = "cows")]
    take_back: bool,
    /// On which day it was done [default: today]
    #[arg(long, value_name = "DATE", requires = "cows")]
    day: Option<Date>,
    /// The farm's name; needed where there are several
    #[arg(long, value_name = "NAME")]
    herd: Option<String>,
    /// Who says so
    #[arg(long, value_name = "NAME", env = "HORNRULE_WHO", value_parser = name)]
    who: Option<String>,
    /// What was said: the vet's answer, or why it is done
    #[arg(long, value_name = "TEXT", value_parser = note)]
    why: Option<String>,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

fn duty(text: &str) -> Result<Duty, String> {
    let all = || Duty::ALL.map(Duty::word).join(", ");
    Duty::from_word(text).ok_or_else(|| format!("duties are {}", all()))
}

fn gone(text: &str) -> Result<Gone, String> {
    match text {
        "sold" => Ok(Gone::Sold),
        "dead" => Ok(Gone::Dead),
        _ => Err("say sold or dead".to_owned()),
    }
}

impl Options {
    /// What is noted; `None` where the notes are to be shown.
    fn told(&self) -> Option<Told> {
        let not_brought = self.not_brought.then_some(Told::NotBrought);
        self.duty.map(Told::Done).or(self.gone.map(Told::Gone)).or(not_brought)
    }
}

fn place(text: &str) -> Result<Place, String> {
    let number = Field::Place.read(text).and_then(|number| u8::try_from(number).ok());
    number
        .and_then(|number| Place::try_from(number).ok())
        .ok_or_else(|| "say a foot (LF, RF, LH, RH) or a claw (\"LH outer\")".to_owned())
}

/// A note, for scripts.
#[derive(Serialize)]
struct Row {
    cow: i64,
    duty: &'static str,
    foot: Option<&'static str>,
    claw: Option<&'static str>,
    day: String,
    who: String,
    why: String,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let mut database = desk.existing_database()?;
    let farm = chosen(&database, options.herd.as_deref())?;
    if let Some(what) = options.told() {
        let today = today(desk, &farm.zone)?;
        let day = options.day.map_or(today, Day::from_date);
        if day > today {
            return Err(Failure::Said(format!("--day {day} has not come yet: today is {today}")));
        }
        let (who, why) = signed(&options.who, &options.why)?;
        let at_ms = desk.clock().unix_ms();
        let place = options.at.unwrap_or(Place::Cow);
        let of = |cow: &i64| Closing {
            herd: farm.herd,
            animal: AnimalId(*cow),
            place,
            what,
            day,
            who: who.clone(),
            at_ms,
            why: why.clone(),
        };
        let closings: Vec<Closing> = options.cows.iter().map(of).collect();
        if options.take_back {
            noted_before(&database, &farm, &closings)?;
            database.reopen_duties(&closings)?;
            return show(&database, &farm, options.json);
        }
        let closed = closed_by(&database, &farm, &closings, today)?;
        database.close_duties(&closings)?;
        if !options.json {
            if what == Told::NotBrought {
                options.cows.iter().for_each(|cow| println!("noted     {cow}  not brought, {day}"));
            }
            for need in closed {
                let (cow, what) = (need.animal.number(), need.duty.word());
                // A line of several feet is done at the one that was named.
                let place = plain::place(if place == Place::Cow { need.place } else { place });
                println!("done      {cow}  {what}, {place}, since {}", need.since);
            }
            return Ok(());
        }
    }
    show(&database, &farm, options.json)
}

/// What these notes end; an error where one of them ends nothing, or is of a cow on whom nothing is
/// due.
fn closed_by(
    database: &Database,
    farm: &Herd,
    closings: &[Closing],
    today: Day,
) -> Result<Vec<Need>, Failure> {
    let mut all = Vec::new();
    for one in closings {
        let (open, ended) = ended_by(database, one, today)?;
        let idle = if one.what == Told::NotBrought { open.is_empty() } else { ended.is_empty() };
        if idle {
            return Err(Failure::Said(refused(farm, one, &open)));
        }
        all.extend(ended);
    }
    Ok(all)
}

/// Why a note is not taken.
fn refused(farm: &Herd, note: &Closing, open: &[Need]) -> String {
    let (cow, day) = (note.animal.number(), note.day);
    let there: Vec<String> = open.iter().map(named).collect();
    let there = if there.is_empty() { "nothing".to_owned() } else { there.join("; ") };
    let why = match note.what {
        Told::Done(duty) => {
            format!("has no {} there to be noted as done on {day}", duty.word())
        }
        Told::Gone(_) if open.is_empty() => "owes nothing that could end".to_owned(),
        Told::Gone(_) => format!("was in the chute after {day}, so she had not gone then"),
        Told::NotBrought => "is not due to be brought".to_owned(),
    };
    format!("cow {cow} of {} {why}; due on her: {there}. Nothing was noted", farm.name)
}

/// Each of these was noted; an error where one was not.
fn noted_before(database: &Database, farm: &Herd, back: &[Closing]) -> Result<(), Failure> {
    let notes = database.read(|rows| rows.closings(farm.herd))?;
    for one in back {
        let same = |note: &Closing| {
            (note.animal, note.what, note.place, note.day)
                == (one.animal, one.what, one.place, one.day)
        };
        if !notes.iter().any(same) {
            return Err(Failure::Said(format!(
                "no {} of cow {} of {} at {} was noted on {}: `hornrule due done` shows the notes. \
                 Nothing was taken back",
                one.what.word(),
                one.animal.number(),
                farm.name,
                plain::place(one.place),
                one.day
            )));
        }
    }
    Ok(())
}

fn named(need: &Need) -> String {
    format!("{} {} since {}", need.duty.word(), plain::place(need.place), need.since)
}

fn show(database: &Database, farm: &Herd, as_json: bool) -> Result<(), Failure> {
    let notes = database.read(|rows| rows.closings(farm.herd))?;
    if as_json {
        let rows: Vec<Row> = notes.into_iter().map(row).collect();
        println!("{}", json(&rows)?);
        return Ok(());
    }
    println!("herd      {}", farm.name);
    if notes.is_empty() {
        println!("noted     nothing yet");
    }
    for one in notes {
        println!(
            "  {}  {:>9}  {}, {} ({}: {})",
            one.day,
            one.animal.number(),
            one.what.word(),
            plain::place(one.place),
            one.who,
            one.why
        );
    }
    Ok(())
}

fn row(one: Closing) -> Row {
    Row {
        cow: one.animal.number(),
        duty: one.what.word(),
        foot: one.place.foot().map(|foot| foot.letters()),
        claw: one.place.side().map(Side::name),
        day: one.day.to_string(),
        who: one.who,
        why: one.why,
    }
}
