//! What the register says of its gear as a whole: pages and files.

use axum::{
    extract::State,
    response::{IntoResponse, Response},
};
use serde::Deserialize;

use super::{
    App, Page, Path, Problem, Query, Signed, export::offered, item::read, listed::address,
};
use crate::{
    deed::{DeedError, trend},
    domain::{FieldErrors, Kind, ModelId, RetiredFor, date::write_day, trend::PeriodDraft},
    store::RetiredFilter,
    view::{
        Section,
        file_choice::FileChoice,
        trend::{
            AgePage, AheadPage, Counted, FailedPage, FailurePage, Narrowed, Records, RetiredPage,
        },
    },
};

/// Which kind is asked for.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct AskedKind {
    kind: String,
}

impl AskedKind {
    /// The kind; none is all of them.
    pub fn kind(&self) -> Result<Option<Kind>, Problem> {
        kind_of(&self.kind)
    }
}

fn kind_of(text: &str) -> Result<Option<Kind>, Problem> {
    read("the kind", text, |text| {
        Kind::ALL.iter().find(|kind| kind.key() == text).copied()
    })
}

/// The same of one kind, or of all, to take along.
fn of_kind(of: &str, kind: Option<Kind>) -> FileChoice {
    offered(of, &[("kind", kind.map_or("", Kind::key))])
}

/// The age of the fleet.
pub(super) async fn page_ages(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedKind>,
) -> Result<Page<AgePage>, Problem> {
    let kind = asked.kind()?;
    let found = trend::ages(&app.desk, &signed.actor, kind).await?;
    let shell = signed.shell_in(Section::Trends, "Age of the fleet");
    Ok(Page(AgePage::new(
        shell,
        &found.ages,
        (kind, of_kind("ages", kind)),
        &found.rulebook,
    )))
}

/// What ends in the months ahead.
pub(super) async fn page_ahead(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedKind>,
) -> Result<Page<AheadPage>, Problem> {
    let kind = asked.kind()?;
    let found = trend::ahead(&app.desk, &signed.actor, kind).await?;
    let shell = signed.shell_in(Section::Trends, "What ends ahead");
    let of = (found.uses.as_slice(), &found.models);
    Ok(Page(AheadPage::new(
        shell,
        &found.ahead,
        of,
        (kind, of_kind("ahead", kind)),
        &found.rulebook,
    )))
}

/// Which days are looked at, and of what.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct AskedPeriod {
    from: String,
    until: String,
    lot: String,
    no_lot: String,
}

impl AskedPeriod {
    /// The days as typed in.
    pub fn period(&self) -> PeriodDraft {
        PeriodDraft {
            from: self.from.clone(),
            until: self.until.clone(),
        }
    }

    /// The lot; empty is what has none noted, and none is all.
    fn lot(&self) -> Option<&str> {
        match (self.lot.trim(), self.no_lot.is_empty()) {
            ("", true) => None,
            ("", false) => Some(""),
            (lot, _) => Some(lot),
        }
    }
}

/// What failed, by model and by lot.
pub(super) async fn page_failures(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedPeriod>,
) -> Result<Response, Problem> {
    let period = asked.period();
    let shell = signed.shell_in(Section::Trends, "What failed");
    let days = [("from", period.from.as_str()), ("until", &period.until)];
    let file = offered("failures", &days);
    match trend::failures(&app.desk, &signed.actor, &period).await {
        Ok(found) => {
            let days = found.days;
            let link = |model: ModelId, lot: Option<&str>| {
                let (from, until) = (write_day(days.0), write_day(days.1));
                let lot = lot.map_or(("", ""), |lot| {
                    (lot, if lot.is_empty() { "yes" } else { "" })
                });
                let pairs = [
                    ("from", from.as_str()),
                    ("until", &until),
                    ("lot", lot.0),
                    ("no_lot", lot.1),
                ];
                address(&format!("/trends/failures/{model}"), &pairs)
            };
            let counted = Counted {
                by_model: &found.by_model,
                by_lot: &found.by_lot,
                models: &found.models,
                days,
                link: &link,
            };
            let nothing = FieldErrors::default();
            let shown = PeriodDraft {
                from: write_day(days.0),
                until: write_day(days.1),
            };
            let page = FailurePage::new(shell, Some(&counted), shown, file, &nothing);
            Ok(Page(page).into_response())
        }
        Err(DeedError::Invalid(wrong)) => Ok(Page::wrong(FailurePage::new(
            shell, None, period, file, &wrong,
        ))),
        Err(other) => Err(other.into()),
    }
}

/// The records behind the counts of one model or one lot.
pub(super) async fn page_failed(
    State(app): State<App>,
    signed: Signed,
    Path(model): Path<ModelId>,
    Query(asked): Query<AskedPeriod>,
) -> Result<Page<FailedPage>, Problem> {
    let of = (model, asked.lot());
    let found = trend::failed(&app.desk, &signed.actor, of, &asked.period()).await?;
    let (from, until) = (write_day(found.days.0), write_day(found.days.1));
    let back = address("/trends/failures", &[("from", &from), ("until", &until)]);
    let title = format!("What failed from {from} to {until}");
    let records = Records {
        failures: found.failures,
        examinations: &found.examinations,
        events: &found.events,
        items: &found.items,
        most: trend::MOST_LISTED,
    };
    let shell = signed.shell_in(Section::Trends, title);
    Ok(Page(FailedPage::new(
        shell,
        &found.model,
        asked.lot(),
        &records,
        back,
    )))
}

/// Which retired items are meant.
#[derive(Default, Deserialize)]
#[serde(default)]
pub(super) struct AskedRetired {
    kind: String,
    because: String,
    year: String,
}

impl AskedRetired {
    /// What is counted.
    pub fn filter(&self) -> Result<RetiredFilter, Problem> {
        Ok(RetiredFilter {
            kind: kind_of(&self.kind)?,
            because: read("the reason", &self.because, RetiredFor::from_key)?,
            year: read("the year", &self.year, |text| {
                let year = text.parse::<i32>().ok();
                year.filter(|year| (1950..=2150).contains(year))
            })?,
        })
    }
}

/// What was retired.
pub(super) async fn page_retired(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<AskedRetired>,
) -> Result<Page<RetiredPage>, Problem> {
    let filter = asked.filter()?;
    let found = trend::retired(&app.desk, &signed.actor, filter).await?;
    let pairs = [
        ("kind", asked.kind.as_str()),
        ("because", &asked.because),
        ("year", &asked.year),
    ];
    let file = offered("retired", &pairs);
    let narrowed = Narrowed {
        kind: filter.kind,
        because: filter.because,
        year: filter.year,
    };
    Ok(Page(RetiredPage::new(
        signed.shell_in(Section::Trends, "What was retired"),
        &found.groups,
        (&found.items, &found.models),
        narrowed,
        (file, trend::MOST_LISTED),
    )))
}
