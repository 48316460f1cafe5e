//! Checks a bundle, without a server and without a network.

use std::{
    fs::File,
    io::{BufReader, Write},
    path::{Path, PathBuf},
};

use clap::Args;

use super::{Outcome, printed::Printed};
use crate::{
    domain::{
        FileHash, Zone,
        signed_note::{Signs, Verifier},
    },
    export::bundle::{Checked, FoundFile, Head, Naming, Scope, Witnessed, check, hold},
};

type Failure = Box<dyn std::error::Error + Send + Sync>;

/// Check a bundle: that every entry in it is what was recorded, and that none is left out
#[derive(Args)]
pub(super) struct Verify {
    /// The bundle
    file: PathBuf,
    /// A key that must have signed, as the team gave it to you on another way: `NAME+IDENTIFIER+KEY`. An older one leads
    /// to the key that signs now where the file shows that the record which it signed took that key. Without one the keys
    /// that the file itself names are taken. A witness's key may stand beside it: that witness must have signed too
    #[arg(long)]
    key: Vec<String>,
    /// A folder with photos and documents, such as a copy of where the server keeps them: their bytes are held against the
    /// SHA-256 that the entries name. Whatever a file is called there, it is known by its bytes
    #[arg(long)]
    files: Option<PathBuf>,
}

impl Verify {
    pub(super) fn run(self) -> Outcome {
        let keys = self.key.iter().map(|key| Verifier::read(key));
        let keys: Vec<Verifier> = keys.collect::<Result<_, _>>()?;
        let file =
            File::open(&self.file).map_err(|error| format!("{}: {error}", self.file.display()))?;
        let checked = check(BufReader::new(file), &keys)?;
        let held = self.files.as_deref().map(|folder| files(&checked, folder));
        let held = held.transpose()?;
        tell(&checked, held, Printed)
    }
}

/// How many of the files that the entries name are in the folder, with the bytes of their hashes.
fn files(checked: &Checked, folder: &Path) -> Result<usize, Failure> {
    let mut found = Vec::new();
    look_through(folder, &mut found)?;
    Ok(hold(&checked.files, &found)?)
}

/// Every file in a folder and in those within it.
fn look_through(folder: &Path, found: &mut Vec<FoundFile>) -> Outcome {
    let unreadable = |path: &Path, error| format!("{}: {error}", path.display());
    for entry in std::fs::read_dir(folder).map_err(|error| unreadable(folder, error))? {
        let entry = entry.map_err(|error| unreadable(folder, error))?;
        let path = entry.path();
        let kind = entry
            .file_type()
            .map_err(|error| unreadable(&path, error))?;
        if kind.is_dir() {
            look_through(&path, found)?;
        } else if kind.is_file() {
            let bytes = std::fs::read(&path).map_err(|error| unreadable(&path, error))?;
            let sha256 = FileHash::of(&bytes);
            found.push(FoundFile { path, sha256 });
        }
    }
    Ok(())
}

/// What was looked at of photos and documents.
fn of_files(checked: &Checked, held: Option<usize>) -> String {
    match (held, checked.files.len()) {
        (_, 0) => "none is named".to_owned(),
        (None, named) => {
            format!("{named} named; their bytes were not looked at: name their folder with --files")
        }
        (Some(held), named) if held == named => format!("{held}, each with the bytes of its hash"),
        (Some(held), named) => {
            let small = match named - held {
                1 => "1 small photo is".to_owned(),
                several => format!("{several} small photos are"),
            };
            format!("{held}, each with the bytes of its hash; {small} not in the folder")
        }
    }
}

/// What proves that no entry was left out, or what it rests on.
fn of_left_out(head: &Head) -> &'static str {
    match (&head.of, head.is_proved_whole()) {
        (Scope::Time { .. }, true) => {
            "No entry of that time is left out: the tree proves that these are all between the two beside them, which were \
             recorded before and behind it. That moments never go back in the record, the whole record shows."
        }
        (Scope::Time { .. }, false) => {
            "That these are all entries of that time rests on the server's signature: a bundle that is made now proves it."
        }
        (_, true) => "No entry of it is left out: the tree proves it.",
        (_, false) => {
            "That no entry about it was left out rests on the server's signature; the whole record proves it."
        }
    }
}

/// What it is of, with the entry that calls it as the first line does.
fn named(checked: &Checked) -> impl Iterator<Item = (&'static str, String)> {
    let subject = match checked.head.of {
        Scope::Job { .. } => "job",
        _ => "item",
    };
    let namings = ["team", subject].into_iter().zip(&checked.namings);
    namings.map(|(of, Naming { id, entry })| {
        let by = entry.map_or_else(
            || {
                ": that it is called so is the server's word, no entry in this file says it"
                    .to_owned()
            },
            |seq| format!(", which entry {seq} calls so"),
        );
        (of, format!("{id}{by}"))
    })
}

/// What a witness's signature is worth.
fn witnessed(one: &Witnessed) -> String {
    let name = line(&one.by.name);
    let at = one.by.moment().map(|at| Zone::UTC.words(at));
    let at = at.unwrap_or_else(|| "at no moment that there is".to_owned());
    if one.trusted {
        format!("{name}, {at}: by the key that you gave")
    } else {
        format!(
            "{name}, {at}: claimed by the file, nothing here proves it; give the witness's own key with --key"
        )
    }
}

/// What a file says, on one line: whoever made it could have written lines of this answer into a name.
fn line(text: &str) -> String {
    let plain = text
        .chars()
        .map(|c| if c.is_control() { '\u{fffd}' } else { c });
    plain.collect()
}

/// The team's own keys; those of witnesses sign no bundle.
fn own_keys(head: &Head) -> impl Iterator<Item = &String> {
    let is_own = |key: &&String| Verifier::read(key).is_ok_and(|key| key.signs() == Signs::Text);
    head.keys.iter().filter(is_own)
}

/// Whose keys signed, and what led from one to the next.
fn tell_signers(checked: &Checked, out: &mut impl Write) -> Outcome {
    for key in &checked.signed {
        writeln!(out, "  signed    {}", line(&key.text()))?;
    }
    for one in &checked.witnesses {
        writeln!(out, "  witness   {}", witnessed(one))?;
    }
    for (seq, key) in &checked.handed_over {
        let key = line(&key.text());
        writeln!(
            out,
            "  key       {key}, which entry {seq} took: signed for by the key before it"
        )?;
    }
    Ok(())
}

fn tell(checked: &Checked, held: Option<usize>, mut out: impl Write) -> Outcome {
    let Checked {
        head,
        checkpoint,
        entries,
        ..
    } = checked;
    let what = head.of.words();
    writeln!(out, "Holds: {} of {}", line(&what), line(&head.team_name))?;
    writeln!(
        out,
        "  entries   {} of {}: {}",
        entries.len(),
        checkpoint.size,
        if entries.is_empty() {
            "none".to_owned()
        } else {
            entries.text()
        }
    )?;
    writeln!(out, "  root      {}", hex::encode(checkpoint.root))?;
    if let Some(at) = checkpoint.made_at {
        writeln!(out, "  as of     {}", Zone::UTC.words(at))?;
    }
    if let Some(by) = &head.exported_by {
        writeln!(out, "  taken by  {}", line(by))?;
    }
    for (of, naming) in named(checked) {
        writeln!(out, "  {of:<9} {naming}")?;
    }
    tell_signers(checked, &mut out)?;
    writeln!(
        out,
        "  names     {} given, {} removed from the record",
        checked.names, checked.removed
    )?;
    writeln!(out, "  files     {}", of_files(checked, held))?;
    if let Some(seq) = checked.went_back {
        writeln!(
            out,
            "  moments   entry {seq} was recorded earlier than one before it, by the server's clock"
        )?;
    }
    writeln!(out, "{}", of_left_out(head))?;
    if checked.trusted {
        return Ok(());
    }
    writeln!(
        out,
        "The key was taken from the file itself. Hold it against one that the team gave you on another way:"
    )?;
    for key in own_keys(head) {
        writeln!(out, "  --key {}", line(key))?;
    }
    Ok(())
}
