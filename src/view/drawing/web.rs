//! What hangs together: every part of every rope, and the groups of parts that run along one line.
//!
//! A rope that turns back over a sheave stays in its group; one that is turned aside begins another.
//! Whatever meets the same moving body is in one group, so each group can be drawn as strands side by
//! side, turned as a whole to its own angle.

use crate::rigging::{Body, BodyKind, Element, Rig};

/// How far two lines may be apart, in degrees, and still count as one.
const SAME: f64 = 1e-6;

/// How a rope goes on beyond something that it meets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Bend {
    /// In the same line.
    On,
    /// Back the way it came, one column aside.
    Back,
    /// In another line.
    Aside,
}

/// How far round an element the rope goes, in degrees.
pub(super) fn wrap(element: &Element) -> f64 {
    match element {
        Element::Sheave { between, .. } => 180.0 - between.degrees(),
        Element::Post { wrap, .. } => wrap.degrees(),
        _ => 0.0,
    }
}

/// How the rope goes on beyond an element.
pub(super) fn bend(element: &Element) -> Bend {
    let turned = wrap(element).rem_euclid(360.0);
    if !(SAME..=360.0 - SAME).contains(&turned) {
        Bend::On
    } else if (turned - 180.0).abs() < SAME {
        Bend::Back
    } else {
        Bend::Aside
    }
}

/// The body that an element is part of; a hand has none.
pub(super) fn body_of(rig: &Rig, element: &Element) -> Option<usize> {
    match element {
        Element::End { body, .. } => Some(*body),
        _ => rig.positions()[element.position()?].body(),
    }
}

/// One part of a rope.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Strand {
    pub rope: usize,
    /// Number of the part, from 0 at the hand; also the index of the element on the side of the hand.
    pub part: usize,
    /// Which way it runs towards the hand: degrees from straight up, to the right.
    pub line: f64,
    pub group: usize,
}

/// Every part of a rig, rope after rope.
pub(super) struct Web<'a> {
    pub rig: &'a Rig,
    pub strands: Vec<Strand>,
    first: Vec<usize>,
}

impl<'a> Web<'a> {
    pub fn new(rig: &'a Rig) -> Self {
        let mut web = Self {
            rig,
            strands: Vec::new(),
            first: Vec::new(),
        };
        for (rope, reeved) in rig.ropes().iter().enumerate() {
            web.first.push(web.strands.len());
            for part in 0..reeved.path().len().saturating_sub(1) {
                let line = rig.line_of(rope, part).map_or(0.0, |line| line.degrees());
                let group = web.strands.len();
                web.strands.push(Strand {
                    rope,
                    part,
                    line,
                    group,
                });
            }
        }
        web.join();
        web
    }

    /// Index of a strand.
    pub fn index(&self, rope: usize, part: usize) -> usize {
        self.first[rope] + part
    }

    /// The path of a rope.
    pub fn path(&self, rope: usize) -> &'a [Element] {
        self.rig.ropes()[rope].path()
    }

    /// The strands on the two sides of an element: that towards the hand, and that beyond it.
    pub fn beside(&self, rope: usize, element: usize) -> (Option<usize>, Option<usize>) {
        let last = self.path(rope).len() - 1;
        let near = element.checked_sub(1).map(|part| self.index(rope, part));
        let far = (element < last).then(|| self.index(rope, element));
        (near, far)
    }

    /// The body that an element is part of.
    pub fn body(&self, rope: usize, element: usize) -> Option<usize> {
        body_of(self.rig, &self.path(rope)[element])
    }

    /// The group that carries the load.
    pub fn main(&self) -> usize {
        let on_load = self.strands.iter().find(|strand| {
            let ends = [strand.part, strand.part + 1];
            let bodies = ends.map(|element| self.body(strand.rope, element));
            bodies
                .into_iter()
                .flatten()
                .any(|body| self.rig.bodies()[body].kind() == BodyKind::Load)
        });
        on_load.map_or(0, |strand| strand.group)
    }

    /// Which way "up" is in a group: along the line of its travelling bodies, else away from `joint`.
    pub fn up(&self, group: usize, joint: f64) -> f64 {
        let own = self.strands.iter().filter(|strand| strand.group == group);
        let moving = own
            .flat_map(|strand| [strand.part, strand.part + 1].map(|at| (strand.rope, at)))
            .filter_map(|(rope, element)| self.body(rope, element))
            .map(|body| &self.rig.bodies()[body])
            .find(|body| body.kind() != BodyKind::Anchor);
        moving.map_or(joint, |body: &Body| body.line().degrees())
    }

    /// Gives every strand the number of its group.
    fn join(&mut self) {
        let mut joined: Vec<(usize, usize)> = Vec::new();
        let mut met: Vec<Option<usize>> = vec![None; self.rig.bodies().len()];
        for (rope, reeved) in self.rig.ropes().iter().enumerate() {
            for (at, element) in reeved.path().iter().enumerate() {
                let (near, far) = self.beside(rope, at);
                if let (Some(near), Some(far), Bend::On | Bend::Back) = (near, far, bend(element)) {
                    joined.push((near, far));
                }
                let Some(body) = self.body(rope, at) else {
                    continue;
                };
                if self.rig.bodies()[body].kind() == BodyKind::Anchor {
                    continue;
                }
                for strand in near.into_iter().chain(far) {
                    let first = *met[body].get_or_insert(strand);
                    joined.push((first, strand));
                }
            }
        }
        for (one, other) in joined {
            let (keep, drop) = (self.strands[one].group, self.strands[other].group);
            for strand in &mut self.strands {
                if strand.group == drop {
                    strand.group = keep;
                }
            }
        }
    }

    /// The rows of strands of a group that follow each other in one rope.
    pub fn ribbons(&self, group: usize) -> Vec<Ribbon> {
        let mut ribbons: Vec<Ribbon> = Vec::new();
        for (index, strand) in self.strands.iter().enumerate() {
            if strand.group != group {
                continue;
            }
            let on = &self.path(strand.rope)[strand.part];
            match ribbons.last_mut() {
                Some(ribbon)
                    if ribbon.rope == strand.rope
                        && ribbon.first + ribbon.columns.len() == index
                        && bend(on) != Bend::Aside =>
                {
                    let last = ribbon.columns.last().copied().unwrap_or(0);
                    let turned = usize::from(bend(on) == Bend::Back);
                    ribbon.columns.push(last + turned);
                }
                _ => ribbons.push(Ribbon {
                    rope: strand.rope,
                    first: index,
                    columns: vec![0],
                }),
            }
        }
        ribbons
    }
}

/// Strands side by side that follow each other in one rope.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Ribbon {
    pub rope: usize,
    /// Index of its first strand, on the side of the hand.
    pub first: usize,
    /// The column of each strand, from 0.
    pub columns: Vec<usize>,
}
