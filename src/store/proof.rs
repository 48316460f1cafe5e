//! How far people have proved their addresses. No records of gear, so they stand beside the ledger; of a code only the
//! hash is kept.

use time::OffsetDateTime;
use uuid::Uuid;

use super::{
    StoreError, Tx, WriteDoor, WriteTx,
    tx::{change_any, find},
};
use crate::domain::{AddressProof, Hash, PersonId, ProofState, TeamId};

#[derive(sqlx::FromRow)]
struct ProofRow {
    person_id: Uuid,
    address: String,
    state: String,
    asked_at: Option<OffsetDateTime>,
    ends_at: Option<OffsetDateTime>,
    counted_from_at: Option<OffsetDateTime>,
    letters: i64,
}

impl TryFrom<ProofRow> for AddressProof {
    type Error = StoreError;

    fn try_from(row: ProofRow) -> Result<Self, StoreError> {
        let state = ProofState::from_key(&row.state).ok_or_else(|| {
            let what = format!("\"{}\" is no choice", row.state);
            StoreError::corrupt("address_proof", "state")(what.into())
        })?;
        Ok(Self {
            person: PersonId(row.person_id),
            address: row.address,
            state,
            asked_at: row.asked_at,
            ends_at: row.ends_at,
            counted_from: row.counted_from_at,
            letters: u32::try_from(row.letters).unwrap_or(u32::MAX),
        })
    }
}

impl Tx {
    /// How far a person has proved an address, if they ever chose one.
    pub async fn address_proof(
        &mut self,
        person: PersonId,
    ) -> Result<Option<AddressProof>, StoreError> {
        const SQL: &str = "
            SELECT person_id, address, state, asked_at, ends_at, counted_from_at, letters
              FROM address_proof
             WHERE team_id = $1
               AND person_id = $2";
        let row: Option<ProofRow> = find!(self.conn, SQL, self.team.0, person.0)?;
        row.map(AddressProof::try_from).transpose()
    }
}

impl WriteTx {
    /// Notes that a letter is to ask. What was asked before is void.
    pub async fn ask_for_proof(&mut self, proof: &AddressProof) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO address_proof
                   (team_id, person_id, address, state, asked_at, hash, ends_at, counted_from_at, letters)
            VALUES ($1, $2, $3, $4, $5, NULL, NULL, $6, $7)
                ON CONFLICT (team_id, person_id) DO UPDATE
               SET address = excluded.address,
                   state = excluded.state,
                   asked_at = excluded.asked_at,
                   hash = NULL,
                   ends_at = NULL,
                   counted_from_at = excluded.counted_from_at,
                   letters = excluded.letters";
        let (team, person) = (self.team.0, proof.person.0);
        let (address, state) = (proof.address.as_str(), proof.state.key());
        let (asked, from) = (proof.asked_at, proof.counted_from);
        let letters = i64::from(proof.letters);
        change_any!(
            self.conn, SQL, team, person, address, state, asked, from, letters
        )
        .map(drop)
    }

    /// Takes the code of the letter: once, and until it ends. Whether it held.
    pub async fn take_proof(
        &mut self,
        person: PersonId,
        hash: &Hash,
        now: OffsetDateTime,
    ) -> Result<bool, StoreError> {
        const SQL: &str = "
            UPDATE address_proof
               SET state = $4, hash = NULL, ends_at = NULL
             WHERE team_id = $1
               AND person_id = $2
               AND hash = $3
               AND ends_at > $5";
        let (team, proved) = (self.team.0, ProofState::Proved.key());
        let taken = change_any!(self.conn, SQL, team, person.0, hash.as_slice(), proved, now)?;
        Ok(taken == 1)
    }
}

impl WriteDoor {
    /// Keeps the hash of the code that a letter takes with it; false if this address is not asked about any more.
    pub async fn set_proof_code(
        &mut self,
        (team, person): (TeamId, PersonId),
        address: &str,
        (hash, ends_at): (&Hash, OffsetDateTime),
    ) -> Result<bool, StoreError> {
        const SQL: &str = "
            UPDATE address_proof
               SET hash = $5, ends_at = $6
             WHERE team_id = $1
               AND person_id = $2
               AND address = $3
               AND state = $4";
        let asked = ProofState::Asked.key();
        let set = change_any!(
            self.conn,
            SQL,
            team.0,
            person.0,
            address,
            asked,
            hash.as_slice(),
            ends_at
        )?;
        Ok(set == 1)
    }
}
