//! The page of a farm over time, from a story small enough to be counted by hand.

use jiff::civil::date;

use super::*;
use hornrule_facts::{Day, FarmSettings, HerdId, Language, LengthUnit, Paper};
use hornrule_herd::{Database, Span};
use hornrule_kit::{EIGHT, LH, LH_IN, LH_OUT, RH, RH_OUT, Story, take_in, two_farms};

const DAY_MS: i64 = 86_400_000;

fn day(month: i8, day: i8) -> Day {
    Day::from_date(date(2026, month, day))
}

/// Two visits at Lindenhof: an ulcer with a block, healed at the second; dermatitis; a sound cow.
fn told(settings: &FarmSettings) -> FarmTrend {
    let (mut herd, farm): (Database, HerdId) = two_farms();
    herd.set_farm_settings(farm, settings).unwrap();
    let mut story = Story::at_work();
    story.cow(312).score(1, 3).act(30, LH_OUT).act(30, LH_IN).find(13, 2, LH_OUT);
    story.act(31, LH_OUT).act(10, LH_IN).cow(313).score(1, 1).act(30, RH_OUT).find(31, 2, RH);
    story.cow(351).act(30, LH_OUT).find(0, 0, LH).left();
    story.start().clock(EIGHT + 14 * DAY_MS).visit(1);
    story.cow(312).act(40, LH_IN).act(50, LH_OUT).left();
    story.start().clock(EIGHT + 42 * DAY_MS).visit(1);
    story.cow(312).act(42, LH_IN).act(30, LH_OUT).find(13, 1, LH_OUT).left();
    take_in(&mut herd, &story);
    let (from, through) = (day(1, 1), day(12, 31));
    FarmTrend::gather(&herd, farm, Span { from, through }).unwrap().unwrap()
}

#[test]
fn a_story_is_told_whole() {
    let trend = told(&FarmSettings::default());
    assert_eq!((trend.whole.new, trend.whole.again), (2, 1));
    assert_eq!((trend.blocks.ways[0].blocks, trend.blocks.ways[0].lost), (1, 1));
    let text = page(&trend, &Words::of(&trend.settings), Paper::A4).render_terminal();
    assert!(text.lines().all(|line| line.chars().count() <= 80), "{text}");
    insta::assert_snapshot!("english", text);
    let json = super::json(&trend);
    assert_eq!(json["months"][0]["cows_with_lesion_of_examined"]["refused"], "fewer than 5 cows");
    assert_eq!(json["months"][1]["month"], "2026-04");
    // Slight, found last and not seen again; then moderate.
    assert_eq!(json["healing"]["groups"][0]["unseen"], 1);
    assert_eq!(json["healing"]["groups"][1]["healed"], 1);
}

#[test]
fn german_on_letter_paper() {
    let settings = FarmSettings {
        language: Language::German,
        unit: LengthUnit::Inch,
        paper: Paper::Letter,
        ..FarmSettings::default()
    };
    let trend = told(&settings);
    let page = super::page(&trend, &Words::of(&trend.settings), trend.settings.paper);
    insta::assert_snapshot!("german", page.render_terminal());
    insta::assert_snapshot!("every_lesion", page.render_csv("every_lesion").unwrap());
    let html = page.render_html();
    assert!(html.contains("size: letter") && html.contains("<html lang=\"de\">"));
    let body = html.split("<body>").nth(1).unwrap();
    insta::assert_snapshot!("html", body.replace("><", ">\n<"));
}

#[test]
fn days_without_a_visit_are_said() {
    let (herd, farm) = two_farms();
    let days = Span { from: day(5, 1), through: day(5, 31) };
    let trend = FarmTrend::gather(&herd, farm, days).unwrap().unwrap();
    let page = super::page(&trend, &Words::new(Language::English), Paper::A4).render_terminal();
    assert!(page.contains("No cow was recorded in the chute in this period."), "{page}");
}
