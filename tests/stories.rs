//! Days that go differently than planned: a story for each in `stories/`, and here what must be in
//! the database in the evening. The stories themselves say what must be heard.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::fmt::Write as _;
use std::path::Path;

use hornrule_board_sim::{Handheld, Identity};
use hornrule_exchange::{Target, import_herd};
use hornrule_herd::Database;
use hornrule_protocol::{DeviceId, LogId};
use hornrule_testkit::flash::Flash;
use hornrule_tests::cable::Cable;
use hornrule_tests::{handheld, herd_at, memory_folder, pull, tell};
use rusqlite::Connection;

type Chip = Flash<1024>;

const TWO_FARMS: &str = include_str!("stories/two-farms.story");
const LEFT: &str = include_str!("stories/two-handhelds.left.story");
const RIGHT: &str = include_str!("stories/two-handhelds.right.story");
const LOST_CLOCK: &str = include_str!("stories/lost-clock.story");
const BATTERY: &str = include_str!("stories/battery-at-noon.story");
const SHORT_WORDS: &str = include_str!("stories/short-words.story");
const WARNINGS: [(&str, &str); 6] = [
    ("warn-block", include_str!("stories/warn-block.story")),
    ("warn-floor", include_str!("stories/warn-floor.story")),
    ("warn-heels", include_str!("stories/warn-heels.story")),
    ("warn-growth", include_str!("stories/warn-growth.story")),
    ("warn-again", include_str!("stories/warn-again.story")),
    ("warn-left", include_str!("stories/warn-left.story")),
];

fn list_tarn_edge(herd: &mut Database) {
    let (name, zone) = ("Tarn Edge".to_owned(), "Europe/Dublin".to_owned());
    let list = "number,tag,name,born\n27,,Nettle,\n58,,Sorrel,\n";
    import_herd(herd, &Target { name, farm: Some(2), zone }, list.as_bytes()).unwrap();
}

/// Plays a story and pulls wherever it plugs in.
fn play(story: &str, chip: Handheld<Chip>, herd: &mut Database) {
    let mut pulls = 0;
    tell(story, chip, |handheld| {
        let mut cable = Cable::clean(handheld);
        pull(&mut cable, herd).unwrap();
        pulls += 1;
        cable.unplug()
    });
    assert_eq!(pulls, 1, "each story ends with the evening's pull");
}

/// What is in the database: what was recorded about which cow on which farm, and what the checks
/// say.
fn evening(path: &Path) -> String {
    let conn = Connection::open(path).unwrap();
    let mut text = String::new();
    for (what, query) in [
        ("cow in the chute", "'', p.at_ms, p.clock FROM presence p"),
        (
            "finding",
            "printf('lesion %02d grade %d foot %s side %d', p.lesion, p.grade, p.foot, p.side), \
             p.at_ms, p.clock FROM finding p",
        ),
        (
            "action",
            "printf('%02d foot %s side %d', p.action, p.foot, p.side), p.at_ms, p.clock \
             FROM action p",
        ),
        (
            "reading",
            "printf('dimension %d %d nm trimmed %d', p.dimension, p.length_nm, p.trimmed), \
             p.at_ms, p.clock FROM reading p",
        ),
    ] {
        let query = format!(
            "SELECT h.name, p.animal, date(p.day * 86400, 'unixepoch'), {query} \
             JOIN herd h ON h.herd = p.herd ORDER BY p.at_ms, p.device, p.seq"
        );
        let mut statement = conn.prepare(&query).unwrap();
        let mut rows = statement.query([]).unwrap();
        while let Some(row) = rows.next().unwrap() {
            let name: String = row.get(0).unwrap();
            let (animal, day): (i64, String) = (row.get(1).unwrap(), row.get(2).unwrap());
            let (said, at_ms): (String, i64) = (row.get(3).unwrap(), row.get(4).unwrap());
            let clock = if row.get::<_, i64>(5).unwrap() == 0 { "" } else { ", bounded" };
            // To the minute: the pull's own round trips shift nothing that far.
            let (hour, minute) = (at_ms / 3_600_000 % 24, at_ms / 60_000 % 60);
            let line =
                format!("{day} {hour:02}:{minute:02}{clock}  {name} {animal}  {what} {said}");
            writeln!(text, "{}", line.trim_end()).unwrap();
        }
    }
    let mut statement =
        conn.prepare("SELECT rule, count(*) FROM remark GROUP BY rule ORDER BY rule").unwrap();
    let mut rows = statement.query([]).unwrap();
    while let Some(row) = rows.next().unwrap() {
        let (rule, count): (String, i64) = (row.get(0).unwrap(), row.get(1).unwrap());
        writeln!(text, "remark {rule}: {count}").unwrap();
    }
    text
}

fn as_expected(name: &str, text: &str) {
    insta::with_settings!(
        { snapshot_path => "stories", prepend_module_to_snapshot => false, omit_expression => true },
        { insta::assert_snapshot!(name, text) }
    );
}

#[test]
fn two_farms_in_a_day() {
    let folder = memory_folder();
    let path = folder.path().join("herd.db");
    let mut herd = herd_at(&path);
    list_tarn_edge(&mut herd);
    play(TWO_FARMS, handheld(Chip::blank(8)), &mut herd);
    as_expected("two-farms", &evening(&path));
}

#[test]
fn a_morning_in_short_words() {
    let folder = memory_folder();
    let path = folder.path().join("herd.db");
    let mut herd = herd_at(&path);
    play(SHORT_WORDS, handheld(Chip::blank(8)), &mut herd);
    as_expected("short-words", &evening(&path));
}

#[test]
fn two_handhelds_in_a_crew() {
    let folder = memory_folder();
    let crew = |name: &str, order: [(&str, u64); 2]| {
        let path = folder.path().join(name);
        let mut herd = herd_at(&path);
        for (story, number) in order {
            let identity = Identity { device: DeviceId(number), fresh_log: LogId(5) };
            play(story, Handheld::new(Chip::blank(8), identity, 0), &mut herd);
        }
        evening(&path)
    };
    let evening = crew("left-first", [(LEFT, 0xA), (RIGHT, 0xB)]);
    assert_eq!(crew("right-first", [(RIGHT, 0xB), (LEFT, 0xA)]), evening);
    as_expected("two-handhelds", &evening);
}

#[test]
fn a_handheld_that_lost_its_clock() {
    let folder = memory_folder();
    let path = folder.path().join("herd.db");
    let mut herd = herd_at(&path);
    play(LOST_CLOCK, handheld(Chip::blank(8)), &mut herd);
    as_expected("lost-clock", &evening(&path));
}

#[test]
fn a_battery_swapped_at_noon() {
    let folder = memory_folder();
    let path = folder.path().join("herd.db");
    let mut herd = herd_at(&path);
    play(BATTERY, handheld(Chip::blank(8)), &mut herd);
    as_expected("battery-at-noon", &evening(&path));
}

/// One story for each warning: it is heard, and what was keyed is in the database all the same.
#[test]
fn warnings_at_the_chute() {
    let folder = memory_folder();
    for (name, story) in WARNINGS {
        let path = folder.path().join(name);
        let mut herd = herd_at(&path);
        play(story, handheld(Chip::blank(8)), &mut herd);
        as_expected(name, &evening(&path));
    }
}
