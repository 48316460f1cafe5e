//! What a body holds by links: items on their chains, grabs and clamps on a strand, links with a rope's end.

use super::figure::line;
use super::frame::{Point, at};
use super::group::Met;
use super::scene::{Scene, Seen};
use super::station::Station;
use super::symbol::{self, Sign};
use super::web::{Bend, bend};
use crate::rigging::{Carried, Element};

/// How far beside the strand the link of a device runs.
const BESIDE: f64 = 28.0;

impl Station<'_> {
    /// What joins an item to the bar: its links, or its own anchor or legs.
    pub fn hang(
        &mut self,
        scene: &mut Scene,
        position: usize,
        (join, end): (f64, f64),
        links: &[usize],
    ) {
        let rig = self.group.rig();
        let carried = Carried::Position(position);
        let own = rig
            .bridles()
            .iter()
            .any(|bridle| bridle.carries() == carried);
        let fast = |&at: &usize| Sign::of(&rig.positions()[at]).is_fast();
        let outward = if end > self.bar { -1.0 } else { 1.0 };
        let way = self.frame.way(at(0.0, outward));
        let from = self.page(join, end);
        if own || links.iter().any(fast) {
            scene.held(from, way, carried, (from, from));
            return;
        }
        self.joins.push(join);
        let mut row = links.to_vec();
        // Links are written from the top down.
        if outward < 0.0 {
            row.reverse();
        }
        let length = (end - self.bar).abs();
        let chain = symbol::length_of(rig, &row);
        let start = from + way * (length - chain).max(0.0);
        scene.back.push(line("d-line", &[from, start]));
        scene.row(start, way, &row, None);
    }

    /// Grabs, clamps and posts that let the rope go on in its line.
    pub fn devices(&mut self, scene: &mut Scene, position: usize, hangs: bool, elements: &[Met]) {
        let links = scene
            .size
            .links(self.group.rig(), Carried::Position(position));
        let has_own = !links.is_empty();
        for (index, &met) in elements.iter().enumerate() {
            let local = self.local(scene, met);
            let center = self.page(local.x, local.y);
            let way = self.strand_way(scene, met);
            let element = self.group.element(met);
            if matches!(element, Element::Post { .. }) {
                self.post(scene, met);
            } else {
                let captures = matches!(element, Element::Capture { .. });
                let mut marks = symbol::grab(center, way, captures);
                if !scene.size.is_told() {
                    marks.truncate(1);
                }
                scene.put(marks);
                scene.place(position, center, 13.0, Seen::Whole);
            }
            let is_post = matches!(element, Element::Post { .. });
            let beside = if is_post {
                0.0
            } else {
                self.beside(scene, met)
            };
            if index > 0 || !has_own {
                self.joins.push(local.x);
                if (local.y - self.bar).abs() > 1.0 {
                    let bar = self.page(local.x + beside, self.bar);
                    let side = self.page(local.x + beside, local.y);
                    scene.back.push(line("d-line", &[bar, side, center]));
                }
                continue;
            }
            let side = if hangs { 1.0 } else { -1.0 };
            let end = local.y - side * 6.0;
            let lug = [
                center,
                self.page(local.x + beside, local.y),
                self.page(local.x + beside, end),
            ];
            scene.back.push(line("d-arm", &lug));
            self.hang(scene, position, (local.x + beside, end), &links);
        }
    }

    /// How far beside its strand the link of a device runs: to the right as the page is read, be the frame turned over or
    /// not, and away from a sheave that the rope comes from.
    fn beside(&self, scene: &Scene, met: Met) -> f64 {
        let right = BESIDE.copysign(self.frame.way(at(1.0, 0.0)).x);
        let before = met.1.checked_sub(1).map(|element| (met.0, element));
        let wheel = before.filter(|&before| {
            let same = self.group.node(before) == self.group.node(met);
            same && bend(self.group.element(before)) != Bend::On
        });
        let Some(wheel) = wheel else {
            return right;
        };
        let from = self.local(scene, met).x - self.local(scene, wheel).x;
        if from.abs() < 1.0 {
            right
        } else {
            BESIDE.copysign(from)
        }
    }

    fn strand_way(&self, scene: &Scene, met: Met) -> Point {
        let (near, far) = scene.plan.web.beside(met.0, met.1);
        let run = near.or(far).map(|strand| scene.plan.runs[strand]);
        run.map_or(at(0.0, 1.0), |(from, to)| (to - from).unit())
    }

    /// A link that a rope's end is tied to.
    pub fn tied_link(&mut self, scene: &mut Scene, position: usize, hangs: bool, elements: &[Met]) {
        let links = scene
            .size
            .links(self.group.rig(), Carried::Position(position));
        let side = if hangs { 1.0 } else { -1.0 };
        for (index, &met) in elements.iter().enumerate() {
            let local = self.local(scene, met);
            let own = symbol::length_of(self.group.rig(), &[position]);
            let base = local.y - side * own;
            let end = self.page(local.x, local.y);
            if index == 0 {
                scene.row(
                    self.page(local.x, base),
                    self.frame.way(at(0.0, side)),
                    &[position],
                    None,
                );
                self.hang(scene, position, (local.x, base), &links);
            }
            let marks = symbol::knot(end, self.leads(scene, met));
            scene.put(marks);
        }
    }
}
