//! Rules that compare cows with the herd lists.

use hornrule_protocol::record::Entry;

use super::super::history::{History, Spotted};
use super::{Check, Rule};
use hornrule_facts::Severity::Flagged;
use hornrule_facts::limits::PER_UNIT;
use hornrule_facts::{AnimalId, ListedAnimal};

/// A cow that the herd list does not have.
pub(super) const NOT_LISTED: Rule = Rule {
    id: "not-listed",
    severity: Flagged,
    looks_for: "a cow that is not in the herd list",
    check: Check::History(not_listed),
};

fn not_listed(history: &History<'_>) -> Vec<Spotted> {
    if history.list.is_empty() {
        return Vec::new();
    }
    let listed = |animal: AnimalId| {
        history.list.binary_search_by_key(&animal, |one| one.animal).ok().map(|i| &history.list[i])
    };
    let mut spotted = Vec::new();
    for met in history.met {
        let why = match listed(met.animal) {
            Some(one) if one.in_herd => continue,
            Some(_) => format!(
                "Cow {} was not in the last herd list any more. Import a newer list, or look \
                 whether another cow was meant.",
                met.animal
            ),
            None => {
                let most = usize::try_from(history.limits.near_numbers / PER_UNIT).unwrap_or(0);
                let near = nearest(met.animal, history.list, most);
                let hint = match near.as_slice() {
                    [] => "No number in the list looks like it.".to_owned(),
                    [one] => format!("Was it {one}?"),
                    [head @ .., last] => {
                        let head: Vec<String> = head.iter().map(ToString::to_string).collect();
                        format!("Was it {} or {last}?", head.join(", "))
                    }
                };
                format!(
                    "Cow {} is not in the herd list. {hint} If she is new, import a newer list.",
                    met.animal
                )
            }
        };
        spotted.push(Spotted::cow(met, why));
    }
    spotted
}

/// A cow keyed at one farm and listed at another.
pub(super) const ON_TWO_FARMS: Rule = Rule {
    id: "on-two-farms",
    severity: Flagged,
    looks_for: "a cow keyed at one farm that only another farm's herd list has",
    check: Check::Moment(|moment| {
        let (Entry::Animal(_), Some(other)) = (moment.entry, moment.elsewhere) else { return None };
        Some(format!(
            "{} is not in this farm's herd list, but in that of {other}. Was the visit there not \
             keyed (COW 0, the farm's digit, COW)? Then correct the farm; else look whether \
             another cow was meant.",
            moment.subject()
        ))
    }),
};

/// The cows in the herd whose numbers could have been meant, likeliest first, then by number.
fn nearest(keyed: AnimalId, list: &[ListedAnimal], most: usize) -> Vec<AnimalId> {
    let keyed = keyed.to_string();
    let mut near: Vec<(u8, AnimalId)> = list
        .iter()
        .filter(|one| one.in_herd)
        .filter_map(|one| Some((slip(&keyed, &one.animal.to_string())?, one.animal)))
        .collect();
    near.sort_unstable();
    near.into_iter().take(most).map(|(_, animal)| animal).collect()
}

/// How likely one number was keyed where the other was meant: 1 a neighbouring key or two digits
/// swapped, 2 a digit too many or too few, 3 any other digit; `None` where more differs.
fn slip(keyed: &str, meant: &str) -> Option<u8> {
    let (keyed, meant) = (keyed.as_bytes(), meant.as_bytes());
    if keyed.len() == meant.len() {
        let differ: Vec<usize> = (0..keyed.len()).filter(|i| keyed[*i] != meant[*i]).collect();
        return match differ.as_slice() {
            [i] if neighbours(keyed[*i], meant[*i]) => Some(1),
            [_] => Some(3),
            [i, j] if i + 1 == *j && keyed[*i] == meant[*j] && keyed[*j] == meant[*i] => Some(1),
            _ => None,
        };
    }
    let (short, long) = if keyed.len() < meant.len() { (keyed, meant) } else { (meant, keyed) };
    let one_more = short.len() + 1 == long.len();
    let without = |i: usize| long[..i].iter().chain(&long[i + 1..]).eq(short);
    (one_more && (0..long.len()).any(without)).then_some(2)
}

/// Row and column of a digit's key: 1 to 9 in three rows of three, 0 to the right of 9.
fn key(digit: u8) -> Option<(u8, u8)> {
    match digit {
        b'0' => Some((2, 3)),
        b'1'..=b'9' => Some(((digit - b'1') / 3, (digit - b'1') % 3)),
        _ => None,
    }
}

/// Whether two digits' keys touch, side by side or one above the other.
fn neighbours(a: u8, b: u8) -> bool {
    let (Some(a), Some(b)) = (key(a), key(b)) else { return false };
    a.0.abs_diff(b.0) + a.1.abs_diff(b.1) == 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_that_touch() {
        let touch = |a, b| neighbours(a, b) && neighbours(b, a);
        for (a, b) in [(b'1', b'2'), (b'2', b'5'), (b'8', b'9'), (b'9', b'0'), (b'4', b'7')] {
            assert!(touch(a, b));
        }
        for (a, b) in [(b'1', b'5'), (b'3', b'4'), (b'0', b'8'), (b'6', b'0'), (b'1', b'1')] {
            assert!(!neighbours(a, b));
        }
    }

    #[test]
    fn slips_by_likelihood() {
        assert_eq!(slip("312", "312"), None);
        // 1 lies beside 2 and above 4; 2 lies above 5.
        assert_eq!(slip("312", "322"), Some(1));
        assert_eq!(slip("312", "342"), Some(1));
        assert_eq!(slip("312", "132"), Some(1));
        assert_eq!(slip("312", "32"), Some(2));
        assert_eq!(slip("32", "332"), Some(2));
        assert_eq!(slip("312", "319"), Some(3));
        assert_eq!(slip("312", "45"), None);
    }

    #[test]
    fn at_most_three_and_only_cows_in_the_herd() {
        let cow =
            |number, in_herd| ListedAnimal { in_herd, ..ListedAnimal::numbered(AnimalId(number)) };
        let list: Vec<_> =
            [132, 312, 319, 322, 342, 351].map(|n| cow(n, n != 342)).into_iter().collect();
        let near: Vec<i64> = nearest(AnimalId(352), &list, 3).iter().map(|a| a.number()).collect();
        // 322: the key above; 351: the key beside; 312: any other. 342 lies beside too, but left.
        assert_eq!(near, [322, 351, 312]);
    }
}
