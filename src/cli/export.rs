//! Writes a team's records to a file that needs no server to be read.

use std::{
    fs::{self, File},
    io::{self, Write},
    path::{Path, PathBuf},
};

use clap::{Args, ValueEnum};
use futures::{Stream, TryStreamExt};

use super::{Outcome, record::Record};
use crate::{
    deed::{
        DeedError, Desk,
        export::{self, Wanted},
        history::Of,
    },
    domain::Clock,
    store::{Direction, EntryFilter, Files, ItemFilter, ItemSort},
};

/// Write records as CSV
#[derive(Args)]
pub(super) struct Export {
    /// What is written
    what: What,
    #[command(flatten)]
    record: Record,
    /// The file; it must not be there yet. Without it the standard output is written
    #[arg(long)]
    output: Option<PathBuf>,
}

#[derive(Clone, Copy, ValueEnum)]
enum What {
    /// Every entry of the ledger, the oldest first, each with its hash and root
    History,
    /// Every item as it stands now, the retired ones too
    Items,
    /// Every examination
    Examinations,
    /// Every job with its kit list
    Jobs,
    /// Every item that was refused for a job, with all reasons
    Refusals,
}

impl What {
    fn wanted(self) -> Wanted {
        match self {
            Self::History => Wanted::History(Of::Team, EntryFilter::default()),
            Self::Items => Wanted::Items(ItemFilter::default(), (ItemSort::Mark, Direction::Up)),
            Self::Examinations => Wanted::Examinations,
            Self::Jobs => Wanted::Jobs,
            Self::Refusals => Wanted::Refusals,
        }
    }
}

impl Export {
    pub(super) async fn run(self) -> Outcome {
        let (database, team) = self.record.open().await?;
        let desk = Desk {
            database: database.clone(),
            clock: Clock::System,
            files: Files::unset(),
        };
        let chunks = export::begin_from_console(&desk, team.id, self.what.wanted()).await?;
        match &self.output {
            None => write(chunks, io::stdout().lock()).await?,
            // On the heap: what it holds while it waits is large.
            Some(path) => Box::pin(write_file(chunks, path)).await?,
        }
        database.close().await;
        Ok(())
    }
}

/// What is called so until all of it is there.
pub(super) fn part_of(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".part");
    PathBuf::from(name)
}

/// Writes beside the file and gives it its name at the end, so that no half of one is taken for the whole.
async fn write_file(
    chunks: impl Stream<Item = Result<bytes::Bytes, DeedError>>,
    path: &Path,
) -> Outcome {
    if path.exists() {
        return Err(format!(
            "{} is there already; name another file, or take that one away",
            path.display()
        )
        .into());
    }
    let beside = part_of(path);
    let file = File::create(&beside)?;
    let written = match write(chunks, file).await {
        Ok(()) => fs::rename(&beside, path).map_err(Into::into),
        Err(error) => Err(error),
    };
    if written.is_err() {
        // What went wrong is told; that a part of a file may be left says nothing more.
        let _ = fs::remove_file(&beside);
    }
    written
}

async fn write(
    chunks: impl Stream<Item = Result<bytes::Bytes, DeedError>>,
    mut to: impl Write,
) -> Outcome {
    let mut chunks = std::pin::pin!(chunks);
    while let Some(chunk) = chunks.try_next().await? {
        // Nothing else runs in this process, so nothing waits while it is written.
        to.write_all(&chunk)?;
    }
    Ok(to.flush()?)
}
