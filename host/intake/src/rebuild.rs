//! The herd tables from nothing, and what that would change.

use hornrule_protocol::{DeviceId, LogId, Seq};

use super::clock::Course;
use super::run::{Intake, fetch, put_in_force, rebuild_rows};
use hornrule_herd::inbox::aside::Ruling;
use hornrule_herd::{Change, Database, DatabaseError, Fault, Rows};

/// Derives all herd tables again from nothing. Gives what became of every log.
///
/// # Errors
/// [`DatabaseError`]; the tables are then as before.
pub fn rebuild(herd: &mut Database) -> Result<Vec<(DeviceId, LogId, Intake)>, DatabaseError> {
    herd.write(rebuild_rows)
}

/// Notes what a person said of a log kept aside, and derives all herd tables by it.
///
/// # Errors
/// [`DatabaseError`]; all is then as before.
pub fn rule_on_aside(
    herd: &mut Database,
    log: (DeviceId, LogId),
    ruling: &Ruling,
) -> Result<(), DatabaseError> {
    herd.write(|rows| {
        rows.insert_aside_ruling(log, ruling)?;
        put_in_force(rows, &rows.limits()?)?;
        rebuild_rows(rows).map(|_| ())
    })
}

/// Derives all herd tables from scratch, and says which of them changed.
///
/// # Errors
/// [`DatabaseError`]; the tables are then as before.
pub fn rebuild_and_compare(herd: &mut Database) -> Result<Vec<Change>, DatabaseError> {
    herd.write(compared)
}

/// Which tables a rebuild would change. Nothing is changed.
///
/// # Errors
/// [`DatabaseError`].
pub fn would_change(herd: &mut Database) -> Result<Vec<Change>, DatabaseError> {
    // The answer comes out as the reason not to keep it.
    enum Answer {
        Changes(Vec<Change>),
        Failed(DatabaseError),
    }
    impl From<DatabaseError> for Answer {
        fn from(error: DatabaseError) -> Self {
            Self::Failed(error)
        }
    }
    match herd.write_or_not(|rows| Ok(Err::<(), _>(Answer::Changes(compared(rows)?)))) {
        Ok(()) => Ok(Vec::new()),
        Err(Answer::Changes(changes)) => Ok(changes),
        Err(Answer::Failed(error)) => Err(error),
    }
}

fn compared(rows: &Rows<'_>) -> Result<Vec<Change>, Fault> {
    let before = rows.derived_rows()?;
    rebuild_rows(rows)?;
    Ok(Change::between(&before, &rows.derived_rows()?))
}

/// What the anchors of each boot say, by handheld and log.
///
/// # Errors
/// [`DatabaseError`].
pub fn courses(herd: &Database) -> Result<Vec<(DeviceId, LogId, Course)>, DatabaseError> {
    herd.read(|rows| {
        let mut courses = Vec::new();
        for (device, log) in rows.logs()? {
            let anchors = rows.anchors(device, log)?;
            let stretch = fetch(rows, (device, log), Seq::FIRST, anchors)?;
            let of = stretch.spans().into_iter().filter_map(|span| Course::of(span.ties));
            courses.extend(of.map(|course| (device, log, course)));
        }
        Ok(courses)
    })
}
