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

use hornrule_core::keypad::{COLUMNS, Key, ROWS};
use ratatui_core::layout::{Constraint, Layout, Rect};
use ratatui_core::style::{Color, Modifier, Style};
use ratatui_core::terminal::Frame;
use ratatui_core::text::{Line, Span};
use ratatui_widgets::block::Block;
use ratatui_widgets::paragraph::{Paragraph, Wrap};

use super::keyboard::computer_key;
use super::scripted::{CELL_MS, figures};
use super::stage::{Answer, Stage};
use crate::practise::State;
use hornrule_facts::plain;
use hornrule_line::keying::{bar, legend, light, show_strokes};

/// Which exercise of how many.
#[derive(Clone, Copy, Debug)]
pub(super) struct Place {
    pub(super) at: usize,
    pub(super) of: usize,
}

/// Smallest terminal in which everything is seen.
pub(super) const SMALLEST: (u16, u16) = (80, 24);

pub(super) fn draw(frame: &mut Frame<'_>, stage: &Stage, place: Place) {
    let area = frame.area();
    if area.width < SMALLEST.0 || area.height < SMALLEST.1 {
        let text = format!("Please make this window {} by {} or larger.", SMALLEST.0, SMALLEST.1);
        frame.render_widget(Paragraph::new(text).wrap(Wrap { trim: true }), area);
        return;
    }
    let rows = Layout::vertical([
        Constraint::Length(1),
        Constraint::Length(5),
        Constraint::Length(12),
        Constraint::Min(5),
        Constraint::Length(1),
    ]);
    let [title, say, middle, bottom, help] = rows.areas(area);
    let [keys, heard] =
        Layout::horizontal([Constraint::Length(30), Constraint::Min(50)]).areas(middle);
    let [flash, judged] =
        Layout::horizontal([Constraint::Percentage(45), Constraint::Min(40)]).areas(bottom);
    draw_title(frame, title, stage, place);
    draw_say(frame, say, stage);
    draw_keys(frame, keys, stage.last_key());
    draw_heard(frame, heard, stage.answers());
    draw_flash(frame, flash, stage);
    draw_judged(frame, judged, stage);
    let text = "Space calliper  Tab show keys  N next  Esc end  Enter COW  Backspace UNDO";
    frame.render_widget(Paragraph::new(text).style(dim()), help);
}

fn dim() -> Style {
    Style::new().add_modifier(Modifier::DIM)
}

fn bold() -> Style {
    Style::new().add_modifier(Modifier::BOLD)
}

fn draw_title(frame: &mut Frame<'_>, area: Rect, stage: &Stage, place: Place) {
    let exercise = stage.session().exercise();
    let text = format!("hornrule practise: {}", exercise.lesson.name());
    let which = format!("{} of {}", place.at + 1, place.of);
    let [left, right] =
        Layout::horizontal([Constraint::Min(1), Constraint::Length(12)]).areas(area);
    frame.render_widget(Paragraph::new(text).style(bold()), left);
    frame.render_widget(Paragraph::new(which).right_aligned(), right);
}

fn draw_say(frame: &mut Frame<'_>, area: Rect, stage: &Stage) {
    let exercise = stage.session().exercise();
    let (title, text) = if stage.shows_keys {
        (" Keys that say it ", show_strokes(&exercise.answer))
    } else {
        (" Say ", exercise.say.clone())
    };
    let say = Paragraph::new(text).wrap(Wrap { trim: true }).block(Block::bordered().title(title));
    frame.render_widget(say, area);
}

fn draw_keys(frame: &mut Frame<'_>, area: Rect, last: Option<Key>) {
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
        lines.push(Line::from(computer));
    }
    let block = Block::bordered().title(" Keys, and what to type ");
    frame.render_widget(Paragraph::new(lines).block(block), area);
}

fn colour(word: &str) -> Color {
    match word {
        "green" => Color::Green,
        "amber" => Color::Yellow,
        _ => Color::Red,
    }
}

/// The newest cue at the bottom, as in a conversation: its rhythm, then its light and words.
fn draw_heard(frame: &mut Frame<'_>, area: Rect, answers: &[Answer]) {
    let room = usize::from(area.height.saturating_sub(2));
    let width = usize::from(area.width.saturating_sub(2));
    let mut lines = Vec::new();
    for answer in answers.iter().rev() {
        let drawn = heard(answer, width);
        if lines.len() + drawn.len() > room {
            break;
        }
        lines.splice(0..0, drawn);
    }
    let block = Block::bordered().title(" Heard, seen, felt ");
    frame.render_widget(Paragraph::new(lines).block(block), area);
}

/// Columns of the light's name.
const LIGHT: usize = 7;

fn heard(answer: &Answer, width: usize) -> Vec<Line<'static>> {
    let word = light(answer.signal.cue);
    let style = Style::new().fg(colour(word));
    let times = if answer.times > 1 { format!(" x{}", answer.times) } else { String::new() };
    let said = format!("{}{times}", answer.signal.cue.meaning());
    let mut lines = vec![Line::from(Span::styled(bar(answer.signal, CELL_MS), style))];
    for (at, part) in wrapped(&said, width.saturating_sub(LIGHT)).into_iter().enumerate() {
        let before = if at == 0 { word } else { "" };
        lines.push(Line::from(vec![
            Span::styled(format!("{before:<LIGHT$}"), style),
            Span::raw(part),
        ]));
    }
    lines
}

/// Options on lines of at most `width` characters.
fn wrapped(text: &str, width: usize) -> Vec<String> {
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
    let lines: Vec<Line<'_>> =
        shown.iter().map(|entry| Line::from(shortened(&plain::entry(entry), width))).collect();
    frame.render_widget(Paragraph::new(lines).block(Block::bordered().title(" In flash ")), area);
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
    let (title, text, style) = match session.state() {
        State::Done { .. } => (
            " Right ",
            format!("{}. Any key goes on.", figures(session)),
            Style::new().fg(Color::Green),
        ),
        State::Waiting | State::Saying { .. } => {
            let note = session.notes().last().cloned().unwrap_or_default();
            (" What went wrong ", note, Style::new().fg(Color::Yellow))
        }
    };
    let judged = Paragraph::new(text).style(style).wrap(Wrap { trim: true });
    frame.render_widget(judged.block(Block::bordered().title(title)), area);
}
