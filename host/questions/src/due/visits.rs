//! Gathers the rechecks and block-offs of one farm into visits. `DUTIES.md` has the rule.

use hornrule_facts::{Day, Duty};

use super::need::{Need, Window};

/// The day on which each of a farm's needs is to be done, as asked on a day, in their order.
#[must_use]
pub fn plan(needs: &[Need], today: Day) -> Vec<Day> {
    let mut days: Vec<Day> = needs.iter().map(|need| need.day.max(today)).collect();
    let gathered = |need: &Need| matches!(need.duty, Duty::Recheck | Duty::BlockOff);
    let mut left: Vec<(usize, Window)> = needs
        .iter()
        .enumerate()
        .filter(|(_, need)| gathered(need))
        .map(|(at, need)| (at, window(need, today)))
        .collect();
    while let Some(until) = left.iter().map(|(_, window)| window.last).min() {
        let (joined, later): (Vec<_>, Vec<_>) =
            left.into_iter().partition(|(_, window)| window.first <= until);
        let begun = joined.iter().map(|(_, window)| window.first).max();
        let due = joined.iter().map(|(at, _)| needs[*at].day.max(today)).min();
        // The first day that all allow, not before the first of their days.
        let visit = begun.max(due).unwrap_or(until);
        for (at, _) in joined {
            days[at] = visit;
        }
        left = later;
    }
    days
}

/// What is overdue or due today waits for nothing.
fn window(need: &Need, today: Day) -> Window {
    if need.day <= today {
        return Window { first: today, last: today };
    }
    let Window { first, last } = need.window;
    Window { first: first.max(today), last: last.max(today) }
}

#[cfg(test)]
mod tests {
    use hornrule_facts::{AnimalId, DueRules, HerdId};
    use hornrule_protocol::Place;
    use proptest::prelude::*;

    use super::*;
    use crate::due::Because;

    fn need(duty: Duty, because: Because, since: i32) -> Need {
        let rules = DueRules::default();
        let (since, herd, animal) = (Day(since), HerdId(1), AnimalId(1));
        let day = since.plus(because.days(&rules).unwrap());
        let window = Window::of((duty, because), day, since, &rules);
        let (place, cases) = (Place::Cow, Vec::new());
        Need { day, herd, animal, place, duty, because, since, window, cases }
    }

    fn recheck(since: i32) -> Need {
        need(Duty::Recheck, Because::Found, since)
    }

    fn block(since: i32) -> Need {
        need(Duty::BlockOff, Because::BlockGlued, since)
    }

    #[test]
    fn rechecks_and_blocks_meet_where_their_windows_allow() {
        // Due on 14 and 16, may be on 11 to 17 and 13 to 19; a block due on 15 may wait until 29.
        let days = plan(&[recheck(0), recheck(2), block(-13)], Day(5));
        assert_eq!(days, [Day(15); 3]);
        // A block never comes off before its day.
        assert_eq!(plan(&[recheck(0), block(-8)], Day(5)), [Day(14), Day(20)]);
        // Dermatitis, due on 14, does not wait.
        let dermatitis = need(Duty::Recheck, Because::Dermatitis, 7);
        assert_eq!(plan(&[recheck(2), dermatitis], Day(5)), [Day(14); 2]);
        // What is overdue is today's, and takes along what may be done today.
        assert_eq!(
            plan(&[recheck(-4), recheck(0), recheck(9)], Day(12)),
            [Day(12), Day(12), Day(23)]
        );
        // Others stand alone.
        let trim = need(Duty::Trim, Because::Trimmed, -170);
        assert_eq!(plan(&[trim, recheck(0)], Day(5)), [Day(12), Day(14)]);
    }

    proptest! {
        /// Whatever is due: each is on one day within its window, or today where that has gone by, and a
        /// visit more would be needed for no two that share a day.
        #[test]
        fn each_is_within_its_window(
            since in prop::collection::vec((0..2u8, -60..30i32), 0..30), today in 0..40i32,
        ) {
            let needs: Vec<Need> = since
                .iter()
                .map(|(kind, since)| if *kind == 0 { recheck(*since) } else { block(*since) })
                .collect();
            let days = plan(&needs, Day(today));
            prop_assert_eq!(days.len(), needs.len());
            for (need, day) in needs.iter().zip(&days) {
                let of = window(need, Day(today));
                prop_assert!(of.first <= *day && *day <= of.last, "{:?} on {:?}", need, day);
            }
        }
    }
}
