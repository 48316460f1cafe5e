//! That an address is whose it is said to be: a letter with a code goes there, and nothing else until the code has come
//! back.

use time::{Duration, OffsetDateTime};

use super::PersonId;

/// How long the code of a letter holds.
pub const CODE_HOLDS: Duration = Duration::hours(48);
/// The shortest time between two letters that ask one person.
pub const BETWEEN_LETTERS: Duration = Duration::minutes(5);
/// The most letters that ask one person within a day, whatever the addresses: nobody can have a stranger flooded.
pub const MOST_LETTERS: u32 = 5;

/// How far an address is proved.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ProofState {
    /// It was in use before anybody was asked, and stays in use.
    Before,
    /// A letter asks.
    Asked,
    /// The code of the letter came back.
    Proved,
}

impl ProofState {
    /// Every state.
    pub const ALL: [Self; 3] = [Self::Before, Self::Asked, Self::Proved];

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::Before => "before",
            Self::Asked => "asked",
            Self::Proved => "proved",
        }
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|state| state.key() == key)
    }
}

/// How far a person has proved an address. There is one for each person; another address begins anew.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AddressProof {
    /// The person.
    pub person: PersonId,
    /// The address.
    pub address: String,
    /// How far it is proved.
    pub state: ProofState,
    /// When the last letter was asked for.
    pub asked_at: Option<OffsetDateTime>,
    /// Until when the code of the last letter holds; none where none went out yet.
    pub ends_at: Option<OffsetDateTime>,
    /// From when on the letters are counted.
    pub counted_from: Option<OffsetDateTime>,
    /// How many were asked for since then.
    pub letters: u32,
}

impl AddressProof {
    /// Whether letters may go to `address`.
    pub fn covers(&self, address: &str) -> bool {
        self.address == address && self.state != ProofState::Asked
    }

    /// Asks for a letter to `address`, which makes what was asked before void.
    ///
    /// # Errors
    /// From when on the next letter may be asked for.
    pub fn asking(
        before: Option<&Self>,
        (person, address): (PersonId, &str),
        now: OffsetDateTime,
    ) -> Result<Self, OffsetDateTime> {
        let last = before.and_then(|one| one.asked_at);
        if let Some(next) = last.map(|at| at + BETWEEN_LETTERS).filter(|at| *at > now) {
            return Err(next);
        }
        let counted = before.and_then(|one| one.counted_from.map(|from| (from, one.letters)));
        let counted = counted.filter(|(from, _)| now - *from < Duration::DAY);
        let (from, letters) = counted.unwrap_or((now, 0));
        if letters >= MOST_LETTERS {
            return Err(from + Duration::DAY);
        }
        Ok(Self {
            person,
            address: address.to_owned(),
            state: ProofState::Asked,
            asked_at: Some(now),
            ends_at: None,
            counted_from: Some(from),
            letters: letters + 1,
        })
    }

    /// What makes the errand of its letter one.
    pub fn once(&self) -> String {
        let at = self.asked_at.map_or(0, OffsetDateTime::unix_timestamp);
        format!("proof:{}:{at}", self.person)
    }
}

#[cfg(test)]
mod tests {
    use time::macros::datetime;

    use super::*;

    const START: OffsetDateTime = datetime!(2026-03-01 09:00 UTC);

    #[test]
    fn letters_that_ask_are_few() {
        let person = PersonId::new();
        let mut proof: Option<AddressProof> = None;
        let mut now = START;
        for count in 1..=MOST_LETTERS {
            let address = format!("{count}@example.org");
            let asked = AddressProof::asking(proof.as_ref(), (person, &address), now).unwrap();
            assert_eq!((asked.letters, asked.state), (count, ProofState::Asked));
            let soon = now + BETWEEN_LETTERS - Duration::SECOND;
            let next = AddressProof::asking(Some(&asked), (person, "x@example.org"), soon);
            assert_eq!(next, Err(now + BETWEEN_LETTERS));
            proof = Some(asked);
            now += BETWEEN_LETTERS;
        }
        let next = AddressProof::asking(proof.as_ref(), (person, "a@example.org"), now);
        assert_eq!(next, Err(START + Duration::DAY));
        let tomorrow = START + Duration::DAY;
        let asked = AddressProof::asking(proof.as_ref(), (person, "a@example.org"), tomorrow);
        assert_eq!(asked.unwrap().letters, 1);
    }

    #[test]
    fn only_what_is_proved_is_covered() {
        let asked = AddressProof::asking(None, (PersonId::new(), "a@example.org"), START).unwrap();
        assert!(!asked.covers("a@example.org"));
        for state in [ProofState::Before, ProofState::Proved] {
            let proved = AddressProof {
                state,
                ..asked.clone()
            };
            assert!(proved.covers("a@example.org") && !proved.covers("b@example.org"));
        }
    }
}
