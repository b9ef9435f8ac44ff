//! A page as text for a terminal of 80 columns.

use super::{Block, Figure, Notice, Number, Page, Section, Table, Weight};

/// Columns of text.
const WIDTH: usize = 80;
/// Between two columns of a table.
const GAP: usize = 2;
/// No column is made narrower than this.
const LEAST: usize = 4;

impl Page {
    /// The page as text, at most 80 columns wide, each line ended.
    #[must_use]
    pub fn render_terminal(&self) -> String {
        let mut out = Text(String::new());
        out.wrapped(&self.title, 0, 0);
        out.0.push_str(&"=".repeat(self.title.chars().count().min(WIDTH)));
        out.0.push('\n');
        if let Some(subtitle) = &self.subtitle {
            out.wrapped(subtitle, 0, 0);
        }
        for block in &self.blocks {
            out.block(block);
        }
        out.0
    }
}

/// Text that grows.
struct Text(String);

impl Text {
    fn block(&mut self, block: &Block) {
        match block {
            Block::Heading(text) => {
                self.0.push('\n');
                self.wrapped(text, 0, 0);
                self.0.push_str(&"-".repeat(text.chars().count().min(WIDTH)));
                self.0.push('\n');
            }
            Block::Para(text) | Block::Note(text) => self.wrapped(text, 0, 0),
            Block::Lines(lines) => lines.iter().for_each(|line| self.wrapped(line, 0, 2)),
            Block::List(lines) => lines.iter().for_each(|line| self.marked(line)),
            Block::Numbers(numbers) => numbers.iter().for_each(|number| self.number(number)),
            Block::Notice(notice) => self.notice(notice),
            Block::Table(table) | Block::Folded(table) => self.table(table),
            Block::Figures(figures) => figures.iter().for_each(|figure| self.figure(figure)),
            Block::Cautions(cautions) => {
                for caution in cautions {
                    self.wrapped(&format!("{} {}", caution.heading, caution.text), 0, 2);
                }
            }
            Block::Room(room) => {
                self.wrapped(&room.label, 0, 2);
                let line = "_".repeat(WIDTH);
                (0..room.lines).for_each(|_| self.wrapped(&line, 0, 0));
            }
            Block::Break => self.0.push('\n'),
        }
    }

    /// Words on lines; the first line is indented by `first`, all others by `next`.
    fn wrapped(&mut self, text: &str, first: usize, next: usize) {
        for (at, line) in wrap(text, WIDTH - first.max(next)).iter().enumerate() {
            self.0.push_str(&" ".repeat(if at == 0 { first } else { next }));
            self.0.push_str(line);
            self.0.push('\n');
        }
    }

    fn marked(&mut self, line: &str) {
        let before = self.0.len();
        self.wrapped(line, 4, 4);
        // The first two blanks of the line just written are ASCII.
        self.0.replace_range(before..before + 4, "  - ");
    }

    fn number(&mut self, Number { label, value, note }: &Number) {
        let note = note.as_ref().map_or_else(String::new, |note| format!(", {note}"));
        self.wrapped(&format!("{label}: {value}{note}"), 0, 2);
    }

    fn notice(&mut self, notice: &Notice) {
        let heading = match notice.weight {
            Weight::Now => notice.heading.to_uppercase(),
            Weight::Soon | Weight::Mind => notice.heading.clone(),
        };
        self.wrapped(&format!("{heading}:"), 0, 2);
        notice.lines.iter().for_each(|line| self.marked(line));
    }

    fn figure(&mut self, figure: &Figure) {
        let Figure { caption, lines, .. } = figure;
        if lines.is_empty() {
            // Its numbers are in a table.
            return;
        }
        if let Some(caption) = caption {
            self.wrapped(caption, 0, 2);
        }
        lines.iter().for_each(|line| self.wrapped(line, 2, 4));
    }

    fn table(&mut self, table: &Table) {
        let indent = if table.grouped_by.is_some() { 2 } else { 0 };
        let widths = widths(table, WIDTH - indent);
        let titles: Vec<&str> = table.columns.iter().map(|column| column.title.as_str()).collect();
        self.row(table, &titles, &widths, indent);
        let rule: usize = widths.iter().sum::<usize>() + GAP * widths.len().saturating_sub(1);
        self.0.push_str(&" ".repeat(indent));
        self.0.push_str(&"─".repeat(rule));
        self.0.push('\n');
        for Section { title, rows } in &table.sections {
            if let Some(title) = title {
                self.wrapped(title, 0, 2);
            }
            for row in rows {
                let cells: Vec<&str> = row.iter().map(super::Cell::text).collect();
                self.row(table, &cells, &widths, indent);
            }
        }
    }

    fn row(&mut self, table: &Table, cells: &[&str], widths: &[usize], indent: usize) {
        let wrapped: Vec<Vec<String>> =
            cells.iter().zip(widths).map(|(cell, width)| wrap(cell, *width)).collect();
        let height = wrapped.iter().map(Vec::len).max().unwrap_or(0);
        for at in 0..height {
            let mut line = " ".repeat(indent);
            for (column, (cell, width)) in wrapped.iter().zip(widths).enumerate() {
                if column > 0 {
                    line.push_str(&" ".repeat(GAP));
                }
                let text = cell.get(at).map_or("", String::as_str);
                let room = " ".repeat(width.saturating_sub(text.chars().count()));
                let number = table.columns.get(column).is_some_and(|column| column.number);
                let (before, after) =
                    if number { (room, String::new()) } else { (String::new(), room) };
                line.push_str(&before);
                line.push_str(text);
                line.push_str(&after);
            }
            self.0.push_str(line.trim_end());
            self.0.push('\n');
        }
    }
}

/// Words on lines of at most so many characters; a word that is longer is cut.
fn wrap(text: &str, width: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for part in text.split('\n') {
        let mut line = String::new();
        for word in part.split(' ').filter(|word| !word.is_empty()) {
            let letters: Vec<char> = word.chars().collect();
            for piece in letters.chunks(width.max(1)) {
                let used = line.chars().count();
                if used > 0 && used + 1 + piece.len() > width {
                    lines.push(std::mem::take(&mut line));
                } else if used > 0 {
                    line.push(' ');
                }
                line.extend(piece);
            }
        }
        lines.push(line);
    }
    lines
}

/// As wide as the texts want, or less: the widest column of words gives way first, down to its
/// longest word, and only then any column.
fn widths(table: &Table, budget: usize) -> Vec<usize> {
    let columns = table.columns.len();
    let mut wants = vec![0; columns];
    let mut words = vec![LEAST; columns];
    let titles = table.columns.iter().map(|column| column.title.as_str()).collect::<Vec<_>>();
    let rows = table.sections.iter().flat_map(|section| &section.rows);
    let rows = rows.map(|row| row.iter().map(super::Cell::text).collect::<Vec<_>>());
    for row in std::iter::once(titles).chain(rows) {
        for (at, cell) in row.iter().enumerate().take(columns) {
            for line in cell.split('\n') {
                wants[at] = wants[at].max(line.chars().count());
            }
            for word in cell.split([' ', '\n']) {
                words[at] = words[at].max(word.chars().count());
            }
        }
    }
    let room = budget.saturating_sub(GAP * columns.saturating_sub(1));
    while wants.iter().sum::<usize>() > room {
        let flexible = (0..columns).filter(|at| wants[*at] > words[*at]);
        let any = (0..columns).filter(|at| wants[*at] > LEAST);
        let widest =
            flexible.max_by_key(|at| wants[*at]).or_else(|| any.max_by_key(|at| wants[*at]));
        let Some(widest) = widest else { break };
        wants[widest] -= 1;
    }
    wants
}
