//! Events and animals at their edges. `host/exchange-check` holds whole files to the standard's
//! models.

use std::collections::BTreeMap;

use hornrule_protocol::claw::Zone;
use hornrule_protocol::record::{Done, Finding};
use hornrule_protocol::{
    Action, Claw, DeviceId, Foot, Iso11784, Lesion, LogId, Place, Scale, Seq, Side,
};
use serde_json::Value;

use super::{AdeError, Animals, Part};
use super::{Earlier, EarlierError, Gone, Positions, Wishes, export};
use crate::extract::{Dated, Extract};
use crate::{ImportError, Imported, Target, import_herd};
use hornrule_facts::observation::{Certainty, When};
use hornrule_facts::{AnimalId, Day};
use hornrule_herd::{Database, Span};

const LATERAL: Place = Place::Claw(Claw { foot: Foot::RightHind, side: Side::Lateral });
/// 2026-03-03T10:02:47Z.
const AT: i64 = 1_772_532_167_000;

fn anchored(ms: i64) -> When {
    When { at_ms: AT, uncertainty_ms: Some(ms), certainty: Certainty::Anchored }
}

fn said<T>(seq: u32, place: Place, what: T) -> Dated<T> {
    let animal = Iso11784::from_decimal(12).ok().map(|_| AnimalId(12));
    Dated {
        key: (DeviceId(0xc0ff_ee00_0000_0001), LogId(1), Seq(seq)),
        when: anchored(2_000),
        day: Day(20_515),
        animal,
        place,
        what,
        whole: false,
    }
}

fn found(code: u8, grade: u8) -> Finding {
    Finding { lesion: Lesion::from_code(code).unwrap(), place: LATERAL, grade, zone: None }
}

fn did(code: u8) -> Done {
    Done { action: Action::from_code(code).unwrap(), place: LATERAL, days: 0 }
}

/// A herd with cow 12 and nothing said.
fn nothing() -> Extract {
    let mut herd = Database::in_memory().unwrap();
    let target = Target { name: "Alder Brook".to_owned(), farm: None, zone: "UTC".to_owned() };
    let of = import_herd(&mut herd, &target, "number\n12\n".as_bytes()).unwrap().herd;
    Extract::gather(&herd, of, Span::EVER).unwrap().unwrap()
}

fn file(extract: &Extract) -> Value {
    serde_json::from_str(&export(extract, &Wishes::default(), Gone::default()).unwrap().ade)
        .unwrap()
}

fn members<'a>(file: &'a Value, of: &str) -> &'a [Value] {
    file[format!("icar{of}EventCollection")]["member"].as_array().unwrap()
}

#[test]
fn a_cow_without_a_tag_has_her_herd_number() {
    let mut extract = nothing();
    extract.findings = vec![said(5, LATERAL, found(13, 2))];
    let one = members(&file(&extract), "Diagnosis")[0].clone();
    assert_eq!(one["animal"]["scheme"], "local.hornrule.herd-number");
    assert_eq!(one["animal"]["id"], "12");
    // Keyed by a tag that the list does not have.
    extract.findings[0].animal = Some(AnimalId(999_000_000_000_012));
    let one = members(&file(&extract), "Diagnosis")[0].clone();
    assert_eq!(one["animal"]["scheme"], "std.iso.11785");
    assert_eq!(one["animal"]["id"], "999000000000012");
    assert_eq!(one["eventDateTime"], "2026-03-03T10:02:47.000Z");
}

/// WL is white line disease as a whole: the separation at the heel bulb goes out under it with its
/// place. Letters that were read in no source say so.
#[test]
fn letters_are_the_atlas_s_and_say_where_they_are_from() {
    let mut extract = nothing();
    let keyed = Finding { zone: Zone::new(6), ..found(23, 3) };
    let all = [found(23, 2), keyed, found(13, 1), found(41, 1), found(62, 0)];
    extract.findings = (5..).zip(all).map(|(seq, what)| said(seq, LATERAL, what)).collect();
    let file = file(&extract);
    let told: Vec<(&str, &str, &str)> = members(&file, "Diagnosis")
        .iter()
        .map(|one| &one["diagnoses"][0])
        .map(|one| ["name", "description", "site"].map(|key| one[key].as_str().unwrap()).into())
        .collect();
    let bulb = "white line separation at the heel bulb";
    let site = "RH lateral claw";
    assert_eq!(
        told,
        [
            (bulb, "WL, moderate (our scale of three)", "RH lateral claw, zone 3"),
            (bulb, "WL, severe (our scale of three)", "RH lateral claw, zone 6"),
            ("sole ulcer", "SU, slight (our scale of three)", site),
            (
                "vertical horn fissure",
                "HFV (letters from memory), slight (our scale of three)",
                site
            ),
            ("swelling above one claw only", "SWC (letters of our own)", site),
        ]
    );
}

#[test]
fn a_decision_is_the_last_change() {
    let mut extract = nothing();
    extract.findings = vec![said(5, LATERAL, found(13, 2)), said(6, LATERAL, found(13, 2))];
    let (late, early) = (extract.findings[0].key, extract.findings[1].key);
    extract.decided = BTreeMap::from([(late, AT + 60_000), (early, AT - 60_000)]);
    let file = file(&extract);
    let modified: Vec<&Value> =
        members(&file, "Diagnosis").iter().map(|one| &one["meta"]["modified"]).collect();
    assert_eq!(modified, ["2026-03-03T10:03:47.000Z", "2026-03-03T10:02:47.000Z"]);
}

/// A finding was discarded, a block was really for the vet, a time was put right, and nothing else
/// changed.
#[test]
fn what_is_said_no_more_is_taken_back() {
    let mut extract = nothing();
    extract.findings = vec![said(5, LATERAL, found(13, 2)), said(6, LATERAL, found(14, 1))];
    extract.actions = vec![said(7, LATERAL, did(10)), said(8, LATERAL, did(30))];
    let wishes = Wishes::default();
    let sent = export(&extract, &wishes, Gone::default()).unwrap().ade;
    let same = Earlier::read(&sent).unwrap().gone(&extract, &wishes, AT).unwrap();
    assert_eq!(same.count(), 0);

    extract.findings.remove(0);
    extract.findings[0].when.at_ms += 86_400_000;
    extract.actions[0].what = did(80);
    let later = AT + 3_600_000;
    let gone = Earlier::read(&sent).unwrap().gone(&extract, &wishes, later).unwrap();
    assert_eq!(gone.count(), 2);
    let second = export(&extract, &wishes, gone).unwrap().ade;
    let file: Value = serde_json::from_str(&second).unwrap();
    let told = |of: &str| -> Vec<(String, bool)> {
        let one = |event: &Value| {
            (event["id"].as_str().unwrap()[26..].to_owned(), event["meta"]["isDeleted"] == true)
        };
        members(&file, of).iter().map(one).collect()
    };
    assert_eq!(told("Diagnosis"), [("6".to_owned(), false), ("5".to_owned(), true)]);
    assert_eq!(told("Treatment"), [("8".to_owned(), false), ("7".to_owned(), true)]);
    assert_eq!(told("Attention"), [("7".to_owned(), false)]);
    assert_eq!(file["icarDiagnosisEventCollection"]["view"]["totalItems"], 2);
    // As it was, but for when it was taken back.
    let first: Value = serde_json::from_str(&sent).unwrap();
    let mut back = members(&file, "Diagnosis")[1].clone();
    assert_eq!(back["meta"]["modified"], "2026-03-03T11:02:47.000Z");
    back["meta"] = members(&first, "Diagnosis")[0]["meta"].clone();
    assert_eq!(back, members(&first, "Diagnosis")[0]);
    // Once taken back it stays so, from when it was; said again, it is there again.
    let again = Earlier::read(&second).unwrap();
    let third = export(&extract, &wishes, again.gone(&extract, &wishes, later + 1).unwrap());
    assert_eq!(third.unwrap().ade, second);
    extract.findings.push(said(5, LATERAL, found(13, 2)));
    assert_eq!(again.gone(&extract, &wishes, later).unwrap().count(), 1);
}

#[test]
fn an_earlier_file_of_somebody_else_is_refused() {
    let mut extract = nothing();
    extract.findings = vec![said(5, LATERAL, found(13, 2))];
    let wishes = Wishes::default();
    let exported = export(&extract, &wishes, Gone::default()).unwrap();
    for (file, wanted) in [
        ("", "NotJson"),
        ("{}", "NoExport"),
        ("[1]", "NoExport"),
        (exported.beside.as_str(), "NoExport"),
    ] {
        let why = format!("{:?}", Earlier::read(file).unwrap_err());
        assert!(why.starts_with(wanted), "{file}: {why}");
    }
    let refused = |file: &str| {
        Earlier::read(file).and_then(|one| one.gone(&extract, &wishes, AT)).unwrap_err()
    };
    let other = exported.ade.replace("local.hornrule", "org.example");
    assert!(matches!(refused(&other), EarlierError::OtherSource { .. }));
    let other = exported.ade.replace("Alder Brook", "Beech Hill");
    let why = refused(&other).to_string();
    assert!(why.contains("local.hornrule.herd=Beech Hill"), "{why}");
    let other = exported.ade.replace("\"id\": \"c0ffee", "\"di\": \"c0ffee");
    assert!(matches!(refused(&other), EarlierError::NoExport { .. }));
}

#[test]
fn the_remark_says_how_well_the_time_is_known() {
    let mut extract = nothing();
    let bounded = |ms| When { at_ms: AT, uncertainty_ms: ms, certainty: Certainty::Bounded };
    let cases = [
        (anchored(0), "time known within 0 s"),
        (anchored(1), "time known within 1 s"),
        (anchored(120_000), "time known within 120 s"),
        (anchored(120_001), "time known within 3 min"),
        (bounded(Some(7_200_001)), "time estimated within 3 h"),
        (bounded(Some(i64::MAX)), "time estimated within 2562047788016 h"),
        (bounded(None), "time estimated, nobody can say how far off"),
    ];
    extract.findings = vec![said(5, LATERAL, found(13, 2))];
    for (when, remark) in cases {
        extract.findings[0].when = when;
        assert_eq!(members(&file(&extract), "Diagnosis")[0]["remark"], remark);
    }
}

#[test]
fn stages_and_grades_are_the_standards_words() {
    let mut extract = nothing();
    let stage = |grade| said(u32::from(grade) + 1, Place::Foot(Foot::LeftHind), found(31, grade));
    extract.findings = (0..=5).map(stage).collect();
    extract
        .findings
        .extend((1..=3).map(|grade| said(10 + u32::from(grade), LATERAL, found(13, grade))));
    extract.findings.push(said(20, LATERAL, found(0, 0)));
    let file = file(&extract);
    let words: Vec<(Option<&str>, Option<&str>, Option<u64>)> = members(&file, "Diagnosis")
        .iter()
        .map(|one| &one["diagnoses"][0])
        .map(|one| (one["stage"].as_str(), one["severity"].as_str(), one["severityScore"].as_u64()))
        .collect();
    let expected = [
        (Some("Early"), None, None),
        (Some("Acute"), None, None),
        (Some("Other"), None, None),
        (Some("Chronic"), None, None),
        (Some("AcuteOnChronic"), None, None),
        (None, Some("Light"), Some(1)),
        (None, Some("Moderate"), Some(2)),
        (None, Some("Severe"), Some(3)),
    ];
    // Healed and sound are no diagnoses.
    assert_eq!(words, expected);
}

/// Every action of the table goes to one place, and none brings a medicine.
#[test]
fn every_action_has_one_place_and_no_medicine() {
    let mut extract = nothing();
    extract.actions =
        Action::all().map(|one| said(u32::from(one.code()), LATERAL, did(one.code()))).collect();
    let done = export(&extract, &Wishes::default(), Gone::default()).unwrap();
    let beside: Value = serde_json::from_str(&done.beside).unwrap();
    assert_eq!(done.treatments + done.attention + done.own[3], extract.actions.len());
    let codes: Vec<u64> = beside["actions"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["action"].as_u64().unwrap())
        .collect();
    assert_eq!(codes, [20, 33, 40, 42, 50, 51, 52, 53, 83, 91]);
    for word in ["medicine\"", "dose\"", "withdrawals", "batches", "null"] {
        assert!(!done.ade.contains(word), "{word}");
    }
    let file: Value = serde_json::from_str(&done.ade).unwrap();
    for one in members(&file, "Treatment") {
        let name = one["procedure"].as_str().unwrap();
        let product = name.starts_with("topical") || name.starts_with("pain");
        assert_eq!(one["comment"].is_string(), product, "{name}");
    }
}

#[test]
fn a_gait_is_an_alert_from_lame_on() {
    let mut extract = nothing();
    let scale = |code| Scale::from_code(code).unwrap();
    let scores = [(1, 2), (1, 3), (2, 1), (2, 2), (3, 4)];
    extract.scores = (1..)
        .zip(scores)
        .map(|(seq, (code, value))| said(seq, Place::Cow, (scale(code), value)))
        .collect();
    let file = file(&extract);
    let alerts: Vec<(&str, u64)> = members(&file, "Attention")
        .iter()
        .map(|one| (one["remark"].as_str().unwrap(), one["deviceAttentionScore"].as_u64().unwrap()))
        .collect();
    let expected = [
        ("locomotion score 3 of 1 to 5, lame from 3; time known within 2 s", 3),
        ("mobility score 2 of 0 to 3, lame from 2; time known within 2 s", 2),
    ];
    assert_eq!(alerts, expected);
    let positions = Wishes { positions: Positions::Toes, ..Wishes::default() };
    assert_eq!(export(&extract, &positions, Gone::default()).unwrap().own, [0, 5, 0, 0]);
}

/// The first of February 2026.
const TODAY: Day = Day(20_485);

fn taken(herd: &mut Database, target: &Target, text: &str) -> Result<Imported, AdeError> {
    let animals = Animals::read(text, &target.zone, Some(TODAY))?;
    let seen = animals.preview(herd, target)?;
    let done = animals.import(herd, target, &seen)?;
    let herd = seen.herd.max(done.herd);
    assert_eq!(done, Imported { herd, ..seen }, "it does what it showed");
    Ok(done)
}

fn import(text: &str) -> Result<Imported, String> {
    let mut herd = Database::in_memory().unwrap();
    let target =
        Target { name: "Alder Brook".to_owned(), farm: None, zone: "Europe/Berlin".to_owned() };
    let taken = taken(&mut herd, &target, text);
    if taken.is_err() {
        assert_eq!(herd.herds().unwrap(), [], "nothing is imported");
    }
    taken.map_err(|error| error.to_string())
}

fn animal(fields: &str) -> String {
    format!(
        r#"{{"resourceType":"icarAnimalCoreResource","specie":"Cattle","gender":"Female",
        "identifier":{{"scheme":"std.iso.11785","id":"999 000000000012"}},{fields}}}"#
    )
}

#[test]
fn animals_come_alone_in_an_array_and_in_a_collection() {
    let one = animal(r#""managementTag":"12""#);
    for text in [one.clone(), format!("[{one}]"), format!(r#"{{"member":[{one}]}}"#)] {
        assert_eq!(import(&text).unwrap().added, 1);
    }
    let ours =
        animal(r#""alternativeIdentifiers":[{"scheme":"local.hornrule.herd-number","id":"0012"}]"#);
    assert_eq!(import(&ours).unwrap().added, 1);
}

#[test]
fn animals_with_a_mistake_are_named() {
    let twice =
        format!("[{},{}]", animal(r#""managementTag":"12""#), animal(r#""managementTag":"13""#));
    let cases = [
        String::new(),
        "{\"member\":[\n,]}".to_owned(),
        "7".to_owned(),
        "{}".to_owned(),
        "[]".to_owned(),
        "{\"member\":{}}".to_owned(),
        "[7]".to_owned(),
        twice.replace("\"13\"", "\"12\""),
        twice,
        animal("\"name\":\"Berta\""),
        animal("\"managementTag\":12"),
        animal("\"managementTag\":\"1234567890\""),
        animal("\"managementTag\":\"B12\""),
        animal("\"managementTag\":\"0\""),
        animal("\"managementTag\":\"12\",\"birthDate\":\"yesterday\""),
        animal("\"managementTag\":\"12\",\"alternativeIdentifiers\":[{\"id\":\"3\"}]"),
        animal("\"managementTag\":\"12\",\"alternativeIdentifiers\":{}"),
        animal("\"managementTag\":\"12\",\"name\":\"a\\nb\""),
        animal("\"managementTag\":\"12\"").replace("999 000000000012", "999"),
        animal("\"managementTag\":\"12\"")
            .replace("icarAnimalCoreResource", "icarWeightEventResource"),
        animal("\"managementTag\":\"12\"").replace("resourceType", "type"),
        animal("\"managementTag\":\"12\",\"birthDate\":\"2026-02-02T00:00:00Z\""),
        animal("\"managementTag\":\"12\"").replace("999 0", "123 0"),
        animal(&format!("\"managementTag\":\"12\",\"name\":\"{}\"", "a".repeat(101))),
        // All that is wrong with each, at once.
        format!(
            "[{},{},7]",
            animal("\"name\":7,\"birthDate\":\"yesterday\""),
            animal("\"managementTag\":\"B12\"").replace("999 000000000012", "999"),
        ),
    ];
    let told: Vec<String> = cases.iter().map(|text| import(text).unwrap_err()).collect();
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn a_preview_writes_nothing_and_holds_to_the_same_rules() {
    let mut herd = Database::in_memory().unwrap();
    let text = format!("[{}]", animal(r#""managementTag":"12""#));
    let target = |name: &str, farm| Target { name: name.to_owned(), farm, zone: "UTC".to_owned() };
    let alder = target("Alder Brook", Some(1));
    import_herd(&mut herd, &alder, "number;name\n12;Berta\n13;Cora\n".as_bytes()).unwrap();
    let animals = Animals::read(&text, "UTC", None).unwrap();
    let seen = animals.preview(&herd, &alder).unwrap();
    assert_eq!((seen.added, seen.changed, seen.same, seen.left), (0, 1, 0, 1));
    let now = herd.animals(seen.herd).unwrap();
    assert!(now.iter().all(|cow| cow.in_herd && cow.name.is_some()), "nothing was written");
    let other = target("Beech Hill", Some(1));
    assert!(matches!(animals.preview(&herd, &other), Err(ImportError::FarmTaken { .. })));
    // Somebody changes the list while the office looks at the preview.
    import_herd(&mut herd, &alder, "number;name\n12;Berta\n".as_bytes()).unwrap();
    let late = animals.import(&mut herd, &alder, &seen);
    assert!(matches!(late, Err(ImportError::Changed)));
}

/// A page that promises more than it holds removes nobody; nor does a single animal.
#[test]
fn a_part_of_the_herd_removes_nobody() {
    let alder = || Target { name: "Alder Brook".to_owned(), farm: None, zone: "UTC".to_owned() };
    let list = "number;name;tag\n12;Berta;\n13;Cora;999000000000012\n14;Dora;\n";
    let one = animal(r#""managementTag":"12","name":"Bertha""#);
    let page = |view: &str| format!(r#"{{"view":{view},"member":[{one}]}}"#);
    let (total, other) = (Some(3), None);
    for (text, part) in [
        (page(r#"{"totalItems":3}"#), Some(Part::Page { held: 1, total })),
        (
            page(r#"{"totalItems":3,"totalPages":3,"next":"https://example.org/2"}"#),
            Some(Part::Page { held: 1, total }),
        ),
        (page(r#"{"totalPages":2}"#), Some(Part::Page { held: 1, total: other })),
        (page(r#"{"currentPage":2}"#), Some(Part::Page { held: 1, total: other })),
        (page(r#"{"next":"https://example.org/2"}"#), Some(Part::Page { held: 1, total: other })),
        (page(r#"{"prev":"https://example.org/1"}"#), Some(Part::Page { held: 1, total: other })),
        (one.clone(), Some(Part::Single)),
        (page(r#"{"totalItems":1,"totalPages":1,"currentPage":1,"next":null}"#), None),
        (page("null"), None),
        (format!("[{one}]"), None),
    ] {
        let mut herd = Database::in_memory().unwrap();
        import_herd(&mut herd, &alder(), list.as_bytes()).unwrap();
        assert_eq!(Animals::read(&text, "UTC", None).unwrap().part, part, "{text}");
        let done = taken(&mut herd, &alder(), &text).unwrap();
        let left = if part.is_some() { 0 } else { 2 };
        assert_eq!((done.left, done.added), (left, 0), "{text}");
        let cows = herd.animals(done.herd).unwrap();
        assert_eq!(cows.iter().filter(|cow| cow.in_herd).count(), 3 - left as usize);
        // The tag stands on one cow, and that is the one who has it now.
        let tagged: Vec<i64> =
            cows.iter().filter(|cow| cow.tag.is_some()).map(|cow| cow.animal.number()).collect();
        assert_eq!(tagged, [12]);
    }
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(64))]
    /// P8: no text panics, and what is refused imports nothing.
    #[test]
    fn no_file_of_animals_panics(cut in 0usize..400, with in ".{0,12}") {
        let whole = format!("[{},{}]", animal(r#""managementTag":"12""#), animal(r#""name":"x""#));
        let cut = (cut..whole.len()).find(|at| whole.is_char_boundary(*at)).unwrap_or(0);
        let (before, after) = whole.split_at(cut);
        // A dry run reads all of it; one database serves three of them.
        let herd = Database::in_memory().unwrap();
        let target = Target { name: "x".to_owned(), farm: None, zone: "UTC".to_owned() };
        for text in [format!("{before}{with}{after}"), format!("{before}{with}"), with.clone()] {
            let _taken = Animals::read(&text, &target.zone, Some(TODAY))
                .map(|animals| animals.preview(&herd, &target));
        }
        proptest::prop_assert_eq!(herd.herds().unwrap(), []);
    }
}
