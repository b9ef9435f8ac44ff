//! Time on the handheld: microseconds since it started, passed in as an argument everywhere.

use hornrule_protocol::Uptime;

/// A moment, in microseconds since the handheld started. 64 bits never wrap.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Micros(pub u64);

impl Micros {
    /// The moment `us` microseconds later.
    #[must_use]
    pub const fn after_us(self, us: u64) -> Self {
        Self(self.0.saturating_add(us))
    }

    /// The moment `ms` milliseconds later.
    #[must_use]
    pub const fn after_ms(self, ms: u64) -> Self {
        self.after_us(ms.saturating_mul(1000))
    }

    /// Microseconds since an earlier moment; zero if it is not earlier.
    #[must_use]
    pub const fn since(self, earlier: Self) -> u64 {
        self.0.saturating_sub(earlier.0)
    }

    /// In milliseconds, as in a record.
    #[must_use]
    pub const fn uptime(self) -> Uptime {
        Uptime(self.0 / 1000)
    }
}

/// When a state machine wants to be called next.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wake {
    /// At once: there is more to do.
    Now,
    /// At this moment, if nothing happens before.
    At(Micros),
    /// Only when something happens.
    OnInput,
}

impl Wake {
    /// Whichever comes first.
    #[must_use]
    pub fn sooner(self, other: Self) -> Self {
        match (self, other) {
            (Self::Now, _) | (_, Self::Now) => Self::Now,
            (Self::At(a), Self::At(b)) => Self::At(a.min(b)),
            (Self::At(a), Self::OnInput) | (Self::OnInput, Self::At(a)) => Self::At(a),
            (Self::OnInput, Self::OnInput) => Self::OnInput,
        }
    }
}
