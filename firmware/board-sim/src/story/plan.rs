//! A plan as written in a story: `1:412=recheck-RH,vet 1:415 order=1x2,3 gauge=75.00 blind`.
//! Beyond needs (`particulars`): `1:412=open-LH-outer,open-RH,floor-80,growth-3.2 floor=75 heels=3`.

use super::particulars;
use hornrule_protocol::plan::{
    Blinding, FirstClaws, Gauge, Head, Limits, Need, Needs, Order, PARTICULARS, Particulars, Row,
};
use hornrule_protocol::{
    AnimalNumber, Bundle, Dimension, Foot, HerdNumber, Iso11784, Nanometres, Side,
};

/// Permitted deviation of a gauge block given in a story, nanometres: 0.03 mm.
const TOLERANCE: Nanometres = Nanometres(30_000);

/// The plan's bytes.
pub(super) fn bytes(words: &[&str]) -> Result<Vec<u8>, String> {
    let mut head = Head::default();
    let (mut cows, mut bundles) = (Vec::new(), Vec::new());
    for word in words {
        match word.split_once('=') {
            Some(("order", steps)) => head.order = order(steps)?,
            Some(("gauge", mm)) => {
                let size = Nanometres(hundredths(mm)? * 10_000);
                head.gauge = Some(Gauge { size, tolerance: TOLERANCE });
            }
            Some(("inner", feet)) => head.first_claws = inner(feet)?,
            Some(("bundle", one)) => bundles.push(bundle(one)?),
            Some(("limit", range)) => head.limits = limit(head.limits, range)?,
            None if *word == "blind" => head.blinding = Blinding::Blind,
            Some(("floor", mm)) => head.floor = particulars::half_mm(mm)?,
            Some(("heels", mm)) => head.heels = particulars::half_mm(mm)?,
            Some((who, needs)) => cows.push(cow(&mut head, who, needs)?),
            None => cows.push(cow(&mut head, word, "")?),
        }
    }
    cows.sort_unstable_by_key(|(row, _)| *row);
    bundles.sort_by_key(Bundle::number);
    head.bundles = u8::try_from(bundles.len()).map_err(|_| "too many bundles".to_owned())?;
    head.animals = u16::try_from(cows.len()).map_err(|_| "too many cows".to_owned())?;
    let some = (0..head.animals).zip(&cows).filter(|(_, (_, particulars))| !particulars.is_none());
    let some: Vec<_> = some.flat_map(|(place, (_, one))| one.to_bytes(place)).collect();
    // At most as many as cows.
    head.particulars = (some.len() / PARTICULARS) as u16;
    let bundles = bundles.iter().flat_map(Bundle::to_bytes);
    let rows = cows.iter().flat_map(|(row, _)| row.to_bytes());
    Ok(head.to_bytes().into_iter().chain(bundles).chain(rows).chain(some).collect())
}

/// `LH,RH`: feet where work starts at the inner claw.
fn inner(feet: &str) -> Result<FirstClaws, String> {
    feet.split(',').try_fold(FirstClaws::OUTER, |claws, letters| {
        let foot = Foot::ALL.into_iter().find(|foot| foot.letters() == letters);
        let foot = foot.ok_or_else(|| format!("`{letters}` is no foot: LF, RF, LH, RH"))?;
        Ok(claws.with(foot, Side::Medial))
    })
}

/// `1:31-this,10-partner,82-foot-14`.
fn bundle(text: &str) -> Result<Bundle, String> {
    let (number, parts) = text.split_once(':').unwrap_or((text, ""));
    let empty = number.parse().ok().and_then(Bundle::new);
    let empty = empty.ok_or_else(|| format!("`{number}` is no number of a bundle: 1 to 9"))?;
    empty.with_parts(parts).map_err(|wrong| format!("`{text}`: {wrong}"))
}

fn cow(head: &mut Head, who: &str, needs: &str) -> Result<(Row, Particulars), String> {
    let wrong = || format!("`{who}` is not like 1:412 (farm and number)");
    let (farm, number) = who.split_once(':').ok_or_else(wrong)?;
    let farm: u8 = farm.parse().map_err(|_| wrong())?;
    if !(1..=9).contains(&farm) {
        return Err(wrong());
    }
    head.farms |= 1 << farm;
    let number: u64 = number.parse().map_err(|_| wrong())?;
    let herd = u32::try_from(number).ok().and_then(HerdNumber::new).map(AnimalNumber::Herd);
    let is_tag = number > u64::from(HerdNumber::MAX);
    let tag = Iso11784::from_decimal(number).ok().filter(|_| is_tag).map(AnimalNumber::Tag);
    let number = herd.or(tag).ok_or_else(wrong)?;
    let (mut all, mut hers) = (Needs::NONE, Particulars::NONE);
    for word in needs.split(',').filter(|word| !word.is_empty()) {
        match particulars::with(hers, word)? {
            Some(more) => hers = more,
            None => all = all.with(need(word)?),
        }
    }
    Ok((Row::new(farm, number, all), hers))
}

fn need(word: &str) -> Result<Need, String> {
    let foot = |letters: &str| Foot::ALL.into_iter().find(|foot| foot.letters() == letters);
    let of_foot = |letters: &str, need: fn(Foot) -> Need| foot(letters).map(need);
    let need = match word {
        "vet" => Some(Need::Vet),
        "do-not-trim" => Some(Need::DoNotTrim),
        "due" => Some(Need::WholeCow),
        _ => match word.rsplit_once('-') {
            Some(("recheck", letters)) => of_foot(letters, Need::Recheck),
            Some(("block-off", letters)) => of_foot(letters, Need::BlockOff),
            Some(("trim", letters)) => of_foot(letters, Need::TrimFoot),
            Some(_) | None => None,
        },
    };
    need.ok_or_else(|| {
        format!(
            "`{word}` is no need: recheck-RH, block-off-RH, trim-RH, due, do-not-trim, vet; nor \
             open-LH, open-LH-outer, wrap-LH, block-LH, floor-80, no-floor, growth-3.2, \
             way-2-LH-outer"
        )
    })
}

fn dimension(code: &str) -> Result<Dimension, String> {
    let found = code.parse().ok().and_then(Dimension::from_code);
    found.ok_or_else(|| format!("`{code}` is no dimension"))
}

fn order(steps: &str) -> Result<Order, String> {
    let mut order = Order::EMPTY;
    for step in steps.split(',') {
        let (code, clips) = step.split_once('x').unwrap_or((step, "1"));
        let clips = clips.parse().map_err(|_| format!("`{clips}` is no number of clips"))?;
        order = order
            .then(dimension(code)?, clips)
            .ok_or_else(|| format!("`{step}` is no step of an order"))?;
    }
    Ok(order)
}

/// `1:70-90`, millimetres.
fn limit(limits: Limits, range: &str) -> Result<Limits, String> {
    let wrong = || format!("`{range}` is not like 1:70-90");
    let (code, range) = range.split_once(':').ok_or_else(wrong)?;
    let (low, high) = range.split_once('-').ok_or_else(wrong)?;
    let end = |mm: &str| u16::try_from(hundredths(mm)?).map_err(|_| wrong());
    limits.with(dimension(code)?, (end(low)?, end(high)?)).ok_or_else(wrong)
}

/// Hundredths of a millimetre.
pub(super) fn hundredths(mm: &str) -> Result<i32, String> {
    let wrong = || format!("`{mm}` is not a length like 75.00");
    let (whole, fraction) = mm.split_once('.').unwrap_or((mm, ""));
    if fraction.len() > 2 {
        return Err(wrong());
    }
    let number: i32 = format!("{whole}{fraction:0<2}").parse().map_err(|_| wrong())?;
    (0..=100_000).contains(&number).then_some(number).ok_or_else(wrong)
}

#[cfg(test)]
mod tests {
    use super::*;
    use hornrule_protocol::plan::HEAD;

    #[test]
    fn plans_are_read() {
        let words = [
            "1:412=recheck-RH,vet",
            "2:7",
            "order=1x2,3",
            "gauge=75.00",
            "blind",
            "inner=LH,RH",
            "bundle=1:31-this,10-partner,82-foot-14",
            "1:9=open-LH-outer,open-RH,floor-80,growth-3.2,wrap-LH,block-RF,way-2-LH-inner",
            "floor=75",
            "heels=3.5",
        ];
        let bytes = bytes(&words).unwrap();
        let head = Head::from_bytes(bytes[..HEAD].try_into().unwrap()).unwrap();
        assert_eq!((head.farms, head.animals, head.blinding), (0b110, 3, Blinding::Blind));
        assert_eq!(head.gauge.unwrap().size, Nanometres(75_000_000));
        assert_eq!(head.order.steps().count(), 2);
        assert_eq!(head.first_claws.of(Foot::RightHind), Side::Medial);
        assert_eq!((head.bundles, head.length()), (1, bytes.len()));
        assert_eq!((head.particulars, head.floor, head.heels), (1, 150, 7));
        // Cow 9 stands before cow 412: place 0.
        let hers = [0, 0, 0x24, 160, 16, 0x10, 0x08, 0, 0, 0, 0x20, 0];
        assert_eq!(bytes[head.particulars_at()..], hers);
    }

    #[test]
    fn mistakes_say_what_would_be_right() {
        for (word, says) in [
            ("412=vet", "1:412"),
            ("0:412", "1:412"),
            ("1:0", "1:412"),
            ("1:4=paint", "recheck-RH"),
            ("1:4=recheck-XX", "recheck-RH"),
            ("order=0", "no step"),
            ("order=77", "no dimension"),
            ("gauge=7,5", "75.00"),
            ("limit=1:90-70", "1:70-90"),
            ("inner=LH,XX", "LF, RF"),
            ("1:4=open-XX", "open-LH"),
            ("1:4=floor-80.3", "half millimetres"),
            ("1:4=growth-3.3", "fifths"),
            ("1:4=way-10-LH-outer", "way-2-LH-outer"),
            ("floor=7x", "75.00"),
            ("bundle=0:31-this", "1 to 9"),
            ("bundle=1:31-foot", "31 this"),
        ] {
            let error = bytes(&[word]).unwrap_err();
            assert!(error.contains(says), "{word}: {error}");
        }
    }
}
