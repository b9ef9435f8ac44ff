//! Loading a plan into the handheld, piece by piece, and reading back what is in force.

use std::time::Duration;

use hornrule_protocol::Part;
use hornrule_protocol::message::{PlanName, PlanState, Refusal, Request, Response};
use hornrule_protocol::part::MAX_PART;
use hornrule_protocol::plan::FIRST_VERSION;
use hornrule_protocol::seal::CRC;

use crate::port::Port;
use crate::pull::{AskError, PullError, ask};

/// How long a piece may take: a page erase is far quicker.
const PIECE: (u16, Duration) = (4, Duration::from_millis(500));
/// How long the check of a whole plan may take: a small chip reads 16 KiB.
const CHECK: (u16, Duration) = (3, Duration::from_secs(2));

/// Why a plan is not in force.
#[derive(Debug, thiserror::Error)]
pub enum LoadError {
    /// The handheld, the line or the port.
    #[error(transparent)]
    Ask(#[from] AskError),
    /// Firmware from before plans.
    #[error(
        "the firmware of the handheld does not support plans; update it, or work without a \
             plan"
    )]
    Unknown,
    /// A board without room for one.
    #[error("this handheld has no room for a plan; work without one")]
    NoRoom,
    /// Firmware that reads no version that this program writes.
    #[error(
        "the handheld reads plans of version {theirs}, this program writes {FIRST_VERSION} and \
         later; update the older of the two. The old plan is still in use"
    )]
    Version {
        /// The handheld's.
        theirs: u8,
    },
    /// Not a length a handheld takes.
    #[error("a plan of {0} bytes is too long for any handheld; plan fewer farms")]
    Length(usize),
    /// What is in force afterwards is not what was loaded.
    #[error(
        "read back, the handheld has plan {found}, not {loaded:08x}; load it again. If that does \
         not help, run `hornrule doctor`"
    )]
    Other {
        /// What was loaded.
        loaded: u32,
        /// What is in force.
        found: String,
    },
}

/// Which plan is in force, and what room there is.
///
/// # Errors
/// [`LoadError`]: also where the handheld could not take a plan of this program.
pub fn state(port: &mut dyn Port) -> Result<PlanState, LoadError> {
    let asked = ask(port, &Request::PlanState, PIECE, plan);
    let state = asked.map_err(|error| match error {
        AskError::Pull(PullError::Refused(Refusal::Unknown)) => LoadError::Unknown,
        AskError::Pull(PullError::Refused(Refusal::NoPlans)) => LoadError::NoRoom,
        other => LoadError::Ask(other),
    })?;
    match state {
        PlanState { room: 0, .. } => Err(LoadError::NoRoom),
        // A newer handheld reads the older versions too.
        PlanState { version, .. } if version < FIRST_VERSION => {
            Err(LoadError::Version { theirs: version })
        }
        state => Ok(state),
    }
}

fn plan(response: &Response<'_>) -> Option<PlanState> {
    match response {
        Response::Plan(state) => Some(*state),
        _ => None,
    }
}

/// Loads a plan, puts it in force and reads back that it is. `progress` is given how many bytes are
/// there.
///
/// # Errors
/// [`LoadError`]; the old plan is in force then, unless it says otherwise.
pub fn load(
    port: &mut dyn Port,
    bytes: &[u8],
    progress: &mut dyn FnMut(usize),
) -> Result<PlanName, LoadError> {
    let length = u16::try_from(bytes.len()).map_err(|_| LoadError::Length(bytes.len()))?;
    let name = CRC.checksum(bytes);
    // An answer that names another place is a late one, to a piece that was asked twice.
    let until = |wanted: u16| {
        move |response: &Response<'_>| match response {
            Response::PlanAt { next } if *next == wanted => Some(()),
            _ => None,
        }
    };
    ask(port, &Request::PlanBegin { length, plan: name }, CHECK, until(0))?;
    let mut at = 0;
    for piece in bytes.chunks(MAX_PART) {
        // A chunk is as long as a piece at most.
        let Some(part) = Part::new(piece) else { return Err(LoadError::Length(bytes.len())) };
        // At most `length`.
        let next = at + piece.len() as u16;
        ask(port, &Request::PlanPart { at, bytes: part }, PIECE, until(next))?;
        at = next;
        progress(usize::from(at));
    }
    ask(port, &Request::PlanCommit { plan: name }, CHECK, plan)?;
    let found = ask(port, &Request::PlanState, PIECE, plan)?.in_force;
    match found {
        Some(in_force) if in_force.plan == name => Ok(in_force),
        other => Err(LoadError::Other {
            loaded: name,
            found: other.map_or_else(|| "none".to_owned(), |plan| format!("{:08x}", plan.plan)),
        }),
    }
}
