//! A backup is made while others write, is read again before it counts, and comes back as it was.

use std::{
    path::Path,
    process::{Command, Output},
};

use ropeloft::{
    domain::Change,
    store::{Database, rebuild},
};
use sha2::{Digest, Sha256};
use sqlx::{Connection, SqliteConnection};

use crate::{
    attachment_given::photo,
    checkpoint_held::sealed,
    stock,
    world::{World, on_postgres, on_sqlite},
};

fn run(order: &str, place: &Path, database: &str, files: &Path) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ropeloft"))
        .arg(order)
        .arg(place)
        .arg("--files")
        .arg(files)
        .env("ROPELOFT_DATABASE", database)
        .output()
        .unwrap()
}

fn said(done: &Output) -> String {
    String::from_utf8_lossy(&[done.stdout.as_slice(), &done.stderr].concat()).into_owned()
}

async fn size(database: &Database, world: &World) -> u64 {
    let mut tx = database.read(world.team).await.unwrap();
    tx.head().await.unwrap().unwrap().size
}

/// Stock with a photo, and where the world keeps files.
async fn with_photo(world: &World) -> std::path::PathBuf {
    let stock = world.stock().await;
    let officer = world.visitor(&world.officer).await;
    let record = format!("item={}", stock.first.id);
    officer.put_on(&record, "a tag", "a.jpg", &photo(1)).await;
    world.folder.path().join("files")
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_backup_made_while_others_write_comes_back_whole() {
    on_sqlite(async |world| {
        let files = with_photo(&world).await;
        let before = size(&world.database, &world).await;
        let (place, back) = (
            world.folder.path().join("copy"),
            world.folder.path().join("back.db"),
        );
        let copying = {
            let (place, files, address) = (place.clone(), files.clone(), world.address.clone());
            tokio::task::spawn_blocking(move || run("backup", &place, &address, &files))
        };
        let mut bay = 0;
        while !copying.is_finished() {
            world
                .record(Change::StoreAdded(stock::store(&format!("Bay {bay}"))))
                .await;
            bay += 1;
        }
        let done = copying.await.unwrap();
        assert!(done.status.success(), "{}", said(&done));
        assert!(said(&done).contains("2 files"), "{}", said(&done));
        let new_files = world.folder.path().join("new-files");
        let done = run("restore", &place, back.to_str().unwrap(), &new_files);
        assert!(done.status.success(), "{}", said(&done));
        let database = Database::open(back.to_str().unwrap()).await.unwrap();
        database.migrate().await.unwrap();
        let entries = size(&database, &world).await;
        assert!(
            entries >= before && entries <= before + bay,
            "{before} {entries} {bay}"
        );
        assert!(
            said(&done).contains(&format!("{entries} entries")),
            "{}",
            said(&done)
        );
        let again = Database::open(world.folder.path().join("again.db").to_str().unwrap())
            .await
            .unwrap();
        again.migrate().await.unwrap();
        assert_eq!(
            rebuild(&database, world.team, &again)
                .await
                .unwrap()
                .differences,
            []
        );
        database.close().await;
        let twice = run("backup", &place, &world.address, &files);
        assert!(
            said(&twice).contains("is there already"),
            "{}",
            said(&twice)
        );
        let over = run("restore", &place, back.to_str().unwrap(), &new_files);
        assert!(said(&over).contains("is there already"), "{}", said(&over));
    })
    .await;
}

#[tokio::test]
async fn what_is_not_whole_is_neither_copied_nor_put_back() {
    on_sqlite(async |world| {
        let files = with_photo(&world).await;
        let place = world.folder.path().join("copy");
        let back = world.folder.path().join("back.db");
        let back_address = back.to_str().unwrap();
        let new_files = world.folder.path().join("new-files");
        assert!(
            run("backup", &place, &world.address, &files)
                .status
                .success()
        );
        let records = place.join("records.db");
        let good = std::fs::read(&records).unwrap();
        let mut bad = good.clone();
        let middle = bad.len() / 2;
        bad[middle] ^= 1;
        std::fs::write(&records, bad).unwrap();
        let done = run("restore", &place, back_address, &new_files);
        assert!(
            !done.status.success() && said(&done).contains("is not what was written then"),
            "{}",
            said(&done)
        );
        std::fs::write(&records, good).unwrap();
        // A photo that is not the one that was kept.
        let kept = files_in(&place.join("files"));
        assert_eq!(kept.len(), 2);
        std::fs::write(&kept[0], b"something else").unwrap();
        let done = run("restore", &place, back_address, &new_files);
        assert!(
            !done.status.success() && said(&done).contains("other bytes"),
            "{}",
            said(&done)
        );
        assert!(!back.exists() && !world.folder.path().join("back.db.part").exists());
    })
    .await;
}

#[tokio::test]
async fn a_record_that_is_not_whole_is_not_copied() {
    on_sqlite(async |world| {
        let files = with_photo(&world).await;
        let back = world.folder.path().join("back.db");
        let new_files = world.folder.path().join("new-files");
        crate::store_rebuild::tamper(
            &world,
            "UPDATE ledger_entry SET payload = REPLACE(payload, 'P-1', 'P-7')",
        )
        .await;
        let second = world.folder.path().join("second");
        let done = run("backup", &second, &world.address, &files);
        assert!(
            !done.status.success() && said(&done).contains("is not as it was recorded"),
            "{}",
            said(&done)
        );
        assert!(!second.exists() && !world.folder.path().join("second.part").exists());
        let nowhere = run("backup", &second, "/nowhere/gear.db", &files);
        assert!(
            said(&nowhere).contains("there is no database"),
            "{}",
            said(&nowhere)
        );
        let none = run("restore", &second, back.to_str().unwrap(), &new_files);
        assert!(said(&none).contains("is no backup"), "{}", said(&none));
    })
    .await;
}

/// Changes the records of a backup, and makes the sum of its sheet right again.
async fn forge(place: &Path, order: &'static str) {
    let records = place.join("records.db");
    let mut conn = SqliteConnection::connect(records.to_str().unwrap())
        .await
        .unwrap();
    sqlx::query(order).execute(&mut conn).await.unwrap();
    conn.close().await.unwrap();
    let sheet = place.join("backup.json");
    let mut told: serde_json::Value =
        serde_json::from_slice(&std::fs::read(&sheet).unwrap()).unwrap();
    told["records"] = hex::encode(Sha256::digest(std::fs::read(&records).unwrap())).into();
    std::fs::write(&sheet, told.to_string()).unwrap();
}

#[tokio::test]
async fn a_backup_whose_checkpoints_are_gone_is_not_put_back() {
    on_sqlite(async |world| {
        let files = with_photo(&world).await;
        let [place, back, new_files] =
            ["copy", "back.db", "new-files"].map(|name| world.folder.path().join(name));
        sealed(&world).await;
        let done = run("backup", &place, &world.address, &files);
        assert!(said(&done).contains(", 2 checkpoints, "), "{}", said(&done));
        forge(&place, "DELETE FROM checkpoint").await;
        let done = run("restore", &place, back.to_str().unwrap(), &new_files);
        let told = "North shaft team: 2 checkpoints by its sheet, 0 in it";
        assert!(
            !done.status.success() && said(&done).contains(told),
            "{}",
            said(&done)
        );
        assert!(!back.exists());
    })
    .await;
}

#[tokio::test]
async fn tables_that_are_not_what_the_ledger_gives_are_neither_copied_nor_put_back() {
    on_sqlite(async |world| {
        let files = with_photo(&world).await;
        let [place, back, second] =
            ["copy", "back.db", "second"].map(|name| world.folder.path().join(name));
        let new_files = world.folder.path().join("new-files");
        let done = run("backup", &place, &world.address, &files);
        assert!(done.status.success(), "{}", said(&done));
        let only = |done: &Output| {
            assert!(!done.status.success(), "{}", said(done));
            for words in [
                "North shaft team: ledger and tables do not agree",
                "item ",
                "state is not what the ledger gives",
            ] {
                assert!(said(done).contains(words), "{words}: {}", said(done));
            }
        };
        let forged = "UPDATE item SET state = 'quarantined' WHERE mark_folded = 'p-1'";
        // In the backup, with its sum made right again.
        forge(&place, forged).await;
        only(&run("restore", &place, back.to_str().unwrap(), &new_files));
        let left: Vec<_> = std::fs::read_dir(world.folder.path())
            .unwrap()
            .map(|entry| entry.unwrap().file_name())
            .collect();
        let left = left
            .iter()
            .map(|name| name.to_str().unwrap())
            .filter(|name| name.starts_with("back.") || name.starts_with("new-"));
        assert_eq!(left.count(), 0, "a failed restore leaves nothing behind");
        // And in what is copied.
        crate::store_rebuild::tamper(&world, forged).await;
        only(&run("backup", &second, &world.address, &files));
        assert!(!second.exists() && !world.folder.path().join("second.part").exists());
    })
    .await;
}

fn files_in(folder: &Path) -> Vec<std::path::PathBuf> {
    let mut all = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            all.extend(files_in(&path));
        } else {
            all.push(path);
        }
    }
    all
}

#[tokio::test]
async fn a_server_is_backed_up_by_its_own_tools() {
    on_postgres(async |world| {
        let place = world.folder.path().join("copy");
        let done = run(
            "backup",
            &place,
            &world.address,
            &world.folder.path().join("files"),
        );
        assert!(
            !done.status.success() && said(&done).contains("pg_dump"),
            "{}",
            said(&done)
        );
        assert!(!place.exists());
    })
    .await;
}
