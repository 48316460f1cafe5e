//! Tokens of machines, of which only the hash is kept.

use time::OffsetDateTime;
use uuid::Uuid;

use super::{
    Door, Signed, StoreError, Tx, WriteTx,
    person::role,
    session::SignedRow,
    tx::{change_any, change_one, find, find_all},
};
use crate::domain::{Hash, PersonId, Role, TokenId};

/// A machine's token, without the secret.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Token {
    /// Its id.
    pub id: TokenId,
    /// Who made it; what it records stands under this name.
    pub person: PersonId,
    /// What it is for.
    pub label: String,
    /// The role it acts in.
    pub role: Role,
    /// When it was made.
    pub created_at: OffsetDateTime,
    /// When it ends, if it does.
    pub expires_at: Option<OffsetDateTime>,
    /// When it was revoked, if it was.
    pub revoked_at: Option<OffsetDateTime>,
}

#[derive(sqlx::FromRow)]
struct TokenRow {
    id: Uuid,
    person_id: Uuid,
    label: String,
    role: String,
    created_at: OffsetDateTime,
    expires_at: Option<OffsetDateTime>,
    revoked_at: Option<OffsetDateTime>,
}

impl TryFrom<TokenRow> for Token {
    type Error = StoreError;
    fn try_from(row: TokenRow) -> Result<Self, StoreError> {
        Ok(Self {
            id: TokenId(row.id),
            person: PersonId(row.person_id),
            label: row.label,
            role: role("api_token", &row.role)?,
            created_at: row.created_at,
            expires_at: row.expires_at,
            revoked_at: row.revoked_at,
        })
    }
}

#[derive(sqlx::FromRow)]
struct BearerRow {
    token_role: String,
    #[sqlx(flatten)]
    signed: SignedRow,
}

impl Door {
    /// Who acts with the token of this hash, in the token's role: none if it has ended, was revoked, or its maker
    /// may no longer sign in.
    pub async fn bearer(
        &mut self,
        hash: &Hash,
        now: OffsetDateTime,
    ) -> Result<Option<Signed>, StoreError> {
        const SQL: &str = "
            SELECT t.role AS token_role, p.team_id, p.id, p.name, p.sign_in, p.role, p.active,
                   m.name AS team_name, m.time_zone
              FROM api_token t
              JOIN person p
                ON p.team_id = t.team_id
               AND p.id = t.person_id
              JOIN team m
                ON m.id = t.team_id
             WHERE t.hash = $1
               AND t.revoked_at IS NULL
               AND (t.expires_at IS NULL OR t.expires_at > $2)
               AND p.active = $3";
        let row: Option<BearerRow> = find!(self.conn, SQL, hash.as_slice(), now, true)?;
        let Some(row) = row else { return Ok(None) };
        let mut signed = row.signed.signed()?;
        signed.actor.role = role("api_token", &row.token_role)?;
        Ok(Some(signed))
    }
}

impl Tx {
    /// The team's tokens, the newest first.
    pub async fn tokens(&mut self) -> Result<Vec<Token>, StoreError> {
        const SQL: &str = "
            SELECT id, person_id, label, role, created_at, expires_at, revoked_at
              FROM api_token
             WHERE team_id = $1
             ORDER BY created_at DESC, id DESC";
        let rows: Vec<TokenRow> = find_all!(self.conn, SQL, self.team.0)?;
        rows.into_iter().map(Token::try_from).collect()
    }
}

impl WriteTx {
    /// Keeps a new token under the hash of its secret.
    ///
    /// # Errors
    /// [`StoreError::Unlinked`] if the team has no such person.
    pub async fn add_token(&mut self, token: &Token, hash: &Hash) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO api_token
                   (team_id, id, person_id, label, role, hash, created_at, expires_at, revoked_at)
            VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)";
        let team = self.team;
        change_any!(
            self.conn,
            SQL,
            team.0,
            token.id.0,
            token.person.0,
            token.label.as_str(),
            token.role.key(),
            hash.as_slice(),
            token.created_at,
            token.expires_at,
            token.revoked_at,
        )
        .map(drop)
    }

    /// Revokes a token for good.
    ///
    /// # Errors
    /// [`StoreError::Stale`] if the team has no such token or it was revoked before.
    pub async fn revoke_token(
        &mut self,
        id: TokenId,
        at: OffsetDateTime,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE api_token
               SET revoked_at = $3
             WHERE team_id = $1
               AND id = $2
               AND revoked_at IS NULL";
        let team = self.team;
        change_one!(self.conn, "api_token", SQL, team.0, id.0, at)
    }
}
