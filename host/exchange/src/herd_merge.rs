//! Decides what a herd list changes: who is new, who left or came back, who has another number.
//!
//! ```text
//! list before + lines of the file --merge--> list after
//!                                            + a line a cow: added, changed, left, returned, ...
//!                                            + renumberings: (old number, new number)
//! ```
//!
//! A cow is known again by her electronic tag, else by her official number, else by her herd
//! number. A number whose cow is known to be another one is given anew: the cow who had it keeps
//! her rows under a former number ([`AnimalId::former`]).

use std::collections::{BTreeMap, BTreeSet};

use hornrule_facts::{AnimalId, Day, ListedAnimal};

/// Columns of a list beside the number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Field {
    /// Electronic tag.
    Tag,
    /// Official ear tag number.
    Official,
    /// Name.
    Name,
    /// Day of birth.
    Born,
    /// Breed.
    Breed,
    /// Lactation number.
    Lactation,
    /// Day of the last calving.
    Calved,
    /// Her group.
    Group,
}

impl Field {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::Tag,
        Self::Official,
        Self::Name,
        Self::Born,
        Self::Breed,
        Self::Lactation,
        Self::Calved,
        Self::Group,
    ];

    /// Its name in a file.
    #[must_use]
    pub const fn key(self) -> &'static str {
        match self {
            Self::Tag => "tag",
            Self::Official => "official",
            Self::Name => "name",
            Self::Born => "born",
            Self::Breed => "breed",
            Self::Lactation => "lactation",
            Self::Calved => "calved",
            Self::Group => "group",
        }
    }

    /// What a cow has there, as text.
    #[must_use]
    pub fn shown(self, cow: &ListedAnimal) -> String {
        let day = |day: Option<Day>| day.map(|day| day.to_string());
        let shown = match self {
            Self::Tag => cow.tag.map(|tag| format!("{:015}", tag.decimal())),
            Self::Official => cow.official.clone(),
            Self::Name => cow.name.clone(),
            Self::Born => day(cow.born),
            Self::Breed => cow.breed.clone(),
            Self::Lactation => cow.lactation.map(|number| number.to_string()),
            Self::Calved => day(cow.calved),
            Self::Group => cow.pen.clone(),
        };
        shown.unwrap_or_default()
    }

    fn copy(self, from: &ListedAnimal, to: &mut ListedAnimal) {
        match self {
            Self::Tag => to.tag = from.tag,
            Self::Official => to.official.clone_from(&from.official),
            Self::Name => to.name.clone_from(&from.name),
            Self::Born => to.born = from.born,
            Self::Breed => to.breed.clone_from(&from.breed),
            Self::Lactation => to.lactation = from.lactation,
            Self::Calved => to.calved = from.calved,
            Self::Group => to.pen.clone_from(&from.pen),
        }
    }
}

/// What becomes of a cow.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Became {
    /// She was not in the list.
    Added,
    /// Something of her is another: which, what it was, what it is.
    Changed(Vec<(Field, String, String)>),
    /// She is as she was.
    Same,
    /// She is not in the file.
    Left,
    /// She had left and is back; and what of her is another.
    Returned(Vec<(Field, String, String)>),
    /// She has another number; and what of her is another.
    Renumbered {
        /// The number she had.
        was: AnimalId,
        /// What of her is another.
        changed: Vec<(Field, String, String)>,
    },
    /// Another cow has her number now.
    NumberGivenAnew {
        /// The number she had.
        was: AnimalId,
    },
}

/// One cow and what becomes of her.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// Her number after the import.
    pub animal: AnimalId,
    /// Her name after the import.
    pub name: Option<String>,
    /// What becomes of her.
    pub became: Became,
}

/// What to look for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct How {
    /// From which day on new numbers hold; `None` looks for no renumbered cows.
    pub since: Option<Day>,
    /// Numbers that another cow has now.
    pub other_cow: BTreeSet<AnimalId>,
    /// Numbers whose cow is the same though her birth and tag say otherwise.
    pub same_cow: BTreeSet<AnimalId>,
    /// Whether the file is a part of the list only: who is not in it stays.
    pub part: bool,
}

/// What a file changes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Merged {
    /// The list after.
    pub after: Vec<ListedAnimal>,
    /// What becomes of each cow, by number.
    pub differences: Vec<Difference>,
    /// Who has another number: the old and the new one.
    pub renumbered: Vec<(AnimalId, AnimalId)>,
}

/// Decides. `has` are the columns of the file; what it lacks stays as it was. `on` is the day of
/// the list.
#[must_use]
pub fn merge(
    before: &[ListedAnimal],
    cows: &[ListedAnimal],
    has: &BTreeSet<Field>,
    how: &How,
    on: Option<Day>,
) -> Merged {
    let merge = Merge { before, cows, has, how };
    let known = merge.known_again();
    let mut merged = Merged::default();
    for (cow, old) in cows.iter().zip(&known) {
        let Some(old) = old.map(|at| &before[at]) else {
            merged.push(cow.clone(), Became::Added);
            continue;
        };
        let mut new = old.clone();
        (new.animal, new.in_herd, new.left_on) = (cow.animal, true, None);
        has.iter().for_each(|field| field.copy(cow, &mut new));
        let changed = changes(old, &new);
        let became = if old.animal != new.animal {
            merged.renumbered.push((old.animal, new.animal));
            Became::Renumbered { was: old.animal, changed }
        } else if !old.in_herd {
            Became::Returned(changed)
        } else if changed.is_empty() {
            Became::Same
        } else {
            Became::Changed(changed)
        };
        merged.push(new, became);
    }
    let found: BTreeSet<usize> = known.into_iter().flatten().collect();
    let gone = before.iter().enumerate().filter(|(at, _)| !found.contains(at));
    for (_, old) in gone {
        merged.part(old, &merge, on);
    }
    merged.after.sort_by_key(|one| one.animal);
    merged.differences.sort_by_key(|one| one.animal);
    merged
}

fn changes(old: &ListedAnimal, new: &ListedAnimal) -> Vec<(Field, String, String)> {
    let shown = |field: Field| (field, field.shown(old), field.shown(new));
    Field::ALL.into_iter().map(shown).filter(|(_, was, is)| was != is).collect()
}

impl Merged {
    fn push(&mut self, cow: ListedAnimal, became: Became) {
        let name = cow.name.clone();
        self.differences.push(Difference { animal: cow.animal, name, became });
        self.after.push(cow);
    }

    /// A cow that is not in the file: she left, and perhaps her number was given to another.
    fn part(&mut self, old: &ListedAnimal, merge: &Merge<'_>, on: Option<Day>) {
        let mut gone = ListedAnimal { in_herd: false, ..old.clone() };
        gone.left_on = if old.in_herd { on } else { old.left_on };
        // A tag that another cow carries now is not hers any more.
        if merge.cows.iter().any(|cow| cow.tag.is_some() && cow.tag == old.tag) {
            gone.tag = None;
        }
        let taken = merge.cows.iter().any(|cow| cow.animal == old.animal);
        if taken {
            let was = old.animal;
            let all = || merge.before.iter().chain(&self.after).map(|one| one.animal);
            let free = (1..).map_while(|n| was.former(n)).find(|id| !all().any(|one| one == *id));
            // A number has 999 former owners at most; after that the rows stay with the number.
            let Some(free) = free else { return };
            gone.animal = free;
            self.renumbered.push((was, free));
            self.push(gone, Became::NumberGivenAnew { was });
        } else if merge.how.part && old.in_herd {
            let stays = ListedAnimal { tag: gone.tag, ..old.clone() };
            match changes(old, &stays) {
                changed if changed.is_empty() => self.after.push(stays),
                changed => self.push(stays, Became::Changed(changed)),
            }
        } else if old.in_herd {
            self.push(gone, Became::Left);
        } else {
            self.after.push(gone);
        }
    }
}

struct Merge<'a> {
    before: &'a [ListedAnimal],
    cows: &'a [ListedAnimal],
    has: &'a BTreeSet<Field>,
    how: &'a How,
}

impl Merge<'_> {
    /// For each line of the file, which cow of the list before it is.
    fn known_again(&self) -> Vec<Option<usize>> {
        let mut known: Vec<Option<usize>> = vec![None; self.cows.len()];
        let mut found: BTreeSet<usize> = BTreeSet::new();
        let numbers: BTreeMap<AnimalId, usize> =
            self.before.iter().enumerate().map(|(at, old)| (old.animal, at)).collect();
        if self.how.since.is_some() {
            for (line, cow) in self.cows.iter().enumerate() {
                let at = self.by_marks(cow).filter(|at| found.insert(*at));
                known[line] = at;
            }
        }
        for (line, cow) in self.cows.iter().enumerate() {
            let at = numbers.get(&cow.animal).copied().filter(|at| !found.contains(at));
            if known[line].is_none()
                && let Some(at) = at
                && !self.is_another(&self.before[at], cow)
            {
                found.insert(at);
                known[line] = Some(at);
            }
        }
        known
    }

    /// The cow with the same tag, or else with the same official number.
    fn by_marks(&self, cow: &ListedAnimal) -> Option<usize> {
        let same_tag = |old: &ListedAnimal| cow.tag.is_some() && old.tag == cow.tag;
        let same_official =
            |old: &ListedAnimal| cow.official.is_some() && old.official == cow.official;
        let at = self.before.iter().position(same_tag);
        let at = at.or_else(|| self.before.iter().position(same_official))?;
        let old = &self.before[at];
        let said = self.how.other_cow.contains(&cow.animal) && old.animal == cow.animal;
        (!said).then_some(at)
    }

    /// Whether the cow with a number is another one than before.
    fn is_another(&self, old: &ListedAnimal, cow: &ListedAnimal) -> bool {
        if self.how.since.is_none() || self.how.same_cow.contains(&cow.animal) {
            return false;
        }
        if self.how.other_cow.contains(&cow.animal) {
            return true;
        }
        // Another birth with another mark; a new mark alone is a lost tag, another birth alone a
        // slip.
        let other = |field: Field| {
            let (was, is) = (field.shown(old), field.shown(cow));
            self.has.contains(&field) && !was.is_empty() && !is.is_empty() && was != is
        };
        other(Field::Born) && (other(Field::Tag) || other(Field::Official))
    }
}

#[cfg(test)]
mod tests;
