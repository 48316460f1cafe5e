//! What failed and what happened of one model or one lot, record by record.

use std::collections::HashMap;

use askama::Template;

use super::{
    super::{
        Shell,
        examination::verdict_tone,
        part::{Answer, Badge, SectionNav, Tone},
        past::{kind_word, verdict_word},
    },
    failed_share, nav, part_of,
};
use crate::domain::{Event, Examination, Item, ItemId, Model, date::write_day, trend::Failures};

/// The page.
#[derive(Template)]
#[template(path = "trend/failed.html")]
pub struct FailedPage {
    /// The frame.
    pub shell: Shell,
    nav: SectionNav,
    back: String,
    answer: Answer,
    title: String,
    model_href: String,
    items_href: String,
    looks: Vec<Look>,
    events: Vec<Happened>,
    more: Option<String>,
}

struct Look {
    on: String,
    href: String,
    mark: String,
    item_href: String,
    kind: &'static str,
    verdict: Badge,
    findings: String,
}

struct Happened {
    on: String,
    mark: String,
    item_href: String,
    what: String,
    note: String,
}

/// The records behind the counts.
pub struct Records<'a> {
    /// The counts.
    pub failures: Failures,
    /// The failing examinations.
    pub examinations: &'a [Examination],
    /// The events.
    pub events: &'a [Event],
    /// The items that they are about.
    pub items: &'a HashMap<ItemId, Item>,
    /// The most of each that are listed.
    pub most: u32,
}

impl FailedPage {
    /// The page of a model, or of a lot of it; an empty lot is what has none noted. `back` leads to all models.
    pub fn new(
        shell: Shell,
        model: &Model,
        lot: Option<&str>,
        records: &Records<'_>,
        back: String,
    ) -> Self {
        let (failed, little) = failed_share(records.failures);
        let of = match lot {
            None => String::new(),
            Some("") => ", no lot noted".to_owned(),
            Some(lot) => format!(", lot {lot}"),
        };
        let looks = part_of(
            records.failures.examinations_failed,
            records.failures.examinations,
        );
        let events = records.failures.events;
        let why = format!(
            "{looks} examinations and checks before and after use failed; events: {events}. {little}"
        );
        let listed = [records.examinations.len(), records.events.len()];
        let most = usize::try_from(records.most).unwrap_or(usize::MAX);
        let cut = listed.into_iter().any(|count| count >= most);
        Self {
            nav: nav("/trends/failures"),
            back,
            answer: Answer::new(Tone::Note, format!("Items failed, of those examined: {failed}"))
                .why(why.trim_end().to_owned()),
            title: format!("{}{of}", model.title()),
            model_href: format!("/models/{}", model.id),
            items_href: format!("/items?state=all&model={}", model.id),
            looks: records.examinations.iter().map(|one| look(one, records)).collect(),
            events: records.events.iter().map(|one| happened(one, records)).collect(),
            more: cut.then(|| format!("Only the last {most} of each are listed; the file of all examinations has the rest.")),
            shell,
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::{PROBE, gear};
        let items = [(gear::item().id, gear::item())].into();
        let (examinations, events) = ([gear::examination()], [gear::event()]);
        let records = Records {
            failures: Failures::default(),
            examinations: &examinations,
            events: &events,
            items: &items,
            most: 1,
        };
        let nothing = Records {
            examinations: &[],
            events: &[],
            most: 200,
            ..records
        };
        let page = |lot, records: &Records<'_>| {
            let shell = Shell::sample("What failed");
            let back = "/trends/failures".to_owned();
            Self::new(shell, &gear::model(), lot, records, back)
        };
        vec![page(Some(PROBE), &records), page(None, &nothing)]
    }
}

fn mark(id: ItemId, records: &Records<'_>) -> String {
    let item = records.items.get(&id);
    item.map(|item| item.mark.clone()).unwrap_or_default()
}

fn look(one: &Examination, records: &Records<'_>) -> Look {
    Look {
        on: write_day(one.on),
        href: format!("/items/{}/examinations/{}", one.item, one.id),
        mark: mark(one.item, records),
        item_href: format!("/items/{}", one.item),
        kind: kind_word(one.kind),
        verdict: Badge::new(verdict_tone(one.verdict), verdict_word(one.verdict)),
        findings: one.findings.clone(),
    }
}

fn happened(event: &Event, records: &Records<'_>) -> Happened {
    let follows = event.follows.as_ref();
    let follows = follows.map(|follows| format!("; it {}", follows.outcome.word()));
    Happened {
        on: write_day(event.on),
        mark: mark(event.item, records),
        item_href: format!("/items/{}", event.item),
        what: format!("{}{}", event.kind.word(), follows.unwrap_or_default()),
        note: event.note.clone(),
    }
}
