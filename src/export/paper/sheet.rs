//! Sheets of text: headings, paragraphs, facts and tables that flow over as many pages as they need.

use krilla::geom::Rect;
use time::OffsetDateTime;

use super::{
    Face, PaperError,
    draw::{Drawn, Kind, Part, Piece, Role},
    lacking,
    line::{Line, broken},
    mm, points,
    symbol::Symbol,
};
use crate::domain::{PaperSize, Picture};

/// The size of text, in points.
pub(super) const SIZE: f32 = 10.0;
/// From one line of text to the next.
pub(super) const LEADING: f32 = 13.0;
/// What is left free around the text.
pub(super) const MARGIN: f32 = 18.0;
/// The size of a module of a code, in millimetres: enough for a phone at arm's length (common practice, no source).
const CODE_MODULE: f32 = 0.8;
/// Between the columns of a table, and around its rules.
pub(super) const GAP: f32 = 6.0;

/// What stands in a cell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Cell {
    /// What is known.
    Said(String),
    /// It is not recorded, which is said so.
    NotRecorded,
}

impl Cell {
    /// A text; an empty one is not recorded.
    pub fn new(text: impl Into<String>) -> Self {
        let text = text.into();
        if text.trim().is_empty() {
            Self::NotRecorded
        } else {
            Self::Said(text)
        }
    }

    /// A text that may not be there.
    pub fn of<T: ToString>(text: Option<T>) -> Self {
        text.map_or(Self::NotRecorded, |text| Self::new(text.to_string()))
    }

    fn words(&self) -> (&str, Face) {
        match self {
            Self::Said(text) => (text, Face::Text),
            Self::NotRecorded => ("not recorded", Face::Slant),
        }
    }
}

/// A sheet that is being written, from the top down.
pub struct Sheet {
    title: String,
    at: OffsetDateTime,
    size: (f32, f32),
    foot: String,
    pages: Vec<Vec<Piece>>,
    /// How far down the page is written.
    pub(super) y: f32,
    parts: Vec<Part>,
    outline: Vec<(String, usize, f32)>,
}

/// A column of a table: its heading, and its part of the width.
#[derive(Clone, Copy, Debug)]
pub struct Column<'a> {
    /// The heading.
    pub name: &'a str,
    /// Its part, in whatever all columns of the table are counted in.
    pub part: f32,
}

impl Sheet {
    /// A sheet with a title, written at this moment. `foot` stands at the foot of every page, before its number.
    pub fn new(paper: PaperSize, title: &str, foot: &str, at: OffsetDateTime) -> Self {
        let mut sheet = Self {
            title: title.to_owned(),
            at,
            size: points(paper),
            foot: foot.to_owned(),
            pages: vec![Vec::new()],
            y: mm(MARGIN),
            parts: Vec::new(),
            outline: Vec::new(),
        };
        sheet.heading_of(1, title, 16.0);
        sheet
    }

    /// A heading below the title.
    pub fn heading(&mut self, words: &str) {
        self.y += GAP;
        // Never alone at the foot of a page.
        self.room(LEADING * 4.0);
        self.heading_of(2, words, 12.0);
    }

    fn heading_of(&mut self, level: u16, words: &str, size: f32) {
        self.outline
            .push((words.to_owned(), self.pages.len() - 1, self.y));
        let lines = broken(words, Face::Strong, size, self.width());
        let pieces = self.lines(lines, (mm(MARGIN), size), size * 1.3);
        self.y += GAP / 2.0;
        let kind = Kind::Heading(level, words.to_owned());
        self.parts.push(Part::Group(kind, pieces));
    }

    /// A paragraph.
    pub fn paragraph(&mut self, words: &str) {
        self.paragraph_in(words, Face::Text);
    }

    /// A caution.
    pub fn caution(&mut self, words: &str) {
        self.paragraph_in(words, Face::Slant);
    }

    fn paragraph_in(&mut self, words: &str, face: Face) {
        let lines = broken(words, face, SIZE, self.width());
        let pieces = self.lines(lines, (mm(MARGIN), SIZE), LEADING);
        self.y += GAP;
        self.parts.push(Part::Group(Kind::Paragraph, pieces));
    }

    /// Facts: each name with what is known.
    pub fn facts(&mut self, facts: &[(&str, Cell)]) {
        let widths = [self.width() * 0.34, self.width() * 0.66];
        let mut rows = Vec::new();
        for (name, cell) in facts {
            let (text, face) = cell.words();
            let cells = [(*name, Face::Strong), (text, face)];
            rows.push(self.row(&cells, &widths, None));
        }
        self.y += GAP;
        let body = Part::Group(Kind::Body, rows);
        self.parts.push(Part::Group(Kind::Table, vec![body]));
    }

    /// A table. Its headings stand again on every page that it goes on to.
    pub fn table(&mut self, columns: &[Column<'_>], rows: &[Vec<Cell>]) {
        let parts: f32 = columns.iter().map(|column| column.part).sum();
        let widths = columns.iter().map(|c| c.part / parts * self.width());
        let widths: Vec<f32> = widths.collect();
        let names = columns.iter().map(|column| (column.name, Face::Strong));
        let names: Vec<(&str, Face)> = names.collect();
        self.room(LEADING * 3.0);
        let head = self.row_as(&names, &widths, None, Kind::ColumnName);
        let rows = rows.iter().map(|cells| {
            let cells: Vec<_> = cells.iter().map(Cell::words).collect();
            self.row(&cells, &widths, Some(&names))
        });
        let body = Part::Group(Kind::Body, rows.collect());
        let head = Part::Group(Kind::Head, vec![head]);
        self.y += GAP;
        self.parts.push(Part::Group(Kind::Table, vec![head, body]));
    }

    /// A table below its heading, which says how many rows it has.
    pub fn listed(&mut self, words: &str, columns: &[Column<'_>], rows: &[Vec<Cell>]) {
        self.heading(&format!("{words}: {}", rows.len()));
        if rows.is_empty() {
            self.paragraph("None.");
        } else {
            self.table(columns, rows);
        }
    }

    /// A code that leads somewhere, with the words that it holds below it.
    pub fn code(&mut self, symbol: &Symbol, words: &str) {
        let module = mm(CODE_MODULE);
        #[expect(
            clippy::cast_precision_loss,
            reason = "a code has at most 185 modules a side"
        )]
        let along = |modules: usize| modules as f32 * module;
        let whole = along(symbol.side_with_quiet());
        self.room(whole + LEADING);
        let corner = (
            mm(MARGIN) + along(symbol.kind.quiet()),
            self.y + along(symbol.kind.quiet()),
        );
        let squares = symbol.squares(corner, module);
        self.y += whole;
        let code = self.put(Piece::Code { squares });
        let said = format!("{} code: {words}", symbol.kind.word());
        self.parts.push(Part::Group(Kind::Figure(said), vec![code]));
        self.paragraph(words);
    }

    /// A picture below its heading, as wide as the sheet or as high as half of it.
    pub fn picture(&mut self, heading: &str, picture: &Picture) {
        let (wide, high) = picture.size;
        let room = (self.bottom() - mm(MARGIN)) * 0.5;
        let scale = (self.width() / wide).min(room / high).min(1.0);
        self.room(high * scale + LEADING * 4.0);
        self.heading(heading);
        let corner = (mm(MARGIN), self.y);
        self.y += high * scale + GAP;
        let drawn = self.put(Piece::Picture {
            corner,
            scale,
            picture: picture.clone(),
        });
        let told = Kind::Figure(picture.told.clone());
        self.parts.push(Part::Group(told, vec![drawn]));
    }

    /// Puts a piece on the page that is being written.
    pub(super) fn put(&mut self, piece: Piece) -> Part {
        let page = self.pages.len() - 1;
        self.page().push(piece);
        Part::Piece(page, self.page().len() - 1)
    }

    fn row(
        &mut self,
        cells: &[(&str, Face)],
        widths: &[f32],
        again: Option<&[(&str, Face)]>,
    ) -> Part {
        self.row_as(cells, widths, again, Kind::RowName)
    }

    /// A row, whose first cell is of this kind. It stays on one page if a page can hold it.
    fn row_as(
        &mut self,
        cells: &[(&str, Face)],
        widths: &[f32],
        again: Option<&[(&str, Face)]>,
        first: Kind,
    ) -> Part {
        let texts = cells.iter().zip(widths);
        let texts = texts.map(|((text, face), width)| broken(text, *face, SIZE, width - GAP));
        let mut texts: Vec<std::vec::IntoIter<Line>> = texts.map(Vec::into_iter).collect();
        let height = texts.iter().map(ExactSizeIterator::len).max().unwrap_or(0);
        let head = again.map_or(0.0, |_| LEADING + GAP);
        #[expect(clippy::cast_precision_loss, reason = "a cell has few lines")]
        let tall = height as f32 * LEADING + GAP;
        if self.y + tall > self.bottom() && tall + head < self.bottom() - mm(MARGIN) {
            self.turn(again, widths);
        }
        self.rule();
        let mut parts: Vec<Vec<Part>> = texts.iter().map(|_| Vec::new()).collect();
        for _ in 0..height {
            if self.y + LEADING > self.bottom() {
                self.turn(again, widths);
            }
            let mut x = mm(MARGIN);
            for ((lines, parts), width) in texts.iter_mut().zip(&mut parts).zip(widths) {
                if let Some(line) = lines.next() {
                    parts.push(self.text(line, (x, SIZE), Role::Read));
                }
                x += width;
            }
            self.y += LEADING;
        }
        self.y += GAP / 2.0;
        let mut kinds = std::iter::once(first.clone()).chain(std::iter::repeat(
            if matches!(first, Kind::ColumnName) {
                Kind::ColumnName
            } else {
                Kind::Cell
            },
        ));
        let cells = parts
            .into_iter()
            .map(|parts| Part::Group(kinds.next().unwrap_or(Kind::Cell), parts));
        Part::Group(Kind::Row, cells.collect())
    }

    /// Begins a new page, with the headings of the table that goes on there; they were read out before.
    fn turn(&mut self, again: Option<&[(&str, Face)]>, widths: &[f32]) {
        self.new_page();
        let mut x = mm(MARGIN);
        for ((name, face), width) in again.unwrap_or_default().iter().zip(widths) {
            self.text(Line::new(name, *face), (x, SIZE), Role::Seen);
            x += width;
        }
        if again.is_some() {
            self.y += LEADING + GAP / 2.0;
        }
    }

    fn rule(&mut self) {
        let (left, right) = (mm(MARGIN), mm(MARGIN) + self.width());
        if let Some(area) = Rect::from_ltrb(left, self.y, right, self.y + 0.5) {
            self.page().push(Piece::Field { area, grey: 140 });
        }
        self.y += GAP / 2.0;
    }

    fn lines(&mut self, lines: Vec<Line>, at: (f32, f32), leading: f32) -> Vec<Part> {
        let mut parts = Vec::new();
        for line in lines {
            if self.y + leading > self.bottom() {
                self.new_page();
            }
            parts.push(self.text(line, at, Role::Read));
            self.y += leading;
        }
        parts
    }

    /// Writes a line where the sheet has come to; the letters stand a size below it.
    pub(super) fn text(&mut self, line: Line, (x, size): (f32, f32), role: Role) -> Part {
        let y = self.y + size;
        self.put(Piece::Text {
            x,
            y,
            size,
            line,
            role,
        })
    }

    fn page(&mut self) -> &mut Vec<Piece> {
        if self.pages.is_empty() {
            self.pages.push(Vec::new());
        }
        let last = self.pages.len() - 1;
        &mut self.pages[last]
    }

    /// Adds a part in the order of reading.
    pub(super) fn push(&mut self, part: Part) {
        self.parts.push(part);
    }

    /// Begins a new page where less than this height is left.
    pub(super) fn room(&mut self, height: f32) {
        if self.y + height > self.bottom() {
            self.new_page();
        }
    }

    fn new_page(&mut self) {
        self.pages.push(Vec::new());
        self.y = mm(MARGIN);
    }

    /// How wide the text is.
    pub(super) fn width(&self) -> f32 {
        self.size.0 - 2.0 * mm(MARGIN)
    }

    fn bottom(&self) -> f32 {
        self.size.1 - mm(MARGIN) - LEADING
    }

    /// The file, with the foot on every page.
    ///
    /// # Errors
    /// Where it would not hold what it claims to be.
    pub fn written(mut self) -> Result<Vec<u8>, PaperError> {
        if let Some(words) = lacking::numbered(&lacking::in_pages(&self.pages)) {
            self.caution(&words);
        }
        let all = self.pages.len();
        let y = self.size.1 - mm(MARGIN) + 4.0;
        let width = self.width();
        for (at, page) in self.pages.iter_mut().enumerate() {
            let number = Line::new(&format!("Page {} of {all}", at + 1), Face::Text);
            let right = mm(MARGIN) + width - number.width(8.0);
            let foot = broken(&self.foot, Face::Text, 8.0, width * 0.8);
            let foot = foot.into_iter().next().unwrap_or_default();
            for (x, line) in [(mm(MARGIN), foot), (right, number)] {
                page.push(Piece::Text {
                    x,
                    y,
                    size: 8.0,
                    line,
                    role: Role::Seen,
                });
            }
        }
        Drawn {
            title: self.title,
            at: self.at,
            size: self.size,
            pages: self.pages,
            parts: self.parts,
            outline: self.outline,
        }
        .written()
    }
}
