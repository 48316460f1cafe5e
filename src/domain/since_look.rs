//! What stands on an item's record that no thorough examination has answered yet.

use super::date::write_day;
use super::{
    Event, EventHold, Examination, ExaminationKind, Item, ItemState, Notice, Verdict, Zone,
};

/// What whoever examines an item has to know before it is looked at.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SinceLook {
    /// What happened since the last thorough examination that found it fit, the last first.
    pub events: Vec<Event>,
    /// The notices that cover it and are not closed for it.
    pub notices: Vec<Notice>,
}

impl SinceLook {
    /// Of these events of an item, the last first, those that no examination has answered. `past` are its examinations,
    /// the last done first.
    pub fn new(
        mut events: Vec<Event>,
        past: &[Examination],
        hold: Option<EventHold>,
        notices: Vec<Notice>,
    ) -> Self {
        let fit = |one: &&Examination| one.kind.is_thorough() && one.verdict == Verdict::Fit;
        let fits: Vec<&Examination> = past.iter().filter(fit).collect();
        let waits = hold.is_some_and(|hold| !hold.examined);
        // What happened on the day of an examination happened after it, unless it was one for an event.
        let answered_by = |event: &Event, fit: &Examination| {
            let answers_its_day = fit.kind == ExaminationKind::AfterEvent && !waits;
            fit.on > event.on || (fit.on == event.on && answers_its_day)
        };
        events.retain(|event| !fits.iter().any(|fit| answered_by(event, fit)));
        Self { events, notices }
    }

    /// The same in sentences, with why the item is in quarantine or missing.
    pub fn in_words(&self, item: &Item, zone: &Zone) -> Vec<String> {
        let mut lines = Vec::new();
        if item.state != ItemState::InService {
            let since = write_day(zone.day(item.state_since));
            let state = item.state.word();
            lines.push(format!(
                "It is {state} since {since}: {}.",
                item.state_reason
            ));
        }
        let notices = self.notices.iter();
        lines.extend(notices.map(|notice| {
            format!(
                "The safety notice \"{}\" of {} is open for it: {}",
                notice.title,
                write_day(notice.issued_on),
                notice.action
            )
        }));
        let events = self.events.iter().map(|event| {
            let words = event.in_words();
            format!("Since it was last found fit: {words}.")
        });
        lines.extend(events);
        lines
    }
}
