//! The kinds of gear, and what is asked of each.
//!
//! A new kind is a new line in `kinds!` and, where it has more to say than ratings and approvals,
//! an arm in [`Kind::attributes`]; forms, import, export and API follow from here.

use serde::{Deserialize, Serialize};

use super::Material;
use super::attribute::{Attribute, Takes, Where};
use crate::rigging::LoadingMode;

macro_rules! kinds {
    ($( $(#[$doc:meta])* $name:ident, $key:literal, $word:literal, [$($also:literal),*], $material:ident, [$($mode:ident),*]; )+) => {
        /// A kind of gear.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, utoipa::ToSchema)]
        #[serde(rename_all = "kebab-case")]
        pub enum Kind {
            $( $(#[$doc])* $name, )+
        }

        impl Kind {
            /// All kinds, in the order in which they are offered.
            pub const ALL: &'static [Self] = &[$(Self::$name),+];

            /// The word for programs.
            pub fn key(self) -> &'static str {
                match self { $(Self::$name => $key,)+ }
            }

            /// The word for people.
            pub fn word(self) -> &'static str {
                match self { $(Self::$name => $word,)+ }
            }

            /// What the kind is usually made of; of a kind that is of several materials the one that is judged most
            /// cautiously.
            pub fn material(self) -> Material {
                match self { $(Self::$name => Material::$material,)+ }
            }

            /// The ways in which the kind is loaded and so may be rated, the usual one first.
            pub fn modes(self) -> &'static [LoadingMode] {
                match self { $(Self::$name => &[$(LoadingMode::$mode),*],)+ }
            }

            /// Reads the word for programs, the word for people, or a usual other word.
            pub fn from_word(text: &str) -> Option<Self> {
                let text = text.trim().to_lowercase().replace([' ', '_'], "-");
                match text.as_str() {
                    $($key $(| $also)* => Some(Self::$name),)+
                    _ => None,
                }
            }
        }
    };
}

kinds! {
    /// Kernmantle or laid rope.
    Rope, "rope", "rope", ["ropes", "kernmantle"], Textile, [Straight, Terminated];
    /// Accessory cord.
    Cord, "cord", "cord", ["accessory-cord"], Textile, [Straight];
    /// Single or multiple pulley, with or without progress capture.
    Pulley, "pulley", "pulley", ["pulleys", "block"], Metal, [Axle, Becket, Body];
    /// Ascender, rope clamp or rope grab.
    RopeClamp, "rope-clamp", "rope clamp", ["ascender", "rope-grab", "grab", "clamp"], Metal, [Body];
    /// Carabiner, screwed link, snap hook.
    Connector, "connector", "connector", ["carabiner", "karabiner", "screwed-link", "screw-link"], Metal, [MajorAxis, GateOpen, MinorAxis];
    /// Descender, brake or other descent control.
    Descender, "descender", "descender", ["brake", "descent-control"], Metal, [Body];
    /// Follows a person on the safety line.
    BackUpDevice, "back-up-device", "back-up device", ["backup-device", "back-up"], Textile, [Body];
    /// Sewn or knotted sling or webbing.
    Sling, "sling", "sling", ["webbing", "strop"], Textile, [Straight, Basket, Choked];
    /// Lanyard, with or without an energy absorber.
    Lanyard, "lanyard", "lanyard", ["absorber", "energy-absorber"], Textile, [Straight];
    /// Harness.
    Harness, "harness", "harness", [], Textile, [Body];
    /// Anchor strap, anchor plate, beam clamp.
    AnchorDevice, "anchor-device", "anchor device", ["anchor", "anchor-strap"], Textile, [Body, Straight, Basket, Choked];
    /// Stretcher for a casualty.
    Litter, "litter", "litter", ["stretcher"], Textile, [Body];
    /// Tripod, quadpod or davit.
    Tripod, "tripod", "tripod", ["davit", "portable-anchor", "quadpod"], Metal, [Body];
    /// Helmet.
    Helmet, "helmet", "helmet", [], Plastic, [];
    /// Swivel.
    Swivel, "swivel", "swivel", [], Metal, [Body];
    /// Rigging plate.
    RiggingPlate, "rigging-plate", "rigging plate", ["plate"], Metal, [Body];
    /// Keeps rope off an edge: pad, sleeve, roller.
    EdgeProtector, "edge-protector", "edge protector", ["edge-roller", "edge-pad", "edge-protection", "rope-protector"], Textile, [];
    /// What a team takes along beside: bags, tools, lamps, first aid.
    OtherEquipment, "other-equipment", "other equipment", ["other"], Metal, [];
}

impl Kind {
    /// What is written down about this kind beside its ratings and approvals.
    pub fn attributes(self) -> &'static [Attribute] {
        match self {
            Self::Rope => ROPE,
            Self::Cord => CORD,
            Self::Pulley => PULLEY,
            Self::RopeClamp => ROPE_CLAMP,
            Self::Connector => CONNECTOR,
            Self::Descender => DESCENDER,
            Self::BackUpDevice => BACK_UP,
            Self::Sling => SLING,
            Self::Lanyard => LANYARD,
            Self::Harness => HARNESS,
            Self::AnchorDevice => ANCHOR,
            Self::Litter => LITTER,
            Self::Tripod => TRIPOD,
            Self::Helmet => HELMET,
            Self::Swivel => SWIVEL,
            Self::RiggingPlate => PLATE,
            Self::EdgeProtector => EDGE_PROTECTOR,
            Self::OtherEquipment => OTHER,
        }
    }

    /// Whether it is loaded at all. Of what is not, nobody asks whether its maker allows it for holding people.
    pub fn is_loaded(self) -> bool {
        !self.modes().is_empty()
    }

    /// Whether it is used beside the rig: nobody wears it and nothing hangs on it, so that it stands at no position,
    /// and no approval, strength or serial is asked of it. It may be taken along.
    pub fn is_beside_the_rig(self) -> bool {
        matches!(self, Self::EdgeProtector | Self::OtherEquipment)
    }

    /// Whether it is used only once it has passed a thorough examination. A bag or a lamp is examined where a team
    /// wants it; what keeps a rope from being cut is.
    pub fn is_examined_first(self) -> bool {
        self != Self::OtherEquipment
    }

    /// One of this kind, to stand in a sentence: "an anchor device", "a pulley".
    pub fn one(self) -> String {
        let word = self.word();
        if self == Self::OtherEquipment {
            return format!("a piece of {word}");
        }
        let article = if word.starts_with(['a', 'e', 'i', 'o', 'u']) {
            "an"
        } else {
            "a"
        };
        format!("{article} {word}")
    }

    /// The attribute of this kind with the key, if it has one.
    pub fn attribute(self, key: &str) -> Option<&'static Attribute> {
        self.attributes()
            .iter()
            .find(|attribute| attribute.key == key)
    }
}

/// The kinds of rope that devices tell apart.
pub(super) const ROPE_KINDS: &[&str] = &["low-stretch", "static", "dynamic"];
const FIBRES: &[&str] = &[
    "polyamide",
    "polyester",
    "polyamide-polyester",
    "aramid",
    "polyethylene",
];

const fn model(key: &'static str, label: &'static str, takes: Takes) -> Attribute {
    Attribute {
        key,
        label,
        takes,
        on: Where::Model,
    }
}

const fn item(key: &'static str, label: &'static str, takes: Takes) -> Attribute {
    Attribute {
        key,
        label,
        takes,
        on: Where::Item,
    }
}

const ROPE: &[Attribute] = &[
    model("diameter", "Nominal diameter", Takes::Length),
    model("rope-kind", "Rope kind", Takes::Choice(ROPE_KINDS)),
    model(
        "construction",
        "Construction",
        Takes::Choice(&["kernmantle", "laid", "braided"]),
    ),
    model("rope-class", "Type or class letter", Takes::Text),
    model("fibre", "Fibre", Takes::Choice(FIBRES)),
    model("mass-per-metre", "Mass of a metre in grams", Takes::Number),
    model("elongation", "Elongation in %", Takes::Number),
    model(
        "elongation-test",
        "How the elongation was measured",
        Takes::Choice(&["50-to-150-kg", "tenth-of-strength"]),
    ),
    item("length-new", "Length when new", Takes::Length),
    item(
        "length-new-confirmed",
        "Length when new that is really so",
        Takes::Length,
    ),
    item("length", "Length now", Takes::Length),
    item("length-confirmed", REALLY_SO, Takes::Length),
    item("end-marks", "Marks on the ends", Takes::Text),
];
const CORD: &[Attribute] = &[
    model("diameter", "Diameter", Takes::Length),
    model("fibre", "Fibre", Takes::Choice(FIBRES)),
    item("length", "Length now", Takes::Length),
    item("length-confirmed", REALLY_SO, Takes::Length),
];
const PULLEY: &[Attribute] = &[
    model("sheaves", "Number of sheaves", Takes::Count),
    model("sheave-diameter", "Sheave diameter", Takes::Length),
    model(
        "bearing",
        "Bearing",
        Takes::Choice(&["ball", "needle", "bush", "plain"]),
    ),
    model(
        "efficiency",
        "Efficiency of a sheave (0 to 1)",
        Takes::Share,
    ),
    model(
        "efficiency-confirmed",
        "Efficiency that is really so",
        Takes::Share,
    ),
    model("efficiency-low", "Efficiency, low end", Takes::Share),
    model("efficiency-high", "Efficiency, high end", Takes::Share),
    model(
        "efficiency-source",
        "How the efficiency is known",
        Takes::Choice(&["maker", "measured", "assumed"]),
    ),
    model("becket", "Becket", Takes::YesNo),
    model(
        "side-plates",
        "Side plates",
        Takes::Choice(&["fixed", "swinging", "locking"]),
    ),
    model("capture", "Progress capture", Takes::YesNo),
    model(
        "one-way-sheave",
        "With the capture held open: does the wheel stand still when rope is pulled through backwards?",
        Takes::YesNo,
    ),
    FRICTION,
    FRICTION_LOW,
    FRICTION_HIGH,
    model(
        "changeover",
        "Goes from haul to lower without rebuilding",
        Takes::YesNo,
    ),
];
/// How rope rubs on a sheave that stands still, on a post or on a brake.
const FRICTION: Attribute = model(
    "friction",
    "Friction of rope where it stands still",
    Takes::Number,
);
const FRICTION_LOW: Attribute = model("friction-low", "Friction, low end", Takes::Number);
const FRICTION_HIGH: Attribute = model("friction-high", "Friction, high end", Takes::Number);
const ROPE_CLAMP: &[Attribute] = &[
    model(
        "handed",
        "Handed",
        Takes::Choice(&["left", "right", "either"]),
    ),
    model(
        "grip",
        "Grip",
        Takes::Choice(&["toothed-cam", "smooth-cam", "shell"]),
    ),
];
const CONNECTOR: &[Attribute] = &[
    model("connector-class", "Class letter", Takes::Text),
    model(
        "locking",
        "Locking",
        Takes::Choice(&["screw", "twist", "triple", "none"]),
    ),
    model("gate-opening", "Gate opening", Takes::Length),
    model("captive-bar", "Captive bar", Takes::YesNo),
];
/// The label of what confirms a length.
const REALLY_SO: &str = "Length that is really so";
const BELAYS: Attribute = model(
    "belays",
    "Does its maker let it belay somebody else, at an anchor?",
    Takes::YesNo,
);
const DESCENDER: &[Attribute] = &[
    model("device-type", "Type letter", Takes::Text),
    model("rated-load-least", "Smallest rated load", Takes::Mass),
    model("persons", "Persons at once", Takes::Count),
    model("panic-stop", "Panic stop", Takes::YesNo),
    model("descent-limit", "Longest descent", Takes::Length),
    model("energy-class", "Energy class", Takes::Text),
    BELAYS,
    FRICTION,
    FRICTION_LOW,
    FRICTION_HIGH,
];
const BACK_UP: &[Attribute] = &[
    model("arrest-limit", "Arrest force at most", Takes::Force),
    BELAYS,
];
const SLING: &[Attribute] = &[
    model("width", "Width or diameter", Takes::Length),
    model(
        "made-how",
        "Made how",
        Takes::Choice(&["sewn", "knotted", "wire", "chain"]),
    ),
    item("length", "Length", Takes::Length),
    item("length-confirmed", REALLY_SO, Takes::Length),
];
const LANYARD: &[Attribute] = &[
    model("length", "Length with connectors", Takes::Length),
    model("length-confirmed", REALLY_SO, Takes::Length),
    model("end-fittings", "End fittings", Takes::Text),
    model("arrest-limit", "Arrest force at most", Takes::Force),
    item(
        "tear-pack",
        "Tear pack",
        Takes::Choice(&["whole", "opened", "none"]),
    ),
];
const HARNESS: &[Attribute] = &[
    model(
        "attachment-points",
        "Attachment points and their use",
        Takes::Text,
    ),
    model(
        "rescue-point",
        "Point for lifting a person out",
        Takes::Choice(&["back", "shoulders", "chest", "front", "none"]),
    ),
    item("size", "Size", Takes::Text),
];
const ANCHOR: &[Attribute] = &[
    model("anchor-type", "Type letter", Takes::Text),
    model("users", "Users at once", Takes::Count),
    model("directions", "Directions allowed", Takes::Text),
    item("last-proof", "Last proof load", Takes::Force),
    item("length", "Length", Takes::Length),
    item("length-confirmed", REALLY_SO, Takes::Length),
];
const LITTER: &[Attribute] = &[model("lift-points", "Lift points", Takes::Count)];
const TRIPOD: &[Attribute] = &[
    model("anchor-type", "Type letter", Takes::Text),
    model("users", "Users at once", Takes::Count),
    model("height", "Height under the head", Takes::Length),
    model("directions", "Directions allowed", Takes::Text),
    item("last-proof", "Last proof load", Takes::Force),
];
const HELMET: &[Attribute] = &[
    model(
        "chin-strap",
        "Chin strap",
        Takes::Choice(&["releases", "holds", "switchable"]),
    ),
    item("size", "Size", Takes::Text),
];
const SWIVEL: &[Attribute] = &[model(
    "bearing",
    "Bearing",
    Takes::Choice(&["ball", "bush"]),
)];
const PLATE: &[Attribute] = &[model("holes", "Number of holes", Takes::Count)];
const EDGE_PROTECTOR: &[Attribute] = &[
    model(
        "protector",
        "Kind of edge protector",
        Takes::Choice(&["pad", "sleeve", "roller", "corner"]),
    ),
    item("length", "Length", Takes::Length),
];
const OTHER: &[Attribute] = &[model("purpose", "What it is used for", Takes::Text)];
