//! `hornrule calliper`: how the calliper on the handheld is read, and the proof of it.

use std::io;

use clap::{Args, Subcommand};
use hornrule_protocol::Nanometres;
use hornrule_protocol::calliper::{CalliperSetting, InchCode, Level, SignBit, Slope, WordOrder};
use hornrule_protocol::message::Refusal;
use hornrule_protocol::record::{CalliperKind, UnitMode};
use serde::Serialize;

use super::desk::{PortOptions, device_name};
use super::gauge::mm;
use super::{Desk, Failure};
use hornrule_files::input;
use hornrule_herd::Database;
use hornrule_line::calliper::{Proof, Seen, Step, hear, kind_code, setting, setting_words, store};
use hornrule_line::port::Address;
use hornrule_line::pull::{AskError, PullError};

/// Number of doubtful readings of a step before the calliper is refused.
const TRIES: u8 = 3;
/// The shortest block that tells a wrong slope from a hand that was not steady.
const SHORTEST_GAUGE: Nanometres = Nanometres(5_000_000);

/// Show or prove how the handheld reads its calliper
///
/// No calliper says how to read it: which clock edge counts, which level means one, where the sign
/// is. `hornrule calliper prove` finds out with a gauge block and stores it on the handheld.
#[derive(Debug, Args)]
#[command(
    args_conflicts_with_subcommands = true,
    after_help = "Example:\n  hornrule calliper\n  hornrule calliper prove --gauge 75.00\n  \
                  hornrule calliper --json"
)]
pub(super) struct Options {
    #[command(subcommand)]
    verb: Option<Verb>,
    #[command(flatten)]
    port: PortOptions,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

#[derive(Debug, Subcommand)]
enum Verb {
    /// Prove the calliper plugged in: zero, block, minus the block, inches
    ///
    /// Asks for four steps and listens at each. The setting that fits all four is stored on the
    /// handheld and used at once. If the packets disagree, the calliper is refused, nothing is
    /// stored and the old setting stays.
    #[command(after_help = "Example:\n  hornrule calliper prove --gauge 75.00\n\n\
                            Press Enter after each step. Ctrl-D stops without storing anything.")]
    Prove(ProveOptions),
}

#[derive(Debug, Args)]
struct ProveOptions {
    #[command(flatten)]
    port: PortOptions,
    /// Size of the gauge block, mm [default: as set by `hornrule gauge`]
    #[arg(long, value_name = "MM", value_parser = mm)]
    gauge: Option<Nanometres>,
}

#[derive(Serialize)]
struct Row {
    handheld: String,
    proved: bool,
    setting: Option<SettingRow>,
}

#[derive(Serialize)]
struct SettingRow {
    kind: &'static str,
    data_at: &'static str,
    one: &'static str,
    sign_bit: Option<u8>,
    inch_unit: Option<u8>,
    zeroed_word: Option<u8>,
    in_words: String,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    match &options.verb {
        Some(Verb::Prove(prove)) => self::prove(prove, desk),
        None => show(options),
    }
}

fn show(options: &Options) -> Result<(), Failure> {
    let (address, mut port, hello) = Desk::handheld(&options.port)?;
    let setting = setting(&mut *port).map_err(|error| failed(&address, error))?;
    let handheld = device_name(hello.device);
    if options.json {
        let row = Row { handheld, proved: setting.is_some(), setting: setting.as_ref().map(row) };
        println!("{}", super::json(&row)?);
        return Ok(());
    }
    println!("handheld  {handheld}");
    match setting {
        Some(setting) => println!("calliper  proved: {}", setting_words(&setting)),
        None => println!(
            "calliper  not proved: read as most are (24-bit and 52-bit, not inverted); \
             `hornrule calliper prove`"
        ),
    }
    Ok(())
}

fn row(setting: &CalliperSetting) -> SettingRow {
    let is = |kind| setting.kind == kind;
    SettingRow {
        kind: kind_code(setting.kind),
        data_at: match setting.slope {
            Slope::Falling => "falling",
            Slope::Rising => "rising",
        },
        one: match setting.one {
            Level::High => "high",
            Level::Low => "low",
        },
        sign_bit: is(CalliperKind::Sync24).then_some(match setting.sign {
            SignBit::Bit20 => 20,
            SignBit::Bit21 => 21,
        }),
        inch_unit: is(CalliperKind::Bcd52).then_some(match setting.inch {
            InchCode::One => 1,
            InchCode::Eight => 8,
        }),
        zeroed_word: is(CalliperKind::Words48).then_some(match setting.words {
            WordOrder::ZeroedFirst => 1,
            WordOrder::ZeroedLast => 2,
        }),
        in_words: setting_words(setting),
    }
}

fn prove(options: &ProveOptions, desk: &Desk) -> Result<(), Failure> {
    let (address, mut port, hello) = Desk::handheld(&options.port)?;
    let gauge = match options.gauge {
        Some(gauge) => gauge,
        None => known_gauge(desk, hello.device)?,
    };
    if gauge < SHORTEST_GAUGE {
        return Err(Failure::Said(format!(
            "a block of {:.2} mm is too short; use one of 5 mm or more",
            gauge.as_mm()
        )));
    }
    println!("handheld  {}", device_name(hello.device));
    println!("Four steps. Nothing is stored before the last; Ctrl-D stops.");
    let mut proof = Proof::new(gauge);
    let mut lines = io::stdin().lock();
    let mut doubts = 0;
    while let Some(step) = proof.step() {
        print!("{}", asked(step, gauge));
        if !matches!(input::line(&mut lines), Ok(Some(_))) {
            return Err(Failure::Said(
                "stopped before the last step; nothing was stored, and the old setting stays"
                    .to_owned(),
            ));
        }
        let told = hornrule_line::calliper::step(&mut proof, |pace| hear(&mut *port, pace));
        match told.map_err(|error| failed(&address, error))? {
            Ok(seen) => {
                doubts = 0;
                println!("        it shows {}", shown(seen));
            }
            Err(doubt) if doubts + 1 < TRIES => {
                doubts += 1;
                println!("        in doubt: {doubt}");
            }
            Err(doubt) => return Err(Failure::calliper(&address, doubt)),
        }
    }
    // All steps are done, so one is left.
    let Some(proved) = proof.proved() else { return Ok(()) };
    let stored = store(&mut *port, proved).map_err(|error| failed(&address, error))?;
    if stored != Some(proved) {
        return Err(Failure::Said(
            "the handheld did not keep the setting; try again. If that does not help, run \
             `hornrule doctor`"
                .to_owned(),
        ));
    }
    println!("proved    {}", setting_words(&proved));
    println!("stored    on the handheld, read back; in use from now on");
    Ok(())
}

/// As the display has it; in inches with the millimetres they are.
fn shown(seen: Seen) -> String {
    let mm = seen.length.as_mm();
    match seen.unit {
        UnitMode::Millimetre => format!("{mm:.2} mm"),
        UnitMode::Inch => format!("{:.4} in ({mm:.2} mm)", mm / 25.4),
    }
}

fn asked(step: Step, gauge: Nanometres) -> String {
    let place = Step::ALL.iter().position(|one| *one == step).map_or(0, |at| at + 1);
    let what = match step {
        Step::Zero => {
            "Set the calliper to millimetres, wipe and close its jaws, press zero.".to_owned()
        }
        Step::Gauge => format!("Measure the block of {:.2} mm and hold it so.", gauge.as_mm()),
        Step::Negative => {
            "Still on the block press zero; then take the block out and close the jaws.".to_owned()
        }
        Step::Inch => "Leave the jaws closed and switch to inches.".to_owned(),
    };
    format!("{place} of {}  {what} Then Enter. ", Step::ALL.len())
}

fn known_gauge(desk: &Desk, device: hornrule_protocol::DeviceId) -> Result<Nanometres, Failure> {
    let unknown = || {
        Failure::Said(
            "the size of the gauge block is not known; give it with --gauge, or once for all with \
             `hornrule gauge`"
                .to_owned(),
        )
    };
    let herd = Database::open_existing(desk.db()).map_err(|_| unknown())?;
    herd.read(|rows| rows.handheld(device))?.gauge.ok_or_else(unknown)
}

fn failed(address: &Address, error: AskError) -> Failure {
    match error {
        AskError::Pull(PullError::Refused(Refusal::Unknown)) => Failure::Said(format!(
            "{address}: the firmware of the handheld cannot prove callipers; update it. Common \
             callipers still work"
        )),
        error => Failure::ask(address, error),
    }
}
