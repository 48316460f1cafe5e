//! Rows to take along, in whatever form: the doors of every such file, for people and for programs.

use axum::{
    extract::{OriginalUri, State},
    http::Uri,
    response::Response,
};
use serde::{Deserialize, de::DeserializeOwned};
use uuid::Uuid;

use super::{
    App, Path, Problem, Query, Signed, admit::forbidden, api::ProblemJson, board, file, item,
    listed::address, paper::paper_of, question, trend,
};
use crate::{
    deed::{
        DeedError,
        export::{During, Key, MOST_ON_PAPER, Order, Wanted},
        history::{Narrowing, Of},
        then::PastOf,
    },
    domain::{
        Deed, FieldErrors, GuestLinkId, ItemId, JobId, Kind, NoticeId, StoreId,
        question::QuestionDraft,
    },
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
    store: String,
    notice: String,
    link: String,
    question: String,
    on: String,
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

    /// Whose past is asked for.
    fn past(&self, wrong: &mut FieldErrors) -> PastOf {
        let asked = [
            id("item", &self.item, wrong).map(|id| PastOf::Item(ItemId(id))),
            id("job", &self.job, wrong).map(|id| PastOf::Job(JobId(id))),
            id("store", &self.store, wrong).map(|id| PastOf::Store(StoreId(id))),
        ];
        let given = [&self.item, &self.job, &self.store];
        if given.iter().filter(|text| !text.trim().is_empty()).count() != 1 {
            wrong.add(
                "item",
                "choice",
                "Name an item, a job or a store, one of them.",
            );
        }
        let asked = asked.into_iter().flatten().next();
        asked.unwrap_or(PastOf::Item(ItemId(Uuid::nil())))
    }

    /// An id without which there is nothing to write.
    fn needed(field: &'static str, text: &str, wrong: &mut FieldErrors) -> Uuid {
        if text.trim().is_empty() {
            wrong.add(field, "required", format!("Say which {field}."));
        }
        id(field, text, wrong).unwrap_or_default()
    }

    /// What is read from lists and from the ledger.
    fn listed(
        &self,
        of: &str,
        (app, signed, uri): (&App, &Signed, &Uri),
        wrong: &mut FieldErrors,
    ) -> Result<Wanted, Problem> {
        Ok(match of {
            "history" => {
                let of = self.history(wrong);
                Wanted::History(of, self.entries(of, signed, wrong))
            }
            "items" => {
                let listed: item::Asked = behind_mark(uri)?;
                Wanted::Items(listed.filter(signed.today(app))?, listed.order()?)
            }
            "models" => Wanted::Models(self.models(wrong)),
            "examinations" => Wanted::Examinations(self.during(signed, wrong)),
            "jobs" => Wanted::Jobs(self.during(signed, wrong)),
            "refusals" => Wanted::Refusals(self.during(signed, wrong)),
            "holders" => Wanted::Holders(NoticeId(Self::needed("notice", &self.notice, wrong))),
            "answer" => {
                let draft: QuestionDraft = behind_mark(uri)?;
                Wanted::Answer(question::named(&self.question)?, Box::new(draft))
            }
            "reads" if !signed.may(Deed::SeeReads) => return Err(forbidden(signed.actor.role)),
            "reads" => {
                let link = Self::needed("link", &self.link, wrong);
                Wanted::Reads(GuestLinkId(link))
            }
            _ => return Err(Problem::NotFound("file")),
        })
    }

    fn wanted(
        &self,
        of: &str,
        (app, signed, uri): (&App, &Signed, &Uri),
        wrong: &mut FieldErrors,
    ) -> Result<Wanted, Problem> {
        if STANDING.contains(&of) {
            self.no_days(wrong);
        }
        Ok(match of {
            "due" => Wanted::Due(behind_mark::<board::Asked>(uri)?.split()?),
            "ages" => Wanted::Ages(behind_mark::<trend::AskedKind>(uri)?.kind()?),
            "ahead" => Wanted::Ahead(behind_mark::<trend::AskedKind>(uri)?.kind()?),
            "failures" => Wanted::Failures(behind_mark::<trend::AskedPeriod>(uri)?.period()),
            "retired" => Wanted::Retired(behind_mark::<trend::AskedRetired>(uri)?.filter()?),
            "sets" => Wanted::Sets(Box::new(behind_mark(uri)?)),
            "measurements" => Wanted::Measurements(ItemId(Self::needed("item", &self.item, wrong))),
            "then" => Wanted::Then(self.past(wrong), self.on.clone()),
            _ => return self.listed(of, (app, signed, uri), wrong),
        })
    }

    fn order(&self, of: &str, from: (&App, &Signed, &Uri)) -> Result<Order, Problem> {
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
        let wanted = self.wanted(of, from, &mut wrong)?;
        let paper = paper_of(from.1, &self.paper);
        Ok(wrong.or(|| Order {
            wanted,
            form,
            after,
            paper,
        })?)
    }
}

/// What is as it stands now and has no days.
const STANDING: [&str; 9] = [
    "items",
    "models",
    "holders",
    "reads",
    "due",
    "ages",
    "ahead",
    "retired",
    "measurements",
];

/// What stands behind the question mark, read by whoever it is for.
fn behind_mark<T: DeserializeOwned>(uri: &Uri) -> Result<T, Problem> {
    let read = axum::extract::Query::try_from_uri(uri);
    Ok(read.map(|axum::extract::Query(asked)| asked)?)
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
    (of, asked): (&str, &Asked),
    uri: &Uri,
) -> Result<Response, Problem> {
    let order = asked.order(of, (app, signed, uri))?;
    Box::pin(file::answer(app, signed, order)).await
}

/// Rows as a file of the form that is asked for.
pub(super) async fn file_any(
    State(app): State<App>,
    signed: Signed,
    Path(of): Path<String>,
    uri: Uri,
    Query(asked): Query<Asked>,
) -> Result<Response, Problem> {
    file_of(&app, &signed, (&of, &asked), &uri).await
}

/// Rows as CSV, at an address that ends so: `/history.csv`, or below what they are about.
pub(super) async fn file_csv(
    State(app): State<App>,
    signed: Signed,
    OriginalUri(uri): OriginalUri,
    Query(mut asked): Query<Asked>,
) -> Result<Response, Problem> {
    let path: Vec<&str> = uri.path().trim_matches('/').split('/').collect();
    if let ["questions", key, _] = path[..] {
        key.clone_into(&mut asked.question);
    } else if let [room, id, _] = path[..] {
        id.parse::<Uuid>().map_err(|_| Problem::NotFound("page"))?;
        match room {
            "items" => id.clone_into(&mut asked.item),
            "jobs" => id.clone_into(&mut asked.job),
            "stores" => id.clone_into(&mut asked.store),
            _ => id.clone_into(&mut asked.notice),
        }
    }
    FileForm::Csv.key().clone_into(&mut asked.r#as);
    let name = path.last().and_then(|name| name.strip_suffix(".csv"));
    let of = name.unwrap_or_default();
    file_of(&app, &signed, (of, &asked), &uri).await
}

/// Rows as a file
///
/// `of` is `history` (of the team, or of one `item` or `job`), `items`, `models`, `examinations`, `jobs`, `refusals`,
/// `holders` of one `notice`, `reads` by one `link` of an outside auditor, or the `answer` to a `question`; what is counted: `due`, `ages`, `ahead`, `failures`,
/// `retired`, the complete `sets` of a plan, the `measurements` of an `item`; or what an `item`, a `job` or a `store` was
/// `then`, on a day. CSV, JSON Lines and XLSX take any number of rows; CSV and JSON Lines are sent while they are read, XLSX
/// when all rows are. A PDF takes 2000 rows and shows the columns that paper has room for.
///
/// Every row has a `key`, behind its columns: `after` begins behind the row of that key, so that whoever holds a part of
/// a file asks for the rest; the key of what is counted is the number of its row. A whole file is told from one that was
/// cut: in CSV the column `end` is empty in every row but the last, where it is the number of rows of the file (a file
/// without rows has one row, in which nothing else stands); in
/// JSON Lines the last line is `{"end": {"rows": 3, "key": "…"}}`; in XLSX and PDF a file that was cut does not open. An
/// answer that breaks off is ended against the rules of HTTP too.
///
/// What an outside auditor takes along says by whom: in CSV `taken_by`, behind `end`; in JSON Lines `taken_by` of `end`; in
/// XLSX a sheet of its own; in a PDF each page.
///
/// `items` leaves out what is retired unless `state` is `all` or `retired`.
///
/// A cell of typed text that a spreadsheet might run as a formula has an apostrophe in front in CSV and XLSX, and
/// so has a part of it behind a semicolon, a tab or an end of line.
#[utoipa::path(get, path = "/api/v1/exports/{of}", tag = "history",
    params(("of" = String, Path, description = "`history`, `items`, `models`, `examinations`, `jobs`, `refusals`, `holders`, `reads`, `answer`, `due`, `ages`, `ahead`, `failures`, `retired`, `sets`, `measurements` or `then`"),
        ("as" = Option<String>, Query, description = "`csv`, `json-lines`, `xlsx` or `pdf`; `csv` where it is left out"),
        ("after" = Option<String>, Query, description = "The key of the last row that you hold"),
        ("state" = Option<String>, Query, description = "Of `items`: a state, or `all`, with the retired ones; left out or empty it is all but those"),
        ("from" = Option<String>, Query, description = "The first day: of recording, or for jobs of the job, or for `failures` of what failed; for `answer` as its question says. Not for what is as it stands now"),
        ("until" = Option<String>, Query, description = "The last day"),
        ("on" = Option<String>, Query, description = "The day of `then`; for `answer` as its question says. Empty is today"),
        ("item" = Option<String>, Query, description = "The id of the item whose `history`, `measurements` or past (`then`) it is; for `answer` the mark does too"),
        ("job" = Option<Uuid>, Query, description = "The job whose `history` or past (`then`) it is, or whose plan the `sets` are of"),
        ("store" = Option<Uuid>, Query, description = "The store whose past (`then`) it is"),
        ("notice" = Option<Uuid>, Query, description = "The notice of `holders`; for `answer` as its question says"),
        ("link" = Option<Uuid>, Query, description = "The link of `reads`, for administrators and auditors"),
        ("question" = Option<String>, Query, description = "The question of `answer`, one of `/api/v1/questions`; it takes the parameters that it takes there"),
        ("kind" = Option<String>, Query, description = "The kind of change in `history`; the kind of gear in `items`, `models`, `ages`, `ahead` and `retired`"),
        ("by" = Option<String>, Query, description = "`history` that this person recorded; `due` by `store` or by `kind`"),
        ("because" = Option<String>, Query, description = "`retired` for this"),
        ("year" = Option<String>, Query, description = "`retired` in this year"),
        ("q" = Option<String>, Query, description = "Words that are looked for in `items` and `models`. `items` take every filter of their list, and `sets` the plan that `/api/v1/readiness` takes"),
        ("paper" = Option<String>, Query, description = "`a4` or `letter`")),
    responses((status = 200, body = Vec<u8>, content_type = "text/csv"), (status = 400, body = ProblemJson, description = "A word that no list knows"),
        (status = 404, body = ProblemJson),
        (status = 422, body = ProblemJson, description = "A field that does not hold, or more rows than the form takes"),
        (status = 507, body = ProblemJson, description = "The server has no room for the temporary files of a workbook")))]
pub(super) async fn api_export(
    State(app): State<App>,
    signed: Signed,
    Path(of): Path<String>,
    uri: Uri,
    Query(asked): Query<Asked>,
) -> Result<Response, Problem> {
    file_of(&app, &signed, (&of, &asked), &uri).await
}
