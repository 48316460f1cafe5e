//! A team whose record came late: two years of random changes, many of them recorded long after they were done.

mod crew;

use rand::{RngExt, SeedableRng, rngs::StdRng, seq::IndexedRandom};
use ropeloft::{
    domain::{
        Change, Entry, ExaminationKind, Issue, Item, ItemId, ItemMoved, ItemStep, ItemStepped, Job,
        Kind, KitLine, Made, Model, RetiredFor, ReturnAsked, Store, Verdict,
    },
    store::{Database, Direction, EntryFilter, StoreError},
};
use tempfile::TempDir;
use time::{Date, Duration, OffsetDateTime};

use crate::{
    stock,
    world::{START, World},
};

/// How many days it goes back.
pub const DAYS: i64 = 700;

/// A team in the making.
pub struct Late<'a> {
    world: &'a World,
    rng: StdRng,
    at: OffsetDateTime,
    stores: Vec<Store>,
    models: Vec<Model>,
    items: Vec<Item>,
    jobs: Vec<Job>,
    lines: Vec<KitLine>,
    issues: Vec<Issue>,
    made: u32,
}

/// The seed of the random pasts: the same in every run, so that a change that is tested fails by itself alone; another one
/// with `TEST_SEED`.
pub fn seed() -> u64 {
    let given = std::env::var("TEST_SEED").ok();
    given.map_or(11, |text| {
        text.parse().expect("TEST_SEED is a whole number")
    })
}

/// Records so many random changes over two years, those that do not go left out, and gives every entry of the ledger.
pub async fn late(world: &World, seed: u64, changes: u32) -> Vec<Entry<Change>> {
    println!("the seed of this run is {seed}");
    let mut late = Late {
        world,
        rng: StdRng::seed_from_u64(seed),
        at: START - Duration::days(DAYS),
        stores: ["Bay", "Van", "Bag"].map(stock::store).into(),
        models: Vec::new(),
        items: Vec::new(),
        jobs: Vec::new(),
        lines: Vec::new(),
        issues: Vec::new(),
        made: 0,
    };
    let kinds = [
        (Kind::Rope, 12),
        (Kind::Pulley, 12),
        (Kind::Harness, 6),
        (Kind::OtherEquipment, 12),
    ];
    late.models = kinds
        .map(|(kind, months)| Model {
            examine_every_months: Some(months),
            ..stock::model(kind, "Fjordwerk", &format!("Type {}", kind.key()))
        })
        .into();
    let begun: Vec<Change> = late
        .stores
        .iter()
        .cloned()
        .map(Change::StoreAdded)
        .collect();
    let models: Vec<Change> = late
        .models
        .iter()
        .cloned()
        .map(Change::ModelAdded)
        .collect();
    for change in begun.into_iter().chain(models) {
        late.record(change).await;
    }
    let step = Duration::minutes(DAYS * 24 * 60 / i64::from(changes.max(1)));
    for _ in 0..changes {
        late.at += step;
        if let Some(change) = late.change().await {
            late.record(change).await;
        }
    }
    late.goes_out().await;
    entries(&world.database, world).await
}

/// Every entry of the team's ledger.
pub async fn entries(database: &Database, world: &World) -> Vec<Entry<Change>> {
    let mut tx = database.read(world.team).await.unwrap();
    let filter = EntryFilter::default();
    let span = tx.entry_span(&filter).await.unwrap();
    let kept = tx
        .entries(&filter, span, Direction::Up, 100_000)
        .await
        .unwrap();
    kept.into_iter().map(|kept| kept.entry).collect()
}

/// Whether an entry was there before everything else: the team, its people, its places and models.
pub fn is_ground(entry: &Entry<Change>) -> bool {
    matches!(
        entry.change,
        Change::TeamFounded(_)
            | Change::PersonAdded(_)
            | Change::StoreAdded(_)
            | Change::ModelAdded(_)
    )
}

/// A new database of the team in which only these of its entries were ever recorded, at their moments; those that do not
/// go on what is there are left out. A record that was changed there is changed as it stands there.
pub async fn replayed(
    world: &World,
    entries: impl IntoIterator<Item = Entry<Change>>,
) -> (TempDir, Database) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("replayed.db");
    let database = Database::open(file.to_str().unwrap()).await.unwrap();
    database.migrate().await.unwrap();
    let mut entries = entries.into_iter();
    let (Some(first), Some(second)) = (entries.next(), entries.next()) else {
        panic!("a team is founded by two entries")
    };
    let (Change::TeamFounded(team), Change::PersonAdded(person)) = (first.change, second.change)
    else {
        panic!("a team is founded by two entries")
    };
    let tx = database
        .found_team(&team, &person, first.recorded_at)
        .await
        .unwrap();
    tx.commit().await.unwrap();
    for entry in entries {
        let mut tx = database.write(world.team).await.unwrap();
        let change = match entry.change {
            Change::ItemRevised(to) => {
                let there = tx.item(to.id).await.unwrap();
                let Some(there) = there else { continue };
                Change::ItemRevised(corrected(there, &to))
            }
            other => other,
        };
        match tx.record(&world.admin, entry.recorded_at, change).await {
            Ok(_) => tx.commit().await.unwrap(),
            Err(error) => passable(&error),
        }
    }
    (folder, database)
}

/// The item with what was written down of it later.
fn corrected(there: Item, to: &Item) -> Item {
    let to = to.clone();
    Item {
        revision: there.revision + 1,
        state: there.state,
        state_reason: there.state_reason,
        state_since: there.state_since,
        next_due_on: there.next_due_on,
        last_passed_on: there.last_passed_on,
        usage: there.usage,
        event_hold: there.event_hold,
        cut_from: there.cut_from,
        cut_into: there.cut_into,
        retired: there.retired,
        return_asked: there.return_asked,
        look_asked: there.look_asked.filter(|_| to.look_asked.is_some()),
        ..to
    }
}

/// A change that does not go on what is there is one of these.
fn passable(error: &StoreError) {
    let passed = matches!(
        error,
        StoreError::Taken
            | StoreError::Stale { .. }
            | StoreError::Booked { .. }
            | StoreError::Unlinked
            | StoreError::Refused(_)
    );
    assert!(passed, "{error:?}");
}

impl Late<'_> {
    async fn record(&mut self, change: Change) {
        let mut tx = self.world.database.write(self.world.team).await.unwrap();
        match tx.record(&self.world.admin, self.at, change.clone()).await {
            Ok(_) => tx.commit().await.unwrap(),
            Err(error) => return passable(&error),
        }
        match change {
            Change::ItemAdded(item) => self.items.push(item),
            Change::RopeCut(cut) => {
                let tx = self.world.database.read(self.world.team);
                let mut tx = tx.await.unwrap();
                for piece in cut.pieces {
                    self.items.extend(tx.item(piece.id).await.unwrap());
                }
            }
            Change::JobPlanned(job) => self.jobs.push(job),
            Change::KitLineAdded(line) => self.lines.push(line),
            Change::KitIssued(issue) => self.issues.push(*issue),
            _ => (),
        }
    }

    /// A day up to the one on which something is recorded; every third time that day itself.
    fn day(&mut self) -> Date {
        let back = match self.rng.random_range(0..3) {
            0 => 0,
            1 => self.rng.random_range(0..10),
            _ => self.rng.random_range(0..120),
        };
        self.at.date() - Duration::days(back)
    }

    async fn there(&self, id: ItemId) -> Option<Item> {
        let mut tx = self.world.database.read(self.world.team).await.unwrap();
        tx.item(id).await.unwrap()
    }

    async fn change(&mut self) -> Option<Change> {
        self.made += 1;
        match self.rng.random_range(0..40) {
            0..=4 => Some(self.item()),
            5..=13 => self.examination(),
            14 | 15 => self.step(),
            16 | 17 => self.event(),
            18..=20 => self.usage(),
            21 => self.moved().await,
            22..=24 => self.revised().await,
            25 => self.cut(),
            26 => self.asked(),
            27 | 28 => Some(self.planned()),
            29 => self.replanned().await,
            30 => self.ended(),
            31..=33 => self.put_on(),
            34 => self.taken_off(),
            35 => self.refused(),
            36 => self.issued(),
            37 => self.counted(),
            38 => self.taken_back(),
            _ => Some(self.team()),
        }
    }

    fn item(&mut self) -> Change {
        let model = self.models.choose(&mut self.rng).unwrap().clone();
        let store = self.stores.choose(&mut self.rng).unwrap().clone();
        let mut item = stock::item(&format!("M-{:03}", self.made), &model, &store);
        item.state_since = self.at;
        let day = self.day();
        item.made = self.rng.random_bool(0.6).then_some(Made::Day(day));
        item.bought_on = self.rng.random_bool(0.3).then_some(day);
        item.lot = self.rng.random_bool(0.5).then(|| "L 7".to_owned());
        if self.rng.random_bool(0.3) {
            item.serial = None;
        }
        Change::ItemAdded(item)
    }

    fn examination(&mut self) -> Option<Change> {
        let item = self.items.choose(&mut self.rng)?.clone();
        let on = self.day();
        let mut look = stock::examination(self.world, &item, on);
        look.kind = *ExaminationKind::ALL.choose(&mut self.rng)?;
        let verdicts = [
            Verdict::Fit,
            Verdict::Fit,
            Verdict::Fit,
            Verdict::Fit,
            Verdict::Quarantine,
            Verdict::Retire,
        ];
        look.verdict = *verdicts.choose(&mut self.rng)?;
        look.markings_readable = *[None, Some(true), Some(false)].choose(&mut self.rng)?;
        look.return_waits = self.rng.random_bool(0.1);
        look.examiner = ["Ada Brook", "Bo Fell", "Cy Tarn"]
            .choose(&mut self.rng)?
            .to_string();
        let thorough = look.verdict == Verdict::Fit && look.kind.is_thorough();
        let months = self.rng.random_range(60..365);
        look.next_due_on = thorough.then(|| on + Duration::days(months));
        Some(Change::ExaminationRecorded(look))
    }

    fn step(&mut self) -> Option<Change> {
        let step = *ItemStep::ALL.choose(&mut self.rng)?;
        // What is retired does nothing any more.
        let step = if step == ItemStep::Retire && self.rng.random_bool(0.7) {
            ItemStep::Quarantine
        } else {
            step
        };
        Some(Change::ItemStepped(ItemStepped {
            item: self.items.choose(&mut self.rng)?.id,
            step,
            reason: format!("reason {}", self.made),
            on: self.day(),
            retired_for: (step == ItemStep::Retire).then_some(RetiredFor::Worn),
        }))
    }

    fn event(&mut self) -> Option<Change> {
        let item = self.items.choose(&mut self.rng)?.clone();
        let on = self.day();
        let event = stock::event(self.world, &item, on);
        let model = self.models.iter().find(|model| model.id == item.model)?;
        let follows = self.rng.random_bool(0.5);
        let event = if follows {
            event.following(model)
        } else {
            event
        };
        Some(Change::EventReported(event))
    }

    fn usage(&mut self) -> Option<Change> {
        let item = self.items.choose(&mut self.rng)?.clone();
        let on = self.day();
        let mut usage = stock::usage(self.world, &item, on);
        usage.job = self.jobs.choose(&mut self.rng).map(|job| job.id);
        Some(Change::UsageLogged(usage))
    }

    async fn moved(&mut self) -> Option<Change> {
        let id = self.items.choose(&mut self.rng)?.id;
        let item = self.there(id).await?;
        let to = self.stores.choose(&mut self.rng)?.id;
        (item.store != to).then_some(Change::ItemMoved(ItemMoved {
            item: id,
            from: item.store,
            to,
        }))
    }

    async fn revised(&mut self) -> Option<Change> {
        let id = self.items.choose(&mut self.rng)?.id;
        let mut item = self.there(id).await?;
        item.revision += 1;
        let day = self.day();
        match self.rng.random_range(0..6) {
            0 => item.mark = format!("R-{:03}", self.made),
            1 => item.store = self.stores.choose(&mut self.rng)?.id,
            2 => item.lot = Some(format!("L {}", self.made)),
            3 => item.bought_on = Some(day),
            4 => item.arduous = item.arduous.is_none().then(|| "salt".to_owned()),
            _ => item.note = format!("note {}", self.made),
        }
        Some(Change::ItemRevised(item))
    }

    fn cut(&mut self) -> Option<Change> {
        let rope = self.items.choose(&mut self.rng)?.clone();
        let pieces = [0, 1].map(|at| Item {
            id: ItemId::new(),
            mark: format!("C-{:03}-{at}", self.made),
            ..rope.clone()
        });
        let mut cut = stock::cut(&rope, &pieces);
        cut.on = self.day();
        Some(Change::RopeCut(cut))
    }

    fn asked(&mut self) -> Option<Change> {
        Some(Change::ReturnAsked(ReturnAsked {
            item: self.items.choose(&mut self.rng)?.id,
            by: self.world.officer.person,
            reason: format!("sound {}", self.made),
            on: self.day(),
            qualification: None,
        }))
    }
}
