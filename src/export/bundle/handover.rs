//! How one key hands over to the next, so that whoever holds the first can go on.

use serde::{Deserialize, Serialize};

use super::Head;
use crate::domain::{
    Change, Entry, Hash,
    checkpoint::{Checkpoint, origin},
    ledger::leaf_hash,
    signed_note::{Note, NoteError, Signs, Verifier},
    tree_proof::{check_consistency, check_inclusion},
};

/// That a key was taken by a record that an older key signed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Handover {
    /// The checkpoint that ends with the entry that took the key, as it was signed.
    pub checkpoint: String,
    /// That entry's text.
    pub entry: String,
    /// The hashes that lead from that entry to the root of that checkpoint, in hexadecimal.
    pub inclusion: Vec<String>,
    /// The hashes by which its tree is the beginning of that of the bundle, in hexadecimal.
    pub consistency: Vec<String>,
}

/// The keys that the trusted ones lead to, from one handover to the next, each with the entry that took it.
///
/// # Errors
/// If a key that is known signed a handover that does not hold.
pub(super) fn known_keys(
    head: &Head,
    trusted: &[Verifier],
    checkpoint: &Checkpoint,
) -> Result<Vec<(u64, Verifier)>, String> {
    let own = trusted.iter().filter(|key| key.signs() == Signs::Text);
    let mut known: Vec<Verifier> = own.cloned().collect();
    let mut led = Vec::new();
    for one in &head.handovers {
        let note = Note::read(&one.checkpoint).map_err(|error| error.to_string())?;
        match note.signed_by(&known) {
            Ok(_) => {}
            Err(NoteError::Unsigned) => continue,
            Err(error) => return Err(format!("a handover of keys: {error}")),
        }
        let said = Checkpoint::read(note.text()).map_err(|error| error.to_string())?;
        let broken = || {
            format!(
                "the handover of keys at entry {}: its proofs do not hold",
                said.size
            )
        };
        if said.origin != origin(head.team) || said.size == 0 || !one.holds(&said, checkpoint) {
            return Err(broken());
        }
        let next = one.taken().ok_or_else(broken)?;
        // The newer key signs its own checkpoint too.
        if known.contains(&next) {
            continue;
        }
        known.push(next.clone());
        led.push((said.size, next));
    }
    Ok(led)
}

impl Handover {
    /// Whether the entry is the last of the signed tree, and that tree the beginning of the bundle's.
    fn holds(&self, said: &Checkpoint, whole: &Checkpoint) -> bool {
        let leaf = leaf_hash(self.entry.as_bytes());
        let (Some(inclusion), Some(consistency)) =
            (hashes(&self.inclusion), hashes(&self.consistency))
        else {
            return false;
        };
        let (old, new) = ((said.size, &said.root), (whole.size, &whole.root));
        check_inclusion(said.size - 1, said.size, leaf, &inclusion, &said.root).is_ok()
            && check_consistency(old, new, &consistency).is_ok()
    }

    /// The key that the entry took.
    fn taken(&self) -> Option<Verifier> {
        let entry: Entry<Change> = serde_json::from_str(&self.entry).ok()?;
        let Change::LedgerKeyTaken(key) = entry.change else {
            return None;
        };
        Verifier::read(&key.verifier).ok()
    }
}

fn hashes(texts: &[String]) -> Option<Vec<Hash>> {
    let read = |text: &String| {
        let mut hash = Hash::default();
        hex::decode_to_slice(text, &mut hash).ok().map(|()| hash)
    };
    texts.iter().map(read).collect()
}
