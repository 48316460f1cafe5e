//! Examinations: recording one, and looking at one that was recorded.

use axum::{
    extract::State,
    response::{IntoResponse, Response},
};
use serde::Deserialize;
use uuid::Uuid;

use super::{
    App, Done, Page, Path, Problem, Query, Signed, page::answer, typed::Typed, way_back::Back,
};
use crate::{
    deed::{
        self, checklist,
        examination::{SaidBeside, said_beside},
    },
    domain::{
        AttachedTo, Deed, Examination, ExaminationDraft, ExaminationId, ExaminationKind,
        FieldErrors, Finding, ItemId, ItemState, NotAllowed, Verdict, date::write_day, key_of,
    },
    export::paper::lacking,
    view::{
        Section, Shell,
        attachment::{Gallery, add_href},
        examination::{NewExamination, ShowExamination, Subject},
        kept_until::KeptUntil,
        past::kind_word,
    },
};

/// What stands behind the question mark of the form.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Asked {
    /// The id that the form was given when it was opened.
    id: Option<Uuid>,
    /// `quick` for the short list.
    look: String,
}

/// Which form is open: the id, and whether it is the one of a quick look.
#[derive(Clone, Copy)]
struct Opened {
    item: ItemId,
    id: ExaminationId,
    quick: bool,
}

impl Asked {
    fn opened(&self, item: ItemId) -> Opened {
        Opened {
            item,
            id: ExaminationId(self.id.unwrap_or_else(Uuid::now_v7)),
            quick: self.look == "quick",
        }
    }
}

async fn form(
    (app, signed): (&App, &Signed),
    (opened, back): (Opened, &Back),
    draft: &ExaminationDraft,
    wrong: &FieldErrors,
) -> Result<NewExamination, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let item = tx.item(opened.item).await?;
    let item = item.ok_or(Problem::NotFound("item"))?;
    let model = tx
        .model(item.model)
        .await?
        .ok_or(Problem::NotFound("model"))?;
    if let Some(words) = deed::cut::in_pieces(&mut tx, &item).await? {
        return Err(Problem::NotAllowed(words));
    }
    if item.state == ItemState::Retired {
        return Err(Problem::NotAllowed(NotAllowed::Retired.to_string()));
    }
    let rulebook = deed::rulebook::home(&mut tx).await?;
    let list = checklist::newest(&mut tx, model.kind).await?;
    let last = tx
        .examinations_in_line(&item, checklist::LOOKED_BACK)
        .await?;
    let watching = checklist::watching(&mut tx, &last).await?;
    let since = deed::since_look::of(&mut tx, (&item, &model), &last).await?;
    let since = since.in_words(&item, &signed.zone);
    drop(tx);
    let competence = deed::qualification::list(&app.desk, &signed.actor).await?;
    let asked = (model.kind, signed.today(app));
    let may_thorough = deed::examination::may_examine(&signed.actor, &competence, asked);
    let kind = ExaminationKind::from_key(&draft.kind);
    let thorough = kind.map_or(!opened.quick, ExaminationKind::is_thorough);
    let subject = Subject {
        id: opened.id,
        item: &item,
        model: &model,
        rulebook: &rulebook,
        may_thorough,
        may_name: signed.actor.role.may(Deed::Examine),
        thorough: thorough && may_thorough,
        list: &list,
        competence: (&competence, signed.today(app)),
        watching: &watching,
        since: &since,
    };
    let shell = Shell {
        back: back.way(),
        ..signed.shell_in(Section::Items, "Record examination")
    };
    Ok(NewExamination::new(shell, &subject, draft, wrong))
}

/// The form.
pub(super) async fn page_new(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
    Query(asked): Query<Asked>,
    Query(back): Query<Back>,
) -> Result<Response, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let there = tx.item(item).await?.ok_or(Problem::NotFound("item"))?;
    // Its page leads to each of its pieces.
    if let Some(words) = deed::cut::in_pieces(&mut tx, &there).await? {
        return Ok(Done::to(format!("/items/{item}"))
            .saying(words)
            .into_response());
    }
    drop(tx);
    let draft = ExaminationDraft {
        on: write_day(signed.today(&app)),
        ..ExaminationDraft::default()
    };
    let opened = asked.opened(item);
    let nothing = FieldErrors::default();
    let view = form((&app, &signed), (opened, &back), &draft, &nothing).await?;
    Ok(Page(view).into_response())
}

/// Records the examination, or gives the form back with what was not answered marked as passed.
pub(super) async fn page_create(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
    Query(asked): Query<Asked>,
    Query(back): Query<Back>,
    mut typed: Typed,
) -> Result<Response, Problem> {
    let act = typed.take("act");
    let mut draft: ExaminationDraft = typed.draft()?;
    let opened = asked.opened(item);
    if act.as_deref() == Some("rest") {
        let nothing = FieldErrors::default();
        rest_passes((&app, &signed), opened, &mut draft).await?;
        let view = form((&app, &signed), (opened, &back), &draft, &nothing).await?;
        return Ok(Page(view).into_response());
    }
    let done = deed::examination::record(&app.desk, &signed.actor, item, opened.id, &draft).await;
    let beside = beside((&app, &signed), done.as_ref().ok()).await?;
    answer(
        done,
        |done| {
            let to = AttachedTo::Examination {
                item,
                examination: done.id,
            };
            let next = match act.as_deref() {
                Some("photos") => add_href(to),
                _ => back.or(format!("/items/{item}")),
            };
            Done::to(next).saying(said(&done, &beside))
        },
        async |wrong| form((&app, &signed), (opened, &back), &draft, &wrong).await,
    )
    .await
}

/// Marks every criterion that is shown and not answered as passed.
async fn rest_passes(
    (app, signed): (&App, &Signed),
    opened: Opened,
    draft: &mut ExaminationDraft,
) -> Result<(), Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let item = tx.item(opened.item).await?;
    let item = item.ok_or(Problem::NotFound("item"))?;
    let model = tx.model(item.model).await?;
    let kind = model.ok_or(Problem::NotFound("model"))?.kind;
    let list = checklist::newest(&mut tx, kind).await?;
    let thorough = ExaminationKind::from_key(&draft.kind);
    let thorough = thorough.map_or(!opened.quick, ExaminationKind::is_thorough);
    drop(tx);
    let competence = deed::qualification::list(&app.desk, &signed.actor).await?;
    let asked = (kind, signed.today(app));
    let may = deed::examination::may_examine(&signed.actor, &competence, asked);
    for criterion in list.for_look(thorough && may) {
        let answer = draft.answers.entry(criterion.key.clone()).or_default();
        if answer.outcome.trim().is_empty() {
            answer.outcome = key_of(Finding::Pass);
        }
    }
    Ok(())
}

/// What is said beside an examination, once it was recorded.
pub(super) async fn beside(
    (app, signed): (&App, &Signed),
    done: Option<&Examination>,
) -> Result<SaidBeside, Problem> {
    Ok(match done {
        Some(done) => said_beside(&app.desk, &signed.actor, done).await?,
        None => SaidBeside::default(),
    })
}

pub(super) fn said(done: &Examination, beside: &SaidBeside) -> String {
    let ended = match (done.verdict, done.next_due_on) {
        (Verdict::Fit, Some(day)) => format!("fit, next due {}", write_day(day)),
        (Verdict::Fit, None) => "fit".to_owned(),
        (Verdict::Quarantine, _) => "it is in quarantine now".to_owned(),
        (Verdict::Retire, _) => "it is retired now".to_owned(),
    };
    let watched = match done.answered(Finding::Watch).count() {
        0 => String::new(),
        1 => " 1 point is to be watched.".to_owned(),
        n => format!(" {n} points are to be watched."),
    };
    let spaced = |words: &Option<String>| {
        let words = words.as_ref();
        words.map_or_else(String::new, |words| format!(" {words}"))
    };
    let (left, waits) = (spaced(&beside.length_left), spaced(&beside.waits_for));
    let length = done.length_now.map_or_else(String::new, |length| {
        format!(" Its length on the register is {length} now.")
    });
    format!(
        "{} recorded: {ended}.{watched}{length}{left}{waits}",
        kind_word(done.kind)
    )
}

/// One examination with the list of its day.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path((item, id)): Path<(ItemId, ExaminationId)>,
) -> Result<Page<ShowExamination>, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let there = tx.examination(id).await?;
    let examination = there.filter(|one| one.item == item);
    let examination = examination.ok_or(Problem::NotFound("examination"))?;
    let item = tx.item(item).await?.ok_or(Problem::NotFound("item"))?;
    let model = tx.model(item.model).await?;
    let model = model.ok_or(Problem::NotFound("model"))?;
    let list = match examination.checklist {
        Some(edition) => Some(checklist::of_edition(&mut tx, edition).await?),
        None => None,
    };
    let to = AttachedTo::Examination {
        item: item.id,
        examination: id,
    };
    let may_add = signed.actor.role.may(to.deed(Some(&examination)));
    let gallery = Gallery::of_record(&tx.attachments(to).await?, may_add.then(|| add_href(to)));
    let recorder = tx.person(examination.recorded_by).await?;
    let recorder = recorder.map(|person| person.name).unwrap_or_default();
    let title = format!(
        "{} of {}, {}",
        kind_word(examination.kind),
        item.mark,
        write_day(examination.on)
    );
    let shell = signed.shell_in(Section::Items, title);
    let of = (&item, &model);
    let with = (list.as_ref(), gallery);
    let team = tx.this_team().await?.map(|(team, _)| team);
    let qualification = match examination.qualification {
        Some(id) => tx.qualification(id).await?,
        None => None,
    };
    let lacking = lacking::told(&(&examination, &item, &model, &team, &qualification));
    let keeping = deed::retention::of_examination(&mut tx, &examination, &item).await?;
    let kept = KeptUntil::new(keeping.rulebook, &keeping.kept);
    let by = ((recorder.as_str(), qualification.as_ref()), lacking, kept);
    let view = ShowExamination::new(shell, &examination, of, with, by);
    Ok(Page(view))
}
