//! Gear for a 4:1 in any number: ropes of many lengths, pulleys, tripods and connectors of many models, in many stores,
//! due on many days. One in eight is due already.

use ropeloft::{
    deed::kit,
    domain::{
        ApprovalDraft, Change, Item, ItemDraft, ItemId, Kind, Model, ModelDraft, ModelId,
        RatingDraft, Store, StoreId, Zone,
        fitness::Plan,
        proposal::{Offered, Stock, propose, readiness},
        ready::ReadinessDraft,
    },
    store::Database,
};
use std::{collections::HashMap, hint::black_box, sync::LazyLock};

use criterion::Criterion;
use time::{Date, Duration};

use crate::large::{AT, examination, founded, job, record};

/// No bag lies in a store.
static LOOSE: LazyLock<HashMap<StoreId, StoreId>> = LazyLock::new(HashMap::new);

/// How many stores there are.
const STORES: usize = 30;

/// A model, and how its items are marked.
struct Sort {
    model: Model,
    letter: char,
    /// Attributes of the item, from its number.
    own: fn(usize) -> Vec<(&'static str, String)>,
}

/// So many items with their models.
pub struct Fleet {
    pub models: Vec<Model>,
    pub stores: Vec<Store>,
    pub items: Vec<Item>,
}

/// A kind with the shares of 20 items that are of it.
fn sorts() -> Vec<(usize, Vec<Sort>)> {
    let of = |letter, own: fn(usize) -> Vec<(&'static str, String)>, models: Vec<Model>| {
        let sort = |model| Sort { model, letter, own };
        models.into_iter().map(sort).collect()
    };
    let nothing: fn(usize) -> Vec<(&'static str, String)> = |_| Vec::new();
    let head = |at| pulley(at, true);
    let foot = |at| pulley(at, false);
    vec![
        (3, of('R', length, (0..8).map(rope).collect())),
        (3, of('H', nothing, (0..6).map(head).collect())),
        (4, of('P', nothing, (0..9).map(foot).collect())),
        (2, of('T', nothing, (0..3).map(tripod).collect())),
        (8, of('C', nothing, (0..12).map(connector).collect())),
    ]
}

fn length(at: usize) -> Vec<(&'static str, String)> {
    vec![("length", format!("{} m", 20 + at * 7 % 180))]
}

fn rope(at: usize) -> Model {
    let diameter = format!("{} mm", [9, 10, 11, 12][at % 4]);
    let attributes = [
        ("diameter", diameter.as_str()),
        ("rope-kind", "low-stretch"),
        ("fibre", "polyamide"),
    ];
    let approvals = [approval("EN 1891", "A", "", "")];
    let ratings = [("straight", "30 kN")];
    model(Kind::Rope, at, &approvals, &ratings, &attributes)
}

/// A double pulley; at the head it captures progress and has a becket.
fn pulley(at: usize, head: bool) -> Model {
    let (least, most) = [("8 mm", "13 mm"), ("10 mm", "13 mm"), ("9 mm", "11 mm")][at % 3];
    let mut approvals = vec![approval("EN 12278", "", least, most)];
    let mut attributes = vec![
        ("sheaves", "2"),
        ("efficiency", "0.92"),
        ("efficiency-low", "0.9"),
        ("efficiency-high", "0.94"),
        ("efficiency-source", "maker"),
    ];
    let mut ratings = vec![("axle", "60 kN")];
    if head {
        let mut capture = approval("EN 567", "", least, most);
        capture.rope_kinds = "low-stretch, dynamic".into();
        approvals.push(capture);
        attributes.extend([
            ("capture", "yes"),
            ("one-way-sheave", "no"),
            ("becket", "yes"),
        ]);
        ratings.push(("becket", "40 kN"));
    }
    let at = at + usize::from(head) * 100;
    model(Kind::Pulley, at, &approvals, &ratings, &attributes)
}

fn tripod(at: usize) -> Model {
    let approvals = [approval("EN 795", "B", "", "")];
    model(Kind::Tripod, at, &approvals, &[("body", "60 kN")], &[])
}

fn connector(at: usize) -> Model {
    let ratings = [("major-axis", "60 kN"), ("minor-axis", "8 kN")];
    let approvals = [approval("EN 362", "B", "", "")];
    model(Kind::Connector, at, &approvals, &ratings, &[])
}

fn approval(standard: &str, class: &str, least: &str, most: &str) -> ApprovalDraft {
    ApprovalDraft {
        standard: standard.into(),
        class: class.into(),
        rope_least: least.into(),
        rope_most: most.into(),
        ..ApprovalDraft::default()
    }
}

fn model(
    kind: Kind,
    at: usize,
    approvals: &[ApprovalDraft],
    ratings: &[(&str, &str)],
    attributes: &[(&str, &str)],
) -> Model {
    let ratings = ratings.iter().map(|(mode, value)| RatingDraft {
        mode: (*mode).into(),
        value: (*value).into(),
        kind: "breaking".into(),
        source: "marking".into(),
        ..RatingDraft::default()
    });
    let attributes = attributes.iter();
    let draft = ModelDraft {
        kind: kind.key().into(),
        maker: "Fjordwerk".into(),
        name: format!("Bench {kind:?} {at}"),
        life_support: "yes".into(),
        approvals: approvals.to_vec(),
        ratings: ratings.collect(),
        attributes: attributes
            .map(|(key, text)| ((*key).to_owned(), (*text).to_owned()))
            .collect(),
        life_years_from_made: "10".into(),
        ..ModelDraft::default()
    };
    draft.check(ModelId::new(), 1).unwrap()
}

impl Fleet {
    /// So many items.
    pub fn new(items: usize) -> Self {
        let stores: Vec<Store> = (0..STORES)
            .map(|at| Store {
                id: StoreId::new(),
                revision: 1,
                name: format!("Bay {at}"),
                note: String::new(),
            })
            .collect();
        let sorts = sorts();
        let shares: Vec<usize> = sorts
            .iter()
            .enumerate()
            .flat_map(|(of, (share, _))| std::iter::repeat_n(of, *share))
            .collect();
        let item = |at: usize| {
            let all = &sorts[shares[at % shares.len()]].1;
            let sort = &all[at / shares.len() % all.len()];
            one(at, sort, stores[at / 3 % STORES].id)
        };
        let items = (0..items).map(item).collect();
        let models = sorts.into_iter().flat_map(|(_, sorts)| sorts);
        Self {
            items,
            models: models.map(|sort| sort.model).collect(),
            stores,
        }
    }

    /// The same in a database, with an officer.
    pub async fn keep(&self, database: &Database) -> ropeloft::domain::Actor {
        let officer = founded(database).await;
        let models = self.models.iter().cloned().map(Change::ModelAdded);
        let mut changes: Vec<Change> = models.collect();
        changes.extend(self.stores.iter().cloned().map(Change::StoreAdded));
        for item in &self.items {
            let mut bare = item.clone();
            (bare.last_passed_on, bare.next_due_on) = (None, None);
            changes.push(Change::ItemAdded(bare));
            let mut passed = examination(&officer, item.id, item.last_passed_on.unwrap());
            passed.next_due_on = item.next_due_on;
            changes.push(Change::ExaminationRecorded(passed));
        }
        record(database, &officer, changes).await;
        officer
    }

    fn stock<'a>(&'a self, zone: &'a Zone) -> Stock<'a> {
        let model = |item: &Item| {
            let mut models = self.models.iter();
            models.find(|model| model.id == item.model).unwrap()
        };
        let items = self.items.iter().map(|item| Offered {
            item,
            model: model(item),
            is_out: false,
            elsewhere: &[],
        });
        Stock {
            items: items.collect(),
            within: &LOOSE,
            kit: &[],
            notices: &[],
            closings: &[],
            still_open: &[],
            today: AT.date(),
            zone,
        }
    }
}

fn one(at: usize, sort: &Sort, store: StoreId) -> Item {
    let own = (sort.own)(at).into_iter();
    let draft = ItemDraft {
        mark: format!("{}-{at:06}", sort.letter),
        serial: format!("{at:08x}"),
        made: format!("{}", 2017 + at % 9),
        markings_readable: "yes".into(),
        attributes: own.map(|(key, text)| (key.to_owned(), text)).collect(),
        ..ItemDraft::default()
    };
    let details = draft.check(Some(&sort.model), Some(store), AT.date());
    let mut item = details.unwrap().into_item(ItemId::new(), AT);
    let last = AT.date() - Duration::days(30);
    item.last_passed_on = Some(last);
    item.next_due_on = Some(last + Duration::days(i64::try_from(7 + at * 37 % 170).unwrap()));
    item
}

/// A kit proposed, and sets counted over two years, without a database.
pub fn pure(criterion: &mut Criterion) {
    let job = job();
    let plan = Plan::of(&job).unwrap();
    let zone = Zone::UTC;
    for items in [500, 2_000] {
        let fleet = Fleet::new(items);
        let stock = fleet.stock(&zone);
        let proposal = propose(&plan, &stock);
        assert!(proposal.is_whole(), "{:?}", proposal.missing);
        criterion.bench_function(&format!("propose a kit from {items} candidates"), |bench| {
            bench.iter(|| black_box(propose(&plan, &stock)));
        });
    }
    let until = AT.date() + Duration::days(730);
    for items in [500, 5_000] {
        let fleet = Fleet::new(items);
        let stock = fleet.stock(&zone);
        let count = |until: Date| readiness(&plan, &stock, &[], until).unwrap();
        let sets = count(until);
        assert!(sets.steps[0].sets > items / 50, "{:?}", sets.steps[0]);
        println!(
            "{items} items: {} sets today, {} changes in two years",
            sets.steps[0].sets,
            sets.steps.len()
        );
        let name = format!("count complete sets over two years, {items} items");
        criterion.bench_function(&name, |bench| bench.iter(|| black_box(count(until))));
    }
}

/// The same asked of the deed, with a database of 5,000 items; each time for another depth, so that nothing is kept.
pub fn asked(criterion: &mut Criterion, runtime: &tokio::runtime::Runtime) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("fleet.db");
    let (desk, officer) = runtime.block_on(async {
        let database = Database::open(path.to_str().unwrap()).await.unwrap();
        database.migrate().await.unwrap();
        let officer = Fleet::new(5_000).keep(&database).await;
        (crate::desk_of(&database), officer)
    });
    let mut centimetres = 1_000;
    criterion.bench_function(
        "ask for complete sets, 5,000 items in the database",
        |bench| {
            bench.iter(|| {
                centimetres += 1;
                let draft = ReadinessDraft {
                    rig: "four-to-one-pull-down".into(),
                    rulebook: "european".into(),
                    depth: format!("{centimetres} cm"),
                    load: "1 person".into(),
                    ..ReadinessDraft::default()
                };
                let ready = runtime.block_on(kit::readiness(&desk, &officer, &draft));
                black_box(ready.unwrap())
            });
        },
    );
}
