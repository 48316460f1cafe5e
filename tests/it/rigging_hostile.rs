//! Sheets that nobody meant: shipped ones with lines, words and numbers thrown about. Whatever comes, the
//! reader answers; and what it takes, the solver answers in every phase, without a number that is none.

use rand::{RngExt, SeedableRng, rngs::StdRng};
use ropeloft::rigging::{
    Band, Efficiency, Fitted, Force, Friction, Outfit, Phase, Post, Rig, Turning, Wheel, solve,
};

const SHEETS: [&str; 5] = [
    include_str!("../../src/rigging/rig/three-to-one-redirect.toml"),
    include_str!("../../src/rigging/rig/nine-to-one.toml"),
    include_str!("../../src/rigging/rig/bridle-high-point.toml"),
    include_str!("../../src/rigging/rig/tripod-with-belay.toml"),
    include_str!("../../src/rigging/rig/twin-tension-lower.toml"),
];

/// Numbers and words that sheets are spoilt with.
const SPOILERS: [&str; 24] = [
    "0",
    "-1",
    "1e999",
    "nan",
    "inf",
    "-0.0",
    "89.9999999",
    "90",
    "180",
    "360000",
    "255",
    "256",
    "true",
    "\"\"",
    "\"load\"",
    "\"anchor\"",
    "\"hand\"",
    "[]",
    "{}",
    "\"figure-eight\"",
    "\"belay\"",
    "\"twin\"",
    "1e-300",
    "\"head\"",
];

/// A sheet with some of its lines dropped, doubled, swapped, or with another value.
fn spoilt(chance: &mut StdRng, sheet: &str) -> String {
    let mut lines: Vec<String> = sheet.lines().map(str::to_owned).collect();
    for _ in 0..=chance.random_range(..4_u8) {
        let at = chance.random_range(..lines.len());
        let other = chance.random_range(..lines.len());
        match chance.random_range(..6_u8) {
            0 => drop(lines.remove(at)),
            1 => lines.insert(at, lines[other].clone()),
            2 => lines.swap(at, other),
            3 | 4 => {
                let value = SPOILERS[chance.random_range(..SPOILERS.len())];
                if let Some((name, _)) = lines[at].split_once('=') {
                    lines[at] = format!("{name}= {value}");
                }
            }
            _ => {
                let letters: Vec<char> = lines[at].chars().collect();
                let keep = chance.random_range(..=letters.len());
                lines[at] = letters[..keep].iter().collect();
            }
        }
        if lines.is_empty() {
            break;
        }
    }
    lines.join("\n")
}

/// Everything that a solver could ask of the positions of a rig.
fn whatever(rig: &Rig) -> Outfit {
    let mu = |number| Friction::from_coefficient(number).unwrap();
    let friction = Band::new(mu(0.1), mu(0.2), mu(0.3)).unwrap();
    let mut outfit = Outfit::default();
    for position in rig.positions() {
        let mut item = Fitted::new(position.key()).with_wheel(Wheel {
            efficiency: Band::exactly(Efficiency::from_share(0.9).unwrap()),
            source: "the test".to_owned(),
            turning: Turning::OneWay {
                friction,
                source: "the test".to_owned(),
            },
        });
        item.post = Some(Post {
            friction,
            source: "the test".to_owned(),
        });
        outfit.fit(position.key(), item);
    }
    outfit
}

#[test]
fn a_spoilt_sheet_is_refused_with_a_reason_or_answers() {
    let mut chance = StdRng::seed_from_u64(20_261_126);
    let load = Force::from_kilonewtons(2.0).unwrap();
    let (mut taken, mut refused) = (0, 0);
    for round in 0..6_000 {
        let sheet = spoilt(&mut chance, SHEETS[round % SHEETS.len()]);
        let rig = match Rig::parse(&sheet) {
            Ok(rig) => rig,
            Err(why) => {
                assert!(!why.to_string().is_empty());
                refused += 1;
                continue;
            }
        };
        taken += 1;
        let outfit = whatever(&rig);
        for phase in Phase::JUDGED.into_iter().chain(Phase::EXCEPTIONAL) {
            let Ok(forces) = solve(&rig, &outfit, load, phase) else {
                continue;
            };
            for force in forces.positions.iter().map(|on| on.force) {
                let ends = [force.low(), force.likely(), force.high()].map(Force::newtons);
                assert!(
                    ends.iter().all(|end| end.is_finite() && *end >= 0.0),
                    "{sheet}"
                );
            }
        }
    }
    // Both happen often, or the test looks at one side alone.
    assert!(
        taken > 300 && refused > 3_000,
        "{taken} taken, {refused} refused"
    );
}

/// The sheet of a bridle, its legs holding an item in place of the high point.
fn bridle_that_holds(item: &str) -> String {
    let sheet = include_str!("../../src/rigging/rig/bridle-high-point.toml");
    let on_the_body = "[[bridle]]\ncarries_body = \"high-point\"";
    assert!(sheet.contains(on_the_body));
    sheet.replace(
        on_the_body,
        &format!("[[bridle]]\ncarries_position = \"{item}\""),
    )
}

#[test]
fn legs_hold_what_stands_still_alone() {
    let why = Rig::parse(&bridle_that_holds("foot")).unwrap_err();
    let words = why.to_string();
    assert!(words.contains("legs hold an anchor"), "{words}");
}

#[test]
fn legs_that_hold_an_item_are_refused_where_the_sheet_has_no_body() {
    let sheet = bridle_that_holds("head");
    let blocks = sheet.split("\n[[");
    let blocks = blocks.filter(|block| !block.starts_with("body]]"));
    let sheet = blocks.collect::<Vec<_>>().join("\n[[");
    let why = Rig::parse(&sheet).unwrap_err().to_string();
    assert!(why.contains("bodies"), "{why}");
}
