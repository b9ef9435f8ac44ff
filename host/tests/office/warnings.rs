//! What the plan has the handheld warn of: floors, heels, lesions from before, regrown horn.

use serde_json::Value;

use crate::kit::{FILE, Handheld, fails, json, says, two_days};

const DAY: &str = "2026-03-31";
const SHOW: [&str; 4] = ["plan", "--show", "--day", DAY];
/// Holstein in the third lactation, a heifer, a first lactation, a Jersey, one of whom nothing is
/// known.
const LIST: &str = "number,name,breed,lactation\n12,Bramble,Holstein,3\n27,Clover,Holstein,0\n\
    31,Daisy,Fleckvieh,1\n58,Hazel,Jersey cross,2\n118,Olive,,\n";

fn of<'a>(plan: &'a Value, cow: &str, what: &str) -> &'a Value {
    let rows = plan["cows"].as_array().unwrap();
    &rows.iter().find(|row| row["cow"] == cow).unwrap()[what]
}

/// By breed and parity from the list, over it the file, and over that the farm's own; a heifer none.
#[test]
fn floors_come_from_the_list_and_the_file() {
    let folder = two_days();
    let folder = folder.path();
    std::fs::write(folder.join("list.csv"), LIST).unwrap();
    says(folder, &["herd", "import", "list.csv", "--herd", "Alder Brook", "--farm", "1", "--yes"]);
    let show = || json(folder, &[&SHOW[..], &["--json"]].concat());
    let floors = |plan: &Value| -> Vec<Option<f64>> {
        ["12", "27", "31", "58", "118"].map(|cow| of(plan, cow, "floor_mm").as_f64()).to_vec()
    };
    let plan = show();
    assert_eq!(floors(&plan), [Some(75.0), None, None, None, None]);
    assert_eq!(plan["heels_differ_mm"], Value::Null);
    let file = "[plan]\nfloor = 72.5\nfloor-first = 70\nfloor-jersey = 68\nheels = 3\n";
    std::fs::write(folder.join("hornrule.toml"), file).unwrap();
    let plan = show();
    assert_eq!(floors(&plan), [Some(75.0), None, Some(70.0), Some(68.0), Some(72.5)]);
    assert_eq!(plan["heels_differ_mm"], 3.0);
    says(folder, &["herd", "set", "--herd", "Alder Brook", "--target", "78"]);
    let own = Some(78.0);
    assert_eq!(floors(&show()), [own, None, own, own, own]);
    let plain = |text: String| text.replace('\u{a0}', " ");
    let text = plain(says(folder, &SHOW));
    assert!(text.contains("floor     78.0 mm: 4 cows; none: 1 cow"), "{text}");
    assert!(text.contains("heels     warned of if more than 3.0 mm apart"), "{text}");
    let text = plain(says(folder, &[&SHOW[..], &["--language", "de"]].concat()));
    for line in ["Plan für 31. März 2026", "Grenze    78,0 mm: 4 Kühe; keine: 1 Kuh", "Ballen    "]
    {
        assert!(text.contains(line), "{line}: {text}");
    }
    // A blind day tells no lengths; what is open it asks after all the same.
    let blind = says(folder, &[&SHOW[..], &["--blind"]].concat());
    assert!(!blind.contains("floor  ") && blind.contains("no length is warned of"), "{blind}");
    assert!(blind.contains("with a lesion from before"), "{blind}");
    for wrong in ["floor = 72.3", "heels = \"3\"", "floors = 3"] {
        std::fs::write(folder.join("hornrule.toml"), format!("[plan]\n{wrong}\n")).unwrap();
        fails(folder, &SHOW, FILE, &["line 2"]);
    }
}

/// A plan that has any of it is of version 3; it is loaded and read back.
#[test]
fn what_is_warned_of_is_loaded() {
    let folder = two_days();
    let folder = folder.path();
    std::fs::write(folder.join("hornrule.toml"), "[plan]\nheels = 3\n").unwrap();
    let handheld = Handheld::on(folder, "cow.flash", &["--baud", "4000000"]);
    let load = ["plan", "--port", &handheld.port, "--day", DAY, "--json"];
    let plan = json(folder, &load);
    drop(handheld);
    let flash = std::fs::read(folder.join("cow.plan-flash")).unwrap();
    let head = &flash[64..64 + 72];
    // SPEC.md, section 12: version, particulars, limit for heels in half millimetres.
    assert_eq!((head[0], head[71]), (3, 6));
    let some = plan["cows"].as_array().unwrap().iter().filter(|row| {
        row["open"] != Value::Array(Vec::new())
            || row["regrown_mm"] != Value::Null
            || row["needs"].as_str().unwrap().contains("off")
    });
    let rows = usize::from(u16::from_le_bytes([head[68], head[69]]));
    // Each has a tag besides her number, and so two rows.
    assert_eq!(rows, 2 * some.count());
    assert!(rows > 0);
    // An ulcer found on 17 March, 14 days before: 3.175 mm, rounded up to fifths.
    let ulcers: Vec<&Value> = plan["cows"].as_array().unwrap().iter().collect();
    assert!(ulcers.iter().any(|row| row["regrown_mm"] == 3.2), "{plan}");
}
