//! How an item stands on a day, whatever the job: derived, never kept.

use time::{Date, Duration};

use super::{Item, ItemState, Life, fitness::Due};

/// One thing that can be said of an item on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Out of use for good.
    Retired,
    /// Out of use until somebody decides.
    Quarantined,
    /// Nobody knows where it is.
    Missing,
    /// Its life ended on this day.
    PastLife(Date),
    /// The end of its life cannot be told.
    LifeUnknown,
    /// It never passed an examination of a kind that counts.
    NeverPassed,
    /// Its examination was due on this day, which is over.
    Overdue(Date),
    /// Its examination falls due on this day, soon.
    DueSoon(Date),
    /// Its life ends on this day, soon.
    LifeEndsSoon(Date),
}

/// How many days ahead the end of a life is soon.
const SOON: Duration = Duration::days(30);

impl Standing {
    /// Whether it keeps the item from being chosen today.
    pub fn stops(self) -> bool {
        !matches!(self, Self::DueSoon(_) | Self::LifeEndsSoon(_))
    }
}

/// All that stands against an item of this life and due day on `today`, the gravest first; nothing if
/// it may be chosen as far as state and days go. The day on which a life ends is not in it any more.
pub fn standings(item: &Item, life: &Life, due: &Due, today: Date) -> Vec<Standing> {
    let mut all = Vec::new();
    match item.state {
        // What is retired falls due no more.
        ItemState::Retired => return vec![Standing::Retired],
        ItemState::Quarantined => all.push(Standing::Quarantined),
        ItemState::Missing => all.push(Standing::Missing),
        ItemState::InService => {}
    }
    match life {
        Life::Ends(end) if end.on <= today => all.push(Standing::PastLife(end.on)),
        Life::Unknown(_) => all.push(Standing::LifeUnknown),
        Life::Ends(_) | Life::ByCondition(_) => {}
    }
    match due {
        Due::NeverExamined => all.push(Standing::NeverPassed),
        Due::Overdue { until, .. } => all.push(Standing::Overdue(*until)),
        Due::DueSoon { until, .. } => all.push(Standing::DueSoon(*until)),
        Due::InDate { .. } | Due::NotAsked => {}
    }
    match life {
        Life::Ends(end) if end.on > today && end.on <= today + SOON => {
            all.push(Standing::LifeEndsSoon(end.on));
        }
        _ => {}
    }
    all
}
