//! The list of items.

use std::collections::HashMap;

use axum::extract::State;
use serde::Deserialize;
use time::{Date, Duration};

use crate::{
    deed::rulebook,
    domain::{DayRange, Deed, Item, ItemId, ItemState, Job, JobId, Kind, ModelId, StoreId},
    store::{Direction, ItemFilter, ItemSort, StoreError, Tx},
    view::{
        Section,
        item::{Heading, ItemList, ItemRow, ListBar},
        part::Empty,
        words,
    },
    web::{
        App, Page, Problem, Query, Signed,
        export::offered,
        listed::{ROWS, address, cursor, has_page, of_list, pager},
    },
};

/// What stands behind the question mark.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub(in crate::web) struct Asked {
    q: String,
    kind: String,
    state: String,
    store: String,
    model: String,
    due: String,
    life: String,
    waits: String,
    markings: String,
    sort: String,
    down: String,
    after: String,
}

/// The columns of the list: the word, and what it is sorted by.
const COLUMNS: [(&str, Option<ItemSort>); 6] = [
    ("Mark", Some(ItemSort::Mark)),
    ("Kind", Some(ItemSort::Kind)),
    ("State", None),
    ("Next examination", Some(ItemSort::Due)),
    ("Made", Some(ItemSort::Made)),
    ("Store", None),
];

fn sort_key(sort: ItemSort) -> &'static str {
    match sort {
        ItemSort::Mark => "mark",
        ItemSort::Due => "due",
        ItemSort::Kind => "kind",
        ItemSort::Made => "made",
    }
}

fn no_such(what: &str, given: &str) -> Problem {
    let given: String = given.chars().take(60).collect();
    Problem::Unreadable(format!(
        "The address asks for {what} \"{given}\", and there is none such. Choose again from the list."
    ))
}

/// Reads an optional word of the address.
pub(in crate::web) fn read<T>(
    what: &str,
    text: &str,
    read: impl FnOnce(&str) -> Option<T>,
) -> Result<Option<T>, Problem> {
    match text.trim() {
        "" => Ok(None),
        text => read(text).map(Some).ok_or_else(|| no_such(what, text)),
    }
}

impl Asked {
    /// What is listed.
    pub(in crate::web) fn filter(&self, today: Date) -> Result<ItemFilter, Problem> {
        let all = self.state.trim() == "all";
        let state = if all { "" } else { self.state.as_str() };
        let state = read("the state", state, ItemState::from_key)?;
        let mut filter = ItemFilter {
            search: self.q.chars().take(200).collect(),
            kind: read("the kind", &self.kind, Kind::from_word)?,
            model: read("the model", &self.model, |id| id.parse::<ModelId>().ok())?,
            store: read("the store", &self.store, |id| id.parse::<StoreId>().ok())?,
            without_retired: state.is_none() && !all,
            look_asked: read("what waits", &self.waits, |key| {
                (key == "look").then_some(())
            })?
            .is_some(),
            markings_unknown: read("the markings", &self.markings, |text| {
                (text == "unknown").then_some(())
            })?
            .is_some(),
            state,
            ..ItemFilter::default()
        };
        let due = read("the due days", &self.due, |text| Some(text.to_owned()))?;
        match due.as_deref() {
            None => {}
            Some("overdue") => filter.due_before = Some(today),
            Some("never") => filter.never_passed = true,
            Some(days) => {
                if let Ok(days) = days.parse::<u16>() {
                    // The last of the days counts, so the day after it is the first that does not.
                    filter.due_before = Some(today + Duration::days(i64::from(days) + 1));
                } else {
                    let days = DayRange::read(days).ok_or_else(|| no_such("the due days", days))?;
                    (filter.due_from, filter.due_before) = (Some(days.from), days.end());
                }
            }
        }
        let life = read("the ends of life", &self.life, |text| Some(text.to_owned()))?;
        match life.as_deref() {
            None => {}
            // A life is over on the day on which it ends.
            Some("over") => filter.life_before = today.next_day(),
            Some("open") => filter.life_open = true,
            Some(days) => {
                let days = DayRange::read(days).ok_or_else(|| no_such("the ends of life", days))?;
                // What ends today is over.
                let from = days.from.max(today.next_day().unwrap_or(today));
                (filter.life_from, filter.life_before) = (Some(from), days.end());
            }
        }
        Ok(filter)
    }

    /// Where the page begins.
    pub(in crate::web) fn after(&self) -> &str {
        &self.after
    }

    /// In which order.
    pub(in crate::web) fn order(&self) -> Result<(ItemSort, Direction), Problem> {
        let sort = read("the order", &self.sort, |key| {
            let mut sorts = COLUMNS.iter().filter_map(|(_, sort)| *sort);
            sorts.find(|sort| sort_key(*sort) == key)
        })?;
        let direction = match self.down.trim() {
            "" | "no" => Direction::Up,
            "yes" => Direction::Down,
            other => return Err(no_such("the direction", other)),
        };
        Ok((sort.unwrap_or_default(), direction))
    }

    /// What stands behind the question mark, without order and cursor.
    pub(in crate::web) fn pairs(&self) -> Vec<(&'static str, &str)> {
        vec![
            ("q", &self.q),
            ("kind", &self.kind),
            ("state", &self.state),
            ("store", &self.store),
            ("model", &self.model),
            ("due", &self.due),
            ("life", &self.life),
            ("waits", &self.waits),
            ("markings", &self.markings),
        ]
    }

    pub(in crate::web) fn is_narrowed(&self) -> bool {
        self.pairs().iter().any(|(_, value)| !value.is_empty())
    }

    fn headings(&self, (sorted, direction): (ItemSort, Direction)) -> Vec<Heading> {
        COLUMNS
            .iter()
            .map(|(word, sort)| {
                let here = *sort == Some(sorted);
                let down = here && direction == Direction::Up;
                Heading {
                    word,
                    href: sort.map(|sort| {
                        let mut pairs = self.pairs();
                        pairs.push(("sort", sort_key(sort)));
                        pairs.push(("down", if down { "yes" } else { "" }));
                        address("/items", &pairs)
                    }),
                    sorted: here.then_some(match direction {
                        Direction::Up => "ascending",
                        Direction::Down => "descending",
                    }),
                }
            })
            .collect()
    }

    fn bar(&self) -> ListBar {
        ListBar {
            search: self.q.clone(),
            kind: self.kind.clone(),
            state: self.state.clone(),
            store: self.store.clone(),
            due: self.due.clone(),
            life: self.life.clone(),
            model: self.model.clone(),
            markings: self.markings.clone(),
            sort: self.sort.clone(),
            down: self.down.clone(),
        }
    }

    fn empty(&self, may_add: bool) -> Empty {
        if self.is_narrowed() {
            return Empty::new(
                "No item fits this search.",
                "Take something out of it, or look among the retired ones too.",
            )
            .step("Show all items", "/items");
        }
        let empty = Empty::new(
            "No items yet.",
            "Bring your list in from a file, or write the first item by hand.",
        );
        match may_add {
            true if has_page("/import") => empty.step("Import a list", "/import"),
            true => empty.step("Add the first item", "/items/new"),
            false => empty,
        }
    }
}

/// The list of items.
pub(in crate::web) async fn page_list(
    State(app): State<App>,
    signed: Signed,
    Query(asked): Query<Asked>,
) -> Result<Page<ItemList>, Problem> {
    let today = signed.today(&app);
    let order = asked.order()?;
    let filter = asked.filter(today)?;
    let after = cursor(&asked.after)?;
    let mut tx = app.desk.database.read(signed.actor.team).await?;
    let rulebook = rulebook::home(&mut tx).await?;
    let page = tx.items(&filter, order, after.as_ref(), ROWS).await;
    let page = page.map_err(of_list)?;
    let mut models: Vec<_> = page.rows.iter().map(|item| item.model).collect();
    models.extend(filter.model);
    models.sort_unstable();
    models.dedup();
    let models = tx.models_of(&models).await?;
    let stores = tx.stores().await?;
    let out = crew_of(&mut tx, &page.rows).await?;
    let rows = page.rows.iter().filter_map(|item| {
        let store = stores.iter().find(|store| store.id == item.store);
        let model = models.get(&item.model)?;
        let row = ItemRow::new(item, model, store, (&rulebook, today));
        Some(row.with_crew(out.get(&item.id)))
    });
    let rows: Vec<ItemRow> = rows.collect();
    let may_add = signed.actor.role.may(Deed::KeepRegister);
    let may_export = signed.actor.role.may(Deed::Export);
    let (mut pairs, shown) = (asked.pairs(), words::count(rows.len(), "item", "items"));
    pairs.extend([("sort", asked.sort.as_str()), ("down", asked.down.as_str())]);
    let labels = address(
        "/labels",
        &[&[("listed", "yes")], pairs.as_slice()].concat(),
    );
    let may_examine = signed.actor.role.may(Deed::Examine);
    let round = may_examine.then(|| address("/rounds/new", &asked.pairs()));
    let may_look = signed.actor.role.may(Deed::ReportEvent);
    let bench = may_look.then(|| address("/bench", &asked.pairs()));
    let export = may_export.then(|| offered("items", &pairs));
    Ok(Page(ItemList {
        shell: signed.shell_in(Section::Items, "Items"),
        bar: asked.bar(),
        headings: asked.headings(order),
        pager: pager("/items", &pairs, &asked.after, page.next.as_ref(), shown),
        empty: asked.empty(may_add),
        may_add,
        labels: may_add.then_some(labels),
        round,
        bench,
        export,
        model: filter.model.map(|id| {
            let model = models.get(&id);
            model.map_or_else(
                || "that is not there".to_owned(),
                crate::domain::Model::title,
            )
        }),
        stores: ItemList::stores(&stores),
        rows,
    }))
}

/// The jobs with whose crews some of the items are.
async fn crew_of(tx: &mut Tx, items: &[Item]) -> Result<HashMap<ItemId, Job>, StoreError> {
    let ids: Vec<ItemId> = items.iter().map(|item| item.id).collect();
    let out = tx.out_of(&ids).await?;
    let jobs: Vec<JobId> = out.values().map(|out| out.job).collect();
    let jobs = tx.jobs_of(&jobs).await?;
    let out = out.into_values();
    Ok(out
        .filter_map(|out| Some((out.item, jobs.get(&out.job)?.clone())))
        .collect())
}
