//! Codes of the protocol's tables that the office asks for by name, and what it calls trial ways.

pub use hornrule_protocol::codes::named::*;

/// What the office calls the trial way (1 to 9) that an action glues by; `None` for other actions, and
/// where it has no name.
pub fn trial_name(trial_ways: &[(u8, String)], action: u8) -> Option<&str> {
    let own = trial_ways.iter().find(|(way, _)| BLOCK_USUAL + way == action);
    own.map(|(_, name)| name.as_str())
}
