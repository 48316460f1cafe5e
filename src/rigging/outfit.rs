//! What is fitted at the positions of a rig: plain data that the caller fills from its records.
//!
//! Nothing here is checked beyond the quantities themselves; [`assess`](super::assess()) lists what is
//! missing.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Band, Efficiency, Force, Friction, Mass, Remaining};

/// How a part is loaded; a part has a rating of its own for each.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum LoadingMode {
    /// In a straight line, without a knot: rope between its ends, a sling end to end.
    Straight,
    /// A rope by an end that the maker made or prescribes, strength as the maker states it.
    Terminated,
    /// A connector along its long axis, gate closed and locked.
    MajorAxis,
    /// A connector along its long axis, gate open.
    GateOpen,
    /// A connector across its short axis.
    MinorAxis,
    /// A pulley by its attachment: everything that its sheaves and its becket put on it.
    Axle,
    /// The becket of a pulley, the eye for a rope's end.
    Becket,
    /// A sling round an anchor with both ends on the connector.
    Basket,
    /// A sling choked on itself round an anchor.
    Choked,
    /// The body of any other device: rope clamp, descender, anchor device, swivel, harness point.
    Body,
}

impl LoadingMode {
    /// Every mode, in the order that a list shows them.
    pub const ALL: [Self; 10] = [
        Self::Straight,
        Self::Terminated,
        Self::MajorAxis,
        Self::GateOpen,
        Self::MinorAxis,
        Self::Axle,
        Self::Becket,
        Self::Basket,
        Self::Choked,
        Self::Body,
    ];

    /// The word that files and forms use; the same as its serialized form.
    pub fn key(self) -> &'static str {
        match self {
            Self::Straight => "straight",
            Self::Terminated => "terminated",
            Self::MajorAxis => "major-axis",
            Self::GateOpen => "gate-open",
            Self::MinorAxis => "minor-axis",
            Self::Axle => "axle",
            Self::Becket => "becket",
            Self::Basket => "basket",
            Self::Choked => "choked",
            Self::Body => "body",
        }
    }

    /// The mode in words, to stand after "loaded".
    pub fn words(self) -> &'static str {
        match self {
            Self::Straight => "in a straight line",
            Self::Terminated => "with the end that its maker states, sewn or tied",
            Self::MajorAxis => "along the major axis, gate closed",
            Self::GateOpen => "along the major axis, gate open",
            Self::MinorAxis => "across the minor axis",
            Self::Axle => "by its axle and attachment",
            Self::Becket => "by its becket",
            Self::Basket => "in a basket",
            Self::Choked => "choked on itself",
            Self::Body => "as it is made to be used",
        }
    }
}

/// What a printed strength means. The kinds are never compared with each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum StrengthKind {
    /// Minimum breaking strength: what a new part held under test. Needs a safety factor.
    Breaking,
    /// A limit on the force in use, with the maker's own factor inside it.
    WorkingLimit,
    /// The load that the maker or an examiner allows to be carried with the device.
    RatedLoad,
}

impl StrengthKind {
    /// The word that files and forms use; the same as its serialized form.
    pub fn key(self) -> &'static str {
        match self {
            Self::Breaking => "breaking",
            Self::WorkingLimit => "working-limit",
            Self::RatedLoad => "rated-load",
        }
    }

    /// The kind in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Breaking => "breaking strength",
            Self::WorkingLimit => "working limit",
            Self::RatedLoad => "rated load",
        }
    }
}

/// One rating of a part, as marked or printed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Strength {
    /// How the part is loaded when the rating holds.
    pub mode: LoadingMode,
    /// What the number means.
    pub kind: StrengthKind,
    /// The rated force; a rated load given as a mass is its weight.
    pub force: Force,
    /// Where the number is from: the marking, a paper, a test.
    pub source: String,
    /// Whether a rated load is the mass of what may be carried with the part, and so says nothing of a peak.
    #[serde(default)]
    pub of_mass: bool,
}

/// What a fibre part is made of, as far as water matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Fibre {
    /// Rope or cord with polyamide in it, known as nylon.
    Polyamide,
    /// Rope or cord of any other fibre.
    Other,
    /// Rope or cord, but nobody wrote down of which fibre.
    Unknown,
    /// Sewn textile of whatever fibre: a harness, a sling, a lanyard. What is known of wet rope is not known of it.
    Sewn,
}

/// A reason why a part holds less than its rating.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Reduction {
    /// What takes strength away.
    pub kind: ReductionKind,
    /// The share of strength that is left.
    pub remaining: Remaining,
    /// Why it applies here, as a phrase: "figure eight at the becket".
    pub reason: String,
    /// Where the number is from.
    pub source: String,
}

/// What takes strength away.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum ReductionKind {
    /// A knot at the end.
    Knot,
    /// Water.
    Wet,
    /// Wear, as judged by an examination.
    Wear,
}

impl ReductionKind {
    /// The kind in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Knot => "knot",
            Self::Wet => "wet",
            Self::Wear => "wear",
        }
    }
}

/// How the sheaves of a pulley turn.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Wheel {
    /// The share of pull that is left after half a turn round a sheave.
    pub efficiency: Band<Efficiency>,
    /// How the efficiency is known.
    pub source: String,
    /// Whether the captured sheave turns both ways.
    pub turning: Turning,
}

/// Whether a sheave turns both ways.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", tag = "way")]
pub enum Turning {
    /// Both ways.
    Free,
    /// Both ways, beside a cam that captures the rope and is let go of for lowering.
    Cam,
    /// Only while hauling. In lowering the sheave stands still and the rope rubs round it.
    OneWay {
        /// The coefficient of friction of rope on the standing sheave.
        friction: Band<Friction>,
        /// How it is known.
        source: String,
    },
}

/// A post, bar or brake that the rope rubs round and that never turns.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Post {
    /// The coefficient of friction of rope on the post.
    pub friction: Band<Friction>,
    /// How it is known.
    pub source: String,
}

/// One item at one position, or what the caller assumes will hang there.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Fitted {
    /// How people call the item; shown in every line about it.
    pub label: String,
    /// Its ratings.
    pub strengths: Vec<Strength>,
    /// For a pulley: how its sheaves turn.
    pub wheel: Option<Wheel>,
    /// For a brake, post or bar: how it rubs.
    pub post: Option<Post>,
    /// For a part made of fibre: which. `None` for metal.
    pub fibre: Option<Fibre>,
    /// The approval that stands in the place of a rating by its body, where none is known and whoever judges asks for no
    /// number. The item is then in no check, and the answer names it.
    #[serde(default)]
    pub by_approval: Option<String>,
    /// Wear and whatever else an examination took off, each with reason and source. Knots and water
    /// are worked out from the rig and the conditions.
    pub wear: Vec<Reduction>,
    /// Whether this is no item but what is taken where there is none: it holds whatever hangs on it, rubs nowhere and is in
    /// no check.
    #[serde(skip)]
    pub stands_in: bool,
}

impl Fitted {
    /// An item with a name and nothing known of it yet.
    pub fn new(label: impl Into<String>) -> Self {
        Self {
            label: label.into(),
            ..Self::default()
        }
    }

    /// What is taken where there is no item yet: whatever is put there rubs no less.
    ///
    /// # Panics
    /// Never: both numbers are at the ends of what their quantities allow.
    pub fn stand_in() -> Self {
        let source = "nothing is there yet";
        let efficiency = Efficiency::from_share(1.0).expect("all of it is a share");
        let friction = Friction::from_coefficient(0.0).expect("none is a friction");
        Self {
            wheel: Some(Wheel {
                efficiency: Band::exactly(efficiency),
                source: source.to_owned(),
                turning: Turning::Cam,
            }),
            post: Some(Post {
                friction: Band::exactly(friction),
                source: source.to_owned(),
            }),
            stands_in: true,
            ..Self::default()
        }
    }

    /// Adds a rating.
    #[must_use]
    pub fn rated(
        mut self,
        mode: LoadingMode,
        kind: StrengthKind,
        force: Force,
        source: impl Into<String>,
    ) -> Self {
        self.strengths.push(Strength {
            mode,
            kind,
            force,
            source: source.into(),
            of_mass: false,
        });
        self
    }

    /// Adds the mass that may be carried with it.
    #[must_use]
    pub fn carrying(mut self, mode: LoadingMode, mass: Mass, source: impl Into<String>) -> Self {
        self.strengths.push(Strength {
            mode,
            kind: StrengthKind::RatedLoad,
            force: mass.weight(),
            source: source.into(),
            of_mass: true,
        });
        self
    }

    /// Says how the sheaves turn.
    #[must_use]
    pub fn with_wheel(mut self, wheel: Wheel) -> Self {
        self.wheel = Some(wheel);
        self
    }
}

/// The items on the positions of a rig, by the key of the position.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Outfit {
    fitted: BTreeMap<String, Fitted>,
}

impl Outfit {
    /// Puts an item on a position; what was there before is given back.
    pub fn fit(&mut self, position: impl Into<String>, item: Fitted) -> Option<Fitted> {
        self.fitted.insert(position.into(), item)
    }

    /// The item on a position.
    pub fn at(&self, position: &str) -> Option<&Fitted> {
        self.fitted.get(position)
    }

    /// The item on a position; none where something only stands in for one.
    pub(super) fn item_at(&self, position: &str) -> Option<&Fitted> {
        self.at(position).filter(|item| !item.stands_in)
    }

    /// Every filled position with its item, sorted by key.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &Fitted)> {
        self.fitted.iter().map(|(key, item)| (key.as_str(), item))
    }
}
