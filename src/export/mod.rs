//! Records to files: records in, bytes out. Pure; what is written is chosen and read elsewhere.
//!
//! # How a CSV file is written
//!
//! * As RFC 4180 describes: a comma between cells, CR LF after each row, quotes where they are needed, one row of
//!   headings first.
//! * UTF-8 with a byte order mark in front. Spreadsheet programs take a file without one for an old code page and
//!   garble names; programs that read CSV pass over it.
//! * Days as `2026-03-01`, moments as `2026-03-01T09:30:00Z`, yes and no in words, quantities as they were entered.
//!   An empty cell is "not known" or "none".
//! * A cell of typed text that begins with `=`, `+`, `-`, `@`, a tab or an end of line gets an apostrophe in front,
//!   so that no spreadsheet runs it as a formula; so does one that begins with apostrophes and then one of these. Behind
//!   each semicolon, tab or end of line within the text, where a spreadsheet whose decimal mark is a comma takes a cell to
//!   begin, one of the four signs gets an apostrophe too, whatever quotes, apostrophes or blanks stand between. Who reads
//!   the file with a program takes these apostrophes off, and has what was typed. In a workbook it is the same, and the
//!   cell is one of text. Numbers are left numbers.
//!
//! # Other forms
//!
//! What is written is told once, as [`Column`]s and rows of [`Cell`]s; [`begin()`] writes them in any [`FileForm`]. JSON
//! Lines are given away while they are read, as CSV is; a workbook is gathered in a temporary file first; a PDF is laid out
//! as a whole and takes [`paper::listing::MOST_ROWS`] rows. How a whole file is told from one that was cut stands in `rows.rs`.

mod cell;
mod column;
mod comma;
mod file_form;
mod json_line;
mod rows;
mod table;
mod workbook;

pub mod board;
pub mod bundle;
pub mod calendar;
pub mod course;
pub mod digest;
pub mod examination;
pub mod guest;
pub mod history;
pub mod holder;
pub mod item;
pub mod job;
pub mod model;
pub mod paper;
pub mod proof;
pub mod question;
pub mod readiness;
pub mod refusal;
pub mod trend;

pub use crate::domain::cell::{harmless, typed};
pub use cell::Cell;
pub use column::Column;
pub use file_form::FileForm;
pub use rows::{Heading, Rest, Rows, RowsError, begin};
pub use table::{MARK, sheet};
