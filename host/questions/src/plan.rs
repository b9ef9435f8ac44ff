//! The day's plan: which cows, what is due on which foot.
//!
//! ```text
//! herds, herd lists --+
//! open needs (due) ---+--> Planned (values) --> `hornrule_line::plan` loads it
//! order, limits, gauge+                     +--> `kept`: its number, and what the office keeps of it
//! ```

mod kept;
mod keys;
mod particulars;

pub use kept::{KeepError, Maker, keep};
pub use keys::{KeysError, day_keys};

use hornrule_protocol::plan::{Blinding, Gauge, Limits, Need, Needs, Order, Particulars};
use hornrule_protocol::{AnimalNumber, DeviceId, HerdNumber, Iso11784};

use crate::due::{Need as Due, open_needs};
use crate::lot::Lots;
use hornrule_facts::lot::{Ways, claw_at};
use hornrule_facts::{AnimalId, Day, Herd, HerdId};
use hornrule_facts::{Duty, Floors, Habits};
use hornrule_herd::{Database, DatabaseError};
use hornrule_line::plan::{Planned, PlannedCow};

/// What is asked for.
#[derive(Clone, Debug, Default)]
pub struct Asked {
    /// The measuring order.
    pub order: Order,
    /// The limits.
    pub limits: Limits,
    /// Whether limits are told.
    pub blinding: Blinding,
    /// Needs that come due this many days after the day count as well.
    pub ahead: u16,
    /// Where work starts, and what is always done together.
    pub habits: Habits,
    /// What is warned of at the chute.
    pub floors: Floors,
    /// Cows that are not to be trimmed, beside those that the database has marked: farm, number.
    pub do_not_trim: Vec<(u8, HerdNumber)>,
}

/// The plan of a day at these farms, each with its key of that day.
///
/// # Errors
/// [`DatabaseError`].
pub fn gather(
    herd: &Database,
    farms: &[(u8, Herd)],
    day: Day,
    device: Option<DeviceId>,
    asked: &Asked,
) -> Result<Planned, DatabaseError> {
    let due: Vec<Due> = open_needs(herd, day)?
        .into_iter()
        .filter(|need| need.day <= day.plus(asked.ahead))
        .collect();
    let (mut cows, mut floors) = (Vec::new(), Vec::new());
    for (farm, listed) in farms {
        let known = particulars::of_herd(herd, listed, day)?;
        let marked = herd.not_to_be_trimmed(listed.herd, day)?;
        let lots = herd.read(|rows| Lots::of(rows, listed.herd))?;
        for animal in herd.animals(listed.herd)?.into_iter().filter(|animal| animal.in_herd) {
            let (number, own_tag) = numbers(animal.animal);
            let mut needs = needs_of(&due, listed.herd, animal.animal);
            let named = number.is_some_and(|number| asked.do_not_trim.contains(&(*farm, number)));
            if named || marked.iter().any(|mark| mark.animal == animal.animal) {
                needs = needs.with(Need::DoNotTrim);
            }
            let hers = known.get(&animal.animal).copied().unwrap_or_default();
            let hers = particulars::with_due(hers, &due, listed, animal.animal);
            floors.push(particulars::floor_of(&asked.floors, listed, &animal));
            cows.push(PlannedCow {
                farm: *farm,
                number,
                tag: own_tag.or(animal.tag),
                name: animal.name,
                needs,
                particulars: with_ways(hers, lots.ways(animal.animal, day)),
                overdue: overdue(&due, (listed.herd, animal.animal), day),
            });
        }
    }
    let gauge = match device {
        None => None,
        Some(device) => herd.read(|rows| rows.handheld(device)).map(|handheld| {
            let tolerance = handheld.gauge_tolerance;
            handheld.gauge.map(|size| Gauge { size, tolerance })
        })?,
    };
    let floor = particulars::shared(&mut cows, &floors);
    Ok(Planned {
        number: None,
        farms: farms.iter().map(|(farm, listed)| (*farm, listed.name.clone())).collect(),
        cows,
        order: asked.order,
        limits: asked.limits,
        blinding: asked.blinding,
        gauge,
        floor,
        heels: asked.floors.heels.unwrap_or(0),
        habits: asked.habits,
        trial_ways: herd.trial_ways()?,
    })
}

/// Her herd number, or her tag where the herd list has no number for her.
fn numbers(animal: AnimalId) -> (Option<HerdNumber>, Option<Iso11784>) {
    let number = u32::try_from(animal.number()).ok().and_then(HerdNumber::new);
    let tag = u64::try_from(animal.number()).ok().filter(|_| number.is_none());
    (number, tag.and_then(|tag| Iso11784::from_decimal(tag).ok()))
}

/// With the ways that were drawn for her claws.
fn with_ways(hers: Particulars, ways: Option<Ways>) -> Particulars {
    let ways = (0..).zip(ways.unwrap_or_default());
    ways.fold(hers, |hers, (place, way)| {
        // A way is 1 to 9.
        claw_at(place).and_then(|claw| hers.with_way(claw, way)).unwrap_or(hers)
    })
}

/// Days that the longest of what she needs at the chute is overdue.
fn overdue(due: &[Due], (herd, animal): (HerdId, AnimalId), day: Day) -> u32 {
    let hers = due.iter().filter(|need| (need.herd, need.animal) == (herd, animal));
    let hers = hers.filter(|need| need.duty != Duty::Office);
    hers.map(|need| need.overdue(day)).max().unwrap_or_default()
}

fn needs_of(due: &[Due], herd: HerdId, animal: AnimalId) -> Needs {
    let hers = due.iter().filter(|need| need.herd == herd && need.animal == animal);
    // What is the office's is no business of the chute.
    let hers = hers.filter(|need| need.duty != Duty::Office);
    hers.fold(Needs::NONE, |needs, need| {
        needs.with(match (need.duty, need.place.foot()) {
            (Duty::Vet, _) => Need::Vet,
            (Duty::Recheck, Some(foot)) => Need::Recheck(foot),
            (Duty::BlockOff | Duty::WrapOff, Some(foot)) => Need::BlockOff(foot),
            (Duty::Trim, Some(foot)) => Need::TrimFoot(foot),
            (Duty::Recheck | Duty::BlockOff | Duty::WrapOff | Duty::Trim | Duty::Office, _) => {
                Need::WholeCow
            }
        })
    })
}

/// What a cow needs, in words: "recheck RH, vet".
#[must_use]
pub fn words(needs: Needs) -> String {
    use hornrule_protocol::Foot;
    let feet = |what: &str, need: fn(Foot) -> Need| {
        let due: Vec<&str> = Foot::ALL
            .into_iter()
            .filter(|foot| needs.has(need(*foot)))
            .map(Foot::letters)
            .collect();
        (!due.is_empty()).then(|| format!("{what} {}", due.join(" ")))
    };
    let cow = |need: Need, what: &str| needs.has(need).then(|| what.to_owned());
    let all = [
        cow(Need::Vet, "vet"),
        cow(Need::DoNotTrim, "do not trim"),
        feet("recheck", Need::Recheck),
        feet("block or wrap off", Need::BlockOff),
        feet("trim", Need::TrimFoot),
        cow(Need::WholeCow, "trim or look at"),
    ];
    all.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// How a cow is named in a list.
#[must_use]
pub fn named(cow: &PlannedCow) -> String {
    let number = cow.number.map(AnimalNumber::Herd).or(cow.tag.map(AnimalNumber::Tag));
    number.map_or_else(String::new, |number| number.to_string())
}
