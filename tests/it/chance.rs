//! A team that does anything at all: random changes, from a seed that is printed when a test fails.

use rand::{RngExt, SeedableRng, rngs::StdRng, seq::IndexedRandom};
use ropeloft::{
    domain::{
        Actor, Attachment, Change, Event, EventKind, ExaminationKind, ImportTaken, Item, ItemId,
        ItemStep, ItemStepped, Job, JobEnd, JobState, Kind, KitLine, KitLineRemoved, Model, Notice,
        NoticeClosing, OwnRig, Person, RetiredFor, RigOffer, Role, RulebookOffer, Store, TeamId,
        Verdict, VerdictKept, Zone, rulebook::TeamRulebook,
    },
    store::{StoreError, Tx, WriteTx},
};
use time::Duration;

use crate::{
    stock, store_rig,
    world::{START, World, person},
};

/// What the team has made so far, as it was when it was made.
pub struct Chance {
    rng: StdRng,
    made: u32,
    stores: Vec<Store>,
    models: Vec<Model>,
    items: Vec<Item>,
    jobs: Vec<Job>,
    lines: Vec<KitLine>,
    notices: Vec<Notice>,
    attached: Vec<Attachment>,
    people: Vec<Person>,
    rulebooks: Vec<TeamRulebook>,
    rigs: Vec<OwnRig>,
}

impl Chance {
    pub fn new(seed: u64) -> Self {
        println!("the seed of this run is {seed}");
        Self {
            rng: StdRng::seed_from_u64(seed),
            made: 0,
            stores: Vec::new(),
            models: Vec::new(),
            items: Vec::new(),
            jobs: Vec::new(),
            lines: Vec::new(),
            notices: Vec::new(),
            attached: Vec::new(),
            people: Vec::new(),
            rulebooks: Vec::new(),
            rigs: Vec::new(),
        }
    }

    /// Records so many random changes; those that do not go are passed over. Gives how many did not.
    pub async fn run(&mut self, world: &World, actor: &Actor, changes: u32) -> u32 {
        let (mut recorded, mut refused) = (0, 0);
        while recorded < changes {
            let at = START + Duration::minutes(i64::from(recorded));
            let mut tx = world.database.write(actor.team).await.unwrap();
            let mut in_this = 0;
            let whole = loop {
                let Some(change) = self.change(&mut tx, world).await else {
                    continue;
                };
                match tx.record(actor, at, change).await {
                    Ok(_) => in_this += 1,
                    Err(
                        StoreError::Taken
                        | StoreError::Stale { .. }
                        | StoreError::Booked { .. }
                        | StoreError::Unlinked
                        | StoreError::Refused(_),
                    ) => break false,
                    Err(other) => panic!("{other:?}"),
                }
                if self.rng.random_bool(0.7) {
                    break self.rng.random_bool(0.95);
                }
            };
            if whole {
                tx.commit().await.unwrap();
                recorded += in_this;
            } else {
                refused += 1;
            }
        }
        refused
    }

    async fn change(&mut self, tx: &mut WriteTx, world: &World) -> Option<Change> {
        self.made += 1;
        Some(match self.rng.random_range(0..26) {
            0 => self.store(),
            1 => self.model(),
            2..=5 => self.item()?,
            6 | 7 => self.about_an_item(tx).await?,
            8 | 9 => self.examination(world)?,
            10 => self.event(world)?,
            22 => self.cut()?,
            23 => self.usage(tx, world).await?,
            24 => self.attachment(world)?,
            25 => self.withdrawal(world)?,
            11 => self.notice()?,
            12 | 13 => self.job(tx).await?,
            14..=16 => self.line()?,
            17 => self.line_off()?,
            18 => self.person(),
            19 => self.rig(),
            20 => self.rulebook(),
            _ => self.team(tx, world.team).await?,
        })
    }

    fn store(&mut self) -> Change {
        let store = stock::store(&format!("Bay {}", self.rng.random_range(0..200)));
        self.stores.push(store.clone());
        Change::StoreAdded(store)
    }

    fn model(&mut self) -> Change {
        let kind = *Kind::ALL.choose(&mut self.rng).unwrap();
        match self.models.choose(&mut self.rng).cloned() {
            Some(model) if self.rng.random_bool(0.3) => Change::ModelRevised(Model {
                revision: 2,
                kind,
                ..model
            }),
            _ => {
                let model = stock::model(kind, "Fjordwerk", &format!("Type {}", self.made));
                self.models.push(model.clone());
                Change::ModelAdded(model)
            }
        }
    }

    fn item(&mut self) -> Option<Change> {
        let mark = format!("RL-{}", self.rng.random_range(0..900));
        let item = stock::item(
            &mark,
            self.models.choose(&mut self.rng)?,
            self.stores.choose(&mut self.rng)?,
        );
        self.items.push(item.clone());
        Some(Change::ItemAdded(item))
    }

    async fn about_an_item(&mut self, tx: &mut Tx) -> Option<Change> {
        let id = self.items.choose(&mut self.rng)?.id;
        if self.rng.random_bool(0.5) {
            let step = *ItemStep::ALL.choose(&mut self.rng)?;
            let (reason, on) = ("as it came".to_owned(), START.date());
            return Some(Change::ItemStepped(ItemStepped {
                item: id,
                step,
                reason,
                on,
                retired_for: (step == ItemStep::Retire).then_some(RetiredFor::Worn),
            }));
        }
        let item = tx.item(id).await.unwrap()?;
        Some(Change::ItemRevised(Item {
            revision: item.revision + u32::from(self.rng.random_bool(0.9)),
            serial: self
                .rng
                .random_bool(0.5)
                .then(|| format!("N {}", self.made)),
            store: self.stores.choose(&mut self.rng)?.id,
            ..item
        }))
    }

    fn examination(&mut self, world: &World) -> Option<Change> {
        let on = START.date() - Duration::days(self.rng.random_range(0..500));
        let mut examination = stock::examination(world, self.items.choose(&mut self.rng)?, on);
        examination.kind = *ExaminationKind::ALL.choose(&mut self.rng)?;
        if self.rng.random_bool(0.2) {
            examination.verdict = Verdict::Quarantine;
            examination.next_due_on = None;
        }
        Some(Change::ExaminationRecorded(examination))
    }

    fn event(&mut self, world: &World) -> Option<Change> {
        let event = stock::event(world, self.items.choose(&mut self.rng)?, START.date());
        let model = self.models.choose(&mut self.rng)?;
        let kind = *EventKind::ALL.choose(&mut self.rng)?;
        let event = if self.rng.random_bool(0.5) {
            Event { kind, ..event }.following(model)
        } else {
            event
        };
        Some(Change::EventReported(event))
    }

    async fn usage(&mut self, tx: &mut Tx, world: &World) -> Option<Change> {
        let item = self.items.choose(&mut self.rng)?;
        let mut usage = stock::usage(world, item, START.date());
        // A job may have gone with the transaction in which it was planned.
        if let Some(job) = self.jobs.choose(&mut self.rng) {
            usage.job = tx.job(job.id).await.unwrap().map(|job| job.id);
        }
        Some(Change::UsageLogged(usage))
    }

    /// Whatever its kind: the record of an item does not say.
    fn cut(&mut self) -> Option<Change> {
        let rope = self.items.choose(&mut self.rng)?.clone();
        let pieces: Vec<Item> = (0..2)
            .map(|_| Item {
                id: ItemId::new(),
                mark: format!("RL-{}", self.rng.random_range(0..900)),
                ..rope.clone()
            })
            .collect();
        let cut = stock::cut(&rope, &pieces);
        self.items.extend(pieces);
        Some(Change::RopeCut(cut))
    }

    fn notice(&mut self) -> Option<Change> {
        if self.rng.random_bool(0.4) {
            let notice = stock::notice("Fjordwerk", START.date());
            self.notices.push(notice.clone());
            return Some(Change::NoticeOpened(notice));
        }
        Some(Change::NoticeClosed(NoticeClosing {
            notice: self.notices.choose(&mut self.rng)?.id,
            item: self.items.choose(&mut self.rng)?.id,
            result: "sound".into(),
        }))
    }

    async fn job(&mut self, tx: &mut Tx) -> Option<Change> {
        let fresh = stock::job("A job", self.rng.random_range(0..40));
        match self.rng.random_range(0..4) {
            0 | 1 => {
                self.jobs.push(fresh.clone());
                Some(Change::JobPlanned(fresh))
            }
            2 => {
                let job = tx.job(self.jobs.choose(&mut self.rng)?.id).await.unwrap()?;
                let (id, revision, state) = (job.id, job.revision + 1, job.state);
                Some(Change::JobRevised(Job {
                    id,
                    revision,
                    state,
                    ..fresh
                }))
            }
            _ => Some(Change::JobEnded(JobEnd {
                job: self.jobs.choose(&mut self.rng)?.id,
                state: JobState::Closed,
                reason: "done".into(),
            })),
        }
    }

    fn line(&mut self) -> Option<Change> {
        let position = self.rng.random_bool(0.5).then_some("top");
        let line = stock::line(
            self.jobs.choose(&mut self.rng)?,
            self.items.choose(&mut self.rng)?,
            position,
        );
        self.lines.push(line.clone());
        Some(Change::KitLineAdded(line))
    }

    fn line_off(&mut self) -> Option<Change> {
        let line = self.lines.choose(&mut self.rng)?;
        Some(Change::KitLineRemoved(KitLineRemoved {
            line: line.id,
            job: line.job,
            item: line.item,
            reason: "not needed".into(),
        }))
    }

    fn person(&mut self) -> Change {
        match self.people.choose(&mut self.rng).cloned() {
            Some(person) if self.rng.random_bool(0.5) => {
                let active = self.rng.random_bool(0.5);
                Change::PersonRevised(Person { active, ..person })
            }
            _ => {
                let person = person(Role::Crew, &format!("place {}", self.made));
                self.people.push(person.clone());
                Change::PersonAdded(person)
            }
        }
    }

    fn rig(&mut self) -> Change {
        match self.rigs.choose(&mut self.rng).cloned() {
            Some(rig) if self.rng.random_bool(0.4) => {
                Change::RigRevised(store_rig::next(&rig, "Other"))
            }
            Some(rig) if self.rng.random_bool(0.3) => {
                let offer = RigOffer {
                    rig: rig.id,
                    title: rig.title,
                    reason: "as the wind blows".into(),
                };
                if self.rng.random_bool(0.5) {
                    Change::RigWithdrawn(offer)
                } else {
                    Change::RigTakenUp(offer)
                }
            }
            _ => {
                let key = format!("rig-{}", self.rng.random_range(0..30));
                let rig = store_rig::own_rig(&key, "A rig");
                self.rigs.push(rig.clone());
                Change::RigAdded(rig)
            }
        }
    }

    fn attachment(&mut self, world: &World) -> Option<Change> {
        let item = self.items.choose(&mut self.rng).map(|item| item.id);
        let model = self.models.choose(&mut self.rng).map(|model| model.id);
        let one = stock::attachment(
            world,
            item.filter(|_| !self.made.is_multiple_of(3)),
            model?,
            self.made,
        );
        self.attached.push(one.clone());
        Some(Change::FileAttached(one))
    }

    /// Now and then twice, which does not go.
    fn withdrawal(&mut self, world: &World) -> Option<Change> {
        let one = self.attached.choose(&mut self.rng)?;
        Some(Change::FileWithdrawn(stock::withdrawal(world, one)))
    }

    fn rulebook(&mut self) -> Change {
        match self.rulebooks.choose(&mut self.rng).cloned() {
            Some(own) if self.rng.random_bool(0.2) => {
                let offer = RulebookOffer {
                    rulebook: own.id,
                    title: own.book.title().into(),
                    reason: "as the wind blows".into(),
                };
                if self.rng.random_bool(0.5) {
                    Change::RulebookWithdrawn(offer)
                } else {
                    Change::RulebookTakenUp(offer)
                }
            }
            Some(own) if self.rng.random_bool(0.6) => {
                let next = TeamRulebook {
                    revision: own.revision + 1,
                    ..own.clone()
                };
                // Now and then two versions of one number.
                if self.rng.random_bool(0.8) {
                    self.rulebooks.retain(|other| other.id != own.id);
                    self.rulebooks.push(next.clone());
                }
                Change::RulebookRevised(next)
            }
            _ => {
                let own = stock::rulebook(&format!("own-{}", self.rng.random_range(0..30)));
                self.rulebooks.push(own.clone());
                Change::RulebookAdded(own)
            }
        }
    }

    async fn team(&mut self, tx: &mut Tx, id: TeamId) -> Option<Change> {
        assert_eq!(tx.team(), id);
        let job = self.jobs.choose(&mut self.rng).map(|job| job.id);
        Some(match self.rng.random_range(0..3) {
            0 => {
                let (mut team, _) = tx.this_team().await.unwrap()?;
                team.name = format!("Team {}", self.made);
                let zones = ["UTC", "Pacific/Auckland", "America/Denver"];
                team.premises = format!("Depot {}", self.made);
                team.time_zone = Zone::read(zones[self.made as usize % zones.len()]).unwrap();
                Change::TeamRevised(team)
            }
            1 => Change::ImportTaken(ImportTaken {
                file_name: "gear.csv".into(),
                sha256: String::new(),
                items: self.made,
            }),
            // A job that was planned in vain is not there.
            _ => Change::VerdictKept(VerdictKept {
                job: tx.job(job?).await.unwrap()?.id,
                version: "1".into(),
                passes: self.rng.random_bool(0.5),
                sentence: "It holds.".into(),
                answer: serde_json::json!({"factor": self.rng.random_range(0.0..20.0)}),
            }),
        })
    }
}
