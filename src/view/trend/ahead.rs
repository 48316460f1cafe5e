//! What ends in the months ahead, and what that costs as far as prices are on record.

use std::collections::BTreeMap;

use askama::Template;

use super::{
    super::{
        Shell,
        chart::{Bar, Bars, Chart},
        file_choice::FileChoice,
        part::{Answer, SectionNav, Tone},
        sieve::Sieve,
    },
    items, kind_sieve, nav,
};
use crate::domain::{
    Bill, Kind, Model, ModelId,
    date::write_day,
    trend::{Ahead, AheadModel, AheadMonth, MONTHS_AHEAD, UseAhead},
};

/// The page.
#[derive(Template)]
#[template(path = "trend/ahead.html")]
pub struct AheadPage {
    /// The frame.
    pub shell: Shell,
    nav: SectionNav,
    sieve: Sieve,
    answer: Answer,
    chart: Option<Chart>,
    months: Vec<(String, u32, String)>,
    models: Vec<ModelRow>,
    uses: Vec<UseRow>,
    told: Vec<String>,
    file: FileChoice,
}

struct ModelRow {
    title: String,
    href: String,
    kind: &'static str,
    price: String,
    past: u32,
    ahead: u32,
    cost: String,
}

struct UseRow {
    title: String,
    href: String,
    limit: String,
    items: u32,
    used_up: u32,
    near: u32,
}

impl AheadPage {
    /// The page, narrowed to a kind or not.
    pub fn new(
        shell: Shell,
        ahead: &Ahead,
        (uses, models): (&[UseAhead], &BTreeMap<ModelId, Model>),
        (kind, file): (Option<Kind>, FileChoice),
        rulebook: &str,
    ) -> Self {
        let shown = ahead.months.iter().filter(|month| month.bill.items > 0);
        let mut rows: Vec<ModelRow> = ahead
            .models
            .iter()
            .map(|of| model_row(of, models))
            .collect();
        rows.sort_by(|one, other| (one.kind, &one.title).cmp(&(other.kind, &other.title)));
        Self {
            shell,
            nav: nav("/trends/ahead"),
            sieve: kind_sieve("/trends/ahead", kind),
            answer: answer(ahead),
            chart: (!ahead.rows.is_empty()).then(|| chart(ahead)),
            months: shown.map(month_row).collect(),
            models: rows,
            uses: uses.iter().map(|of| use_row(of, models)).collect(),
            told: told(ahead, rulebook),
            file,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::{PROBE, gear};
        use crate::domain::trend::AheadRow;
        let model = gear::model();
        let mut bill = Bill::default();
        bill.add(3, model.price.as_ref());
        bill.add(1, None);
        let row = |month: Option<&str>| AheadRow {
            month: month.map(str::to_owned),
            model: model.id,
            bill: bill.clone(),
        };
        let rows = vec![row(None), row(Some("2026-04"))];
        let months = rows.iter().map(|row| AheadMonth {
            month: row.month.clone(),
            bill: row.bill.clone(),
        });
        let ahead = Ahead {
            until: gear::TODAY,
            months: months.collect(),
            models: vec![AheadModel {
                model: model.id,
                past: bill.clone(),
                ahead: bill.clone(),
            }],
            rows,
            later: 1,
            open: 2,
        };
        let nothing = Ahead {
            rows: Vec::new(),
            months: Vec::new(),
            models: Vec::new(),
            later: 0,
            open: 0,
            ..ahead.clone()
        };
        let uses = [UseAhead::of(model.id)];
        let models = [(model.id, model)].into();
        let page = |ahead: &Ahead, uses: &[UseAhead], kind| {
            let shell = Shell::sample("What ends ahead");
            let of = (kind, FileChoice::sample());
            Self::new(shell, ahead, (uses, &models), of, PROBE)
        };
        vec![
            page(&ahead, &uses, Some(Kind::Rope)),
            page(&nothing, &[], None),
        ]
    }
}

fn answer(ahead: &Ahead) -> Answer {
    let (mut past, mut coming) = (Bill::default(), Bill::default());
    for of in &ahead.models {
        past.add_all(&of.past);
        coming.add_all(&of.ahead);
    }
    let until = write_day(ahead.until);
    let words = format!("Until {until} the life of {} ends", items(coming.items));
    let over = match past.items {
        0 => "Nothing is past its life.".to_owned(),
        n => format!("Past their life already: {}, {}.", items(n), cost(&past)),
    };
    let coming = match coming.items {
        0 => String::new(),
        _ => format!("To replace what ends: {}. ", cost(&coming)),
    };
    let tone = if past.items > 0 {
        Tone::Watch
    } else {
        Tone::Note
    };
    Answer::new(tone, words).why(format!("{coming}{over}"))
}

/// The sums, and how many items are in none of them.
fn cost(bill: &Bill) -> String {
    match (bill.words(), bill.unpriced) {
        (_, 0) if bill.items == 0 => String::new(),
        (sums, 0) => sums,
        (sums, n) if sums.is_empty() => format!("no price on record for {}", items(n)),
        (sums, n) => format!("{sums}, and {} with no price on record", items(n)),
    }
}

fn told(ahead: &Ahead, rulebook: &str) -> Vec<String> {
    vec![
        format!(
            "A life ends by the makers' limits on the models and by the team's rulebook, {rulebook}. Ends later: {}. No day ends it, since the condition decides or the end cannot be told: {}.",
            items(ahead.later),
            items(ahead.open)
        ),
        "Prices are those on the models, as somebody entered them, and may be old. Currencies are not converted.".to_owned(),
    ]
}

fn chart(ahead: &Ahead) -> Chart {
    let bars = ahead.months.iter().map(|month| Bar {
        name: month.month.clone().unwrap_or_else(|| "over".to_owned()),
        counts: vec![month.bill.items],
    });
    let bars = Bars {
        id: "ahead",
        title: format!("Items by the month in which their life ends, {MONTHS_AHEAD} months ahead"),
        counted: "items",
        parts: Vec::new(),
        bars: bars.collect(),
    };
    bars.chart(
        "The first bar is what is past its life already, then month by month from this one on.",
    )
}

fn month_row(month: &AheadMonth) -> (String, u32, String) {
    let name = month.month.clone();
    let name = name.unwrap_or_else(|| "over already".to_owned());
    (name, month.bill.items, cost(&month.bill))
}

fn model_row(of: &AheadModel, models: &BTreeMap<ModelId, Model>) -> ModelRow {
    let model = models.get(&of.model);
    let price = model.and_then(|model| model.price.as_ref());
    let mut bill = of.past.clone();
    bill.add_all(&of.ahead);
    ModelRow {
        title: model.map(Model::title).unwrap_or_default(),
        href: format!("/models/{}", of.model),
        kind: model.map_or("", |model| model.kind.word()),
        price: price.map_or_else(|| "not on record".to_owned(), ToString::to_string),
        past: of.past.items,
        ahead: of.ahead.items,
        cost: bill.words(),
    }
}

fn use_row(of: &UseAhead, models: &BTreeMap<ModelId, Model>) -> UseRow {
    let model = models.get(&of.model);
    UseRow {
        title: model.map(Model::title).unwrap_or_default(),
        href: format!("/models/{}", of.model),
        limit: model
            .map(|model| model.use_limit.words())
            .unwrap_or_default(),
        items: of.items,
        used_up: of.used_up,
        near: of.near,
    }
}
