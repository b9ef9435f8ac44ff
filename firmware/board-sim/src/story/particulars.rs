//! What a story's plan knows of a cow beyond her needs: `open-LH-outer`, `floor-80`, `growth-3.2`.

use hornrule_protocol::plan::{Floor, Particulars};
use hornrule_protocol::{Claw, Foot, Side};

use super::plan::hundredths;

/// With what this word says; `None` if it is of something else.
pub(super) fn with(hers: Particulars, word: &str) -> Result<Option<Particulars>, String> {
    let (what, rest) = word.split_once('-').unwrap_or((word, ""));
    Ok(match what {
        "open" => match (foot(rest), claw(rest)) {
            (Some(foot), _) => Some(hers.with_lesion_of_foot(foot)),
            (_, Some(claw)) => Some(hers.with_lesion_of_claw(claw)),
            (None, None) => None,
        },
        "wrap" => foot(rest).map(|foot| hers.with_wrap(foot)),
        // `block-off-LH` is a need.
        "block" => foot(rest).map(|foot| hers.with_block(foot)),
        "floor" => Some(hers.with_floor(Floor::HalfMm(half_mm(rest)?))),
        "no" if rest == "floor" => Some(hers.with_floor(Floor::None)),
        "growth" => Some(hers.with_growth(parts_of_mm(rest, 20, "fifths of a millimetre")?)),
        "way" => way(hers, rest),
        _ => None,
    })
}

/// `2-LH-outer`.
fn way(hers: Particulars, text: &str) -> Option<Particulars> {
    let (way, at) = text.split_once('-')?;
    hers.with_way(claw(at)?, way.parse().ok()?)
}

fn foot(letters: &str) -> Option<Foot> {
    Foot::ALL.into_iter().find(|foot| foot.letters() == letters)
}

/// `LH-outer`.
fn claw(text: &str) -> Option<Claw> {
    let (letters, side) = text.split_once('-')?;
    let side = match side {
        "outer" => Side::Lateral,
        "inner" => Side::Medial,
        _ => return None,
    };
    Some(Claw { foot: foot(letters)?, side })
}

/// Half millimetres: `75` or `75.5`.
pub(super) fn half_mm(mm: &str) -> Result<u8, String> {
    parts_of_mm(mm, 50, "half millimetres")
}

/// Whole parts of so many hundredths.
fn parts_of_mm(mm: &str, hundredths_each: i32, what: &str) -> Result<u8, String> {
    let wrong = || format!("`{mm}` is no length in whole {what}, up to 254");
    let length = hundredths(mm)?;
    let parts = u8::try_from(length / hundredths_each).map_err(|_| wrong())?;
    let whole = length % hundredths_each == 0 && (1..u8::MAX).contains(&parts);
    whole.then_some(parts).ok_or_else(wrong)
}
