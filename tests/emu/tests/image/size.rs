//! How much of the chip the image takes, against `firmware/board-emu/budget.txt`.

use hornrule_tests::identity;
use hornrule_tests_emu::flash::blank;
use hornrule_tests_emu::image::Image;
use hornrule_tests_emu::player::Player;

use crate::MORNING;

const BUDGET: &str = include_str!("../../../../firmware/board-emu/budget.txt");

pub(crate) fn budget(name: &str) -> u64 {
    let line = BUDGET.lines().find(|line| line.split_whitespace().next() == Some(name));
    line.unwrap().split_whitespace().nth(1).unwrap().parse().unwrap()
}

#[test]
#[ignore = "needs the ARM image and QEMU: ./check runs it"]
fn the_image_keeps_to_its_budget() {
    let image = Image::open();
    let sizes = image.sizes();
    let mut player = Player::new(image, identity(), blank());
    player.tell(MORNING).unwrap();
    let stack = u64::from(player.emulator.as_mut().unwrap().stack_mark());
    player.power_off();
    println!("bytes     used   budget");
    let mut over = Vec::new();
    for (name, used) in [("flash", sizes.flash), ("ram", sizes.ram), ("stack", stack)] {
        let most = budget(name);
        println!("{name:6}{used:8}{most:9}");
        if used > most {
            over.push(name);
        }
    }
    assert!(over.is_empty(), "over budget: {over:?}");
}
