//! The due board: one row a stretch of days and group.

use super::{Table, cell::number};
use crate::domain::{Board, date::write_day};

/// The headings. A week is a part of a month, so that only the rows of one period add up.
pub const HEADINGS: [&str; 7] = [
    "period",
    "from",
    "to",
    "split_by",
    "group",
    "examinations_due",
    "lives_end",
];

/// The whole file.
pub fn board(board: &Board) -> Vec<u8> {
    let mut bytes = Table::beginning(HEADINGS);
    let mut table = Table::part();
    for line in board.lines() {
        let days = line.stretch.days();
        let from = days.map(|days| write_day(days.from)).unwrap_or_default();
        let to = days.and_then(|days| days.to).map(write_day);
        for (at, group) in board.groups.iter().enumerate() {
            table.row([
                line.stretch.key().into(),
                from.as_str().into(),
                to.clone().unwrap_or_default().into(),
                board.split.key().into(),
                group.name.as_str().into(),
                number(line.due[at]),
                number(line.ends[at]),
            ]);
        }
    }
    bytes.extend(table.into_bytes());
    bytes
}
