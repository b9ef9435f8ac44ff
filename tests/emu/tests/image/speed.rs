//! From key to cue: what the image does from its last look at the keys to the first sound, counted in
//! instructions, for the sentences that ask most of it.
//!
//! ```text
//! contact --20 ms--> column read --keypad, sentence, plan, seal, flash--> first sound
//!                    ^ SIM_LOOKED_US                     SIM_TOOK_US after it ^
//! ```
//!
//! Held to the table of `hardware-notes/figures.md`, which says what is not in these counts.

use std::fmt::Write as _;

use hornrule_tests::identity;
use hornrule_tests_emu::emulator::{NANOS, Pace};
use hornrule_tests_emu::flash::{Beside, blank, filled};
use hornrule_tests_emu::image::{Image, LOG_LENGTH, LOG_START};
use hornrule_tests_emu::player::Player;

use crate::size::budget;

const FIGURES: &str = include_str!("../../../../hardware-notes/figures.md");
/// Bytes of a page of the emulated chip's flash, and of a word.
const PAGE: usize = 1024;
const WORD: usize = 4;
/// The longest bundle that a plan can have.
const BUNDLE: &str = "31-this,32-this,10-partner,60-foot,61-foot,21-foot,82-foot-14";

/// Instructions that another task may add.
const BETWEEN: u64 = 4_000;

/// A row of the table, or what was counted for it.
#[derive(Debug)]
struct Cost {
    instructions: u64,
    /// Words of flash programmed.
    words: usize,
    /// Pages of the log entered; each is erased then, if it was not erased ahead.
    pages: usize,
}

/// What the plan knows of each cow: the most that there is to say.
const HERS: &str = "recheck-LH,recheck-RH,block-LH,wrap-RH,open-LH-outer,open-LH-inner,open-RH-outer,\
    open-LF,floor-80,growth-3.2,way-1-LH-outer,way-2-LH-inner,way-1-RH-outer,way-2-RH-inner";

/// The plan region of a handheld as full as it gets: cows 3, 6, 9, ..., 2,400 of farm 1, each with
/// particulars, and nine full bundles.
fn full_plan() -> Beside {
    let mut plan = "office plan order=1x2,3 floor=75 heels=3".to_owned();
    for n in 1..=800 {
        write!(plan, " 1:{}={HERS}", 3 * n).unwrap();
    }
    let bundles: String = (1..10).map(|number| format!(" bundle={number}:{BUNDLE}")).collect();
    let mut player = Player::new(Image::open(), identity(), blank());
    player.tell(&format!("at 2026-03-03 07:00\npower on\noffice clock\n{plan}{bundles}")).unwrap();
    player.power_off();
    player.beside
}

/// Keys a sentence and counts what its last key costs.
fn cost(player: &mut Player, sentence: &str) -> Cost {
    let (last_at, last) = sentence.char_indices().last().unwrap();
    // The last digit of a number is a key; a word is one.
    let last_at = if last.is_ascii_digit() { last_at } else { sentence.rfind(' ').unwrap_or(0) };
    let (first, last) = sentence.split_at(last_at);
    if !first.is_empty() {
        player.tell(&format!("keys {first}")).unwrap();
    }
    let emulator = player.emulator.as_mut().unwrap();
    let before = emulator.save(LOG_START, LOG_LENGTH);
    emulator.watch();
    player.tell(&format!("keys {last}")).unwrap();
    let emulator = player.emulator.as_mut().unwrap();
    let took_us = emulator.took_us();
    let after = emulator.save(LOG_START, LOG_LENGTH);
    let (before, after) = (before.as_chunks::<WORD>().0, after.as_chunks::<WORD>().0);
    let changed = |at: &usize| before[*at] != after[*at];
    Cost {
        instructions: u64::from(took_us) * 1_000 / NANOS,
        words: (0..before.len()).filter(changed).count(),
        pages: (0..before.len()).step_by(PAGE / WORD).filter(changed).count(),
    }
}

/// The rows of the table: what is keyed, and what it costs.
fn rows() -> Vec<(String, Cost)> {
    let lines = FIGURES.lines().skip_while(|line| !line.starts_with("| Keyed |"));
    let row = |line: &str| {
        let cells: Vec<&str> = line.split('|').map(str::trim).collect();
        let number = |at: usize| cells[at].replace(',', "").parse().unwrap();
        let cost =
            Cost { instructions: number(3), words: number(4) as usize, pages: number(5) as usize };
        (cells[1].trim_matches('`').to_owned(), cost)
    };
    lines.skip(2).take_while(|line| line.starts_with('|')).map(row).collect()
}

#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn no_sentence_takes_longer_than_the_table_says() {
    let mut player = Player::new(Image::open(), identity(), blank());
    (player.beside, player.pace) = (full_plan(), Pace::Counted);
    let rows = rows();
    assert!(rows.len() > 8, "{rows:?}");
    let (mut wrong, mut deepest) = (Vec::new(), 0);
    for (sentence, told) in rows {
        player.power_off();
        // A row that enters a page starts on one that is nearly full.
        player.flash = filled(identity(), if told.pages > 0 { 12 } else { 2 }).0;
        player.tell("at 2026-03-03 07:00\npower on\noffice clock\nkeys COW 2397 COW LH").unwrap();
        if sentence.ends_with("UNDO") {
            player.tell("keys DO 01").unwrap();
        }
        let cost = cost(&mut player, &sentence);
        println!("| `{sentence}` | {} | {} | {} |", cost.instructions, cost.words, cost.pages);
        deepest = deepest.max(player.emulator.as_mut().unwrap().stack_mark());
        let expected = told.instructions * 4 / 5..=told.instructions + BETWEEN;
        if !expected.contains(&cost.instructions)
            || cost.words > told.words
            || cost.pages != told.pages
        {
            wrong.push(format!("{sentence}: {cost:?}, the table has {told:?}"));
        }
    }
    player.power_off();
    println!("deepest stack: {deepest} bytes");
    assert!(wrong.is_empty(), "{wrong:#?}");
    assert!(u64::from(deepest) <= budget("stack"), "the stack was {deepest} bytes deep");
}
