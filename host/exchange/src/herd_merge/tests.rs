//! Any two lists: nobody is lost, nobody is twice.

use hornrule_protocol::Iso11784;
use proptest::prelude::*;

use super::*;

fn cow(number: i64, tag: Option<u64>, born: i32) -> ListedAnimal {
    let tag = tag.map(|tag| Iso11784::from_decimal(276_000_000_000_000 + tag).unwrap());
    ListedAnimal { tag, born: Some(Day(born)), ..ListedAnimal::numbered(AnimalId(number)) }
}

fn has() -> BTreeSet<Field> {
    [Field::Tag, Field::Born].into()
}

fn since(other: &[i64], same: &[i64]) -> How {
    let set = |numbers: &[i64]| numbers.iter().map(|number| AnimalId(*number)).collect();
    How { since: Some(Day(100)), other_cow: set(other), same_cow: set(same), part: false }
}

fn words(merged: &Merged) -> Vec<(String, &'static str)> {
    let word = |became: &Became| match became {
        Became::Added => "added",
        Became::Changed(_) => "changed",
        Became::Same => "same",
        Became::Left => "left",
        Became::Returned(_) => "returned",
        Became::Renumbered { .. } => "renumbered",
        Became::NumberGivenAnew { .. } => "anew",
    };
    let all = merged.differences.iter();
    all.map(|one| (one.animal.to_string(), word(&one.became))).collect()
}

fn named(all: &[(&str, &'static str)]) -> Vec<(String, &'static str)> {
    all.iter().map(|(number, word)| ((*number).to_owned(), *word)).collect()
}

#[test]
fn a_number_with_another_tag() {
    let before = [cow(1, Some(11), 5)];
    let merge = |file: ListedAnimal, how: &How| merge(&before, &[file], &has(), how, how.since);
    let none = since(&[], &[]);
    // A lost tag; a slip in the birth; another cow; and what a person says takes precedence.
    assert_eq!(words(&merge(cow(1, Some(22), 5), &none)), named(&[("1", "changed")]));
    assert_eq!(words(&merge(cow(1, Some(11), 9), &none)), named(&[("1", "changed")]));
    let anew = named(&[("1", "added"), ("1 (former)", "anew")]);
    assert_eq!(words(&merge(cow(1, Some(22), 9), &none)), anew);
    let same = since(&[], &[1]);
    assert_eq!(words(&merge(cow(1, Some(22), 9), &same)), named(&[("1", "changed")]));
    assert_eq!(words(&merge(cow(1, Some(11), 5), &since(&[1], &[]))), anew);
    // Without a day nobody is looked for.
    let plain = How::default();
    assert_eq!(words(&merge(cow(1, Some(22), 9), &plain)), named(&[("1", "changed")]));
    assert_eq!(merge(cow(2, Some(11), 5), &plain).renumbered, []);
}

#[test]
fn two_cows_swap_their_numbers() {
    let before = [cow(1, Some(11), 5), cow(2, Some(22), 6)];
    let file = [cow(2, Some(11), 5), cow(1, Some(22), 6)];
    let merged = merge(&before, &file, &has(), &since(&[], &[]), Some(Day(100)));
    assert_eq!(words(&merged), named(&[("1", "renumbered"), ("2", "renumbered")]));
    let pairs = [(AnimalId(1), AnimalId(2)), (AnimalId(2), AnimalId(1))];
    assert_eq!(merged.renumbered, pairs);
}

fn list() -> impl Strategy<Value = Vec<ListedAnimal>> {
    let row = (1..9i64, prop::option::of(1..9u64), 0..3i32);
    prop::collection::vec(row, 0..8).prop_map(|rows| {
        let (mut numbers, mut tags) = (BTreeSet::new(), BTreeSet::new());
        let mut list: Vec<ListedAnimal> = rows
            .into_iter()
            .filter(|(number, ..)| numbers.insert(*number))
            .map(|(number, tag, born)| cow(number, tag.filter(|tag| tags.insert(*tag)), born))
            .collect();
        list.sort_by_key(|one| one.animal);
        list
    })
}

proptest! {
    /// Whatever the lists: every line of the file is a cow in the herd with its number and tag;
    /// numbers and tags are single; every cow of the list before is there still, renumbered or not;
    /// old and new numbers are each named once; the same file again changes nothing.
    #[test]
    fn nobody_is_lost_and_nobody_is_twice(
        lists in prop::collection::vec(list(), 1..5),
        looks in any::<bool>(),
    ) {
        let mut before: Vec<ListedAnimal> = Vec::new();
        let mut people = 0;
        for (day, file) in (100..).zip(&lists) {
            let how = How { since: looks.then_some(Day(day)), ..How::default() };
            let merged = merge(&before, file, &has(), &how, how.since);
            let numbers: BTreeSet<AnimalId> = merged.after.iter().map(|one| one.animal).collect();
            prop_assert_eq!(numbers.len(), merged.after.len());
            let tags: Vec<_> = merged.after.iter().filter_map(|one| one.tag).collect();
            prop_assert_eq!(tags.iter().collect::<BTreeSet<_>>().len(), tags.len());
            for cow in file {
                let listed = merged.after.iter().find(|one| one.animal == cow.animal).unwrap();
                prop_assert!(listed.in_herd && listed.tag == cow.tag && listed.born == cow.born);
            }
            let inside = merged.after.iter().filter(|one| one.in_herd).count();
            prop_assert_eq!(inside, file.len());
            let added = merged.differences.iter().filter(|one| one.became == Became::Added).count();
            people += added;
            prop_assert_eq!(merged.after.len(), people);
            let was: BTreeSet<_> = merged.renumbered.iter().map(|pair| pair.0).collect();
            let now: BTreeSet<_> = merged.renumbered.iter().map(|pair| pair.1).collect();
            prop_assert_eq!(was.len(), merged.renumbered.len());
            prop_assert_eq!(now.len(), merged.renumbered.len());
            let again = merge(&merged.after, file, &has(), &how, how.since);
            prop_assert_eq!(&again.after, &merged.after);
            prop_assert_eq!(again.renumbered, []);
            before = merged.after;
        }
    }
}
