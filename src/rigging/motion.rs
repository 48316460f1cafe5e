//! How rope and bodies move while the load rises: the geometry that goes with the balance of forces.

use super::linear::System;
use super::reeving::body_of;
use super::{Angle, Element, Rig};

/// How fast the rope goes in every part, over the speed of the load while it rises.
///
/// Rope keeps its length: it goes over a sheave as fast as it comes, seen from the sheave, and at a made
/// end or a grab it goes with the body. By the principle of virtual work the hand goes as many times as
/// fast as the load as its pull goes into it without friction, which a test holds against the solver.
#[derive(Clone, Debug, PartialEq)]
pub struct Motion {
    /// One row a rope, one number a part; positive towards the hand.
    ropes: Vec<Vec<f64>>,
}

impl Motion {
    /// Rope in a part, seen by one who stands beside it: positive towards the hand, 0 where it stands
    /// still. `None` for a part that the rig has not.
    pub fn of(&self, rope: usize, part: usize) -> Option<f64> {
        self.ropes.get(rope)?.get(part).copied()
    }
}

impl Rig {
    /// How fast the rope goes in every part; `None` if the rig has no single answer.
    pub fn motion(&self) -> Option<Motion> {
        let parts = self.reeving.parts.len();
        let mut equations = Equations {
            rig: self,
            system: System::new(parts + self.reeving.free.len()),
            size: parts + self.reeving.free.len(),
            row: 0,
        };
        let load = self.reeving.free.iter();
        let load = load
            .take_while(|free| free.body != self.reeving.load)
            .count();
        let row = equations.next()?;
        equations.system.add(row, parts + load, 1.0);
        equations.system.set_right(row, 1.0);
        let mut first = 0;
        for rope in &self.ropes {
            equations.of_rope(&rope.path, first)?;
            first += rope.path.len() - 1;
        }
        if equations.row != equations.size {
            return None;
        }
        let speeds = equations.system.solve()?;
        let mut rest = &speeds[..parts];
        let ropes = self.ropes.iter().map(|rope| {
            let (own, others) = rest.split_at(rope.path.len() - 1);
            rest = others;
            own.to_vec()
        });
        Some(Motion {
            ropes: ropes.collect(),
        })
    }

    /// Which way a part of rope runs towards the hand: degrees from straight up, to the right.
    ///
    /// `None` for a part that the rig has not.
    pub fn line_of(&self, rope: usize, part: usize) -> Option<Angle> {
        let mut parts = self.reeving.parts.iter();
        let part = parts.find(|found| found.rope == rope && found.near == part)?;
        Angle::from_degrees(part.line.rem_euclid(360.0)).ok()
    }
}

/// One equation for each thing that a rope meets, and one for the load.
struct Equations<'a> {
    rig: &'a Rig,
    system: System,
    size: usize,
    row: usize,
}

impl Equations<'_> {
    /// The next row; `None` if there are more equations than unknowns.
    fn next(&mut self) -> Option<usize> {
        let row = self.row;
        self.row += 1;
        (row < self.size).then_some(row)
    }

    fn of_rope(&mut self, path: &[Element], first: usize) -> Option<()> {
        for (at, element) in path.iter().enumerate() {
            let before = at.checked_sub(1).map(|before| first + before);
            let after = (at + 1 < path.len()).then_some(first + at);
            match element {
                Element::Hand => {}
                Element::Sheave { .. } | Element::Post { .. } | Element::Capture { .. } => {
                    let row = self.next()?;
                    self.relative(row, before?, element, 1.0);
                    self.relative(row, after?, element, -1.0);
                }
                Element::Grab { .. } | Element::End { .. } => {
                    for part in before.into_iter().chain(after) {
                        let row = self.next()?;
                        self.relative(row, part, element, 1.0);
                    }
                }
            }
        }
        Some(())
    }

    /// The speed of a part less that of the body which it meets, along the part.
    fn relative(&mut self, row: usize, part: usize, element: &Element, sign: f64) {
        self.system.add(row, part, sign);
        let body = body_of(self.rig, element);
        let free = &self.rig.reeving.free;
        if let Some(free) = free.iter().position(|free| Some(free.body) == body) {
            let line = self.rig.bodies[self.rig.reeving.free[free].body].line;
            let off = self.rig.reeving.parts[part].line - line.degrees();
            let along = off.to_radians().cos();
            let unknown = self.rig.reeving.parts.len() + free;
            self.system.add(row, unknown, -sign * along);
        }
    }
}
