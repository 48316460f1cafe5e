//! What falls due in a span of days, for a round of examinations.

use time::Date;

use super::{
    Cell, Column, PaperError, lacking,
    record::{CAUTIONS, Imprint},
};
use crate::domain::{InRound, Round, date::write_day};

/// One item of the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DueItem {
    /// Its mark.
    pub mark: String,
    /// Maker and model.
    pub model: String,
    /// The maker's serial.
    pub serial: Option<String>,
    /// Where it lives.
    pub store: Option<String>,
    /// The state it is in, in words.
    pub state: &'static str,
    /// The last day on which it is in date, with the rule that sets it; none if it never passed an examination.
    pub due: Option<(Date, String)>,
}

/// What the list has no letters for, in words for the page that offers it; none where all of them can be printed.
pub fn lacks(team: &str, items: &[DueItem]) -> Option<String> {
    let texts = items.iter().map(|item| {
        let rule = item.due.as_ref().map(|(_, rule)| rule);
        (&item.mark, &item.model, &item.serial, &item.store, rule)
    });
    lacking::told(&(team, texts.collect::<Vec<_>>()))
}

/// The list as a file: what is due from the first to the last day, what was due before and is not done, and what never
/// passed an examination.
///
/// # Errors
/// Where it would not hold what it claims to be.
pub fn due_list(
    imprint: &Imprint<'_>,
    (from, to): (Date, Date),
    items: &[DueItem],
) -> Result<Vec<u8>, PaperError> {
    let title = format!(
        "Examinations due from {} to {}",
        write_day(from),
        write_day(to)
    );
    let mut sheet = imprint.sheet(&title);
    sheet.paragraph("An item is still in date on its due day. Retired items are left out.");
    let within = |item: &&DueItem| {
        item.due
            .as_ref()
            .is_some_and(|(day, _)| (from..=to).contains(day))
    };
    let before = |item: &&DueItem| item.due.as_ref().is_some_and(|(day, _)| *day < from);
    let never = |item: &&DueItem| item.due.is_none();
    section(&mut sheet, "Due in these days", items.iter().filter(within));
    section(
        &mut sheet,
        "Due before these days",
        items.iter().filter(before),
    );
    section(
        &mut sheet,
        "Never passed a thorough examination",
        items.iter().filter(never),
    );
    sheet.heading("What this does not tell");
    for caution in CAUTIONS {
        sheet.caution(caution);
    }
    sheet.written()
}

/// The list of a round of examinations, to take along: what is left first, each with the day until which it is in date.
///
/// # Errors
/// Where it would not hold what it claims to be.
pub fn round_list(
    imprint: &Imprint<'_>,
    round: &Round,
    items: &[(InRound, DueItem, Option<String>)],
) -> Result<Vec<u8>, PaperError> {
    let mut sheet = imprint.sheet(&format!("Round of examinations: {}", round.name));
    let whom = match round.examiner.as_str() {
        "" => "nobody yet",
        name => name,
    };
    sheet.paragraph(&format!(
        "From {} to {}, planned for {whom}. An item is still in date on its due day.",
        write_day(round.from),
        write_day(round.to)
    ));
    if let Some(closed) = &round.closed {
        sheet.paragraph(&format!(
            "It was closed on {}, and stands here as it was then; the state of each item is that of today.",
            write_day(closed.on)
        ));
    }
    for what in InRound::ALL {
        let word = match what {
            InRound::Left => "Left",
            InRound::NotFound => "Not found",
            InRound::Out => "Out",
            InRound::Done => "Done",
        };
        let ours = items.iter().filter(|(became, _, _)| *became == what);
        if what.is_open() && round.closed.is_some() {
            let ours = ours.map(|(_, item, why)| (item, why.as_deref()));
            listed(&mut sheet, word, "Not examined, because", ours);
        } else if what.is_open() {
            section(&mut sheet, word, ours.map(|(_, item, _)| item));
        } else {
            let ours = ours.map(|(_, item, looked)| (item, looked.as_deref()));
            listed(&mut sheet, word, "Examined in the round", ours);
        }
    }
    sheet.heading("What this does not tell");
    for caution in CAUTIONS {
        sheet.caution(caution);
    }
    sheet.written()
}

/// What was examined, with the day, the verdict and the examiner, or what was not and why; the state of today beside it.
fn listed<'a>(
    sheet: &mut super::Sheet,
    words: &str,
    what: &'static str,
    items: impl Iterator<Item = (&'a DueItem, Option<&'a str>)>,
) {
    let columns = [
        ("Mark", 2.2),
        ("Model", 4.4),
        ("Serial", 2.8),
        (what, 5.0),
        ("State today", 2.8),
    ]
    .map(|(name, part)| Column { name, part });
    let rows = items.map(|(item, looked)| {
        vec![
            Cell::new(item.mark.as_str()),
            Cell::new(item.model.as_str()),
            Cell::of(item.serial.as_ref()),
            Cell::new(looked.unwrap_or("not examined")),
            Cell::new(item.state),
        ]
    });
    let rows: Vec<Vec<Cell>> = rows.collect();
    sheet.listed(words, &columns, &rows);
}

fn section<'a>(sheet: &mut super::Sheet, words: &str, items: impl Iterator<Item = &'a DueItem>) {
    let columns = [
        ("Mark", 2.2),
        ("Model", 4.4),
        ("Serial", 2.8),
        ("Kept in", 2.8),
        ("State", 2.8),
        ("Due", 2.4),
        ("Rule", 1.2),
    ]
    .map(|(name, part)| Column { name, part });
    // A rule sets the day of many: it is written once, and called by its number.
    let mut rules: Vec<&str> = Vec::new();
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    for item in items {
        let (day, rule) = match &item.due {
            Some((day, rule)) => (
                Cell::new(write_day(*day)),
                Cell::new(number_of(&mut rules, rule)),
            ),
            None => (Cell::new("before use"), Cell::new("none")),
        };
        rows.push(vec![
            Cell::new(item.mark.as_str()),
            Cell::new(item.model.as_str()),
            Cell::of(item.serial.as_ref()),
            Cell::of(item.store.as_ref()),
            Cell::new(item.state),
            day,
            rule,
        ]);
    }
    sheet.listed(words, &columns, &rows);
    for (at, rule) in rules.iter().enumerate() {
        sheet.paragraph(&format!("Rule {}: {rule}", at + 1));
    }
}

/// The number of a rule among those that were named so far.
fn number_of<'a>(rules: &mut Vec<&'a str>, rule: &'a str) -> String {
    let at = rules.iter().position(|one| *one == rule);
    let at = at.unwrap_or_else(|| {
        rules.push(rule);
        rules.len() - 1
    });
    (at + 1).to_string()
}
