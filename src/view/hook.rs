//! Webhooks: the list with the form for a new one, and one with what went to it.

use askama::Template;

use super::{
    Shell,
    errand::ErrandRow,
    form::Form,
    part::{Answer, Badge, Facts, SectionNav, Tone},
    team::nav,
};
use crate::domain::{FieldErrors, Hook, HookDraft, Zone, all_topics};

/// A webhook in the list.
pub struct HookRow {
    href: String,
    address: String,
    topics: String,
    state: Badge,
}

impl HookRow {
    /// A webhook in words.
    pub fn new(hook: &Hook) -> Self {
        Self {
            href: format!("/team/webhooks/{}", hook.id),
            address: hook.address.clone(),
            topics: topics(hook),
            state: state(hook),
        }
    }
}

fn topics(hook: &Hook) -> String {
    if hook.topics.is_empty() {
        return "every change".to_owned();
    }
    let words = hook.topics.iter().map(|key| {
        let known = all_topics().find(|(one, _)| one == key);
        known.map_or(key.as_str(), |(_, words)| words)
    });
    words.collect::<Vec<_>>().join(", ")
}

fn state(hook: &Hook) -> Badge {
    match (hook.off_at, hook.failing_at) {
        (Some(_), _) => Badge::new(Tone::Stop, "switched off"),
        (None, Some(_)) => Badge::new(Tone::Watch, "failing"),
        (None, None) => Badge::new(Tone::Fit, "on"),
    }
}

/// That so many webhooks were switched off, for the start of whoever can do something about it.
pub(super) fn switched_off(count: usize) -> Option<Answer> {
    let words = match count {
        0 => return None,
        1 => "A webhook was switched off".to_owned(),
        n => format!("{n} webhooks were switched off"),
    };
    Some(Answer::new(Tone::Watch, words).why("No message arrived for three days."))
}

/// The list, and the form for one more.
#[derive(Template)]
#[template(path = "hook/list.html")]
pub struct Hooks {
    /// The frame.
    pub shell: Shell,
    nav: SectionNav,
    rows: Vec<HookRow>,
    form: Form,
    draft: HookDraft,
    topics: Vec<(&'static str, &'static str, bool)>,
    /// The key of the webhook that was just added; shown here and never again.
    key: Option<String>,
}

impl Hooks {
    /// The page with what was typed for one more.
    pub fn new(
        shell: Shell,
        hooks: &[Hook],
        (draft, wrong): (&HookDraft, &FieldErrors),
        key: Option<String>,
    ) -> Self {
        let chosen: Vec<&str> = draft.chosen().collect();
        let topics = all_topics();
        Self {
            shell,
            nav: nav("/team/webhooks"),
            rows: hooks.iter().map(HookRow::new).collect(),
            form: Form::new(wrong),
            topics: topics
                .map(|(key, words)| (key, words, chosen.contains(&key)))
                .collect(),
            draft: draft.clone(),
            key,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        let draft = HookDraft {
            address: PROBE.to_owned(),
            topics: "notice-opened".to_owned(),
        };
        let wrong = FieldErrors::one("address", "range", PROBE);
        let page = |hooks: &[Hook], key| {
            let shell = Shell::sample("Webhooks");
            Self::new(shell, hooks, (&draft, &wrong), key)
        };
        vec![page(&samples(), Some(PROBE.to_owned())), page(&[], None)]
    }
}

fn samples() -> [Hook; 3] {
    use super::{PROBE, gear::TODAY};
    use crate::domain::{HookId, PersonId};
    let at = TODAY.midnight().assume_utc();
    let on = Hook {
        id: HookId(uuid::Uuid::nil()),
        address: PROBE.to_owned(),
        topics: Vec::new(),
        person: PersonId(uuid::Uuid::nil()),
        added_at: at,
        seq: 0,
        failing_at: None,
        off_at: None,
    };
    let failing = Hook {
        failing_at: Some(at),
        topics: vec!["notice-opened".to_owned()],
        ..on.clone()
    };
    let off = Hook {
        off_at: Some(at),
        ..failing.clone()
    };
    [on, failing, off]
}

/// One webhook.
#[derive(Template)]
#[template(path = "hook/show.html")]
pub struct ShowHook {
    /// The frame.
    pub shell: Shell,
    answer: Option<Answer>,
    facts: Facts,
    here: String,
    is_off: bool,
    rows: Vec<ErrandRow>,
}

impl ShowHook {
    /// A webhook with what went to it last; `by` is who added it.
    pub fn new(shell: Shell, (hook, by): (&Hook, &str), rows: Vec<ErrandRow>, zone: &Zone) -> Self {
        let facts = Facts::default()
            .and("Address", hook.address.as_str())
            .and("Told of", topics(hook))
            .and_from("Added", zone.words(hook.added_at), format!("by {by}"))
            .and("Told as far as", format!("entry {}", hook.seq));
        let since = hook.failing_at.map(|at| zone.words(at));
        let since = since.unwrap_or_default();
        let answer = match (hook.off_at, hook.failing_at) {
            (Some(at), _) => Some(
                Answer::new(Tone::Stop, format!("Switched off {}", zone.words(at))).why(format!(
                    "No message arrived since {since}. Switched on again, it is told of all that came meanwhile."
                )),
            ),
            (None, Some(_)) => Some(
                Answer::new(Tone::Watch, format!("No message arrived since {since}"))
                    .why("Each is tried again, later each time. After three days without one that arrives it is switched off."),
            ),
            (None, None) => None,
        };
        Self {
            shell,
            answer,
            facts,
            here: format!("/team/webhooks/{}", hook.id),
            is_off: hook.off_at.is_some(),
            rows,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        let page = |hook: &Hook| {
            let shell = Shell::sample("Webhook");
            let rows = match hook.failing_at {
                Some(_) => ErrandRow::samples(),
                None => Vec::new(),
            };
            Self::new(shell, (hook, PROBE), rows, &Zone::UTC)
        };
        samples().iter().map(page).collect()
    }
}
