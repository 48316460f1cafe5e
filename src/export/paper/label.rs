//! Labels: a code with the mark, the model and the date made beside it, on sheets of many or on a roll of single ones.

use time::OffsetDateTime;

use super::{
    Face, PaperError,
    draw::{Drawn, Kind, Part, Piece, Role},
    lacking,
    line::{Line, broken},
    mm,
    symbol::Symbol,
};
use crate::domain::{LabelSheet, SMALLEST_MODULE, SymbolKind};

/// The smallest letters of a mark, in points (common practice, no source).
pub const SMALLEST_MARK: f32 = 5.0;
/// The most of the width of a label that the code takes; the rest is for what people read.
const MOST_OF_WIDTH: f32 = 0.6;
/// Between the edge of a label, its code and its text, in millimetres.
const AIR: f32 = 1.0;

/// What stands on a label.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// What the code holds.
    pub content: String,
    /// The team's mark, largest.
    pub mark: String,
    /// What else people read, a line each, the most important first.
    pub lines: Vec<String>,
}

/// A label that cannot be made so.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum LabelFault {
    /// The code would be too fine to be read.
    #[error(
        "On a label of {width} by {height} mm the {} code of {mark} would have modules of {module:.2} mm; a reader \
         needs {SMALLEST_MODULE} mm. It has {side} modules a side with the light around it, so the label must be at \
         least {needed:.1} mm high and {wide:.1} mm wide.", .kind.word()
    )]
    Fine {
        /// Which code.
        kind: SymbolKind,
        /// The mark on the label.
        mark: String,
        /// The label's width.
        width: f32,
        /// Its height.
        height: f32,
        /// The size of a module, in millimetres.
        module: f32,
        /// How many modules a side has, with the light around it.
        side: usize,
        /// How high the label must be.
        needed: f32,
        /// How wide.
        wide: f32,
    },
    /// The mark would be too small to be read.
    #[error(
        "On a label of {width} by {height} mm the mark {mark} would be {size:.1} points high; the smallest that is \
         read is {SMALLEST_MARK} points. Take a wider label."
    )]
    Tiny {
        /// The mark.
        mark: String,
        /// The label's width.
        width: f32,
        /// Its height.
        height: f32,
        /// The size of the letters, in points.
        size: f32,
    },
    /// No face has a letter for something on it.
    #[error(
        "The label of {mark} cannot be printed: there are no letters here for {lacking}. Write its mark, and the maker and \
         name of its model, without them."
    )]
    Letters {
        /// The mark.
        mark: String,
        /// The characters, with their numbers.
        lacking: String,
    },
    /// The content is too long for a code.
    #[error(transparent)]
    TooLong(#[from] super::symbol::TooLong),
    /// The file could not be written.
    #[error(transparent)]
    Paper(#[from] PaperError),
}

/// A code in the place that a label has for it: the size of a module in millimetres.
fn module(symbol: &Symbol, grid: &LabelSheet, mark: &str) -> Result<f32, LabelFault> {
    let (width, height) = grid.label;
    let room = (height - 2.0 * AIR).min(width * MOST_OF_WIDTH - AIR);
    let side = symbol.side_with_quiet();
    #[expect(
        clippy::cast_precision_loss,
        reason = "a code has at most 185 modules a side"
    )]
    let modules = side as f32;
    let module = room / modules;
    if module >= SMALLEST_MODULE {
        return Ok(module);
    }
    let least = modules * SMALLEST_MODULE;
    Err(LabelFault::Fine {
        kind: symbol.kind,
        mark: mark.to_owned(),
        width,
        height,
        module: module.max(0.0),
        side,
        needed: least + 2.0 * AIR,
        wide: (least + AIR) / MOST_OF_WIDTH,
    })
}

/// The labels as a file.
///
/// # Errors
/// [`LabelFault`] for the first label that cannot be made so.
pub fn labels(
    labels: &[Label],
    kind: SymbolKind,
    grid: &LabelSheet,
    at: OffsetDateTime,
) -> Result<Vec<u8>, LabelFault> {
    let mut pages: Vec<Vec<Piece>> = vec![Vec::new()];
    let mut parts = Vec::new();
    for (place, label) in (grid.skip..).zip(labels) {
        let (page, place) = (place / grid.on_sheet(), place % grid.on_sheet());
        while pages.len() <= page {
            pages.push(Vec::new());
        }
        printable(label)?;
        let symbol = Symbol::new(kind, &label.content)?;
        let module = module(&symbol, grid, &label.mark)?;
        let pieces = &mut pages[page];
        parts.push(draw(label, &symbol, (module, grid, place), (page, pieces))?);
    }
    let title = "Labels".to_owned();
    let pages = Drawn {
        outline: vec![(title.clone(), 0, 0.0)],
        title,
        at,
        size: (mm(grid.paper.0), mm(grid.paper.1)),
        pages,
        parts,
    };
    Ok(pages.written()?)
}

/// Refuses a label on which a mark would stand in the place of a letter.
fn printable(label: &Label) -> Result<(), LabelFault> {
    let texts = std::iter::once(&label.mark).chain(&label.lines);
    let lacks = texts.flat_map(|text| lacking::in_text(text)).collect();
    match lacking::named(&lacks) {
        None => Ok(()),
        Some(lacking) => Err(LabelFault::Letters {
            mark: label.mark.clone(),
            lacking,
        }),
    }
}

fn draw(
    label: &Label,
    symbol: &Symbol,
    (module, grid, place): (f32, &LabelSheet, usize),
    (page, pieces): (usize, &mut Vec<Piece>),
) -> Result<Part, LabelFault> {
    let (left, top) = grid.corner(place);
    #[expect(
        clippy::cast_precision_loss,
        reason = "a code has at most 185 modules a side"
    )]
    let along = |modules: usize| modules as f32 * module;
    let (whole, quiet) = (along(symbol.side_with_quiet()), along(symbol.kind.quiet()));
    let (x, y) = (
        left + AIR + quiet,
        top + (grid.label.1 - whole) / 2.0 + quiet,
    );
    let squares = symbol.squares((mm(x), mm(y)), mm(module));
    pieces.push(Piece::Code { squares });
    let words = format!("{} code: {}", symbol.kind.word(), label.content);
    let code = Part::Group(
        Kind::Figure(words),
        vec![Part::Piece(page, pieces.len() - 1)],
    );
    let text = Area {
        left: left + AIR + whole,
        top: top + AIR,
        width: grid.label.0 - whole - 2.0 * AIR,
        height: grid.label.1 - 2.0 * AIR,
    };
    let size = text.mark_size(label);
    if size < SMALLEST_MARK {
        return Err(LabelFault::Tiny {
            mark: label.mark.clone(),
            width: grid.label.0,
            height: grid.label.1,
            size: size.max(0.0),
        });
    }
    let mut parts = vec![code];
    for (line, x, y, size) in text.lines(label, size) {
        let role = Role::Read;
        pieces.push(Piece::Text {
            x,
            y,
            size,
            line,
            role,
        });
        let piece = Part::Piece(page, pieces.len() - 1);
        parts.push(Part::Group(Kind::Paragraph, vec![piece]));
    }
    Ok(Part::Group(Kind::Section, parts))
}

/// The size at which the longest word of a text still stands on one line, in points; at the smallest it is broken.
fn fitting(text: &str, size: f32, width: f32) -> f32 {
    let words = text.split_whitespace();
    let widest = words
        .map(|word| Line::new(word, Face::Label).width(1.0))
        .fold(0.0, f32::max);
    // A hair less, so that no rounding breaks it.
    let most = 0.999 * width / widest.max(f32::MIN_POSITIVE);
    size.min(most.max(SMALLEST_MARK))
}

/// Where the text of a label stands, in millimetres.
struct Area {
    left: f32,
    top: f32,
    width: f32,
    height: f32,
}

impl Area {
    /// The mark is as large as its place allows.
    fn mark_size(&self, label: &Label) -> f32 {
        let width = Line::new(&label.mark, Face::Label).width(1.0);
        let size = mm(self.width) / width.max(1.0);
        size.min(mm(self.height) * 0.4).min(24.0)
    }

    /// Each line with its place and size in points. What does not fit below the mark is left out, the least important
    /// first.
    fn lines(&self, label: &Label, size: f32) -> Vec<(Line, f32, f32, f32)> {
        let (width, height) = (mm(self.width), mm(self.height));
        let mark = Line::new(&label.mark, Face::Label);
        let small = (height * 0.16).clamp(5.0, 9.0);
        let mut y = mm(self.top) + size;
        let x = mm(self.left);
        let mut all = vec![(mark, x, y, size)];
        for text in &label.lines {
            let small = fitting(text, small, width);
            for line in broken(text, Face::Label, small, width) {
                y += small * 1.25;
                if y > mm(self.top) + height {
                    return all;
                }
                all.push((line, x, y, small));
            }
        }
        all
    }
}
