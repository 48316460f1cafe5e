//! What no item can be taken for: what would be needed, and why what there is will not do.

use std::collections::BTreeMap;

use serde::Serialize;

use super::search::Filling;
use super::stock::Market;
use super::{Offered, Stock, against};
use crate::domain::date::write_day;
use crate::domain::fitness::{KitItem, Plan, is_right_kind, needed};
use crate::domain::{ItemId, Kind, Refusal, RefusalCode};
use crate::rigging::Position;

/// How many of the nearest items are named.
const NAMED: usize = 3;

/// A position that nothing can be taken for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Missing {
    /// The position's key.
    pub position: String,
    /// What would be needed and is not there, in one sentence.
    pub sentence: String,
    /// How many items of its kinds there are.
    pub looked_at: usize,
    /// The reasons against them and how many items each refuses, the most frequent first.
    pub reasons: Vec<(RefusalCode, usize)>,
    /// The items with the fewest reasons against them.
    pub nearest: Vec<Nearest>,
}

/// An item that almost would do.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Nearest {
    /// The item.
    pub item: ItemId,
    /// Every reason against it; none where it would do and is taken for another position of this kit.
    pub refusals: Vec<Refusal>,
}

/// The positions that the filling leaves empty.
pub(super) fn missing(
    plan: &Plan<'_>,
    stock: &Stock<'_>,
    market: &Market<'_>,
    filling: &Filling,
) -> Vec<Missing> {
    let kit = market.kit(filling);
    let names = filling.names.iter().enumerate();
    names
        .filter(|(_, name)| name.is_none())
        .map(|(slot, _)| of_slot(plan, stock, market, slot, &kit))
        .collect()
}

fn of_slot(
    plan: &Plan<'_>,
    stock: &Stock<'_>,
    market: &Market<'_>,
    slot: usize,
    kit: &[KitItem<'_>],
) -> Missing {
    let position = market.slots[slot];
    let of_kind = |offered: &&Offered<'_>| is_right_kind(offered.model.kind, position);
    let mut judged: Vec<(&Offered<'_>, Vec<Refusal>)> = stock
        .items
        .iter()
        .filter(of_kind)
        .map(|offered| {
            let mut refusals = against(plan, stock, kit, offered, position.key());
            refusals.retain(|refusal| refusal.code != RefusalCode::OnThisJob);
            (offered, refusals)
        })
        .collect();
    judged.sort_by_key(|(_, refusals)| refusals.len());
    let mut counts: BTreeMap<RefusalCode, usize> = BTreeMap::new();
    for (_, refusals) in &judged {
        let mut codes: Vec<RefusalCode> = refusals.iter().map(|refusal| refusal.code).collect();
        codes.sort_unstable();
        codes.dedup();
        for code in codes {
            *counts.entry(code).or_default() += 1;
        }
    }
    if plan.rope.is_err() {
        // No rope is too short for a way that is not known.
        counts.remove(&RefusalCode::RopeTooShort);
    }
    let mut reasons: Vec<(RefusalCode, usize)> = counts.into_iter().collect();
    reasons.sort_by_key(|(code, count)| (std::cmp::Reverse(*count), *code));
    let nearest = judged.iter().take(NAMED);
    Missing {
        position: position.key().to_owned(),
        sentence: sentence(plan, stock, position, market.choice(slot)),
        looked_at: judged.len(),
        reasons,
        nearest: nearest
            .map(|(offered, refusals)| Nearest {
                item: offered.item.id,
                refusals: refusals.clone(),
            })
            .collect(),
    }
}

/// "No rope of at least 70.0 m is fit until 4 May 2027."
fn sentence(plan: &Plan<'_>, stock: &Stock<'_>, position: &Position, choice: usize) -> String {
    if let Err(gaps) = &plan.rope
        && is_right_kind(Kind::Rope, position)
    {
        let gaps: Vec<String> = gaps.iter().map(ToString::to_string).collect();
        return format!(
            "How long the rope must be cannot be told before the plan is complete. {}",
            gaps.join(" ")
        );
    }
    let wanted = wanted(plan, position);
    let until = write_day(stock.zone.day(plan.job.ends_at).max(stock.today));
    match choice {
        0 => format!("No {wanted} may go here and is fit until {until}."),
        1 => format!(
            "Only 1 {wanted} that is fit until {until} may go here, and it is needed for another position or does not fit the rest of the kit."
        ),
        n => format!(
            "{n} items may go here, and each is needed for another position or does not fit the rest of the kit: {wanted}, fit until {until}."
        ),
    }
}

/// What a position needs: "rope of at least 70.0 m", "pulley with 2 sheaves and a becket".
fn wanted(plan: &Plan<'_>, position: &Position) -> String {
    let kinds = position.accepts().join(" or ");
    let mut parts = Vec::new();
    match position.sheaves() {
        0 => {}
        1 => parts.push("1 sheave".to_owned()),
        n => parts.push(format!("{n} sheaves")),
    }
    if position.needs_becket() {
        parts.push("a becket".to_owned());
    }
    if position.needs_capture() {
        parts.push("a progress capture".to_owned());
    }
    let need = plan.rope.as_ref().ok();
    let length = need.and_then(|need| needed(need, position.key()));
    let length = length.map(|length| format!(" of at least {:.1} m", length.length.metres()));
    let with = match parts.as_slice() {
        [] => String::new(),
        [one] => format!(" with {one}"),
        [first @ .., last] => format!(" with {} and {last}", first.join(", ")),
    };
    format!("{kinds}{}{with}", length.unwrap_or_default())
}
