//! Makes the tables again from the ledger, in another database, and compares every row.

use tokio::sync::mpsc;

use super::{
    Database, Difference, StoreError, Tx, WriteTx,
    compare::compare_all,
    ledger::PAGE,
    tx::change_any,
    whole::{OTHER_ROOT, read_entry},
};
use crate::domain::{Change, Entry, Hash, Sealed, TeamId, own_checkpoint};

/// What came of making a team's tables again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Rebuilt {
    /// How many entries were read.
    pub entries: u64,
    /// The root of the tree over them, worked out from their bytes alone.
    pub root: Hash,
    /// How many rows were compared.
    pub rows: u64,
    /// How many kept checkpoints are signed, over the very roots that come out again.
    pub checkpoints: u64,
    /// The first differences, up to [`MOST_DIFFERENCES`](super::MOST_DIFFERENCES); none where ledger and tables agree.
    pub differences: Vec<Difference>,
}

/// Replays a team's ledger from `from` into `into`, which must not have the team, checking every leaf and root on the
/// way; then holds every kept checkpoint against it, and compares every row of every table that is made from the ledger.
///
/// However long the ledger is, a few pages of entries or rows are in memory.
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
        checkpoints: 0,
        differences: Vec::new(),
    };
    copy_names(&mut source, &mut target, &mut rebuilt).await?;
    let read = replay_all(source, &mut target, &mut rebuilt).await?;
    let grown = target.grown();
    rebuilt.root = grown.root;
    let Some(source) = read else {
        return Ok(rebuilt);
    };
    target.commit().await?;
    if grown != head {
        rebuilt.differences.push(Difference::Head);
    }
    let (mut source, mut target) = (source, into.read(team).await?);
    hold_checkpoints(&mut source, &mut target, &mut rebuilt).await?;
    compare_all(target, source, &mut rebuilt).await?;
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

/// A page of entries that were read ahead.
struct Page {
    /// Those that are what their hashes and columns say, with their bytes.
    lines: Vec<(Entry<Change>, String)>,
    /// The roots that were kept with them.
    roots: Vec<Hash>,
    /// What does not agree in the entry behind them, if there is one that does not.
    fault: Option<String>,
}

impl Page {
    /// Holds the entries that follow the first `seq` against their bytes, up to the first that is not what they say.
    fn read(page: Vec<Sealed>, seq: u64, team: TeamId) -> Self {
        let (mut lines, mut roots) = (Vec::new(), Vec::new());
        for (seq, sealed) in (seq + 1..).zip(page) {
            match read_entry(&sealed, seq, team) {
                Ok(entry) => lines.push((entry, sealed.payload)),
                Err(what) => {
                    let fault = Some(what);
                    return Self {
                        lines,
                        roots,
                        fault,
                    };
                }
            }
            roots.push(sealed.root);
        }
        let fault = None;
        Self {
            lines,
            roots,
            fault,
        }
    }
}

/// Holds every checkpoint that is kept against the roots that came out again, and against the key that signed then.
async fn hold_checkpoints(
    source: &mut Tx,
    target: &mut Tx,
    rebuilt: &mut Rebuilt,
) -> Result<(), StoreError> {
    let keys = target.ledger_keys().await?;
    let mut before = None;
    loop {
        let page = source.checkpoints(before, PAGE).await?;
        let Some(last) = page.last() else {
            return Ok(());
        };
        before = Some(last.size);
        for kept in page {
            let size = kept.size;
            let root = target.root_of(size).await?;
            let what = match (
                own_checkpoint((target.team(), size), &kept.note, &keys),
                root,
            ) {
                (Err(what), _) => what,
                (Ok(_), None) => format!("the ledger has {} entries", rebuilt.entries),
                (Ok(said), Some(root)) if said.root != root => {
                    "what was signed is another root than that of these entries".to_owned()
                }
                _ => {
                    rebuilt.checkpoints += 1;
                    continue;
                }
            };
            let difference = Difference::Checkpoint { size, what };
            rebuilt.differences.push(difference);
        }
    }
}

/// Hands the ledger on page by page until nobody takes it any more, and gives back what it read from.
async fn read_entries(mut source: Tx, pages: mpsc::Sender<Page>) -> Result<Tx, StoreError> {
    let (mut seq, team) = (0, source.team());
    loop {
        let page = source.entries_after(seq, PAGE).await?;
        let page = Page::read(page, seq, team);
        seq += page.lines.len() as u64;
        let ends = page.lines.is_empty() || page.fault.is_some();
        if pages.send(page).await.is_err() || ends {
            return Ok(source);
        }
    }
}

/// Replays every entry, while a task of its own reads ahead; none if one could not be, and what would follow has
/// nothing to stand on.
async fn replay_all(
    source: Tx,
    target: &mut WriteTx,
    rebuilt: &mut Rebuilt,
) -> Result<Option<Tx>, StoreError> {
    let (send, mut pages) = mpsc::channel(1);
    let reading = tokio::spawn(read_entries(source, send));
    while let Some(page) = pages.recv().await {
        if !replay_page(&page, target, rebuilt).await? {
            return Ok(None);
        }
    }
    let source = reading.await.map_err(|_| StoreError::GivenUp)?;
    source.map(Some)
}

/// Replays a page at once. Where that does not go, entry by entry, to tell which one it is; then it is false.
async fn replay_page(
    page: &Page,
    target: &mut WriteTx,
    rebuilt: &mut Rebuilt,
) -> Result<bool, StoreError> {
    let mut fault = None;
    if target.replay_or_undo(page).await? {
        rebuilt.entries += page.lines.len() as u64;
    } else {
        fault = replay_singly(page, target, rebuilt).await;
    }
    if let (None, Some(what)) = (&fault, &page.fault) {
        rebuilt.entries += 1;
        fault = Some(what.clone());
    }
    let whole = fault.is_none();
    let seq = rebuilt.entries;
    let fault = fault.map(|what| Difference::Entry { seq, what });
    rebuilt.differences.extend(fault);
    Ok(whole)
}

/// Replays entry by entry, up to the first that does not go on what is before it, and says why.
async fn replay_singly(page: &Page, target: &mut WriteTx, rebuilt: &mut Rebuilt) -> Option<String> {
    for (line, root) in page.lines.iter().zip(&page.roots) {
        rebuilt.entries += 1;
        match target.replay(std::slice::from_ref(line)).await {
            Ok(_) if target.grown().root == *root => {}
            Ok(_) => return Some(OTHER_ROOT.to_owned()),
            Err(error) => return Some(format!("it does not go on what is before it: {error}")),
        }
    }
    None
}

impl WriteTx {
    /// Replays a page. False if one of its entries does not go, or its root is another: then nothing of the page is left.
    async fn replay_or_undo(&mut self, page: &Page) -> Result<bool, StoreError> {
        let before = self.growth.clone();
        change_any!(self.conn, "SAVEPOINT page")?;
        let replayed = self.replay(&page.lines).await;
        let goes = replayed.as_ref().is_ok_and(|recorded| {
            let roots = recorded.iter().map(|recorded| &recorded.root);
            roots.eq(&page.roots)
        });
        if !goes {
            let undone = change_any!(self.conn, "ROLLBACK TO SAVEPOINT page");
            if let (Err(error), Err(_)) = (replayed, undone) {
                // The database has given the whole transaction up.
                return Err(error);
            }
            self.growth = before;
            self.conn.failed = false;
        }
        change_any!(self.conn, "RELEASE SAVEPOINT page")?;
        Ok(goes)
    }
}
