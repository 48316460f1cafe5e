//! The rulebooks whose days bind an item: no plan's choice of a rulebook makes an examination or a life longer than the
//! team's own.

use time::Date;

use super::due_on;
use crate::domain::rulebook::Rulebook;
use crate::domain::{Cited, Item, Life, LifeEnd, Model, life};

/// By which rulebooks the days of an item are told.
#[derive(Clone, Copy, Debug)]
pub struct DayRules<'a> {
    /// The one that is asked for: that of a job, or the team's.
    pub asked: &'a Rulebook,
    /// The one that the team works by, where a job may be planned under another.
    pub home: Option<&'a Rulebook>,
}

impl DayRules<'_> {
    /// The last day on which the examination is in date, with the rule that sets it: the earlier of the two.
    pub fn due_on(&self, item: &Item, model: &Model) -> Option<(Date, Cited)> {
        let asked = due_on(item, model, self.asked)?;
        let home = self.home.and_then(|home| {
            let (day, rule) = due_on(item, model, home)?;
            (day < asked.0).then(|| (day, at_home(rule, home)))
        });
        Some(home.unwrap_or(asked))
    }

    /// When the life ends: the earlier end, and unknown where one of them is.
    pub fn life(&self, item: &Item, model: &Model) -> Life {
        let asked = life(item, model, self.asked);
        let Some(home) = self.home else { return asked };
        match (asked, life(item, model, home)) {
            (Life::Unknown(why), _) | (_, Life::Unknown(why)) => Life::Unknown(why),
            (Life::Ends(asked), Life::Ends(own)) if own.on >= asked.on => Life::Ends(asked),
            (_, Life::Ends(own)) => Life::Ends(LifeEnd {
                source: at_home(own.source, home),
                ..own
            }),
            (asked, Life::ByCondition(_)) => asked,
        }
    }
}

/// Where a rule is from that binds although the plan names another rulebook.
fn at_home(rule: Cited, home: &Rulebook) -> Cited {
    Cited {
        source: format!(
            "{} (rulebook that the team works by: {})",
            rule.source,
            home.title()
        ),
        ..rule
    }
}
