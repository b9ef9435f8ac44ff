//! The columns of a data set's tables: name, type, unit, meaning. The dictionary is made of them.

use crate::derived_row::columns;
use crate::table::{Column, Kind};
use crate::values;

/// One reading a row.
pub(super) const READINGS: &[Column] = &[
    Column::new("record", Kind::Text, "the record: handheld, log, number; the same for ever"),
    Column::new("herd", Kind::Text, "the farm"),
    Column::new("cow", Kind::Whole, "herd number; the tag where the list has none"),
    Column::new("tag", Kind::Text, "electronic tag, 15 digits").or_empty(),
    Column::new("day", Kind::Day, "the day, in the farm's time zone"),
    Column::new("time_utc", Kind::Time, "when the calliper was clipped"),
    Column::new("time_within_s", Kind::Seconds, "the time is right to within this").or_empty(),
    Column::new(
        "clock",
        Kind::Text,
        "anchored: the handheld's clock was seen beside the office's; bounded: between its neighbours",
    )
    .of(values::clocks),
    Column::new("observer", Kind::Text, "the observer's code"),
    Column::new("handheld", Kind::Text, "its number, 16 hexadecimal digits"),
    Column::new("foot", Kind::Text, "left or right, fore or hind").of(values::feet),
    Column::new("claw", Kind::Text, "outer or inner claw").of(values::claws),
    Column::new("dimension", Kind::Whole, "its number; landmarks stand in the table dimensions").of(values::dimensions),
    Column::new("dimension_name", Kind::Text, "in words").of(values::dimension_names),
    Column::new("moment", Kind::Text, "of the trim to form, in the same stay")
        .of(values::moments),
    Column::new(
        "repeat",
        Kind::Whole,
        "which reading of this cow, day, observer, claw, dimension and moment, from 1",
    ),
    Column::new("length_nm", Kind::Whole, "the length, exactly").unit("nm"),
    Column::new("length_mm", Kind::Mm, "the length, the same number"),
    Column::new(
        "uncertainty_mm",
        Kind::Mm,
        "expanded uncertainty of this reading, 95 %: landmarks and hand from this study's repeats, step and \
         permitted error of the calliper; not the difference between people. Empty with fewer than \
         five repeats, where the gauge check failed, and for a doubted reading",
    )
    .or_empty(),
    Column::new("shown_in", Kind::Text, "the unit the calliper was set to").of(values::units),
    Column::new("calliper", Kind::Text, "the calliper's output").of(values::callipers),
    Column::new(
        "gauge_check",
        Kind::Text,
        "the last gauge check of that day and start of the handheld; none: none, or size unknown",
    )
    .of(values::gauge_checks),
    Column::new(
        "doubted",
        Kind::Flag,
        "whether a rule doubts it: too far off for this claw, or read twice; not among the repeats",
    ),
    Column::new("in_sample", Kind::Flag, "whether cow, claw, dimension and moment were drawn"),
];

/// Gauge blocks read.
pub(super) const GAUGES: &[Column] = &[
    Column::new("record", Kind::Text, "the record: handheld, log, number"),
    Column::new("handheld", Kind::Text, "its number, 16 hexadecimal digits"),
    Column::new("day", Kind::Day, "the day, in the farm's time zone"),
    Column::new("time_utc", Kind::Time, "when"),
    Column::new("calliper", Kind::Text, "the calliper's output").of(values::callipers),
    Column::new("reading_mm", Kind::Mm, "what the calliper showed"),
    Column::new("block_mm", Kind::Mm, "the block's size").or_empty(),
    Column::new("tolerance_mm", Kind::Mm, "how far off a reading may be").or_empty(),
    Column::new("error_mm", Kind::Mm, "reading less size").or_empty(),
    Column::new("passed", Kind::Flag, "whether it was near enough").or_empty(),
];

/// What each dimension is, with our own sums.
pub(super) const DIMENSIONS: &[Column] = &[
    Column::new("dimension", Kind::Whole, "its number, the digit keyed after SIZE")
        .of(values::dimensions),
    Column::new("name", Kind::Text, "in words").of(values::dimension_names),
    Column::new("landmarks", Kind::Text, "from where to where, in the study's words"),
    Column::new("readings", Kind::Whole, "how many are in the table readings"),
    Column::new("sum_nm", Kind::Whole, "their sum, exactly").unit("nm"),
    Column::new("mean_mm", Kind::Real, "sum over number").unit("mm").or_empty(),
    Column::new(
        "repeat_error_mm",
        Kind::Real,
        "technical error of measurement: standard deviation of one observer's readings of a claw",
    )
    .unit("mm")
    .or_empty(),
    Column::new("repeats_spare", Kind::Whole, "its degrees of freedom").or_empty(),
    Column::new("uncertainty_mm", Kind::Mm, "of a reading shown in mm, as in the table readings")
        .or_empty(),
    Column::new("least_mm", Kind::Mm, "the shortest").or_empty(),
    Column::new("most_mm", Kind::Mm, "the longest").or_empty(),
];

/// One derived value a row.
pub(super) const DERIVED: &[Column] = columns!(
    Column::new("observer", Kind::Text, "the observer's code");
    Column::new("in_sample", Kind::Flag, "whether every input was drawn")
);
