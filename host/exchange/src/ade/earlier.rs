//! What went out before and is no longer on record: the standard's `isDeleted`.
//!
//! ```text
//! a file exported before --+
//! all records now   -----+--> its events no longer on record, as they were, with `isDeleted` --> Gone
//! ```
//!
//! No memory of what was sent to whom: the file that was sent is that memory, and whoever sent it
//! has it.

use std::collections::BTreeSet;

use serde_json::Value;

use super::Wishes;
use super::events::{COLLECTIONS, Said, location};
use crate::extract::{Extract, utc};

/// Why an earlier file is of no use.
#[derive(Debug, thiserror::Error)]
pub enum EarlierError {
    /// Not JSON.
    #[error("not JSON ({0}); give the earlier export, unchanged")]
    NotJson(serde_json::Error),
    /// JSON, but no export of ours.
    #[error(
        "not a file from `hornrule export ade`: {what}; give the ADE file, not the .hornrule.json \
         beside it"
    )]
    NoExport {
        /// What is missing.
        what: String,
    },
    /// Of another system.
    #[error("its events come from `{theirs}`, these from `{ours}`; use the same --source")]
    OtherSource {
        /// What the file says.
        theirs: String,
        /// What is asked for.
        ours: String,
    },
    /// Of another farm.
    #[error(
        "its events are of {theirs}, these of {ours}: give that farm's file, or the same --location"
    )]
    OtherFarm {
        /// What the file says.
        theirs: String,
        /// What is asked for.
        ours: String,
    },
}

/// A file that was exported before: its events, by collection.
#[derive(Clone, Debug)]
pub struct Earlier([Vec<Value>; 3]);

/// Events to be taken back, by collection in the order of the file.
#[derive(Clone, Debug, Default)]
pub struct Gone(pub(super) [Vec<Value>; 3]);

impl Gone {
    /// How many.
    #[must_use]
    pub fn count(&self) -> usize {
        self.0.iter().map(Vec::len).sum()
    }
}

fn text<'a>(event: &'a Value, path: &str) -> Result<&'a str, EarlierError> {
    let missing = || EarlierError::NoExport { what: format!("an event has no `{path}`") };
    let found = path.split('.').try_fold(event, |value, key| value.get(key));
    found.and_then(Value::as_str).ok_or_else(missing)
}

impl Earlier {
    /// Reads a file.
    ///
    /// # Errors
    /// [`EarlierError::NotJson`] and [`EarlierError::NoExport`].
    pub fn read(file: &str) -> Result<Self, EarlierError> {
        let file: Value = serde_json::from_str(file).map_err(EarlierError::NotJson)?;
        let mut all: [Vec<Value>; 3] = Default::default();
        for (members, name) in all.iter_mut().zip(COLLECTIONS) {
            let member = file.get(name).and_then(|collection| collection.get("member"));
            let member = member.and_then(Value::as_array).ok_or_else(|| {
                EarlierError::NoExport { what: format!("it has no `member` of `{name}`") }
            })?;
            members.clone_from(member);
        }
        Ok(Self(all))
    }

    /// Its events no longer on record in `everything`, which must hold all days: an event whose
    /// time was put right has not gone. `now` is when the receiver learns of it, milliseconds of Unix
    /// time; what was taken back before stays so from when it was.
    ///
    /// # Errors
    /// [`EarlierError`] where the file is of another system or farm, or its events are not ours.
    pub fn gone(
        &self,
        everything: &Extract,
        wishes: &Wishes,
        now: i64,
    ) -> Result<Gone, EarlierError> {
        let said = Said::of(everything, wishes);
        let (ids, ours) = (said.ids(), location(everything, wishes));
        let mut gone = Gone::default();
        for ((events, ids), gone) in self.0.iter().zip(ids).zip(&mut gone.0) {
            for event in events {
                let theirs = text(event, "meta.source")?;
                if theirs != wishes.source {
                    let (theirs, ours) = (theirs.to_owned(), wishes.source.clone());
                    return Err(EarlierError::OtherSource { theirs, ours });
                }
                let theirs = (text(event, "location.scheme")?, text(event, "location.id")?);
                if theirs != (ours.scheme.as_str(), ours.id.as_str()) {
                    let (theirs, ours) = (named(theirs), named((&ours.scheme, &ours.id)));
                    return Err(EarlierError::OtherFarm { theirs, ours });
                }
                if !ids.contains(text(event, "id")?) {
                    gone.push(taken_back(event, now));
                }
            }
        }
        Ok(gone)
    }
}

fn named((scheme, id): (&str, &str)) -> String {
    format!("{scheme}={id}")
}

fn taken_back(event: &Value, now: i64) -> Value {
    let mut event = event.clone();
    if let Some(meta) = event.get_mut("meta").and_then(Value::as_object_mut)
        && meta.get("isDeleted") != Some(&Value::Bool(true))
    {
        meta.insert("isDeleted".to_owned(), Value::Bool(true));
        meta.insert("modified".to_owned(), Value::String(utc(now)));
    }
    event
}

impl Said {
    /// Ids by collection.
    fn ids(&self) -> [BTreeSet<&str>; 3] {
        [
            self.diagnoses.iter().map(|one| one.id.as_str()).collect(),
            self.treatments.iter().map(|one| one.id.as_str()).collect(),
            self.attention.iter().map(|one| one.id.as_str()).collect(),
        ]
    }
}
