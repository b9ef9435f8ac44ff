//! What rules have to say about a visit's entries, and what people decided.

use crate::page::{Block, Notice, Page, Weight};
use crate::words::{Say, Words};
use hornrule_facts::Language;
use hornrule_questions::visit::{RemarkLine, VisitReport};

pub(super) fn remarks(report: &VisitReport, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::HeadCheck));
    let sum = |lines: &[RemarkLine]| lines.iter().map(|line| line.times).sum::<usize>();
    let (held, settled) = (sum(&report.held), sum(&report.settled));
    if held + settled + sum(&report.flagged) + report.unplaced == 0 {
        page.para(words.say(Say::CheckNone));
    }
    if held > 0 {
        page.para(words.say(Say::HeldN { n: held.into() }));
    }
    if settled > 0 {
        page.para(words.say(Say::SettledN { n: settled.into() }));
    }
    for (lines, heading) in [
        (&report.held, Say::CheckHeld),
        (&report.flagged, Say::CheckFlagged),
        (&report.settled, Say::CheckSettled),
    ] {
        if lines.is_empty() {
            continue;
        }
        let lines = remarks_in_words(lines, words);
        let (weight, heading) = (Weight::Mind, words.say(heading));
        page.add(Block::Notice(Notice { weight, heading, lines }));
    }
    if report.unplaced > 0 {
        page.para(words.say(Say::UnplacedN { n: report.unplaced.into() }));
    }
}

/// The check's own sentence, which is English. In other languages what its rule is about, and of
/// which cows, one line a rule; the sentences are in `hornrule review`.
fn remarks_in_words(lines: &[RemarkLine], words: &Words) -> Vec<String> {
    let mut rules: Vec<(String, usize, Vec<String>)> = Vec::new();
    let mut said = Vec::new();
    for line in lines {
        let translated = match words.language() {
            Language::English => None,
            Language::German => words.rule(&line.rule),
        };
        let Some(what) = translated else {
            said.push(times(words, &line.sentence, line.times));
            continue;
        };
        let cows = line.cows.iter().map(ToString::to_string);
        match rules.iter_mut().find(|rule| rule.0 == what) {
            Some((_, times, of)) => {
                *times += line.times;
                of.extend(cows);
            }
            None => rules.push((what, line.times, cows.collect())),
        }
    }
    for (what, n, mut cows) in rules {
        cows.dedup();
        said.push(if cows.is_empty() {
            words.say(Say::RemarkTimes { n: n.into(), sentence: what.into() })
        } else {
            let cows = cows.join(", ").into();
            words.say(Say::RemarkOfCows { what: what.into(), n: n.into(), cows })
        });
    }
    said
}

fn times(words: &Words, sentence: &str, times: usize) -> String {
    if times == 1 {
        return sentence.to_owned();
    }
    words.say(Say::RemarkTimes { n: times.into(), sentence: sentence.into() })
}
