//! Cues as sound, where there is the feature `sound`: the computer's own player is given a WAV. No
//! sound library is linked, so that building needs none.

use hornrule_core::cue::Signal;

#[cfg(feature = "sound")]
pub(super) use loud::Player;

#[cfg(not(feature = "sound"))]
pub(super) struct Player;

#[cfg(not(feature = "sound"))]
impl Player {
    pub(super) const fn new() -> Self {
        Self
    }

    /// Says nothing: built without the feature `sound`.
    pub(super) const fn play(&mut self, _signal: Signal) {}
}

#[cfg(feature = "sound")]
mod loud {
    use std::io::Write;
    use std::process::{Child, Command, Stdio};

    use super::super::super::cues::wav::wav;
    use super::Signal;

    /// Programs that play a WAV from their standard input, the first that is there.
    const PROGRAMS: [(&str, &[&str]); 4] = [
        ("pw-play", &["-"]),
        ("paplay", &[]),
        ("aplay", &["-q", "-"]),
        ("play", &["-q", "-t", "wav", "-"]),
    ];

    pub(in super::super) struct Player {
        /// Place in `PROGRAMS`; none is left when none could be started.
        program: usize,
        sounding: Vec<Child>,
    }

    impl Player {
        pub(in super::super) const fn new() -> Self {
            Self { program: 0, sounding: Vec::new() }
        }

        /// A cue that cannot be played is still seen on the screen.
        pub(in super::super) fn play(&mut self, signal: Signal) {
            self.sounding.retain_mut(|child| !matches!(child.try_wait(), Ok(Some(_))));
            while let Some((program, options)) = PROGRAMS.get(self.program) {
                let started = Command::new(program)
                    .args(*options)
                    .stdin(Stdio::piped())
                    .stdout(Stdio::null())
                    .stderr(Stdio::null())
                    .spawn();
                let Ok(mut child) = started else {
                    self.program += 1;
                    continue;
                };
                if let (Some(mut pipe), Ok(sound)) = (child.stdin.take(), wav(signal)) {
                    // A player that went away takes nothing; the next cue finds out.
                    let _taken = pipe.write_all(&sound);
                }
                self.sounding.push(child);
                return;
            }
        }
    }

    impl Drop for Player {
        fn drop(&mut self) {
            for child in &mut self.sounding {
                // It plays on to its end, and leaves nothing behind.
                let _ended = child.wait();
            }
        }
    }
}
