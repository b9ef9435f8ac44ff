//! Listening through the handheld, and its setting read and written.

use std::thread;
use std::time::Duration;

use hornrule_protocol::calliper::{CalliperSetting, Pace, RawPacket};
use hornrule_protocol::message::{Request, Response};

use super::proof::{Doubt, Proof, Seen};
use crate::port::Port;
use crate::pull::{AskError, ask};

/// Packets of a step.
const WANTED: usize = 6;
/// How often it is asked for them: with the pauses four seconds and more, in which the slowest calliper
/// sends twelve.
const ASKED: u16 = 90;
/// Between two questions: shorter than the time from packet to packet of those that send by themselves.
const PAUSE: Duration = Duration::from_millis(40);
/// How long an answer may take.
const ANSWER: (u16, Duration) = (4, Duration::from_millis(500));
/// How long a store may take: a page erase, and its reading back.
const STORE: (u16, Duration) = (3, Duration::from_secs(1));

/// Hears a step's packets and has them judged. Before anything is known a calliper may be of either pace:
/// the usual one is heard first.
///
/// # Errors
/// What `hear` says.
pub fn step(
    proof: &mut Proof,
    mut hear: impl FnMut(Pace) -> Result<Vec<RawPacket>, AskError>,
) -> Result<Result<Seen, Doubt>, AskError> {
    if let Some(pace) = proof.pace() {
        return Ok(proof.on(&hear(pace)?));
    }
    let usual = proof.on(&hear(Pace::Usual)?);
    let Err(Doubt::Silent | Doubt::Broken(_)) = usual else { return Ok(usual) };
    Ok(match proof.on(&hear(Pace::Quick)?) {
        // Neither pace: what was heard at the usual one says more.
        Err(Doubt::Silent | Doubt::Broken(_)) => usual,
        quick => quick,
    })
}

/// Packets that began after this call; fewer than wanted where no more came.
///
/// # Errors
/// The handheld, the line or the port.
pub fn hear(port: &mut dyn Port, pace: Pace) -> Result<Vec<RawPacket>, AskError> {
    hear_with(port, pace, || thread::sleep(PAUSE))
}

/// The same with another pause than the clock's.
pub(super) fn hear_with(
    port: &mut dyn Port,
    pace: Pace,
    mut pause: impl FnMut(),
) -> Result<Vec<RawPacket>, AskError> {
    let mut packets = Vec::new();
    let mut first = None;
    let mut newest = 0;
    for _ in 0..ASKED {
        let heard =
            ask(port, &Request::CalliperHear { pace }, ANSWER, |response| match response {
                Response::CalliperHeard(heard) => Some(*heard),
                _ => None,
            })?;
        // The first that ends from now on began before: it may be half a packet, or tell of jaws that
        // were still moving.
        let first = *first.get_or_insert(heard.packets);
        let since = heard.packets.wrapping_sub(first);
        if since > 1
            && since != newest
            && let Some(packet) = heard.last
        {
            newest = since;
            packets.push(packet);
        }
        if packets.len() == WANTED {
            break;
        }
        pause();
    }
    Ok(packets)
}

/// The setting that was proved; `None` where none was.
///
/// # Errors
/// The handheld, the line or the port.
pub fn setting(port: &mut dyn Port) -> Result<Option<CalliperSetting>, AskError> {
    ask(port, &Request::CalliperState, ANSWER, told)
}

/// Stores a setting, and gives what is in force afterwards.
///
/// # Errors
/// The handheld, the line or the port; the old setting is in force.
pub fn store(
    port: &mut dyn Port,
    setting: CalliperSetting,
) -> Result<Option<CalliperSetting>, AskError> {
    ask(port, &Request::CalliperStore { setting }, STORE, told)
}

const fn told(response: &Response<'_>) -> Option<Option<CalliperSetting>> {
    match response {
        Response::Calliper { setting } => Some(*setting),
        _ => None,
    }
}
