//! What was read by a link of an outside auditor: one row a read, in the order of their numbers.

use super::{
    Cell, Column,
    cell::{moment, number, text},
    column::column,
};
use crate::domain::{GuestRead, Hash};

/// How many cells a row has.
pub const CELLS: usize = 7;

/// The columns. `chain` is SHA-256 of the chain of the row before (32 zero bytes before the first) and of the row's
/// canonical JSON, in hexadecimal: whoever has every row can work it out again.
pub const COLUMNS: [Column; CELLS] = [
    column("number").on_paper(1.0),
    column("at").on_paper(2.2),
    column("method").on_paper(1.0),
    column("path").on_paper(5.0),
    column("status").on_paper(1.0),
    column("file").on_paper(3.0),
    column("chain"),
];

/// The row of a read.
pub fn row<'a>(read: &'a GuestRead, chain: &Hash) -> [Cell<'a>; CELLS] {
    [
        number(read.number),
        moment(read.at),
        read.method.as_str().into(),
        read.path.as_str().into(),
        number(read.status),
        text(read.file.as_ref()),
        hex::encode(chain).into(),
    ]
}
