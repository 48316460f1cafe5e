//! What follows where something happened to a thing: data, every rule with its source.

use std::sync::LazyLock;

use serde::{Deserialize, Serialize};

use super::{Cited, EventKind, Kind, Known, Material, Model};

/// What follows, the stricter the later.
#[derive(
    Clone,
    Copy,
    Debug,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    Serialize,
    Deserialize,
    utoipa::ToSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    /// Held until an after-event examination finds it fit and somebody returns it.
    Examine,
    /// Out of use for good.
    Retire,
}

impl Outcome {
    /// The words for people: what happens to the item.
    pub fn word(self) -> &'static str {
        match self {
            Self::Examine => "goes to quarantine and needs an after-event examination",
            Self::Retire => "is retired for good",
        }
    }
}

/// One rule: what follows, why, and where that is from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Consequence {
    happened: Vec<EventKind>,
    #[serde(default)]
    kinds: Vec<Kind>,
    #[serde(default)]
    materials: Vec<Material>,
    /// Only where the maker says how many falls it may hold, or only where the maker does not.
    falls_counted: Option<bool>,
    /// What follows.
    pub outcome: Outcome,
    /// Why.
    pub why: String,
    /// What the after-event examination has to answer; may be empty.
    #[serde(default)]
    pub asks: String,
    /// Where it is from.
    pub from: Cited,
}

impl Consequence {
    fn meets(&self, happened: EventKind, model: &Model) -> bool {
        self.happened.contains(&happened)
            && (self.kinds.is_empty() || self.kinds.contains(&model.kind))
            && (self.materials.is_empty() || self.materials.contains(&model.material))
            && self
                .falls_counted
                .is_none_or(|counted| counted == model.use_limit.falls.is_some())
    }
}

/// All that the rules say of an event and a thing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Consequences {
    /// What follows: the strictest of all.
    pub outcome: Outcome,
    /// The rules that say so, the particular ones first.
    pub because: Vec<&'static Consequence>,
    /// The rules that ask less.
    pub otherwise: Vec<&'static Consequence>,
}

impl Consequences {
    /// What the event keeps: the outcome and the first rule behind it.
    pub fn follows(&self) -> Follows {
        let first = self.because.first();
        Follows {
            outcome: self.outcome,
            rule: first.map_or_else(unmet, |rule| rule.from.clone()),
        }
    }

    /// What the after-event examination has to answer.
    pub fn asks(&self) -> impl Iterator<Item = &'static str> {
        let rules = self.because.iter();
        rules
            .map(|rule| rule.asks.as_str())
            .filter(|asks| !asks.is_empty())
    }
}

/// What followed from an event, as it was when it was reported.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
pub struct Follows {
    /// What followed.
    pub outcome: Outcome,
    /// The rule behind it.
    pub rule: Cited,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Sheet {
    rule: Vec<Consequence>,
}

static RULES: LazyLock<Vec<Consequence>> = LazyLock::new(|| {
    let sheet: Sheet = toml::from_str(include_str!("event/consequence.toml"))
        .expect("a test reads the sheet that comes with the program");
    sheet.rule
});

/// What follows if this happened to an item of the model. Where sources differ the strictest holds.
pub fn consequences(happened: EventKind, model: &Model) -> Consequences {
    let mut met: Vec<&'static Consequence> = RULES
        .iter()
        .filter(|rule| rule.meets(happened, model))
        .collect();
    // A rule for everything says least.
    met.sort_by_key(|rule| {
        (
            rule.kinds.is_empty() && rule.materials.is_empty(),
            rule.happened.len(),
        )
    });
    let outcome = met.iter().map(|rule| rule.outcome).max();
    let outcome = outcome.unwrap_or(Outcome::Examine);
    let (because, otherwise) = met.into_iter().partition(|rule| rule.outcome == outcome);
    Consequences {
        outcome,
        because,
        otherwise,
    }
}

fn unmet() -> Cited {
    Cited::new(
        "rule of this register: what nothing is known of is looked at",
        Known::Setting,
    )
}
