//! A look at the tables themselves.

use hornrule_herd::Database;

/// What tests ask of a database beside its own methods.
pub trait Inspect {
    /// Rows of a table.
    fn count(&self, table: &str) -> i64;
    /// One column of a table in the order of its key, as text; empty for NULL.
    fn column(&self, table: &str, column: &str) -> Vec<String>;
    /// Every derived row, as text.
    fn dump(&self) -> Vec<String>;
    /// Does something to the derived tables that the office never does.
    fn spoil(&self);
    /// Tries to change and to remove what is kept of plans; gives why that was refused.
    fn change_plans(&self) -> Vec<String>;
}

impl Inspect for Database {
    fn count(&self, table: &str) -> i64 {
        let text = format!("SELECT CAST(count(*) AS TEXT) FROM {table}");
        self.inspect(&text).unwrap()[0].parse().unwrap()
    }

    fn column(&self, table: &str, column: &str) -> Vec<String> {
        let text = format!("SELECT CAST({column} AS TEXT) FROM {table} ORDER BY device, log, seq");
        self.inspect(&text).unwrap()
    }

    fn dump(&self) -> Vec<String> {
        let tables = self.read(|rows| rows.derived_rows()).unwrap();
        let lines = tables
            .into_iter()
            .flat_map(|(table, rows)| rows.into_iter().map(move |row| format!("{table}: {row}")));
        lines.collect()
    }

    fn change_plans(&self) -> Vec<String> {
        let tries = [
            "UPDATE plan SET day = 1",
            "DELETE FROM plan",
            "UPDATE plan_farm SET herd = 1",
            "DELETE FROM plan_farm",
        ];
        tries.iter().filter_map(|text| self.inspect(text).err()).collect()
    }

    fn spoil(&self) {
        for text in ["DELETE FROM presence", "UPDATE reading SET length_nm = 1"] {
            self.inspect(text).unwrap();
        }
    }
}
