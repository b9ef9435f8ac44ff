//! The only values that columns may hold, out of the code tables and of the words that are written:
//! what can be written is listed.

use hornrule_protocol::codes::About;
use hornrule_protocol::record::{CalliperKind, UnitMode};
use hornrule_protocol::{Action, Dimension, Foot, Lesion, Scale, Side};

use crate::table::Cell;
use crate::words::{calliper_word, clock_word, gauge_word, moment_word, unit_word};
use hornrule_facts::observation::Certainty;

/// LF, RF, LH, RH.
pub(crate) fn feet() -> Vec<Cell> {
    texts(Foot::ALL.map(Foot::letters))
}

/// lateral, medial.
pub(crate) fn claws() -> Vec<Cell> {
    texts(Side::ALL.map(Side::name))
}

/// How a time is known.
pub(crate) fn clocks() -> Vec<Cell> {
    texts(Certainty::ALL.map(clock_word))
}

/// What a calliper shows.
pub(crate) fn units() -> Vec<Cell> {
    texts(UnitMode::ALL.map(unit_word))
}

/// Outputs of callipers.
pub(crate) fn callipers() -> Vec<Cell> {
    texts(CalliperKind::ALL.map(calliper_word))
}

/// Of the trim to form.
pub(crate) fn moments() -> Vec<Cell> {
    texts([false, true].map(moment_word))
}

/// How a gauge check came out.
pub(crate) fn gauge_checks() -> Vec<Cell> {
    texts([Some(true), Some(false), None].map(gauge_word))
}

/// Numbers of lesions.
pub(crate) fn lesions() -> Vec<Cell> {
    wholes(Lesion::all().map(|one| one.code))
}

/// Letters of lesions.
pub(crate) fn lesion_letters() -> Vec<Cell> {
    texts(Lesion::all().map(|one| one.letters))
}

/// Letters of the atlas.
pub(crate) fn atlas_letters() -> Vec<Cell> {
    texts(Lesion::all().filter_map(|one| Some(one.atlas()?.letters)))
}

/// Names of lesions.
pub(crate) fn lesion_names() -> Vec<Cell> {
    texts(Lesion::all().map(|one| one.name))
}

/// Numbers of actions. Washing is no cow's, and stands in no table that has one.
pub(crate) fn actions() -> Vec<Cell> {
    wholes(of_cows().map(|one| one.code))
}

/// Names of actions.
pub(crate) fn action_names() -> Vec<Cell> {
    texts(of_cows().map(|one| one.name))
}

/// Numbers of a claw's dimensions. The gauge block is none: it is in no table that has a claw.
pub(crate) fn dimensions() -> Vec<Cell> {
    wholes(of_claws().map(|one| one.code))
}

/// Names of a claw's dimensions.
pub(crate) fn dimension_names() -> Vec<Cell> {
    texts(of_claws().map(|one| one.name))
}

/// Names of scales.
pub(crate) fn scale_names() -> Vec<Cell> {
    texts(Scale::all().map(|one| one.name))
}

fn of_cows() -> impl Iterator<Item = Action> {
    Action::all().filter(|one| one.about != About::Tools)
}

fn of_claws() -> impl Iterator<Item = Dimension> {
    Dimension::all().filter(|one| !one.is_gauge())
}

fn texts(of: impl IntoIterator<Item = &'static str>) -> Vec<Cell> {
    of.into_iter().map(Cell::text).collect()
}

fn wholes(of: impl Iterator<Item = u8>) -> Vec<Cell> {
    of.map(|code| Cell::Whole(code.into())).collect()
}
