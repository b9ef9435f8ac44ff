//! Prints the log lines of an image built with the feature `defmt`.
//!
//! ```text
//! cargo run -p hornrule-tests-emu --bin traces -- IMAGE PORT
//! ```
//!
//! `IMAGE` is the ELF file running on the handheld: without it the lines mean nothing. `PORT` is as
//! for the office tool: a serial device, `tcp:HOST:PORT`, or `replay:FILE` for a recorded session.

use std::error::Error;
use std::time::Duration;

use hornrule_line::port;
use hornrule_line::port::Address;
use hornrule_tests_emu::traces::Meaning;

fn main() -> Result<(), Box<dyn Error>> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let [image, port] = words.as_slice() else {
        return Err("say the image and the port: traces IMAGE PORT".into());
    };
    let elf = std::fs::read(image).map_err(|error| format!("{image}: {error}"))?;
    let meaning = Meaning::of(&elf).map_err(|error| format!("{image}: {error}"))?;
    let mut reader = meaning.reader();
    let address: Address = port.parse()?;
    let mut port = port::open(&address)?;
    let mut bytes = [0; 256];
    loop {
        match port.receive(&mut bytes, Duration::from_secs(1)) {
            Ok(length) => {
                for line in reader.take(&bytes[..length]) {
                    println!("{line}");
                }
            }
            Err(error) => return Err(format!("{address}: {error}").into()),
        }
    }
}
