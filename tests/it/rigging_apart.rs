//! The solver in Python that was written apart: how it is asked, and what it says.

use std::{
    collections::BTreeMap,
    io::{BufWriter, Write},
    path::{Path, PathBuf},
    process::{Command, Stdio},
    thread::JoinHandle,
};

use ropeloft::rigging::{BodyKind, Element, Phase, Rig, Way};
use serde::Deserialize;
use serde_json::{Value, json};

use crate::rigging_draft::Rub;

const NO_NUMPY: &str = "
*******************************************************************************
*  THE RIGGING ROOM WAS NOT CHECKED AGAINST NUMPY: there is no Python of 3.11 *
*  or newer with numpy here. Install it, or name one that has it:             *
*      TEST_PYTHON=/path/to/python cargo test                                 *
*  With CI=true this fails.                                                   *
*******************************************************************************
";

/// What is asked of a rig: these phases, under this load, pull or peak in newtons.
pub struct Question {
    pub name: String,
    pub sheet: String,
    pub friction: BTreeMap<String, Rub>,
    pub given: f64,
    pub phases: Vec<Phase>,
}

/// What is said of a rig: how it moves, and the forces of each phase.
#[derive(Deserialize)]
pub struct Answer {
    pub travel: Option<Travel>,
    pub answers: Vec<Value>,
}

/// How things move while the load rises a metre.
#[derive(Deserialize)]
pub struct Travel {
    /// Rope that comes in at each hand.
    hands: Vec<f64>,
    /// How far each travelling body goes, up along its line.
    bodies: BTreeMap<String, f64>,
}

/// A Python that has numpy.
fn python() -> Option<PathBuf> {
    let given = std::env::var_os("TEST_PYTHON").map(PathBuf::from);
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/python/bin/python");
    let mut pythons = given.into_iter().chain([own, "python3".into()]);
    pythons.find(|python| {
        let mut imports = Command::new(python);
        imports.args(["-c", "import numpy, tomllib"]);
        let ended = imports.stderr(Stdio::null()).status();
        ended.is_ok_and(|status| status.success())
    })
}

/// Asks one process everything; none if there is no numpy, which has then been said.
pub fn ask(questions: &[Question]) -> Option<JoinHandle<Vec<Answer>>> {
    let Some(python) = python() else {
        // Not by print: that is held back while a test passes.
        std::io::stderr().write_all(NO_NUMPY.as_bytes()).unwrap();
        let ci = std::env::var("CI").is_ok_and(|ci| ci == "true");
        assert!(!ci, "{NO_NUMPY}");
        return None;
    };
    let program = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/numpy/solve.py");
    let mut process = Command::new(python)
        .arg(program)
        // The systems are small: threads only get in each other's way.
        .env("OPENBLAS_NUM_THREADS", "1")
        .env("PYTHONDONTWRITEBYTECODE", "1")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut input = BufWriter::new(process.stdin.take().unwrap());
    let lines: Vec<String> = questions.iter().map(Question::line).collect();
    let writing = std::thread::spawn(move || {
        for line in lines {
            // It may have ended early; then how it ended tells more.
            if writeln!(input, "{line}").is_err() {
                return;
            }
        }
    });
    Some(std::thread::spawn(move || {
        let output = process.wait_with_output().unwrap();
        writing.join().unwrap();
        assert!(output.status.success(), "the solver in Python failed");
        let text = String::from_utf8(output.stdout).unwrap();
        let answers = text.lines().map(|line| serde_json::from_str(line).unwrap());
        answers.collect()
    }))
}

impl Question {
    fn line(&self) -> String {
        let phases = self.phases.iter();
        let asks: Vec<Value> = phases
            .map(|phase| json!({"phase": phase.key(), "given": self.given}))
            .collect();
        json!({"sheet": self.sheet, "friction": self.friction, "asks": asks}).to_string()
    }
}

impl Travel {
    /// Load over pull, by virtual work. Of two hands each has half the load, which rises as much slower as its
    /// rope comes in faster.
    pub fn gain(&self) -> f64 {
        let half = |pulled: f64, rope: &f64| pulled + 1.0 / rope;
        let count = u32::try_from(self.hands.len()).unwrap();
        f64::from(count) / self.hands.iter().fold(0.0, half)
    }

    /// The length of each rope for a way, by the rule of `rope_need` and the travel of the bodies.
    pub fn ropes(&self, rig: &Rig, way: &Way) -> Vec<f64> {
        let bodies = rig.bodies();
        let body_of = |element: &Element| match element {
            Element::End { body, .. } => Some(*body),
            other => rig.positions()[other.position()?].body(),
        };
        let run = |ends: &[Option<usize>], blocks: f64| {
            let kinds = [ends[0], ends[1]].map(|end| end.map(|body| bodies[body].kind()));
            let travels = ends.iter().flatten();
            let travels = travels.filter_map(|&body| self.bodies.get(bodies[body].key()));
            let travels: Vec<f64> = travels.copied().collect();
            // Against each other they need room for both, else for the one that goes further.
            let throw = match travels[..] {
                [] => None,
                [one] => Some(one.abs()),
                [one, other, ..] => Some((one - other).abs().max(one.abs()).max(other.abs())),
            };
            match (throw, kinds) {
                _ if ends[0] == ends[1] => 0.0,
                (Some(throw), _) => throw * way.throw.unwrap().metres(),
                (None, [Some(BodyKind::Anchor), Some(BodyKind::Anchor)]) => {
                    way.between_anchors.unwrap().metres()
                }
                (None, kinds) if kinds.contains(&Some(BodyKind::Load)) => {
                    way.depth.metres() + way.head_gap.metres() - blocks
                }
                _ => 0.0,
            }
        };
        let length = |path: &[Element]| {
            let turns = path.iter().enumerate();
            let turns = turns.filter(|(at, met)| *at == 0 || !matches!(met, Element::Grab { .. }));
            let ends: Vec<Option<usize>> = turns.map(|(_, met)| body_of(met)).collect();
            let tail = matches!(path[0], Element::Hand).then(|| way.tail.metres());
            let is_load =
                |body: Option<usize>| body.map(|body| bodies[body].kind()) == Some(BodyKind::Load);
            let mut sheaves = path
                .iter()
                .filter(|met| matches!(met, Element::Sheave { .. }));
            let blocks = if sheaves.any(|met| is_load(body_of(met))) {
                way.block_length.metres()
            } else {
                0.0
            };
            ends.windows(2).map(|ends| run(ends, blocks)).sum::<f64>()
                + tail.unwrap_or(0.0)
                + way.knots.metres()
        };
        rig.ropes().iter().map(|rope| length(rope.path())).collect()
    }
}
