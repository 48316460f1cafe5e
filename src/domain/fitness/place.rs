//! What speaks against an item by the place it is to take.

use super::{Question, belay, both_ways, own_rule, refusal};
use crate::domain::fact::Fact;
use crate::domain::{Kind, Mend, Model, Refusal, RefusalCode};
use crate::rigging::{Element, Position, Rig};

pub(super) fn check(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    already(question, refusals);
    let Some(key) = question.candidate.position else {
        return;
    };
    let rig = question.plan.rig;
    let Some(position) = rig.position(key) else {
        refusals.push(refusal(
            RefusalCode::NoSuchPosition,
            format!(
                "The rig \"{}\" has no position \"{key}\": choose one of its positions, or take the item as a spare.",
                rig.title()
            ),
            &own_rule("an item fills a position of the job's rig"),
            format!("positions: {}", keys(rig)),
        ));
        return;
    };
    filled(question, position, refusals);
    if is_right_kind(question.candidate.model.kind, position) {
        parts(question, position, refusals);
        belay::check(question, position, refusals);
        both_ways::check(question, position, refusals);
    } else {
        let kind = question.candidate.model.kind.one();
        refusals.push(refusal(
            RefusalCode::WrongKind,
            format!(
                "\"{}\" takes {}, not {kind}: choose another item or another position.",
                position.title(),
                accepted(position)
            ),
            &own_rule("a position takes the kinds of gear that its rig sheet lists"),
            format!("it is {kind}"),
        ));
    }
}

/// The position that the item is to take, if the rig has it and takes its kind there.
pub(super) fn position<'a>(rig: &'a Rig, key: Option<&str>, kind: Kind) -> Option<&'a Position> {
    rig.position(key?)
        .filter(|position| is_right_kind(kind, position))
}

/// Whether a position takes things of a kind.
///
/// What is used beside a rig stands at none, whatever a team's own rig lists.
pub(in crate::domain) fn is_right_kind(kind: Kind, position: &Position) -> bool {
    let mut accepted = position.accepts().iter();
    !kind.is_beside_the_rig() && accepted.any(|word| Kind::from_word(word) == Some(kind))
}

/// What a position takes: "a pulley or an anchor device".
fn accepted(position: &Position) -> String {
    let kinds = position.accepts().iter();
    let kinds: Vec<String> = kinds
        .map(|word| Kind::from_word(word).map_or_else(|| word.clone(), Kind::one))
        .collect();
    kinds.join(" or ")
}

fn keys(rig: &Rig) -> String {
    let keys: Vec<&str> = rig.positions().iter().map(Position::key).collect();
    keys.join(", ")
}

fn already(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    let item = question.candidate.item;
    let mut kit = question.circumstances.kit.iter();
    if let Some(same) = kit.find(|other| other.item.id == item.id) {
        let place = same.position.map_or_else(
            || "as a spare".to_owned(),
            |key| {
                let place = question.plan.rig.position(key);
                format!("at \"{}\"", place.map_or(key, Position::title))
            },
        );
        refusals.push(refusal(
            RefusalCode::OnThisJob,
            format!(
                "It is on this job already, {place}: take it off there first, or take another item."
            ),
            &own_rule("an item is on a kit list once"),
            format!("{} stands on the kit list {place}", item.mark),
        ));
    }
}

fn filled(question: &Question<'_>, position: &Position, refusals: &mut Vec<Refusal>) {
    let mut kit = question.circumstances.kit.iter();
    if let Some(holder) = kit.find(|other| other.position == Some(position.key())) {
        refusals.push(refusal(
            RefusalCode::PositionFilled,
            format!(
                "\"{}\" is filled already: take {} off first, or choose another position.",
                position.title(),
                holder.label()
            ),
            &own_rule("a position holds one item"),
            format!("{} stands there", holder.label()),
        ));
    }
}

/// The rule behind the parts of an item.
const HAS_WHAT_IT_NEEDS: &str = "an item has what its position in the rig needs";

/// What every position asks of a pulley.
pub(super) fn own_parts(model: &Model, refusals: &mut Vec<Refusal>) {
    if model.kind == Kind::Pulley && model.attributes.count("sheaves").is_none() {
        let refusal = refusal(
            RefusalCode::LacksPart,
            "How many sheaves it has is not known: write it on the model's record.",
            &own_rule(HAS_WHAT_IT_NEEDS),
            "sheaves: not known",
        );
        refusals.push(
            refusal
                .mended(Mend::ModelRecord(model.id))
                .lacking("number of sheaves", Fact::Attribute("sheaves")),
        );
    }
}

/// That a model lacks what a position needs; `unknown` is the attribute that is not on record, with its name, where the
/// record only does not say.
fn lack(
    (model, position): (&Model, &Position),
    what: &str,
    evidence: String,
    unknown: Option<(&'static str, &str)>,
) -> Refusal {
    let mut refusal = refusal(
        RefusalCode::LacksPart,
        format!(
            "\"{}\" needs {what}: take another item; if its maker's papers say that it has that, write it on the model's record.",
            position.title()
        ),
        &own_rule(HAS_WHAT_IT_NEEDS),
        evidence,
    );
    if let Some((key, unknown)) = unknown {
        refusal = refusal.lacking(unknown, Fact::Attribute(key));
    }
    refusal.mended(Mend::ModelRecord(model.id))
}

/// A yes-or-no attribute, as evidence.
pub(super) fn said(model: &Model, key: &str) -> &'static str {
    match model.attributes.yes_no(key) {
        Some(true) => "yes",
        Some(false) => "no",
        None => "not known",
    }
}

fn parts(question: &Question<'_>, position: &Position, refusals: &mut Vec<Refusal>) {
    let model = question.candidate.model;
    let attributes = &model.attributes;
    let mut lacks = |what: &str, evidence: String, unknown: Option<(&'static str, &str)>| {
        refusals.push(lack((model, position), what, evidence, unknown));
    };
    let needed = u32::from(position.sheaves());
    let sheaves = attributes.count("sheaves");
    if needed > 0 && sheaves.is_none_or(|count| count < needed) {
        let has = sheaves.map_or_else(|| "not known".to_owned(), |count| count.to_string());
        let word = if needed == 1 { "sheave" } else { "sheaves" };
        let unknown = sheaves
            .is_none()
            .then_some(("sheaves", "number of sheaves"));
        lacks(
            &format!("{needed} {word}"),
            format!("sheaves: {has}"),
            unknown,
        );
    }
    let unknown = |key, what| attributes.yes_no(key).is_none().then_some((key, what));
    if position.needs_becket() && attributes.yes_no("becket") != Some(true) {
        lacks(
            "a becket",
            format!("becket: {}", said(model, "becket")),
            unknown("becket", "whether it has a becket"),
        );
    }
    let holds = both_ways::captures(model) || belay::is_to_hold(question);
    if position.needs_capture() && !holds {
        lacks(
            "a progress capture",
            format!("capture: {}", said(model, "capture")),
            unknown("capture", "whether it has a progress capture"),
        );
    }
}

/// Index of the position of a device that the rope runs through, at one element of its path.
///
/// The hand and a made end take the rope whatever its diameter is.
pub(super) fn device_at(element: &Element) -> Option<usize> {
    match element {
        Element::Sheave { position, .. }
        | Element::Post { position, .. }
        | Element::Capture { position }
        | Element::Grab { position } => Some(*position),
        Element::Hand | Element::End { .. } => None,
    }
}
