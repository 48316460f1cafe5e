//! The bundle: entries of a team's ledger in one file that anybody can check without a server.
//!
//! It is text in UTF-8, one JSON object a line, each with one key that says what it is. The first is `bundle`, the
//! last is `end`. Between them the tree of the ledger is walked from its signed root down, the left half first:
//!
//! * `node`: the hashes of the two halves of the part that comes next; hashed together they are that part's hash;
//! * `entry`: the part that comes next is one leaf, and this is its entry; its leaf hash is that part's hash;
//! * `past`: the entries of the part that comes next, from one to another, are not in this bundle;
//! * `name`: what a seal in the entry before it stands for. A name that was removed has no such line.
//!
//! So the hash of every line is known from the signed root before the line is read, and the first that is not what
//! was recorded is found there and then. [`check()`] does it; `tests/verify_bundle.py` does it without this program.

mod check;
mod file;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use time::OffsetDateTime;
use uuid::Uuid;

pub use check::{Checked, Fault, check};
pub use file::{FileFault, FoundFile, NamedFile, hold};

use crate::domain::{Hash, SealedName, TeamId, checkpoint::origin};

/// The version of the form.
pub const FORM: u32 = 1;

/// What the first line tells a person who opens the file.
const EXPLANATION: [&str; 9] = [
    "This file holds entries of a rope team's record, as they were written, and what is needed to prove it.",
    "Check it with: ropeloft verify FILE. No server and no network are needed.",
    "By hand: 'checkpoint' says how many entries the record had and its root (base64), signed with Ed25519 by a key of \
     'keys'; an identifier and a key in base64 follow the name, the first byte of the key is its kind.",
    "The root is that of RFC 6962, section 2.1, with SHA-256: a leaf is SHA-256 of a zero byte and an entry's text, a \
     node is SHA-256 of a one byte and its two halves.",
    "Each line 'node' gives the two halves of the part whose hash is known, first of the root, then of the left half \
     of it, and so on; 'entry' is a part of one leaf; 'past' names entries that are not in this file.",
    "In an entry a name is replaced by a seal: SHA-256 of 32 salt bytes and the name. A line 'name' gives both.",
    "'end' says which entries are in the file and gives the SHA-256 of every byte before it, signed.",
    "That no entry was left out is proved for a whole record and for a time span. For an item or a job it rests on \
     the signature at the end: the server's word, not a proof.",
    "Whose key it is, this file cannot prove: hold it against one that the team gave you on another way.",
];

/// Which entries a bundle holds.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", rename_all_fields = "kebab-case")]
pub enum Scope {
    /// All.
    Team {},
    /// Those from one to another, both in it, which were recorded in this time.
    Time {
        /// From this moment on; none is from the beginning.
        #[serde(with = "time::serde::rfc3339::option")]
        from: Option<OffsetDateTime>,
        /// Before this moment; none is to the end.
        #[serde(with = "time::serde::rfc3339::option")]
        before: Option<OffsetDateTime>,
        /// The first entry.
        first: u64,
        /// The last entry; before the first where there is none.
        last: u64,
    },
    /// Those about an item, about the ropes that it was cut from until they were cut, and by which the notices that cover
    /// it were opened.
    Item {
        /// Its id, and those of these ropes and notices.
        ids: Vec<Uuid>,
        /// Its mark.
        mark: String,
    },
    /// Those about a job.
    Job {
        /// Its id.
        id: Uuid,
        /// Its title.
        title: String,
    },
}

impl Scope {
    /// In words.
    pub fn words(&self) -> String {
        match self {
            Self::Team {} => "the whole record".to_owned(),
            Self::Time { first, last, .. } if first > last => "a time without entries".to_owned(),
            Self::Time { first, last, .. } => format!("entries {first} to {last}"),
            Self::Item { mark, .. } => format!("the history of item {mark}"),
            Self::Job { title, .. } => format!("the history of the job {title}"),
        }
    }

    /// Whether the tree proves that no entry was left out.
    pub fn is_proved_whole(&self) -> bool {
        matches!(self, Self::Team {} | Self::Time { .. })
    }

    /// Whether the tree proves that an entry belongs into the bundle.
    fn asks_for(&self, seq: u64) -> bool {
        match self {
            Self::Team {} => true,
            Self::Time { first, last, .. } => (*first..=*last).contains(&seq),
            Self::Item { .. } | Self::Job { .. } => false,
        }
    }

    /// The records that its entries are about, where it is of some.
    fn subjects(&self) -> Option<Vec<Uuid>> {
        match self {
            Self::Team {} | Self::Time { .. } => None,
            Self::Item { ids, .. } => Some(ids.clone()),
            Self::Job { id, .. } => Some(vec![*id]),
        }
    }
}

/// The first line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Head {
    /// The version of the form.
    pub form: u32,
    /// For whoever opens the file.
    pub explanation: Vec<String>,
    /// The team.
    pub team: TeamId,
    /// Its name.
    pub team_name: String,
    /// Which entries.
    pub of: Scope,
    /// When it was made.
    #[serde(with = "time::serde::rfc3339")]
    pub made_at: OffsetDateTime,
    /// Who took it along, where that was nobody of the team.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub exported_by: Option<String>,
    /// The signed checkpoint whose root everything is held against.
    pub checkpoint: String,
    /// The team's keys, the newest first, then those of its witnesses: `NAME+IDENTIFIER+KEY`.
    pub keys: Vec<String>,
}

impl Head {
    /// The first line of a bundle that is made now.
    pub fn new(
        (team, team_name): (TeamId, String),
        of: Scope,
        (made_at, exported_by): (OffsetDateTime, Option<String>),
        (checkpoint, keys): (String, Vec<String>),
    ) -> Self {
        Self {
            form: FORM,
            explanation: EXPLANATION.map(str::to_owned).into(),
            team,
            team_name,
            of,
            made_at,
            exported_by,
            checkpoint,
            keys,
        }
    }
}

/// A line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Line {
    /// The first.
    Bundle(Box<Head>),
    /// The hashes of both halves, in hexadecimal.
    Node([String; 2]),
    /// From one entry to another, both left out.
    Past([u64; 2]),
    /// An entry.
    Entry(EntryLine),
    /// What a seal stands for.
    Name(NameLine),
    /// The last.
    End(End),
}

/// An entry.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct EntryLine {
    /// Its sequence number, from 1.
    pub seq: u64,
    /// Its text, the very bytes that were hashed.
    pub payload: String,
}

/// What a seal stands for.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct NameLine {
    /// The seal, in hexadecimal.
    pub seal: String,
    /// What is hashed before the name, in hexadecimal.
    pub salt: String,
    /// The name.
    pub name: String,
}

impl From<&SealedName> for NameLine {
    fn from(name: &SealedName) -> Self {
        Self {
            seal: hex::encode(name.seal),
            salt: hex::encode(name.salt),
            name: name.name.clone(),
        }
    }
}

/// The last line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct End {
    /// Which entries are in it, such as `1-20,25`.
    pub entries: String,
    /// The signed text: [`end_text`].
    pub note: String,
}

/// The text that is signed at the end: the ledger, how many entries it had, the SHA-256 of [`End::entries`] and that of
/// every byte before the last line.
pub fn end_text(team: TeamId, size: u64, entries: &str, bytes: &Hash) -> String {
    let entries = hex::encode(Sha256::digest(entries));
    format!(
        "{} bundle\n{size}\nentries {entries}\nbytes {}\n",
        origin(team),
        hex::encode(bytes)
    )
}

/// A line as it stands in the file.
///
/// # Errors
/// None that could come up: every line is made of texts and whole numbers.
pub fn written(line: &Line) -> Result<String, serde_json::Error> {
    serde_json::to_string(line).map(|line| line + "\n")
}

/// Sequence numbers in their order, as runs.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Runs(Vec<(u64, u64)>);

impl Runs {
    /// Adds the next one.
    pub fn push(&mut self, seq: u64) {
        match self.0.last_mut() {
            Some((_, last)) if *last + 1 == seq => *last = seq,
            _ => self.0.push((seq, seq)),
        }
    }

    /// How many there are.
    pub fn len(&self) -> u64 {
        self.0.iter().map(|(first, last)| last - first + 1).sum()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Such as `1-20,25`.
    pub fn text(&self) -> String {
        let runs = self.0.iter().map(|(first, last)| {
            if first == last {
                first.to_string()
            } else {
                format!("{first}-{last}")
            }
        });
        runs.collect::<Vec<_>>().join(",")
    }

    /// Reads [`Runs::text`].
    fn read(text: &str) -> Option<Self> {
        let mut runs = Vec::new();
        for run in text.split(',').filter(|run| !run.is_empty()) {
            let (first, last) = run.split_once('-').unwrap_or((run, run));
            let (first, last) = (first.parse().ok()?, last.parse().ok()?);
            (first <= last).then_some(())?;
            runs.push((first, last));
        }
        Some(Self(runs))
    }

    /// The first that is in one of the two and not in the other.
    fn first_apart(&self, other: &Self) -> Option<u64> {
        let mut pairs = self.0.iter().zip(&other.0);
        if let Some((one, two)) = pairs.find(|(one, two)| one != two) {
            return Some(if one.0 == two.0 {
                one.1.min(two.1) + 1
            } else {
                one.0.min(two.0)
            });
        }
        let (short, long) = if self.0.len() < other.0.len() {
            (self, other)
        } else {
            (other, self)
        };
        long.0.get(short.0.len()).map(|(first, _)| *first)
    }
}
