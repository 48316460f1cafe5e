//! Files to print and to keep: PDF with tags, as PDF/A-2a (ISO 19005-2) and PDF/UA-1 (ISO 14289-1) ask.

mod attachment;
pub mod bag;
mod draw;
pub mod due;
pub mod examination;
mod face;
pub mod label;
pub mod lacking;
mod line;
pub mod listing;
pub mod pack;
pub mod photo;
mod picture;
pub mod record;
mod sheet;
pub mod symbol;

pub use draw::PaperError;
pub use face::Face;
pub use sheet::{Cell, Column, Sheet};

use crate::domain::PaperSize;

/// Points of a length in millimetres: an inch is 25.4 mm and has 72 points.
fn mm(length: f32) -> f32 {
    length * 72.0 / 25.4
}

/// Width and height of a sheet in points.
fn points(paper: PaperSize) -> (f32, f32) {
    let (width, height) = paper.millimetres();
    (mm(width), mm(height))
}
