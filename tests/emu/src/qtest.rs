//! QEMU's test protocol: words and pins in, answers and pin changes out, one per line.
//!
//! ```text
//! us   --"readl 0x50000504"-->  QEMU  --"OK 0x..."------> the caller, in order
//!                                     --"IRQ raise 17"--> the listener, at once
//! ```

use std::collections::VecDeque;
use std::io::{BufRead, BufReader, Write};
use std::os::unix::net::UnixStream;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::sync::{Arc, Mutex};
use std::thread;

/// Interrupt Set-Pending Register (ARMv6-M Architecture Reference Manual, B3.4.5).
const NVIC_ISPR: u32 = 0xE000_E200;

/// Receives pin changes.
pub(crate) trait Listener: Send + 'static {
    /// A pin changed.
    fn changed(&mut self, pin: u8, high: bool);
    /// No more changes are waiting: the moment to respond.
    fn settled(&mut self);
}

#[derive(Debug)]
struct Out {
    stream: UnixStream,
    /// Who is waiting for which answer, in order; nobody if only the order of the command matters.
    waiting: VecDeque<Option<Sender<String>>>,
}

/// The requesting side; can be cloned.
#[derive(Clone, Debug)]
pub(crate) struct Qtest(Arc<Mutex<Out>>);

impl Qtest {
    pub(crate) fn new(stream: UnixStream) -> Self {
        Self(Arc::new(Mutex::new(Out { stream, waiting: VecDeque::new() })))
    }

    /// Starts listening. Ends when QEMU does.
    pub(crate) fn listen(&self, mut listener: impl Listener) {
        let out = Arc::clone(&self.0);
        let mut reader = BufReader::new(out.lock().unwrap().stream.try_clone().unwrap());
        thread::spawn(move || {
            let mut line = String::new();
            while reader.read_line(&mut line).is_ok_and(|length| length > 0) {
                let words: Vec<&str> = line.split_whitespace().collect();
                match words.as_slice() {
                    ["IRQ", way, pin] => listener.changed(pin.parse().unwrap(), *way == "raise"),
                    ["OK", answer @ ..] => {
                        let asked = out.lock().unwrap().waiting.pop_front().flatten();
                        if let Some(asked) = asked {
                            // The caller may have given up.
                            let _gone = asked.send(answer.join(" "));
                        }
                    }
                    _ => panic!("QEMU says {line}"),
                }
                line.clear();
                if !reader.buffer().contains(&b'\n') {
                    listener.settled();
                }
            }
        });
    }

    fn send(&self, command: &str, asked: Option<Sender<String>>) {
        let mut out = self.0.lock().unwrap();
        out.waiting.push_back(asked);
        // If QEMU has ended, the next request shows it.
        let _gone = out.stream.write_all(format!("{command}\n").as_bytes());
    }

    /// Sends, without waiting.
    pub(crate) fn tell(&self, command: &str) {
        self.send(command, None);
    }

    /// Sends, and waits for the answer.
    pub(crate) fn ask(&self, command: &str) -> String {
        let (sender, receiver): (Sender<String>, Receiver<String>) = channel();
        self.send(command, Some(sender));
        receiver.recv_timeout(super::emulator::PATIENCE).expect("QEMU does not answer")
    }

    /// Reads a word.
    pub(crate) fn word(&self, address: u32) -> u32 {
        let answer = self.ask(&format!("readl {address:#x}"));
        u32::try_from(u64::from_str_radix(answer.trim_start_matches("0x"), 16).unwrap()).unwrap()
    }

    /// Writes a word.
    pub(crate) fn set_word(&self, address: u32, value: u32) {
        self.tell(&format!("writel {address:#x} {value:#x}"));
    }

    /// Drives an input pin.
    pub(crate) fn set_pin(&self, pin: u8, high: bool) {
        let level = u8::from(high);
        self.tell(&format!("set_irq_in /machine/nrf51 unnamed-gpio-in {pin} {level}"));
    }

    /// Makes an interrupt pending once, as if its line had risen and fallen. If we held the line
    /// up, it would interrupt again whenever the image finished before we released it.
    pub(crate) fn interrupt(&self, line: u8) {
        self.set_word(NVIC_ISPR, 1 << line);
    }
}
