//! What of a handheld's records stands: said by a person, and not taken back.

use hornrule_protocol::{Entry, Seq};

/// What stands, in the order in which it was said. Starts, clocks, gaps and faults were said by
/// nobody.
#[must_use]
pub fn standing(records: &[(Seq, Entry)]) -> Vec<Entry> {
    let mut voided: Vec<Seq> = records
        .iter()
        .filter_map(|(_, entry)| match entry {
            Entry::Void { seq } => Some(*seq),
            _ => None,
        })
        .collect();
    // A bundle is taken back with its parts, which are the next numbers.
    for (seq, entry) in records {
        if let Entry::Bundle { parts, .. } = entry
            && voided.contains(seq)
        {
            let mut part = *seq;
            for _ in 0..*parts {
                part = part.next();
                voided.push(part);
            }
        }
    }
    let said = |entry: &Entry| match entry {
        Entry::Visit { .. }
        | Entry::Animal(_)
        | Entry::AnimalLeft
        | Entry::Reading(_)
        | Entry::Finding(_)
        | Entry::Action(_)
        | Entry::Score { .. }
        | Entry::Bundle { .. } => true,
        Entry::Started(_)
        | Entry::Clock { .. }
        | Entry::Gap { .. }
        | Entry::Void { .. }
        | Entry::CalliperFault(_)
        | Entry::PlanLoaded { .. } => false,
    };
    let stands = |(seq, entry): &(Seq, Entry)| said(entry) && !voided.contains(seq);
    records.iter().copied().filter(stands).map(|(_, entry)| entry).collect()
}
