//! What failed, by model and by lot.

use std::collections::BTreeMap;

use askama::Template;
use time::Date;

use super::{
    super::{
        Shell,
        chart::{Bar, Bars, Chart},
        file_choice::FileChoice,
        form::Form,
        part::{Answer, SectionNav, Tone},
        sieve::Sieve,
    },
    failed_share, items, nav, part_of, share_of,
};
use crate::domain::{
    FieldErrors, Model, ModelId,
    date::write_day,
    trend::{FEW, Failures, LotFailures, ModelFailures, PeriodDraft},
};

/// How many models are drawn.
const DRAWN: usize = 12;
/// How many models and how many lots are listed; the file has all.
const LISTED: usize = 200;

/// The page.
#[derive(Template)]
#[template(path = "trend/failure.html")]
pub struct FailurePage {
    /// The frame.
    pub shell: Shell,
    nav: SectionNav,
    form: Form,
    period: PeriodDraft,
    file: FileChoice,
    found: Option<Found>,
}

/// What was counted, where the days hold.
struct Found {
    answer: Answer,
    few: u32,
    chart: Option<Chart>,
    models: Vec<Row>,
    lots: Vec<Row>,
    more: String,
    rest: String,
}

struct Row {
    number: usize,
    title: String,
    href: String,
    lot: String,
    failed: String,
    little: &'static str,
    items: u32,
    looks: String,
    events: String,
}

/// What was counted in some time.
pub struct Counted<'a> {
    /// By model.
    pub by_model: &'a [ModelFailures],
    /// By lot.
    pub by_lot: &'a [LotFailures],
    /// The models.
    pub models: &'a BTreeMap<ModelId, Model>,
    /// The first and the last day.
    pub days: (Date, Date),
    /// Where the records of a model stand, or those of a lot of it; an empty lot is what has none noted.
    pub link: &'a dyn Fn(ModelId, Option<&str>) -> String,
}

impl FailurePage {
    /// The page with what was typed; `counted` is none where the days do not hold. `file` is the address of the file.
    pub fn new(
        shell: Shell,
        counted: Option<&Counted<'_>>,
        period: PeriodDraft,
        file: FileChoice,
        wrong: &FieldErrors,
    ) -> Self {
        Self {
            shell,
            nav: nav("/trends/failures"),
            form: Form::new(wrong).failed("Nothing was counted"),
            period,
            file,
            found: counted.map(found),
        }
    }

    fn sieve(&self) -> Sieve {
        let (form, period) = (&self.form, &self.period);
        Sieve::new("/trends/failures")
            .filter(
                form.typed("date", "from", "From", &period.from)
                    .hint("Empty is three years before the last day."),
            )
            .filter(
                form.typed("date", "until", "Until", &period.until)
                    .hint("Empty is today."),
            )
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::{PROBE, gear};
        let model = gear::model();
        let failures = Failures {
            items: 24,
            items_examined: 20,
            items_failed: 3,
            examinations: 96,
            examinations_failed: 4,
            events: 1,
            items_with_event: 1,
        };
        let lot = |lot: Option<&str>| LotFailures {
            model: model.id,
            lot: lot.map(str::to_owned),
            failures,
        };
        let counted = Counted {
            by_model: &[ModelFailures {
                model: model.id,
                failures,
            }],
            by_lot: &[lot(Some(PROBE)), lot(None)],
            models: &[(model.id, model.clone())].into(),
            days: (gear::TODAY, gear::TODAY),
            link: &|model, _| format!("/trends/failures/{model}"),
        };
        let period = PeriodDraft {
            from: PROBE.to_owned(),
            until: PROBE.to_owned(),
        };
        let page = |counted, wrong: &FieldErrors| {
            let shell = Shell::sample("What failed");
            let file = FileChoice::sample();
            Self::new(shell, counted, period.clone(), file, wrong)
        };
        vec![
            page(Some(&counted), &FieldErrors::default()),
            page(None, &FieldErrors::one("from", "date", PROBE)),
        ]
    }
}

fn found(counted: &Counted<'_>) -> Found {
    let mut models: Vec<&ModelFailures> = counted.by_model.iter().collect();
    let mut lots: Vec<&LotFailures> = counted.by_lot.iter().collect();
    models.retain(|of| of.failures.has_any());
    lots.retain(|of| of.failures.has_any());
    let title = |id: &ModelId| counted.models.get(id).map(Model::title).unwrap_or_default();
    let worst = |of: &Failures| (of.items_failed, of.examinations_failed, of.events);
    models.sort_by_key(|of| (std::cmp::Reverse(worst(&of.failures)), title(&of.model)));
    lots.sort_by_key(|of| {
        let lot = of.lot.clone();
        (
            std::cmp::Reverse(worst(&of.failures)),
            title(&of.model),
            lot,
        )
    });
    let all = counted.by_model.iter().map(|of| of.failures);
    let all = all.reduce(Failures::plus).unwrap_or_default();
    let rest: Vec<&ModelFailures> = counted
        .by_model
        .iter()
        .filter(|of| !of.failures.has_any())
        .collect();
    let row = |number, model: &ModelId, lot: Option<&str>, failures| {
        let href = (counted.link)(*model, lot);
        row(
            (number, title(model), href),
            lot.unwrap_or_default(),
            failures,
        )
    };
    let rows = models.iter().take(LISTED).enumerate();
    Found {
        answer: answer(all, counted.days),
        few: FEW,
        chart: (!models.is_empty()).then(|| chart(&models)),
        more: if models.len().max(lots.len()) > LISTED {
            format!("The first {LISTED} of each are listed; the file has all.")
        } else {
            String::new()
        },
        rest: rest_words(&rest),
        models: rows
            .map(|(at, of)| row(at + 1, &of.model, None, of.failures))
            .collect(),
        lots: lots
            .iter()
            .take(LISTED)
            .map(|of| {
                row(
                    0,
                    &of.model,
                    Some(of.lot.as_deref().unwrap_or_default()),
                    of.failures,
                )
            })
            .collect(),
    }
}

fn row((number, title, href): (usize, String, String), lot: &str, failures: Failures) -> Row {
    let (failed, little) = failed_share(failures);
    Row {
        number,
        title,
        href,
        lot: if lot.is_empty() { "no lot noted" } else { lot }.to_owned(),
        failed,
        little,
        items: failures.items,
        looks: part_of(failures.examinations_failed, failures.examinations),
        events: match failures.events {
            0 => "none".to_owned(),
            n => format!("{n}, of {}", items(failures.items_with_event)),
        },
    }
}

fn answer(all: Failures, (from, until): (Date, Date)) -> Answer {
    let days = format!("From {} to {}", write_day(from), write_day(until));
    let words = match (all.examinations, all.examinations_failed) {
        (0, _) => format!("{days}: nothing was examined"),
        (looks, 0) => format!("{days}: none of {looks} examinations and checks failed"),
        (looks, fails) => format!(
            "{days}: {} examinations and checks failed",
            share_of(fails, looks)
        ),
    };
    let failed = share_of(all.items_failed, all.items_examined);
    let why = format!(
        "Checks before and after use are counted with the examinations. What failed ended in quarantine or retirement. Of the items that were examined {failed} failed at least once. {} reported; each takes its item out of use.",
        match all.events {
            0 => "No event was".to_owned(),
            1 => "1 event was".to_owned(),
            n => format!("{n} events were"),
        }
    );
    Answer::new(Tone::Note, words).why(why)
}

fn chart(models: &[&ModelFailures]) -> Chart {
    let bars = models.iter().take(DRAWN).enumerate().map(|(at, of)| {
        let (examined, failed) = (of.failures.items_examined, of.failures.items_failed);
        Bar {
            name: (at + 1).to_string(),
            counts: vec![failed, examined.saturating_sub(failed)],
        }
    });
    let bars = Bars {
        id: "failures",
        title: "Items examined and items failed, by model".to_owned(),
        counted: "items",
        parts: ["failed", "examined, none failed"]
            .map(str::to_owned)
            .into(),
        bars: bars.collect(),
    };
    bars.chart("Numbered as in the table below. Few items say little: look at the count, not at the height alone.")
}

fn rest_words(rest: &[&ModelFailures]) -> String {
    let examined: u32 = rest.iter().map(|of| of.failures.items_examined).sum();
    match rest.len() {
        0 => String::new(),
        1 => format!(
            "Of 1 further model nothing failed or happened; of it {} examined.",
            were(examined)
        ),
        n => format!(
            "Of {n} further models nothing failed or happened; of them {} examined.",
            were(examined)
        ),
    }
}

fn were(count: u32) -> String {
    let word = if count == 1 { "was" } else { "were" };
    format!("{} {word}", items(count))
}
