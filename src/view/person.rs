//! The people of a team.

use askama::Template;

use super::{
    Shell,
    competence::QualificationRow,
    form::{Choices, Form},
    part::{Badge, SectionNav, Tone},
    team::nav,
};
use crate::domain::{Person, PersonDraft, Role};

/// Everyone of the team.
#[derive(Template)]
#[template(path = "person/list.html")]
pub struct People {
    /// The frame.
    pub shell: Shell,
    /// The neighbours.
    pub nav: SectionNav,
    /// Everyone, by name, and whether they may sign in.
    pub people: Vec<(Person, Badge)>,
}

/// Whether a person may sign in.
pub fn access(person: &Person) -> Badge {
    if person.active {
        Badge::new(Tone::Fit, "May sign in")
    } else {
        Badge::new(Tone::Out, "Switched off")
    }
}

/// The roles with what each may do.
pub fn roles() -> Choices {
    Role::ALL
        .map(|role| {
            (
                role.key().to_owned(),
                format!("{}: {}", role.word(), may(role)),
            )
        })
        .into()
}

fn may(role: Role) -> &'static str {
    match role {
        Role::Officer => "keeps the register and examines",
        Role::Crew => "plans jobs, pulls kit, reports events",
        Role::Auditor => "reads and exports everything",
        Role::Admin => "an officer who also keeps the people",
    }
}

impl People {
    /// Everyone, in this frame.
    pub fn new(shell: Shell, people: Vec<Person>) -> Self {
        let people = people.into_iter().map(|person| {
            let access = access(&person);
            (person, access)
        });
        Self {
            shell,
            nav: nav("/people"),
            people: people.collect(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        let people = vec![sample(true), sample(false)];
        vec![Self::new(Shell::sample("People"), people)]
    }
}

fn sample(active: bool) -> Person {
    use super::PROBE;
    Person {
        id: crate::domain::PersonId(uuid::Uuid::nil()),
        name: PROBE.to_owned(),
        sign_in: PROBE.to_owned(),
        role: Role::Crew,
        active,
    }
}

/// Adds a person.
#[derive(Template)]
#[template(path = "person/new.html")]
pub struct NewPerson {
    /// The frame.
    pub shell: Shell,
    /// What was wrong.
    pub form: Form,
    /// What was typed.
    pub draft: PersonDraft,
    /// The roles.
    pub roles: Choices,
}

impl NewPerson {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        use crate::domain::FieldErrors;
        vec![Self {
            shell: Shell::sample("Add a person"),
            form: Form::new(&FieldErrors::one("sign_in", "taken", PROBE)),
            draft: PersonDraft {
                name: PROBE.to_owned(),
                sign_in: PROBE.to_owned(),
                role: PROBE.to_owned(),
                password: PROBE.to_owned(),
            },
            roles: roles(),
        }]
    }
}

/// One person, and what can be changed.
#[derive(Template)]
#[template(path = "person/show.html")]
pub struct ShowPerson {
    /// The frame.
    pub shell: Shell,
    /// The person as it stands.
    pub person: Person,
    /// Whether they may sign in.
    pub access: Badge,
    /// What was wrong.
    pub form: Form,
    /// What was typed: the name.
    pub name: String,
    /// What was typed: the role's key.
    pub role: String,
    /// What was typed: whether they may sign in.
    pub active: bool,
    /// The mark of the person as it was shown first.
    pub seen: String,
    /// The roles.
    pub roles: Choices,
    /// What the person is or was competent for.
    pub qualifications: Vec<QualificationRow>,
}

impl ShowPerson {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        use crate::domain::FieldErrors;
        let person = sample(false);
        vec![Self {
            shell: Shell::sample("A person"),
            access: access(&person),
            person,
            form: Form::new(&FieldErrors::one("password", "range", PROBE)),
            name: PROBE.to_owned(),
            role: "crew".to_owned(),
            active: false,
            seen: PROBE.to_owned(),
            roles: roles(),
            qualifications: QualificationRow::samples(),
        }]
    }
}
