//! Tokens for machines: made by a person, never stronger than the person, shown once.

use serde::{Deserialize, Serialize};
use time::Duration;

use super::{
    DeedError, Desk,
    session::{hash_of, new_secret},
};
use crate::{
    domain::{Actor, Deed, FieldErrors, Role, TokenId},
    store::Token,
};

/// The longest a token may last, in days.
const LONGEST: i64 = 366;

/// A token as typed in.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct TokenDraft {
    /// What it is for.
    pub label: String,
    /// The role's key.
    pub role: String,
    /// How many days it lasts.
    pub days: String,
}

impl TokenDraft {
    fn check(&self, actor: &Actor) -> Result<(String, Role, Duration), FieldErrors> {
        let mut wrong = FieldErrors::default();
        let label = wrong.line("label", &self.label);
        let role = Role::from_key(self.role.trim()).filter(|role| actor.role.includes(*role));
        if role.is_none() {
            wrong.add(
                "role",
                "choice",
                format!(
                    "Choose a role that does not go beyond your own ({}), not \"{}\".",
                    actor.role.word(),
                    self.role
                ),
            );
        }
        let days = self.days.trim().parse::<i64>().ok();
        let days = days.filter(|days| (1..=LONGEST).contains(days));
        if days.is_none() {
            wrong.add(
                "days",
                "range",
                format!(
                    "Write a whole number of days from 1 to {LONGEST}, not \"{}\".",
                    self.days
                ),
            );
        }
        match (role, days) {
            (Some(role), Some(days)) if wrong.is_empty() => Ok((label, role, Duration::days(days))),
            _ => Err(wrong),
        }
    }
}

/// The tokens that the actor may see: their own, or all of the team's for one who keeps the people.
pub async fn list(desk: &Desk, actor: &Actor) -> Result<Vec<Token>, DeedError> {
    let mut tokens = desk.database.read(actor.team).await?.tokens().await?;
    if !actor.role.may(Deed::KeepPeople) {
        tokens.retain(|token| token.person == actor.person);
    }
    Ok(tokens)
}

/// Makes a token and gives its secret, which is kept nowhere.
pub async fn make(desk: &Desk, actor: &Actor, draft: &TokenDraft) -> Result<String, DeedError> {
    let (label, role, lasts) = draft.check(actor)?;
    let secret = format!("ropeloft_{}", new_secret());
    let now = desk.clock.now();
    let token = Token {
        id: TokenId::new(),
        person: actor.person,
        label,
        role,
        created_at: now,
        expires_at: Some(now + lasts),
        revoked_at: None,
    };
    let mut tx = desk.database.write(actor.team).await?;
    tx.add_token(&token, &hash_of(&secret)).await?;
    tx.commit().await?;
    Ok(secret)
}

/// Revokes a token for good.
pub async fn revoke(desk: &Desk, actor: &Actor, id: TokenId) -> Result<(), DeedError> {
    let mine = list(desk, actor).await?;
    if !mine.iter().any(|token| token.id == id) {
        return Err(DeedError::NotFound("token"));
    }
    let mut tx = desk.database.write(actor.team).await?;
    tx.revoke_token(id, desk.clock.now()).await?;
    Ok(tx.commit().await?)
}
