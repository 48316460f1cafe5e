//! The ledger when it is long: what an append costs then, and making the tables again from all of it.
//!
//! `ROPELOFT_BENCH_LEDGER=1000,100000,10000000` appends to ledgers of so many entries; `ROPELOFT_BENCH_ENTRIES=1000000` makes
//! tables again from so many. Both take modest numbers without. Ten million
//! entries need about 8 GB in the folder for temporary files.

use std::{path::Path, time::Instant};

use ropeloft::{
    domain::{Actor, Change, Frontier},
    store::{Database, rebuild},
};
use sqlx::{
    Connection, SqliteConnection,
    sqlite::{SqliteConnectOptions, SqliteSynchronous},
};
use time::Duration;
use tokio::runtime::Runtime;

use crate::large::{AT, Large, examination};

/// How many rows are laid out in one transaction.
const TOGETHER: u64 = 500_000;
/// How many entries one transaction appends, and how many transactions.
const BATCH: (u32, u32) = (1000, 5);
/// How many entries are appended in a transaction each.
const ALONE: u32 = 50;

fn lengths() -> Vec<u64> {
    let given = std::env::var("ROPELOFT_BENCH_LEDGER");
    let given = given.unwrap_or_else(|_| "1000,100000".to_owned());
    let lengths = given.split(',').map(|text| text.trim().parse());
    lengths
        .collect::<Result<_, _>>()
        .expect("ROPELOFT_BENCH_LEDGER is whole numbers with commas between")
}

fn entries() -> usize {
    let given = std::env::var("ROPELOFT_BENCH_ENTRIES").ok();
    given.map_or(10_000, |text| {
        text.parse()
            .expect("ROPELOFT_BENCH_ENTRIES is a whole number")
    })
}

/// Prints what an append costs in ledgers of several lengths. In each, the quickest transaction counts.
pub fn appended(runtime: &Runtime) {
    for length in lengths() {
        let folder = tempfile::tempdir().unwrap();
        let (together, alone) = runtime.block_on(times(folder.path(), length));
        println!(
            "ledger of {length} entries: an append takes {together:.0} µs among 1,000 of one transaction, {alone:.0} µs in one \
             of its own, written to disk"
        );
    }
}

async fn times(folder: &Path, length: u64) -> (f64, f64) {
    let large = Large::new(folder, 1).await;
    let file = folder.join("1.db");
    lay_out(&file, &large.officer, length).await;
    let append = async |count: u32| {
        let start = Instant::now();
        let mut tx = large.database.write(large.officer.team).await.unwrap();
        for day in 0..count {
            let on = AT.date() - Duration::days(i64::from(day % 20));
            let one = examination(&large.officer, large.item, on);
            let change = Change::ExaminationRecorded(one);
            tx.record(&large.officer, AT, change).await.unwrap();
        }
        tx.commit().await.unwrap();
        start.elapsed().as_secs_f64() * 1e6 / f64::from(count)
    };
    let (mut together, mut alone) = (f64::INFINITY, f64::INFINITY);
    for _ in 0..BATCH.1 {
        together = together.min(append(BATCH.0).await);
    }
    for _ in 0..ALONE {
        alone = alone.min(append(1).await);
    }
    let mut tx = large.database.read(large.officer.team).await.unwrap();
    let head = tx.head().await.unwrap().unwrap();
    assert_eq!(
        head.size,
        length + u64::from(BATCH.0 * BATCH.1 + ALONE),
        "every append was to this ledger"
    );
    (together, alone)
}

/// Makes a short ledger `length` entries long by rows, not by changes.
///
/// Real are: the rows and every index over them, as many as a ledger of this length has, in the order in which they would have
/// come; the subtrees, at their levels and places; the head with as many peaks as its size asks for. So the store finds
/// trees of the same depth and files of the same size as if all had been appended. Made up are: the bytes of the entries
/// (240 digits each), what they are about (20 entries in a row are about one thing), and all hashes, which prove
/// nothing. The register behind it has one item: the cost of a larger register is another bench.
async fn lay_out(file: &Path, officer: &Actor, length: u64) {
    const ENTRIES: &str = "
        WITH RECURSIVE counted (seq) AS (SELECT $1 UNION ALL SELECT seq + 1 FROM counted WHERE seq < $2)
        INSERT INTO ledger_entry
               (team_id, seq, recorded_at, actor_id, kind, payload, leaf_hash, root)
        SELECT $3, seq, $4, $5, 'usage-logged', printf('%0240d', seq), randomblob(32), randomblob(32)
          FROM counted";
    const SUBJECTS: &str = "
        WITH RECURSIVE counted (seq) AS (SELECT $1 UNION ALL SELECT seq + 1 FROM counted WHERE seq < $2)
        INSERT INTO ledger_subject (team_id, subject_id, seq)
        SELECT $3, unhex(printf('%032x', seq / 20)), seq
          FROM counted";
    let options = SqliteConnectOptions::new()
        .filename(file)
        .synchronous(SqliteSynchronous::Off)
        .foreign_keys(false)
        .pragma("cache_size", "-200000");
    let mut conn = SqliteConnection::connect_with(&options).await.unwrap();
    let team = officer.team.0;
    let there: i64 = sqlx::query_scalar("SELECT size FROM ledger_head WHERE team_id = $1")
        .bind(team)
        .fetch_one(&mut conn)
        .await
        .unwrap();
    let mut from = u64::try_from(there).unwrap() + 1;
    while from <= length {
        let to = length.min(from + TOGETHER - 1);
        let (first, last) = (i64::try_from(from).unwrap(), i64::try_from(to).unwrap());
        let entries = sqlx::query(ENTRIES).bind(first).bind(last).bind(team);
        let entries = entries.bind(AT).bind(officer.person.0);
        entries.execute(&mut conn).await.unwrap();
        let subjects = sqlx::query(SUBJECTS).bind(first).bind(last).bind(team);
        subjects.execute(&mut conn).await.unwrap();
        from = to + 1;
    }
    subtrees(&mut conn, officer, length).await;
    let peaks = [7; 32].repeat(length.count_ones() as usize);
    let frontier = Frontier::from_bytes(length, &peaks).unwrap();
    sqlx::query("UPDATE ledger_head SET size = $2, root = $3, frontier = $4 WHERE team_id = $1")
        .bind(team)
        .bind(i64::try_from(length).unwrap())
        .bind(frontier.root().as_slice())
        .bind(frontier.bytes())
        .execute(&mut conn)
        .await
        .unwrap();
    conn.close().await.unwrap();
}

/// Every full subtree of a ledger of this length.
async fn subtrees(conn: &mut SqliteConnection, officer: &Actor, length: u64) {
    const SQL: &str = "
        WITH RECURSIVE counted (place) AS (SELECT 0 UNION ALL SELECT place + 1 FROM counted WHERE place < $3)
        INSERT OR IGNORE INTO ledger_subtree (team_id, level, place, hash)
        SELECT $1, $2, place, randomblob(32)
          FROM counted";
    for level in 1..=length.ilog2() {
        let last = i64::try_from((length >> level) - 1).unwrap();
        let subtrees = sqlx::query(SQL).bind(officer.team.0).bind(level).bind(last);
        subtrees.execute(&mut *conn).await.unwrap();
    }
}

/// Prints how long it takes to make all tables again from the ledger and to compare every row. Everything in it is real.
pub fn rebuilt(runtime: &Runtime) {
    let folder = tempfile::tempdir().unwrap();
    let rebuilt = runtime.block_on(async {
        let large = Large::new(folder.path(), entries() / 2).await;
        let again = folder.path().join("again.db");
        let into = Database::make(&again).await.unwrap();
        into.migrate().await.unwrap();
        let start = Instant::now();
        let rebuilt = rebuild(&large.database, large.officer.team, &into).await;
        (rebuilt.unwrap(), start.elapsed().as_secs_f64())
    });
    let (rebuilt, seconds) = rebuilt;
    assert_eq!(rebuilt.differences, []);
    let each = u32::try_from(rebuilt.entries).map_or(f64::INFINITY, f64::from) / seconds;
    println!(
        "ledger of {} entries: tables made again and {} rows compared in {seconds:.1} s, {each:.0} entries a second",
        rebuilt.entries, rebuilt.rows
    );
}
