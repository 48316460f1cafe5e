//! Every force in every phase, as rows of a table.

use crate::{
    domain::Units,
    rigging::{Assessment, Band, BodyForce, Force, Forces, PartTension, Rig},
    view::words,
};

/// Something with its force in each phase.
pub struct TensionRow {
    /// What it is.
    pub what: String,
    /// One a phase: the likely force, and its range if it has one; nothing where no rope pulls on it.
    pub forces: Vec<Option<(String, String)>>,
}

/// A force with its range: "0.613 kN (0.59 kN to 0.66 kN)".
pub(super) fn band(force: Band<Force>, units: Units) -> String {
    match apart(force, units) {
        (likely, range) if range.is_empty() => likely,
        (likely, range) => format!("{likely} ({range})"),
    }
}

/// What stands beside the highest force: "likely 0.613 kN, at least 0.59 kN"; nothing where they are shown alike.
pub(super) fn range(force: Band<Force>, units: Units) -> String {
    let [low, likely, high] =
        [force.low(), force.likely(), force.high()].map(|force| words::force(force, units));
    match (low == high, likely == high) {
        (true, _) => String::new(),
        (false, true) => format!("which is likely; at least {low}"),
        (false, false) => format!("likely {likely}, at least {low}"),
    }
}

/// The likely force, and its range where the two ends are not shown alike.
fn apart(force: Band<Force>, units: Units) -> (String, String) {
    let (low, high) = (
        words::force(force.low(), units),
        words::force(force.high(), units),
    );
    let range = if low == high {
        String::new()
    } else {
        format!("{low} to {high}")
    };
    (words::force(force.likely(), units), range)
}

/// One row for each thing that has a force in some phase, with a cell for every phase: what is slack in a
/// phase is left out of its forces, so that a place in the list says nothing about what stands there.
fn rows<'a, T: 'a, K: PartialEq>(
    phases: &'a [Forces],
    of: impl Fn(&'a Forces) -> &'a [T],
    key: impl Fn(&'a T) -> K,
    (what, force): (impl Fn(&'a T) -> String, impl Fn(&'a T) -> Band<Force>),
    units: Units,
) -> Vec<TensionRow> {
    let mut found: Vec<&'a T> = Vec::new();
    for one in phases.iter().flat_map(&of) {
        if !found.iter().any(|other| key(other) == key(one)) {
            found.push(one);
        }
    }
    let cell = |forces: &'a Forces, row: &'a T| {
        let mut all = of(forces).iter();
        all.find(|one| key(one) == key(row))
            .map(|one| apart(force(one), units))
    };
    found
        .into_iter()
        .map(|row| TensionRow {
            what: what(row),
            forces: phases.iter().map(|forces| cell(forces, row)).collect(),
        })
        .collect()
}

/// The pull in every part of every rope.
pub(super) fn tensions(assessment: &Assessment, rig: &Rig, units: Units) -> Vec<TensionRow> {
    let what = |part: &PartTension| {
        let rope = match rig.position(&part.rope) {
            Some(rope) if rig.ropes().len() > 1 => format!("{}, part", rope.title()),
            _ => "Part".to_owned(),
        };
        format!("{rope} {}: {} to {}", part.part + 1, part.from, part.to)
    };
    rows(
        &assessment.phases,
        |forces| &forces.parts,
        |part| (&part.rope, part.part),
        (what, |part: &PartTension| part.tension),
        units,
    )
}

/// The force on every body.
pub(super) fn bodies(assessment: &Assessment, rig: &Rig, units: Units) -> Vec<TensionRow> {
    let title = |body: &BodyForce| {
        let mut bodies = rig.bodies().iter();
        bodies
            .find(|other| other.key() == body.body)
            .map_or(body.body.as_str(), |body| body.title())
            .to_owned()
    };
    rows(
        &assessment.phases,
        |forces| &forces.bodies,
        |body| &body.body,
        (title, |body: &BodyForce| body.force),
        units,
    )
}
