//! The signs for links, devices, knots, hands, anchors and the load. Each has a shape of its own.

use super::figure::{Mark, Step, circle, line, shape};
use super::frame::{Point, at};
use crate::rigging::{Position, Rig};

/// What a position looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sign {
    Connector,
    Sling,
    Swivel,
    Plate,
    Anchor,
    Tripod,
    Clamp,
    Brake,
    Harness,
    Other,
}

impl Sign {
    /// The sign for what a position takes first.
    pub fn of(position: &Position) -> Self {
        match position.accepts().first().map(String::as_str) {
            Some("connector") => Self::Connector,
            Some("sling" | "lanyard" | "rope") => Self::Sling,
            Some("swivel") => Self::Swivel,
            Some("rigging plate") => Self::Plate,
            Some("anchor device") => Self::Anchor,
            Some("tripod") => Self::Tripod,
            Some("rope clamp" | "back-up device") => Self::Clamp,
            Some("descender") => Self::Brake,
            Some("harness" | "litter") => Self::Harness,
            _ => Self::Other,
        }
    }

    /// Whether it ends a chain: what stands there stands in rock, steel or ground.
    pub fn is_fast(self) -> bool {
        matches!(self, Self::Anchor | Self::Tripod)
    }

    /// How much of a chain it takes.
    pub fn length(self) -> f64 {
        match self {
            Self::Connector => 26.0,
            Self::Sling => 36.0,
            Self::Swivel | Self::Clamp | Self::Brake => 24.0,
            Self::Plate | Self::Anchor | Self::Other => 20.0,
            Self::Tripod => 16.0,
            Self::Harness => 28.0,
        }
    }

    /// Half of how wide it is.
    pub fn half(self) -> f64 {
        match self {
            Self::Connector | Self::Sling | Self::Swivel => 7.0,
            Self::Plate => 16.0,
            Self::Harness => 15.0,
            _ => 10.0,
        }
    }
}

/// How long so many positions in line are.
pub(super) fn length_of(rig: &Rig, positions: &[usize]) -> f64 {
    let signs = positions
        .iter()
        .map(|&index| Sign::of(&rig.positions()[index]));
    signs.map(Sign::length).sum()
}

/// A long rounded box from one point to another.
fn capsule(class: &'static str, from: Point, to: Point, half: f64) -> Mark {
    let way = (to - from).unit();
    let side = way.left() * half;
    let (a, b) = (from + way * half, to - way * half);
    let steps = vec![
        Step::From(a - side),
        Step::To(b - side),
        Step::Arc {
            center: b,
            to: b + side,
            large: false,
            clockwise: false,
        },
        Step::To(a + side),
        Step::Arc {
            center: a,
            to: a - side,
            large: false,
            clockwise: false,
        },
        Step::Close,
    ];
    Mark::Path { class, steps }
}

/// A box along a way, `half` to each side.
fn bar(class: &'static str, from: Point, to: Point, half: f64) -> Mark {
    let side = (to - from).unit().left() * half;
    shape(class, &[from + side, to + side, to - side, from - side])
}

/// A link between two points of a chain, drawn over both ends a little, as links hold each other.
pub(super) fn link(sign: Sign, from: Point, to: Point) -> Vec<Mark> {
    let way = (to - from).unit();
    let side = way.left();
    let mid = from.toward(to, 0.5);
    let (a, b) = (from - way * 2.5, to + way * 2.5);
    match sign {
        Sign::Connector => vec![
            capsule("d-link", a, b, 6.0),
            // The gate, with its sleeve.
            line(
                "d-gate",
                &[mid + side * 6.0 - way * 5.0, mid + side * 6.0 + way * 4.0],
            ),
        ],
        Sign::Sling => {
            let stitch = |along: f64| {
                let middle = mid + way * along;
                line("d-thin", &[middle - side * 4.5, middle + side * 4.5])
            };
            let mut marks = vec![capsule("d-link", a, b, 4.5)];
            marks.extend([-4.0, 0.0, 4.0].map(stitch));
            marks
        }
        Sign::Swivel => vec![
            capsule("d-link", a, mid - way, 5.5),
            capsule("d-link", mid + way, b, 5.5),
            circle("d-ink", mid, 3.5),
        ],
        Sign::Plate => plate(from, to),
        Sign::Anchor => vec![
            line("d-line", &[from.toward(to, 0.55), to]),
            bar("d-ink", to - way * 5.0, to, 9.0),
            circle("d-ring", from + way * 5.0, 6.0),
        ],
        Sign::Harness => harness(from, to),
        Sign::Tripod => vec![bar("d-plate", from, to, 10.0)],
        Sign::Clamp | Sign::Brake | Sign::Other => vec![bar("d-plate", from, to, 9.0)],
    }
}

/// A rigging plate with its holes.
fn plate(from: Point, to: Point) -> Vec<Mark> {
    let way = (to - from).unit();
    let side = way.left();
    let edge = [
        from - side * 7.0 - way,
        from + side * 7.0 - way,
        to + side * 16.0 + way,
        to - side * 16.0 + way,
    ];
    let mut marks = vec![
        shape("d-plate", &edge),
        circle("d-hole", from + way * 4.5, 2.4),
    ];
    let low = to - way * 4.0;
    marks.extend([-9.5, 0.0, 9.5].map(|aside| circle("d-hole", low + side * aside, 2.4)));
    marks
}

/// A harness or litter: a ring, and straps that spread from it.
fn harness(from: Point, to: Point) -> Vec<Mark> {
    let way = (to - from).unit();
    let side = way.left();
    let top = from + way * 8.0;
    let edge = [
        top - side * 6.0,
        top + side * 6.0,
        to + side * 15.0,
        to - side * 15.0,
    ];
    vec![
        circle("d-ring", from + way * 4.0, 4.0),
        shape("d-plate", &edge),
        line("d-thin", &[top, to]),
    ]
}

/// A rope grab or clamp on a strand that runs along `way`.
pub(super) fn grab(center: Point, way: Point, captures: bool) -> Vec<Mark> {
    let side = way.left();
    let (a, b) = (center - way * 12.0, center + way * 12.0);
    let mut marks = vec![bar("d-plate", a, b, 9.0)];
    if captures {
        // A cam that lets the rope through one way.
        marks.push(shape(
            "d-ink",
            &[
                center + side * 7.0 - way * 7.0,
                center + side * 7.0 + way * 7.0,
                center - side * 3.0 + way * 2.0,
            ],
        ));
        marks.push(line("d-thin", &[a - side * 3.0, b - side * 3.0]));
    } else {
        // Teeth on both sides of the rope.
        for share in [-0.6, -0.2, 0.2, 0.6] {
            let tooth = center + way * (12.0 * share);
            marks.push(line(
                "d-line",
                &[
                    tooth - side * 6.0 - way * 2.0,
                    tooth,
                    tooth + side * 6.0 - way * 2.0,
                ],
            ));
        }
    }
    marks
}

/// The cam of a captured sheave, against the strand at `rope`; held, it is black and touches.
pub(super) fn cam(axle: Point, rope: Point, holds: bool) -> Vec<Mark> {
    let inward = (axle - rope).unit();
    let along = inward.left();
    let tip = rope + inward * if holds { 1.5 } else { 5.0 };
    let back = tip + inward * 10.0;
    vec![
        line("d-thin", &[axle, back]),
        shape(
            if holds { "d-ink" } else { "d-plate" },
            &[
                tip - along * 8.0,
                tip + along * 8.0,
                back + along * 3.0,
                back - along * 3.0,
            ],
        ),
    ]
}

/// A sheave with its axle.
pub(super) fn sheave(center: Point, radius: f64) -> Vec<Mark> {
    vec![
        circle("d-wheel", center, radius - 3.0),
        circle("d-rim", center, radius * 0.62),
    ]
}

/// A cheek from the axle to where the sheave hangs.
pub(super) fn cheek(axle: Point, to: Point) -> Vec<Mark> {
    let way = (to - axle).unit();
    vec![
        bar("d-plate", axle - way * 5.0, to, 4.5),
        circle("d-ink", axle, 2.6),
    ]
}

/// A figure eight at the end of a strand; `way` leads from the end into the rope.
pub(super) fn knot(end: Point, way: Point) -> Vec<Mark> {
    vec![
        circle("d-knot", end + way * 5.0, 4.6),
        circle("d-knot", end + way * 13.6, 4.0),
    ]
}

/// A hand that holds a strand; `way` leads from the hand into the rope.
pub(super) fn hand(end: Point, way: Point) -> Vec<Mark> {
    let side = way.left();
    let mut marks = vec![bar("d-plate", end - way * 9.0, end + way * 9.0, 11.0)];
    for along in [-4.5, 0.0, 4.5] {
        let finger = end + way * along;
        marks.push(line("d-line", &[finger - side * 11.0, finger + side * 3.0]));
    }
    marks
}

/// What an anchor stands in: a line across `way`, with short strokes behind it.
pub(super) fn ground(center: Point, way: Point, half: f64) -> Vec<Mark> {
    let side = way.left();
    let mut marks = vec![line(
        "d-line",
        &[center - side * half, center + side * half],
    )];
    let mut across = -half + 2.0;
    while across < half - 1.0 {
        let foot = center + side * across;
        marks.push(line("d-thin", &[foot, foot + way * 7.0 + side * 6.0]));
        across += 8.0;
    }
    marks
}

/// The tip of an arrow in a strand, along `way`.
pub(super) fn arrow(center: Point, way: Point) -> Mark {
    let side = way.left();
    shape(
        "d-arrow",
        &[
            center + way * 7.0,
            center - way * 6.0 + side * 6.5,
            center - way * 3.0,
            center - way * 6.0 - side * 6.5,
        ],
    )
}

/// The block that stands for the load.
pub(super) fn load(top: Point, wide: f64, high: f64) -> Mark {
    let half = wide / 2.0;
    shape(
        "d-load",
        &[
            top + at(-half, 0.0),
            top + at(half, 0.0),
            top + at(half, high),
            top + at(-half, high),
        ],
    )
}
