//! Limits of lengths that the handheld warns of at the chute.
//!
//! ```toml
//! [plan]                # in hornrule.toml; millimetres, in steps of a half
//! floor = 72.5          # shortest dorsal wall after trimming, where nothing else says one
//! floor-first = 70      # the same of cows in their first lactation
//! floor-jersey = 68     # the same of a breed, whose name contains the word
//! heels = 3             # largest difference between the heels of a foot
//! ```
//!
//! A heifer has no floor, whatever is set: the published ones are not meant for her
//! (`host/questions/src/notices/NOTICES.md`).

/// What stands below `[plan]` for them, in words.
pub const KEYS: &str = "floor, floor-first, floor-BREED, heels";

/// Floors and limits by half millimetres, as the plan has them.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Floors {
    /// Of any cow that is no heifer, where nothing else says one.
    pub any: Option<u8>,
    /// Of cows in their first lactation.
    pub first: Option<u8>,
    /// Of breeds: a word of the breed's name in small letters, and the floor.
    pub breeds: Vec<(String, u8)>,
    /// The largest difference in heel height between the claws of a foot.
    pub heels: Option<u8>,
}

/// Longest floor, half millimetres: what a byte of the plan holds below "none".
const MOST: u16 = 254;

impl Floors {
    /// Sets what a key of the file names; `None` if it names nothing of these.
    ///
    /// # Errors
    /// What the value should be; nothing is changed then.
    pub fn set(&mut self, key: &str, text: &str) -> Option<Result<(), String>> {
        let place = match key.strip_prefix("floor-") {
            _ if key == "floor" => &mut self.any,
            _ if key == "heels" => &mut self.heels,
            Some("first") => &mut self.first,
            Some(breed) if !breed.is_empty() => return Some(self.breed(breed, text)),
            Some(_) | None => return None,
        };
        Some(half_mm(text).map(|count| *place = Some(count)))
    }

    fn breed(&mut self, breed: &str, text: &str) -> Result<(), String> {
        let (breed, floor) = (breed.to_lowercase(), half_mm(text)?);
        self.breeds.retain(|(word, _)| *word != breed);
        self.breeds.push((breed, floor));
        // The longest word that fits says most.
        self.breeds.sort_by_key(|(word, _)| (std::cmp::Reverse(word.len()), word.clone()));
        Ok(())
    }

    /// The floor of a breed, by its name on the herd list; a hyphen stands for a blank.
    #[must_use]
    pub fn of_breed(&self, breed: &str) -> Option<u8> {
        let breed = breed.to_lowercase().replace(' ', "-");
        self.breeds.iter().find(|(word, _)| breed.contains(word)).map(|(_, floor)| *floor)
    }
}

/// "72.5" is 145.
fn half_mm(text: &str) -> Result<u8, String> {
    let tenths = crate::decimal::decimal(text, 1);
    let halves = tenths.filter(|tenths| tenths % 5 == 0).map(|tenths| tenths / 5);
    let fits = halves.filter(|halves| (1..=i64::from(MOST)).contains(halves));
    let fits = fits.and_then(|halves| u8::try_from(halves).ok());
    fits.ok_or_else(|| "must be millimetres from 0.5 to 127, in steps of 0.5".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn floors_are_set_and_mistakes_change_nothing() {
        let mut floors = Floors::default();
        for (key, text) in [
            ("floor", "72.5"),
            ("floor-first", "70"),
            ("floor-red", "71"),
            ("floor-Danish-Red", "73"),
            ("floor-red", "74"),
            ("heels", "3"),
        ] {
            assert_eq!(floors.set(key, text), Some(Ok(())), "{key}");
        }
        assert_eq!((floors.any, floors.first, floors.heels), (Some(145), Some(140), Some(6)));
        for (breed, floor) in
            [("Danish Red", Some(146)), ("Norwegian red", Some(148)), ("Jersey", None)]
        {
            assert_eq!(floors.of_breed(breed), floor, "{breed}");
        }
        let before = floors.clone();
        for text in ["", "0", "72.3", "127.5", "-5", "1e2", "7x"] {
            assert!(matches!(floors.set("floor", text), Some(Err(_))), "{text}");
            assert!(matches!(floors.set("floor-jersey", text), Some(Err(_))), "{text}");
        }
        for key in ["floors", "floor-", "heel", "hind"] {
            assert_eq!(floors.set(key, "3"), None, "{key}");
        }
        assert_eq!(floors, before);
    }
}
