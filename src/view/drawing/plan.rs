//! Every group in its place: where each thing stands on the page, and where each strand runs.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use super::frame::{Frame, Point, at, step};
use super::group::{Group, Met};
use super::size::Size;
use super::web::{Bend, Web, bend};
use crate::rigging::Element;

/// The share of a pitch that a post has for its radius where the rope goes on in its line.
const POST: f64 = 0.36;

/// Where something stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spot {
    pub center: Point,
    /// How far from its middle the rope runs round it; nothing where the rope runs through.
    pub radius: f64,
}

/// A rig laid out.
pub(super) struct Plan<'a> {
    pub web: &'a Web<'a>,
    pub groups: Vec<(Group<'a>, Frame)>,
    pub spots: BTreeMap<Met, Spot>,
    /// The two ends of every strand, that towards the hand first.
    pub runs: Vec<(Point, Point)>,
}

impl<'a> Plan<'a> {
    pub fn new(web: &'a Web<'a>, size: &'a Size) -> Self {
        let mut plan = Self {
            web,
            groups: Vec::new(),
            spots: BTreeMap::new(),
            runs: vec![(at(0.0, 0.0), at(0.0, 0.0)); web.strands.len()],
        };
        let mut turned: BTreeSet<Met> = BTreeSet::new();
        let mut done: BTreeSet<usize> = BTreeSet::new();
        let mut waiting = VecDeque::from([(web.main(), None)]);
        // A rig hangs together, so the first group leads to all; any other would stand on its own.
        waiting.extend(web.strands.iter().map(|strand| (strand.group, None)));
        while let Some((number, joint)) = waiting.pop_front() {
            if !done.insert(number) {
                continue;
            }
            let (group, frame) = plan.placed(size, number, joint, &turned);
            let asides = plan.stand(&group, &frame);
            for &met in asides.iter().rev() {
                turned.insert(met);
                let (near, far) = web.beside(met.0, met.1);
                for strand in near.into_iter().chain(far) {
                    waiting.push_front((web.strands[strand].group, Some((met, strand))));
                }
            }
            plan.groups.push((group, frame));
        }
        plan.touch_turned(&turned);
        plan
    }

    /// A group with its frame, so that the strand at a joint meets the sheave there.
    fn placed(
        &self,
        size: &'a Size,
        number: usize,
        joint: Option<(Met, usize)>,
        turned: &BTreeSet<Met>,
    ) -> (Group<'a>, Frame) {
        let outward = joint.map_or(0.0, |(met, strand)| {
            let strand = self.web.strands[strand];
            if met.1 == strand.part {
                strand.line + 180.0
            } else {
                strand.line
            }
        });
        let up = joint.map_or(0.0, |_| self.web.up(number, outward));
        let group = Group::new(self.web, size, number, up, turned);
        let mut frame = Frame {
            origin: at(0.0, 0.0),
            up,
        };
        if let Some((met, strand)) = joint {
            let column = group.column.get(&strand).copied().unwrap_or(0.0);
            let local = at(column, group.depth(met));
            frame.origin = self.tangent(met, strand) - frame.way(local);
        }
        (group, frame)
    }

    /// Where a strand leaves a sheave that turns it aside: all such bends go the same way round.
    fn tangent(&self, met: Met, strand: usize) -> Point {
        let Some(spot) = self.spots.get(&met) else {
            return at(0.0, 0.0);
        };
        spot.center - step(self.web.strands[strand].line).left() * spot.radius
    }

    /// Puts what a group meets, and its strands, on the page; answers the sheaves that turn aside.
    fn stand(&mut self, group: &Group, frame: &Frame) -> Vec<Met> {
        let mut asides = Vec::new();
        for &met in &group.met {
            let element = group.element(met);
            let (near, far) = group.beside(met);
            let columns = [near, far].map(|strand| Some(*group.column.get(&strand?)?));
            let depth = match (element, near.or(far)) {
                (Element::Hand, Some(strand)) => hand_depth(group, strand),
                _ => group.depth(met),
            };
            let column = match columns {
                [Some(near), Some(far)] => f64::midpoint(near, far),
                [one, other] => one.or(other).unwrap_or(0.0),
            };
            let half = group.pitch() / 2.0;
            let base = frame.place(at(column, depth));
            // What turns the rope aside, or lets it go on round a post, stands to the left of its way.
            let aside = |radius: f64| {
                let strand = far.or(near).unwrap_or(0);
                let line = group.web.strands[strand].line;
                Spot {
                    center: base + step(line).left() * radius,
                    radius,
                }
            };
            let spot = match bend(element) {
                Bend::Aside => {
                    asides.push(met);
                    aside(half)
                }
                Bend::Back => Spot {
                    center: base,
                    radius: half,
                },
                Bend::On if matches!(element, Element::Post { .. }) => aside(POST * group.pitch()),
                Bend::On => Spot {
                    center: base,
                    radius: 0.0,
                },
            };
            self.spots.insert(met, spot);
            for (strand, column) in [(near, columns[0]), (far, columns[1])] {
                if let (Some(strand), Some(column)) = (strand, column) {
                    let end = frame.place(at(column, depth));
                    self.set_end(strand, met.1, end);
                }
            }
        }
        asides
    }

    fn set_end(&mut self, strand: usize, element: usize, end: Point) {
        if self.web.strands[strand].part == element {
            self.runs[strand].0 = end;
        } else {
            self.runs[strand].1 = end;
        }
    }

    /// Every strand at a sheave that turns it aside touches the sheave.
    fn touch_turned(&mut self, turned: &BTreeSet<Met>) {
        for &met in turned {
            let (near, far) = self.web.beside(met.0, met.1);
            for strand in near.into_iter().chain(far) {
                let end = self.tangent(met, strand);
                self.set_end(strand, met.1, end);
            }
        }
    }
}

/// How deep a hand holds its strand: beside the load or the anchor, wherever it pulls to.
fn hand_depth(group: &Group, strand: usize) -> f64 {
    let gap = group.size.gap;
    let found = group.web.strands[strand];
    let met = group.depth((found.rope, found.part + 1));
    let levels = || group.level.values().copied();
    if group.rises(strand) {
        let top = levels().fold(f64::INFINITY, f64::min);
        (met - gap - group.pitch()).min(top + 14.0)
    } else {
        let end = levels().fold(f64::NEG_INFINITY, f64::max);
        (met + gap).max(end - 36.0)
    }
}
