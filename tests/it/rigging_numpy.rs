//! The solver against one that was written apart, in Python with numpy, on thousands of random rigs.
//!
//! `tests/numpy` reads the sheets by itself and knows nothing of the program's equations. Rigs that mechanics
//! refuses go to it too: what has no answer must have none from both. Sheets that are refused for their form are
//! not sent.

use std::collections::BTreeMap;

use ropeloft::rigging::{Band, Force, Forces, Phase, Rig, RigError, rope_need, shipped, solve};
use serde_json::{Value, json};

use crate::rigging_apart::{Answer, Question, Travel, ask};
use crate::rigging_draft::{Rub, outfit};
use crate::rigging_kit::conditions;
use crate::rigging_random;

/// Rigs that both must answer alike, besides the shipped ones.
const RIGS: usize = 2_000;
/// The seed of the first random rig; the others count on from it. `TEST_SEED` begins elsewhere.
const SEED: u64 = 20_000;
/// How many features there are.
const FEATURES: usize = 46;
/// How often at least each feature must stand in a rig that is answered.
const EACH: usize = 10;

const PHASES: [Phase; 8] = [
    Phase::Frictionless,
    Phase::Hauling,
    Phase::Lowering,
    Phase::Held,
    Phase::StuckLoad,
    Phase::OnBelay,
    Phase::BelayCatch,
    Phase::AtRest,
];
/// At rest every sheave doubles the combinations: rigs with more are asked for all but that.
const MOST_AT_REST: usize = 8;

/// Rigs, what is asked of them, and how often each feature stands in one that is answered.
struct Asked {
    rigs: Vec<Result<Rig, RigError>>,
    questions: Vec<Question>,
    features: BTreeMap<&'static str, usize>,
}

#[test]
fn a_solver_written_apart_gives_the_same_numbers() {
    let mut asked = shipped_rigs();
    random_rigs(&mut asked);
    let Some(asking) = ask(&asked.questions) else {
        return;
    };
    // Both work at once.
    let pairs = asked.rigs.iter().zip(&asked.questions);
    let ours: Vec<Solved> = pairs.map(|(rig, asked)| solved(rig, asked)).collect();
    let answers = asking.join().unwrap();
    assert_eq!(answers.len(), asked.questions.len());
    let mut wrong = Vec::new();
    let mut numbers = 0;
    for (index, answer) in answers.iter().enumerate() {
        let mut here = Vec::new();
        match &asked.rigs[index] {
            Ok(rig) => {
                travels(rig, answer.travel.as_ref(), &mut here);
                numbers += phases(&ours[index], answer, &mut here);
            }
            Err(error) => refused(error, answer, &mut here),
        }
        let name = &asked.questions[index].name;
        wrong.extend(here.iter().take(3).map(|line| format!("{name}: {line}")));
    }
    println!("{numbers} numbers of {} rigs", asked.rigs.len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(numbers > 500_000, "only {numbers} numbers were compared");
    for (feature, rigs) in &asked.features {
        assert!(*rigs >= EACH, "{feature}: only {rigs} rigs have it");
    }
    assert_eq!(asked.features.len(), FEATURES, "{:?}", asked.features);
}

/// The shipped rigs, each with three frictions.
fn shipped_rigs() -> Asked {
    let mut asked = Asked {
        rigs: Vec::new(),
        questions: Vec::new(),
        features: BTreeMap::new(),
    };
    for rig in shipped() {
        for (efficiency, friction) in [(0.92, 0.2), (0.5, 0.05), (1.0, 0.5)] {
            let positions = rig.positions().iter();
            let positions = positions.filter(|position| position.body().is_some());
            let rub = |key: &str| Rub {
                efficiency: Some([efficiency; 3]),
                standing: None,
                post: rig.rubs(key).then_some([friction; 3]),
            };
            let friction = positions
                .map(|position| (position.key().to_owned(), rub(position.key())))
                .collect();
            asked.questions.push(Question {
                name: rig.key().to_owned(),
                sheet: rigging_random::shipped_sheet(rig.key()),
                friction,
                given: 1176.798,
                phases: PHASES.to_vec(),
            });
            asked.rigs.push(Ok(rig.clone()));
        }
    }
    asked
}

/// Random rigs, until there are enough that are answered.
fn random_rigs(asked: &mut Asked) {
    let mut answered = 0;
    let first = std::env::var("TEST_SEED").map_or(SEED, |seed| seed.parse().unwrap());
    for seed in first.. {
        if answered == RIGS {
            println!("random rigs of the seeds {first} to {}", seed - 1);
            break;
        }
        let mut draft = rigging_random::any(seed);
        let rig = draft.rig();
        match &rig {
            Ok(_) => {
                answered += 1;
                for feature in &draft.features {
                    *asked.features.entry(feature).or_default() += 1;
                }
            }
            Err(error) if reasons(error).is_empty() => continue,
            Err(_) => *asked.features.entry("no answer").or_default() += 1,
        }
        let mut phases = PHASES.to_vec();
        if draft.passages() > MOST_AT_REST {
            phases.pop();
        } else if rig.is_ok() {
            *asked.features.entry("at rest").or_default() += 1;
        }
        asked.questions.push(Question {
            name: format!("seed {seed}"),
            given: draft.number(200.0, 3000.0),
            sheet: draft.sheet(),
            friction: draft.friction,
            phases,
        });
        asked.rigs.push(rig);
    }
}

/// The words with which the program in Python may refuse what we refuse so; none if it is not mechanics.
fn reasons(error: &RigError) -> &'static [&'static str] {
    match error {
        RigError::OutOfLine { .. } => &["out of line"],
        // A rope that is alone with its bodies has no balance, or one of rounding alone.
        RigError::Unconnected { .. } => {
            &["unconnected", "unbalanced", "singular", "slack", "pushes"]
        }
        RigError::Unbalanced { .. } | RigError::Singular => &["unbalanced", "singular"],
        RigError::Pushes { .. } | RigError::Slack { .. } => &["pushes", "slack"],
        RigError::LegSlack { .. } | RigError::LegsAside { .. } | RigError::Tips { .. } => {
            &["leg slack", "legs aside", "tips"]
        }
        RigError::NoCapture => &["no capture"],
        RigError::NoBelay => &["no rope catches"],
        RigError::OnlyLowers => &["only lowers"],
        _ => &[],
    }
}

/// A rig that we do not even read must be refused in some phase, for the same reason.
fn refused(error: &RigError, answer: &Answer, wrong: &mut Vec<String>) {
    let mut told = answer
        .answers
        .iter()
        .filter_map(|told| told["refused"].as_str());
    if !told.any(|reason| reasons(error).contains(&reason)) {
        wrong.push(format!("only we refuse it: {error}"));
    }
}

/// The gain, and the rope that it takes, from how far things move.
fn travels(rig: &Rig, travel: Option<&Travel>, wrong: &mut Vec<String>) {
    let Some(travel) = travel else {
        wrong.push("it does not say how things move".to_owned());
        return;
    };
    let gain = rig.ideal_advantage().unwrap().ratio();
    if !alike(gain, travel.gain(), 0.0) {
        wrong.push(format!("a gain of {gain}, by travel {}", travel.gain()));
    }
    let mut way = conditions().way;
    way.between_anchors = way.throw;
    let need = rope_need(rig, &way).unwrap();
    for (rope, wanted) in need.ropes.iter().zip(travel.ropes(rig, &way)) {
        let length = rope.length.metres();
        if !alike(length, wanted, 0.0) {
            wrong.push(format!("{} of {length} m, by travel {wanted}", rope.rope));
        }
    }
}

/// What we answer, phase by phase.
type Solved = Vec<(Phase, Result<Forces, RigError>)>;

fn solved(rig: &Result<Rig, RigError>, question: &Question) -> Solved {
    let Ok(rig) = rig else {
        return Vec::new();
    };
    let outfit = outfit(&question.friction);
    let given = Force::from_newtons(question.given).unwrap();
    let phases = question.phases.iter();
    phases
        .map(|&phase| (phase, solve(rig, &outfit, given, phase)))
        .collect()
}

/// Compares every phase; gives how many numbers were compared.
fn phases(ours: &Solved, answer: &Answer, wrong: &mut Vec<String>) -> usize {
    let mut numbers = 0;
    for ((phase, ours), theirs) in ours.iter().zip(&answer.answers) {
        let reason = theirs["refused"].as_str();
        match (ours, reason) {
            (Ok(forces), None) => {
                let parts = forces.parts.iter();
                let most = parts.map(|part| part.tension.high().newtons());
                let floor = 1e-11 * most.fold(0.0, f64::max);
                numbers += differences(phase.key(), &told(forces), theirs, floor, wrong);
            }
            (Ok(_), Some(reason)) => wrong.push(format!("{phase:?}: only numpy refuses: {reason}")),
            (Err(RigError::Bounds { .. }), None) if largest(theirs) > 1e6 => {}
            // Limits of ours, on forces and on how long we compute; the other program has none, and may
            // refuse for more.
            (Err(RigError::Bounds { .. }), Some(_)) | (Err(RigError::TooManyRanges { .. }), _) => {}
            (Err(error), reason) => {
                if !reason.is_some_and(|reason| reasons(error).contains(&reason)) {
                    wrong.push(format!("{phase:?}: we refuse: {error}; numpy: {reason:?}"));
                }
            }
        }
    }
    numbers
}

/// The largest number in an answer.
fn largest(value: &Value) -> f64 {
    match value {
        Value::Array(list) => list.iter().map(largest).fold(0.0, f64::max),
        Value::Object(object) => object.values().map(largest).fold(0.0, f64::max),
        other => other.as_f64().unwrap_or(0.0),
    }
}

/// Whether two numbers differ by no more than a billionth, or by the rounding of larger ones.
fn alike(one: f64, other: f64, floor: f64) -> bool {
    (one - other).abs() <= 1e-9 * one.abs().max(other.abs()) + floor
}

/// Where two answers differ; gives how many numbers were compared.
fn differences(
    place: &str,
    ours: &Value,
    theirs: &Value,
    floor: f64,
    wrong: &mut Vec<String>,
) -> usize {
    match (ours, theirs) {
        (Value::Number(one), Value::Number(other)) => {
            let (one, other) = (one.as_f64().unwrap(), other.as_f64().unwrap());
            if !alike(one, other, floor) {
                wrong.push(format!("{place}: {one}, numpy {other}"));
            }
            1
        }
        (Value::Array(one), Value::Array(other)) if one.len() == other.len() => {
            let pairs = one.iter().zip(other).enumerate();
            pairs
                .map(|(at, (one, other))| {
                    differences(&format!("{place}/{at}"), one, other, floor, wrong)
                })
                .sum()
        }
        (Value::Object(one), Value::Object(other)) if one.keys().eq(other.keys()) => one
            .iter()
            .map(|(key, value)| {
                differences(&format!("{place}/{key}"), value, &other[key], floor, wrong)
            })
            .sum(),
        (one, other) if one == other => 0,
        (one, other) => {
            wrong.push(format!("{place}: {one}, numpy {other}"));
            0
        }
    }
}

/// The forces in the shape in which the program in Python tells them.
fn told(forces: &Forces) -> Value {
    let band = |band: Band<Force>| [band.low(), band.likely(), band.high()].map(Force::newtons);
    let hands = forces.hands.iter();
    let hands = hands.map(|hand| (hand.rope.clone(), json!(band(hand.pull))));
    let parts = forces.parts.iter();
    let parts = parts.map(|part| {
        let key = format!("{}:{}", part.rope, part.part);
        (key, json!(band(part.tension)))
    });
    let sheaves = forces.sheaves.iter();
    let sheaves = sheaves.map(|on| {
        let key = format!("{}:{}", on.position, on.sheave);
        (key, json!(band(on.force)))
    });
    let bodies = forces.bodies.iter();
    let bodies = bodies.map(|on| (on.body.clone(), json!(band(on.force))));
    let mut positions: BTreeMap<String, Vec<Value>> = BTreeMap::new();
    for on in &forces.positions {
        let key = format!("{} {}", on.position, on.mode.key());
        let entry = json!([on.knot, band(on.force)]);
        positions.entry(key).or_default().push(entry);
    }
    let legs = forces.legs.iter().map(|leg| {
        json!({"leg": leg.leg, "off": leg.off_degrees, "along": band(leg.along), "aside": band(leg.aside)})
    });
    let gain = forces.advantage;
    json!({
        "load": band(forces.load),
        "hands": Value::Object(hands.collect()),
        "advantage": gain.map(|gain| [gain.low(), gain.likely(), gain.high()].map(|gain| gain.ratio())),
        "parts": Value::Object(parts.collect()),
        "sheaves": Value::Object(sheaves.collect()),
        "bodies": Value::Object(bodies.collect()),
        "positions": positions,
        "legs": legs.collect::<Vec<_>>(),
    })
}
