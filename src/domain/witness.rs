//! Witnesses: somebody outside who signs a team's checkpoints too, so that no team can show two records.

use serde::{Deserialize, Serialize};

use super::{
    FieldErrors, WitnessId,
    checkpoint::LEDGERS,
    signed_note::{Signs, Verifier},
};

/// Somebody who is asked to sign checkpoints.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Witness {
    /// Its id.
    pub id: WitnessId,
    /// The key: `NAME+IDENTIFIER+KEY`, of one who signs text and moment.
    pub verifier: String,
    /// Who that is.
    pub who: String,
    /// Why it was ended, if it was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ended: Option<String>,
}

/// That somebody is asked no longer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct WitnessEnd {
    /// Who.
    pub witness: WitnessId,
    /// The name of the key.
    pub name: String,
    /// Why.
    pub reason: String,
}

/// A witness, as typed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default)]
pub struct WitnessDraft {
    /// The key.
    pub verifier: String,
    /// Who that is.
    pub who: String,
}

impl WitnessDraft {
    /// Checks a witness.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self, id: WitnessId) -> Result<Witness, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let who = wrong.line("who", &self.who);
        let read = Verifier::read(&self.verifier);
        let verifier = wrong.keep("verifier", "key", read);
        if let Some(verifier) = &verifier
            && verifier.signs() == Signs::Text
        {
            let sentence = "This key signs a text without the moment, as the team's own do. A witness needs a key of \
                            the kind cosignature/v1.";
            wrong.add("verifier", "kind", sentence);
        }
        if let Some(verifier) = &verifier
            && verifier.name().starts_with(LEDGERS)
        {
            let sentence = format!(
                "A name that begins with {LEDGERS} is that of a record, not of a witness: it would stand beside the \
                 record's own signature as if it were that. Have the witness take a key of another name than {}.",
                verifier.name()
            );
            wrong.add("verifier", "name", sentence);
        }
        match verifier {
            Some(verifier) if wrong.is_empty() => Ok(Witness {
                id,
                verifier: verifier.text(),
                who,
                ended: None,
            }),
            _ => Err(wrong),
        }
    }
}

impl Witness {
    /// The key, while the witness is asked.
    pub fn key(&self) -> Option<Verifier> {
        Verifier::read(&self.verifier).ok()
    }
}
