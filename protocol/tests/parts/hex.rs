//! Bytes as text, both ways.

/// Two digits a byte; whitespace is ignored.
pub(crate) fn parse(text: &str) -> Vec<u8> {
    let digits: Vec<char> = text.chars().filter(|c| !c.is_whitespace()).collect();
    digits
        .chunks(2)
        .map(|pair| {
            assert_eq!(pair.len(), 2, "half a byte in {text:?}");
            u8::from_str_radix(&String::from_iter(pair), 16).unwrap()
        })
        .collect()
}

/// Lower case, separated by blanks.
pub(crate) fn show(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect::<Vec<_>>().join(" ")
}
