//! A sample that was drawn before, read back from its file: a herd list changes, what was agreed on
//! does not.

use hornrule_protocol::{Claw, Foot, Iso11784, Side};

use super::StudyError;
use super::draw::{Draw, SAMPLE};
use super::protocol::{Moment, Protocol};
use hornrule_facts::AnimalId;
use hornrule_facts::text::unguarded;

/// Reads the CSV that `sample` wrote for this protocol.
///
/// # Errors
/// `Sample`, with the line.
pub fn read_sample(protocol: &Protocol, text: &[u8]) -> Result<Vec<Draw>, StudyError> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text);
    let mut records = reader.records();
    let wrong = |line, what: &str| StudyError::Sample { line, what: what.to_owned() };
    let unreadable = |error: csv::Error| {
        let line = error.position().map_or(1, csv::Position::line);
        wrong(line, "it cannot be read as CSV in UTF-8 with as many cells as the first line")
    };
    let head = records.next().ok_or_else(|| wrong(1, "it is empty"))?.map_err(unreadable)?;
    if !head.iter().eq(SAMPLE.iter().map(|column| column.name)) {
        return Err(wrong(1, "it does not name the columns of a sample"));
    }
    let mut draws = Vec::new();
    for record in records {
        let record = record.map_err(unreadable)?;
        let line = record.position().map_or(0, csv::Position::line);
        let row = Row { protocol, cells: &record };
        draws.push(row.draw(draws.len()).map_err(|column| {
            wrong(line, &format!("column `{column}` holds nothing that fits this protocol"))
        })?);
    }
    Ok(draws)
}

struct Row<'a> {
    protocol: &'a Protocol,
    cells: &'a csv::StringRecord,
}

impl Row<'_> {
    fn cell(&self, column: &str) -> &str {
        let at = SAMPLE.iter().position(|one| one.name == column);
        unguarded(at.and_then(|at| self.cells.get(at)).unwrap_or_default())
    }

    /// The column's value, or the column's name where it has none.
    fn read<T>(
        &self,
        column: &'static str,
        value: impl FnOnce(&str) -> Option<T>,
    ) -> Result<T, &'static str> {
        value(self.cell(column)).ok_or(column)
    }

    /// The row as it was drawn, after `before` others.
    fn draw(&self, before: usize) -> Result<Draw, &'static str> {
        let protocol = self.protocol;
        self.read("order", |text| (text.parse() == Ok(before + 1)).then_some(()))?;
        let foot = self.read("foot", |text| Foot::ALL.into_iter().find(|f| f.letters() == text))?;
        let side = self.read("claw", |text| Side::ALL.into_iter().find(|s| s.name() == text))?;
        let claw = Claw { foot, side };
        if !protocol.claws.contains(&claw) {
            return Err("claw");
        }
        let named = |text: &str| protocol.herds.iter().find(|herd| *herd == text).cloned();
        let seen = |text: &str| {
            let observer = protocol.observers.iter().find(|one| one.code == text);
            observer.map(|one| one.code.clone())
        };
        let dimension = |text: &str| {
            let code: u8 = text.parse().ok()?;
            protocol.dimensions.iter().position(|one| one.dimension.code() == code)
        };
        let farm = |text: &str| match text {
            "" => Some(None),
            digit => digit.parse().ok().filter(|digit| (1..=9).contains(digit)).map(Some),
        };
        let tag = |text: &str| match text {
            "" => Some(None),
            tag => Iso11784::from_decimal(tag.parse().ok()?).ok().map(Some),
        };
        Ok(Draw {
            herd: self.read("herd", named)?,
            farm: self.read("farm", farm)?,
            cow: self.read("cow", |text| text.parse().ok().filter(|n| *n > 0).map(AnimalId))?,
            tag: self.read("tag", tag)?,
            cow_order: self.read("cow_order", |text| text.parse().ok().filter(|n| *n > 0))?,
            moment: self.read("moment", |text| {
                let moments = [Moment::Before, Moment::After].into_iter();
                moments.filter(|one| protocol.moments.contains(one)).find(|one| one.word() == text)
            })?,
            repeat: self.read("repeat", |text| {
                text.parse().ok().filter(|n| (1..=protocol.repeats).contains(n))
            })?,
            observer: self.read("observer", seen)?,
            claw,
            dimension: self.read("dimension", dimension)?,
        })
    }
}
