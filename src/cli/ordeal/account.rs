//! What was sent and acknowledged, held against what is there.

use std::collections::BTreeMap;

use super::{
    Failure, House,
    client::Client,
    crew::{Crew, Tried},
    figures::Figures,
    reading::Reading,
    write::{Seal, What},
};
use crate::{
    cli::rebuild,
    domain::{Hash, tree_proof::check_consistency},
    store::{Rebuilt, Tx},
};

/// The books of a part.
#[derive(Default)]
pub(super) struct Account {
    pub(super) reading: Reading,
    sent: u64,
    acknowledged: u64,
    found: u64,
    /// Not acknowledged and there all the same: the answer was lost on its way.
    there: u64,
    /// Not acknowledged and not there.
    absent: u64,
    turned_away: BTreeMap<String, u64>,
    rebuilds: u64,
    rows: u64,
}

impl Account {
    /// Looks into the database: the ledger goes on from where it was, and whatever the clients sent since the last look
    /// is there if it was acknowledged, whole or not at all, in ledger and tables alike.
    ///
    /// # Errors
    /// The first thing that is not as it must be.
    pub(super) async fn settle(
        &mut self,
        house: &House,
        crews: &mut [Crew],
    ) -> Result<(), Failure> {
        let database = house.open().await?;
        let settled = async {
            let mut tx = database.read(house.team).await?;
            self.reading.read_on(&mut tx).await?;
            for crew in crews {
                self.sent += std::mem::take(&mut crew.sent);
                for (kind, count) in std::mem::take(&mut crew.turned_away) {
                    *self.turned_away.entry(kind).or_default() += count;
                }
                for tried in std::mem::take(&mut crew.tried) {
                    self.hold(&tried, &mut tx).await?;
                }
            }
            Ok(())
        };
        let settled = settled.await;
        database.close().await;
        settled
    }

    async fn hold(&mut self, tried: &Tried, tx: &mut Tx) -> Result<(), Failure> {
        let Tried { write, answer } = tried;
        let is_there = is_there(&self.reading, tried, tx);
        let is_there = is_there.await.map_err(|fault| {
            let words = write.words();
            format!("the {words} is there by half: {fault}")
        })?;
        match (answer, is_there) {
            (Some(_), true) => {
                self.acknowledged += 1;
                self.found += 1;
            }
            (Some(_), false) => {
                return Err(format!("the {} was acknowledged and is lost", write.words()).into());
            }
            (None, true) => self.there += 1,
            (None, false) => self.absent += 1,
        }
        Ok(())
    }

    /// Makes the tables again from the ledger and compares every row.
    ///
    /// # Errors
    /// The first difference.
    pub(super) async fn rebuild(&mut self, house: &House) -> Result<(), Failure> {
        let path = house.folder.join("again.db");
        let database = house.open().await?;
        let rebuilt = rebuild::again(&database, house.team, &path).await;
        database.close().await;
        rebuild::take_away(&path);
        let Rebuilt {
            entries,
            rows,
            differences,
            ..
        } = rebuilt?;
        if let Some(first) = differences.first() {
            let count = differences.len();
            return Err(format!("the record is not whole, {count} times or more: {first}").into());
        }
        if entries < self.reading.tree.size() {
            return Err("the ledger is shorter than it was".into());
        }
        self.rebuilds += 1;
        self.rows = rows;
        Ok(())
    }

    /// Writes the books down.
    pub(super) fn tell(&self, figures: &mut Figures) {
        figures.line("requests sent", self.sent);
        figures.line("writes acknowledged", self.acknowledged);
        figures.line("of these found again", self.found);
        figures.line("of these lost", self.acknowledged - self.found);
        figures.line("not acknowledged, but there", self.there);
        figures.line("not acknowledged, not there", self.absent);
        for (kind, count) in &self.turned_away {
            figures.line("turned away", format!("{count}: {kind}"));
        }
        let tree = &self.reading.tree;
        figures.line("entries in the ledger, one tree", tree.size());
        let again = match self.rebuilds {
            1 => "once".to_owned(),
            times => format!("{times} times"),
        };
        let rows = self.rows;
        figures.line(
            "tables made again and compared",
            format!("{again}, {rows} rows the last time, no difference"),
        );
    }
}

async fn is_there(reading: &Reading, tried: &Tried, tx: &mut Tx) -> Result<bool, Failure> {
    let Tried { write, answer } = tried;
    if write.what == What::Checkpoint {
        return match answer {
            Some(answer) => Seal::read(answer)?.is_kept(tx).await,
            None => Ok(false),
        };
    }
    let (ledger, tables) = (reading.holds(&write.marks())?, write.in_tables(tx).await?);
    match (ledger, tables) {
        (true, false) => Err("the ledger has it, the tables lack it".into()),
        (false, true) => Err("the tables have it, the ledger lacks it".into()),
        (both, _) => Ok(both),
    }
}

/// A checkpoint of the ledger as it stands.
pub(super) async fn seal(client: &mut Client) -> Result<Seal, Failure> {
    let made = client
        .make("/api/v1/checkpoints", &serde_json::json!({}))
        .await?;
    Seal::read(&made)
}

/// Holds an older checkpoint against a server: it gives it as it was, and proves that its ledger has only grown since.
///
/// # Errors
/// If it does not.
pub(super) async fn grown_from(client: &mut Client, seal: &Seal) -> Result<(), Failure> {
    let (size, root) = (seal.checkpoint.size, seal.checkpoint.root);
    let kept = client.read(&format!("/api/v1/checkpoints/{size}")).await?;
    if kept.json()["note"] != seal.note {
        return Err(format!("the checkpoint of {size} entries is another one now").into());
    }
    let path = format!("/api/v1/ledger/consistency?old={size}");
    let proof = client.read(&path).await?.json();
    let hash = |value: &serde_json::Value| -> Result<Hash, Failure> {
        let bytes = hex::decode(value.as_str().unwrap_or_default())?;
        Hash::try_from(bytes.as_slice()).map_err(Into::into)
    };
    let hashes = proof["proof"].as_array().ok_or("a proof without hashes")?;
    let hashes: Vec<Hash> = hashes.iter().map(hash).collect::<Result<_, _>>()?;
    let new = (
        proof["new"].as_u64().unwrap_or_default(),
        hash(&proof["new_root"])?,
    );
    check_consistency((size, &root), (new.0, &new.1), &hashes)
        .map_err(|error| format!("from the checkpoint of {size} entries: {error}"))?;
    Ok(())
}

/// Reads again from a server what each client was acknowledged last.
///
/// # Errors
/// If one is not there.
pub(super) async fn read_again(client: &mut Client, crews: &[Crew]) -> Result<(), Failure> {
    for crew in crews {
        let mut tried = crew.tried.iter().rev();
        if let Some(last) = tried.find(|tried| tried.answer.is_some()) {
            let write = &last.write;
            let answer = client.read(&write.read_at()).await?;
            let id = write.lines.first().unwrap_or(&write.id).to_string();
            if write.what != What::Checkpoint && !answer.text.contains(&id) {
                return Err(
                    format!("the {} was acknowledged and is not shown", write.words()).into(),
                );
            }
        }
    }
    Ok(())
}
