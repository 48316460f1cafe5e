//! The kit list: what fills each position, what else might, and why not.

use axum::{extract::State, response::Response};
use serde::Deserialize;

use super::{
    may_plan,
    pack::{of_issue, of_kit},
    shell_at,
};
use crate::{
    deed::{
        self,
        kit::{Look, Near},
    },
    domain::{
        FieldErrors, JobId, Kind, KitLineId, KitList, fitness::rope_sum, kit_strength::Extent,
    },
    rigging::Rig,
    view::{
        form::{Choices, Form as FormView},
        job::{InPlace, KitSheet, Noted, PositionSheet, job_nav},
        kept_until::KeptUntil,
        part::Empty,
        words,
    },
    web::{
        App, Page, Path, Problem, Query, Signed,
        listed::{cursor, pager},
    },
};

/// The key in the address that stands for a spare.
pub(super) const SPARE: &str = "spare";

/// What the page of a job was opened after.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct After {
    /// The line that was put on: whoever scans goes on with the next item.
    put: Option<KitLineId>,
}

/// A job with its kit list.
pub(in crate::web) async fn page_show(
    State(app): State<App>,
    signed: Signed,
    Path(id): Path<JobId>,
    Query(after): Query<After>,
) -> Result<Page<KitSheet>, Problem> {
    let mut sheet = sheet(&app, &signed, id).await?;
    sheet.goes_on(after.put);
    Ok(Page(sheet))
}

async fn sheet(app: &App, signed: &Signed, id: JobId) -> Result<KitSheet, Problem> {
    let list = deed::kit::show(&app.desk, &signed.actor, id, Extent::Answer).await?;
    let shell = shell_at(signed, &list.job.title, &format!("/jobs/{id}"));
    let next_line = KitLineId::new().to_string();
    let mut sheet = KitSheet::new(shell, &list, next_line);
    sheet.since(&list.job, app.desk.clock.now());
    if sheet.may_change {
        let instead = deed::kit::alternatives(&app.desk, &signed.actor, &list).await?;
        sheet.offer(&instead);
    }
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    if let Some(first) = list.job.first_from
        && let Some(store) = tx.store(first).await?
    {
        sheet.facts = std::mem::take(&mut sheet.facts).and("Takes from first", store.name);
    }
    let keeping = deed::retention::of_job(&mut tx, &list.job).await?;
    let kept = KeptUntil::new(keeping.rulebook, &keeping.kept);
    sheet.facts = kept.told_in(std::mem::take(&mut sheet.facts));
    let Some(issued) = list.job.issued else {
        if sheet.may_export {
            sheet.lacking = of_kit(&list, &tx.stores().await?, &signed.team);
        }
        return Ok(sheet);
    };
    let issue = tx.issue(issued).await?.ok_or(Problem::NotFound("issue"))?;
    if sheet.may_export {
        sheet.lacking = of_issue(&issue, &signed.team);
    }
    Ok(sheet.with_crew(&issue))
}

/// The job's page again, with what was wrong and what was typed.
pub(super) async fn again(
    app: &App,
    signed: &Signed,
    id: JobId,
    field: &str,
    typed: &str,
    wrong: &FieldErrors,
) -> Result<Response, Problem> {
    let mut sheet = sheet(app, signed, id).await?;
    sheet.form = FormView::new(wrong);
    sheet.typed(field, typed);
    Ok(Page::wrong(sheet))
}

/// What is looked for at a position.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct Wanted {
    q: String,
    kind: Option<String>,
    after: Option<String>,
}

impl Wanted {
    /// One look for candidates; the first kind that the position takes if none is asked for.
    fn look(&self, key: &str, kinds: &[Kind]) -> Result<Look, Problem> {
        let asked = self.kind.as_deref().and_then(Kind::from_word);
        Ok(Look {
            position: (key != SPARE).then(|| key.to_owned()),
            kinds: match asked.filter(|kind| kinds.contains(kind)) {
                Some(kind) => vec![kind],
                // A spare is of any kind, page by page.
                None if key == SPARE => Vec::new(),
                // Who names an item is told why it does not go here, of whatever kind it is.
                None if !self.q.trim().is_empty() => Vec::new(),
                None => kinds.to_vec(),
            },
            search: self.q.clone(),
            after: cursor(self.after.as_deref().unwrap_or_default())?,
        })
    }
}

/// What may go at a position, the fit ones first.
pub(in crate::web) async fn page_position(
    State(app): State<App>,
    signed: Signed,
    Path((id, position)): Path<(JobId, String)>,
    Query(wanted): Query<Wanted>,
) -> Result<Page<PositionSheet>, Problem> {
    let list = deed::kit::show(&app.desk, &signed.actor, id, Extent::Answer).await?;
    Ok(Page(
        position_sheet(&app, &signed, &list, &position, &wanted).await?,
    ))
}

pub(super) async fn position_sheet(
    app: &App,
    signed: &Signed,
    list: &KitList,
    key: &str,
    wanted: &Wanted,
) -> Result<PositionSheet, Problem> {
    let (title, takes, kinds) = place(&list.rig, key)?;
    let look = wanted.look(key, &kinds)?;
    let found = deed::kit::candidates(&app.desk, &signed.actor, list.job.id, &look).await?;
    let here = format!("/jobs/{}/positions/{key}", list.job.id);
    let kind = match look.kinds.as_slice() {
        [kind] => kind.key(),
        _ => "",
    };
    let pairs = [("q", wanted.q.as_str()), ("kind", kind)];
    let after = wanted.after.as_deref().unwrap_or_default();
    let mut shown = words::count(found.rows.len(), "item", "items");
    if found.judged > found.rows.len() {
        shown = format!("{shown} of {} that were looked at", found.judged);
    }
    if !found.all {
        shown.push_str("; there may be more that may go: look for one by its mark");
    }
    let shell = shell_at(signed, &format!("{title}: {}", list.job.title), &here);
    let mut sheet = PositionSheet {
        shell,
        job: format!("/jobs/{}", list.job.id),
        position: look.position.clone().unwrap_or_default(),
        takes,
        length: signed.preference.units.beside(&length(list, key)),
        nav: job_nav(&list.job, ""),
        in_place: InPlace::of(list, key),
        refused: None,
        search: wanted.q.clone(),
        kinds: offered(&kinds),
        kind: kind.to_owned(),
        empty: nothing(&wanted.q),
        may_change: may_plan(signed) && list.job.may_change().is_ok(),
        pager: pager(&here, &pairs, after, found.next.as_ref(), shown),
        order: order(found.near.as_ref()),
        none: None,
        lacks: Vec::new(),
        rows: Vec::new(),
        noted: Noted::default(),
        here,
    };
    sheet.fill((&found.rows, found.judged), || KitLineId::new().to_string());
    Ok(sheet)
}

/// Why the items stand in this order.
fn order(near: Option<&Near>) -> String {
    match near {
        None => "The ones that may go stand first.".to_owned(),
        Some(Near { store, items, of }) => format!(
            "The ones that may go stand first, and of those what lives in {}: {items} of the {} on the kit list {} from \
             there, and a kit from one place is fetched once.",
            store.name,
            words::count(*of, "item", "items"),
            if *items == 1 { "comes" } else { "come" },
        ),
    }
}

/// The sum behind the length of the rope, at the position of a rope.
fn length(list: &KitList, key: &str) -> String {
    let sum = rope_sum(&list.job, &list.rig, &list.head(), key);
    let of_rope = sum.map(|sum| format!("It must be at least as long as {sum}."));
    let round = || list.round(key);
    of_rope.or_else(round).unwrap_or_default()
}

/// The kinds of a position, all of them first where there are several.
fn offered(kinds: &[Kind]) -> Choices {
    let all = (kinds.len() > 1).then(|| (String::new(), "All that it takes".to_owned()));
    let each = kinds
        .iter()
        .map(|kind| (kind.key().to_owned(), kind.word().to_owned()));
    all.into_iter().chain(each).collect()
}

fn nothing(search: &str) -> Empty {
    if search.is_empty() {
        Empty::new(
            "The register has no such item.",
            "Add one, or import a list.",
        )
        .step("Open the register", "/items")
    } else {
        Empty::new(
            "Nothing was found.",
            "Look for fewer words, or for a part of the mark.",
        )
    }
}

/// The title of a place, what it takes in words, and the kinds.
fn place(rig: &Rig, key: &str) -> Result<(String, String, Vec<Kind>), Problem> {
    if key == SPARE {
        let takes = "A spare goes along without a place in the rig.".to_owned();
        return Ok(("Spare".to_owned(), takes, Kind::ALL.to_vec()));
    }
    let position = rig.position(key).ok_or(Problem::NotFound("position"))?;
    let kinds = position
        .accepts()
        .iter()
        .filter_map(|word| Kind::from_word(word))
        .collect();
    Ok((
        position.title().to_owned(),
        crate::view::job::takes(position),
        kinds,
    ))
}
