//! The ledger as it is read after each fault: every entry since the last look, the tree grown by it, each write once.

use std::collections::HashMap;

use super::{
    Failure,
    write::{Mark, mark},
};
use crate::{
    domain::{Change, Entry, Frontier, Sealed, ledger::leaf_hash},
    store::Tx,
};

/// How many entries are read at once.
const PAGE: u32 = 500;

/// How far the ledger was read. The tree goes on from what was read before: were an older entry another one now, the
/// root would not be that of the head.
#[derive(Default)]
pub(super) struct Reading {
    pub(super) tree: Frontier,
    seen: HashMap<Mark, u64>,
}

impl Reading {
    /// Reads on to the end.
    ///
    /// # Errors
    /// The first entry that is missing, is not what its hashes say, or is there twice; a head that stands elsewhere.
    pub(super) async fn read_on(&mut self, tx: &mut Tx) -> Result<(), Failure> {
        loop {
            let page = tx.entries_after(self.tree.size(), PAGE).await?;
            if page.is_empty() {
                break;
            }
            for sealed in page {
                self.take(&sealed)?;
            }
        }
        let head = tx.head().await?.ok_or("the team has no ledger")?;
        if (head.size, head.root) != (self.tree.size(), self.tree.root()) {
            let (size, read) = (head.size, self.tree.size());
            return Err(format!("the head of the ledger says {size} entries, {read} are there, or its root is another").into());
        }
        Ok(())
    }

    fn take(&mut self, sealed: &Sealed) -> Result<(), Failure> {
        let seq = self.tree.size() + 1;
        if sealed.seq != seq {
            return Err(format!("entry {seq} is missing; the next is {}", sealed.seq).into());
        }
        let leaf = leaf_hash(sealed.payload.as_bytes());
        self.tree.append(leaf);
        if sealed.leaf != leaf || sealed.root != self.tree.root() {
            return Err(format!("entry {seq} does not have the hashes of its tree").into());
        }
        let entry: Entry<Change> = sealed.entry()?;
        if let Some(mark) = mark(&entry.change) {
            self.note(mark, seq)?;
        }
        Ok(())
    }

    fn note(&mut self, mark: Mark, seq: u64) -> Result<(), Failure> {
        match self.seen.insert(mark, seq) {
            None => Ok(()),
            Some(first) => {
                Err(format!("{} {} is entry {first} and entry {seq}", mark.0, mark.1).into())
            }
        }
    }

    /// Whether all of these are in the ledger, one behind the other.
    ///
    /// # Errors
    /// If some are and some are not, or others stand between them.
    pub(super) fn holds(&self, marks: &[Mark]) -> Result<bool, Failure> {
        let mut at = marks.iter().filter_map(|mark| self.seen.get(mark).copied());
        let at: Vec<u64> = at.by_ref().collect();
        if at.is_empty() {
            return Ok(false);
        }
        if at.len() < marks.len() {
            let (there, all) = (at.len(), marks.len());
            return Err(format!("{there} of its {all} entries are in the ledger").into());
        }
        if at.windows(2).any(|pair| pair[0] + 1 != pair[1]) {
            return Err("others stand between its entries in the ledger".into());
        }
        Ok(true)
    }
}

#[cfg(test)]
mod tests {
    use uuid::Uuid;

    use super::*;

    fn lines(count: u128) -> Vec<Mark> {
        let id = |number| ("kit-line-added", Uuid::from_u128(number));
        (1..=count).map(id).collect()
    }

    #[test]
    fn a_write_is_there_whole_or_not_at_all() {
        let marks = lines(3);
        let mut reading = Reading::default();
        assert!(!reading.holds(&marks).unwrap());
        for (seq, mark) in (7..).zip(&marks[..2]) {
            reading.note(*mark, seq).unwrap();
        }
        let half = reading.holds(&marks).unwrap_err().to_string();
        assert!(half.contains("2 of its 3 entries"), "{half}");
        reading.note(marks[2], 9).unwrap();
        assert!(reading.holds(&marks).unwrap());
    }

    #[test]
    fn what_came_in_two_pieces_is_not_whole() {
        let marks = lines(2);
        let mut reading = Reading::default();
        reading.note(marks[0], 4).unwrap();
        reading.note(marks[1], 6).unwrap();
        assert!(reading.holds(&marks).is_err());
    }

    #[test]
    fn what_is_there_twice_is_named() {
        let mark = lines(1)[0];
        let mut reading = Reading::default();
        reading.note(mark, 4).unwrap();
        let twice = reading.note(mark, 9).unwrap_err().to_string();
        assert!(twice.ends_with("is entry 4 and entry 9"), "{twice}");
    }
}
