//! Numbers that look random and are the same for the same seed.

/// A small generator (xorshift64*, Vigna 2016) for tests: not for anything secret.
#[derive(Clone, Debug)]
pub struct Seeded(pub u64);

impl Seeded {
    /// The next 64 bits.
    pub fn next_u64(&mut self) -> u64 {
        // The state must not be zero; any other seed does.
        let mut x = if self.0 == 0 { 0x9E37_79B9_7F4A_7C15 } else { self.0 };
        x ^= x >> 12;
        x ^= x << 25;
        x ^= x >> 27;
        self.0 = x;
        x.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    /// A number from 0 to `n` - 1; 0 if `n` is 0.
    pub fn below(&mut self, n: u64) -> u64 {
        self.next_u64() % n.max(1)
    }
}
