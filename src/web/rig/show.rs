//! The doors of the list of rigs, of one rig, and of its file.

use std::borrow::Cow;

use axum::{
    extract::State,
    http::header,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use crate::{
    deed::{self, DeedError},
    domain::{Deed, FieldErrors, OfferDraft, OwnRig, RigForm, RigId},
    rigging::{RIG_SCHEMA, Rig, shipped, shipped_rig},
    store::{KeptRig, Tx},
    view::{
        Section,
        form::Form as FormView,
        offer::Offer,
        rig::{OwnFacts, OwnRow, RigList, RigRow, RigSheet, VersionRow},
    },
    web::{App, Done, Form, Page, Path, Problem, Query, Signed, listed::address, page::answer},
};

/// Every rig.
pub(in crate::web) async fn page_list(
    State(app): State<App>,
    signed: Signed,
) -> Result<Page<RigList>, Problem> {
    Ok(Page(list(&app, &signed, &FieldErrors::default()).await?))
}

/// The list, with what was wrong with a file that was sent.
pub(super) async fn list(
    app: &App,
    signed: &Signed,
    wrong: &FieldErrors,
) -> Result<RigList, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let (kept, withdrawn): (Vec<_>, Vec<_>) = tx
        .rigs()
        .await?
        .into_iter()
        .partition(|kept| !kept.withdrawn);
    let own = kept.iter().chain(&withdrawn);
    Ok(RigList {
        shell: signed.shell_in(Section::Rigs, "Rigs"),
        own: own
            .map(|kept| OwnRow::new(&kept.rig, kept.withdrawn))
            .collect(),
        shipped: shipped().iter().map(RigRow::new).collect(),
        may_add: may_keep(signed),
        form: FormView::new(wrong),
    })
}

pub(super) fn may_keep(signed: &Signed) -> bool {
    signed.actor.role.may(Deed::KeepRegister)
}

/// Which version is asked for; the newest if none is.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct Asked {
    version: Option<u32>,
}

/// A rig of the team's own, in the version that is asked for.
pub(in crate::web) struct Own {
    /// The newest version.
    pub(in crate::web) kept: KeptRig,
    /// The one that is asked for.
    pub(in crate::web) shown: OwnRig,
}

/// A rig of this key (or of this id, as the history names it), and what is known of it if it is the team's own.
pub(in crate::web) async fn found(
    tx: &mut Tx,
    key: &str,
    asked: &Asked,
) -> Result<(Cow<'static, Rig>, Option<Own>), Problem> {
    const NONE: Problem = Problem::NotFound("rig");
    let kept = match key.parse::<RigId>() {
        Ok(id) => tx.rig(id).await?,
        Err(_) => tx.rig_of_key(key).await?,
    };
    let Some(kept) = kept else {
        let shipped = shipped_rig(key).filter(|_| asked.version.is_none());
        return Ok((Cow::Borrowed(shipped.ok_or(NONE)?), None));
    };
    let shown = match asked.version {
        Some(version) => tx.rig_version(&kept.rig.key, version).await?.ok_or(NONE)?,
        None => kept.rig.clone(),
    };
    let rig = shown.rig().map_err(|faults| {
        Problem::NotAllowed(format!(
            "Version {} of this rig is not read any more: {faults}",
            shown.revision
        ))
    })?;
    Ok((Cow::Owned(rig), Some(Own { kept, shown })))
}

/// One rig.
pub(in crate::web) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Page<RigSheet>, Problem> {
    Ok(Page(sheet(&app, &signed, &key, &asked).await?))
}

async fn sheet(app: &App, signed: &Signed, key: &str, asked: &Asked) -> Result<RigSheet, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let (rig, own) = found(&mut tx, key, asked).await?;
    let facts = match own {
        Some(own) => Some(facts(&mut tx, signed, own).await?),
        None => None,
    };
    let start = may_keep(signed).then(|| address("/rigs/new", &[("from", rig.key())]));
    let shell = signed.shell_in(Section::Rigs, rig.title());
    Ok(RigSheet::new(shell, &rig, facts, start))
}

async fn facts(tx: &mut Tx, signed: &Signed, own: Own) -> Result<OwnFacts, Problem> {
    let Own { kept, shown } = own;
    let page = format!("/rigs/{}", kept.rig.key);
    let mut versions = Vec::new();
    for version in tx.rig_versions(kept.rig.id).await? {
        let person = tx.person(version.by).await?;
        versions.push(VersionRow {
            version: version.rig.revision,
            href: format!("{page}?version={}", version.rig.revision),
            by: person.map(|person| person.name).unwrap_or_default(),
            at: signed.zone.words(version.at),
            note: version.rig.note,
        });
    }
    let may_change = may_keep(signed) && !kept.withdrawn;
    Ok(OwnFacts {
        version: shown.revision,
        older: shown.revision < kept.rig.revision,
        withdrawn: kept.withdrawn,
        edit: may_change.then(|| format!("{page}/edit")),
        offer: may_keep(signed).then(|| Offer::new("rig", kept.withdrawn, page)),
        versions,
    })
}

/// The sheet of a rig as a file.
pub(in crate::web) async fn file(
    State(app): State<App>,
    signed: Signed,
    Path((key, ending)): Path<(String, String)>,
    Query(asked): Query<Asked>,
) -> Result<Response, Problem> {
    let form = RigForm::from_ending(&ending).ok_or(Problem::NotFound("file"))?;
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let (rig, own) = found(&mut tx, &key, &asked).await?;
    let text = match (form, own) {
        // What a person wrote is given back as it was written.
        (RigForm::Toml, Some(own)) => own.shown.sheet,
        _ => form.write(&rig.sheet()),
    };
    let headers = [
        (header::CONTENT_TYPE, form.media_type().to_owned()),
        (
            header::CONTENT_DISPOSITION,
            format!("attachment; filename=\"{}.{}\"", rig.key(), form.ending()),
        ),
    ];
    Ok((headers, text).into_response())
}

/// The JSON Schema of a rig's file.
pub(in crate::web) async fn schema() -> Response {
    let kind = [(header::CONTENT_TYPE, "application/schema+json")];
    (kind, RIG_SCHEMA).into_response()
}

/// Withdraws a rig of the team's own.
pub(in crate::web) async fn page_withdraw(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
    Form(draft): Form<OfferDraft>,
) -> Result<Response, Problem> {
    let id = id_of(&app, &signed, &key).await?;
    let done = deed::rig::withdraw(&app.desk, &signed.actor, id, &draft).await;
    let words = "The rig is withdrawn. Jobs that were planned with it keep it.";
    offered((&app, &signed), &key, draft, (done, words)).await
}

/// Takes a rig up again that was withdrawn.
pub(in crate::web) async fn page_take_up(
    State(app): State<App>,
    signed: Signed,
    Path(key): Path<String>,
    Form(draft): Form<OfferDraft>,
) -> Result<Response, Problem> {
    let id = id_of(&app, &signed, &key).await?;
    let done = deed::rig::take_up(&app.desk, &signed.actor, id, &draft).await;
    let words = "The rig is offered again.";
    offered((&app, &signed), &key, draft, (done, words)).await
}

async fn id_of(app: &App, signed: &Signed, key: &str) -> Result<RigId, Problem> {
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let kept = tx.rig_of_key(key).await?;
    Ok(kept.ok_or(Problem::NotFound("rig"))?.rig.id)
}

/// Leads back to the page of the rig, which has the form again where it does not hold.
async fn offered(
    (app, signed): (&App, &Signed),
    key: &str,
    draft: OfferDraft,
    (done, words): (Result<OwnRig, DeedError>, &str),
) -> Result<Response, Problem> {
    answer(
        done,
        |rig| Done::to(format!("/rigs/{}", rig.key)).saying(words),
        async |wrong| {
            let mut page = sheet(app, signed, key, &Asked::default()).await?;
            if let Some(offer) = page.own.as_mut().and_then(|own| own.offer.as_mut()) {
                offer.with(draft.reason, FormView::new(&wrong));
            }
            Ok(page)
        },
    )
    .await
}
