//! How every force in a rig is summed from the tensions of its ropes.

use std::ops::Range;

use super::Carried;
use super::reeving::{Reeving, body_of};
use super::{Angle, BodyKind, Element, LoadingMode, Rig};

/// A force that is made of tensions.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Sum {
    pub on: Target,
    pub gather: Gather,
}

/// How tensions make a force.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Gather {
    /// Their vector sum.
    Together(Vec<Term>),
    /// The largest of these parts.
    Largest(Range<usize>),
    /// What they pull down with, times a share.
    Shared(Vec<Term>, f64),
    /// What they pull aside with, to whichever side.
    Aside(Vec<Term>),
    /// What they come to along one leg: each tension times its share.
    Split(Vec<(usize, f64)>),
    /// The push on a tripod's leg: so much of what pulls down, and so much of what pulls aside.
    Pushed {
        terms: Vec<Term>,
        upright: f64,
        sideways: f64,
    },
}

/// A tension with the direction that it pulls in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Term {
    pub part: usize,
    pub up: f64,
    pub across: f64,
}

/// What a sum is the force on.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Target {
    Sheave {
        position: usize,
        sheave: u8,
    },
    Body(usize),
    /// A leg of a bridle or line.
    Leg {
        bridle: usize,
        leg: usize,
    },
    /// What pulls legs aside that must hang in line.
    Aside(usize),
    /// The leg of a tripod that is pushed most.
    TripodLeg(usize),
    /// The leg of a tripod that is pushed least; below nothing, the tripod tips.
    Foothold(usize),
    Position {
        position: usize,
        mode: LoadingMode,
        spot: String,
        knot: Option<String>,
    },
}

impl Term {
    /// The share of the pull along a line, given by how far it is off the line of the load.
    pub fn along(&self, line: Angle) -> f64 {
        let (across, up) = line.radians().sin_cos();
        self.up * up + self.across * across
    }
}

/// The vector sum of pulls, upright and sideways.
pub(super) fn together(terms: &[Term], tensions: &[f64]) -> (f64, f64) {
    let sum = |way: fn(&Term) -> f64| -> f64 {
        terms
            .iter()
            .map(|term| tensions[term.part] * way(term))
            .sum()
    };
    (sum(|term| term.up), sum(|term| term.across))
}

impl Sum {
    /// The force, from the tensions of all parts.
    pub fn force(&self, tensions: &[f64]) -> f64 {
        match &self.gather {
            Gather::Together(terms) => {
                let (up, across) = together(terms, tensions);
                up.hypot(across)
            }
            Gather::Shared(terms, share) => -together(terms, tensions).0 * share,
            Gather::Aside(terms) => together(terms, tensions).1.abs(),
            Gather::Split(shares) => shares
                .iter()
                .map(|(part, share)| tensions[*part] * share)
                .sum(),
            Gather::Pushed {
                terms,
                upright,
                sideways,
            } => {
                let (up, across) = together(terms, tensions);
                -up * upright + across.abs() * sideways
            }
            Gather::Largest(parts) => tensions[parts.clone()].iter().copied().fold(0.0, f64::max),
        }
    }
}

/// Every strand that ends at an element which is asked for, with the direction of its pull there.
pub(super) fn terms_on(
    rig: &Rig,
    reeving: &Reeving,
    asked: impl Fn(&Element) -> bool,
) -> Vec<Term> {
    let mut terms = Vec::new();
    for (part, strand) in reeving.parts.iter().enumerate() {
        let path = &rig.ropes[strand.rope].path;
        for (index, line) in [
            (strand.near, strand.line + 180.0),
            (strand.near + 1, strand.line),
        ] {
            if asked(&path[index]) {
                let line = line.to_radians();
                terms.push(Term {
                    part,
                    up: line.cos(),
                    across: line.sin(),
                });
            }
        }
    }
    terms
}

/// Every force that is asked for.
pub(super) fn sums(rig: &Rig, reeving: &Reeving) -> Vec<Sum> {
    let mut sums = Vec::new();
    for element in rig.ropes.iter().flat_map(|rope| &rope.path) {
        let sheave = match *element {
            Element::Sheave { sheave, .. } => sheave,
            Element::Post { .. } => 0,
            _ => continue,
        };
        if let Some(position) = element.position() {
            sums.push(Sum {
                on: Target::Sheave { position, sheave },
                gather: Gather::Together(terms_on(rig, reeving, |other| {
                    std::ptr::eq(other, element)
                })),
            });
        }
    }
    let bodies = rig.bodies.iter().enumerate();
    for (body, _) in bodies.filter(|(_, body)| body.kind != BodyKind::Travelling) {
        sums.push(Sum {
            on: Target::Body(body),
            gather: Gather::Together(terms_on(rig, reeving, |element| {
                body_of(rig, element) == Some(body)
            })),
        });
    }
    for (position, _) in rig.positions.iter().enumerate() {
        position_sums(rig, reeving, position, &mut sums);
    }
    leg_sums(rig, reeving, &mut sums);
    tripod_sums(rig, reeving, &mut sums);
    for (rope, _) in rig.ropes.iter().enumerate() {
        rope_sum(rig, reeving, rope, &mut sums);
        end_sums(rig, reeving, rope, &mut sums);
    }
    sums
}

/// The whole force on an item, be it met by a rope or a link of a chain.
fn position_sums(rig: &Rig, reeving: &Reeving, position: usize, sums: &mut Vec<Sum>) {
    let chain = rig
        .chains
        .iter()
        .find(|chain| chain.positions.contains(&position));
    let terms = match chain {
        Some(chain) => terms_of(rig, reeving, chain.carries),
        None => terms_on(rig, reeving, |element| element.position() == Some(position)),
    };
    if !terms.is_empty() {
        let on = Target::Position {
            position,
            mode: rig.positions[position].loaded,
            spot: "the whole item".to_owned(),
            knot: None,
        };
        let gather = Gather::Together(terms);
        sums.push(Sum { on, gather });
    }
}

/// What pulls on the thing that a chain, a bridle or a tripod carries.
fn terms_of(rig: &Rig, reeving: &Reeving, carries: Carried) -> Vec<Term> {
    terms_on(rig, reeving, |element| match carries {
        Carried::Body(body) => body_of(rig, element) == Some(body),
        Carried::Position(position) => element.position() == Some(position),
    })
}

/// The pull of every leg of bridles and lines, and of each position in it.
fn leg_sums(rig: &Rig, reeving: &Reeving, sums: &mut Vec<Sum>) {
    for (index, bridle) in rig.bridles.iter().enumerate() {
        let terms = terms_of(rig, reeving, bridle.carries);
        if bridle.legs.len() > 2 {
            sums.push(Sum {
                on: Target::Aside(index),
                gather: Gather::Aside(terms.clone()),
            });
        }
        for (number, leg) in bridle.legs.iter().enumerate() {
            let gather = match bridle.legs.as_slice() {
                [left, right] => Gather::Split(split(&terms, number, left.off, right.off)),
                _ => Gather::Shared(terms.clone(), bridle.share_of(number)),
            };
            sums.push(Sum {
                on: Target::Leg {
                    bridle: index,
                    leg: number,
                },
                gather: gather.clone(),
            });
            sums.extend(leg.positions.iter().map(|&position| Sum {
                on: Target::Position {
                    position,
                    mode: rig.positions[position].loaded,
                    spot: "the whole item".to_owned(),
                    knot: None,
                },
                gather: gather.clone(),
            }));
        }
    }
}

/// How much of each pull goes along one of two legs. The left leg pulls up and to the left, the right
/// one up and to the right, and together they balance what pulls between them.
fn split(terms: &[Term], number: usize, left: Angle, right: Angle) -> Vec<(usize, f64)> {
    let together = (left.radians() + right.radians()).sin();
    let shares = terms.iter().map(|term| {
        let (other, side) = match number {
            0 => (right, term.across),
            _ => (left, -term.across),
        };
        let (sin, cos) = other.radians().sin_cos();
        (term.part, (-term.up * sin + side * cos) / together)
    });
    shares.collect()
}

/// The push on the legs of every tripod. With legs a third of a turn apart and `b` off the upright, an
/// downward force V and a sideways force H push the worst leg, whichever way the tripod is turned, with
/// V / (3 cos b) + 2 H / (3 sin b), and the best with the difference.
fn tripod_sums(rig: &Rig, reeving: &Reeving, sums: &mut Vec<Sum>) {
    for (index, tripod) in rig.tripods.iter().enumerate() {
        let mut chains = rig.chains.iter();
        let Some(chain) = chains.find(|chain| chain.positions.contains(&tripod.position)) else {
            continue;
        };
        let terms = terms_of(rig, reeving, chain.carries);
        let (sin, cos) = tripod.off.radians().sin_cos();
        let pushed = |way: f64| Gather::Pushed {
            terms: terms.clone(),
            upright: 1.0 / (3.0 * cos),
            sideways: way * 2.0 / (3.0 * sin),
        };
        sums.push(Sum {
            on: Target::TripodLeg(index),
            gather: pushed(1.0),
        });
        sums.push(Sum {
            on: Target::Foothold(index),
            gather: pushed(-1.0),
        });
    }
}

/// The tension of the part of a rope that carries most.
fn rope_sum(rig: &Rig, reeving: &Reeving, rope: usize, sums: &mut Vec<Sum>) {
    let before = reeving.parts.iter().take_while(|part| part.rope < rope);
    let start = before.count();
    // A rope has one part less than its path has elements.
    let end = start + rig.ropes[rope].path.len() - 1;
    sums.push(Sum {
        on: Target::Position {
            position: rig.ropes[rope].position,
            mode: LoadingMode::Straight,
            spot: "the part that carries most".to_owned(),
            knot: None,
        },
        gather: Gather::Largest(start..end),
    });
}

/// The force on the made ends of a rope, on the rope itself and on the becket that takes it.
fn end_sums(rig: &Rig, reeving: &Reeving, rope: usize, sums: &mut Vec<Sum>) {
    let first_part = reeving.parts.iter().position(|part| part.rope == rope);
    let last_part = reeving.parts.iter().rposition(|part| part.rope == rope);
    let path = &rig.ropes[rope].path;
    for (part, element) in [(first_part, path.first()), (last_part, path.last())] {
        let (
            Some(part),
            Some(Element::End {
                body,
                position,
                becket,
                knot,
            }),
        ) = (part, element)
        else {
            continue;
        };
        let terms = vec![Term {
            part,
            up: 1.0,
            across: 0.0,
        }];
        let tied_to = match position {
            Some(position) => &rig.positions[*position].title,
            None => &rig.bodies[*body].title,
        };
        sums.push(Sum {
            on: Target::Position {
                position: rig.ropes[rope].position,
                mode: LoadingMode::Terminated,
                spot: format!("its end at {tied_to}"),
                knot: Some(knot.clone()),
            },
            gather: Gather::Together(terms.clone()),
        });
        if let (Some(position), true) = (position, becket) {
            sums.push(Sum {
                on: Target::Position {
                    position: *position,
                    mode: LoadingMode::Becket,
                    spot: "the becket".to_owned(),
                    knot: None,
                },
                gather: Gather::Together(terms),
            });
        }
    }
}
