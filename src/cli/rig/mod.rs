//! Checks the file of a rig, and works out whether a kit is strong enough on it.

mod answer;
mod told;

use std::{
    io,
    path::{Path, PathBuf},
    process::ExitCode,
};

use clap::Args;
use serde_json::{Value, json};

use super::printed::{line, say};
use crate::{
    domain::{KIT_EXAMPLE, KitFile, LARGEST_RIG, keep_load, read_rig, read_weight},
    rigging::{Faults, Force, RIG_SCHEMA, Rig, shipped, shipped_rig},
};
use answer::Answer;

/// Checks the file of a rig and says what it comes to; with a kit, whether that is strong enough.
#[derive(Args)]
#[command(
    after_help = "Ends with 0 if the rig is one and the kit passes, with 1 if the kit does not pass, and \
with 2 if something cannot be read or said."
)]
pub(super) struct CheckRig {
    /// The file, TOML or JSON, or the key of a rig that comes with the program
    #[arg(required_unless_present_any = ["schema", "example"])]
    file: Option<String>,
    /// What hangs at the positions and what the job asks: a TOML file, see --example
    #[arg(long, value_name = "KIT.toml")]
    kit: Option<PathBuf>,
    /// The load, a mass or a force: "120 kg", "1.5 kN"; in place of the kit's, if there is one
    #[arg(long, allow_hyphen_values = true)]
    load: Option<String>,
    /// Answer in JSON
    #[arg(long)]
    json: bool,
    /// Only print the JSON Schema of a rig's file
    #[arg(long, exclusive = true)]
    schema: bool,
    /// Only print an example of a kit's file
    #[arg(long, exclusive = true)]
    example: bool,
}

/// What cannot be read or said, a line each, and the same for programs.
struct Refused {
    lines: Vec<String>,
    json: Value,
}

impl Refused {
    fn new(why: impl Into<String>) -> Self {
        let why = why.into();
        Self {
            json: json!([{ "message": why }]),
            lines: vec![why],
        }
    }

    fn faults(name: &str, faults: &Faults) -> Self {
        let each = faults.iter().map(|fault| {
            json!({
                "message": fault.error.to_string(),
                "place": fault.place.to_string(),
                "line": fault.mark.map(|mark| mark.line),
                "column": fault.mark.map(|mark| mark.column),
            })
        });
        Self {
            json: each.collect(),
            lines: faults
                .iter()
                .map(|fault| format!("{name}: {fault}"))
                .collect(),
        }
    }
}

impl CheckRig {
    pub(super) fn run(self) -> ExitCode {
        self.told().unwrap_or_else(|error| {
            eprintln!("ropeloft: the answer cannot be printed: {error}");
            ExitCode::from(2)
        })
    }

    fn told(self) -> io::Result<ExitCode> {
        if self.schema {
            say(RIG_SCHEMA)?;
            return Ok(ExitCode::SUCCESS);
        }
        if self.example {
            say(KIT_EXAMPLE)?;
            return Ok(ExitCode::SUCCESS);
        }
        let answer = match self.answer() {
            Ok(answer) => answer,
            Err(refused) => {
                refused
                    .lines
                    .iter()
                    .for_each(|line| eprintln!("ropeloft: {line}"));
                if self.json {
                    line(format_args!("{:#}", json!({ "errors": refused.json })))?;
                }
                return Ok(ExitCode::from(2));
            }
        };
        if self.json {
            match serde_json::to_string_pretty(&answer) {
                Ok(text) => line(&text)?,
                Err(error) => {
                    eprintln!("ropeloft: the answer cannot be written: {error}");
                    return Ok(ExitCode::from(2));
                }
            }
        } else {
            say(told::told(&answer))?;
        }
        Ok(match answer.passes() {
            Some(true) => ExitCode::SUCCESS,
            Some(false) => ExitCode::from(1),
            None => ExitCode::from(2),
        })
    }

    fn answer(&self) -> Result<Answer, Refused> {
        let rig = rig(self.file.as_deref().unwrap_or_default())?;
        let load = self.load.as_deref().map(load).transpose()?;
        let kit = self.kit.as_deref().map(|path| kit(path, &rig));
        let kit = kit.transpose()?;
        Answer::new(&rig, kit, load).map_err(|error| Refused::new(error.to_string()))
    }
}

/// The rig of a file, or the shipped one of this key.
fn rig(name: &str) -> Result<Rig, Refused> {
    if !Path::new(name).exists() {
        return shipped_rig(name).cloned().ok_or_else(|| {
            let keys: Vec<&str> = shipped().iter().map(Rig::key).collect();
            Refused::new(format!(
                "there is no file \"{name}\" and no rig of that key; there are: {}",
                keys.join(", ")
            ))
        });
    }
    let bytes = read(name, LARGEST_RIG)?;
    let file = read_rig(&bytes).map_err(|faults| Refused::faults(name, &faults))?;
    Ok(file.rig)
}

/// The bytes of a file, one more than so many at most: what is larger is refused by whoever reads it.
fn read(name: &str, most: usize) -> Result<Vec<u8>, Refused> {
    use std::io::Read;
    let unread = |error: std::io::Error| Refused::new(format!("{name} cannot be read: {error}"));
    let file = std::fs::File::open(name).map_err(unread)?;
    let mut bytes = Vec::new();
    let mut most = file.take(most as u64 + 1);
    most.read_to_end(&mut bytes).map_err(unread)?;
    Ok(bytes)
}

fn load(text: &str) -> Result<Force, Refused> {
    let read = read_weight(text).map_err(|error| error.to_string());
    let kept = read.and_then(|load| keep_load(load, text));
    kept.map_err(|why| Refused::new(format!("--load: {why}")))
}

/// The largest file of a kit, in bytes.
const LARGEST_KIT: usize = 256 * 1024;

fn kit(path: &Path, rig: &Rig) -> Result<KitFile, Refused> {
    let name = path.to_string_lossy();
    let bytes = read(&name, LARGEST_KIT)?;
    if bytes.len() > LARGEST_KIT {
        return Err(Refused::new(format!(
            "{name}: a kit has at most {LARGEST_KIT} bytes."
        )));
    }
    let text = String::from_utf8(bytes)
        .map_err(|_| Refused::new(format!("{name}: it is no text in UTF-8.")))?;
    KitFile::parse_for(rig, &text).map_err(|error| Refused {
        json: json!([{
            "message": error.why,
            "line": error.mark.map(|mark| mark.line),
            "column": error.mark.map(|mark| mark.column),
        }]),
        lines: vec![format!("{name}: {error}")],
    })
}
