//! What no item can be taken for: what would be needed, and why what there is will not do.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::instead::instead;
use super::lacking::{Lack, Lacking};
use super::search::Filling;
use super::stock::Market;
use super::{Offered, Stock, against};
use crate::domain::date::write_day;
use crate::domain::fitness::{KitItem, Plan, is_right_kind, needed, takes_strop};
use crate::domain::kit_strength::{KitGap, gaps_of};
use crate::domain::{Distance, ItemId, Kind, Refusal, RefusalCode};
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
    /// The same in a few words, the position first: "Head pulley: no pulley with a becket".
    pub brief: String,
    /// How many items of its kinds there are.
    pub looked_at: usize,
    /// The reasons against them and how many items each refuses, the most frequent first.
    pub reasons: Vec<(RefusalCode, usize)>,
    /// The items that are nearest to doing there: made for it, and with the fewest reasons against them, those first that can
    /// be mended.
    pub nearest: Vec<Nearest>,
}

/// An item that almost would do.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Nearest {
    /// The item.
    pub item: ItemId,
    /// Every reason against it; none where it would do and is taken for another position of this kit.
    pub refusals: Vec<Refusal>,
    /// What its record lacks for the verdict at this position.
    pub gaps: Vec<KitGap>,
    /// The key of the position of this kit that it is taken for.
    pub taken_for: Option<String>,
}

/// An item with what speaks against it at a position.
pub(super) type Judged<'a> = (&'a Offered<'a>, Vec<Refusal>);

/// The positions that the filling leaves empty, and the models whose records lack something for one of them.
pub(super) fn missing(
    plan: &Plan<'_>,
    stock: &Stock<'_>,
    market: &Market<'_>,
    filling: &Filling,
) -> (Vec<Missing>, Vec<Lacking>) {
    let kit = market.kit(filling);
    let names = filling.names.iter().enumerate();
    let mut lack = Lack::default();
    let empty = names.filter(|(_, name)| name.is_none());
    let missing = empty.map(|(slot, _)| {
        let judged = judged(plan, stock, market.slots[slot], &kit);
        lack.at(plan, market.slots[slot].key(), &judged);
        of_slot((plan, stock), (market, filling), slot, &judged)
    });
    (missing.collect(), lack.into_models())
}

/// Every item of the kinds of a position with what speaks against it beside a kit, the nearest first.
fn judged<'a>(
    plan: &Plan<'_>,
    stock: &'a Stock<'a>,
    position: &Position,
    kit: &[KitItem<'_>],
) -> Vec<Judged<'a>> {
    let of_kind = |offered: &&Offered<'_>| is_right_kind(offered.model.kind, position);
    let mut judged: Vec<Judged<'a>> = stock
        .items
        .iter()
        .filter(of_kind)
        .map(|offered| {
            let mut refusals = against(plan, stock, kit, offered, position.key());
            refusals.retain(|refusal| refusal.code != RefusalCode::OnThisJob);
            (offered, refusals)
        })
        .collect();
    let meant = |offered: &Offered<'_>| {
        let mut kinds = position.accepts().iter();
        kinds.position(|word| Kind::from_word(word) == Some(offered.model.kind))
    };
    judged.sort_by_key(|(offered, refusals)| (Distance::of(refusals), meant(offered)));
    judged
}

fn of_slot(
    (plan, stock): (&Plan<'_>, &Stock<'_>),
    (market, filling): (&Market<'_>, &Filling),
    slot: usize,
    judged: &[Judged<'_>],
) -> Missing {
    let position = market.slots[slot];
    let mut counts: BTreeMap<RefusalCode, usize> = BTreeMap::new();
    for (_, refusals) in judged {
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
        sentence: sentence((plan, stock), (market, filling), slot, judged),
        brief: brief(plan, position, &market.choices(slot)),
        looked_at: judged.len(),
        reasons,
        nearest: nearest
            .map(|(offered, refusals)| Nearest {
                item: offered.item.id,
                refusals: refusals.clone(),
                gaps: gaps_of(plan, &at(offered, position), refusals),
                taken_for: taken_for(stock, (market, filling), offered.item.id),
            })
            .collect(),
    }
}

fn at<'a>(offered: &Offered<'a>, position: &'a Position) -> KitItem<'a> {
    KitItem {
        item: offered.item,
        model: offered.model,
        position: Some(position.key()),
    }
}

/// The key of the position that an item is taken for.
fn taken_for(
    stock: &Stock<'_>,
    (market, filling): (&Market<'_>, &Filling),
    item: ItemId,
) -> Option<String> {
    let mut names = filling.names.iter().enumerate();
    let (slot, _) =
        names.find(|(_, name)| name.is_some_and(|name| stock.items[name].item.id == item))?;
    Some(market.slots[slot].key().to_owned())
}

/// "No rope of at least 70.0 m is fit until 4 May 2027."
fn sentence(
    (plan, stock): (&Plan<'_>, &Stock<'_>),
    (market, filling): (&Market<'_>, &Filling),
    slot: usize,
    judged: &[Judged<'_>],
) -> String {
    let position = market.slots[slot];
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
    let choice = market.choices(slot);
    if choice.is_empty() {
        return format!("No {wanted} may go here and is fit until {until}.");
    }
    let items = match choice.len() {
        1 => "1 item may go here by itself, but not beside the rest of this kit".to_owned(),
        n => format!(
            "{n} items may go here by themselves, but none of them beside the rest of this kit"
        ),
    };
    let why = bound((stock, &choice), (market, filling), judged);
    let would_fill = match waiting(judged) {
        0 => instead(plan, &market.kit(filling), position, judged, &until)
            .unwrap_or_else(|| format!("What would fill it is one more {wanted} that is fit until {until}.")),
        1 => "1 item more only waits for what is not on its model's record: write down what its maker's papers say."
            .to_owned(),
        n => format!(
            "{n} items more only wait for what is not on their models' records: write down what the makers' papers say."
        ),
    };
    format!("{items}: {why}. {would_fill}")
}

/// How many items only wait for what is not on a model's record.
fn waiting(judged: &[Judged<'_>]) -> usize {
    let waits = |refusals: &Vec<Refusal>| {
        !refusals.is_empty() && refusals.iter().all(|refusal| refusal.fact.is_some())
    };
    judged
        .iter()
        .filter(|(_, refusals)| waits(refusals))
        .count()
}

fn brief(plan: &Plan<'_>, position: &Position, choice: &[usize]) -> String {
    let title = position.title();
    if plan.rope.is_err() && is_right_kind(Kind::Rope, position) {
        return format!("{title}: how long the rope must be is not planned");
    }
    let wanted = wanted(plan, position);
    if choice.is_empty() {
        format!("{title}: no {wanted} may go there")
    } else {
        format!("{title}: no {wanted} goes with the rest")
    }
}

/// What keeps each of the items that may go at a position from it: another position, or what is chosen for the others.
fn bound(
    (stock, choice): (&Stock<'_>, &[usize]),
    (market, filling): (&Market<'_>, &Filling),
    judged: &[Judged<'_>],
) -> String {
    let mut parts: Vec<String> = Vec::new();
    let mut unfit: BTreeMap<String, Vec<&str>> = BTreeMap::new();
    let mut taken: BTreeSet<usize> = BTreeSet::new();
    for &index in choice {
        let item = stock.items[index].item;
        let names = filling.names.iter().enumerate();
        let slots = names.filter(|(_, name)| **name == Some(index));
        for (slot, _) in slots {
            taken.insert(index);
            let title = market.slots[slot].title();
            parts.push(format!("{} is needed at \"{title}\"", item.mark));
        }
        if !taken.contains(&index) {
            let mut found = judged.iter();
            let found = found.find(|(offered, _)| offered.item.id == item.id);
            let reason = found.and_then(|(_, refusals)| refusals.first());
            let why = reason.map_or_else(
                || "with it the kit would not be strong enough".to_owned(),
                |reason| reason.sentence.trim_end_matches('.').to_owned(),
            );
            unfit.entry(why).or_default().push(&item.mark);
        }
    }
    shorten(&mut parts);
    for (why, marks) in unfit {
        let mut marks: Vec<String> = marks.into_iter().map(str::to_owned).collect();
        shorten(&mut marks);
        let fits = if marks.len() == 1 { "does" } else { "do" };
        parts.push(format!(
            "{} {fits} not fit what is chosen for the others ({why})",
            marks.join(", ")
        ));
    }
    parts.join("; ")
}

/// Keeps the first few of a list and says how many more there are.
pub(super) fn shorten(list: &mut Vec<String>) {
    let more = list.len().saturating_sub(NAMED);
    list.truncate(NAMED);
    if more > 0 {
        list.push(format!("{more} more"));
    }
}

/// What a position needs: "rope of at least 70.0 m", "pulley with 2 sheaves and a becket".
pub(super) fn wanted(plan: &Plan<'_>, position: &Position) -> String {
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
    // A rope clamp captures by what it is.
    if position.needs_capture() && is_right_kind(Kind::Pulley, position) {
        parts.push("a progress capture".to_owned());
    }
    let need = plan.rope.as_ref().ok();
    let length = need.and_then(|need| needed(need, position.key()));
    let length = length.map(|length| format!(" of at least {:.1} m", length.length.metres()));
    let girth = plan
        .job
        .setup
        .anchor_girth
        .filter(|_| takes_strop(position));
    let girth = girth.map_or_else(String::new, |girth| format!(" that goes round {girth}"));
    let with = match parts.as_slice() {
        [] => String::new(),
        [one] => format!(" with {one}"),
        [first @ .., last] => format!(" with {} and {last}", first.join(", ")),
    };
    format!("{kinds}{}{with}{girth}", length.unwrap_or_default())
}
