//! What a bundle's first line says that it is of, held against what its entries are about and what they call it.

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::{EntryLine, Head, Scope};
use crate::domain::{Change, Entry, sealed_name::open_names};

/// How an entry that names the team is known before it is read.
const OF_TEAM: &str = "\"kind\":\"team-";

/// Something that the first line gives a name, and the entry that calls it so, the last that calls it anything; where there
/// is none, the name is the server's word.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Naming {
    /// Its id.
    pub id: Uuid,
    /// That entry.
    pub entry: Option<u64>,
}

/// What the entries so far are about, and what they call it.
pub(super) struct Subject<'a> {
    head: &'a Head,
    /// The item or the job, and what belongs to it: ropes that it was cut from, models and notices.
    of: Option<Vec<Uuid>>,
    /// The first entry about each of these.
    first: BTreeMap<Uuid, u64>,
    /// Which of these an entry shows to belong to the first of them.
    belonging: BTreeSet<Uuid>,
    /// What was called something, with the latest entry that did.
    called: BTreeMap<Uuid, (u64, String)>,
}

impl<'a> Subject<'a> {
    pub(super) fn new(head: &'a Head) -> Self {
        let of = head.of.subjects();
        Self {
            head,
            belonging: of.iter().flatten().take(1).copied().collect(),
            of,
            first: BTreeMap::new(),
            called: BTreeMap::new(),
        }
    }

    /// Takes an entry, or says why it does not belong here; one of a kind that this program does not know yet is let be.
    pub(super) fn take(&mut self, line: &EntryLine) -> Result<(), String> {
        if self.of.is_none() && !line.payload.contains(OF_TEAM) {
            return Ok(());
        }
        let read: Result<Entry<Change>, _> = serde_json::from_str(&open_names(&line.payload, &[]));
        let Ok(Entry { change, .. }) = read else {
            return Ok(());
        };
        if let Some(of) = &self.of {
            let about = change.subjects();
            let about: Vec<Uuid> = about.into_iter().filter(|id| of.contains(id)).collect();
            if about.is_empty() {
                return Err(format!("does not belong to {}", self.head.of.words()));
            }
            for id in &about {
                self.first.entry(*id).or_insert(line.seq);
            }
            self.belonging.extend(shown(&change, &about));
        }
        for (id, name) in names(&change) {
            self.called.insert(id, (line.seq, name.to_owned()));
        }
        Ok(())
    }

    /// Holds the first line against all entries, of a record that had `size`: what is called so, or what does not hold, with
    /// the entry that shows it.
    pub(super) fn ends(&self, size: u64) -> Result<Vec<Naming>, (Option<u64>, String)> {
        let of = self.of.as_deref().unwrap_or_default();
        if self.of.is_some() && of.is_empty() {
            return Err((
                None,
                "the first line names nothing that it is of".to_owned(),
            ));
        }
        for id in of {
            let seq = self.first.get(id).copied();
            let Some(seq) = seq else {
                let what = format!("the first line names {id}, and no entry is about it");
                return Err((None, what));
            };
            if !self.belonging.contains(id) {
                let what = format!(
                    "does not belong to {}: {id} is no rope that it was cut from, no model that it was of and no notice",
                    self.head.of.words()
                );
                return Err((Some(seq), what));
            }
        }
        let mut namings = vec![self.naming(self.head.team.0, &self.head.team_name, size)?];
        let (Scope::Item { mark: name, .. } | Scope::Job { title: name, .. }) = &self.head.of
        else {
            return Ok(namings);
        };
        for id in of.iter().take(1) {
            let naming = self.naming(*id, name, size)?;
            if naming.entry.is_none() {
                let what = format!(
                    "no entry says that it is called {name}: where its record begins is left out"
                );
                return Err((None, what));
            }
            namings.push(naming);
        }
        Ok(namings)
    }

    /// Which entry calls it so. The name is the one that it had in the end, which a time that ends before does not tell.
    fn naming(&self, id: Uuid, name: &str, size: u64) -> Result<Naming, (Option<u64>, String)> {
        let goes_on = matches!(self.head.of, Scope::Time { last, .. } if last < size);
        let entry = match self.called.get(&id) {
            Some((seq, said)) if said == name => Some(*seq),
            Some((seq, said)) if !goes_on => {
                let what = format!("calls it {said}, and the first line {name}");
                return Err((Some(*seq), what));
            }
            _ => None,
        };
        Ok(Naming { id, entry })
    }
}

/// Which records an entry shows to belong to the first, by the records that it is about: a notice, a rope that was cut into
/// one of them, and the model of an item.
fn shown(change: &Change, about: &[Uuid]) -> Vec<Uuid> {
    match change {
        Change::ItemAdded(item) | Change::ItemRevised(item) => vec![item.model.0],
        Change::NoticeOpened(_) | Change::NoticeCorrected(_) | Change::NoticeWithdrawn(_) => {
            about.to_vec()
        }
        Change::RopeCut(cut) if about.iter().any(|id| *id != cut.rope.0) => {
            let rope = about.iter().filter(|id| **id == cut.rope.0);
            rope.copied().collect()
        }
        _ => Vec::new(),
    }
}

/// What an entry calls something.
fn names(change: &Change) -> Vec<(Uuid, &str)> {
    match change {
        Change::TeamFounded(team) | Change::TeamRevised(team) => vec![(team.id.0, &team.name)],
        Change::ItemAdded(item) | Change::ItemRevised(item) => vec![(item.id.0, &item.mark)],
        Change::RopeCut(cut) => {
            let pieces = cut.pieces.iter();
            pieces.map(|piece| (piece.id.0, &*piece.mark)).collect()
        }
        Change::JobPlanned(job) | Change::JobRevised(job) => vec![(job.id.0, &job.title)],
        _ => Vec::new(),
    }
}
