//! Reporting what happened to an item.

use askama::Template;

use super::{
    Shell, attribute,
    form::{Choices, Form},
    part::{Badge, Tone},
};
use crate::domain::{
    Consequence, EventDraft, EventId, EventKind, FieldErrors, Item, Model, Outcome, consequences,
};

/// The form.
#[derive(Template)]
#[template(path = "event/new.html")]
pub struct NewEvent {
    /// The frame.
    pub shell: Shell,
    form: Form,
    href: String,
    action: String,
    mark: String,
    kinds: Choices,
    follows: Vec<FollowsRow>,
    draft: EventDraft,
}

/// What follows from one kind of event.
struct FollowsRow {
    happened: String,
    outcome: Badge,
    because: Vec<String>,
    asks: Vec<&'static str>,
    otherwise: Vec<String>,
}

impl NewEvent {
    /// The form with what was typed.
    pub fn new(
        shell: Shell,
        id: EventId,
        (item, model): (&Item, &Model),
        draft: &EventDraft,
        wrong: &FieldErrors,
    ) -> Self {
        let href = format!("/items/{}", item.id);
        let mut kinds: Choices = EventKind::ALL
            .map(|kind| {
                let outcome = consequences(kind, model).outcome;
                let words = format!("It {}: it {}", kind.word(), outcome.word());
                (kind.key().to_owned(), words)
            })
            .into();
        kinds.insert(0, (String::new(), "Choose".to_owned()));
        Self {
            shell,
            form: Form::new(wrong),
            action: format!("{href}/events?id={id}"),
            href,
            mark: item.mark.clone(),
            kinds: attribute::keeping(kinds, &draft.kind),
            follows: EventKind::ALL.map(|kind| row(kind, model)).into(),
            draft: draft.clone(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear};
        let draft = EventDraft {
            kind: PROBE.to_owned(),
            on: PROBE.to_owned(),
            note: PROBE.to_owned(),
        };
        let wrong = FieldErrors::one("note", "required", PROBE);
        let event = gear::event();
        vec![Self::new(
            Shell::sample("Event"),
            event.id,
            (&gear::item(), &gear::model()),
            &draft,
            &wrong,
        )]
    }
}

fn row(kind: EventKind, model: &Model) -> FollowsRow {
    let all = consequences(kind, model);
    let words = |rules: &[&Consequence]| -> Vec<String> {
        let rules = rules.iter();
        rules
            .map(|rule| format!("{} {}.", rule.why, rule.from))
            .collect()
    };
    FollowsRow {
        happened: format!("It {}", kind.word()),
        outcome: match all.outcome {
            Outcome::Retire => Badge::new(Tone::Out, "retired for good"),
            Outcome::Examine => Badge::new(Tone::Hold, "held, to be examined"),
        },
        because: words(&all.because),
        asks: all.asks().collect(),
        otherwise: words(&all.otherwise),
    }
}
