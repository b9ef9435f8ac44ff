//! How far a visit's lengths and times can be trusted.

use crate::page::Page;
use crate::words::{Say, Words};
use hornrule_questions::visit::{GaugeLine, VisitReport};

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

pub(super) fn clock(report: &VisitReport, words: &Words, page: &mut Page) {
    page.heading(words.say(Say::OfficeClock));
    let said =
        if report.summary.times_estimated { Say::NoteTimesEstimated } else { Say::ClockKept };
    page.para(words.say(said));
}
