//! One contact: raw scans in, lasting changes out.
//!
//! ```text
//! raw       __|‾|_|‾|_|‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾|_____________
//! accepted  ____________________|‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾‾|_______
//!                     |<-20 ms->|            |<-20 ms->|
//! ```

use crate::time::Micros;

/// How long a contact must hold its new state to be accepted, in microseconds. Bounce of up to 10
/// ms is usual for switches of this size; this is twice that, and still far below the 100 ms within
/// which a press should be answered.
pub const DEBOUNCE_US: u64 = 20_000;

/// One contact in one scan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Contact {
    /// Not closed.
    Open,
    /// Closed.
    Closed,
    /// Closed in a scan that may show ghosts: evidence neither for a press nor against one.
    Doubtful,
}

/// A change that lasted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Change {
    /// The key went down.
    Down,
    /// The key came up.
    Up,
}

/// The debounce of one contact.
#[derive(Clone, Copy, Debug)]
pub(super) enum Debounce {
    /// Accepted as up.
    Up,
    /// Accepted as up, closed since then.
    Closing(Micros),
    /// Accepted as down.
    Down,
    /// Accepted as down, open since then.
    Opening(Micros),
}

impl Debounce {
    /// Takes one scan.
    pub(super) fn on(&mut self, contact: Contact, now: Micros) -> Option<Change> {
        let lasted = |since: Micros| now.since(since) >= DEBOUNCE_US;
        let (next, change) = match (*self, contact) {
            (Self::Up | Self::Closing(_), Contact::Open | Contact::Doubtful) => (Self::Up, None),
            (Self::Up, Contact::Closed) => (Self::Closing(now), None),
            (Self::Closing(since), Contact::Closed) if lasted(since) => {
                (Self::Down, Some(Change::Down))
            }
            (Self::Closing(since), Contact::Closed) => (Self::Closing(since), None),
            (Self::Down | Self::Opening(_), Contact::Closed | Contact::Doubtful) => {
                (Self::Down, None)
            }
            (Self::Down, Contact::Open) => (Self::Opening(now), None),
            (Self::Opening(since), Contact::Open) if lasted(since) => (Self::Up, Some(Change::Up)),
            (Self::Opening(since), Contact::Open) => (Self::Opening(since), None),
        };
        *self = next;
        change
    }

    /// Whether nothing is under way.
    pub(super) const fn is_up(self) -> bool {
        matches!(self, Self::Up)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One scan per millisecond; what came out, and when.
    fn run(contacts: &str) -> std::vec::Vec<(u64, Change)> {
        let mut debounce = Debounce::Up;
        (0..)
            .zip(contacts.chars())
            .filter_map(|(ms, c)| {
                let contact = match c {
                    '#' => Contact::Closed,
                    '?' => Contact::Doubtful,
                    _ => Contact::Open,
                };
                debounce.on(contact, Micros(0).after_ms(ms)).map(|change| (ms, change))
            })
            .collect()
    }

    #[test]
    fn a_change_counts_once_it_lasted() {
        assert_eq!(run("####################"), [], "19 ms");
        assert_eq!(run("#####################"), [(20, Change::Down)]);
        assert_eq!(run("#.#..#.....#...................."), [], "a spike, whatever it looks like");
        let long = "##########.#####################....................#....................#";
        assert_eq!(run(long), [(31, Change::Down)], "opened for 20 scans, 19 ms, twice");
        let release = "#####################.....................";
        assert_eq!(run(release), [(20, Change::Down), (41, Change::Up)]);
    }

    #[test]
    fn doubt_neither_presses_nor_releases() {
        assert_eq!(run("??????????????????????????????"), []);
        assert_eq!(run("##########??#####################"), [(32, Change::Down)], "starts again");
        assert_eq!(run("#####################????????????????????????????"), [(20, Change::Down)]);
    }
}
