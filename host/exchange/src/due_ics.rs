//! The due list as a calendar, RFC 5545.
//!
//! ```text
//! DueList --one event a farm and visit--> VCALENDAR
//!           what is overdue stands on the day the list is of
//! ```
//!
//! An event is named by farm and day, so that a calendar which takes in a newer list changes the
//! event it has and gets no second one. All-day events: a trimmer comes when the milking is done.

use icalendar::{Calendar, Component, Event, EventLike, Property};
use jiff::Timestamp;
use jiff::civil::Date;

use hornrule_questions::due::{DueLine, DueList};

/// The calendar's words: they are the papers', which know languages.
pub struct Entries<'a> {
    /// The calendar's name.
    pub title: String,
    /// An event's title: farm and how many lines.
    pub head: &'a dyn Fn(&[&DueLine]) -> String,
    /// One line of its description.
    pub line: &'a dyn Fn(&DueLine) -> String,
}

/// The calendar as text with CR LF. `stamp` is when it was made.
#[must_use]
pub fn due_calendar(list: &DueList, stamp: Timestamp, texts: &Entries<'_>) -> String {
    let mut calendar = Calendar::empty();
    calendar.append_property(Property::new("VERSION", "2.0"));
    calendar.append_property(Property::new("PRODID", "-//hornrule//due list//EN"));
    calendar.append_property(Property::new("CALSCALE", "GREGORIAN"));
    calendar.append_property(Property::new("METHOD", "PUBLISH"));
    calendar.name(&one_line(&texts.title));
    let stamp = stamp.strftime("%Y%m%dT%H%M%SZ").to_string();
    for group in list.groups() {
        let Some(first) = group.first() else { continue };
        let day = first.visit;
        let lines: Vec<String> = group.iter().map(|line| one_line(&(texts.line)(line))).collect();
        let late = group.iter().any(|line| line.overdue > 0);
        let kind = if late { "overdue" } else { "due" };
        let uid = format!("{kind}-{}-{}@hornrule", first.need.herd.number(), day.date());
        let event = Event::with_uid(&uid)
            .append_property(Property::new("DTSTAMP", &stamp))
            .append_property(date("DTSTART", day.date()))
            // The first day that it is over.
            .append_property(date("DTEND", day.plus(1).date()))
            .append_property(Property::new("TRANSP", "TRANSPARENT"))
            .summary(&one_line(&(texts.head)(&group)))
            .location(&one_line(&first.farm))
            .description(&lines.join("\n"))
            .done();
        calendar.push(event);
    }
    calendar.to_string()
}

fn date(key: &str, date: Date) -> Property {
    let text = date.strftime("%Y%m%d").to_string();
    Property::new(key, text).add_parameter("VALUE", "DATE").done()
}

/// A name from a file may hold line ends and other controls, which would end the line here too.
fn one_line(text: &str) -> String {
    text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}
