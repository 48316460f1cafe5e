//! A simple tackle with the pull on each of its strands.

use super::{EFFICIENCY, Plate, forces, kilonewtons, words};
use crate::{rigging::Phase, view::drawing::Sketch};

/// The levels of a tackle in its figure: the ceiling, the upper and the lower sheaves, what hangs.
const LEVELS: [f64; 4] = [28.0, 84.0, 250.0, 296.0];
/// The radius of the sheaves of a tackle, and where its hand strand hangs.
const SHEAVE: (f64, f64) = (24.0, 40.0);

/// A simple tackle, from the hand on: strand beside strand, sheaves above and below in turn.
pub(super) fn tackle(rig: &str, name: &str, down: bool) -> Option<Plate> {
    let hauling = forces(rig, EFFICIENCY, Phase::Hauling)?;
    let parts = hauling.parts.iter().take(if down { 5 } else { 3 });
    let pulls: Vec<String> = parts
        .map(|part| kilonewtons(part.tension.likely(), 2))
        .collect();
    let load = words(hauling.load.likely());
    let sketch = Sketch::new(&format!("figure-{rig}"), &format!("A tackle, {name}"));
    Some(Plate::new(
        reeved(sketch, &pulls, down, &load)?,
        format!(
            "A tackle, {name}, e = {EFFICIENCY}, hauling {load}: the pulls from the hand on are {} kN, and it gains {:.2}.",
            pulls.join(", "),
            hauling.advantage?.likely().ratio()
        ),
    ))
}

/// The strands and sheaves of a tackle with the pull on each strand, and what hangs on it.
fn reeved(mut sketch: Sketch, pulls: &[String], down: bool, load: &str) -> Option<Sketch> {
    let ([ceiling, high, low, floor], (radius, first)) = (LEVELS, SHEAVE);
    let mut carried = Vec::new();
    let mut x = first;
    for (index, pull) in pulls.iter().enumerate() {
        let (is_last, far_up) = (index + 1 == pulls.len(), (index % 2 == 0) == down);
        // The hand strand ends free, the last one above or at the load.
        let (top, bottom) = match (index, down) {
            (0, true) => (high, low + 34.0),
            (0, false) => (high + 34.0, low),
            _ if !is_last => (high, low),
            _ if far_up => (ceiling, low),
            _ => (high, floor),
        };
        let stagger = if index % 2 == 0 { 0.0 } else { 28.0 };
        sketch = sketch
            .rope(&[(x, top), (x, bottom)])
            .word((x, f64::midpoint(high, low) + stagger), pull);
        let axle = x + radius;
        sketch = match (is_last, far_up) {
            (false, true) => sketch.bow((axle, high), radius, (270.0, 450.0)).sheave(
                (axle, high),
                radius,
                (axle, ceiling),
            ),
            (false, false) => sketch.bow((axle, low), radius, (270.0, 90.0)).sheave(
                (axle, low),
                radius,
                (axle, floor),
            ),
            (true, _) => sketch,
        };
        if !far_up {
            carried.push(if is_last { x } else { axle });
        }
        x += 2.0 * radius;
    }
    let (from, to) = (*carried.first()?, *carried.last()?);
    let (middle, hung) = (
        f64::midpoint(first, x - 2.0 * radius),
        f64::midpoint(from, to),
    );
    let hand = (first, if down { low + 34.0 } else { high + 34.0 });
    Some(
        sketch
            .ground((middle, ceiling), (0.0, -1.0), middle - first + 14.0)
            .bar((from - 6.0, floor), (to + 6.0, floor))
            .rope(&[(hung, floor), (hung, floor + 22.0)])
            .load((hung, floor + 22.0), &format!("W {load}"))
            .hand(hand, (first, f64::midpoint(high, low))),
    )
}
