//! The due board: one row a stretch of days and group.

use super::{
    Cell, Column,
    cell::{day, number},
    column::column,
};
use crate::domain::Board;

/// How many cells a row has.
pub const CELLS: usize = 7;

/// The columns. A week is a part of a month, so that only the rows of one period add up.
pub const COLUMNS: [Column; CELLS] = [
    column("period").on_paper(1.4),
    column("from").on_paper(1.6),
    column("to").on_paper(1.6),
    column("split_by"),
    column("group").on_paper(3.0),
    column("examinations_due").on_paper(1.8),
    column("lives_end").on_paper(1.4),
];

/// The rows of the whole board.
pub fn rows(board: &Board) -> impl Iterator<Item = [Cell<'static>; CELLS]> {
    board.lines().flat_map(move |line| {
        let days = line.stretch.days();
        let groups = board.groups.iter().enumerate();
        groups.map(move |(at, group)| {
            [
                line.stretch.key().into(),
                day(days.map(|days| days.from)),
                day(days.and_then(|days| days.to)),
                board.split.key().into(),
                group.name.clone().into(),
                number(line.due[at]),
                number(line.ends[at]),
            ]
        })
    })
}
