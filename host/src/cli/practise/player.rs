//! Cues as sound: the computer's own player program is given a WAV. No sound library is linked, so
//! that building needs none and a computer without sound loses nothing.
//!
//! ```text
//! cue --WAV--> first program that starts and plays   its input (Linux), a file (macOS, Windows)
//!                 | none does, or each ends with an error
//!                 +--> mute: said once, on the screen and at the end
//! ```

use hornrule_core::cue::Signal;

#[cfg(feature = "sound")]
pub(super) use loud::Player;

#[cfg(not(feature = "sound"))]
pub(super) struct Player;

#[cfg(not(feature = "sound"))]
impl Player {
    pub(super) const fn new(_mute: bool) -> Self {
        Self
    }

    /// Says nothing: built without the feature `sound`.
    pub(super) const fn play(&mut self, _signal: Signal) {}

    /// Nothing was tried.
    pub(super) const fn tried_in_vain(&mut self) -> Option<String> {
        None
    }
}

#[cfg(feature = "sound")]
mod loud {
    use std::io::Write;
    use std::path::PathBuf;
    use std::process::{Child, Command, Stdio};
    use std::thread;
    use std::time::{Duration, Instant};

    use super::super::super::cues::wav::wav;
    use super::Signal;
    use hornrule_files::output;

    /// How a program is given its sound.
    #[derive(Clone, Copy, PartialEq, Eq)]
    enum Takes {
        /// On its standard input.
        Input,
        /// As a file, whose name stands for `{}` in its last word.
        File,
    }

    type Program = (&'static str, &'static [&'static str], Takes);

    /// Programs that play a WAV, the first that can. Each comes with its system, or with a desktop:
    /// PipeWire, PulseAudio, ALSA's own tools, SoX; macOS; Windows.
    const PROGRAMS: &[Program] = if cfg!(target_os = "macos") {
        &[("afplay", &["{}"], Takes::File)]
    } else if cfg!(windows) {
        &[(
            "powershell",
            &["-NoProfile", "-Command", "(New-Object Media.SoundPlayer '{}').PlaySync()"],
            Takes::File,
        )]
    } else {
        &[
            ("pw-play", &["-"], Takes::Input),
            ("paplay", &[], Takes::Input),
            ("aplay", &["-q", "-"], Takes::Input),
            ("play", &["-q", "-t", "wav", "-"], Takes::Input),
        ]
    };

    /// Longest wait at the end for what still sounds; the longest cue is shorter.
    const LAST: Duration = Duration::from_secs(3);

    pub(in super::super) struct Player {
        /// Those still to be tried, the one in use first.
        programs: &'static [Program],
        sounding: Vec<Child>,
        /// Where files are that were written for a program that wants them; removed at the end.
        folder: Option<PathBuf>,
    }

    impl Player {
        pub(in super::super) const fn new(mute: bool) -> Self {
            let programs = if mute { &[] } else { PROGRAMS };
            Self::with(programs)
        }

        const fn with(programs: &'static [Program]) -> Self {
            Self { programs, sounding: Vec::new(), folder: None }
        }

        /// A cue that cannot be played is still seen on the screen.
        pub(in super::super) fn play(&mut self, signal: Signal) {
            self.look_after();
            while let Some(program) = self.programs.first() {
                match self.start(*program, signal) {
                    Some(child) => return self.sounding.push(child),
                    None => self.next(),
                }
            }
        }

        /// Once there was something to play and nothing that played it: what was tried.
        pub(in super::super) fn tried_in_vain(&mut self) -> Option<String> {
            self.look_after();
            let names = || PROGRAMS.iter().map(|(name, ..)| *name).collect::<Vec<_>>().join(", ");
            self.programs.is_empty().then(names)
        }

        fn next(&mut self) {
            self.programs = self.programs.get(1..).unwrap_or_default();
        }

        /// A program that ended with an error (no sound card, no sound server) is not tried again.
        fn look_after(&mut self) {
            let mut failed = false;
            self.sounding.retain_mut(|child| match child.try_wait() {
                Ok(Some(status)) => {
                    failed |= !status.success();
                    false
                }
                Ok(None) => true,
                Err(_) => false,
            });
            if failed {
                self.next();
                // Those of the same program that have not ended yet say nothing of the next one.
                self.end(Instant::now());
            }
        }

        fn start(&mut self, (name, options, takes): Program, signal: Signal) -> Option<Child> {
            let sound = wav(signal).ok()?;
            let mut command = Command::new(name);
            command.stdout(Stdio::null()).stderr(Stdio::null());
            if takes == Takes::File {
                let file = self.file(signal, &sound)?;
                command.stdin(Stdio::null());
                // The word of PowerShell quotes it.
                let file = if cfg!(windows) { file.replace('\'', "''") } else { file };
                command.args(options.iter().map(|word| word.replace("{}", &file)));
                return command.spawn().ok();
            }
            let mut child = command.args(options).stdin(Stdio::piped()).spawn().ok()?;
            let mut pipe = child.stdin.take()?;
            // Beside: it takes what it has room for. One that went away takes nothing.
            thread::spawn(move || pipe.write_all(&sound));
            Some(child)
        }

        fn file(&mut self, signal: Signal, sound: &[u8]) -> Option<String> {
            let name = format!("hornrule-practise-{}", std::process::id());
            let folder = self.folder.get_or_insert_with(|| std::env::temp_dir().join(name));
            output::folder(folder).ok()?;
            let counted = if signal.counted { "-counted" } else { "" };
            let file = folder.join(format!("{:?}{counted}.wav", signal.cue));
            if !file.exists() {
                output::write(&file, sound).ok()?;
            }
            file.to_str().map(str::to_owned)
        }

        /// Lets what sounds end by itself until then, and ends the rest.
        fn end(&mut self, until: Instant) {
            for child in &mut self.sounding {
                while Instant::now() < until && matches!(child.try_wait(), Ok(None)) {
                    thread::sleep(Duration::from_millis(10));
                }
                // It may have ended by itself.
                let _killed = child.kill();
                let _ended = child.wait();
            }
            self.sounding.clear();
        }
    }

    impl Drop for Player {
        fn drop(&mut self) {
            self.end(Instant::now() + LAST);
            if let Some(folder) = &self.folder {
                // In the folder for what may be lost.
                let _removed = std::fs::remove_dir_all(folder);
            }
        }
    }

    #[cfg(test)]
    mod tests {
        use super::*;
        use hornrule_core::cue::Cue;

        fn settled(player: &mut Player) -> Option<String> {
            let until = Instant::now() + Duration::from_secs(10);
            while Instant::now() < until {
                if let Some(tried) = player.tried_in_vain() {
                    return Some(tried);
                }
                thread::sleep(Duration::from_millis(5));
            }
            None
        }

        #[test]
        fn no_program_is_said_and_nothing_fails() {
            let mut player = Player::with(&[("no-such-player-of-sounds", &[], Takes::Input)]);
            assert_eq!(player.tried_in_vain(), None, "nothing was played yet");
            player.play(Cue::Committed.into());
            assert!(player.tried_in_vain().is_some());
            player.play(Cue::Committed.into());
        }

        #[cfg(unix)]
        #[test]
        fn a_program_without_a_sound_card_is_given_up_for_the_next() {
            let mut player =
                Player::with(&[("false", &[], Takes::Input), ("cat", &[], Takes::Input)]);
            player.play(Cue::Committed.into());
            thread::sleep(Duration::from_millis(300));
            player.play(Cue::Committed.into());
            assert_eq!(player.programs.len(), 1, "cat takes every sound");
            let mut player = Player::with(&[("false", &[], Takes::Input)]);
            player.play(Cue::Committed.into());
            assert!(settled(&mut player).is_some());
        }

        #[cfg(unix)]
        #[test]
        fn a_file_is_whole_when_it_is_played_and_gone_afterwards() {
            const CHECK: &[&str] = &["-c", "test \"$(head -c 4 '{}')\" = RIFF"];
            let mut player = Player::with(&[("sh", CHECK, Takes::File)]);
            player.play(Cue::CowDue.into());
            let status = player.sounding[0].wait().unwrap();
            assert!(status.success());
            let folder = player.folder.clone().unwrap();
            assert!(folder.exists());
            drop(player);
            assert!(!folder.exists());
        }

        #[cfg(unix)]
        #[test]
        fn one_that_hangs_does_not_hold_up_the_end() {
            let mut player = Player::with(&[("sleep", &["600"], Takes::Input)]);
            player.play(Cue::CowDue.into());
            let began = Instant::now();
            player.end(began);
            assert!(began.elapsed() < Duration::from_secs(5));
        }
    }
}
