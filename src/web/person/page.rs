//! The pages of the people.

use axum::{
    extract::State,
    response::{IntoResponse, Response},
};

use crate::{
    deed::{
        DeedError,
        person::{self, NewPassword, PersonRevision},
        qualification,
    },
    domain::{FieldErrors, Holder, Person, PersonDraft, PersonId},
    view::{
        Section,
        competence::QualificationRow,
        form,
        person::{NewPerson, People, ShowPerson, access, roles},
    },
    web::{App, Done, Form, Page, Path, Problem, Signed},
};

/// Everyone of the team.
pub(in crate::web) async fn page_list(
    State(app): State<App>,
    signed: Signed,
) -> Result<Page<People>, Problem> {
    let people = person::list(&app.desk, &signed.actor).await?;
    let shell = signed.shell_in(Section::People, "People");
    Ok(Page(People::new(shell, people)))
}

/// The form for a new person.
pub(in crate::web) async fn page_new(signed: Signed) -> Page<NewPerson> {
    Page(new_person(
        &signed,
        PersonDraft::default(),
        &FieldErrors::default(),
    ))
}

fn new_person(signed: &Signed, mut draft: PersonDraft, wrong: &FieldErrors) -> NewPerson {
    if draft.role.is_empty() {
        "crew".clone_into(&mut draft.role);
    }
    NewPerson {
        shell: signed.shell_in(Section::People, "Add a person"),
        form: form::Form::new(wrong),
        draft,
        roles: roles(),
    }
}

/// Adds a person.
pub(in crate::web) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Form(draft): Form<PersonDraft>,
) -> Result<Response, Problem> {
    match person::add(&app.desk, &signed.actor, &draft).await {
        Ok(id) => Ok(Done::to(format!("/people/{id}"))
            .saying(format!("{} was added.", draft.name.trim()))
            .into_response()),
        Err(DeedError::Invalid(wrong)) => Ok(Page::wrong(new_person(&signed, draft, &wrong))),
        Err(other) => Err(other.into()),
    }
}

/// One person.
pub(in crate::web) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<PersonId>,
) -> Result<Page<ShowPerson>, Problem> {
    let person = person::show(&app.desk, &signed.actor, id).await?;
    let typed = as_typed(&person);
    let nothing = FieldErrors::default();
    show_person((&app, &signed), person, typed, &nothing)
        .await
        .map(Page)
}

/// The person as the form would send it back unchanged.
fn as_typed(person: &Person) -> PersonRevision {
    PersonRevision {
        name: person.name.clone(),
        role: person.role.key().to_owned(),
        active: if person.active { "yes" } else { "" }.to_owned(),
        seen: person::mark(person),
    }
}

async fn show_person(
    (app, signed): (&App, &Signed),
    person: Person,
    typed: PersonRevision,
    wrong: &FieldErrors,
) -> Result<ShowPerson, Problem> {
    let competence = qualification::list(&app.desk, &signed.actor).await?;
    let theirs = competence.qualifications.iter();
    let theirs = theirs.filter(|one| one.holder == Holder::Person(person.id));
    let today = signed.today(app);
    Ok(ShowPerson {
        qualifications: theirs
            .map(|one| QualificationRow::new(one, &competence, today))
            .collect(),
        shell: signed.shell_in(Section::People, &person.name),
        access: access(&person),
        person,
        form: form::Form::new(wrong),
        name: typed.name,
        role: typed.role,
        active: typed.active == "yes",
        seen: typed.seen,
        roles: roles(),
    })
}

/// Changes a person.
pub(in crate::web) async fn page_revise(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<PersonId>,
    Form(typed): Form<PersonRevision>,
) -> Result<Response, Problem> {
    match person::revise(&app.desk, &signed.actor, id, &typed).await {
        Ok(()) => Ok(Done::to(format!("/people/{id}"))
            .saying("Saved.")
            .into_response()),
        Err(DeedError::Invalid(wrong)) => {
            let person = person::show(&app.desk, &signed.actor, id).await?;
            let view = show_person((&app, &signed), person, typed, &wrong).await?;
            Ok(Page::wrong(view))
        }
        Err(other) => Err(other.into()),
    }
}

/// Sets another person's password.
pub(in crate::web) async fn page_password(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<PersonId>,
    Form(typed): Form<NewPassword>,
) -> Result<Response, Problem> {
    match person::reset_password(&app.desk, &signed.actor, id, &typed).await {
        Ok(()) => Ok(Done::to(format!("/people/{id}"))
            .saying("The password was set, and the person is signed out everywhere.")
            .into_response()),
        Err(DeedError::Invalid(wrong)) => {
            let person = person::show(&app.desk, &signed.actor, id).await?;
            let as_it_is = as_typed(&person);
            let view = show_person((&app, &signed), person, as_it_is, &wrong).await?;
            Ok(Page::wrong(view))
        }
        Err(other) => Err(other.into()),
    }
}
