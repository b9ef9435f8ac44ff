//! The keypad module: scans in, keys out.
#![expect(clippy::unwrap_used, reason = "a failed step is a failed test")]

use hornrule_core::keypad::KeyEvent::{self, Held, Pressed, Released, Stuck};
use hornrule_core::keypad::{Key, Keypad, Mask, SCAN_US};
use hornrule_core::time::{Micros, Wake};
use hornrule_testkit::contacts::{Contacts, ghosted};
use hornrule_testkit::seeded::Seeded;
use proptest::prelude::*;

fn ms(ms: u64) -> Micros {
    Micros(0).after_ms(ms)
}

const fn bit(key: Key) -> u32 {
    1 << key.position()
}

/// Events with the millisecond of the scan that gave them.
fn run(keypad: &mut Keypad, scans: &[(Micros, u32)]) -> Vec<(u64, KeyEvent)> {
    let mut told = Vec::new();
    for (t, mask) in scans {
        told.extend(keypad.on_mask(*mask, *t).into_iter().map(|event| (t.0 / 1_000, event)));
    }
    told
}

/// Scans every 5 ms of masks that each last until a given time.
fn masks(parts: &[(u64, u32)]) -> Vec<(Micros, u32)> {
    let last = parts.last().unwrap().0;
    (0..last)
        .step_by(5)
        .map(|t| (ms(t), parts.iter().find(|(until, _)| t < *until).unwrap().1))
        .collect()
}

fn words(told: &[(u64, KeyEvent)]) -> Vec<KeyEvent> {
    told.iter().map(|(_, event)| *event).collect()
}

#[test]
fn a_clean_press() {
    let scans = masks(&[(100, 0), (200, bit(Key::Cow)), (300, 0)]);
    let told = run(&mut Keypad::new(), &scans);
    assert_eq!(told, [(120, Pressed(Key::Cow)), (220, Released(Key::Cow))]);
}

#[test]
fn every_key_has_its_bit() {
    for key in Key::ALL {
        let scans = masks(&[(100, 0), (200, bit(key)), (300, 0)]);
        assert_eq!(words(&run(&mut Keypad::new(), &scans)), [Pressed(key), Released(key)]);
    }
}

// Bounce of up to 10 ms: figures usually quoted for such switches; worst usual case 6.2 ms.
#[test]
fn bounce_of_ten_milliseconds() {
    for seed in 0..300 {
        let chance = &mut Seeded::new(seed);
        let bounce_us = chance.below(10_001);
        let phase = chance.below(5_000);
        let mut contacts = Contacts::new();
        let (down, up) = (Micros(50_000 + phase), Micros(250_000 + phase));
        contacts.press(Key::Five.position(), down, up, bounce_us, chance);
        for every_us in [1_000, SCAN_US] {
            let scans = contacts.scans(every_us, ms(400));
            let told = run(&mut Keypad::new(), &scans);
            assert_eq!(words(&told), [Pressed(Key::Five), Released(Key::Five)], "seed {seed}");
            // Answering within 100 ms leaves time for the flash.
            assert!(told[0].0 <= (down.0 + bounce_us) / 1_000 + 26, "seed {seed}");
        }
    }
}

#[test]
fn spikes_of_one_millisecond() {
    for seed in 0..30 {
        let chance = &mut Seeded::new(seed);
        let mut contacts = Contacts::new();
        for n in 0..50 {
            let at = Micros(20_000 * n + chance.below(15_000));
            contacts.spike(u8::try_from(chance.below(20)).unwrap(), at, 1_000);
        }
        for every_us in [250, 1_000, SCAN_US] {
            let scans = contacts.scans(every_us, ms(1_100));
            let told = run(&mut Keypad::new(), &scans);
            assert_eq!(told, [], "seed {seed}");
        }
    }
}

#[test]
fn two_keys_roll_over() {
    for (first, second) in [(Key::One, Key::Two), (Key::Cow, Key::Zero), (Key::Lf, Key::Zero)] {
        let scans = masks(&[
            (100, 0),
            (200, bit(first)),
            (300, bit(first) | bit(second)),
            (400, bit(second)),
            (500, 0),
        ]);
        assert_eq!(
            run(&mut Keypad::new(), &scans),
            [
                (120, Pressed(first)),
                (220, Pressed(second)),
                (320, Released(first)),
                (420, Released(second)),
            ]
        );
    }
}

#[test]
fn held_once_and_stuck_once() {
    let scans = masks(&[(100, 0), (15_000, bit(Key::Undo)), (15_500, 0)]);
    let keypad = &mut Keypad::new();
    assert_eq!(
        run(keypad, &scans),
        [
            (120, Pressed(Key::Undo)),
            (820, Held(Key::Undo)),
            (10_120, Stuck(Key::Undo)),
            (15_020, Released(Key::Undo)),
        ]
    );
    assert_eq!(keypad.stuck(), 0);
    let keypad = &mut Keypad::new();
    run(keypad, &scans[..2_500]);
    assert_eq!(keypad.stuck(), 1);
}

#[test]
fn a_key_down_at_the_start_is_stuck_until_it_comes_up() {
    let stuck = bit(Key::Do);
    let scans = masks(&[
        (1_000, stuck),
        (1_200, stuck | bit(Key::Nine)),
        (20_000, stuck),
        (20_200, 0),
        (20_300, stuck),
        (20_400, 0),
    ]);
    let keypad = &mut Keypad::new();
    assert_eq!(
        run(keypad, &scans),
        [
            (20, Stuck(Key::Do)),
            (1_020, Pressed(Key::Nine)),
            (1_220, Released(Key::Nine)),
            (20_220, Pressed(Key::Do)),
            (20_320, Released(Key::Do)),
        ]
    );
    assert_eq!(keypad.stuck(), 0);
}

#[test]
fn a_spike_in_the_first_scan_is_not_stuck() {
    let scans = masks(&[(5, bit(Key::Do)), (100, 0), (200, bit(Key::Do)), (300, 0)]);
    assert_eq!(words(&run(&mut Keypad::new(), &scans)), [Pressed(Key::Do), Released(Key::Do)]);
}

#[test]
fn a_second_press_too_soon_is_ignored() {
    let key = bit(Key::Lf);
    // Pressed at 120, up at 150, down again: accepted at 195, which is 75 ms after; then at 205.
    let twice = |gap_until| {
        let scans = masks(&[(100, 0), (130, key), (gap_until, 0), (400, key), (500, 0)]);
        words(&run(&mut Keypad::new(), &scans))
    };
    assert_eq!(twice(175), [Pressed(Key::Lf), Released(Key::Lf)]);
    let both = [Pressed(Key::Lf), Released(Key::Lf), Pressed(Key::Lf), Released(Key::Lf)];
    assert_eq!(twice(180), both);
    // Another key does not interfere.
    let scans = masks(&[(100, 0), (130, key), (175, 0), (400, bit(Key::Rf)), (500, 0)]);
    assert_eq!(
        words(&run(&mut Keypad::new(), &scans)),
        [Pressed(Key::Lf), Released(Key::Lf), Pressed(Key::Rf), Released(Key::Rf)]
    );
    // Ignored and never released, it ends up stuck.
    let scans = masks(&[(100, 0), (130, key), (175, 0), (12_000, key)]);
    let keypad = &mut Keypad::new();
    let told = words(&run(keypad, &scans));
    assert_eq!(told, [Pressed(Key::Lf), Released(Key::Lf), Stuck(Key::Lf)]);
    assert_eq!(keypad.stuck(), 1);
}

/// All rectangles of the matrix as (a, b, c, d) with a and d at opposite corners.
fn rectangles() -> Vec<[Key; 4]> {
    let mut all = Vec::new();
    for (top, bottom) in (0..5_u8).flat_map(|a| (a + 1..5).map(move |b| (a, b))) {
        for (left, right) in (0..4_u8).flat_map(|a| (a + 1..4).map(move |b| (a, b))) {
            let corners = [(top, left), (top, right), (bottom, left), (bottom, right)];
            all.push(corners.map(|(row, column)| Key::at(row * 4 + column).unwrap()));
        }
    }
    all
}

#[test]
fn no_ghost_is_believed() {
    let all = rectangles();
    // 10 pairs of rows times 6 pairs of columns.
    assert_eq!(all.len(), 60);
    for corners in all {
        for ghost in corners {
            let real: Vec<Key> = corners.into_iter().filter(|key| *key != ghost).collect();
            for third in &real {
                let two: u32 = real.iter().filter(|key| *key != third).map(|key| bit(*key)).sum();
                let three = ghosted(two | bit(*third));
                assert_eq!(three, two | bit(*third) | bit(ghost), "the matrix shows the ghost");
                // The third comes while two are down; all but one are released, then the last.
                let scans =
                    masks(&[(100, 0), (300, two), (500, three), (700, bit(*third)), (800, 0)]);
                let told = run(&mut Keypad::new(), &scans);
                assert!(!words(&told).contains(&Pressed(ghost)), "{corners:?} {ghost:?}");
                let third_at: Vec<u64> = told
                    .iter()
                    .filter(|(_, event)| *event == Pressed(*third))
                    .map(|(at, _)| *at)
                    .collect();
                assert_eq!(third_at, [520], "the third is believed once there is no doubt");
                assert_eq!(told.len(), 6, "three keys down and up: {told:?}");
            }
        }
    }
}

/// A scan is doubtful exactly when the mask cannot tell which keys are really down: checked for
/// every mask of the upper and of the lower four rows against the net of joined lines.
#[test]
fn doubt_is_where_another_set_of_keys_looks_the_same() {
    for mask in (0..1_u32 << 16).flat_map(|mask| [mask, mask << 4]) {
        if ghosted(mask) != mask {
            continue;
        }
        let ambiguous = (0..20)
            .filter(|bit| mask >> bit & 1 == 1)
            .any(|bit| ghosted(mask & !(1 << bit)) == mask);
        assert_eq!(Mask::new(mask).is_doubtful(), ambiguous, "{mask:#x}");
    }
}

#[test]
fn wakes() {
    let keypad = &mut Keypad::new();
    assert_eq!(keypad.next_wake(ms(0)), Wake::Now);
    let _ = keypad.on_mask(0, ms(0));
    assert_eq!(keypad.next_wake(ms(0)), Wake::OnInput);
    let _ = keypad.on_mask(bit(Key::Cow), ms(500));
    assert_eq!(keypad.next_wake(ms(500)), Wake::At(ms(505)));
    let scans = masks(&[(100, bit(Key::Cow)), (200, 0)]);
    run(keypad, &scans.iter().map(|(t, mask)| (t.after_ms(500), *mask)).collect::<Vec<_>>());
    assert_eq!(keypad.next_wake(ms(700)), Wake::OnInput);
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_scans_keep_the_order_of_events(
        steps in prop::collection::vec(
            (
                prop_oneof![Just(5_000_u64), 0_u64..30_000, 0_u64..12_000_000],
                prop_oneof![
                    any::<u32>(),
                    Just(0),
                    (0_u32..20).prop_map(|bit| 1 << bit),
                    (0_u32..20, 0_u32..20).prop_map(|(a, b)| 1 << a | 1 << b),
                ],
                1_usize..12,
            ),
            0..200,
        ),
    ) {
        let mut keypad = Keypad::new();
        let mut down = [false; 20];
        let mut held = [false; 20];
        let mut at = Micros(0);
        for (after, mask, times) in steps {
            for _ in 0..times {
                at = at.after_us(after);
                for event in keypad.on_mask(mask, at) {
                    let (Pressed(key) | Held(key) | Released(key) | Stuck(key)) = event;
                    let n = usize::from(key.position());
                    match event {
                        Pressed(_) => {
                            prop_assert!(!down[n], "{key:?} pressed twice");
                            prop_assert!(!Mask::new(mask).is_doubtful(), "{key:?} pressed in doubt");
                            (down[n], held[n]) = (true, false);
                        }
                        Held(_) => {
                            prop_assert!(down[n] && !held[n], "{key:?} held twice or never down");
                            held[n] = true;
                        }
                        Released(_) => {
                            prop_assert!(down[n], "{key:?} released, never down");
                            down[n] = false;
                        }
                        Stuck(_) => {}
                    }
                }
            }
        }
        // Release everything: every press has its release, and nothing is stuck.
        for after in [20, 40, 60] {
            for event in keypad.on_mask(0, at.after_ms(after)) {
                if let Released(key) = event {
                    prop_assert!(down[usize::from(key.position())]);
                    down[usize::from(key.position())] = false;
                }
            }
        }
        prop_assert_eq!(down, [false; 20]);
        prop_assert_eq!(keypad.stuck(), 0);
        prop_assert_eq!(keypad.next_wake(at), Wake::OnInput);
    }
}
