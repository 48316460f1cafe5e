//! What is known of a request before its handler runs: who sent it, and what the last page left to say.

use std::sync::{Arc, OnceLock};

use axum::http::{HeaderMap, HeaderValue};
use axum_extra::extract::CookieJar;
use time::Date;

use super::App;
use crate::{
    domain::{Actor, Deed, Hash, Person, PersonId, Preference, Role, Theme, Zone, date::write_day},
    store::{self, GuestAtDoor},
    view::{
        Section, Shell, Viewer,
        part::{Flash, Tone},
    },
};

/// The cookie that carries one sentence from a deed to the next page.
const FLASH: &str = "ropeloft-said";

/// Who is there.
#[derive(Clone, Debug)]
pub enum Who {
    /// A person of the team.
    Person(Person),
    /// An outside auditor, by a link.
    Guest(Box<GuestAtDoor>),
}

/// Somebody who is signed in.
#[derive(Clone, Debug)]
pub struct Signed {
    /// As whom they act: the team, the person, the role.
    pub actor: Actor,
    /// Who it is.
    pub who: Who,
    /// The team's name.
    pub team: String,
    /// The team's time zone.
    pub zone: Zone,
    /// How this person likes to see things.
    pub preference: Preference,
    /// The session's hash; none if a token was shown, and for an outside auditor.
    pub session: Option<Hash>,
    flash: Option<Flash>,
}

impl Signed {
    /// Somebody who is signed in, with what the last page left to say.
    pub(super) fn new(signed: store::Signed, known: &Known) -> Self {
        Self {
            actor: signed.actor,
            who: Who::Person(signed.person),
            team: signed.team,
            zone: signed.zone,
            preference: Preference::default(),
            session: None,
            flash: known.flash.clone(),
        }
    }

    /// An outside auditor who came by a link.
    pub(super) fn guest(guest: GuestAtDoor, known: &Known) -> Self {
        Self {
            actor: Actor {
                team: guest.team,
                // Nobody of the team has this id.
                person: PersonId(guest.kept.link.id.0),
                role: Role::Auditor,
            },
            team: guest.team_name.clone(),
            zone: guest.zone.clone(),
            who: Who::Guest(Box::new(guest)),
            preference: Preference::default(),
            session: None,
            flash: known.flash.clone(),
        }
    }

    /// The person; none for an outside auditor.
    pub fn person(&self) -> Option<&Person> {
        match &self.who {
            Who::Person(person) => Some(person),
            Who::Guest(_) => None,
        }
    }

    /// Whether they may do `deed`: a token that acts in a lesser role may no more than its maker may.
    pub fn may(&self, deed: Deed) -> bool {
        let maker = self.person().is_none_or(|person| person.role.may(deed));
        maker && self.actor.role.may(deed)
    }

    /// The name.
    pub fn name(&self) -> &str {
        match &self.who {
            Who::Person(person) => &person.name,
            Who::Guest(guest) => &guest.kept.link.name,
        }
    }

    /// What stands on every page of an outside auditor; none for a person.
    fn told(&self) -> Option<String> {
        let Who::Guest(guest) = &self.who else {
            return None;
        };
        let link = &guest.kept.link;
        Some(format!(
            "{}, you read this record as an outside auditor by the link of {}, until {}. Every page and file that you \
             open is noted.",
            link.who(),
            guest.kept.maker,
            write_day(link.until)
        ))
    }

    /// The day that it is for the team.
    pub fn today(&self, app: &App) -> Date {
        self.zone.day(app.desk.clock.now())
    }

    /// The frame of a page outside the sections.
    pub fn shell(&self, title: impl Into<String>) -> Shell {
        Shell {
            title: title.into(),
            section: None,
            viewer: Some(Viewer {
                id: self.actor.person,
                name: self.name().to_owned(),
                guest: self.told(),
                team: self.team.clone(),
                role: self.actor.role,
            }),
            units: self.preference.units,
            zone: self.zone.clone(),
            theme: match self.preference.theme {
                Theme::System => "auto",
                Theme::Light => "light",
                Theme::Dark => "dark",
            },
            flash: self.flash.clone(),
            here: None,
            back: None,
        }
    }

    /// The frame of a page in a section.
    pub fn shell_in(&self, section: Section, title: impl Into<String>) -> Shell {
        Shell {
            section: Some(section),
            ..self.shell(title)
        }
    }
}

/// What is known of one request; the copies in the layers and in the handler are one.
#[derive(Clone, Debug, Default)]
pub(super) struct Known {
    signed: Arc<OnceLock<Signed>>,
    /// What the last deed left to say.
    pub flash: Option<Flash>,
}

impl Known {
    pub(super) fn from_headers(headers: &HeaderMap) -> Self {
        let flash = CookieJar::from_headers(headers)
            .get(FLASH)
            .and_then(|cookie| read_flash(cookie.value()));
        Self {
            signed: Arc::default(),
            flash,
        }
    }

    /// Who is signed in, as far as anybody has asked.
    pub(super) fn signed(&self) -> Option<&Signed> {
        self.signed.get()
    }

    /// Keeps who is signed in.
    pub(super) fn keep(&self, signed: Signed) {
        // The first to ask has kept the same person already.
        let _ = self.signed.set(signed);
    }

    /// The header that takes the last message away.
    pub(super) fn forget_flash() -> HeaderValue {
        HeaderValue::from_static("ropeloft-said=; Path=/; Max-Age=0; HttpOnly; SameSite=Lax")
    }
}

/// How many bytes of the ways are kept; a cookie holds 4096, and each byte takes two.
const WAYS: usize = 1000;

/// The header that leaves `words` for the next page, and in a line each where it goes on. They are written in
/// hexadecimal, so that nothing in them can end the header.
pub(super) fn flash_cookie(words: &str, ways: &[(String, &str)]) -> Option<HeaderValue> {
    let mut lines: String = words.replace('\n', " ").chars().take(400).collect();
    let mut left = WAYS;
    for (words, href) in ways {
        let line = format!("\n{href} {}", words.replace('\n', " "));
        left = left.saturating_sub(line.len());
        if left > 0 {
            lines.push_str(&line);
        }
    }
    let text = format!(
        "{FLASH}={}; Path=/; Max-Age=60; HttpOnly; SameSite=Lax",
        hex::encode(lines)
    );
    HeaderValue::from_str(&text).ok()
}

fn read_flash(value: &str) -> Option<Flash> {
    let text = String::from_utf8(hex::decode(value).ok()?).ok()?;
    let mut lines = text.lines();
    let words = lines.next().unwrap_or_default().to_owned();
    let way = |line: &str| {
        let (href, words) = line.split_once(' ')?;
        let is_here = href.starts_with('/') && !href.starts_with("//");
        is_here.then(|| (words.to_owned(), href.to_owned()))
    };
    let ways = lines.filter_map(way).collect();
    (!words.is_empty()).then_some(Flash {
        tone: Tone::Fit,
        words,
        ways,
    })
}

/// Writes `text` so that it can stand in a query.
pub(super) fn encode(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte) {
            out.push(char::from(byte));
        } else {
            out.push('%');
            out.push_str(&hex::encode_upper([byte]));
        }
    }
    out
}
