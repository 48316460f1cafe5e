//! Charts: bars that count and values over time, drawn here and read without a script.
//!
//! A chart is drawn twice, for a desk and paper and for a phone, by the same signs as every other drawing. What a
//! part is, is told by its pattern and in the key, never by a colour alone; what it shows is told in words for those
//! who do not see it; and the page that shows one has a table with every number below it.

mod bars;
mod course;
mod scale;

use askama::Template;

use super::{
    drawing::{Align, Area, Back, Drawing, Fit, Label, Mark, Point, line, wide},
    part::html_parts,
};
use scale::Scale;

pub use bars::{Bar, Bars};
pub use course::{Course, Level, Measured};

/// A chart on a page.
#[derive(Clone, Debug, Template)]
#[template(path = "part/chart.html")]
pub struct Chart {
    /// For a desk and for paper.
    pub wide: Drawing,
    /// For a phone.
    pub narrow: Drawing,
    /// What each sign means: its class, and the words.
    pub key: Vec<(Sign, String)>,
    /// A sentence below it.
    pub caption: String,
}

html_parts!(Chart);

/// A sign in the key of a chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sign {
    /// A part of a bar, by its place from below.
    Part(usize),
    /// A measured value.
    Value,
    /// A measured value beyond its limit.
    Beyond,
    /// The line that joins the means.
    Mean,
    /// A limit.
    Limit,
    /// A number on record, to compare with.
    Level,
}

/// The classes of the parts of a bar, from below.
const PARTS: [&str; 3] = ["c-full", "c-half", "c-open"];

impl Sign {
    /// The class in the style sheet.
    pub fn class(self) -> &'static str {
        match self {
            Self::Part(part) => PARTS[part % PARTS.len()],
            Self::Value => "c-value",
            Self::Beyond => "c-beyond",
            Self::Mean => "c-mean",
            Self::Limit => "c-limit",
            Self::Level => "c-level",
        }
    }

    /// Its shape in a box of 24 by 16.
    pub fn path(self) -> &'static str {
        match self {
            Self::Part(_) => "M4 2h16v12H4Z",
            Self::Value => "M16 8a4 4 0 1 0-8 0a4 4 0 1 0 8 0Z",
            Self::Beyond => "M7 3l10 10M17 3L7 13",
            Self::Mean | Self::Limit | Self::Level => "M1 8h22",
        }
    }
}

/// A point of the page.
const fn at(x: f64, y: f64) -> Point {
    Point { x, y }
}

/// The paper that a chart is drawn on: its size, and how large letters are.
struct Paper {
    wide: f64,
    high: f64,
    text: f64,
    marks: Vec<Mark>,
    labels: Vec<Label>,
    /// Where values are drawn.
    plot: Area,
}

impl Paper {
    /// Empty paper with the scale at its left: what is measured stands above it.
    fn new(fit: Fit, up: &Scale, measured: &str) -> Self {
        let (across, high, text) = match fit {
            Fit::Wide => (704.0, 280.0, 14.0),
            Fit::Narrow | Fit::Small => (330.0, 240.0, 13.0),
        };
        let ticks = up.ticks();
        let widest = ticks.iter().map(|tick| wide(&up.words(*tick), text));
        let left = widest.fold(0.0, f64::max) + 8.0;
        // Above the plot stand what is measured and, below that, the number of a bar of full height.
        let plot = Area::across(at(left, text * 2.7), at(across - 6.0, high - text * 1.9));
        let mut paper = Self {
            wide: across,
            high,
            text,
            marks: Vec::new(),
            labels: Vec::new(),
            plot,
        };
        paper.word(at(0.0, text * 0.6), measured, Align::Left);
        for tick in ticks {
            let y = paper.height(up, tick);
            let ends = [at(plot.from.x, y), at(plot.to.x, y)];
            paper.marks.push(line("c-grid", &ends));
            paper.word(at(left - 4.0, y), &up.words(tick), Align::Right);
        }
        paper
    }

    /// Where a value stands.
    fn height(&self, up: &Scale, value: f64) -> f64 {
        self.plot.to.y - up.share(value) * self.plot.high()
    }

    /// Words whose middle, or left or right end, is at a place.
    fn word(&mut self, place: Point, words: &str, align: Align) {
        let across = wide(words, self.text) + 4.0;
        let x = match align {
            Align::Left => place.x,
            Align::Middle => place.x - across / 2.0,
            Align::Right => place.x - across,
        };
        let from = at(
            x.min(self.wide - across).max(0.0),
            place.y - self.text * 0.6,
        );
        self.labels.push(Label {
            class: "c-word",
            area: Area::across(from, at(from.x + across, from.y + self.text * 1.2)),
            lines: vec![(words.to_owned(), false)],
            align,
            text: self.text,
            back: Back::Nothing,
        });
    }

    /// A name below the plot.
    fn below(&mut self, x: f64, words: &str) {
        let y = self.plot.to.y + self.text * 1.1;
        self.word(at(x, y), words, Align::Middle);
    }

    /// The finished picture.
    fn drawn(self, fit: Fit, id: &str, title: &str, desc: &str) -> Drawing {
        Drawing {
            id: format!("{id}-{}", if fit == Fit::Wide { "wide" } else { "narrow" }),
            class: match fit {
                Fit::Wide => "drawing is-wide",
                Fit::Narrow | Fit::Small => "drawing is-narrow",
            },
            area: Area::across(at(0.0, 0.0), at(self.wide, self.high)),
            title: title.to_owned(),
            desc: desc.to_owned(),
            marks: self.marks,
            labels: self.labels,
            strands: Vec::new(),
            legs: Vec::new(),
        }
    }
}
