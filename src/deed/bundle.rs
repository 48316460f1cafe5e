//! Bundles: entries of the ledger in a file that anybody can check without this server. Written as it is read, a page
//! of entries in memory at a time; each page is read in a transaction of its own, and nothing in it can change meanwhile.

mod choice;

use std::{
    collections::{HashMap, HashSet, VecDeque},
    ops::Range,
};

use bytes::Bytes;
use futures::{Stream, StreamExt, stream};
use sha2::{Digest, Sha256};

use self::choice::{Choice, chosen};
use super::{
    DeedError, Desk,
    checkpoint::broken,
    guest,
    history::{Of, about},
    permit,
    signer::{self, Signer, handovers},
};
use crate::{
    domain::{
        Actor, Deed, Frontier, Hash, NotAllowed, Sealed, SigningSecret, Subtree, TeamId,
        checkpoint::Checkpoint,
        ledger::{fold, node_hash},
        signed_note::Note,
        tree_proof::split,
    },
    export::bundle::{End, EntryLine, Head, Line, NameLine, Runs, Scope, end_text, written},
    store::{Direction, EntryFilter, Span, StoreError, Tx},
};

/// How many leaves are walked at once: a power of two.
const BLOCK: u64 = 512;
/// How many bytes of a bundle are made before the first goes out: whoever asks for a small one of a record that is not whole
/// is told so, and gets no file that breaks off.
const HELD_BACK: usize = 8 * 1024 * 1024;

/// What a bundle is of.
#[derive(Clone, Debug)]
pub struct Wanted {
    /// The team, an item or a job.
    pub of: Of,
    /// Only the moments are heeded, and of the team alone.
    pub filter: EntryFilter,
}

/// Begins a bundle, and gives a plain word for its name.
///
/// # Errors
/// [`DeedError::NotFound`] if the team has no such item or job; [`NotAllowed::NoSigningSecret`] if this server cannot
/// sign for it; [`NotAllowed::NotOfItsHashes`] if the record is seen not to be whole before the first byte goes out.
pub async fn begin(
    desk: &Desk,
    actor: &Actor,
    secret: Option<&SigningSecret>,
    wanted: Wanted,
) -> Result<
    (
        &'static str,
        impl Stream<Item = Result<Bytes, DeedError>> + Send + use<>,
    ),
    DeedError,
> {
    permit(actor, Deed::Export)?;
    let team = actor.team;
    let mut tx = desk.database.read(team).await?;
    let subject = about(&mut tx, wanted.of).await?;
    let (frame, _) = tx.this_team().await?.ok_or(StoreError::NoTeam)?;
    let (signer, note) = signer::of_now(&mut tx, desk, secret).await?;
    let read = Checkpoint::read(note.text()).map_err(|e| DeedError::Internal(e.into()))?;
    let (scope, choice) = chosen(&mut tx, &wanted, &subject, read.size).await?;
    let word = match scope {
        Scope::Team {} => "record",
        Scope::Time { .. } => "record-part",
        Scope::Item { .. } => "item-record",
        Scope::Job { .. } => "job-record",
    };
    let mut head = Head::new(
        (team, frame.name),
        scope,
        (desk.clock.now(), guest::exporter(&mut tx, actor).await?),
        (note.whole(), signer::all_keys(&mut tx).await?),
    );
    head.handovers = handovers(&mut tx, read.size).await?;
    drop(tx);
    let mut walk = Walk {
        desk: desk.clone(),
        team,
        signer,
        size: read.size,
        choice,
        parts: Vec::new(),
        names: HashSet::new(),
        entries: Runs::default(),
        hash: Sha256::new(),
        begun: Some(head),
        ended: false,
    };
    if read.size > 0 {
        walk.parts.push((0..read.size, read.root));
    }
    Ok((word, walk.chunks().await?))
}

/// A bundle that is being written: the tree from its root down to where the file has come.
struct Walk {
    desk: Desk,
    team: TeamId,
    signer: Signer,
    size: u64,
    choice: Choice,
    /// What is still to come, the next on top: leaves, from 0, and their hash.
    parts: Vec<(Range<u64>, Hash)>,
    /// The seals whose names were given.
    names: HashSet<Hash>,
    entries: Runs,
    hash: Sha256,
    begun: Option<Head>,
    ended: bool,
}

impl Walk {
    /// The file, once its beginning is made without a fault.
    async fn chunks(
        mut self,
    ) -> Result<impl Stream<Item = Result<Bytes, DeedError>> + Send, DeedError> {
        let (mut held, mut bytes) = (Vec::new(), 0);
        while bytes < HELD_BACK
            && let Some(chunk) = self.chunk().await?
        {
            bytes += chunk.len();
            held.push(Ok(chunk));
        }
        let rest = stream::try_unfold(self, async |mut walk| {
            let chunk = walk.chunk().await?;
            Ok(chunk.map(|chunk| (chunk, walk)))
        });
        Ok(stream::iter(held).chain(rest))
    }

    /// The next part of the file; none at its end.
    async fn chunk(&mut self) -> Result<Option<Bytes>, DeedError> {
        let mut text = String::new();
        if let Some(head) = self.begun.take() {
            self.push(&mut text, &Line::Bundle(Box::new(head)))?;
            return Ok(Some(text.into()));
        }
        if self.ended {
            return Ok(None);
        }
        let mut tx = self.desk.database.read(self.team).await?;
        while text.len() < 64 * 1024
            && let Some((part, hash)) = self.parts.pop()
        {
            if self.choice.first_in(&part).is_none() {
                let past = Line::Past([part.start + 1, part.end]);
                self.push(&mut text, &past)?;
            } else if part.end - part.start <= BLOCK {
                self.block(&mut tx, &mut text, part, hash).await?;
            } else {
                let half = half(&part);
                let left = tx.part_hash(part.start, half).await?;
                let right = tx.part_hash(half, part.end).await?;
                self.node(&mut text, hash, [left, right])?;
                self.parts.push((half..part.end, right));
                self.parts.push((part.start..half, left));
            }
        }
        if self.parts.is_empty() {
            self.ended = true;
            self.end(&mut text)?;
        }
        Ok(Some(text.into()))
    }

    /// Writes a part of at most [`BLOCK`] leaves.
    async fn block(
        &mut self,
        tx: &mut Tx,
        text: &mut String,
        part: Range<u64>,
        hash: Hash,
    ) -> Result<(), DeedError> {
        let subtrees = subtrees_of(&tx.leaf_hashes(part.start, part.end).await?);
        let span = Span {
            first: part.start + 1,
            last: part.end,
        };
        let limit = u32::try_from(BLOCK).unwrap_or(u32::MAX);
        let entries = match &self.choice {
            Choice::Span { with, .. } => {
                let span = Span {
                    first: span.first.max(with.first),
                    last: span.last.min(with.last),
                };
                let all = EntryFilter::default();
                tx.sealed_entries(&all, span, Direction::Up, limit).await?
            }
            Choice::Some(_, filter) => {
                tx.sealed_entries(filter, span, Direction::Up, limit)
                    .await?
            }
        };
        let mut entries = VecDeque::from(entries);
        let mut parts = vec![(part.clone(), hash)];
        while let Some((inner, hash)) = parts.pop() {
            if self.choice.first_in(&inner).is_none() {
                self.push(text, &Line::Past([inner.start + 1, inner.end]))?;
            } else if inner.end - inner.start == 1 {
                let entry = entries.pop_front().filter(|entry| entry.seq == inner.end);
                let entry = entry.ok_or(torn())?;
                self.entry(text, &entry)?;
            } else {
                let half = half(&inner);
                // A block begins where its subtrees may, so that they are those of its own leaves.
                let known = |range: Range<u64>| {
                    let within = (range.start - part.start, range.end - part.start);
                    let parts = Subtree::covering(within.0, within.1).into_iter();
                    let parts = parts.map(|subtree| subtrees.get(&subtree).copied());
                    let parts: Option<Vec<Hash>> = parts.collect();
                    parts.map(|parts| fold(&parts)).ok_or(torn())
                };
                let (left, right) = (known(inner.start..half)?, known(half..inner.end)?);
                self.node(text, hash, [left, right])?;
                parts.push((half..inner.end, right));
                parts.push((inner.start..half, left));
            }
        }
        Ok(())
    }

    /// Writes both halves of a part, if they are what its hash says.
    fn node(&mut self, text: &mut String, hash: Hash, halves: [Hash; 2]) -> Result<(), DeedError> {
        let [left, right] = &halves;
        if node_hash(left, right) != hash {
            return Err(torn());
        }
        self.push(text, &Line::Node(halves.map(hex::encode)))
    }

    fn entry(&mut self, text: &mut String, entry: &Sealed) -> Result<(), DeedError> {
        let line = EntryLine {
            seq: entry.seq,
            payload: entry.payload.clone(),
        };
        match &mut self.choice {
            Choice::Some(seqs, _) => {
                seqs.pop_front();
            }
            Choice::Span { of, .. } if !(of.first..=of.last).contains(&entry.seq) => {
                return self.push(text, &Line::Beside(line));
            }
            Choice::Span { .. } => {}
        }
        self.entries.push(entry.seq);
        self.push(text, &Line::Entry(line))?;
        for name in &entry.names {
            if self.names.insert(name.seal) {
                self.push(text, &Line::Name(NameLine::from(name)))?;
            }
        }
        Ok(())
    }

    fn end(&mut self, text: &mut String) -> Result<(), DeedError> {
        let bytes = self.hash.clone().finalize().into();
        let entries = self.entries.text();
        let signed = end_text(self.team, self.size, &entries, &bytes);
        let mut note = Note::of(signed).map_err(broken)?;
        self.signer.sign(&mut note).map_err(broken)?;
        let note = note.whole();
        self.push(text, &Line::End(End { entries, note }))
    }

    fn push(&mut self, text: &mut String, line: &Line) -> Result<(), DeedError> {
        let line = written(line).map_err(|e| DeedError::Internal(e.into()))?;
        self.hash.update(&line);
        text.push_str(&line);
        Ok(())
    }
}

/// Where the right half of a part begins.
fn half(part: &Range<u64>) -> u64 {
    part.start + split(part.end - part.start)
}

/// The full subtrees of leaves that stand next to each other, each hashed once.
fn subtrees_of(leaves: &[Hash]) -> HashMap<Subtree, Hash> {
    let mut frontier = Frontier::default();
    let mut subtrees = HashMap::new();
    for (index, leaf) in (0..).zip(leaves) {
        subtrees.insert(Subtree { level: 0, index }, *leaf);
        subtrees.extend(frontier.append(*leaf));
    }
    subtrees
}

fn torn() -> DeedError {
    NotAllowed::NotOfItsHashes.into()
}
