//! Rounds of examinations: the list, a new one, and one with what became of its items.

mod new;
mod show;

use askama::Template;

use super::{
    Shell,
    part::{Badge, Empty, Pager, Tone},
    words,
};
use crate::domain::{Round, date::write_day};
pub use new::{NewRound, Offered};
pub use show::{ShowRound, StopRow};

/// A round in the list.
pub struct RoundRow {
    href: String,
    name: String,
    days: String,
    items: String,
    examiner: String,
    state: Badge,
}

impl RoundRow {
    /// A round in words.
    pub fn new(round: &Round) -> Self {
        Self {
            href: format!("/rounds/{}", round.id),
            name: round.name.clone(),
            days: days(round),
            items: words::count(round.items.len(), "item", "items"),
            examiner: round.examiner.clone(),
            state: match &round.closed {
                Some(closed) => {
                    let word = format!("closed {}", write_day(closed.on));
                    Badge::new(Tone::Out, word)
                }
                None => Badge::new(Tone::Watch, "open"),
            },
        }
    }
}

/// The days of a round.
pub(super) fn days(round: &Round) -> String {
    format!("{} to {}", write_day(round.from), write_day(round.to))
}

/// The list of rounds.
#[derive(Template)]
#[template(path = "round/list.html")]
pub struct RoundList {
    /// The frame.
    pub shell: Shell,
    /// The rounds, the last to begin first.
    pub rows: Vec<RoundRow>,
    /// Ways to the next page.
    pub pager: Pager,
    /// What to do where there is none.
    pub empty: Empty,
}

impl RoundList {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        let page = |rows| Self {
            shell: Shell::sample("Rounds"),
            rows,
            pager: Pager::default(),
            empty: Empty::new("No round yet.", "Plan one."),
        };
        let round = sample();
        vec![page(vec![RoundRow::new(&round)]), page(Vec::new())]
    }
}

/// A round to test with.
fn sample() -> Round {
    use super::{PROBE, gear};
    Round {
        id: crate::domain::RoundId(uuid::Uuid::nil()),
        name: PROBE.to_owned(),
        from: gear::TODAY,
        to: gear::TODAY,
        examiner: PROBE.to_owned(),
        items: vec![gear::item().id],
        closed: None,
    }
}
