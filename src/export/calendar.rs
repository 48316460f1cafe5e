//! A calendar of what falls due and whose life ends, as RFC 5545 writes it: one entry a day and sort, the marks in its
//! description.

use std::fmt::Write as _;

use time::{Date, Duration, OffsetDateTime, UtcOffset};
use uuid::Uuid;

/// The longest line in bytes, without its end: RFC 5545, section 3.1.
const LONGEST_LINE: usize = 75;
/// How many marks one entry names.
const MOST_MARKS: usize = 100;

/// What a day of the calendar tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Falls {
    /// It is the last day in date.
    Due,
    /// It is the first day on which an item may no longer be used.
    LifeEnds,
}

/// The items that fall due, or whose lives end, on one day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DueDay {
    /// The day.
    pub on: Date,
    /// What it is for them.
    pub falls: Falls,
    /// Their marks.
    pub marks: Vec<String>,
}

/// Whose calendar it is, and when it was written.
#[derive(Clone, Debug)]
pub struct Heading<'a> {
    /// The team's name.
    pub team: &'a str,
    /// What keeps its entries apart from those of any other team.
    pub id: Uuid,
    /// When it was written.
    pub at: OffsetDateTime,
}

/// The calendar. The entry of a day keeps its UID, so that a calendar program moves nothing and doubles nothing.
pub fn calendar(heading: &Heading<'_>, days: &[DueDay]) -> Vec<u8> {
    let mut out = Lines::default();
    out.line("BEGIN:VCALENDAR");
    out.line("VERSION:2.0");
    out.line("PRODID:-//Ropeloft//Due//EN");
    out.line("CALSCALE:GREGORIAN");
    out.text("X-WR-CALNAME", &format!("Due: {}", heading.team));
    for day in days {
        out.line("BEGIN:VEVENT");
        let on = compact(day.on);
        let word = match day.falls {
            Falls::Due => "due",
            Falls::LifeEnds => "life",
        };
        out.line(&format!("UID:{word}-{on}-{}@ropeloft", heading.id));
        out.line(&format!("DTSTAMP:{}", moment(heading.at)));
        out.line(&format!("DTSTART;VALUE=DATE:{on}"));
        // The end of a whole day is the next one: RFC 5545, section 3.6.1.
        if let Some(next) = day.on.checked_add(Duration::DAY) {
            out.line(&format!("DTEND;VALUE=DATE:{}", compact(next)));
        }
        out.text("SUMMARY", &summary(day));
        out.text("DESCRIPTION", &description(day));
        out.line("TRANSP:TRANSPARENT");
        out.line("END:VEVENT");
    }
    out.line("END:VCALENDAR");
    out.0.into_bytes()
}

fn summary(day: &DueDay) -> String {
    match (day.falls, day.marks.as_slice()) {
        (Falls::Due, [one]) => format!("Examination due: {one}"),
        (Falls::Due, many) => format!("Examinations due: {} items", many.len()),
        (Falls::LifeEnds, [one]) => format!("Life ends: {one}"),
        (Falls::LifeEnds, many) => format!("Lives end: {} items", many.len()),
    }
}

fn description(day: &DueDay) -> String {
    let mut text = String::from(match day.falls {
        Falls::Due => "Last day in date for:",
        Falls::LifeEnds => "From this day on they may not be used any more:",
    });
    for mark in day.marks.iter().take(MOST_MARKS) {
        text.push('\n');
        text.push_str(mark);
    }
    if let Some(more @ 1..) = day.marks.len().checked_sub(MOST_MARKS) {
        let _ = write!(text, "\nand {more} more, which the register lists");
    }
    text.push_str(
        "\nWorked out from what people entered. The register decides, not this calendar.",
    );
    text
}

fn compact(day: Date) -> String {
    format!(
        "{:04}{:02}{:02}",
        day.year(),
        u8::from(day.month()),
        day.day()
    )
}

fn moment(at: OffsetDateTime) -> String {
    let at = at.to_offset(UtcOffset::UTC);
    let (hour, minute, second) = at.time().as_hms();
    format!("{}T{hour:02}{minute:02}{second:02}Z", compact(at.date()))
}

/// Content lines, folded and ended as RFC 5545, section 3.1 asks.
#[derive(Default)]
struct Lines(String);

impl Lines {
    /// A line, cut where it is longer than allowed: what follows goes on behind a blank. No letter is cut in two.
    fn line(&mut self, text: &str) {
        let mut room = LONGEST_LINE;
        for c in text.chars() {
            if c.len_utf8() > room {
                self.0.push_str("\r\n ");
                room = LONGEST_LINE - 1;
            }
            room -= c.len_utf8();
            self.0.push(c);
        }
        self.0.push_str("\r\n");
    }

    /// A property whose value is text, with its signs escaped: RFC 5545, section 3.3.11.
    fn text(&mut self, name: &str, value: &str) {
        let mut line = format!("{name}:");
        for c in value.chars() {
            match c {
                '\\' | ';' | ',' => line.extend(['\\', c]),
                '\n' => line.push_str("\\n"),
                c if c.is_control() => line.push(' '),
                c => line.push(c),
            }
        }
        self.line(&line);
    }
}
