//! One request, one answer: for verbs that do not pull.

use std::io;
use std::time::Duration;

use hornrule_protocol::Deframer;
use hornrule_protocol::frame::{self, FrameError, RequestId};
use hornrule_protocol::limits::{MAX_REQUEST_ON_WIRE, MAX_RESPONSE_ON_WIRE};
use hornrule_protocol::message::{Request, Response};

use super::error::{PullError, version_error};
use crate::port::Port;

/// Bytes of something else that one try listens to: a whole window that an earlier pull left under
/// way, twice. A line that is never quiet (a satellite receiver, say) would otherwise be listened
/// to forever.
const MOST_NOISE: usize = 16 * MAX_RESPONSE_ON_WIRE;

/// Why there is no answer.
#[derive(Debug, thiserror::Error)]
pub enum AskError {
    /// The handheld or the line.
    #[error(transparent)]
    Pull(#[from] PullError),
    /// The port itself.
    #[error("the port failed: {0}; check the plug")]
    Port(#[from] io::Error),
}

/// Asks up to `tries` times, `wait` each, until `take` likes an answer.
///
/// # Errors
/// [`AskError`]; a refusal is one.
pub fn ask<T>(
    port: &mut dyn Port,
    request: &Request,
    (tries, wait): (u16, Duration),
    take: impl Fn(&Response<'_>) -> Option<T>,
) -> Result<T, AskError> {
    let mut deframer = Box::new(Deframer::<MAX_RESPONSE_ON_WIRE>::new());
    let mut buffer = [0u8; 1024];
    let mut line = [0u8; MAX_REQUEST_ON_WIRE];
    // Something came, and no answer of ours was in it.
    let mut strange = false;
    for number in 1..=tries {
        let id = RequestId(number);
        let bytes = frame::encode(id, request, &mut line).map_err(|_| PullError::NotOurs)?;
        port.send(bytes)?;
        let mut listened = 0;
        while listened < MOST_NOISE {
            let length = port.receive(&mut buffer, wait)?;
            if length == 0 {
                break;
            }
            listened += length;
            strange = true;
            for byte in &buffer[..length] {
                match deframer.push(*byte) {
                    None => {}
                    Some(Err(_)) => {}
                    Some(Ok(frame)) => match frame.message::<Response<'_>>() {
                        Ok(Response::Refused(refusal)) if frame.id == id => {
                            return Err(PullError::Refused(refusal).into());
                        }
                        Ok(response) if frame.id == id => {
                            if let Some(answer) = take(&response) {
                                return Ok(answer);
                            }
                        }
                        // Late answers to questions that were given up.
                        Ok(_) => strange = false,
                        Err(FrameError::Version { theirs }) => {
                            return Err(version_error(theirs).into());
                        }
                        Err(FrameError::Kind) => return Err(PullError::Echo.into()),
                        Err(_) => {}
                    },
                }
            }
        }
    }
    Err(if strange { PullError::NotOurs } else { PullError::Silent }.into())
}
