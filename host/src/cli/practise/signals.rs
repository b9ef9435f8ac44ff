//! Signals while the terminal is held: it is given back before one ends or stops the program, and
//! taken again when the program goes on. A terminal that shows nothing of what is typed is of no use
//! to anybody.

use std::io;
use std::thread;

use signal_hook::consts::{SIGCONT, SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGTSTP};
use signal_hook::iterator::Signals;
use signal_hook::low_level::{emulate_default_handler, raise};

use super::hold;

/// From now on. What a signal does to the program it still does.
pub(super) fn watch() -> io::Result<()> {
    let mut signals = Signals::new([SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGTSTP, SIGCONT])?;
    thread::spawn(move || signals.forever().for_each(on));
    Ok(())
}

fn on(signal: i32) {
    // Held until the end or the stop is over: nothing is drawn in between.
    let mut out = io::stdout().lock();
    match signal {
        SIGCONT => hold::take_again(&mut out),
        SIGTSTP => {
            hold::lend(&mut out);
            // Comes back when the program is continued.
            let _stopped = emulate_default_handler(SIGTSTP);
            hold::take_again(&mut out);
        }
        ends => {
            hold::give_back(&mut out);
            let _ended = emulate_default_handler(ends);
        }
    }
}

/// As the terminal does for Ctrl-Z where it is not held.
pub(super) fn stop() {
    // The signal is ours to send, and watched.
    let _raised = raise(SIGTSTP);
}
