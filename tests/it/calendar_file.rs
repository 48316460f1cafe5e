//! The calendar: read back by a reader that shares nothing with what wrote it, and byte by byte where RFC 5545 asks.

use icalendar::{Calendar, CalendarComponent, Component, DatePerhapsTime};
use proptest::prelude::*;
use ropeloft::export::calendar::{DueDay, Falls, Heading, calendar};
use time::{
    OffsetDateTime,
    macros::{date, datetime},
};
use uuid::Uuid;

const AT: OffsetDateTime = datetime!(2026-03-01 09:30:05 +01:00);

fn heading(team: &str) -> Heading<'_> {
    Heading {
        team,
        id: Uuid::from_u128(7),
        at: AT,
    }
}

fn day(on: time::Date, marks: &[&str]) -> DueDay {
    DueDay {
        on,
        falls: Falls::Due,
        marks: marks.iter().map(|mark| (*mark).to_owned()).collect(),
    }
}

fn written(team: &str, days: &[DueDay]) -> String {
    String::from_utf8(calendar(&heading(team), days)).unwrap()
}

/// The lines as they were before they were folded: RFC 5545, section 3.1.
fn unfolded(text: &str) -> Vec<String> {
    let text = text.replace("\r\n ", "");
    text.split_terminator("\r\n").map(str::to_owned).collect()
}

#[test]
fn another_reader_finds_the_days() {
    let days = [
        day(date!(2026 - 02 - 28), &["RL-0042"]),
        day(
            date!(2028 - 02 - 29),
            &["Ropes; wet, \"blue\" \\ red", "Größe 3", "RL-7"],
        ),
    ];
    let text = written("North; shaft, team", &days);
    let read: Calendar = text.parse().unwrap();
    let events: Vec<_> = read
        .components
        .iter()
        .filter_map(CalendarComponent::as_event)
        .collect();
    assert_eq!(events.len(), 2);
    let start = |at: usize| match events[at].get_start().unwrap() {
        DatePerhapsTime::Date(day) => day.to_string(),
        other @ DatePerhapsTime::DateTime(_) => panic!("{other:?}"),
    };
    let end = |at: usize| match events[at].get_end().unwrap() {
        DatePerhapsTime::Date(day) => day.to_string(),
        other @ DatePerhapsTime::DateTime(_) => panic!("{other:?}"),
    };
    assert_eq!(
        (start(0).as_str(), end(0).as_str()),
        ("2026-02-28", "2026-03-01")
    );
    assert_eq!(
        (start(1).as_str(), end(1).as_str()),
        ("2028-02-29", "2028-03-01")
    );
    assert_eq!(events[0].get_summary(), Some("Examination due: RL-0042"));
    assert_eq!(events[1].get_summary(), Some("Examinations due: 3 items"));
    let description = events[1].get_description().unwrap().replace("\\\"", "\"");
    assert!(description.contains("Größe 3"), "{description}");
    assert_eq!(
        events[0].get_uid(),
        Some("due-20260228-00000000-0000-0000-0000-000000000007@ropeloft")
    );
    assert_ne!(events[0].get_uid(), events[1].get_uid());
}

/// RFC 5545: sections 3.1 (lines and folding), 3.3.11 (escaping), 3.6.1 (what an event must have), 3.8.7.2 (DTSTAMP).
#[test]
fn every_line_is_as_the_standard_asks() {
    let marks: Vec<String> = (0..250)
        .map(|n| format!("Größe; {n}, \\ „Seil“ 漢字"))
        .collect();
    let marks: Vec<&str> = marks.iter().map(String::as_str).collect();
    let text = written("T", &[day(date!(2026 - 05 - 05), &marks)]);
    assert!(text.ends_with("END:VCALENDAR\r\n"));
    for line in text.split_terminator("\r\n") {
        assert!(line.len() <= 75, "{} bytes: {line}", line.len());
        assert!(!line.contains(['\r', '\n']), "{line:?}");
    }
    let lines = unfolded(&text);
    for wanted in [
        "BEGIN:VCALENDAR",
        "VERSION:2.0",
        "DTSTAMP:20260301T083005Z",
        "DTSTART;VALUE=DATE:20260505",
        "DTEND;VALUE=DATE:20260506",
        "SUMMARY:Examinations due: 250 items",
    ] {
        assert!(
            lines.iter().any(|line| line == wanted),
            "{wanted} is missing: {text}"
        );
    }
    let description = lines
        .iter()
        .find(|line| line.starts_with("DESCRIPTION:"))
        .unwrap();
    assert!(
        description.contains("\\nGröße\\; 0\\, \\\\ „Seil“ 漢字\\nGröße\\; 1"),
        "{description}"
    );
    assert!(description.contains("Größe\\; 99\\,") && !description.contains("Größe\\; 100\\,"));
    assert!(description.contains("\\nand 150 more"), "{description}");
}

#[test]
fn an_end_of_life_stands_beside_what_falls_due_on_the_same_day() {
    let due = day(date!(2026 - 05 - 05), &["RL-1"]);
    let ends = DueDay {
        falls: Falls::LifeEnds,
        ..due.clone()
    };
    let text = written("T", &[due, ends]);
    let read: Calendar = text.parse().unwrap();
    let events: Vec<_> = read
        .components
        .iter()
        .filter_map(CalendarComponent::as_event)
        .collect();
    assert_eq!(events.len(), 2);
    assert_ne!(events[0].get_uid(), events[1].get_uid());
    assert_eq!(events[1].get_summary(), Some("Life ends: RL-1"));
}

#[test]
fn a_day_keeps_its_uid_whatever_falls_due_on_it() {
    let uid = |marks: &[&str]| {
        let lines = unfolded(&written("T", &[day(date!(2026 - 05 - 05), marks)]));
        lines
            .into_iter()
            .find(|line| line.starts_with("UID:"))
            .unwrap()
    };
    assert_eq!(uid(&["a"]), uid(&["b", "c"]));
    assert_eq!(
        unfolded(&written("T", &[])).last().unwrap(),
        "END:VCALENDAR"
    );
}

proptest! {
    #[test]
    fn no_mark_breaks_out_of_its_line(mark in "\\PC{0,120}", team in "[\\PC\r\n]{0,80}") {
        let text = written(&team, &[day(date!(2026 - 05 - 05), &[&mark, "x\r\nBEGIN:VEVENT"])]);
        let lines = unfolded(&text);
        prop_assert_eq!(lines.iter().filter(|line| *line == "BEGIN:VEVENT").count(), 1);
        prop_assert!(text.split_terminator("\r\n").all(|line| line.len() <= 75));
    }
}
