//! Whether a handheld is the one whose log is stored.

use hornrule_protocol::message::Hello;

use super::{Failure, How, Look, device_name, look};
use crate::office::{Held, holds};
use hornrule_herd::Database;
use hornrule_line::port::Port;

/// Records kept aside because their numbers were taken.
pub(super) fn asides(herd: &Database) -> Result<Vec<Look>, Failure> {
    let all = herd.asides()?;
    if all.is_empty() {
        let says = "every handheld held what is stored under its name";
        return Ok(vec![look("aside", How::Well, says)]);
    }
    let looks = all.iter().map(|one| {
        let (device, of, log) = (device_name(one.device), one.of.0, one.log.0);
        let held = format!(
            "log {log:08x}: {} records {} to {} of a handheld that gives the name {device}, log \
             {of:08x}",
            one.records, one.first.0, one.through.0
        );
        match &one.ruling {
            None => look(
                "aside",
                How::Bad,
                format!(
                    "{held}, but holds other records than those stored: two handhelds with one name, \
                     or a memory put back to an earlier state. They are in no report; `hornrule aside \
                     take` or `hornrule aside leave`, then give that handheld a log of its own"
                ),
            ),
            Some(ruling) if ruling.takes => {
                look("aside", How::Well, format!("{held}, taken in by {}", ruling.who))
            }
            Some(ruling) => look(
                "aside",
                How::Note,
                format!("{held}, left out of all reports by {} ({})", ruling.who, ruling.why),
            ),
        }
    });
    Ok(looks.collect())
}

/// Whether the handheld at hand holds what is stored under its name.
pub(super) fn handheld(
    port: &mut dyn Port,
    herd: &Database,
    hello: &Hello,
) -> Result<Option<Look>, Failure> {
    Ok(match holds(port, herd, hello)? {
        Held::Nothing => None,
        Held::Same => Some(look("same", How::Well, "it holds what is stored under its name")),
        Held::Other => Some(look(
            "same",
            How::Bad,
            "it does not hold what is stored under its name: another handheld with the same name, or \
             its memory was put back. Pull: its records are then compared and, where they differ, kept \
             aside; nothing is mixed and nothing erased",
        )),
        Held::CannotSay => Some(look(
            "same",
            How::Note,
            "its firmware cannot prove what it holds; a pull compares it record by record",
        )),
    })
}
