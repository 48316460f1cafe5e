//! Makes a team's tables again from its ledger and compares every row: whether the record is whole.

use std::path::{Path, PathBuf};

use clap::Args;
use uuid::Uuid;

use super::{Outcome, record::Record};
use crate::store::{Database, MOST_DIFFERENCES, Rebuilt, StoreError, rebuild};

/// Make the tables again from the ledger, in a database of their own, and compare every row
#[derive(Args)]
pub(super) struct Rebuild {
    #[command(flatten)]
    record: Record,
    /// The `SQLite` file in which they are made; it must not be there yet. Without it one is made for the
    /// while and taken away
    #[arg(long)]
    into: Option<PathBuf>,
}

impl Rebuild {
    pub(super) async fn run(self) -> Outcome {
        let (database, team) = self.record.open().await?;
        let stays = self.into.is_some();
        let path = self.into.unwrap_or_else(|| {
            let name = format!("ropeloft-rebuild-{}.db", Uuid::now_v7());
            std::env::temp_dir().join(name)
        });
        if path.exists() {
            return Err(format!(
                "{} is there already; name another file, or take that one away",
                path.display()
            )
            .into());
        }
        let rebuilt = again(&database, team.id, &path).await;
        if !stays {
            take_away(&path);
        }
        database.close().await;
        tell(&team.name, &rebuilt?)
    }
}

async fn again(
    database: &Database,
    team: crate::domain::TeamId,
    path: &Path,
) -> Result<Rebuilt, StoreError> {
    let into = Database::open(&path.display().to_string()).await?;
    into.migrate().await?;
    let rebuilt = rebuild(database, team, &into).await;
    into.close().await;
    rebuilt
}

/// The file and what SQLite may have left beside it.
fn take_away(path: &Path) {
    for ending in ["", "-wal", "-shm"] {
        let mut name = path.as_os_str().to_owned();
        name.push(ending);
        // Most of these are not there.
        let _ = std::fs::remove_file(name);
    }
}

fn tell(team: &str, rebuilt: &Rebuilt) -> Outcome {
    println!(
        "{team}: {} entries, {} rows compared; the root is {}",
        rebuilt.entries,
        rebuilt.rows,
        hex::encode(rebuilt.root)
    );
    if rebuilt.differences.is_empty() {
        println!("Ledger and tables agree in every row.");
        return Ok(());
    }
    for difference in &rebuilt.differences {
        println!("  {difference}");
    }
    let count = match rebuilt.differences.len() {
        1 => "1 difference".to_owned(),
        n if n >= MOST_DIFFERENCES => format!("the first {n} differences"),
        n => format!("{n} differences"),
    };
    Err(format!("ledger and tables do not agree: {count} above").into())
}
