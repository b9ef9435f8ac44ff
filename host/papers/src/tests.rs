//! The report of an invented day, whole, as people read it.

use hornrule_protocol::record::UnitMode;
use hornrule_protocol::{AnimalNumber, DeviceId, HerdNumber, Nanometres, Place, Side};

use crate::visit::{EVERY_FOOT, render_html, render_terminal};
use crate::words::Words;
use crate::{cow as cow_page, vet, visit};
use hornrule_facts::{AnimalId, Day, FarmSettings, HerdId, Language, LengthUnit, Paper, Practice};
use hornrule_herd::Database;
use hornrule_intake::rules::RULES;
use hornrule_intake::{GaugeBlock, set_gauge};
use hornrule_kit::{DEVICE, EIGHT, LH, LH_IN, LH_OUT, RH, RH_OUT, Story, take_in, two_farms};
use hornrule_questions::cow::CowHistory;
use hornrule_questions::vet::VetLetter;
use hornrule_questions::visit::{VisitReport, list_visits};

/// A day at Lindenhof: a sole ulcer with a block, dermatitis, a dying toe, a sound cow, a slip.
fn day() -> (Database, HerdId, Day) {
    let (mut herd, farm) = two_farms();
    let gauge = GaugeBlock { size: Nanometres::from_mm(75), tolerance: None };
    set_gauge(&mut herd, DEVICE, Some(gauge)).unwrap();
    let mut story = Story::at_work();
    story.read(0, 7501, Place::Cow);
    story.cow(312).score(1, 3).read(1, 8412, LH_OUT).read(1, 8010, LH_IN);
    story.act(30, LH_OUT).act(30, LH_IN).read(1, 7688, LH_OUT).read(1, 7702, LH_IN);
    story.find(13, 2, LH_OUT).find(19, 1, LH_OUT).act(31, LH_OUT).act(32, LH_OUT).act(10, LH_IN);
    story.find(31, 2, RH).act(60, RH).act(21, RH);
    story.cow(313).find(16, 3, RH_OUT).act(80, Place::Cow);
    story.cow(351).find(0, 0, LH).act(33, LH).again_in(30, LH);
    story.cow(352).find(31, 0, LH).clip(1, 76_200_000, LH_OUT, UnitMode::Inch);
    story.fault().fault().read(1, 30_000, LH_OUT).left();
    take_in(&mut herd, &story);
    let day = list_visits(&herd).unwrap()[0].1;
    (herd, farm, day)
}

fn report() -> VisitReport {
    let (herd, farm, day) = day();
    VisitReport::gather(&herd, farm, day).unwrap().unwrap()
}

#[test]
fn visits_are_listed() {
    let (herd, farm, day) = day();
    assert_eq!(day.to_string(), "2026-03-02");
    assert_eq!(i64::from(day.0), EIGHT / 86_400_000);
    assert_eq!(list_visits(&herd).unwrap(), [(farm, day, 4)]);
    assert!(VisitReport::gather(&herd, HerdId(99), day).unwrap().is_none());
}

#[test]
fn the_numbers_add_up() {
    let report = report();
    let summary = report.summary;
    assert_eq!((summary.cows, summary.listed), (4, Some((3, 3))));
    assert_eq!((summary.claws_trimmed, summary.blocks), (2, 1));
    assert_eq!((summary.scored, summary.lame), (1, 1));
    let classes = summary.classes;
    assert_eq!((classes.new, classes.open, classes.sound, classes.not_examined), (2, 0, 2, 0));
    // Healed dermatitis and "sound" are no lesions.
    let lesions: Vec<_> =
        report.lesions.iter().map(|line| (line.lesion.letters, line.cows, line.places)).collect();
    assert_eq!(lesions, [("SU", 1, 1), ("TN", 1, 1), ("HHE", 1, 1), ("DD", 1, 1)]);
    let wall = &report.lengths[0];
    let before = wall.before.unwrap();
    assert_eq!((before.readings, before.median), (3, Nanometres(80_100_000)));
    assert_eq!(wall.after.unwrap().median, Nanometres(76_950_000));
    assert_eq!(report.unchecked_readings, 0);
}

#[test]
fn terminal() {
    let text = render_terminal(&report());
    for line in text.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    insta::assert_snapshot!(text);
}

#[test]
fn html() {
    let page = render_html(&report());
    for word in ["<script", "https:", "url(", "@import", "src="] {
        assert!(!page.contains(word), "the page says {word}");
    }
    insta::assert_snapshot!(page);
}

#[test]
fn names_are_written_as_text() {
    let (mut herd, farm, day) = day();
    hornrule_kit::import(&mut herd, "Lindenhof", 1, "number,tag,name\n312,,<script>\n");
    let page = render_html(&VisitReport::gather(&herd, farm, day).unwrap().unwrap());
    assert!(page.contains("&lt;script&gt;") && !page.contains("<script>"));
}

#[test]
fn a_day_without_a_visit_is_an_empty_report() {
    let (herd, farm, day) = day();
    let report = VisitReport::gather(&herd, farm, day.plus(1)).unwrap().unwrap();
    assert_eq!(report.summary.cows, 0);
    assert!(render_terminal(&report).contains("No cow was recorded on this day."));
    assert!(render_html(&report).contains("No cow was recorded on this day."));
}

/// The report of the same day with an earlier visit, in German, inches and on letter paper.
fn second() -> VisitReport {
    let (mut herd, farm, day) = day();
    let settings = FarmSettings {
        language: Language::German,
        unit: LengthUnit::Inch,
        paper: Paper::Letter,
        target: Some(Nanometres(76_900_000)),
        ..FarmSettings::default()
    };
    herd.set_farm_settings(farm, &settings).unwrap();
    let mut story = Story::of(DeviceId(0xF00D_0000_0000_0002));
    story.start().clock(EIGHT + 14 * 86_400_000).visit(1);
    story.cow(312).act(50, LH_OUT).find(0, 0, LH_OUT).cow(313).find(13, 1, RH_OUT).left();
    take_in(&mut herd, &story);
    VisitReport::gather(&herd, farm, day.plus(14)).unwrap().unwrap()
}

#[test]
fn an_earlier_visit_is_looked_back_on() {
    let report = second();
    assert_eq!(report.earlier.len(), 1);
    let (then, now) = (&report.earlier[0], &report.summary);
    assert_eq!((then.classes.of(), then.classes.with_lesion()), (4, 2));
    // 312's ulcer was healed and her foot found sound; her dying toe and her dermatitis nobody saw
    // healed. 313 has an ulcer beside her heel.
    assert_eq!((now.cows, now.classes.of(), now.classes.with_lesion()), (2, 2, 2));
    insta::assert_snapshot!(render_terminal(&report));
}

#[test]
fn claws_shorter_than_the_target_are_named() {
    let (mut herd, farm, day) = day();
    let settings = FarmSettings { target: Some(Nanometres(77_000_000)), ..FarmSettings::default() };
    herd.set_farm_settings(farm, &settings).unwrap();
    let report = VisitReport::gather(&herd, farm, day).unwrap().unwrap();
    let short: Vec<_> =
        report.short.iter().map(|one| (one.name.animal.number(), one.length)).collect();
    assert_eq!(short, [(312, Nanometres(76_880_000))]);
    assert_eq!(report.walls_after, 2);
    assert!(render_terminal(&report).contains("Cow 312 Berta, LH outer: 76.9"));
}

#[test]
fn spots_count_claws_and_feet_at_their_zones() {
    let report = report();
    let spots: Vec<_> = report
        .spots
        .iter()
        .map(|spot| (spot.foot.letters(), spot.side.map(Side::name), spot.zone, spot.count))
        .collect();
    assert_eq!(
        spots,
        [
            ("LH", Some("lateral"), 4, 1),
            ("LH", Some("lateral"), 6, 1),
            ("RH", None, 10, 1),
            ("RH", Some("lateral"), 1, 1)
        ]
    );
}

#[test]
fn csv() {
    let report = report();
    let page = visit::page(&report, &Words::of(&report.settings), report.settings.paper);
    insta::assert_snapshot!(page.render_csv(EVERY_FOOT).unwrap());
}

/// Every rule and every word for a decision has words in each language: nothing of a page is left
/// in another one.
#[test]
fn every_rule_has_words() {
    for language in Language::ALL {
        let words = Words::new(language);
        for rule in RULES {
            assert!(words.rule(rule.id).is_some(), "{} in {language:?}", rule.id);
        }
        for word in ["accepted", "corrected", "reassigned", "discarded"] {
            assert!(words.rule(word).is_some(), "{word} in {language:?}");
        }
    }
}

#[cfg(feature = "pdf")]
#[test]
fn pdf_is_the_same_from_run_to_run_in_both_languages() {
    for report in [report(), second()] {
        let page = visit::page(&report, &Words::of(&report.settings), report.settings.paper);
        let bytes = page.render_pdf().unwrap();
        assert_eq!(bytes, page.render_pdf().unwrap());
    }
}

/// Cow 312 on two days, with a lesion measured on both.
fn cow() -> CowHistory {
    let (mut herd, farm, _) = day();
    let mut story = Story::of(DeviceId(0xF00D_0000_0000_0002));
    story.start().clock(EIGHT + 14 * 86_400_000).visit(1);
    story.cow(312).read(8, 2000, LH_OUT).read(9, 1000, LH_OUT).find(13, 2, LH_OUT);
    story.read(1, 7900, LH_OUT).left();
    story.start().clock(EIGHT + 28 * 86_400_000).visit(1);
    story.cow(312).read(8, 1000, LH_OUT).read(9, 1000, LH_OUT).act(51, LH_OUT).left();
    take_in(&mut herd, &story);
    CowHistory::gather(&herd, farm, AnimalId::from_number(herd_number(312)).unwrap())
        .unwrap()
        .unwrap()
}

fn herd_number(number: u32) -> AnimalNumber {
    AnimalNumber::Herd(HerdNumber::new(number).unwrap())
}

#[test]
fn a_cows_history_has_her_days_walls_and_areas() {
    let cow = cow();
    assert_eq!(cow.days.len(), 3);
    // 20 x 10 mm and 10 x 10 mm as ellipses: 157.08 and 78.54 mm².
    let areas = cow_page::areas(&cow);
    let rounded: Vec<f64> = areas[0].1.iter().map(|(_, area)| (area * 100.0).round()).collect();
    assert_eq!((areas.len(), rounded), (1, vec![15_708.0, 7_854.0]));
    // Before and after trimming on the first day; on the second nothing was trimmed.
    let outer = cow.walls.values().find(|walls| walls.days() == 2).unwrap();
    let lengths =
        |points: &[(Day, Nanometres)]| points.iter().map(|one| one.1.0).collect::<Vec<_>>();
    assert_eq!(lengths(&outer.before), [84_120_000, 79_000_000]);
    assert_eq!(lengths(&outer.after), [76_880_000]);
    // A week after her last visit.
    let today = cow.days.last().unwrap().day.plus(7);
    let page = cow_page::page(&cow, &Words::new(Language::English), Paper::A4, today);
    insta::assert_snapshot!(page.render_terminal());
    assert!(
        cow_page::page(&cow, &Words::new(Language::German), Paper::A4, today)
            .render_html()
            .contains("<svg")
    );
}

/// Found, measured twice, healed, and found again in the same place: two lines, with nothing drawn
/// between.
#[test]
fn the_line_of_an_area_is_broken_where_the_lesion_healed() {
    let (mut herd, farm) = two_farms();
    let mut story = Story::at_work();
    story.cow(312).find(13, 2, LH_OUT).read(8, 2000, LH_OUT).read(9, 1000, LH_OUT);
    let mut visit = |days: i64| {
        story.start().clock(EIGHT + days * 86_400_000).visit(1).cow(312);
        match days {
            28 => story.act(50, LH_OUT),
            42 => story.find(13, 1, LH_OUT).read(8, 1500, LH_OUT).read(9, 1000, LH_OUT),
            _ => story.act(51, LH_OUT).read(8, 1000, LH_OUT).read(9, 500, LH_OUT),
        };
    };
    [14, 28, 42, 56].into_iter().for_each(&mut visit);
    take_in(&mut herd, &story);
    let cow = AnimalId::from_number(herd_number(312)).unwrap();
    let history = CowHistory::gather(&herd, farm, cow).unwrap().unwrap();
    let areas = cow_page::areas(&history);
    let days = |at: usize| -> Vec<i32> {
        areas[at].1.iter().map(|(day, _)| day.0 - history.days[0].day.0).collect()
    };
    assert_eq!((areas.len(), days(0), days(1)), (2, vec![0, 14], vec![42, 56]));
    let seen = history.days.last().unwrap().day;
    let page = cow_page::page(&history, &Words::new(Language::English), Paper::A4, seen);
    let text = page.render_terminal().replace('\n', " ");
    assert!(text.contains("healed 30 Mar 2026"), "{text}");
    // Each case is a line of its own: a path that begins anew.
    assert_eq!(page.render_html().matches("fill=\"none\" stroke=\"#").count(), 2);
}

#[test]
fn a_cow_that_nobody_knows_has_no_history() {
    let (herd, farm, _) = day();
    let nobody = AnimalId::from_number(herd_number(999)).unwrap();
    assert!(CowHistory::gather(&herd, farm, nobody).unwrap().is_none());
    let silent = AnimalId::from_number(herd_number(1)).unwrap();
    assert!(CowHistory::gather(&herd, HerdId(99), silent).unwrap().is_none());
}

#[test]
fn the_vet_reads_of_referred_cows_only() {
    let (herd, farm, day) = day();
    let letter = VetLetter::gather(&herd, farm, day).unwrap().unwrap();
    let phone = "+44 1632 960123".to_owned();
    let practice =
        Practice { name: "Claw trimming at the ford".to_owned(), phone, ..Practice::default() };
    let words = Words::of(&letter.report.settings);
    let page = vet::page(&letter, &practice, &words, Paper::A4).render_terminal();
    assert!(page.contains("Cow 313 Frieda") && !page.contains("312 Berta"));
    assert!(page.contains("Phone +44 1632 960123") && !page.contains("grinder"));
    insta::assert_snapshot!(page);
    assert_eq!(vet::json(&letter)["cows"].as_array().unwrap().len(), 1);
}

/// A long day at Lindenhof: 60 cows, with an earlier visit. Of each six one has an ulcer with a
/// block, one dermatitis, one is seen again; the other three are trimmed and measured.
fn long_day(settings: &FarmSettings) -> VisitReport {
    let (mut herd, farm) = two_farms();
    let list: Vec<String> = (1001..=1060).map(|number| number.to_string()).collect();
    let list = format!("number\n{}\n", list.join("\n"));
    hornrule_kit::import(&mut herd, "Lindenhof", 1, &list);
    herd.set_farm_settings(farm, settings).unwrap();
    let mut story = Story::at_work();
    for number in (1001..=1060).filter(|number| number % 6 == 2) {
        story.cow(number).find(13, 2, LH_OUT).act(31, LH_OUT).act(10, LH_IN);
    }
    story.left().start().clock(EIGHT + 14 * 86_400_000).visit(1).read(0, 7501, Place::Cow);
    for number in 1001..=1060u32 {
        story.cow(number).score(1, 1 + (number % 4) as u8);
        for claw in [LH_OUT, LH_IN, RH_OUT] {
            story.read(1, 8400 + (number % 50) as i32, claw).act(30, claw);
            story.read(1, 7600 + (number % 30) as i32, claw);
        }
        match number % 6 {
            0 => {
                story.find(13, 1 + (number % 3) as u8, RH_OUT).act(31, RH_OUT).act(32, RH_OUT);
                story.read(8, 1800, RH_OUT).read(9, 900, RH_OUT).again_in(14, Place::Cow);
            }
            1 => {
                story.find(31, 2, RH).act(61, RH).act(21, RH).again_in(14, Place::Cow);
            }
            2 => {
                story.act(42, LH_IN).act(51, LH_OUT).act(10, LH_IN).again_in(14, Place::Cow);
            }
            _ => {}
        }
    }
    story.left();
    take_in(&mut herd, &story);
    let day = list_visits(&herd).unwrap()[0].1;
    VisitReport::gather(&herd, farm, day).unwrap().unwrap()
}

/// Page objects of a PDF, which stand in it as plain text.
#[cfg(feature = "pdf")]
fn sheets(pdf: &[u8]) -> usize {
    let text = String::from_utf8_lossy(pdf);
    text.matches("/Type/Page").count() - text.matches("/Type/Pages").count()
}

/// Nobody reads more of one visit. German words on letter paper need the most room.
#[cfg(feature = "pdf")]
#[test]
fn sixty_cows_fit_on_four_sheets() {
    let (language, paper) = (Language::German, Paper::Letter);
    let report = long_day(&FarmSettings { language, paper, ..FarmSettings::default() });
    assert_eq!((report.summary.cows, report.earlier.len()), (60, 1));
    assert!(report.due.len() > 30);
    let pdf = visit::page(&report, &Words::of(&report.settings), paper).render_pdf().unwrap();
    let sheets = sheets(&pdf);
    assert!((2..=4).contains(&sheets), "{sheets} sheets");
}
