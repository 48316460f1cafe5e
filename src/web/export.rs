//! Rows to take along, in whatever form: the doors of every such file, for people and for programs.

use axum::{
    extract::{OriginalUri, State},
    response::Response,
};
use serde::Deserialize;
use uuid::Uuid;

use super::{
    App, Path, Problem, Query, Signed, admit::forbidden, api::ProblemJson, file, item,
    listed::address, paper::paper_of,
};
use crate::{
    deed::{
        DeedError,
        export::{During, Key, MOST_ON_PAPER, Order, Wanted},
        history::{Narrowing, Of},
    },
    domain::{Deed, FieldErrors, GuestLinkId, ItemId, JobId, Kind, NoticeId},
    export::FileForm,
    store::{EntryFilter, ModelFilter},
    view::file_choice::FileChoice,
};

/// What stands behind the question mark of a file.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct Asked {
    r#as: String,
    after: String,
    paper: String,
    item: String,
    job: String,
    notice: String,
    link: String,
    q: String,
    kind: String,
    by: String,
    from: String,
    until: String,
}

impl Asked {
    fn form(&self, wrong: &mut FieldErrors) -> FileForm {
        let asked = self.r#as.trim();
        if asked.is_empty() {
            return FileForm::default();
        }
        FileForm::from_key(asked).unwrap_or_else(|| {
            let keys = FileForm::ALL.map(FileForm::key).join(", ");
            let asked: String = asked.chars().take(60).collect();
            wrong.add(
                "as",
                "choice",
                format!("There is no form \"{asked}\"; there are: {keys}."),
            );
            FileForm::default()
        })
    }

    /// Whose history is asked for.
    fn history(&self, wrong: &mut FieldErrors) -> Of {
        if !self.item.is_empty() && !self.job.is_empty() {
            let words = "Ask for the history of an item or of a job, not of both.";
            wrong.add("job", "choice", words);
        }
        let item = id("item", &self.item, wrong).map(|id| Of::Item(ItemId(id)));
        let job = id("job", &self.job, wrong).map(|id| Of::Job(JobId(id)));
        item.or(job).unwrap_or(Of::Team)
    }

    /// The days and the rest that a history is narrowed by.
    fn entries(&self, of: Of, signed: &Signed, wrong: &mut FieldErrors) -> EntryFilter {
        let narrowing = Narrowing {
            kind: self.kind.trim().to_owned(),
            by: self.by.trim().to_owned(),
            from: self.from.trim().to_owned(),
            until: self.until.trim().to_owned(),
        };
        narrowing.check(of, &signed.zone).unwrap_or_else(|errors| {
            wrong.0.extend(errors.0);
            EntryFilter::default()
        })
    }

    /// The days alone.
    fn during(&self, signed: &Signed, wrong: &mut FieldErrors) -> During {
        let days = Self {
            from: self.from.clone(),
            until: self.until.clone(),
            ..Self::default()
        };
        days.entries(Of::Team, signed, wrong).into()
    }

    /// What has no days is asked for without any.
    fn no_days(&self, wrong: &mut FieldErrors) {
        for (field, text) in [("from", &self.from), ("until", &self.until)] {
            if !text.trim().is_empty() {
                let words = "These rows are as they stand now and have no days. Leave this out.";
                wrong.add(field, "choice", words);
            }
        }
    }

    fn models(&self, wrong: &mut FieldErrors) -> ModelFilter {
        let kind = self.kind.trim();
        let known = Kind::from_word(kind);
        if !kind.is_empty() && known.is_none() {
            wrong.add("kind", "choice", "There is no such kind of gear.");
        }
        ModelFilter {
            search: self.q.chars().take(200).collect(),
            kind: known,
        }
    }

    fn wanted(
        &self,
        of: &str,
        (app, signed): (&App, &Signed),
        listed: &item::Asked,
        wrong: &mut FieldErrors,
    ) -> Result<Wanted, Problem> {
        if ["items", "models", "holders", "reads"].contains(&of) {
            self.no_days(wrong);
        }
        Ok(match of {
            "history" => {
                let of = self.history(wrong);
                Wanted::History(of, self.entries(of, signed, wrong))
            }
            "items" => Wanted::Items(listed.filter(signed.today(app))?, listed.order()?),
            "models" => Wanted::Models(self.models(wrong)),
            "examinations" => Wanted::Examinations(self.during(signed, wrong)),
            "jobs" => Wanted::Jobs(self.during(signed, wrong)),
            "refusals" => Wanted::Refusals(self.during(signed, wrong)),
            "holders" => {
                let notice = id("notice", &self.notice, wrong);
                if notice.is_none() && self.notice.is_empty() {
                    wrong.add("notice", "required", "Say which notice.");
                }
                Wanted::Holders(NoticeId(notice.unwrap_or_default()))
            }
            "reads" if !signed.may(Deed::SeeReads) => return Err(forbidden(signed.actor.role)),
            "reads" => {
                let link = id("link", &self.link, wrong);
                if link.is_none() && self.link.is_empty() {
                    wrong.add("link", "required", "Say by which link.");
                }
                Wanted::Reads(GuestLinkId(link.unwrap_or_default()))
            }
            _ => return Err(Problem::NotFound("file")),
        })
    }

    fn order(
        &self,
        of: &str,
        who: (&App, &Signed),
        listed: &item::Asked,
    ) -> Result<Order, Problem> {
        let mut wrong = FieldErrors::default();
        let form = self.form(&mut wrong);
        let after = match Key::read(&self.after) {
            Ok(key) => key,
            Err(DeedError::Invalid(errors)) => {
                wrong.0.extend(errors.0);
                Key::default()
            }
            Err(other) => return Err(other.into()),
        };
        let wanted = self.wanted(of, who, listed, &mut wrong)?;
        let paper = paper_of(who.1, &self.paper);
        Ok(wrong.or(|| Order {
            wanted,
            form,
            after,
            paper,
        })?)
    }
}

fn id(field: &'static str, text: &str, wrong: &mut FieldErrors) -> Option<Uuid> {
    let text = text.trim();
    let id = text.parse().ok();
    if id.is_none() && !text.is_empty() {
        wrong.add(field, "choice", format!("This is no id of a {field}."));
    }
    id
}

/// The forms in which these rows are offered. `pairs` are what stands behind the question mark.
pub(super) fn offered(of: &str, pairs: &[(&str, &str)]) -> FileChoice {
    let path = format!("/exports/{of}");
    let links = FileForm::ALL.map(|form| {
        let pairs = [&[("as", form.key())], pairs].concat();
        let word = match form {
            FileForm::Pdf => format!("PDF, up to {MOST_ON_PAPER} rows"),
            other => other.word().to_owned(),
        };
        (word, address(&path, &pairs))
    });
    FileChoice::new(links.into())
}

async fn file_of(
    app: &App,
    signed: &Signed,
    of: &str,
    (asked, listed): (&Asked, &item::Asked),
) -> Result<Response, Problem> {
    file::answer(app, signed, asked.order(of, (app, signed), listed)?).await
}

/// Rows as a file of the form that is asked for.
pub(super) async fn file_any(
    State(app): State<App>,
    signed: Signed,
    Path(of): Path<String>,
    Query(asked): Query<Asked>,
    Query(listed): Query<item::Asked>,
) -> Result<Response, Problem> {
    file_of(&app, &signed, &of, (&asked, &listed)).await
}

/// Rows as CSV, at an address that ends so: `/history.csv`, or below what they are about.
pub(super) async fn file_csv(
    State(app): State<App>,
    signed: Signed,
    OriginalUri(uri): OriginalUri,
    Query(mut asked): Query<Asked>,
    Query(listed): Query<item::Asked>,
) -> Result<Response, Problem> {
    let path: Vec<&str> = uri.path().trim_matches('/').split('/').collect();
    if let [room, id, _] = path[..] {
        id.parse::<Uuid>().map_err(|_| Problem::NotFound("page"))?;
        match room {
            "items" => id.clone_into(&mut asked.item),
            "jobs" => id.clone_into(&mut asked.job),
            _ => id.clone_into(&mut asked.notice),
        }
    }
    FileForm::Csv.key().clone_into(&mut asked.r#as);
    let name = path.last().and_then(|name| name.strip_suffix(".csv"));
    file_of(&app, &signed, name.unwrap_or_default(), (&asked, &listed)).await
}

/// Rows as a file
///
/// `of` is `history` (of the team, or of one `item` or `job`), `items`, `models`, `examinations`, `jobs`, `refusals`,
/// `holders` of one `notice`, or `reads` by one `link` of an outside auditor. CSV, JSON Lines and XLSX take any number of rows and are written while they are read; a PDF
/// takes 2000 rows and shows the columns that paper has room for.
///
/// Every row has a `key`, behind its columns: `after` begins behind the row of that key, so that whoever holds a part of
/// a file asks for the rest. A whole file is told from one that was cut: in CSV the last column, `end`, is empty in every
/// row but the last, where it is the number of rows of the file; in JSON Lines the last line is
/// `{"end": {"rows": 3, "key": "…"}}`; in XLSX and PDF a file that was cut does not open. An answer that breaks off is
/// ended against the rules of HTTP too.
///
/// A cell of typed text that a spreadsheet might run as a formula has an apostrophe in front in CSV and XLSX.
#[utoipa::path(get, path = "/api/v1/exports/{of}", tag = "history",
    params(("of" = String, Path, description = "`history`, `items`, `models`, `examinations`, `jobs`, `refusals`, `holders` or `reads`"),
        ("as" = Option<String>, Query, description = "`csv`, `json-lines`, `xlsx` or `pdf`; `csv` where it is left out"),
        ("after" = Option<String>, Query, description = "The key of the last row that you hold"),
        ("from" = Option<String>, Query, description = "The first day: of recording, or for jobs of the job. Not for `items`, `models`, `holders` and `reads`"),
        ("until" = Option<String>, Query, description = "The last day"),
        ("item" = Option<Uuid>, Query, description = "`history` of this item alone"),
        ("job" = Option<Uuid>, Query, description = "`history` of this job alone"),
        ("notice" = Option<Uuid>, Query, description = "The notice of `holders`"),
        ("link" = Option<Uuid>, Query, description = "The link of `reads`, for administrators and auditors"),
        ("kind" = Option<String>, Query, description = "The kind of change in `history`; the kind of gear in `items` and `models`"),
        ("by" = Option<String>, Query, description = "`history` that this person recorded"),
        ("q" = Option<String>, Query, description = "Words that are looked for in `items` and `models`. `items` take every filter of their list"),
        ("paper" = Option<String>, Query, description = "`a4` or `letter`")),
    responses((status = 200, body = Vec<u8>, content_type = "text/csv"), (status = 404, body = ProblemJson),
        (status = 422, body = ProblemJson, description = "A field that does not hold, or more rows than the form takes")))]
pub(super) async fn api_export(
    State(app): State<App>,
    signed: Signed,
    Path(of): Path<String>,
    Query(asked): Query<Asked>,
    Query(listed): Query<item::Asked>,
) -> Result<Response, Problem> {
    file_of(&app, &signed, &of, (&asked, &listed)).await
}
