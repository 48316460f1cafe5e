//! What went out by itself and what did not.

use askama::Template;

use super::{
    Shell,
    part::{Answer, Badge, Empty, Pager, SectionNav, Tone},
    team::nav,
};
use crate::domain::{Errand, ErrandKind, ErrandState, Zone};

/// One errand.
pub struct ErrandRow {
    /// Where it stands.
    pub state: Badge,
    /// What it is, and for whom.
    pub what: String,
    /// What the last attempt ended in; empty before the first.
    pub told: String,
    /// When it ended, or is tried next.
    pub when: String,
    /// How often it was tried.
    pub attempts: u32,
    /// Where it is asked for again, where it has ended.
    pub again: Option<String>,
}

impl ErrandRow {
    /// An errand in words; `about` names whom it is for.
    pub fn new(errand: &Errand, about: &str, zone: &Zone) -> Self {
        let (tone, when) = match errand.state {
            ErrandState::Waiting if errand.told.is_empty() => (
                Tone::Note,
                format!("asked for {}", zone.words(errand.asked_at)),
            ),
            ErrandState::Waiting => (
                Tone::Watch,
                format!("next attempt {}", zone.words(errand.due_at)),
            ),
            ErrandState::Done => (Tone::Fit, ended(errand, zone)),
            ErrandState::GivenUp => (Tone::Stop, ended(errand, zone)),
        };
        let what = match errand.kind {
            ErrandKind::Mail => format!("Letter to {about}"),
            ErrandKind::Hook => format!("Message to {about}"),
        };
        Self {
            state: Badge::new(tone, errand.state.word()),
            what,
            told: errand.told.clone(),
            when,
            attempts: errand.attempts,
            again: (errand.state != ErrandState::Waiting)
                .then(|| format!("/team/outgoing/{}/again", errand.id)),
        }
    }

    /// Rows to test with.
    pub(super) fn samples() -> Vec<Self> {
        use super::{PROBE, gear::TODAY};
        use crate::domain::{ErrandId, TeamId};
        let errand = |state, kind, told: &str| Errand {
            id: ErrandId(uuid::Uuid::nil()),
            team: TeamId(uuid::Uuid::nil()),
            kind,
            about: uuid::Uuid::nil(),
            once: String::new(),
            payload: String::new(),
            state,
            attempts: 3,
            due_at: TODAY.midnight().assume_utc(),
            told: told.to_owned(),
            asked_at: TODAY.midnight().assume_utc(),
            ended_at: Some(TODAY.midnight().assume_utc()),
        };
        let errands = [
            errand(ErrandState::Waiting, ErrandKind::Hook, ""),
            errand(ErrandState::Waiting, ErrandKind::Hook, PROBE),
            errand(ErrandState::Done, ErrandKind::Mail, PROBE),
            errand(ErrandState::GivenUp, ErrandKind::Hook, PROBE),
        ];
        errands.map(|one| Self::new(&one, PROBE, &Zone::UTC)).into()
    }
}

fn ended(errand: &Errand, zone: &Zone) -> String {
    errand.ended_at.map(|at| zone.words(at)).unwrap_or_default()
}

/// The list of a team's errands.
#[derive(Template)]
#[template(path = "errand/list.html")]
pub struct ErrandList {
    /// The frame.
    pub shell: Shell,
    /// The neighbours.
    pub nav: SectionNav,
    /// What did not go out, before anything else.
    pub answer: Option<Answer>,
    /// The states that can be looked at.
    pub states: SectionNav,
    /// The errands, the newest first.
    pub rows: Vec<ErrandRow>,
    /// Ways to the next page.
    pub pager: Pager,
    /// What to say where there is none.
    pub empty: Empty,
}

impl ErrandList {
    /// The page of errands in a state, or in all; `given_up` is how many of the team were given up.
    pub fn new(
        shell: Shell,
        (state, given_up): (Option<ErrandState>, u64),
        rows: Vec<ErrandRow>,
        pager: Pager,
    ) -> Self {
        let href = |state: Option<ErrandState>| match state {
            None => "/team/outgoing".to_owned(),
            Some(state) => format!("/team/outgoing?state={}", state.key()),
        };
        let mut links = vec![("All".to_owned(), href(None))];
        links.extend(ErrandState::ALL.map(|state| {
            let word = match state {
                ErrandState::Waiting => "Waiting",
                ErrandState::Done => "Went out",
                ErrandState::GivenUp => "Given up",
            };
            (word.to_owned(), href(Some(state)))
        }));
        Self {
            shell,
            nav: nav("/team/outgoing"),
            answer: (given_up > 0).then(|| {
                let words = match given_up {
                    1 => "1 did not go out and was given up".to_owned(),
                    n => format!("{n} did not go out and were given up"),
                };
                Answer::new(Tone::Stop, words)
                    .why("Each says what went wrong. Once that is mended, it can be sent again.")
            }),
            states: SectionNav {
                label: "State".to_owned(),
                links,
                here: href(state),
            },
            rows,
            pager,
            empty: Empty::new(
                "Nothing went out.",
                "Letters that people choose, and messages to webhooks, are listed here.",
            ),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        let page = |rows, given_up| {
            let shell = Shell::sample("What goes out");
            Self::new(shell, (None, given_up), rows, Pager::default())
        };
        vec![page(ErrandRow::samples(), 2), page(Vec::new(), 0)]
    }
}
