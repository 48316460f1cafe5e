//! Ropes: one line a rope, with a look of its own, dashed where it is slack.

use super::figure::{Mark, Step};
use super::frame::{Point, at};
use super::plan::Plan;
use super::web::wrap;
use crate::rigging::{Duty, Element};

/// How much nearer to a post each further turn lies.
pub(super) const TURN: f64 = 7.0;
/// Degrees between two points of a turn round a post.
const FINE: f64 = 12.0;

/// The looks of ropes, so that two are told apart without colour: whole, hollow, beaded, striped.
const LOOKS: [Look; 4] = [
    Look {
        tight: "d-rope",
        slack: "d-rope d-slack",
        core: None,
    },
    Look {
        tight: "d-rope d-wide",
        slack: "d-rope d-wide d-slack",
        core: Some("d-core"),
    },
    Look {
        tight: "d-rope d-wide",
        slack: "d-rope d-wide d-slack",
        core: Some("d-core d-beads"),
    },
    Look {
        tight: "d-rope d-wide",
        slack: "d-rope d-wide d-slack",
        core: Some("d-core d-bars"),
    },
];

/// The look of a rope.
#[derive(Clone, Copy)]
pub(super) struct Look {
    tight: &'static str,
    slack: &'static str,
    core: Option<&'static str>,
}

/// The look of each rope: a belay is hollow, the others are whole, beaded, striped in turn.
pub(super) fn looks(duties: impl Iterator<Item = Duty>) -> Vec<Look> {
    let mut others = 0;
    duties
        .map(|duty| {
            if duty == Duty::Belay {
                return LOOKS[1];
            }
            others += 1;
            [LOOKS[0], LOOKS[2], LOOKS[3]][(others - 1) % 3]
        })
        .collect()
}

/// A stretch of rope that is tight, or slack, all along.
struct Stretch {
    is_slack: bool,
    steps: Vec<Step>,
}

/// The lines of one rope; `is_slack` answers for each of its parts, `is_off` whether the rope is taken off
/// a post.
pub(super) fn marks(
    plan: &Plan,
    rope: usize,
    look: Look,
    is_slack: impl Fn(usize) -> bool,
    is_off: impl Fn(&Element) -> bool,
) -> Vec<Mark> {
    let path = plan.web.path(rope);
    let mut stretches: Vec<Stretch> = Vec::new();
    for part in 0..path.len() - 1 {
        let (near, far) = plan.runs[plan.web.index(rope, part)];
        let slack = is_slack(part);
        if stretches.last().is_none_or(|last| last.is_slack != slack) {
            stretches.push(Stretch {
                is_slack: slack,
                steps: vec![Step::From(near)],
            });
        }
        let Some(stretch) = stretches.last_mut() else {
            continue;
        };
        stretch.steps.push(Step::To(far));
        let element = &path[part + 1];
        if part + 2 < path.len() {
            let next = plan.runs[plan.web.index(rope, part + 1)].0;
            let round = if is_off(element) {
                vec![Step::To(next)]
            } else {
                bow(plan, (rope, part + 1), near, far, next)
            };
            // A slack rope that grows tight at a sheave is drawn tight from there on.
            if slack && !is_slack(part + 1) {
                stretches.push(Stretch {
                    is_slack: false,
                    steps: vec![Step::From(far)],
                });
            }
            if let Some(stretch) = stretches.last_mut() {
                stretch.steps.extend(round);
            }
        }
    }
    let outer = stretches.iter().map(|stretch| Mark::Path {
        class: if stretch.is_slack {
            look.slack
        } else {
            look.tight
        },
        steps: stretch.steps.clone(),
    });
    let cores = look.core.into_iter().flat_map(|class| {
        stretches.iter().map(move |stretch| Mark::Path {
            class,
            steps: stretch.steps.clone(),
        })
    });
    outer.chain(cores).collect()
}

/// The way round an element, from where the rope meets it to where the next part leaves it.
fn bow(plan: &Plan, met: (usize, usize), before: Point, meets: Point, leaves: Point) -> Vec<Step> {
    let Some(spot) = plan.spots.get(&met).filter(|spot| spot.radius > 0.0) else {
        return vec![Step::To(leaves)];
    };
    let element = &plan.web.path(met.0)[met.1];
    let left = (meets - before).unit().left();
    let to_center = spot.center - meets;
    let clockwise = left.x * to_center.x + left.y * to_center.y < 0.0;
    match element {
        Element::Post { .. } => turns(spot.center, meets, wrap(element), clockwise)
            .into_iter()
            .chain([Step::To(leaves)])
            .collect(),
        _ => vec![Step::Arc {
            center: spot.center,
            to: leaves,
            large: false,
            clockwise,
        }],
    }
}

/// Turns round a post, each a little nearer to it than that before, and out again.
pub(super) fn turns(center: Point, meets: Point, degrees: f64, clockwise: bool) -> Vec<Step> {
    let radius = center.far(meets);
    let start = (meets.y - center.y).atan2(meets.x - center.x);
    let sign = if clockwise { 1.0 } else { -1.0 };
    let shown = degrees.min(3600.0);
    let deep = ((shown / 360.0).floor() * TURN).min(radius * 0.55);
    let mut steps = Vec::new();
    let mut turned = 0.0;
    while turned < shown {
        turned = (turned + FINE).min(shown);
        let dip = deep * (turned / shown * std::f64::consts::PI).sin();
        let (sin, cos) = (start + sign * turned.to_radians()).sin_cos();
        steps.push(Step::To(center + at(cos, sin) * (radius - dip)));
    }
    steps
}
