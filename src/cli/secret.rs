//! The secret that checkpoints are signed by: given, or kept in a file that only the server's own user can read.

use std::{
    fs, io,
    io::Write,
    path::{Path, PathBuf},
};

use crate::{domain::SigningSecret, store::address::beside};

/// A secret that cannot be had.
#[derive(Debug, thiserror::Error)]
pub(super) enum SecretError {
    /// The file cannot be read or made.
    #[error("the secret that signs checkpoints, {0}: {1}")]
    File(PathBuf, io::Error),
    /// It is not written as it has to be.
    #[error("{0}; the file {1} holds something else")]
    Text(crate::domain::NoSecret, PathBuf),
}

/// The secret that was given, or the one beside the database's file, made if there is none. None where the database is
/// on a server and none was given: several servers have to share one, so none is made up.
pub(super) fn signing(
    given: Option<&str>,
    database: &str,
) -> Result<Option<SigningSecret>, SecretError> {
    match given.map(str::trim).filter(|text| !text.is_empty()) {
        Some(text) => match SigningSecret::read(text) {
            Ok(secret) => Ok(Some(secret)),
            Err(_) => read(Path::new(text)).map(Some),
        },
        None => beside(database, "signing-secret")
            .map(|file| kept(&file))
            .transpose(),
    }
}

fn read(file: &Path) -> Result<SigningSecret, SecretError> {
    let text = fs::read_to_string(file).map_err(|e| SecretError::File(file.to_owned(), e))?;
    SigningSecret::read(&text).map_err(|e| SecretError::Text(e, file.to_owned()))
}

/// The secret in the file; made there if there is none, by whoever is first.
fn kept(file: &Path) -> Result<SigningSecret, SecretError> {
    let secret = SigningSecret::new(rand::random());
    match create(file, &secret.text()) {
        Ok(()) => Ok(secret),
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => read(file),
        Err(error) => Err(SecretError::File(file.to_owned(), error)),
    }
}

/// Writes a file that was not there and that nobody else can read.
fn create(file: &Path, text: &str) -> io::Result<()> {
    let mut options = fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut open = options.open(file)?;
    writeln!(open, "{text}")?;
    open.sync_all()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_secret_is_made_once_and_read_from_then_on() {
        let folder = tempfile::tempdir().unwrap();
        let database = folder.path().join("gear.db");
        let database = database.to_str().unwrap();
        let first = signing(None, database).unwrap().unwrap();
        let second = signing(Some(" "), &format!("sqlite:{database}?mode=rwc")).unwrap();
        assert_eq!(second.unwrap().text(), first.text());
        let file = folder.path().join("gear-signing-secret");
        #[cfg(unix)]
        {
            use std::os::unix::fs::PermissionsExt;
            assert_eq!(
                fs::metadata(&file).unwrap().permissions().mode() & 0o777,
                0o600
            );
        }
        let named = signing(file.to_str(), "postgres://x@y/z").unwrap().unwrap();
        assert_eq!(named.text(), first.text());
        let typed = signing(Some(&first.text()), "postgres://x@y/z").unwrap();
        assert_eq!(typed.unwrap().text(), first.text());
        fs::write(&file, "something else").unwrap();
        let refused = signing(None, database).unwrap_err().to_string();
        assert!(refused.contains("64 hexadecimal digits"), "{refused}");
    }

    #[test]
    fn no_secret_is_made_up_for_a_database_on_a_server() {
        for database in ["postgres://x@y/z", ":memory:", "sqlite::memory:"] {
            assert!(signing(None, database).unwrap().is_none(), "{database}");
        }
    }
}
