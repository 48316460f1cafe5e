//! The figures of the formulas, each drawn from an example that is worked out as the page is made.

mod span;
mod tackle;

use std::f64::consts::PI;

use super::{example_angle, forces, kilonewtons};
use crate::{
    rigging::{
        Angle, Efficiency, FallFactor, Force, Friction, Mass, capstan_hold, efficiency_of_wrap,
        fall_peak, redirect_force_of_two,
    },
    view::{
        drawing::{Drawing, Sketch, Spot},
        part::html_parts,
    },
};

/// The efficiency of every sheave of the figures.
const EFFICIENCY: f64 = 0.92;

/// A picture with a sentence below it.
#[derive(Clone, Debug, askama::Template)]
#[template(path = "rig/formula/figure.html")]
pub struct Plate {
    drawing: Drawing,
    caption: String,
}

html_parts!(Plate);

/// The figures of the page.
#[derive(Clone, Debug)]
pub struct Figures {
    pub(super) sheave: Plate,
    pub(super) redirect: Plate,
    pub(super) three: Plate,
    pub(super) four: Plate,
    pub(super) bridle: Plate,
    pub(super) line: Plate,
    pub(super) post: Plate,
    pub(super) fall: Plate,
}

impl Figures {
    /// All figures; `None` if an example has no answer.
    pub(super) fn new() -> Option<Self> {
        Some(Self {
            sheave: sheave()?,
            redirect: redirect()?,
            three: tackle::tackle("three-to-one", "3:1, pulled up", false)?,
            four: tackle::tackle("four-to-one-pull-down", "4:1, pulled down", true)?,
            bridle: span::bridle()?,
            line: span::line()?,
            post: post()?,
            fall: fall()?,
        })
    }
}

impl Plate {
    fn new(sketch: Sketch, said: String) -> Self {
        Self {
            drawing: sketch.told(said.clone()),
            caption: said,
        }
    }
}

/// The load of the figures: 2 kN.
fn load() -> Option<Force> {
    Force::from_kilonewtons(2.0).ok()
}

/// A force as the figures write it.
fn words(force: Force) -> String {
    format!("{} kN", kilonewtons(force, 2))
}

/// The place so many degrees from straight up, to the right, and so far off.
fn off((x, y): Spot, degrees: f64, far: f64) -> Spot {
    let (sin, cos) = degrees.to_radians().sin_cos();
    (x + far * sin, y - far * cos)
}

/// One sheave, half a turn: what goes in, what comes out, what the axle takes.
fn sheave() -> Option<Plate> {
    let far = load()?;
    let near = Force::from_newtons(far.newtons() / EFFICIENCY).ok()?;
    let axle = redirect_force_of_two(near, far, example_angle(0.0)?).ok()?;
    let (center, radius) = ((160.0, 110.0), 34.0);
    let (left, right) = (center.0 - radius, center.0 + radius);
    let sketch = Sketch::new("figure-sheave", "A rope over one sheave")
        .ground((160.0, 34.0), (0.0, -1.0), 46.0)
        .rope(&[(left, 250.0), (left, 110.0)])
        .rope(&[(right, 110.0), (right, 250.0)])
        .bow(center, radius, (270.0, 450.0))
        .sheave(center, radius, (160.0, 36.0))
        .hand((left, 250.0), (left, 110.0))
        .runs((left, 160.0), (left, 220.0))
        .runs((right, 220.0), (right, 160.0))
        .load((right, 250.0), &format!("W {}", words(far)))
        .word((left - 58.0, 140.0), &format!("near {}", words(near)))
        .word((right + 54.0, 140.0), &format!("far {}", words(far)))
        .word((160.0 + 62.0, 62.0), &format!("R {}", words(axle)));
    Some(Plate::new(
        sketch,
        format!(
            "A rope over one sheave, e = {EFFICIENCY}: to raise {} on the far side the hand pulls with {} on the near side, and the axle takes {}.",
            words(far),
            words(near),
            words(axle)
        ),
    ))
}

/// A rope that a sheave turns aside: the angle between its strands, its wrap and what the sheave takes.
fn redirect() -> Option<Plate> {
    let between: f64 = 60.0;
    let wrap = 180.0 - between;
    let efficiency = Efficiency::from_share(EFFICIENCY).ok()?;
    let share = efficiency_of_wrap(efficiency, Angle::from_degrees(wrap).ok()?).ok()?;
    let far = load()?;
    let near = Force::from_newtons(far.newtons() / share.share()).ok()?;
    let axle = redirect_force_of_two(near, far, example_angle(between)?).ok()?;
    // The far strand hangs; the near one leaves to the left, `between` off it, as the sheave is on its right.
    let (center, radius) = ((190.0, 100.0), 32.0);
    let aside = 180.0 + between;
    let (meets, leaves) = (off(center, 90.0, radius), off(center, aside + 90.0, radius));
    let hand = off(leaves, aside, 150.0);
    // Where both strands would meet if they went on: there the angle between them stands.
    let corner = off(
        center,
        180.0 + between / 2.0 + 180.0,
        radius / (between.to_radians() / 2.0).sin(),
    );
    let pull = off(center, 180.0 + between / 2.0, 84.0);
    let sketch = Sketch::new("figure-redirect", "A rope that a sheave turns aside")
        .ground(off(center, between / 2.0, 72.0), (0.0, -1.0), 46.0)
        .level(corner, meets)
        .level(corner, leaves)
        .rope(&[hand, leaves])
        .rope(&[meets, (meets.0, 250.0)])
        .bow(center, radius, (aside + 90.0 - 360.0, 90.0))
        .sheave(center, radius, off(center, between / 2.0, 70.0))
        .hand(hand, leaves)
        .runs(leaves, hand)
        .runs((meets.0, 240.0), (meets.0, 170.0))
        .force(center, pull)
        .load((meets.0, 250.0), &format!("W {}", words(far)))
        .word(
            (hand.0 + 14.0, hand.1 - 44.0),
            &format!("near {}", words(near)),
        )
        .word((meets.0 + 56.0, 190.0), &format!("far {}", words(far)))
        .word((pull.0 - 4.0, pull.1 + 18.0), &format!("R {}", words(axle)))
        .word(
            (corner.0 + 44.0, corner.1 + 6.0),
            &format!("a = {between}°"),
        );
    Some(Plate::new(
        sketch,
        format!(
            "A sheave turns the rope aside; a = {between}° between its strands, so the rope lies round {wrap}° of it and {} of the pull is left. To raise {} the hand pulls with {}, and the sheave takes R = {} halfway between the strands.",
            format_args!("{:.3}", share.share()),
            words(far),
            words(near),
            words(axle)
        ),
    ))
}

/// A rope round a post, with its angle of wrap.
fn post() -> Option<Plate> {
    let (friction, degrees) = (0.25, 450.0);
    let load = load()?;
    let mu = Friction::from_coefficient(friction).ok()?;
    let hold = capstan_hold(load, mu, example_angle(degrees)?).ok()?;
    // Seen along the bar: the load hangs on the right, and the rope comes off below, to the left.
    let (center, radius) = ((170.0, 90.0), 40.0);
    let meets = (center.0 + radius, center.1);
    let leaves = (center.0, center.1 - radius);
    let sketch = Sketch::new("figure-post", "A rope round a post")
        .post(center, radius - 11.0)
        .turns(center, leaves, degrees)
        .rope(&[(40.0, leaves.1), leaves])
        .rope(&[meets, (meets.0, 210.0)])
        .hand((40.0, leaves.1), leaves)
        .load((meets.0, 210.0), &format!("W {}", words(load)))
        .word((92.0, leaves.1 - 26.0), &format!("hand {}", words(hold)))
        .word((96.0, 108.0), &format!("θ {degrees}°"))
        .word((meets.0 + 44.0, 150.0), &words(load));
    Some(Plate::new(
        sketch,
        format!(
            "A rope with θ = {degrees}° round a post, {:.2} in radians, μ = {friction}: {} hold {}.",
            degrees / 180.0 * PI,
            words(hold),
            words(load)
        ),
    ))
}

/// A load that falls by the slack before the rope is tight.
fn fall() -> Option<Plate> {
    let (slack, in_play, modulus) = (1.0, 5.0, 30.0);
    let mass = Mass::from_kilograms(100.0).ok()?;
    let factor = FallFactor::from_ratio(slack / in_play).ok()?;
    let stiff = Force::from_kilonewtons(modulus).ok()?;
    let peak = fall_peak(mass, stiff, factor).ok()?;
    let weight = mass.weight();
    // The spring is longest where it holds the peak: x = F l / M.
    let stretch = peak.kilonewtons() * in_play / modulus;
    let metre = 32.0;
    let (top, x) = (40.0, 150.0);
    let taut = top + in_play * metre;
    let (before, lowest) = (taut - slack * metre, taut + stretch * metre);
    let sketch = Sketch::new("figure-fall", "A fall that a rope stops")
        .ground((x, top), (0.0, -1.0), 46.0)
        .rope(&[(x, top), (x, lowest)])
        .load((x, lowest), "100 kg")
        .level((x - 70.0, before), (x + 60.0, before))
        .level((x - 70.0, taut), (x + 60.0, taut))
        .level((x, lowest), (x + 60.0, lowest))
        .measure((x - 60.0, before), (x - 60.0, taut))
        .word(
            (x - 96.0, f64::midpoint(before, taut)),
            &format!("h {slack} m"),
        )
        .measure((x + 60.0, top), (x + 60.0, taut))
        .word(
            (x + 96.0, f64::midpoint(top, taut)),
            &format!("l {in_play} m"),
        )
        .measure((x + 60.0, taut), (x + 60.0, lowest))
        .word(
            (x + 102.0, f64::midpoint(taut, lowest)),
            &format!("x {stretch:.2} m"),
        )
        .word((x, f64::midpoint(top, before)), &words(peak));
    Some(Plate::new(
        sketch,
        format!(
            "A load of 100 kg falls by a slack of h = {slack} m onto l = {in_play} m of rope with M = {modulus} kN, a fall factor of {}: the rope stretches by x = {stretch:.2} m and its pull rises to {}, from a weight of {}.",
            slack / in_play,
            words(peak),
            words(weight)
        ),
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_figure_says_the_numbers_that_were_worked_out_apart() {
        let figures = Figures::new().expect("every example has an answer");
        let said = |plate: &Plate, numbers: &[&str]| {
            for number in numbers {
                assert!(
                    plate.caption.contains(number),
                    "{}: {number}",
                    plate.caption
                );
            }
            assert_eq!(plate.drawing.desc, plate.caption);
        };
        // 2 / 0.92; the sum of both.
        said(&figures.sheave, &["with 2.17 kN", "takes 4.17 kN"]);
        // 0.92 to the power 120/180 is 0.94593, and 2 / 0.94593 is 2.11432; with 60 degrees between,
        // the root of 2.11432² + 2² + 2.11432 x 2 is 3.5637.
        said(
            &figures.redirect,
            &["0.946 of", "with 2.11 kN", "R = 3.56 kN"],
        );
        // Computed apart with numpy for e = 0.92 and W = 2 kN: 2 / (1 + 0.92 + 0.8464) = 0.72296.
        said(&figures.three, &["0.72, 0.67, 0.61 kN", "gains 2.77"]);
        said(
            &figures.four,
            &["0.61, 0.56, 0.52, 0.48, 0.44 kN", "gains 3.26"],
        );
        // The sine rule: 2 sin 45 / sin 75 and 2 sin 30 / sin 75.
        said(&figures.bridle, &["carries 1.46 kN", "carries 1.04 kN"]);
        // 2 x the root of 10² + 1² over 2.
        said(&figures.line, &["5 % of it", "with 10.05 kN"]);
        // 2 / exp(0.25 x 7.854).
        said(&figures.post, &["7.85 in radians", "0.28 kN hold 2.00 kN"]);
        // W = 0.98067 kN: W + the root of W² + 2 x 30 x 0.2 x W = 4.5488 kN; x = F l / M = 0.7581 m.
        said(
            &figures.fall,
            &["x = 0.76 m", "rises to 4.55 kN", "of 0.98 kN"],
        );
    }

    #[test]
    fn no_word_of_a_figure_lies_on_another() {
        let figures = Figures::new().expect("every example has an answer");
        let Figures {
            sheave,
            redirect,
            three,
            four,
            bridle,
            line,
            post,
            fall,
        } = figures;
        for plate in [sheave, redirect, three, four, bridle, line, post, fall] {
            let labels = &plate.drawing.labels;
            for (index, one) in labels.iter().enumerate() {
                assert!(
                    plate.drawing.area.holds(one.area),
                    "{}",
                    plate.drawing.title
                );
                for other in &labels[index + 1..] {
                    assert!(
                        !one.area.meets(other.area),
                        "{}: {one:?} {other:?}",
                        plate.drawing.title
                    );
                }
            }
        }
    }
}
