//! Which farms a day has, and under which keys.

use hornrule_facts::{Day, Herd, StandingKey, key_of};
use hornrule_protocol::plan::MAX_FARM;

/// Why a day has no keys.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum KeysError {
    /// Neither a name nor a key.
    #[error("there is no farm `{asked}`; the farms are: {farms}")]
    NoFarm {
        /// What was asked for.
        asked: String,
        /// All names.
        farms: String,
    },
    /// A key that stands for none.
    #[error("no farm has the key {0} on that day; name the farm: --farm NAME")]
    NoKey(u8),
    /// One farm named twice.
    #[error("{0} is named twice; name each farm of the day once")]
    Twice(String),
    /// More than there are keys.
    #[error(
        "{0} farms are too many for one plan: the handheld has keys for nine farms; name those of \
         the day with --farm, and load the next plan after them"
    )]
    TooMany(usize),
    /// None was named and none has a standing key.
    #[error(
        "name the farms of the day: `hornrule plan --farm NAME --farm NAME` gives each its key; \
         the farms are: {0}"
    )]
    None(String),
    /// No farm at all.
    #[error("there is no herd yet; import one with `hornrule herd import FILE --herd NAME`")]
    NoHerd,
}

/// The farms of a day with their keys, by key. A farm asked for by its standing key keeps it; one asked
/// for by name gets the lowest key that is free, in the order of the round and then as asked. Without
/// a question: the farms that have a standing key on that day, or the only one.
///
/// # Errors
/// [`KeysError`].
pub fn day_keys(
    herds: &[Herd],
    said: &[StandingKey],
    day: Day,
    asked: &[String],
) -> Result<Vec<(u8, Herd)>, KeysError> {
    let names = || {
        let names: Vec<&str> = herds.iter().map(|herd| herd.name.as_str()).collect();
        names.join(", ")
    };
    let key = |herd: &Herd| key_of(said, herd.herd, Some(day));
    let mut keyed: Vec<(u8, Herd)> = Vec::new();
    let mut named: Vec<&Herd> = Vec::new();
    for text in asked {
        let text = text.trim();
        let digit = text.parse().ok().filter(|digit| (1..=MAX_FARM).contains(digit));
        match (find(herds, text), digit) {
            (Some(herd), _) => named.push(herd),
            (None, Some(digit)) => match herds.iter().find(|herd| key(herd) == Some(digit)) {
                Some(herd) => keyed.push((digit, herd.clone())),
                None => return Err(KeysError::NoKey(digit)),
            },
            (None, None) => {
                return Err(KeysError::NoFarm { asked: text.to_owned(), farms: names() });
            }
        }
    }
    if asked.is_empty() {
        let standing = herds.iter().filter_map(|herd| Some((key(herd)?, herd.clone())));
        keyed.extend(standing);
        match (herds, keyed.is_empty()) {
            ([], _) => return Err(KeysError::NoHerd),
            ([only], true) => named.push(only),
            (_, true) => return Err(KeysError::None(names())),
            (_, false) => {}
        }
    }
    named.sort_by_key(|herd| herd.settings.route.unwrap_or(u16::MAX));
    let all: Vec<&Herd> = keyed.iter().map(|(_, herd)| herd).chain(named.iter().copied()).collect();
    for (at, herd) in all.iter().enumerate() {
        if all[..at].iter().any(|other| other.herd == herd.herd) {
            return Err(KeysError::Twice(herd.name.clone()));
        }
    }
    if all.len() > usize::from(MAX_FARM) {
        return Err(KeysError::TooMany(all.len()));
    }
    for herd in named {
        let taken = |key: &u8| keyed.iter().any(|(other, _)| other == key);
        // At most nine farms: one of nine keys is free.
        let Some(free) = (1..=MAX_FARM).find(|key| !taken(key)) else { break };
        keyed.push((free, herd.clone()));
    }
    keyed.sort_by_key(|(key, _)| *key);
    Ok(keyed)
}

/// The farm of a name; small and capital letters do not matter where only one is meant.
fn find<'a>(herds: &'a [Herd], name: &str) -> Option<&'a Herd> {
    let exact = herds.iter().find(|herd| herd.name == name);
    let mut alike = herds.iter().filter(|herd| herd.name.to_lowercase() == name.to_lowercase());
    exact.or_else(|| match (alike.next(), alike.next()) {
        (Some(one), None) => Some(one),
        _ => None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use hornrule_facts::{FarmSettings, HerdId};

    fn herd(number: i64, name: &str, route: Option<u16>) -> Herd {
        Herd {
            herd: HerdId(number),
            name: name.to_owned(),
            farm: None,
            zone: "UTC".to_owned(),
            settings: FarmSettings { route, ..FarmSettings::default() },
        }
    }

    fn keys(farms: &[(u8, Herd)]) -> Vec<(u8, i64)> {
        farms.iter().map(|(key, herd)| (*key, herd.herd.0)).collect()
    }

    fn asked(names: &[&str]) -> Vec<String> {
        names.iter().map(|name| (*name).to_owned()).collect()
    }

    #[test]
    fn names_get_keys_in_the_order_of_the_round_and_keys_stay() {
        let herds =
            [herd(1, "Lindenhof", Some(5)), herd(2, "Neuhof", Some(2)), herd(3, "Tarn Edge", None)];
        let standing =
            |key, herd| StandingKey { key, herd: HerdId(herd), since: None, holds: true };
        let said = [standing(1, 1), standing(4, 3)];
        let of = |names: &[&str]| day_keys(&herds, &said, Day(9), &asked(names));
        assert_eq!(
            keys(&of(&["Lindenhof", "neuhof", "Tarn Edge"]).unwrap()),
            [(1, 2), (2, 1), (3, 3)]
        );
        assert_eq!(keys(&of(&["Tarn Edge", "Lindenhof"]).unwrap()), [(1, 1), (2, 3)]);
        assert_eq!(keys(&of(&["1", "4"]).unwrap()), [(1, 1), (4, 3)]);
        assert_eq!(keys(&of(&["1", "Neuhof"]).unwrap()), [(1, 1), (2, 2)]);
        assert_eq!(keys(&of(&[]).unwrap()), [(1, 1), (4, 3)], "without a name as it stands");
        assert_eq!(of(&["2"]), Err(KeysError::NoKey(2)));
        assert_eq!(of(&["1", "Lindenhof"]), Err(KeysError::Twice("Lindenhof".to_owned())));
        assert!(matches!(of(&["Lindnhof"]), Err(KeysError::NoFarm { .. })));
    }

    #[test]
    fn nine_farms_fit_and_a_tenth_is_refused() {
        let herds: Vec<Herd> = (1..=10).map(|at| herd(at, &format!("Farm {at}"), None)).collect();
        let names: Vec<String> = herds.iter().map(|herd| herd.name.clone()).collect();
        let nine = day_keys(&herds, &[], Day(9), &names[..9]).unwrap();
        assert_eq!(keys(&nine), (1..=9).map(|at| (at, i64::from(at))).collect::<Vec<_>>());
        assert_eq!(day_keys(&herds, &[], Day(9), &names), Err(KeysError::TooMany(10)));
        assert!(matches!(day_keys(&herds, &[], Day(9), &[]), Err(KeysError::None(_))));
        assert_eq!(keys(&day_keys(&herds[..1], &[], Day(9), &[]).unwrap()), [(1, 1)]);
        assert_eq!(day_keys(&[], &[], Day(9), &[]), Err(KeysError::NoHerd));
    }
}
