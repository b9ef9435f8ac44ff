//! What says how far a visit's entries can be trusted: checks of the callipers, and remarks.

use std::collections::BTreeMap;

use hornrule_facts::{Fact, What};
use hornrule_herd::RemarkRow;
use hornrule_protocol::DeviceId;

use super::{GaugeLine, RemarkLine};

/// Checks of the callipers, by handheld.
pub(super) fn gauges(facts: &[Fact]) -> Vec<GaugeLine> {
    let mut lines: BTreeMap<DeviceId, GaugeLine> = BTreeMap::new();
    for fact in facts {
        let What::Reading(clip) = fact.what else { continue };
        let device = fact.key.0;
        let line =
            lines.entry(device).or_insert_with(|| GaugeLine { device, readings: Vec::new() });
        line.readings.push((clip.length, clip.gauge_ok));
    }
    lines.into_values().collect()
}

/// The same words once, with how often they were said; in the order of the first time.
pub(super) fn fold(remarks: Vec<RemarkRow>) -> Vec<RemarkLine> {
    let mut lines: Vec<RemarkLine> = Vec::new();
    for remark in remarks {
        match lines.iter_mut().find(|line| line.sentence == remark.sentence) {
            Some(line) => {
                line.times += 1;
                if let Some(cow) = remark.animal.filter(|cow| !line.cows.contains(cow)) {
                    line.cows.push(cow);
                }
            }
            None => lines.push(RemarkLine {
                rule: remark.rule,
                cows: remark.animal.into_iter().collect(),
                sentence: remark.sentence,
                times: 1,
            }),
        }
    }
    lines
}
