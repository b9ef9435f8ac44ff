//! Casebooks of a herd, one cow after the other.

use std::collections::{BTreeMap, BTreeSet};

use hornrule_casebook::Casebook;
use hornrule_facts::{AnimalId, Closing, Day, DueRules, Fact, HerdId};
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

    /// Tells each cow's casebook up to and with the day, by her number. It is made of findings and
    /// actions alone: duties and cases need no stays, lengths or scores.
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
        rows.each_cow(self.herd, Span::through(self.day), Kinds::JUDGED, |animal, facts| {
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

    /// What is open on a cow at the end of the day.
    pub(crate) fn needs(&self, animal: AnimalId, book: &Casebook) -> Vec<Need> {
        if self.gone.contains(&animal) {
            return Vec::new();
        }
        let asked = Asked { book, closings: self.closings(animal), rules: &self.rules };
        open(&asked).into_iter().map(|one| one.of(book, (self.herd, animal))).collect()
    }
}
