//! `hornrule clock`: the handheld's clock.

use clap::Args;
use hornrule_protocol::message::{Request, Response};
use hornrule_protocol::{Boot, Uptime};
use serde::Serialize;

use super::desk::{PortOptions, device_name};
use super::{Desk, Failure};
use crate::office::ANSWER;
use hornrule_herd::Database;
use hornrule_line::port::{Address, Port};
use hornrule_line::pull::ask;

/// Set the clock of the handheld, and show its drift
///
/// The handheld has no calendar; it counts milliseconds since it was switched on. Set the clock in
/// the morning, and every record of the day has a time.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule clock\n  hornrule clock --show --port /dev/ttyUSB0")]
pub(super) struct Options {
    #[command(flatten)]
    port: PortOptions,
    /// Show the clock; do not set it
    #[arg(long)]
    show: bool,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

#[derive(Serialize)]
struct Row {
    port: String,
    handheld: String,
    boot: u16,
    uptime_ms: u64,
    round_trip_ms: i64,
    set: bool,
    drift_ppm: Option<f64>,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let (address, mut port, hello) = Desk::handheld(&options.port)?;
    let failed = |source| Failure::ask(&address, source);
    let asked_ms = desk.clock().unix_ms();
    let (boot, uptime) = ask(&mut *port, &Request::Now, ANSWER, |response| match response {
        Response::Now { boot, uptime } => Some((*boot, *uptime)),
        _ => None,
    })
    .map_err(failed)?;
    let answered_ms = desk.clock().unix_ms();
    let round_trip_ms = (answered_ms - asked_ms).max(0);
    let drift_ppm = match Database::open_existing(desk.db()) {
        // Without a database nothing is known yet.
        Err(_) => None,
        Ok(herd) => {
            let anchors = herd.anchors(hello.device, hello.log)?;
            let earlier = anchors.iter().find(|anchor| anchor.boot == boot);
            earlier.and_then(|earlier| {
                let now = (uptime, asked_ms + round_trip_ms / 2);
                drift((earlier.uptime, earlier.unix_ms), now)
            })
        }
    };
    if !options.show {
        set(&mut *port, &address, desk)?;
    }
    let row = Row {
        port: address.to_string(),
        handheld: device_name(hello.device),
        boot: boot.0,
        uptime_ms: uptime.0,
        round_trip_ms,
        set: !options.show,
        drift_ppm,
    };
    if options.json {
        println!("{}", super::json(&row)?);
    } else {
        tell(&row, boot, uptime);
    }
    Ok(())
}

/// Tells a handheld the office's time.
pub(super) fn set(port: &mut dyn Port, address: &Address, desk: &Desk) -> Result<(), Failure> {
    let request = Request::SetClock { unix_ms: desk.clock().unix_ms() };
    ask(port, &request, ANSWER, |response| match response {
        Response::ClockSet { .. } => Some(()),
        _ => None,
    })
    .map_err(|source| Failure::ask(address, source))
}

fn tell(row: &Row, boot: Boot, uptime: Uptime) {
    println!("handheld  {}", row.handheld);
    let seconds = uptime.0 / 1000;
    println!(
        "on for    {} h {:02} min {:02} s (start {} of its log)",
        seconds / 3600,
        seconds / 60 % 60,
        seconds % 60,
        boot.0
    );
    match row.drift_ppm {
        Some(ppm) => println!("drift     {ppm:+.0} ppm, {:+.1} s a day", ppm * 0.0864),
        None => println!("drift     not known: no earlier reading of this start's clock is stored"),
    }
    if row.set {
        println!("set       to the office's time; sealed as a record");
    }
}

/// How much faster the handheld's clock runs than the office's, parts per million. `None` for
/// readings less than a minute apart: a round trip is then a large part of it.
fn drift(earlier: (Uptime, i64), later: (Uptime, i64)) -> Option<f64> {
    let office = later.1 - earlier.1;
    let handheld = i64::try_from(later.0.0.checked_sub(earlier.0.0)?).ok()?;
    if office < 60_000 {
        return None;
    }
    // Milliseconds of years are far below 2^53: exact as floats.
    Some((handheld - office) as f64 / office as f64 * 1e6)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn drift_is_the_excess_over_the_office() {
        // 36 ms gained in an hour are 10 ppm (36 / 3,600,000).
        let fast = drift((Uptime(1_000), 5_000), (Uptime(3_601_036), 3_605_000)).unwrap();
        assert!((fast - 10.0).abs() < 1e-9, "{fast}");
        assert_eq!(drift((Uptime(0), 0), (Uptime(59_000), 59_000)), None, "too near");
        assert_eq!(drift((Uptime(9_000), 0), (Uptime(0), 90_000)), None, "another start");
    }
}
