//! Makes the tables again from the ledger, in another database, and compares every row.

use std::{cmp::Ordering, fmt};

use super::{
    Database, StoreError, Tx, WriteTx,
    ledger::PAGE,
    statement::Value,
    table::{TABLES, Table},
    table_rows::{Row, Rows},
};
use crate::domain::{Change, Entry, Hash, Sealed, TeamId, ledger::leaf_hash};

/// What came of making a team's tables again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rebuilt {
    /// How many entries were read.
    pub entries: u64,
    /// The root of the tree over them, worked out from their bytes alone.
    pub root: Hash,
    /// How many rows were compared.
    pub rows: u64,
    /// The first differences, up to [`MOST_DIFFERENCES`]; none where ledger and tables agree.
    pub differences: Vec<Difference>,
}

/// The most differences that are told.
pub const MOST_DIFFERENCES: usize = 100;

/// Where ledger and tables do not agree.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Difference {
    /// An entry is not what its hashes or its columns say.
    Entry {
        /// Its sequence number.
        seq: u64,
        /// What does not agree.
        what: String,
    },
    /// The ledger's head does not stand at its last entry.
    Head,
    /// A name is not the one that was sealed.
    Name {
        /// The seal, in hexadecimal.
        seal: String,
    },
    /// The ledger gives a row that the table lacks.
    Missing {
        /// The table.
        table: &'static str,
        /// The row's key.
        key: String,
    },
    /// The table holds a row that the ledger does not give.
    Extra {
        /// The table.
        table: &'static str,
        /// The row's key.
        key: String,
    },
    /// A column does not hold what the ledger gives.
    Differs {
        /// The table.
        table: &'static str,
        /// The row's key.
        key: String,
        /// The column.
        column: &'static str,
    },
}

impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Entry { seq, what } => write!(f, "entry {seq}: {what}"),
            Self::Head => f.write_str("the head of the ledger does not stand at its last entry"),
            Self::Name { seal } => write!(
                f,
                "the name behind the seal {seal} is not the one that was sealed"
            ),
            Self::Missing { table, key } => {
                write!(f, "{table} {key}: the ledger gives it, the table lacks it")
            }
            Self::Extra { table, key } => {
                write!(
                    f,
                    "{table} {key}: the table holds it, the ledger does not give it"
                )
            }
            Self::Differs { table, key, column } => {
                write!(f, "{table} {key}: {column} is not what the ledger gives")
            }
        }
    }
}

/// Replays a team's ledger from `from` into `into`, which must not have the team, checking every leaf and root on the
/// way; then compares every row of every table that is made from the ledger.
///
/// # Errors
/// [`StoreError::NoTeam`] if `from` has no such team, [`StoreError::Taken`] if `into` has it.
pub async fn rebuild(
    from: &Database,
    team: TeamId,
    into: &Database,
) -> Result<Rebuilt, StoreError> {
    let mut source = from.read(team).await?;
    let (frame, founded_at) = source.this_team().await?.ok_or(StoreError::NoTeam)?;
    let head = source.head().await?.ok_or(StoreError::NoTeam)?;
    let mut target = into.frame_team(&frame, founded_at).await?;
    let mut rebuilt = Rebuilt {
        entries: 0,
        root: target.grown().root,
        rows: 0,
        differences: Vec::new(),
    };
    copy_names(&mut source, &mut target, &mut rebuilt).await?;
    let whole = replay_all(&mut source, &mut target, &mut rebuilt).await?;
    let grown = target.grown();
    rebuilt.root = grown.root;
    if !whole {
        return Ok(rebuilt);
    }
    target.commit().await?;
    if grown != head {
        rebuilt.differences.push(Difference::Head);
    }
    let mut target = into.read(team).await?;
    for table in TABLES {
        compare(table, &mut target, &mut source, &mut rebuilt).await?;
    }
    Ok(rebuilt)
}

/// Takes over the names behind the seals, and tells of each that is not what its seal says.
async fn copy_names(
    source: &mut Tx,
    target: &mut WriteTx,
    rebuilt: &mut Rebuilt,
) -> Result<(), StoreError> {
    let mut after = Vec::new();
    loop {
        let names = source.names_after(&after).await?;
        let Some(last) = names.last() else {
            return Ok(());
        };
        after = last.seal.to_vec();
        let forged = names.iter().filter(|name| !name.holds());
        let forged = forged.map(|name| Difference::Name {
            seal: hex::encode(name.seal),
        });
        rebuilt.differences.extend(forged);
        target.add_names(&names).await?;
    }
}

/// Replays every entry; false if one could not be, and what would follow has nothing to stand on.
async fn replay_all(
    source: &mut Tx,
    target: &mut WriteTx,
    rebuilt: &mut Rebuilt,
) -> Result<bool, StoreError> {
    loop {
        let page = source.entries_after(rebuilt.entries, PAGE).await?;
        if page.is_empty() {
            return Ok(true);
        }
        for sealed in page {
            rebuilt.entries += 1;
            let seq = rebuilt.entries;
            let replayed = match read_entry(&sealed, seq, target.team()) {
                Ok(entry) => target.replay(&[(entry, sealed.payload)]).await,
                Err(what) => {
                    rebuilt.differences.push(Difference::Entry { seq, what });
                    return Ok(false);
                }
            };
            let what = match replayed {
                Ok(()) if target.grown().root == sealed.root => continue,
                Ok(()) => "its root is not that of the tree up to it".to_owned(),
                Err(error) => format!("it does not go on what is before it: {error}"),
            };
            rebuilt.differences.push(Difference::Entry { seq, what });
            return Ok(false);
        }
    }
}

/// The entry behind the bytes, if its hash and its columns agree with them.
fn read_entry(sealed: &Sealed, seq: u64, team: TeamId) -> Result<Entry<Change>, String> {
    if sealed.seq != seq {
        return Err(format!("it is missing; the next is {}", sealed.seq));
    }
    if leaf_hash(sealed.payload.as_bytes()) != sealed.leaf {
        return Err("its bytes do not have its leaf hash".to_owned());
    }
    let entry: Entry<Change> = sealed
        .entry()
        .map_err(|error| format!("its bytes are no entry: {error}"))?;
    let columns = (sealed.seq, team, sealed.recorded_at, sealed.actor);
    if columns != (entry.seq, entry.team, entry.recorded_at, entry.actor)
        || sealed.kind != entry.change.kind()
    {
        return Err("its columns do not say what its bytes say".to_owned());
    }
    Ok(entry)
}

/// Walks both tables in the order of their keys.
async fn compare(
    table: &Table,
    again: &mut Tx,
    there: &mut Tx,
    rebuilt: &mut Rebuilt,
) -> Result<(), StoreError> {
    let name = table.name;
    let (mut again, mut there) = (Rows::new(table, again), Rows::new(table, there));
    let (mut given, mut held) = (again.next().await?, there.next().await?);
    while rebuilt.differences.len() < MOST_DIFFERENCES {
        let order = match (&given, &held) {
            (None, None) => break,
            (Some(_), None) => Ordering::Less,
            (None, Some(_)) => Ordering::Greater,
            (Some(given), Some(held)) => table.key_of(given).cmp(table.key_of(held)),
        };
        rebuilt.rows += 1;
        if let (Ordering::Less, Some(row)) = (order, &given) {
            let key = written(table, row);
            let missing = Difference::Missing { table: name, key };
            rebuilt.differences.push(missing);
        }
        if let (Ordering::Greater, Some(row)) = (order, &held) {
            let key = written(table, row);
            rebuilt
                .differences
                .push(Difference::Extra { table: name, key });
        }
        if let (Ordering::Equal, Some(given), Some(held)) = (order, &given, &held) {
            let differing = differing(table, given, held);
            rebuilt.differences.extend(differing.map(|column| {
                let key = written(table, given);
                Difference::Differs {
                    table: name,
                    key,
                    column,
                }
            }));
        }
        if order.is_le() {
            given = again.next().await?;
        }
        if order.is_ge() {
            held = there.next().await?;
        }
    }
    Ok(())
}

/// The columns in which two rows differ.
fn differing<'a>(
    table: &'a Table,
    given: &'a Row,
    held: &'a Row,
) -> impl Iterator<Item = &'static str> + 'a {
    let pairs = table.columns.iter().zip(given.iter().zip(held));
    pairs
        .filter(|((column, _), (given, held))| {
            given != held
                && !(*column == "record" && says_the_same(table, given.as_ref(), held.as_ref()))
        })
        .map(|((column, _), _)| *column)
}

/// Whether two records say the same, though they may have been written by different versions of the program.
fn says_the_same(table: &Table, given: Option<&Value>, held: Option<&Value>) -> bool {
    let (Some(normal), Some(Value::Text(given)), Some(Value::Text(held))) =
        (table.normal, given, held)
    else {
        return false;
    };
    let held = normal(held);
    held.is_some() && held == normal(given)
}

fn written(table: &Table, row: &Row) -> String {
    let parts: Vec<String> = table
        .key_of(row)
        .iter()
        .flatten()
        .map(|value| match value {
            Value::Id(id) => id.to_string(),
            Value::Text(text) => text.clone(),
            other => format!("{other:?}"),
        })
        .collect();
    parts.join(" ")
}
