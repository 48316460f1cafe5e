//! Ropes that wander by chance over travelling bodies: rigs that nobody would think of.

use rand::seq::SliceRandom;
use serde_json::{Value, json};

use crate::rigging_draft::Draft;
use crate::rigging_random::pulled_end;

/// Ropes that wander over travelling bodies as chance has it. As many strands as equations, but no more sense.
pub fn tangle(draft: &mut Draft) {
    let mut order = vec![draft.body("anchor")];
    let travellers = draft.count(1, 3);
    order.extend((0..travellers).map(|_| draft.body("travelling")));
    order.push(draft.body("load"));
    let load = order.len() - 1;
    if draft.chance(0.3) {
        order.push(draft.body("anchor"));
    }
    let ropes = draft.count(1, travellers + 1);
    let mut grabs: Vec<usize> = vec![0; ropes];
    for _ in 0..=travellers - ropes.min(travellers) {
        let rope = draft.count(0, ropes - 1);
        grabs[rope] += usize::from(grabs.iter().sum::<usize>() + ropes <= travellers);
    }
    for (rope, grabs) in grabs.into_iter().enumerate() {
        let path = wander(draft, &order, (load, rope == 0), grabs);
        draft.rope("main", path);
    }
    draft.features.insert(
        [
            "",
            "a tangle of one",
            "a tangle of two",
            "a tangle of three",
        ][travellers],
    );
}

/// A rope that goes up and down between bodies, in the order in which they stand.
fn wander(
    draft: &mut Draft,
    order: &[String],
    (load, by_hand): (usize, bool),
    grabs: usize,
) -> Vec<Value> {
    let mut steps: Vec<Step> = vec![Step::Sheave; draft.count(1, 4)];
    steps.extend(vec![Step::Grab; grabs]);
    steps.shuffle(&mut draft.rng);
    steps.push(Step::End);
    let first = draft.count(1, load - 1);
    let start = (!by_hand).then_some(first);
    let mut way = None;
    for _ in 0..100 {
        way = way.or_else(|| stroll(draft, (order.len(), load), start, &steps));
    }
    let mut path = vec![match start {
        Some(body) => pulled_end(draft, &order[body]),
        None => json!({"meets": "hand"}),
    }];
    for (step, body) in steps.iter().zip(way.unwrap_or_else(|| vec![load; 6])) {
        let body = &order[body];
        path.push(match step {
            Step::Sheave => draft.sheave_on(body),
            Step::Grab => draft.grab_on(body),
            Step::End => draft.end_on(body),
        });
    }
    path
}

/// What a wandering rope does at a body.
#[derive(Clone, Copy, PartialEq)]
enum Step {
    Sheave,
    Grab,
    End,
}

/// The bodies that a rope comes to: it goes on up or down through a grab, and turns at a sheave.
fn stroll(
    draft: &mut Draft,
    (bodies, load): (usize, usize),
    start: Option<usize>,
    steps: &[Step],
) -> Option<Vec<usize>> {
    let mut up = draft.chance(0.5);
    let mut at = start;
    let mut way = Vec::new();
    for step in steps {
        let next: Vec<usize> = (0..bodies)
            .filter(|&body| at.is_none_or(|at| if up { body < at } else { body > at }))
            .filter(|&body| *step != Step::Grab || (1..load).contains(&body))
            .collect();
        if next.is_empty() {
            return None;
        }
        let body = draft.one_of(&next);
        at = Some(body);
        up ^= *step == Step::Sheave;
        way.push(body);
    }
    Some(way)
}
