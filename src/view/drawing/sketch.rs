//! A picture put together by hand, for what is no rig: one sheave, an angle, a fall. Its signs are those of
//! the drawing of a rig, so that both read alike.

use super::cord::turns;
use super::figure::{Align, Back, Drawing, Mark, Step, circle, line};
use super::frame::{Area, Point, at, step};
use super::label::Words;
use super::size::{Fit, Size};
use super::{MARGIN, symbol};

/// A place in a sketch: to the right and down.
pub type Spot = (f64, f64);

/// A picture in the making.
pub struct Sketch {
    size: Size,
    drawing: Drawing,
}

fn point((x, y): Spot) -> Point {
    at(x, y)
}

impl Sketch {
    /// A picture without anything in it. `id` must be unique on the page.
    pub fn new(id: &str, title: &str) -> Self {
        let nothing = at(0.0, 0.0);
        Self {
            size: Size::new(Fit::Narrow, 1.0, Vec::new()),
            drawing: Drawing {
                id: id.to_owned(),
                class: "drawing is-sketch",
                area: Area::across(nothing, nothing),
                title: title.to_owned(),
                desc: String::new(),
                marks: Vec::new(),
                labels: Vec::new(),
                strands: Vec::new(),
                legs: Vec::new(),
            },
        }
    }

    fn with(mut self, marks: impl IntoIterator<Item = Mark>) -> Self {
        self.drawing.marks.extend(marks);
        self
    }

    /// A rope from place to place.
    #[must_use]
    pub fn rope(mut self, spots: &[Spot]) -> Self {
        let points: Vec<Point> = spots.iter().copied().map(point).collect();
        let strands = points.windows(2).map(|pair| (pair[0], pair[1]));
        self.drawing.strands.extend(strands);
        self.with([line("d-rope", &points)])
    }

    /// A thin line with strokes, for a level, an upright or a measure.
    #[must_use]
    pub fn level(self, from: Spot, to: Spot) -> Self {
        self.with([line("d-level", &[point(from), point(to)])])
    }

    /// A rope round a sheave, in degrees from straight up, to the right.
    #[must_use]
    pub fn bow(self, center: Spot, radius: f64, (from, to): (f64, f64)) -> Self {
        self.with([arc("d-rope", point(center), radius, (from, to))])
    }

    /// A rope that goes round a post again and again, from where it meets it.
    #[must_use]
    pub fn turns(self, center: Spot, meets: Spot, degrees: f64) -> Self {
        let steps = [Step::From(point(meets))];
        let round = turns(point(center), point(meets), degrees, true);
        self.with([Mark::Path {
            class: "d-rope",
            steps: steps.into_iter().chain(round).collect(),
        }])
    }

    /// A sheave and the cheek that it hangs by.
    #[must_use]
    pub fn sheave(self, center: Spot, radius: f64, hangs_at: Spot) -> Self {
        let center = point(center);
        self.with(symbol::sheave(center, radius))
            .with(symbol::cheek(center, point(hangs_at)))
    }

    /// A bar that stands still, seen from its end.
    #[must_use]
    pub fn post(self, center: Spot, radius: f64) -> Self {
        self.with([circle("d-post", point(center), radius)])
    }

    /// What holds: ground or steel across a way that leads into it.
    #[must_use]
    pub fn ground(self, center: Spot, way: Spot, half: f64) -> Self {
        self.with(symbol::ground(point(center), point(way).unit(), half))
    }

    /// The hand on a rope that leads away to a place.
    #[must_use]
    pub fn hand(self, end: Spot, rope_to: Spot) -> Self {
        let way = (point(rope_to) - point(end)).unit();
        self.with(symbol::hand(point(end), way))
    }

    /// The load, with its weight in it; it hangs from the middle of its upper edge.
    #[must_use]
    pub fn load(self, top: Spot, words: &str) -> Self {
        let (wide, high) = (self.size.wide(words) + 18.0, self.size.text * 2.2);
        self.with([symbol::load(point(top), wide, high)]).label(
            (top.0, top.1 + high / 2.0),
            words,
            Back::Nothing,
        )
    }

    /// A bar that joins what hangs on it.
    #[must_use]
    pub fn bar(self, from: Spot, to: Spot) -> Self {
        self.with([line("d-bar", &[point(from), point(to)])])
    }

    /// A force that acts at a place, along a way: a heavy line with a tip.
    #[must_use]
    pub fn force(self, from: Spot, to: Spot) -> Self {
        let (from, to) = (point(from), point(to));
        self.with([line("d-arm", &[from, to])])
            .with([symbol::arrow(to, (to - from).unit())])
    }

    /// The tip of an arrow in a rope that runs from one place to another.
    #[must_use]
    pub fn runs(self, from: Spot, to: Spot) -> Self {
        let (from, to) = (point(from), point(to));
        self.with([symbol::arrow(from.toward(to, 0.5), (to - from).unit())])
    }

    /// An angle between two ways, in degrees from straight up, to the right, with its words outside it.
    #[must_use]
    pub fn angle(self, corner: Spot, radius: f64, (from, to): (f64, f64), words: &str) -> Self {
        let half = step(f64::midpoint(from, to));
        let (wide, high) = Words::line("d-word", words.to_owned(), false).extent(&self.size);
        let out = radius + 4.0 + half.x.abs() * wide / 2.0 + half.y.abs() * high / 2.0;
        let middle = point(corner) + half * out;
        self.with([arc("d-line", point(corner), radius, (from, to))])
            .word((middle.x, middle.y), words)
    }

    /// A length between two places, with a tick at each.
    #[must_use]
    pub fn measure(self, from: Spot, to: Spot) -> Self {
        let (from, to) = (point(from), point(to));
        let side = (to - from).unit().left() * 5.0;
        self.with([
            line("d-thin", &[from, to]),
            line("d-thin", &[from - side, from + side]),
            line("d-thin", &[to - side, to + side]),
        ])
    }

    /// Words in the middle of a place, on the paper.
    #[must_use]
    pub fn word(self, center: Spot, words: &str) -> Self {
        self.label(center, words, Back::Paper)
    }

    fn label(mut self, center: Spot, words: &str, back: Back) -> Self {
        let words = Words {
            back,
            ..Words::line("d-word", words.to_owned(), true)
        };
        let (wide, high) = words.extent(&self.size);
        let area = Area::round(point(center), wide, high);
        let label = words.at(area, &self.size, Align::Middle);
        self.drawing.labels.push(label);
        self
    }

    /// The finished picture with what it shows, in sentences.
    #[must_use]
    pub fn told(mut self, desc: String) -> Drawing {
        self.drawing.desc = desc;
        self.drawing.area = self.drawing.bounds().grown(MARGIN);
        self.drawing
    }
}

/// Part of a circle, in degrees from straight up, to the right.
fn arc(class: &'static str, center: Point, radius: f64, (from, to): (f64, f64)) -> Mark {
    Mark::Path {
        class,
        steps: vec![
            Step::From(center + step(from) * radius),
            Step::Arc {
                center,
                to: center + step(to) * radius,
                large: (to - from).abs() > 180.0,
                clockwise: to > from,
            },
        ],
    }
}
