//! A person at the terminal: reads keys, draws, lets time go on.

use std::io;
use std::path::Path;
use std::time::{Duration, Instant};

use ratatui_core::terminal::Terminal;
use ratatui_crossterm::CrosstermBackend;
use ratatui_crossterm::crossterm::event::{self, Event};
use ratatui_crossterm::crossterm::execute;
use ratatui_crossterm::crossterm::terminal::{
    EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode,
};

use super::super::Failure;
use super::diary::Diary;
use super::keyboard::{Wish, wish};
use super::player::Player;
use super::screen::{self, Place};
use super::scripted::verdict;
use super::stage::Stage;
use crate::practise::{Exercise, Session, State};
use hornrule_facts::plain;

/// Longest wait for a key, so that the handheld's own time goes on.
const NAP: Duration = Duration::from_millis(50);

/// The terminal, taken over: given back when this is dropped, whatever happens.
struct Taken {
    screen: Terminal<CrosstermBackend<io::Stdout>>,
}

impl Taken {
    fn take() -> io::Result<Self> {
        #[cfg(unix)]
        super::signals::give_back_on_end()?;
        enable_raw_mode()?;
        let opened = execute!(io::stdout(), EnterAlternateScreen)
            .and_then(|()| Terminal::new(CrosstermBackend::new(io::stdout())));
        match opened {
            Ok(screen) => Ok(Self { screen }),
            Err(error) => {
                disable_raw_mode()?;
                Err(error)
            }
        }
    }
}

impl Drop for Taken {
    fn drop(&mut self) {
        // A terminal that is gone takes nothing back.
        let _cursor = self.screen.show_cursor();
        let _screen = execute!(io::stdout(), LeaveAlternateScreen);
        let _mode = disable_raw_mode();
    }
}

/// How an exercise was left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Left {
    GoOn,
    End,
}

pub(super) fn run(exercises: Vec<Exercise>, diary: &mut Diary) -> Result<(), Failure> {
    let of = exercises.len();
    let mut said = Vec::new();
    let mut terminal = Taken::take().map_err(terminal_failure)?;
    let mut failed = None;
    for (at, exercise) in exercises.into_iter().enumerate() {
        let place = Place { at, of };
        match practise(&mut terminal.screen, exercise, place, diary) {
            Ok((session, left)) => {
                said.push(session);
                if left == Left::End {
                    break;
                }
            }
            Err(failure) => {
                failed = Some(failure);
                break;
            }
        }
    }
    // The terminal is given back before anything is said in it.
    drop(terminal);
    tell(&said);
    failed.map_or(Ok(()), Err)
}

fn terminal_failure(source: io::Error) -> Failure {
    Failure::File { file: Path::new("the terminal").to_owned(), source }
}

fn practise(
    terminal: &mut Terminal<CrosstermBackend<io::Stdout>>,
    exercise: Exercise,
    place: Place,
    diary: &Diary,
) -> Result<(Session, Left), Failure> {
    let mut stage = Stage::new(exercise)?;
    let mut player = Player::new();
    let (began, began_ms) = (Instant::now(), stage.now_ms());
    let left = loop {
        terminal.draw(|frame| screen::draw(frame, &stage, place)).map_err(terminal_failure)?;
        for cue in stage.take_cues() {
            player.play(cue);
        }
        if event::poll(NAP).map_err(terminal_failure)?
            && let Event::Key(key) = event::read().map_err(terminal_failure)?
            && let Some(wish) = wish(&key)
        {
            let done = matches!(stage.session().state(), State::Done { .. });
            match wish {
                Wish::End => break Left::End,
                Wish::Next => break Left::GoOn,
                _ if done => break Left::GoOn,
                Wish::ShowKeys => stage.shows_keys = !stage.shows_keys,
                Wish::Stroke(stroke) => stage.strike(stroke)?,
            }
        }
        // The handheld's time runs with ours; it is ahead where keys came faster than fingers.
        let elapsed = u64::try_from(began.elapsed().as_millis()).unwrap_or(u64::MAX);
        stage.run_until_ms(began_ms.saturating_add(elapsed));
    };
    diary.keep(stage.session())?;
    Ok((stage.session().clone(), left))
}

fn tell(said: &[Session]) {
    let begun: Vec<&Session> =
        said.iter().filter(|session| session.state() != State::Waiting).collect();
    for session in &begun {
        println!("{}\n    {}", session.exercise().say, verdict(session));
    }
    let right = begun.iter().filter(|one| matches!(one.state(), State::Done { .. })).count();
    let clean = begun.iter().filter(|one| one.slips() == 0).count();
    println!(
        "{}: {right} right, {clean} without a slip",
        plain::count(begun.len(), "exercise", "exercises")
    );
}
