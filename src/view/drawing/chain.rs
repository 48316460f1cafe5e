//! Chains: links in line from a body or an item to what holds it, or to the load.

use super::figure::{circle, line};
use super::frame::{Area, Point, at, step};
use super::scene::{Scene, Seen};
use super::symbol::{self, Sign};
use crate::rigging::{Bridle, Carried};

/// How far the ground reaches to each side of what stands in it.
const GROUND: f64 = 22.0;
/// The tallest that a tripod is drawn.
const TALLEST: f64 = 230.0;
/// How far a tripod's feet stand out, at least.
const FEET: f64 = 34.0;

impl Scene<'_> {
    fn sign(&self, position: usize) -> Sign {
        Sign::of(&self.plan.web.rig.positions()[position])
    }

    /// Draws positions in line; answers where the row ends. What can stretch takes what is left of `length`.
    pub fn row(&mut self, from: Point, way: Point, row: &[usize], length: Option<f64>) -> Point {
        let signs: Vec<Sign> = row.iter().map(|&position| self.sign(position)).collect();
        let plain: f64 = signs.iter().map(|sign| sign.length()).sum();
        let soft = signs.iter().filter(|sign| **sign == Sign::Sling).count();
        let more = length.map_or(0.0, |length| (length - plain).max(0.0));
        let each = more / f64::from(u32::try_from(soft).unwrap_or(1).max(1));
        let mut end = from;
        if soft == 0 && more > 0.0 {
            end = from + way * more;
            self.back.push(line("d-arm", &[from, end]));
        }
        for (&position, &sign) in row.iter().zip(&signs) {
            let stretch = if sign == Sign::Sling { each } else { 0.0 };
            let next = end + way * (sign.length() + stretch);
            self.front.extend(symbol::link(sign, end, next));
            self.keep_clear(end, next, sign.half());
            self.place(position, end.toward(next, 0.5), sign.half(), Seen::Whole);
            end = next;
        }
        end
    }

    /// What holds an anchor or an item, outwards from `from`: its links, then its legs or the ground.
    /// `wide` is how far the body reaches to each side.
    pub fn held(&mut self, from: Point, way: Point, carried: Carried, wide: (Point, Point)) {
        let rig = self.plan.web.rig;
        let mut links = self.size.links(rig, carried);
        // Chains are written from the top down; what is fast in the ground is outermost.
        let fast = |position: Option<&usize>| position.is_some_and(|&at| self.sign(at).is_fast());
        if fast(links.first()) || !fast(links.last()) {
            links.reverse();
        }
        let stand = links
            .iter()
            .position(|&at| self.sign(at) == Sign::Tripod && self.tripod(at).is_some());
        let tripod = stand.map(|at| (links[at], links.split_off(at)));
        let end = self.row(from, way, &links, None);
        if let Some((position, _)) = tripod {
            self.stand(end, position, wide);
            return;
        }
        let bridles = rig.bridles().iter().enumerate();
        let legs: Vec<(usize, &Bridle)> = bridles
            .filter(|(_, bridle)| bridle.carries() == carried)
            .collect();
        if legs.is_empty() {
            let bar = wide.0.far(wide.1) / 2.0 + 8.0;
            let (middle, half) = if links.is_empty() && bar > GROUND {
                (wide.0.toward(wide.1, 0.5), bar)
            } else {
                (end, GROUND)
            };
            let marks = symbol::ground(middle, way, half);
            self.lay(marks);
        }
        for (index, bridle) in legs {
            self.legs_of(end, index, bridle);
        }
    }

    /// Keeps labels off a link, however it is turned.
    fn keep_clear(&mut self, from: Point, to: Point, half: f64) {
        let mut gone = 0.0;
        let length = from.far(to);
        while gone <= length {
            let center = from.toward(to, gone / length.max(1.0));
            self.solid.push(Area::round(center, 2.0 * half, 2.0 * half));
            gone += 2.0 * half;
        }
    }

    fn tripod(&self, position: usize) -> Option<(usize, f64)> {
        let mut tripods = self.plan.web.rig.tripods().iter().enumerate();
        tripods
            .find(|(_, tripod)| tripod.position() == position)
            .map(|(index, tripod)| (index, tripod.off().degrees()))
    }

    /// The legs of a bridle or a line, from the point where they meet.
    fn legs_of(&mut self, node: Point, index: usize, bridle: &Bridle) {
        let before: usize = self.plan.web.rig.bridles()[..index]
            .iter()
            .map(|bridle| bridle.legs().len())
            .sum();
        let marks = vec![circle("d-node", node, 5.0)];
        self.put(marks);
        for (number, leg) in bridle.legs().iter().enumerate() {
            let off = leg.off().degrees();
            let side = if number % 2 == 0 { -1.0 } else { 1.0 };
            let way = step(side * off);
            let length = match bridle.span() {
                // To scale: half of the room is half of the span.
                Some(span) => {
                    let first = span.from_first().metres();
                    let across = span.across().metres();
                    let aside = if number == 0 { first } else { across - first };
                    self.size.room * 0.8 * aside / across / off.to_radians().sin().max(0.1)
                }
                None => self.leg_length(off, leg.positions()),
            };
            let mut row = leg.positions().to_vec();
            row.retain(|&position| self.size.shows(self.plan.web.rig, position));
            row.reverse();
            let end = self.row(node, way, &row, Some(length));
            self.note_leg(before + number, node, end);
            let marks = symbol::ground(end, way, GROUND * 0.8);
            self.lay(marks);
        }
        self.level_mark(node, bridle);
    }

    /// As long as all that hangs in it, and no wider than there is room.
    fn leg_length(&self, off: f64, row: &[usize]) -> f64 {
        let least = symbol::length_of(self.plan.web.rig, row);
        let room = self.size.room / 2.0 - 30.0;
        let aside = off.to_radians().sin().max(0.05);
        self.size.leg.min(room / aside).max(least)
    }

    /// The level between the ends of a line across a span, so that its sag is seen.
    fn level_mark(&mut self, node: Point, bridle: &Bridle) {
        let (Some(_), [.., (_, left), (_, right)]) = (bridle.span(), self.legs.as_slice()) else {
            return;
        };
        let (left, right) = (*left, *right);
        self.back.push(line("d-level", &[left, right]));
        self.back.push(line("d-level", &[at(node.x, left.y), node]));
    }

    fn note_leg(&mut self, index: usize, from: Point, to: Point) {
        let nowhere = (from, from);
        if self.legs.len() <= index {
            self.legs.resize(index + 1, nowhere);
        }
        self.legs[index] = (from, to);
    }

    /// A tripod: its head over the body, two legs at their true angle and one that leads away.
    fn stand(&mut self, foot: Point, position: usize, wide: (Point, Point)) {
        let Some((index, off)) = self.tripod(position) else {
            return;
        };
        let half = (wide.0.x - wide.1.x).abs() / 2.0 + 22.0;
        let middle = f64::midpoint(wide.0.x, wide.1.x);
        let head = at(middle, foot.y - 8.0);
        let slope = off.to_radians().tan();
        let room = ((self.size.room - 2.0 * half) / 2.0 - 8.0).max(FEET);
        let tall = (room / slope).min(TALLEST);
        let legs = self.plan.web.rig.bridles();
        let before: usize = legs.iter().map(|bridle| bridle.legs().len()).sum();
        for (side, reach, class) in [
            (-1.0, 1.0, "d-leg"),
            (1.0, 0.5, "d-leg d-behind"),
            (1.0, 1.0, "d-leg"),
        ] {
            let top = head + at(side * (half - 4.0), 0.0);
            let end = top
                + at(
                    side * slope * reach * tall,
                    tall * (1.0 - 0.06 * (1.0 - reach)),
                );
            self.back.push(line(class, &[top, end]));
            let marks = symbol::ground(end, at(0.0, 1.0), 12.0);
            self.lay(marks);
            if side < 0.0 {
                self.note_leg(before + index, top, end);
            }
        }
        let marks = vec![super::figure::shape(
            "d-plate",
            &[
                head + at(-half, -8.0),
                head + at(half, -8.0),
                head + at(half, 8.0),
                head + at(-half, 8.0),
            ],
        )];
        self.put(marks);
        self.place(position, head + at(half - 6.0, 0.0), 8.0, Seen::Whole);
    }

    /// The links below the load, and the block that stands for it.
    pub fn loaded(&mut self, from: Point, way: Point, body: usize) {
        let rig = self.plan.web.rig;
        let links = self.size.links(rig, Carried::Body(body));
        let end = self.row(from, way, &links, None);
        let (wide, high) = if self.size.is_told() {
            (118.0, 34.0)
        } else {
            (52.0, 26.0)
        };
        let top = end + way * 4.0;
        let marks = vec![line("d-line", &[end, top]), symbol::load(top, wide, high)];
        self.put(marks);
        self.load = Some(Area::across(
            top - at(wide / 2.0, 0.0),
            top + at(wide / 2.0, high),
        ));
    }
}
