//! Letters: what a person gets by e-mail, and how often.

use askama::Template;

use super::{
    Shell,
    form::{Choices, Form},
    part::SectionNav,
    setting::nav,
};
use crate::domain::{DigestChoice, DigestDraft, Every, FieldErrors};

/// The page.
#[derive(Template)]
#[template(path = "digest/show.html")]
pub struct Letters {
    /// The frame.
    pub shell: Shell,
    nav: SectionNav,
    form: Form,
    draft: DigestDraft,
    is_quiet: bool,
    every: Choices,
    weekdays: Choices,
    monthdays: Choices,
    /// Whether the server can send letters.
    can_send: bool,
}

/// What was chosen, as it is typed.
pub fn typed(choice: &DigestChoice) -> DigestDraft {
    let day = choice.every.day().to_string();
    let only = |here: bool| if here { day.clone() } else { "1".to_owned() };
    DigestDraft {
        address: choice.address.clone(),
        every: choice.every.key().to_owned(),
        weekday: only(matches!(choice.every, Every::Week(_))),
        monthday: only(matches!(choice.every, Every::Month(_))),
        when_quiet: if choice.when_quiet { "yes" } else { "" }.to_owned(),
    }
}

impl Letters {
    /// The page with what was typed.
    pub fn new(shell: Shell, draft: DigestDraft, can_send: bool, wrong: &FieldErrors) -> Self {
        let pair = |key: &str, word: &str| (key.to_owned(), word.to_owned());
        let weekdays = [
            "Monday",
            "Tuesday",
            "Wednesday",
            "Thursday",
            "Friday",
            "Saturday",
            "Sunday",
        ];
        let weekdays = weekdays.iter().zip(1..);
        Self {
            shell,
            nav: nav("/settings/letters"),
            form: Form::new(wrong),
            is_quiet: draft.when_quiet == "yes",
            draft,
            every: vec![
                pair("never", "never"),
                pair("week", "once a week"),
                pair("month", "once a month"),
            ],
            weekdays: weekdays
                .map(|(word, day): (_, u8)| pair(&day.to_string(), word))
                .collect(),
            monthdays: (1..=28)
                .map(|day: u8| pair(&day.to_string(), &format!("day {day}")))
                .collect(),
            can_send,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        let draft = DigestDraft {
            address: PROBE.to_owned(),
            every: "week".to_owned(),
            weekday: "3".to_owned(),
            monthday: "1".to_owned(),
            when_quiet: "yes".to_owned(),
        };
        let wrong = FieldErrors::one("address", "text", PROBE);
        [true, false]
            .map(|can| Self::new(Shell::sample("Letters"), draft.clone(), can, &wrong))
            .into()
    }
}
