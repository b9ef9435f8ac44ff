//! What all verbs share: the database, the port, the clock.

use std::path::{Path, PathBuf};

use clap::Args;
use hornrule_protocol::message::Hello;

use super::Failure;
use crate::office;
use hornrule_files::output;
use hornrule_herd::{Database, DatabaseError};
use hornrule_line::clock::{Clock, PretendedClock, SystemClock};
use hornrule_line::port;
use hornrule_line::port::{Address, Port};

/// Options of every verb.
#[derive(Debug, Args)]
pub(super) struct DeskOptions {
    /// Herd database
    #[arg(
        long,
        global = true,
        value_name = "FILE",
        env = "HORNRULE_DB",
        hide_env_values = true,
        default_value = "hornrule.db"
    )]
    pub(super) db: PathBuf,
    /// Limits for the rules [default: `hornrule.toml` beside the database]
    #[arg(long, global = true, value_name = "FILE", hide_short_help = true)]
    pub(super) config: Option<PathBuf>,
    /// Take this as the current time, for rehearsals and tests
    #[arg(long, global = true, value_name = "TIME", hide_short_help = true)]
    pub(super) pretend_now: Option<jiff::Timestamp>,
}

/// Options of verbs that speak with a handheld.
#[derive(Debug, Args)]
pub(super) struct PortOptions {
    /// Serial device, tcp:HOST:PORT or replay:FILE [default: try each serial port]
    #[arg(long, value_name = "PORT")]
    pub(super) port: Option<Address>,
}

/// What all verbs share.
pub struct Desk {
    options: DeskOptions,
    clock: Box<dyn Clock>,
}

impl Desk {
    pub(super) fn new(options: DeskOptions) -> Self {
        let clock: Box<dyn Clock> = match options.pretend_now {
            Some(now) => Box::new(PretendedClock::starting_at(now)),
            None => Box::new(SystemClock),
        };
        // Also one that is made later: no output takes its name first.
        output::protect(&options.db);
        Self { options, clock }
    }

    /// The office's clock.
    pub(super) fn clock(&self) -> &dyn Clock {
        &*self.clock
    }

    /// Where the database is.
    pub(super) fn db(&self) -> &Path {
        &self.options.db
    }

    /// The database; created if missing.
    pub(super) fn database(&self) -> Result<Database, Failure> {
        self.with_rules(Database::open(self.db())?)
    }

    /// The database there is.
    pub(super) fn existing_database(&self) -> Result<Database, Failure> {
        self.with_rules(Database::open_existing(self.db())?)
    }

    /// The database there is, or an empty one in memory: for what only looks.
    pub(super) fn database_or_none(&self) -> Result<Database, Failure> {
        match Database::open_existing(self.db()) {
            Ok(herd) => self.with_rules(herd),
            Err(DatabaseError::Missing { .. }) => Ok(Database::in_memory()?),
            Err(error) => Err(error.into()),
        }
    }

    /// The file with numbers of rules, where one was named.
    pub(super) fn config(&self) -> Option<&Path> {
        self.options.config.as_deref()
    }

    /// Who trims, as `hornrule.toml` says.
    pub(super) fn practice(&self) -> Result<hornrule_facts::Practice, Failure> {
        super::rules::practice(self.config(), self.db())
    }

    fn with_rules(&self, mut herd: Database) -> Result<Database, Failure> {
        super::rules::put_in_force(&mut herd, self.config(), self.db())?;
        Ok(herd)
    }

    /// The handheld's port, found where it is not named.
    pub(super) fn port(options: &PortOptions) -> Result<(Address, Box<dyn Port>), Failure> {
        match &options.port {
            Some(address) => Ok((address.clone(), port::open(address)?)),
            None => {
                let (address, port, _) = office::find()?;
                Ok((address, port))
            }
        }
    }

    /// The handheld itself.
    pub(super) fn handheld(
        options: &PortOptions,
    ) -> Result<(Address, Box<dyn Port>, Hello), Failure> {
        let Some(address) = &options.port else { return Ok(office::find()?) };
        let mut port = port::open(address)?;
        match office::greet(&mut *port) {
            Ok(hello) => Ok((address.clone(), port, hello)),
            Err(source) => Err(Failure::ask(address, source)),
        }
    }
}

/// A handheld's name as people see it.
pub(super) fn device_name(device: hornrule_protocol::DeviceId) -> String {
    format!("{:016x}", device.0)
}
