//! Places in a rig, in words.

use super::{Element, Rig};

/// A part of rope in words: "The part of the rope from the hand to sheave 1 of the head pulley".
pub(super) fn part_words(rig: &Rig, rope: usize, near: usize) -> String {
    let path = &rig.ropes[rope].path;
    format!(
        "The part of \"{}\" from {} to {}",
        rig.positions[rig.ropes[rope].position].title,
        element_words(rig, &path[near]),
        element_words(rig, &path[near + 1])
    )
}

/// What a rope meets, in words.
pub(super) fn element_words(rig: &Rig, element: &Element) -> String {
    let title = |position: usize| rig.positions[position].title.as_str();
    match *element {
        Element::Hand => "the hand".to_owned(),
        Element::Sheave {
            position, sheave, ..
        } if rig.positions[position].sheaves > 1 => {
            format!("sheave {sheave} of {}", title(position))
        }
        Element::Sheave { position, .. }
        | Element::Post { position, .. }
        | Element::Capture { position }
        | Element::Grab { position } => title(position).to_owned(),
        Element::End { body, position, .. } => {
            let tied_to = position.map_or(rig.bodies[body].title.as_str(), title);
            format!("the end at {tied_to}")
        }
    }
}

impl Rig {
    /// What a rope meets, in words: "sheave 1 of the head pulley", "the hand".
    pub fn words_of(&self, element: &Element) -> String {
        element_words(self, element)
    }
}
