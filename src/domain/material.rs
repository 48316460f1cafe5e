//! What things are made of, as far as their life and what they must hold are concerned.

use serde::{Deserialize, Serialize};

use super::{Kind, Model};

/// What a thing is made of, as far as its life is concerned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Material {
    /// Rope, webbing, stitching.
    Textile,
    /// Shells, cradles, plastic parts that carry.
    Plastic,
    /// Steel and light alloys.
    Metal,
}

/// What stands beside what follows from a material that nobody wrote down.
const TAKEN: &str = "material not on record; taken as";

impl Material {
    /// All materials.
    pub const ALL: [Self; 3] = [Self::Textile, Self::Plastic, Self::Metal];

    /// The word for people and programs.
    pub fn key(self) -> &'static str {
        match self {
            Self::Textile => "textile",
            Self::Plastic => "plastic",
            Self::Metal => "metal",
        }
    }

    /// Reads the word.
    pub fn from_key(key: &str) -> Option<Self> {
        let key = key.trim().to_lowercase();
        Self::ALL.into_iter().find(|material| material.key() == key)
    }
}

impl Kind {
    /// Whether things of the kind are made of textile, of plastic or of metal, so that the kind alone does not tell: a
    /// strap and a beam clamp are both anchor devices. What nobody wrote down is then taken at the cautious end, by
    /// [`Kind::material`].
    ///
    /// Common practice, no source.
    pub fn is_of_several_materials(self) -> bool {
        matches!(
            self,
            Self::BackUpDevice
                | Self::Sling
                | Self::Lanyard
                | Self::AnchorDevice
                | Self::Litter
                | Self::EdgeProtector
        )
    }
}

impl Model {
    /// What it is made of: "metal", or that nobody wrote it down and what is taken in its place.
    pub fn made_of(&self) -> String {
        self.material_taken()
            .unwrap_or_else(|| self.material.key().to_owned())
    }

    /// That nobody wrote down what it is made of, to stand beside what follows from it; none where it is on record.
    pub fn material_taken(&self) -> Option<String> {
        self.material_open
            .then(|| format!("{TAKEN} {}", self.material.key()))
    }
}
