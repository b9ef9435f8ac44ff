//! Lists as farms send them.

use super::*;
use crate::herd_merge::How;

fn target(name: &str) -> Target {
    Target { name: name.to_owned(), farm: Some(1), zone: "Europe/Berlin".to_owned() }
}

fn import(herd: &mut Database, text: &str) -> Result<Imported, ImportError> {
    import_herd(herd, &target("Lindenhof"), text.as_bytes())
}

fn counts(imported: &Imported) -> (u32, u32, u32, u32) {
    (imported.added, imported.changed, imported.same, imported.left)
}

#[test]
fn a_list_comes_in_and_changes_with_the_next_one() {
    let mut herd = Database::in_memory().unwrap();
    let first = "\u{FEFF}number;name;tag;born;colour\r\n\
                 312;Berta;276 0003 1231 2345;2021-04-17;red\r\
                 \n                 313;\"Frieda; the second\";;;\r\n;;;;\r\n0314;;;;\r\n";
    let imported = import(&mut herd, first).unwrap();
    assert_eq!(counts(&imported), (3, 0, 0, 0));
    assert_eq!(imported.ignored, ["colour"]);
    let list = herd.animals(imported.herd).unwrap();
    let numbers: Vec<i64> = list.iter().map(|cow| cow.animal.number()).collect();
    assert_eq!(numbers, [312, 313, 314]);
    assert_eq!(list[0].tag.unwrap().decimal(), 276_000_312_312_345);
    assert_eq!(list[0].born.unwrap().to_string(), "2021-04-17");
    assert_eq!(list[1].name.as_deref(), Some("Frieda; the second"));

    // 312 is renamed, 313 is as before, 314 is gone, 315 is new; no tags in this file.
    let second = "name,number\nBerta II,312\nFrieda; the second,313\nOlga,315\n";
    let imported = import(&mut herd, second).unwrap();
    assert_eq!(counts(&imported), (1, 1, 1, 1));
    let list = herd.animals(imported.herd).unwrap();
    let there: Vec<bool> = list.iter().map(|cow| cow.in_herd).collect();
    assert_eq!(there, [true, true, false, true]);
    assert!(list[0].tag.is_some() && list[0].born.is_some());
    // She comes back.
    assert_eq!(counts(&import(&mut herd, "number\n314\n").unwrap()), (0, 0, 0, 3));
}

#[test]
fn tags_may_change_cows() {
    let mut herd = Database::in_memory().unwrap();
    let list = |a, b| format!("number,tag\n{a},276000312312345\n{b},276000312312346\n");
    import(&mut herd, &list(1, 2)).unwrap();
    import(&mut herd, &list(2, 1)).unwrap();
    // Renumbered: the old number loses the tag to the new one.
    let imported = import(&mut herd, &list(3, 1)).unwrap();
    let tags: Vec<Option<u64>> = herd
        .animals(imported.herd)
        .unwrap()
        .iter()
        .map(|cow| cow.tag.map(|tag| tag.decimal() % 100))
        .collect();
    assert_eq!(tags, [Some(46), None, Some(45)]);
}

/// Every error names where it is, and leaves the list as it was.
#[test]
fn errors_name_line_and_column_and_import_nothing() {
    let mut herd = Database::in_memory().unwrap();
    let kept = import(&mut herd, "number,name\n312,Berta\n").unwrap().herd;
    let before = herd.animals(kept).unwrap();
    let cases: &[&[u8]] = &[
        b"",
        b"\n\n",
        b"cow,name\n312,Berta\n",
        b"number,Number\n312,313\n",
        b"number,name\n313,Frieda\n31x,Olga\n",
        b"number\n0\n",
        b"number\n1234567890\n",
        b"number,name\n,Olga\n",
        b"number,tag\n313,27600031231234\n",
        b"number,tag\n313,000000312312345\n",
        b"number,born\n313,17/04/2021\n",
        b"number,born\n313,2021-02-29\n",
        b"number,name\n313,Frieda\n314,Olga\n313,Erna\n",
        b"number,tag\n313,276000312312345\n314,276000312312345\n",
        b"number,name\n313,Frieda,Olga\n",
        b"number,name\n313,Fr\xFFeda\n",
        b"\xFF\xFEn\0u\0m\0",
        b"number,born\n313,31.02.2021\n",
        b"number,tag\n313,123000312312345\n",
        b"number,tag\n313,276999999999999\n",
        b"number,official\n313,UK230011300123\n",
        b"number,official\n313,DE0312312345\n314,DE 03 123 12345\n",
        b"number,lactation\n313,31\n",
        b"number,lactation\n313,two\n",
        b"number;group\n313;\"a\n314;b\n",
        // Lines as an editor counts them: CR LF, blank lines, line ends within quotes.
        b"number;name\r\n313;Frieda\r\n31x;Olga\r\n",
        b"number;name\r\n\r\n313;Frieda\r\n;;\r\n\r\n31x;Olga\r\n",
        b"number;name;colour\r\n313;Frieda;\"red\r\nand white\"\r\n31x;Olga;\r\n",
        b"number;name\r313;Frieda\r31x;Olga\r",
        b"number,name\r\n313,Frieda\r\n314,Fr\xFFeda\r\n",
        // All mistakes at once, in the file's order.
        b"number,tag,born,calved,lactation\r\n31x,27600031231234,yesterday,,31\r\n\
          313,276000312312345,2021-04-17,2020-04-17,1\r\n\
          313,276000312312345,2026-02-02,2026-02-01,1\r\n\
          314,,2026-02-01,2026-02-02,1,more\r\n315,,,2027-01-01,\r\n",
    ];
    let mut text = String::new();
    for list in cases {
        // It is the first of February 2026.
        let reading = HowToRead { today: Some(Day(20_485)), ..HowToRead::default() };
        let there = target("Lindenhof");
        let error = import_herd_as(&mut herd, &there, &reading, *list).unwrap_err();
        text.push_str(&format!("{:?}\n  {error}\n", String::from_utf8_lossy(list)));
        assert_eq!(herd.animals(kept).unwrap(), before);
    }
    insta::assert_snapshot!(text);
}

#[test]
fn herds_are_told_apart() {
    let mut herd = Database::in_memory().unwrap();
    let mut try_in = |name: &str, farm, zone: &str| {
        let target = Target { name: name.to_owned(), farm, zone: zone.to_owned() };
        import_herd(&mut herd, &target, "number\n1\n".as_bytes()).map(|imported| imported.herd)
    };
    let first = try_in("Lindenhof", Some(1), "Europe/Berlin").unwrap();
    let second = try_in("Birkenhof", None, "America/Chicago").unwrap();
    assert_ne!(first, second);
    assert_eq!(try_in(" Lindenhof ", None, "Europe/Berlin").unwrap(), first);
    let taken = try_in("Birkenhof", Some(1), "America/Chicago").unwrap_err();
    assert!(matches!(&taken, ImportError::FarmTaken { farm: 1, name } if name == "Lindenhof"));
    assert!(matches!(try_in("Birkenhof", Some(0), "UTC"), Err(ImportError::FarmDigit { farm: 0 })));
    assert!(matches!(try_in("Birkenhof", None, "Moon/Base"), Err(ImportError::Zone { .. })));
    assert!(matches!(try_in(" ", None, "UTC"), Err(ImportError::NoName)));
    let farms: Vec<_> = herd.herds().unwrap().into_iter().map(|one| (one.name, one.farm)).collect();
    assert_eq!(farms, [("Lindenhof".to_owned(), Some(1)), ("Birkenhof".to_owned(), None)]);
}

fn reading(since: i32) -> HowToRead {
    let how = How { since: Some(Day(since)), ..How::default() };
    HowToRead { how, ..HowToRead::default() }
}

/// Headings that are wrong are told together too.
#[test]
fn all_wrong_headings_are_told_at_once() {
    let mut herd = Database::in_memory().unwrap();
    let headings = [("born", "geburt"), ("tag", "chip")];
    let headings = headings.map(|(ours, theirs)| (ours.to_owned(), theirs.to_owned())).into();
    let reading = HowToRead { headings, ..HowToRead::default() };
    let list = &b"nr;name;name\n312;a;b\n"[..];
    let told = import_herd_as(&mut herd, &target("Lindenhof"), &reading, list).unwrap_err();
    let told = told.to_string();
    for part in ["4 mistakes", "`geburt`", "`chip`", "no column `number`", "`name` twice"] {
        assert!(told.contains(part), "{told}");
    }
}

/// A file as a farm's own program writes it: its headings, semicolons, CR LF, Latin-1, dotted days.
#[test]
fn a_file_with_its_own_headings_is_remembered() {
    let mut herd = Database::in_memory().unwrap();
    let list = b"Stallnr;Name;Geburt;Rasse;Lakt;Kalbung;Gruppe;Ohrmarke;Farbe\r\n\
        312;Gr\xFC\xDFe \x80;17.4.2021;HF;2;01.02.2026;trocken;DE 03 123 12345;rot\r\n";
    let pairs = [
        ("number", "Stallnr"),
        ("born", "Geburt"),
        ("breed", "Rasse"),
        ("lactation", "Lakt"),
        ("calved", "Kalbung"),
        ("group", "Gruppe"),
        ("official", "Ohrmarke"),
    ];
    let headings = pairs.map(|(ours, theirs)| (ours.to_owned(), theirs.to_owned())).into();
    let told = HowToRead { encoding: Encoding::Windows1252, headings, ..HowToRead::default() };
    let there = target("Lindenhof");
    let imported = import_herd_as(&mut herd, &there, &told, &list[..]).unwrap();
    assert_eq!(imported.ignored, ["farbe"]);
    let cow = herd.animals(imported.herd).unwrap().remove(0);
    assert_eq!(cow.name.as_deref(), Some("Grüße €"));
    assert_eq!(cow.official.as_deref(), Some("DE0312312345"));
    assert_eq!(cow.born.unwrap().to_string(), "2021-04-17");
    assert_eq!(cow.calved.unwrap().to_string(), "2026-02-01");
    let rest = (cow.breed.as_deref(), cow.lactation, cow.pen.as_deref());
    assert_eq!(rest, (Some("HF"), Some(2), Some("trocken")));

    // The farm's next file is read by the same headings without saying them again.
    let again = HowToRead { encoding: Encoding::Windows1252, ..HowToRead::default() };
    let imported = import_herd_as(&mut herd, &there, &again, &list[..]).unwrap();
    assert_eq!(counts(&imported), (0, 0, 1, 0));
    // Another farm has headings of its own.
    let other = Target { farm: None, ..target("Birkenhof") };
    let refused = import_herd_as(&mut herd, &other, &again, &list[..]).unwrap_err();
    assert!(matches!(refused, ImportError::NoNumber { .. }), "{refused}");
    // A remembered heading that is gone is named, and can be forgotten.
    let plain = b"number\n312\n";
    let gone = import_herd(&mut herd, &there, &plain[..]).unwrap_err();
    let is_first = |all: &[ImportError]| matches!(&all[0], ImportError::NoColumn { heading, .. } if heading == "stallnr");
    assert!(matches!(&gone, ImportError::Several(all) if is_first(all)), "{gone}");
    let headings = pairs.map(|(ours, _)| (ours.to_owned(), String::new())).into();
    let forget = HowToRead { headings, ..HowToRead::default() };
    assert_eq!(
        counts(&import_herd_as(&mut herd, &there, &forget, &plain[..]).unwrap()),
        (0, 0, 1, 0)
    );
    assert_eq!(counts(&import_herd(&mut herd, &there, &plain[..]).unwrap()), (0, 0, 1, 0));
    let twice = [("number", "a"), ("name", "a")];
    let headings = twice.map(|(ours, theirs)| (ours.to_owned(), theirs.to_owned())).into();
    let refused = import_herd_as(
        &mut herd,
        &there,
        &HowToRead { headings, ..HowToRead::default() },
        &b"a\n1\n"[..],
    );
    assert!(matches!(refused, Err(ImportError::MappedTwice { .. })));
    let headings = [("colour".to_owned(), "a".to_owned())].into();
    let refused = import_herd_as(
        &mut herd,
        &there,
        &HowToRead { headings, ..HowToRead::default() },
        &b"a\n1\n"[..],
    );
    assert!(matches!(refused, Err(ImportError::NoField { field }) if field == "colour"));
}

#[test]
fn a_preview_writes_nothing_and_says_what_the_import_does() {
    let mut herd = Database::in_memory().unwrap();
    let there = target("Lindenhof");
    let first = "number,name\n1,Anna\n2,Berta\n3,Cora\n";
    let seen = preview_herd(&herd, &there, first.as_bytes()).unwrap();
    assert_eq!((seen.herd, seen.added), (HerdId(0), 3));
    assert!(herd.herds().unwrap().is_empty());
    let done = import_herd(&mut herd, &there, first.as_bytes()).unwrap();
    let second = "number,name\n1,Anna\n2,Bertha\n4,Dora\n";
    let before = herd.animals(done.herd).unwrap();
    let seen = preview_herd_as(&herd, &there, &reading(100), second.as_bytes()).unwrap();
    assert_eq!(herd.animals(done.herd).unwrap(), before);
    let done = import_herd_as(&mut herd, &there, &reading(100), second.as_bytes()).unwrap();
    assert_eq!(done, seen);
    assert_eq!((done.added, done.changed, done.same, done.left), (1, 1, 1, 1));
    let left = herd.animals(done.herd).unwrap().into_iter().find(|cow| !cow.in_herd).unwrap();
    assert_eq!((left.animal.number(), left.left_on), (3, Some(Day(100))));
    // She comes back.
    let done = import_herd_as(&mut herd, &there, &reading(120), first.as_bytes()).unwrap();
    assert_eq!((done.returned, done.left), (1, 1));
    let all = herd.animals(done.herd).unwrap();
    assert!(all.iter().any(|cow| cow.animal.number() == 3 && cow.in_herd && cow.left_on.is_none()));
}

/// 312 becomes 412, and another cow gets 312. What was keyed before stays each cow's own, and a
/// rebuild from nothing says the same (promise P6).
#[test]
fn p6_renumbered_cows_keep_their_history() {
    use hornrule_facts::Verdict;
    use hornrule_intake::{decide, rebuild};
    use hornrule_kit::{EIGHT, Inspect, LH_OUT, Story, take_in};
    const DAY_MS: u64 = 86_400_000;
    let mut herd = Database::in_memory().unwrap();
    let there = target("Lindenhof");
    let list = |rows: &str| format!("number,tag,born\n{rows}");
    let first = list("312,276000312312345,2021-04-17\n313,276000312312346,2020-01-01\n");
    let farm = import_herd(&mut herd, &there, first.as_bytes()).unwrap().herd;
    let today = i32::try_from(EIGHT / 86_400_000).unwrap();
    let mut story = Story::at_work();
    story.cow(312).find(13, 2, LH_OUT).cow(313).find(19, 1, LH_OUT).left();
    let slip = story.last();
    // Eleven days later they have other numbers.
    story.wait(11 * DAY_MS).cow(412).find(13, 1, LH_OUT).cow(312).find(0, 0, LH_OUT).left();
    take_in(&mut herd, &story);
    let second = list(
        "412,276000312312345,2021-04-17\n312,276000312312999,2024-05-05\n\
         313,276000312312346,2020-01-01\n",
    );
    let new = reading(today + 10);
    let done = import_herd_as(&mut herd, &there, &new, second.as_bytes()).unwrap();
    assert_eq!((done.renumbered, done.added, done.same), (1, 1, 1));
    let findings = |herd: &Database| -> Vec<(i64, i32)> {
        let animals = herd.column("finding", "animal");
        let days = herd.column("finding", "day");
        let pair = |(cow, day): (&String, &String)| {
            (cow.parse().unwrap(), day.parse::<i32>().unwrap() - today)
        };
        animals.iter().zip(&days).map(pair).collect()
    };
    assert_eq!(findings(&herd), [(412, 0), (313, 0), (412, 11), (312, 11)]);
    let before = herd.dump();
    rebuild(&mut herd).unwrap();
    assert_eq!(herd.dump(), before);

    // 313 leaves; her number is given to a heifer on a later day. Her finding stays hers.
    let third =
        list("412,276000312312345,\n312,276000312312999,\n313,276000312312777,2024-07-07\n");
    let done = import_herd_as(&mut herd, &there, &reading(today + 20), third.as_bytes()).unwrap();
    assert_eq!((done.renumbered, done.added), (1, 1));
    assert_eq!(findings(&herd), [(412, 0), (1_000_000_313, 0), (412, 11), (312, 11)]);
    // A number in a decision is that of the record's day.
    let by = hornrule_intake::decide::Signature { who: "A".into(), at_ms: EIGHT, why: "b".into() };
    let (device, log) = (hornrule_kit::DEVICE, hornrule_kit::LOG);
    let finding = hornrule_protocol::Seq(slip.0 - 1);
    decide(&mut herd, &by, &[((device, log, finding), Verdict::Reassign(AnimalId(312)))]).unwrap();
    assert_eq!(findings(&herd)[1], (412, 0));
    let before = herd.dump();
    rebuild(&mut herd).unwrap();
    assert_eq!(herd.dump(), before);
    // New numbers cannot hold from before the last ones on.
    let swap = list("312,276000312312345,\n412,276000312312999,\n");
    let early = import_herd_as(&mut herd, &there, &reading(today + 15), swap.as_bytes());
    assert!(matches!(early, Err(ImportError::TooEarly { .. })));
    // Swapped on the same day as before, it is one step from the first numbers to the last.
    import_herd_as(&mut herd, &there, &reading(today + 20), swap.as_bytes()).unwrap();
    assert_eq!(findings(&herd)[2..], [(312, 11), (412, 11)]);
    assert_eq!(herd.animals(farm).unwrap().iter().filter(|cow| cow.in_herd).count(), 2);
    let before = herd.dump();
    rebuild(&mut herd).unwrap();
    assert_eq!(herd.dump(), before);
}
