//! A job with a kit that is fit in every way, for tests that change one thing at a time.

use std::collections::BTreeMap;

use ropeloft::domain::fitness::{Circumstances, Elsewhere, KitItem, Plan, fitness};
use ropeloft::domain::kit_strength::{Extent, KitVerdict, kit_verdict};
use ropeloft::domain::rulebook::{Rulebook, rulebook};
use ropeloft::domain::{
    ApprovalDraft, Item, ItemDraft, ItemId, Job, JobDraft, JobId, Kind, Model, ModelDraft, ModelId,
    Notice, NoticeClosing, RatingDraft, Refusal, RefusalCode, StoreId, Zone,
};
use ropeloft::rigging::{Rig, shipped_rig};
use time::Date;
use time::macros::{date, datetime};

/// The day of asking; the job is ten days later and lasts a day and a half.
pub const TODAY: Date = date!(2026 - 03 - 01);
/// The last day of the job.
pub const LAST_DAY: Date = date!(2026 - 03 - 12);

/// An item with its model and its place.
#[derive(Clone, Debug)]
pub struct Thing {
    pub item: Item,
    pub model: Model,
    pub position: Option<String>,
}

impl Thing {
    /// An item of a kind, with approvals as `standard|class|least|most|rope kinds|rated load|strands|
    /// persons|set` and ratings as `mode|value|kind`; fit by its record.
    pub fn new(kind: Kind, mark: &str, approvals: &[&str], ratings: &[&str]) -> Self {
        let draft = ModelDraft {
            kind: kind.key().into(),
            maker: "Fjordwerk".into(),
            name: format!("Model {mark}"),
            material: made_of(kind).into(),
            life_support: "yes".into(),
            approvals: approvals.iter().map(|text| approval(text)).collect(),
            ratings: ratings.iter().map(|text| sure(text)).collect(),
            life_years_from_made: "10".into(),
            ..ModelDraft::default()
        };
        let model = draft.check(ModelId::new(), 1).unwrap();
        let draft = ItemDraft {
            mark: mark.into(),
            serial: format!("S-{mark}"),
            lot: "L1".into(),
            made: "2022-05".into(),
            markings_readable: "yes".into(),
            ..ItemDraft::default()
        };
        let details = draft.check(Some(&model), Some(StoreId::new()), TODAY);
        let mut item = details
            .unwrap()
            .into_item(ItemId::new(), datetime!(2022-06-01 8:00 UTC));
        item.last_passed_on = Some(date!(2025 - 09 - 01));
        item.next_due_on = Some(date!(2026 - 09 - 01));
        Self {
            item,
            model,
            position: None,
        }
    }

    /// Puts it at a position.
    pub fn at(mut self, position: &str) -> Self {
        self.position = Some(position.into());
        self
    }

    /// Writes attributes down, each on the model or the item, wherever it belongs.
    pub fn with(mut self, attributes: &[(&str, &str)]) -> Self {
        for (key, text) in attributes {
            let attribute = self.model.kind.attribute(key).unwrap();
            let value = attribute.read(text).unwrap();
            let on_model = attribute.on == ropeloft::domain::Where::Model;
            let attributes = if on_model {
                &mut self.model.attributes
            } else {
                &mut self.item.attributes
            };
            attributes.0.insert((*key).into(), value);
        }
        self
    }

    /// Puts other approvals in place of its own.
    pub fn approved(mut self, approvals: &[&str]) -> Self {
        let drafts = approvals.iter().map(|text| approval(text));
        self.model.approvals = drafts.map(|draft| draft.check().unwrap()).collect();
        self
    }

    /// Puts other ratings in place of its own.
    pub fn rated(mut self, ratings: &[&str]) -> Self {
        let kind = self.model.kind;
        let drafts = ratings.iter().map(|text| sure(text));
        self.model.ratings = drafts
            .map(|draft| draft.check(kind, &kind.into()).unwrap())
            .collect();
        self
    }

    pub fn kit_item(&self) -> KitItem<'_> {
        KitItem {
            item: &self.item,
            model: &self.model,
            position: self.position.as_deref(),
        }
    }
}

/// What is made of several materials is of metal here, but for what is sewn.
fn made_of(kind: Kind) -> &'static str {
    match kind {
        Kind::BackUpDevice | Kind::AnchorDevice | Kind::Litter => "metal",
        _ => kind.material().key(),
    }
}

fn approval(text: &str) -> ApprovalDraft {
    let mut parts = text.split('|').map(str::to_owned);
    let mut next = || parts.next().unwrap_or_default();
    ApprovalDraft {
        standard: next(),
        class: next(),
        rope_least: next(),
        rope_most: next(),
        rope_kinds: next(),
        rated_load: next(),
        least_strands: next(),
        most_persons: next(),
        set_with: next(),
        ..ApprovalDraft::default()
    }
}

/// A rating that is meant as it stands: a case may be stronger than any gear.
fn sure(text: &str) -> RatingDraft {
    RatingDraft {
        confirmed: "yes".to_owned(),
        ..rating(text)
    }
}

fn rating(text: &str) -> RatingDraft {
    let mut parts = text.split('|').map(str::to_owned);
    let mut next = || parts.next().unwrap_or_default();
    RatingDraft {
        mode: next(),
        value: next(),
        kind: next(),
        source: "marking".into(),
        ..RatingDraft::default()
    }
}

/// An 11 mm low-stretch rope of 80 m.
pub fn rope() -> Thing {
    let rope = Thing::new(
        Kind::Rope,
        "R-1",
        &["EN 1891|A"],
        &["straight|30 kN|breaking"],
    );
    rope.with(&[
        ("diameter", "11 mm"),
        ("rope-kind", "low-stretch"),
        ("fibre", "polyamide"),
        ("length", "80 m"),
    ])
    .at("rope")
}

/// A double pulley with becket and cam.
pub fn head() -> Thing {
    let head = Thing::new(
        Kind::Pulley,
        "P-1",
        &[
            "EN 12278||8 mm|13 mm",
            "EN 567||8 mm|13 mm|low-stretch, dynamic",
        ],
        &["axle|22 kN|breaking", "becket|12 kN|breaking"],
    );
    let head = head.with(&[
        ("capture", "yes"),
        ("one-way-sheave", "no"),
        ("becket", "yes"),
    ]);
    turning(head).at("head")
}

/// A double pulley.
pub fn foot() -> Thing {
    let foot = Thing::new(
        Kind::Pulley,
        "P-2",
        &["EN 12278||8 mm|13 mm"],
        &["axle|22 kN|breaking"],
    );
    turning(foot).at("foot")
}

/// Two sheaves on sealed ball bearings; 0.92 is common practice, no source.
fn turning(pulley: Thing) -> Thing {
    pulley.with(&[
        ("sheaves", "2"),
        ("efficiency", "0.92"),
        ("efficiency-low", "0.92"),
        ("efficiency-high", "0.92"),
        ("efficiency-source", "maker"),
    ])
}

pub fn tripod() -> Thing {
    Thing::new(Kind::Tripod, "T-1", &["EN 795|B"], &["body|15 kN|breaking"]).at("anchor")
}

pub fn connector(mark: &str, position: &str) -> Thing {
    Thing::new(
        Kind::Connector,
        mark,
        &["EN 362|B"],
        &["major-axis|22 kN|breaking", "minor-axis|8 kN|breaking"],
    )
    .at(position)
}

/// A lanyard of textile.
pub fn lanyard() -> Thing {
    Thing::new(
        Kind::Lanyard,
        "L-1",
        &["EN 354"],
        &["straight|22 kN|breaking"],
    )
}

/// A harness that holds more than is asked for.
pub fn harness() -> Thing {
    Thing::new(Kind::Harness, "W-1", &["EN 361"], &["body|90 kN|breaking"]).at("harness")
}

pub fn helmet() -> Thing {
    Thing::new(Kind::Helmet, "H-1", &["EN 397"], &[])
}

/// A full kit for the 4:1 set that is pulled down.
pub fn full_kit() -> Vec<Thing> {
    vec![
        rope(),
        head(),
        foot(),
        tripod(),
        connector("C-1", "head-connector"),
        connector("C-2", "load-connector"),
    ]
}

/// A shaft of 15 m, one person, 4:1 pulled down.
pub fn job(change: impl FnOnce(&mut JobDraft)) -> Job {
    let mut draft = JobDraft {
        title: "Shaft 7".into(),
        place: "Old waterworks".into(),
        starts_at: "2026-03-11T07:00".into(),
        ends_at: "2026-03-12T16:00".into(),
        depth: "15 m".into(),
        load: "1 person".into(),
        rulebook: "european".into(),
        rig: "four-to-one-pull-down".into(),
        ..JobDraft::default()
    };
    change(&mut draft);
    draft.check(JobId::new(), 1, &Zone::UTC).unwrap()
}

/// A question whose answer is "fit" until something is changed.
pub struct Case {
    pub job: Job,
    pub rulebook: Rulebook,
    /// The rulebook that the team works by, where that is said.
    pub home: Option<Rulebook>,
    pub rig: Rig,
    pub candidate: Thing,
    pub kit: Vec<Thing>,
    pub notices: Vec<Notice>,
    pub closings: Vec<NoticeClosing>,
    pub still_open: Vec<(ItemId, Notice)>,
    pub elsewhere: Vec<Elsewhere>,
    pub today: Date,
    pub zone: Zone,
}

impl Case {
    /// A candidate with nothing else on the kit list yet.
    pub fn of(candidate: Thing) -> Self {
        let job = job(|_| {});
        Self {
            rulebook: rulebook(&job.rulebook).unwrap().clone(),
            home: None,
            rig: shipped_rig(&job.rig).unwrap().clone(),
            job,
            candidate,
            kit: Vec::new(),
            notices: Vec::new(),
            closings: Vec::new(),
            still_open: Vec::new(),
            elsewhere: Vec::new(),
            today: TODAY,
            zone: Zone::UTC,
        }
    }

    /// Others on the kit list.
    pub fn beside(mut self, kit: Vec<Thing>) -> Self {
        self.kit = kit;
        self
    }

    /// Another job.
    pub fn on(mut self, change: impl FnOnce(&mut JobDraft)) -> Self {
        self.job = job(change);
        self.rulebook = rulebook(&self.job.rulebook).unwrap().clone();
        self.rig = shipped_rig(&self.job.rig).unwrap().clone();
        self
    }

    pub fn refusals(&self) -> Vec<Refusal> {
        let mut plan = Plan::new(&self.job, &self.rulebook, &self.rig);
        plan.home = self.home.as_ref();
        let kit: Vec<KitItem<'_>> = self.kit.iter().map(Thing::kit_item).collect();
        let circumstances = Circumstances {
            kit: &kit,
            notices: &self.notices,
            closings: &self.closings,
            still_open: &self.still_open,
            elsewhere: &self.elsewhere,
            today: self.today,
            zone: &self.zone,
        };
        fitness(self.candidate.kit_item(), &plan, &circumstances)
    }

    pub fn codes(&self) -> Vec<RefusalCode> {
        self.refusals().iter().map(|refusal| refusal.code).collect()
    }

    #[track_caller]
    pub fn is_fit(&self) {
        let refusals = self.refusals();
        assert!(refusals.is_empty(), "{refusals:#?}");
    }

    /// Exactly these reasons, each with a sentence, a source and evidence.
    #[track_caller]
    pub fn refused(&self, codes: &[RefusalCode]) -> Vec<Refusal> {
        let refusals = self.refusals();
        let found: Vec<_> = refusals.iter().map(|refusal| refusal.code).collect();
        assert_eq!(found, codes, "{refusals:#?}");
        for refusal in &refusals {
            assert!(
                refusal.sentence.ends_with('.') && refusal.sentence.len() > 20,
                "{refusal:?}"
            );
            assert!(
                !refusal.rule.source.is_empty() && !refusal.evidence.is_empty(),
                "{refusal:?}"
            );
        }
        refusals
    }
}

/// The verdict on a kit.
pub fn verdict(job: &Job, kit: &[Thing]) -> KitVerdict {
    let plan = Plan::of(job).unwrap();
    let kit: Vec<KitItem<'_>> = kit.iter().map(Thing::kit_item).collect();
    kit_verdict(&plan, &kit, Extent::WithSwings)
}

/// Puts a text in place of another in a shipped rulebook, which must hold it.
pub fn changed_rulebook(changes: &BTreeMap<&str, &str>) -> Rulebook {
    let mut sheet = include_str!("../../src/domain/rulebook/european.toml").to_owned();
    for (from, to) in changes {
        assert!(sheet.contains(from), "the sheet has no {from}");
        sheet = sheet.replacen(from, to, 1);
    }
    Rulebook::parse(&sheet).unwrap()
}
