//! `hornrule plan`: the day before the day.

use clap::Args;
use hornrule_protocol::plan::{Blinding, Limits, Order};
use hornrule_protocol::{Bundle, DeviceId, Dimension, Foot, HerdNumber, Side};
use jiff::civil::Date;
use serde::Serialize;

use super::desk::{PortOptions, device_name};
use super::due::today;
use super::progress::Progress;
use super::{Desk, Failure, clock, rules, trial};
use hornrule_facts::decimal::decimal;
use hornrule_facts::{Day, Habits, Herd, plain};
use hornrule_herd::Database;
use hornrule_line::plan::state;
use hornrule_line::plan::{Planned, load};
use hornrule_questions::plan::{Asked, gather};
use hornrule_questions::plan::{named, words as needs_in_words};

/// Build the day's plan and load it into the handheld
///
/// The plan holds every cow on the farms' lists with what is due on which foot, the measuring
/// order, the length limits and the gauge block. The clock of the handheld is set too. The new plan
/// takes effect only when it is complete; until then, and after any error, the old one stays.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule plan\n  \
    hornrule plan --farm 1 --farm 2 --order 1x2,3 --limit 1=70-90 --do-not-trim 1:412\n  \
    hornrule plan --show --day 2026-03-17")]
pub(super) struct Options {
    #[command(flatten)]
    port: PortOptions,
    /// Farm, by its digit; may be repeated [default: all farms with a digit]
    #[arg(long, value_name = "DIGIT", value_parser = clap::value_parser!(u8).range(1..=9))]
    farm: Vec<u8>,
    /// Day of the plan [default: today]
    #[arg(long, value_name = "DATE")]
    day: Option<Date>,
    /// Days ahead: work due within them counts as due
    #[arg(long, value_name = "DAYS", default_value_t = 3)]
    ahead: u16,
    /// Measuring order on each claw; 1x2,3 is dimension 1 twice, then 3
    #[arg(long, value_name = "LIST", value_parser = order)]
    order: Option<Order>,
    /// Usual range of a dimension, mm; may be repeated
    #[arg(long, value_name = "D=LOW-HIGH", value_parser = limit)]
    limit: Vec<(Dimension, (u16, u16))>,
    /// Claw where work starts on a hind foot: outer or inner [default: `hind` below `[plan]` in
    /// `hornrule.toml`, or outer]
    #[arg(long, value_name = "CLAW", value_parser = ["outer", "inner"])]
    hind: Option<String>,
    /// The same on a front foot
    #[arg(long, value_name = "CLAW", value_parser = ["outer", "inner"])]
    front: Option<String>,
    /// What DO 0 and a digit does, such as "1=31 this, 32 this, 10 partner"; may be repeated, and
    /// takes the place of `bundle-1` below `[plan]` in `hornrule.toml`
    #[arg(long, value_name = "N=PARTS", value_parser = bundle)]
    bundle: Vec<Bundle>,
    /// Give no cue at the chute for unusual lengths
    #[arg(long)]
    blind: bool,
    /// Cow not to be trimmed on this day only (for longer: `hornrule herd mark`);
    /// may be repeated
    #[arg(long, value_name = "FARM:COW", value_parser = cow)]
    do_not_trim: Vec<(u8, HerdNumber)>,
    /// Show the plan; load nothing
    #[arg(long)]
    show: bool,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
}

fn dimension(text: &str) -> Result<Dimension, String> {
    text.parse()
        .ok()
        .and_then(Dimension::from_code)
        .filter(|dimension| !dimension.is_gauge())
        .ok_or_else(|| format!("`{text}` is no dimension; they are 1 to 9 (`hornrule cues`)"))
}

fn order(text: &str) -> Result<Order, String> {
    let mut order = Order::EMPTY;
    for step in text.split(',') {
        let (code, clips) = step.trim().split_once('x').unwrap_or((step.trim(), "1"));
        let clips = clips.parse().map_err(|_| format!("`{clips}` is no number of clips"))?;
        order = order
            .then(dimension(code)?, clips)
            .ok_or_else(|| format!("`{step}`: at most 16 steps, of 1 to 15 clips each"))?;
    }
    Ok(order)
}

fn limit(text: &str) -> Result<(Dimension, (u16, u16)), String> {
    let wrong = || format!("`{text}` is not like 1=70-90 (millimetres, at most two places)");
    let (code, range) = text.split_once('=').ok_or_else(wrong)?;
    let (low, high) = range.split_once('-').ok_or_else(wrong)?;
    let dimension = dimension(code)?;
    let range = (hundredths(low).ok_or_else(wrong)?, hundredths(high).ok_or_else(wrong)?);
    Limits::default().with(dimension, range).ok_or_else(wrong)?;
    Ok((dimension, range))
}

/// Hundredths of a millimetre, exactly.
fn hundredths(text: &str) -> Option<u16> {
    decimal(text, 2).and_then(|hundredths| hundredths.try_into().ok())
}

fn bundle(text: &str) -> Result<Bundle, String> {
    let (number, parts) = text.split_once('=').unwrap_or((text, ""));
    let empty = number.trim().parse().ok().and_then(Bundle::new);
    let empty = empty.ok_or_else(|| format!("`{number}` is no number of a bundle: 1 to 9"))?;
    empty.with_parts(parts).map_err(|wrong| wrong.to_string())
}

fn cow(text: &str) -> Result<(u8, HerdNumber), String> {
    let wrong = || format!("`{text}` is not like 1:412 (the farm's digit, the herd number)");
    let (farm, number) = text.split_once(':').ok_or_else(wrong)?;
    let farm = farm.parse().ok().filter(|farm| (1..=9).contains(farm)).ok_or_else(wrong)?;
    let number = number.parse().ok().and_then(HerdNumber::new).ok_or_else(wrong)?;
    Ok((farm, number))
}

#[derive(Serialize)]
struct Row {
    day: String,
    farms: Vec<FarmRow>,
    order: Vec<String>,
    blind: bool,
    starts_at: Starts,
    bundles: Vec<BundleRow>,
    gauge_mm: Option<f64>,
    trial_ways: Vec<trial::Row>,
    cows: Vec<CowRow>,
    loaded: Option<LoadedRow>,
}

/// The claw where work starts.
#[derive(Serialize)]
struct Starts {
    hind: &'static str,
    front: &'static str,
}

#[derive(Serialize)]
struct BundleRow {
    bundle: u8,
    does: Vec<String>,
}

#[derive(Serialize)]
struct FarmRow {
    farm: u8,
    name: String,
    cows: usize,
    due: usize,
}

#[derive(Serialize)]
struct CowRow {
    farm: u8,
    cow: String,
    name: Option<String>,
    needs: String,
    overdue_days: u32,
}

#[derive(Serialize)]
struct LoadedRow {
    handheld: String,
    plan: String,
    numbers: u16,
    bytes: usize,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let herd = desk.existing_database()?;
    let farms = farms(options, &herd)?;
    let zone = farms.first().map_or("UTC", |(_, listed)| listed.zone.as_str());
    let day = match options.day {
        Some(date) => Day::from_date(date),
        None => today(desk, zone)?,
    };
    for (farm, number) in &options.do_not_trim {
        is_listed(&herd, &farms, *farm, *number)?;
    }
    if options.show {
        let device = known_device(&herd)?;
        let planned = gather(&herd, &farms, day, device, &asked(options, desk)?)?;
        // As much as any handheld can have: only what cannot be planned at all is reported here.
        planned.bytes(usize::from(u16::MAX)).map_err(Failure::plan)?;
        return tell(options, &planned, day, None);
    }
    let (address, mut port, hello) = Desk::handheld(&options.port)?;
    let planned = gather(&herd, &farms, day, Some(hello.device), &asked(options, desk)?)?;
    let failed = |error| Failure::load(&address, error);
    let state = state(&mut *port).map_err(failed)?;
    let (planned, whole) = planned.for_version(state.version);
    if !whole {
        eprintln!(
            "hornrule: the firmware of this handheld knows no bundles and starts at the outer claw \
             of every foot; the plan is loaded without them. Update the firmware"
        );
    }
    let bytes = planned.bytes(usize::from(state.room)).map_err(Failure::plan)?;
    clock::set(&mut *port, &address, desk)?;
    let progress = Progress::loading(bytes.len());
    let loaded = load(&mut *port, &bytes, &mut |at| progress.reached(at));
    progress.done();
    let name = loaded.map_err(failed)?;
    let row = LoadedRow {
        handheld: device_name(hello.device),
        plan: format!("{:08x}", name.plan),
        numbers: name.animals,
        bytes: bytes.len(),
    };
    tell(options, &planned, day, Some(row))
}

/// A cow that was named stands on a list of the day: a slip would leave the right one untold.
fn is_listed(
    herd: &Database,
    farms: &[(u8, Herd)],
    farm: u8,
    number: HerdNumber,
) -> Result<(), Failure> {
    let said = |why: String| Failure::Said(format!("--do-not-trim {farm}:{}: {why}", number.get()));
    let Some((_, listed)) = farms.iter().find(|(digit, _)| *digit == farm) else {
        return Err(said(format!("farm {farm} is not in this plan")));
    };
    let cows = herd.animals(listed.herd)?;
    let number = i64::from(number.get());
    if !cows.iter().any(|cow| cow.in_herd && cow.animal.number() == number) {
        return Err(said(format!("the herd list of {} has no such cow", listed.name)));
    }
    Ok(())
}

fn asked(options: &Options, desk: &Desk) -> Result<Asked, Failure> {
    let limits = options.limit.iter().fold(Limits::default(), |limits, (dimension, range)| {
        // Each was tried alone when it was read.
        limits.with(*dimension, *range).unwrap_or(limits)
    });
    Ok(Asked {
        order: options.order.unwrap_or_default(),
        limits,
        blinding: if options.blind { Blinding::Blind } else { Blinding::Open },
        ahead: options.ahead,
        habits: habits(options, desk)?,
        do_not_trim: options.do_not_trim.clone(),
    })
}

/// Those of the file, and over them those of the command line.
fn habits(options: &Options, desk: &Desk) -> Result<Habits, Failure> {
    let mut habits = rules::habits(desk)?;
    for (key, claw) in [("hind", &options.hind), ("front", &options.front)] {
        if let Some(claw) = claw {
            // Only "outer" and "inner" get this far.
            let _set = habits.set(key, claw);
        }
    }
    options.bundle.iter().for_each(|bundle| habits.put(*bundle));
    Ok(habits)
}

/// The farms of the day, by digit.
fn farms(options: &Options, herd: &Database) -> Result<Vec<(u8, Herd)>, Failure> {
    let mut farms: Vec<(u8, Herd)> = herd
        .herds()?
        .into_iter()
        .filter_map(|listed| Some((listed.farm?, listed)))
        .filter(|(farm, _)| options.farm.is_empty() || options.farm.contains(farm))
        .collect();
    farms.sort_by_key(|(farm, _)| *farm);
    for farm in &options.farm {
        if !farms.iter().any(|(digit, _)| digit == farm) {
            return Err(Failure::Said(format!(
                "no herd has the digit {farm}; assign it with `hornrule herd import LIST --herd \
                 NAME --farm {farm}`"
            )));
        }
    }
    if farms.is_empty() {
        return Err(Failure::Said(
            "no herd has a digit, so none can be keyed; assign one with `hornrule herd import LIST \
             --herd NAME --farm 1`"
                .to_owned(),
        ));
    }
    Ok(farms)
}

/// The handheld that the database knows, where it is the only one.
fn known_device(herd: &Database) -> Result<Option<DeviceId>, Failure> {
    let mut devices: Vec<DeviceId> = herd.logs()?.into_iter().map(|(device, _)| device).collect();
    devices.dedup();
    Ok(match devices.as_slice() {
        [one] => Some(*one),
        _ => None,
    })
}

fn tell(
    options: &Options,
    planned: &Planned,
    day: Day,
    loaded: Option<LoadedRow>,
) -> Result<(), Failure> {
    let row = row(planned, day, loaded);
    if options.json {
        println!("{}", super::json(&row)?);
    } else {
        print!("{}", told(&row));
    }
    Ok(())
}

fn row(planned: &Planned, day: Day, loaded: Option<LoadedRow>) -> Row {
    let of = |farm: u8| planned.cows.iter().filter(move |cow| cow.farm == farm);
    let farms = planned.farms.iter().map(|(farm, name)| FarmRow {
        farm: *farm,
        name: name.clone(),
        cows: of(*farm).count(),
        due: of(*farm).filter(|cow| cow.needs.bits() != 0).count(),
    });
    let cows = planned.cows.iter().map(|cow| CowRow {
        farm: cow.farm,
        cow: named(cow),
        name: cow.name.clone(),
        needs: needs_in_words(cow.needs),
        overdue_days: cow.overdue,
    });
    let order = planned.order.steps().map(|(dimension, clips)| match clips {
        1 => dimension.name.to_owned(),
        clips => format!("{} x{clips}", dimension.name),
    });
    let first = |foot| match planned.habits.first_claws.of(foot) {
        Side::Lateral => "outer",
        Side::Medial => "inner",
    };
    let bundles = planned.habits.bundles().map(|bundle| BundleRow {
        bundle: bundle.number(),
        does: bundle.parts().map(|part| plain::bundle_part(&part)).collect(),
    });
    Row {
        day: day.to_string(),
        farms: farms.collect(),
        order: order.collect(),
        blind: planned.blinding == Blinding::Blind,
        starts_at: Starts { hind: first(Foot::LeftHind), front: first(Foot::LeftFore) },
        bundles: bundles.collect(),
        gauge_mm: planned.gauge.map(|gauge| gauge.size.as_mm()),
        trial_ways: trial::rows(planned.trial_ways.clone()),
        cows: cows.collect(),
        loaded,
    }
}

fn told(row: &Row) -> String {
    let mut text = format!("plan for {}\n", row.day);
    for farm in &row.farms {
        let FarmRow { farm, name, cows, due } = farm;
        text += &format!("farm {farm}    {name}: {cows} cows, {due} of them due\n");
    }
    let order =
        if row.order.is_empty() { "dorsal wall length".to_owned() } else { row.order.join(", ") };
    let blind = if row.blind { " (blind)" } else { "" };
    text += &format!("order     {order}{blind}\n");
    let Starts { hind, front } = row.starts_at;
    text += &format!("starts    hind feet: {hind} claw; front feet: {front} claw\n");
    for BundleRow { bundle, does } in &row.bundles {
        text += &format!("DO 0{bundle}     {}\n", does.join("; "));
    }
    match row.gauge_mm {
        Some(mm) => text += &format!("gauge     {mm:.3} mm\n"),
        None => text += "gauge     not known: `hornrule gauge`\n",
    }
    text += &trial::told(&row.trial_ways);
    for cow in row.cows.iter().filter(|cow| !cow.needs.is_empty()) {
        let name = cow.name.as_deref().unwrap_or_default();
        let late = match cow.overdue_days {
            0 => String::new(),
            n => format!(", overdue by {}", plain::count(n as usize, "day", "days")),
        };
        let line = format!("  {}  {:>9}  {name:<14}  {}{late}", cow.farm, cow.cow, cow.needs);
        text += &format!("{}\n", line.trim_end());
    }
    if let Some(loaded) = &row.loaded {
        let LoadedRow { handheld, plan, numbers, bytes } = loaded;
        text += &format!(
            "loaded    into handheld {handheld}: plan {plan}, {numbers} numbers, {bytes} bytes; \
             read back, clock set\n"
        );
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn orders_limits_and_cows_are_read_and_their_mistakes_named() {
        let steps: Vec<(u8, u8)> =
            order("1x2, 3").unwrap().steps().map(|(d, clips)| (d.code(), clips)).collect();
        assert_eq!(steps, [(1, 2), (3, 1)]);
        for (wrong, says) in [("0", "no dimension"), ("12", "no dimension"), ("1x16", "1 to 15")] {
            assert!(order(wrong).unwrap_err().contains(says), "{wrong}");
        }
        let (dimension, range) = limit("1=70-90.5").unwrap();
        assert_eq!((dimension.code(), range), (1, (7_000, 9_050)));
        for wrong in ["1", "1=70", "1=90-70", "0=1-2", "1=7.123-9", "1=-7-9", "1=70-700"] {
            assert!(limit(wrong).is_err(), "{wrong}");
        }
        let written = bundle("1=31 this, 10 partner").unwrap();
        assert_eq!((written.number(), written.parts().count()), (1, 2));
        for (wrong, says) in [("31 this", "1 to 9"), ("1=31 foot", "part 1"), ("10=31 this", "9")] {
            assert!(bundle(wrong).unwrap_err().contains(says), "{wrong}");
        }
        assert_eq!(cow("1:412").unwrap(), (1, HerdNumber::new(412).unwrap()));
        for wrong in ["412", "0:412", "10:4", "1:0", "1:x"] {
            assert!(cow(wrong).is_err(), "{wrong}");
        }
    }
}
