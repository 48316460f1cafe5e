//! The tables of the demo as they are written down.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde::de::DeserializeOwned;

use super::{DemoError, job_line::JobLine, picture::Picture};
use crate::domain::{
    CutDraft, EventKind, ExaminationKind, ForReportDraft, ItemStep, Kind, ModelDraft, RetiredFor,
    Role, UsageDraft, Verdict,
};

/// All tables.
pub(super) struct Sheets {
    pub(super) team: TeamSheet,
    /// What a person would type for each model, by the key that the other tables use.
    pub(super) models: BTreeMap<String, ModelDraft>,
    pub(super) batches: Vec<Batch>,
    pub(super) story: StorySheet,
    pub(super) own: OwnSheet,
    pub(super) work: WorkSheet,
    findings: BTreeMap<String, BTreeMap<String, Vec<String>>>,
}

/// The team, its people and its stores.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TeamSheet {
    pub(super) team: TeamLine,
    pub(super) person: Vec<PersonLine>,
    pub(super) store: Vec<StoreLine>,
    pub(super) competent: Vec<CompetentLine>,
}

/// Somebody who is competent to examine from the first day: a person of the team, or by name from outside.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CompetentLine {
    #[serde(default)]
    pub(super) sign_in: String,
    #[serde(default)]
    pub(super) name: String,
    #[serde(default)]
    pub(super) body: String,
    #[serde(default)]
    pub(super) kinds: String,
    /// For how many months; nothing is until it is ended.
    pub(super) months: Option<u16>,
    pub(super) evidence: String,
    pub(super) address: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TeamLine {
    pub(super) name: String,
    pub(super) rulebook: String,
    pub(super) employer: String,
    pub(super) premises: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PersonLine {
    pub(super) sign_in: String,
    pub(super) name: String,
    pub(super) role: Role,
    pub(super) password: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StoreLine {
    pub(super) key: String,
    pub(super) name: String,
    pub(super) note: String,
}

/// How exactly the day made is known.
#[derive(Clone, Copy, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Precision {
    Day,
    #[default]
    Month,
    Year,
}

/// Items that were bought together.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Batch {
    /// The letters of their marks; a mark is these, a dash and two digits.
    pub(super) marks: String,
    #[serde(default = "one")]
    pub(super) first: u8,
    pub(super) count: u8,
    pub(super) model: String,
    pub(super) store: String,
    pub(super) lot: Option<String>,
    /// What stands before the number in their serials.
    pub(super) serial: Option<String>,
    /// Months before the day of the demo.
    pub(super) made: Option<u16>,
    #[serde(default)]
    pub(super) made_as: Precision,
    /// Months before the day of the demo.
    pub(super) bought: u16,
    #[serde(default)]
    pub(super) readable: String,
    /// Days until the next examination is due.
    pub(super) due_in: i16,
    #[serde(default)]
    pub(super) attributes: BTreeMap<String, String>,
    #[serde(default)]
    pub(super) note: String,
}

fn one() -> u8 {
    1
}

/// What the team wrote itself.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct OwnSheet {
    pub(super) rulebook: Vec<RulebookLine>,
    pub(super) rig: Vec<RigLine>,
    pub(super) round: Vec<RoundLine>,
    pub(super) bag: Vec<super::bag::BagLine>,
    pub(super) pin: Vec<PinLine>,
}

/// A plan that complete sets are kept for, as it is typed in.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PinLine {
    /// Days before the day of the demo on which it is pinned.
    pub(super) ago: u16,
    pub(super) rig: String,
    pub(super) rulebook: String,
    pub(super) depth: String,
    pub(super) load: String,
    pub(super) case: String,
}

/// A round of examinations.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RoundLine {
    /// Days before the day of the demo on which it is planned and begins.
    pub(super) ago: u16,
    /// How many days it lasts.
    pub(super) days: u16,
    pub(super) name: String,
    /// Marks.
    pub(super) items: Vec<String>,
    /// Days before the day of the demo on which some are examined.
    pub(super) examined_ago: u16,
    /// Their marks.
    pub(super) examined: Vec<String>,
}

/// A version of a rulebook, as it is typed in.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RulebookLine {
    /// Days before the day of the demo.
    pub(super) ago: u16,
    pub(super) key: String,
    pub(super) title: String,
    pub(super) based_on: String,
    pub(super) numbers: BTreeMap<String, String>,
    #[serde(default)]
    pub(super) reasons: BTreeMap<String, String>,
}

/// A rig.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RigLine {
    /// Days before the day of the demo.
    pub(super) ago: u16,
    pub(super) note: String,
}

/// What happened.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StorySheet {
    pub(super) story: Vec<Story>,
    pub(super) revision: Vec<Revision>,
    pub(super) notice: Vec<NoticeLine>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Story {
    pub(super) items: Vec<String>,
    pub(super) acts: Vec<Act>,
}

/// One act on one item.
#[derive(Clone, Deserialize)]
pub(super) struct Act {
    /// Days before the day of the demo.
    pub(super) ago: u16,
    /// The sign-in of who did it.
    #[serde(default = "officer")]
    pub(super) by: String,
    pub(super) text: String,
    /// For what it is retired, if somebody chose one.
    pub(super) retired_for: Option<RetiredFor>,
    /// What the report of an examination tells beside.
    #[serde(default)]
    pub(super) report: ForReportDraft,
    #[serde(flatten)]
    pub(super) what: What,
}

fn officer() -> String {
    "officer".to_owned()
}

/// What was done.
#[derive(Clone, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum What {
    /// Something happened to it.
    Event(EventKind),
    /// It was examined, and this came of it.
    Verdict(Verdict),
    /// It went from one state to another.
    Step(ItemStep),
    /// It moved to another store.
    Store(String),
    /// It was cut into pieces.
    Cut(CutDraft),
    /// Its use was logged.
    Use(UsageDraft),
    /// A photo was put on its last examination or event.
    Photo(Picture),
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Revision {
    pub(super) model: String,
    pub(super) ago: u16,
    pub(super) note: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct NoticeLine {
    pub(super) title: String,
    pub(super) issuer: String,
    pub(super) ago: u16,
    pub(super) maker: String,
    pub(super) model_name: String,
    pub(super) lots: String,
    pub(super) action: String,
    pub(super) closed: Vec<Closing>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Closing {
    pub(super) item: String,
    pub(super) ago: u16,
    pub(super) result: String,
}

/// Kits and jobs.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct WorkSheet {
    pub(super) kit: Vec<Kit>,
    pub(super) job: Vec<JobLine>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Kit {
    pub(super) key: String,
    pub(super) lines: Vec<KitWish>,
}

/// What a kit needs at one place.
#[derive(Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct KitWish {
    /// The position in the rig; none is a spare.
    pub(super) position: Option<String>,
    /// The marks, or the letters of marks, to choose from, the preferred first.
    pub(super) from: Vec<String>,
    /// Whether the job goes without where there is none.
    #[serde(default)]
    pub(super) optional: bool,
}

impl Sheets {
    /// Reads all tables.
    pub(super) fn read() -> Result<Self, DemoError> {
        let mut models = BTreeMap::new();
        for (name, text) in [
            ("model/textile.toml", include_str!("model/textile.toml")),
            ("model/device.toml", include_str!("model/device.toml")),
            ("model/metal.toml", include_str!("model/metal.toml")),
        ] {
            models.extend(read::<BTreeMap<String, ModelDraft>>(name, text)?);
        }
        let items: BTreeMap<String, Vec<Batch>> = read("item.toml", include_str!("item.toml"))?;
        Ok(Self {
            team: read("team.toml", include_str!("team.toml"))?,
            models,
            batches: items.into_values().flatten().collect(),
            story: read("story.toml", include_str!("story.toml"))?,
            own: read("own.toml", include_str!("own.toml"))?,
            work: read("job.toml", include_str!("job.toml"))?,
            findings: read("finding.toml", include_str!("finding.toml"))?,
        })
    }

    /// What may be written after a look of this kind at gear of this kind, where nothing is wrong.
    pub(super) fn findings(&self, look: ExaminationKind, gear: Kind) -> &[String] {
        let of_look = self.findings.get(look.key());
        of_look
            .and_then(|by_kind| by_kind.get(gear.key()).or_else(|| by_kind.get("any")))
            .map_or(&[], Vec::as_slice)
    }

    /// The kit of this key.
    pub(super) fn kit(&self, key: &str) -> Option<&Kit> {
        self.work.kit.iter().find(|kit| kit.key == key)
    }
}

fn read<T: DeserializeOwned>(name: &str, text: &str) -> Result<T, DemoError> {
    toml::from_str(text).map_err(|error| DemoError::at(name, error))
}
