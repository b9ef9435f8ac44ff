//! Whether each draw of trial ways is the one that was made.

use super::{Failure, How, Look, look};
use hornrule_facts::HerdId;
use hornrule_herd::Database;
use hornrule_questions::lot::{lots, proof};

/// A look at each draw; none where nothing was drawn.
pub(super) fn all(herd: &Database) -> Result<Vec<Look>, Failure> {
    let herds: Vec<HerdId> = herd.herds()?.into_iter().map(|one| one.herd).collect();
    let looks = lots(herd, &herds)?.into_iter().map(|kept| {
        let (proof, lot) = (proof(&kept.lot), kept.lot);
        let which = format!("draw {} of {}", lot.lot, lot.name);
        match proof.of_seed && proof.as_published {
            true => look("draw", How::Well, format!("{which} is that of its seed and its SHA-256")),
            false => look(
                "draw",
                How::Bad,
                format!(
                    "{which} is not the one that was made: its list, its seed or its SHA-256 was changed \
                     in the file. Take it from a backup: `hornrule restore`"
                ),
            ),
        }
    });
    Ok(looks.collect())
}
