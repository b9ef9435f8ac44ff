//! Which line of a text a byte stands on, as an editor counts lines.

/// Counts forward through a text.
pub(super) struct Lines<'a> {
    text: &'a [u8],
    at: usize,
    line: u64,
}

impl<'a> Lines<'a> {
    pub(super) const fn new(text: &'a [u8]) -> Self {
        Self { text, at: 0, line: 1 }
    }

    /// The line, from 1, of the byte at `byte`; line ends that stand there belong to the line
    /// before. No byte before the last one asked for.
    ///
    /// The reader of rows reports a row's start before it has passed the end of the row before, so
    /// its own lines are one too few after CR LF, and more after blank lines.
    pub(super) fn of(&mut self, byte: usize) -> u64 {
        let is_end = |at: usize| matches!(self.text.get(at), Some(b'\r' | b'\n'));
        let start = (byte..self.text.len()).find(|at| !is_end(*at)).unwrap_or(self.text.len());
        while self.at < start {
            let (this, next) = (self.text.get(self.at), self.text.get(self.at + 1));
            let ends = match (this, next) {
                // Counted at its line feed.
                (Some(b'\r'), Some(b'\n')) => false,
                (Some(b'\r' | b'\n'), _) => true,
                _ => false,
            };
            self.line += u64::from(ends);
            self.at += 1;
        }
        self.line
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_count_as_an_editor_counts_them() {
        for end in ["\n", "\r\n", "\r"] {
            let text = format!("a{end}{end}b\"x{end}y\"{end}c{end}");
            let mut lines = Lines::new(text.as_bytes());
            let mut of = |part: &str| lines.of(text.find(part).unwrap());
            assert_eq!([of("a"), of("b"), of("y"), of("c")], [1, 3, 4, 5], "{end:?}");
        }
        // A start that is told before the end of the row before it.
        let mut lines = Lines::new(b"a\r\n\r\nb");
        assert_eq!(lines.of(2), 3);
    }
}
