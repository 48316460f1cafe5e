//! Checks a bundle with what is in it, and names the first entry that is not what was recorded.

use std::{
    collections::BTreeSet,
    io::{self, BufRead},
};

use sha2::{Digest, Sha256};

use super::{
    End, EntryLine, FORM, Head, Line, NameLine, NamedFile, Runs, Scope, end_text, file::named,
};
use crate::domain::{
    Change, Entry, Hash, SealedName,
    checkpoint::{Checkpoint, origin},
    ledger::{leaf_hash, node_hash},
    sealed_name::{open_names, seals},
    signed_note::{Note, Signed, Verifier},
    tree_proof::split,
};

/// The longest line that is read: more than the largest entry could be.
const LONGEST: u64 = 64 * 1024 * 1024;

/// A bundle that is what it says.
#[derive(Clone, Debug)]
pub struct Checked {
    /// Its first line.
    pub head: Head,
    /// How far the record had grown.
    pub checkpoint: Checkpoint,
    /// Who signed the checkpoint, of the keys that were given or else of those in the file.
    pub signed: Vec<Signed>,
    /// Whether a key that was given signed, not only one that the file itself names.
    pub trusted: bool,
    /// Its entries.
    pub entries: Runs,
    /// How many names it gives.
    pub names: usize,
    /// How many names were removed from the record.
    pub removed: usize,
    /// The photos and documents that its entries name. Their bytes are not in it.
    pub files: Vec<NamedFile>,
}

/// Where a bundle is not what it says.
#[derive(Debug, thiserror::Error)]
pub enum Fault {
    /// It cannot be read.
    #[error("the file cannot be read")]
    Unreadable(#[from] io::Error),
    /// It is none, or its beginning or its signatures do not hold.
    #[error("line {line}: {what}")]
    Form {
        /// The line, from 1.
        line: u64,
        /// What does not hold.
        what: String,
    },
    /// An entry is not what was recorded.
    #[error("entry {seq} {what} (line {line})")]
    Entry {
        /// The first such entry.
        seq: u64,
        /// What it is.
        what: String,
        /// The line, from 1.
        line: u64,
    },
}

/// Reads a bundle through and holds every line against the signed root. `trusted` are keys that came on another way; where
/// there are any, one of them must have signed.
///
/// # Errors
/// The first fault, with the entry that it is about.
pub fn check(file: impl BufRead, trusted: &[Verifier]) -> Result<Checked, Fault> {
    let mut lines = Lines::new(file);
    let head = match lines.next()? {
        Some(Line::Bundle(head)) => *head,
        _ => return Err(lines.form("this is no bundle: its first line does not say so")),
    };
    if head.form != FORM {
        let what = format!("this bundle has form {}; {FORM} is known here", head.form);
        return Err(lines.form(what));
    }
    let given: Vec<Verifier> = if trusted.is_empty() {
        let keys = head.keys.iter().map(|key| Verifier::read(key));
        let keys: Result<_, _> = keys.collect();
        keys.map_err(|error| lines.form(error))?
    } else {
        trusted.to_vec()
    };
    let note = Note::read(&head.checkpoint).map_err(|error| lines.form(error))?;
    let signed = note.signed_by(&given);
    let signed = signed.map_err(|error| lines.form(format!("the checkpoint: {error}")))?;
    let checkpoint = Checkpoint::read(note.text()).map_err(|error| lines.form(error))?;
    if checkpoint.origin != origin(head.team) {
        return Err(lines.form("the checkpoint is one of another team's record"));
    }
    let mut walk = Walk::new(&head, &checkpoint);
    let end = loop {
        let before = lines.hashed();
        match lines.next()? {
            Some(Line::End(end)) => break (end, before),
            Some(line) => walk.take(line, lines.number)?,
            None => return Err(walk.cut_off(lines.number)),
        }
    };
    walk.ends(&end.0, (&end.1, &given), lines.number)?;
    if lines.next()?.is_some() {
        return Err(lines.form("something stands behind the end"));
    }
    Ok(Checked {
        entries: walk.entries,
        files: walk.files,
        names: walk.names.len(),
        removed: walk.sealed.difference(&walk.names).count(),
        trusted: !trusted.is_empty(),
        head,
        checkpoint,
        signed,
    })
}

/// The lines of a file, with the hash of all that was read.
struct Lines<R> {
    file: R,
    number: u64,
    hash: Sha256,
}

impl<R: BufRead> Lines<R> {
    fn new(file: R) -> Self {
        Self {
            file,
            number: 0,
            hash: Sha256::new(),
        }
    }

    fn hashed(&self) -> Hash {
        self.hash.clone().finalize().into()
    }

    fn next(&mut self) -> Result<Option<Line>, Fault> {
        let mut line = Vec::new();
        let mut rest = io::Read::take(&mut self.file, LONGEST);
        if rest.read_until(b'\n', &mut line)? == 0 {
            return Ok(None);
        }
        self.number += 1;
        self.hash.update(&line);
        serde_json::from_slice(&line)
            .map(Some)
            .map_err(|error| self.form(format!("this is no line of a bundle: {error}")))
    }

    fn form(&self, what: impl ToString) -> Fault {
        Fault::Form {
            line: self.number,
            what: what.to_string(),
        }
    }
}

/// A part of the tree whose hash is known: the leaves `from..to`, from 0.
struct Part {
    from: u64,
    to: u64,
    hash: Hash,
}

/// The tree, from its root down to where the file has come.
struct Walk<'a> {
    head: &'a Head,
    size: u64,
    /// What is still to come, the next on top.
    parts: Vec<Part>,
    entries: Runs,
    sealed: BTreeSet<Hash>,
    names: BTreeSet<Hash>,
    files: Vec<NamedFile>,
}

impl<'a> Walk<'a> {
    fn new(head: &'a Head, checkpoint: &Checkpoint) -> Self {
        let root = Part {
            from: 0,
            to: checkpoint.size,
            hash: checkpoint.root,
        };
        Self {
            head,
            size: checkpoint.size,
            parts: (checkpoint.size > 0).then_some(root).into_iter().collect(),
            entries: Runs::default(),
            sealed: BTreeSet::new(),
            names: BTreeSet::new(),
            files: Vec::new(),
        }
    }

    fn take(&mut self, line: Line, number: u64) -> Result<(), Fault> {
        match line {
            Line::Node(halves) => self.node(&halves, number),
            Line::Past([first, last]) => self.past(first, last, number),
            Line::Entry(entry) => self.entry(&entry, number),
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
        let wanted = match self.head.of {
            Scope::Time {
                first: from,
                last: to,
                ..
            } => (first.max(from) <= last.min(to)).then_some(first.max(from)),
            _ => self.head.of.asks_for(first).then_some(first),
        };
        match wanted {
            Some(seq) => Err(entry(seq, "is left out", number)),
            None => Ok(()),
        }
    }

    fn entry(&mut self, line: &EntryLine, number: u64) -> Result<(), Fault> {
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
        self.about(line, number)?;
        self.entries.push(seq);
        self.sealed.extend(seals(&line.payload));
        self.files.extend(named(seq, &line.payload));
        Ok(())
    }

    /// Refuses an entry that is about something else; one of a kind that this program does not know yet is let be.
    fn about(&self, line: &EntryLine, number: u64) -> Result<(), Fault> {
        let Some(of) = self.head.of.subjects() else {
            return Ok(());
        };
        let read: Result<Entry<Change>, _> = serde_json::from_str(&open_names(&line.payload, &[]));
        let about = read.map(|read| read.change.subjects());
        if about.is_ok_and(|about| !about.iter().any(|id| of.contains(id))) {
            let what = format!("does not belong to {}", self.head.of.words());
            return Err(entry(line.seq, &what, number));
        }
        Ok(())
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

    fn cut_off(&self, number: u64) -> Fault {
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

    /// Holds the end against what came before it.
    fn ends(
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
