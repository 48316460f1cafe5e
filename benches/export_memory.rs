//! How much memory a file of rows takes while it is written: the most for 1,000 rows, for 100,000, and their ratio.
//!
//! Nothing is timed. The most that the process ever held is asked of Linux (`VmHWM`) and forgotten between two files;
//! elsewhere there is nothing to ask. A PDF is laid out as a whole and takes 2,000 rows, so it has no such ratio.

use std::fs;

use futures::TryStreamExt;
use ropeloft::{
    deed::{
        Desk,
        export::{Key, Order, Wanted, begin_from_console},
        history::Of,
    },
    domain::{Actor, Change, Clock, ImportTaken, Person, PersonId, Role, Team, TeamId},
    export::FileForm,
    store::{Database, EntryFilter, Files},
};
use time::{OffsetDateTime, macros::datetime};

const AT: OffsetDateTime = datetime!(2026-03-01 09:30 UTC);
const ROWS: [u32; 2] = [1_000, 100_000];
/// How many changes one transaction records.
const TOGETHER: u32 = 2_000;

/// A line of what Linux tells of this process, in KiB.
fn told(name: &str) -> u64 {
    let status = fs::read_to_string("/proc/self/status").expect("Linux tells of a process");
    let line = status.lines().find_map(|line| line.strip_prefix(name));
    let number = line.and_then(|line| line.split_whitespace().next()?.parse().ok());
    number.expect("Linux tells how much memory a process has")
}

/// So many KiB as a number that can be divided.
fn kib(number: u64) -> f64 {
    u32::try_from(number).map_or(f64::INFINITY, f64::from)
}

/// Forgets the most that was held.
fn forget() {
    fs::write("/proc/self/clear_refs", "5").expect("Linux forgets the most that a process held");
}

/// A team with a long history.
async fn long_history(database: &Database) -> TeamId {
    let team = Team::new(TeamId::new(), "Bench", "european");
    let person = Person {
        id: PersonId::new(),
        name: "Officer".into(),
        sign_in: "officer".into(),
        role: Role::Officer,
        active: true,
    };
    let tx = database.found_team(&team, &person, AT).await.unwrap();
    tx.commit().await.unwrap();
    let officer = Actor {
        team: team.id,
        person: person.id,
        role: person.role,
    };
    for begin in (0..ROWS[1]).step_by(TOGETHER as usize) {
        let mut tx = database.write(team.id).await.unwrap();
        for number in begin..begin + TOGETHER {
            let taken = Change::ImportTaken(ImportTaken {
                file_name: format!("list of the store, page {number}.csv"),
                sha256: String::new(),
                items: 1,
            });
            tx.record(&officer, AT, taken).await.unwrap();
        }
        tx.commit().await.unwrap();
    }
    team.id
}

/// Writes the last so many rows of the history and throws them away; gives the bytes, and the most memory in KiB that
/// was held beyond what was there before.
async fn written(desk: &Desk, team: TeamId, form: FileForm, rows: u32) -> (usize, u64) {
    let mut tx = desk.database.read(team).await.unwrap();
    let all = tx.head().await.unwrap().unwrap().size;
    drop(tx);
    let order = Order {
        form,
        after: Key::read(&(all - u64::from(rows)).to_string()).unwrap(),
        ..Wanted::History(Of::Team, EntryFilter::default()).into()
    };
    forget();
    let before = told("VmRSS:");
    let mut chunks = begin_from_console(desk, team, order).await.unwrap().chunks;
    let mut bytes = 0;
    while let Some(chunk) = chunks.try_next().await.unwrap() {
        bytes += chunk.len();
    }
    (bytes, told("VmHWM:").saturating_sub(before))
}

#[tokio::main]
async fn main() {
    if !fs::exists("/proc/self/clear_refs").unwrap_or(false) {
        println!("Only Linux tells how much memory a process held; nothing was measured.");
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("long.db");
    let database = Database::open(path.to_str().unwrap()).await.unwrap();
    database.migrate().await.unwrap();
    let team = long_history(&database).await;
    let desk = Desk {
        database,
        clock: Clock::standing(AT),
        files: Files::unset(),
    };
    for form in [FileForm::Csv, FileForm::JsonLines, FileForm::Xlsx] {
        // The first file warms what stays: the pages of the database, the pool of connections.
        written(&desk, team, form, ROWS[0]).await;
        let mut most = Vec::new();
        for rows in ROWS {
            let before = told("VmRSS:");
            let (bytes, more) = written(&desk, team, form, rows).await;
            most.push(before + more);
            println!(
                "{}: {rows} rows, {bytes} bytes; at most {} KiB held, {more} KiB of them for it",
                form.word(),
                before + more
            );
        }
        let ratio = kib(most[1]) / kib(most[0]);
        println!(
            "{}: 100,000 rows take {ratio:.2} times the memory of 1,000",
            form.word()
        );
    }
}
