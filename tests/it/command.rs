//! The commands that read the record, asked as from a shell.

use std::{
    path::Path,
    process::{Command, Output},
};

use ropeloft::domain::Change;
use sqlx::Connection;

use crate::{
    attachment_given::photo,
    history::eventful,
    rows_reader::of_workbook,
    world::{World, on_postgres, on_sqlite},
};

/// Runs the program on the world's database.
fn run(world: &World, line: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ropeloft"))
        .args(line)
        .args(["--team", "North shaft team"])
        .env("ROPELOFT_DATABASE", &world.address)
        .output()
        .unwrap()
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8(bytes.to_vec()).unwrap()
}

async fn exports(world: World) {
    eventful(&world).await;
    let folder = tempfile::tempdir().unwrap();
    let visitor = world.visitor(&world.auditor).await;
    for (what, page) in [
        ("history", "/history.csv"),
        ("items", "/items.csv?state=all"),
        ("examinations", "/examinations.csv"),
        ("jobs", "/jobs.csv"),
        ("refusals", "/refusals.csv"),
    ] {
        let path = folder.path().join(what);
        let path = path.to_str().unwrap();
        let done = run(&world, &["export", what, "--output", path]);
        assert!(done.status.success(), "{}", text(&done.stderr));
        let written = std::fs::read_to_string(path).unwrap();
        assert_eq!(written, visitor.get(page).await.text, "{what}");
        let again = run(&world, &["export", what, "--output", path]);
        assert_eq!(again.status.code(), Some(1));
        assert!(text(&again.stderr).contains("is there already"));
    }
    // What is counted is counted by the clock of this machine, which is not that of the world.
    for (what, page) in [
        ("due", "/due.csv"),
        ("ages", "/trends/ages.csv"),
        ("ahead", "/trends/ahead.csv"),
        ("failures", "/trends/failures.csv"),
        ("retired", "/trends/retired.csv"),
    ] {
        let done = run(&world, &["export", what]);
        assert!(done.status.success(), "{}", text(&done.stderr));
        let (printed, theirs) = (text(&done.stdout), visitor.get(page).await.text);
        assert_eq!(printed.lines().next(), theirs.lines().next(), "{what}");
    }
    let printed = run(&world, &["export", "history"]);
    assert_eq!(text(&printed.stdout).lines().count(), 15);
    let left: Vec<_> = std::fs::read_dir(folder.path()).unwrap().collect();
    assert_eq!(left.len(), 5, "{left:?}");
}

async fn workbooks(world: World) {
    eventful(&world).await;
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("history.xlsx");
    let with = |temporary: &Path| {
        Command::new(env!("CARGO_BIN_EXE_ropeloft"))
            .args([
                "export",
                "history",
                "--as",
                "xlsx",
                "--team",
                "North shaft team",
                "--output",
            ])
            .arg(&path)
            .env("ROPELOFT_DATABASE", &world.address)
            .env("TMPDIR", temporary)
            .output()
            .unwrap()
    };
    let nowhere = folder.path().join("nowhere");
    let failed = with(&nowhere);
    assert_eq!(failed.status.code(), Some(1));
    let said = text(&failed.stderr);
    assert!(
        said.contains(nowhere.to_str().unwrap()) && said.contains("set TMPDIR to a folder"),
        "{said}"
    );
    let temporary = folder.path().join("temporary");
    std::fs::create_dir(&temporary).unwrap();
    let done = with(&temporary);
    assert!(done.status.success(), "{}", text(&done.stderr));
    let left: Vec<_> = std::fs::read_dir(&temporary).unwrap().collect();
    assert!(left.is_empty(), "{left:?}");
    assert_eq!(of_workbook(&std::fs::read(&path).unwrap()).rows.len(), 14);
}

async fn rebuilds(world: World) {
    eventful(&world).await;
    let folder = tempfile::tempdir().unwrap();
    let into = folder.path().join("again.db");
    let done = run(&world, &["rebuild", "--into", into.to_str().unwrap()]);
    assert!(done.status.success(), "{}", text(&done.stderr));
    let mut tx = world.database.read(world.team).await.unwrap();
    let root = hex::encode(tx.head().await.unwrap().unwrap().root);
    let told = text(&done.stdout);
    assert!(
        told.contains("14 entries") && told.contains(&root) && told.contains("agree in every row"),
        "{told}"
    );
    assert!(into.exists());
    let there = run(&world, &["rebuild", "--into", into.to_str().unwrap()]);
    assert_eq!(there.status.code(), Some(1));
    drop(tx);
    tamper(&world).await;
    let done = run(&world, &["rebuild"]);
    assert_eq!(done.status.code(), Some(1));
    let told = text(&done.stdout);
    assert_eq!(
        told.matches("state is not what the ledger gives").count(),
        1,
        "{told}"
    );
    assert!(
        text(&done.stderr).contains("1 difference"),
        "{}",
        text(&done.stderr)
    );
}

/// Does to the database what no one should.
/// Whatever the record says, a file is looked at as well.
async fn looks_at_files(world: World) {
    let stock = world.stock().await;
    let officer = world.visitor(&world.officer).await;
    let record = format!("item={}", stock.first.id);
    let unset = |world: &World| text(&run(world, &["rebuild"]).stderr);
    assert_eq!(unset(&world), "", "there is none");
    officer.put_on(&record, "a tag", "a.jpg", &photo(1)).await;
    let folder = world.folder.path().join("files");
    let asked = ["rebuild", "--files", folder.to_str().unwrap()];
    let whole = run(&world, &asked);
    assert!(whole.status.success(), "{}", text(&whole.stderr));
    let told = text(&whole.stdout);
    assert!(
        told.contains("Files of photos and documents: 2, each with the bytes of its hash."),
        "{told}"
    );
    let one = &officer.on_record(&record).await[0];
    let hash = one["file"]["sha256"].as_str().unwrap();
    let kept = folder
        .join(world.team.to_string())
        .join(&hash[..2])
        .join(hash);
    std::fs::write(kept, b"something else").unwrap();
    let altered = run(&world, &asked);
    assert_eq!(altered.status.code(), Some(1));
    assert!(text(&altered.stdout).contains(&format!("other bytes under {hash}")));
    assert!(text(&altered.stderr).contains("1 of 2 files of photos and documents"));
    if world.address.starts_with("postgres") {
        assert!(unset(&world).contains("were not looked at"));
    }
}

async fn tamper(world: &World) {
    const SQL: &str = "UPDATE item SET state = 'retired' WHERE mark_folded = 'p-1'";
    if world.address.starts_with("postgres") {
        let mut conn = sqlx::PgConnection::connect(&world.address).await.unwrap();
        sqlx::query(SQL).execute(&mut conn).await.unwrap();
    } else {
        let mut conn = sqlx::SqliteConnection::connect(&world.address)
            .await
            .unwrap();
        sqlx::query(SQL).execute(&mut conn).await.unwrap();
    }
}

/// Columns of the register that a list of gear has no use for.
const NOT_TAKEN: [&str; 15] = [
    "state_since",
    "last_passed_on",
    "details",
    "revision",
    "item_id",
    "model_id",
    "store_id",
    "hours_used",
    "uses",
    "falls_held",
    "loads_carried",
    "event_hold",
    "cut_from_id",
    "cut_into_ids",
    "key",
];

/// The register that was taken along is known again, the row that counts the rows among them.
async fn comes_back(world: World) {
    world.stock().await;
    let folder = tempfile::tempdir().unwrap();
    for (form, counts) in [("csv", Some("end")), ("xlsx", None)] {
        let path = folder.path().join(format!("items.{form}"));
        let path = path.to_str().unwrap();
        let done = run(&world, &["export", "items", "--as", form, "--output", path]);
        assert!(done.status.success(), "{}", text(&done.stderr));
        let headings = NOT_TAKEN.into_iter().chain(counts);
        let maps: Vec<String> = headings.map(|name| format!("{name}=leave-out")).collect();
        let maps = maps.iter().flat_map(|map| ["--map", map.as_str()]);
        let line = ["import", path, "--as", "officer-north", "--dry-run"];
        let line = line.into_iter().chain(["--set", "life-support=yes"]);
        let line: Vec<&str> = line.chain(maps).collect();
        let said = run(&world, &line);
        let told = text(&said.stdout);
        assert!(
            told.contains("its 2 items are in the register already"),
            "{form}: {told}{}",
            text(&said.stderr)
        );
    }
}

#[tokio::test]
async fn the_register_comes_back() {
    on_sqlite(comes_back).await;
}

#[tokio::test]
async fn a_workbook_takes_a_folder_for_temporary_files_and_leaves_nothing_there() {
    on_sqlite(workbooks).await;
}

#[tokio::test]
async fn files_are_written_from_sqlite() {
    on_sqlite(exports).await;
}

#[tokio::test]
async fn files_are_written_from_postgres() {
    on_postgres(exports).await;
}

#[tokio::test]
async fn tables_are_made_again_from_sqlite() {
    on_sqlite(rebuilds).await;
}

#[tokio::test]
async fn tables_are_made_again_from_postgres() {
    on_postgres(rebuilds).await;
}

#[tokio::test]
async fn photos_and_documents_are_looked_at_beside_sqlite() {
    on_sqlite(looks_at_files).await;
}

#[tokio::test]
async fn photos_and_documents_are_looked_at_beside_postgres() {
    on_postgres(looks_at_files).await;
}

#[tokio::test]
async fn a_team_or_a_database_that_is_not_there_is_told() {
    on_sqlite(async |world| {
        world
            .record(Change::StoreAdded(crate::stock::store("Van")))
            .await;
        let run = |database: &str, line: &[&str]| {
            let done = Command::new(env!("CARGO_BIN_EXE_ropeloft"))
                .args(line)
                .env("ROPELOFT_DATABASE", database)
                .output()
                .unwrap();
            assert_eq!(done.status.code(), Some(1), "{}", text(&done.stdout));
            text(&done.stderr)
        };
        let both = run(&world.address, &["export", "items"]);
        assert!(
            both.contains("North shaft team, South quarry team")
                || both.contains("South quarry team, North shaft team"),
            "{both}"
        );
        let none = run(&world.address, &["rebuild", "--team", "Nobody"]);
        assert!(none.contains("there is no team Nobody"), "{none}");
        let folder = tempfile::tempdir().unwrap();
        let file = folder.path().join("slip.db");
        let slip = run(file.to_str().unwrap(), &["export", "items"]);
        assert!(slip.contains("there is no database"), "{slip}");
        assert!(!file.exists());
    })
    .await;
}

#[test]
fn a_rulebooks_sheet_is_checked_with_every_fault_by_line() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("own.toml");
    let check = |sheet: &str| {
        std::fs::write(&path, sheet).unwrap();
        Command::new(env!("CARGO_BIN_EXE_ropeloft"))
            .args(["rulebook", "check", path.to_str().unwrap()])
            .output()
            .unwrap()
    };
    let head = "key = \"valley\"\ntitle = \"Valley\"\nbased_on = \"european\"\n";
    let done = check(head);
    assert!(done.status.success(), "{}", text(&done.stderr));
    assert!(text(&done.stdout).contains("\"Valley\" holds."));
    let from = "from = { source = \"us\", known = \"setting\" }";
    let done = check(&format!(
        "{head}colour = \"red\"\n[[interval]]\nof = \"ropes\"\nmonths = 0\n{from}\n[factor]\nvalue = 8\nreason = \"ours\"\n{from}\n"
    ));
    assert_eq!(done.status.code(), Some(1));
    let told = text(&done.stdout);
    for part in [
        "own.toml: line 4, colour: No such key",
        "own.toml: line 7, interval 1, months: ",
        "own.toml: line 9, factor: Factor on breaking strength: looser than",
    ] {
        assert!(told.contains(part), "{part}\n{told}");
    }
    assert!(text(&done.stderr).contains("3 faults"));
    let looser = format!(
        "{head}[factor]\nvalue = 8\nreason = \"ours\"\n{from}\n[[looser]]\nrule = \"factor\"\nreason = \"tested\"\n"
    );
    let told = text(&check(&looser).stdout);
    assert!(
        told.contains("8 instead of 10") && told.contains("reason: tested"),
        "{told}"
    );
    let done = check(include_str!("../../src/domain/rulebook/uk-lifting.toml"));
    assert!(done.status.success(), "{}", text(&done.stdout));
    let missing = Command::new(env!("CARGO_BIN_EXE_ropeloft"))
        .args(["rulebook", "check", "/nowhere/own.toml"])
        .output()
        .unwrap();
    assert_eq!(missing.status.code(), Some(1));
    assert!(text(&missing.stderr).contains("/nowhere/own.toml"));
}

/// What the program says where it refuses to put the demo into this database.
fn refused_demo(database: &str) -> String {
    let done = Command::new(env!("CARGO_BIN_EXE_ropeloft"))
        .args(["demo", "--listen", "127.0.0.1:0"])
        .env("ROPELOFT_DATABASE", database)
        .output()
        .unwrap();
    assert_eq!(done.status.code(), Some(1), "{}", text(&done.stdout));
    text(&done.stdout) + &text(&done.stderr)
}

#[tokio::test]
async fn the_demo_takes_the_database_of_the_setting_and_leaves_others_alone() {
    on_sqlite(async |world| {
        let told = refused_demo(&world.address);
        let file = world.address.strip_prefix("sqlite:").unwrap();
        assert!(told.contains(&format!("{file} holds the team")), "{told}");
        assert!(told.contains("is left alone. Name another file"), "{told}");
    })
    .await;
    let help = Command::new(env!("CARGO_BIN_EXE_ropeloft"))
        .args(["demo", "--help"])
        .output()
        .unwrap();
    assert!(
        text(&help.stdout).contains("[env: ROPELOFT_DATABASE]"),
        "{}",
        text(&help.stdout)
    );
}

#[tokio::test]
async fn the_demo_prints_no_password() {
    on_postgres(async |world| {
        // The server that the tests start takes any password; one that was given keeps its own.
        let own = world.address.contains("?host=");
        let password = if own { "&password=hunter-of-seals" } else { "" };
        let told = refused_demo(&format!("{}{password}", world.address));
        assert!(told.contains("holds the team"), "{told}");
        assert!(told.contains("Name another database"), "{told}");
        for secret in ["hunter", "password", "postgres://", "@"] {
            assert!(!told.contains(secret), "{secret}: {told}");
        }
    })
    .await;
}
