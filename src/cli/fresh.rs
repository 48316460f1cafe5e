//! What a command writes must not be there yet, and has its name only once all of it is there.

use std::path::{Path, PathBuf};

use super::Outcome;

/// Refuses to write where there is something.
pub(super) fn absent(path: &Path) -> Outcome {
    if path.exists() {
        return Err(format!(
            "{} is there already; name another, or take that one away",
            path.display()
        )
        .into());
    }
    Ok(())
}

/// What is called so until all of it is there.
pub(super) fn part_of(path: &Path) -> PathBuf {
    with_ending(path, ".part")
}

/// What lies beside it and has its whole name with this behind.
pub(super) fn with_ending(path: &Path, ending: &str) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(ending);
    PathBuf::from(name)
}
