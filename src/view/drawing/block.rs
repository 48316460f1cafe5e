//! Blocks on a body: sheaves under one yoke, with beckets, cams and posts.

use super::cord::TURN;
use super::figure::{circle, line};
use super::frame::{Area, Point, at};
use super::group::{Met, YOKE};
use super::scene::{Scene, Seen};
use super::station::Station;
use super::symbol;
use super::web::{Bend, bend, wrap};
use crate::rigging::{Carried, Element};

/// The least and the most of so many numbers.
fn span(numbers: impl Iterator<Item = f64>) -> (f64, f64) {
    let nothing = (f64::INFINITY, f64::NEG_INFINITY);
    numbers.fold(nothing, |(low, high), number| {
        (low.min(number), high.max(number))
    })
}

impl Station<'_> {
    /// A block: sheaves under one yoke, with its becket and its post.
    pub fn block(&mut self, scene: &mut Scene, position: usize, hangs: bool, elements: &[Met]) {
        if let ([met], true) = (elements, self.group.on(self.body).count() == 1)
            && bend(self.group.element(*met)) == Bend::Aside
        {
            return self.leaning(scene, position, *met);
        }
        let side = if hangs { 1.0 } else { -1.0 };
        let wheels: Vec<(Met, Point)> = elements
            .iter()
            .filter(|&&met| bend(self.group.element(met)) != Bend::On)
            .map(|&met| (met, self.local(scene, met)))
            .collect();
        let radius = self.group.pitch() / 2.0;
        let (low, high) = span(wheels.iter().map(|(_, at)| at.x));
        let (nearest, _) = span(wheels.iter().map(|(_, at)| at.y * side));
        let yoke = side * (nearest - radius - YOKE);
        let is_lone = wheels.len() == 1 && elements.len() == 1;
        let join = match self.middle(elements) {
            Some(middle) if !is_lone => middle,
            _ => f64::midpoint(low, high),
        };
        let links = scene
            .size
            .links(self.group.rig(), Carried::Position(position));
        self.hang(scene, position, (join, yoke), &links);
        let first = wheels.first().map_or(at(join, yoke), |(_, at)| *at);
        scene.place(position, self.page(first.x, first.y), radius, Seen::Whole);
        for &(met, at) in &wheels {
            self.wheel(scene, met, self.page(at.x, at.y), self.page(at.x, yoke));
        }
        let ends = self.fittings(scene, position, elements, (first, yoke));
        let (from, to) = span(ends.into_iter().chain([low, high]));
        if to - from > 1.0 {
            let ends = [self.page(from, yoke), self.page(to, yoke)];
            scene.lay(vec![line("d-yoke", &ends)]);
        }
    }

    /// What else is on a block: eyes for ropes' ends, a post. Answers where on the yoke the eyes hang.
    fn fittings(
        &self,
        scene: &mut Scene,
        position: usize,
        elements: &[Met],
        (axle, yoke): (Point, f64),
    ) -> Vec<f64> {
        let mut ends = Vec::new();
        for &met in elements {
            let local = self.local(scene, met);
            match self.group.element(met) {
                Element::End { becket, .. } => {
                    ends.push(local.x);
                    self.eye(scene, met, yoke, becket.then_some(position));
                }
                Element::Post { .. } if bend(self.group.element(met)) == Bend::On => {
                    let arm = [self.page(axle.x, axle.y), self.page(local.x, local.y)];
                    scene.back.push(line("d-arm", &arm));
                    self.post(scene, met);
                }
                _ => {}
            }
        }
        ends
    }

    /// A sheave alone on its body, which hangs in the line between its two strands.
    fn leaning(&mut self, scene: &mut Scene, position: usize, met: Met) {
        let Some(spot) = scene.plan.spots.get(&met).copied() else {
            return;
        };
        let (near, far) = scene.plan.web.beside(met.0, met.1);
        let run = |strand: Option<usize>| strand.map(|strand| scene.plan.runs[strand]);
        let near = run(near).map_or(at(0.0, 1.0), |(from, to)| (from - to).unit());
        let far = run(far).map_or(at(0.0, 1.0), |(from, to)| (to - from).unit());
        let way = (near + far).unit() * -1.0;
        let top = spot.center + way * (spot.radius + YOKE);
        self.wheel(scene, met, spot.center, top);
        scene.place(position, spot.center, spot.radius, Seen::Whole);
        let carried = Carried::Position(position);
        let mut links = scene.size.links(self.group.rig(), carried);
        links.reverse();
        let end = scene.row(top, way, &links, None);
        self.lean = Some((end, way));
    }

    fn wheel(&self, scene: &mut Scene, met: Met, axle: Point, yoke: Point) {
        let element = self.group.element(met);
        if matches!(element, Element::Post { .. }) {
            scene.back.push(line("d-arm", &[axle, yoke]));
            self.post(scene, met);
            return;
        }
        let radius = scene.plan.spots.get(&met).map_or(0.0, |spot| spot.radius);
        scene.lay(symbol::sheave(axle, radius));
        if let Element::Sheave { capture: true, .. } = element {
            let (_, far) = scene.plan.web.beside(met.0, met.1);
            if let Some(far) = far {
                let (near, end) = scene.plan.runs[far];
                let rope = near + (end - near).unit() * (radius * 0.75).min(near.far(end));
                let marks = symbol::cam(axle, rope, scene.holds_by_capture);
                scene.put(marks);
            }
        }
        scene.put(symbol::cheek(axle, yoke));
    }

    /// A post with its end towards the reader.
    pub fn post(&self, scene: &mut Scene, met: Met) {
        let Some(spot) = scene.plan.spots.get(&met).copied() else {
            return;
        };
        let turns = (wrap(self.group.element(met)) / 360.0).floor();
        let inner = (spot.radius - TURN * turns - 3.5).max(spot.radius * 0.35);
        // The turns lie round it.
        let round = 2.0 * spot.radius;
        scene.solid.push(Area::round(spot.center, round, round));
        scene.lay(vec![
            circle("d-wheel", spot.center, inner),
            circle("d-post", spot.center, inner * 0.5),
        ]);
        if let Some(position) = self.group.element(met).position() {
            scene.place(position, spot.center, spot.radius, Seen::Whole);
        }
    }

    /// The eye of a block that a rope's end is tied to.
    fn eye(&self, scene: &mut Scene, met: Met, yoke: f64, becket: Option<usize>) {
        let local = self.local(scene, met);
        let end = self.page(local.x, local.y);
        let marks = vec![
            line("d-arm", &[self.page(local.x, yoke), end]),
            circle("d-ring", end, 5.0),
        ];
        scene.put(marks);
        let way = self.leads(scene, met);
        scene.put(symbol::knot(end + way * 4.0, way));
        if let Some(position) = becket {
            scene.place(position, end, 6.0, Seen::Becket);
        }
    }
}
