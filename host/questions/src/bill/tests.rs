//! Bills in a database.

use std::sync::Barrier;
use std::thread;

use std::collections::BTreeSet;

use super::account::{accounts, reminders};
use super::paid::{Paying, pay, take_back};
use super::*;
use hornrule_facts::bill::{Bill, BillKind, Currency, Item, Money, Quantity};
use hornrule_facts::{Day, HerdId, Language, Signed, Verdict};
use hornrule_herd::{Database, DatabaseError};
use hornrule_intake::decide;
use hornrule_intake::decide::Signature;
use hornrule_kit::{DEVICE, EIGHT, LH, LH_IN, LH_OUT, LOG, RH_OUT, Story, take_in, two_farms};
use hornrule_protocol::Seq;

const LIST: &str = "currency = \"EUR\"\npay-within = 14\nseller = [\"Hoof & Horn\"]\n\
    [tax]\nstandard = 19\n[item.cow]\nprice = \"12.50\"\ntax = \"standard\"\n\
    [item.block]\nprice = \"18.00\"\ntax = \"standard\"\n[item.call-out]\nprice = \"35.00\"\n\
    tax = \"standard\"\n[item.cow-seen]\nprice = \"5.00\"\n";

fn named(language: Language, item: Item) -> String {
    match (language, item) {
        (Language::German, Item::Cow) => "Kuh geschnitten".to_owned(),
        _ => item.key().to_owned(),
    }
}

fn prices() -> PriceList {
    PriceList::read(LIST).unwrap()
}

fn day() -> Day {
    Day(i32::try_from(EIGHT / 86_400_000).unwrap())
}

fn ask(herd: HerdId) -> Ask {
    let (until, issued) = (day().plus(30), day().plus(1));
    Ask { herd, from: None, until, issued, free: Vec::new(), lines_only: false }
}

fn anna() -> Signer {
    Signer { who: "Anna".to_owned(), at_ms: EIGHT, with_held: None }
}

fn travel(km: &str) -> (String, Quantity) {
    ("travel".to_owned(), Quantity::read(km).unwrap())
}

/// Two cows trimmed, one of them with two blocks, and one only looked at. Gives the number of the
/// second block's record.
fn worked() -> (Database, HerdId, Seq) {
    let (mut herd, farm) = two_farms();
    let mut story = Story::at_work();
    story.cow(312).act(30, LH_OUT).act(30, LH_IN).act(10, LH_IN).act(11, RH_OUT);
    let block = story.last();
    story.cow(313).act(30, LH_OUT).act(21, LH).cow(351).find(0, 0, LH).left();
    take_in(&mut herd, &story);
    (herd, farm, block)
}

fn counted(bill: &Bill) -> Vec<(Item, i64)> {
    bill.lines.iter().map(|line| (line.item, line.quantity)).collect()
}

/// By hand: 35.00 + 2 x 12.50 + 2 x 18.00 = 96.00 at 19 % (18.24), and 5.00 without tax: 119.24.
#[test]
fn a_draft_counts_the_records() {
    let (herd, farm, _) = worked();
    let Drafted { bill, held } = draft(&herd, &ask(farm), (&prices(), &named)).unwrap();
    let expected = [(Item::CallOut, 1), (Item::Cow, 2), (Item::CowSeen, 1), (Item::Block, 2)];
    assert_eq!(counted(&bill), expected);
    assert_eq!(
        (bill.net(), bill.tax(), bill.gross()),
        (Money(10_100), Money(1_824), Money(11_924))
    );
    assert_eq!((bill.number, held), (None, 0));
    assert_eq!(bill.due, Some(day().plus(15)));
    assert_eq!(herd.bills(None).unwrap(), []);
    // Nothing was done at the other farm, and nothing before.
    let other = herd.herds().unwrap()[1].herd;
    assert!(matches!(
        draft(&herd, &ask(other), (&prices(), &named)),
        Err(BillError::Nothing { .. })
    ));
    let early = Ask { until: Day(day().0 - 1), ..ask(farm) };
    assert!(matches!(draft(&herd, &early, (&prices(), &named)), Err(BillError::Nothing { .. })));
    let late = Ask { from: Some(day().plus(1)), ..ask(farm) };
    assert!(matches!(draft(&herd, &late, (&prices(), &named)), Err(BillError::Nothing { .. })));
}

#[test]
fn a_correction_changes_the_draft_and_never_the_bill() {
    let (mut herd, farm, block) = worked();
    let issued = issue(&mut herd, &ask(farm), (&prices(), &named), &anna()).unwrap().bill;
    assert_eq!(issued.number.as_ref().unwrap().to_string(), "2026-0001");
    let number = issued.number.clone().unwrap();
    assert_eq!(changed_since(&herd, &number).unwrap(), 0);
    assert!(matches!(
        issue(&mut herd, &ask(farm), (&prices(), &named), &anna()),
        Err(BillError::Nothing { .. })
    ));
    let how = (Extent::Difference, day().plus(2), "the second block was a slip");
    let same = credit(&mut herd, &number, how, (&prices(), &named), &anna());
    assert!(matches!(same, Err(BillError::Same { .. })));

    // The second block was a slip of the thumb.
    let said = Signature { who: "Anna".to_owned(), at_ms: EIGHT, why: "slip".to_owned() };
    decide(&mut herd, &said, &[((DEVICE, LOG, block), Verdict::Discard)]).unwrap();
    assert_eq!(herd.bill(&number).unwrap().unwrap().0, issued);
    assert_eq!(changed_since(&herd, &number).unwrap(), 1);
    let note = credit(&mut herd, &number, how, (&prices(), &named), &anna()).unwrap();
    assert_eq!(note.kind, BillKind::Credit { of: number.clone() });
    assert_eq!(counted(&note), [(Item::Block, -1)]);
    // By hand: 18.00 and 19 % of it, 3.42.
    assert_eq!((note.net(), note.tax(), note.gross()), (Money(-1800), Money(-342), Money(-2142)));
    assert_eq!((note.due, note.number.clone().unwrap().to_string().as_str()), (None, "2026-0002"));
    assert_eq!(herd.bill(&number).unwrap().unwrap().0, issued);
    assert_eq!(changed_since(&herd, &number).unwrap(), 0);
    let again = credit(&mut herd, &number, how, (&prices(), &named), &anna());
    assert!(matches!(again, Err(BillError::Same { .. })));
    let of_note =
        credit(&mut herd, &note.number.clone().unwrap(), how, (&prices(), &named), &anna());
    assert!(matches!(of_note, Err(BillError::NotFirst { of, .. }) if of == number));

    // Taken back: it was a block after all, and more is to be paid.
    let last = herd.decisions().unwrap().last().unwrap().decision;
    hornrule_intake::take_back(&mut herd, &said, &[last]).unwrap();
    let more = credit(&mut herd, &number, how, (&prices(), &named), &anna()).unwrap();
    assert_eq!(more.kind, BillKind::Bill { adds_to: Some(number.clone()) });
    assert_eq!((counted(&more), more.gross()), (vec![(Item::Block, 1)], Money(2142)));

    // All of it taken back: nothing stands, and the visit can be billed anew.
    let whole = (Extent::Whole, day().plus(3), "wrong farm");
    let back = credit(&mut herd, &number, whole, (&prices(), &named), &anna()).unwrap();
    assert_eq!(back.gross(), Money(-11_924));
    assert_eq!(changed_since(&herd, &number).unwrap(), 0);
    let nothing = credit(&mut herd, &number, how, (&prices(), &named), &anna());
    assert!(matches!(nothing, Err(BillError::Same { .. })));
    let anew = issue(&mut herd, &ask(farm), (&prices(), &named), &anna()).unwrap().bill;
    assert_eq!(anew.number.unwrap().to_string(), "2026-0005");
    assert_eq!(anew.lines, issued.lines);
}

#[test]
fn what_was_not_on_the_bill_is_added_at_todays_price() {
    let (mut herd, farm, _) = worked();
    let without = PriceList::read(&LIST.replace("[item.block]", "[item.block-off]")).unwrap();
    let number =
        issue(&mut herd, &ask(farm), (&without, &named), &anna()).unwrap().bill.number.unwrap();
    let how = (Extent::Difference, day().plus(2), "blocks were forgotten");
    let more = credit(&mut herd, &number, how, (&prices(), &named), &anna()).unwrap();
    assert_eq!(counted(&more), [(Item::Block, 2)]);
    assert_eq!(more.kind, BillKind::Bill { adds_to: Some(number) });
}

#[test]
fn a_bill_is_in_the_farms_language_and_currency() {
    let (mut herd, farm, _) = worked();
    let mut settings = herd.farm_settings(farm).unwrap();
    settings.language = Language::German;
    settings.address = vec!["Lindenhof".to_owned(), "Hauptstraße 1".to_owned()];
    herd.set_farm_settings(farm, &settings).unwrap();
    let bill = draft(&herd, &ask(farm), (&prices(), &named)).unwrap().bill;
    assert_eq!(bill.lines[1].words, "Kuh geschnitten");
    assert_eq!(bill.buyer, settings.address);
    settings.currency = Currency::from_code("CHF").unwrap();
    herd.set_farm_settings(farm, &settings).unwrap();
    let told = draft(&herd, &ask(farm), (&prices(), &named)).unwrap_err().to_string();
    assert!(told.contains("EUR") && told.contains("CHF") && told.contains("Lindenhof"), "{told}");
}

/// Many offices at once: every number once, none left out, no day billed twice.
#[test]
fn a_series_has_no_gap_under_several_writers() {
    const OFFICES: u16 = 4;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("herd.db");
    let mut herd = Database::open(&path).unwrap();
    let farm = hornrule_kit::import(&mut herd, "Lindenhof", 1, "number\n312\n");
    let mut story = Story::at_work();
    for _ in 0..6 {
        story.cow(312).act(30, LH_OUT).left().wait(86_400_000);
    }
    take_in(&mut herd, &story);
    drop(herd);
    let barrier = Barrier::new(usize::from(OFFICES));
    let office = |which: u16| {
        let mut herd = Database::open_existing(&path).unwrap();
        barrier.wait();
        // Each day is asked for by every office; one of them gets it.
        let days = (0..6).map(|n| day().plus((n + which) % 6));
        let asks = days.map(|day| Ask { from: Some(day), until: day, issued: day, ..ask(farm) });
        asks.filter(|ask| issue(&mut herd, ask, (&prices(), &named), &anna()).is_ok()).count()
    };
    let issued: usize = thread::scope(|scope| {
        let all: Vec<_> = (0..OFFICES).map(|which| scope.spawn(move || office(which))).collect();
        all.into_iter().map(|one| one.join().unwrap()).sum()
    });
    let bills = Database::open_existing(&path).unwrap().bills(None).unwrap();
    let numbers: Vec<u32> = bills.iter().map(|bill| bill.number.as_ref().unwrap().number).collect();
    assert_eq!((issued, numbers), (6, vec![1, 2, 3, 4, 5, 6]));
    let days: BTreeSet<Day> = bills.iter().flat_map(|bill| &bill.lines).map(|l| l.day).collect();
    assert_eq!(days.len(), 6);
}

/// The schema itself refuses what this program never does.
#[test]
fn the_database_refuses_changes_and_gaps() {
    let (mut herd, farm, _) = worked();
    let bill = issue(&mut herd, &ask(farm), (&prices(), &named), &anna()).unwrap().bill;
    let changes = [
        "UPDATE bill SET gross = 0, net = 0, tax = 0",
        "UPDATE bill_line SET quantity = 0, amount = 0",
        "UPDATE bill_tax SET tax = 0",
        "DELETE FROM bill_tax",
        "DELETE FROM bill_line",
        "DELETE FROM bill",
    ];
    for (change, told) in changes.map(|text| (text, herd.inspect(text).err())) {
        assert!(told.is_some_and(|told| told.contains("never")), "{change}");
    }
    let mut skips = bill.clone();
    skips.number.as_mut().unwrap().number = 3;
    let signed = Signed { who: "Anna".to_owned(), at_ms: EIGHT, despite: None };
    let gap = herd.write::<_, DatabaseError>(|rows| rows.insert_bill(&skips, &signed));
    assert!(gap.is_err());
    assert_eq!(herd.bills(None).unwrap(), [bill]);
}

const FREE: &str = "[line.travel]\nprice = \"0.55\"\nunit = \"km\"\ntax = \"standard\"\n\
    text = { en = \"Travel\", de = \"Anfahrt\" }\n";

fn with_travel() -> PriceList {
    PriceList::read(&format!("{LIST}{FREE}")).unwrap()
}

/// By hand, beside the 96.00 of the visit: 34.5 km at 0.55 are 18.975, a half: 18.98; 114.98 at 19 %
/// are 21.8462, 21.85; with 5.00 without tax: 141.83.
#[test]
fn free_lines_stand_beside_the_visits_and_are_taken_back_to_the_cent() {
    let (mut herd, farm, block) = worked();
    let asked = Ask { free: vec![travel("34.5")], ..ask(farm) };
    let issued = issue(&mut herd, &asked, (&with_travel(), &named), &anna()).unwrap().bill;
    assert_eq!(issued.free[0].amount(), Money(1_898));
    assert_eq!((issued.net(), issued.tax()), (Money(11_998), Money(2_185)));
    let number = issued.number.clone().unwrap();
    assert_eq!(herd.bill(&number).unwrap().unwrap().0, issued);
    // Records change: the difference is of counted lines, and the line that was typed stays.
    let said = Signature { who: "Anna".to_owned(), at_ms: EIGHT, why: "slip".to_owned() };
    decide(&mut herd, &said, &[((DEVICE, LOG, block), Verdict::Discard)]).unwrap();
    let how = (Extent::Difference, day().plus(2), "slip");
    let note = credit(&mut herd, &number, how, (&with_travel(), &named), &anna()).unwrap();
    assert_eq!((counted(&note), note.free.len()), (vec![(Item::Block, -1)], 0));
    let whole = (Extent::Whole, day().plus(3), "wrong farm");
    let back = credit(&mut herd, &number, whole, (&with_travel(), &named), &anna()).unwrap();
    assert_eq!(back.free, [issued.free[0].back()]);
    let all: i64 = herd.bills(None).unwrap().iter().map(|bill| bill.gross().0).sum();
    assert_eq!(all, 0, "nothing is left over");
    let again = credit(&mut herd, &number, whole, (&with_travel(), &named), &anna());
    assert!(matches!(again, Err(BillError::Same { .. })));
}

#[test]
fn a_bill_of_free_lines_alone_must_be_meant() {
    let (mut herd, farm, _) = worked();
    issue(&mut herd, &ask(farm), (&prices(), &named), &anna()).unwrap();
    let again = Ask { free: vec![travel("34")], ..ask(farm) };
    let twice = issue(&mut herd, &again, (&with_travel(), &named), &anna());
    assert!(matches!(twice, Err(BillError::Nothing { .. })), "another office billed the visit");
    let meant = Ask { lines_only: true, ..again };
    let bill = issue(&mut herd, &meant, (&with_travel(), &named), &anna()).unwrap().bill;
    assert_eq!((bill.lines.len(), bill.gross()), (0, Money(1_870 + 355)));
    let none = Ask { free: Vec::new(), ..meant.clone() };
    let none = issue(&mut herd, &none, (&with_travel(), &named), &anna());
    assert!(matches!(none, Err(BillError::Nothing { .. })));
    let unknown = issue(&mut herd, &meant, (&prices(), &named), &anna()).unwrap_err().to_string();
    assert!(unknown.contains("`travel`") && unknown.contains("[line."), "{unknown}");
    let number = bill.number.unwrap();
    let how = (Extent::Whole, day().plus(2), "not driven");
    let back = credit(&mut herd, &number, how, (&prices(), &named), &anna()).unwrap();
    assert_eq!(back.gross(), Money(-2_225));
}

/// A grade that the lesion does not have is held until somebody decides.
#[test]
fn a_visit_with_held_entries_is_billed_only_for_a_reason() {
    let (mut herd, farm) = two_farms();
    let mut story = Story::at_work();
    story.cow(312).act(30, LH_OUT).find(13, 4, LH_OUT).left();
    take_in(&mut herd, &story);
    assert_eq!(draft(&herd, &ask(farm), (&prices(), &named)).unwrap().held, 1);
    let refused = issue(&mut herd, &ask(farm), (&prices(), &named), &anna()).unwrap_err();
    assert!(matches!(&refused, BillError::Held { held: 1, .. }), "{refused}");
    for part in ["1 entry", "review list --held --herd \"Lindenhof\"", "--with-held"] {
        assert!(refused.to_string().contains(part), "{refused}");
    }
    assert_eq!(herd.bills(None).unwrap(), []);
    let because = Signer { with_held: Some("a grade only".to_owned()), ..anna() };
    let bill = issue(&mut herd, &ask(farm), (&prices(), &named), &because).unwrap().bill;
    let number = bill.number.unwrap();
    let despite = herd.bill(&number).unwrap().unwrap().1.despite.unwrap();
    assert_eq!((despite.held, despite.why.as_str()), (1, "a grade only"));
    // All of it can be taken back whatever is held.
    let how = (Extent::Whole, day().plus(2), "wrong farm");
    credit(&mut herd, &number, how, (&prices(), &named), &anna()).unwrap();
}

/// The bill of `worked` is 119.24.
#[test]
fn payments_add_up_and_are_taken_back_by_a_further_row() {
    let (mut herd, farm, block) = worked();
    let bill = issue(&mut herd, &ask(farm), (&prices(), &named), &anna()).unwrap().bill;
    let number = bill.number.clone().unwrap();
    let today = day().plus(20);
    let paying = |amount: Option<i64>| Paying {
        number: &number,
        amount: amount.map(Money),
        on: today,
        today,
        overpaid: false,
    };
    let by = ("Anna", EIGHT, "");
    let open = |herd: &Database| {
        let all = accounts(&herd.bills(None).unwrap(), &herd.payments().unwrap());
        (all[0].open().0, reminders(&all, today).iter().map(|(_, days)| *days).collect::<Vec<_>>())
    };
    // Issued on day 1, to be paid within 14 days.
    assert_eq!(open(&herd), (11_924, vec![5]));
    let (part, account) = pay(&mut herd, &paying(Some(5_000)), by).unwrap();
    assert_eq!((part.number, account.open()), (1, Money(6_924)));
    let refused = pay(&mut herd, &paying(Some(6_925)), by).unwrap_err().to_string();
    assert!(refused.contains("69.24 EUR"), "{refused}");
    let late = Paying { on: today.plus(1), ..paying(Some(1)) };
    assert!(matches!(pay(&mut herd, &late, by), Err(BillError::NotYet { .. })));
    // A credit note counts against its bill, and is never paid itself.
    let said = Signature { who: "Anna".to_owned(), at_ms: EIGHT, why: "slip".to_owned() };
    decide(&mut herd, &said, &[((DEVICE, LOG, block), Verdict::Discard)]).unwrap();
    let how = (Extent::Difference, day().plus(2), "slip");
    let note = credit(&mut herd, &number, how, (&prices(), &named), &anna()).unwrap();
    let note = note.number.unwrap();
    assert_eq!(open(&herd), (11_924 - 5_000 - 2_142, vec![5]));
    let of_note = Paying { number: &note, ..paying(None) };
    assert!(
        matches!(pay(&mut herd, &of_note, by), Err(BillError::NotPaid { of, .. }) if of == number)
    );
    let (rest, account) = pay(&mut herd, &paying(None), by).unwrap();
    assert_eq!((rest.payment.amount, account.open()), (Money(4_782), Money(0)));
    assert_eq!(open(&herd), (0, vec![]));
    assert!(matches!(pay(&mut herd, &paying(None), by), Err(BillError::TooMuch { .. })));
    let over = Paying { overpaid: true, ..paying(Some(100)) };
    assert_eq!(pay(&mut herd, &over, by).unwrap().1.open(), Money(-100));
    // The first payment was another farm's.
    let slip = ("Anna", EIGHT, "was Birkenhof's");
    let (_, account) = take_back(&mut herd, 1, slip).unwrap();
    assert_eq!(account.open(), Money(4_900));
    for (payment, gone) in [(1, true), (4, true), (9, false)] {
        let refused = take_back(&mut herd, payment, slip).unwrap_err();
        assert_eq!(matches!(refused, BillError::TakenBack { .. }), gone, "{refused}");
    }
    assert_eq!(herd.payments().unwrap().len(), 4);
    for change in ["UPDATE payment SET amount = 1", "DELETE FROM payment"] {
        assert!(herd.inspect(change).unwrap_err().contains("never"), "{change}");
    }
}

/// A supplement has a day of its own; what is paid goes to the bill first.
#[test]
fn a_supplement_is_open_after_its_bill() {
    let (mut herd, farm, _) = worked();
    let without = PriceList::read(&LIST.replace("[item.block]", "[item.block-off]")).unwrap();
    let first = issue(&mut herd, &ask(farm), (&without, &named), &anna()).unwrap().bill;
    let number = first.number.clone().unwrap();
    let how = (Extent::Difference, day().plus(10), "blocks were forgotten");
    let more = credit(&mut herd, &number, how, (&prices(), &named), &anna()).unwrap();
    let today = day().plus(20);
    let all = |herd: &Database| accounts(&herd.bills(None).unwrap(), &herd.payments().unwrap());
    let told = |all: &[Account]| -> Vec<(i64, u32)> {
        reminders(all, today).iter().map(|(paper, days)| (paper.open.0, *days)).collect()
    };
    assert_eq!(told(&all(&herd)), [(first.gross().0, 5)], "the supplement is due on day 24");
    let further = more.number.clone().unwrap();
    let amount = Some(Money(first.gross().0 + 100));
    let paying = Paying { number: &further, amount, on: today, today, overpaid: false };
    let (_, account) = pay(&mut herd, &paying, ("Anna", EIGHT, "")).unwrap();
    assert_eq!(
        account.papers.iter().map(|paper| paper.open.0).collect::<Vec<_>>(),
        [0, more.gross().0 - 100]
    );
    assert_eq!(told(&all(&herd)), []);
    assert_eq!(account.papers[1].overdue(day().plus(25)), Some(1));
    assert_eq!(account.papers[1].overdue(day().plus(24)), None, "the day itself is in time");
}
