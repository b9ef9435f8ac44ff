//! A plan as scripts see it.

use hornrule_facts::{Day, plain};
use hornrule_line::plan::Planned;
use hornrule_papers::plan::Loaded;
use hornrule_protocol::plan::{Blinding, Particulars, place};
use hornrule_protocol::{Claw, Foot, Nanometres, Place};
use hornrule_questions::plan::{named, words as needs_in_words};
use serde::Serialize;

use super::trial;

#[derive(Serialize)]
pub(super) struct Row {
    day: String,
    farms: Vec<FarmRow>,
    order: Vec<String>,
    blind: bool,
    starts_at: Starts,
    bundles: Vec<BundleRow>,
    /// Between the heels of a foot.
    heels_differ_mm: Option<f64>,
    gauge_mm: Option<f64>,
    trial_ways: Vec<trial::Row>,
    cows: Vec<CowRow>,
    loaded: Option<LoadedRow>,
}

/// The claw where work starts.
#[derive(Serialize)]
pub(super) struct Starts {
    hind: &'static str,
    front: &'static str,
}

#[derive(Serialize)]
pub(super) struct BundleRow {
    bundle: u8,
    does: Vec<String>,
}

#[derive(Serialize)]
pub(super) struct FarmRow {
    farm: u8,
    name: String,
    cows: usize,
    due: usize,
    drawn: usize,
}

#[derive(Serialize)]
pub(super) struct CowRow {
    farm: u8,
    cow: String,
    name: Option<String>,
    needs: String,
    overdue_days: u32,
    /// Shortest dorsal wall after trimming.
    floor_mm: Option<f64>,
    /// Claws and feet with a lesion from before.
    open: Vec<String>,
    /// Most horn that can have regrown.
    regrown_mm: Option<f64>,
}

#[derive(Serialize)]
pub(super) struct LoadedRow {
    pub(super) handheld: String,
    pub(super) number: u32,
    pub(super) plan: String,
    pub(super) numbers: u16,
    pub(super) bytes: usize,
}

pub(super) fn row(planned: &Planned, day: Day, loaded: Option<LoadedRow>) -> Row {
    let of = |farm: u8| planned.cows.iter().filter(move |cow| cow.farm == farm);
    let farms = planned.farms.iter().map(|(farm, name)| FarmRow {
        farm: *farm,
        name: name.clone(),
        cows: of(*farm).count(),
        due: of(*farm).filter(|cow| cow.needs.bits() != 0).count(),
        drawn: of(*farm).filter(|cow| cow.is_drawn()).count(),
    });
    let cows = planned.cows.iter().map(|cow| CowRow {
        farm: cow.farm,
        cow: named(cow),
        name: cow.name.clone(),
        needs: needs_in_words(cow.needs),
        overdue_days: cow.overdue,
        floor_mm: planned.floor_of(cow).map(Nanometres::as_mm),
        open: open(&cow.particulars),
        regrown_mm: cow.particulars.growth().map(Nanometres::as_mm),
    });
    let order = planned.order.steps().map(|(dimension, clips)| match clips {
        1 => dimension.name.to_owned(),
        clips => format!("{} x{clips}", dimension.name),
    });
    let first = |foot| planned.habits.first_claws.of(foot).common_name();
    let bundles = planned.habits.bundles().map(|bundle| BundleRow {
        bundle: bundle.number(),
        does: bundle.parts().map(|part| plain::bundle_part(&part)).collect(),
    });
    Row {
        day: day.to_string(),
        farms: farms.collect(),
        order: order.collect(),
        blind: planned.blinding == Blinding::Blind,
        starts_at: Starts { hind: first(Foot::LeftHind), front: first(Foot::LeftFore) },
        bundles: bundles.collect(),
        heels_differ_mm: planned.heel_difference().map(Nanometres::as_mm),
        gauge_mm: planned.gauge.map(|gauge| gauge.size.as_mm()),
        trial_ways: trial::rows(planned.trial_ways.clone()),
        cows: cows.collect(),
        loaded,
    }
}

impl LoadedRow {
    pub(super) fn told(&self) -> Loaded<'_> {
        let Self { handheld, number, plan, numbers, bytes } = self;
        Loaded { handheld, number: *number, name: plan, numbers: *numbers, bytes: *bytes }
    }
}

/// "left hind, outer claw", "right hind foot": what is asked after when she leaves.
fn open(hers: &Particulars) -> Vec<String> {
    let claws = Claw::all().filter(|claw| hers.open_claws() >> place(*claw) & 1 == 1);
    let feet = Foot::ALL.into_iter().filter(|foot| hers.open_feet() >> foot.number() & 1 == 1);
    claws.map(Place::Claw).chain(feet.map(Place::Foot)).map(plain::place).collect()
}
