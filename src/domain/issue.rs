//! An issue: the kit of a job handed out, with its verdict, frozen as both stood at that moment.

mod need;

use serde::{Deserialize, Serialize};
use time::{Date, OffsetDateTime};
use uuid::Uuid;

use super::date::iso;
use super::{
    Hands, IssueId, ItemId, ItemState, Job, JobId, Kind, KitEntry, KitLineId, KitList, Names,
    Person, PersonId, Store, Told, counted, fitness::DayRules, kit_strength::worst_of,
};
use crate::rigging::{Check, Judged};
pub use need::IssuedNeed;
use need::needs;

/// A person who signs, with the name of that day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Signer {
    /// The person.
    pub person: PersonId,
    /// The name.
    pub name: String,
}

impl From<&Person> for Signer {
    fn from(person: &Person) -> Self {
        Self {
            person: person.id,
            name: person.name.clone(),
        }
    }
}

/// The kit of a job, handed out. What it says never changes, whatever becomes of rulebook, model or item.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Issue {
    /// Its id.
    pub id: IssueId,
    /// The job as it was planned.
    pub job: Job,
    /// When.
    #[serde(with = "time::serde::rfc3339")]
    pub at: OffsetDateTime,
    /// Who handed it out.
    pub by: Signer,
    /// Who took it.
    pub to: Signer,
    /// Whether the two are one person, since the team had nobody else.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub alone: bool,
    /// The verdict.
    pub verdict: IssuedVerdict,
    /// What went along, in the order of the rig's positions, then the spares.
    pub lines: Vec<IssuedLine>,
    /// Whether it is still out.
    #[serde(default)]
    pub state: IssueState,
}

/// The verdict on a kit that was issued.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct IssuedVerdict {
    /// The version of the program that worked it out.
    pub version: String,
    /// The sentence that was shown.
    pub sentence: String,
    /// What a yes leaves open, each in a few words: "a fall into the belay is not judged"; nothing where it was issued before that was
    /// kept.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub open: Vec<String>,
    /// The rig, with the version of a team's own.
    pub rig: String,
    /// Whether progress capture holds the load somewhere in it.
    pub captures: bool,
    /// Whether a second rope catches the load.
    pub belayed: bool,
    /// The rulebook, with the version of a team's own.
    pub rulebook: String,
    /// The factor that the rulebook asked on breaking strengths.
    pub factor_asked: f64,
    /// What the rig asks for and does not do; nothing where it was issued before that was kept.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub rig_asks: Vec<String>,
    /// What makes the result worse than it looks; nothing where it was issued before that was kept.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub warnings: Vec<String>,
    /// What the crew needs of pull, people and rope; nothing where it was issued before that was kept.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub needs: Vec<IssuedNeed>,
    /// What a belay shares with the main rope, such as "Head of the tripod"; nothing where it stands alone.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub belay_shares: Vec<String>,
    /// What the numbers do not tell.
    pub cautions: Vec<String>,
    /// The whole answer with every number, as JSON (RFC 8785): a text, so that no digit of it ever changes.
    pub answer: String,
}

/// An item that went along, as it was then.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct IssuedLine {
    /// The line of the kit list.
    pub line: KitLineId,
    /// The item.
    pub item: ItemId,
    /// The version of its record.
    pub revision: u32,
    /// The team's mark.
    pub mark: String,
    /// What it is.
    #[schema(value_type = String)]
    pub kind: Kind,
    /// Maker and model.
    pub model: String,
    /// The maker's serial.
    pub serial: Option<String>,
    /// What was noted of it.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// The store that it came from.
    pub store: String,
    /// The key of its position; none is a spare.
    pub position: Option<String>,
    /// The position in words.
    pub place: String,
    /// The state it was in.
    pub state: ItemState,
    /// The last day on which it had passed a thorough examination.
    #[serde(with = "iso::option")]
    pub last_passed_on: Option<Date>,
    /// The last day on which it was in date.
    #[serde(with = "iso::option")]
    pub due_on: Option<Date>,
    /// The checks with the least room; a spare has none.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub checks: Vec<IssuedCheck>,
}

/// A check of an item: the force on it, and what it holds.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct IssuedCheck {
    /// When and how it is loaded, in words.
    pub when: String,
    /// The highest force, in newtons.
    pub force_newtons: f64,
    /// What it holds, in newtons.
    pub holds_newtons: f64,
    /// The safety factor; none where a working limit or rated load was held against the force.
    pub factor: Option<f64>,
}

/// Whether an issue is still out.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case", tag = "is")]
pub enum IssueState {
    /// The kit is with the crew.
    #[default]
    Out,
    /// It was taken back before anything was counted, and the kit may change again.
    TakenBack {
        /// Why.
        reason: String,
    },
    /// Every item is accounted for.
    Returned,
}

impl IssueState {
    /// The word for people and programs.
    pub fn word(&self) -> &'static str {
        match self {
            Self::Out => "out",
            Self::TakenBack { .. } => "taken back",
            Self::Returned => "returned",
        }
    }
}

/// An issue was taken back, so that the kit may change.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct IssueTakenBack {
    /// The issue.
    pub issue: IssueId,
    /// The job.
    pub job: JobId,
    /// Why.
    pub reason: String,
}

/// An item that is with a crew, not on its shelf.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ItemOut {
    /// The item.
    pub item: ItemId,
    /// The job.
    pub job: JobId,
    /// The issue.
    pub issue: IssueId,
}

impl Issue {
    /// The kit as it goes out: frozen with the verdict on it.
    pub fn new(
        id: IssueId,
        (list, days): (&KitList, &DayRules<'_>),
        stores: &[Store],
        (hands, at): (Hands, OffsetDateTime),
        version: &str,
    ) -> Self {
        Self {
            id,
            job: list.job.clone(),
            at,
            by: hands.by,
            to: hands.to,
            alone: hands.alone,
            verdict: IssuedVerdict::of(list, version),
            lines: IssuedLine::all(list, days, stores),
            state: IssueState::Out,
        }
    }

    /// The line of an item.
    pub fn line_of(&self, item: ItemId) -> Option<&IssuedLine> {
        self.lines.iter().find(|line| line.item == item)
    }

    /// Whether something of this kind is in the rig; spares are not.
    pub fn has_in_rig(&self, kind: Kind) -> bool {
        let mut lines = self.lines.iter();
        lines.any(|line| line.kind == kind && line.position.is_some())
    }
}

impl IssuedVerdict {
    /// The verdict on a kit as it stands.
    pub fn of(list: &KitList, version: &str) -> Self {
        Self {
            version: version.to_owned(),
            sentence: list.sentence(),
            open: list.verdict.open.clone(),
            rig: list.rig_words(),
            captures: list.rig.has_capture(),
            belayed: list.rig.catches(),
            rulebook: list.verdict.asked.title.clone(),
            factor_asked: list.verdict.asked.factor,
            rig_asks: list.verdict.rig_asks.clone(),
            warnings: list
                .verdict
                .assessment
                .as_ref()
                .map_or_else(Vec::new, |answer| answer.warnings.clone()),
            needs: needs(list),
            belay_shares: list
                .rig
                .shared_with_belay()
                .into_iter()
                .map(str::to_owned)
                .collect(),
            cautions: list.verdict.cautions.clone(),
            answer: serde_json_canonicalizer::to_string(&list.verdict).unwrap_or_default(),
        }
    }
}

impl IssuedLine {
    /// A kit as it stands, in the order of the rig's positions, then the spares.
    pub fn all(list: &KitList, days: &DayRules<'_>, stores: &[Store]) -> Vec<Self> {
        let entries = list.in_order().into_iter();
        let lines = entries.map(|entry| {
            let store = stores.iter().find(|store| store.id == entry.item.store);
            let store = store.map(|store| store.name.clone());
            line(list, entry, days, store.unwrap_or_default())
        });
        lines.collect()
    }
}

fn line(list: &KitList, entry: &KitEntry, days: &DayRules<'_>, store: String) -> IssuedLine {
    let (item, model) = (&entry.item, &entry.model);
    let position = entry.line.position.clone();
    let placed = position.as_deref().and_then(|key| list.rig.position(key));
    let assessment = list.verdict.assessment.as_ref();
    let worst = assessment
        .zip(position.as_deref())
        .map_or_else(Vec::new, |(assessment, key)| worst_of(assessment, key));
    IssuedLine {
        line: entry.line.id,
        item: item.id,
        revision: item.revision,
        mark: item.mark.clone(),
        kind: model.kind,
        model: model.title(),
        serial: item.serial.clone(),
        note: item.note.clone(),
        store,
        place: placed.map_or_else(|| "spare".to_owned(), |place| place.title().to_owned()),
        position,
        state: item.state,
        last_passed_on: item.last_passed_on,
        due_on: days.due_on(item, model).map(|(day, _)| day),
        checks: worst.into_iter().map(check).collect(),
    }
}

/// How many parts of one are kept: with them a number is written in so few digits that it is read as it was.
const PARTS: f64 = 1e6;

/// A force, never less than it is.
fn up(number: f64) -> f64 {
    (number * PARTS).ceil() / PARTS
}

/// What something holds, never more than it is.
fn down(number: f64) -> f64 {
    (number * PARTS).floor() / PARTS
}

fn check(check: &Check) -> IssuedCheck {
    IssuedCheck {
        when: format!("{}, {}", check.phase.words(), check.spot),
        force_newtons: up(match &check.judged {
            Judged::Factor { .. } => check.force.high().newtons(),
            Judged::Limit { against, .. } => against.newtons(),
        }),
        holds_newtons: down(check.strength.effective.newtons()),
        factor: check.factor().map(|factor| down(factor.ratio())),
    }
}

impl Issue {
    /// The issue in words.
    pub(super) fn told(&self, names: &Names) -> Told {
        let items = counted(self.lines.len(), "item", "items");
        let alone = if self.alone {
            " (one person alone)"
        } else {
            ""
        };
        Told::new(format!(
            "Kit of the job {} issued: {items}, handed out by {}, taken by {}{alone}",
            names.of(self.job.id.0),
            self.by.name,
            self.to.name
        ))
        .why(self.verdict.sentence.as_str())
    }

    /// The job and every item that went along.
    pub(super) fn subjects(&self) -> Vec<Uuid> {
        let items = self.lines.iter().map(|line| line.item.0);
        std::iter::once(self.job.id.0).chain(items).collect()
    }

    /// The title and every mark.
    pub(super) fn about(&self, names: &Names) -> Vec<String> {
        let subjects = self.subjects().into_iter();
        subjects.map(|id| names.of(id)).collect()
    }
}

impl IssueTakenBack {
    /// That it was taken back, in words.
    pub(super) fn told(&self, names: &Names) -> Told {
        Told::new(format!(
            "Issue of the job {} taken back: its kit may change again",
            names.of(self.job.0)
        ))
        .why(self.reason.as_str())
    }
}
