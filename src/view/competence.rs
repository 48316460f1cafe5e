//! Who is competent to examine what.

use askama::Template;
use time::Date;

use super::{
    Shell,
    form::{Choices, Form},
    part::{Badge, Facts, SectionNav, Tone},
    team::nav,
};
use crate::domain::{
    Competence, FieldErrors, Holder, Kind, Qualification, QualificationDraft, date::write_day,
};

/// A qualification in a list.
pub struct QualificationRow {
    /// Its page.
    pub href: String,
    /// Whose it is.
    pub who: String,
    /// For what.
    pub kinds: String,
    /// When it holds.
    pub days: String,
    /// Whether it holds today.
    pub state: Badge,
    /// Why.
    pub evidence: String,
}

impl QualificationRow {
    /// Rows to test with.
    pub(super) fn samples() -> Vec<Self> {
        let competence = Competence::default();
        vec![Self::new(&sample(), &competence, super::gear::TODAY)]
    }

    /// A qualification as it stands on a day.
    pub fn new(one: &Qualification, competence: &Competence, today: Date) -> Self {
        let name = competence.name_of(one);
        let who = match &one.holder {
            Holder::Outside { body, .. } if body.is_empty() => format!("{name} (from outside)"),
            Holder::Outside { body, .. } => format!("{name} ({body})"),
            Holder::Person(_) => name.to_owned(),
        };
        Self {
            href: format!("/competence/{}", one.id),
            who,
            kinds: one.kinds_words(),
            days: one.days_words(),
            state: state(one, today),
            evidence: one.evidence.clone(),
        }
    }
}

fn state(one: &Qualification, today: Date) -> Badge {
    if one.holds_on(today) {
        Badge::new(Tone::Fit, "holds")
    } else if one.from > today {
        Badge::new(Tone::Note, "not yet")
    } else {
        Badge::new(Tone::Out, "ended")
    }
}

/// Everybody who is or was competent, and the form for one more.
#[derive(Template)]
#[template(path = "competence/list.html")]
pub struct CompetentPeople {
    /// The frame.
    pub shell: Shell,
    nav: Option<SectionNav>,
    rows: Vec<QualificationRow>,
    form: Form,
    action: String,
    draft: QualificationDraft,
    people: Choices,
    kinds: Vec<(&'static str, &'static str, bool)>,
    may_keep: bool,
}

impl CompetentPeople {
    /// The page on a day, with what was typed for one more.
    pub fn new(
        shell: Shell,
        (competence, today): (&Competence, Date),
        may_keep: bool,
        action: String,
        (draft, wrong): (&QualificationDraft, &FieldErrors),
    ) -> Self {
        let rows = competence.qualifications.iter();
        let mut people: Choices = vec![(String::new(), "somebody from outside".to_owned())];
        let team = competence.people.iter();
        people.extend(team.map(|(id, name)| (id.to_string(), name.clone())));
        let chosen: Vec<&str> = draft.kinds.split(',').map(str::trim).collect();
        let kinds = Kind::ALL.iter();
        let kinds = kinds.map(|kind| (kind.key(), kind.word(), chosen.contains(&kind.key())));
        Self {
            shell,
            nav: may_keep.then(|| nav("/competence")),
            rows: rows
                .map(|one| QualificationRow::new(one, competence, today))
                .collect(),
            form: Form::new(wrong),
            action,
            people: super::attribute::keeping(people, &draft.person),
            kinds: kinds.collect(),
            draft: draft.clone(),
            may_keep,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear};
        let one = sample();
        let competence = Competence {
            people: Vec::new(),
            qualifications: vec![one],
        };
        let draft = QualificationDraft {
            person: PROBE.to_owned(),
            name: PROBE.to_owned(),
            body: PROBE.to_owned(),
            kinds: "rope, pulley".to_owned(),
            from: PROBE.to_owned(),
            until: PROBE.to_owned(),
            evidence: PROBE.to_owned(),
            address: PROBE.to_owned(),
        };
        let wrong = FieldErrors::one("evidence", "required", PROBE);
        let page = |competence: &Competence, may| {
            let shell = Shell::sample("Competent people");
            let of = (competence, gear::TODAY);
            Self::new(shell, of, may, "/competence".to_owned(), (&draft, &wrong))
        };
        vec![page(&competence, true), page(&Competence::default(), false)]
    }
}

fn sample() -> Qualification {
    use super::{PROBE, gear};
    Qualification {
        id: crate::domain::QualificationId(uuid::Uuid::nil()),
        holder: Holder::Outside {
            name: PROBE.to_owned(),
            body: PROBE.to_owned(),
        },
        kinds: vec![Kind::Rope],
        from: gear::TODAY,
        until: None,
        evidence: PROBE.to_owned(),
        address: PROBE.to_owned(),
        ended: None,
    }
}

/// One qualification, and the form that ends it.
#[derive(Template)]
#[template(path = "competence/show.html")]
pub struct ShowQualification {
    /// The frame.
    pub shell: Shell,
    facts: Facts,
    state: Badge,
    form: Form,
    action: Option<String>,
    /// Where the address is written down.
    to_address: Option<String>,
    on: String,
    reason: String,
    address: String,
}

impl ShowQualification {
    /// The page on a day, with what was typed: the day and the reason to end it, and the address.
    pub fn new(
        shell: Shell,
        (one, competence, today): (&Qualification, &Competence, Date),
        may_keep: bool,
        (on, reason, address): (&str, &str, &str),
        wrong: &FieldErrors,
    ) -> Self {
        let row = QualificationRow::new(one, competence, today);
        let facts = Facts::default()
            .and("Who", row.who)
            .and("For", row.kinds)
            .and("Holds", row.days)
            .and("Evidence", row.evidence)
            .and("Address", one.address.as_str());
        let facts = match &one.ended {
            Some(ended) => facts.and_from("Ended", write_day(ended.on), ended.reason.clone()),
            None => facts,
        };
        let open = may_keep && one.ended.is_none();
        Self {
            shell,
            facts,
            state: row.state,
            form: Form::new(wrong),
            action: open.then(|| format!("/competence/{}/end", one.id)),
            to_address: may_keep.then(|| format!("/competence/{}/address", one.id)),
            address: address.to_owned(),
            on: on.to_owned(),
            reason: reason.to_owned(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, gear};
        let competence = Competence::default();
        let wrong = FieldErrors::one("reason", "required", PROBE);
        let page = |one: &Qualification| {
            let of = (one, &competence, gear::TODAY);
            Self::new(
                Shell::sample("Qualification"),
                of,
                true,
                (PROBE, PROBE, PROBE),
                &wrong,
            )
        };
        let ended = crate::domain::Ended {
            on: gear::TODAY,
            reason: PROBE.to_owned(),
        };
        vec![page(&sample()), page(&sample().ended(ended))]
    }
}
