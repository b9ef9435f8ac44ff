//! The sample: which cows and claws, and in which order. A function of protocol and herd lists.

use hornrule_protocol::{Claw, Iso11784};

use super::StudyError;
use super::protocol::{Moment, Protocol};
use super::seeded::Seeded;
use crate::table::{Cell, Column, Kind, Table};
use crate::values;
use hornrule_facts::{AnimalId, Herd, ListedAnimal};

/// One reading to take.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Draw {
    /// The farm's name.
    pub herd: String,
    /// The digit that starts a visit there.
    pub farm: Option<u8>,
    /// The cow.
    pub cow: AnimalId,
    /// Her tag.
    pub tag: Option<Iso11784>,
    /// Which cow of the herd she is, from 1.
    pub cow_order: usize,
    /// When.
    pub moment: Moment,
    /// Which repeat, from 1.
    pub repeat: u8,
    /// The observer's code.
    pub observer: String,
    /// Where.
    pub claw: Claw,
    /// What, by its place in the protocol.
    pub dimension: usize,
}

/// Draws the sample from the cows that are on the lists now.
///
/// # Errors
/// `FewCows`.
pub fn draw(
    protocol: &Protocol,
    herds: &[(Herd, Vec<ListedAnimal>)],
) -> Result<Vec<Draw>, StudyError> {
    let mut all = Vec::new();
    for (herd, list) in herds {
        let mut stream = Seeded::named(protocol.seed, &herd.name);
        let mut cows: Vec<&ListedAnimal> = list.iter().filter(|cow| cow.in_herd).collect();
        cows.sort_by_key(|cow| cow.animal);
        let wanted = protocol.cows.unwrap_or(cows.len());
        if wanted > cows.len() {
            let (herd, listed) = (herd.name.clone(), cows.len());
            return Err(StudyError::FewCows { herd, listed, wanted });
        }
        stream.shuffle(&mut cows);
        for (at, cow) in (1..).zip(cows.into_iter().take(wanted)) {
            on_cow(protocol, &mut stream, herd, (at, cow), &mut all);
        }
    }
    Ok(all)
}

fn on_cow(
    protocol: &Protocol,
    stream: &mut Seeded,
    herd: &Herd,
    (cow_order, cow): (usize, &ListedAnimal),
    all: &mut Vec<Draw>,
) {
    let mut claws = protocol.claws.clone();
    stream.shuffle(&mut claws);
    claws.truncate(protocol.claws_each);
    let mut last: Option<(&str, Claw)> = None;
    for moment in &protocol.moments {
        for repeat in 1..=protocol.repeats {
            let mut observers: Vec<&str> =
                protocol.observers.iter().map(|one| one.code.as_str()).collect();
            stream.shuffle(&mut observers);
            for observer in observers {
                stream.shuffle(&mut claws);
                // No observer repeats a claw with nothing in between.
                if let [first, second, ..] = claws.as_mut_slice()
                    && last == Some((observer, *first))
                {
                    std::mem::swap(first, second);
                }
                last = claws.last().map(|claw| (observer, *claw));
                for claw in &claws {
                    for dimension in 0..protocol.dimensions.len() {
                        all.push(Draw {
                            herd: herd.name.clone(),
                            farm: herd.farm,
                            cow: cow.animal,
                            tag: cow.tag,
                            cow_order,
                            moment: *moment,
                            repeat,
                            observer: observer.to_owned(),
                            claw: *claw,
                            dimension,
                        });
                    }
                }
            }
        }
    }
}

/// The columns of the sample.
pub const SAMPLE: &[Column] = &[
    Column::new("order", Kind::Whole, "which reading it is, over all herds, from 1"),
    Column::new("herd", Kind::Text, "the farm"),
    Column::new("farm", Kind::Whole, "the digit keyed to start a visit there").or_empty(),
    Column::new("cow", Kind::Whole, "herd number; the tag where the list has none"),
    Column::new("tag", Kind::Text, "electronic tag, 15 digits").or_empty(),
    Column::new("cow_order", Kind::Whole, "which cow of this herd it is, from 1"),
    Column::new("moment", Kind::Text, "of the trim to form").of(values::moments),
    Column::new("repeat", Kind::Whole, "which repeat, from 1"),
    Column::new("observer", Kind::Text, "the observer's code"),
    Column::new("foot", Kind::Text, "left or right, fore or hind").of(values::feet),
    Column::new("claw", Kind::Text, "outer or inner claw").of(values::claws),
    Column::new("dimension", Kind::Whole, "its number, the digit keyed after SIZE")
        .of(values::dimensions),
    Column::new("dimension_name", Kind::Text, "in words").of(values::dimension_names),
];

/// The sample as a table.
#[must_use]
pub fn sample_table(protocol: &Protocol, draws: &[Draw]) -> Table {
    let whole = |count: usize| Cell::Whole(i64::try_from(count).unwrap_or(i64::MAX));
    let row = |(order, draw): (usize, &Draw)| {
        let dimension = protocol.dimensions.get(draw.dimension)?.dimension;
        Some(vec![
            whole(order),
            Cell::text(draw.herd.as_str()),
            Cell::maybe(draw.farm, |farm| Cell::Whole(farm.into())),
            Cell::Whole(draw.cow.number()),
            Cell::maybe(draw.tag, |tag| Cell::text(tag.to_string())),
            whole(draw.cow_order),
            Cell::text(draw.moment.word()),
            Cell::Whole(draw.repeat.into()),
            Cell::text(draw.observer.as_str()),
            Cell::text(draw.claw.foot.letters()),
            Cell::text(draw.claw.side.name()),
            Cell::Whole(dimension.code().into()),
            Cell::text(dimension.name),
        ])
    };
    let rows = (1..).zip(draws).filter_map(row).collect();
    Table { name: "sample", columns: SAMPLE, rows }
}
