//! What foreign text an error quotes, it quotes in part: a message of a megabyte helps nobody.

/// Characters that a message may have. The longest of our own, a list of mistakes with what to do,
/// has less than half of that.
const MOST: usize = 4_000;
/// What is kept of the end, where it says what to try.
const END: usize = 1_000;

/// The message; a longer one without its middle.
pub(super) fn brief(text: &str) -> String {
    let count = text.chars().count();
    if count <= MOST {
        return text.to_owned();
    }
    let first: String = text.chars().take(MOST - END).collect();
    let last: String = text.chars().skip(count - END).collect();
    format!("{first} [... {} characters left out ...] {last}", count - MOST)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn beginning_and_end_stay() {
        let short = "a".repeat(MOST);
        assert_eq!(brief(&short), short);
        let long = format!("file.csv: {}; try again", "\u{1f404}".repeat(1_000_000));
        let said = brief(&long);
        assert!(said.starts_with("file.csv: ") && said.ends_with("; try again"));
        assert!(said.contains("[... 996021 characters left out ...]"), "{}", said.len());
        assert!(said.chars().count() < MOST + 60);
    }
}
