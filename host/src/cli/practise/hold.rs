//! The terminal, held: taken over for drawing and reading keys, and given back on every way out: the
//! end, an error, a panic, a signal that ends the program, a stop.
//!
//! ```text
//! take -> held -> give_back                 the end, an error (Drop), a panic (hook), TERM INT HUP QUIT
//!          |  ^
//!     lend v  | take_again                   Ctrl-Z, TSTP; CONT
//!          lent
//! ```

use std::io;
use std::panic;
use std::sync::atomic::{AtomicBool, AtomicU8, Ordering};

use ratatui_core::terminal::Terminal;
use ratatui_crossterm::CrosstermBackend;
use ratatui_crossterm::crossterm::cursor::{Hide, Show};
use ratatui_crossterm::crossterm::execute;
use ratatui_crossterm::crossterm::terminal::{
    Clear, ClearType, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode,
};

/// The terminal is everybody's.
const FREE: u8 = 0;
/// It is ours.
const HELD: u8 = 1;
/// It was ours, and is wanted back after a stop.
const LENT: u8 = 2;

static HOLD: AtomicU8 = AtomicU8::new(FREE);
/// Whether all must be drawn anew: somebody else wrote to the terminal.
static STALE: AtomicBool = AtomicBool::new(false);

/// The terminal, taken over: given back when this is dropped, whatever happens.
pub(super) struct Held {
    pub(super) screen: Terminal<CrosstermBackend<io::Stdout>>,
}

impl Held {
    pub(super) fn take() -> io::Result<Self> {
        give_back_on_panic();
        #[cfg(unix)]
        super::signals::watch()?;
        enable_raw_mode()?;
        HOLD.store(HELD, Ordering::SeqCst);
        let opened = execute!(io::stdout(), EnterAlternateScreen)
            .and_then(|()| Terminal::new(CrosstermBackend::new(io::stdout())));
        opened.map(|screen| Self { screen }).inspect_err(|_| give_back(&mut io::stdout()))
    }

    /// Forgets what was drawn, where somebody else has written over it.
    pub(super) fn refresh(&mut self) -> io::Result<()> {
        if STALE.swap(false, Ordering::SeqCst) {
            // A fresh one: clearing the old one would ask the terminal where its cursor stands.
            execute!(io::stdout(), Hide, Clear(ClearType::All))?;
            self.screen = Terminal::new(CrosstermBackend::new(io::stdout()))?;
        }
        Ok(())
    }
}

impl Drop for Held {
    fn drop(&mut self) {
        give_back(&mut io::stdout());
    }
}

/// For good; a second time does nothing.
pub(super) fn give_back(out: &mut impl io::Write) {
    if HOLD.swap(FREE, Ordering::SeqCst) == HELD {
        leave(out);
    }
}

/// Until [`take_again`]; nothing where it is not held.
#[cfg(unix)]
pub(super) fn lend(out: &mut impl io::Write) {
    if change(HELD, LENT) {
        leave(out);
    }
}

/// After a stop. Where it was not lent (a stop that cannot be caught), the terminal's mode may be
/// anybody's: it is set again. A terminal that is not wanted back is left alone.
#[cfg(unix)]
pub(super) fn take_again(out: &mut impl io::Write) {
    let lent = change(LENT, HELD);
    if !lent && HOLD.load(Ordering::SeqCst) != HELD {
        return;
    }
    let _mode = disable_raw_mode();
    // A terminal that is gone ends the program at its next key.
    let _raw = enable_raw_mode();
    if lent {
        let _screen = execute!(out, EnterAlternateScreen);
    }
    STALE.store(true, Ordering::SeqCst);
}

#[cfg(unix)]
fn change(from: u8, to: u8) -> bool {
    HOLD.compare_exchange(from, to, Ordering::SeqCst, Ordering::SeqCst).is_ok()
}

/// A terminal that is gone takes nothing back.
fn leave(out: &mut impl io::Write) {
    let _screen = execute!(out, Show, LeaveAlternateScreen);
    let _mode = disable_raw_mode();
}

/// Before the panic's own words, which would be lost on the screen that is left.
fn give_back_on_panic() {
    let told = panic::take_hook();
    panic::set_hook(Box::new(move |info| {
        give_back(&mut io::stdout());
        told(info);
    }));
}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use std::fs::File;
    use std::io::Read;
    use std::process::{Command, Stdio};

    use nix::pty::openpty;
    use nix::sys::termios::tcgetattr;

    use super::*;

    /// Not a test of its own: what the next one starts, in a terminal of its own.
    #[test]
    #[ignore = "started by the test below"]
    fn held_and_then_a_panic() {
        let _held = Held::take().unwrap();
        panic!("the chute is on fire");
    }

    #[test]
    fn a_panic_gives_the_terminal_back_before_its_words() {
        let pty = openpty(None, None).unwrap();
        let before = tcgetattr(&pty.slave).unwrap();
        let end = || Stdio::from(pty.slave.try_clone().unwrap());
        let name = "cli::practise::hold::tests::held_and_then_a_panic";
        let mut child = Command::new(std::env::current_exe().unwrap())
            .args(["--ignored", "--exact", name, "--nocapture", "--test-threads=1"])
            .env("TERM", "xterm")
            .stdin(end())
            .stdout(end())
            .stderr(end())
            .spawn()
            .unwrap();
        let mut master = File::from(pty.master);
        let (mut seen, mut buffer) = (String::new(), [0; 4096]);
        while !seen.contains("test result") {
            let length = master.read(&mut buffer).unwrap();
            seen += &String::from_utf8_lossy(&buffer[..length]);
        }
        assert!(!child.wait().unwrap().success());
        let at = |what: &str| seen.find(what).unwrap_or_else(|| panic!("no {what:?} in {seen:?}"));
        assert!(at("\u{1b}[?1049h") < at("\u{1b}[?1049l"));
        assert!(at("\u{1b}[?1049l") < at("the chute is on fire"), "{seen:?}");
        assert_eq!(seen.matches("\u{1b}[?1049l").count(), 1, "given back once");
        let now = tcgetattr(&pty.slave).unwrap();
        assert_eq!(now.local_flags, before.local_flags);
        assert_eq!(now.input_flags, before.input_flags);
    }
}
