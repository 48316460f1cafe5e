//! What is drawn so far: marks in layers, what labels must keep clear of, and where each position is.

use std::collections::BTreeMap;

use super::figure::Mark;
use super::frame::{Area, Point};
use super::plan::Plan;
use super::size::Size;

/// The marks of a picture, and what the labels need to know of them.
pub(super) struct Scene<'a> {
    pub plan: &'a Plan<'a>,
    pub size: &'a Size,
    /// Ground, legs, bars and wheels, behind the ropes.
    pub back: Vec<Mark>,
    /// The ropes.
    pub ropes: Vec<Mark>,
    /// Cheeks, links, devices, knots and hands, before the ropes.
    pub front: Vec<Mark>,
    /// What no label may cover.
    pub solid: Vec<Area>,
    /// Where the item at each position is seen; the first place is the one that is pointed at.
    pub places: BTreeMap<usize, Vec<Place>>,
    /// Every leg: those of bridles in order, then one of each tripod.
    pub legs: Vec<(Point, Point)>,
    /// What holds each anchor, where its force can be written.
    pub holds: Vec<(usize, Point)>,
    /// The block of the load, if there is one yet.
    pub load: Option<Area>,
    /// Whether the capture holds the load.
    pub holds_by_capture: bool,
}

/// Where an item is seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Place {
    pub center: Point,
    /// How far it reaches from there.
    pub radius: f64,
    /// What it is of the item.
    pub seen: Seen,
}

/// What of an item is seen at a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Seen {
    /// The whole of it.
    Whole,
    /// Its becket.
    Becket,
}

impl<'a> Scene<'a> {
    pub fn new(plan: &'a Plan<'a>, size: &'a Size) -> Self {
        Self {
            plan,
            size,
            back: Vec::new(),
            ropes: Vec::new(),
            front: Vec::new(),
            solid: Vec::new(),
            places: BTreeMap::new(),
            legs: Vec::new(),
            holds: Vec::new(),
            load: None,
            holds_by_capture: false,
        }
    }

    /// Draws in front of the ropes what no label may cover.
    pub fn put(&mut self, marks: Vec<Mark>) {
        let areas = marks.iter().filter_map(Mark::area);
        self.solid.extend(areas.reduce(Area::with));
        self.front.extend(marks);
    }

    /// Draws behind the ropes what no label may cover.
    pub fn lay(&mut self, marks: Vec<Mark>) {
        let areas = marks.iter().filter_map(Mark::area);
        self.solid.extend(areas.reduce(Area::with));
        self.back.extend(marks);
    }

    /// The box round all that is drawn.
    pub fn art(&self) -> Area {
        let marks = self.back.iter().chain(&self.ropes).chain(&self.front);
        let nothing = Area::across(Point::default(), Point::default());
        marks
            .filter_map(Mark::area)
            .reduce(Area::with)
            .unwrap_or(nothing)
    }

    /// Notes where an item is seen.
    pub fn place(&mut self, position: usize, center: Point, radius: f64, seen: Seen) {
        let place = Place {
            center,
            radius,
            seen,
        };
        self.places.entry(position).or_default().push(place);
    }
}
