//! The image: its file, symbols and sizes.

use std::env;
use std::fs;
use std::path::PathBuf;

use object::{Object, ObjectSection, ObjectSymbol};

/// The log's position in flash; `firmware/board-emu/memory.x`, with which a test compares it.
pub const LOG_START: u32 = 0x1_8000;
/// Bytes of the log: 128 pages.
pub const LOG_LENGTH: u32 = 0x2_0000;
/// The calliper's setting: two pages before the log.
pub const CALLIPER: (u32, u32) = (0x1_7800, 0x800);
/// The plan: two banks after the log.
pub const PLAN: (u32, u32) = (0x3_8000, 0x8000);
/// Where memory begins; the stack is below everything else.
pub const RAM_START: u32 = 0x2000_0000;

/// An ELF file.
#[derive(Clone, Debug)]
pub struct Image {
    /// Where it is.
    pub path: PathBuf,
    bytes: Vec<u8>,
}

/// How much of the chip it takes, bytes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sizes {
    /// Code and constants.
    pub flash: u64,
    /// Everything static.
    pub ram: u64,
}

impl Image {
    /// The image named by `HORNRULE_IMAGE`.
    #[must_use]
    pub fn open() -> Self {
        Self::named("HORNRULE_IMAGE")
    }

    /// The image with log lines, named by `HORNRULE_IMAGE_TRACED`.
    #[must_use]
    pub fn traced() -> Self {
        Self::named("HORNRULE_IMAGE_TRACED")
    }

    fn named(variable: &str) -> Self {
        let path = env::var_os(variable).map(PathBuf::from).unwrap_or_else(|| {
            panic!("{variable} names no image; firmware/emulate builds it (DEVELOPERS.md)")
        });
        let bytes = fs::read(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
        Self { path, bytes }
    }

    /// The ELF file.
    #[must_use]
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// The address of a symbol.
    #[must_use]
    pub fn address(&self, name: &str) -> u32 {
        let file = object::File::parse(&*self.bytes).unwrap();
        let symbol = file.symbols().find(|symbol| symbol.name() == Ok(name));
        let address = symbol.unwrap_or_else(|| panic!("the image has no {name}")).address();
        u32::try_from(address).unwrap()
    }

    /// How much of the chip it takes.
    #[must_use]
    pub fn sizes(&self) -> Sizes {
        let file = object::File::parse(&*self.bytes).unwrap();
        let size = |names: &[&str]| {
            let of = |name: &&str| file.section_by_name(name).map_or(0, |section| section.size());
            names.iter().map(of).sum()
        };
        Sizes {
            flash: size(&[".vector_table", ".text", ".rodata", ".data"]),
            ram: size(&[".data", ".bss", ".uninit"]),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const MEMORY: &str = include_str!("../../../firmware/board-emu/memory.x");

    /// An address that the linker is given.
    fn linked(name: &str) -> u32 {
        let line = MEMORY.lines().find_map(|line| line.strip_prefix(&format!("{name} = 0x")));
        u32::from_str_radix(line.unwrap().trim_end_matches(';'), 16).unwrap()
    }

    #[test]
    fn the_regions_of_flash_are_the_linkers() {
        let regions = [("log", (LOG_START, LOG_LENGTH)), ("calliper", CALLIPER), ("plan", PLAN)];
        for (name, (start, length)) in regions {
            let linked = [format!("_{name}_start"), format!("_{name}_end")].map(|at| linked(&at));
            assert_eq!([start, start + length], linked, "{name}");
        }
    }
}
