//! A cow's history as a page, and for scripts.

use hornrule_protocol::{Nanometres, Place};
use serde_json::{Value, json};

use super::cow::{CowHistory, Walls};
use super::page::{Block, Figure, Page, Table, Width};
use super::svg::{self, Point, Series};
use super::{json as values, terms, visit_cows};
use hornrule_facts::{Day, Language, LengthUnit, Paper};
use crate::words::{Say, Words};

const NM_PER_MM: f64 = 1e6;

impl CowHistory {
    /// The history as a page.
    #[must_use]
    pub fn page(&self, words: &Words, paper: Paper) -> Page {
        let title = words.say(Say::CowTitle {
            cow: self.name.to_string().into(),
            farm: self.farm.as_str().into(),
        });
        let last = self.days.last().map_or(Day(0), |one| one.day);
        let mut page = Page::new(words, paper, title, last);
        let born = self.listed.as_ref().and_then(|one| one.born);
        let born = born.map(|day| words.say(Say::CowBorn { date: words.date(day).into() }));
        let tag = self.tag().map(|tag| words.say(Say::CowTag { tag: tag.into() }));
        let known: Vec<String> = born.into_iter().chain(tag).collect();
        page.subtitle = (!known.is_empty()).then(|| known.join(" "));
        if self.days.is_empty() {
            page.para(words.say(Say::CowNever));
        }
        if !self.due.is_empty() {
            page.heading(words.say(Say::CowDue));
            let lines = self.due.iter().map(|due| {
                words.say(Say::CowDueLine {
                    date: words.date(due.day).into(),
                    place: words.place(due.place).into(),
                    what: terms::what(words, due).into(),
                    why: terms::why(words, due).into(),
                })
            });
            page.add(Block::List(lines.collect()));
            page.note(words.say(Say::Starred));
        }
        self.days_of(words, &mut page);
        self.plots(words, &mut page);
        page.heading(words.say(Say::HeadCautions));
        page.add(terms::cautions(words));
        page
    }

    fn days_of(&self, words: &Words, page: &mut Page) {
        if self.days.is_empty() {
            return;
        }
        page.heading(words.say(Say::CowDays));
        let table = Table::new("days", words.say(Say::AboutCows), visit_cows::columns(words));
        let mut table = table.grouped_by(words.say(Say::ColumnWhen));
        for one in self.days.iter().rev() {
            visit_cows::titled(words.date(one.day), &one.line, words, &mut table);
        }
        page.add(Block::Table(table));
        page.note(words.say(Say::NoteCows));
    }

    /// Lesion area of each claw or foot: length times width times π/4, where both were measured.
    #[must_use]
    pub fn areas(&self) -> Vec<(Place, Vec<(Day, f64)>)> {
        let mut areas: Vec<(Place, Vec<(Day, f64)>)> = Vec::new();
        for one in &self.days {
            for claw in &one.line.claws {
                let (Some(long), Some(wide)) = (claw.lesion_length, claw.lesion_width) else {
                    continue;
                };
                let area = long.as_mm() * wide.as_mm() * std::f64::consts::FRAC_PI_4;
                match areas.iter_mut().find(|(place, _)| *place == claw.place) {
                    Some((_, points)) => points.push((one.day, area)),
                    None => areas.push((claw.place, vec![(one.day, area)])),
                }
            }
        }
        areas
    }

    fn plots(&self, words: &Words, page: &mut Page) {
        let date = |day| words.date(Day(day));
        let mut figures = Vec::new();
        for (place, points) in self.areas().into_iter().filter(|(_, points)| points.len() > 1) {
            let caption = words.say(Say::CaptionArea { place: words.place(place).into() });
            let lines: Vec<String> = points
                .iter()
                .map(|(day, area)| format!("{}: {} mm²", words.date(*day), words.decimal(*area, 0)))
                .collect();
            let points: Vec<Point> =
                points.iter().map(|(day, area)| Point { day: day.0, value: *area }).collect();
            let series = [Series { name: String::new(), points, hollow: false }];
            let svg = svg::line(&series, None, |value| words.decimal(value, 0), date);
            figures.push(figure(svg, caption, lines));
        }
        let areas = figures.len();
        let walls = self.walls.values().filter(|walls| walls.days() > 1);
        figures.extend(walls.map(|walls| wall(walls, self.settings.target, words)));
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
        }
    }

    /// All of it as one JSON value.
    #[must_use]
    pub fn render_json(&self) -> Value {
        let words = Words::new(Language::English);
        let days = self.days.iter().map(|one| {
            let mut value = values::cow(&one.line, &words);
            if let Value::Object(fields) = &mut value {
                fields.insert("day".to_owned(), json!(one.day.date().to_string()));
            }
            value
        });
        let walls = self.walls.values().map(|walls| {
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
            json!({ "place": values::place(Place::Claw(walls.claw)), "dorsal_wall": all })
        });
        let areas = self.areas().into_iter().map(|(place, points)| {
            let points = points
                .iter()
                .map(|(day, area)| json!({ "day": day.date().to_string(), "mm2": area }));
            json!({ "place": values::place(place), "lesion_area": points.collect::<Vec<_>>() })
        });
        let value = json!({
            "farm": self.farm,
            "tag": self.tag(),
            "days": days.collect::<Vec<_>>(),
            "walls": walls.collect::<Vec<_>>(),
            "areas": areas.collect::<Vec<_>>(),
            "due": self.due.iter().map(|one| values::due(one, &words)).collect::<Vec<_>>(),
        });
        values::of_cow(&self.name, value)
    }
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
