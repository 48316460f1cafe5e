//! The history of the team, of an item and of a job.

use axum::{
    extract::State,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    App, Page, Path, Problem, Query, Signed,
    export::offered,
    listed::{ROWS, address, bad_cursor},
};
use crate::{
    deed::history::{self, About, Chapter, Narrowing, Of},
    domain::{FieldErrors, ItemId, JobId},
    view::{
        Section,
        file_choice::FileChoice,
        form::Form,
        history::{HistoryBar, HistoryPage},
        job::job_nav,
        part::Pager,
        past::Past,
        words,
    },
};

/// What stands behind the question mark.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(super) struct Asked {
    kind: String,
    by: String,
    from: String,
    until: String,
    before: String,
}

impl Asked {
    fn narrowing(&self) -> Narrowing {
        let trimmed = |text: &String| text.trim().to_owned();
        Narrowing {
            kind: trimmed(&self.kind),
            by: trimmed(&self.by),
            from: trimmed(&self.from),
            until: trimmed(&self.until),
        }
    }

    fn before(&self) -> Result<Option<u64>, Problem> {
        match self.before.trim() {
            "" => Ok(None),
            seq => seq.parse().map(Some).map_err(|_| bad_cursor()),
        }
    }
}

/// What the team has done.
pub(super) async fn page_list(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<Asked>,
) -> Result<Response, Problem> {
    page(&app, &signed, Of::Team, &asked).await
}

/// What was done with one item.
pub(super) async fn page_item(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<ItemId>,
    Query(asked): Query<Asked>,
) -> Result<Response, Problem> {
    page(&app, &signed, Of::Item(id), &asked).await
}

/// What was done for one job.
pub(super) async fn page_job(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Query(asked): Query<Asked>,
) -> Result<Response, Problem> {
    page(&app, &signed, Of::Job(id), &asked).await
}

async fn page(app: &App, signed: &Signed, of: Of, asked: &Asked) -> Result<Response, Problem> {
    let narrowing = asked.narrowing();
    let (filter, wrong) = match narrowing.check(of, &signed.zone) {
        Ok(filter) => (Some(filter), FieldErrors::default()),
        Err(wrong) => (None, wrong),
    };
    let from = (asked.before()?, ROWS);
    let chapter = history::show(&app.desk, &signed.actor, of, filter.as_ref(), from).await?;
    let view = view(signed, chapter, asked, &wrong);
    Ok(if wrong.is_empty() {
        Page(view).into_response()
    } else {
        Page::wrong(view)
    })
}

fn view(signed: &Signed, chapter: Chapter, asked: &Asked, wrong: &FieldErrors) -> HistoryPage {
    let narrowing = asked.narrowing();
    let (section, title, base, crumb, nav, here) = match &chapter.about {
        About::Team => {
            let title = "History".to_owned();
            (Section::History, title, String::new(), None, None, None)
        }
        About::Item(item, _) => {
            let base = format!("/items/{}", item.id);
            let crumb = Some((item.mark.clone(), base.clone()));
            let title = format!("History of {}", item.mark);
            (Section::Items, title, base, crumb, None, Some(item.id.0))
        }
        About::Job(job) => {
            let nav = Some(job_nav(job, "/history"));
            let title = format!("History of {}", job.title);
            let base = format!("/jobs/{}", job.id);
            (Section::Jobs, title, base, None, nav, Some(job.id.0))
        }
    };
    let action = format!("{base}/history");
    let mut pairs = vec![
        ("kind", narrowing.kind.as_str()),
        ("by", &narrowing.by),
        ("from", &narrowing.from),
        ("until", &narrowing.until),
    ];
    let (file, others) = files(&chapter.about, &pairs, &narrowing);
    // Of an item or a job there is the whole alone.
    let days = if here.is_none() { &pairs[2..] } else { &[] };
    let bundle = address(&format!("{base}/history/bundle"), days);
    let bundle = chapter.has_key.then_some(bundle);
    let first = address(&action, &pairs);
    let next = chapter.next.map(|seq| seq.to_string());
    let next = next.as_ref().map(|seq| {
        pairs.push(("before", seq));
        address(&action, &pairs)
    });
    HistoryPage {
        shell: signed.shell_in(section, title),
        crumb,
        nav,
        of_team: here.is_none(),
        entries: words::grouped(chapter.head.size),
        root: hex::encode(chapter.head.root),
        bar: bar(&chapter, asked),
        form: Form::new(wrong),
        pager: Pager {
            first: (!asked.before.is_empty()).then_some(first),
            next,
            shown: words::count(chapter.entries.len(), "entry", "entries"),
        },
        past: Past::with_links(&chapter.entries, &chapter.names, here, &signed.zone),
        is_narrowed: !narrowing.is_open(),
        action,
        file,
        others,
        bundle,
    }
}

/// The history itself to take along, and for the team what else there is.
fn files(
    about: &About,
    pairs: &[(&str, &str)],
    narrowing: &Narrowing,
) -> (FileChoice, Vec<FileChoice>) {
    let (of, id) = match about {
        About::Team => return (offered("history", pairs), others(narrowing)),
        About::Item(item, _) => ("item", item.id.to_string()),
        About::Job(job) => ("job", job.id.to_string()),
    };
    let pairs = [pairs, &[(of, &id)]].concat();
    (offered("history", &pairs), Vec::new())
}

/// Records that can be taken along: what they are called, their name in the address, and what narrows them.
type Offered<'a> = (&'a str, &'a str, &'a [(&'a str, &'a str)]);

/// What else can be taken along, of the same days where it has days.
fn others(narrowing: &Narrowing) -> Vec<FileChoice> {
    let days = [
        ("from", narrowing.from.as_str()),
        ("until", &narrowing.until),
    ];
    let all: [Offered<'_>; 5] = [
        ("Items", "items", &[("state", "all")]),
        ("Models", "models", &[]),
        ("Examinations", "examinations", &days),
        ("Jobs and kit lists", "jobs", &days),
        ("Refusals", "refusals", &days),
    ];
    let all = all.into_iter();
    all.map(|(words, of, pairs)| offered(of, pairs).named(words))
        .collect()
}

/// The fields that narrow a history, with what was asked.
fn bar(chapter: &Chapter, asked: &Asked) -> HistoryBar {
    let narrowing = asked.narrowing();
    HistoryBar {
        kind: narrowing.kind,
        by: narrowing.by,
        from: asked.from.clone(),
        until: asked.until.clone(),
        people: HistoryBar::people(&chapter.people),
    }
}
