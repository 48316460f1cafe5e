//! Rulebooks: the list, each one, and the form of a team's own.

mod sheet;

pub(super) use sheet::{file_sheet, page_bring, page_bring_again, page_send, page_send_again};

use axum::{
    extract::State,
    http::StatusCode,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    App, Done, Form, Page, Path, Problem, Query, Signed, listed::FormId, page::answer, typed::Typed,
};
use crate::{
    deed::{self, DeedError, Seen, rulebook::Found},
    domain::{
        Deed, FieldErrors, NotAllowed, OfferDraft, RulebookId,
        rulebook::{Rulebook, RulebookDraft, TeamRulebook, rulebook},
    },
    store::KeptRulebook,
    view::{
        Section, Shell,
        form::Form as FormView,
        rulebook::{
            Origin, RulebookForm, RulebookList, RulebookSheet, RulebookStart, RulebookTarget,
            Standing,
        },
    },
};

fn shell(signed: &Signed, title: &str) -> Shell {
    signed.shell_in(Section::Rulebooks, title)
}

fn may_keep(signed: &Signed) -> bool {
    signed.actor.role.may(Deed::KeepRegister)
}

/// The key of the rulebook that the team works by.
async fn home(app: &App, signed: &Signed) -> Result<String, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    Ok(tx.home_rulebook().await?.key().to_owned())
}

/// Every rulebook.
pub(super) async fn page_list(
    State(app): State<App>,
    signed: Signed,
) -> Result<Page<RulebookList>, Problem> {
    let own = deed::rulebook::own(&app.desk, &signed.actor).await?;
    let own = own.iter().map(|kept| (&kept.rulebook, kept.withdrawn));
    let home = home(&app, &signed).await?;
    let shell = shell(&signed, "Rulebooks");
    Ok(Page(RulebookList::new(
        shell,
        own,
        &home,
        may_keep(&signed),
    )))
}

/// One rulebook, in the version that is asked for.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
) -> Result<Page<RulebookSheet>, Problem> {
    show(&app, &signed, &key).await.map(Page)
}

async fn show(app: &App, signed: &Signed, key: &str) -> Result<RulebookSheet, Problem> {
    let found = deed::rulebook::show(&app.desk, &signed.actor, key).await?;
    let origin = match &found {
        Found::Shipped(book) => Origin::Shipped(book),
        Found::Own(kept, newest) => Origin::Own(&kept.rulebook, *newest),
    };
    let standing = Standing {
        may_keep: may_keep(signed),
        is_home: home(app, signed).await? == found.book().key(),
        withdrawn: found.is_withdrawn(),
    };
    let shell = shell(signed, found.book().title());
    Ok(RulebookSheet::new(shell, &origin, standing))
}

/// What a new one starts from.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct Start {
    from: String,
}

/// The form of a new one; without a rulebook to start from, the choice of one.
pub(super) async fn page_new(signed: Signed, Query(start): Query<Start>) -> Response {
    let Some(base) = rulebook(&start.from) else {
        let shell = shell(&signed, "A rulebook of your own");
        return Page(RulebookStart::new(shell)).into_response();
    };
    let draft = RulebookDraft {
        based_on: base.key().to_owned(),
        ..RulebookDraft::default()
    };
    let target = RulebookTarget::New(RulebookId::new());
    let nothing = FieldErrors::default();
    Page(form(&signed, &target, (base, base), &draft, &nothing)).into_response()
}

fn form(
    signed: &Signed,
    target: &RulebookTarget,
    books: (&Rulebook, &Rulebook),
    draft: &RulebookDraft,
    wrong: &FieldErrors,
) -> RulebookForm {
    let title = match target {
        RulebookTarget::New(_) => "Add a rulebook of your own".to_owned(),
        RulebookTarget::There(..) => format!("Change {}", books.0.title()),
    };
    RulebookForm::new(shell(signed, &title), target, books, draft, wrong)
}

/// Adds one.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<FormId>,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: RulebookDraft = typed.draft()?;
    let id = RulebookId(asked.id());
    let done = deed::rulebook::add(&app.desk, &signed.actor, id, &draft).await;
    answer(
        done,
        |own| added(&own),
        async |wrong| {
            // Without a base there is no form to show again.
            let base = rulebook(&draft.based_on).ok_or_else(|| Problem::Invalid(wrong.clone()))?;
            let target = RulebookTarget::New(id);
            Ok(form(&signed, &target, (base, base), &draft, &wrong))
        },
    )
    .await
}

fn added(own: &TeamRulebook) -> Done {
    Done::to(format!("/rulebooks/{}", own.book.key())).saying(format!(
        "The rulebook {} is added; jobs can be planned under it.",
        own.book.title()
    ))
}

fn changed(own: &TeamRulebook) -> Done {
    Done::to(format!("/rulebooks/{}", own.book.key())).saying(format!(
        "Version {} of {} holds for new jobs; those that are planned keep theirs.",
        own.revision,
        own.book.title()
    ))
}

/// The newest version of one of the team's own, with what it is based on.
pub(super) async fn newest(
    app: &App,
    signed: &Signed,
    key: &str,
) -> Result<(KeptRulebook, &'static Rulebook), Problem> {
    let key = key.split('@').next().unwrap_or_default();
    match deed::rulebook::show(&app.desk, &signed.actor, key).await? {
        Found::Own(kept, _) => {
            let base = kept.rulebook.book.base();
            let base = base.ok_or_else(|| Problem::internal("a base is not shipped any more"))?;
            Ok((*kept, base))
        }
        Found::Shipped(_) => Err(Problem::NotAllowed(
            "This rulebook comes with the program and cannot be changed. Start one of your own from it."
                .to_owned(),
        )),
    }
}

/// The same of one that may be changed: it is not withdrawn.
async fn open(
    app: &App,
    signed: &Signed,
    key: &str,
) -> Result<(TeamRulebook, &'static Rulebook), Problem> {
    let (kept, base) = newest(app, signed, key).await?;
    NotAllowed::unless(kept.withdrawn, false).map_err(DeedError::from)?;
    Ok((kept.rulebook, base))
}

/// The form of one that is there.
pub(super) async fn page_edit(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
) -> Result<Page<RulebookForm>, Problem> {
    let (own, base) = open(&app, &signed, &key).await?;
    let draft = RulebookDraft {
        key: own.book.key().to_owned(),
        title: own.book.title().to_owned(),
        based_on: base.key().to_owned(),
        ..RulebookDraft::default()
    };
    let target = RulebookTarget::There(own.book.key().to_owned(), own.revision);
    let nothing = FieldErrors::default();
    Ok(Page(form(
        &signed,
        &target,
        (&own.book, base),
        &draft,
        &nothing,
    )))
}

/// Keeps a further version.
pub(super) async fn page_revise(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
    mut typed: Typed,
) -> Result<Response, Problem> {
    let revision = typed.take_revision()?;
    let draft: RulebookDraft = typed.draft()?;
    let (own, base) = open(&app, &signed, &key).await?;
    let target = |revision| RulebookTarget::There(own.book.key().to_owned(), revision);
    match deed::rulebook::revise(
        &app.desk,
        &signed.actor,
        own.id,
        Seen::Version(revision),
        &draft,
    )
    .await
    {
        Ok(own) => Ok(changed(&own).into_response()),
        Err(DeedError::Invalid(wrong)) => {
            let target = target(revision);
            let again = form(&signed, &target, (&own.book, base), &draft, &wrong);
            Ok(Page::wrong(again))
        }
        Err(DeedError::Stale(_)) => {
            let nothing = FieldErrors::default();
            let target = target(own.revision);
            let again = form(&signed, &target, (&own.book, base), &draft, &nothing);
            Ok(Page::again(StatusCode::CONFLICT, again.after_another()))
        }
        Err(other) => Err(other.into()),
    }
}

/// Withdraws one.
pub(super) async fn page_withdraw(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
    Form(draft): Form<OfferDraft>,
) -> Result<Response, Problem> {
    let (kept, _) = newest(&app, &signed, &key).await?;
    let id = kept.rulebook.id;
    let done = deed::rulebook::withdraw(&app.desk, &signed.actor, id, &draft).await;
    let words = "The rulebook is withdrawn. Jobs that were planned under it keep it.";
    offered((&app, &signed), &key, draft, (done, words)).await
}

/// Takes one up again that was withdrawn.
pub(super) async fn page_take_up(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
    Form(draft): Form<OfferDraft>,
) -> Result<Response, Problem> {
    let (kept, _) = newest(&app, &signed, &key).await?;
    let id = kept.rulebook.id;
    let done = deed::rulebook::take_up(&app.desk, &signed.actor, id, &draft).await;
    let words = "Jobs can be planned under the rulebook again.";
    offered((&app, &signed), &key, draft, (done, words)).await
}

/// Leads back to the page of the rulebook, which has the form again where it does not hold.
async fn offered(
    (app, signed): (&App, &Signed),
    key: &str,
    draft: OfferDraft,
    (done, words): (Result<TeamRulebook, DeedError>, &str),
) -> Result<Response, Problem> {
    answer(
        done,
        |own| Done::to(format!("/rulebooks/{}", own.book.key())).saying(words),
        async |wrong| {
            let page = show(app, signed, key).await?;
            Ok(page.with_offer(draft.reason, FormView::new(&wrong)))
        },
    )
    .await
}
