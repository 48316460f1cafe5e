//! Recording an examination.

use axum::{extract::State, response::Response};

use super::{
    App, Done, Page, Path, Problem, Query, Signed, listed::FormId, page::answer, typed::Typed,
};
use crate::{
    deed,
    domain::{
        Deed, ExaminationDraft, ExaminationId, FieldErrors, ItemId, ItemState, NotAllowed, Verdict,
        date::write_day,
    },
    view::{
        Section,
        examination::{NewExamination, Subject},
        past::kind_word,
    },
};

async fn form(
    (app, signed): (&App, &Signed),
    item: ItemId,
    id: ExaminationId,
    draft: &ExaminationDraft,
    wrong: &FieldErrors,
) -> Result<NewExamination, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let item = tx.item(item).await?.ok_or(Problem::NotFound("item"))?;
    let model = tx
        .model(item.model)
        .await?
        .ok_or(Problem::NotFound("model"))?;
    if item.state == ItemState::Retired {
        return Err(Problem::NotAllowed(NotAllowed::Retired.to_string()));
    }
    let rulebook = deed::rulebook::home(&mut tx).await?;
    let subject = Subject {
        id,
        item: &item,
        model: &model,
        rulebook: &rulebook,
        thorough: signed.actor.role.may(Deed::Examine),
    };
    let shell = signed.shell_in(Section::Items, "Record examination");
    Ok(NewExamination::new(shell, &subject, draft, wrong))
}

/// The form.
pub(super) async fn page_new(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
) -> Result<Page<NewExamination>, Problem> {
    let draft = ExaminationDraft {
        on: write_day(signed.today(&app)),
        ..ExaminationDraft::default()
    };
    let id = ExaminationId::new();
    let nothing = FieldErrors::default();
    form((&app, &signed), item, id, &draft, &nothing)
        .await
        .map(Page)
}

/// Records the examination.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
    Query(asked): Query<FormId>,
    typed: Typed,
) -> Result<Response, Problem> {
    let draft: ExaminationDraft = typed.draft()?;
    let id = ExaminationId(asked.id());
    let done = deed::examination::record(&app.desk, &signed.actor, item, id, &draft).await;
    answer(
        done,
        |done| {
            let ended = match (done.verdict, done.next_due_on) {
                (Verdict::Fit, Some(day)) => format!("fit, next due {}", write_day(day)),
                (Verdict::Fit, None) => "fit".to_owned(),
                (Verdict::Quarantine, _) => "it is in quarantine now".to_owned(),
                (Verdict::Retire, _) => "it is retired now".to_owned(),
            };
            let words = format!("{} recorded: {ended}.", kind_word(done.kind));
            Done::to(format!("/items/{item}")).saying(words)
        },
        async |wrong| form((&app, &signed), item, id, &draft, &wrong).await,
    )
    .await
}
