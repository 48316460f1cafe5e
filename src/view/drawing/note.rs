//! What is said of each position: its number, its title, its factor or its force.

use super::Sight;
use super::size::Size;
use crate::domain::kit_strength::factor_words;
use crate::rigging::{Assessment, Check, Judged, Phase};

/// What is said of one position.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Note {
    pub position: usize,
    /// Its number in the order of the kit list, from 1.
    pub number: usize,
    pub title: String,
    /// Its factor, what it takes of its limit, or the force on it; may be empty.
    pub result: String,
    pub is_weakest: bool,
}

/// What is said of every position that is there.
pub(super) fn notes(sight: &Sight, size: &Size) -> Vec<Note> {
    let positions = sight.rig.positions().iter().enumerate();
    positions
        .filter(|(index, _)| size.shown[*index])
        .map(|(index, position)| Note {
            position: index,
            number: index + 1,
            title: position.title().to_owned(),
            result: result(sight, index),
            is_weakest: is_weakest(sight, position.key()),
        })
        .collect()
}

fn is_weakest(sight: &Sight, key: &str) -> bool {
    let weakest = sight
        .assessment
        .and_then(|assessment| assessment.weakest.as_ref());
    weakest.is_some_and(|weakest| {
        weakest.position == key
            && sight
                .forces
                .is_none_or(|forces| forces.phase == weakest.phase)
    })
}

fn result(sight: &Sight, index: usize) -> String {
    let position = &sight.rig.positions()[index];
    let Some(forces) = sight.forces else {
        return String::new();
    };
    match sight.assessment {
        Some(assessment) if forces.phase != Phase::Frictionless => {
            worst(assessment, position.key(), forces.phase)
                .map_or_else(String::new, |check| told(sight, check))
        }
        _ => {
            let forces = forces.positions.iter();
            let own = forces.filter(|force| force.position == position.key());
            let most = own
                .map(|force| force.force.likely())
                .max_by(|a, b| a.newtons().total_cmp(&b.newtons()));
            most.filter(|force| force.newtons() > 0.0)
                .map_or_else(String::new, |force| {
                    format!("takes {}", (sight.words)(force))
                })
        }
    }
}

/// The check of a position in a phase with the least room.
fn worst<'a>(assessment: &'a Assessment, key: &str, phase: Phase) -> Option<&'a Check> {
    let checks = assessment.checks.iter();
    checks
        .filter(|check| check.position == key && check.phase == phase)
        .min_by(|a, b| a.room().total_cmp(&b.room()))
}

fn told(sight: &Sight, check: &Check) -> String {
    match &check.judged {
        Judged::Factor { factor, .. } => format!("factor {}", factor_words(*factor)),
        Judged::Limit { against, .. } => format!(
            "{} of {}",
            (sight.words)(*against),
            (sight.words)(check.strength.effective)
        ),
    }
}
