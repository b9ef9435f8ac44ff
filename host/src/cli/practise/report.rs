//! The timed day's report: a line a cow, and what all took.

use super::screen::wrapped;
use crate::practise::{CowTime, DayTimes, NOTEBOOK_S};
use hornrule_papers::words::{Say, Words};

/// "4.2": tenths of a second, cut and not rounded up.
pub(super) fn seconds(words: &Words, ms: u64) -> String {
    words.decimal((ms / 100) as f64 / 10.0, 1)
}

/// As lines. `given` where keys were given and no hand pressed them.
pub(super) fn told(cows: &[CowTime], words: &Words, given: bool) -> String {
    let head = words.say(Say::TrainDayHead);
    let heads: Vec<&str> = head.split('|').map(str::trim).collect();
    let mut rows = vec![heads.into_iter().map(str::to_owned).collect::<Vec<String>>()];
    rows.extend(cows.iter().map(|cow| row(cow, words)));
    let mut text = table(&rows);
    if cows.iter().any(|cow| cow.shown) {
        text += &format!("{}\n", words.say(Say::TrainDayShown));
    }
    if let Some(day) = DayTimes::of(cows) {
        text.push('\n');
        summary(&day, cows.len(), words).iter().for_each(|line| text += &lines(line));
    }
    let honest = if given { Say::TrainDayScripted } else { Say::TrainDayHonest };
    text + &lines(&words.say(honest))
}

/// For a window of 80 columns.
fn lines(text: &str) -> String {
    wrapped(text, 79).iter().map(|line| format!("{line}\n")).collect()
}

fn row(cow: &CowTime, words: &Words) -> Vec<String> {
    let mark = if cow.shown { " *" } else { "" };
    let undone = || words.say(Say::TrainDayUndone);
    vec![
        format!("{}{mark}", cow.kind.name(words)),
        cow.presses.to_string(),
        cow.shortest.to_string(),
        cow.took_ms.map_or_else(undone, |ms| seconds(words, ms)),
        cow.slips.to_string(),
    ]
}

/// Names to the left, figures to the right.
fn table(rows: &[Vec<String>]) -> String {
    let widest = |at: usize| {
        rows.iter().filter_map(|row| row.get(at)).map(|cell| cell.chars().count()).max()
    };
    let mut text = String::new();
    for row in rows {
        for (at, cell) in row.iter().enumerate() {
            let width = widest(at).unwrap_or_default();
            match at {
                0 => text += &format!("{cell:<width$}"),
                _ => text += &format!("  {cell:>width$}"),
            }
        }
        text.push('\n');
    }
    text
}

fn summary(day: &DayTimes, of: usize, words: &Words) -> Vec<String> {
    let cows = day.done.max(1);
    let [quicker, within, slower] = day.against_notebook;
    let mut lines = vec![
        words.say(Say::TrainDayTotal {
            done: day.done.into(),
            of: of.into(),
            presses: day.presses.into(),
            shortest: day.shortest.into(),
            seconds: seconds(words, day.took_ms).into(),
            slips: day.slips.into(),
        }),
        words.say(Say::TrainDayEach {
            presses: words.decimal(f64::from(day.presses) / cows as f64, 1).into(),
            seconds: seconds(words, day.took_ms / cows as u64).into(),
            least: seconds(words, day.quickest_ms).into(),
            most: seconds(words, day.slowest_ms).into(),
        }),
        words.say(Say::TrainDayNotebook {
            least: NOTEBOOK_S.0.into(),
            most: NOTEBOOK_S.1.into(),
            quicker: quicker.into(),
            within: within.into(),
            slower: slower.into(),
        }),
    ];
    if let Some((presses, ms)) = day.eighty {
        let minutes = (ms / 60_000).into();
        lines.push(words.say(Say::TrainDayEighty { presses: presses.into(), minutes }));
    }
    lines
}
