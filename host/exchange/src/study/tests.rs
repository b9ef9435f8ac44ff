//! Protocols that can and cannot be, and what a sample always holds to.

use std::sync::OnceLock;

use hornrule_protocol::{AnimalNumber, DeviceId, Foot, HerdNumber, Side};
use proptest::prelude::*;

use super::protocol::Moment;
use super::{Draw, Protocol, StudyError, TEMPLATE, draw, read_protocol, read_sample, sample_table};
use crate::{Target, import_herd};
use hornrule_facts::{AnimalId, Herd, ListedAnimal};
use hornrule_herd::Database;

/// The herd list of a farm: cows 1 to `n`, and one that has left.
fn farm(name: &str, cows: u32) -> (Herd, Vec<ListedAnimal>) {
    let cow = |number: u32, in_herd| {
        let number = AnimalNumber::Herd(HerdNumber::new(number).unwrap());
        let animal = AnimalId::from_number(number).unwrap();
        ListedAnimal { in_herd, ..ListedAnimal::numbered(animal) }
    };
    let mut list: Vec<ListedAnimal> = (1..=cows).map(|number| cow(number, true)).collect();
    list.push(cow(500, false));
    (listed(name), list)
}

/// A herd can only be had from a database; one is enough.
fn listed(name: &str) -> Herd {
    static ONE: OnceLock<Herd> = OnceLock::new();
    let one = ONE.get_or_init(|| {
        let mut herd = Database::in_memory().unwrap();
        let target = Target { name: "x".to_owned(), farm: Some(1), zone: "UTC".to_owned() };
        import_herd(&mut herd, &target, "number\n1\n".as_bytes()).unwrap();
        herd.herds().unwrap().remove(0)
    });
    Herd { name: name.to_owned(), ..one.clone() }
}

fn template() -> Protocol {
    read_protocol(TEMPLATE).unwrap()
}

#[test]
fn the_template_is_a_sound_protocol() {
    let protocol = template();
    assert_eq!(protocol.days.0.to_string(), "2026-03-01");
    assert_eq!((protocol.seed, protocol.repeats), (20_260_301, 2));
    assert_eq!(protocol.moments, [Moment::Before]);
    assert_eq!((protocol.cows, protocol.claws.len(), protocol.claws_each), (Some(10), 4, 2));
    // Two claws, one dimension, two observers, one moment, two repeats.
    assert_eq!(protocol.readings_each(), 8);
    assert_eq!(protocol.observer(DeviceId(0xc0ff_ee00_0000_0002)).unwrap().code, "B");
    assert_eq!(protocol.observer(DeviceId(3)), None);
    assert_eq!(protocol.text, TEMPLATE);
}

#[test]
fn what_is_left_out_has_its_meaning() {
    let text = TEMPLATE
        .lines()
        .filter(|line| !line.starts_with("cows") && !line.starts_with("claws-each"))
        .filter(|line| !line.starts_with("landmarks") && !line.starts_with("question"))
        .collect::<Vec<_>>()
        .join("\n");
    let protocol = read_protocol(&text).unwrap();
    assert_eq!((protocol.cows, protocol.claws_each, protocol.question), (None, 4, None));
    assert_eq!(protocol.dimensions[0].landmarks, protocol.dimensions[0].dimension.landmarks);
    let one = text.replace("[[observer]]\ncode = \"B\"\nhandheld = \"c0ffee0000000002\"\n", "");
    let one = one.replace("handheld = \"c0ffee0000000001\"\n", "");
    let protocol = read_protocol(&one).unwrap();
    assert_eq!(protocol.observer(DeviceId(3)).unwrap().code, "A", "one observer has all readings");
}

#[test]
fn mistakes_name_their_line() {
    let cases = [
        ("format = 1\n", "format = 2\n"),
        ("format = 1\n", ""),
        ("format = 1\n", "format = 1\nfromat = 1\n"),
        ("from = 2026-03-01", "from = 2026-02-30"),
        ("from = 2026-03-01", "from = 2026-03-01T10:00:00Z"),
        ("from = 2026-03-01", "from = \"2026-03-01\""),
        ("from = 2026-03-01", "from = 2026-04-01"),
        ("seed = 20260301", "seed = -1"),
        ("seed = 20260301", "seed = 9007199254740992"),
        ("repeats = 2", "repeats = 0"),
        ("repeats = 2", "repeats = \"two\""),
        ("moment = \"before\"", "moment = \"during\""),
        ("blinding = \"", "blinding = \"\" # "),
        ("cows = 10", "cows = 0"),
        ("claws-each = 2", "claws-each = 5"),
        ("\"LH medial\"", "\"LH middle\""),
        ("\"LH medial\"", "\"LH lateral\""),
        ("claws = [\"LH lateral\", \"LH medial\", \"RH lateral\", \"RH medial\"]", "claws = []"),
        ("[[herd]]\nname = \"Alder Brook\"", "[[herd]]\nname = \" \""),
        ("code = \"B\"", "code = \"A\""),
        ("handheld = \"c0ffee0000000002\"", "handheld = \"c0ffee0000000001\""),
        ("handheld = \"c0ffee0000000002\"", ""),
        ("handheld = \"c0ffee0000000002\"", "handheld = \"c0ffee\""),
        ("name = \"dorsal wall length\"", "name = \"gauge block\""),
        ("name = \"Dorsal wall length, two observers\"", "name = \"two\\nlines\""),
        ("[sample]", "[sample"),
        ("[sample]", "[sample]\ncow = 3"),
    ];
    let told: Vec<String> = cases
        .iter()
        .map(|(old, new)| {
            assert!(TEMPLATE.contains(old), "{old}");
            read_protocol(&TEMPLATE.replacen(old, new, 1)).unwrap_err().to_string()
        })
        .collect();
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn a_list_that_is_too_short_is_refused() {
    let told = draw(&template(), &[farm("Alder Brook", 9)]).unwrap_err();
    assert!(matches!(told, StudyError::FewCows { listed: 9, wanted: 10, .. }), "{told}");
    assert!(draw(&template(), &[farm("Alder Brook", 10)]).is_ok());
}

#[test]
fn one_herds_list_does_not_touch_another_herds_sample() {
    let protocol = template();
    let of = |lists: &[_]| -> Vec<Draw> {
        let all = draw(&protocol, lists).unwrap();
        all.into_iter().filter(|one| one.herd == "Beech Hill").collect()
    };
    let (alder, beech) = (farm("Alder Brook", 12), farm("Beech Hill", 30));
    let alone = of(std::slice::from_ref(&beech));
    assert_eq!(of(&[alder, beech.clone()]), alone);
    assert_eq!(of(&[beech, farm("Alder Brook", 20)]), alone);
}

proptest! {
    /// For any sizes: every cow once, every claw, repeat, observer and dimension as often as the
    /// protocol says, nobody repeats a claw at once, and the same seed gives the same.
    #[test]
    fn a_sample_holds_what_the_protocol_says(
        seed in 0u64..1 << 53,
        cows in 1u32..12,
        each in 1usize..=4,
        repeats in 1u8..4,
        people in 1usize..=2,
    ) {
        let mut protocol = template();
        protocol.seed = seed;
        protocol.cows = None;
        protocol.claws_each = each;
        protocol.repeats = repeats;
        protocol.observers.truncate(people);
        protocol.moments = vec![Moment::Before, Moment::After];
        let lists = [farm("Alder Brook", cows)];
        let draws = draw(&protocol, &lists).unwrap();
        prop_assert_eq!(&draws, &draw(&protocol, &lists).unwrap());
        prop_assert_eq!(draws.len(), protocol.readings_each() * cows as usize);
        let mut hers = std::collections::BTreeMap::new();
        for one in &draws {
            prop_assert!(one.cow.number() < 500, "she has left");
            let key = (one.cow_order, one.cow);
            let slot = (one.moment, one.repeat, one.observer.clone(), one.claw, one.dimension);
            prop_assert!(hers.entry(key).or_insert_with(std::collections::BTreeSet::new).insert(slot));
        }
        prop_assert_eq!(hers.len(), cows as usize, "each cow has one place in the order");
        for slots in hers.values() {
            let claws: std::collections::BTreeSet<_> = slots.iter().map(|slot| slot.3).collect();
            prop_assert_eq!(claws.len(), each);
        }
        for two in draws.windows(2) {
            let again = two[0].cow == two[1].cow
                && two[0].observer == two[1].observer
                && two[0].claw == two[1].claw;
            prop_assert!(!again || each == 1, "{:?}", two);
        }
        let table = sample_table(&protocol, &draws);
        prop_assert_eq!(&read_sample(&protocol, &table.csv().unwrap()).unwrap(), &draws);
        prop_assert_eq!(table.rows.len(), draws.len());
        prop_assert!(table.rows.iter().all(|row| row.len() == table.columns.len()));
    }
}

proptest! {
    /// P8: no text panics, whatever a slip or a fault of the disk makes of a protocol or a sample.
    #[test]
    fn no_text_panics(at in 0usize..2000, with in ".{0,12}", bytes in any::<Vec<u8>>()) {
        let at = (at..TEMPLATE.len()).find(|at| TEMPLATE.is_char_boundary(*at)).unwrap_or(0);
        let (before, after) = TEMPLATE.split_at(at);
        for text in [format!("{before}{with}{after}"), format!("{before}{with}"), with.clone()] {
            if let Err(error) = read_protocol(&text) {
                prop_assert!(error.to_string().starts_with("line "), "{}", error);
            }
        }
        let protocol = template();
        let sample = sample_table(&protocol, &draw(&protocol, &[farm("Alder Brook", 10)]).unwrap());
        let sample = sample.csv().unwrap();
        let cut = at.min(sample.len());
        for text in [bytes.clone(), [&sample[..cut], &bytes].concat()] {
            if let Err(error) = read_sample(&protocol, &text) {
                prop_assert!(error.to_string().starts_with("line "), "{}", error);
            }
        }
    }
}

#[test]
fn a_sample_of_another_protocol_is_refused() {
    let protocol = template();
    let draws = draw(&protocol, &[farm("Alder Brook", 10)]).unwrap();
    let text = String::from_utf8(sample_table(&protocol, &draws).csv().unwrap()).unwrap();
    let line = |at: usize| text.lines().nth(at).unwrap().to_owned();
    let told: Vec<String> = [
        text.replacen("order", "place", 1),
        text.replacen("before", "after", 1),
        text.replacen("Alder Brook", "Beech Hill", 1),
        text.replacen(",B,", ",C,", 1),
        text.replacen(",RH,", ",RF,", 1),
        text.replacen(",1,dorsal", ",2,dorsal", 1),
        text.replacen(&(line(1) + "\n"), "", 1),
        text.replacen("medial", "", 1),
        text.replacen(&line(2), "2,Alder Brook", 1),
        String::new(),
    ]
    .iter()
    .map(|text| read_sample(&protocol, text.as_bytes()).unwrap_err().to_string())
    .collect();
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn a_claw_is_named_as_people_write_it() {
    let claws = template().claws;
    assert_eq!((claws[0].foot, claws[0].side), (Foot::LeftHind, Side::Lateral));
    assert_eq!((claws[3].foot, claws[3].side), (Foot::RightHind, Side::Medial));
}
