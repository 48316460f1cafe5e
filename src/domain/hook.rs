//! Webhooks: addresses of other programs that are told when a record changes.

use serde::{Deserialize, Serialize};
use time::OffsetDateTime;
use uuid::Uuid;

use super::{
    Change, Entry, ErrandId, FieldErrors, HookId, ItemStep, Outcome, PersonId, TeamId, Verdict,
};

/// The topic for whatever puts an item in quarantine, beside the kinds of change.
pub const QUARANTINED: (&str, &str) = (
    "item-quarantined",
    "Item put in quarantine, however it came",
);

/// Which addresses messages may go to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum HookReach {
    /// https to public addresses alone.
    #[default]
    Public,
    /// https to private addresses too, such as those of the team's own network.
    Private,
    /// http to this machine too, to try things out.
    Loopback,
}

impl HookReach {
    /// Every reach.
    pub const ALL: [Self; 3] = [Self::Public, Self::Private, Self::Loopback];

    /// The word of the setting.
    pub fn key(self) -> &'static str {
        match self {
            Self::Public => "public",
            Self::Private => "private",
            Self::Loopback => "loopback",
        }
    }

    /// Reads the word of the setting.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|reach| reach.key() == key)
    }
}

/// A webhook. Its key, with which messages are signed, stands beside it and is shown once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Hook {
    /// Its id.
    pub id: HookId,
    /// Where messages go.
    pub address: String,
    /// Of what it is told; empty is of every change.
    pub topics: Vec<String>,
    /// Who added it.
    pub person: PersonId,
    /// When it was added.
    pub added_at: OffsetDateTime,
    /// As far as it has been told of the ledger.
    pub seq: u64,
    /// Since when every message has failed.
    pub failing_at: Option<OffsetDateTime>,
    /// When it was switched off.
    pub off_at: Option<OffsetDateTime>,
}

impl Hook {
    /// Whether it is told of a change.
    pub fn is_told_of(&self, change: &Change) -> bool {
        let mut topics = topics(change).into_iter();
        self.topics.is_empty() || topics.any(|topic| self.topics.iter().any(|one| one == topic))
    }
}

/// What can be chosen: the keys with their words.
pub fn all_topics() -> impl Iterator<Item = (&'static str, &'static str)> {
    std::iter::once(QUARANTINED).chain(Change::KINDS)
}

/// The topics of a change: its kind, and that it puts an item in quarantine.
pub fn topics(change: &Change) -> Vec<&'static str> {
    let quarantines = match change {
        Change::ItemStepped(step) => step.step == ItemStep::Quarantine,
        Change::ExaminationRecorded(one) => one.verdict == Verdict::Quarantine,
        Change::EventReported(event) => {
            let follows = event.follows.as_ref();
            follows.is_none_or(|follows| follows.outcome == Outcome::Examine)
        }
        _ => false,
    };
    let kind = std::iter::once(change.kind());
    kind.chain(quarantines.then_some(QUARANTINED.0)).collect()
}

/// What a message says. What changed is asked of the API, so that a message gives away no more than that.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct HookMessage {
    /// The id of the message; a message that is sent again keeps it.
    pub id: Uuid,
    /// The kind of change.
    #[serde(rename = "type")]
    pub kind: String,
    /// When it was recorded.
    #[serde(with = "time::serde::rfc3339")]
    pub timestamp: OffsetDateTime,
    /// What it is about.
    pub data: HookData,
}

/// What a message is about.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct HookData {
    /// The team.
    pub team: Uuid,
    /// The number of the entry in the team's ledger; a gap is a message that is still to come or was not asked for.
    pub sequence: u64,
    /// The topics.
    pub topics: Vec<String>,
    /// The ids of the records that changed.
    pub records: Vec<Uuid>,
}

impl HookMessage {
    /// The message about an entry of the ledger.
    pub fn new(id: ErrandId, entry: &Entry<Change>) -> Self {
        let topics = topics(&entry.change).into_iter();
        Self {
            id: id.0,
            kind: entry.change.kind().to_owned(),
            timestamp: entry.recorded_at,
            data: HookData {
                team: entry.team.0,
                sequence: entry.seq,
                topics: topics.map(str::to_owned).collect(),
                records: entry.change.subjects(),
            },
        }
    }

    /// The message that only tries a webhook out: no topics, no records, and the last number that it was told.
    pub fn trial(id: ErrandId, team: TeamId, hook: &Hook, now: OffsetDateTime) -> Self {
        Self {
            id: id.0,
            kind: TRIAL.to_owned(),
            timestamp: now,
            data: HookData {
                team: team.0,
                sequence: hook.seq,
                topics: Vec::new(),
                records: Vec::new(),
            },
        }
    }
}

/// The `type` of a message that somebody asked for to see whether the other program hears.
pub const TRIAL: &str = "trial";

/// A webhook as typed in.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct HookDraft {
    /// Where messages go.
    pub address: String,
    /// Of what it is told: keys with commas between; empty is every change.
    pub topics: String,
}

impl HookDraft {
    /// The keys that were chosen.
    pub fn chosen(&self) -> impl Iterator<Item = &str> {
        let keys = self.topics.split(',').map(str::trim);
        keys.filter(|key| !key.is_empty())
    }

    /// The address and the topics, where both can be read; whether messages may go to the address is another question.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self) -> Result<(String, Vec<String>), FieldErrors> {
        let mut wrong = FieldErrors::default();
        let address = wrong.line("address", &self.address);
        let mut topics: Vec<String> = Vec::new();
        for key in self.chosen() {
            if !all_topics().any(|(known, _)| known == key) {
                let given: String = key.chars().take(40).collect();
                wrong.add(
                    "topics",
                    "choice",
                    format!("\"{given}\" is nothing that can be told."),
                );
            } else if !topics.iter().any(|one| one == key) {
                topics.push(key.to_owned());
            }
        }
        wrong.or(|| (address, topics))
    }
}
