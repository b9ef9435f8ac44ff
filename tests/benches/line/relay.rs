//! Two pseudo-terminals joined by a relay as slow as a serial line.

use std::collections::VecDeque;
use std::fs::File;
use std::io::{Read, Write};
use std::os::fd::{AsFd, OwnedFd};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread::{self, JoinHandle};
use std::time::{Duration, Instant};

use nix::poll::{PollFd, PollFlags, PollTimeout, poll};
use nix::pty::openpty;
use nix::sys::termios::{SetArg, cfmakeraw, tcgetattr, tcsetattr};
use nix::unistd::ttyname;

use super::LINE;

/// Most bytes that wait in the relay, so that the sender notices the line.
const QUEUE: usize = 64;

/// The relay, running until it is dropped.
pub(crate) struct Relay {
    /// Path of the office's end.
    pub(crate) office: String,
    /// Path of the handheld's end.
    pub(crate) handheld: String,
    _ends: [OwnedFd; 2],
    stop: Arc<AtomicBool>,
    thread: Option<JoinHandle<()>>,
}

impl Relay {
    pub(crate) fn start(latency: Duration) -> Self {
        let (left, left_end) = raw_pty();
        let (right, right_end) = raw_pty();
        let name = |end: &OwnedFd| ttyname(end).unwrap().display().to_string();
        let (office, handheld) = (name(&left_end), name(&right_end));
        let stop = Arc::new(AtomicBool::new(false));
        let stopped = Arc::clone(&stop);
        let thread = thread::spawn(move || relay(left, right, latency, &stopped));
        Self { office, handheld, _ends: [left_end, right_end], stop, thread: Some(thread) }
    }
}

impl Drop for Relay {
    fn drop(&mut self) {
        self.stop.store(true, Ordering::Relaxed);
        if let Some(thread) = self.thread.take() {
            let _ended = thread.join();
        }
    }
}

fn raw_pty() -> (File, OwnedFd) {
    let pair = openpty(None, None).unwrap();
    let mut raw = tcgetattr(&pair.slave).unwrap();
    cfmakeraw(&mut raw);
    tcsetattr(&pair.slave, SetArg::TCSANOW, &raw).unwrap();
    (File::from(pair.master), pair.slave)
}

/// One direction: takes bytes at the line's rate, delivers them after the latency.
struct Direction {
    credit: f64,
    last: Instant,
    on_the_way: VecDeque<(Instant, Vec<u8>)>,
}

impl Direction {
    fn new() -> Self {
        Self { credit: 0.0, last: Instant::now(), on_the_way: VecDeque::new() }
    }

    fn step(&mut self, from: &mut File, to: &mut File, latency: Duration) {
        let now = Instant::now();
        // A relay that was held up by other programs may catch up, a little: a real UART never
        // stops, and its sender should not pay for a busy computer.
        self.credit = (self.credit + now.duration_since(self.last).as_secs_f64() * LINE).min(512.0);
        self.last = now;
        if !ready(from, PollFlags::POLLIN) {
            // An idle line accumulates no credit.
            self.credit = self.credit.min(QUEUE as f64);
        }
        while self.credit >= 1.0 && ready(from, PollFlags::POLLIN) {
            let mut buffer = [0u8; QUEUE];
            let most = (self.credit as usize).min(QUEUE);
            let Ok(length @ 1..) = from.read(&mut buffer[..most]) else { break };
            self.credit -= length as f64;
            self.on_the_way.push_back((now + latency, buffer[..length].to_vec()));
        }
        while self.on_the_way.front().is_some_and(|(at, _)| *at <= now) {
            if let Some((_, bytes)) = self.on_the_way.pop_front() {
                let _gone = to.write_all(&bytes);
            }
        }
    }
}

fn relay(mut left: File, mut right: File, latency: Duration, stop: &AtomicBool) {
    let (mut there, mut back) = (Direction::new(), Direction::new());
    while !stop.load(Ordering::Relaxed) {
        there.step(&mut left, &mut right, latency);
        back.step(&mut right, &mut left, latency);
        thread::sleep(Duration::from_micros(200));
    }
}

fn ready(file: &File, flags: PollFlags) -> bool {
    let mut fds = [PollFd::new(file.as_fd(), flags)];
    matches!(poll(&mut fds, PollTimeout::ZERO), Ok(1))
}
