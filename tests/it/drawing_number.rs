//! The numbers by which a drawing and its table speak of the same position.

use ropeloft::rigging::{Phase, shipped};
use ropeloft::view::drawing::Fit;

use crate::drawing::{drawn, judged};

#[test]
fn every_position_is_named_or_numbered() {
    for rig in shipped() {
        for fit in [Fit::Wide, Fit::Narrow] {
            let drawing = drawn(rig, None, None, fit);
            for number in 1..=rig.positions().len() {
                let begins = |words: &String| {
                    words == &number.to_string() || words.starts_with(&format!("{number} "))
                };
                let mut labels = drawing.labels.iter();
                assert!(
                    labels.any(|label| label.lines.iter().any(|(words, _)| begins(words))),
                    "{}: {number}, {fit:?}",
                    rig.key()
                );
            }
        }
    }
}

#[test]
fn the_numbers_of_positions_are_told_to_those_who_do_not_see_them() {
    for rig in shipped() {
        let judged = judged(rig);
        let forces = judged.forces(Phase::Lowering);
        for fit in [Fit::Wide, Fit::Narrow] {
            let drawing = drawn(rig, forces, Some(&judged), fit);
            let (told, _) = drawing.desc.split_once(" runs from ").unwrap();
            let told = told
                .strip_prefix("Positions, numbered as in the table: ")
                .unwrap();
            let mut shown = 0;
            for (index, position) in rig.positions().iter().enumerate() {
                let checked = judged
                    .checks
                    .iter()
                    .any(|check| check.position == position.key());
                let own = format!("{} {}", index + 1, position.title());
                let is_told = told.split("; ").any(|words| words.starts_with(&own));
                assert_eq!(
                    is_told,
                    checked || !position.is_optional(),
                    "{}: {told}",
                    rig.key()
                );
                shown += usize::from(is_told);
            }
            assert!(shown > 0);
        }
    }
}
