//! Drawings are sound, complete in themselves, and say their numbers.

use super::*;

fn sound(svg: &str) {
    assert!(svg.starts_with("<svg xmlns=") && svg.ends_with("</svg>"));
    for word in ["style", "class", "href", "script", "url(", "NaN", "inf"] {
        assert!(!svg.contains(word), "{word} in {svg}");
    }
    assert_eq!(svg.matches("<text").count(), svg.matches("</text>").count());
}

#[test]
fn ticks_are_round_and_reach_over_both_ends() {
    assert_eq!(ticks(0.0, 0.9), [0.0, 0.2, 0.4, 0.6000000000000001, 0.8, 1.0]);
    assert_eq!(ticks(72.0, 84.0), [70.0, 75.0, 80.0, 85.0]);
    for (low, high) in [(0.0, 0.0), (0.0, 1e-9), (5.0, 5.0), (0.0, 1e9), (-3.0, 7.0)] {
        let all = ticks(low, high);
        assert!(all[0] <= low && all[all.len() - 1] >= high && all.len() < 13, "{all:?}");
    }
}

/// Where a text stands, from left to right.
fn places(svg: &str, text: &str) -> Vec<(f64, f64)> {
    let number = |tag: &str, name: &str| {
        let at = tag.split(&format!(" {name}=\"")).nth(1).unwrap().split('"').next().unwrap();
        at.parse::<f64>().unwrap()
    };
    let ends: Vec<&str> = svg.split(&format!(">{text}</text>")).collect();
    let tags = ends[..ends.len() - 1].iter().map(|part| part.rsplit("<text").next().unwrap());
    let mut all: Vec<(f64, f64)> = tags.map(|tag| (number(tag, "x"), number(tag, "y"))).collect();
    all.sort_by(|one, other| one.0.total_cmp(&other.0));
    all
}

/// `DRAWINGS.md`: toes down, heels up; a left foot has its outer claw on the left.
#[test]
fn the_map_is_the_lifted_sole_as_the_trimmer_sees_it() {
    let words = ClawWords {
        left: ["left outer", "right inner"].map(str::to_owned),
        right: ["left inner", "right outer"].map(str::to_owned),
    };
    let named =
        (0..=12).map(|zone| (format!("z{zone}"), format!("name of {zone}"))).collect::<Vec<_>>();
    let report = named_claw_map(&words, &named);
    for svg in [&claw_map(), &report] {
        sound(svg);
        let of = |zone: u8| places(svg, &zone.to_string());
        let middle = places(svg, "0")[0].0;
        for zone in [1, 2, 3, 4, 5, 6, 7, 8, 11, 12] {
            let (left, right) = (of(zone)[0], of(zone)[1]);
            assert!((left.0 + right.0 - 2.0 * middle).abs() < 0.2, "zone {zone} is mirrored");
            assert!((left.1 - right.1).abs() < 0.01, "zone {zone}");
        }
        // From heel to toe: skin, bulb, junction, sole, tip.
        let down: Vec<f64> = [10, 6, 4, 5, 1, 7].map(|zone| of(zone)[0].1).to_vec();
        assert!(down.windows(2).all(|pair| pair[0] < pair[1]), "{down:?}");
        // From the outer wall to the cleft.
        let across: Vec<f64> = [8, 2, 5, 12].map(|zone| of(zone)[0].0).to_vec();
        assert!(across.windows(2).all(|pair| pair[0] < pair[1]), "{across:?}");
    }
    let at = |text: &str| places(&report, text)[0].0;
    let middle = at("0");
    assert!(at("left outer") < middle && middle < at("right outer"));
    assert!(at("right inner") < middle && middle < at("left inner"));
}

#[test]
fn the_ribbon_has_a_mark_for_all_that_is_said() {
    let field = |number: &str| Field { number: number.to_owned(), ..Field::default() };
    let fields = [
        Field { back: Some(1.0), lame: Some("5".to_owned()), new: Some(3), ..field("118") },
        Field { new: Some(1), open: Some(2), blocks: 2, ..field("31") },
        Field { unseen: true, ..field("7") },
        Field { open: Some(2), blocks: 4, vet: true, ..field("<9>") },
    ];
    let svg = ribbon(&fields, 4, (true, true));
    sound(&svg);
    for text in ["118", "31", "7", "5", "4", "!", "&lt;9&gt;"] {
        assert_eq!(places(&svg, text).len(), 1, "{text}");
    }
    // Blocks: two dots, and one with its number. New lesions are filled, and so is a lame back.
    assert_eq!(svg.matches("<circle").count(), 3);
    assert_eq!(svg.matches("Z\" fill=\"currentColor\"").count(), 3);
    // Notches: of new and open lesions alike; a step deeper is a cut deeper.
    for tip in ["57.0", "69.0", "63.0"] {
        assert!(svg.contains(&format!(" {tip} L")), "{tip} in {svg}");
    }
    // Before and after her who was not examined the band ends.
    assert_eq!(svg.matches("fill-opacity=\"0.3\"").count(), 2);
    assert_eq!(svg.matches("stroke-dasharray").count(), 1);
    sound(&ribbon(&[], 20, (true, true)));
    for (cows, each) in [(0, 20), (1, 1), (20, 20), (21, 11), (41, 14), (80, 20), (81, 17)] {
        assert_eq!(piece_of(cows), each, "{cows}");
    }
}

#[test]
fn plots_are_sound_with_much_with_little_and_with_nothing() {
    let percent = |share: f64| format!("{:.0} %", share * 100.0);
    let bar = |share, range| Bar {
        label: "<a> & b".to_owned(),
        share,
        range,
        note: "1 of 3".to_owned(),
        strong: true,
    };
    sound(&bars(&[], percent));
    let svg = bars(&[bar(0.0, (0.0, 1.0)), bar(1.0, (0.2, 1.0))], percent);
    sound(&svg);
    assert!(svg.contains("&lt;a&gt; &amp; b") && svg.contains("1 of 3"));
    let number = |value: f64| format!("{value:.0}");
    let date = |day: i32| day.to_string();
    for points in [
        vec![],
        vec![Point { day: 3, value: 80.0 }],
        vec![Point { day: 3, value: 80.0 }, Point { day: 9, value: 75.5 }],
    ] {
        let series = |name: &str, hollow| {
            let (name, points) = (name.to_owned(), points.clone());
            Series { name, points, hollow }
        };
        sound(&line(&[series("", false)], Some(75.0), number, date));
        let two = line(&[series("before", true), series("after", false)], None, number, date);
        sound(&two);
        // Each point once, and a mark beside each name.
        let marks = if points.is_empty() { 0 } else { 2 * points.len() + 2 };
        assert_eq!(two.matches("<circle").count(), marks);
        assert_eq!(two.matches("fill=\"#fff\"").count() * 2, marks);
    }
    let step = |at, share| Step { at, share, range: (share / 2.0, 1.0) };
    sound(&steps(&[], 0.0, "days", percent));
    sound(&steps(&[step(0.0, 1.0), step(14.0, 0.4)], 60.0, "days", percent));
}

#[test]
fn dots_are_sound_and_write_each_count_once() {
    let percent = |share: f64| format!("{:.0} %", share * 100.0);
    sound(&dots(&[], "cows", percent));
    let dot =
        |at: u64, share| Dot { label: format!("m{at}"), share, of: at, few: at.is_multiple_of(2) };
    let svg = dots(&[dot(31, Some((0.25, (0.1, 0.4)))), dot(1000, None)], "cows", percent);
    sound(&svg);
    assert_eq!(svg.matches(">31</text>").count(), 1);
    assert_eq!((svg.matches("<circle").count(), svg.matches(">1000</text>").count()), (1, 1));
    // Ten years of months: every tenth is labelled.
    let many: Vec<Dot> = (0..120).map(|at| dot(at, Some((0.5, (0.0, 1.0))))).collect();
    let svg = dots(&many, "cows", percent);
    sound(&svg);
    assert_eq!((svg.matches("<circle").count(), svg.matches(">m").count()), (120, 12));
}
