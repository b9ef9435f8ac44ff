//! What a day costs in presses: the tables of `firmware/core/SENTENCES.md`, played.
//!
//! ```text
//! SENTENCES.md --+--> a day in long words  --virtual handheld--> flash --what it says of each claw--+
//!                +--> the same in short ones --virtual handheld--> flash --what it says of each claw--+--> alike
//! ```
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use std::collections::BTreeSet;

use hornrule_board_sim::{Handheld, Identity, Played, Player, Story};
use hornrule_core::cue::Cue;
use hornrule_core::log::Log;
use hornrule_protocol::codes::About;
use hornrule_protocol::record::Done;
use hornrule_protocol::{Claw, DeviceId, Entry, Foot, LogId, Place, Record, Seq, Side, open};
use hornrule_testkit::flash::Flash;

const PAGE: &str = include_str!("../../core/SENTENCES.md");
const IDENTITY: Identity = Identity { device: DeviceId(1), fresh_log: LogId(2) };

/// The cells of the table that begins with this heading.
fn table(first: &str) -> Vec<Vec<String>> {
    let lines = PAGE.lines().skip_while(|line| !line.starts_with(&format!("| {first} |")));
    lines
        .take_while(|line| line.starts_with('|'))
        .skip(2)
        .map(|line| {
            let cells = line.trim_matches('|').split('|');
            cells.map(|cell| cell.trim().trim_matches('`').to_owned()).collect()
        })
        .collect()
}

/// A kind of cow.
struct Kind {
    name: String,
    cows: u32,
    /// Presses as the page says, long and short.
    presses: [usize; 2],
    /// What is keyed, long and short; `n` for the number.
    keyed: [String; 2],
}

fn kinds() -> Vec<Kind> {
    table("Kind")
        .into_iter()
        .map(|row| Kind {
            name: row[0].clone(),
            cows: row[1].parse().unwrap(),
            presses: [row[2].parse().unwrap(), row[3].parse().unwrap()],
            keyed: [row[4].clone(), row[5].clone()],
        })
        .collect()
}

/// Keys of digits count one by one, a clip is a press of the pedal.
fn presses(words: &str) -> usize {
    let digits = |word: &str| word.bytes().all(|byte| byte.is_ascii_digit());
    words.split_whitespace().map(|word| if digits(word) { word.len() } else { 1 }).sum()
}

/// The day as a story, cow by cow in the order of the page: long (0) or short (1).
fn story(kinds: &[Kind], which: usize) -> (String, usize) {
    let bundles: Vec<String> = table("Bundle")
        .into_iter()
        .map(|row| format!("bundle={}:{}", row[0], row[1].replace(", ", ",").replace(' ', "-")))
        .collect();
    let mut story = format!("power on\noffice clock\noffice plan {}\n", bundles.join(" "));
    let (mut number, mut total) = (100, 0);
    for kind in kinds {
        for _ in 0..kind.cows {
            number += 1;
            let words = kind.keyed[which].replacen(" n ", &format!(" {number} "), 1);
            total += presses(&words);
            for (at, run) in words.split("clip").enumerate() {
                if at > 0 {
                    story += "clip 76.00 mm\n";
                }
                if !run.trim().is_empty() {
                    story += &format!("keys {}\n", run.trim());
                }
            }
        }
    }
    (story, total)
}

/// Plays it; gives the handheld's records. No press is refused.
fn played(story: &str) -> Vec<Record> {
    let story: Story = story.parse().unwrap();
    let mut handheld = Handheld::new(Flash::<1024>::blank(96), IDENTITY, 0);
    let mut player = Player::new(1);
    for line in &story.lines {
        let played = player.play(&mut handheld, line);
        assert_eq!(played.unwrap(), Played::Done);
    }
    let refused = handheld.heard().iter().filter(|heard| heard.cue == Cue::Refused).count();
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
    assert_eq!((kinds.len(), kinds.iter().map(|kind| kind.cows).sum::<u32>()), (10, 80));
    for kind in &kinds {
        let counted = [0, 1].map(|which| presses(&kind.keyed[which].replacen(" n ", " 412 ", 1)));
        assert_eq!(counted, kind.presses, "{}", kind.name);
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
    let [(long, long_presses), (short, short_presses)] = [0, 1].map(|which| story(&kinds, which));
    assert!(100 * short_presses <= 40 * long_presses, "{short_presses} of {long_presses} presses");
    let (long, short) = (played(&long), played(&short));
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
        100 * short_presses / long_presses
    );
    let page: Vec<&str> = PAGE.split_whitespace().collect();
    assert!(page.join(" ").contains(&measured), "the page should say: {measured}");
    let (long, short) = (said(&long), said(&short));
    assert_eq!(long.len(), 80);
    for (long, short) in long.iter().zip(&short) {
        assert_eq!(long, short);
    }
    assert_eq!(long.len(), short.len());
}
