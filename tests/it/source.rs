//! Reads the repository's own files, for the tests that hold its rules.

use std::{
    fs,
    path::{Path, PathBuf},
};

/// One file of the repository.
pub struct Source {
    /// The path from the root of the repository, with slashes.
    pub path: String,
    pub text: String,
}

impl Source {
    /// The lines that are code: without comments.
    pub fn code(&self) -> impl Iterator<Item = (usize, &str)> {
        let lines = self.text.lines().enumerate();
        lines
            .map(|(at, line)| (at + 1, line.split("//").next().unwrap_or_default()))
            .filter(|(_, line)| !line.trim().is_empty())
    }

    /// The room that the file belongs to.
    pub fn room(&self) -> &str {
        let inside = self.path.strip_prefix("src/").unwrap();
        inside.split('/').next().unwrap().trim_end_matches(".rs")
    }
}

/// Every file under `folder` whose name ends with one of `endings`.
pub fn sources(folder: &str, endings: &[&str]) -> Vec<Source> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = Vec::new();
    let mut folders: Vec<PathBuf> = vec![root.join(folder)];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).into_iter().flatten().flatten() {
            let path = entry.path();
            if path.is_dir() {
                if entry.file_name() != "node_modules" {
                    folders.push(path);
                }
            } else if endings
                .iter()
                .any(|ending| path.to_string_lossy().ends_with(ending))
            {
                found.push(Source {
                    path: path
                        .strip_prefix(root)
                        .unwrap()
                        .to_string_lossy()
                        .replace('\\', "/"),
                    text: fs::read_to_string(&path).unwrap(),
                });
            }
        }
    }
    found.sort_by(|a, b| a.path.cmp(&b.path));
    found
}

/// Every Rust file of the program and its tests.
pub fn rust() -> Vec<Source> {
    let mut all = sources("src", &[".rs"]);
    all.extend(sources("tests", &[".rs"]));
    assert!(all.len() > 20, "the sources are found");
    all
}
