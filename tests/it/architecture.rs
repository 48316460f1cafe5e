//! The rules of the house that the compiler does not hold: who may import whom, how long a file or a function may
//! be, where HTML may go out unescaped, which names a module may not have.

use std::collections::BTreeSet;

use crate::source::{Source, rust, sources};

/// A room, the rooms it may name, and the crates it must not name.
struct Room {
    name: &'static str,
    may: &'static [&'static str],
    never: &'static [&'static str],
}

/// The crates that tie a room to a door or a database.
const EDGES: &[&str] = &[
    "sqlx",
    "axum",
    "askama",
    "tokio",
    "tower_http",
    "clap",
    "utoipa",
];

const ROOMS: &[Room] = &[
    Room {
        name: "config",
        may: &["domain"],
        never: &["sqlx", "axum", "askama", "tokio"],
    },
    Room {
        name: "rigging",
        may: &[],
        never: EDGES,
    },
    Room {
        name: "domain",
        may: &["rigging"],
        // The description of a record's JSON shape stands where the shape is.
        never: &["sqlx", "axum", "askama", "tokio", "tower_http", "clap"],
    },
    Room {
        name: "demo",
        // Its photos come in as everybody's do.
        may: &["domain", "rigging", "import"],
        never: EDGES,
    },
    Room {
        name: "export",
        may: &["domain", "rigging"],
        never: EDGES,
    },
    Room {
        name: "import",
        may: &["domain", "rigging"],
        never: EDGES,
    },
    Room {
        name: "outgoing",
        may: &["domain"],
        never: &["sqlx", "axum", "askama", "tower_http", "clap"],
    },
    Room {
        name: "store",
        may: &["domain", "rigging"],
        never: &["axum", "askama", "tower_http", "clap", "utoipa"],
    },
    Room {
        name: "deed",
        may: &["domain", "rigging", "store", "import", "export", "outgoing"],
        never: &["sqlx", "axum", "askama", "tower_http", "clap"],
    },
    Room {
        name: "view",
        may: &["domain", "rigging"],
        never: &["sqlx", "axum", "tokio", "tower_http", "clap"],
    },
    Room {
        name: "web",
        may: &[
            "config", "deed", "view", "store", "import", "export", "domain", "rigging",
        ],
        never: &["sqlx", "clap"],
    },
    Room {
        name: "cli",
        may: &[
            "web", "config", "deed", "demo", "outgoing", "view", "store", "import", "export",
            "domain", "rigging",
        ],
        never: &["sqlx"],
    },
];

const LONGEST_FILE: usize = 400;
const LONGEST_FUNCTION: usize = 60;
/// Where `|safe` may stand: nowhere, so far. Each place is a template and how often.
const SAFE: &[(&str, usize)] = &[];

fn none(wrong: &[String]) {
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The names that follow `prefix::` in a line, those in braces included.
fn named_after<'a>(line: &'a str, prefix: &str) -> Vec<&'a str> {
    let mut names = Vec::new();
    for (at, _) in line.match_indices(prefix) {
        let before = line[..at].chars().next_back();
        if before.is_some_and(|c| c.is_alphanumeric() || c == '_') {
            continue;
        }
        let rest = &line[at + prefix.len()..];
        let word = |text: &'a str| {
            text.split(|c: char| !c.is_alphanumeric() && c != '_')
                .next()
                .unwrap()
        };
        match rest.strip_prefix('{') {
            Some(list) => names.extend(list.split(',').map(str::trim).map(word)),
            None => names.push(word(rest)),
        }
    }
    names.retain(|name| !name.is_empty());
    names
}

/// A `use crate::{…}` of several lines, put on one.
fn joined(source: &Source) -> Vec<(usize, String)> {
    let mut lines: Vec<(usize, String)> = Vec::new();
    let mut open = false;
    for (at, line) in source.code() {
        match lines.last_mut() {
            Some((_, last)) if open => last.push_str(line.trim()),
            _ => lines.push((at, line.to_owned())),
        }
        let last = &lines.last().unwrap().1;
        open = last.contains("crate::{") && last.matches('{').count() > last.matches('}').count();
    }
    lines
}

#[test]
fn rooms_import_only_downwards() {
    let mut wrong = Vec::new();
    let rooms: BTreeSet<&str> = ROOMS.iter().map(|room| room.name).collect();
    for source in sources("src", &[".rs"]) {
        let Some(room) = ROOMS.iter().find(|room| room.name == source.room()) else {
            continue;
        };
        for (at, line) in joined(&source) {
            for name in named_after(&line, "crate::") {
                if rooms.contains(name) && name != room.name && !room.may.contains(&name) {
                    wrong.push(format!("{}:{at}: {} names {name}", source.path, room.name));
                }
            }
            for name in room.never {
                let path = format!("{name}::");
                if !named_after(&line, &path).is_empty() {
                    wrong.push(format!("{}:{at}: {} names {name}", source.path, room.name));
                }
            }
        }
    }
    none(&wrong);
}

#[test]
fn every_room_stands_in_the_rules() {
    let known: BTreeSet<&str> = ROOMS
        .iter()
        .map(|room| room.name)
        .chain(["lib", "main", "config"])
        .collect();
    let wrong: Vec<String> = sources("src", &[".rs"])
        .iter()
        .filter(|source| !known.contains(source.room()))
        .map(|source| format!("{}: its room is in no rule", source.path))
        .collect();
    none(&wrong);
}

#[test]
fn main_calls_the_command_line_and_nothing_else() {
    let main = sources("src", &["main.rs"]);
    let wrong: Vec<String> = main
        .iter()
        .filter(|source| source.path == "src/main.rs")
        .flat_map(Source::code)
        .flat_map(|(at, line)| {
            named_after(line, "ropeloft::")
                .into_iter()
                .map(move |name| (at, name))
        })
        .filter(|(_, name)| *name != "cli")
        .map(|(at, name)| format!("src/main.rs:{at}: names {name}"))
        .collect();
    none(&wrong);
}

#[test]
fn only_the_store_speaks_sql() {
    let statement = |line: &str| {
        let line = line.trim_start().trim_start_matches('"');
        ["SELECT ", "INSERT INTO ", "UPDATE ", "DELETE FROM "]
            .iter()
            .any(|verb| line.starts_with(verb))
    };
    let wrong: Vec<String> = sources("src", &[".rs"])
        .iter()
        .filter(|source| source.room() != "store")
        .flat_map(|source| {
            let lines = source.code().filter(|(_, line)| statement(line));
            lines
                .map(|(at, _)| format!("{}:{at}: SQL", source.path))
                .collect::<Vec<_>>()
        })
        .collect();
    none(&wrong);
}

#[test]
fn no_file_is_too_long() {
    let mut all = rust();
    all.extend(sources("templates", &[".html"]));
    let wrong: Vec<String> = all
        .iter()
        .map(|source| (source, source.text.lines().count()))
        .filter(|(_, lines)| *lines > LONGEST_FILE)
        .map(|(source, lines)| {
            format!(
                "{}: {lines} lines; {LONGEST_FILE} is the limit",
                source.path
            )
        })
        .collect();
    none(&wrong);
}

#[test]
fn no_function_is_too_long() {
    let mut wrong = Vec::new();
    for source in rust() {
        let lines: Vec<&str> = source.text.lines().collect();
        for (at, line) in lines.iter().enumerate() {
            let indent = line.len() - line.trim_start().len();
            let is_function = [
                "fn ",
                "async fn ",
                "pub fn ",
                "pub async fn ",
                "pub(super) fn ",
                "pub(super) async fn ",
                "pub(crate) fn ",
                "pub(crate) async fn ",
            ]
            .iter()
            .any(|start| line.trim_start().starts_with(start));
            if !is_function {
                continue;
            }
            // The formatter puts the end of a function under its beginning.
            let end = format!("{}}}", " ".repeat(indent));
            let length = lines[at..]
                .iter()
                .position(|line| *line == end)
                .map_or(1, |last| last + 1);
            if length > LONGEST_FUNCTION {
                wrong.push(format!(
                    "{}:{}: {length} lines; {LONGEST_FUNCTION} is the limit",
                    source.path,
                    at + 1
                ));
            }
        }
    }
    none(&wrong);
}

#[test]
fn html_goes_out_unescaped_only_where_it_is_listed() {
    let found: Vec<(String, usize)> = sources("templates", &[".html", ".svg", ".xml"])
        .iter()
        .map(|source| {
            (
                source.path.clone(),
                source
                    .text
                    .replace("| safe", "|safe")
                    .matches("|safe")
                    .count(),
            )
        })
        .filter(|(_, count)| *count > 0)
        .collect();
    let listed: Vec<(String, usize)> = SAFE
        .iter()
        .map(|(path, count)| ((*path).to_owned(), *count))
        .collect();
    assert_eq!(found, listed);
}

#[test]
fn templates_hold_no_inline_script_or_style() {
    let wrong: Vec<String> = sources("templates", &[".html"])
        .iter()
        .filter(|source| {
            let text = source.text.to_lowercase();
            text.contains("<style")
                || text.contains(" style=\"")
                || text.contains("<script>")
                || text.contains(" onclick=")
        })
        .map(|source| {
            format!(
                "{}: inline script or style; the content security policy forbids it",
                source.path
            )
        })
        .collect();
    none(&wrong);
}

#[test]
fn both_databases_have_the_same_migrations() {
    let names = |folder: &str| -> Vec<String> {
        let found = sources(&format!("migrations/{folder}"), &[".sql"]);
        found
            .iter()
            .map(|source| source.path.rsplit('/').next().unwrap().to_owned())
            .collect()
    };
    assert!(!names("sqlite").is_empty());
    assert_eq!(names("sqlite"), names("postgres"));
}

#[test]
fn every_module_is_named_for_a_thing() {
    let wrong: Vec<String> = rust()
        .iter()
        .filter(|source| {
            [
                "utils", "util", "common", "helpers", "helper", "misc", "manager", "shared",
            ]
            .iter()
            .any(|name| source.path.split(['/', '.']).any(|part| part == *name))
        })
        .map(|source| format!("{}: name the thing", source.path))
        .collect();
    none(&wrong);
}

#[test]
fn lists_in_braces_are_seen() {
    assert_eq!(
        named_after("use crate::{domain::Item, store};", "crate::"),
        ["domain", "store"]
    );
    assert_eq!(named_after("let x = crate::web::App;", "crate::"), ["web"]);
    assert!(named_after("use mycrate::web;", "crate::").is_empty());
}
