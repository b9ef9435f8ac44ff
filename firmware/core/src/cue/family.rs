//! The eight families: what a cue says at once.

/// What a cue says at once, and so what the trimmer does next.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Family {
    /// Goes on with the sentence.
    Taken,
    /// Goes on with the next: this is stored. The only promise (P1).
    InFlash,
    /// Thinks: something is unusual.
    LookOut,
    /// Looks: something is due.
    Due,
    /// Says it again: nothing was stored.
    NotDone,
    /// Leaves her for the vet.
    Vet,
    /// Leaves the claws alone.
    DoNotTrim,
    /// Clips on, or puts the calliper away.
    Calliper,
}

/// Colour of the light.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Light {
    /// Dark.
    Off,
    /// Go on.
    Green,
    /// Attention.
    Amber,
    /// Not done, or not to be done.
    Red,
}

impl Light {
    /// In a word.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Off => "dark",
            Self::Green => "green",
            Self::Amber => "amber",
            Self::Red => "red",
        }
    }
}

/// A tick, and short, long and very long sounds: 1 to 3 to 8, so that they can be told apart
/// without a reference. Milliseconds.
pub(super) const TICK: u16 = 25;
pub(super) const SHORT: u16 = 60;
pub(super) const LONG: u16 = 180;
pub(super) const VERY_LONG: u16 = 480;

impl Family {
    /// All eight, in the order of the table.
    pub const ALL: [Self; 8] = [
        Self::Taken,
        Self::InFlash,
        Self::LookOut,
        Self::Due,
        Self::NotDone,
        Self::Vet,
        Self::DoNotTrim,
        Self::Calliper,
    ];

    /// What it is called.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Taken => "taken",
            Self::InFlash => "in flash",
            Self::LookOut => "look out",
            Self::Due => "due",
            Self::NotDone => "not done",
            Self::Vet => "vet",
            Self::DoNotTrim => "do not trim",
            Self::Calliper => "calliper",
        }
    }

    /// What to do when it is heard.
    #[must_use]
    pub const fn advice(self) -> &'static str {
        match self {
            Self::Taken => "go on with the sentence",
            Self::InFlash => "go on with the next; this is stored",
            Self::LookOut => "think; something is unusual",
            Self::Due => "look; something is due",
            Self::NotDone => "say it again; nothing was stored",
            Self::Vet => "leave her for the vet",
            Self::DoNotTrim => "leave the claws alone",
            Self::Calliper => "clip on, or put the calliper away",
        }
    }

    /// Lengths of its sounds, milliseconds.
    pub(super) const fn sounds(self) -> &'static [u16] {
        match self {
            Self::Taken => &[TICK],
            Self::InFlash => &[SHORT, SHORT],
            Self::LookOut => &[LONG, LONG],
            Self::Due => &[LONG, SHORT, LONG],
            Self::NotDone => &[VERY_LONG],
            Self::Vet => &[VERY_LONG, SHORT, SHORT],
            Self::DoNotTrim => &[VERY_LONG, VERY_LONG, VERY_LONG],
            Self::Calliper => &[TICK; 6],
        }
    }

    /// Its colour, whatever else it tells.
    #[must_use]
    pub const fn light(self) -> Light {
        match self {
            Self::Taken | Self::InFlash | Self::Calliper => Light::Green,
            Self::LookOut | Self::Due | Self::Vet => Light::Amber,
            Self::NotDone | Self::DoNotTrim => Light::Red,
        }
    }

    /// Its pitch, hertz: the colour's.
    pub(super) const fn tone_hz(self) -> u16 {
        match self.light() {
            Light::Green | Light::Off => 1480,
            Light::Amber => 1175,
            Light::Red => 830,
        }
    }
}
