//! Reading a story.

use hornrule_core::cue::Cue;
use hornrule_core::keypad::Key;
use hornrule_protocol::Nanometres;
use hornrule_protocol::record::{CalliperKind, UnitMode};

use super::{Event, Line, Story};

/// What is wrong with a story, and where.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("story line {line}: {why}")]
pub struct StoryError {
    /// Line, from 1.
    pub line: usize,
    /// What is wrong, and what would be right.
    pub why: String,
}

pub(super) fn story(text: &str) -> Result<Story, StoryError> {
    let mut lines = Vec::new();
    for (at, raw) in text.lines().enumerate() {
        let number = at + 1;
        let line = raw.split('#').next().unwrap_or_default().trim();
        if line.is_empty() {
            continue;
        }
        let event = event(line).map_err(|why| StoryError { line: number, why })?;
        lines.push(Line { number, event });
    }
    Ok(Story { lines })
}

fn event(line: &str) -> Result<Event, String> {
    let words: Vec<&str> = line.split_whitespace().collect();
    match words.as_slice() {
        ["at", date, time] => at(date, time),
        ["wait", length] => duration(length).map(Event::Wait),
        ["power", "on"] => Ok(Event::PowerOn),
        ["power", "off" | "cut"] => Ok(Event::PowerOff),
        ["keys", names @ ..] if !names.is_empty() => keys(names).map(Event::Keys),
        ["hold", name, length] => match keys(&[name])?.as_slice() {
            [one] => Ok(Event::Hold(*one, duration(length)?)),
            _ => Err(format!("`{name}` is more than one key")),
        },
        ["clip", value, unit] => {
            length(value, unit).map(|(length, unit)| Event::Clip(length, unit))
        }
        ["calliper", "off"] => Ok(Event::Calliper(None)),
        ["calliper", "sync24"] => Ok(Event::Calliper(Some(CalliperKind::Sync24))),
        ["calliper", "bcd52"] => Ok(Event::Calliper(Some(CalliperKind::Bcd52))),
        ["plug", "loose"] => Ok(Event::PlugLoose(true)),
        ["plug", "firm"] => Ok(Event::PlugLoose(false)),
        ["plug", "in"] => Ok(Event::PlugIn),
        ["battery", mv] => {
            mv.parse().map(Event::Battery).map_err(|_| format!("`{mv}` is not millivolts"))
        }
        // Whatever a reader may send, even nonsense: the handheld judges it.
        ["tag", line @ ..] if !line.is_empty() => Ok(Event::Tag(line.join(" "))),
        ["office", "clock"] => Ok(Event::OfficeClock),
        ["office", "plan", words @ ..] => super::plan::bytes(words).map(Event::OfficePlan),
        ["expect", name] => expect(name),
        _ => Err(format!("`{line}` is no event; STORY.md lists them")),
    }
}

fn at(date: &str, time: &str) -> Result<Event, String> {
    let seconds = if time.matches(':').count() == 1 { ":00" } else { "" };
    format!("{date}T{time}{seconds}Z")
        .parse::<jiff::Timestamp>()
        .map(|stamp| Event::At(stamp.as_millisecond()))
        .map_err(|_| format!("`{date} {time}` is not a date and time like 2026-03-03 07:05"))
}

/// Milliseconds.
fn duration(text: &str) -> Result<u64, String> {
    let split = text.find(|c: char| !c.is_ascii_digit()).unwrap_or(text.len());
    let (count, unit) = text.split_at(split);
    let unit_ms = match unit {
        "ms" => 1,
        "s" => 1_000,
        "min" => 60_000,
        "h" => 3_600_000,
        "d" => 86_400_000,
        _ => return Err(format!("`{text}` is not a time like 20s (ms, s, min, h, d)")),
    };
    let count: u64 =
        count.parse().map_err(|_| format!("`{text}` has no number before its unit"))?;
    count.checked_mul(unit_ms).ok_or_else(|| format!("`{text}` is too long"))
}

fn keys(names: &[&str]) -> Result<Vec<Key>, String> {
    let mut keys = Vec::new();
    for name in names {
        match *name {
            "LF" => keys.push(Key::Lf),
            "RF" => keys.push(Key::Rf),
            "LH" => keys.push(Key::Lh),
            "RH" => keys.push(Key::Rh),
            "FIND" => keys.push(Key::Find),
            "DO" => keys.push(Key::Do),
            "SIZE" => keys.push(Key::Size),
            "SCORE" => keys.push(Key::Score),
            "COW" => keys.push(Key::Cow),
            "UNDO" => keys.push(Key::Undo),
            digits => {
                for c in digits.chars() {
                    keys.push(digit_key(c).ok_or_else(|| format!("`{name}` is no key"))?);
                }
            }
        }
    }
    Ok(keys)
}

fn digit_key(c: char) -> Option<Key> {
    let digit = c.to_digit(10)?;
    Key::ALL.into_iter().find(|key| key.digit().is_some_and(|d| u32::from(d) == digit))
}

/// What a display shows: "76.40", "mm".
pub(crate) fn length(value: &str, unit: &str) -> Result<(Nanometres, UnitMode), String> {
    // Decimal places shift whole numbers, so no float comes between story and bits.
    let (unit, nm_per_unit) = match unit {
        "mm" => (UnitMode::Millimetre, 1_000_000i64),
        "in" => (UnitMode::Inch, 25_400_000i64),
        other => return Err(format!("`{other}` is neither mm nor in")),
    };
    let not_a_length = || format!("`{value}` is not a length like 76.40");
    let (sign, digits) = value.strip_prefix('-').map_or((1, value), |rest| (-1, rest));
    let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
    let places = u32::try_from(fraction.len()).map_err(|_| not_a_length())?;
    let number: i64 = format!("{whole}{fraction}").parse().map_err(|_| not_a_length())?;
    let scale = 10i64.checked_pow(places).ok_or_else(not_a_length)?;
    let product = number.checked_mul(nm_per_unit).ok_or_else(not_a_length)?;
    if product % scale != 0 {
        return Err(format!("`{value}` has more places than a calliper shows"));
    }
    let nm = i32::try_from(sign * product / scale).map_err(|_| not_a_length())?;
    Ok((Nanometres(nm), unit))
}

fn expect(name: &str) -> Result<Event, String> {
    Cue::ALL
        .into_iter()
        .find(|cue| format!("{cue:?}") == name)
        .map(Event::Expect)
        .ok_or_else(|| format!("`{name}` is no cue"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(line: &str) -> Event {
        event(line).unwrap()
    }

    #[test]
    fn lines_are_read() {
        assert_eq!(one("at 1970-01-01 00:01"), Event::At(60_000));
        assert_eq!(one("wait 2min"), Event::Wait(120_000));
        assert_eq!(one("clip 75.32 mm"), Event::Clip(Nanometres(75_320_000), UnitMode::Millimetre));
        assert_eq!(one("clip -0.0390 in"), Event::Clip(Nanometres(-990_600), UnitMode::Inch));
        assert_eq!(
            one("keys COW 41 COW"),
            Event::Keys(vec![Key::Cow, Key::Four, Key::One, Key::Cow])
        );
        assert_eq!(one("expect CowUnknown"), Event::Expect(Cue::CowUnknown));
    }

    #[test]
    fn mistakes_name_their_line() {
        let error = story("power on\n\nkeys COW X COW # no X\n").unwrap_err();
        assert_eq!(error.to_string(), "story line 3: `X` is no key");
        for wrong in ["wait 5", "wait s", "clip 7,5 mm", "clip 7.5 cm", "at 2026-13-01 07:00"] {
            assert!(event(wrong).is_err(), "{wrong}");
        }
    }
}
