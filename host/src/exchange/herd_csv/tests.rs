//! Lists as farms send them.

use super::*;

fn target(name: &str) -> Target {
    Target { name: name.to_owned(), farm: Some(1), zone: "Europe/Berlin".to_owned() }
}

fn import(herd: &mut Herd, text: &str) -> Result<Imported, ImportError> {
    import_herd(herd, &target("Lindenhof"), text.as_bytes())
}

fn counts(imported: &Imported) -> (u32, u32, u32, u32) {
    (imported.added, imported.changed, imported.same, imported.left)
}

#[test]
fn a_list_comes_in_and_changes_with_the_next_one() {
    let mut herd = Herd::in_memory().unwrap();
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
    assert_eq!(counts(&import(&mut herd, "number\n314\n").unwrap()), (0, 1, 0, 3));
}

#[test]
fn tags_may_change_cows() {
    let mut herd = Herd::in_memory().unwrap();
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
    let mut herd = Herd::in_memory().unwrap();
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
        b"number,born\n313,17.04.2021\n",
        b"number,born\n313,2021-02-29\n",
        b"number,name\n313,Frieda\n314,Olga\n313,Erna\n",
        b"number,tag\n313,276000312312345\n314,276000312312345\n",
        b"number,name\n313,Frieda,Olga\n",
        b"number,name\n313,Fr\xFFeda\n",
    ];
    let mut text = String::new();
    for list in cases {
        let error = import_herd(&mut herd, &target("Lindenhof"), *list).unwrap_err();
        text.push_str(&format!("{:?}\n  {error}\n", String::from_utf8_lossy(list)));
        assert_eq!(herd.animals(kept).unwrap(), before);
    }
    insta::assert_snapshot!(text);
}

#[test]
fn herds_are_told_apart() {
    let mut herd = Herd::in_memory().unwrap();
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
