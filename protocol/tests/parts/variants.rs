//! Which variants an enum has, taken from its own `Deserialize`: nobody keeps the list by hand, so
//! no new variant can be missing from it.

use serde::de::{self, Deserialize, Deserializer, Visitor};
use serde::forward_to_deserialize_any;

/// The names of the variants in the order of their tags.
pub(crate) fn names<T: Deserialize<'static>>() -> &'static [&'static str] {
    let mut found: &'static [&'static str] = &[];
    assert!(T::deserialize(Asked(&mut found)).is_err(), "asked for names, not for a value");
    assert!(!found.is_empty(), "not an enum");
    found
}

/// Records the names and stops.
struct Asked<'a>(&'a mut &'static [&'static str]);

#[derive(Debug)]
struct Stop;

impl std::fmt::Display for Stop {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("stopped after the names")
    }
}

impl std::error::Error for Stop {}

impl de::Error for Stop {
    fn custom<T: std::fmt::Display>(_: T) -> Self {
        Self
    }
}

impl<'de> Deserializer<'de> for Asked<'_> {
    type Error = Stop;

    fn deserialize_any<V: Visitor<'de>>(self, _: V) -> Result<V::Value, Stop> {
        Err(Stop)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        variants: &'static [&'static str],
        _: V,
    ) -> Result<V::Value, Stop> {
        *self.0 = variants;
        Err(Stop)
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf
        option unit unit_struct newtype_struct seq tuple tuple_struct map struct identifier
        ignored_any
    }
}
