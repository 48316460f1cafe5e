//! People, their roles, and what each role may do.

use serde::{Deserialize, Serialize};

use super::{FieldErrors, PersonId, TeamId, Zone};

/// What a person is in the team.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Role {
    /// Keeps the register: items, examinations, notices, jobs.
    Officer,
    /// Plans jobs and pulls kit; reports events.
    Crew,
    /// Reads and exports everything, changes nothing.
    Auditor,
    /// An officer who also keeps the people.
    Admin,
}

/// Something that can be done; every door asks for one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Deed {
    /// Read the register, the jobs and the history.
    Read,
    /// Export files.
    Export,
    /// Add or change models, stores and items; import; move between states.
    KeepRegister,
    /// Record an examination.
    Examine,
    /// Report an event or put an item in quarantine.
    ReportEvent,
    /// Plan a job and choose its kit.
    PlanJob,
    /// Add people and make tokens for others; let outside auditors in.
    KeepPeople,
    /// See which outside auditors were let in, and what each of them read.
    SeeReads,
}

impl Role {
    /// All roles, in the order in which they are offered.
    pub const ALL: [Self; 4] = [Self::Officer, Self::Crew, Self::Auditor, Self::Admin];

    /// Whether this role may do `deed`.
    pub fn may(self, deed: Deed) -> bool {
        match deed {
            Deed::Read | Deed::Export => true,
            Deed::KeepRegister | Deed::Examine => matches!(self, Self::Officer | Self::Admin),
            Deed::ReportEvent | Deed::PlanJob => !matches!(self, Self::Auditor),
            Deed::KeepPeople => matches!(self, Self::Admin),
            Deed::SeeReads => matches!(self, Self::Auditor | Self::Admin),
        }
    }

    /// Whether this role may do all that `other` may.
    pub fn includes(self, other: Self) -> bool {
        let rank = |role| match role {
            Self::Auditor => 0,
            Self::Crew => 1,
            Self::Officer => 2,
            Self::Admin => 3,
        };
        rank(self) >= rank(other)
    }

    /// The word for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::Officer => "equipment officer",
            Self::Crew => "crew",
            Self::Auditor => "auditor",
            Self::Admin => "administrator",
        }
    }

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::Officer => "officer",
            Self::Crew => "crew",
            Self::Auditor => "auditor",
            Self::Admin => "admin",
        }
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|role| role.key() == key)
    }
}

/// A team.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Team {
    /// Its id.
    pub id: TeamId,
    /// Its name.
    pub name: String,
    /// The key of the rulebook that new jobs and examinations start from.
    #[serde(default)]
    pub rulebook: String,
    /// In which it writes its times and counts its days.
    #[serde(default)]
    pub time_zone: Zone,
    /// Whether a second competent person confirms a return from quarantine.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub return_by_two: bool,
    /// Name and address of the employer for whom gear is examined and whose the people of the team are, in several
    /// lines; empty where nobody said. It is no person's: it stands in the ledger as it is.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub employer: String,
    /// The address of the premises at which gear is kept and examined, in several lines; empty where nobody said. It
    /// stands in the ledger as it is, too.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub premises: String,
}

impl Team {
    /// A team of which no more is known, on the clocks of UTC.
    pub fn new(id: TeamId, name: impl Into<String>, rulebook: impl Into<String>) -> Self {
        Self {
            id,
            name: name.into(),
            rulebook: rulebook.into(),
            time_zone: Zone::UTC,
            return_by_two: false,
            employer: String::new(),
            premises: String::new(),
        }
    }

    /// What is settled for it, on one line.
    pub fn settled(&self) -> String {
        let mut parts = vec![format!(
            "rulebook {}, time zone {}",
            self.rulebook, self.time_zone
        )];
        for (what, text) in [("employer", &self.employer), ("premises", &self.premises)] {
            if !text.is_empty() {
                parts.push(format!("{what} {}", text.replace('\n', ", ")));
            }
        }
        parts.join("; ")
    }
}

/// A person of a team. The password is kept apart: it is no record.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Person {
    /// Its id.
    pub id: PersonId,
    /// The name shown in the history.
    pub name: String,
    /// What is written when signing in; unique on the server, lower case.
    pub sign_in: String,
    /// The role.
    pub role: Role,
    /// Whether the person may sign in.
    pub active: bool,
}

/// A person as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct PersonDraft {
    /// The name.
    pub name: String,
    /// What is written when signing in.
    pub sign_in: String,
    /// The role's key.
    pub role: String,
    /// The first password.
    pub password: String,
}

/// The shortest password that is taken.
pub const SHORTEST_PASSWORD: usize = 12;
/// The longest password that is taken, so that hashing one cannot be made slow.
pub const LONGEST_PASSWORD: usize = 200;

impl PersonDraft {
    /// The person that was typed in, under a new id.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self) -> Result<Person, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let name = wrong.line("name", &self.name);
        let sign_in = wrong.line("sign_in", &self.sign_in).to_lowercase();
        if sign_in.contains(char::is_whitespace) {
            wrong.add("sign_in", "text", "Write the sign-in name without blanks.");
        }
        let role = Role::from_key(self.role.trim());
        if role.is_none() {
            wrong.add(
                "role",
                "choice",
                format!(
                    "Choose officer, crew, auditor or admin, not \"{}\".",
                    self.role
                ),
            );
        }
        check_password(&mut wrong, "password", &self.password);
        wrong.or(|| Person {
            id: PersonId::new(),
            name,
            sign_in,
            role: role.unwrap_or(Role::Auditor),
            active: true,
        })
    }
}

/// Notes under `field` what keeps `password` from being taken.
pub fn check_password(wrong: &mut FieldErrors, field: &str, password: &str) {
    let length = password.chars().count();
    if !(SHORTEST_PASSWORD..=LONGEST_PASSWORD).contains(&length) {
        wrong.add(
            field,
            "range",
            format!(
                "Choose {SHORTEST_PASSWORD} to {LONGEST_PASSWORD} characters; {length} were given."
            ),
        );
    }
}

/// Who does something: taken from a session, a token or the command line.
///
/// An outside auditor acts in the role of an auditor under the id of their link: nobody of the team has it, so that what
/// belongs to a person (preferences, tokens, calendars) is not there for it, and no list of people knows of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Actor {
    /// The team.
    pub team: TeamId,
    /// The person; for an outside auditor the id of the link.
    pub person: PersonId,
    /// The role it acts in.
    pub role: Role,
}
