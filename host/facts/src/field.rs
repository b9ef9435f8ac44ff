//! The fields of an entry that a person can correct: how each is read, shown and put in.

use hornrule_protocol::codes::About;
use hornrule_protocol::record::{Entry, UnitMode};
use hornrule_protocol::{
    Action, AnimalNumber, Dimension, HerdNumber, Iso11784, Lesion, Nanometres, Place, Scale, Zone,
};

use crate::decimal::millimetres;
use crate::plain as words;

/// A field.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Field {
    /// Which cow was named.
    Cow = 1,
    /// Which farm a visit is to.
    Farm,
    /// Which claw or foot.
    Place,
    /// Which lesion.
    Lesion,
    /// Its severity or stage.
    Grade,
    /// Its zone.
    Zone,
    /// What was done.
    Action,
    /// In how many days to see again.
    Days,
    /// What was measured.
    Dimension,
    /// The length.
    Length,
    /// How the calliper was set.
    Unit,
    /// On which scale was scored.
    Scale,
    /// The score.
    Value,
}

use Field as F;

impl Field {
    /// Every field with its name on the command line.
    pub const ALL: [(Self, &'static str); 13] = [
        (F::Cow, "cow"),
        (F::Farm, "farm"),
        (F::Place, "place"),
        (F::Lesion, "lesion"),
        (F::Grade, "grade"),
        (F::Zone, "zone"),
        (F::Action, "action"),
        (F::Days, "days"),
        (F::Dimension, "dimension"),
        (F::Length, "length"),
        (F::Unit, "unit"),
        (F::Scale, "scale"),
        (F::Value, "value"),
    ];

    /// Its number in the database.
    #[must_use]
    pub const fn number(self) -> u8 {
        self as u8
    }

    /// The field of a number.
    #[must_use]
    pub fn from_number(number: u8) -> Option<Self> {
        Self::ALL.iter().find(|(field, _)| field.number() == number).map(|(field, _)| *field)
    }

    /// Its name on the command line.
    #[must_use]
    pub fn name(self) -> &'static str {
        Self::ALL.iter().find(|(field, _)| *field == self).map_or("", |(_, name)| name)
    }

    /// The field of a name.
    #[must_use]
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.iter().find(|(_, known)| *known == name).map(|(field, _)| *field)
    }

    /// What a person may write for it.
    #[must_use]
    pub const fn takes(self) -> &'static str {
        match self {
            F::Cow => "a herd number, or the 15 digits of a tag",
            F::Farm => "a farm's digit, 1 to 9",
            F::Place => "LF, RF, LH or RH; with outer or inner for a claw; or cow",
            F::Lesion => "a lesion's two digits or letters",
            F::Grade => "a digit",
            F::Zone => "a zone from 0 to 12, or usual",
            F::Action => "an action's two digits",
            F::Days => "days from 0 to 99",
            F::Dimension => "a dimension's digit",
            F::Length => "millimetres like 75.25",
            F::Unit => "mm or inch",
            F::Scale => "a scale's digit",
            F::Value => "a score",
        }
    }

    /// Reads what a person wrote; `None` where it is nothing of the kind.
    #[must_use]
    pub fn read(self, text: &str) -> Option<i64> {
        let text = text.trim();
        let digits = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
        let number = digits.then(|| text.parse::<i64>().ok()).flatten();
        let within = |most: i64| number.filter(|number| *number <= most);
        let code = number.and_then(|number| u8::try_from(number).ok());
        match self {
            F::Cow => number.filter(|number| animal(*number).is_some()),
            F::Farm => within(9).filter(|farm| *farm > 0),
            F::Place => read_place(text),
            F::Lesion => {
                let of_code = code.and_then(Lesion::from_code);
                let lesion = of_code.or_else(|| Lesion::from_letters(text));
                lesion.map(|lesion| lesion.code().into())
            }
            F::Grade => within(9),
            F::Zone if text.eq_ignore_ascii_case("usual") => Some(-1),
            F::Zone => within(12),
            F::Action => code.and_then(of_cow).map(|action| action.code().into()),
            F::Days => within(99),
            F::Dimension => code.and_then(Dimension::from_code).map(|one| one.code().into()),
            F::Length => millimetres(text).map(|length| length.0.into()),
            F::Unit if text.eq_ignore_ascii_case("mm") => Some(0),
            F::Unit => text.eq_ignore_ascii_case("inch").then_some(1),
            F::Scale => code.and_then(Scale::from_code).map(|scale| scale.code().into()),
            F::Value => within(9),
        }
    }

    /// A value in plain words.
    #[must_use]
    pub fn show(self, value: i64) -> String {
        let byte = u8::try_from(value).ok();
        let named = match self {
            F::Place => byte.and_then(|byte| Place::try_from(byte).ok()).map(words::place),
            F::Lesion => byte.and_then(Lesion::from_code).map(|one| one.name.to_owned()),
            F::Action => byte.and_then(Action::from_code).map(|one| one.name.to_owned()),
            F::Dimension => byte.and_then(Dimension::from_code).map(|one| one.name.to_owned()),
            F::Scale => byte.and_then(Scale::from_code).map(|one| one.name.to_owned()),
            F::Length => i32::try_from(value).ok().map(|nm| words::length(Nanometres(nm))),
            F::Zone => (value < 0).then(|| "the usual one".to_owned()),
            F::Unit => Some(if value == 0 { "millimetres" } else { "inches" }.to_owned()),
            F::Cow | F::Farm | F::Grade | F::Days | F::Value => None,
        };
        named.unwrap_or_else(|| value.to_string())
    }

    /// Puts a value into an entry. Says whether the entry has such a field and the field such a
    /// value.
    pub fn put(self, entry: &mut Entry, value: i64) -> bool {
        let byte = u8::try_from(value).ok();
        self.put_byte(entry, value, byte).is_some()
    }

    /// The table: which entry has which field.
    fn put_byte(self, entry: &mut Entry, value: i64, byte: Option<u8>) -> Option<()> {
        match (self, entry) {
            (F::Cow, Entry::Animal(number)) => *number = animal(value)?,
            (F::Farm, Entry::Visit { farm }) => *farm = byte?,
            (F::Place, Entry::Reading(reading)) => reading.place = Place::try_from(byte?).ok()?,
            (F::Place, Entry::Finding(finding)) => finding.place = Place::try_from(byte?).ok()?,
            (F::Place, Entry::Action(done)) => done.place = Place::try_from(byte?).ok()?,
            (F::Lesion, Entry::Finding(finding)) => finding.lesion = Lesion::from_code(byte?)?,
            (F::Grade, Entry::Finding(finding)) => finding.grade = byte?,
            (F::Zone, Entry::Finding(finding)) => {
                finding.zone = if value < 0 { None } else { Some(Zone::new(byte?)?) };
            }
            (F::Action, Entry::Action(done)) => done.action = of_cow(byte?)?,
            (F::Days, Entry::Action(done)) => done.days = byte?,
            (F::Dimension, Entry::Reading(reading)) => {
                reading.dimension = Dimension::from_code(byte?)?;
            }
            (F::Length, Entry::Reading(reading)) => {
                reading.length = Nanometres(i32::try_from(value).ok()?);
            }
            (F::Unit, Entry::Reading(reading)) => {
                reading.unit = if value == 0 { UnitMode::Millimetre } else { UnitMode::Inch };
            }
            (F::Scale, Entry::Score { scale, .. }) => *scale = Scale::from_code(byte?)?,
            (F::Value, Entry::Score { value: score, .. }) => *score = byte?,
            _ => return None,
        }
        Some(())
    }
}

/// A cow as she would be keyed: up to 9 digits a herd number, 13 to 15 a tag with its country.
#[must_use]
pub fn animal(number: i64) -> Option<AnimalNumber> {
    if let Some(number) = u32::try_from(number).ok().and_then(HerdNumber::new) {
        return Some(AnimalNumber::Herd(number));
    }
    let tag = Iso11784::from_decimal(u64::try_from(number).ok()?).ok()?;
    (tag.country() != 0).then_some(AnimalNumber::Tag(tag))
}

fn read_place(text: &str) -> Option<i64> {
    let text = text.to_lowercase();
    if text == "cow" {
        return Some(u8::from(Place::Cow).into());
    }
    let (foot, side) = text.split_once([' ', '-']).unwrap_or((&text, ""));
    let foot = match foot {
        "lf" => 0,
        "rf" => 1,
        "lh" => 2,
        "rh" => 3,
        _ => return None,
    };
    match side.trim() {
        "" => Some(foot),
        "outer" | "lateral" => Some(4 + foot),
        "inner" | "medial" => Some(8 + foot),
        _ => None,
    }
}

/// An action that is some cow's: washing is none, and no word of hers becomes it.
fn of_cow(code: u8) -> Option<Action> {
    Action::from_code(code).filter(|action| action.about != About::Tools)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_are_read_as_people_write_them() {
        for (field, text, value) in [
            (F::Cow, "312", Some(312)),
            (F::Cow, "276000312312345", Some(276_000_312_312_345)),
            (F::Cow, "0", None),
            (F::Cow, "12345678901", None),
            (F::Place, "LH outer", Some(6)),
            (F::Place, "rh-inner", Some(11)),
            (F::Place, "lf", Some(0)),
            (F::Place, "cow", Some(255)),
            (F::Place, "LH upper", None),
            (F::Lesion, "su", Some(13)),
            (F::Lesion, "13", Some(13)),
            (F::Lesion, "99", None),
            (F::Zone, "usual", Some(-1)),
            (F::Zone, "13", None),
            (F::Length, "75.25", Some(75_250_000)),
            (F::Length, "7,5", None),
            (F::Length, "99999", None),
            (F::Unit, "inch", Some(1)),
            (F::Action, "30", Some(30)),
            (F::Action, "29", None),
            (F::Value, "-1", None),
        ] {
            assert_eq!(field.read(text), value, "{field:?} {text}");
        }
    }

    #[test]
    fn names_and_numbers_lead_back() {
        for (at, (field, name)) in (1..).zip(Field::ALL) {
            assert_eq!(field.number(), at, "the database keeps these numbers");
            assert_eq!(Field::from_number(at), Some(field));
            assert_eq!(Field::from_name(name), Some(field));
            assert!(!field.takes().is_empty());
        }
        assert_eq!((Field::from_number(0), Field::from_name("colour")), (None, None));
    }

    #[test]
    fn a_field_is_put_only_where_the_entry_has_it() {
        let mut score = Entry::Score { scale: Scale::from_code(1).unwrap(), value: 9 };
        assert!(F::Value.put(&mut score, 3));
        assert!(!F::Grade.put(&mut score, 3) && !F::Scale.put(&mut score, 99));
        assert_eq!(score, Entry::Score { scale: Scale::from_code(1).unwrap(), value: 3 });
        assert!(!F::Cow.put(&mut Entry::AnimalLeft, 312));
    }
}
