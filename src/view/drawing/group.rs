//! One group of strands in a frame of its own: how high each body stands, and in which column each
//! strand runs. `u` is to the right in the frame, `v` is down.

use std::collections::{BTreeMap, BTreeSet};

use super::order;
use super::size::Size;
use super::symbol;
use super::web::{Bend, Ribbon, Web, bend};
use crate::rigging::{BodyKind, Carried, Element, Rig};

/// How far beyond the rim of its sheaves a block's yoke lies.
pub(super) const YOKE: f64 = 8.0;
/// The room that a device takes on a strand, above and below.
const DEVICE: f64 = 14.0;
/// Between two things of one body that follow each other on a strand.
const APART: f64 = 104.0;

/// Where one of two things that follow each other on a strand stands beside the other.
struct Away {
    /// Whether the strand leads away from the bar that both hang from, so that the farther one moves.
    is_outward: bool,
    /// How far below the bar the one stands that stays.
    base: f64,
    /// Whether the other one stands below (1) or above (-1) it.
    side: f64,
}

/// What strands run between.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Node {
    /// A body with what is on it.
    Body(usize),
    /// A sheave that is drawn in another group: rope and element.
    Joint(usize, usize),
}

/// A rope and one thing that it meets.
pub(super) type Met = (usize, usize);

/// A group of strands with its layout.
pub(super) struct Group<'a> {
    pub web: &'a Web<'a>,
    pub size: &'a Size,
    pub strands: Vec<usize>,
    /// Which way "up" is here, in degrees from straight up.
    pub up: f64,
    /// What is met here: everything but sheaves that another group draws.
    pub met: BTreeSet<Met>,
    /// How deep the bar of each body lies.
    pub level: BTreeMap<Node, f64>,
    /// How far below the bar of its body a thing stands.
    pub offset: BTreeMap<Met, f64>,
    /// Where each strand runs.
    pub column: BTreeMap<usize, f64>,
}

impl<'a> Group<'a> {
    /// Lays out a group; sheaves that stand in `drawn` are drawn elsewhere.
    pub fn new(
        web: &'a Web<'a>,
        size: &'a Size,
        number: usize,
        up: f64,
        drawn: &BTreeSet<Met>,
    ) -> Self {
        let own = web.strands.iter().enumerate();
        let strands: Vec<usize> = own
            .filter(|(_, strand)| strand.group == number)
            .map(|(index, _)| index)
            .collect();
        let ends = strands.iter().flat_map(|&index| {
            let strand = web.strands[index];
            [strand.part, strand.part + 1].map(|element| (strand.rope, element))
        });
        let met = ends.filter(|met| !drawn.contains(met)).collect();
        let mut group = Self {
            web,
            size,
            strands,
            up,
            met,
            level: BTreeMap::new(),
            offset: BTreeMap::new(),
            column: BTreeMap::new(),
        };
        group.set_offsets();
        group.set_levels(&[]);
        let ribbons = web.ribbons(number);
        group.column = order::columns(&group, &ribbons);
        group.part_bodies();
        group
    }

    /// The rig.
    pub fn rig(&self) -> &'a Rig {
        self.web.rig
    }

    /// Whether a strand goes up on its way to the hand.
    pub fn rises(&self, strand: usize) -> bool {
        (self.web.strands[strand].line - self.up).to_radians().cos() > 0.0
    }

    /// What is met.
    pub fn element(&self, (rope, element): Met) -> &'a Element {
        &self.web.path(rope)[element]
    }

    /// The own strands at an element: that towards the hand, and that beyond it.
    pub fn beside(&self, (rope, element): Met) -> (Option<usize>, Option<usize>) {
        let own = |strand: &usize| self.strands.binary_search(strand).is_ok();
        let (near, far) = self.web.beside(rope, element);
        (near.filter(own), far.filter(own))
    }

    /// Whether the strand that pulls on an element goes down from it.
    pub fn hangs(&self, met: Met) -> bool {
        match self.beside(met) {
            (_, Some(far)) => self.rises(far),
            (Some(near), None) => !self.rises(near),
            (None, None) => true,
        }
    }

    /// What an element stands on; a hand stands on nothing.
    pub fn node(&self, met: Met) -> Option<Node> {
        match self.web.body(met.0, met.1) {
            Some(body) if self.met.contains(&met) => Some(Node::Body(body)),
            Some(_) => Some(Node::Joint(met.0, met.1)),
            None => None,
        }
    }

    /// How deep something stands.
    pub fn depth(&self, met: Met) -> f64 {
        let bar = self.node(met).and_then(|node| self.level.get(&node));
        bar.copied().unwrap_or(0.0) + self.offset.get(&met).copied().unwrap_or(0.0)
    }

    /// What is met on a body here.
    pub fn on(&self, body: usize) -> impl Iterator<Item = Met> {
        let here = self.met.iter().copied();
        here.filter(move |&met| self.node(met) == Some(Node::Body(body)))
    }

    /// Whether a body is held or pulled from below here, so that what holds it goes up.
    pub fn is_pulled_down(&self, body: usize) -> bool {
        let (down, all) = self.on(body).fold((0, 0), |(down, all), met| {
            (down + usize::from(self.hangs(met)), all + 1)
        });
        2 * down >= all
    }

    /// The bodies that are met here.
    pub fn bodies(&self) -> Vec<usize> {
        let nodes = self.level.keys();
        nodes
            .filter_map(|node| match node {
                Node::Body(body) => Some(*body),
                Node::Joint(..) => None,
            })
            .collect()
    }

    /// How long the links are that the item at a position hangs in.
    fn links(&self, position: usize) -> f64 {
        symbol::length_of(
            self.rig(),
            &self.size.links(self.rig(), Carried::Position(position)),
        )
    }

    /// Whether an item's place here is that of a link: a rope's end is tied to it and nothing else.
    pub fn is_link(&self, position: usize) -> bool {
        let mut elements = self
            .rig()
            .ropes()
            .iter()
            .flat_map(|rope| rope.path())
            .filter(|element| element.position() == Some(position));
        elements.all(|element| matches!(element, Element::End { becket: false, .. }))
    }

    fn set_offsets(&mut self) {
        let met: Vec<Met> = self.met.iter().copied().collect();
        let radius = self.size.pitch / 2.0;
        let of_wheels = |body: Option<usize>, hangs: bool| {
            let here = met.iter().filter(|&&at| {
                self.web.body(at.0, at.1) == body
                    && self.hangs(at) == hangs
                    && bend(self.element(at)) != Bend::On
            });
            here.filter_map(|&at| self.element(at).position())
                .map(|position| self.links(position))
                .fold(0.0, f64::max)
                + YOKE
                + radius
        };
        let mut offsets = BTreeMap::new();
        for &at in &met {
            let element = self.element(at);
            let side = if self.hangs(at) { 1.0 } else { -1.0 };
            let body = self.web.body(at.0, at.1);
            let deep = match element {
                Element::Hand => continue,
                Element::End {
                    position: Some(position),
                    ..
                } if self.is_link(*position) => {
                    let own = symbol::length_of(self.rig(), &[*position]);
                    own + self.links(*position)
                }
                Element::End {
                    position: Some(_), ..
                } => of_wheels(body, self.hangs(at)),
                Element::End { .. } => 0.0,
                _ if bend(element) != Bend::On => of_wheels(body, self.hangs(at)),
                _ => element
                    .position()
                    .map(|position| self.links(position))
                    .filter(|&links| links > 0.0)
                    .map_or(0.0, |links| links + DEVICE),
            };
            offsets.insert(at, side * deep);
        }
        self.offset = offsets;
        self.part_neighbours();
    }

    /// Two things of one body that follow each other on a strand stand apart along it, the second of them farther away
    /// from the bar that both hang from.
    fn part_neighbours(&mut self) {
        for at in 0..self.strands.len() {
            if let Some((_, far, away)) = self.neighbours(at).filter(|(.., away)| away.is_outward) {
                self.offset.insert(far, away.base + away.side * APART);
            }
        }
        for at in (0..self.strands.len()).rev() {
            if let Some((near, _, away)) = self.neighbours(at).filter(|(.., away)| !away.is_outward)
            {
                self.offset.insert(near, away.base + away.side * APART);
            }
        }
    }

    /// Two things of one body that follow each other on a strand: that towards the hand and that beyond it, and which
    /// of them goes where.
    fn neighbours(&self, at: usize) -> Option<(Met, Met, Away)> {
        let strand = self.strands[at];
        let (rope, part) = (self.web.strands[strand].rope, self.web.strands[strand].part);
        let (near, far) = ((rope, part), (rope, part + 1));
        let same = self.node(near).is_some() && self.node(near) == self.node(far);
        let (&near_base, &far_base) = (self.offset.get(&near)?, self.offset.get(&far)?);
        let onward = if self.rises(strand) { 1.0 } else { -1.0 };
        let is_outward = near_base * onward > 0.0 && far_base * onward > 0.0;
        same.then_some((
            near,
            far,
            Away {
                is_outward,
                base: if is_outward { near_base } else { far_base },
                side: if is_outward { onward } else { -onward },
            },
        ))
    }

    /// How far a node reaches above and below its bar.
    fn reach(&self, node: Node) -> (f64, f64) {
        let Node::Body(body) = node else {
            return (0.0, 0.0);
        };
        let radius = self.size.pitch / 2.0;
        let (mut above, mut below) = (0.0_f64, 0.0_f64);
        for met in self.on(body) {
            let offset = self.offset.get(&met).copied().unwrap_or(0.0);
            let round = match bend(self.element(met)) {
                Bend::On if matches!(self.element(met), Element::End { .. }) => 0.0,
                Bend::On => DEVICE,
                _ => radius,
            };
            above = above.max(round - offset);
            below = below.max(round + offset);
        }
        if self.rig().bodies()[body].kind() == BodyKind::Load {
            let links = self.size.links(self.rig(), Carried::Body(body));
            below += symbol::length_of(self.rig(), &links) + 44.0;
        }
        (above, below)
    }

    /// Sinks every node as deep as the strands above it and `more` ask for, and no deeper.
    fn set_levels(&mut self, more: &[(Node, Node)]) {
        let mut asked: Vec<(Node, Node, f64)> = Vec::new();
        let mut level: BTreeMap<Node, f64> = BTreeMap::new();
        for &strand in &self.strands {
            let (rope, part) = (self.web.strands[strand].rope, self.web.strands[strand].part);
            let (near, far) = (self.node((rope, part)), self.node((rope, part + 1)));
            for node in near.into_iter().chain(far) {
                level.insert(node, 0.0);
            }
            if let (Some(near), Some(far)) = (near, far)
                && near != far
            {
                let (upper, lower) = if self.rises(strand) {
                    (near, far)
                } else {
                    (far, near)
                };
                asked.push((upper, lower, self.size.gap));
            }
        }
        asked.extend(more.iter().map(|&(upper, lower)| (upper, lower, DEVICE)));
        // No way through the nodes is longer than there are nodes; a circle is cut off there.
        for _ in 0..level.len() {
            for &(upper, lower, gap) in &asked {
                let from = level.get(&upper).copied().unwrap_or(0.0);
                let least = from + self.reach(upper).1 + gap + self.reach(lower).0;
                let depth = level.entry(lower).or_insert(0.0);
                *depth = depth.max(least);
            }
        }
        self.level = level;
    }

    /// The columns that the bar of a body spans.
    pub fn span(&self, body: usize) -> Option<(f64, f64)> {
        let mut span: Option<(f64, f64)> = None;
        for met in self.on(body) {
            let (near, far) = self.beside(met);
            for strand in near.into_iter().chain(far) {
                let Some(&column) = self.column.get(&strand) else {
                    continue;
                };
                let (low, high) = span.unwrap_or((column, column));
                span = Some((low.min(column), high.max(column)));
            }
        }
        span
    }

    /// Moves bodies down that would stand in each other.
    fn part_bodies(&mut self) {
        let mut more: Vec<(Node, Node)> = Vec::new();
        let bodies = self.bodies();
        for _ in 0..bodies.len() {
            let before = more.len();
            for (index, &one) in bodies.iter().enumerate() {
                for &other in &bodies[index + 1..] {
                    let pair = (Node::Body(one), Node::Body(other));
                    if self.collide(one, other) && !more.contains(&pair) {
                        more.push(pair);
                    }
                }
            }
            if more.len() == before {
                return;
            }
            self.set_levels(&more);
        }
    }

    fn collide(&self, one: usize, other: usize) -> bool {
        let (Some(a), Some(b)) = (self.span(one), self.span(other)) else {
            return false;
        };
        let beside = self.size.pitch / 2.0;
        let range = |body: usize| {
            let bar = self.level.get(&Node::Body(body)).copied().unwrap_or(0.0);
            let (above, below) = self.reach(Node::Body(body));
            (bar - above, bar + below)
        };
        let (p, q) = (range(one), range(other));
        a.0 < b.1 + beside && b.0 < a.1 + beside && p.0 < q.1 + 4.0 && q.0 < p.1 + 4.0
    }

    /// The ribbon's columns are given in pitches; this is how wide one is.
    pub fn pitch(&self) -> f64 {
        self.size.pitch
    }

    /// Whether a turned sheave at an end of a ribbon takes a column to the left (-1) or right (1) of it.
    pub fn overhang(&self, ribbon: &Ribbon) -> Vec<(usize, f64)> {
        let mut taken = Vec::new();
        for (at, _) in ribbon.columns.iter().enumerate() {
            let strand = ribbon.first + at;
            let (rope, part) = (self.web.strands[strand].rope, self.web.strands[strand].part);
            for element in [part, part + 1] {
                let is_turned = bend(self.element((rope, element))) == Bend::Aside;
                if is_turned && self.met.contains(&(rope, element)) {
                    let left = self.rises(strand);
                    taken.push((at, if left { -1.0 } else { 1.0 }));
                }
            }
        }
        taken
    }
}
