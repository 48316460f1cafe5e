//! The solver beside the one in Python with numpy, on the same rig and the same friction.

use std::{
    hint::black_box,
    io::Write,
    path::{Path, PathBuf},
    process::{Command, Stdio},
    time::Instant,
};

use ropeloft::rigging::{Force, Outfit, Phase, Rig, solve};
use serde_json::{Value, json};

const PHASES: [Phase; 6] = [
    Phase::Frictionless,
    Phase::Hauling,
    Phase::Lowering,
    Phase::Held,
    Phase::StuckLoad,
    Phase::AtRest,
];
/// How often each solves the rig; the quickest time counts.
const TIMES: u32 = 200;

/// Prints how long a rig takes here and there, and the ratio. `efficiency` is that of every pulley of the outfit.
pub fn numpy(rig: &Rig, sheet: &str, outfit: &Outfit, efficiency: f64) {
    let load = Force::from_kilonewtons(2.0).unwrap();
    let once = || {
        let start = Instant::now();
        for phase in PHASES {
            black_box(solve(rig, outfit, load, phase).unwrap());
        }
        start.elapsed().as_secs_f64()
    };
    let ours = (0..TIMES).map(|_| once()).fold(f64::INFINITY, f64::min);
    let rubs = [efficiency; 3];
    let friction: serde_json::Map<String, Value> = outfit
        .iter()
        .map(|(key, _)| (key.to_owned(), json!({"efficiency": rubs})))
        .collect();
    let asks = PHASES.map(|phase| json!({"phase": phase.key(), "given": load.newtons()}));
    let question = json!({"sheet": sheet, "friction": friction, "asks": asks, "times": TIMES});
    match answer(&question.to_string()) {
        Some(theirs) => println!(
            "a 4:1 in all phases: {:.1} µs here, {:.1} µs in numpy: {:.0} times as fast",
            ours * 1e6,
            theirs * 1e6,
            theirs / ours
        ),
        None => println!("No Python with numpy here: set TEST_PYTHON to compare with it."),
    }
}

/// The quickest time of the program in Python, in seconds.
fn answer(question: &str) -> Option<f64> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let own = root.join("target/python/bin/python");
    let python = std::env::var_os("TEST_PYTHON").map_or(own, PathBuf::from);
    let mut process = Command::new(python)
        .arg(root.join("tests/numpy/solve.py"))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .ok()?;
    writeln!(process.stdin.take()?, "{question}").ok()?;
    let output = process.wait_with_output().ok()?;
    let answer: Value = serde_json::from_slice(&output.stdout).ok()?;
    answer["seconds"].as_f64()
}
