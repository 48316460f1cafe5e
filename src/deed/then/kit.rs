//! How the items of a job stood on a day: those on its list, and those that were issued.

use std::collections::BTreeSet;

use time::Date;

use super::{beside, item};
use crate::{
    domain::{
        Item, ItemId, Zone, counted,
        then::{JobThen, Side},
    },
    store::{Kept, StoreError, Tx},
};

/// How many items are named whose state was not known as it is known now.
const NAMED: usize = 3;

/// The facts of an item that say whether it was fit to go.
const OF_FITNESS: [&str; 5] = [
    "State",
    "Why",
    "Open notices",
    "Examination on that day",
    "Life",
];

/// How items stood on a day.
#[derive(Default)]
pub(super) struct Stood {
    /// State and examination of each by both clocks, called by its mark of today.
    pub sides: Vec<Side>,
    /// The entries about them.
    pub kept: Vec<Kept>,
    /// A sentence of each whose state was not known as it is known now.
    pub differing: Vec<String>,
}

/// What was on the list or issued, by either clock.
fn of((then, now): &(JobThen, JobThen)) -> Vec<ItemId> {
    let of_one = |past: &JobThen| -> BTreeSet<ItemId> {
        let listed = past.lines.values().map(|line| line.item);
        let issued = past.issues.values();
        let issued = issued.flat_map(|issue| issue.lines.iter().map(|line| line.item));
        listed.chain(issued).collect()
    };
    (&of_one(then) | &of_one(now)).into_iter().collect()
}

/// How the items of a job stood on a day, by its own rulebook, in the order of their marks.
pub(super) async fn stood(
    tx: &mut Tx,
    pasts: &(JobThen, JobThen),
    on: (Date, &Zone),
) -> Result<Stood, StoreError> {
    let rulebook = |past: &JobThen| past.job.as_ref().map(|job| job.rulebook.clone());
    let rulebooks = [rulebook(&pasts.0), rulebook(&pasts.1)];
    let rulebooks = rulebooks.each_ref().map(Option::as_deref);
    let mut items: Vec<Item> = tx.items_of(&of(pasts)).await?.into_values().collect();
    items.sort_by(|one, other| one.mark.cmp(&other.mark));
    let of_team = beside::of_team(tx).await?;
    let mut all = Stood::default();
    for one in &items {
        let found = item::stood(tx, one, on, (&of_team, rulebooks)).await?;
        let mut sides = found.sides;
        sides.retain(|side| OF_FITNESS.contains(&side.title.as_str()));
        for side in &mut sides {
            side.title = format!("{}: {}", one.mark, side.title.to_lowercase());
        }
        all.sides.extend(sides);
        all.kept.extend(found.kept);
        all.differing.extend(apart(&one.mark, &found.states));
    }
    Ok(all)
}

/// That the state of an item was not known as it is known now.
fn apart(mark: &str, (then, now): &(Option<String>, Option<String>)) -> Option<String> {
    let word = |state: &Option<String>| match state {
        Some(state) => state.clone(),
        None => "not on the register".to_owned(),
    };
    (then != now).then(|| {
        let (then, now) = (word(then), word(now));
        format!("{mark} was known to be {then}; as we know now it was {now}. ")
    })
}

/// The sentences of a few of these, and how many more there are.
pub(super) fn told(differing: &[String]) -> String {
    let more = match differing.len().saturating_sub(NAMED) {
        0 => String::new(),
        more => format!(
            "The state of {} more differs too. ",
            counted(more, "item", "items")
        ),
    };
    let named = differing.iter().take(NAMED).map(String::as_str);
    format!("{}{more}", named.collect::<String>())
}
