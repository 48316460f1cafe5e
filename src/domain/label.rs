//! Labels as they are asked for: which code, and where they are on the paper.

use super::entered::{EnteredLength, LengthUnit};
use super::{FieldErrors, PaperSize};

/// The smallest module that a phone or a plain reader reads at arm's length, in millimetres (common practice, no
/// source).
pub const SMALLEST_MODULE: f32 = 0.25;

/// Which code.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    serde::Serialize,
    serde::Deserialize,
    utoipa::ToSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum SymbolKind {
    /// ISO/IEC 18004, with medium correction: 15 % of it may be damaged.
    #[default]
    Qr,
    /// ISO/IEC 16022 (ECC 200), which fits a smaller place.
    DataMatrix,
}

impl SymbolKind {
    /// Both kinds.
    pub const ALL: [Self; 2] = [Self::Qr, Self::DataMatrix];

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::Qr => "qr",
            Self::DataMatrix => "data-matrix",
        }
    }

    /// The word for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Qr => "QR",
            Self::DataMatrix => "Data Matrix",
        }
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        let key = key.trim().to_lowercase();
        Self::ALL.into_iter().find(|kind| kind.key() == key)
    }

    /// How many modules must stay light around it: four for QR, one for Data Matrix, as the standards ask (from
    /// memory).
    pub fn quiet(self) -> usize {
        match self {
            Self::Qr => 4,
            Self::DataMatrix => 1,
        }
    }
}

/// Where labels are on the paper. Lengths are in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LabelSheet {
    /// The size of the paper.
    pub paper: (f32, f32),
    /// How many labels are side by side.
    pub across: usize,
    /// How many are below each other.
    pub down: usize,
    /// A label's width and height.
    pub label: (f32, f32),
    /// From the left and the upper edge of the paper to the first label.
    pub margin: (f32, f32),
    /// Between labels, side by side and below each other.
    pub gap: (f32, f32),
    /// How many labels of the first sheet are gone already.
    pub skip: usize,
}

impl LabelSheet {
    /// Labels on sheets.
    pub fn new(paper: PaperSize, (across, down): (usize, usize), label: (f32, f32)) -> Self {
        Self {
            paper: paper.millimetres(),
            across,
            down,
            label,
            margin: (0.0, 0.0),
            gap: (0.0, 0.0),
            skip: 0,
        }
    }

    /// One label a page, as a printer with a roll takes them.
    pub fn roll(label: (f32, f32)) -> Self {
        Self {
            paper: label,
            across: 1,
            down: 1,
            label,
            margin: (0.0, 0.0),
            gap: (0.0, 0.0),
            skip: 0,
        }
    }

    /// How many labels a sheet has.
    pub fn on_sheet(&self) -> usize {
        self.across * self.down
    }

    /// What the labels take up from the edge of the paper: width and height.
    pub fn extent(&self) -> (f32, f32) {
        #[expect(clippy::cast_precision_loss, reason = "a sheet has few labels")]
        let along = |margin: f32, n: usize, label: f32, gap: f32| {
            margin + n as f32 * label + n.saturating_sub(1) as f32 * gap
        };
        (
            along(self.margin.0, self.across, self.label.0, self.gap.0),
            along(self.margin.1, self.down, self.label.1, self.gap.1),
        )
    }

    /// The corner of the label at this place of a sheet.
    pub fn corner(&self, place: usize) -> (f32, f32) {
        let (column, row) = (place % self.across, place / self.across);
        #[expect(clippy::cast_precision_loss, reason = "a sheet has few labels")]
        let (column, row) = (column as f32, row as f32);
        (
            self.margin.0 + column * (self.label.0 + self.gap.0),
            self.margin.1 + row * (self.label.1 + self.gap.1),
        )
    }
}

/// The most labels of one file.
pub const MOST_LABELS: usize = 500;
/// The most labels side by side, and below each other.
const MOST_ALONG: usize = 50;
/// The longest side of a label, in millimetres.
const LONGEST_SIDE: f64 = 300.0;

/// Labels as typed in; lengths are texts with their unit, millimetres where none is written.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize, utoipa::ToSchema)]
#[serde(default)]
pub struct LabelDraft {
    /// The marks of the items, one a line.
    pub marks: String,
    /// `qr` or `data-matrix`.
    pub code: String,
    /// What the code holds: `address`, or `code` alone.
    pub holds: String,
    /// `a4`, `letter`, or `roll` for one label a page.
    pub paper: String,
    /// A label's width.
    pub width: String,
    /// A label's height.
    pub height: String,
    /// How many are side by side; empty is 1.
    pub across: String,
    /// How many are below each other.
    pub down: String,
    /// From the left edge of the paper to the first label.
    pub left: String,
    /// From its upper edge.
    pub top: String,
    /// Between labels side by side.
    pub gap_across: String,
    /// Between labels below each other.
    pub gap_down: String,
    /// The first label of the sheet that is still there, from 1.
    pub start: String,
}

impl Default for LabelDraft {
    fn default() -> Self {
        let text = |text: &str| text.to_owned();
        Self {
            marks: String::new(),
            code: text("qr"),
            holds: text("address"),
            paper: text("a4"),
            width: text("70 mm"),
            height: text("37 mm"),
            across: text("3"),
            down: text("8"),
            left: text("0 mm"),
            top: text("0 mm"),
            gap_across: text("0 mm"),
            gap_down: text("0 mm"),
            start: text("1"),
        }
    }
}

/// What holds of a draft.
#[derive(Clone, Debug, PartialEq)]
pub struct LabelPlan {
    /// The marks of the items.
    pub marks: Vec<String>,
    /// Which code.
    pub code: SymbolKind,
    /// The beginning of the address that the code holds; none where it holds the code alone.
    pub address: Option<String>,
    /// Where the labels are.
    pub sheet: LabelSheet,
}

impl LabelDraft {
    /// What was typed in. `public_url` is under which address people reach the server, if it was told.
    ///
    /// # Errors
    /// Every field that does not hold: labels beyond the edge of the paper among them.
    pub fn check(&self, public_url: Option<&str>) -> Result<LabelPlan, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let marks = self.marks(&mut wrong);
        let code = SymbolKind::from_key(&self.code);
        if code.is_none() {
            wrong.add(
                "code",
                "choice",
                format!("Choose qr or data-matrix, not \"{}\".", self.code),
            );
        }
        let address = match (self.holds.trim(), public_url) {
            ("code", _) => None,
            ("address", Some(url)) => Some(format!("{url}/t/")),
            ("address", None) => {
                wrong.add(
                    "holds",
                    "choice",
                    "Ropeloft does not know the address under which people reach it, so a label cannot bear it. \
                     Let it hold the code alone, or have an administrator see to the address.",
                );
                None
            }
            (other, _) => {
                wrong.add(
                    "holds",
                    "choice",
                    format!("Choose address or code, not \"{other}\"."),
                );
                None
            }
        };
        let grid = self.grid(&mut wrong);
        match (code, grid) {
            (Some(code), Some(grid)) if wrong.is_empty() => Ok(LabelPlan {
                marks,
                code,
                address,
                sheet: grid,
            }),
            _ => Err(wrong),
        }
    }

    fn marks(&self, wrong: &mut FieldErrors) -> Vec<String> {
        let lines = self.marks.lines().map(str::trim);
        let marks: Vec<String> = lines
            .filter(|line| !line.is_empty())
            .map(str::to_owned)
            .collect();
        if marks.is_empty() {
            wrong.add(
                "marks",
                "required",
                "Write the mark of an item on each line.",
            );
        }
        if marks.len() > MOST_LABELS {
            let message = format!(
                "Print at most {MOST_LABELS} labels at once; {} were given.",
                marks.len()
            );
            wrong.add("marks", "long", message);
        }
        marks
    }

    fn grid(&self, wrong: &mut FieldErrors) -> Option<LabelSheet> {
        let label = (
            length(wrong, "width", &self.width, 5.0),
            length(wrong, "height", &self.height, 5.0),
        );
        if self.paper.trim() == "roll" {
            return Some(LabelSheet::roll((label.0?, label.1?)));
        }
        let paper = PaperSize::from_key(&self.paper);
        if paper.is_none() {
            wrong.add(
                "paper",
                "choice",
                format!("Choose a4, letter or roll, not \"{}\".", self.paper),
            );
        }
        let across = number(wrong, "across", &self.across, MOST_ALONG);
        let down = number(wrong, "down", &self.down, MOST_ALONG);
        let margin = (
            length(wrong, "left", &self.left, 0.0),
            length(wrong, "top", &self.top, 0.0),
        );
        let gap = (
            length(wrong, "gap_across", &self.gap_across, 0.0),
            length(wrong, "gap_down", &self.gap_down, 0.0),
        );
        let all = across.unwrap_or(1) * down.unwrap_or(1);
        let start = number(wrong, "start", &self.start, all);
        let grid = LabelSheet {
            margin: (margin.0?, margin.1?),
            gap: (gap.0?, gap.1?),
            skip: start.unwrap_or(1) - 1,
            ..LabelSheet::new(paper?, (across?, down?), (label.0?, label.1?))
        };
        fits(wrong, &grid);
        start.map(|_| grid)
    }
}

/// Refuses labels that go beyond the edge of the paper.
fn fits(wrong: &mut FieldErrors, grid: &LabelSheet) {
    let (width, height) = grid.extent();
    // A tenth of a millimetre is what rounding in a maker's paper comes to.
    for (field, taken, paper) in [
        ("across", width, grid.paper.0),
        ("down", height, grid.paper.1),
    ] {
        if taken > paper + 0.1 {
            let message = format!(
                "The margin, the labels and the gaps take {taken:.1} mm, and the paper has {paper:.1} mm."
            );
            wrong.add(field, "range", message);
        }
    }
}

fn length(wrong: &mut FieldErrors, field: &str, text: &str, least: f64) -> Option<f32> {
    // What may be nothing may be left empty.
    if text.trim().is_empty() && least <= 0.0 {
        return Some(0.0);
    }
    let entered = EnteredLength::read(text, Some(LengthUnit::Millimetre));
    let length = wrong.keep(field, "unit", entered)?.quantity().millimetres();
    if !(least..=LONGEST_SIDE).contains(&length) {
        let message = format!("This must be from {least} to {LONGEST_SIDE} mm, not {length} mm.");
        wrong.add(field, "range", message);
        return None;
    }
    #[expect(
        clippy::cast_possible_truncation,
        reason = "hundreds of millimetres, to a thousandth"
    )]
    Some(length as f32)
}

/// A whole number; empty is 1.
fn number(wrong: &mut FieldErrors, field: &str, text: &str, most: usize) -> Option<usize> {
    let text = text.trim();
    let number = if text.is_empty() {
        Some(1)
    } else {
        text.parse().ok()
    };
    let number = number.filter(|number| (1..=most).contains(number));
    if number.is_none() {
        let message = format!("Write a whole number from 1 to {most}, not \"{text}\".");
        wrong.add(field, "range", message);
    }
    number
}
