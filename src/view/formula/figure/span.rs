//! What spans from anchor to anchor: two legs over a load, and a line.

use super::{Plate, example_angle, load, words};
use crate::{
    rigging::{Length, line_tension, uneven_legs},
    view::drawing::{Sketch, Spot},
};

/// Two legs that stand off the line of the load by different angles.
pub(super) fn bridle() -> Option<Plate> {
    let (a, b) = (30.0, 45.0);
    let load = load()?;
    let (one, other) = uneven_legs(load, example_angle(a)?, example_angle(b)?).ok()?;
    let foot = (150.0, 190.0);
    let high = 140.0;
    let (left, right) = (
        (foot.0 - high * f64::tan(a.to_radians()), foot.1 - high),
        (foot.0 + high * f64::tan(b.to_radians()), foot.1 - high),
    );
    let label = |end: Spot, aside: f64| {
        (
            f64::midpoint(foot.0, end.0) + aside,
            f64::midpoint(foot.1, end.1) - 12.0,
        )
    };
    let sketch = Sketch::new("figure-bridle", "Two legs over a load")
        .ground(left, (0.0, -1.0), 30.0)
        .ground(right, (0.0, -1.0), 30.0)
        .level((foot.0, foot.1 - high), foot)
        .rope(&[left, foot])
        .rope(&[right, foot])
        .rope(&[foot, (foot.0, 250.0)])
        .load((foot.0, 250.0), &format!("W {}", words(load)))
        .angle(foot, 72.0, (-a, 0.0), &format!("a {a}°"))
        .angle(foot, 72.0, (0.0, b), &format!("b {b}°"))
        .word(label(left, -54.0), &words(one))
        .word(label(right, 54.0), &words(other));
    Some(Plate::new(
        sketch,
        format!(
            "Two legs over {}: the one that stands a = {a}° off the upright carries {}, the one at b = {b}° carries {}. The steeper leg carries more.",
            words(load),
            words(one),
            words(other)
        ),
    ))
}

/// A line across a span, with its sag under a load in the middle.
pub(super) fn line() -> Option<Plate> {
    let (span, sag) = (20.0, 1.0);
    let load = load()?;
    let metres = |number: f64| Length::from_metres(number).ok();
    let pull = line_tension(load, metres(span)?, metres(sag)?).ok()?;
    // The sag is drawn to the scale of the span.
    let wide = 300.0;
    let (left, right) = ((20.0, 60.0), (20.0 + wide, 60.0));
    let low = (170.0, 60.0 + wide * sag / span);
    let sketch = Sketch::new("figure-line", "A line across a span")
        .ground(left, (-1.0, 0.0), 26.0)
        .ground(right, (1.0, 0.0), 26.0)
        .level(left, right)
        .rope(&[left, low])
        .rope(&[low, right])
        .rope(&[low, (170.0, 130.0)])
        .load((170.0, 130.0), &format!("W {}", words(load)))
        .measure((left.0, 30.0), (right.0, 30.0))
        .word((170.0, 30.0), &format!("L {span} m"))
        .measure((232.0, 60.0), (232.0, low.1))
        .word((258.0, 92.0), &format!("s {sag} m"))
        .word((80.0, 92.0), &words(pull));
    Some(Plate::new(
        sketch,
        format!(
            "A line over L = {span} m that sags s = {sag} m, {} % of it, under {} in the middle, drawn to scale: each half pulls with {}, and so does each anchor.",
            sag / span * 100.0,
            words(load),
            words(pull)
        ),
    ))
}
