//! A list so long that its filters leave many or few: whatever the course, the answer is that of a plain look at
//! every item.

use ropeloft::{
    domain::{Change, Item, ItemState, Kind, Made, Model, Store, words},
    store::{Cursor, Direction, ItemFilter, ItemSort},
};
use time::{Duration, macros::date};

use crate::{
    stock,
    world::{START, World},
};

/// What was put in, to be looked at plainly.
struct Shelf {
    models: Vec<Model>,
    stores: Vec<Store>,
    items: Vec<Item>,
}

/// So many more than what counts as few that a filter may leave either.
const MANY: u32 = 1300;

async fn shelf(world: &World) -> Shelf {
    let models = vec![
        stock::model(Kind::Rope, "Fjordwerk", "Line 11"),
        stock::model(Kind::Rope, "Anvil", "Cord 7"),
        stock::model(Kind::Swivel, "Anvil", "Turn 5"),
    ];
    let stores = vec![stock::store("Van"), stock::store("Attic")];
    let mut tx = world.database.write(world.team).await.unwrap();
    for change in models.iter().cloned().map(Change::ModelAdded) {
        tx.record(&world.officer, START, change).await.unwrap();
    }
    for change in stores.iter().cloned().map(Change::StoreAdded) {
        tx.record(&world.officer, START, change).await.unwrap();
    }
    let mut items = Vec::new();
    for number in 0..MANY {
        let model = &models[if number % 90 == 0 {
            2
        } else {
            usize::from(number % 20 == 1)
        }];
        let store = &stores[usize::from(number % 50 == 7)];
        let digits = number * 7919 % 10_000;
        let mark = if number % 13 == 5 {
            format!("{digits:05}-RL")
        } else {
            format!("RL-{digits:05}")
        };
        let next_due_on =
            (number % 4 > 0).then(|| date!(2026 - 01 - 01) + Duration::days(i64::from(number)));
        let item = Item {
            serial: (number % 3 == 0).then(|| format!("N{}", number % 31)),
            state: match number {
                n if n % 101 == 0 => ItemState::Missing,
                n if n % 9 == 0 => ItemState::Retired,
                _ => ItemState::InService,
            },
            next_due_on,
            last_passed_on: next_due_on.map(|due| due - Duration::days(30)),
            made: (number % 5 > 0).then(|| Made::Year(2000 + i32::try_from(number % 25).unwrap())),
            ..stock::item(&mark, model, store)
        };
        tx.record(&world.officer, START, Change::ItemAdded(item.clone()))
            .await
            .unwrap();
        items.push(item);
    }
    tx.commit().await.unwrap();
    Shelf {
        models,
        stores,
        items,
    }
}

impl Shelf {
    fn model(&self, item: &Item) -> &Model {
        self.models
            .iter()
            .find(|model| model.id == item.model)
            .unwrap()
    }

    fn has(&self, item: &Item, word: &str) -> bool {
        let mut own = words(&item.mark);
        own.push(own.concat());
        own.extend(item.serial.iter().flat_map(|serial| words(serial)));
        let model = self.model(item);
        let title = format!("{} {}", model.kind.word(), model.title()).to_lowercase();
        own.iter().any(|own| own.starts_with(word)) || title.contains(word)
    }

    fn marks(&self, filter: &ItemFilter, (sort, direction): (ItemSort, Direction)) -> Vec<String> {
        let due = |item: &Item| {
            item.next_due_on
                .filter(|_| item.state != ItemState::Retired)
        };
        let mut left: Vec<&Item> = self
            .items
            .iter()
            .filter(|item| {
                words(&filter.search)
                    .iter()
                    .all(|word| self.has(item, word))
            })
            .filter(|item| filter.kind.is_none_or(|kind| self.model(item).kind == kind))
            .filter(|item| filter.model.is_none_or(|model| item.model == model))
            .filter(|item| filter.store.is_none_or(|store| item.store == store))
            .filter(|item| filter.state.is_none_or(|state| item.state == state))
            .filter(|item| !filter.without_retired || item.state != ItemState::Retired)
            .filter(|item| {
                filter
                    .due_before
                    .is_none_or(|day| due(item).is_some_and(|due| due < day))
            })
            .collect();
        left.sort_by_key(|item| {
            let none = "~".to_owned();
            let day = |text: Option<String>| text.unwrap_or(none);
            let key = match sort {
                ItemSort::Mark => String::new(),
                ItemSort::Kind => self.model(item).kind.key().to_owned(),
                ItemSort::Due => day(due(item).map(|day| day.to_string())),
                ItemSort::Made => day(item.made.map(|made| made.to_string())),
            };
            let mark = matches!(sort, ItemSort::Mark | ItemSort::Kind).then(|| item.mark.clone());
            // Of what is searched for, the mark that was typed and those that begin so stand first.
            let searched = (sort, direction) == (ItemSort::Mark, Direction::Up);
            let is_other = searched && !item.mark.to_lowercase().starts_with(&filter.search);
            (is_other, key, mark, item.id)
        });
        if direction == Direction::Down {
            left.reverse();
        }
        left.iter().map(|item| item.mark.clone()).collect()
    }

    fn filters(&self) -> Vec<ItemFilter> {
        let all = ItemFilter::default;
        let mut filters: Vec<ItemFilter> = SEARCHED
            .map(|search| ItemFilter {
                search: search.into(),
                ..all()
            })
            .to_vec();
        filters.extend([
            ItemFilter {
                kind: Some(Kind::Rope),
                ..all()
            },
            ItemFilter {
                kind: Some(Kind::Swivel),
                search: "rl".into(),
                ..all()
            },
            ItemFilter {
                state: Some(ItemState::InService),
                search: "rl".into(),
                ..all()
            },
            ItemFilter {
                state: Some(ItemState::Missing),
                kind: Some(Kind::Rope),
                ..all()
            },
            ItemFilter {
                model: Some(self.models[0].id),
                without_retired: true,
                ..all()
            },
            ItemFilter {
                model: Some(self.models[1].id),
                state: Some(ItemState::InService),
                ..all()
            },
            ItemFilter {
                store: Some(self.stores[1].id),
                due_before: Some(date!(2027 - 01 - 01)),
                ..all()
            },
            ItemFilter {
                due_before: Some(date!(2026 - 02 - 01)),
                search: "rl".into(),
                ..all()
            },
            ItemFilter {
                due_before: Some(date!(2049 - 01 - 01)),
                kind: Some(Kind::Rope),
                ..all()
            },
        ]);
        filters
    }
}

/// What is looked for.
const SEARCHED: [&str; 13] = [
    "",
    "rl",
    "007",
    "rl-00",
    "0",
    "rl 007",
    "anvil",
    "rope 11",
    "swivel",
    "n7",
    "5 anvil",
    "n30 fjord rl",
    "nothing",
];

const SORTS: [(ItemSort, Direction); 8] = [
    (ItemSort::Mark, Direction::Up),
    (ItemSort::Due, Direction::Up),
    (ItemSort::Kind, Direction::Up),
    (ItemSort::Made, Direction::Up),
    (ItemSort::Mark, Direction::Down),
    (ItemSort::Due, Direction::Down),
    (ItemSort::Kind, Direction::Down),
    (ItemSort::Made, Direction::Down),
];

on_both_databases! {
    async fn whatever_the_course_the_answer_is_that_of_a_plain_look(world) {
        let shelf = shelf(&world).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        for (number, filter) in shelf.filters().into_iter().enumerate() {
            // Each filter with two sorts, and over the filters with all of them both ways.
            for sort in [SORTS[number % 8], SORTS[(number + 3) % 8]] {
                let expected = shelf.marks(&filter, sort);
                let (mut seen, mut after): (Vec<String>, Option<Cursor>) = (Vec::new(), None);
                loop {
                    let page = tx.items(&filter, sort, after.as_ref(), 450).await.unwrap();
                    seen.extend(page.rows.into_iter().map(|item| item.mark));
                    after = page.next;
                    if after.is_none() {
                        break;
                    }
                }
                assert!(seen == expected, "{sort:?} {filter:?}: {} not {}", seen.len(), expected.len());
            }
        }
    }
}
