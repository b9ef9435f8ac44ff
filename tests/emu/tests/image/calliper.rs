//! Proving a calliper on the image: the office listens over the image's own line, stores what it
//! found in the image's own flash, and the next clip is read with it.

use std::thread::{self, sleep};
use std::time::Duration;

use hornrule_board_sim::Bench;
use hornrule_line::calliper;
use hornrule_line::calliper::{Doubt, Proof, Seen};
use hornrule_line::port;
use hornrule_line::port::Address;
use hornrule_protocol::calliper::{CalliperSetting, InchCode, Level, SignBit, Slope};
use hornrule_protocol::record::CalliperKind;
use hornrule_protocol::{Entry, Nanometres};
use hornrule_tests::identity;
use hornrule_tests_emu::flash::{blank, said};
use hornrule_tests_emu::image::Image;
use hornrule_tests_emu::player::Player;

const GAUGE: Nanometres = Nanometres(75_000_000);
/// Between packets, so that the image's clock, which advances with packets, keeps up with ours.
const BETWEEN: Duration = Duration::from_millis(80);
/// What the display shows at each step.
const SHOWN: [&str; 4] = ["0.00 mm", "75.00 mm", "-75.00 mm", "-2.9525 in"];

fn show(player: &mut Player, shown: &str) {
    player.calliper.as_mut().unwrap().show(shown).unwrap();
}

/// The person shows it, the office listens.
fn listen(player: &mut Player, address: &Address, proof: &mut Proof) -> Result<Seen, Doubt> {
    thread::scope(|scope| {
        let office = scope.spawn(|| {
            let mut port = port::open(address).unwrap();
            calliper::step(proof, |pace| calliper::hear(&mut *port, pace)).unwrap()
        });
        let over = |_: &Player| {
            sleep(BETWEEN);
            office.is_finished()
        };
        player.packets_until(over).unwrap();
        office.join().unwrap()
    })
}

fn setting(player: &mut Player) -> Option<CalliperSetting> {
    calliper::setting(&mut *player.plug()).unwrap()
}

/// Read with the default settings, this calliper gives a fault or nonsense; once proved, it gives
/// the length, even after the battery was out.
fn is_proved_and_read(make: &str, expected: CalliperSetting) {
    let mut player = Player::new(Image::open(), identity(), blank());
    player.calliper = Some(Bench::new(make.parse().unwrap(), 3));
    player.tell("power on\noffice clock\nkeys COW 27 COW RH\nclip -5.00 mm").unwrap();
    player.tell("expect CalliperFault").unwrap();
    assert_eq!(setting(&mut player), None, "{make}");

    let mut proof = Proof::new(GAUGE);
    let address = player.address();
    for shown in SHOWN {
        show(&mut player, shown);
        let seen = listen(&mut player, &address, &mut proof);
        assert!(seen.is_ok(), "{make}, {shown}: {seen:?}");
    }
    let proved = proof.proved().unwrap();
    assert_eq!(proved, expected, "{make}");
    assert_eq!(setting(&mut player), None, "proving stores nothing by itself");
    assert_eq!(calliper::store(&mut *player.plug(), proved).unwrap(), Some(proved), "{make}");
    player.tell("clip 81.20 mm\nexpect Committed").unwrap();

    player.power_off();
    player.tell("power on\noffice clock\nkeys COW 27 COW RH\nclip 79.90 mm").unwrap();
    player.tell("expect Committed").unwrap();
    assert_eq!(setting(&mut player), Some(proved), "{make}");
    player.power_off();
    let lengths: Vec<i32> = said(&player.flash, identity())
        .iter()
        .filter_map(|entry| match entry {
            // In hundredths: a two-word calliper counts in 20,480ths of an inch.
            Entry::Reading(reading) => Some((reading.length.0 + 5_000) / 10_000),
            _ => None,
        })
        .collect();
    assert_eq!(lengths, [8_120, 7_990], "{make}");
}

const PLAIN: CalliperSetting = CalliperSetting::usual(CalliperKind::Sync24);
/// After shifters that invert both lines.
const TURNED: CalliperSetting = CalliperSetting { slope: Slope::Rising, one: Level::Low, ..PLAIN };

#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn a_24_bit_calliper_turned_over_is_proved_on_the_image() {
    is_proved_and_read(
        "sync24,inverted,sign21",
        CalliperSetting { sign: SignBit::Bit21, ..TURNED },
    );
}

#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn a_52_bit_calliper_turned_over_is_proved_on_the_image() {
    let bcd = CalliperSetting { kind: CalliperKind::Bcd52, inch: InchCode::Eight, ..TURNED };
    is_proved_and_read("bcd52,inverted,inch8", bcd);
}

#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn callipers_with_a_quick_clock_are_proved_on_the_image() {
    is_proved_and_read("words48", CalliperSetting { kind: CalliperKind::Words48, ..PLAIN });
    is_proved_and_read("nibbles28", CalliperSetting { kind: CalliperKind::Nibbles28, ..PLAIN });
}

#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn a_restless_calliper_is_refused_and_nothing_is_stored() {
    let mut player = Player::new(Image::open(), identity(), blank());
    player.calliper = Some(Bench::new("sync24,restless".parse().unwrap(), 3));
    player.tell("power on\noffice clock").unwrap();
    let address = player.address();
    let mut proof = Proof::new(GAUGE);
    let seen = listen(&mut player, &address, &mut proof);
    assert!(matches!(seen, Err(Doubt::Disagree(_))), "{seen:?}");
    player.calliper = None;
    let seen = listen(&mut player, &address, &mut proof);
    assert!(matches!(seen, Err(Doubt::Silent)), "{seen:?}");
    assert_eq!(setting(&mut player), None);
    // For the trimmer the handheld is the same as before.
    player.tell("keys COW 27 COW\nexpect Committed").unwrap();
    player.power_off();
}
