//! `hornrule gauge`: which gauge block goes with a handheld.

use clap::Args;
use hornrule_protocol::{DeviceId, Nanometres};

use super::desk::device_name;
use super::{Desk, Failure};
use hornrule_facts::decimal::millimetres;
use hornrule_herd::Database;
use hornrule_intake::{GaugeBlock, set_gauge};

/// Record which gauge block goes with a handheld
///
/// The daily check is keyed as SIZE 0 and a clip. Without a passed check, the lengths of the day
/// are in doubt, and every export says so.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  hornrule gauge 75.00\n  hornrule gauge 80.00 --tolerance 0.02 --handheld c0ffee0000000001"
)]
pub(super) struct Options {
    /// Size of the block, mm
    #[arg(value_name = "MM", value_parser = mm)]
    size: Nanometres,
    /// Tolerance of a reading, mm [default: 0.03]
    #[arg(long, value_name = "MM", value_parser = mm)]
    tolerance: Option<Nanometres>,
    /// Number of the handheld; needed if the database knows several
    #[arg(long, value_name = "NUMBER")]
    handheld: Option<String>,
}

/// Millimetres with up to six places, exactly.
pub(super) fn mm(text: &str) -> Result<Nanometres, String> {
    millimetres(text).ok_or_else(|| format!("`{text}` is not a length like 75.00"))
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let mut herd = desk.existing_database()?;
    let device = device(options, &herd)?;
    let gauge = GaugeBlock { size: options.size, tolerance: options.tolerance };
    set_gauge(&mut herd, device, Some(gauge))?;
    println!("handheld  {}", device_name(device));
    println!("gauge     {:.3} mm; its checks were judged again", options.size.as_mm());
    Ok(())
}

fn device(options: &Options, herd: &Database) -> Result<DeviceId, Failure> {
    let mut devices: Vec<DeviceId> = herd.logs()?.into_iter().map(|(device, _)| device).collect();
    devices.dedup();
    if let Some(name) = &options.handheld {
        let named = u64::from_str_radix(name, 16).map(DeviceId);
        return named.map_err(|_| {
            Failure::Said(format!(
                "`{name}` is not the number of a handheld; \
                                                        `hornrule status` shows it"
            ))
        });
    }
    match devices.as_slice() {
        [one] => Ok(*one),
        [] => Err(Failure::Said(
            "the database knows no handheld yet; pull first, or name it with --handheld".to_owned(),
        )),
        _ => Err(Failure::Said(
            "the database knows several handhelds; choose one with --handheld".to_owned(),
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn millimetres_are_read_exactly() {
        assert_eq!(mm("75"), Ok(Nanometres(75_000_000)));
        assert_eq!(mm("75.00"), Ok(Nanometres(75_000_000)));
        assert_eq!(mm("0.03"), Ok(Nanometres(30_000)));
        assert_eq!(mm("1.000001"), Ok(Nanometres(1_000_001)));
        for wrong in ["", ".", "-1", "7,5", "1.0000001", "99999", "1.2.3", "1e3"] {
            assert!(mm(wrong).is_err(), "{wrong}");
        }
    }
}
