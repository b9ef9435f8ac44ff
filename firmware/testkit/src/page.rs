//! Bytes that a format's page works out, for tests that hold the code to them.

/// The block that begins with "hex" and this name: two digits a byte, remarks after a semicolon. `None`
/// where the page has no such block, or it holds something else.
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
