//! A finished picture: lines, circles and words with their places, and how it is written as SVG.

use std::fmt::{self, Write};

use super::frame::{Area, Point, at};

/// A picture of a rig.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// A name for its parts, unique on the page.
    pub id: String,
    /// The classes of the whole, for the style sheet.
    pub class: &'static str,
    /// All that is seen.
    pub area: Area,
    /// What it is, in a few words.
    pub title: String,
    /// What it shows, in sentences.
    pub desc: String,
    /// Lines and areas in the order in which they are drawn.
    pub marks: Vec<Mark>,
    /// Words, drawn last.
    pub labels: Vec<Label>,
    /// Where every part of every rope runs, rope after rope: from the end on the side of the hand.
    pub strands: Vec<(Point, Point)>,
    /// Where every leg runs, from where legs meet: those of bridles in order, then one of each tripod.
    pub legs: Vec<(Point, Point)>,
}

/// A line or an area.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    /// A path of straight lines and arcs.
    Path {
        /// Its class in the style sheet.
        class: &'static str,
        /// Its steps.
        steps: Vec<Step>,
    },
    /// A circle.
    Circle {
        /// Its class in the style sheet.
        class: &'static str,
        /// Its middle.
        center: Point,
        /// Its radius.
        radius: f64,
    },
}

/// One step of a path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    /// Begin here.
    From(Point),
    /// A straight line.
    To(Point),
    /// Part of a circle.
    Arc {
        /// The middle of the circle.
        center: Point,
        /// Where it ends.
        to: Point,
        /// Whether it is more than half the circle.
        large: bool,
        /// Whether it goes round like the hands of a clock.
        clockwise: bool,
    },
    /// Back to the beginning.
    Close,
}

/// Words at a place.
#[derive(Clone, Debug, PartialEq)]
pub struct Label {
    /// Its class in the style sheet.
    pub class: &'static str,
    /// The box that the words keep free.
    pub area: Area,
    /// The lines, each with whether it is heavy.
    pub lines: Vec<(String, bool)>,
    /// How the lines stand in the box.
    pub align: Align,
    /// The height of letters.
    pub text: f64,
    /// What stands behind the words.
    pub back: Back,
}

/// Between a frame and the words in it.
pub(super) const FRAME: f64 = 5.0;

/// How lines stand in their box.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// From the left edge on.
    Left,
    /// In the middle.
    Middle,
    /// Up to the right edge.
    Right,
}

/// What stands behind words.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Back {
    /// The paper, so that no line runs through them.
    Paper,
    /// A disc with a rim, for a number.
    Disc,
    /// A heavy frame, so that the words stand out.
    Frame,
    /// Nothing: they stand where nothing else is.
    Nothing,
}

/// A straight path.
pub(in crate::view) fn line(class: &'static str, points: &[Point]) -> Mark {
    let mut steps: Vec<Step> = points.iter().map(|&point| Step::To(point)).collect();
    if let (Some(first), Some(&point)) = (steps.first_mut(), points.first()) {
        *first = Step::From(point);
    }
    Mark::Path { class, steps }
}

/// A closed straight path.
pub(in crate::view) fn shape(class: &'static str, points: &[Point]) -> Mark {
    let mut mark = line(class, points);
    if let Mark::Path { steps, .. } = &mut mark {
        steps.push(Step::Close);
    }
    mark
}

/// A circle.
pub(in crate::view) fn circle(class: &'static str, center: Point, radius: f64) -> Mark {
    Mark::Circle {
        class,
        center,
        radius,
    }
}

impl Mark {
    /// The box that it lies in.
    pub fn area(&self) -> Option<Area> {
        match self {
            Self::Circle { center, radius, .. } => {
                Some(Area::round(*center, 2.0 * radius, 2.0 * radius))
            }
            Self::Path { steps, .. } => steps
                .iter()
                .filter_map(|step| match *step {
                    Step::From(point) | Step::To(point) => Some(Area::across(point, point)),
                    Step::Arc { center, to, .. } => {
                        let wide = 2.0 * center.far(to);
                        Some(Area::round(center, wide, wide))
                    }
                    Step::Close => None,
                })
                .reduce(Area::with),
        }
    }
}

impl Drawing {
    /// The box round all marks and labels.
    pub fn bounds(&self) -> Area {
        let marks = self.marks.iter().filter_map(Mark::area);
        let labels = self.labels.iter().map(|label| label.area);
        let nothing = Area::across(at(0.0, 0.0), at(0.0, 0.0));
        marks.chain(labels).reduce(Area::with).unwrap_or(nothing)
    }
}

impl fmt::Display for Drawing {
    /// Writes the picture as SVG. All text is escaped.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (from, id) = (self.area.from, Escaped(&self.id));
        let (wide, high) = (Number(self.area.wide()), Number(self.area.high()));
        write!(
            f,
            "<svg class=\"{}\" viewBox=\"{} {} {wide} {high}\" width=\"{wide}\" height=\"{high}\" role=\"img\" \
             aria-labelledby=\"{id}-title",
            self.class,
            Number(from.x),
            Number(from.y),
        )?;
        if !self.desc.is_empty() {
            write!(f, " {id}-desc")?;
        }
        write!(
            f,
            "\"><title id=\"{id}-title\">{}</title>",
            Escaped(&self.title)
        )?;
        if !self.desc.is_empty() {
            write!(f, "<desc id=\"{id}-desc\">{}</desc>", Escaped(&self.desc))?;
        }
        for mark in &self.marks {
            mark.fmt(f)?;
        }
        for label in &self.labels {
            label.fmt(f)?;
        }
        f.write_str("</svg>")
    }
}

impl fmt::Display for Mark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Circle {
                class,
                center,
                radius,
            } => write!(
                f,
                "<circle class=\"{class}\" cx=\"{}\" cy=\"{}\" r=\"{}\"/>",
                Number(center.x),
                Number(center.y),
                Number(*radius)
            ),
            Self::Path { class, steps } => {
                write!(f, "<path class=\"{class}\" d=\"")?;
                for step in steps {
                    step.fmt(f)?;
                }
                f.write_str("\"/>")
            }
        }
    }
}

impl fmt::Display for Step {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {
            Self::From(to) => write!(f, "M{} {}", Number(to.x), Number(to.y)),
            Self::To(to) => write!(f, "L{} {}", Number(to.x), Number(to.y)),
            Self::Close => f.write_str("Z"),
            Self::Arc {
                center,
                to,
                large,
                clockwise,
            } => {
                let radius = Number(center.far(to));
                let (large, clockwise) = (u8::from(large), u8::from(clockwise));
                write!(
                    f,
                    "A{radius} {radius} 0 {large} {clockwise} {} {}",
                    Number(to.x),
                    Number(to.y)
                )
            }
        }
    }
}

/// One line of the words of a label.
pub(super) struct LabelRow<'a> {
    /// Where its letters stand; which end of it that is says the label's alignment.
    pub at: Point,
    /// The words.
    pub words: &'a str,
    /// Whether they are heavy.
    pub heavy: bool,
}

impl Label {
    /// Its lines, each with its place.
    pub(super) fn rows(&self) -> impl Iterator<Item = LabelRow<'_>> {
        let inset = if self.back == Back::Frame { FRAME } else { 0.0 };
        let area = self.area.grown(-inset);
        let x = match self.align {
            Align::Left => area.from.x + 2.0,
            Align::Middle => area.center().x,
            Align::Right => area.to.x - 2.0,
        };
        let lines = u32::try_from(self.lines.len()).unwrap_or(u32::MAX).max(1);
        let pace = area.high() / f64::from(lines);
        let rows = (0_u32..).zip(&self.lines);
        rows.map(move |(index, (words, heavy))| {
            // Letters stand on their line, so that they are in the middle of their row.
            let y = area.from.y + pace * (f64::from(index) + 0.5) + self.text * 0.35;
            LabelRow {
                at: at(x, y),
                words,
                heavy: *heavy,
            }
        })
    }
}

impl fmt::Display for Label {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let area = self.area;
        match self.back {
            Back::Nothing => {}
            Back::Paper | Back::Frame => write!(
                f,
                "<rect class=\"{}\" x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"/>",
                if self.back == Back::Paper {
                    "d-back"
                } else {
                    "d-frame"
                },
                Number(area.from.x),
                Number(area.from.y),
                Number(area.wide()),
                Number(area.high())
            )?,
            Back::Disc => circle("d-disc", area.center(), area.high() / 2.0).fmt(f)?,
        }
        let anchor = match self.align {
            Align::Left => "start",
            Align::Middle => "middle",
            Align::Right => "end",
        };
        for row in self.rows() {
            write!(
                f,
                "<text class=\"{}{}\" x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"{anchor}\">{}</text>",
                self.class,
                if row.heavy { " d-heavy" } else { "" },
                Number(row.at.x),
                Number(row.at.y),
                Number(self.text),
                Escaped(row.words)
            )?;
        }
        Ok(())
    }
}

/// A number with at most one digit behind the point; what is no number is nothing.
struct Number(f64);

impl fmt::Display for Number {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let tenths = if self.0.is_finite() {
            (self.0 * 10.0).round() + 0.0
        } else {
            0.0
        };
        write!(f, "{}", tenths / 10.0)
    }
}

/// Text that stays text inside an element or an attribute.
struct Escaped<'a>(&'a str);

impl fmt::Display for Escaped<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for c in self.0.chars() {
            match c {
                '&' => f.write_str("&amp;")?,
                '<' => f.write_str("&lt;")?,
                '>' => f.write_str("&gt;")?,
                '"' => f.write_str("&quot;")?,
                '\'' => f.write_str("&#39;")?,
                // No other sign below the blank is a sign of XML.
                c if c < ' ' => f.write_char(' ')?,
                c => f.write_char(c)?,
            }
        }
        Ok(())
    }
}
