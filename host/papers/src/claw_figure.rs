//! The claw map on a page: one drawing for the card and all reports (`svg/DRAWINGS.md`).

use crate::page::{Figure, Width};
use crate::svg::{self, ClawWords};
use crate::words::{Say, Words};
use hornrule_protocol::claw::Zone;
use hornrule_questions::visit::Spot;

fn claw_words(words: &Words) -> ClawWords {
    let [left_outer, left_inner] =
        [Say::ClawLeftOuter, Say::ClawLeftInner].map(|say| words.say(say));
    let [right_outer, right_inner] =
        [Say::ClawRightOuter, Say::ClawRightInner].map(|say| words.say(say));
    ClawWords { left: [left_outer, right_inner], right: [left_inner, right_outer] }
}

/// Every zone with its name; neighbours of one name stand together.
fn zones(words: &Words) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = Vec::new();
    for zone in (0..=u8::MAX).filter_map(Zone::new) {
        let (number, name) = (zone.number(), words.zone(zone));
        match all.last_mut() {
            Some((numbers, same)) if *same == name => *numbers = format!("{numbers}, {number}"),
            _ => all.push((number.to_string(), name)),
        }
    }
    all
}

/// With room for little: the numbers, and below them how it is seen.
pub(crate) fn for_card(words: &Words) -> Figure {
    Figure {
        svg: svg::claw_map(),
        caption: Some(words.say(Say::ClawMapCard)),
        alt: words.say(Say::ClawMapAlt { zones: "".into() }),
        lines: Vec::new(),
        width: Width::Full,
    }
}

/// With the zones' names, and below it how many lesions each zone has; without them where there are
/// none.
pub(crate) fn for_report(spots: &[Spot], words: &Words) -> Figure {
    let names = zones(words);
    let said: Vec<String> = names.iter().map(|(zone, name)| format!("{zone}: {name}")).collect();
    let today = today(spots, words);
    let seen = words.say(Say::ClawMapSeen);
    Figure {
        svg: svg::named_claw_map(&claw_words(words), &names),
        caption: Some(
            today.as_ref().map_or_else(|| seen.clone(), |today| format!("{seen} {today}")),
        ),
        alt: words.say(Say::ClawMapAlt { zones: said.join("; ").into() }),
        // The terminal has no use for where a zone lies in a drawing.
        lines: Vec::new(),
        width: Width::Half,
    }
}

/// How many claws or feet have a lesion in each zone; `None` where no lesion has one.
pub(crate) fn today(spots: &[Spot], words: &Words) -> Option<String> {
    let of = |zone: u8, skin: bool| {
        let those = spots.iter().filter(|spot| spot.zone == zone && spot.side.is_none() == skin);
        those.map(|spot| spot.count).sum::<usize>()
    };
    let mut said = Vec::new();
    for zone in (0..=u8::MAX).filter_map(Zone::new).map(|zone| zone.number()) {
        for skin in [false, true] {
            let n = of(zone, skin);
            if n == 0 {
                continue;
            }
            let n = n.into();
            let claws = words.say(if skin { Say::FeetN { n } } else { Say::ClawsN { n } }).into();
            said.push(words.say(Say::ZoneClaws { zone: zone.into(), claws }));
        }
    }
    (!said.is_empty()).then(|| words.say(Say::ZonesToday { zones: said.join("; ").into() }))
}
