//! The digest of a run of records, bounded so that nothing else waits long.

use hornrule_protocol::Seq;
use hornrule_protocol::digest::RunDigest;
use hornrule_protocol::limits::MAX_DIGESTED;
use hornrule_protocol::message::{Refusal, Response};

use super::shelf::Shelf;

/// Reads the records of a run and digests them, [`MAX_DIGESTED`] at most.
///
/// # Errors
/// `NotYet` and `Gone` for a run that is not all on the shelf, `FlashFault`.
pub(super) fn digest(
    shelf: &mut impl Shelf,
    from: Seq,
    through: Seq,
) -> Result<Response<'static>, Refusal> {
    let from = from.max(Seq::FIRST);
    if through < from || through >= shelf.next() {
        return Err(Refusal::NotYet);
    }
    if from < shelf.first() {
        return Err(Refusal::Gone);
    }
    let mut run = RunDigest::new();
    let mut at = from;
    while let Some(sealed) = shelf.read_from(at)? {
        if sealed.seq() > through {
            break;
        }
        run.add(&sealed);
        if sealed.seq() == through || run.count() == MAX_DIGESTED {
            return Ok(answer(from, sealed.seq(), run));
        }
        at = sealed.seq().next();
    }
    Ok(answer(from, through, run))
}

fn answer(from: Seq, through: Seq, run: RunDigest) -> Response<'static> {
    Response::Digest { from, through, count: run.count(), digest: run.finish() }
}
