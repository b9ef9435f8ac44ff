//! The demo's season: what was put in comes back inside the intervals.

use std::collections::BTreeMap;

use crate::season;
use crate::season::{Season, truth};
use hornrule_facts::HerdId;
use hornrule_herd::Database;
use hornrule_questions::evidence::{self, Answer, Bands, Blocks};

fn season() -> (Season, Database, Vec<HerdId>) {
    let season = Season::of(season::SEED);
    let mut database = Database::in_memory().unwrap();
    season::pour(&season, &mut database).unwrap();
    let herds = database.herds().unwrap().into_iter().map(|one| one.herd).collect();
    (season, database, herds)
}

/// One seed: at 95 % one interval in twenty may miss, and then the seed says nothing wrong.
/// Coverage over many seeds is tested in `tests/coverage.rs`.
#[test]
fn the_truth_comes_back() {
    let (season, database, herds) = season();
    // Blocks: the share on after 28 days, by way.
    let blocks = evidence::blocks(&database, &herds, Blocks::DIFFERENCE, Bands::Drawn).unwrap();
    assert_eq!(blocks.ways.len(), truth::WAYS.len());
    for (way, put_in) in blocks.ways.iter().zip(truth::WAYS) {
        assert_eq!(way.action, put_in.action);
        let told = way.after_28_days.told().unwrap();
        assert!(told.covers(put_in.still_on(28.0)), "{}: {told:?}", put_in.what);
        let glued = season.truth.blocks.iter().filter(|one| one.way == way.action).count() as u64;
        assert_eq!(way.blocks + way.unseen, glued);
        // The nonparametric curve says the same within its own, wider band.
        let told = way.without_form_after_28_days.told().unwrap();
        assert!(told.covers(put_in.still_on(28.0)), "{}: {told:?}", put_in.what);
    }
    // Way 1 is twice as durable, way 2 nearly the same as the usual one.
    let [first, second] = &blocks.against[..] else { panic!("{:?}", blocks.against) };
    assert!(first.p_holm.unwrap() < 0.05, "{first:?}");
    assert!(second.p_holm.unwrap() > 0.05, "{second:?}");
    assert!(first.sentence.contains("longer than chance"), "{}", first.sentence);
    assert!(second.sentence.contains("No difference is shown"), "{}", second.sentence);
    // Growth.
    let trim_to = herds.iter().map(|herd| (*herd, 76.0)).collect();
    let horn = evidence::growth(&database, &herds, Some(85.0), &trim_to).unwrap();
    let growth = horn.growth.told().unwrap();
    assert!(growth.slope.covers(truth::GROWTH_MEAN), "{growth:?}");
    assert!(growth.spread_between.unwrap().covers(truth::GROWTH_SPREAD), "{growth:?}");
    assert!(horn.doubted > 0 && !horn.passing.is_empty());
    // Stony Ford trims to 82 mm, Larch Meadow to 76: some of hers are below that, none of theirs.
    let (short, measured) = horn.cut_short.unwrap();
    assert!(0 < short && short < measured / 2, "{short} of {measured}");
    // Healing by severity: the median of the Weibull that was put in.
    let healing = evidence::healing(&database, &herds, Bands::Left).unwrap();
    for (grade, word) in [(1, "slight"), (2, "moderate"), (3, "severe")] {
        let group = healing.groups.iter().find(|group| group.what == word).unwrap();
        let median = truth::healing_scale(grade) * 2f64.ln().powf(1.0 / truth::HEALING_SHAPE);
        let told = group.half_healed.told().unwrap();
        assert!(told.covers(median), "{word}: {median} {told:?}");
    }
    // Nothing was put in that heals sooner or later, nor that loses a healed claw.
    let told: Vec<f64> = healing.treated.iter().filter_map(|one| one.p_holm).collect();
    assert!(!told.is_empty() && told.iter().all(|p| *p > 0.05), "{:?}", healing.treated);
    let next = &healing.recurrence;
    assert!(next.claws > 50 && next.again <= next.claws, "{next:?}");
    let area = healing.area.told().unwrap();
    assert!(area.slope.covers(-truth::SHRINK_PER_WEEK), "{area:?}");
    // Agreement.
    let agreement = evidence::agreement(&database, &herds).unwrap();
    let wall = agreement.lengths.iter().find(|one| one.dimension == "dorsal wall length").unwrap();
    let tem = wall.repeat.told().unwrap().tem;
    // Repeats are by both people: the pooled error lies between theirs.
    assert!(tem.high > truth::READING_SD && tem.low < truth::SECOND_SD, "{tem:?}");
    // Handhelds ascend: the trimmer's first, so the difference is hers less the second person's.
    let between = wall.between.told().unwrap();
    assert!(between.bias.covers(-truth::SECOND_BIAS), "{between:?}");
    assert!(agreement.grades[2].told().unwrap().value > 0.5);
    assert!(agreement.gauges.iter().any(|gauge| gauge.chart.told().is_some()));
}

#[test]
fn nothing_said_is_a_reason_not_a_number() {
    let database = Database::in_memory().unwrap();
    let blocks = evidence::blocks(&database, &[], Blocks::DIFFERENCE, Bands::Drawn).unwrap();
    assert!(blocks.ways.is_empty());
    let horn = evidence::growth(&database, &[], None, &BTreeMap::new()).unwrap();
    assert!(matches!(horn.growth, Answer::Refused(_)));
    let healing = evidence::healing(&database, &[], Bands::Left).unwrap();
    assert!(matches!(healing.area, Answer::Refused(_)));
    assert!(evidence::agreement(&database, &[]).unwrap().lengths.is_empty());
}
