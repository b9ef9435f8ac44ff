//! `hornrule plan`: the day before the day.

mod read;
mod row;

use clap::Args;
use hornrule_protocol::plan::{Blinding, Limits, Order};
use hornrule_protocol::{Bundle, DeviceId, Dimension, HerdNumber, PlanNumber};
use jiff::civil::Date;

use super::desk::{PortOptions, device_name};
use super::due::{first_farm, today};
use super::paper::PaperOptions;
use super::progress::Progress;
use super::{Desk, Failure, clock, rules, trial};
use hornrule_facts::{Day, FarmSettings, Habits, Herd};
use hornrule_herd::Database;
use hornrule_line::plan::state;
use hornrule_line::plan::{LeftOut, Planned, load};
use hornrule_papers::plan as sheet;
use hornrule_papers::words::Words;
use hornrule_questions::plan::{Asked, Maker, day_keys, gather, keep};
use read::{bundle, cow, limit, order};
use row::{LoadedRow, row};

/// Build the day's plan and load it into the handheld
///
/// The plan holds every cow on the farms' lists with what is due on which foot, the measuring
/// order, the length limits and the gauge block; and what the handheld warns of: floors, lesions from
/// before, how much horn can have regrown. It also says which key, 1 to 9, means which farm on
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
    for said in sheet::left_out_old(left, &tell.words()) {
        eprintln!("hornrule: {said}");
    }
    let (made_ms, room) = (desk.clock().unix_ms(), usize::from(state.room));
    let kept = keep(&mut herd, &planned, &farms, Maker { day, made_ms, room });
    let (kept, bytes) = kept.map_err(Failure::keep)?;
    if let Some(said) = sheet::left_out_room(left_for_room(&planned, room), &tell.words()) {
        eprintln!("hornrule: {said}");
    }
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

/// What does not fit into a handheld with so much room, once the plan has its number.
fn left_for_room(planned: &Planned, room: usize) -> LeftOut {
    let numbered = Planned { number: PlanNumber::new(1, 0), ..planned.clone() };
    numbered.packed(room).map(|(_, left)| left).unwrap_or_default()
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
        let (paper, words) = (&self.options.paper, self.words());
        let in_handheld = loaded.as_ref().map(LoadedRow::told);
        if !paper.writes() {
            print!("{}", sheet::told(planned, self.day, in_handheld.as_ref(), &words));
            return Ok(());
        }
        if let Some(loaded) = in_handheld.filter(|_| !paper.json) {
            print!("{}", loaded.told(&words));
        }
        let on = paper.paper(&self.settings());
        let page = sheet::page(planned, self.day, number, &words, on);
        paper.deliver(&page, sheet::TABLE, || row(planned, self.day, loaded))
    }

    /// Those of the day's first farm.
    fn settings(&self) -> FarmSettings {
        self.farms.first().map(|(_, listed)| listed.settings.clone()).unwrap_or_default()
    }

    fn words(&self) -> Words {
        self.options.paper.words(&self.settings())
    }
}
