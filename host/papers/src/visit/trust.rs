//! A visit's lengths on its page, and how far its entries can be trusted.

use hornrule_protocol::Place;

use crate::page::{Block, Column, Notice, Page, Table, Weight};
use crate::words::{Say, Words};
use hornrule_facts::Language;
use hornrule_questions::visit::{GaugeLine, RemarkLine, Spread, VisitReport};

pub(super) fn lengths(report: &VisitReport, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::HeadLengths));
    if report.lengths.is_empty() {
        page.para(words.say(Say::LengthsNone));
        return;
    }
    target(report, words, page);
    let unit = words.unit_sign();
    let columns = vec![
        Column::text(words.say(Say::ColumnDimension { unit: unit.into() }), 3),
        Column::text(words.say(Say::ColumnWhen), 2),
        Column::number(words.say(Say::ColumnReadings)),
        Column::number(words.say(Say::ColumnLeast)),
        Column::number(words.say(Say::ColumnMiddle)),
        Column::number(words.say(Say::ColumnMost)),
    ];
    let mut table = Table::new("lengths", words.say(Say::AboutLengths), columns);
    for line in &report.lengths {
        let states = [(Say::BeforeTrimming, line.before), (Say::AfterTrimming, line.after)];
        for (when, spread) in states {
            let Some(Spread { readings, least, median, most }) = spread else { continue };
            table.row([
                words.dimension(line.dimension),
                words.say(when),
                readings.to_string(),
                words.length(least),
                words.length(median),
                words.length(most),
            ]);
        }
    }
    page.add(Block::Table(table));
    page.note(words.say(Say::NoteMiddle));
}

fn target(report: &VisitReport, words: &Words, page: &mut Page) {
    let Some(target) = report.settings.target else {
        page.para(words.say(Say::TargetNone));
        return;
    };
    if report.walls_after == 0 {
        return;
    }
    let measured = words.say(Say::ClawsN { n: report.walls_after.into() });
    let target = words.length_with_unit(target);
    if report.short.is_empty() {
        page.para(words.say(Say::TargetKept { measured: measured.into(), target: target.into() }));
    } else {
        let heading = words.say(Say::TargetShort {
            short: report.short.len().into(),
            measured: measured.into(),
            target: target.into(),
        });
        let lines = report.short.iter().map(|one| {
            words.say(Say::TargetShortLine {
                cow: one.name.to_string().into(),
                place: words.place(Place::Claw(one.claw)).into(),
                length: words.length_with_unit(one.length).into(),
            })
        });
        let (weight, lines) = (Weight::Mind, lines.collect());
        page.add(Block::Notice(Notice { weight, heading, lines }));
    }
    page.note(words.say(Say::NoteTarget));
}

pub(super) fn gauges(report: &VisitReport, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::HeadGauge));
    if report.gauges.is_empty() {
        page.para(words.say(Say::GaugeNone));
        return;
    }
    for line in &report.gauges {
        page.para(gauge(line, words));
    }
    if report.unchecked_readings > 0 {
        page.para(words.say(Say::GaugeUnchecked { n: report.unchecked_readings.into() }));
    }
}

fn gauge(line: &GaugeLine, words: &Words) -> String {
    let read: Vec<String> = line
        .readings
        .iter()
        .map(|(length, _)| format!("{} {}", words.fine_length(*length), words.unit_sign()))
        .collect();
    let (handheld, lengths) = (format!("{:016x}", line.device.0).into(), read.join(", ").into());
    if line.readings.iter().any(|(_, passed)| *passed == Some(false)) {
        words.say(Say::GaugeFailed { handheld, lengths })
    } else if line.readings.iter().any(|(_, passed)| passed.is_none()) {
        words.say(Say::GaugeUnknown { handheld, lengths })
    } else {
        words.say(Say::GaugePassed { handheld, lengths })
    }
}

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
