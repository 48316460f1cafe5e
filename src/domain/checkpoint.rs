//! A checkpoint: how far a ledger had grown at a moment, in the text form of C2SP's "tlog-checkpoint" (written from
//! memory of the open specification): origin, number of entries, root in base64, a line each, and lines of our own
//! behind them. It is signed as a note.

use std::fmt;

use base64::{Engine, engine::general_purpose::STANDARD};
use time::{OffsetDateTime, format_description::well_known::Rfc3339};

use super::{Hash, TeamId};

/// What begins the line that says when a checkpoint was made.
const MADE: &str = "made ";

/// How far a ledger had grown.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Checkpoint {
    /// Which ledger: the same line in each of its checkpoints.
    pub origin: String,
    /// How many entries it had.
    pub size: u64,
    /// The root of the tree over them.
    pub root: Hash,
    /// When the server made it, by its own clock.
    pub made_at: Option<OffsetDateTime>,
}

/// A text is no checkpoint.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("this is no checkpoint: {0}")]
pub struct CheckpointError(&'static str);

/// What the name of every team's ledger begins with.
pub const LEDGERS: &str = "ropeloft/ledger/";

/// The line that names a team's ledger, which is also the name of the key that signs its checkpoints.
pub fn origin(team: TeamId) -> String {
    format!("{LEDGERS}{}", team.0)
}

impl Checkpoint {
    /// Reads a checkpoint from its text. Lines that other programs added are passed over.
    ///
    /// # Errors
    /// If it is none.
    pub fn read(text: &str) -> Result<Self, CheckpointError> {
        let mut lines = text.strip_suffix('\n').unwrap_or(text).split('\n');
        let origin = lines
            .next()
            .filter(|origin| !origin.is_empty())
            .ok_or(CheckpointError(
                "its first line, which names the ledger, is empty",
            ))?
            .to_owned();
        let size = lines
            .next()
            .filter(|size| *size == "0" || !size.starts_with(['0', '+']))
            .and_then(|size| size.parse().ok())
            .ok_or(CheckpointError("its second line is no number of entries"))?;
        let root = lines
            .next()
            .and_then(|root| STANDARD.decode(root).ok())
            .and_then(|root| Hash::try_from(root).ok())
            .ok_or(CheckpointError(
                "its third line is no root of 32 bytes in base64",
            ))?;
        let mut made_at = None;
        for line in lines {
            if line.is_empty() {
                return Err(CheckpointError("it has an empty line"));
            }
            if let Some(moment) = line.strip_prefix(MADE) {
                let moment = OffsetDateTime::parse(moment, &Rfc3339);
                made_at = Some(moment.map_err(|_| CheckpointError("its moment is none"))?);
            }
        }
        Ok(Self {
            origin,
            size,
            root,
            made_at,
        })
    }
}

impl fmt::Display for Checkpoint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            origin, size, root, ..
        } = self;
        writeln!(f, "{origin}\n{size}\n{}", STANDARD.encode(root))?;
        let Some(at) = self.made_at else {
            return Ok(());
        };
        let at = at.format(&Rfc3339).map_err(|_| fmt::Error)?;
        writeln!(f, "{MADE}{at}")
    }
}
