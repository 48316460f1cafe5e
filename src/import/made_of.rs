//! Of what a model is made where its kind of gear may be of textile or of metal, and no word of the list says it.

use super::assemble::Assembly;
use super::field::Field;
use super::grouping::Group;
use super::question::Question;
use crate::domain::{Kind, Material};

/// The answer that nobody knows it.
const UNKNOWN: &str = "not-known";

/// Whether it is asked of what gear of a kind is made: both are usual, and metal is held to less.
fn is_asked(kind: Kind) -> bool {
    kind == Kind::AnchorDevice
}

impl Assembly<'_> {
    /// Asks of what a model is made. While nobody says it, its record stays without, and textile is taken.
    pub(super) fn ask_material(&mut self, group: &mut Group) {
        let is_said = group.values.contains_key(&Field::Material)
            || group.unread.contains_key(&Field::Material);
        if !is_asked(group.kind) || is_said {
            return;
        }
        let title = group.title();
        let said = self.answers.word(Field::Material, &title);
        let known = Material::ALL.iter().find(|one| said == Some(one.key()));
        if let Some(material) = known {
            let said = (material.key().to_owned(), group.first_row);
            group.values.insert(Field::Material, said);
        }
        if said.is_none() {
            self.open.push(Question::Word {
                field: Field::Material,
                word: title,
                rows: group.rows,
                first_row: group.first_row,
                doubts: None,
                refused: None,
            });
        }
    }
}

/// What is asked of a model.
pub(super) fn sentence(model: &str, rows: &str) -> String {
    format!(
        "Of what is {model} made ({rows})? Neither its name nor its remarks say it. While it stays open textile is taken, which is held to more strength and to a life in years."
    )
}

/// What can be said.
pub(super) fn choices() -> Vec<(String, String)> {
    let known = Material::ALL.iter();
    let words = |one: &Material| match one {
        Material::Textile => "Textile: webbing, strap, cord",
        Material::Plastic => "Plastic",
        Material::Metal => "Metal: steel, aluminium",
    };
    let known = known.map(|one| (one.key().to_owned(), words(one).to_owned()));
    let unknown = "Not known: textile is taken until somebody has looked";
    known
        .chain([(UNKNOWN.to_owned(), unknown.to_owned())])
        .collect()
}
