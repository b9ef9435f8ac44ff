//! A newer answer about the same database has at least the fields that the older one had.

use std::collections::BTreeSet;
use std::fs;

use serde_json::Value;

use crate::{ASKED, asks, copies, frozen};

/// Fields that are gone on purpose: shares of the cows *trimmed* became shares of the cows *examined*,
/// and "without a lesion" became "sound" and "not examined" (`CHANGELOG.md`).
const GONE: [&str; 5] = [
    "cows_without_lesion",
    "cows_with_lesion_of_trimmed",
    "cows_with_lesion_not_trimmed",
    "claws_with_horn_lesion_of_trimmed",
    "cows_of_trimmed",
];

/// Objects whose keys are data: which grades there were.
const DATA: &str = "grades";

/// Every path of keys in a value; entries of a list have one path.
fn fields(value: &Value, path: &str, into: &mut BTreeSet<String>) {
    match value {
        Value::Object(object) => {
            for (key, value) in object {
                let path = format!("{path}/{key}");
                into.insert(path.clone());
                if key != DATA {
                    fields(value, &path, into);
                }
            }
        }
        Value::Array(list) => list.iter().for_each(|one| fields(one, path, into)),
        _ => {}
    }
}

fn fields_of(text: &str) -> BTreeSet<String> {
    let mut all = BTreeSet::new();
    fields(&serde_json::from_str(text).unwrap(), "", &mut all);
    all
}

#[test]
fn answers_keep_their_fields() {
    for asked in ASKED {
        let (name, day, farm) = asked;
        let folder = copies(&[&format!("{name}.db"), "office.toml"]);
        let of_farm: [(&str, &[&str]); 6] = [
            ("due", &["due", "--day", day, "--json"]),
            ("growth", &["growth", "--json"]),
            ("agreement", &["agreement", "--json"]),
            ("blocks", &["blocks", "--json"]),
            ("visit", &["report", "visit", "--herd", farm, "--json"]),
            ("farm", &["report", "farm", "--herd", farm, "--json"]),
        ];
        for (file, words) in of_farm {
            let Ok(before) =
                fs::read_to_string(frozen().join(format!("exports/{name}/{file}.json")))
            else {
                continue;
            };
            let now = fields_of(&asks(folder.path(), asked, words));
            let gone: Vec<String> =
                fields_of(&before).into_iter().filter(|field| !now.contains(field)).collect();
            let on_purpose = |field: &String| field.split('/').any(|step| GONE.contains(&step));
            let missing: Vec<&String> = gone.iter().filter(|field| !on_purpose(field)).collect();
            assert!(missing.is_empty(), "{name} {file}: {missing:?} are gone");
        }
    }
}
