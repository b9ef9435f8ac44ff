//! The terminal is given back also when a signal ends the program: a terminal that shows nothing of
//! what is typed is of no use to anybody.

use std::io;
use std::thread;

use ratatui_crossterm::crossterm::cursor::Show;
use ratatui_crossterm::crossterm::execute;
use ratatui_crossterm::crossterm::terminal::{LeaveAlternateScreen, disable_raw_mode};
use signal_hook::consts::{SIGHUP, SIGINT, SIGQUIT, SIGTERM};
use signal_hook::iterator::Signals;
use signal_hook::low_level::emulate_default_handler;

/// From now on, a signal that ends the program gives the terminal back first. The program then ends
/// by that signal, as it would have.
pub(super) fn give_back_on_end() -> io::Result<()> {
    let mut signals = Signals::new([SIGHUP, SIGINT, SIGQUIT, SIGTERM])?;
    thread::spawn(move || {
        for signal in signals.forever() {
            // Held until the end: nothing is drawn after this.
            let mut out = io::stdout().lock();
            // A terminal that is gone takes nothing back.
            let _screen = execute!(out, Show, LeaveAlternateScreen);
            let _mode = disable_raw_mode();
            let _ended = emulate_default_handler(signal);
        }
    });
    Ok(())
}
