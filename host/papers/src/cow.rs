//! A cow's history as a page, and for scripts.

use hornrule_protocol::{Nanometres, Place};
use serde_json::{Value, json};

use super::page::{Block, Column, Figure, Page, Table, Width};
use super::svg::{self, Point, Series};
use super::{derived, terms, visit};
use crate::words::{Say, Words};
use hornrule_casebook::{Case, place_key};
use hornrule_facts::{Day, Language, LengthUnit, Paper};
use hornrule_questions::cow::{CowHistory, Walls};

const NM_PER_MM: f64 = 1e6;

/// The history as a page; what is due is late or not as of today.
#[must_use]
pub fn page(history: &CowHistory, words: &Words, paper: Paper, today: Day) -> Page {
    let title = words.say(Say::CowTitle {
        cow: history.name.to_string().into(),
        farm: history.farm.as_str().into(),
    });
    let last = last_day(history);
    let mut page = Page::new(words, paper, title, last);
    let born = history.listed.as_ref().and_then(|one| one.born);
    let born = born.map(|day| words.say(Say::CowBorn { date: words.date(day).into() }));
    let tag = history.tag().map(|tag| words.say(Say::CowTag { tag: tag.into() }));
    let known: Vec<String> = born.into_iter().chain(tag).collect();
    page.subtitle = (!known.is_empty()).then(|| known.join(" "));
    if history.days.is_empty() {
        page.para(words.say(Say::CowNever));
    }
    if !history.due.is_empty() {
        page.heading(words.say(Say::CowDue));
        let lines = history.due.iter().map(|due| {
            words.say(Say::CowDueLine {
                date: words.date(due.day).into(),
                place: words.place(due.place).into(),
                what: terms::what_with_lesions(words, due).into(),
                why: terms::why_and_late(words, due, today).into(),
            })
        });
        page.add(Block::List(lines.collect()));
        page.note(words.say(Say::Starred));
    }
    cases(history, words, &mut page);
    days_of(history, words, &mut page);
    plots(history, words, &mut page);
    derived::values(&history.derived, words, &mut page);
    page.heading(words.say(Say::HeadCautions));
    page.add(terms::cautions(words));
    page
}

/// The day that the page speaks of.
fn last_day(history: &CowHistory) -> Day {
    history.days.last().map_or(Day(0), |one| one.day)
}

fn days_of(history: &CowHistory, words: &Words, page: &mut Page) {
    if history.days.is_empty() {
        return;
    }
    page.heading(words.say(Say::CowDays));
    let table = Table::new("days", words.say(Say::AboutCows), visit::columns(words));
    let mut table = table.grouped_by(words.say(Say::ColumnWhen));
    for one in history.days.iter().rev() {
        visit::titled(words.date(one.day), &one.line, words, &mut table);
    }
    page.add(Block::Table(table));
    page.note(words.say(Say::NoteCows));
}

/// Lesion area of each case that was measured more than once: the case, and each size.
pub(crate) fn areas(history: &CowHistory) -> Vec<(&Case, Vec<(Day, f64)>)> {
    let mut measured: Vec<&Case> =
        history.book.cases.iter().filter(|case| case.sizes.len() > 1).collect();
    measured.sort_by_key(|case| (place_key(case.place), case.found));
    measured
        .into_iter()
        .map(|case| (case, case.sizes.iter().map(|size| (size.day, size.area_mm2())).collect()))
        .collect()
}

/// Her cases: what, where, since when, and how it stands.
fn cases(history: &CowHistory, words: &Words, page: &mut Page) {
    if history.book.cases.is_empty() {
        return;
    }
    page.heading(words.say(Say::CowCases));
    let columns = vec![
        Column::text(words.say(Say::ColumnLesion), 4),
        Column::text(words.say(Say::ColumnWhere), 2),
        Column::text(words.say(Say::ColumnFoundOn), 2),
        Column::text(words.say(Say::ColumnGrade), 2),
        Column::text(words.say(Say::ColumnLastSeen), 2),
        Column::text(words.say(Say::ColumnNow), 3),
    ];
    let mut table = Table::new("cases", words.say(Say::AboutCases), columns);
    let last = last_day(history);
    for case in history.book.cases.iter().rev() {
        let mut found = words.date(case.found);
        if case.again {
            found = format!("{found}, {}", words.say(Say::CaseAgain));
        }
        let now = terms::case_now(words, case, last);
        table.row([
            terms::lesion(words, case.lesion),
            words.place(case.place),
            found,
            words.grade(case.lesion, case.last_grade).unwrap_or_default(),
            words.date(case.last_word()),
            now,
        ]);
    }
    page.add(Block::Table(table));
}

fn plots(history: &CowHistory, words: &Words, page: &mut Page) {
    let date = |day| words.date(Day(day));
    let last = last_day(history);
    let mut figures = Vec::new();
    let areas_of = areas(history);
    let mut places: Vec<Place> = areas_of.iter().map(|(case, _)| case.place).collect();
    places.dedup();
    for place in places {
        let caption = words.say(Say::CaptionArea { place: words.place(place).into() });
        let (mut lines, mut series) = (Vec::new(), Vec::new());
        // A line a case: it breaks where the case ends, and carries its name.
        for (case, points) in areas_of.iter().filter(|(case, _)| case.place == place) {
            let named = |lesion: String| {
                let date = words.date(case.found).into();
                words.say(Say::CaseSeries { lesion: lesion.into(), date })
            };
            // In the figure there is room for its letters; the table of cases has the name.
            let (name, in_full) =
                (named(case.lesion.letters.to_owned()), named(terms::lesion(words, case.lesion)));
            let said: Vec<String> = points
                .iter()
                .map(|(day, area)| format!("{} {} mm²", words.date(*day), words.decimal(*area, 0)))
                .collect();
            let now = terms::case_now(words, case, last);
            lines.push(format!("{in_full}: {}; {now}", said.join(", ")));
            let points = points.iter().map(|(day, area)| Point { day: day.0, value: *area });
            series.push(Series { name, points: points.collect(), hollow: false });
        }
        let svg = svg::line(&series, None, |value| words.decimal(value, 0), date);
        figures.push(figure(svg, caption, lines));
    }
    let areas = figures.len();
    let walls = history.walls.values().filter(|walls| walls.days() > 1);
    figures.extend(walls.map(|walls| wall(walls, history.settings.target, words)));
    let all = figures.len();
    if all == 0 {
        return;
    }
    page.heading(words.say(Say::CowOverTime));
    page.add(Block::Figures(figures));
    if areas > 0 {
        page.note(words.say(Say::NoteArea));
    }
    if all > areas {
        page.note(words.say(Say::NoteWalls));
        if history.settings.target.is_some() {
            page.note(words.say(Say::NoteWallsTarget));
        }
    }
}

/// All of it as one JSON value.
#[must_use]
pub fn json(history: &CowHistory) -> Value {
    let words = Words::new(Language::English);
    let days = history.days.iter().map(|one| {
        let mut value = visit::cow_json(&one.line, &words);
        if let Value::Object(fields) = &mut value {
            fields.insert("day".to_owned(), json!(one.day.date().to_string()));
        }
        value
    });
    let walls = history.walls.values().map(|walls| {
        let points = |points: &[(Day, Nanometres)], trimmed: bool| -> Vec<Value> {
            let point = |(day, length): &(Day, Nanometres)| {
                json!({
                    "day": day.date().to_string(), "mm": length.as_mm(), "trimmed": trimmed,
                })
            };
            points.iter().map(point).collect()
        };
        let mut all = points(&walls.before, false);
        all.extend(points(&walls.after, true));
        all.sort_by_key(|one| (one["day"].to_string(), one["trimmed"].as_bool()));
        json!({ "place": visit::place_json(Place::Claw(walls.claw)), "dorsal_wall": all })
    });
    let areas = areas(history).into_iter().map(|(case, points)| {
        let points =
            points.iter().map(|(day, area)| json!({ "day": day.date().to_string(), "mm2": area }));
        json!({
            "case": case.id.to_string(),
            "place": visit::place_json(case.place),
            "lesion_area": points.collect::<Vec<_>>(),
        })
    });
    let value = json!({
        "farm": history.farm,
        "tag": history.tag(),
        "days": days.collect::<Vec<_>>(),
        "walls": walls.collect::<Vec<_>>(),
        "derived": history.derived.iter().filter(|one| one.is_said()).map(derived::line_json).collect::<Vec<_>>(),
        "areas": areas.collect::<Vec<_>>(),
        "cases": history.book.cases.iter().map(visit::case_json).collect::<Vec<_>>(),
        "due": history.due.iter().map(|one| visit::due_json(one, &words)).collect::<Vec<_>>(),
    });
    visit::of_cow(&history.name, value)
}

fn figure(svg: String, caption: String, lines: Vec<String>) -> Figure {
    let alt = format!("{caption} {}", lines.join("; "));
    Figure { svg, caption: Some(caption), alt, lines, width: Width::Half }
}

/// A claw's dorsal wall over time, before and after trimming each a line of its own.
fn wall(walls: &Walls, target: Option<Nanometres>, words: &Words) -> Figure {
    let (per, decimals) = match words.unit() {
        LengthUnit::Millimetre => (NM_PER_MM, 0),
        LengthUnit::Inch => (LengthUnit::NM_PER_INCH, 2),
    };
    let in_unit = |length: Nanometres| f64::from(length.0) / per;
    let caption = words.say(Say::CaptionWall {
        place: words.place(Place::Claw(walls.claw)).into(),
        unit: words.unit_sign().into(),
    });
    let (mut lines, mut series) = (Vec::new(), Vec::new());
    let states =
        [(Say::BeforeTrimming, &walls.before, true), (Say::AfterTrimming, &walls.after, false)];
    for (name, points, hollow) in states {
        if points.is_empty() {
            continue;
        }
        let name = words.say(name);
        let said = points.iter().map(|(day, length)| {
            format!("{} {}", words.date(*day), words.length_with_unit(*length))
        });
        lines.push(format!("{name}: {}", said.collect::<Vec<_>>().join(", ")));
        let point =
            |(day, length): &(Day, Nanometres)| Point { day: day.0, value: in_unit(*length) };
        series.push(Series { name, points: points.iter().map(point).collect(), hollow });
    }
    let number = |value| words.decimal(value, decimals);
    let svg = svg::line(&series, target.map(in_unit), number, |day| words.date(Day(day)));
    figure(svg, caption, lines)
}
