//! For which load a job is planned: one person, two at once, or a rescue.
//!
//! The case says how many people hang on the rope, which a mass alone does not tell: what a rulebook asks for each
//! further person, and for how many a device is approved, goes by it.

use serde::{Deserialize, Serialize};

use super::{FieldErrors, Load};

/// For which load a job is planned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum LoadCase {
    /// One person with kit.
    OnePerson,
    /// Two people at once.
    TwoPersons,
    /// A casualty and a rescuer.
    Rescue,
}

impl LoadCase {
    /// Every case, in the order in which they are offered.
    pub const ALL: [Self; 3] = [Self::OnePerson, Self::TwoPersons, Self::Rescue];

    /// The word for programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::OnePerson => "one-person",
            Self::TwoPersons => "two-persons",
            Self::Rescue => "rescue",
        }
    }

    /// The words for people.
    pub fn word(self) -> &'static str {
        match self {
            Self::OnePerson => "one person",
            Self::TwoPersons => "two people at once",
            Self::Rescue => "rescue: a casualty and a rescuer",
        }
    }

    /// Reads the word for programs.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|case| case.key() == key.trim())
    }

    /// How many hang on the rope.
    pub fn people(self) -> u8 {
        match self {
            Self::OnePerson => 1,
            Self::TwoPersons | Self::Rescue => 2,
        }
    }

    /// The load of this case where none is typed in: each of them with the mass that the rulebook plans with.
    pub fn load(self) -> Load {
        Load::Persons(self.people())
    }

    /// Holds a load that counts people against the case; a mass goes with every case.
    pub(super) fn goes_with(self, load: Load, wrong: &mut FieldErrors) {
        if let Load::Persons(count) = load
            && count != self.people()
        {
            let asked = self.load();
            let why = format!(
                "This job is planned for {}, so that {asked} hang on the rope, not {load}: change one of them, or leave the load empty.",
                self.word()
            );
            wrong.add("load", "range", why);
        }
    }
}
