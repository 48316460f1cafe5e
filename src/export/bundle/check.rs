//! Checks a bundle with what is in it, and names the first entry that is not what was recorded.

use std::{
    io::{self, BufRead},
    slice,
};

use super::{
    FORM, Head, Line, NamedFile, Naming, Runs, handover::known_keys, line::Lines, walk::Walk,
};
use crate::domain::{
    checkpoint::{Checkpoint, origin},
    signed_note::{Note, NoteError, Signed, Signs, Verifier},
};

/// A bundle that is what it says.
#[derive(Clone, Debug)]
pub struct Checked {
    /// Its first line.
    pub head: Head,
    /// How far the record had grown.
    pub checkpoint: Checkpoint,
    /// The team's keys that signed the checkpoint, of those that were given or else of those in the file.
    pub signed: Vec<Verifier>,
    /// Who else saw the checkpoint.
    pub witnesses: Vec<Witnessed>,
    /// Whether a key of the team's that was given signed, not only one that the file itself names.
    pub trusted: bool,
    /// The keys that it led to from one that was given, each with the entry that took it.
    pub handed_over: Vec<(u64, Verifier)>,
    /// Whether entries call the team, and the item or the job where it is of one, as the first line does.
    pub namings: Vec<Naming>,
    /// Its entries.
    pub entries: Runs,
    /// How many names it gives.
    pub names: usize,
    /// How many names were removed from the record.
    pub removed: usize,
    /// The photos and documents that its entries name. Their bytes are not in it.
    pub files: Vec<NamedFile>,
    /// The first entry that was recorded earlier than the one before it in the file, by the server's clock.
    pub went_back: Option<u64>,
}

/// A signature of a witness.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Witnessed {
    /// Whose, and when.
    pub by: Signed,
    /// Whether its key was given; else only the file says that this key is theirs.
    pub trusted: bool,
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

/// Reads a bundle through and holds every line against the signed root. `trusted` are keys that came on another way: where
/// there are any of the team's, one of them must have signed, and of witnesses' each.
///
/// # Errors
/// The first fault, with the entry that it is about.
pub fn check(file: impl BufRead, trusted: &[Verifier]) -> Result<Checked, Fault> {
    let mut lines = Lines::new(file);
    let head = match lines.next()? {
        Some(Line::Bundle(head)) => *head,
        _ => return Err(lines.form("this is no bundle: its first line does not say so")),
    };
    if !(1..=FORM).contains(&head.form) {
        let what = format!(
            "this bundle has form {}; 1 to {FORM} are known here",
            head.form
        );
        return Err(lines.form(what));
    }
    let note = Note::read(&head.checkpoint).map_err(|error| lines.form(error))?;
    let checkpoint = Checkpoint::read(note.text()).map_err(|error| lines.form(error))?;
    if checkpoint.origin != origin(head.team) {
        return Err(lines.form("the checkpoint is one of another team's record"));
    }
    if !head.of.is_within(checkpoint.size) {
        return Err(lines.form("it is said to be of entries that the record did not have"));
    }
    let (given, handed_over) =
        keys(&head, trusted, &checkpoint).map_err(|what| lines.form(what))?;
    note.signed_by(&given)
        .map_err(|error| lines.form(unsigned(&error, trusted, &head)))?;
    let did = |key: &&Verifier| note.signed_by(slice::from_ref(key)).is_ok();
    let signed = given.iter().filter(did).cloned().collect();
    let witnesses = witnesses(&note, &head, trusted).map_err(|what| lines.form(what))?;
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
    let namings = walk.namings(lines.number)?;
    if lines.next()?.is_some() {
        return Err(lines.form("something stands behind the end"));
    }
    Ok(Checked {
        entries: walk.entries,
        files: walk.files,
        names: walk.names.len(),
        removed: walk.sealed.difference(&walk.names).count(),
        trusted: trusted.iter().any(is_own),
        witnesses,
        went_back: walk.went_back,
        namings,
        handed_over,
        head,
        checkpoint,
        signed,
    })
}

/// Keys that older ones hand over to, each with its entry.
type Heirs = Vec<(u64, Verifier)>;

/// Whether a key is a team's, not a witness's.
fn is_own(key: &Verifier) -> bool {
    key.signs() == Signs::Text
}

/// The team's keys that may have signed: those that were given, and those that they hand over to, each of which is told with
/// its entry; or else those of the file.
fn keys(
    head: &Head,
    trusted: &[Verifier],
    checkpoint: &Checkpoint,
) -> Result<(Vec<Verifier>, Heirs), String> {
    let own: Vec<Verifier> = trusted.iter().filter(|key| is_own(key)).cloned().collect();
    if own.is_empty() {
        let keys = head.keys.iter().map(|key| Verifier::read(key));
        let keys: Result<Vec<Verifier>, NoteError> = keys.collect();
        let keys = keys.map_err(|error| error.to_string())?.into_iter();
        return Ok((keys.filter(is_own).collect(), Vec::new()));
    }
    let heirs = known_keys(head, &own, checkpoint)?;
    let all = own.iter().chain(heirs.iter().map(|(_, key)| key));
    Ok((all.cloned().collect(), heirs))
}

/// The witnesses whose keys were given, each of whom must have signed, and those that the file names beside them.
fn witnesses(note: &Note, head: &Head, trusted: &[Verifier]) -> Result<Vec<Witnessed>, String> {
    let named = head.keys.iter().filter_map(|key| Verifier::read(key).ok());
    let named: Vec<Verifier> = named.filter(|key| !trusted.contains(key)).collect();
    let given = trusted.iter().map(|key| (key, true));
    let all = given.chain(named.iter().map(|key| (key, false)));
    let mut witnesses = Vec::new();
    for (key, trusted) in all.filter(|(key, _)| !is_own(key)) {
        match note.signed_by(slice::from_ref(key)) {
            Ok(signed) => {
                witnesses.extend(signed.into_iter().map(|by| Witnessed { by, trusted }));
            }
            Err(NoteError::Unsigned) if !trusted => {}
            Err(NoteError::Unsigned) => {
                let name = key.name();
                return Err(format!(
                    "the checkpoint: the witness {name}, whose key you gave, did not sign it"
                ));
            }
            Err(error) => return Err(format!("the checkpoint: {error}")),
        }
    }
    Ok(witnesses)
}

/// Why a checkpoint is not taken, and what whoever holds an older key can do.
fn unsigned(error: &NoteError, trusted: &[Verifier], head: &Head) -> String {
    match head.keys.first() {
        Some(newest) if *error == NoteError::Unsigned && trusted.iter().any(is_own) => format!(
            "the checkpoint: no key that you gave signed it, and none of them hands over to the one that did. The file \
             says that {newest} signs now: ask the team for its key on another way and give that one with --key. What an \
             older key signed is held against that older key still"
        ),
        _ => format!("the checkpoint: {error}"),
    }
}
