//! How a person likes to see things.

use serde::{Deserialize, Serialize};

use crate::rigging::{Force, digits, digits_up};

/// The units in which numbers are shown; they are kept as they were entered.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Units {
    /// kN, mm, m, kg.
    #[default]
    Metric,
    /// lbf, in, ft, lb.
    Us,
}

/// Light or dark.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Theme {
    /// As the machine says.
    #[default]
    System,
    /// Light.
    Light,
    /// Dark.
    Dark,
}

/// What a person has chosen.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Preference {
    /// The units.
    pub units: Units,
    /// The theme.
    pub theme: Theme,
}

impl Units {
    /// Every choice, in the order in which they are offered.
    pub const ALL: [Self; 2] = [Self::Metric, Self::Us];

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::Metric => "metric",
            Self::Us => "us",
        }
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|units| units.key() == key)
    }

    /// A force with three digits that count: "1.54 kN", "346 lbf".
    pub fn force(self, force: Force) -> String {
        match self {
            Self::Metric => force.to_string(),
            Self::Us => format!("{} lbf", digits(force.pounds_force(), 3)),
        }
    }

    /// The same rounded up: a force that would be enough.
    pub fn force_enough(self, force: Force) -> String {
        match self {
            Self::Metric => format!("{} kN", digits_up(force.kilonewtons(), 3)),
            Self::Us => format!("{} lbf", digits_up(force.pounds_force(), 3)),
        }
    }
}

impl Theme {
    /// Every choice, in the order in which they are offered.
    pub const ALL: [Self; 3] = [Self::System, Self::Light, Self::Dark];

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::System => "system",
            Self::Light => "light",
            Self::Dark => "dark",
        }
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|theme| theme.key() == key)
    }
}
