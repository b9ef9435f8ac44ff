//! The sheet of a day's plan: the key of each farm, large, and what is due there.

mod told;

pub use told::{Loaded, left_out_old, left_out_room, told};

use hornrule_protocol::plan::{Need, Needs};
use hornrule_protocol::{Foot, Place};

use super::page::{Block, Cell, Column, Number, Page, Table};
use crate::words::{Say, Words};
use hornrule_facts::{Day, Paper};
use hornrule_line::plan::{Planned, PlannedCow};
use hornrule_questions::plan::named;

/// The table's name for scripts.
pub const TABLE: &str = "plan";

/// The plan of a day as a page. `number`: which plan it is, where it was kept.
#[must_use]
pub fn page(planned: &Planned, day: Day, number: Option<u32>, words: &Words, paper: Paper) -> Page {
    let date = words.long_date(day);
    let mut page = Page::new(words, paper, words.say(Say::PlanTitle { date: date.into() }), day);
    page.subtitle = number.map(|number| words.say(Say::PlanNumber { number: number.into() }));
    let farms = planned.farms.iter().map(|(key, name)| {
        let of: Vec<&PlannedCow> = planned.cows.iter().filter(|cow| cow.farm == *key).collect();
        let due = of.iter().filter(|cow| cow.needs != Needs::NONE).count();
        let cows = words.say(Say::OneOrMoreCows { n: of.len().into() }).into();
        let note = match due {
            0 => words.say(Say::PlanNoneDue { cows }),
            due => words.say(Say::PlanDue { cows, due: due.into() }),
        };
        Number { label: name.clone(), value: key.to_string(), note: Some(note) }
    });
    page.add(Block::Numbers(farms.collect()));
    page.note(words.say(Say::PlanKey));
    let drawn = planned.cows.iter().filter(|cow| cow.is_drawn()).count();
    if drawn > 0 {
        let cows = words.say(Say::OneOrMoreCows { n: drawn.into() }).into();
        page.note(words.say(Say::PlanDrawn { cows }));
    }
    if planned.cows.iter().any(|cow| cow.needs != Needs::NONE) {
        page.add(Block::Table(table(planned, words)));
    }
    page
}

fn table(planned: &Planned, words: &Words) -> Table {
    let columns = vec![
        Column::text("", 0),
        Column::text(words.say(Say::ColumnCow), 3),
        Column::text(words.say(Say::ColumnWhat), 6),
    ];
    let table = Table::new(TABLE, words.say(Say::PlanAbout), columns);
    let mut table = table.grouped_by(words.say(Say::PlanGroup));
    for (key, name) in &planned.farms {
        let due: Vec<&PlannedCow> = planned
            .cows
            .iter()
            .filter(|cow| cow.farm == *key && cow.needs != Needs::NONE)
            .collect();
        if due.is_empty() {
            continue;
        }
        table.section(words.say(Say::PlanFarm { key: (*key).into(), farm: name.as_str().into() }));
        for cow in due {
            let who = match &cow.name {
                Some(name) => format!("{} {name}", named(cow)),
                None => named(cow),
            };
            table.row([Cell::Tick, Cell::Strong(who), what(words, cow).into()]);
        }
    }
    table
}

/// What a cow needs, and how late it is: "recheck RH, vet; overdue by 3 days".
fn what(words: &Words, cow: &PlannedCow) -> String {
    let needs = needs(words, cow.needs);
    match cow.overdue {
        0 => needs,
        n => {
            let days = words.say(Say::DaysN { n: n.into() });
            format!("{needs}; {}", words.say(Say::OverdueBy { days: days.into() }))
        }
    }
}

/// What a cow needs: "recheck RH, vet".
fn needs(words: &Words, needs: Needs) -> String {
    let feet = |need: fn(Foot) -> Need| {
        let due = Foot::ALL.into_iter().filter(|foot| needs.has(need(*foot)));
        let feet: Vec<String> = due.map(|foot| words.place(Place::Foot(foot))).collect();
        (!feet.is_empty()).then(|| feet.join(" "))
    };
    let all = [
        needs.has(Need::Vet).then(|| words.say(Say::PlanVet)),
        needs.has(Need::DoNotTrim).then(|| words.say(Say::PlanDoNotTrim)),
        feet(Need::Recheck).map(|feet| words.say(Say::PlanRecheck { feet: feet.into() })),
        feet(Need::BlockOff).map(|feet| words.say(Say::PlanBlockOff { feet: feet.into() })),
        feet(Need::TrimFoot).map(|feet| words.say(Say::PlanTrim { feet: feet.into() })),
        needs.has(Need::WholeCow).then(|| words.say(Say::PlanWholeCow)),
    ];
    all.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use hornrule_facts::Language;
    use hornrule_protocol::HerdNumber;
    use hornrule_protocol::plan::Particulars;

    #[test]
    fn each_farm_has_its_key_and_what_is_due() {
        let cow = |farm, number, needs| PlannedCow {
            farm,
            number: HerdNumber::new(number),
            tag: None,
            name: (number == 27).then(|| "Clover".to_owned()),
            needs,
            particulars: Particulars::NONE,
            overdue: 0,
        };
        let due = Needs::NONE.with(Need::Recheck(Foot::RightHind)).with(Need::Vet);
        let planned = Planned {
            farms: vec![(1, "Neuhof".to_owned()), (2, "Lindenhof".to_owned())],
            cows: vec![cow(1, 12, Needs::NONE), cow(2, 12, Needs::NONE), cow(2, 27, due)],
            ..Planned::default()
        };
        let page =
            |language| page(&planned, Day(20_515), Some(7), &Words::new(language), Paper::A4);
        let english = page(Language::English);
        let Block::Numbers(keys) = &english.blocks[0] else { panic!("{:?}", english.blocks) };
        let keys: Vec<(&str, &str, &str)> = keys
            .iter()
            .map(|key| (key.value.as_str(), key.label.as_str(), key.note.as_deref().unwrap()))
            .collect();
        assert_eq!(
            keys,
            [("1", "Neuhof", "1 cow, nothing due"), ("2", "Lindenhof", "2 cows, 1 due"),]
        );
        let text = english.render_terminal();
        for part in [
            "Plan for Tuesday, 3 March 2026",
            "Plan 7",
            "2: Lindenhof",
            "27 Clover",
            "vet, recheck RH",
        ] {
            assert!(text.contains(part), "{part}: {text}");
        }
        let german = page(Language::German).render_terminal();
        assert!(german.contains("Tierarzt, Kontrolle HR"), "{german}");
    }
}
