//! A plan of two thousand cows on the image: loaded over its own line, looked up in its own flash.

use std::fmt::Write as _;

use hornrule_tests::identity;
use hornrule_tests_emu::flash::blank;
use hornrule_tests_emu::image::Image;
use hornrule_tests_emu::player::Player;

/// Loads a plan of cows 3, 6, 9, ..., 6,000 of farm 1; the last one has her right hind foot due.
fn two_thousand_cows() -> String {
    let mut plan = "office plan order=1x2,3".to_owned();
    for n in 1..2_000 {
        write!(plan, " 1:{}", 3 * n).unwrap();
    }
    plan + " 1:6000=recheck-RH"
}

fn story() -> String {
    let plan = two_thousand_cows();
    format!(
        "at 2026-03-03 07:00\npower on\noffice clock\n{plan}\n\
         keys COW 3 COW\nexpect CowKnown\nkeys COW 6001 COW\nexpect CowUnknown\n\
         keys COW 6000 COW\nexpect CowDue\nkeys RH\nexpect FootDue\n\
         keys SIZE SIZE\nexpect DueRecheck\nkeys SIZE SIZE\nexpect Next1\n"
    )
}

#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn two_thousand_cows_are_loaded_and_found_on_the_image() {
    let mut player = Player::new(Image::open(), identity(), blank());
    player.tell(&story()).unwrap();
    assert_eq!(player.heard().last().and_then(|heard| heard.count()), Some(1));
    let stack = player.emulator.as_mut().unwrap().stack_mark();
    println!("stack with a plan of 2,000 cows: {stack} bytes");
    // The battery is out for a moment: the plan is still there.
    player.power_off();
    player.tell("power on\noffice clock\nkeys COW 6000 COW\nexpect CowDue\n").unwrap();
    player.tell("keys COW 6001 COW\nexpect CowUnknown\n").unwrap();
    player.power_off();
}
