//! The row that something said becomes.

use hornrule_facts::What;
use hornrule_protocol::Place;
use hornrule_protocol::record::Entry;

use super::chute::{Cow, is_gauge};
use super::rules::Moment;
use hornrule_facts::observation::{Observation, Presence, Spot};

/// A row of the herd tables.
pub(super) enum Row {
    Presence(Presence),
    Observation(Observation),
}

/// The row of a moment; `None` where something it needs is missing, which a held rule has said.
pub(super) fn row(moment: &Moment<'_>) -> Option<Row> {
    let when = moment.when?;
    let spot = Spot {
        herd: moment.whose.herd()?,
        seq: moment.seq,
        boot: moment.boot,
        when,
        day: moment.day?,
    };
    let what = match moment.entry {
        Entry::Animal(_) => {
            let animal = moment.cow.animal()?;
            return Some(Row::Presence(Presence { spot, animal, until_ms: when.at_ms }));
        }
        Entry::Reading(_) => What::Reading(moment.clip?),
        Entry::Finding(finding) => What::Finding(*finding),
        Entry::Action(done) => What::Action(*done),
        Entry::Score { scale, value } => What::Score { scale: *scale, value: *value },
        _ => return None,
    };
    let (animal, presence) = match moment.cow {
        // A gauge block is nobody's claw.
        _ if is_gauge(moment.entry) => (None, None),
        Cow::Known(animal, named) => (Some(animal), Some(named)),
        Cow::Nobody | Cow::Uncertain | Cow::NoAnimal => return None,
    };
    let place = if is_gauge(moment.entry) { Place::Cow } else { moment.place() };
    Some(Row::Observation(Observation { spot, animal, presence, place, what }))
}
