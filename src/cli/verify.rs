//! Checks a bundle, without a server and without a network.

use std::{
    fs::File,
    io::{BufReader, Write},
    path::PathBuf,
};

use clap::Args;

use super::Outcome;
use crate::{
    domain::signed_note::Verifier,
    export::bundle::{Checked, check},
};

/// Check a bundle: that every entry in it is what was recorded, and that none is left out
#[derive(Args)]
pub(super) struct Verify {
    /// The bundle
    file: PathBuf,
    /// A key that must have signed, as the team gave it to you on another way: `NAME+IDENTIFIER+KEY`. Without one the
    /// keys that the file itself names are taken
    #[arg(long)]
    key: Vec<String>,
}

impl Verify {
    pub(super) fn run(self) -> Outcome {
        let keys = self.key.iter().map(|key| Verifier::read(key));
        let keys: Vec<Verifier> = keys.collect::<Result<_, _>>()?;
        let file =
            File::open(&self.file).map_err(|error| format!("{}: {error}", self.file.display()))?;
        let checked = check(BufReader::new(file), &keys)?;
        tell(&checked, std::io::stdout().lock())
    }
}

fn tell(checked: &Checked, mut out: impl Write) -> Outcome {
    let Checked {
        head,
        checkpoint,
        signed,
        entries,
        ..
    } = checked;
    let what = head.of.words();
    writeln!(out, "Holds: {what} of {}", head.team_name)?;
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
        writeln!(out, "  as of     {at}")?;
    }
    for one in signed {
        writeln!(out, "  signed    {}", one.name)?;
    }
    writeln!(
        out,
        "  names     {} given, {} removed from the record",
        checked.names, checked.removed
    )?;
    if head.of.is_proved_whole() {
        writeln!(out, "No entry of it is left out: the tree proves it.")?;
    } else {
        writeln!(
            out,
            "That no entry about it was left out rests on the server's signature; the whole record proves it."
        )?;
    }
    if !checked.trusted {
        writeln!(
            out,
            "The key was taken from the file itself. Hold it against one that the team gave you on another way:"
        )?;
        for key in &head.keys {
            writeln!(out, "  --key {key}")?;
        }
    }
    Ok(())
}
