//! The folder: tables as files, and a Frictionless Data Package over them.

use serde_json::{Value, json};

use super::StudyError;
use super::gather::{Gathered, handheld};
use super::protocol::Protocol;
use super::seeded::GENERATOR;
use crate::extract::{SOFTWARE, version};
use crate::table::{Table, dictionary, schema};

/// What the columns of that name hold.
const UNCERTAINTY: &str = "Expanded, 95 %, of a single reading, by JCGM 100:2008: technical error of \
    measurement from this study's repeats (type A); half a step of the calliper and 0.03 mm permitted \
    error, both rectangular (type B). Differences between observers are not in it.";

/// What the table of derived values is.
const DERIVED: &str = "Worked out from readings of one cow, day, handheld, claw and moment, and not measured: \
    not to be mixed with the same quantity measured another way. First-order propagation (JCGM 100:2008) of \
    the technical error of measurement from this study's repeats and of the calliper.";

/// A file of the folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct File {
    /// Its name.
    pub name: String,
    /// What is in it.
    pub bytes: Vec<u8>,
}

/// All files of the folder; the descriptor comes last, so that a folder with it is whole.
///
/// # Errors
/// `Table`: a fault of the program.
pub fn package(protocol: &Protocol, set: &Gathered) -> Result<Vec<File>, StudyError> {
    let tables = [&set.readings, &set.derived, &set.gauges, &set.dimensions, &set.sample];
    let dictionary = dictionary(&tables);
    let mut files = Vec::new();
    let mut resources = Vec::new();
    for table in tables.into_iter().chain([&dictionary]) {
        let file = File { name: format!("{}.csv", table.name), bytes: table.csv()? };
        resources.push(table_resource(table, &file));
        files.push(file);
    }
    let parquet = File { name: "readings.parquet".to_owned(), bytes: set.readings.parquet()? };
    resources.push(json!({
        "name": "readings-parquet",
        "type": "file",
        "path": parquet.name,
        "format": "parquet",
        "mediatype": "application/vnd.apache.parquet",
        "bytes": parquet.bytes.len(),
        "description": "The table readings once more, as Parquet.",
    }));
    let text = File { name: "protocol.toml".to_owned(), bytes: protocol.text.clone().into_bytes() };
    resources.push(json!({
        "name": "protocol",
        "type": "file",
        "path": text.name,
        "format": "toml",
        "mediatype": "application/toml",
        "bytes": text.bytes.len(),
        "description": "The study's protocol, to the letter.",
    }));
    files.extend([parquet, text]);
    let descriptor = descriptor(protocol, set, &resources);
    let made = |error: serde_json::Error| {
        StudyError::Table(crate::table::TableError::Made(error.to_string()))
    };
    let bytes = serde_json::to_string_pretty(&descriptor).map_err(made)? + "\n";
    files.push(File { name: "datapackage.json".to_owned(), bytes: bytes.into_bytes() });
    Ok(files)
}

fn table_resource(table: &Table, file: &File) -> Value {
    json!({
        "name": table.name,
        "type": "table",
        "path": file.name,
        "profile": "tabular-data-resource",
        "format": "csv",
        "mediatype": "text/csv",
        "encoding": "utf-8",
        "bytes": file.bytes.len(),
        "schema": schema(table),
    })
}

fn descriptor(protocol: &Protocol, set: &Gathered, resources: &[Value]) -> Value {
    let dimension = |one: &super::Measurand| {
        json!({
            "number": one.dimension.code(),
            "name": one.dimension.name,
            "landmarks": one.landmarks,
            "unit": "mm",
        })
    };
    let observer = |one: &super::Observer| match one.handheld {
        Some(device) => json!({ "code": one.code, "handheld": handheld(device) }),
        None => json!({ "code": one.code }),
    };
    let handhelds = set.handhelds.iter().map(|(device, known)| {
        let mut one = json!({
            "handheld": handheld(*device),
            "firmware": known.firmware.iter().map(|one| version(*one)).collect::<Vec<_>>(),
        });
        if let Some((size, tolerance)) = known.gauge {
            one["gauge_block_mm"] = json!(size.as_mm());
            one["gauge_tolerance_mm"] = json!(tolerance.as_mm());
        }
        one
    });
    let [passed, failed, none] = set.checked;
    let (anchored, readings) = set.anchored;
    let mut package = json!({
        "profile": "data-package",
        "name": slug(&protocol.name),
        "title": protocol.name,
        "description": format!(
            "Claw dimensions, one reading a row. Blinding: {}",
            protocol.blinding
        ),
        "resources": resources,
        "hornrule": {
            "software": SOFTWARE,
            "days": [protocol.days.0.to_string(), protocol.days.1.to_string()],
            "seed": protocol.seed,
            "generator": GENERATOR,
            "repeats": protocol.repeats,
            "blinding": protocol.blinding,
            "uncertainty": UNCERTAINTY,
            "derived": DERIVED,
            "dimensions": protocol.dimensions.iter().map(dimension).collect::<Vec<_>>(),
            "observers": protocol.observers.iter().map(observer).collect::<Vec<_>>(),
            "handhelds": handhelds.collect::<Vec<_>>(),
            "readings": {
                "all": readings,
                "in_sample": set.in_sample,
                "clock_anchored": anchored,
                "clock_bounded": readings - anchored,
                "gauge_check_passed": passed,
                "gauge_check_failed": failed,
                "gauge_check_none": none,
            },
            "sample": if set.drawn_before {
                "as drawn before the study"
            } else {
                "drawn at this export from the herd lists as they were then"
            },
        },
    });
    if let Some(question) = &protocol.question {
        package["hornrule"]["question"] = json!(question);
    }
    package
}

/// A package's name: lower case letters, digits and hyphens.
fn slug(name: &str) -> String {
    let lower = name.to_lowercase();
    let kept = lower.split(|c: char| !c.is_ascii_alphanumeric()).filter(|word| !word.is_empty());
    let slug = kept.collect::<Vec<_>>().join("-");
    if slug.is_empty() { "study".to_owned() } else { slug }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_package_has_a_name_that_the_standard_allows() {
        assert_eq!(slug("Dorsal wall length, two observers"), "dorsal-wall-length-two-observers");
        assert_eq!(slug("Länge (2026)"), "l-nge-2026");
        assert_eq!(slug("…"), "study");
    }
}
