//! Letters: what one gets by e-mail, how often, and that the address is one's own.

use axum::{extract::State, response::Response};
use serde::Deserialize;

use super::{App, Done, Form, Page, Problem, Query, Signed, page::answer};
use crate::{
    deed::{self, proof::Asked},
    domain::{DigestDraft, FieldErrors},
    view::digest::{ConfirmAddress, Letters, Standing, typed},
};

const PAGE: &str = "/settings/letters";

async fn letters(
    (app, signed): (&App, &Signed),
    draft: DigestDraft,
    wrong: &FieldErrors,
) -> Result<Letters, Problem> {
    let can_send = app.config.outgoing.smtp_url.is_some();
    let kept = deed::digest::choice(&app.desk, &signed.actor).await?;
    let proof = deed::proof::proof(&app.desk, &signed.actor).await?;
    let shell = signed.shell("Letters");
    let standing = Standing::new(&kept.address, proof.as_ref(), &shell.zone);
    Ok(Letters::new(shell, draft, (standing, can_send), wrong))
}

/// What one has chosen.
pub(super) async fn page_show(
    State(app): State<App>,
    signed: Signed,
) -> Result<Page<Letters>, Problem> {
    let choice = deed::digest::choice(&app.desk, &signed.actor).await?;
    let nothing = FieldErrors::default();
    let page = letters((&app, &signed), typed(&choice), &nothing).await?;
    Ok(Page(page))
}

/// What is said of a letter that asks for the address.
fn said(asked: &Asked, (app, signed): (&App, &Signed)) -> String {
    match asked {
        Asked::Yes if app.config.outgoing.smtp_url.is_none() => {
            "Your address is confirmed by a letter once this server sends some.".to_owned()
        }
        Asked::No => String::new(),
        Asked::Yes => "A letter goes to your address: open its link to confirm that it is yours. Until then nothing else is sent there.".to_owned(),
        Asked::NotBefore(at) => format!(
            "No letter was sent to confirm the address: the next may be asked for from {} on.",
            signed.shell("").zone.words(*at)
        ),
    }
}

/// Keeps what one has chosen.
pub(super) async fn page_save(
    State(app): State<App>,
    signed: Signed,
    Form(draft): Form<DigestDraft>,
) -> Result<Response, Problem> {
    let done = deed::digest::choose(&app.desk, &signed.actor, &draft).await;
    answer(
        done,
        |asked| {
            let words = format!("Saved. {}", said(&asked, (&app, &signed)));
            Done::to(PAGE).saying(words.trim_end())
        },
        async |wrong| letters((&app, &signed), draft, &wrong).await,
    )
    .await
}

/// Has the letter that asks for the address sent again.
pub(super) async fn page_again(State(app): State<App>, signed: Signed) -> Result<Done, Problem> {
    let asked = deed::proof::ask_again(&app.desk, &signed.actor).await?;
    let words = match asked {
        Asked::No => "There is nothing to confirm.".to_owned(),
        asked => said(&asked, (&app, &signed)),
    };
    Ok(Done::to(PAGE).saying(words))
}

/// The code of a letter.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct AskedCode {
    code: String,
}

fn confirm(signed: &Signed, code: &str, wrong: &FieldErrors) -> ConfirmAddress {
    ConfirmAddress::new(signed.shell("Confirm your address"), code, wrong)
}

/// Asks for the code, or shows that of the link. Nothing is confirmed by looking: programs look at links in letters too.
pub(super) async fn page_confirm(
    signed: Signed,
    Query(asked): Query<AskedCode>,
) -> Page<ConfirmAddress> {
    Page(confirm(&signed, &asked.code, &FieldErrors::default()))
}

/// Takes the code.
pub(super) async fn page_take(
    State(app): State<App>,
    signed: Signed,
    Form(asked): Form<AskedCode>,
) -> Result<Response, Problem> {
    let done = deed::proof::confirm(&app.desk, &signed.actor, &asked.code).await;
    answer(
        done,
        |()| Done::to(PAGE).saying("Your address is confirmed."),
        async |wrong| Ok(confirm(&signed, &asked.code, &wrong)),
    )
    .await
}
