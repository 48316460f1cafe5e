//! `ropeloft rig`, asked as from a shell.

use std::{
    path::PathBuf,
    process::{Command, Output},
};

use ropeloft::{
    domain::{KIT_EXAMPLE, KitFile, LARGEST_RIG, RigForm, read_rig},
    rigging::{Force, LoadingMode, RIG_SCHEMA, Rig, StrengthKind, Wetness, shipped, shipped_rig},
};
use serde_json::Value;
use tempfile::TempDir;

/// A folder of files and the program beside them.
struct Bench(TempDir);

impl Bench {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn file(&self, name: &str, text: impl AsRef<[u8]>) -> String {
        let path: PathBuf = self.0.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    }

    fn kit(&self) -> String {
        self.file("kit.toml", KIT_EXAMPLE)
    }
}

fn rig(line: &[&str]) -> (i32, String, String) {
    let program = Command::new(env!("CARGO_BIN_EXE_ropeloft"))
        .arg("rig")
        .args(line)
        .output();
    let Output {
        status,
        stdout,
        stderr,
    } = program.unwrap();
    let text = |bytes| String::from_utf8(bytes).unwrap();
    (status.code().unwrap(), text(stdout), text(stderr))
}

fn json(line: &[&str]) -> (i32, Value) {
    let (code, out, err) = rig(line);
    let answer = serde_json::from_str(&out);
    (code, answer.unwrap_or_else(|_| panic!("{out}{err}")))
}

#[test]
fn a_rig_is_told_with_strands_gain_positions_and_shares() {
    let (code, out, _) = rig(&["three-to-one", "--load", "120 kg"]);
    assert_eq!(code, 0);
    let rig = shipped_rig("three-to-one").unwrap();
    let told = [
        rig.title(),
        rig.when(),
        "Strands at the load: 1. Load over hand force without friction: 3 : 1.",
        // A third of the load by the balance at the traveller: 120 kg times 9.80665 m/s² over 3.
        "0.3333",
        "0.392 kN",
        "pulley with 1 sheave, progress capture",
        "(may stay empty)",
    ];
    for told in told {
        assert!(out.contains(told), "{told}\n{out}");
    }
    for position in rig.positions() {
        assert!(out.contains(position.key()), "{}\n{out}", position.key());
    }
}

#[test]
fn a_load_of_next_to_nothing_is_refused_with_its_limit() {
    let (code, _, err) = rig(&["three-to-one", "--load", "0.5 kg"]);
    assert_eq!(code, 2);
    assert!(
        err.contains("--load: The load must be at least the weight of 1 kg, not 0.5 kg."),
        "{err}"
    );
}

#[test]
fn every_shipped_rig_is_the_same_from_a_file_in_either_form() {
    let bench = Bench::new();
    for rig in shipped() {
        let (code, whole) = json(&[rig.key(), "--json"]);
        assert_eq!(code, 0);
        for form in RigForm::ALL {
            let text = form.write(&rig.sheet());
            assert_eq!(read_rig(text.as_bytes()).unwrap().rig, *rig);
            let file = bench.file(&format!("{}.{}", rig.key(), form.ending()), text);
            assert_eq!(json(&[&file, "--json"]), (0, whole.clone()));
        }
    }
}

#[test]
fn the_example_kit_passes_and_every_part_of_the_answer_is_told() {
    let bench = Bench::new();
    let kit = bench.kit();
    let (code, out, err) = rig(&["three-to-one", "--kit", &kit]);
    assert_eq!(code, 0, "{out}{err}");
    let headings = [
        "Strong enough: the weakest link is the ",
        "Load: 1.18 kN. People to haul: ",
        "without friction",
        "while hauling",
        "held by the capture",
        "Worst check of each position:",
        "7 (the team's own rule for this exercise)",
        "What moves the answer most:",
        "What the numbers rest on:",
        "What no such answer can know:",
    ];
    for heading in headings {
        assert!(out.contains(heading), "{heading}\n{out}");
    }
    assert!(
        !out.contains("FAILS") && !out.contains("What would do"),
        "{out}"
    );
}

#[test]
fn a_rope_with_a_plain_strength_alone_is_told_with_its_knot_and_every_share() {
    let bench = Bench::new();
    let (_, out, err) = rig(&["three-to-one", "--kit", &bench.kit()]);
    let mut rows = out.lines().skip_while(|line| !line.contains("Worst check"));
    let row = rows.find(|line| line.contains("Rope R-07"));
    let row = row.unwrap_or_else(|| panic!("{out}{err}"));
    // 30 kN, the low end for a figure eight, wet nylon, and what an examination took off: 30 x 0.75 x 0.85 x 0.95.
    for told in [
        "loaded at its knotted end: figure eight, the low end of the lists",
        " = 30 kN x 0.75 (knot) x 0.85 (wet) x 0.95 (wear)",
    ] {
        assert!(row.contains(told), "{told}\n{row}");
    }
    assert!(
        row.contains("18.2 kN = ") || row.contains("18.17 kN = "),
        "{row}"
    );
    let rated = KIT_EXAMPLE.replacen("mode = \"straight\"", "mode = \"terminated\"", 1);
    let (_, out, err) = rig(&["three-to-one", "--kit", &bench.file("rated.toml", rated)]);
    let told = "loaded in a straight line, rated with the end that its maker states, sewn or tied";
    assert!(out.contains(told) && !out.contains("(knot)"), "{out}{err}");
}

#[test]
fn a_kit_that_does_not_pass_ends_with_one_and_says_what_would_do() {
    let bench = Bench::new();
    let kit = bench.kit();
    let (code, out, _) = rig(&["three-to-one", "--kit", &kit, "--load", "400 kg"]);
    assert_eq!(code, 1, "{out}");
    assert!(
        out.contains("Not strong enough: ") && out.contains("FAILS"),
        "{out}"
    );
    assert!(
        out.contains("What would do:") && out.contains("or a load of at most 1.47 kN"),
        "{out}"
    );
    let (code, answer) = json(&["three-to-one", "--kit", &kit, "--load", "400 kg", "--json"]);
    assert_eq!(code, 1);
    let kit = &answer["kit"];
    assert_eq!(kit["passes"], Value::Bool(false));
    let load = answer["load"].as_f64().unwrap();
    assert!((load - 400.0 * 9.80665).abs() < 1e-9);
    let lighter = kit["assessment"]["remedies"]["lighter"].as_f64().unwrap();
    // The harness is marked for 150 kg, and nothing else is nearer its limit.
    assert!((lighter - 150.0 * 9.80665).abs() < 1e-6, "{lighter}");
}

#[test]
fn what_is_missing_is_told_all_at_once_and_ends_with_two() {
    let bench = Bench::new();
    let kit = KIT_EXAMPLE
        .replace("[position.grab]", "[position.grub]")
        .replace(
            "mode = \"body\", kind = \"breaking\"",
            "mode = \"basket\", kind = \"breaking\"",
        );
    let kit = bench.file("kit.toml", kit);
    let (code, out, _) = rig(&["three-to-one", "--kit", &kit]);
    assert_eq!(code, 2, "{out}");
    for told in [
        "Cannot say yet: 1 position is empty.",
        "Nothing is fitted at Rope grab on the main line",
        "no position grub",
        "Anchor strap A-11 at Anchor or tripod head has no rating",
    ] {
        assert!(out.contains(told), "{told}\n{out}");
    }
    let (code, answer) = json(&["three-to-one", "--kit", &kit, "--json"]);
    assert_eq!(code, 2);
    assert_eq!(answer["kit"]["passes"], Value::Null);
    assert_eq!(answer["kit"]["missing"].as_array().unwrap().len(), 3);
}

#[test]
fn a_file_that_is_no_rig_names_line_column_and_place_of_every_fault() {
    let bench = Bench::new();
    let text = RigForm::Toml.write(&shipped_rig("two-to-one").unwrap().sheet());
    let wrong = text
        .replacen("kind = \"load\"", "kind = \"anchor\"", 1)
        .replacen("accepts = [\"rope\"]", "accepts = [\"string\"]", 1);
    let file = bench.file("wrong.toml", wrong);
    let (code, out, err) = rig(&[&file]);
    assert_eq!((code, out.as_str()), (2, ""));
    let line = text.lines().position(|line| line == "accepts = [\"rope\"]");
    let line = line.unwrap() + 1;
    assert_eq!(
        err,
        format!(
            "ropeloft: {file}: line {line}, column 1: position rope: there is no kind of item \"string\".\n"
        )
    );
    let (code, answer) = json(&[&file, "--json"]);
    assert_eq!(code, 2);
    assert_eq!(answer["errors"][0]["place"], "position 1, accepts");
    assert_eq!(answer["errors"][0]["line"], line);
}

#[test]
fn what_is_no_file_no_text_or_no_sheet_is_refused() {
    let bench = Bench::new();
    let cases = [
        ("nothing.toml", Vec::new(), "missing field `key`"),
        (
            "broken.toml",
            b"key = \"a\"\ntitle = ".to_vec(),
            "line 2, column ",
        ),
        (
            "broken.json",
            b"{ \"key\": 3 }".to_vec(),
            "line 1, column 10: ",
        ),
        ("bytes.toml", vec![b'a', 0xff], "the byte 2 is none"),
        (
            "large.toml",
            vec![b'#'; LARGEST_RIG + 1],
            "a rig has at most 49152",
        ),
        ("deep.json", b"{\"key\":".repeat(2000), "line 1"),
    ];
    for (name, bytes, told) in cases {
        let file = bench.file(name, bytes);
        let (code, _, err) = rig(&[&file]);
        assert_eq!(code, 2, "{name}");
        assert!(err.contains(told), "{name}: {err}");
    }
    let (code, _, err) = rig(&["four-to-none"]);
    assert_eq!(code, 2);
    assert!(err.contains("there are: one-to-one-redirect, "), "{err}");
    let (code, _, err) = rig(&["three-to-one", "--load", "120"]);
    assert_eq!(code, 2);
    assert!(
        err.contains("--load: Write the unit behind the number"),
        "{err}"
    );
    let folder = bench.0.path().to_str().unwrap();
    assert_eq!(rig(&[folder]).0, 2);
}

#[test]
fn a_kit_that_cannot_be_read_names_line_and_column() {
    let bench = Bench::new();
    let cases = [
        (
            "load = \"120 kg\"",
            "load = \"120 bananas\"",
            "line 13, column 8: Write the unit as",
        ),
        ("load = \"120 kg\"", "load = 120", "line 13, column 8"),
        ("wet = true", "wett = true", "line 14, column 1"),
        ("fibre = \"polyamide\"", "fibre = \"wool\"", "wool"),
        (
            "low = 0.80",
            "low = 0.95",
            "the low value must not be above",
        ),
    ];
    for (piece, by, told) in cases {
        assert!(KIT_EXAMPLE.contains(piece), "{piece}");
        let kit = bench.file("kit.toml", KIT_EXAMPLE.replacen(piece, by, 1));
        let (code, _, err) = rig(&["three-to-one", "--kit", &kit]);
        assert_eq!(code, 2, "{by}");
        assert!(
            err.contains(told) && err.contains("kit.toml"),
            "{by}: {err}"
        );
    }
}

#[test]
fn the_schema_and_the_example_are_printed() {
    assert_eq!(
        rig(&["--schema"]),
        (0, RIG_SCHEMA.to_owned(), String::new())
    );
    assert_eq!(
        rig(&["--example"]),
        (0, KIT_EXAMPLE.to_owned(), String::new())
    );
    assert_eq!(rig(&[]).0, 2);
}

#[test]
fn every_field_of_a_kit_is_read() {
    // What is a comment in the example is a field here.
    let lines = KIT_EXAMPLE.lines().map(|line| {
        let field = line.strip_prefix("# ").filter(|field| {
            let name = field.split([' ', ']']).next().unwrap_or_default();
            let known = [
                "between_anchors",
                "hand_metres_per_second",
                "line_accepted",
                "stuck_pull",
                "exceptional_required",
                "[conditions.required_at",
                "anchor",
                "[conditions.catch",
                "slack",
                "in_play",
                "modulus",
                "modulus_source",
                "limit",
            ];
            known.contains(&name) && (field.contains(" = ") || field.ends_with(']'))
        });
        field.unwrap_or(line)
    });
    let text: Vec<&str> = lines.collect();
    let KitFile { conditions, outfit } = KitFile::parse(&text.join("\n")).unwrap();
    assert_eq!(conditions.load, Force::from_kilograms_force(120.0).unwrap());
    assert_eq!(conditions.wetness, Wetness::Wet);
    assert_eq!(
        conditions.required_at["anchor"].factor.ratio().to_bits(),
        10_f64.to_bits()
    );
    assert!(conditions.line_accepted);
    let way = conditions.way;
    let metres = [
        way.depth,
        way.head_gap,
        way.block_length,
        way.tail,
        way.knots,
    ];
    let metres: Vec<String> = metres.map(|length| length.metres().to_string()).to_vec();
    assert_eq!(metres, ["12", "2.1", "0.6", "3", "1"]);
    assert!(way.throw.is_some() && way.between_anchors.is_some() && way.hand_speed.is_some());
    let exceptional = conditions.exceptional;
    assert!(exceptional.required.is_some() && exceptional.stuck_pull.is_some());
    let catch = exceptional.catch.unwrap();
    assert_eq!(catch.modulus, Force::from_kilonewtons(20.0).unwrap());
    assert_eq!(
        catch.limit.unwrap().force,
        Force::from_kilonewtons(6.0).unwrap()
    );
    let rope = outfit.at("rope").unwrap();
    assert_eq!(rope.strengths[0].mode, LoadingMode::Straight);
    assert_eq!(rope.strengths[0].kind, StrengthKind::Breaking);
    assert_eq!(rope.wear.len(), 1);
    assert!(outfit.at("anchor-pulley").unwrap().wheel.is_some());
    let rig: &Rig = shipped_rig("three-to-one").unwrap();
    assert!(outfit.iter().all(|(key, _)| rig.position(key).is_some()));
}
