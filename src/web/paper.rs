//! Papers: files to print and to keep.

use axum::{
    extract::State,
    http::header,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{App, Page, Path, Problem, Query, Signed};
use crate::{
    deed::{self, DeedError},
    domain::{Deed, ExaminationId, FieldErrors, ItemId, PaperSize, SpanDraft, Units},
    view::{
        Section,
        paper::{LETTERS_TOLD, Papers},
    },
};

/// On which paper; empty is the one that goes with the person's units.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct AskedPaper {
    paper: String,
}

impl AskedPaper {
    /// The word of the size; empty where none was asked for.
    pub fn size(&self) -> &str {
        &self.paper
    }
}

pub(super) fn paper_of(signed: &Signed, key: &str) -> PaperSize {
    let usual = match signed.preference.units {
        Units::Us => PaperSize::Letter,
        Units::Metric => PaperSize::A4,
    };
    PaperSize::from_key(key).unwrap_or(usual)
}

/// A PDF that the browser shows.
pub(super) fn pdf(name: &str, bytes: Vec<u8>) -> Response {
    let headers = [
        (header::CONTENT_TYPE, "application/pdf".to_owned()),
        (
            header::CONTENT_DISPOSITION,
            format!("inline; filename=\"ropeloft-{name}.pdf\""),
        ),
    ];
    (headers, bytes).into_response()
}

/// What can be printed.
pub(super) async fn page_list(State(app): State<App>, signed: Signed) -> Page<Papers> {
    let draft = SpanDraft::default().filled(signed.today(&app));
    Page(papers(&signed, draft, "", &FieldErrors::default()))
}

fn papers(signed: &Signed, draft: SpanDraft, paper: &str, wrong: &FieldErrors) -> Papers {
    let shell = signed.shell_in(Section::Papers, "Papers");
    let may_keep = signed.actor.role.may(Deed::KeepRegister);
    Papers::new(shell, draft, paper_of(signed, paper), may_keep, wrong)
}

/// What falls due in a span of days.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct AskedSpan {
    from: String,
    to: String,
    paper: String,
    /// [`LETTERS_TOLD`] once it was said which letters the file lacks.
    letters: String,
}

/// The list of what falls due; where it lacks letters, first the page that says which.
pub(super) async fn file_due(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedSpan>,
) -> Result<Response, Problem> {
    let paper = paper_of(&signed, &asked.paper);
    let draft = SpanDraft {
        from: asked.from,
        to: asked.to,
    };
    match deed::paper::due(&app.desk, &signed.actor, &draft).await {
        Ok(due) => {
            let lacking = due.lacking();
            if let Some(words) = lacking.filter(|_| asked.letters != LETTERS_TOLD) {
                let page = papers(&signed, draft, &asked.paper, &FieldErrors::default());
                return Ok(Page(page.with_lacking(words)).into_response());
            }
            let name = format!("due-{}", signed.today(&app));
            Ok(pdf(&name, due.file(paper).await?))
        }
        Err(DeedError::Invalid(wrong)) => {
            Ok(Page::wrong(papers(&signed, draft, &asked.paper, &wrong)))
        }
        Err(other) => Err(other.into()),
    }
}

/// The equipment record of an item.
pub(super) async fn file_record(
    State(app): State<App>,
    signed: Signed,
    Path(item): Path<ItemId>,
    Query(asked): Query<AskedPaper>,
) -> Result<Response, Problem> {
    let paper = paper_of(&signed, &asked.paper);
    let bytes = deed::paper::item_record(&app.desk, &signed.actor, item, paper).await?;
    Ok(pdf(&format!("record-{item}"), bytes))
}

/// The report of an examination.
pub(super) async fn file_report(
    State(app): State<App>,
    signed: Signed,
    Path(examination): Path<ExaminationId>,
    Query(asked): Query<AskedPaper>,
) -> Result<Response, Problem> {
    let paper = paper_of(&signed, &asked.paper);
    let bytes = deed::paper::report(&app.desk, &signed.actor, examination, paper).await?;
    Ok(pdf(&format!("examination-{examination}"), bytes))
}
