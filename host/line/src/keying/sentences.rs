//! The sentences, for people: what may be keyed and what it says.
//!
//! The grammar itself is `core::chute`; a test says every example to it and holds the answer to
//! what stands here, so that this table cannot promise what the handheld does not do.

/// One kind of sentence.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SentenceRow {
    /// Keys, small letters for digits.
    pub keys: &'static str,
    /// What it says.
    pub says: &'static str,
    /// Keys of one such sentence, in their place.
    pub example: &'static str,
    /// What is then in flash, newest last, as the office words it.
    pub stored: &'static [&'static str],
}

const fn row(
    keys: &'static str,
    says: &'static str,
    example: &'static str,
    stored: &'static [&'static str],
) -> SentenceRow {
    SentenceRow { keys, says, example, stored }
}

/// Every kind. Each commits by itself when it is complete; there is no enter key.
pub const SENTENCES: &[SentenceRow] = &[
    row("COW 0 f COW", "work starts at farm f of the day", "COW 03 COW", &["visit to farm 3"]),
    row(
        "COW n.. COW",
        "cow n is in the chute (1 to 9 digits, or 15 of her tag)",
        "COW 412 COW",
        &["cow 412"],
    ),
    row(
        "COW COW",
        "the cow leaves (the next cow ends her stay too)",
        "COW 412 COW COW COW",
        &["cow 412", "the cow left"],
    ),
    row(
        "foot",
        "LF RF LH RH: the claw where work starts (outer, if the plan says nothing); again: the other",
        "COW 412 COW RH RH FIND 00",
        &["cow 412", "looked at, sound, grade 0, right hind, inner claw"],
    ),
    row(
        "FIND c c s",
        "lesion cc, grade s, at its usual zone",
        "COW 412 COW RH FIND 13 2",
        &["cow 412", "sole ulcer, moderate, right hind, outer claw"],
    ),
    row(
        "FIND c c FIND z z s",
        "lesion cc at zone zz, grade s",
        "COW 412 COW RH FIND 12 FIND 05 1",
        &["cow 412", "sole haemorrhage, circumscribed, slight, right hind, outer claw, zone 5"],
    ),
    row(
        "FIND 0 0",
        "looked at, sound",
        "COW 412 COW LH FIND 00",
        &["cow 412", "looked at, sound, grade 0, left hind, outer claw"],
    ),
    row(
        "DO a a",
        "action aa, on this claw, foot or cow",
        "COW 412 COW RH DO 30",
        &["cow 412", "trimmed to form, right hind, outer claw"],
    ),
    row(
        "DO DO",
        "all four feet trimmed, otherwise sound",
        "COW 412 COW DO DO",
        &["cow 412", "trimmed to form, all four feet"],
    ),
    row(
        "DO foot",
        "both claws of this foot trimmed, otherwise sound",
        "COW 412 COW DO LH",
        &["cow 412", "trimmed to form, both claws of the left hind foot"],
    ),
    row(
        "DO 3 3",
        "no foot chosen: all four looked at, not trimmed",
        "COW 412 COW DO 33",
        &["cow 412", "looked at, not trimmed, all four feet"],
    ),
    row(
        "DO 0 b",
        "bundle b of the plan",
        "COW 412 COW LH DO 01",
        &[
            "cow 412",
            "bundle 1 of the plan, 2 parts",
            "loose horn opened and removed, left hind, outer claw",
            "block glued on, the usual way, left hind, inner claw",
        ],
    ),
    row(
        "DO 8 2 d d",
        "see again in dd days",
        "COW 412 COW RH DO 82 14",
        &["cow 412", "see again in 14 days, right hind foot"],
    ),
    row(
        "SCORE t v",
        "scale t, value v, for the cow",
        "COW 412 COW SCORE 1 3",
        &["cow 412", "locomotion score 3"],
    ),
    row(
        "clip",
        "calliper button or pedal: the length, to this claw",
        "COW 412 COW RH clip",
        &["cow 412", "dorsal wall length 76.40 mm, right hind, outer claw"],
    ),
    row(
        "SIZE d",
        "the next clips on this claw are dimension d",
        "COW 412 COW RH SIZE 5 clip",
        &["cow 412", "toe height 76.40 mm, right hind, outer claw"],
    ),
    row(
        "SIZE 0, clip",
        "gauge block: the daily check of the calliper",
        "SIZE 0 clip",
        &["gauge block 76.40 mm, the cow"],
    ),
    row("UNDO", "inside a sentence: drops it", "COW 412 UNDO COW 413 COW", &["cow 413"]),
    row(
        "UNDO",
        "after a sentence: takes the last one back",
        "COW 412 COW RH DO 31 UNDO",
        &["cow 412"],
    ),
    row(
        "SIZE SIZE",
        "asks: why not done, what to look out for, what is due and why, which clip is next",
        "COW 412 COW RH SIZE SIZE",
        &["cow 412"],
    ),
];
