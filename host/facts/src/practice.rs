//! Whose papers these are: the practice, and how it is reached.
//!
//! ```toml
//! [practice]                 # in hornrule.toml
//! name = "Hoof & Horn"
//! phone = "+44 1632 960123"
//! ```

/// The heading in the file.
pub const HEADING: &str = "practice";
/// What stands below it.
pub const KEYS: [&str; 2] = ["name", "phone"];
/// The longest of these texts, characters: a line of a page.
pub const LONGEST: usize = 80;

/// The practice.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Practice {
    /// Its name; empty where nobody said.
    pub name: String,
    /// Its phone number, as it is to be printed; empty where nobody said.
    pub phone: String,
}

impl Practice {
    /// Sets what a key names. `None` where there is no such key.
    pub fn set(&mut self, key: &str, text: String) -> Option<()> {
        match key {
            "name" => self.name = text,
            "phone" => self.phone = text,
            _ => return None,
        }
        Some(())
    }
}
