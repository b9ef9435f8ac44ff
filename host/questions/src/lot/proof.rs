//! Whether a draw that is kept is the one that its seed makes and that was published.

use hornrule_facts::{AnimalId, Lot};
use hornrule_insight::lot::sha256;

use super::allocated;

/// What a draw was found to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Proof {
    /// Its ways are those that its seed makes.
    pub of_seed: bool,
    /// Its list has the SHA-256 that was published.
    pub as_published: bool,
}

/// Makes the list of a draw again from its seed, and its SHA-256.
#[must_use]
pub fn proof(lot: &Lot) -> Proof {
    let cows: Vec<AnimalId> = lot.cows.iter().map(|(cow, _)| *cow).collect();
    Proof {
        of_seed: allocated(&lot.design, &cows) == lot.cows,
        as_published: sha256(&lot.text()) == lot.sha256,
    }
}
