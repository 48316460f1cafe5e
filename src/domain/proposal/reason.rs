//! Why this item was chosen for this position, in sentences.

use super::rounds::Tried;
use super::spare::{Others, Room, is_scant};
use super::stock::Market;
use super::{Ending, Offered, Stock};
use crate::domain::date::write_day;
use crate::domain::fitness::{KitItem, Plan, is_right_kind, lies_round, to_go_round};
use crate::domain::kit_strength::{lacking, spare_words};
use crate::domain::{Kind, Units};
use crate::rigging::Position;

/// Why an item was chosen, a sentence each.
pub(super) fn why(
    plan: &Plan<'_>,
    stock: &Stock<'_>,
    (market, tried, room): (&Market<'_>, &Tried, &Room),
    slot: usize,
    offered: &Offered<'_>,
) -> Vec<String> {
    let filling = &tried.filling;
    let others = market.others(slot, filling, room);
    let choice = market.choice_beside(slot, filling).into_iter();
    let mut why = vec![choice_words(choice.map(|(_, count)| count).sum(), others)];
    let first = |offered: &Offered<'_>| market.lying.is_first(offered);
    let mut choices = market.choices(slot).into_iter();
    why.extend(match first(offered) {
        None => None,
        Some(true) => Some("It lies where this job takes from first.".to_owned()),
        Some(false) if choices.any(|other| first(&stock.items[other]) == Some(true)) => Some(
            "What may go here and lies where this job takes from first is needed at another position, or the kit would not do with it."
                .to_owned(),
        ),
        Some(false) => {
            Some("Nothing that lies where this job takes from first may go here.".to_owned())
        }
    });
    let position = market.slots[slot];
    if position.is_optional() {
        why.push(match offered.model.kind {
            Kind::Litter if is_right_kind(Kind::Harness, position) => {
                "People hang on the rope, and no harness may go here: a litter is taken.".to_owned()
            }
            _ => "The position may stay empty, but people hang on the rope: what they hang in is judged with the rest."
                .to_owned(),
        });
    }
    if let Some(metres) = market.surplus(slot, offered) {
        // A hair, so that what is exactly long enough is told as no metre more.
        why.push(match (metres * 10.0 + 1e-6).floor() / 10.0 {
            spare if spare < 0.1 => "Just as long as it must be.".to_owned(),
            spare => format!("{spare:.1} m longer than it must be."),
        });
    }
    why.extend(round(plan, position, offered));
    why.extend(spare(tried, position, others));
    let Some((day, ending)) = stock.ends(plan, offered) else {
        why.push("No day ends its use.".to_owned());
        return why;
    };
    let day = write_day(day);
    let ends = match ending {
        Ending::Examination => format!("Its next examination is due on {day}"),
        Ending::Life => format!("Its life ends: {day} is the last day of it"),
    };
    why.push(if stock.is_soon(plan, offered) {
        format!("{ends}, soon after the job: no other would do from as few stores and bags.")
    } else {
        format!("{ends}.")
    });
    why
}

/// How many may go there, and how many of them would not hold.
fn choice_words(choice: usize, others: Option<Others>) -> String {
    let weak = others.map_or(0, |others| others.weak);
    let besides = "that may go here beside the rest of this kit";
    match (choice, weak) {
        (0 | 1, _) => format!("The only item {besides}."),
        (n, 0) => format!("One of {n} {besides}."),
        (n, weak) if weak >= n => format!("One of {n} {besides}; none of them is strong enough."),
        (n, 1) => format!("One of {n} {besides}; 1 of them is not strong enough."),
        (n, weak) => format!("One of {n} {besides}; {weak} of them are not strong enough."),
    }
}

/// That it is not strong enough there, with what it reaches against what is asked; none where it is.
pub(super) fn fails(tried: &Tried, position: &Position) -> Option<String> {
    let worst = tried
        .tightest(position.key())
        .filter(|check| !check.passes)?;
    Some(format!("It {}.", lacking(worst, Units::Metric)))
}

/// How much strength it leaves over, where it holds; none where nothing is held against a number.
fn spare(tried: &Tried, position: &Position, others: Option<Others>) -> Option<String> {
    let tightest = tried
        .tightest(position.key())
        .filter(|check| check.passes)?;
    let spare = spare_words(tightest);
    let Others { less, more, .. } = others?;
    Some(match (is_scant(tightest.room()), less, more) {
        (true, _, false) => format!(
            "Only {spare} more strength than is asked, and nothing that is left for this has more."
        ),
        (true, _, true) => format!(
            "Only {spare} more strength than is asked. What has more lies elsewhere, is with a crew, falls due soon, or does not go with the rest."
        ),
        (false, 0, _) => format!("{spare} more strength than is asked."),
        (false, 1, _) => {
            format!("{spare} more strength than is asked; another that may go here has less.")
        }
        (false, less, _) => {
            format!(
                "{spare} more strength than is asked; {less} others that may go here have less."
            )
        }
    })
}

/// That a strop or a sling goes round what the plan says, with both lengths.
fn round(plan: &Plan<'_>, position: &Position, offered: &Offered<'_>) -> Option<String> {
    let girth = plan.job.setup.anchor_girth?;
    let item = KitItem {
        item: offered.item,
        model: offered.model,
        position: Some(position.key()),
    };
    let length = offered.item.attributes.length("length");
    let length = length.filter(|_| lies_round(&item, plan))?;
    Some(format!(
        "{} long, and {} go round {girth}.",
        length.told_in(girth.unit()),
        to_go_round(girth)
    ))
}
