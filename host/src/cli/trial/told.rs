//! A draw in words and for scripts: never a cow's way, and the seed only where the list is shown.

use serde::Serialize;
use serde_json::{Value, json};

use super::super::Failure;
use hornrule_facts::lot::{CLAWS, Unit};
use hornrule_facts::{HerdId, KeptLot, plain};
use hornrule_herd::Database;
use hornrule_questions::evidence::DrawTold;
use hornrule_questions::lot;

/// All draws, by herd and number.
pub(super) fn all(database: &Database) -> Result<Vec<KeptLot>, Failure> {
    let herds: Vec<HerdId> = database.herds()?.into_iter().map(|herd| herd.herd).collect();
    Ok(lot::lots(database, &herds)?)
}

/// What a script sees of a draw.
#[derive(Serialize)]
pub(super) struct Row {
    #[serde(flatten)]
    pub(super) told: DrawTold,
    ways: Vec<u8>,
    sizes: Vec<u8>,
    who: String,
    why: String,
    looked: Vec<Look>,
}

/// Who looked into it while it was open.
#[derive(Serialize)]
struct Look {
    day: String,
    who: String,
    why: String,
}

pub(super) fn row(kept: &KeptLot) -> Row {
    let look = |note: &hornrule_facts::LotNote| Look {
        day: note.day.to_string(),
        who: note.who.clone(),
        why: note.why.clone(),
    };
    Row {
        told: DrawTold::of(kept),
        ways: kept.lot.design.ways.clone(),
        sizes: kept.lot.design.sizes.clone(),
        who: kept.lot.who.clone(),
        why: kept.lot.why.clone(),
        looked: kept.looks().map(look).collect(),
    }
}

/// The whole list, for a script.
pub(super) fn shown(kept: &KeptLot) -> Value {
    let each = if kept.lot.design.by == Unit::Cow { 1 } else { CLAWS };
    let rows = kept.lot.cows.iter();
    let rows = rows.map(|(cow, ways)| json!({ "cow": cow.number(), "ways": ways[..each] }));
    json!({
        "draw": row(kept),
        "seed": kept.lot.design.seed,
        "list": rows.collect::<Vec<_>>(),
    })
}

/// In words.
pub(super) fn of(kept: &KeptLot) -> String {
    let Row { told, ways, sizes, who, why, looked } = row(kept);
    let numbers = |all: &[u8], times: usize| {
        let all: Vec<String> =
            all.iter().map(|one| (usize::from(*one) * times).to_string()).collect();
        all.join(", ")
    };
    let cows = plain::count(told.cows, "cow", "cows");
    let each = if told.by == "cow" { "one way each" } else { "a way for each claw" };
    let units = if told.by == "cow" { "cows" } else { "claws" };
    let holds = told
        .closed
        .map_or_else(|| "until it is closed".to_owned(), |day| format!("through {day}: closed"));
    let mut text = format!(
        "draw {}    {}: {cows}, {each} of {} ({who}: {why})\nblocks    of {} {units}, within the herd\n\
         holds     from {} {holds}\nsha256    {}\n",
        told.draw,
        told.farm,
        numbers(&ways, 1),
        numbers(&sizes, ways.len()),
        told.day,
        told.sha256,
    );
    for Look { day, who, why } in looked {
        text += &format!("looked    into the open list on {day}: {who}: {why}\n");
    }
    text
}
