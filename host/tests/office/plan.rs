//! `hornrule plan`, the whole binary, against the virtual handheld.

use std::io::{Read, Write};
use std::net::TcpListener;
use std::path::Path;
use std::thread;

use hornrule_protocol::frame;
use hornrule_protocol::limits::{MAX_REQUEST_ON_WIRE, MAX_RESPONSE_ON_WIRE};
use hornrule_protocol::message::{Hello, PlanState, Request, Response};
use hornrule_protocol::{Boot, Deframer, DeviceId, LogId, Seq};
use serde_json::Value;

use crate::kit;
use crate::kit::{FILE, HANDHELD, Handheld, OTHER, WORDS, fails, json, on_demo, says, two_days};

const DAY: &str = "2026-03-31";

/// On the database that the demo made.
fn demo_says(folder: &Path, words: &[&str]) -> String {
    kit::said(on_demo(folder, words), words)
}

fn refuses(folder: &Path, words: &[&str], code: i32, naming: &str) {
    kit::failed(on_demo(folder, words), words, code, &[naming]);
}

#[test]
fn a_plan_is_built_loaded_read_back_and_stays() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    demo_says(folder, &["demo", "--no-pdf"]);
    insta::assert_snapshot!(
        "plan_shown",
        demo_says(
            folder,
            &["plan", "--show", "--day", DAY, "--order", "1x2,3", "--do-not-trim", "1:58"]
        )
    );
    let handheld = Handheld::on(folder, "cow.flash", &["--baud", "4000000"]);
    let load = ["plan", "--port", &handheld.port, "--day", DAY, "--order", "1x2,3", "--json"];
    let plan: Value = serde_json::from_str(&demo_says(folder, &load)).unwrap();
    // The due list of the same day, on another way, names the same cows as far as they are due.
    let until = ["due", "--day", DAY, "--until", "2026-04-03", "--json"];
    let due: Value = serde_json::from_str(&demo_says(folder, &until)).unwrap();
    let listed = |rows: &Value, has: fn(&Value) -> bool| -> std::collections::BTreeSet<String> {
        let rows = rows.as_array().unwrap().iter().filter(|row| has(row));
        rows.map(|row| row["cow"].to_string().trim_matches('"').to_owned()).collect()
    };
    let planned = listed(&plan["cows"], |row| row["needs"] != "");
    assert_eq!(planned, listed(&due["due"], |_| true));
    assert!(!planned.is_empty());
    let name = plan["loaded"]["plan"].as_str().unwrap().to_owned();
    assert_eq!(plan["loaded"]["handheld"], "c0ffee0000000001");
    // A second load of the same plan changes nothing, and a plan outlives the power.
    let again: Value = serde_json::from_str(&demo_says(folder, &load)).unwrap();
    assert_eq!(again["loaded"]["plan"], name.as_str());
    let status = demo_says(folder, &["status", "--port", &handheld.port, "--json"]);
    let status: Value = serde_json::from_str(&status).unwrap();
    assert_eq!(status["handheld"]["clock_known"], true);
    drop(handheld);
    let flash = std::fs::read(folder.join("cow.plan-flash")).unwrap();
    let number = u32::from_str_radix(&name, 16).unwrap();
    assert_eq!(flash[12..16], number.to_le_bytes(), "the mark of the first bank names it");
}

/// Habits come from the file beside the database, the command line goes over them, and the handheld
/// has them.
#[test]
fn bundles_and_where_work_starts_are_in_the_plan() {
    let folder = two_days();
    let folder = folder.path();
    let text = says(folder, &["plan", "--show", "--day", DAY]);
    assert!(text.contains("starts    hind feet: outer claw; front feet: outer claw"), "{text}");
    let file =
        "[plan]\nhind = \"inner\"\nbundle-1 = \"31 this, 10 partner\"\nbundle-2 = \"60 foot\"\n";
    std::fs::write(folder.join("hornrule.toml"), file).unwrap();
    let over = ["--front", "inner", "--bundle", "2=82 foot 14"];
    let text = says(folder, &[&["plan", "--show", "--day", DAY][..], &over].concat());
    for line in [
        "starts    hind feet: inner claw; front feet: inner claw",
        "DO 01     loose horn opened and removed (this claw); block glued on, the usual way (partner claw)",
        "DO 02     see again, 14 days",
    ] {
        assert!(text.contains(line), "{line}: {text}");
    }
    let handheld = Handheld::on(folder, "cow.flash", &["--baud", "4000000"]);
    let load = ["plan", "--port", &handheld.port, "--day", DAY, "--json"];
    let plan = json(folder, &load);
    assert_eq!(plan["starts_at"]["hind"], "inner");
    assert_eq!(plan["bundles"][1]["bundle"], 2);
    drop(handheld);
    // Version 3, for lesions are open; inner claw of LH and RH first, two bundles: PLAN.md has where.
    let flash = std::fs::read(folder.join("cow.plan-flash")).unwrap();
    assert_eq!((flash[64], flash[64 + 6], flash[64 + 7]), (3, 0b1100, 2));
    let card = says(folder, &["card"]);
    assert!(card.contains("DO 0 1") && card.contains("hind feet inner claw"), "{card}");
    for (wrong, says) in [("0=31 this", "1 to 9"), ("1=31 foot", "part 1")] {
        fails(folder, &["plan", "--show", "--bundle", wrong], WORDS, &[says]);
    }
    std::fs::write(folder.join("hornrule.toml"), "[plan]\nhind = \"left\"\n").unwrap();
    fails(folder, &["plan", "--show", "--day", DAY], FILE, &["line 2", "inner"]);
}

#[test]
fn mistakes_are_named_and_load_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path();
    demo_says(folder, &["demo", "--no-pdf"]);
    let day = ["--show", "--day", DAY];
    let with = |words: &[&'static str]| [&["plan"][..], &day, words].concat();
    refuses(folder, &with(&["--order", "0"]), 2, "no dimension");
    refuses(folder, &with(&["--limit", "1=90-70"]), 2, "1=70-90");
    refuses(folder, &with(&["--farm", "3"]), 1, "no farm has the key 3");
    refuses(folder, &with(&["--do-not-trim", "2:5"]), 1, "farm 2 is not in this plan");
    refuses(folder, &with(&["--do-not-trim", "1:7"]), 1, "no such cow");
    refuses(folder, &["plan", "--port", "tcp:127.0.0.1:1"], 3, "127.0.0.1:1");
}

#[test]
fn marks_and_trial_names_stand_in_every_plan_until_they_are_taken_back() {
    let folder = two_days();
    let folder = folder.path();
    let plan = || json(folder, &["plan", "--show", "--day", DAY, "--json"]);
    let needs = |plan: &Value, cow: &str| {
        let rows = plan["cows"].as_array().unwrap();
        let row = rows.iter().find(|row| row["cow"] == cow).unwrap();
        row["needs"].as_str().unwrap().to_owned()
    };
    assert!(!needs(&plan(), "58").contains("do not trim"));
    let who = ["--who", "Anna", "--why"];
    let on = |day: &'static str| ["--pretend-now", day];
    let monday = on("2026-03-23T08:00:00Z");
    let mark = |day: [&'static str; 2], what, why| {
        says(folder, &[&day[..], &["herd", "mark", "58", what], &who, &[why]].concat())
    };
    mark(monday, "--do-not-trim", "calves soon");
    assert!(needs(&plan(), "58").contains("do not trim"));
    assert!(!needs(&plan(), "118").contains("do not trim"));
    let shown = says(folder, &[&monday[..], &["herd", "mark"]].concat());
    assert!(
        shown.contains("58  not to be trimmed") && shown.contains("Anna: calves soon"),
        "{shown}"
    );
    says(folder, &["rebuild"]);
    assert!(needs(&plan(), "58").contains("do not trim"), "what was said is derived from nothing");
    let sunday = on("2026-03-29T08:00:00Z");
    mark(sunday, "--trim", "has calved");
    assert!(!needs(&plan(), "58").contains("do not trim"));
    assert!(says(folder, &[&sunday[..], &["herd", "mark"]].concat()).contains("nobody"));
    says(folder, &["trial", "2", "wooden block, sanded"]);
    assert_eq!(plan()["trial_ways"][0]["name"], "wooden block, sanded");
    let text = says(folder, &["plan", "--show", "--day", DAY]);
    assert!(text.contains("trial 2   DO 12: wooden block, sanded"), "{text}");
    says(folder, &["trial", "2", "--clear"]);
    assert_eq!(plan()["trial_ways"], Value::Array(Vec::new()));
    for (words, code, says) in [
        (
            &["herd", "mark", "7", "--do-not-trim", "--who", "A", "--why", "x"][..],
            OTHER,
            "no cow 7",
        ),
        (&["herd", "mark", "58", "--do-not-trim", "--who", "A"], WORDS, "--why"),
        (&["herd", "mark", "58", "--who", "A", "--why", "x"], OTHER, "--do-not-trim or --trim"),
        (&["trial", "10", "x"], WORDS, "0..=9"),
        (&["trial", "1"], OTHER, "the name is missing"),
    ] {
        fails(folder, words, code, &[says]);
    }
}

/// Plans that cannot be: each is named, and the plan that was loaded before stays in force.
#[test]
fn a_plan_that_cannot_be_leaves_the_old_one_in_force() {
    let folder = two_days();
    let folder = folder.path();
    let handheld = Handheld::on(folder, "cow.flash", &["--baud", "4000000"]);
    let load = ["plan", "--port", &handheld.port, "--day", DAY];
    says(folder, &load);
    let in_force = || std::fs::read(folder.join("cow.plan-flash")).unwrap();
    let before = in_force();
    // More cows than the emulated board's 2,031.
    let many: String = (1..=2_040).map(|cow| format!("{cow}\n")).collect();
    std::fs::write(folder.join("many.csv"), format!("number\n{many}")).unwrap();
    says(folder, &["herd", "import", "many.csv", "--herd", "Tarn Edge", "--farm", "2", "--yes"]);
    fails(folder, &load, WORDS, &["room for", "plan fewer farms"]);
    // One tag on two lists.
    let twice = "number,tag\n900,999000000000027\n";
    std::fs::write(folder.join("twice.csv"), twice).unwrap();
    says(folder, &["herd", "import", "twice.csv", "--herd", "Long Fen", "--farm", "3", "--yes"]);
    let both = [&load[..], &["--farm", "1", "--farm", "3"]].concat();
    fails(folder, &both, WORDS, &["999000000000027 is in the plan twice", "correct the herd list"]);
    for wrong in ["10", "x", "1x0"] {
        fails(folder, &[&load[..], &["--order", wrong]].concat(), WORDS, &["--order"]);
    }
    fails(folder, &[&load[..], &["--limit", "0=70-90"]].concat(), WORDS, &["no dimension"]);
    assert_eq!(in_force(), before);
}

/// A handheld whose firmware reads plans of another version: nothing is sent to it.
#[test]
fn a_handheld_with_another_version_of_plans_is_told_and_keeps_its_own() {
    let folder = two_days();
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let port = format!("tcp:{}", listener.local_addr().unwrap());
    let handheld = thread::spawn(move || {
        let (mut line, _) = listener.accept().unwrap();
        let mut deframer = Deframer::<MAX_REQUEST_ON_WIRE>::new();
        let (mut asked, mut byte) = (Vec::new(), [0]);
        while line.read(&mut byte).is_ok_and(|count| count == 1) {
            let Some(Ok(frame)) = deframer.push(byte[0]) else { continue };
            let request = frame.message::<Request>().unwrap();
            let response = match request {
                Request::Hello => Response::Hello(Hello {
                    device: DeviceId(9),
                    log: LogId(9),
                    firmware: [9, 0, 0],
                    boot: Boot(1),
                    first: Seq(1),
                    next: Seq(1),
                    released: Seq::NONE,
                }),
                _ => Response::Plan(PlanState { version: 0, room: 16_000, in_force: None }),
            };
            asked.push(request);
            let mut bytes = [0; MAX_RESPONSE_ON_WIRE];
            line.write_all(frame::encode(frame.id, &response, &mut bytes).unwrap()).unwrap();
        }
        asked
    });
    let words = ["plan", "--port", &port, "--day", DAY];
    fails(folder.path(), &words, HANDHELD, &["plans of version 0", "The old plan is still in use"]);
    let asked = handheld.join().unwrap();
    assert!(
        asked.iter().all(|one| matches!(one, Request::Hello | Request::PlanState)),
        "{asked:?}"
    );
}
