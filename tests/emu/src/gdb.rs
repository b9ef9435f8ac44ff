//! The debugger side of QEMU's stub: stops the image at every operation on its flash.
//!
//! ```text
//! stopped at a store --z2, step, Z2--> store is done --read--> the flash as a cut would leave it
//! ```
//!
//! QEMU stops before the store, and with the watch still set would stop before the same store for
//! ever, so the watch is lifted for that one step.

use std::io::{Read, Write};
use std::os::unix::net::UnixStream;
use std::time::Duration;

use crate::image::{LOG_LENGTH, LOG_START};

/// The emulated flash controller's register for erasing a page.
const ERASE: u32 = 0x4001_E508;
/// Bytes requested at once: the stub's longest answer holds twice as many digits.
const PAGE: usize = 1024;
/// Pages that a short day touches. The caller compares the last flash with the whole one.
const USED: usize = 4;
/// Longest wait for a stop before checking that the image is still there.
const LOOK: Duration = Duration::from_millis(50);

/// What the image did to its flash.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Operation {
    /// It programmed a word.
    Program,
    /// It erased a page.
    Erase,
}

/// A session. While it is open, the image is stopped unless told to continue.
#[derive(Debug)]
pub struct Gdb {
    stream: UnixStream,
}

impl Gdb {
    /// Greets the stub.
    ///
    /// # Panics
    /// If the stub answers anything unexpected, here and below.
    #[must_use]
    pub fn new(stream: UnixStream) -> Self {
        stream.set_read_timeout(Some(LOOK)).unwrap();
        let mut gdb = Self { stream };
        // Connecting stops the image, and the stub reports that unasked.
        while gdb.answer().is_some() {}
        gdb
    }

    fn byte(&mut self) -> Option<u8> {
        let mut byte = [0];
        self.stream.read_exact(&mut byte).ok().map(|()| byte[0])
    }

    /// The next packet; `None` if none comes.
    fn answer(&mut self) -> Option<String> {
        while self.byte()? != b'$' {}
        let mut text = String::new();
        loop {
            match self.byte().expect("half a packet") {
                b'#' => break,
                byte => text.push(char::from(byte)),
            }
        }
        let _sum = [self.byte(), self.byte()];
        self.stream.write_all(b"+").unwrap();
        Some(text)
    }

    fn tell(&mut self, command: &str) {
        let sum = command.bytes().fold(0_u8, u8::wrapping_add);
        self.stream.write_all(format!("${command}#{sum:02x}").as_bytes()).unwrap();
    }

    fn ask(&mut self, command: &str) -> String {
        self.tell(command);
        (0..200).find_map(|_| self.answer()).unwrap_or_else(|| panic!("no answer to {command}"))
    }

    fn watch(&mut self, verb: char) {
        assert_eq!(self.ask(&format!("{verb}2,{LOG_START:x},{LOG_LENGTH:x}")), "OK");
        assert_eq!(self.ask(&format!("{verb}2,{ERASE:x},4")), "OK");
    }

    fn read(&mut self, from: u32, into: &mut [u8]) {
        let hex = self.ask(&format!("m{from:x},{:x}", into.len()));
        for (at, place) in into.iter_mut().enumerate() {
            *place = u8::from_str_radix(&hex[2 * at..2 * at + 2], 16).unwrap();
        }
    }

    /// Lets the image run until `over`, and passes `each` the flash after every operation on its
    /// first pages.
    pub fn every_operation(
        &mut self,
        mut flash: Vec<u8>,
        over: impl Fn() -> bool,
        mut each: impl FnMut(Operation, &[u8]),
    ) {
        self.watch('Z');
        self.tell("c");
        loop {
            let Some(stop) = self.answer() else {
                if over() {
                    break;
                }
                continue;
            };
            // "T05thread:01;watch:00010000;"
            let at = stop.split("watch:").nth(1).and_then(|rest| rest.split(';').next());
            let at = at.unwrap_or_else(|| panic!("stopped without a store: {stop}"));
            let at = u32::from_str_radix(at, 16).unwrap();
            self.watch('z');
            self.ask("s");
            self.watch('Z');
            let operation = if at >= ERASE { Operation::Erase } else { Operation::Program };
            // QEMU reports the start of the watched range, not the word, so everything in use is
            // read.
            for (at, page) in (LOG_START..).step_by(PAGE).zip(flash.chunks_mut(PAGE)).take(USED) {
                self.read(at, page);
            }
            each(operation, &flash);
            self.tell("c");
        }
    }

    /// Makes the processor continue at this address.
    pub fn jump(&mut self, to: u32) {
        // The stub has no access to single registers: r0 to r15 come first, eight digits each.
        let mut registers = self.ask("g");
        let digits: String = to.to_le_bytes().iter().map(|byte| format!("{byte:02x}")).collect();
        registers.replace_range(15 * 8..16 * 8, &digits);
        assert_eq!(self.ask(&format!("G{registers}")), "OK");
        self.tell("c");
    }
}
