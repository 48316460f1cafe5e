//! Passwords: kept as Argon2id hashes with the parameters that the algorithm's authors recommend
//! by default (RFC 9106), made and checked on threads of their own, since each takes long on purpose.

use std::sync::LazyLock;

use argon2::{
    Argon2,
    password_hash::{PasswordHasher, PasswordVerifier, phc::PasswordHash},
};

use tokio::sync::Semaphore;

use super::DeedError;

/// What a wrong name is checked against, so that it takes as long as a wrong password.
static NOBODY: LazyLock<String> =
    LazyLock::new(|| hash("nobody has this password").unwrap_or_default());

/// The hash to keep of a password.
///
/// # Errors
/// If the machine has no randomness or no thread to give.
pub async fn hashed(password: &str) -> Result<String, DeedError> {
    let password = password.to_owned();
    aside(move || hash(&password)).await?
}

/// Whether `password` is the one of this hash; without a hash it takes as long and is not.
///
/// # Errors
/// If the machine has no thread to give.
pub async fn fits(password: &str, kept: Option<String>) -> Result<bool, DeedError> {
    let password = password.to_owned();
    aside(move || {
        let known = kept.is_some();
        let kept = kept.unwrap_or_else(|| NOBODY.clone());
        let fits = PasswordHash::new(&kept).is_ok_and(|hash| {
            Argon2::default()
                .verify_password(password.as_bytes(), &hash)
                .is_ok()
        });
        known && fits
    })
    .await
}

fn hash(password: &str) -> Result<String, DeedError> {
    Argon2::default()
        .hash_password(password.as_bytes())
        .map(|hash| hash.to_string())
        .map_err(|error| DeedError::Internal(Box::new(error)))
}

/// How many passwords are looked at at once. Each takes 19 MiB, so that many who try at once would
/// otherwise take the machine's memory; the others wait.
static TURNS: Semaphore = Semaphore::const_new(4);

async fn aside<T: Send + 'static>(
    work: impl FnOnce() -> T + Send + 'static,
) -> Result<T, DeedError> {
    let _turn = TURNS
        .acquire()
        .await
        .map_err(|error| DeedError::Internal(Box::new(error)))?;
    tokio::task::spawn_blocking(work)
        .await
        .map_err(|error| DeedError::Internal(Box::new(error)))
}
