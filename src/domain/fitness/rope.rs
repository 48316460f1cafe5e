//! Rope and devices, checked both ways: a device onto the ropes of the kit, a rope onto its devices.

use super::approval::{Governing, governing, grips, uses};
use super::place::{device_at, position};
use super::rope_range::{is_unknown, range_unknown};
use super::{KitItem, Plan, Question, own_rule, refusal, rope_sum};
use crate::domain::entered::EnteredLength;
use crate::domain::fact::Fact;
use crate::domain::{Cited, Item, Kind, Known, Mend, Model, Refusal, RefusalCode};
use crate::rigging::{Element, Length, Rig, RopeLength, RopeNeed};

/// A rope that runs through a device.
#[derive(Clone, Copy)]
pub(in crate::domain) struct Reeved<'a> {
    pub(super) rope: KitItem<'a>,
}

impl Reeved<'_> {
    pub(super) fn diameter(&self) -> Option<EnteredLength> {
        self.rope.model.attributes.length("diameter")
    }

    pub(super) fn kind(&self) -> Option<&str> {
        self.rope.model.attributes.text("rope-kind")
    }
}

pub(super) fn check(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    let candidate = &question.candidate;
    if candidate.model.kind == Kind::Rope {
        onto_devices(question, refusals);
        length(question, refusals);
    } else {
        let ropes = ropes_through(candidate, question.plan, question.circumstances.kit);
        // Without an approval that counts it is refused already, and there is no range to speak of.
        if has_approval_that_counts(candidate, question.plan) {
            compare(candidate, &ropes, question.plan, refusals);
        }
    }
}

pub(super) fn has_approval_that_counts(device: &KitItem<'_>, plan: &Plan<'_>) -> bool {
    let uses = uses(device, plan);
    let mut asked = plan.rulebook.approvals_asked(device.model.kind, &uses);
    asked.next().is_none() || !governing(device, plan, &[]).is_empty()
}

/// The ropes of the kit that run through a device.
pub(super) fn ropes_through<'a>(
    device: &KitItem<'_>,
    plan: &Plan<'_>,
    kit: &'a [KitItem<'a>],
) -> Vec<Reeved<'a>> {
    kit.iter()
        .filter(|other| runs_through(other, device, plan))
        .map(|rope| Reeved { rope: *rope })
        .collect()
}

/// The keys of the positions whose rope runs through the device at a position.
pub(in crate::domain) fn through<'a>(rig: &'a Rig, device: &str) -> Vec<&'a str> {
    let positions = rig.positions();
    let meets = |element: &Element| {
        device_at(element).is_some_and(|index| positions[index].key() == device)
    };
    let ropes = rig.ropes().iter();
    ropes
        .filter(|rope| rope.path().iter().any(meets))
        .map(|rope| positions[rope.position()].key())
        .collect()
}

/// Whether the path of a rope at its position meets the position of a device.
pub(super) fn runs_through(rope: &KitItem<'_>, device: &KitItem<'_>, plan: &Plan<'_>) -> bool {
    let place = |kit: &KitItem<'_>| position(plan.rig, kit.position, kit.model.kind);
    let (Some(rope), Some(device)) = (place(rope), place(device)) else {
        return false;
    };
    through(plan.rig, device.key()).contains(&rope.key())
}

/// The candidate is a rope: it is held against each device that it runs through.
fn onto_devices(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    let rope = Reeved {
        rope: question.candidate,
    };
    if position(question.plan.rig, rope.rope.position, Kind::Rope).is_none() {
        return;
    }
    if rope.diameter().is_none() {
        refusals.push(no_diameter(&rope));
        return;
    }
    for device in question.circumstances.kit {
        if runs_through(&rope.rope, device, question.plan) {
            compare(device, &[rope], question.plan, refusals);
        }
    }
}

/// Holds ropes against the approvals of a device.
fn compare(
    device: &KitItem<'_>,
    ropes: &[Reeved<'_>],
    plan: &Plan<'_>,
    refusals: &mut Vec<Refusal>,
) {
    let governing = governing(device, plan, ropes);
    for reeved in ropes {
        match reeved.diameter() {
            None => refusals.push(no_diameter(reeved)),
            Some(diameter) if is_unknown((device, plan), &governing, diameter) => {
                refusals.push(range_unknown(device, &governing, reeved));
            }
            Some(_) => {}
        }
        for one in &governing {
            diameter(device, *one, reeved, refusals);
            kind(device, *one, reeved, plan, refusals);
        }
    }
}

fn no_diameter(reeved: &Reeved<'_>) -> Refusal {
    refusal(
        RefusalCode::RopeDiameter,
        format!(
            "The diameter of {} is not known, so no device can be held against it: write it on the model's record.",
            reeved.rope.label()
        ),
        &own_rule("what is not known is never a pass"),
        "no diameter on record",
    )
    .mended(Mend::ModelRecord(reeved.rope.model.id))
    .lacking("diameter", Fact::Attribute("diameter"))
}

/// What a rope's own record must hold before any position takes it.
pub(super) fn own_record(item: &Item, model: &Model, refusals: &mut Vec<Refusal>) {
    if model.kind != Kind::Rope {
        return;
    }
    let rope = Reeved {
        rope: KitItem {
            item,
            model,
            position: None,
        },
    };
    if rope.diameter().is_none() {
        refusals.push(no_diameter(&rope));
    }
    if rope.kind().is_none() {
        let refusal = refusal(
            RefusalCode::RopeKind,
            "What kind of rope it is, is not known, and what grips it takes some kinds only: write it on the model's record.",
            &own_rule("what is not known is never a pass"),
            "no rope kind on record",
        );
        let refusal = refusal.lacking("kind of rope", Fact::Attribute("rope-kind"));
        refusals.push(refusal.mended(Mend::ModelRecord(model.id)));
    }
    if item.attributes.length("length").is_none() {
        let refusal = refusal(
            RefusalCode::RopeTooShort,
            "How long it is now is not known: measure it and write it on its record.",
            &own_rule("the rope reaches over the whole way, with its tail and its knots"),
            "no length on record",
        );
        refusals.push(refusal.mended(Mend::ItemRecord(item.id)));
    }
}

/// The rule behind a range or a list of rope kinds: the approval, and that the rulebook asks for it.
fn rule(governing: Governing<'_>) -> Cited {
    let title = governing.approval.title();
    match governing.asked {
        Some(asked) => Cited::new(
            format!("approval to {title}, asked for by: {}", asked.from.source),
            asked.from.known,
        ),
        None => Cited::new(
            format!("approval to {title}, as entered for the model"),
            Known::Setting,
        ),
    }
}

pub(super) fn diameter(
    device: &KitItem<'_>,
    governing: Governing<'_>,
    reeved: &Reeved<'_>,
    refusals: &mut Vec<Refusal>,
) {
    let (Some(range), Some(diameter)) = (governing.approval.rope_range, reeved.diameter()) else {
        return;
    };
    if range.takes(diameter) == Some(false) {
        let refusal = refusal(
            RefusalCode::RopeDiameter,
            format!(
                "{} is {diameter} thick, and {} takes {range} under its approval to {}: take a rope or a device that fits the other.",
                sentence_start(&reeved.rope.label()),
                device.label(),
                governing.approval.title()
            ),
            &rule(governing),
            format!("rope {diameter}; range {range}"),
        );
        let millimetres = |length: EnteredLength| length.quantity().millimetres();
        let (thin, thick) = (millimetres(diameter), range.most.map(millimetres));
        refusals.push(match (range.least.map(millimetres), thick) {
            (_, Some(most)) if thin > most => refusal.by(most, thin),
            (Some(least), _) => refusal.by(thin, least),
            _ => refusal,
        });
    }
}

pub(super) fn kind(
    device: &KitItem<'_>,
    governing: Governing<'_>,
    reeved: &Reeved<'_>,
    plan: &Plan<'_>,
    refusals: &mut Vec<Refusal>,
) {
    let stated = &governing.approval.rope_kinds;
    let grips = grips(device, plan);
    let allowed: &[String] = match governing.asked {
        // Whatever kind of rope it is, a plain sheave lets it run.
        _ if stated.is_empty() && !grips => return,
        Some(asked) if stated.is_empty() => &asked.rope_kinds,
        _ => stated,
    };
    if allowed.is_empty() {
        // An approval for something else than gripping says nothing about rope, and need not.
        if governing
            .asked
            .is_some_and(|asked| asked.rope_kinds.is_empty())
        {
            return;
        }
    }
    let list = if allowed.is_empty() {
        "kinds that are not on record".to_owned()
    } else {
        allowed.join(" or ")
    };
    match reeved.kind() {
        Some(kind) if allowed.iter().any(|one| one == kind) => {}
        Some(kind) => {
            let other = other_kind(device, governing, (reeved, kind), &list);
            // Where no kind is on record at all, it is the record that lacks it.
            refusals.push(if allowed.is_empty() {
                let fact = Fact::RopeKinds(governing.approval.title());
                let other = other.mended(Mend::ModelRecord(device.model.id));
                other.lacking("kinds of rope that it takes", fact)
            } else {
                other
            });
        }
        None => refusals.push(
            refusal(
                RefusalCode::RopeKind,
                format!(
                    "The kind of {} is not known, and {} takes only {list}: write it on the model's record.",
                    reeved.rope.label(),
                    device.label()
                ),
                &rule(governing),
                format!("no rope kind on record; allowed: {list}"),
            )
            .mended(Mend::ModelRecord(reeved.rope.model.id))
            .lacking("kind of rope", Fact::Attribute("rope-kind")),
        ),
    }
}

/// That a rope is of another kind than those of the list.
fn other_kind(
    device: &KitItem<'_>,
    governing: Governing<'_>,
    (reeved, kind): (&Reeved<'_>, &str),
    list: &str,
) -> Refusal {
    refusal(
        RefusalCode::RopeKind,
        format!(
            "{} is {kind} rope, and {} takes {list} under its approval to {}: take a rope or a device that fits the other.",
            sentence_start(&reeved.rope.label()),
            device.label(),
            governing.approval.title()
        ),
        &rule(governing),
        format!("rope kind {kind}; allowed: {list}"),
    )
}

fn sentence_start(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(char::to_uppercase);
    first.into_iter().flatten().chain(letters).collect()
}

/// Whether a length is enough, with a hair of a millimetre, so that a sum of decimals does not refuse the exact one.
pub fn is_long_enough(has: EnteredLength, needed: Length) -> bool {
    has.quantity().metres() >= needed.metres() - 1e-6
}

/// A rope must reach.
fn length(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    let candidate = &question.candidate;
    let Some(place) = position(question.plan.rig, candidate.position, Kind::Rope) else {
        return;
    };
    let rule = own_rule("the rope reaches over the whole way, with its tail and its knots");
    let plan = question.plan.under(question.circumstances.kit);
    let needed = match &plan.rope {
        Ok(need) => match needed(need, place.key()) {
            Some(needed) => needed,
            None => return,
        },
        Err(gaps) => {
            let why: Vec<String> = gaps.iter().map(ToString::to_string).collect();
            let refusal = refusal(
                RefusalCode::RopeTooShort,
                "How long the rope must be cannot be told: complete the lengths of the job's plan.",
                &rule,
                why.join(" "),
            );
            refusals.push(refusal.mended(Mend::JobPlan(question.plan.job.id)));
            return;
        }
    };
    let metres = needed.length.metres();
    let sum = format!(
        "needed: {}",
        rope_sum(plan.job, plan.rig, &plan.head, place.key())
            .unwrap_or_else(|| format!("{metres:.1} m"))
    );
    match candidate.item.attributes.length("length") {
        None => refusals.push(
            refusal(
                RefusalCode::RopeTooShort,
                format!("The rope must be {metres:.1} m long, and how long it is now is not known: measure it and write it on its record."),
                &rule,
                format!("no length on record; {sum}"),
            )
            .mended(Mend::ItemRecord(candidate.item.id)),
        ),
        Some(length) if !is_long_enough(length, needed.length) => refusals.push(
            refusal(
                RefusalCode::RopeTooShort,
                too_short(length, needed.length),
                &rule,
                format!("length now {length}; {sum}"),
            )
            .by(length.quantity().metres(), metres),
        ),
        Some(_) => {}
    }
}

/// That a rope is too short, in the unit in which its own length was written down.
fn too_short(length: EnteredLength, needed: Length) -> String {
    let unit = length.unit();
    let (sign, needed) = (unit.symbol(), unit.number(needed));
    format!(
        "The rope is {length} long and must be {needed:.1} {sign}, {:.1} {sign} more: take a longer one, or another rig.",
        needed - length.value()
    )
}

/// How long the rope of a position must be, and why.
pub(in crate::domain) fn needed<'a>(need: &'a RopeNeed, rope: &str) -> Option<&'a RopeLength> {
    need.ropes.iter().find(|length| length.rope == rope)
}
