//! Drawn ways through the whole handheld: each row of "At the chute" in `host/questions/src/lot/LOT.md`,
//! power cuts, and a full log. No way is ever told of a block that is not in flash.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_core::cue::Cue;
use hornrule_core::keypad::Key;
use hornrule_core::log::Log;
use hornrule_core::plan::Plans;
use hornrule_protocol::bundle::{At, BundlePart};
use hornrule_protocol::plan::{Blinding, Head, Needs, Particulars, Row};
use hornrule_protocol::{
    Action, AnimalNumber, Bundle, Claw, Entry, Foot, HerdNumber, LogId, Place, Seq, Side, open,
};
use hornrule_testkit::keyed::{Chip, DEVICE, Keyed, load};

const OUTER: Claw = Claw { foot: Foot::LeftHind, side: Side::Lateral };
const INNER: Claw = Claw { foot: Foot::LeftHind, side: Side::Medial };

/// Cow 5 has way 2 on the outer and way 3 on the inner claw of her left hind; cow 6 is not drawn.
/// Bundle 1 opens the claw and glues a block on the partner, bundle 2 glues one on both.
fn plans(blinding: Blinding) -> Plans<Chip> {
    let bundle = |number, parts: &[(u8, At)]| {
        parts.iter().fold(Bundle::new(number).unwrap(), |bundle, (code, at)| {
            let action = Action::from_code(*code).unwrap();
            bundle.then(BundlePart::new(action, *at, 0).unwrap()).unwrap()
        })
    };
    let one = bundle(1, &[(31, At::ThisClaw), (10, At::Partner)]);
    let two = bundle(2, &[(10, At::ThisClaw), (10, At::Partner)]);
    let hers = Particulars::NONE.with_way(OUTER, 2).and_then(|one| one.with_way(INNER, 3));
    let cow = |number| {
        let number = AnimalNumber::Herd(HerdNumber::new(number).unwrap());
        Row::new(1, number, Needs::NONE).to_bytes()
    };
    let head =
        Head { farms: 0b10, bundles: 2, animals: 2, particulars: 1, blinding, ..Head::default() };
    let (bundles, cows) = ([one.to_bytes(), two.to_bytes()].concat(), [cow(5), cow(6)].concat());
    let plan = [&head.to_bytes()[..], &bundles, &cows, &hers.unwrap().to_bytes(0)].concat();
    let mut plans = Plans::mount(Chip::blank(2));
    load(&mut plans, &plan).unwrap();
    plans
}

fn on(flash: Chip) -> Keyed {
    of(flash, Blinding::Open)
}

fn of(flash: Chip, blinding: Blinding) -> Keyed {
    Keyed::start(flash, plans(blinding)).unwrap()
}

/// What was done, as sealed: code and place.
fn done(flash: Chip) -> Vec<(u8, Place)> {
    let mut log = Log::mount(flash, LogId(9)).ok().unwrap();
    let (mut all, mut from) = (Vec::new(), Seq::FIRST);
    while let Ok(Some(sealed)) = log.read_from(from) {
        if let Entry::Action(done) = open(DEVICE, log.id(), &sealed).unwrap().entry {
            all.push((done.action.code(), done.place));
        }
        from = sealed.seq().next();
    }
    all
}

use Cue::{Committed, DrawnWay2, DrawnWay3, Lateral, Medial, Next1, Undone};
use Key::{Cow, Do, Five, Four, Lh, One, Six, Size, Three, Two, Undo, Zero};

const COW_5: [Key; 3] = [Cow, Five, Cow];
const DO_10: [Key; 3] = [Do, One, Zero];

#[test]
fn a_way_is_told_when_its_block_is_in_flash_and_not_before() {
    let mut bench = on(Chip::blank(4));
    bench.say(&COW_5);
    assert_eq!(bench.say(&[Lh]), [Lateral]);
    assert_eq!(bench.say(&[Size, Size]), [Next1], "nothing is told before");
    assert_eq!(bench.say(&DO_10), [Committed, DrawnWay2]);
    assert_eq!(bench.say(&[Size, Size]), [DrawnWay2]);
    assert_eq!(bench.say(&[Size, Size]), [Next1], "asked again at once");
    assert_eq!(bench.say(&[Lh]), [Medial]);
    assert_eq!(bench.say(&[Size, Size]), [Next1], "nor of the other claw");
    assert_eq!(bench.say(&[Lh]), [Lateral]);
    assert_eq!(bench.say(&[Size, Size]), [DrawnWay2], "told again when it is in hand again");
    // Another way: stored as keyed, and what was drawn is told. UNDO makes nothing secret again.
    assert_eq!(bench.say(&[Do, One, Four]), [Committed, DrawnWay2]);
    assert_eq!(bench.say(&[Undo]), [Undone]);
    bench.say(&[Lh, Lh]);
    assert_eq!(bench.say(&[Size, Size]), [DrawnWay2]);
    // The way drawn, keyed as it is.
    assert_eq!(bench.say(&[Do, One, Two]), [Committed, DrawnWay2]);
    let at = Place::Claw(OUTER);
    assert_eq!(done(bench.device.into_flash()), [(12, at), (14, at), (12, at)]);
}

#[test]
fn a_bundle_glues_the_way_of_the_claw_that_its_block_is_on() {
    let mut bench = on(Chip::blank(4));
    bench.say(&COW_5);
    bench.say(&[Lh]);
    assert_eq!(bench.say(&[Do, Zero, One]), [Committed, DrawnWay3]);
    assert_eq!(bench.say(&[Undo]), [Undone]);
    assert_eq!(bench.say(&[Do, Zero, Two]), [Committed, DrawnWay2, DrawnWay3]);
    let [outer, inner] = [OUTER, INNER].map(Place::Claw);
    let all = [(31, outer), (13, inner), (12, outer), (13, inner)];
    assert_eq!(done(bench.device.into_flash()), all);
}

#[test]
fn who_is_not_drawn_is_as_without_a_draw() {
    let mut bench = on(Chip::blank(4));
    for cow in [Six, Three] {
        bench.say(&[Cow, cow, Cow]);
        bench.say(&[Lh]);
        assert_eq!(bench.say(&DO_10), [Committed]);
        assert_eq!(bench.say(&[Size, Size]), [Next1]);
    }
    // A foot of the drawn cow of which nothing is drawn; and the next cow knows nothing of hers.
    bench.say(&COW_5);
    bench.say(&[Key::Rh]);
    assert_eq!(bench.say(&DO_10), [Committed]);
    bench.say(&[Lh]);
    bench.say(&DO_10);
    bench.say(&[Cow, Six, Cow]);
    bench.say(&COW_5);
    bench.say(&[Lh]);
    assert_eq!(bench.say(&[Size, Size]), [Next1], "she left, and is told anew");
    let codes: Vec<u8> = done(bench.device.into_flash()).iter().map(|one| one.0).collect();
    assert_eq!(codes, [10, 10, 10, 12]);
}

/// Whichever write the power fails at: a way was heard only if its block is in flash.
#[test]
fn a_power_cut_tells_no_way() {
    let mut bench = on(Chip::blank(4));
    bench.say(&COW_5);
    bench.say(&[Lh]);
    let before = bench.device.into_flash();
    let mut cuts = 0;
    for bytes in 0.. {
        let mut flash = before.clone();
        flash.dies_after(bytes);
        let mut bench = on(flash);
        bench.say(&COW_5);
        bench.say(&[Lh]);
        let told = bench.say(&DO_10).contains(&DrawnWay2);
        let mut flash = bench.device.into_flash();
        flash.revive();
        let sealed = done(flash).contains(&(12, Place::Claw(OUTER)));
        assert!(!told || sealed, "{bytes}");
        if told {
            break;
        }
        cuts += 1;
    }
    assert!(cuts > 10, "{cuts}");
}

#[test]
fn a_full_log_tells_no_way() {
    let mut bench = on(Chip::blank(4));
    bench.say(&COW_5);
    bench.say(&[Lh]);
    while bench.device.journal().free() > 0 {
        bench.say(&[Key::Score, One, One]);
    }
    assert_eq!(bench.say(&DO_10), [Cue::LogFull]);
    assert_eq!(bench.say(&[Size, Size]), [Cue::LogFull]);
    assert_eq!(bench.say(&[Size, Size]), [Next1]);
}

/// What a blind day hides is whether a length is usual. A way that is not told cannot be glued.
#[test]
fn a_blind_day_tells_a_way_all_the_same() {
    let mut bench = of(Chip::blank(4), Blinding::Blind);
    bench.say(&COW_5);
    bench.say(&[Lh]);
    assert_eq!(bench.say(&DO_10), [Committed, DrawnWay2]);
}
