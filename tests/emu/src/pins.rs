//! The board's pins, as in `firmware/board-emu/src/pins.rs`; a test compares the two.

/// Rows, from the top.
pub const ROWS: [u8; 5] = [0, 1, 2, 3, 4];
/// Columns, from the left.
pub const COLUMNS: [u8; 4] = [5, 6, 7, 8];
/// Calliper clock.
pub const CLOCK: u8 = 9;
/// Calliper data.
pub const DATA: u8 = 10;
/// Calliper request.
pub const REQUEST: u8 = 11;
/// Pedal.
pub const PEDAL: u8 = 12;
/// Tone, two bits.
pub const TONE: [u8; 2] = [13, 14];
/// Red light.
pub const RED: u8 = 15;
/// Green light.
pub const GREEN: u8 = 16;
/// Motor.
pub const MOTOR: u8 = 17;
/// Changes with each edge taken.
pub const TAKEN: u8 = 30;

#[cfg(test)]
mod tests {
    /// The constants of a file, one per line, without what differs between the crates.
    fn constants(text: &str) -> Vec<String> {
        let named = |line: &str| {
            let public = line.strip_prefix("pub const ");
            public.or_else(|| line.strip_prefix("pub(crate) const ")).map(str::to_owned)
        };
        text.lines().filter_map(named).collect()
    }

    #[test]
    fn they_are_the_boards() {
        let board = constants(include_str!("../../../firmware/board-emu/src/pins.rs"));
        let ours = constants(include_str!("pins.rs"));
        assert!(ours.len() > 10, "{ours:?}");
        for pin in ours {
            assert!(board.contains(&pin), "the board has no {pin}");
        }
    }
}
