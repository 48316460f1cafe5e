//! The life that a maker states: asked of models of textile where the list has no word of it.

use super::assemble::Assembly;
use super::field::Field;
use super::grouping::Group;
use super::question::Question;
use crate::domain::Material;

/// The two ways in which makers state a life in years.
const LIVES: [Field; 2] = [Field::LifeFromMade, Field::LifeFromFirstUse];
/// The most years that a record takes.
const MOST: u16 = 60;

impl Assembly<'_> {
    /// Asks for the life that the maker of a textile states. It may stay open.
    pub(super) fn ask_life(&mut self, group: &Group) {
        let material = group.text(Field::Material);
        let is_textile = if material.is_empty() {
            group.kind.material() == Material::Textile
        } else {
            material == Material::Textile.key()
        };
        if !is_textile || group.is_known || group.kind.is_beside_the_rig() {
            return;
        }
        for field in LIVES {
            let is_said = group.values.contains_key(&field) || group.unread.contains_key(&field);
            if !is_said {
                self.open.push(Question::Life {
                    model: group.title(),
                    field,
                    rows: group.rows,
                    first_row: group.first_row,
                });
            }
        }
    }
}

/// What is asked of a model.
pub(super) fn sentence(model: &str, field: Field, rows: &str) -> String {
    let from = match field {
        Field::LifeFromFirstUse => "from the first use",
        _ => "from the day it was made",
    };
    format!(
        "How many years does the maker let {model} live {from} ({rows})? Empty where the maker says nothing of it: then the team's rulebook has the say, for textiles most often 10 years from the day made."
    )
}

/// Why a text is no life in years; nothing if it is.
pub(super) fn wrong(text: &str) -> Option<(&'static str, String)> {
    let years = text.trim().parse::<u16>();
    let holds = years.is_ok_and(|years| (1..=MOST).contains(&years));
    (!holds).then(|| {
        let message = format!(
            "Write whole years from 1 to {MOST}, such as 10; \"{}\" is none of them.",
            text.trim()
        );
        ("range", message)
    })
}
