//! P3 with a live handheld: whatever becomes of the office, the handheld has not let go of what the
//! database does not hold.

use std::fs;
use std::path::Path;

use hornrule::office;
use hornrule_herd::Database;
use hornrule_line::port;
use hornrule_line::port::Address;
use hornrule_protocol::Seq;
use hornrule_protocol::message::Hello;

use crate::bench::{Bench, Handheld, Start, folder, pull, sample, succeeded, whole};
use crate::power::{Unsynced, lose_power};
use crate::shim;
use crate::shim::{Act, Kind};

fn hello(handheld: &Handheld) -> Hello {
    let address: Address = handheld.port.parse().unwrap();
    office::greet(&mut *port::open(&address).unwrap()).unwrap()
}

/// How far the database holds the log without a gap.
fn held(db: &Path, hello: &Hello) -> Seq {
    Database::open(db).unwrap().cursor(hello.device, hello.log).unwrap()
}

fn gone_at_calls(kind: Kind, power: bool, quick: usize) {
    let bench = Bench::get();
    let folder = folder();
    let flash = folder.path().join("handheld.flash");
    let plug_in = || {
        fs::copy(&bench.flash, &flash).unwrap();
        Handheld::start(&flash, &[])
    };
    let db = bench.database(folder.path(), Start::Listed);
    let handheld = plug_in();
    succeeded(&shim::hornrule(&db, &pull(&handheld.port, &handheld.plugged, &[]), Kind::None, 0));
    let last = hello(&handheld).released;
    assert!(last.0 > 50, "{} records are too few to mean anything", last.0);
    drop(handheld);
    let numbers = shim::numbered(&shim::calls(&db), |act| {
        !matches!(kind, Kind::Full) || matches!(act, Act::Write { .. })
    });
    let numbers = sample(&numbers, quick);
    let mut kept = 0;
    for at in &numbers {
        let about = format!("{kind:?} at call {at}, power lost: {power}");
        let db = bench.database(folder.path(), Start::Listed);
        let handheld = plug_in();
        let _gone = shim::hornrule(&db, &pull(&handheld.port, &handheld.plugged, &[]), kind, *at);
        if power {
            lose_power(&db, &bench.files(Start::Listed), &shim::calls(&db), Unsynced::Lost);
        }
        whole(&db, &about);
        let then = hello(&handheld);
        let stored = held(&db, &then);
        assert!(then.released <= stored, "{about}: released {then:?}, stored {stored:?}");
        kept += usize::from(then.released < last);
        succeeded(&shim::hornrule(
            &db,
            &pull(&handheld.port, &handheld.plugged, &[]),
            Kind::None,
            0,
        ));
        let after = hello(&handheld);
        assert_eq!((after.released, held(&db, &after)), (last, last), "{about}");
    }
    eprintln!("live, {kind:?}, power lost {power}: {} calls, {kept} kept all", numbers.len());
    assert!(kept > 0, "the office was never gone before the release");
}

#[test]
fn p3_killed_while_a_handheld_is_plugged_in() {
    gone_at_calls(Kind::Kill, false, 14);
}

#[test]
fn p3_power_lost_while_a_handheld_is_plugged_in() {
    gone_at_calls(Kind::Kill, true, 14);
}

#[test]
fn p3_disk_full_while_a_handheld_is_plugged_in() {
    gone_at_calls(Kind::Full, false, 14);
}
