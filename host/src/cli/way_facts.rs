//! `hornrule trial WAY --from DATE ...`: what a way of gluing was on which days.

use clap::Args;
use jiff::civil::Date;
use serde::Serialize;

use super::text::{name, note};
use super::{Desk, Failure};
use hornrule_facts::decimal::millimetres;
use hornrule_facts::{Day, WayFact};
use hornrule_herd::Database;
use hornrule_protocol::Nanometres;

/// What is said of a way.
#[derive(Debug, Args)]
pub(super) struct Given {
    /// First day on which this holds of the way
    #[arg(long, value_name = "DATE", requires = "way")]
    from: Option<Date>,
    /// Last day on which it holds [default: until the next --from of this way]
    #[arg(long, value_name = "DATE", requires = "from")]
    until: Option<Date>,
    /// What the block is made of
    #[arg(long, value_name = "TEXT", value_parser = name, requires = "from")]
    material: Option<String>,
    /// Which glue, and its batch
    #[arg(long, value_name = "TEXT", value_parser = note, requires = "from")]
    glue: Option<String>,
    /// How the sole is made ready before gluing
    #[arg(long, value_name = "TEXT", value_parser = note, requires = "from")]
    surface: Option<String>,
    /// Height of the block, in mm
    #[arg(long, value_name = "MM", value_parser = height, requires = "from")]
    height: Option<Nanometres>,
    /// Name of the person who says so
    #[arg(long, value_name = "NAME", env = "HORNRULE_WHO", value_parser = name)]
    who: Option<String>,
}

/// A block is a few centimetres high; one of more than 200 mm is a slip.
fn height(text: &str) -> Result<Nanometres, String> {
    let most = Nanometres::from_mm(200);
    millimetres(text)
        .filter(|height| height.0 > 0 && *height <= most)
        .ok_or_else(|| "a height in mm, more than 0 and at most 200".to_owned())
}

/// What a way was, as people and scripts see it.
#[derive(Clone, Serialize)]
pub(super) struct Row {
    pub(super) way: u8,
    pub(super) keyed: String,
    from: String,
    until: Option<String>,
    material: String,
    glue: String,
    surface: String,
    height_mm: Option<f64>,
    who: String,
}

impl Given {
    /// Whether it says from when.
    pub(super) const fn is_given(&self) -> bool {
        self.from.is_some()
    }

    /// Notes what is given of a way, or with `clear` takes out what was noted from that day.
    pub(super) fn note(
        &self,
        herd: &mut Database,
        desk: &Desk,
        way: u8,
        clear: bool,
    ) -> Result<(), Failure> {
        let Some(since) = self.from.map(Day::from_date) else { return Ok(()) };
        if clear {
            return match herd.clear_way_fact(way, since)? {
                true => Ok(()),
                false => Err(Failure::Said(format!("nothing was noted of way {way} from {since}"))),
            };
        }
        let text = |text: &Option<String>| text.clone().unwrap_or_default();
        let fact = WayFact {
            way,
            since,
            through: self.until.map(Day::from_date),
            material: text(&self.material),
            glue: text(&self.glue),
            surface: text(&self.surface),
            height: self.height,
            who: self
                .who
                .clone()
                .ok_or_else(|| Failure::Said("who says so? use --who NAME".into()))?,
            at_ms: desk.clock().unix_ms(),
        };
        if fact.material.is_empty()
            && fact.glue.is_empty()
            && fact.surface.is_empty()
            && fact.height.is_none()
        {
            return Err(Failure::Said(
                "say at least one of --material, --glue, --surface, --height".to_owned(),
            ));
        }
        if fact.through.is_some_and(|through| through < since) {
            return Err(Failure::Said("--until is before --from".to_owned()));
        }
        Ok(herd.set_way_fact(&fact)?)
    }
}

pub(super) fn rows(facts: Vec<WayFact>) -> Vec<Row> {
    let row = |fact: WayFact| Row {
        way: fact.way,
        keyed: format!("DO 1{}", fact.way),
        from: fact.since.to_string(),
        until: fact.through.map(|day| day.to_string()),
        material: fact.material,
        glue: fact.glue,
        surface: fact.surface,
        height_mm: fact.height.map(Nanometres::as_mm),
        who: fact.who,
    };
    facts.into_iter().map(row).collect()
}

pub(super) fn told(rows: &[Row]) -> String {
    let line = |row: &Row| {
        let Row { way, keyed, from, material, glue, surface, who, .. } = row;
        let until = row.until.as_ref().map_or_else(String::new, |until| format!(" to {until}"));
        let height = row.height_mm.map(|mm| format!("{mm} mm high"));
        let known = [
            Some(material.clone()),
            Some(glue.clone()).filter(|glue| !glue.is_empty()).map(|glue| format!("glue {glue}")),
            Some(surface.clone()),
            height,
        ];
        let known: Vec<String> =
            known.into_iter().flatten().filter(|text| !text.is_empty()).collect();
        format!("way {way}     {keyed}: from {from}{until}: {} ({who})\n", known.join(", "))
    };
    rows.iter().map(line).collect()
}
