//! Where in a TOML file something stands, for errors that send a person to its line.

use toml::Spanned;

/// A file's text.
#[derive(Clone, Copy, Debug)]
pub struct TomlText<'a>(pub &'a str);

impl TomlText<'_> {
    /// The line on which a key or a value begins, from 1.
    #[must_use]
    pub fn line<T>(self, of: &Spanned<T>) -> usize {
        self.line_at(of.span().start)
    }

    /// Where and why the text is no TOML, or not the TOML that was asked for: the line, and the
    /// reader's words on one line.
    #[must_use]
    pub fn unread(self, error: &toml::de::Error) -> (usize, String) {
        let line = self.line_at(error.span().map_or(0, |span| span.start));
        (line, error.message().lines().collect::<Vec<_>>().join(", "))
    }

    fn line_at(self, byte: usize) -> usize {
        self.0.bytes().take(byte).filter(|byte| *byte == b'\n').count() + 1
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_count_from_one_and_by_line_feeds() {
        let text = TomlText("a = 1\r\n\n# \u{e4}\nb = 2\n");
        let table = toml::de::DeTable::parse(text.0).unwrap();
        let lines: Vec<usize> = table.get_ref().iter().map(|(key, _)| text.line(key)).collect();
        assert_eq!(lines, [1, 4]);
    }

    #[test]
    fn what_cannot_be_read_has_its_line_and_no_line_end() {
        for (text, wanted) in [("a = ", 1), ("a = 1\nb", 2), ("[a]\nb = 1\n[a]\n", 3), ("[a\n", 1)]
        {
            let (line, why) =
                TomlText(text).unread(&toml::from_str::<toml::Table>(text).unwrap_err());
            assert_eq!(line, wanted, "{text:?}: {why}");
            assert!(!why.is_empty() && !why.contains('\n'), "{why}");
        }
    }
}
