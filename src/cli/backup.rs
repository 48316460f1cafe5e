//! A copy of everything that a server with SQLite keeps, made while it serves, checked after it was written, and put
//! back from there. Checked means: every leaf and root worked out again, every table made again from the ledger and compared
//! in every row, every photo and document held against its hash.
//!
//! A backup is a folder: `records.db`, `files/`, and `backup.json`, which says what they hold. It is called `….part`
//! until all of it is there and was read again, so that no half of one is taken for the whole.

use std::{
    collections::BTreeMap,
    fs::{self, File},
    io::Read,
    path::{Path, PathBuf},
};

use clap::Args;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use time::OffsetDateTime;

use super::{
    Outcome,
    fresh::{absent, part_of, with_ending},
    printed::line,
    rebuild::{again, take_away},
    record::Address,
    serve,
};
use crate::{
    domain::{Clock, TeamId, counted},
    store::{
        Database, Difference, Files, Tx,
        address::{file, is_server, told},
    },
};

type Failure = Box<dyn std::error::Error + Send + Sync>;

const RECORDS: &str = "records.db";
const FILES: &str = "files";
const SHEET: &str = "backup.json";
/// How many photos and documents are asked for at once.
const PAGE: u32 = 500;
/// How many differences between ledger and tables are told.
const TOLD: usize = 10;

/// Copy everything into a folder while the server goes on, and check the copy
#[derive(Args)]
pub(super) struct Backup {
    /// The folder; it must not be there yet
    into: PathBuf,
    #[command(flatten)]
    at: Address,
    /// Where photos and documents are kept: a folder, or `s3://BUCKET/PREFIX`; else the folder beside the database
    #[arg(long, env = "ROPELOFT_FILES")]
    files: Option<String>,
}

/// Put a backup back, into a database that is not there yet
#[derive(Args)]
pub(super) struct Restore {
    /// The folder that `ropeloft backup` made
    from: PathBuf,
    #[command(flatten)]
    at: Address,
    /// Where photos and documents go: a folder, or `s3://BUCKET/PREFIX`; else the folder beside the database
    #[arg(long, env = "ROPELOFT_FILES")]
    files: Option<String>,
}

/// What a backup holds.
#[derive(Debug, PartialEq, Eq, Serialize, Deserialize)]
struct Sheet {
    /// The version of the program that made it.
    version: String,
    #[serde(with = "time::serde::rfc3339")]
    made_at: OffsetDateTime,
    /// The SHA-256 of `records.db`.
    records: String,
    teams: BTreeMap<TeamId, Held>,
}

/// What it holds of a team.
#[derive(Debug, PartialEq, Eq, Serialize, Deserialize)]
struct Held {
    name: String,
    entries: u64,
    /// The root of the tree over them, in hexadecimal.
    root: String,
    /// How many checkpoints are kept of it, which no entry tells; none where an older program made the backup.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    checkpoints: Option<u64>,
    /// How many photos and documents.
    files: u64,
}

impl Backup {
    pub(super) async fn run(self) -> Outcome {
        let file = in_a_file(
            &self.at.database,
            "pg_dump, and a copy of the bucket or folder of the files",
        )?;
        if !file.exists() {
            return Err(format!("there is no database {}", file.display()).into());
        }
        absent(&self.into)?;
        let part = part_of(&self.into);
        fs::create_dir(&part).map_err(|e| format!("{}: {e}", part.display()))?;
        let made = Box::pin(self.fill(&part)).await;
        let made = made.and_then(|sheet| {
            fs::rename(&part, &self.into)?;
            Ok(sheet)
        });
        match made {
            Ok(sheet) => {
                tell(
                    &sheet,
                    &format!("Copied to {} and read again", self.into.display()),
                )?;
                line("What signs checkpoints is not in it: keep that secret apart.")?;
                Ok(())
            }
            Err(error) => {
                // What went wrong is told; that a part may be left says nothing more.
                let _ = fs::remove_dir_all(&part);
                Err(error)
            }
        }
    }

    async fn fill(&self, part: &Path) -> Result<Sheet, Failure> {
        let source = Database::open(&self.at.database).await?;
        let records = part.join(RECORDS);
        let copied = source.copy_into(&records).await;
        source.close().await;
        copied?;
        let files = serve::files(self.files.as_deref(), &self.at.database)?;
        let kept = Files::open(&part.join(FILES).display().to_string(), std::iter::empty())?;
        let teams = held(&records, &files, Some(&kept)).await?;
        let sheet = Sheet {
            version: env!("CARGO_PKG_VERSION").to_owned(),
            made_at: Clock::System.now(),
            records: hash_of(&records)?,
            teams,
        };
        let written = File::create(part.join(SHEET))?;
        serde_json::to_writer_pretty(&written, &sheet)?;
        written.sync_all()?;
        File::open(&records)?.sync_all()?;
        Ok(sheet)
    }
}

impl Restore {
    pub(super) async fn run(self) -> Outcome {
        let file = in_a_file(&self.at.database, "psql or pg_restore")?;
        absent(&file)?;
        let text = fs::read_to_string(self.from.join(SHEET))
            .map_err(|e| format!("{} is no backup: {SHEET}: {e}", self.from.display()))?;
        let sheet: Sheet = serde_json::from_str(&text)
            .map_err(|e| format!("{} is no backup: {SHEET}: {e}", self.from.display()))?;
        let records = self.from.join(RECORDS);
        if hash_of(&records)? != sheet.records {
            return Err(format!("{} is not what was written then", records.display()).into());
        }
        let part = part_of(&file);
        fs::copy(&records, &part)?;
        File::open(&part)?.sync_all()?;
        let kept = Files::open(
            &self.from.join(FILES).display().to_string(),
            std::iter::empty(),
        )?;
        let new_folder = self.new_folder();
        let put = Box::pin(self.put_back(&sheet, &part, &kept)).await;
        if let Err(error) = put {
            // As above.
            take_away(&part);
            let _ = new_folder.map(fs::remove_dir_all);
            return Err(error);
        }
        fs::rename(&part, &file)?;
        tell(&sheet, &format!("Put back into {}", file.display()))?;
        line(
            "What signed checkpoints is not in a backup: put that secret back as well, or take a new key.",
        )?;
        Ok(())
    }

    /// Looks at the records in `part` and at the files in `kept`, and puts the files where they go once all of it holds.
    async fn put_back(&self, sheet: &Sheet, part: &Path, kept: &Files) -> Outcome {
        // What an older program wrote is read as this one has it; what signs for it is in the entries.
        let database = Database::open(&part.display().to_string()).await?;
        let migrated = database.migrate().await;
        database.close().await;
        migrated?;
        let mut found = held(part, kept, None).await?;
        for (team, said) in &sheet.teams {
            let Some(found) = found.get_mut(team) else {
                continue;
            };
            if said.checkpoints.is_none() {
                found.checkpoints = None;
            }
            if found.checkpoints != said.checkpoints {
                let (name, said) = (&said.name, checkpoints(said.checkpoints));
                let kept = found.checkpoints.unwrap_or_default();
                return Err(format!("{name}: {said} by its sheet, {kept} in it").into());
            }
        }
        if found != sheet.teams {
            return Err("what is in it is not what its sheet says".into());
        }
        let files = serve::files(self.files.as_deref(), &self.at.database)?;
        let database = Database::open(&part.display().to_string()).await?;
        let put = carry_all(&database, kept, &files).await;
        database.close().await;
        put
    }

    /// The folder of the files, where it is not there yet.
    fn new_folder(&self) -> Option<PathBuf> {
        let place = serve::place_of_files(self.files.as_deref(), &self.at.database)?;
        let is_folder = !place.contains("://");
        let folder = PathBuf::from(place);
        (is_folder && !folder.exists()).then_some(folder)
    }
}

/// What the file holds, when every leaf and root in it was worked out again, its tables were compared with the ledger, and
/// every photo and document was read from one place, held against its hash and kept in the other, if there is one.
async fn held(
    records: &Path,
    from: &Files,
    to: Option<&Files>,
) -> Result<BTreeMap<TeamId, Held>, Failure> {
    let database = Database::open(&records.display().to_string()).await?;
    let teams = look(&database, from, to).await;
    database.close().await;
    let teams = teams?;
    compared(records).await?;
    Ok(teams)
}

async fn look(
    database: &Database,
    from: &Files,
    to: Option<&Files>,
) -> Result<BTreeMap<TeamId, Held>, Failure> {
    if let Some(damage) = database.damage().await? {
        return Err(damage.into());
    }
    let mut teams = BTreeMap::new();
    for team in database.door().await?.teams().await? {
        let mut tx = database.read(team.id).await?;
        let whole = tx.whole().await?;
        let whole = whole.map_err(|torn| format!("{}: {torn}", team.name))?;
        let held = Held {
            files: carry(&mut tx, from, to).await?,
            name: team.name,
            entries: whole.entries,
            root: hex::encode(whole.root),
            checkpoints: Some(tx.checkpoints_kept().await?),
        };
        teams.insert(team.id, held);
    }
    Ok(teams)
}

/// Makes the tables of every team again from the ledger and compares every row, in copies beside the file that are taken
/// away: the file itself stays as it is, also where it is of an older program.
async fn compared(records: &Path) -> Outcome {
    let (copy, made) = (with_ending(records, ".copy"), with_ending(records, ".made"));
    let agree = async {
        fs::copy(records, &copy)?;
        let database = Database::open(&copy.display().to_string()).await?;
        let agree = agree(&database, &made).await;
        database.close().await;
        agree
    };
    let agree = agree.await;
    take_away(&copy);
    agree
}

async fn agree(database: &Database, made: &Path) -> Outcome {
    database.migrate().await?;
    for team in database.door().await?.teams().await? {
        let rebuilt = again(database, team.id, made).await;
        take_away(made);
        let differences = rebuilt?.differences;
        if !differences.is_empty() {
            let told = differences.iter().take(TOLD).map(Difference::to_string);
            let told: Vec<String> = told.collect();
            return Err(format!(
                "{}: ledger and tables do not agree; {} of the differences: {}. See ropeloft rebuild",
                team.name,
                told.len(),
                told.join("; ")
            )
            .into());
        }
    }
    Ok(())
}

/// Reads every photo and document of a team, holds it against its hash, and keeps it in the other place, if there is one;
/// gives how many.
async fn carry(tx: &mut Tx, from: &Files, to: Option<&Files>) -> Result<u64, Failure> {
    let (mut after, mut count) = (None, 0);
    loop {
        let page = tx.attachments_after(after, PAGE).await?;
        let Some(last) = page.last() else {
            return Ok(count);
        };
        after = Some(last.id);
        for file in page
            .iter()
            .flat_map(|one| std::iter::once(&one.file).chain(&one.thumbnail))
        {
            let bytes = from.read(tx.team(), &file.sha256).await?;
            if let Some(to) = to {
                to.keep(tx.team(), &file.sha256, bytes).await?;
            }
            count += 1;
        }
    }
}

async fn carry_all(database: &Database, from: &Files, to: &Files) -> Outcome {
    for team in database.door().await?.teams().await? {
        let mut tx = database.read(team.id).await?;
        carry(&mut tx, from, Some(to)).await?;
    }
    Ok(())
}

fn checkpoints(kept: Option<u64>) -> String {
    match kept {
        Some(kept) => counted(kept, "checkpoint", "checkpoints"),
        None => "checkpoints that its sheet does not tell".to_owned(),
    }
}

fn tell(sheet: &Sheet, what: &str) -> Outcome {
    line(format_args!("{what}."))?;
    for held in sheet.teams.values() {
        let checkpoints = checkpoints(held.checkpoints);
        line(format_args!(
            "  {}: {} entries, {}, {} files; the root is {}",
            held.name, held.entries, checkpoints, held.files, held.root
        ))?;
    }
    Ok(())
}

/// The path of a database in a file.
fn in_a_file(database: &str, instead: &str) -> Result<PathBuf, Failure> {
    if is_server(database) {
        return Err(format!("this database is on a PostgreSQL server: use {instead}").into());
    }
    file(database).ok_or_else(|| format!("{} is in no file", told(database)).into())
}

fn hash_of(path: &Path) -> Result<String, Failure> {
    let mut hash = Sha256::new();
    let mut file = File::open(path).map_err(|e| format!("{}: {e}", path.display()))?;
    let mut part = vec![0; 64 * 1024];
    loop {
        match file.read(&mut part)? {
            0 => break,
            read => hash.update(&part[..read]),
        }
    }
    Ok(hex::encode(hash.finalize()))
}
