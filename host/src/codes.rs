//! Codes of the protocol's tables that the office asks for by name.
//!
//! The tables are the protocol's; these rows mean something to a rule or a report of their own. The
//! test holds each name to its row.

macro_rules! codes {
    ($rows:ident: $($name:ident = $code:literal, $words:literal;)*) => {
        $(#[doc = concat!("\"", $words, "\"")] pub(crate) const $name: u8 = $code;)*
        #[cfg(test)]
        const $rows: &[(u8, &str)] = &[$(($name, $words),)*];
    };
}

codes! { DIMENSIONS:
    DORSAL_WALL = 1, "dorsal wall length";
    REGROWN = 7, "horn regrown";
    LESION_LENGTH = 8, "lesion length";
    LESION_WIDTH = 9, "lesion width";
}

codes! { ACTIONS:
    BLOCK_USUAL = 10, "block glued on, the usual way";
    LEFT_OPEN = 20, "left open";
    WRAP_ON = 21, "wrap put on";
    WRAP_OFF = 22, "wrap taken off";
    TRIMMED = 30, "trimmed to form";
    HORN_OPENED = 31, "loose horn opened and removed";
    CLAW_LOWERED = 32, "diseased claw lowered";
    NOT_TRIMMED = 33, "looked at, not trimmed";
    BLOCK_STILL_ON = 40, "block still on";
    BLOCK_OFF = 41, "block taken off by us";
    BLOCK_LOST = 42, "block found lost";
    HEALED = 50, "healed, sound horn over all of it";
    WORSE = 53, "worse";
    CLEANED = 60, "cleaned";
    VET_TO_SEE = 80, "vet to see";
    VET_NOW = 81, "vet now";
    SEE_AGAIN = 82, "see again";
}

/// What the office calls the trial way (1 to 9) that an action glues by; `None` for other actions, and
/// where it has no name.
pub(crate) fn trial_name(trial_ways: &[(u8, String)], action: u8) -> Option<&str> {
    let own = trial_ways.iter().find(|(way, _)| BLOCK_USUAL + way == action);
    own.map(|(_, name)| name.as_str())
}

#[cfg(test)]
mod tests {
    use hornrule_protocol::{Action, Dimension};

    use super::*;

    #[test]
    fn each_name_is_its_rows() {
        for (code, words) in DIMENSIONS {
            assert_eq!(Dimension::from_code(*code).unwrap().name, *words);
        }
        for (code, words) in ACTIONS {
            assert_eq!(Action::from_code(*code).unwrap().name, *words);
        }
    }
}
