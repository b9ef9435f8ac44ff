//! Who trims: what stands at the head of letters and sheets, so that a farm or a vet can ring back.
//!
//! ```toml
//! [practice]                 # in hornrule.toml
//! name = "Claw trimming at the ford"
//! address = ["Mill Lane 4", "Otterford"]
//! phone = "+44 1632 960123"
//! email = "trim@example.org"
//! ```

/// The heading of these lines in the file.
pub const HEADING: &str = "practice";

/// The practice that writes a page. What nobody said is empty.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Practice {
    /// What it is called.
    pub name: String,
    /// Where it is, line by line, without the name.
    pub address: Vec<String>,
    /// The number to ring, as it is dialled.
    pub phone: String,
    /// Where to write.
    pub email: String,
}

impl Practice {
    /// Whether nothing is known of it.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// Name and address as lines of a letter's head; without phone and email, which each page puts
    /// where its reader looks for them.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let name = Some(self.name.clone()).filter(|name| !name.is_empty());
        name.into_iter().chain(self.address.iter().cloned()).collect()
    }
}
