//! Numbers that name things in the database.

use hornrule_protocol::{AnimalNumber, Iso11784};
use jiff::civil::Date;
use jiff::{SignedDuration, Timestamp, tz::TimeZone};

/// Which herd, by its number in this database.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct HerdId(pub i64);

impl HerdId {
    /// The number, from 1.
    #[must_use]
    pub const fn number(self) -> i64 {
        self.0
    }
}

/// Which cow of a herd: her herd number, or her electronic tag where the herd list has none for it.
///
/// Herd numbers have up to 9 digits, tags 13 to 15 (a country code is never zero), so one number
/// says which of the two it is. Those of 10 to 12 digits between them name cows who once had a herd
/// number that another one has now.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AnimalId(pub i64);

/// Herd numbers are below this.
const NUMBERS: i64 = 1_000_000_000;
/// Number of former owners of a number that can be distinguished.
const FORMERS: i64 = 999;

impl AnimalId {
    /// As keyed; `None` for a tag without a country, which no animal carries.
    #[must_use]
    pub fn from_number(number: AnimalNumber) -> Option<Self> {
        match number {
            AnimalNumber::Herd(number) => Some(Self(i64::from(number.get()))),
            AnimalNumber::Tag(tag) if tag.country() == 0 => None,
            AnimalNumber::Tag(tag) => Some(Self(Self::tag_number(tag))),
        }
    }

    /// A tag as the database writes it.
    pub fn tag_number(tag: Iso11784) -> i64 {
        // 15 decimal digits fit 63 bits.
        i64::try_from(tag.decimal()).unwrap_or(i64::MAX)
    }

    /// The cow who had this herd number before it was given to another for the `nth` time, from 1;
    /// `None` beyond 999 and for what is no herd number.
    #[must_use]
    pub fn former(self, nth: i64) -> Option<Self> {
        let fits = (1..=FORMERS).contains(&nth) && (1..NUMBERS).contains(&self.0);
        fits.then_some(Self(nth * NUMBERS + self.0))
    }

    /// The number: up to 9 digits a herd number, 10 to 12 a former one, from 13 on a tag.
    #[must_use]
    pub const fn number(self) -> i64 {
        self.0
    }

    /// Whether it is a tag and no herd number, of today or former.
    #[must_use]
    pub const fn is_tag(self) -> bool {
        self.0 / NUMBERS > FORMERS
    }
}

impl core::fmt::Display for AnimalId {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        match (self.0 / NUMBERS, self.0 % NUMBERS) {
            (0, number) => number.fmt(f),
            (1, number) => write!(f, "{number} (former)"),
            (nth @ 2..=FORMERS, number) => write!(f, "{number} (former {nth})"),
            _ => write!(f, "{:015}", self.0),
        }
    }
}

/// A day: days since 1970-01-01, in the farm's own time zone.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(pub i32);

const EPOCH: Date = Date::constant(1970, 1, 1);

impl Day {
    /// The day on which a moment falls; `None` beyond the years -9999 to 9999.
    #[must_use]
    pub fn of(unix_ms: i64, zone: &TimeZone) -> Option<Self> {
        let date = zone.to_datetime(Timestamp::from_millisecond(unix_ms).ok()?).date();
        Some(Self::from_date(date))
    }

    /// The day of a date.
    #[must_use]
    pub fn from_date(date: Date) -> Self {
        let days = date.duration_since(EPOCH).as_hours() / 24;
        // The dates of 20,000 years are within ±7.3 million days.
        Self(i32::try_from(days).unwrap_or(0))
    }

    /// The date of a day; the epoch for days no calendar has.
    #[must_use]
    pub fn date(self) -> Date {
        EPOCH.checked_add(SignedDuration::from_hours(i64::from(self.0) * 24)).unwrap_or(EPOCH)
    }

    /// That many days later.
    #[must_use]
    pub const fn plus(self, days: u16) -> Self {
        Self(self.0.saturating_add(days as i32))
    }
}

impl core::fmt::Display for Day {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        self.date().fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_day_is_the_farms_own() {
        // 2026-03-29T23:30:00Z is the 30th in Berlin (UTC+2 since that morning).
        let late = 1_774_827_000_000;
        let berlin = TimeZone::get("Europe/Berlin").unwrap();
        assert_eq!(Day::of(late, &TimeZone::UTC).unwrap().to_string(), "2026-03-29");
        assert_eq!(Day::of(late, &berlin).unwrap().to_string(), "2026-03-30");
        assert_eq!(Day::of(i64::MAX, &berlin), None);
    }

    #[test]
    fn days_count_from_1970() {
        assert_eq!(Day::from_date(EPOCH), Day(0));
        assert_eq!(Day(-1).to_string(), "1969-12-31");
        // 2000-03-01 is day 11,017 (GNU date: 951868800 / 86400).
        assert_eq!(Day(11_017).to_string(), "2000-03-01");
        assert_eq!(Day::from_date(Day(11_017).date()), Day(11_017));
        assert_eq!(Day(i32::MAX).date(), EPOCH);
    }

    #[test]
    fn former_numbers_lie_between_numbers_and_tags() {
        let cow = AnimalId(312);
        let former = [1, 2, 999].map(|nth| cow.former(nth).unwrap());
        assert_eq!(former.map(|one| one.0), [1_000_000_312, 2_000_000_312, 999_000_000_312]);
        let shown = former.map(|one| one.to_string());
        assert_eq!(shown, ["312 (former)", "312 (former 2)", "312 (former 999)"]);
        assert_eq!((cow.former(0), cow.former(1000), former[0].former(1)), (None, None, None));
    }

    #[test]
    fn tags_and_herd_numbers_do_not_meet() {
        let tag = |n| AnimalNumber::Tag(Iso11784::from_decimal(n).unwrap());
        assert_eq!(AnimalId::from_number(tag(12)), None);
        let lowest = AnimalId::from_number(tag(1_000_000_000_000)).unwrap();
        assert_eq!(lowest.to_string(), "001000000000000");
        assert!(lowest.number() > 999_999_999 && lowest.is_tag());
    }
}
