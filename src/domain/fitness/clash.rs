//! A rope and a device that refuse each other by the rope's diameter or kind, and what each asks of the other.

use super::approval::{Governing, governing};
use super::rope::{self, Reeved, runs_through};
use super::{KitItem, Plan};
use crate::domain::Kind;

/// A rope, and a device that it runs through, of which one does not take the other.
pub(in crate::domain) struct Clash<'a> {
    /// The rope.
    pub rope: KitItem<'a>,
    /// The device.
    pub device: KitItem<'a>,
    /// Whether the rope runs through other devices of the kit too.
    pub meets_others: bool,
    governing: Vec<Governing<'a>>,
}

impl Clash<'_> {
    /// What the rope is: "low-stretch rope of 9 mm".
    pub fn gives(&self) -> String {
        let reeved = Reeved { rope: self.rope };
        let kind = reeved.kind().map(|kind| format!("{kind} "));
        let diameter = reeved.diameter().map(|thick| format!(" of {thick}"));
        format!(
            "{}rope{}",
            kind.unwrap_or_default(),
            diameter.unwrap_or_default()
        )
    }

    /// What a rope must be to run through the device: "10 mm to 13 mm thick, low-stretch".
    pub fn takes(&self) -> String {
        let mut parts: Vec<String> = Vec::new();
        for one in &self.governing {
            let range = one.approval.rope_range;
            let kinds = match (one.approval.rope_kinds.as_slice(), one.asked) {
                ([], Some(asked)) => asked.rope_kinds.as_slice(),
                (stated, _) => stated,
            };
            let range = range.map(|range| format!("{range} thick"));
            let kinds = Some(kinds.join(" or ")).filter(|kinds| !kinds.is_empty());
            for part in [range, kinds].into_iter().flatten() {
                if !parts.contains(&part) {
                    parts.push(part);
                }
            }
        }
        parts.join(", ")
    }
}

/// Where what would stand at its position and the ropes or the devices of a kit do not take each other.
pub(in crate::domain) fn clashes<'a>(
    candidate: KitItem<'a>,
    kit: &[KitItem<'a>],
    plan: &'a Plan<'_>,
) -> Vec<Clash<'a>> {
    let pairs = kit.iter().map(|other| match candidate.model.kind {
        Kind::Rope => (candidate, *other),
        _ => (*other, candidate),
    });
    let pairs = pairs.filter(|(rope, device)| runs_through(rope, device, plan));
    let clash = pairs.filter_map(|(rope, device)| {
        let reeved = Reeved { rope };
        let governing = governing(&device, plan, &[reeved]);
        let mut against = Vec::new();
        for one in &governing {
            rope::diameter(&device, *one, &reeved, &mut against);
            rope::kind(&device, *one, &reeved, plan, &mut against);
        }
        let mut others = kit.iter().filter(|other| other.position != device.position);
        (!against.is_empty()).then(|| Clash {
            rope,
            device,
            meets_others: others.any(|other| runs_through(&rope, other, plan)),
            governing,
        })
    });
    clash.collect()
}
