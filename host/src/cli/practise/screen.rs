//! The picture, for 80 columns and 24 rows. Draws what it is given and asks nothing.
//!
//! ```text
//! title, lesson, which of how many
//! +-- Say ------------------------------------+
//! +-- Keys --------+ +-- Heard ---------------+
//! |  LF RF FIND .. | |  rhythm, light, words  |
//! +----------------+ +------------------------+
//! +-- In flash ------ right, or what went wrong
//! which computer keys do what
//! ```
//!
//! Or, where it is asked for, a part of the table of sentences over all of it.

use hornrule_core::keypad::{COLUMNS, Key, ROWS};
use ratatui_core::layout::{Constraint, Layout, Rect};
use ratatui_core::style::{Color, Modifier, Style};
use ratatui_core::terminal::Frame;
use ratatui_core::text::{Line, Span};
use ratatui_widgets::block::Block;
use ratatui_widgets::paragraph::{Paragraph, Wrap};

use super::keyboard::computer_key;
use super::scripted::{CELL_MS, colour, figures, heard};
use super::stage::{Answer, Stage};
use crate::practise::{self, State};
use hornrule_line::keying::{SENTENCES, bar, legend, light, show_strokes};
use hornrule_papers::words::{Say, Words};

/// Which exercise of how many, and whether cues are only seen.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub(super) at: usize,
    pub(super) of: usize,
    pub(super) mute: bool,
}

/// Smallest terminal in which everything is seen.
pub(super) const SMALLEST: (u16, u16) = (80, 24);

pub(super) fn draw(frame: &mut Frame<'_>, stage: &Stage, place: Place) {
    let area = frame.area();
    let words = stage.session().words();
    if area.width < SMALLEST.0 || area.height < SMALLEST.1 {
        let (width, height) = (SMALLEST.0.into(), SMALLEST.1.into());
        let text = words.say(Say::TrainSmall { width, height });
        frame.render_widget(Paragraph::new(text).wrap(Wrap { trim: true }), area);
        return;
    }
    if let Some(page) = stage.sentences {
        return draw_sentences(frame, area, page, words);
    }
    let rows = Layout::vertical([
        Constraint::Length(1),
        Constraint::Length(5),
        Constraint::Length(11),
        Constraint::Min(6),
        Constraint::Length(1),
    ]);
    let [title, say, middle, bottom, help] = rows.areas(area);
    let [keys, heard] =
        Layout::horizontal([Constraint::Length(30), Constraint::Min(50)]).areas(middle);
    let [flash, judged] =
        Layout::horizontal([Constraint::Percentage(45), Constraint::Min(40)]).areas(bottom);
    draw_title(frame, title, stage, place);
    draw_say(frame, say, stage);
    draw_keys(frame, keys, stage.last_key(), words);
    draw_heard(frame, heard, stage, place.mute);
    draw_flash(frame, flash, stage);
    draw_judged(frame, judged, stage);
    frame.render_widget(Paragraph::new(words.say(Say::TrainHint)).style(dim()), help);
}

fn titled(title: &str) -> Block<'static> {
    Block::bordered().title(format!(" {title} "))
}

/// Rows of the table of sentences on one screen.
const SENTENCES_A_PAGE: usize = 11;

/// How many screens the table of sentences takes.
pub(super) const fn pages_of_sentences() -> usize {
    SENTENCES.len().div_ceil(SENTENCES_A_PAGE)
}

/// A part of the table of sentences: what may be keyed, and what it says.
fn draw_sentences(frame: &mut Frame<'_>, area: Rect, page: usize, words: &Words) {
    const KEYS: usize = 20;
    let width = usize::from(area.width).saturating_sub(2 + KEYS);
    let rows = SENTENCES.iter().enumerate().skip(page * SENTENCES_A_PAGE).take(SENTENCES_A_PAGE);
    let mut lines = Vec::new();
    for (place, row) in rows {
        let says = words.sentence(place, row.says);
        for (at, part) in wrapped(&says, width).into_iter().enumerate() {
            let keys = if at == 0 { keyed(row.keys, words) } else { String::new() };
            lines.push(Line::from(vec![
                Span::styled(format!("{keys:<KEYS$}"), bold()),
                Span::raw(part),
            ]));
        }
    }
    let (at, of) = ((page + 1).into(), pages_of_sentences().into());
    let title = words.say(Say::TrainSentences { at, of });
    frame.render_widget(Paragraph::new(lines).block(titled(&title)), area);
}

/// The keys of a sentence; what is no key's legend in the words of the language.
pub(super) fn keyed(keys: &str, words: &Words) -> String {
    let (foot, clip) = (words.say(Say::TrainKeyFoot), words.say(Say::TrainKeyClip));
    keys.replace("foot", &foot).replace("clip", &clip)
}

fn dim() -> Style {
    Style::new().add_modifier(Modifier::DIM)
}

fn bold() -> Style {
    Style::new().add_modifier(Modifier::BOLD)
}

fn draw_title(frame: &mut Frame<'_>, area: Rect, stage: &Stage, place: Place) {
    let exercise = stage.session().exercise();
    let words = stage.session().words();
    let lesson = exercise.lesson.title(words).into();
    let text = words.say(Say::TrainTitle { lesson });
    let which = words.say(Say::TrainWhich { at: (place.at + 1).into(), of: place.of.into() });
    let [left, right] =
        Layout::horizontal([Constraint::Min(1), Constraint::Length(12)]).areas(area);
    frame.render_widget(Paragraph::new(text).style(bold()), left);
    frame.render_widget(Paragraph::new(which).right_aligned(), right);
}

fn draw_say(frame: &mut Frame<'_>, area: Rect, stage: &Stage) {
    let exercise = stage.session().exercise();
    let (title, text) = if stage.shows_keys {
        (Say::TrainShown, show_strokes(&exercise.answer))
    } else {
        (Say::TrainSay, exercise.say.clone())
    };
    let title = stage.session().words().say(title);
    let say = Paragraph::new(text).wrap(Wrap { trim: true }).block(titled(&title));
    frame.render_widget(say, area);
}

fn draw_keys(frame: &mut Frame<'_>, area: Rect, last: Option<Key>, words: &Words) {
    let mut lines = Vec::new();
    for row in 0..ROWS {
        let keys = (0..COLUMNS).filter_map(|column| Key::at(row * COLUMNS + column));
        let (mut legends, mut computer) = (Vec::new(), Vec::new());
        for key in keys {
            let style =
                if last == Some(key) { bold().add_modifier(Modifier::REVERSED) } else { bold() };
            legends.push(Span::raw(" "));
            legends.push(Span::styled(format!("{:^5}", legend(key)), style));
            legends.push(Span::raw(" "));
            // On digit keys both are the same.
            let typed = if key.digit().is_some() { "" } else { computer_key(key) };
            computer.push(Span::styled(format!(" {typed:^5} "), dim()));
        }
        lines.push(Line::from(legends));
        // The last row's keys are digits.
        if row + 1 < ROWS {
            lines.push(Line::from(computer));
        }
    }
    let block = titled(&words.say(Say::TrainKeys));
    frame.render_widget(Paragraph::new(lines).block(block), area);
}

fn shade(light: &str) -> Color {
    match light {
        "green" => Color::Green,
        "amber" => Color::Yellow,
        _ => Color::Red,
    }
}

/// The newest cue at the bottom, as in a conversation: its rhythm, then its light and words.
fn draw_heard(frame: &mut Frame<'_>, area: Rect, stage: &Stage, mute: bool) {
    let words = stage.session().words();
    let room = usize::from(area.height.saturating_sub(2));
    let width = usize::from(area.width.saturating_sub(2));
    let mut lines = Vec::new();
    for answer in stage.answers().iter().rev() {
        let drawn = cue(answer, width, words);
        if lines.len() + drawn.len() > room {
            break;
        }
        lines.splice(0..0, drawn);
    }
    let title = words.say(if mute { Say::TrainSeen } else { Say::TrainHeard });
    let block = titled(&title);
    frame.render_widget(Paragraph::new(lines).block(block), area);
}

/// Columns of the light's name.
const LIGHT: usize = 7;

fn cue(answer: &Answer, width: usize, words: &Words) -> Vec<Line<'static>> {
    let word = colour(answer, words);
    let style = Style::new().fg(shade(light(answer.signal.cue)));
    let said = heard(answer, words);
    let mut lines = vec![Line::from(Span::styled(bar(answer.signal, CELL_MS), style))];
    for (at, part) in wrapped(&said, width.saturating_sub(LIGHT)).into_iter().enumerate() {
        let before = if at == 0 { word.as_str() } else { "" };
        lines.push(Line::from(vec![
            Span::styled(format!("{before:<LIGHT$}"), style),
            Span::raw(part),
        ]));
    }
    lines
}

/// Options on lines of at most `width` characters.
pub(super) fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        let used = lines.last().map_or(0, |line| line.chars().count());
        match lines.last_mut() {
            Some(line) if used == 0 => line.push_str(word),
            Some(line) if used + 1 + word.chars().count() <= width => {
                line.push(' ');
                line.push_str(word);
            }
            Some(_) | None => lines.push(word.to_owned()),
        }
    }
    lines
}

fn draw_flash(frame: &mut Frame<'_>, area: Rect, stage: &Stage) {
    let room = usize::from(area.height.saturating_sub(2));
    let width = usize::from(area.width.saturating_sub(2));
    let stands = stage.session().stands();
    let shown = stands.get(stands.len().saturating_sub(room)..).unwrap_or_default();
    let words = stage.session().words();
    let said = shown.iter().map(|entry| practise::entry(words, entry));
    let lines: Vec<Line<'_>> = said.map(|said| Line::from(shortened(&said, width))).collect();
    let block = titled(&words.say(Say::TrainFlash));
    frame.render_widget(Paragraph::new(lines).block(block), area);
}

/// Cut with an ellipsis where it is too long.
fn shortened(text: &str, width: usize) -> String {
    if text.chars().count() <= width {
        return text.to_owned();
    }
    let kept: String = text.chars().take(width.saturating_sub(1)).collect();
    format!("{kept}\u{2026}")
}

fn draw_judged(frame: &mut Frame<'_>, area: Rect, stage: &Stage) {
    let session = stage.session();
    let words = session.words();
    let (title, text, style) = match session.state() {
        State::Done { .. } => (
            Say::TrainRight,
            words.say(Say::TrainGoesOn { figures: figures(session).into() }),
            Style::new().fg(Color::Green),
        ),
        State::Waiting | State::Saying { .. } => {
            let note = session.notes().last().cloned().unwrap_or_default();
            (Say::TrainWrong, note, Style::new().fg(Color::Yellow))
        }
    };
    let judged = Paragraph::new(text).style(style).wrap(Wrap { trim: true });
    frame.render_widget(judged.block(titled(&words.say(title))), area);
}
