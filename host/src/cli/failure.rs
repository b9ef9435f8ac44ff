//! Why a verb failed, and the exit code a script sees. The codes are a contract.

use std::path::{Path, PathBuf};
use std::process::ExitCode;

#[cfg(feature = "virtual")]
use hornrule_board_sim::{ServeError, StoryError};

use crate::office::{FindError, OfficeError};
#[cfg(feature = "virtual")]
use crate::season::SeasonError;
use hornrule_exchange::ImportError;
use hornrule_exchange::ade::AdeError;
use hornrule_exchange::study::StudyError;
use hornrule_exchange::table::TableError;
use hornrule_facts::bill::BillNumber;
use hornrule_files::input::InputError;
use hornrule_files::output::OutputError;
use hornrule_herd::{CopyError, DatabaseError};
use hornrule_intake::{DecideError, FarmError};
use hornrule_line::calliper::Doubt;
use hornrule_line::plan::LoadError;
use hornrule_line::plan::PlanError;
use hornrule_line::port::{Address, PortError};
use hornrule_line::pull::{AskError, RunError};
use hornrule_questions::bill::BillError;
use hornrule_questions::lot::LotError;
use hornrule_questions::plan::{KeepError, KeysError};

/// Exit codes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[repr(u8)]
pub enum Exit {
    /// Something else: a file that cannot be written, a terminal that is gone.
    Other = 1,
    /// The command line.
    Words = 2,
    /// The port: unknown, busy, denied, gone, none found.
    Port = 3,
    /// The handheld: silent, strange, of another version, refusing.
    Handheld = 4,
    /// The database: not there, foreign, newer, read-only, full disk, in use, found unwell.
    Database = 5,
    /// A file that was given: a herd list, a story, a recorded session, numbers of rules, a backup.
    File = 6,
}

impl Exit {
    /// For the end of `--help`.
    pub const HELP: &'static str = "Exit codes:
  0  done
  1  any other error, such as a file that cannot be written
  2  wrong command line
  3  port: unknown, busy, denied, gone, none found
  4  handheld: silent, unreadable, other version, refuses
  5  database: missing, foreign, newer, read-only, disk full, in use, damaged
  6  input file: herd list, story, recorded session, rule limits, backup";
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit as u8)
    }
}

/// Why a verb failed: what, which, and what to try.
#[derive(Debug, thiserror::Error)]
pub enum Failure {
    /// The port.
    #[error(transparent)]
    Port(#[from] PortError),
    /// No handheld found.
    #[error(transparent)]
    Find(#[from] FindError),
    /// A pull.
    #[error("{address}: {source}")]
    Pull {
        /// Which port.
        address: String,
        /// Why.
        source: Box<OfficeError>,
    },
    /// A handheld that was not told to let go.
    #[error(
        "{address}: the handheld does not hold what is stored under its name, and keeps its records; \
         the lines marked CONFLICT say what to do"
    )]
    Withheld {
        /// Which port.
        address: String,
    },
    /// A question.
    #[error("{address}: {source}")]
    Ask {
        /// Which port.
        address: String,
        /// Why.
        source: Box<AskError>,
    },
    /// A calliper that is refused.
    #[error(
        "{address}: {doubt}\nThe calliper is refused: nothing was stored, and the old setting stays"
    )]
    Calliper {
        /// Which port.
        address: String,
        /// Why.
        doubt: Doubt,
    },
    /// A plan that cannot be made.
    #[error(transparent)]
    Plan(PlanError),
    /// A plan that is not in force.
    #[error("{address}: {source}")]
    Load {
        /// Which port.
        address: String,
        /// Why.
        source: Box<LoadError>,
    },
    /// The database.
    #[error(transparent)]
    Database(#[from] DatabaseError),
    /// A herd list.
    #[error("{}: {source}", file.display())]
    Import {
        /// The file.
        file: PathBuf,
        /// Why.
        source: Box<ImportError>,
    },
    /// A file of animals.
    #[error("{}: {source}", file.display())]
    Ade {
        /// The file.
        file: PathBuf,
        /// Why.
        source: Box<AdeError>,
    },
    /// A study's protocol.
    #[error("{}: {source}", file.display())]
    Study {
        /// The file.
        file: PathBuf,
        /// Why.
        source: Box<StudyError>,
    },
    /// A table that could not be written.
    #[error("{}: {source}", file.display())]
    Table {
        /// The file.
        file: PathBuf,
        /// Why.
        source: Box<TableError>,
    },
    /// The demo's season.
    #[cfg(feature = "virtual")]
    #[error(transparent)]
    Season(#[from] SeasonError),
    /// A backup that was not made, or not restored.
    #[error(transparent)]
    Copy(#[from] CopyError),
    /// The doctor found something that must be seen to.
    #[error("needs attention: {0}; the lines marked BAD say what is wrong and what to do")]
    Unwell(String),
    /// A decision that was not taken in.
    #[error(transparent)]
    Decide(#[from] DecideError),
    /// A file with numbers of rules.
    #[error("{}: {why}", file.display())]
    Config {
        /// The file.
        file: PathBuf,
        /// What, and what to try.
        why: String,
    },
    /// A file that was not written.
    #[error(transparent)]
    Output(#[from] OutputError),
    /// A file that was not read.
    #[error(transparent)]
    Input(#[from] InputError),
    /// The standard output took no more.
    #[error("the standard output cannot be written: {0}; all else was done")]
    Silent(std::io::Error),
    /// A bill that was not made.
    #[error(transparent)]
    Bill(#[from] BillError),
    /// A bill that was issued, and whose paper failed.
    #[error(
        "bill {number} is issued and stands, but its paper failed: {source}\nGet it again with \
         `hornrule bill show {number} --pdf FILE`; do not issue it again"
    )]
    Issued {
        /// Its number.
        number: BillNumber,
        /// Why.
        source: Box<Failure>,
    },
    /// A step of the evening that stopped.
    #[error(
        "{source}\nThe evening stopped at step {number} of 6 ({name}); what was done before stands, and \
         `hornrule evening` goes on from there"
    )]
    Evening {
        /// Which, from 1.
        number: u8,
        /// Its name.
        name: &'static str,
        /// Why.
        source: Box<Failure>,
    },
    /// A story.
    #[cfg(feature = "virtual")]
    #[error("{}: {source}", file.display())]
    Story {
        /// The file.
        file: PathBuf,
        /// Why.
        source: StoryError,
    },
    /// The virtual handheld.
    #[cfg(feature = "virtual")]
    #[error("virtual handheld: {0}")]
    Handheld(#[from] ServeError),
    /// A file.
    #[error("{}: {source}", file.display())]
    File {
        /// The file.
        file: PathBuf,
        /// Why.
        source: std::io::Error,
    },
    /// Said in words.
    #[error("{0}")]
    Said(String),
}

impl Failure {
    /// A file that cannot be read or written.
    pub(super) fn file(file: &Path) -> impl FnOnce(std::io::Error) -> Self + use<> {
        let file = file.to_owned();
        move |source| Self::File { file, source }
    }

    /// A pull that failed.
    pub(super) fn pull(address: &str, source: OfficeError) -> Self {
        Self::Pull { address: address.to_owned(), source: Box::new(source) }
    }

    /// A question without an answer.
    pub(super) fn ask(address: &Address, source: AskError) -> Self {
        Self::Ask { address: address.to_string(), source: Box::new(source) }
    }

    /// A calliper that is refused.
    pub(super) fn calliper(address: &Address, doubt: Doubt) -> Self {
        Self::Calliper { address: address.to_string(), doubt }
    }

    /// A plan that cannot be made.
    pub(super) const fn plan(source: PlanError) -> Self {
        Self::Plan(source)
    }

    /// A day whose farms have no keys.
    pub(super) fn keys(source: KeysError) -> Self {
        Self::Said(source.to_string())
    }

    /// A plan that was not kept.
    pub(super) fn keep(source: KeepError) -> Self {
        match source {
            KeepError::Database(error) => Self::Database(error),
            KeepError::Plan(error) => Self::Plan(error),
            KeepError::Day(_) | KeepError::Spent => Self::Said(source.to_string()),
        }
    }

    /// A draw that was not made, closed or shown.
    pub(super) fn lot(source: LotError) -> Self {
        match source {
            LotError::Database(error) => Self::Database(error),
            other => Self::Said(other.to_string()),
        }
    }

    /// A farm that stays as it was.
    pub(super) fn farm(source: FarmError) -> Self {
        match source {
            FarmError::Database(error) => Self::Database(error),
            other => Self::Said(other.to_string()),
        }
    }

    /// A plan that is not in force.
    pub(super) fn load(address: &Address, source: LoadError) -> Self {
        Self::Load { address: address.to_string(), source: Box::new(source) }
    }

    /// A herd list that was not imported.
    pub(super) fn import(file: &Path, source: ImportError) -> Self {
        Self::Import { file: file.to_owned(), source: Box::new(source) }
    }

    /// A file of animals that was not imported.
    pub(super) fn ade(file: &Path, source: AdeError) -> Self {
        Self::Ade { file: file.to_owned(), source: Box::new(source) }
    }

    /// A bill that was issued, and whose paper failed.
    pub(super) fn issued(number: &BillNumber, source: Self) -> Self {
        Self::Issued { number: number.clone(), source: Box::new(source) }
    }

    /// A study's protocol that cannot be used.
    pub(super) fn study(file: &Path) -> impl Fn(StudyError) -> Self + use<> {
        let file = file.to_owned();
        move |source| Self::Study { file: file.clone(), source: Box::new(source) }
    }

    /// A table that could not be written.
    pub(super) fn table(file: &Path) -> impl Fn(TableError) -> Self + use<> {
        let file = file.to_owned();
        move |source| Self::Table { file: file.clone(), source: Box::new(source) }
    }

    /// The exit code.
    pub(super) fn exit(&self) -> Exit {
        match self {
            Self::Port(PortError::Session { .. } | PortError::Unread(_)) => Exit::File,
            Self::Port(_) | Self::Find(_) => Exit::Port,
            Self::Pull { source, .. } => match **source {
                OfficeError::Run(RunError::Port(_)) => Exit::Port,
                OfficeError::Run(RunError::Pull(_)) => Exit::Handheld,
                OfficeError::Run(RunError::Store(_)) | OfficeError::Database(_) => Exit::Database,
            },
            Self::Ask { source, .. } => match **source {
                AskError::Port(_) => Exit::Port,
                AskError::Pull(_) => Exit::Handheld,
            },
            Self::Load { source, .. } => match **source {
                LoadError::Ask(AskError::Port(_)) => Exit::Port,
                _ => Exit::Handheld,
            },
            Self::Plan(_) => Exit::Words,
            Self::Import { source, .. } => match **source {
                ImportError::Database(_) => Exit::Database,
                _ => Exit::File,
            },
            Self::Ade { source, .. } => match **source {
                AdeError::Import(ImportError::Database(_)) => Exit::Database,
                _ => Exit::File,
            },
            Self::Study { source, .. } => match **source {
                StudyError::Database(_) => Exit::Database,
                _ => Exit::File,
            },
            Self::Decide(DecideError::Database(_)) | Self::Database(_) | Self::Unwell(_) => {
                Exit::Database
            }
            Self::Bill(BillError::Database(_)) => Exit::Database,
            Self::Bill(_) => Exit::Other,
            Self::Issued { source, .. } | Self::Evening { source, .. } => source.exit(),
            Self::Copy(CopyError::Database(_)) => Exit::Database,
            Self::Copy(CopyError::Output(_)) | Self::Output(_) | Self::Silent(_) => Exit::Other,
            Self::Input(InputError::Io { .. }) => Exit::Other,
            Self::Input(_) => Exit::File,
            Self::Copy(_) => Exit::File,
            Self::Decide(_) => Exit::Words,
            Self::Config { .. } => Exit::File,
            #[cfg(feature = "virtual")]
            Self::Story { .. } => Exit::File,
            #[cfg(feature = "virtual")]
            Self::Handheld(ServeError::Play(_)) => Exit::File,
            Self::Calliper { .. } | Self::Withheld { .. } => Exit::Handheld,
            #[cfg(feature = "virtual")]
            Self::Handheld(ServeError::Flash(_)) => Exit::Handheld,
            #[cfg(feature = "virtual")]
            Self::Handheld(ServeError::Wire(_)) => Exit::Port,
            Self::File { .. } | Self::Table { .. } | Self::Said(_) => Exit::Other,
            #[cfg(feature = "virtual")]
            Self::Season(SeasonError::Seal(_)) => Exit::Other,
            #[cfg(feature = "virtual")]
            Self::Season(_) => Exit::Database,
        }
    }
}
