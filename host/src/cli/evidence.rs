//! What the verbs that answer a question share: which herds, and how numbers are said.

use clap::Args;

use super::{Desk, Failure};
use hornrule_facts::HerdId;
use hornrule_herd::Database;
use hornrule_insight::Estimate;
use hornrule_questions::evidence::Answer;

/// Which herds, and for whom.
#[derive(Debug, Args)]
pub(super) struct EvidenceOptions {
    /// Only this farm [default: all farms together]
    #[arg(long, value_name = "NAME")]
    herd: Option<String>,
    /// As JSON, for scripts
    #[arg(long)]
    pub(super) json: bool,
}

impl EvidenceOptions {
    /// Of one farm or of all.
    pub(super) const fn of(herd: Option<String>) -> Self {
        Self { herd, json: false }
    }

    /// The database, and the herds asked about.
    pub(super) fn herds(&self, desk: &Desk) -> Result<(Database, Vec<HerdId>), Failure> {
        let database = desk.existing_database()?;
        let asked: Vec<HerdId> = match &self.herd {
            Some(name) => vec![super::herd::chosen(&database, Some(name))?.herd],
            None => database.herds()?.into_iter().map(|one| one.herd).collect(),
        };
        Ok((database, asked))
    }
}

/// An answer in words, or why there is none.
fn told(answer: &Answer<Estimate>, say: impl FnOnce(&Estimate) -> String) -> String {
    match answer {
        Answer::Told(one) => say(one),
        Answer::Refused(why) => format!("not given: {why}"),
    }
}

/// "(45 to 62)": ends of a share or of a difference of shares, in 100.
fn ends(one: &Estimate) -> String {
    format!("({:.0} to {:.0})", one.low * 100.0, one.high * 100.0)
}

/// "54 % (45 to 62)".
pub(super) fn share(answer: &Answer<Estimate>) -> String {
    told(answer, |one| format!("{:.0} % {}", one.value * 100.0, ends(one)))
}

/// "+12 in 100 (-3 to 27)": one share less another.
pub(super) fn points(answer: &Answer<Estimate>) -> String {
    told(answer, |one| format!("{:+.0} in 100 {}", one.value * 100.0, ends(one)))
}

/// "3.91 (3.80 to 4.02)".
pub(super) fn number(one: &Estimate) -> String {
    format!("{:.2} ({:.2} to {:.2})", one.value, one.low, one.high)
}

/// The same of an answer.
pub(super) fn figure(answer: &Answer<Estimate>) -> String {
    told(answer, number)
}

/// What to keep in mind, at the end.
pub(super) fn cautions(cautions: &[&str]) {
    println!("\nKeep in mind");
    for caution in cautions {
        println!("  {caution}");
    }
}
