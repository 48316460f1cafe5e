//! Points, boxes and turned frames of the page: x to the right, y down, in units of the picture.

use std::ops::{Add, Mul, Sub};

/// A place, or a way from one place to another.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Point {
    /// To the right.
    pub x: f64,
    /// Down.
    pub y: f64,
}

/// A point from its two numbers.
pub(super) const fn at(x: f64, y: f64) -> Point {
    Point { x, y }
}

/// One step in a direction: degrees from straight up, to the right.
pub(super) fn step(degrees: f64) -> Point {
    let (sin, cos) = degrees.to_radians().sin_cos();
    at(sin, -cos)
}

impl Point {
    /// How far it is from another.
    pub fn far(self, other: Self) -> f64 {
        (self.x - other.x).hypot(self.y - other.y)
    }

    /// The place at a share of the way to another.
    #[must_use]
    pub fn toward(self, other: Self, share: f64) -> Self {
        self + (other - self) * share
    }

    /// The way of length one in the same direction; down where there is none.
    #[must_use]
    pub fn unit(self) -> Self {
        let length = self.x.hypot(self.y);
        if length > 1e-9 {
            self * (1.0 / length)
        } else {
            at(0.0, 1.0)
        }
    }

    /// The same way, a quarter turn to the left.
    #[must_use]
    pub fn left(self) -> Self {
        at(self.y, -self.x)
    }
}

impl Add for Point {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        at(self.x + other.x, self.y + other.y)
    }
}

impl Sub for Point {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        at(self.x - other.x, self.y - other.y)
    }
}

impl Mul<f64> for Point {
    type Output = Self;
    fn mul(self, by: f64) -> Self {
        at(self.x * by, self.y * by)
    }
}

/// An upright box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Area {
    /// Its upper left corner.
    pub from: Point,
    /// Its lower right corner.
    pub to: Point,
}

impl Area {
    /// The box round a point.
    pub fn round(center: Point, wide: f64, high: f64) -> Self {
        let half = at(wide / 2.0, high / 2.0);
        Self {
            from: center - half,
            to: center + half,
        }
    }

    /// The smallest box round two points.
    pub fn across(one: Point, other: Point) -> Self {
        Self {
            from: at(one.x.min(other.x), one.y.min(other.y)),
            to: at(one.x.max(other.x), one.y.max(other.y)),
        }
    }

    /// Whether two boxes share more than an edge.
    pub fn meets(self, other: Self) -> bool {
        self.from.x < other.to.x
            && other.from.x < self.to.x
            && self.from.y < other.to.y
            && other.from.y < self.to.y
    }

    /// Whether another box lies in it.
    pub fn holds(self, other: Self) -> bool {
        self.from.x <= other.from.x
            && self.from.y <= other.from.y
            && self.to.x >= other.to.x
            && self.to.y >= other.to.y
    }

    /// The smallest box round both.
    #[must_use]
    pub fn with(self, other: Self) -> Self {
        Self {
            from: at(self.from.x.min(other.from.x), self.from.y.min(other.from.y)),
            to: at(self.to.x.max(other.to.x), self.to.y.max(other.to.y)),
        }
    }

    /// The same box with a margin around it.
    #[must_use]
    pub fn grown(self, by: f64) -> Self {
        Self {
            from: self.from - at(by, by),
            to: self.to + at(by, by),
        }
    }

    /// Its middle.
    pub fn center(self) -> Point {
        self.from.toward(self.to, 0.5)
    }

    /// How wide it is.
    pub fn wide(self) -> f64 {
        self.to.x - self.from.x
    }

    /// How high it is.
    pub fn high(self) -> f64 {
        self.to.y - self.from.y
    }

    /// Whether a straight line touches it.
    pub fn is_cut(self, one: Point, other: Point) -> bool {
        // Clips the line by one edge after the other; what is left is inside.
        let (mut low, mut high) = (0.0_f64, 1.0_f64);
        let way = other - one;
        let edges = [
            (-way.x, one.x - self.from.x),
            (way.x, self.to.x - one.x),
            (-way.y, one.y - self.from.y),
            (way.y, self.to.y - one.y),
        ];
        for (speed, room) in edges {
            if speed.abs() < 1e-12 {
                if room < 0.0 {
                    return false;
                }
            } else if speed < 0.0 {
                low = low.max(room / speed);
            } else {
                high = high.min(room / speed);
            }
        }
        low <= high
    }
}

/// A frame of its own on the page: where it begins, and which way its "up" points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Frame {
    pub origin: Point,
    /// Degrees from straight up, to the right.
    pub up: f64,
}

impl Frame {
    /// A way in the frame, as it is on the page.
    pub fn way(&self, local: Point) -> Point {
        step(self.up + 90.0) * local.x + step(self.up + 180.0) * local.y
    }

    /// A place in the frame, as it is on the page.
    pub fn place(&self, local: Point) -> Point {
        self.origin + self.way(local)
    }

    /// A place on the page, as it is in the frame.
    pub fn local(&self, place: Point) -> Point {
        let (way, right, down) = (
            place - self.origin,
            self.way(at(1.0, 0.0)),
            self.way(at(0.0, 1.0)),
        );
        at(
            way.x * right.x + way.y * right.y,
            way.x * down.x + way.y * down.y,
        )
    }
}
