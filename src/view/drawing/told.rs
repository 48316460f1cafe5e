//! The picture in sentences, for those who do not see it.

use super::note::notes;
use super::size::Size;
use super::{Sight, way};
use crate::domain::kit_strength::factor_words;
use crate::rigging::{Duty, Element, Rope};

/// What the picture is, in a few words.
pub(super) fn title(sight: &Sight) -> String {
    let rig = sight.rig.title();
    match sight.forces {
        Some(forces) => format!("{rig}, {}", forces.phase.words()),
        None => rig.to_owned(),
    }
}

/// What the picture shows, in sentences.
pub(super) fn desc(sight: &Sight, size: &Size) -> String {
    let mut sentences: Vec<String> = vec![positions(sight, size)];
    for (index, rope) in sight.rig.ropes().iter().enumerate() {
        sentences.push(path(sight, rope));
        sentences.extend(pulls(sight, index, rope));
    }
    if let Some(forces) = sight.forces {
        for body in sight.rig.bodies() {
            if let Some(force) = forces.on_body(body.key()) {
                let force = (sight.words)(force.likely());
                sentences.push(format!("On {}: {force}.", body.title()));
            }
        }
    }
    if let Some(weakest) = sight.assessment.and_then(|found| found.weakest.as_ref()) {
        sentences.push(format!(
            "The weakest link is {}, with a factor of {} {}.",
            weakest.title,
            factor_words(weakest.factor),
            weakest.phase.words()
        ));
    }
    if let Some(phase) = way::way(sight.rig, sight.forces.map(|forces| forces.phase)) {
        sentences.push(format!("Arrows show how the rope runs {}.", phase.words()));
    }
    sentences.join(" ")
}

/// Every position that is there with the number that the picture and the tables know it by.
fn positions(sight: &Sight, size: &Size) -> String {
    let all = notes(sight, size).into_iter().map(|note| {
        let result = match note.result.as_str() {
            "" => String::new(),
            result => format!(", {result}"),
        };
        format!("{} {}{result}", note.number, note.title)
    });
    let all: Vec<String> = all.collect();
    format!("Positions, numbered as in the table: {}.", all.join("; "))
}

/// The way of a rope from the hand to its end.
fn path(sight: &Sight, rope: &Rope) -> String {
    let title = sight.rig.positions()[rope.position()].title();
    let duty = match rope.duty() {
        Duty::Main => "",
        Duty::Belay => ", a belay,",
        Duty::Twin => ", one of two that share the load,",
    };
    let met: Vec<String> = rope
        .path()
        .iter()
        .enumerate()
        .map(|(at, element)| {
            let what = sight.rig.words_of(element);
            match element {
                _ if at == 0 => format!("from {what}"),
                Element::Sheave { .. } => format!("over {what}"),
                Element::Post { .. } => format!("round {what}"),
                Element::Capture { .. } | Element::Grab { .. } => format!("through {what}"),
                Element::End { .. } | Element::Hand => format!("to {what}"),
            }
        })
        .collect();
    format!("{title}{duty} runs {}.", met.join(", "))
}

/// The pull in each of its parts.
fn pulls(sight: &Sight, index: usize, rope: &Rope) -> Option<String> {
    let forces = sight.forces?;
    let count = sight.rig.ropes()[index].path().len() - 1;
    let pulls: Vec<String> = (0..count)
        .map(|part| match super::pull(sight, forces, rope, part) {
            Some(force) => (sight.words)(force),
            None => "slack".to_owned(),
        })
        .collect();
    Some(format!(
        "The pull in its parts, in this order: {}.",
        pulls.join(", ")
    ))
}
