//! Casebooks of a herd, one cow after the other.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_casebook::Casebook;
use hornrule_facts::{AnimalId, Closing, Day, DueRules, Fact, HerdId, Told};
use hornrule_herd::{Fault, Kinds, Rows, Span};

use crate::due::Need;
use crate::due::decide::{Asked, open};

/// What casebooks of a herd are made from, beside facts.
pub(crate) struct Books {
    herd: HerdId,
    day: Day,
    rules: DueRules,
    closings: BTreeMap<AnimalId, Vec<Closing>>,
    gone: BTreeSet<AnimalId>,
}

impl Books {
    /// Of a herd as it is known at the end of a day.
    pub(crate) fn of(rows: &Rows<'_>, herd: HerdId, day: Day) -> Result<Self, Fault> {
        let list = rows.animals(herd)?;
        let gone = list.iter().filter(|one| !one.in_herd).map(|one| one.animal).collect();
        let (rules, closings) = (rows.due_rules()?, BTreeMap::new());
        let mut books = Self { herd, day, rules, closings, gone };
        let known = rows.closings(herd)?.into_iter().filter(|closing| closing.day <= day);
        known.for_each(|closing| books.note(closing));
        Ok(books)
    }

    fn closings(&self, animal: AnimalId) -> &[Closing] {
        self.closings.get(&animal).map_or(&[], Vec::as_slice)
    }

    /// Notes one more thing that the office was told.
    pub(crate) fn note(&mut self, closing: Closing) {
        self.closings.entry(closing.animal).or_default().push(closing);
    }

    /// Tells each cow's casebook up to and with the day, by her number. It is made without lengths,
    /// which duties and cases do not need.
    pub(crate) fn each(
        &self,
        rows: &Rows<'_>,
        mut tell: impl FnMut(AnimalId, &Casebook),
    ) -> Result<(), Fault> {
        self.each_with_facts(rows, |animal, _, book| tell(animal, book))
    }

    /// The same, with the findings and actions that each is made of.
    pub(crate) fn each_with_facts(
        &self,
        rows: &Rows<'_>,
        mut tell: impl FnMut(AnimalId, &[Fact], &Casebook),
    ) -> Result<(), Fault> {
        let kinds = Kinds::JUDGED.and(Kinds::STAYS);
        rows.each_cow(self.herd, Span::through(self.day), kinds, |animal, facts| {
            tell(animal, facts, &self.fold(animal, facts));
        })
    }

    /// A cow's casebook of these facts.
    pub(crate) fn fold(&self, animal: AnimalId, facts: &[Fact]) -> Casebook {
        Casebook::of(facts, self.closings(animal))
    }

    /// One cow's facts up to and with the day.
    pub(crate) fn facts_of_cow(
        &self,
        rows: &Rows<'_>,
        animal: AnimalId,
    ) -> Result<Vec<Fact>, Fault> {
        rows.facts_of_cow(self.herd, animal, self.day)
    }

    /// The last note that a cow has left the farm.
    fn left(&self, animal: AnimalId) -> Option<&Closing> {
        let left = self.closings(animal).iter().filter(|one| matches!(one.what, Told::Gone(_)));
        left.max_by_key(|one| one.day)
    }

    /// The note that a cow has left the farm, and the day on which she was in the chute all the same,
    /// later; `None` where there is none.
    pub(crate) fn back(&self, animal: AnimalId, book: &Casebook) -> Option<(&Closing, Day)> {
        let left = self.left(animal)?;
        let seen = book.stays.iter().find(|seen| **seen > left.day)?;
        Some((left, *seen))
    }

    /// The days on which somebody noted that she was not brought.
    pub(crate) fn not_brought(&self, animal: AnimalId) -> impl Iterator<Item = Day> {
        let notes = self.closings(animal).iter().filter(|one| one.what == Told::NotBrought);
        notes.map(|one| one.day)
    }

    /// What is open on a cow at the end of the day.
    pub(crate) fn needs(&self, animal: AnimalId, book: &Casebook) -> Vec<Need> {
        let left = self.left(animal).is_some() && self.back(animal, book).is_none();
        if left || self.gone.contains(&animal) {
            return Vec::new();
        }
        let asked = Asked { book, closings: self.closings(animal), rules: &self.rules };
        open(&asked).into_iter().map(|one| one.of(book, (self.herd, animal))).collect()
    }
}
