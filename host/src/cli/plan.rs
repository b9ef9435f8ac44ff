//! `hornrule plan`: the day before the day.

use clap::Args;
use hornrule_protocol::plan::{Blinding, Limits, Order};
use hornrule_protocol::{Bundle, DeviceId, Dimension, Foot, HerdNumber, Side};
use jiff::civil::Date;
use serde::Serialize;

use super::desk::{PortOptions, device_name};
use super::due::{first_farm, today};
use super::paper::PaperOptions;
use super::progress::Progress;
use super::{Desk, Failure, clock, rules, trial};
use hornrule_facts::decimal::decimal;
use hornrule_facts::{Day, Habits, Herd, plain};
use hornrule_herd::Database;
use hornrule_line::plan::state;
use hornrule_line::plan::{Planned, load};
use hornrule_papers::plan as sheet;
use hornrule_questions::plan::{Asked, Maker, day_keys, gather, keep};
use hornrule_questions::plan::{named, words as needs_in_words};

/// Build the day's plan and load it into the handheld
///
/// The plan holds every cow on the farms' lists with what is due on which foot, the measuring
/// order, the length limits and the gauge block. It also says which key, 1 to 9, means which farm on
/// this day; --pdf and --html give the sheet that shows them. The clock of the handheld is set too. The new plan
/// takes effect only when it is complete; until then, and after any error, the old one stays.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  hornrule plan\n  \
    hornrule plan --farm Lindenhof --farm Neuhof --pdf plan.pdf\n  \
    hornrule plan --farm 1 --farm 2 --order 1x2,3 --limit 1=70-90 --do-not-trim 1:412\n  \
    hornrule plan --show --day 2026-03-17")]
pub(super) struct Options {
    #[command(flatten)]
    port: PortOptions,
    /// Farm of the day, by name or by its standing key; repeat for each, up to nine. A farm named gets
    /// the lowest free key, in the order of the round [default: all farms with a standing key]
    #[arg(long, value_name = "NAME|KEY")]
    farm: Vec<String>,
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
    do_not_trim: Vec<(String, HerdNumber)>,
    /// Show the plan; load nothing
    #[arg(long)]
    show: bool,
    /// The day's sheet: the key of each farm, large, and what is due there
    #[command(flatten)]
    paper: PaperOptions,
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

fn cow(text: &str) -> Result<(String, HerdNumber), String> {
    let wrong = || {
        format!("`{text}` is not like 1:412 (the farm's key in this plan or its name, herd number)")
    };
    let (farm, number) = text.rsplit_once(':').ok_or_else(wrong)?;
    let farm = Some(farm.trim()).filter(|farm| !farm.is_empty()).ok_or_else(wrong)?;
    let number = number.parse().ok().and_then(HerdNumber::new).ok_or_else(wrong)?;
    Ok((farm.to_owned(), number))
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
    drawn: usize,
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
    number: u32,
    plan: String,
    numbers: u16,
    bytes: usize,
}

pub(super) fn run(options: &Options, desk: &Desk) -> Result<(), Failure> {
    let mut herd = desk.existing_database()?;
    let (day, farms) = farms(options, &herd, desk)?;
    let mut not_to_trim = Vec::new();
    for (farm, number) in &options.do_not_trim {
        not_to_trim.push((is_listed(&herd, &farms, farm, *number)?, *number));
    }
    let asked = asked(options, desk, not_to_trim)?;
    let tell = Telling { options, farms: &farms, day };
    if options.show {
        let device = known_device(&herd)?;
        let planned = gather(&herd, &farms, day, device, &asked)?;
        // As much as any handheld can have: only what cannot be planned at all is reported here.
        planned.bytes(usize::from(u16::MAX)).map_err(Failure::plan)?;
        return tell.tell(&planned, None, None);
    }
    let (address, mut port, hello) = Desk::handheld(&options.port)?;
    let planned = gather(&herd, &farms, day, Some(hello.device), &asked)?;
    let failed = |error| Failure::load(&address, error);
    let state = state(&mut *port).map_err(failed)?;
    let (planned, left) = planned.for_version(state.version);
    if left.habits {
        eprintln!(
            "hornrule: the firmware of this handheld knows no bundles and starts at the outer claw \
             of every foot; the plan is loaded without them. Update the firmware"
        );
    }
    let (made_ms, room) = (desk.clock().unix_ms(), usize::from(state.room));
    let kept = keep(&mut herd, &planned, &farms, Maker { day, made_ms, room });
    let (kept, bytes) = kept.map_err(Failure::keep)?;
    clock::set(&mut *port, &address, desk)?;
    let progress = Progress::loading(bytes.len());
    let loaded = load(&mut *port, &bytes, &mut |at| progress.reached(at));
    progress.done();
    let name = loaded.map_err(failed)?;
    let row = LoadedRow {
        handheld: device_name(hello.device),
        number: kept.number,
        plan: format!("{:08x}", name.plan),
        numbers: name.animals.saturating_sub(1),
        bytes: bytes.len(),
    };
    tell.tell(&planned, Some(kept.number), Some(row))
}

/// A cow that was named stands on a list of the day: a slip would leave the right one untold.
fn is_listed(
    herd: &Database,
    farms: &[(u8, Herd)],
    farm: &str,
    number: HerdNumber,
) -> Result<u8, Failure> {
    let said = |why: String| Failure::Said(format!("--do-not-trim {farm}:{}: {why}", number.get()));
    let named = farms.iter().find(|(key, listed)| listed.name == farm || key.to_string() == farm);
    let Some((key, listed)) = named else {
        return Err(said(format!("farm {farm} is not in this plan")));
    };
    let cows = herd.animals(listed.herd)?;
    let number = i64::from(number.get());
    if !cows.iter().any(|cow| cow.in_herd && cow.animal.number() == number) {
        return Err(said(format!("the herd list of {} has no such cow", listed.name)));
    }
    Ok(*key)
}

fn asked(
    options: &Options,
    desk: &Desk,
    do_not_trim: Vec<(u8, HerdNumber)>,
) -> Result<Asked, Failure> {
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
        floors: rules::floors(desk)?,
        do_not_trim,
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

/// The day of the plan, and its farms by key.
fn farms(
    options: &Options,
    herd: &Database,
    desk: &Desk,
) -> Result<(Day, Vec<(u8, Herd)>), Failure> {
    let (herds, said) = (herd.herds()?, herd.standing_keys()?);
    let day_at = |listed: Option<&Herd>| match options.day {
        Some(date) => Ok(Day::from_date(date)),
        None => today(desk, listed.map_or("UTC", |listed| listed.zone.as_str())),
    };
    // Which farms there are says which day it is there, and the day which keys stand.
    let day = day_at(first_farm(herd)?.as_ref())?;
    let of = |day| day_keys(&herds, &said, day, &options.farm).map_err(Failure::keys);
    let day = day_at(of(day)?.first().map(|(_, listed)| listed))?;
    Ok((day, of(day)?))
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

/// What there is to say of a plan, and where.
struct Telling<'a> {
    options: &'a Options,
    farms: &'a [(u8, Herd)],
    day: Day,
}

impl Telling<'_> {
    fn tell(
        &self,
        planned: &Planned,
        number: Option<u32>,
        loaded: Option<LoadedRow>,
    ) -> Result<(), Failure> {
        let paper = &self.options.paper;
        let row = row(planned, self.day, loaded);
        if !paper.writes() {
            print!("{}", told(&row));
            return Ok(());
        }
        if !paper.json && row.loaded.is_some() {
            print!("{}", told_loaded(&row));
        }
        let settings = self.farms.first().map(|(_, listed)| listed.settings.clone());
        let settings = settings.unwrap_or_default();
        let words = paper.words(&settings);
        let page = sheet::page(planned, self.day, number, &words, paper.paper(&settings));
        paper.deliver(&page, sheet::TABLE, || row)
    }
}

fn row(planned: &Planned, day: Day, loaded: Option<LoadedRow>) -> Row {
    let of = |farm: u8| planned.cows.iter().filter(move |cow| cow.farm == farm);
    let farms = planned.farms.iter().map(|(farm, name)| FarmRow {
        farm: *farm,
        name: name.clone(),
        cows: of(*farm).count(),
        due: of(*farm).filter(|cow| cow.needs.bits() != 0).count(),
        drawn: of(*farm).filter(|cow| cow.is_drawn()).count(),
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
        let FarmRow { farm, name, cows, due, drawn } = farm;
        let drawn = match drawn {
            0 => String::new(),
            n => format!("; ways are drawn for the blocks of {n}"),
        };
        text += &format!("farm {farm}    {name}: {cows} cows, {due} of them due{drawn}\n");
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
    text + &told_loaded(row)
}

fn told_loaded(row: &Row) -> String {
    let Some(LoadedRow { handheld, number, plan, numbers, bytes }) = &row.loaded else {
        return String::new();
    };
    format!(
        "loaded    into handheld {handheld}: plan {number} ({plan}), {numbers} numbers, {bytes} \
         bytes; read back, clock set\n"
    )
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
        assert_eq!(cow("1:412").unwrap(), ("1".to_owned(), HerdNumber::new(412).unwrap()));
        for wrong in ["412", ":412", "1:0", "1:x"] {
            assert!(cow(wrong).is_err(), "{wrong}");
        }
    }
}
