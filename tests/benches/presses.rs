//! What the day of 80 cows of `firmware/core/SENTENCES.md` costs: presses for each kind of cow, and
//! flash for the day, in long words, in short ones, and in short ones without bundles. Counts, not
//! times: they are the same on every computer.
//!
//! `cargo bench -p hornrule-tests --bench presses`
#![expect(clippy::unwrap_used, reason = "a bench that cannot run stops")]

use hornrule_board_sim::{Handheld, Played, Player, Story};
use hornrule_core::log::Log;
use hornrule_protocol::{LogId, Seq};
use hornrule_testkit::day::{Kind, Words, kinds, story};
use hornrule_testkit::flash::Flash;
use hornrule_tests::identity;

const STYLES: [Words; 3] = [Words::Long, Words::WithoutBundles, Words::Short];
const HEADING: &str = "long | short, no bundles | short | short of long";

/// A number for each style, and the last as a share of the first.
fn row(what: &str, numbers: [f64; 3], decimals: usize) {
    let [long, spelled, short] = numbers;
    let share = 100.0 * short / long;
    println!(
        "| {what} | {long:.decimals$} | {spelled:.decimals$} | {short:.decimals$} | {share:.0} % |"
    );
}

fn presses(kinds: &[Kind]) {
    println!("| presses | cows | {HEADING} |\n| --- | --- | --- | --- | --- | --- |");
    for kind in kinds {
        let counted = STYLES.map(|words| kind.counted(words) as f64);
        row(&format!("{} | {}", kind.name, kind.cows), counted, 0);
    }
    let total = STYLES.map(|words| story(kinds, words).1 as f64);
    row("the day | 80", total, 0);
    row("a cow | 1", total.map(|presses| presses / 80.0), 1);
}

/// Plays the day; gives how many records it left and how many sealed bytes they have.
fn played(story: &str) -> (f64, f64) {
    let story: Story = story.parse().unwrap();
    let mut handheld = Handheld::new(Flash::<1024>::blank(96), identity(), 0);
    let mut player = Player::new(1);
    for line in &story.lines {
        assert_eq!(player.play(&mut handheld, line).unwrap(), Played::Done);
    }
    handheld.power_off();
    let mut log = Log::mount(handheld.flash().unwrap().clone(), LogId(99)).ok().unwrap();
    let (mut records, mut bytes, mut from) = (0, 0, Seq::FIRST);
    while let Some(sealed) = log.read_from(from).unwrap() {
        records += 1;
        bytes += sealed.as_bytes().len();
        from = sealed.seq().next();
    }
    (f64::from(records), bytes as f64)
}

/// Records that an empty log always takes, and bytes of flash for each.
fn room<const PAGE: usize>(pages: usize) -> (f64, f64) {
    let log = Log::format(Flash::<PAGE>::blank(pages), LogId(1)).ok().unwrap();
    let fit = f64::from(log.capacity());
    (fit, ((pages - 2) * PAGE) as f64 / fit)
}

fn flash(kinds: &[Kind]) {
    let days = STYLES.map(|words| played(&story(kinds, words).0));
    println!("\n| a day of 80 cows | {HEADING} |\n| --- | --- | --- | --- | --- |");
    row("records", days.map(|day| day.0), 0);
    row("sealed bytes, as pulled", days.map(|day| day.1), 0);
    let boards = [
        ("emulated board, 128 pages of 1 KiB", room::<1024>(128)),
        ("virtual handheld, 190 pages of 1 KiB", room::<1024>(190)),
        ("nRF52833 and RP2040 board, 64 pages of 4 KiB", room::<4096>(64)),
    ];
    for (board, (fit, bytes)) in boards {
        row(&format!("{board}: bytes of flash"), days.map(|day| day.0 * bytes), 0);
        row(
            &format!("the same: days that fit in {fit:.0} records"),
            days.map(|day| fit / day.0),
            1,
        );
    }
}

fn main() {
    if std::env::args().any(|word| word == "--test") {
        return;
    }
    let kinds = kinds();
    presses(&kinds);
    flash(&kinds);
}
