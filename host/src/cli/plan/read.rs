//! What is written behind the options of `hornrule plan`.

use hornrule_facts::decimal::decimal;
use hornrule_protocol::plan::{Limits, Order};
use hornrule_protocol::{Bundle, Dimension, HerdNumber};

fn dimension(text: &str) -> Result<Dimension, String> {
    text.parse()
        .ok()
        .and_then(Dimension::from_code)
        .filter(|dimension| !dimension.is_gauge())
        .ok_or_else(|| format!("`{text}` is no dimension; they are 1 to 9 (`hornrule cues`)"))
}

pub(super) fn order(text: &str) -> Result<Order, String> {
    let mut order = Order::EMPTY;
    for step in text.split(',') {
        let (code, clips) = step.trim().split_once('x').unwrap_or((step.trim(), "1"));
        let clips = clips.parse().map_err(|_| format!("`{clips}` is no number of clips"))?;
        order = order
            .then(dimension(code)?, clips)
            .ok_or_else(|| format!("`{step}`: at most 16 steps, of 1 to 15 clips each"))?;
    }
    Ok(order)
}

pub(super) fn limit(text: &str) -> Result<(Dimension, (u16, u16)), String> {
    let wrong = || format!("`{text}` is not like 1=70-90 (millimetres, at most two places)");
    let (code, range) = text.split_once('=').ok_or_else(wrong)?;
    let (low, high) = range.split_once('-').ok_or_else(wrong)?;
    let dimension = dimension(code)?;
    let range = (hundredths(low).ok_or_else(wrong)?, hundredths(high).ok_or_else(wrong)?);
    Limits::default().with(dimension, range).ok_or_else(wrong)?;
    Ok((dimension, range))
}

/// Hundredths of a millimetre, exactly.
fn hundredths(text: &str) -> Option<u16> {
    decimal(text, 2).and_then(|hundredths| hundredths.try_into().ok())
}

pub(super) fn bundle(text: &str) -> Result<Bundle, String> {
    let (number, parts) = text.split_once('=').unwrap_or((text, ""));
    let empty = number.trim().parse().ok().and_then(Bundle::new);
    let empty = empty.ok_or_else(|| format!("`{number}` is no number of a bundle: 1 to 9"))?;
    empty.with_parts(parts).map_err(|wrong| wrong.to_string())
}

pub(super) fn cow(text: &str) -> Result<(String, HerdNumber), String> {
    let wrong = || {
        format!("`{text}` is not like 1:412 (the farm's key in this plan or its name, herd number)")
    };
    let (farm, number) = text.rsplit_once(':').ok_or_else(wrong)?;
    let farm = Some(farm.trim()).filter(|farm| !farm.is_empty()).ok_or_else(wrong)?;
    let number = number.parse().ok().and_then(HerdNumber::new).ok_or_else(wrong)?;
    Ok((farm.to_owned(), number))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn orders_limits_and_cows_are_read_and_their_mistakes_named() {
        let steps: Vec<(u8, u8)> =
            order("1x2, 3").unwrap().steps().map(|(d, clips)| (d.code(), clips)).collect();
        assert_eq!(steps, [(1, 2), (3, 1)]);
        for (wrong, says) in [("0", "no dimension"), ("12", "no dimension"), ("1x16", "1 to 15")] {
            assert!(order(wrong).unwrap_err().contains(says), "{wrong}");
        }
        let (dimension, range) = limit("1=70-90.5").unwrap();
        assert_eq!((dimension.code(), range), (1, (7_000, 9_050)));
        for wrong in ["1", "1=70", "1=90-70", "0=1-2", "1=7.123-9", "1=-7-9", "1=70-700"] {
            assert!(limit(wrong).is_err(), "{wrong}");
        }
        let written = bundle("1=31 this, 10 partner").unwrap();
        assert_eq!((written.number(), written.parts().count()), (1, 2));
        for (wrong, says) in [("31 this", "1 to 9"), ("1=31 foot", "part 1"), ("10=31 this", "9")] {
            assert!(bundle(wrong).unwrap_err().contains(says), "{wrong}");
        }
        assert_eq!(cow("1:412").unwrap(), ("1".to_owned(), HerdNumber::new(412).unwrap()));
        for wrong in ["412", ":412", "1:0", "1:x"] {
            assert!(cow(wrong).is_err(), "{wrong}");
        }
    }
}
