//! The list of items.

use askama::Template;
use time::Date;

use super::super::{
    Shell,
    file_choice::FileChoice,
    form::{Choices, Form},
    part::{Badge, Empty, Pager, Tone},
    sieve::Sieve,
    words,
};
use crate::domain::{
    DayRange, Item, ItemState, Job, Kind, Model, Standing, Store, date::write_day, fitness::due,
    life, rulebook::Rulebook, standings,
};

/// What is written in the bar above the list.
#[derive(Clone, Debug, Default)]
pub struct ListBar {
    /// The words that are looked for.
    pub search: String,
    /// The kind's key.
    pub kind: String,
    /// The state's key, or `all`.
    pub state: String,
    /// The store's id.
    pub store: String,
    /// `overdue`, `never`, so many days, or days such as `2026-03-01..2026-03-31`.
    pub due: String,
    /// `over`, `open`, or days; not offered in the bar unless it is set.
    pub life: String,
    /// `unknown` where only those are listed of which nobody noted whether their markings can be read.
    pub markings: String,
    /// The model's id; not offered in the bar, but kept.
    pub model: String,
    /// What it is sorted by, kept when the bar is sent.
    pub sort: String,
    /// `yes` where it is sorted downwards.
    pub down: String,
}

/// The head of a column.
#[derive(Clone, Debug)]
pub struct Heading {
    /// Its word.
    pub word: &'static str,
    /// Where it leads to sort by it; none if it cannot be sorted by.
    pub href: Option<String>,
    /// `ascending` or `descending` where the list is sorted by it.
    pub sorted: Option<&'static str>,
}

/// One item of the list.
#[derive(Clone, Debug)]
pub struct ItemRow {
    /// Where it leads.
    pub href: String,
    /// The team's mark.
    pub mark: String,
    /// The kind.
    pub kind: &'static str,
    /// Maker and model.
    pub model: String,
    /// The state, or what stands against it.
    pub state: Badge,
    /// When the next examination is due.
    pub due: String,
    /// How far that is from today; may be empty.
    pub due_in: String,
    /// When it was made.
    pub made: String,
    /// Where it lives.
    pub store: String,
    /// The job with whose crew it is, and its page.
    pub crew: Option<(String, String)>,
}

impl ItemRow {
    /// The same item, which is with the crew of a job.
    #[must_use]
    pub fn with_crew(mut self, job: Option<&Job>) -> Self {
        self.crew = job.map(|job| (job.title.clone(), format!("/jobs/{}", job.id)));
        self
    }

    /// An item in words, as it stands on a day under a rulebook.
    pub fn new(
        item: &Item,
        model: &Model,
        store: Option<&Store>,
        (rulebook, today): (&Rulebook, Date),
    ) -> Self {
        let due = due(item, model, rulebook, today);
        let standing = standings(item, &life(item, model, rulebook), &due, today);
        // What is retired falls due no more.
        let retired = item.state == ItemState::Retired;
        let until = due.until().filter(|_| !retired);
        Self {
            href: format!("/items/{}", item.id),
            mark: item.mark.clone(),
            kind: model.kind.word(),
            model: model.title(),
            state: badge(standing.first()),
            due: match until {
                None if item.state == ItemState::Retired => "no more".to_owned(),
                None => due.word().to_owned(),
                Some(day) => write_day(day),
            },
            due_in: until
                .map(|day| words::from_today(day, today))
                .unwrap_or_default(),
            made: item
                .made
                .map_or_else(|| "not known".to_owned(), |made| made.to_string()),
            store: store.map(|store| store.name.clone()).unwrap_or_default(),
            crew: None,
        }
    }
}

/// What stands against an item first, or that it is in service.
fn badge(first: Option<&Standing>) -> Badge {
    let (tone, word) = match first {
        None => (Tone::Fit, "in service"),
        Some(Standing::Retired) => (Tone::Out, "retired"),
        Some(Standing::Quarantined) => (Tone::Hold, "quarantined"),
        Some(Standing::Missing) => (Tone::Hold, "missing"),
        Some(Standing::PastLife(_)) => (Tone::Stop, "past life"),
        Some(Standing::LifeUnknown) => (Tone::Stop, "life unknown"),
        Some(Standing::NeverPassed) => (Tone::Stop, "not examined"),
        Some(Standing::Overdue(_)) => (Tone::Stop, "overdue"),
        Some(Standing::DueSoon(_)) => (Tone::Watch, "due soon"),
        Some(Standing::LifeEndsSoon(_)) => (Tone::Watch, "life ends soon"),
    };
    Badge::new(tone, word)
}

/// The list.
#[derive(Template)]
#[template(path = "item/list.html")]
pub struct ItemList {
    /// The frame.
    pub shell: Shell,
    /// What is looked for.
    pub bar: ListBar,
    /// The heads of the columns.
    pub headings: Vec<Heading>,
    /// The items.
    pub rows: Vec<ItemRow>,
    /// Ways to the next page.
    pub pager: Pager,
    /// What to do where there is nothing.
    pub empty: Empty,
    /// Whether this person may add items.
    pub may_add: bool,
    /// Where labels for the items of the list are made, for who may.
    pub labels: Option<String>,
    /// Where a round of examinations of the list is planned, for whoever may.
    pub round: Option<String>,
    /// Where these are looked at one after another, if this person may.
    pub bench: Option<String>,
    /// Where the list can be had as a file, if anywhere.
    pub export: Option<FileChoice>,
    /// The model that the list is held to, if it is.
    pub model: Option<String>,
    /// The stores to choose from.
    pub stores: Choices,
}

fn pairs<const N: usize>(pairs: [(&str, &str); N]) -> Choices {
    pairs
        .map(|(key, word)| (key.to_owned(), word.to_owned()))
        .into()
}

/// The kinds to choose from, with "all" before them.
pub(in crate::view) fn kinds() -> Choices {
    let mut choices = pairs([("", "All kinds")]);
    let kinds = Kind::ALL.iter();
    choices.extend(kinds.map(|kind| (kind.key().to_owned(), kind.word().to_owned())));
    choices
}

fn states() -> Choices {
    pairs([
        ("", "All but retired"),
        ("in-service", "In service"),
        ("quarantined", "Quarantined"),
        ("missing", "Missing"),
        ("retired", "Retired"),
        ("all", "All, retired too"),
    ])
}

fn dues() -> Choices {
    pairs([
        ("", "Any time"),
        ("overdue", "Overdue"),
        ("never", "Never examined"),
        ("30", "Within 30 days"),
        ("90", "Within 90 days"),
    ])
}

fn lives() -> Choices {
    pairs([("", "Any time"), ("over", "Over"), ("open", "No day set")])
}

fn markings() -> Choices {
    pairs([("", "Noted or not"), ("unknown", "Not noted")])
}

/// The choices, and the days that are chosen though they are not offered.
fn in_words(mut choices: Choices, chosen: &str) -> Choices {
    if let Some(days) = DayRange::read(chosen) {
        choices.push((chosen.to_owned(), days.words()));
    }
    choices
}

impl ItemList {
    /// The stores to choose from, with "all" before them.
    pub fn stores(stores: &[Store]) -> Choices {
        let mut choices = pairs([("", "All stores")]);
        let stores = stores.iter();
        choices.extend(stores.map(|store| (store.id.to_string(), store.name.clone())));
        choices
    }

    fn sieve(&self) -> Sieve {
        let (form, bar) = (Form::default(), &self.bar);
        let search = form.typed("search", "q", "Search", &bar.search);
        Sieve::new("/items")
            .search(search)
            .filter(form.choice("kind", "Kind", &bar.kind, kinds()))
            .filter(form.choice("state", "State", &bar.state, states()))
            .filter(form.choice("store", "Store", &bar.store, &self.stores))
            .filter(form.choice("due", "Due", &bar.due, in_words(dues(), &bar.due)))
            .filter(form.choice(
                "life",
                "End of life",
                &bar.life,
                in_words(lives(), &bar.life),
            ))
            .filter(form.choice(
                "markings",
                "Markings",
                &bar.markings,
                in_words(markings(), &bar.markings),
            ))
            .keep("model", &bar.model)
            .keep("sort", &bar.sort)
            .keep("down", &bar.down)
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::{PROBE, gear};
        let (item, model, store) = (gear::item(), gear::model(), gear::store());
        let heading = |word, href, sorted| Heading { word, href, sorted };
        let full = Self {
            shell: Shell::sample("Items"),
            bar: ListBar {
                search: PROBE.to_owned(),
                model: PROBE.to_owned(),
                sort: "due".to_owned(),
                down: "yes".to_owned(),
                ..ListBar::default()
            },
            headings: vec![
                heading(
                    "Mark",
                    Some("/items?sort=mark".to_owned()),
                    Some("ascending"),
                ),
                heading("Kind", None, None),
            ],
            rows: vec![
                ItemRow::new(&item, &model, Some(&store), (gear::rulebook(), gear::TODAY))
                    .with_crew(Some(&gear::job())),
                ItemRow::new(&item, &model, None, (gear::rulebook(), gear::TODAY)),
            ],
            pager: Pager {
                first: Some("/items".to_owned()),
                next: Some("/items?after=x".to_owned()),
                shown: "2 items".to_owned(),
            },
            empty: Empty::new("No items.", "Add one."),
            may_add: true,
            labels: Some("/labels?listed=yes".to_owned()),
            round: Some("/rounds/new".to_owned()),
            bench: Some("/bench".to_owned()),
            export: Some(FileChoice::sample()),
            model: Some(PROBE.to_owned()),
            stores: Self::stores(&[store]),
        };
        let bare = Self {
            shell: Shell::sample("Items"),
            bar: ListBar::default(),
            headings: Vec::new(),
            rows: Vec::new(),
            pager: Pager::default(),
            empty: Empty::new("No items.", "Add one.").step("Add an item", "/items/new"),
            may_add: false,
            labels: None,
            round: None,
            bench: None,
            export: None,
            model: None,
            stores: Self::stores(&[]),
        };
        vec![full, bare]
    }
}
