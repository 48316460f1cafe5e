//! Makes a team's tables again from its ledger, compares every row and holds every kept checkpoint against it: whether the
//! record is whole.

use std::{
    fs::File,
    path::{Path, PathBuf},
};

use clap::Args;
use uuid::Uuid;

use super::{
    Outcome,
    fresh::{absent, with_ending},
    printed::line,
    record::Record,
    serve,
};
use crate::{
    domain::TeamId,
    store::{Database, FilesError, MOST_DIFFERENCES, Rebuilt, StoreError, rebuild},
};

/// Make the tables again from the ledger, in a database of their own, compare every row, and hold every kept checkpoint
/// against it
#[derive(Args)]
pub(super) struct Rebuild {
    #[command(flatten)]
    record: Record,
    /// The `SQLite` file in which they are made; it must not be there yet. Without it one is made for the
    /// while and taken away
    #[arg(long)]
    into: Option<PathBuf>,
    /// Where photos and documents are kept: a folder, or `s3://BUCKET/PREFIX`; else the folder beside the database
    #[arg(long, env = "ROPELOFT_FILES")]
    files: Option<String>,
}

/// How many photos and documents are asked for at once.
const PAGE: u32 = 500;

impl Rebuild {
    pub(super) async fn run(self) -> Outcome {
        let (database, team) = self.record.open().await?;
        let stays = self.into.is_some();
        let path = self.into.clone().unwrap_or_else(|| {
            let name = format!("ropeloft-rebuild-{}.db", Uuid::now_v7());
            std::env::temp_dir().join(name)
        });
        absent(&path)?;
        let rebuilt = again(&database, team.id, &path).await;
        if !stays {
            take_away(&path);
        }
        let rebuilt = rebuilt?;
        if stays {
            // It was filled without a flush.
            File::open(&path)?.sync_all()?;
        }
        tell(&team.name, &rebuilt)?;
        let looked = self.look_at_files(&database, team.id).await;
        database.close().await;
        looked
    }
}

impl Rebuild {
    /// Reads every file that the ledger names and holds it against its hash.
    async fn look_at_files(&self, database: &Database, team: TeamId) -> Outcome {
        let mut tx = database.read(team).await?;
        let (mut after, mut files) = (None, None);
        let (mut whole, mut faults) = (0_u64, Vec::new());
        loop {
            let page = tx.attachments_after(after, PAGE).await?;
            let Some(last) = page.last() else { break };
            after = Some(last.id);
            // A place is opened only where there is something to read.
            let files = match &mut files {
                Some(files) => files,
                none => none.insert(serve::files(self.files.as_deref(), self.record.database())?),
            };
            for one in &page {
                for file in std::iter::once(&one.file).chain(&one.thumbnail) {
                    match files.read(team, &file.sha256).await {
                        Ok(_) => whole += 1,
                        Err(FilesError::Unset) => {
                            return Err("photos and documents were not looked at: name their place with --files or ROPELOFT_FILES".into());
                        }
                        Err(error) => faults.push(format!("{}: {error}", one.id)),
                    }
                }
            }
        }
        if faults.is_empty() {
            line(format_args!(
                "Files of photos and documents: {whole}, each with the bytes of its hash."
            ))?;
            return Ok(());
        }
        for fault in &faults {
            line(format_args!("  {fault}"))?;
        }
        Err(format!(
            "{} of {} files of photos and documents are not as they were kept",
            faults.len(),
            u64::try_from(faults.len())? + whole
        )
        .into())
    }
}

/// Makes the tables of a team again, in a new `SQLite` file, and compares them.
pub(super) async fn again(
    database: &Database,
    team: TeamId,
    path: &Path,
) -> Result<Rebuilt, StoreError> {
    let into = Database::make(path).await?;
    into.migrate().await?;
    let rebuilt = rebuild(database, team, &into).await;
    into.close().await;
    rebuilt
}

/// Takes away the file and what SQLite may have left beside it.
pub(super) fn take_away(path: &Path) {
    for ending in ["", "-journal", "-wal", "-shm"] {
        // Most of these are not there.
        let _ = std::fs::remove_file(with_ending(path, ending));
    }
}

fn tell(team: &str, rebuilt: &Rebuilt) -> Outcome {
    line(format_args!(
        "{team}: {} entries, {} rows compared; the root is {}",
        rebuilt.entries,
        rebuilt.rows,
        hex::encode(rebuilt.root)
    ))?;
    if rebuilt.differences.is_empty() {
        line("Ledger and tables agree in every row.")?;
        line(of_checkpoints(rebuilt.checkpoints))?;
        return Ok(());
    }
    for difference in &rebuilt.differences {
        line(format_args!("  {difference}"))?;
    }
    let count = match rebuilt.differences.len() {
        1 => "1 difference".to_owned(),
        n if n >= MOST_DIFFERENCES => format!("the first {n} differences"),
        n => format!("{n} differences"),
    };
    Err(format!("the record is not whole: {count} above").into())
}

/// What was looked at of the checkpoints that are kept.
fn of_checkpoints(held: u64) -> String {
    match held {
        0 => "No checkpoint is kept.".to_owned(),
        1 => "1 checkpoint is kept: signed, over the root of these very entries.".to_owned(),
        several => format!(
            "{several} checkpoints are kept, each signed, over the root of these very entries."
        ),
    }
}
