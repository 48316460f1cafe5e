//! The diameters of rope that a device takes, where the record does not tell them, or one end of them alone.

use super::approval::{Governing, governing, grips};
use super::both_ways::captures;
use super::place::position;
use super::rope::{Reeved, has_approval_that_counts, ropes_through, through};
use super::{KitItem, Plan, own_rule, refusal};
use crate::domain::entered::EnteredLength;
use crate::domain::fact::Fact;
use crate::domain::{Kind, Mend, Refusal, RefusalCode, RopeRange};

/// A range that does not tell whether a rope runs in it.
pub(super) fn range_unknown(
    device: &KitItem<'_>,
    governing: &[Governing<'_>],
    reeved: &Reeved<'_>,
) -> Refusal {
    let titles: Vec<String> = governing.iter().map(|one| one.approval.title()).collect();
    let under = if titles.is_empty() {
        String::new()
    } else {
        format!(" under its approval to {}", titles.join(" and "))
    };
    let (device_label, rope) = (device.label(), reeved.rope.label());
    let half = half_known(governing).map(|(_, range)| range);
    let (sentence, known) = match half.and_then(|range| Some((range, range.lacks()?))) {
        Some((range, end)) => (
            format!(
                "How {} a rope {device_label} takes{under} is not known, and {rope} runs through it: on record is {range}. Write the {end} rope on the model's record.",
                if end == "thinnest" { "thin" } else { "thick" },
            ),
            format!("rope range on record: {range}"),
        ),
        None => (
            format!(
                "Which diameters {device_label} takes{under} is not known, and {rope} runs through it: write the range on the model's record."
            ),
            "no rope range on record for an approval that counts".to_owned(),
        ),
    };
    let rule = own_rule("what is not known is never a pass");
    refusal(RefusalCode::RopeDiameter, sentence, &rule, known)
        .mended(Mend::ModelRecord(device.model.id))
        .lacking(lack(governing), range_fact(governing))
}

/// What is not on record, in a few words.
fn lack(governing: &[Governing<'_>]) -> &'static str {
    match half_known(governing).and_then(|(_, range)| range.lacks()) {
        Some("thinnest") => "thinnest rope that it takes",
        Some(_) => "thickest rope that it takes",
        None => "diameters of rope that it takes",
    }
}

/// The approval that tells one end of the range alone, where none tells both.
fn half_known<'a>(governing: &[Governing<'a>]) -> Option<(Governing<'a>, RopeRange)> {
    let mut all = governing.iter();
    all.find_map(|one| Some((*one, one.approval.rope_range?)))
}

/// What is asked for: the ends of the approval that tells one of them, else of the first.
fn range_fact(governing: &[Governing<'_>]) -> Fact {
    let half = half_known(governing).map(|(one, _)| one);
    let of = half.or_else(|| governing.first().copied());
    Fact::RopeRange(of.map(|one| one.approval.title()))
}

/// The range of ropes, where a rope is to run through a device at its position and no approval that counts tells one:
/// it will be asked for as soon as the rope is chosen.
pub(in crate::domain) fn range_lacking(
    device: &KitItem<'_>,
    plan: &Plan<'_>,
) -> Option<(&'static str, Fact)> {
    let place = position(plan.rig, device.position, device.model.kind)?;
    if through(plan.rig, place.key()).is_empty() || !has_approval_that_counts(device, plan) {
        return None;
    }
    let governing = governing(device, plan, &[]);
    has_no_range((device, plan), &governing).then(|| (lack(&governing), range_fact(&governing)))
}

/// Whether no approval tells as much of a range as is asked.
fn has_no_range(at: (&KitItem<'_>, &Plan<'_>), governing: &[Governing<'_>]) -> bool {
    let mut ranges = governing.iter().filter_map(|one| one.approval.rope_range);
    ranges.all(|range| range.lacks().is_some() && !is_whole_by_half(at, range))
}

/// Whether no approval tells of a rope of this diameter that it is taken or not.
pub(super) fn is_unknown(
    at: (&KitItem<'_>, &Plan<'_>),
    governing: &[Governing<'_>],
    diameter: EnteredLength,
) -> bool {
    let mut ranges = governing.iter().filter_map(|one| one.approval.rope_range);
    ranges.all(|range| range.takes(diameter).is_none() && !is_whole_by_half(at, range))
}

/// Whether the thickest rope alone tells which ropes a device takes where it stands: it is a plain pulley, whose sheaves
/// let every thinner rope run. What grips a rope lets one slip that is too thin, so that both ends are asked of it.
///
/// Common practice, no source: makers of plain pulleys print the thickest rope alone.
fn is_whole_by_half((device, plan): (&KitItem<'_>, &Plan<'_>), range: RopeRange) -> bool {
    let is_plain = device.model.kind == Kind::Pulley && !captures(device.model);
    is_plain && !grips(device, plan) && range.least.is_none() && range.most.is_some()
}

/// What is taken of a plain pulley through which a rope runs and of which the thickest rope alone is on record, in one
/// sentence; none of what has its whole range on record.
pub(in crate::domain) fn half_range(
    device: &KitItem<'_>,
    plan: &Plan<'_>,
    kit: &[KitItem<'_>],
) -> Option<String> {
    let ropes = ropes_through(device, plan, kit);
    let governing = governing(device, plan, &ropes);
    let mut ranges = governing.iter().filter_map(|one| one.approval.rope_range);
    let is_half = |range: &RopeRange| is_whole_by_half((device, plan), *range);
    let has_whole = ranges.clone().any(|range| range.lacks().is_none());
    let most = ranges.find(is_half).and_then(|range| range.most)?;
    (!has_whole && !ropes.is_empty()).then(|| {
        format!(
            "Of {} only the thickest rope is on record, {most}: any thinner one is taken to run on it, since its sheaves \
             grip nothing (common practice, no source).",
            device.label()
        )
    })
}
