//! Rigs that nobody has drawn before, put together from parts.

use std::fmt::Write;

use proptest::prelude::*;

/// What a rig is put together from.
#[derive(Clone, Debug)]
pub struct Made {
    /// How many sheaves each stage has, the one at the load first.
    pub stages: Vec<usize>,
    /// The angle at which the hand strand leaves a last sheave at the anchor, if there is one.
    pub turned: Option<f64>,
    /// What holds the anchor.
    pub held: Held,
    /// Whether a belay stands by, and the angle at which it leaves its pulley.
    pub belay: Option<f64>,
    /// Whether links have items of their own.
    pub linked: bool,
    /// A title for whatever has one.
    pub title: String,
}

/// What holds an anchor.
#[derive(Clone, Debug)]
pub enum Held {
    /// Nothing that is named.
    Bare,
    /// Links in line.
    Chain(usize),
    /// Legs.
    Legs(Vec<f64>),
    /// A line: span, sag and distance from its first end.
    Line(f64, f64, f64),
    /// A tripod.
    Tripod(f64),
}

/// Any such rig.
pub fn made() -> impl Strategy<Value = Made> {
    let held = prop_oneof![
        Just(Held::Bare),
        (1_usize..6).prop_map(Held::Chain),
        prop::collection::vec(1.0..80.0_f64, 2..5).prop_map(Held::Legs),
        (5.0..80.0_f64, 0.02..0.3_f64, 0.4..0.6_f64).prop_map(|(span, sag, first)| Held::Line(
            span,
            span * sag,
            span * first
        )),
        (10.0..40.0_f64).prop_map(Held::Tripod),
    ];
    let title = prop_oneof![
        Just("A part".to_owned()),
        Just("Ein Seilzugfestigkeitspr\u{fc}fvorrichtungsbefestigungsbolzen".to_owned()),
        Just("\u{6ed1}\u{8f6e} <b>&\"'".to_owned()),
        Just("word ".repeat(100)),
        "[ -~]{1,40}[a-z]".prop_map(|text| text),
    ];
    (
        prop::collection::vec(1_usize..6, 1..4),
        prop::option::of(prop_oneof![Just(0.0), 0.0..179.0_f64]),
        held,
        prop::option::of(prop_oneof![Just(0.0), 1.0..120.0_f64]),
        any::<bool>(),
        title,
    )
        .prop_map(|(stages, turned, held, belay, linked, title)| Made {
            stages,
            turned,
            held,
            belay,
            linked,
            title,
        })
}

/// A sheet that is being written.
#[derive(Default)]
struct Sheet {
    bodies: String,
    positions: String,
    ropes: String,
    rest: String,
}

impl Sheet {
    fn body(&mut self, key: &str, kind: &str) {
        let _ = writeln!(
            self.bodies,
            "[[body]]\nkey = \"{key}\"\ntitle = \"the {key}\"\nkind = \"{kind}\""
        );
    }

    fn position(&mut self, made: &Made, key: &str, (accepts, loaded): (&str, &str), body: &str) {
        let title = toml::Value::from(made.title.as_str());
        let _ = writeln!(
            self.positions,
            "[[position]]\nkey = \"{key}\"\ntitle = {title}\naccepts = [\"{accepts}\"]\nloaded = \"{loaded}\""
        );
        if !body.is_empty() {
            let _ = writeln!(self.positions, "body = \"{body}\"");
        }
    }

    fn rope(&mut self, made: &Made, key: &str, duty: &str, path: &[String]) {
        self.position(made, key, ("rope", "straight"), "");
        let _ = writeln!(
            self.ropes,
            "[[rope]]\nposition = \"{key}\"\nduty = \"{duty}\"\npath = [{}]",
            path.join(", ")
        );
    }

    fn chain(&mut self, carries: &str, keys: &[String]) {
        let keys: Vec<String> = keys.iter().map(|key| format!("\"{key}\"")).collect();
        let _ = writeln!(
            self.rest,
            "[[chain]]\n{carries}\npositions = [{}]",
            keys.join(", ")
        );
    }

    /// One stage: a rope over sheaves at its lower body and at the anchor in turn.
    fn stage(&mut self, made: &Made, number: usize, lower: &str) {
        let last = number + 1 == made.stages.len();
        let mut path = Vec::new();
        if last {
            path.push("{ meets = \"hand\" }".to_owned());
            if let Some(between) = made.turned {
                path.push(format!(
                    "{{ meets = \"sheave\", position = \"turn\", between_degrees = {between} }}"
                ));
                self.position(made, "turn", ("pulley", "axle"), "anchor");
            }
        } else {
            path.push(format!(
                "{{ meets = \"grab\", position = \"grab-{number}\" }}"
            ));
            let above = format!("mover-{}", number + 1);
            self.position(
                made,
                &format!("grab-{number}"),
                ("rope clamp", "body"),
                &above,
            );
        }
        let (mut low, mut high) = (0, 0);
        for sheave in 0..made.stages[number] {
            let (place, count) = if sheave % 2 == 0 {
                ("low", &mut low)
            } else {
                ("high", &mut high)
            };
            *count += 1;
            path.push(format!(
                "{{ meets = \"sheave\", position = \"{place}-{number}\", sheave = {count} }}"
            ));
        }
        let end = if made.stages[number] % 2 == 1 {
            "anchor"
        } else {
            lower
        };
        path.push(format!(
            "{{ meets = \"end\", body = \"{end}\", knot = \"bowline\" }}"
        ));
        for (place, count, body) in [("low", low, lower), ("high", high, "anchor")] {
            if count > 0 {
                let key = format!("{place}-{number}");
                self.position(made, &key, ("pulley", "axle"), body);
                if made.linked {
                    let link = format!("link-{key}");
                    self.position(made, &link, ("connector", "major-axis"), "");
                    self.chain(&format!("carries_position = \"{key}\""), &[link]);
                }
            }
        }
        self.rope(made, &format!("rope-{number}"), "main", &path);
    }

    fn hold(&mut self, made: &Made) {
        let carries = "carries_body = \"anchor\"";
        match &made.held {
            Held::Bare => {}
            Held::Chain(count) => {
                let kinds = [
                    "anchor device",
                    "sling",
                    "connector",
                    "swivel",
                    "rigging plate",
                ];
                let keys: Vec<String> = (0..*count).map(|at| format!("held-{at}")).collect();
                for (key, kind) in keys.iter().zip(kinds) {
                    self.position(made, key, (kind, "body"), "");
                }
                self.chain(carries, &keys);
            }
            Held::Legs(offs) => {
                let _ = writeln!(self.rest, "[[bridle]]\n{carries}");
                for (at, off) in offs.iter().enumerate() {
                    self.position(made, &format!("leg-{at}"), ("sling", "straight"), "");
                    let _ = writeln!(
                        self.rest,
                        "[[bridle.leg]]\noff_degrees = {off}\npositions = [\"leg-{at}\"]"
                    );
                }
            }
            Held::Line(span, sag, first) => {
                self.position(made, "left", ("anchor device", "body"), "");
                self.position(made, "right", ("rope", "straight"), "");
                let _ = writeln!(
                    self.rest,
                    "[[line]]\n{carries}\nspan_metres = {span}\nsag_metres = {sag}\nfrom_first_metres = {first}\nfirst = [\"left\"]\nsecond = [\"right\"]"
                );
            }
            Held::Tripod(off) => {
                self.position(made, "tripod", ("tripod", "body"), "");
                self.chain(carries, &["tripod".to_owned()]);
                let _ = writeln!(
                    self.rest,
                    "[[tripod]]\nposition = \"tripod\"\nleg_degrees = {off}"
                );
            }
        }
    }

    fn belay(&mut self, made: &Made, between: f64) {
        self.position(made, "device", ("rope clamp", "body"), "ground");
        let mut path = vec![
            "{ meets = \"hand\" }".to_owned(),
            "{ meets = \"capture\", position = \"device\" }".to_owned(),
        ];
        if between > 0.0 {
            self.position(made, "aside", ("pulley", "axle"), "anchor");
            path.push(format!(
                "{{ meets = \"sheave\", position = \"aside\", between_degrees = {between} }}"
            ));
        }
        path.push("{ meets = \"end\", body = \"load\", knot = \"bowline\" }".to_owned());
        self.rope(made, "belay", "belay", &path);
    }
}

/// The sheet of such a rig. A rig that cannot be rigged so is refused when it is read.
pub fn sheet(made: &Made) -> String {
    let mut sheet = Sheet::default();
    sheet.body("anchor", "anchor");
    if made.belay.is_some() {
        sheet.body("ground", "anchor");
    }
    for number in (1..made.stages.len()).rev() {
        sheet.body(&format!("mover-{number}"), "travelling");
    }
    sheet.body("load", "load");
    for number in 0..made.stages.len() {
        let lower = match number {
            0 => "load".to_owned(),
            _ => format!("mover-{number}"),
        };
        sheet.stage(made, number, &lower);
    }
    sheet.hold(made);
    if let Some(between) = made.belay {
        sheet.belay(made, between);
    }
    format!(
        "key = \"made\"\ntitle = \"A rig\"\nwhen = \"In a test.\"\nlimits = []\n{}{}{}{}",
        sheet.bodies, sheet.positions, sheet.ropes, sheet.rest
    )
}
