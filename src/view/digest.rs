//! Letters: what a person gets by e-mail, and how often.

use askama::Template;

use super::{
    Shell,
    form::{Choices, Form},
    part::{Answer, SectionNav, Tone},
    setting::nav,
};
use crate::domain::{
    AddressProof, DigestChoice, DigestDraft, Every, FieldErrors, ProofState, Zone,
};

/// How far one's address is confirmed.
#[derive(Clone, Debug, Default)]
pub struct Standing {
    /// What is said of it; none where there is no address.
    answer: Option<Answer>,
    /// Whether a letter may be asked for.
    open: bool,
}

impl Standing {
    /// What is said of an address that is kept, on the clocks of `zone`.
    pub fn new(address: &str, proof: Option<&AddressProof>, zone: &Zone) -> Self {
        if address.is_empty() {
            return Self::default();
        }
        let proof = proof.filter(|proof| proof.address == address);
        let state = proof.map_or(ProofState::Asked, |proof| proof.state);
        if state != ProofState::Asked {
            let words = format!("{address} is confirmed");
            let why = match state {
                ProofState::Before => {
                    "It was in use before addresses were confirmed, and stays so."
                }
                _ => "Letters go there.",
            };
            return Self {
                answer: Some(Answer::new(Tone::Fit, words).why(why)),
                open: false,
            };
        }
        let sent = match proof.map(|proof| (proof.asked_at, proof.ends_at)) {
            Some((Some(at), Some(ends))) => format!(
                "A letter was asked for on {}; its link holds until {}. ",
                zone.words(at),
                zone.words(ends)
            ),
            Some((Some(at), None)) => {
                format!(
                    "A letter was asked for on {} and has not gone out yet. ",
                    zone.words(at)
                )
            }
            _ => "No letter has asked there yet. ".to_owned(),
        };
        let words = format!("{address} is not confirmed");
        let why = format!("{sent}Until it is confirmed, nothing else is sent there.");
        Self {
            answer: Some(Answer::new(Tone::Hold, words).why(why)),
            open: true,
        }
    }
}

/// The page on which the code of a letter is written.
#[derive(Template)]
#[template(path = "digest/confirm.html")]
pub struct ConfirmAddress {
    /// The frame.
    pub shell: Shell,
    nav: SectionNav,
    form: Form,
    code: String,
}

impl ConfirmAddress {
    /// The page with what was typed or what the link of the letter brought.
    pub fn new(shell: Shell, code: &str, wrong: &FieldErrors) -> Self {
        Self {
            shell,
            nav: nav("/settings/letters"),
            form: Form::new(wrong).failed("Nothing was confirmed"),
            code: code.to_owned(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        let wrong = FieldErrors::one("code", "code", PROBE);
        [&FieldErrors::default(), &wrong]
            .map(|wrong| Self::new(Shell::sample("Confirm your address"), PROBE, wrong))
            .into()
    }
}

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
    standing: Standing,
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
    pub fn new(
        shell: Shell,
        draft: DigestDraft,
        (standing, can_send): (Standing, bool),
        wrong: &FieldErrors,
    ) -> Self {
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
            standing,
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
        let proof = AddressProof {
            person: crate::domain::PersonId::new(),
            address: PROBE.to_owned(),
            state: ProofState::Asked,
            asked_at: Some(time::OffsetDateTime::UNIX_EPOCH),
            ends_at: None,
            counted_from: None,
            letters: 1,
        };
        [true, false]
            .map(|can| {
                let proof = can.then_some(&proof);
                let standing = Standing::new(PROBE, proof, &Zone::default());
                let shell = Shell::sample("Letters");
                Self::new(shell, draft.clone(), (standing, can), &wrong)
            })
            .into()
    }
}
