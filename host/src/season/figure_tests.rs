//! Figures of the demo's season say their numbers, and are drawn whole.

use std::collections::BTreeMap;

use crate::season;
use crate::season::Season;
use hornrule_facts::{HerdId, Language, LengthUnit};
use hornrule_herd::Database;
use hornrule_papers::plot::{agreement, blocks, gauge, growth, healing};
use hornrule_papers::svg::Sheet;
use hornrule_papers::words::Words;
use hornrule_questions::evidence::{self, Bands, Blocks, Kind};

fn season() -> (Database, Vec<HerdId>) {
    let mut database = Database::in_memory().unwrap();
    season::pour(&Season::of(season::SEED), &mut database).unwrap();
    let herds = database.herds().unwrap().into_iter().map(|one| one.herd).collect();
    (database, herds)
}

/// Well formed enough for a reader of XML, complete in itself, and with its size.
fn sound(sheet: &Sheet, says: &[&str]) {
    let svg = sheet.svg();
    assert!(svg.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"170mm\""), "{svg}");
    assert!(svg.ends_with("</svg>"));
    for word in ["class=", "style=", "href", "script", "url(", "NaN", "inf", "currentcolor"] {
        assert!(!svg.contains(word), "{word} in {}", sheet.title);
    }
    assert_eq!(svg.matches("<text").count(), svg.matches("</text>").count());
    for part in says {
        assert!(svg.contains(part), "{part} is not in {}", sheet.title);
    }
    // Words never leave the sheet at the right: their anchors do not.
    for x in svg.split(" x=\"").skip(1).map(|rest| rest.split('"').next().unwrap()) {
        let x: f64 = x.parse().unwrap();
        assert!((0.0..=680.0).contains(&x), "{x} in {}", sheet.title);
    }
}

#[test]
fn every_answer_has_its_figure() {
    let (database, herds) = season();
    let of_blocks = evidence::blocks(&database, &herds, Blocks::DIFFERENCE, Bands::Drawn).unwrap();
    let of_healing = evidence::healing(&database, &herds, Bands::Drawn).unwrap();
    let of_horn = evidence::growth(&database, &herds, None, &BTreeMap::new()).unwrap();
    let of_agreement = evidence::agreement(&database, &herds).unwrap();
    for language in Language::ALL {
        let words = Words::new(language);
        let sheet = blocks(&of_blocks, "A & B", &words).unwrap();
        assert_eq!(sheet.panels.len(), of_blocks.ways.len());
        let n = of_blocks.ways[0].blocks.to_string();
        sound(&sheet, &["A &amp; B", &n, "399"]);
        for kind in [Kind::Lesion, Kind::Severity, Kind::Action] {
            let sheet = healing(&of_healing, kind, "A", &words).unwrap();
            assert!(sheet.panels.len() > 1, "{kind:?}");
            sound(&sheet, &["Weibull"]);
        }
        let mean = words.decimal(of_horn.growth.told().unwrap().slope.value, 2);
        sound(&growth(&of_horn, "A", &words).unwrap(), &[&mean]);
        sound(&agreement(&of_agreement, "A", &words).unwrap(), &["Bland"]);
        let sheet = gauge(&of_agreement, "A", &words).unwrap();
        assert_eq!(sheet.panels.len(), of_agreement.gauges.len());
        sound(&sheet, &["c0ffee0000000002"]);
    }
}

/// 1 in = 25.4 mm exactly.
#[test]
fn lengths_are_drawn_in_inches_where_asked() {
    let (database, herds) = season();
    let of_horn = evidence::growth(&database, &herds, None, &BTreeMap::new()).unwrap();
    let of_agreement = evidence::agreement(&database, &herds).unwrap();
    let words = Words::new(Language::English).in_unit(LengthUnit::Inch);
    let slope = of_horn.growth.told().unwrap().slope.value / 25.4;
    let sheet = growth(&of_horn, "A", &words).unwrap();
    sound(&sheet, &[&format!("Mean {slope:.3}"), "in per month", "growth, in"]);
    let bias = of_agreement.lengths.iter().find_map(|one| one.between.told()).unwrap().bias.value;
    let sheet = agreement(&of_agreement, "A", &words).unwrap();
    let told = format!("{:.3}", bias.abs() / 25.4);
    sound(&sheet, &["mean of the two, in", &told]);
    let chart = of_agreement.gauges.iter().find_map(|one| one.chart.told()).unwrap();
    let sheet = gauge(&of_agreement, "A", &words).unwrap();
    sound(&sheet, &["reading, in", &format!("mean {:.4} in", chart.centre / 25.4)]);
    for sheet in [growth(&of_horn, "A", &words), gauge(&of_agreement, "A", &words)] {
        assert!(!sheet.unwrap().svg().contains(" mm"));
    }
}
