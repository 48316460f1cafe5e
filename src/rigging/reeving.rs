//! What follows from a rig's paths alone: the parts of rope, the line each runs in, the equations
//! that hold whatever rubs, and how every force is summed from tensions.

use super::sum::{Sum, sums, terms_on};
use super::words::part_words;
use super::{BodyKind, Duty, Element, Rig, RigError};

/// How far a line may be off, in degrees, and still count as the line of the load.
const IN_LINE: f64 = 1e-9;

/// The parts, equations and sums of one rig.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Reeving {
    /// Every part of every rope, rope after rope, from the hand on.
    pub parts: Vec<Part>,
    /// Where a rope passes something and may lose tension.
    pub passages: Vec<Passage>,
    /// Bodies that are free to move, with what pulls on them along the line of the load.
    pub free: Vec<FreeBody>,
    /// Every force that is asked for.
    pub sums: Vec<Sum>,
    /// Every rope system with a hand of its own, the main one or the two that share the load first.
    pub hands: Vec<HandEnd>,
    /// Index of the load.
    pub load: usize,
}

/// A length of rope between two elements that follow each other in a path.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Part {
    pub rope: usize,
    /// Index in the path of the element on the side of the hand; the other one is the next.
    pub near: usize,
    /// Where the part pulls its far element to, in degrees from straight up. It pulls the near one
    /// the opposite way.
    pub line: f64,
}

/// A place where a rope passes a sheave, a post or a capture.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Passage {
    pub near: usize,
    pub far: usize,
    pub position: usize,
    pub kind: PassageKind,
}

/// What the rope passes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum PassageKind {
    Sheave { wrap: f64, capture: bool },
    Post { wrap: f64, off_in_hauling: bool },
    Clamp,
}

/// A part of rope at a hand.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct HandEnd {
    pub part: usize,
    pub duty: Duty,
    /// Index of the passage that can hold this rope with the hand slack.
    pub capture: Option<usize>,
}

/// A body in balance: the sum of `sign * tension` is the load, or nothing.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct FreeBody {
    pub body: usize,
    pub pulls: Vec<(usize, f64)>,
}

impl Reeving {
    /// The hands of the ropes that carry the load in work, one or two.
    pub fn working(&self) -> impl Iterator<Item = &HandEnd> {
        self.hands.iter().filter(|hand| hand.duty != Duty::Belay)
    }

    /// What the ropes pull on the load with, upwards positive.
    pub fn pulls_on_load(&self) -> impl Iterator<Item = (usize, f64)> {
        let free = self.free.iter().find(|free| free.body == self.load);
        free.into_iter().flat_map(|free| free.pulls.iter().copied())
    }

    /// The parts that pull on a body, each with the element that it pulls on.
    pub fn pulls_on(&self, body: usize) -> impl Iterator<Item = usize> {
        let free = self.free.iter().filter(move |free| free.body == body);
        free.flat_map(|free| free.pulls.iter().map(|(part, _)| *part))
    }
}

/// Works out parts, equations and sums, and refuses what has none. For hauling the rope may lie
/// otherwise: straight past every post that it is taken off.
pub(super) fn derive(rig: &Rig, hauled: bool) -> Result<Reeving, RigError> {
    let mut reeving = Reeving {
        parts: parts(rig, hauled)?,
        ..Reeving::default()
    };
    reeving.load = rig
        .bodies
        .iter()
        .position(|body| body.kind == BodyKind::Load)
        .ok_or(RigError::Loads { count: 0 })?;
    reeving.passages = passages(rig, &reeving);
    reeving.hands = hands(rig, &reeving)?;
    reeving.free = free_bodies(rig, &reeving);
    connected(rig, &reeving)?;
    // Every hand but one has an equation that says what it does beside the others.
    let equations = reeving.passages.len() + reeving.free.len() + reeving.hands.len() - 1;
    if equations != reeving.parts.len() {
        return Err(RigError::Unbalanced {
            parts: reeving.parts.len(),
            equations,
        });
    }
    reeving.sums = sums(rig, &reeving);
    Ok(reeving)
}

/// Walks each rope from its dead end to the hand and finds the line of every part.
fn parts(rig: &Rig, hauled: bool) -> Result<Vec<Part>, RigError> {
    let mut parts = Vec::new();
    for (rope, reeved) in rig.ropes.iter().enumerate() {
        let path = &reeved.path;
        let mut lines = vec![0.0; path.len() - 1];
        for near in (0..path.len() - 1).rev() {
            let drawn = drawn_line(rig, &path[near], &path[near + 1]);
            let line = match lines.get(near + 1) {
                Some(beyond) => turned(&path[near + 1], *beyond, hauled),
                None => drawn.unwrap_or(0.0),
            };
            if !in_line(rig, (&path[near], &path[near + 1]), line, drawn) {
                return Err(RigError::OutOfLine {
                    place: part_words(rig, rope, near),
                    rope: rig.positions[reeved.position].key.clone(),
                    element: near + 1,
                });
            }
            lines[near] = line;
        }
        let made = lines.into_iter().enumerate();
        parts.extend(made.map(|(near, line)| Part { rope, near, line }));
    }
    Ok(parts)
}

/// The line of the part on the near side of an element, from the line of the part beyond it.
fn turned(element: &Element, beyond: f64, hauled: bool) -> f64 {
    let between = match element {
        Element::Sheave { between, .. } => between.degrees(),
        Element::Post { off_in_hauling, .. } if *off_in_hauling && hauled => 180.0,
        Element::Post { wrap, .. } => 180.0 - wrap.degrees(),
        // A grab or a clamp lets the rope run straight on.
        _ => 180.0,
    };
    (beyond + 180.0 + between).rem_euclid(360.0)
}

/// The line that follows from the order of the two bodies: straight up, or along the line of a
/// travelling body, if the near one is above. A hand pulls an anchor's strand down and all else up.
fn drawn_line(rig: &Rig, near: &Element, far: &Element) -> Option<f64> {
    let far = body_of(rig, far)?;
    let line = |body: usize| rig.bodies[body].line.degrees();
    let (near_is_above, line) = match body_of(rig, near) {
        Some(near) if near == far => return None,
        // An anchor has no line of its own, so the larger is that of the travelling body.
        Some(near) => (near < far, line(near).max(line(far))),
        None => (rig.bodies[far].kind != BodyKind::Anchor, line(far)),
    };
    Some(if near_is_above { line } else { line + 180.0 })
}

/// Whether a strand that meets a free body runs in the line of the load, and the right way.
fn in_line(rig: &Rig, (near, far): (&Element, &Element), line: f64, drawn: Option<f64>) -> bool {
    let is_free = |element| {
        body_of(rig, element).is_some_and(|body| rig.bodies[body].kind != BodyKind::Anchor)
    };
    if !is_free(near) && !is_free(far) {
        return true;
    }
    let off = |from: f64| {
        let turn = (line - from).rem_euclid(360.0);
        turn.min(360.0 - turn)
    };
    // Two bodies that move along different lines would not stay in line with the strand.
    let moving = |element| {
        let body = &rig.bodies[body_of(rig, element)?];
        (body.kind != BodyKind::Anchor).then(|| body.line.degrees())
    };
    let same_line = || match (moving(near), moving(far)) {
        (Some(one), Some(other)) => (one - other).abs() < IN_LINE,
        _ => true,
    };
    match drawn {
        // Nobody says where the hand stands: a strand to it may leave up or down.
        Some(drawn) if matches!(near, Element::Hand) => {
            off(drawn).min(off(drawn + 180.0)) < IN_LINE
        }
        Some(drawn) => off(drawn) < IN_LINE && same_line(),
        // From a moving body to itself: it would hold nothing.
        None => false,
    }
}

/// Every hand: exactly one at the main ropes or one at each of two that share the load, and one at
/// each belay.
fn hands(rig: &Rig, reeving: &Reeving) -> Result<Vec<HandEnd>, RigError> {
    let count = |duty| rig.ropes.iter().filter(|rope| rope.duty == duty).count();
    let (mains, twins) = (count(Duty::Main), count(Duty::Twin));
    if twins > 0 && (twins != 2 || mains > 0) {
        return Err(RigError::Twins { twins, mains });
    }
    let mut hands = Vec::new();
    for (index, part) in reeving.parts.iter().enumerate() {
        let rope = &rig.ropes[part.rope];
        if part.near == 0 && matches!(rope.path[0], Element::Hand) {
            hands.push(HandEnd {
                part: index,
                duty: rope.duty,
                capture: capture(rig, reeving, part.rope)?,
            });
        }
    }
    let at_main = hands.iter().filter(|hand| hand.duty == Duty::Main).count();
    if twins == 0 && at_main != 1 {
        return Err(RigError::Hands { count: at_main });
    }
    hands.sort_by_key(|hand| hand.duty == Duty::Belay);
    Ok(hands)
}

fn passages(rig: &Rig, reeving: &Reeving) -> Vec<Passage> {
    let mut passages = Vec::new();
    for (far, part) in reeving
        .parts
        .iter()
        .enumerate()
        .filter(|(_, part)| part.near > 0)
    {
        let (position, kind) = match rig.ropes[part.rope].path[part.near] {
            Element::Sheave {
                position,
                between,
                capture,
                ..
            } => {
                let wrap = 180.0 - between.degrees();
                (position, PassageKind::Sheave { wrap, capture })
            }
            Element::Post {
                position,
                wrap,
                off_in_hauling,
            } => {
                let wrap = wrap.degrees();
                let kind = PassageKind::Post {
                    wrap,
                    off_in_hauling,
                };
                (position, kind)
            }
            Element::Capture { position } => (position, PassageKind::Clamp),
            Element::Hand | Element::Grab { .. } | Element::End { .. } => continue,
        };
        passages.push(Passage {
            near: far - 1,
            far,
            position,
            kind,
        });
    }
    passages
}

/// The passage that can hold a rope system: one of any main rope, or one of the rope itself.
fn capture(rig: &Rig, reeving: &Reeving, rope: usize) -> Result<Option<usize>, RigError> {
    let duty = rig.ropes[rope].duty;
    let captures = |passage: &&Passage| {
        let of = reeving.parts[passage.far].rope;
        let same = of == rope || (duty == Duty::Main && rig.ropes[of].duty == Duty::Main);
        let holds = matches!(
            passage.kind,
            PassageKind::Clamp | PassageKind::Sheave { capture: true, .. }
        );
        same && holds
    };
    let count = reeving.passages.iter().filter(captures).count();
    match count {
        0 | 1 => Ok(reeving.passages.iter().position(|p| captures(&p))),
        _ => Err(RigError::Captures { count }),
    }
}

fn free_bodies(rig: &Rig, reeving: &Reeving) -> Vec<FreeBody> {
    let free = rig.bodies.iter().enumerate();
    free.filter(|(_, body)| body.kind != BodyKind::Anchor)
        .map(|(body, _)| FreeBody {
            body,
            pulls: terms_on(rig, reeving, |element| body_of(rig, element) == Some(body))
                .into_iter()
                // Every strand here runs in the line of the body, so its share along that line is plus or
                // minus one.
                .map(|term| (term.part, term.along(rig.bodies[body].line).round()))
                .collect(),
        })
        .collect()
}

/// Every rope must reach the load over bodies that move or stand between.
fn connected(rig: &Rig, reeving: &Reeving) -> Result<(), RigError> {
    let bodies_of = |rope: usize| {
        let path = rig.ropes[rope].path.iter();
        path.filter_map(|element| body_of(rig, element))
            .filter(|body| rig.bodies[*body].kind != BodyKind::Anchor)
    };
    let mut reached = vec![false; rig.bodies.len()];
    reached[reeving.load] = true;
    let mut joined = vec![false; rig.ropes.len()];
    // Each round joins at least one more rope, so there are no more rounds than ropes.
    for _ in 0..rig.ropes.len() {
        for (rope, joined) in joined.iter_mut().enumerate() {
            if !*joined && bodies_of(rope).any(|body| reached[body]) {
                *joined = true;
                bodies_of(rope).for_each(|body| reached[body] = true);
            }
        }
    }
    match joined.iter().position(|joined| !joined) {
        None => Ok(()),
        Some(rope) => Err(RigError::Unconnected {
            rope: rig.positions[rig.ropes[rope].position].key.clone(),
        }),
    }
}

/// The body that takes what the rope does to an element; the hand has none.
pub(super) fn body_of(rig: &Rig, element: &Element) -> Option<usize> {
    match element {
        Element::End { body, .. } => Some(*body),
        _ => rig.positions[element.position()?].body,
    }
}
