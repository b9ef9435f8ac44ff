//! A line that loses, duplicates and corrupts bytes, and splits them anywhere.
//!
//! ```text
//! in   a b c d e f g h
//! out  a b | d e e | f' g h        c dropped, e repeated, f flipped, split at |
//! ```

use std::collections::VecDeque;

use crate::seeded::Seeded;

/// How bad a line is: each fault happens once in this many bytes; zero means never.
#[derive(Clone, Copy, Debug, Default)]
pub struct Dirt {
    /// A byte is lost.
    pub drops: u64,
    /// One bit of a byte is flipped.
    pub flips: u64,
    /// A byte arrives twice.
    pub repeats: u64,
    /// A whole write arrives twice.
    pub echoes: u64,
    /// A few bytes of noise are inserted.
    pub noise: u64,
}

/// One direction of a line.
#[derive(Clone, Debug)]
pub struct DirtyWire {
    dirt: Dirt,
    chance: Seeded,
    on_the_way: VecDeque<u8>,
    spoiled: u64,
}

impl DirtyWire {
    /// A line this dirty; the same seed spoils the same bytes.
    #[must_use]
    pub fn new(dirt: Dirt, seed: u64) -> Self {
        Self { dirt, chance: Seeded::new(seed), on_the_way: VecDeque::new(), spoiled: 0 }
    }

    /// Puts bytes in at one end.
    pub fn put(&mut self, bytes: &[u8]) {
        let times = if self.happens(self.dirt.echoes) { 2 } else { 1 };
        for _ in 0..times {
            for byte in bytes {
                self.put_one(*byte);
            }
        }
    }

    /// Takes bytes out at the other end: some of those there, and at least one if there are any.
    pub fn take(&mut self, buffer: &mut [u8]) -> usize {
        let there = self.on_the_way.len().min(buffer.len());
        if there == 0 {
            return 0;
        }
        // Split anywhere, so that no reader can count on whole frames.
        let length = 1 + self.chance.below(there as u64) as usize;
        for (place, byte) in buffer.iter_mut().zip(self.on_the_way.drain(..length)) {
            *place = byte;
        }
        length
    }

    /// How many faults happened.
    #[must_use]
    pub const fn spoiled(&self) -> u64 {
        self.spoiled
    }

    fn put_one(&mut self, byte: u8) {
        if self.happens(self.dirt.noise) {
            for _ in 0..=self.chance.below(6) {
                let noise = self.chance.below(256) as u8;
                self.on_the_way.push_back(noise);
            }
        }
        if self.happens(self.dirt.drops) {
            return;
        }
        let mut byte = byte;
        if self.happens(self.dirt.flips) {
            byte ^= 1 << self.chance.below(8);
        }
        self.on_the_way.push_back(byte);
        if self.happens(self.dirt.repeats) {
            self.on_the_way.push_back(byte);
        }
    }

    fn happens(&mut self, once_in: u64) -> bool {
        let happens = once_in > 0 && self.chance.once_in(once_in);
        self.spoiled += u64::from(happens);
        happens
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn through(dirt: Dirt, bytes: &[u8]) -> (Vec<u8>, u64) {
        let mut wire = DirtyWire::new(dirt, 5);
        wire.put(bytes);
        let (mut out, mut buffer) = (Vec::new(), [0u8; 16]);
        loop {
            match wire.take(&mut buffer) {
                0 => return (out, wire.spoiled()),
                length => out.extend_from_slice(&buffer[..length]),
            }
        }
    }

    #[test]
    fn a_clean_line_gives_what_it_gets() {
        let bytes: Vec<u8> = (0..=255).collect();
        assert_eq!(through(Dirt::default(), &bytes), (bytes, 0));
    }

    #[test]
    fn each_fault_shows() {
        let bytes = vec![0x55; 4000];
        let (out, spoiled) = through(Dirt { drops: 50, ..Dirt::default() }, &bytes);
        assert_eq!(out.len() as u64, 4000 - spoiled);
        assert!((40..=140).contains(&spoiled), "{spoiled} of about 80");
        let (out, spoiled) = through(Dirt { flips: 50, ..Dirt::default() }, &bytes);
        assert_eq!(out.iter().filter(|byte| **byte != 0x55).count() as u64, spoiled);
        let (out, spoiled) = through(Dirt { repeats: 50, ..Dirt::default() }, &bytes);
        assert_eq!(out.len() as u64, 4000 + spoiled);
    }
}
