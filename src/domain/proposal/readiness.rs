//! How many complete sets for a plan could go out at once, on every day to come, if nothing is bought or examined.
//!
//! Every set holds by itself all that a job holds its items against, is strong enough, and shares no item with
//! another. An item counts on a day up to the last one on which its record lets it be used, and not while a planned
//! job holds it. By the rules of the single items the most sets are solved exactly (`sets`). Those are then made of
//! particular items (`made`), and the mechanics judge each; where one is not strong enough, what fails is passed over
//! and the sets are made again. So the number that is told can really go out, and where it is less than what the
//! rules of the single items allow at most, that is told beside it. Days between two changes are alike.

use std::collections::BTreeSet;

use serde::Serialize;
use time::Date;

use super::Stock;
use super::classes::Places;
use super::forecast::{Calendar, Forecast};
use super::made::Judge;
use super::rounds::MOST_ROUNDS;
use super::stock::Market;
use crate::domain::date::iso;
use crate::domain::fitness::Plan;
use crate::domain::{ItemId, ModelId};

/// From one day to another, both included.
pub type Span = (Date, Date);

/// How many sets could go out from a day on, until the next step.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Step {
    /// The first day.
    #[serde(with = "iso")]
    #[schema(value_type = String, format = Date)]
    pub from: Date,
    /// How many sets: each fit, complete and strong enough.
    pub sets: usize,
    /// How many there are at most, by the rules of the single items; more than `sets` only where the mechanics pass
    /// over combinations and it is not proved that no other would be strong enough.
    pub at_most: usize,
    /// Where there are fewer sets than the day before: the items that ceased to count on this day and of which those
    /// of one class alone would bring a set back; where only several classes together would, all that ceased.
    pub ended: Vec<Ended>,
}

/// An item that ceased to count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Ended {
    /// The item.
    pub item: ItemId,
    /// Why.
    pub why: Why,
}

/// Why an item counts no more from a day on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Why {
    /// Its examination was in date until the day before.
    Examination,
    /// Its life has ended.
    Life,
    /// It is on the kit list of a planned job.
    AnotherJob,
}

impl Why {
    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::Examination => "examination",
            Self::Life => "life",
            Self::AnotherJob => "another-job",
        }
    }
}

/// How many sets could go out, from today on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct Readiness {
    /// The days on which the number changes, today first.
    pub steps: Vec<Step>,
    /// The keys of the positions that a set fills.
    pub positions: Vec<String>,
    /// The sets of today, for each an item at every position.
    pub today: Vec<Vec<ItemId>>,
    /// The keys of the positions that nothing suits today; or else those of which one more suitable item would make
    /// one more set. None where several at once are short.
    pub short: Vec<String>,
    /// How many items were looked at.
    pub looked_at: usize,
    /// How many of them may go today.
    pub fit: usize,
}

impl Readiness {
    /// The first day on which there are fewer sets than before; none where there is no such day.
    pub fn first_break(&self) -> Option<&Step> {
        let falls = self.steps.windows(2);
        falls
            .filter(|pair| pair[1].sets < pair[0].sets)
            .map(|pair| &pair[1])
            .next()
    }

    /// The first day from which on there are never as many as today again; none where there is no such day.
    pub fn lasting_break(&self) -> Option<&Step> {
        let today = self.steps.first()?.sets;
        let after = self.steps.iter().rposition(|step| step.sets >= today)?;
        self.steps.get(after + 1)
    }

    /// How many sets there are on a day that is not before today.
    pub fn on(&self, day: Date) -> usize {
        let steps = self.steps.iter().rev();
        let mut begun = steps.skip_while(|step| step.from > day);
        begun.next().map_or(0, |step| step.sets)
    }
}

/// How many sets for the plan could go out on every day from today to `until`. For each item of the stock, `busy`
/// tells the days on which planned jobs hold it; the stock itself tells of no other jobs. None where the solver gives
/// no answer that holds.
pub fn readiness(
    plan: &Plan<'_>,
    stock: &Stock<'_>,
    busy: &[Vec<Span>],
    until: Date,
) -> Option<Readiness> {
    let plan = &*plan.under(&stock.under(plan));
    let market = Market::of(plan, stock);
    let places = Places::of(&market);
    let calendar = Calendar::of(plan, stock, busy);
    let mut forecast = Forecast::of(&market, &calendar, places.classes(&market, &[]));
    let days: Vec<Date> = forecast.days(stock.today, until).into_iter().collect();
    let mut course = forecast.course(&days)?;
    let at_most: Vec<usize> = if places.is_whole {
        course.iter().map(|most| most.sets).collect()
    } else {
        let bound = |day: &Date| forecast.puzzle.bound(&forecast.counts(*day));
        days.iter().map(bound).collect()
    };
    let mut judge = Judge::new(plan, stock, &market);
    let mut best = forecast.strong(&days, &course, &mut judge);
    let mut barred: BTreeSet<(usize, ModelId)> = BTreeSet::new();
    for _ in 0..MOST_ROUNDS {
        let before = barred.len();
        barred.extend(best.failing.drain(..));
        if barred.len() == before {
            break;
        }
        let barred: Vec<_> = barred.iter().copied().collect();
        forecast = Forecast::of(&market, &calendar, places.classes(&market, &barred));
        course = forecast.course(&days)?;
        let again = forecast.strong(&days, &course, &mut judge);
        best.better(again);
    }
    let short = forecast.short(stock.today)?;
    let key = |slot: usize| market.slots[slot].key().to_owned();
    let id = |item: &usize| stock.items[*item].item.id;
    Some(Readiness {
        steps: forecast.steps(&days, &best.sets, &at_most, stock)?,
        positions: (0..market.slots.len()).map(key).collect(),
        today: best
            .today
            .iter()
            .map(|set| set.iter().map(id).collect())
            .collect(),
        short: short.into_iter().map(key).collect(),
        looked_at: stock.items.len(),
        fit: market.groups.iter().map(|group| group.items.len()).sum(),
    })
}
