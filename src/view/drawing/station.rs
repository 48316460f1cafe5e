//! Bodies: the bar that joins all that is on one body, what hangs from it and what holds it.

use std::collections::BTreeMap;

use super::figure::line;
use super::frame::{Frame, Point, at};
use super::group::{Group, Met, Node};
use super::scene::Scene;
use super::symbol;
use super::web::{Bend, bend};
use crate::rigging::{BodyKind, Carried, Duty, Element};

/// How near a strand may run to what holds a body.
const CLEAR: f64 = 15.0;

/// A body as it is seen in one group.
pub(super) struct Station<'a> {
    pub group: &'a Group<'a>,
    pub frame: Frame,
    pub body: usize,
    /// How deep its bar lies.
    pub bar: f64,
    /// Where something is joined to the bar.
    pub joins: Vec<f64>,
    /// A lone sheave that turns the rope aside hangs in the line of its pull: from where, and which way.
    pub lean: Option<(Point, Point)>,
}

/// Draws all bodies of all groups.
pub(super) fn draw(scene: &mut Scene) {
    let plan = scene.plan;
    let mut held = vec![false; plan.web.rig.bodies().len()];
    for (group, frame) in &plan.groups {
        for body in group.bodies() {
            let bar = group.level.get(&Node::Body(body)).copied().unwrap_or(0.0);
            let mut station = Station {
                group,
                frame: *frame,
                body,
                bar,
                joins: Vec::new(),
                lean: None,
            };
            station.items(scene);
            station.hold(scene, !held[body]);
            held[body] = true;
        }
    }
}

impl Station<'_> {
    pub fn page(&self, u: f64, v: f64) -> Point {
        self.frame.place(at(u, v))
    }

    /// Where something stands in the frame.
    pub fn local(&self, scene: &Scene, met: Met) -> Point {
        let spot = scene.plan.spots.get(&met);
        spot.map_or(at(0.0, 0.0), |spot| self.frame.local(spot.center))
    }

    /// Everything on this body, by position and by the side of the bar.
    fn items(&mut self, scene: &mut Scene) {
        let mut items: BTreeMap<(usize, bool), Vec<Met>> = BTreeMap::new();
        for met in self.group.on(self.body) {
            match self.group.element(met) {
                Element::End { position: None, .. } => self.end_at_body(scene, met),
                element => {
                    if let Some(position) = element.position() {
                        let hangs = self.side_of(met, position);
                        items.entry((position, hangs)).or_default().push(met);
                    }
                }
            }
        }
        for ((position, hangs), elements) in items {
            let wheels: Vec<Met> = elements
                .iter()
                .copied()
                .filter(|&met| bend(self.group.element(met)) != Bend::On)
                .collect();
            if !wheels.is_empty() {
                self.block(scene, position, hangs, &elements);
            } else if self.group.is_link(position) {
                self.tied_link(scene, position, hangs, &elements);
            } else {
                self.devices(scene, position, hangs, &elements);
            }
        }
    }

    /// Whether a thing hangs below the bar: as its strands pull, or as the sheaves of its item do.
    fn side_of(&self, met: Met, position: usize) -> bool {
        let own = self.group.hangs(met);
        let mut wheels = self.group.on(self.body).filter(|&other| {
            let element = self.group.element(other);
            element.position() == Some(position) && bend(element) != Bend::On
        });
        let first = wheels.next();
        match first {
            Some(first) if bend(self.group.element(met)) == Bend::On => {
                let alike = |other: Met| self.group.hangs(other) == own;
                if alike(first) || wheels.any(alike) {
                    own
                } else {
                    !own
                }
            }
            _ => own,
        }
    }

    /// The middle of the strands at so many things: where what they hang from is pulled.
    pub fn middle(&self, elements: &[Met]) -> Option<f64> {
        let duty = |met: &&Met| self.group.rig().ropes()[met.0].duty() == Duty::Belay;
        let working: Vec<&Met> = elements.iter().filter(|met| !duty(met)).collect();
        let counted = if working.is_empty() {
            elements.iter().collect()
        } else {
            working
        };
        let mut columns = Vec::new();
        for &&met in &counted {
            let (near, far) = self.group.beside(met);
            for strand in near.into_iter().chain(far) {
                columns.extend(self.group.column.get(&strand));
            }
        }
        let count = u32::try_from(columns.len())
            .ok()
            .filter(|&count| count > 0)?;
        Some(columns.iter().sum::<f64>() / f64::from(count))
    }

    /// Which way the strand at an end leads away from it.
    pub fn leads(&self, scene: &Scene, met: Met) -> Point {
        let (near, far) = scene.plan.web.beside(met.0, met.1);
        let run = |strand: usize| scene.plan.runs[strand];
        match (near, far) {
            (Some(near), _) => (run(near).0 - run(near).1).unit(),
            (_, Some(far)) => (run(far).1 - run(far).0).unit(),
            _ => at(0.0, 1.0),
        }
    }

    fn end_at_body(&mut self, scene: &mut Scene, met: Met) {
        let local = self.local(scene, met);
        self.joins.push(local.x);
        let end = self.page(local.x, local.y);
        let marks = symbol::knot(end, self.leads(scene, met));
        scene.put(marks);
    }

    /// The bar, and what holds the body or hangs from it.
    fn hold(&mut self, scene: &mut Scene, is_first: bool) {
        if let Some((from, way)) = self.lean {
            scene.holds.push((self.body, from));
            scene.held(from, way, Carried::Body(self.body), (from, from));
            return;
        }
        if self.joins.is_empty() {
            return;
        }
        let kind = self.group.rig().bodies()[self.body].kind();
        let links = scene.size.links(self.group.rig(), Carried::Body(self.body));
        let down = match kind {
            BodyKind::Anchor => !self.group.is_pulled_down(self.body),
            _ => true,
        };
        let hangs = kind != BodyKind::Travelling || !links.is_empty();
        let side = if down { 1.0 } else { -1.0 };
        let at_chain = self.free_join(side);
        if hangs {
            self.joins.push(at_chain);
        }
        let low = self.joins.iter().copied().fold(f64::INFINITY, f64::min);
        let high = self.joins.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let ends = (self.page(low, self.bar), self.page(high, self.bar));
        if high - low > 1.0 {
            let class = if kind == BodyKind::Travelling {
                "d-bar d-free"
            } else {
                "d-bar"
            };
            let marks = vec![line(class, &[ends.0, ends.1])];
            scene.lay(marks);
        }
        let from = self.page(at_chain, self.bar);
        let way = self.frame.way(at(0.0, side));
        match kind {
            BodyKind::Load => scene.loaded(from, way, self.body),
            BodyKind::Anchor if is_first => {
                scene.holds.push((self.body, from));
                scene.held(from, way, Carried::Body(self.body), self.reach(ends));
            }
            BodyKind::Anchor => scene.lay(symbol::ground(from, way, 22.0)),
            BodyKind::Travelling => {
                scene.row(from, way, &links, None);
            }
        }
    }

    /// The bar's ends, moved out over all strands of the body.
    fn reach(&self, ends: (Point, Point)) -> (Point, Point) {
        match self.group.span(self.body) {
            Some((low, high)) => (
                self.page(low.min(self.frame.local(ends.0).x), self.bar),
                self.page(high.max(self.frame.local(ends.1).x), self.bar),
            ),
            None => ends,
        }
    }

    /// The place on the bar where a chain can leave it without lying in a strand.
    fn free_join(&self, side: f64) -> f64 {
        let low = self.joins.iter().copied().fold(f64::INFINITY, f64::min);
        let high = self.joins.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let on: Vec<Met> = self.group.on(self.body).collect();
        let middle = self.middle(&on).unwrap_or(low).clamp(low, high);
        let pitch = self.group.pitch();
        let beyond: Vec<f64> = self.beyond(side);
        let steps = [0.0, 0.5, -0.5, 1.0, -1.0, 1.5, -1.5, 2.0, -2.0];
        let tried = steps.iter().map(|step| middle + step * pitch);
        let free = |place: &f64| beyond.iter().all(|other| (other - place).abs() > CLEAR);
        let outside = high + pitch;
        tried.clone().find(free).unwrap_or(outside)
    }

    /// The columns of strands and blocks on one side of the bar.
    fn beyond(&self, side: f64) -> Vec<f64> {
        let web = self.group.web;
        let strands = self.group.strands.iter().filter(|&&strand| {
            let (rope, part) = (web.strands[strand].rope, web.strands[strand].part);
            let ends = [part, part + 1].map(|element| {
                let met = (rope, element);
                match self.group.node(met) {
                    Some(_) => self.group.depth(met),
                    None if self.group.rises(strand) => f64::NEG_INFINITY,
                    None => f64::INFINITY,
                }
            });
            let far = ends.into_iter().map(|end| (end - self.bar) * side);
            far.fold(f64::NEG_INFINITY, f64::max) > 4.0
                && ends.into_iter().any(|end| (end - self.bar) * side < 60.0)
        });
        strands
            .filter_map(|strand| self.group.column.get(strand).copied())
            .collect()
    }
}
