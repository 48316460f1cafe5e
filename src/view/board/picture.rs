//! The bars of the due board: one line a week or a month, each bar made of a part for each group.

use askama::Template;

use super::{super::part::html_parts, due_href, ends_href, letter};
use crate::domain::{Board, Group, Line, Stretch};

/// For what a picture is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// A desk, and paper.
    Wide,
    /// A phone: every line is as high as a finger is wide.
    Narrow,
}

/// How a picture is laid out, in its own units.
struct Plan {
    width: f64,
    row: f64,
    /// Where bars begin.
    left: f64,
    /// Room for the number behind the longest bar.
    right: f64,
}

impl Fit {
    fn plan(self) -> Plan {
        match self {
            Self::Wide => Plan {
                width: 560.0,
                row: 30.0,
                left: 150.0,
                right: 56.0,
            },
            Self::Narrow => Plan {
                width: 350.0,
                row: 48.0,
                left: 134.0,
                right: 48.0,
            },
        }
    }
}

/// A part of a bar.
#[derive(Clone, Debug)]
struct Piece {
    href: String,
    words: String,
    class: &'static str,
    x: String,
    width: String,
    /// The letter of its group, where there is room.
    letter: Option<(String, String)>,
}

/// One line of the picture.
#[derive(Clone, Debug)]
struct BarRow {
    label: String,
    top: String,
    height: String,
    /// Where the words stand.
    base: String,
    pieces: Vec<Piece>,
    /// The number behind the bar: where it stands, what it says, where it leads.
    sum: Option<(String, u64, String)>,
    rule: String,
}

/// The picture.
#[derive(Clone, Debug, Template)]
#[template(path = "board/bars.html")]
pub struct Bars {
    class: &'static str,
    width: f64,
    height: f64,
    left: f64,
    rows: Vec<BarRow>,
}

html_parts!(Bars);

/// The narrowest part that its letter fits into.
const LETTER_ROOM: f64 = 18.0;
/// The narrowest part that is seen.
const SEEN: f64 = 3.0;

impl Bars {
    /// Lines of a board. Below a line stands another for the lives that end in it, where any do.
    pub fn new(board: &Board, lines: &[&Line], fit: Fit) -> Self {
        let plan = fit.plan();
        let most = lines
            .iter()
            .flat_map(|line| [line.all_due(), line.all_ends()]);
        let most = most.max().unwrap_or(0).max(1);
        let mut rows = Vec::new();
        for line in lines {
            let due = Series {
                counts: &line.due,
                class: ["b-due", "b-due b-other"],
                of: ["examination due", "examinations due"],
                href: due_href,
            };
            due.push(&mut rows, (board, line), (label(line.stretch), most), &plan);
            if line.all_ends() > 0 && line.stretch != Stretch::Never {
                let ends = Series {
                    counts: &line.ends,
                    class: ["b-end", "b-end"],
                    of: match line.stretch {
                        Stretch::Over => ["life is over", "lives are over"],
                        _ => ["life ends", "lives end"],
                    },
                    href: ends_href,
                };
                ends.push(
                    &mut rows,
                    (board, line),
                    (format!("\u{2514} {}", ends.word(line.all_ends())), most),
                    &plan,
                );
            }
        }
        Self {
            class: match fit {
                Fit::Wide => "bars is-wide",
                Fit::Narrow => "bars is-narrow",
            },
            width: plan.width,
            height: plan.row * count(rows.len()),
            left: plan.left,
            rows,
        }
    }
}

/// One of the two things that are counted.
struct Series<'a> {
    counts: &'a [u64],
    /// The style of every other group.
    class: [&'static str; 2],
    /// What they are, of one and of several.
    of: [&'static str; 2],
    href: fn(&Board, &Line, Option<&Group>) -> String,
}

impl Series<'_> {
    fn word(&self, count: u64) -> &'static str {
        self.of[usize::from(count != 1)]
    }

    fn push(
        &self,
        rows: &mut Vec<BarRow>,
        (board, line): (&Board, &Line),
        (label, most): (String, u64),
        plan: &Plan,
    ) {
        let top = plan.row * count(rows.len());
        let scale = (plan.width - plan.left - plan.right) / whole(most);
        let base = top + plan.row / 2.0 + 5.0;
        let mut x = plan.left;
        let mut pieces = Vec::new();
        for (at, (group, counted)) in board.groups.iter().zip(self.counts).enumerate() {
            if *counted == 0 {
                continue;
            }
            let width = (whole(*counted) * scale).max(SEEN);
            let mark = letter(at);
            let middle = place(x + width / 2.0);
            let room = LETTER_ROOM * count(mark.len()).sqrt();
            pieces.push(Piece {
                href: (self.href)(board, line, Some(group)),
                words: format!("{mark} {}: {counted} {}", group.name, self.word(*counted)),
                class: self.class[at % 2],
                x: place(x),
                width: place(width),
                letter: (width >= room).then_some((middle, mark)),
            });
            x += width;
        }
        let sum = self.counts.iter().sum();
        rows.push(BarRow {
            label,
            top: place(top + 3.0),
            height: place(plan.row - 6.0),
            base: place(base),
            pieces,
            sum: (sum > 0).then(|| (place(x + 6.0), sum, (self.href)(board, line, None))),
            rule: place(top + plan.row),
        });
    }
}

/// What stands before a line.
fn label(stretch: Stretch) -> String {
    let days = stretch.days().map(|days| days.from.to_string());
    let days = days.unwrap_or_default();
    match stretch {
        Stretch::Over => "overdue".to_owned(),
        Stretch::Never => "never examined".to_owned(),
        Stretch::Week(_) => format!("from {days}"),
        Stretch::Month(_) => days.chars().take(7).collect(),
        Stretch::Later(_) => "later".to_owned(),
    }
}

fn place(value: f64) -> String {
    format!("{value:.1}")
}

fn whole(count: u64) -> f64 {
    // A picture needs no more than four thousand million.
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}

fn count(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap_or(u32::MAX))
}
