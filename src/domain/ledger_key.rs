//! Keys by which a team's checkpoints are signed. They are made from a secret of the server, so that no copy of the
//! database can sign; which key was taken when stands in the ledger itself.

use ed25519_dalek::SigningKey;
use hmac::{Hmac, KeyInit, Mac};
use serde::{Deserialize, Serialize};
use sha2::Sha256;

use super::{
    TeamId,
    checkpoint::{Checkpoint, origin},
    signed_note::{Note, NoteError, Signs, Verifier},
};

/// What every key of a server is made from: 32 random bytes that only the server knows.
#[derive(Clone)]
pub struct SigningSecret([u8; 32]);

/// A secret is not written as it has to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the secret that signs checkpoints is 64 hexadecimal digits")]
pub struct NoSecret;

impl SigningSecret {
    /// A secret of these bytes, which must be random.
    pub fn new(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// Reads a secret: 64 hexadecimal digits.
    ///
    /// # Errors
    /// If it is not that.
    pub fn read(text: &str) -> Result<Self, NoSecret> {
        let mut bytes = [0; 32];
        hex::decode_to_slice(text.trim(), &mut bytes).map_err(|_| NoSecret)?;
        Ok(Self(bytes))
    }

    /// Its text, for the file that keeps it.
    pub fn text(&self) -> String {
        hex::encode(self.0)
    }

    /// The key of a team with this number: HMAC-SHA-256 of both under the secret.
    pub fn key(&self, team: TeamId, number: u32) -> SigningKey {
        let mac = <Hmac<Sha256> as KeyInit>::new_from_slice(&self.0);
        let Ok(mut mac) = mac else {
            unreachable!("HMAC takes a key of any length");
        };
        mac.update(format!("ropeloft: key {number} of {}", team.0).as_bytes());
        SigningKey::from_bytes(&mac.finalize().into_bytes().into())
    }

    /// What signatures of that key are held against.
    ///
    /// # Errors
    /// None that could come up: the name of a ledger is one of a key.
    pub fn verifier(&self, team: TeamId, number: u32) -> Result<Verifier, NoteError> {
        let key = self.key(team, number).verifying_key();
        Verifier::new(&origin(team), Signs::Text, key)
    }
}

impl std::fmt::Debug for SigningSecret {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("SigningSecret")
    }
}

/// A key that signs a team's checkpoints from its entry on, until the next is taken.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct LedgerKey {
    /// Which of the team's keys, from 1.
    pub number: u32,
    /// What its signatures are held against: `NAME+IDENTIFIER+KEY`.
    pub verifier: String,
    /// Why it was taken.
    pub reason: String,
}

/// Reads a checkpoint that is kept as one of a team's first `size` entries: of that ledger and size, and signed by the key
/// that signed then. `keys` are the team's, the newest first, each with the entry that took it.
///
/// # Errors
/// What does not agree, in words.
pub fn own_checkpoint(
    (team, size): (TeamId, u64),
    note: &str,
    keys: &[(u64, LedgerKey)],
) -> Result<Checkpoint, String> {
    let note = Note::read(note).map_err(|error| error.to_string())?;
    let said = Checkpoint::read(note.text()).map_err(|error| error.to_string())?;
    if (said.origin.as_str(), said.size) != (origin(team).as_str(), size) {
        return Err("its text is of another ledger or of another size".to_owned());
    }
    let key = keys.iter().find(|(since, _)| *since <= size);
    let (_, key) = key.ok_or("no key signed then")?;
    let verifier = Verifier::read(&key.verifier).map_err(|error| error.to_string())?;
    match note.signed_by(&[verifier]) {
        Ok(_) => Ok(said),
        Err(NoteError::Unsigned) => Err(format!(
            "key {}, which signed then, did not sign it",
            key.number
        )),
        Err(error) => Err(format!("key {}: {error}", key.number)),
    }
}
