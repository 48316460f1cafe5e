//! A large register, made the only way there is: change by change through the ledger.

use std::path::Path;

use ropeloft::{
    domain::{
        Actor, Change, Examination, ExaminationId, ExaminationKind, ForReport, Item, ItemDraft,
        ItemId, Job, JobDraft, JobId, Kind, KitLine, KitLineId, Model, ModelDraft, ModelId, Person,
        PersonId, RatingDraft, Role, Store, StoreId, Team, TeamId, Verdict, Zone,
    },
    store::Database,
};
use time::{Date, Duration, OffsetDateTime, macros::datetime};

/// When everything in the register was added.
pub const AT: OffsetDateTime = datetime!(2026-03-01 09:30 UTC);
/// How many changes one transaction records.
const TOGETHER: usize = 2000;
/// How many lines the kit list has.
pub const LINES: usize = 60;

/// A register with so many connectors, each examined once, and a job with a kit list of 60 of them.
pub struct Large {
    /// Where it is.
    pub database: Database,
    /// Its officer.
    pub officer: Actor,
    /// One of its items, in the middle.
    pub item: ItemId,
    /// The job.
    pub job: JobId,
}

impl Large {
    /// Makes the register in `folder`.
    pub async fn new(folder: &Path, items: usize) -> Self {
        let database = Database::open(folder.join(format!("{items}.db")).to_str().unwrap())
            .await
            .unwrap();
        let officer = founded(&database).await;
        let (model, store) = (
            model(),
            Store {
                id: StoreId::new(),
                revision: 1,
                name: "Bay".into(),
                note: String::new(),
            },
        );
        let (job, mut middle) = (job(), ItemId::new());
        let mut changes = vec![
            Change::ModelAdded(model.clone()),
            Change::StoreAdded(store.clone()),
            Change::JobPlanned(job.clone()),
        ];
        for at in 0..items {
            let item = item(at, &model, &store);
            if at == items / 2 {
                middle = item.id;
            }
            changes.push(Change::ItemAdded(item.clone()));
            changes.push(Change::ExaminationRecorded(examination(
                &officer,
                item.id,
                AT.date() - Duration::days(30),
            )));
            if at < LINES {
                let line = KitLine {
                    id: KitLineId::new(),
                    job: job.id,
                    item: item.id,
                    position: None,
                };
                changes.push(Change::KitLineAdded(line));
            }
            if changes.len() >= TOGETHER {
                record(&database, &officer, std::mem::take(&mut changes)).await;
            }
        }
        record(&database, &officer, changes).await;
        Self {
            database,
            officer,
            item: middle,
            job: job.id,
        }
    }
}

/// Founds the team in a new database and gives its officer.
pub async fn founded(database: &Database) -> Actor {
    let team = Team::new(TeamId::new(), "Bench", "european");
    let person = Person {
        id: PersonId::new(),
        name: "Officer".into(),
        sign_in: "officer".into(),
        role: Role::Officer,
        active: true,
    };
    let officer = Actor {
        team: team.id,
        person: person.id,
        role: person.role,
    };
    database.migrate().await.unwrap();
    database
        .found_team(&team, &person, AT)
        .await
        .unwrap()
        .commit()
        .await
        .unwrap();
    officer
}

pub async fn record(database: &Database, officer: &Actor, changes: Vec<Change>) {
    let mut tx = database.write(officer.team).await.unwrap();
    for change in changes {
        tx.record(officer, AT, change).await.unwrap();
    }
    tx.commit().await.unwrap();
}

fn model() -> Model {
    let draft = ModelDraft {
        kind: Kind::Connector.key().into(),
        maker: "Fjordwerk".into(),
        name: "Bow 25".into(),
        life_support: "yes".into(),
        ratings: vec![RatingDraft {
            mode: "major-axis".into(),
            value: "25 kN".into(),
            kind: "breaking".into(),
            source: "marking".into(),
            ..RatingDraft::default()
        }],
        life_by_condition: "yes".into(),
        ..ModelDraft::default()
    };
    draft.check(ModelId::new(), 1).unwrap()
}

fn item(at: usize, model: &Model, store: &Store) -> Item {
    let draft = ItemDraft {
        mark: format!("C-{at:07}"),
        serial: format!("{:08x}", at * 7919),
        made: "2022".into(),
        markings_readable: "yes".into(),
        ..ItemDraft::default()
    };
    let details = draft.check(Some(model), Some(store.id), AT.date());
    details.unwrap().into_item(ItemId::new(), AT)
}

/// An examination that ends in fit.
pub fn examination(officer: &Actor, item: ItemId, on: Date) -> Examination {
    Examination {
        id: ExaminationId::new(),
        item,
        kind: ExaminationKind::Intake,
        on,
        recorded_by: officer.person,
        examiner: "Officer".into(),
        place: String::new(),
        findings: String::new(),
        verdict: Verdict::Fit,
        next_due_on: Some(on + Duration::days(180)),
        markings_readable: None,
        qualification: None,
        return_waits: false,
        outdone_by: None,
        checklist: None,
        answers: Vec::new(),
        length_now: None,
        report: ForReport::default(),
    }
}

/// A job of one person down a well, without a kit.
pub fn job() -> Job {
    let draft = JobDraft {
        title: "Well".into(),
        place: "South works".into(),
        starts_at: "2026-03-02T08:00".into(),
        ends_at: "2026-03-02T16:00".into(),
        depth: "15 m".into(),
        load: "1 person".into(),
        rulebook: "european".into(),
        rig: "four-to-one-pull-down".into(),
        ..JobDraft::default()
    };
    draft.check(JobId::new(), 1, &Zone::UTC).unwrap()
}
