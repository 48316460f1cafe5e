//! The bundle: entries of a team's ledger in one file that anybody can check without a server.
//!
//! It is text in UTF-8, one JSON object a line, each with one key that says what it is. The first is `bundle`, the
//! last is `end`. Between them the tree of the ledger is walked from its signed root down, the left half first:
//!
//! * `node`: the hashes of the two halves of the part that comes next; hashed together they are that part's hash;
//! * `entry`: the part that comes next is one leaf, and this is its entry; its leaf hash is that part's hash;
//! * `beside`: the same, of an entry that is not of the time that was asked for but stands next to it;
//! * `past`: the entries of the part that comes next, from one to another, are not in this bundle;
//! * `name`: what a seal in the entry before it stands for. A name that was removed has no such line.
//!
//! Moments never go back from one entry to the next, so that the entries beside a time show that none of it is left out.
//!
//! So the hash of every line is known from the signed root before the line is read, and the first that is not what
//! was recorded is found there and then. [`check()`] does it; `tests/verify_bundle.py` does it without this program.

mod check;
mod file;
mod handover;
mod line;
mod scope;
mod subject;
mod walk;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use time::OffsetDateTime;

pub use check::{Checked, Fault, Witnessed, check};
pub use file::{FileFault, FoundFile, NamedFile, hold};
pub use handover::Handover;
pub use scope::{Scope, Side};
pub use subject::Naming;

use crate::domain::{Hash, SealedName, TeamId, checkpoint::origin};

/// The version of the form. The first had no entries beside a time.
pub const FORM: u32 = 3;

/// What the first line tells a person who opens the file.
const EXPLANATION: [&str; 10] = [
    "This file holds entries of a rope team's record, as they were written, and what is needed to prove it.",
    "Check it with: ropeloft verify FILE. No server and no network are needed.",
    "By hand: 'checkpoint' says how many entries the record had and its root (base64), signed with Ed25519 by a key of \
     'keys'; an identifier and a key in base64 follow the name, the first byte of the key is its kind.",
    "The root is that of RFC 6962, section 2.1, with SHA-256: a leaf is SHA-256 of a zero byte and an entry's text, a \
     node is SHA-256 of a one byte and its two halves.",
    "Each line 'node' gives the two halves of the part whose hash is known, first of the root, then of the left half \
     of it, and so on; 'entry' is a part of one leaf; 'past' names entries that are not in this file; 'beside' is one leaf \
     too, the entry before or behind those that were asked for.",
    "In an entry a name is replaced by a seal: SHA-256 of 32 salt bytes and the name. A line 'name' gives both.",
    "'end' says which entries are in the file and gives the SHA-256 of every byte before it, signed.",
    "That no entry was left out is proved for a whole record. For a time it is proved by the entries beside it, recorded \
     before and behind it, since moments never go back in a record (the whole record shows it). For an item or a job it \
     rests on the signature at the end: the server's word, not a proof.",
    "Whose key it is, this file cannot prove: hold it against one that the team gave you on another way.",
    "'handovers' lead from an older key to a newer: a checkpoint signed by the older, whose last entry took the newer, and \
     the proofs of RFC 6962 that the entry is in it and that it is the beginning of this record.",
];

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
    /// How each key after the first was taken, the oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub handovers: Vec<Handover>,
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
            handovers: Vec::new(),
        }
    }

    /// Whether the tree proves that no entry was left out.
    pub fn is_proved_whole(&self) -> bool {
        match self.of {
            Scope::Team {} => true,
            Scope::Time { .. } => self.form > 1,
            Scope::Item { .. } | Scope::Job { .. } => false,
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
    /// An entry beside the time that was asked for.
    Beside(EntryLine),
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
