//! Worked bytes from a format document, for tests that check the code against them.

/// The block that begins with "hex" and this name: two digits a byte, comments after a semicolon.
/// `None` if the document has no such block, or it holds something else.
#[must_use]
pub fn worked(page: &str, name: &str) -> Option<Vec<u8>> {
    let (_, after) = page.split_once(&format!("```hex {name}\n"))?;
    let (block, _) = after.split_once("```")?;
    block
        .lines()
        .flat_map(|line| line.split(';').next().unwrap_or_default().split_whitespace())
        .map(|byte| u8::from_str_radix(byte, 16).ok())
        .collect()
}
