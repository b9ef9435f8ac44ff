//! What a day costs in presses: the tables of `firmware/core/SENTENCES.md`, played.
//!
//! ```text
//! SENTENCES.md --+--> a day in long words  --virtual handheld--> flash --what it says of each claw--+
//!                +--> the same in short ones --virtual handheld--> flash --what it says of each claw--+--> alike
//!                +--> and without bundles -----virtual handheld--> flash --what it says of each claw--+
//! ```
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::collections::BTreeSet;

use hornrule_board_sim::{Handheld, Identity, Played, Player, Story};
use hornrule_core::cue::Family;
use hornrule_core::log::Log;
use hornrule_protocol::codes::About;
use hornrule_protocol::record::Done;
use hornrule_protocol::{Claw, DeviceId, Entry, Foot, LogId, Place, Record, Seq, Side, open};
use hornrule_testkit::day::{PAGE, Words, kinds, story, table};
use hornrule_testkit::flash::Flash;

const IDENTITY: Identity = Identity { device: DeviceId(1), fresh_log: LogId(2) };

/// Plays it; gives the handheld's records. No press is refused.
fn played(story: &str) -> Vec<Record> {
    let story: Story = story.parse().unwrap();
    let mut handheld = Handheld::new(Flash::<1024>::blank(96), IDENTITY, 0);
    let mut player = Player::new(1);
    for line in &story.lines {
        let played = player.play(&mut handheld, line);
        assert_eq!(played.unwrap(), Played::Done);
    }
    let refused =
        handheld.heard().iter().filter(|heard| heard.cue.family() == Family::NotDone).count();
    assert_eq!(refused, 0);
    handheld.power_off();
    let mut log = Log::mount(handheld.flash().unwrap().clone(), LogId(99)).ok().unwrap();
    let mut records = Vec::new();
    let mut from = Seq::FIRST;
    while let Some(sealed) = log.read_from(from).unwrap() {
        records.push(open(IDENTITY.device, IDENTITY.fresh_log, &sealed).unwrap());
        from = sealed.seq().next();
    }
    records
}

/// An action as what it says of single claws and feet.
fn spread(done: Done) -> Vec<Entry> {
    let feet: Vec<Foot> = match done.place {
        Place::Cow if done.action.spreads() => Foot::ALL.to_vec(),
        Place::Foot(foot) if done.action.spreads() => vec![foot],
        Place::Cow | Place::Foot(_) | Place::Claw(_) => return vec![Entry::Action(done)],
    };
    let places = feet.into_iter().flat_map(|foot| match done.action.about {
        About::Claw => Side::ALL.map(|side| Place::Claw(Claw { foot, side })).to_vec(),
        About::Foot | About::Cow | About::Tools => vec![Place::Foot(foot)],
    });
    places.map(|place| Entry::Action(Done { place, ..done })).collect()
}

/// What is said of each cow: her number, and the set of words about claws, feet and herself.
fn said(records: &[Record]) -> Vec<(Entry, BTreeSet<String>)> {
    let mut cows: Vec<(Entry, BTreeSet<String>)> = Vec::new();
    for record in records {
        let words = match record.entry {
            Entry::Animal(_) => {
                cows.push((record.entry, BTreeSet::new()));
                continue;
            }
            Entry::Action(done) => spread(done),
            Entry::Finding(_) | Entry::Reading(_) | Entry::Score { .. } => vec![record.entry],
            _ => continue,
        };
        if let Some((_, told)) = cows.last_mut() {
            told.extend(words.iter().map(|word| format!("{word:?}")));
        }
    }
    cows
}

#[test]
fn the_page_counts_right_and_each_cow_is_within_her_goal() {
    let kinds = kinds();
    assert_eq!((kinds.len(), kinds.iter().map(|kind| kind.cows).sum::<usize>()), (10, 80));
    for kind in &kinds {
        assert_eq!(Words::BOTH.map(|words| kind.counted(words)), kind.presses, "{}", kind.name);
    }
    let short = |name: &str| {
        let kind = kinds.iter().find(|kind| kind.name.starts_with(name)).unwrap();
        kind.presses[1]
    };
    assert!(short("plain, four feet") <= 12 && short("plain, two hind feet") <= 12);
    assert!(short("sole ulcer with a block") <= 20);
}

#[test]
fn a_day_of_eighty_cows_takes_at_most_two_fifths_of_the_presses_and_says_the_same() {
    let kinds = kinds();
    let [(long, long_presses), (short, short_presses)] =
        Words::BOTH.map(|words| story(&kinds, words));
    assert!(100 * short_presses <= 40 * long_presses, "{short_presses} of {long_presses} presses");
    let (spelled, spelled_presses) = story(&kinds, Words::WithoutBundles);
    assert!((short_presses..long_presses).contains(&spelled_presses), "{spelled_presses}");
    let [long, short, spelled] = [long, short, spelled].map(|story| played(&story));
    let grouped = |n: usize| match n {
        1_000.. => format!("{},{:03}", n / 1_000, n % 1_000),
        _ => n.to_string(),
    };
    let measured = format!(
        "{} presses and {} records in long words, {} presses and {} records in short ones, {} %",
        grouped(long_presses),
        grouped(long.len()),
        grouped(short_presses),
        grouped(short.len()),
        (100 * short_presses + long_presses / 2) / long_presses
    );
    let page: Vec<&str> = PAGE.split_whitespace().collect();
    assert!(page.join(" ").contains(&measured), "the page should say: {measured}");
    let days = |fit: usize| {
        [&long, &spelled, &short].map(|day| format!("{:.1}", fit as f64 / day.len() as f64))
    };
    let counted = [
        [long_presses, spelled_presses, short_presses].map(grouped),
        [&long, &spelled, &short].map(|day| grouped(day.len())),
        // 48.8 bytes of flash a record, in hundreds.
        [&long, &spelled, &short].map(|day| grouped((day.len() * 488 + 500) / 1_000 * 100)),
        days(2_646),
        days(5_270),
    ];
    for (row, counted) in table("A day of 80 cows").iter().zip(&counted) {
        assert_eq!(row[1..], counted[..], "{}", row[0]);
    }
    assert_eq!(table("A day of 80 cows").len(), counted.len());
    let long = said(&long);
    assert_eq!(long.len(), 80);
    for other in [said(&short), said(&spelled)] {
        for (long, other) in long.iter().zip(&other) {
            assert_eq!(long, other);
        }
        assert_eq!(long.len(), other.len());
    }
}
