//! The tree of a bundle, walked from its signed root down to where the file has come.

use std::collections::BTreeSet;

use serde::Deserialize;
use time::OffsetDateTime;

use super::{
    End, EntryLine, Fault, Head, Line, NameLine, NamedFile, Naming, Runs, Side, end_text,
    file::named, subject::Subject,
};
use crate::domain::{
    Hash, SealedName, Zone,
    checkpoint::Checkpoint,
    ledger::{leaf_hash, node_hash},
    sealed_name::seals,
    signed_note::{Note, Verifier},
    tree_proof::split,
};

/// When an entry was recorded.
#[derive(Deserialize)]
struct Moment {
    #[serde(with = "time::serde::rfc3339")]
    recorded_at: OffsetDateTime,
}

/// A part of the tree whose hash is known: the leaves `from..to`, from 0.
struct Part {
    from: u64,
    to: u64,
    hash: Hash,
}

/// The tree, from its root down to where the file has come.
pub(super) struct Walk<'a> {
    head: &'a Head,
    size: u64,
    /// What is still to come, the next on top.
    parts: Vec<Part>,
    subject: Subject<'a>,
    pub(super) entries: Runs,
    pub(super) sealed: BTreeSet<Hash>,
    pub(super) names: BTreeSet<Hash>,
    pub(super) files: Vec<NamedFile>,
    /// When the entry before was recorded.
    latest: Option<OffsetDateTime>,
    pub(super) went_back: Option<u64>,
}

impl<'a> Walk<'a> {
    pub(super) fn new(head: &'a Head, checkpoint: &Checkpoint) -> Self {
        let root = Part {
            from: 0,
            to: checkpoint.size,
            hash: checkpoint.root,
        };
        Self {
            head,
            size: checkpoint.size,
            parts: (checkpoint.size > 0).then_some(root).into_iter().collect(),
            subject: Subject::new(head),
            entries: Runs::default(),
            sealed: BTreeSet::new(),
            names: BTreeSet::new(),
            files: Vec::new(),
            latest: None,
            went_back: None,
        }
    }

    pub(super) fn take(&mut self, line: Line, number: u64) -> Result<(), Fault> {
        match line {
            Line::Node(halves) => self.node(&halves, number),
            Line::Past([first, last]) => self.past(first, last, number),
            Line::Entry(line) => self.entry(&line, number),
            Line::Beside(line) => self.beside(&line, number),
            Line::Name(name) => self.name(&name, number),
            Line::Bundle(_) | Line::End(_) => Err(Fault::Form {
                line: number,
                what: "a second beginning".to_owned(),
            }),
        }
    }

    /// The part that comes next.
    fn part(&mut self, number: u64) -> Result<Part, Fault> {
        self.parts.pop().ok_or_else(|| Fault::Form {
            line: number,
            what: format!("the record had {} entries, and here is more", self.size),
        })
    }

    fn node(&mut self, halves: &[String; 2], number: u64) -> Result<(), Fault> {
        let part = self.part(number)?;
        let first = part.from + 1;
        if part.to - part.from < 2 {
            return Err(entry(first, "is left out", number));
        }
        let mut hashes = [Hash::default(); 2];
        for (text, hash) in halves.iter().zip(&mut hashes) {
            hex::decode_to_slice(text, hash)
                .map_err(|_| entry(first, "cannot be checked: a hash is none", number))?;
        }
        let [left, right] = hashes;
        if node_hash(&left, &right) != part.hash {
            let what = format!(
                "is the first of those up to {} that do not hash to the signed root",
                part.to
            );
            return Err(entry(first, &what, number));
        }
        let half = part.from + split(part.to - part.from);
        self.parts.push(Part {
            from: half,
            to: part.to,
            hash: right,
        });
        self.parts.push(Part {
            from: part.from,
            to: half,
            hash: left,
        });
        Ok(())
    }

    fn past(&mut self, first: u64, last: u64, number: u64) -> Result<(), Fault> {
        let part = self.part(number)?;
        if (part.from + 1, part.to) != (first, last) {
            return Err(entry(part.from + 1, "is not in its place", number));
        }
        let needed = self.head.of.needed(self.head.form, self.size);
        let from = first.max(*needed.start());
        let wanted = (from <= last.min(*needed.end())).then_some(from);
        match wanted {
            Some(seq) => Err(entry(seq, "is left out", number)),
            None => Ok(()),
        }
    }

    /// Takes the next part for this entry, if it is the one that was recorded there.
    fn leaf(&mut self, line: &EntryLine, number: u64) -> Result<(), Fault> {
        let part = self.part(number)?;
        let seq = part.from + 1;
        if line.seq != seq {
            let what = format!("is left out or not in its place: {} stands there", line.seq);
            return Err(entry(seq, &what, number));
        }
        if part.to - part.from != 1 {
            return Err(entry(
                seq,
                "cannot be checked: the hashes before it are left out",
                number,
            ));
        }
        if leaf_hash(line.payload.as_bytes()) != part.hash {
            return Err(entry(
                seq,
                "was changed or forged: it is not what was recorded",
                number,
            ));
        }
        self.moment(line, number)
    }

    /// Holds the moment of an entry against the time that was asked for.
    fn moment(&mut self, line: &EntryLine, number: u64) -> Result<(), Fault> {
        let read: Result<Moment, _> = serde_json::from_str(&line.payload);
        let at = read.map_err(|_| entry(line.seq, "does not say when it was recorded", number))?;
        let at = at.recorded_at;
        if self.head.of.side_of(at) != self.head.of.place_of(line.seq) {
            let what = format!(
                "was recorded on {}, which is not where the first line has it",
                Zone::UTC.words(at)
            );
            return Err(entry(line.seq, &what, number));
        }
        if self.latest.is_some_and(|latest| at < latest) {
            self.went_back.get_or_insert(line.seq);
        }
        self.latest = Some(at);
        Ok(())
    }

    fn entry(&mut self, line: &EntryLine, number: u64) -> Result<(), Fault> {
        self.leaf(line, number)?;
        if self.head.of.place_of(line.seq) != Side::Within {
            let what = format!("does not belong to {}", self.head.of.words());
            return Err(entry(line.seq, &what, number));
        }
        self.about(line, number)?;
        self.entries.push(line.seq);
        self.sealed.extend(seals(&line.payload));
        self.files.extend(named(line.seq, &line.payload));
        Ok(())
    }

    /// An entry that shows where the time that was asked for begins or ends.
    fn beside(&mut self, line: &EntryLine, number: u64) -> Result<(), Fault> {
        self.leaf(line, number)?;
        match self.head.of.place_of(line.seq) {
            Side::Within => Err(entry(line.seq, "stands beside nothing", number)),
            Side::Before | Side::Behind => self.about(line, number),
        }
    }

    /// Refuses an entry that is about something else.
    fn about(&mut self, line: &EntryLine, number: u64) -> Result<(), Fault> {
        let taken = self.subject.take(line);
        taken.map_err(|what| entry(line.seq, &what, number))
    }

    fn name(&mut self, line: &NameLine, number: u64) -> Result<(), Fault> {
        let form = |what: &str| Fault::Form {
            line: number,
            what: what.to_owned(),
        };
        let (mut seal, mut salt) = (Hash::default(), [0; 32]);
        hex::decode_to_slice(&line.seal, &mut seal)
            .and_then(|()| hex::decode_to_slice(&line.salt, &mut salt))
            .map_err(|_| form("a name without seal and salt"))?;
        let name = SealedName {
            seal,
            salt,
            name: line.name.clone(),
        };
        if !name.holds() {
            return Err(form("this name is not the one that was sealed"));
        }
        if !self.sealed.contains(&seal) {
            return Err(form("no entry before it holds this name"));
        }
        self.names.insert(seal);
        Ok(())
    }

    pub(super) fn cut_off(&self, number: u64) -> Fault {
        match self.parts.last() {
            Some(part) => entry(
                part.from + 1,
                "is left out: the file ends before it",
                number,
            ),
            None => Fault::Form {
                line: number,
                what: "the end with its signature is left out".to_owned(),
            },
        }
    }

    /// Holds what the first line says that this is of against all entries, and gives those that call it so.
    pub(super) fn namings(&self, number: u64) -> Result<Vec<Naming>, Fault> {
        let namings = self.subject.ends(self.size);
        namings.map_err(|(seq, what)| match seq {
            Some(seq) => entry(seq, &what, number),
            None => Fault::Form { line: number, what },
        })
    }

    /// Holds the end against what came before it.
    pub(super) fn ends(
        &self,
        end: &End,
        (bytes, keys): (&Hash, &[Verifier]),
        number: u64,
    ) -> Result<(), Fault> {
        if !self.parts.is_empty() {
            return Err(self.cut_off(number));
        }
        let form = |what: String| Fault::Form { line: number, what };
        let note = Note::read(&end.note).map_err(|error| form(error.to_string()))?;
        note.signed_by(keys)
            .map_err(|error| form(format!("the end: {error}")))?;
        let listed = Runs::read(&end.entries);
        let listed = listed.ok_or_else(|| form("the list of entries cannot be read".to_owned()))?;
        if let Some(seq) = listed.first_apart(&self.entries) {
            let what = "is not as the list at the end says: left out or put in";
            return Err(entry(seq, what, number));
        }
        if note.text() != end_text(self.head.team, self.size, &end.entries, bytes) {
            let what = "what is signed here is not this file: a line that no entry stands on was changed, or the list";
            return Err(form(what.to_owned()));
        }
        Ok(())
    }
}

fn entry(seq: u64, what: &str, line: u64) -> Fault {
    let what = what.to_owned();
    Fault::Entry { seq, what, line }
}
