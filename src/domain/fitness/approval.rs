//! Whether a device has the approvals that the rulebook asks for, and what they allow.
//!
//! One device may have several approvals with different rope ranges. Only those that the rulebook asks
//! for count; where several of them would do, the one that allows most of this job does.

use super::place::position;
use super::rope::{Reeved, ropes_through};
use super::{KitItem, Question, own_rule, refusal, rope};
use crate::domain::fact::Fact;
use crate::domain::rulebook::{ApprovalAsked, Rulebook, When};
use crate::domain::{Approval, Cited, Kind, Load, Mend, Model, Refusal, RefusalCode};
use crate::rigging::{Duty, Element, Rope, StrengthKind};

use super::Plan;

/// An approval that decides about a device on this job, and who asks for it.
#[derive(Clone, Copy)]
pub(in crate::domain) struct Governing<'a> {
    pub approval: &'a Approval,
    /// None where the rulebook asks for no approval of this kind, so that any will do.
    pub asked: Option<&'a ApprovalAsked>,
}

pub(super) fn check(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    let candidate = &question.candidate;
    let uses = uses(candidate, question.plan);
    not_approved(candidate.model, question.plan.rulebook, &uses, refusals);
    let ropes = ropes_through(candidate, question.plan, question.circumstances.kit);
    let mut against = Vec::new();
    for governing in governing(candidate, question.plan, &ropes) {
        load_and_strands(candidate, governing, question.plan, &mut against);
    }
    // One approval may answer for several rules, and is one reason all the same.
    for refusal in against {
        if !refusals.contains(&refusal) {
            refusals.push(refusal);
        }
    }
    smallest_load(question, refusals);
}

/// What the rulebook asks of its approvals whatever the device is used for.
pub(super) fn always_asked(model: &Model, rulebook: &Rulebook, refusals: &mut Vec<Refusal>) {
    not_approved(model, rulebook, &[], refusals);
    for (approval, rule) in approvals_without_load(model, rulebook) {
        refusals.push(load_unknown(model, approval, rule));
    }
}

/// The approvals of a model whose rated load every job asks for and that is not on record, each with the rule that asks.
/// Of several that will do for one rule it is the first.
pub fn approvals_without_load<'a>(
    model: &'a Model,
    rulebook: &'a Rulebook,
) -> impl Iterator<Item = (&'a Approval, &'a Cited)> {
    let asked = rulebook.approvals_asked(model.kind, &[]);
    let asked = asked.filter(|asked| asked.rated_load && !has_rated_load(model));
    asked.filter_map(|asked| {
        let counting = model.approvals.iter();
        let mut counting = counting.filter(|approval| asked.takes(approval));
        let first = counting.next()?;
        let is_known = |approval: &Approval| approval.rated_load.is_some();
        (!is_known(first) && !counting.any(is_known)).then_some((first, &asked.from))
    })
}

/// The approvals that are asked for and that are not on the model's record.
fn not_approved(model: &Model, rulebook: &Rulebook, uses: &[When], refusals: &mut Vec<Refusal>) {
    for asked in rulebook.approvals_asked(model.kind, uses) {
        let mut approvals = model.approvals.iter();
        // Of a descender at a belay its maker's word is asked for; where it stands, its own approval will do.
        let is_by_word = asked.kind == Kind::Descender && asked.when == When::Catches;
        if is_by_word || approvals.any(|approval| asked.takes(approval)) {
            continue;
        }
        let refusal = refusal(
            RefusalCode::NotApproved,
            format!(
                "The rulebook asks for an approval to {}{}: take an item that has it{}.",
                asked.words(),
                why(asked),
                if model.approvals.is_empty() {
                    "; if its maker's papers say that this one has it, write it on the model's record"
                } else {
                    ". All that is on record of this one is other approvals, which do not stand for it"
                }
            ),
            &asked.from,
            format!("approvals on record: {}", titles(&model.approvals)),
        );
        let mut refusal = refusal.mended(Mend::ModelRecord(model.id));
        // Where others are on record, this one may well not be to be had.
        if model.approvals.is_empty() {
            refusal = refusal.lacking(format!("approval to {}", asked.words()), Fact::Approval);
        }
        refusals.push(refusal);
    }
}

fn load_unknown(model: &Model, approval: &Approval, rule: &Cited) -> Refusal {
    refusal(
        RefusalCode::RatedLoad,
        format!(
            "The rated load of its approval to {} is not known: write it on the model's record.",
            approval.title()
        ),
        rule,
        "no rated load on record",
    )
    .mended(Mend::ModelRecord(model.id))
    .lacking(
        format!("rated load of its approval to {}", approval.title()),
        Fact::RatedLoad(approval.title()),
    )
}

fn why(asked: &ApprovalAsked) -> &'static str {
    match asked.when {
        When::Catches if asked.kind == Kind::Harness => {
            " for a harness in which a belay may have to stop a fall; one that only lifts or lowers is not made for that"
        }
        When::Always => "",
        When::Captures => " for a device that captures the rope",
        When::Grabs => " for a device that grabs the rope",
        When::Catches => {
            " for a device that catches a fall at a belay; one that only holds a rope is not made to stop a fall"
        }
        When::Several => ", since more than one person hangs on the rope",
    }
}

fn titles(approvals: &[Approval]) -> String {
    if approvals.is_empty() {
        return "none".to_owned();
    }
    let titles: Vec<String> = approvals.iter().map(Approval::title).collect();
    titles.join("; ")
}

/// What a device does with the rope at its position. In a harness a belay catches whoever hangs on it.
pub(super) fn uses(device: &KitItem<'_>, plan: &Plan<'_>) -> Vec<When> {
    let Some(place) = position(plan.rig, device.position, device.model.kind) else {
        return Vec::new();
    };
    let mut uses = Vec::new();
    if plan.persons() > 1 {
        uses.push(When::Several);
    }
    if place.needs_capture() {
        uses.push(When::Captures);
    }
    let is_here = |position: &usize| plan.rig.positions()[*position].key() == place.key();
    let mut met = plan.rig.ropes().iter().flat_map(Rope::path);
    if met.any(|element| matches!(element, Element::Grab { position } if is_here(position))) {
        uses.push(When::Grabs);
    }
    let ropes = plan.rig.ropes().iter();
    let mut belays = ropes.filter(|rope| rope.duty() == Duty::Belay);
    let is_worn = device.model.kind == Kind::Harness;
    if belays.any(|rope| is_worn || rope.path().iter().filter_map(stops).any(|at| is_here(&at))) {
        uses.push(When::Catches);
    }
    uses
}

/// The position of a device that stops the rope at an element of its path; a sheave that only turns it stops nothing.
fn stops(element: &Element) -> Option<usize> {
    match *element {
        Element::Capture { position }
        | Element::Grab { position }
        | Element::Post { position, .. }
        | Element::Sheave {
            position,
            capture: true,
            ..
        } => Some(position),
        Element::Hand | Element::End { .. } | Element::Sheave { .. } => None,
    }
}

/// Whether things of a kind are made to grip a rope; their makers rate them by the load that is carried with them.
pub fn grips_rope(kind: Kind) -> bool {
    matches!(kind, Kind::RopeClamp | Kind::Descender | Kind::BackUpDevice)
}

/// Whether a device grips the rope, so that the rope's kind matters.
pub(super) fn grips(device: &KitItem<'_>, plan: &Plan<'_>) -> bool {
    grips_rope(device.model.kind) || uses(device, plan).iter().any(|when| *when != When::Several)
}

/// The approvals that decide: for each one that is asked for, that of the device's which allows most.
pub(in crate::domain) fn governing<'a>(
    device: &KitItem<'a>,
    plan: &'a Plan<'_>,
    ropes: &[Reeved<'_>],
) -> Vec<Governing<'a>> {
    let uses = uses(device, plan);
    let asked: Vec<&ApprovalAsked> = plan
        .rulebook
        .approvals_asked(device.model.kind, &uses)
        .collect();
    let best = |asked: Option<&'a ApprovalAsked>| {
        let all = device.model.approvals.iter();
        all.filter(|approval| asked.is_none_or(|asked| asked.takes(approval)))
            .map(|approval| Governing { approval, asked })
            // Of two that would do alike, the one that needs no other device with it.
            .min_by_key(|governing| {
                let against = against(device, *governing, plan, ropes).len();
                (against, governing.approval.set_with.len())
            })
    };
    if asked.is_empty() {
        return best(None).into_iter().collect();
    }
    asked
        .into_iter()
        .filter_map(|asked| best(Some(asked)))
        .collect()
}

/// What the load, the rig and the ropes put against an approval.
fn against(
    device: &KitItem<'_>,
    governing: Governing<'_>,
    plan: &Plan<'_>,
    ropes: &[Reeved<'_>],
) -> Vec<Refusal> {
    let mut against = Vec::new();
    load_and_strands(device, governing, plan, &mut against);
    for reeved in ropes {
        rope::diameter(device, governing, reeved, &mut against);
        rope::kind(device, governing, reeved, plan, &mut against);
    }
    against
}

/// Every approval of a device at its position, with what the whole kit puts against it.
///
/// Here the set counts too in which an approval holds: while a kit is put together its other members
/// may still be missing, so choosing an item does not ask for them, but the verdict does.
pub(in crate::domain) fn coverage<'a>(
    device: &KitItem<'a>,
    plan: &'a Plan<'_>,
    kit: &[KitItem<'_>],
) -> Vec<(Governing<'a>, Vec<Refusal>)> {
    let uses = uses(device, plan);
    let ropes = ropes_through(device, plan, kit);
    let approvals = device.model.approvals.iter().map(|approval| {
        let mut rules = plan.rulebook.approvals_asked(device.model.kind, &uses);
        let asked = rules.find(|asked| asked.takes(approval));
        let governing = Governing { approval, asked };
        let mut against = against(device, governing, plan, &ropes);
        against.extend(outside_its_set(approval, kit));
        (governing, against)
    });
    approvals.collect()
}

/// The members of its set that are not on the rig.
pub(in crate::domain) fn outside_its_set(
    approval: &Approval,
    kit: &[KitItem<'_>],
) -> Option<Refusal> {
    let same = |named: &str, model: &Model| {
        let named = named.to_lowercase();
        [model.title(), model.name.clone()]
            .map(|title| title.to_lowercase())
            .contains(&named)
    };
    let missing: Vec<&str> = approval
        .set_with
        .iter()
        .filter(|named| {
            let mut placed = kit.iter().filter(|other| other.position.is_some());
            !placed.any(|other| same(named, other.model))
        })
        .map(String::as_str)
        .collect();
    if missing.is_empty() {
        return None;
    }
    let title = approval.title();
    Some(refusal(
        RefusalCode::NotApproved,
        format!(
            "Its approval to {title} holds only in a set with {}, and {} is not on the rig: put it there, or take another device.",
            approval.set_with.join(" and "),
            missing.join(" and ")
        ),
        &own_rule("a device is used only as it is approved"),
        format!(
            "approval to {title}, in a set with {}",
            approval.set_with.join(", ")
        ),
    ))
}

fn load_and_strands(
    device: &KitItem<'_>,
    governing: Governing<'_>,
    plan: &Plan<'_>,
    refusals: &mut Vec<Refusal>,
) {
    let Governing { approval, asked } = governing;
    let title = approval.title();
    let load = plan.load_on(device);
    let rule = asked.map_or(&plan.rulebook.limit().from, |asked| &asked.from);
    match approval.rated_load {
        Some(rated) if rated.quantity() < load => refusals.push(
            refusal(
                RefusalCode::RatedLoad,
                format!(
                    "Its approval to {title} ends at {rated}, and it would carry {}: take an item for more, or plan a lighter load.",
                    rated.unit().words(load)
                ),
                &plan.rulebook.limit().from,
                format!("rated load {rated}; {}", plan.load_evidence(device)),
            )
            .by(rated.quantity().kilograms(), load.kilograms()),
        ),
        None if asked.is_some_and(|asked| asked.rated_load) && !has_rated_load(device.model) => {
            refusals.push(load_unknown(device.model, approval, rule));
        }
        _ => {}
    }
    refusals.extend(too_many(approval, plan));
    let strands = plan.rig.strands_at_load();
    if let Some(least) = approval.least_strands
        && usize::from(least) > strands
    {
        refusals.push(refusal(
            RefusalCode::Strands,
            format!(
                "Its approval to {title} asks for a tackle of at least {least} strands, and the rig has {strands} at the load: choose another rig or another item."
            ),
            &own_rule("a device is used only as it is approved"),
            format!("approval to {title}, at least {least} strands"),
        ));
    }
}

/// That more people are counted on the rope than an approval is for at once.
fn too_many(approval: &Approval, plan: &Plan<'_>) -> Option<Refusal> {
    let persons = plan.persons();
    let most = approval.most_persons.filter(|most| persons > *most)?;
    let (title, counted) = (approval.title(), Load::Persons(persons));
    let load = plan.job.load;
    let has = if plan.job.people() == Some(persons) {
        format!("the job has {counted}")
    } else {
        format!("its load of {load} counts for {counted}")
    };
    Some(refusal(
        RefusalCode::RatedLoad,
        format!(
            "Its approval to {title} is for {} at once, and {has}: take an item for more, or plan for fewer.",
            Load::Persons(most)
        ),
        &own_rule("a device is used only as it is approved"),
        format!(
            "approval to {title}, at most {most} at once; load of the job {load}, one person counted with {}",
            plan.rulebook.person().mass
        ),
    ).by(most.into(), persons.into()))
}

fn has_rated_load(model: &Model) -> bool {
    let mut ratings = model.ratings.iter();
    ratings.any(|rating| rating.kind == StrengthKind::RatedLoad)
}

fn smallest_load(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    let Some(least) = question.candidate.model.attributes.mass("rated-load-least") else {
        return;
    };
    let load = question.plan.least_on(&question.candidate);
    if least.quantity() > load {
        refusals.push(refusal(
            RefusalCode::RatedLoad,
            format!(
                "It needs a load of at least {least}, and it would carry {}: take an item for less.",
                least.unit().words(load)
            ),
            &question.plan.rulebook.limit().from,
            format!(
                    "smallest rated load {least}; {}",
                    question.plan.load_evidence(&question.candidate)
                ),
        ).by(load.kilograms(), least.quantity().kilograms()));
    }
}
