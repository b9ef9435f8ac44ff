//! How this trimmer works: at which claw work starts, and what is always done together.
//!
//! ```toml
//! [plan]                     # in hornrule.toml
//! hind = "inner"             # where work starts on a hind foot; not said: outer
//! front = "outer"
//! bundle-1 = "31 this, 32 this, 10 partner"      # what DO 01 does
//! bundle-2 = "60 foot, 61 foot, 21 foot"
//! ```
//!
//! A part is an action's number, where it is done (`this` claw, `partner`, `foot`, `cow`), and days
//! where the action takes them: `82 foot 14`.

use hornrule_protocol::bundle::MAX_BUNDLE;
use hornrule_protocol::plan::FirstClaws;
use hornrule_protocol::{Bundle, Foot, Side};

/// The heading in the file.
pub const HEADING: &str = "plan";
/// What stands below it, in words.
pub const KEYS: &str = "hind, front, bundle-1 to bundle-9";

/// Bundles as the plan has them.
const BUNDLES: usize = MAX_BUNDLE as usize;

/// The habits of a trimmer.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Habits {
    /// At which claw of each foot work starts.
    pub first_claws: FirstClaws,
    bundles: [Option<Bundle>; BUNDLES],
}

/// Why something is no habit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NoHabit {
    /// No such key.
    Key,
    /// Not a value of this key; what it should be.
    Value(String),
}

impl Habits {
    /// Bundles to learn with, where a trimmer has set none.
    pub const EXAMPLE: [(&'static str, &'static str); 5] = [
        ("bundle-1", "31 this, 32 this, 10 partner"),
        ("bundle-2", "60 foot, 61 foot, 21 foot"),
        ("bundle-3", "31 this, 32 this, 82 foot 14, 10 partner"),
        ("bundle-4", "51 this, 20 foot, 40 partner"),
        ("bundle-5", "50 this, 41 partner"),
    ];

    /// Sets what a key of the file names.
    ///
    /// # Errors
    /// [`NoHabit`]; nothing is changed then.
    pub fn set(&mut self, key: &str, text: &str) -> Result<(), NoHabit> {
        match key {
            "hind" => self.start([Foot::LeftHind, Foot::RightHind], text),
            "front" => self.start([Foot::LeftFore, Foot::RightFore], text),
            _ => {
                let number = key.strip_prefix("bundle-").and_then(|number| number.parse().ok());
                let empty = number.and_then(Bundle::new).ok_or(NoHabit::Key)?;
                let bundle =
                    empty.with_parts(text).map_err(|wrong| NoHabit::Value(wrong.to_string()))?;
                self.put(bundle);
                Ok(())
            }
        }
    }

    fn start(&mut self, feet: [Foot; 2], text: &str) -> Result<(), NoHabit> {
        let side = match text {
            "inner" => Side::Medial,
            "outer" => Side::Lateral,
            _ => return Err(NoHabit::Value("must be \"inner\" or \"outer\"".to_owned())),
        };
        self.first_claws =
            feet.into_iter().fold(self.first_claws, |claws, foot| claws.with(foot, side));
        Ok(())
    }

    /// With this bundle, in place of another of its number.
    pub fn put(&mut self, bundle: Bundle) {
        // Numbered from 1 to 9.
        if let Some(place) = self.bundles.get_mut(usize::from(bundle.number()).wrapping_sub(1)) {
            *place = Some(bundle);
        }
    }

    /// The bundles, by ascending number.
    pub fn bundles(&self) -> impl Iterator<Item = &Bundle> {
        self.bundles.iter().flatten()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn habits_are_set_and_mistakes_change_nothing() {
        let mut habits = Habits::default();
        habits.set("hind", "inner").unwrap();
        assert_eq!(habits.first_claws.of(Foot::RightHind), Side::Medial);
        assert_eq!(habits.first_claws.of(Foot::RightFore), Side::Lateral);
        habits.set("bundle-2", "60 foot, 21 foot").unwrap();
        habits.set("bundle-1", "31 this, 10 partner").unwrap();
        habits.set("bundle-2", "60 foot").unwrap();
        let bundles: Vec<(u8, usize)> =
            habits.bundles().map(|bundle| (bundle.number(), bundle.parts().count())).collect();
        assert_eq!(bundles, [(1, 2), (2, 1)]);
        let before = habits;
        let mut example = Habits::default();
        for (key, parts) in Habits::EXAMPLE {
            example.set(key, parts).unwrap();
        }
        assert_eq!(example.bundles().count(), Habits::EXAMPLE.len());
        for (key, text) in [("hind", "left"), ("bundle-1", "31 foot"), ("bundle-1", "")] {
            assert!(matches!(habits.set(key, text), Err(NoHabit::Value(_))), "{key} {text}");
        }
        for key in ["fore", "bundle-0", "bundle-10", "bundle", "bundle-x"] {
            assert_eq!(habits.set(key, "31 this"), Err(NoHabit::Key), "{key}");
        }
        assert_eq!(habits, before);
    }
}
