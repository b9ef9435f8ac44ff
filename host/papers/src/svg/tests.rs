//! Drawings are sound, complete in themselves, and say their numbers.

use hornrule_protocol::{Foot, Side};

use super::*;
use hornrule_questions::visit::Spot;

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

#[test]
fn the_map_puts_outer_claws_outside_and_prints_every_count() {
    let spot = |foot, side, zone, count| Spot { foot, side, zone, count };
    let spots = [
        spot(Foot::LeftHind, Some(Side::Lateral), 4, 17),
        spot(Foot::RightHind, Some(Side::Lateral), 4, 13),
        spot(Foot::RightHind, None, 10, 11),
    ];
    let svg = claw_map(&spots, |foot| foot.letters().to_owned(), |side| side.name().to_owned());
    sound(&svg);
    let x = |count: &str| {
        let before = svg.split(&format!(">{count}</text>")).next().unwrap();
        let at = before.rsplit("<text x=\"").next().unwrap().split('"').next().unwrap();
        at.parse::<f64>().unwrap()
    };
    let half = x("LF") * 2.0;
    // Left and right hind mirror each other about the middle of the drawing.
    assert!((x("17") + x("13") - 2.0 * half).abs() < 0.2, "{} {}", x("17"), x("13"));
    assert!(x("17") < x("LF") && x("13") > x("RF"));
    assert!((x("11") - x("RF")).abs() < 0.1);
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
