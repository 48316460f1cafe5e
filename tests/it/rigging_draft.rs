//! A sheet in the making, and how its items rub: what the random rigs are put together with.

use std::collections::{BTreeMap, BTreeSet};

use rand::{RngExt, SeedableRng, rngs::StdRng, seq::IndexedRandom};
use ropeloft::rigging::{
    Band, Efficiency, Fitted, Friction, Outfit, Post, Rig, RigError, Turning, Wheel,
};
use serde::Serialize;
use serde_json::{Value, json};

/// How an item rubs, as low, likely and high.
#[derive(Clone, Default, Serialize)]
pub struct Rub {
    #[serde(skip_serializing_if = "Option::is_none")]
    pub efficiency: Option<[f64; 3]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub standing: Option<[f64; 3]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub post: Option<[f64; 3]>,
}

/// A random rig: its sheet, its friction, and what there is in it that another rig may not have.
pub struct Draft {
    pub rng: StdRng,
    pub features: BTreeSet<&'static str>,
    pub friction: BTreeMap<String, Rub>,
    pub only_lowers: bool,
    /// Whether friction is known by a range only.
    pub ranged: bool,
    bodies: Vec<Value>,
    positions: Vec<Value>,
    ropes: Vec<Value>,
    lists: BTreeMap<&'static str, Vec<Value>>,
    sheaves: BTreeMap<String, u8>,
}

impl Draft {
    pub fn new(seed: u64) -> Self {
        let mut rng = StdRng::seed_from_u64(seed);
        Self {
            ranged: rng.random_bool(0.25),
            rng,
            features: BTreeSet::new(),
            friction: BTreeMap::new(),
            only_lowers: false,
            bodies: Vec::new(),
            positions: Vec::new(),
            ropes: Vec::new(),
            lists: BTreeMap::new(),
            sheaves: BTreeMap::new(),
        }
    }

    pub fn chance(&mut self, share: f64) -> bool {
        self.rng.random_bool(share)
    }

    pub fn number(&mut self, from: f64, to: f64) -> f64 {
        self.rng.random_range(from..to)
    }

    pub fn count(&mut self, from: usize, to: usize) -> usize {
        self.rng.random_range(from..=to)
    }

    pub fn one_of<T: Clone>(&mut self, things: &[T]) -> T {
        things.choose(&mut self.rng).unwrap().clone()
    }

    /// A body under all that are there.
    pub fn body(&mut self, kind: &str) -> String {
        let key = format!("{kind}-{}", self.bodies.len());
        self.bodies
            .push(json!({"key": key, "title": key, "kind": kind}));
        key
    }

    /// A travelling body that moves along a line of its own.
    pub fn body_aside(&mut self, degrees: f64) -> String {
        let key = self.body("travelling");
        self.bodies.last_mut().unwrap()["line_degrees"] = json!(degrees);
        key
    }

    /// An anchor above all bodies that are there.
    pub fn body_first(&mut self, kind: &str) -> String {
        let key = self.body(kind);
        self.bodies.rotate_right(1);
        key
    }

    /// The load.
    pub fn load(&self) -> String {
        let load = self.bodies.iter().find(|body| body["kind"] == "load");
        load.unwrap()["key"].as_str().unwrap().to_owned()
    }

    /// The names of all anchors.
    pub fn anchors(&self) -> Vec<String> {
        let anchors = self.bodies.iter().filter(|body| body["kind"] == "anchor");
        anchors
            .map(|body| body["key"].as_str().unwrap().to_owned())
            .collect()
    }

    /// A position for an item of a kind, on a body or in a row.
    pub fn position(&mut self, accepts: &str, body: Option<&str>) -> String {
        let loaded = match accepts {
            "rope" => "straight",
            "pulley" => "axle",
            "connector" => "major-axis",
            _ => "body",
        };
        let key = format!("{}-{}", accepts.replace(' ', "-"), self.positions.len());
        let mut position =
            json!({"key": key, "title": key, "accepts": [accepts], "loaded": loaded});
        if let Some(body) = body {
            position["body"] = json!(body);
        }
        self.positions.push(position);
        key
    }

    /// Low, likely and high of something that rubs.
    fn rubbing(&mut self, from: f64, to: f64) -> [f64; 3] {
        let likely = self.number(from, to);
        if !self.ranged || self.rng.random_bool(0.3) {
            return [likely; 3];
        }
        self.features.insert("a range of friction");
        let share = self.number(0.0, 1.0);
        let low = likely - share * (likely - from);
        [low, likely, likely + share * (to - likely)]
    }

    /// The next sheave of a pulley.
    pub fn sheave(&mut self, pulley: &str) -> Value {
        let number = self.sheaves.entry(pulley.to_owned()).or_insert(0);
        *number += 1;
        let sheave = *number;
        if self
            .friction
            .get(pulley)
            .is_none_or(|rub| rub.efficiency.is_none())
        {
            let efficiency = if self.rng.random_bool(0.05) {
                [1.0; 3]
            } else {
                self.rubbing(0.3, 1.0)
            };
            self.friction
                .entry(pulley.to_owned())
                .or_default()
                .efficiency = Some(efficiency);
        }
        json!({"meets": "sheave", "position": pulley, "sheave": sheave})
    }

    /// A sheave of a pulley on a body: of one that hangs there already, or of a new one.
    pub fn sheave_on(&mut self, body: &str) -> Value {
        let there = self.positions.iter();
        let there = there.filter(|position| {
            position["body"] == body && self.sheaves.contains_key(position["key"].as_str().unwrap())
        });
        let there: Vec<String> = there
            .map(|position| position["key"].as_str().unwrap().to_owned())
            .collect();
        let pulley = if there.is_empty() || self.rng.random_bool(0.4) {
            self.position("pulley", Some(body))
        } else {
            self.one_of(&there)
        };
        self.sheave(&pulley)
    }

    /// A post on a body, with the wrap that is asked for.
    pub fn post_on(&mut self, body: &str, wrap: f64) -> Value {
        let brake = self.position("descender", Some(body));
        let friction = self.rubbing(0.05, 0.5);
        self.friction.entry(brake.clone()).or_default().post = Some(friction);
        let off = self.rng.random_bool(0.3);
        self.features.insert("a post");
        if off {
            self.features
                .insert("a post that the rope is taken off for hauling");
        }
        json!({"meets": "post", "position": brake, "wrap_degrees": wrap, "off_in_hauling": off})
    }

    /// A clamp on a body that holds the rope one way.
    pub fn clamp_on(&mut self, body: &str) -> Value {
        let clamp = self.position("rope clamp", Some(body));
        json!({"meets": "capture", "position": clamp})
    }

    /// A grab on a body.
    pub fn grab_on(&mut self, body: &str) -> Value {
        let grab = self.position("rope clamp", Some(body));
        json!({"meets": "grab", "position": grab})
    }

    /// A made end at a body: at itself, or at a pulley that hangs there.
    pub fn end_on(&mut self, body: &str) -> Value {
        let knot = self.one_of(&["figure-eight", "bowline"]);
        let pulleys = self.positions.iter();
        let pulleys = pulleys.filter(|position| {
            position["body"] == body && self.sheaves.contains_key(position["key"].as_str().unwrap())
        });
        let pulleys: Vec<Value> = pulleys.map(|position| position["key"].clone()).collect();
        if pulleys.is_empty() || self.rng.random_bool(0.4) {
            return json!({"meets": "end", "body": body, "knot": knot});
        }
        let becket = self.rng.random_bool(0.7);
        if becket {
            self.features.insert("an end at a becket");
        }
        json!({"meets": "end", "position": self.one_of(&pulleys), "becket": becket, "knot": knot})
    }

    /// Ties a rope in.
    pub fn rope(&mut self, duty: &str, path: Vec<Value>) {
        let position = self.position("rope", None);
        self.ropes
            .push(json!({"position": position, "duty": duty, "path": path}));
    }

    /// Lets one sheave of the main ropes capture the rope, which may then stand still in lowering.
    pub fn capture_somewhere(&mut self) {
        let rope = self.rng.random_range(0..self.ropes.len());
        let path = self.ropes[rope]["path"].as_array_mut().unwrap();
        let mut sheaves: Vec<&mut Value> = path
            .iter_mut()
            .filter(|met| met["meets"] == "sheave")
            .collect();
        if sheaves.is_empty() {
            return;
        }
        let chosen = self.rng.random_range(0..sheaves.len());
        sheaves[chosen]["capture"] = json!(true);
        let position = sheaves[chosen]["position"].as_str().unwrap().to_owned();
        self.features.insert("a captured sheave");
        if self.rng.random_bool(0.5) {
            let friction = self.rubbing(0.05, 0.5);
            self.friction.get_mut(&position).unwrap().standing = Some(friction);
            self.features
                .insert("a captured sheave that stands still in lowering");
        }
    }

    /// Puts something in a list of the sheet: a chain, a bridle, a line, a tripod.
    pub fn list(&mut self, list: &'static str, entry: Value) {
        self.lists.entry(list).or_default().push(entry);
    }

    /// Whether a rope comes to a body at all.
    pub fn is_pulled(&self, body: &str) -> bool {
        let ropes = self.ropes.iter();
        let mut met = ropes.flat_map(|rope| rope["path"].as_array().unwrap());
        self.positions
            .iter()
            .any(|position| position["body"] == body)
            || met.any(|met| met["body"] == body)
    }

    /// Items that rope runs over on anchors.
    pub fn items_on_anchors(&self) -> Vec<String> {
        let anchors = self.anchors();
        let positions = self.positions.iter();
        let positions = positions.filter(|position| {
            anchors
                .iter()
                .any(|anchor| position["body"] == anchor.as_str())
        });
        positions
            .map(|position| position["key"].as_str().unwrap().to_owned())
            .collect()
    }

    /// How many sheaves and posts the ropes run over.
    pub fn passages(&self) -> usize {
        let met = self
            .ropes
            .iter()
            .flat_map(|rope| rope["path"].as_array().unwrap());
        met.filter(|met| met["meets"] == "sheave" || met["meets"] == "post")
            .count()
    }

    /// The sheet as a file would have it.
    pub fn sheet(&self) -> String {
        let mut sheet = json!({
            "key": "chance",
            "title": "A rig by chance",
            "when": "In a test.",
            "limits": [],
            "only_lowers": self.only_lowers,
            "body": self.bodies,
            "position": self.positions,
            "rope": self.ropes,
        });
        for (list, entries) in &self.lists {
            sheet[list] = json!(entries);
        }
        toml::to_string(&sheet).unwrap()
    }

    pub fn rig(&self) -> Result<Rig, RigError> {
        Rig::parse(&self.sheet())
    }
}

/// Items that rub so.
pub fn outfit(friction: &BTreeMap<String, Rub>) -> Outfit {
    let mut outfit = Outfit::default();
    let friction_of = |band: [f64; 3]| {
        let [low, likely, high] = band.map(|mu| Friction::from_coefficient(mu).unwrap());
        Band::new(low, likely, high).unwrap()
    };
    let source = || "chance".to_owned();
    for (position, rub) in friction {
        let mut item = Fitted::new("an item");
        if let Some(efficiency) = rub.efficiency {
            let [low, likely, high] = efficiency.map(|e| Efficiency::from_share(e).unwrap());
            let standing = rub.standing.map(|band| Turning::OneWay {
                friction: friction_of(band),
                source: source(),
            });
            item = item.with_wheel(Wheel {
                efficiency: Band::new(low, likely, high).unwrap(),
                source: source(),
                turning: standing.unwrap_or(Turning::Free),
            });
        }
        item.post = rub.post.map(|band| Post {
            friction: friction_of(band),
            source: source(),
        });
        outfit.fit(position, item);
    }
    outfit
}
