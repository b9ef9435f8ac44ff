//! `hornrule trial draw`, `close`, `check`: concealed, on record, and the same from its seed.

use rusqlite::Connection;
use serde_json::Value;
use sha2::{Digest, Sha256};

use crate::kit;
use crate::kit::{DATABASE, Handheld, OTHER, WORDS, fails, json, says, two_days};

const NOW: [&str; 2] = ["--pretend-now", "2026-03-30T06:00:00Z"];
const LATER: [&str; 2] = ["--pretend-now", "2026-04-20T18:00:00Z"];
const SIGNED: [&str; 4] = ["--who", "Anna", "--why", "does sanding pay?"];
const SEED: &str = "six dice: 3 1 6 2 2 5";

fn at(now: [&'static str; 2], words: &[&'static str]) -> Vec<&'static str> {
    [&now[..], words].concat()
}

#[test]
fn a_draw_is_concealed_until_it_is_closed_and_anyone_can_make_it_again() {
    let folder = two_days();
    let folder = folder.path();
    let draw = ["trial", "draw", "--ways", "2,1", "--by", "claw", "--seed", SEED];
    let told = says(folder, &at(NOW, &[&draw[..], &SIGNED].concat()));
    let sha256 = told.split_once("sha256    ").unwrap().1[..64].to_owned();
    assert!(
        told.contains("26 cows, a way for each claw of 1, 2 (Anna: does sanding pay?)"),
        "{told}"
    );
    assert!(told.contains("of 2, 4, 6 claws") && !told.contains(SEED), "{told}");
    // Not while it is open; a look on record is a look on record.
    fails(folder, &at(NOW, &["trial", "draw", "--show"]), OTHER, &["open", "trial close"]);
    fails(folder, &at(NOW, &["trial", "draw", "--show", "--open"]), OTHER, &["--who"]);
    let look = at(NOW, &[&["trial", "draw", "--show", "--open"][..], &SIGNED].concat());
    let open = says(folder, &look);
    assert!(says(folder, &["trial"]).contains("looked    into the open list on 2026-03-30: Anna"));
    let blocks = says(folder, &["blocks"]);
    assert!(blocks.contains("open; looked into while open: 1 time\n"), "{blocks}");
    assert!(blocks.contains("No block was glued on a drawn claw."), "{blocks}");
    fails(
        folder,
        &at(NOW, &[&["trial", "draw", "--ways", "1,2"][..], &SIGNED].concat()),
        OTHER,
        &["draw 1 of Alder Brook is still open"],
    );
    let close = at(LATER, &["trial", "close", "--who", "Ben", "--why", "enough"]);
    assert!(says(folder, &close).contains("from 2026-03-30 through 2026-04-20: closed"));
    let list = says(folder, &["trial", "draw", "--show"]);
    assert_eq!(list, open);
    let hash: String = Sha256::digest(list.as_bytes()).iter().map(|b| format!("{b:02x}")).collect();
    assert_eq!(hash, sha256, "the list is the one that was published");
    // Worked out with Python's hashlib by host/questions/src/lot/LOT.md.
    assert!(list.contains("\n12 12121211\n27 22121211\n"), "{list}");
    assert!(list.contains(&format!("\nseed {SEED}\ncows 26\n")), "{list}");
    assert!(says(folder, &["trial", "check"]).contains("ways of its seed: yes"));
    fails(folder, &close, OTHER, &["closed since 2026-04-20"]);
    let shown = json(folder, &["trial", "draw", "--show", "--json"]);
    assert_eq!((&shown["seed"], &shown["list"][0]["ways"][1]), (&SEED.into(), &2.into()));
}

/// Neither a page nor a script is told a way or the seed of an open draw; the handheld gets the ways.
#[test]
fn no_ordinary_answer_tells_a_way_and_the_handheld_has_them() {
    let folder = two_days();
    let folder = folder.path();
    let draw = ["trial", "draw", "--ways", "7,8", "--seed", SEED, "--json"];
    let row = json(folder, &at(NOW, &[&draw[..], &SIGNED].concat()));
    assert_eq!(
        (&row["by"], &row["cows"], &row["closed"]),
        (&"cow".into(), &26.into(), &Value::Null)
    );
    let day = ["--day", "2026-03-31"];
    for words in [
        &["plan", "--show", "--day", "2026-03-31"][..],
        &["plan", "--show", "--day", "2026-03-31", "--json"],
        &["trial"],
        &["trial", "check", "--json"],
        &["blocks", "--json"],
        &["herd", "show"],
        &["cow", "27"],
        &["due"],
        &["status", "--no-handheld"],
        &["doctor", "--no-handheld"],
    ] {
        let text = says(folder, words);
        assert!(!text.contains(SEED), "{words:?}: {text}");
        for told in ["DO 17", "DO 18", "\"way\": 7", "\"way\": 8", "trial way 7", "trial way 8"] {
            assert!(!text.contains(told), "{words:?} tells {told}: {text}");
        }
    }
    let plan = json(folder, &[&["plan", "--show", "--json"][..], &day].concat());
    assert_eq!(plan["farms"][0]["drawn"], 26);
    let page = says(folder, &[&["plan", "--show", "--html", "p.html"][..], &day].concat());
    assert!(!page.contains(SEED));
    let page = std::fs::read_to_string(folder.join("p.html")).unwrap();
    assert!(page.contains("Drawn for 26 cows: which way a block is glued."), "{page}");
    let german = [&["plan", "--show", "--html", "d.html", "--language", "de"][..], &day].concat();
    says(folder, &german);
    let page = std::fs::read_to_string(folder.join("d.html")).unwrap();
    assert!(page.contains("Für 26 Kühe ist ausgelost, wie ein Klotz geklebt wird."), "{page}");
    let handheld = Handheld::on(folder, "cow.flash", &["--baud", "4000000"]);
    json(folder, &[&["plan", "--port", &handheld.port, "--json"][..], &day].concat());
    drop(handheld);
    // Version 3. Cow 12 stands first; way 7 or 8 for each of her claws: two nibbles a byte.
    let flash = std::fs::read(folder.join("cow.plan-flash")).unwrap();
    let (head, length) = (64, u32::from_le_bytes(flash[8..12].try_into().unwrap()) as usize);
    let particulars = u16::from_le_bytes(flash[head + 68..head + 70].try_into().unwrap());
    assert_eq!(flash[head], 3);
    assert!(particulars >= 26, "{particulars}");
    let last = &flash[head + length - 4..head + length];
    assert!([[0x77; 4], [0x88; 4]].iter().any(|ways| last == ways), "{last:?}");
}

#[test]
fn what_is_no_draw_is_named_and_a_list_that_was_changed_is_found_out() {
    let folder = two_days();
    let folder = folder.path();
    for (words, code, says) in [
        (&["trial", "draw"][..], WORDS, "--ways"),
        (&["trial", "draw", "--ways", "1"], OTHER, "two to nine different ways"),
        (&["trial", "draw", "--ways", "1,1"], OTHER, "two to nine different ways"),
        (&["trial", "draw", "--ways", "1,2", "--sizes", "0"], OTHER, "from 1 to 9"),
        (&["trial", "draw", "--ways", "1,2", "--herd", "Neuhof"], OTHER, "no herd `Neuhof`"),
        (&["trial", "draw", "--show"], OTHER, "has no draw"),
        (&["trial", "draw", "--show", "--ways", "1,2"], WORDS, "cannot be used with"),
        (&["trial", "close"], OTHER, "has no draw"),
    ] {
        let words: Vec<&str> = [&NOW[..], words, &SIGNED].concat();
        fails(folder, &words, code, &[says]);
    }
    let unsigned = at(NOW, &["trial", "draw", "--ways", "1,2"]);
    fails(folder, &unsigned, OTHER, &["--who"]);
    // Cows of that day were in the chute before.
    let late = ["--pretend-now", "2026-03-03T06:00:00Z", "trial", "draw", "--ways", "1,2"];
    fails(folder, &[&late[..], &SIGNED].concat(), OTHER, &["draw before the first cow"]);
    assert!(says(folder, &["trial", "check"]).contains("nothing was drawn"));
    says(folder, &at(NOW, &[&["trial", "draw", "--ways", "1,2"][..], &SIGNED].concat()));
    assert!(
        says(folder, &["doctor", "--no-handheld"]).contains("draw 1 of Alder Brook is that of")
    );
    let path = folder.join("hornrule.db");
    let conn = Connection::open(path).unwrap();
    let guard = "SELECT sql FROM sqlite_schema WHERE name = 'lot_cow_stays'";
    let guard: String = conn.query_row(guard, [], |row| row.get(0)).unwrap();
    let swap = "UPDATE lot_cow SET ways = CASE ways WHEN '11111111' THEN '22222222' ELSE \
                '11111111' END WHERE animal = 27";
    assert!(conn.execute(swap, []).unwrap_err().to_string().contains("never changed"));
    conn.execute_batch(&format!("DROP TRIGGER lot_cow_stays; {swap}; {guard};")).unwrap();
    drop(conn);
    fails(folder, &["trial", "check"], DATABASE, &["a draw is not what was drawn"]);
    let doctor = kit::hornrule(folder, &["doctor", "--no-handheld"]);
    assert!(String::from_utf8_lossy(&doctor.stdout).contains("BAD   draw"), "{doctor:?}");
}
