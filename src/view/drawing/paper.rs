//! A drawing for paper: the same marks and words, with the strokes that the style sheet gives them on a page.

use super::figure::{Align, Back, Drawing, Label, Mark, Step, circle};
use super::frame::{Area, Point};
use crate::domain::{Picture, PictureLine, PictureMark, PictureStep, PictureWords};

/// The paper.
const WHITE: u8 = 255;
/// What is sunk.
const PALE: u8 = 225;

/// How a class is drawn: its line, and the grey of its area.
type Look = (Option<PictureLine>, Option<u8>);

fn stroke(wide: f32, dash: &[f32]) -> PictureLine {
    PictureLine {
        wide,
        grey: 0,
        dash: dash.to_vec(),
    }
}

/// The look of one class of the style sheet.
fn look_of(class: &str, look: Look) -> Look {
    let (line, area) = look;
    let wide = |wide: f32| Some(stroke(wide, line.as_ref().map_or(&[], |line| &line.dash)));
    let dashed = |wide: f32, dash: &[f32]| Some(stroke(wide, dash));
    match class {
        "d-rope" | "d-free" => (wide(4.0), area),
        "d-wide" | "d-bar" => (wide(6.0), area),
        "d-slack" => (
            dashed(line.map_or(4.0, |line| line.wide), &[9.0, 7.0]),
            area,
        ),
        "d-core" => {
            let core = PictureLine {
                wide: 2.6,
                grey: WHITE,
                dash: Vec::new(),
            };
            (Some(core), area)
        }
        "d-beads" => (dashed(3.4, &[3.4, 4.0]), area),
        "d-bars" => (dashed(6.4, &[2.4, 8.0]), area),
        "d-line" => (wide(1.8), area),
        "d-thin" => (wide(1.0), area),
        "d-arm" | "d-gate" => (wide(3.0), area),
        "d-yoke" => (wide(9.0), area),
        "d-leg" => (wide(5.0), area),
        "d-behind" => (wide(2.5), area),
        "d-level" => (dashed(1.0, &[2.0, 4.0]), area),
        "d-lead" => (wide(0.9), area),
        "d-link" | "d-ring" => (wide(2.2), area),
        "d-knot" => (wide(2.2), Some(WHITE)),
        "d-plate" | "d-wheel" | "d-disc" => (wide(1.6), Some(WHITE)),
        "d-rim" => (wide(0.8), area),
        "d-ink" | "d-post" | "d-node" | "d-arrow" => (None, Some(0)),
        "d-hole" => (wide(1.2), Some(WHITE)),
        "d-load" => (wide(2.4), Some(PALE)),
        "d-back" => (None, Some(WHITE)),
        "d-frame" => (wide(2.0), Some(WHITE)),
        "d-weak" => (wide(2.4), area),
        _ => (line, area),
    }
}

fn look(classes: &str) -> Look {
    let classes = classes.split_whitespace();
    classes.fold((None, None), |look, class| look_of(class, look))
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "a place on paper needs no more digits"
)]
fn pair(point: Point) -> (f32, f32) {
    (point.x as f32, point.y as f32)
}

impl Drawing {
    /// The picture for paper.
    pub fn on_paper(&self) -> Picture {
        let from = self.area.from;
        let mut marks: Vec<PictureMark> =
            self.marks.iter().map(|mark| marked(mark, from)).collect();
        let backs = self.labels.iter().filter_map(behind);
        marks.extend(backs.map(|mark| marked(&mark, from)));
        let words = self.labels.iter().flat_map(|label| worded(label, from));
        let told = [self.title.as_str(), self.desc.as_str()];
        let told: Vec<&str> = told.into_iter().filter(|text| !text.is_empty()).collect();
        Picture {
            size: pair(self.area.to - from),
            told: told.join(". "),
            marks,
            words: words.collect(),
        }
    }
}

fn marked(mark: &Mark, from: Point) -> PictureMark {
    let (class, steps) = match mark {
        Mark::Path { class, steps } => (class, path(steps, from)),
        Mark::Circle {
            class,
            center,
            radius,
        } => (class, round(*center - from, *radius)),
    };
    let (line, area) = look(class);
    PictureMark { steps, line, area }
}

fn path(steps: &[Step], from: Point) -> Vec<PictureStep> {
    let (mut all, mut at) = (Vec::new(), Point::default());
    for step in steps {
        match *step {
            Step::From(to) => all.push(PictureStep::From(pair(to - from))),
            Step::To(to) => all.push(PictureStep::To(pair(to - from))),
            Step::Close => all.push(PictureStep::Close),
            Step::Arc {
                center,
                to,
                large,
                clockwise,
            } => {
                let turn = turn((center, at), to, large, clockwise);
                all.extend(arc(center - from, at - from, turn));
            }
        }
        if let Step::From(to) | Step::To(to) | Step::Arc { to, .. } = *step {
            at = to;
        }
    }
    all
}

/// By how much an arc turns, in radians; like the hands of a clock is more than nothing.
fn turn((center, at): (Point, Point), to: Point, large: bool, clockwise: bool) -> f64 {
    use std::f64::consts::{PI, TAU};
    let angle = |point: Point| (point.y - center.y).atan2(point.x - center.x);
    // The page's y runs down, so that a growing angle goes like the hands of a clock.
    let forward = (angle(to) - angle(at)).rem_euclid(TAU);
    let turn = if clockwise { forward } else { forward - TAU };
    // A half turn is both large and small; one that is off by rounding is taken as it was meant.
    if (turn.abs() > PI) == large || (turn.abs() - PI).abs() < 1e-6 {
        turn
    } else if clockwise {
        turn - TAU
    } else {
        turn + TAU
    }
}

/// An arc as curves of at most a quarter turn each: handles of 4/3 tan(a/4) radii, off by less than 0.03 % of the
/// radius.
fn arc(center: Point, at: Point, turn: f64) -> Vec<PictureStep> {
    let pieces = (turn.abs() / std::f64::consts::FRAC_PI_2).ceil().max(1.0);
    let one = turn / pieces;
    let handle = 4.0 / 3.0 * (one / 4.0).tan();
    let rotated = |way: Point, angle: f64| {
        let (sin, cos) = angle.sin_cos();
        Point {
            x: way.x * cos - way.y * sin,
            y: way.x * sin + way.y * cos,
        }
    };
    let (mut all, mut way) = (Vec::new(), at - center);
    let mut left = pieces;
    while left > 0.0 {
        let next = rotated(way, one);
        let side = |way: Point| Point {
            x: -way.y,
            y: way.x,
        };
        let first = center + way + side(way) * handle;
        let second = center + next - side(next) * handle;
        all.push(PictureStep::Curve(
            pair(first),
            pair(second),
            pair(center + next),
        ));
        way = next;
        left -= 1.0;
    }
    all
}

fn round(center: Point, radius: f64) -> Vec<PictureStep> {
    let start = center + Point { x: radius, y: 0.0 };
    let mut steps = vec![PictureStep::From(pair(start))];
    steps.extend(arc(center, start, std::f64::consts::TAU));
    steps.push(PictureStep::Close);
    steps
}

/// What stands behind words.
fn behind(label: &Label) -> Option<Mark> {
    let Area { from, to } = label.area;
    let class = match label.back {
        Back::Nothing => return None,
        Back::Paper => "d-back",
        Back::Frame => "d-frame",
        Back::Disc => {
            let radius = label.area.high() / 2.0;
            return Some(circle("d-disc", label.area.center(), radius));
        }
    };
    let corner = |x: f64, y: f64| Point { x, y };
    let corners = [from, corner(to.x, from.y), to, corner(from.x, to.y)];
    Some(super::shape(class, &corners))
}

fn worded(label: &Label, from: Point) -> Vec<PictureWords> {
    label
        .rows()
        .map(|row| PictureWords {
            at: pair(row.at - from),
            along: match label.align {
                Align::Left => 0.0,
                Align::Middle => 0.5,
                Align::Right => 1.0,
            },
            size: pair(Point {
                x: label.text,
                y: 0.0,
            })
            .0,
            words: row.words.to_owned(),
            heavy: row.heavy,
        })
        .collect()
}
