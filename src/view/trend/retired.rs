//! What was retired, by year and by kind, and for what.

use std::collections::BTreeMap;

use askama::Template;

use super::{
    super::{
        Shell,
        chart::{Bar, Bars, Chart},
        file_choice::FileChoice,
        form::{Choices, Form},
        part::{Answer, SectionNav, Tone},
        sieve::Sieve,
    },
    items, kinds, nav, share_of,
};
use crate::domain::{
    Item, Kind, Model, ModelId, RetiredFor,
    date::write_day,
    trend::{RetiredGroup, by_kind, by_year},
};

/// The page.
#[derive(Template)]
#[template(path = "trend/retired.html")]
pub struct RetiredPage {
    /// The frame.
    pub shell: Shell,
    nav: SectionNav,
    sieve: Sieve,
    answer: Answer,
    chart: Chart,
    is_empty: bool,
    reasons: Vec<&'static str>,
    tables: Vec<Table>,
    items: Vec<Row>,
    listed: String,
    file: FileChoice,
}

/// Counts by year or by kind.
struct Table {
    id: &'static str,
    caption: &'static str,
    of: &'static str,
    lines: Vec<Line>,
}

/// A year or a kind: how many for each reason, and how many together.
struct Line {
    name: String,
    counts: Vec<u32>,
    sum: u32,
}

struct Row {
    on: String,
    mark: String,
    href: String,
    title: String,
    because: &'static str,
    reason: String,
}

/// What the page is narrowed to.
#[derive(Clone, Copy, Debug, Default)]
pub struct Narrowed {
    /// This kind.
    pub kind: Option<Kind>,
    /// For this.
    pub because: Option<RetiredFor>,
    /// In this year.
    pub year: Option<i32>,
}

impl RetiredPage {
    /// The page. `file` is the address of the same as a file, and `most` of the items are listed.
    pub fn new(
        shell: Shell,
        groups: &[RetiredGroup],
        (retired, models): (&[Item], &BTreeMap<ModelId, Model>),
        narrowed: Narrowed,
        (file, most): (FileChoice, u32),
    ) -> Self {
        let present = |because: &RetiredFor| groups.iter().any(|group| group.because == *because);
        let reasons: Vec<RetiredFor> = RetiredFor::ALL.into_iter().filter(present).collect();
        let counted = |counts: &BTreeMap<RetiredFor, u32>| {
            let each = reasons
                .iter()
                .map(|one| counts.get(one).copied().unwrap_or(0));
            let each: Vec<u32> = each.collect();
            each
        };
        let years = by_year(groups)
            .into_iter()
            .map(|year| line(year.year.to_string(), counted(&year.counts)));
        let years: Vec<Line> = years.collect();
        let of_kinds = by_kind(groups)
            .into_iter()
            .map(|of| line(of.kind.word().to_owned(), counted(&of.counts)));
        let is_cut = retired.len() >= usize::try_from(most).unwrap_or(usize::MAX);
        Self {
            nav: nav("/trends/retired"),
            sieve: sieve(narrowed),
            answer: answer(groups),
            chart: chart(&years),
            is_empty: groups.is_empty(),
            reasons: reasons.iter().map(|one| one.word()).collect(),
            tables: vec![
                Table {
                    id: "years",
                    caption: "By year",
                    of: "Year",
                    lines: years,
                },
                Table {
                    id: "kinds",
                    caption: "By kind",
                    of: "Kind",
                    lines: of_kinds.collect(),
                },
            ],
            items: retired.iter().map(|item| row(item, models)).collect(),
            listed: if is_cut {
                format!("The last {most}; narrow them to see others.")
            } else {
                String::new()
            },
            file,
            shell,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::gear;
        let group = |because, items| RetiredGroup {
            kind: Kind::Rope,
            because,
            on: gear::TODAY,
            items,
        };
        let groups = [group(RetiredFor::Worn, 3), group(RetiredFor::NotSaid, 1)];
        let (model, mut item) = (gear::model(), gear::item());
        item.retired = Some(crate::domain::Retirement {
            on: gear::TODAY,
            because: RetiredFor::Worn,
        });
        let models = [(model.id, model)].into();
        let page = |groups: &[RetiredGroup], retired: &[Item]| {
            let shell = Shell::sample("What was retired");
            let file = FileChoice::sample();
            Self::new(
                shell,
                groups,
                (retired, &models),
                Narrowed::default(),
                (file, 1),
            )
        };
        vec![page(&groups, &[item]), page(&[], &[])]
    }
}

fn line(name: String, counts: Vec<u32>) -> Line {
    Line {
        name,
        sum: counts.iter().sum(),
        counts,
    }
}

fn sieve(narrowed: Narrowed) -> Sieve {
    let form = Form::default();
    let all = (String::new(), "all".to_owned());
    let reasons = RetiredFor::ALL.map(|one| (one.key().to_owned(), one.word().to_owned()));
    let reasons: Choices = std::iter::once(all).chain(reasons).collect();
    let kind = narrowed.kind.map_or("", Kind::key);
    let because = narrowed.because.map_or("", RetiredFor::key);
    let year = narrowed
        .year
        .map(|year| year.to_string())
        .unwrap_or_default();
    Sieve::new("/trends/retired")
        .filter(form.choice("kind", "Kind", kind, kinds()))
        .filter(form.choice("because", "Retired for", because, reasons))
        .filter(form.number("year", "Year", &year))
}

fn answer(groups: &[RetiredGroup]) -> Answer {
    let all: u32 = groups.iter().map(|group| group.items).sum();
    if all == 0 {
        return Answer::new(Tone::Note, "Nothing was retired")
            .why("What is retired is counted here, by year and by kind.");
    }
    let of = |because| {
        let groups = groups.iter().filter(|group| group.because == because);
        groups.map(|group| group.items).sum::<u32>()
    };
    let silent = match of(RetiredFor::NotSaid) {
        0 => String::new(),
        n => format!(
            "For {} nobody chose a reason; the sentence below has what was written.",
            share_of(n, all)
        ),
    };
    Answer::new(Tone::Note, format!("Retired: {}", items(all))).why(silent)
}

fn chart(years: &[Line]) -> Chart {
    let bars = years.iter().map(|year| Bar {
        name: year.name.clone(),
        counts: vec![year.sum],
    });
    let bars = Bars {
        id: "retired",
        title: "Items retired, by year".to_owned(),
        counted: "items",
        parts: Vec::new(),
        bars: bars.collect(),
    };
    bars.chart(
        "By the day on which it was done. A rope that was cut is counted too; its pieces go on.",
    )
}

fn row(item: &Item, models: &BTreeMap<ModelId, Model>) -> Row {
    let retired = item.retired.as_ref();
    Row {
        on: retired
            .map(|retired| write_day(retired.on))
            .unwrap_or_default(),
        mark: item.mark.clone(),
        href: format!("/items/{}", item.id),
        title: models
            .get(&item.model)
            .map(Model::title)
            .unwrap_or_default(),
        because: retired.map_or("", |retired| retired.because.word()),
        reason: item.state_reason.clone(),
    }
}
