//! The program put through faults, as whoever runs it can: here for a short time, on both databases.

use std::process::Command;

use crate::world::on_postgres_database;

/// Runs an ordeal to its end and gives what it told.
fn ordeal(line: &[&str]) -> String {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path().join("ordeal");
    let done = Command::new(env!("CARGO_BIN_EXE_ropeloft"))
        .arg("ordeal")
        .args(line)
        .args(["--clients", "3", "--folder", folder.to_str().unwrap()])
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&done.stdout).into_owned();
    let log = logs(&folder);
    let error = String::from_utf8_lossy(&done.stderr);
    assert!(done.status.success(), "{said}\n{error}\n{log}");
    said
}

/// What the servers wrote to their logs.
fn logs(folder: &std::path::Path) -> String {
    let parts = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let logs = parts.map(|part| std::fs::read_to_string(part.path().join("server.log")));
    logs.flatten().collect()
}

/// The figure behind a name, in the part that begins with a heading.
fn figure(said: &str, heading: &str, name: &str) -> u64 {
    let (_, part) = said.split_once(heading).expect(heading);
    let line = part.lines().find_map(|line| line.trim().strip_prefix(name));
    let word = line.and_then(|line| line.split_whitespace().next());
    let number = word.map(|word| word.trim_end_matches(':').parse());
    number.and_then(Result::ok).expect(name)
}

fn nothing_was_lost(said: &str, heading: &str) {
    let acknowledged = figure(said, heading, "writes acknowledged");
    assert!(acknowledged > 0, "{said}");
    assert_eq!(figure(said, heading, "of these found again"), acknowledged);
    assert_eq!(figure(said, heading, "of these lost"), 0);
    assert!(said.contains("Nothing was lost"), "{said}");
}

#[test]
fn what_was_acknowledged_outlives_a_kill() {
    let said = ordeal(&["kills", "--kills", "3", "--seed", "11"]);
    let heading = "Killed at random moments, on SQLite";
    assert_eq!(figure(&said, heading, "kills"), 3);
    nothing_was_lost(&said, heading);
}

#[test]
fn a_full_disk_refuses_writes_and_keeps_what_is_there() {
    let said = ordeal(&["disk", "--seed", "12"]);
    for heading in [
        "A file may not grow any more, SQLite",
        "A full file system, SQLite",
    ] {
        let (_, part) = said.split_once(heading).expect(heading);
        // A limit can be set on every Linux; a file system cannot be made everywhere.
        if part
            .lines()
            .nth(1)
            .is_some_and(|line| line.contains("left out"))
        {
            let must = cfg!(target_os = "linux") && heading.starts_with("A file may");
            assert!(!must, "{said}");
            continue;
        }
        assert!(figure(&said, heading, "turned away") > 0, "{said}");
        nothing_was_lost(&said, heading);
    }
}

#[tokio::test]
async fn servers_on_postgres_lose_nothing_by_kills_a_cut_line_or_each_other() {
    on_postgres_database(async |address| {
        let line = [
            "kills",
            "line",
            "pair",
            "--kills",
            "2",
            "--cuts",
            "1",
            "--seconds",
            "2",
            "--seed",
            "13",
            "--postgres",
        ];
        let said = ordeal(&[&line[..], &[address.as_str()]].concat());
        for heading in [
            "Killed at random moments, on PostgreSQL",
            "The way to PostgreSQL, cut and joined again",
            "Two servers on one PostgreSQL, one team",
        ] {
            nothing_was_lost(&said, heading);
        }
        assert!(
            figure(&said, "The way to PostgreSQL", "turned away") > 0,
            "{said}"
        );
        // A database with a team in it is left alone.
        let again = Command::new(env!("CARGO_BIN_EXE_ropeloft"))
            .args(["ordeal", "pair", "--postgres", &address])
            .output()
            .unwrap();
        assert_eq!(again.status.code(), Some(1));
        let error = String::from_utf8_lossy(&again.stderr).into_owned();
        assert!(error.contains("is left alone"), "{error}");
    })
    .await;
}
