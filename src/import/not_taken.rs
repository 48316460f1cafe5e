//! What a list says of a model that the register has, and the register does not: an import changes no model, so it is told
//! with its rows, and with what the register has in its place.

use super::against::{NUMBERS, of_standard, other_standard, rated};
use super::approvals::title;
use super::assemble::Assembly;
use super::fate::RemarkKind;
use super::field::{Field, attributes_named};
use super::grouping::Group;
use super::heading::shortened;
use super::question::lower_first;
use super::remark::Remarks;
use crate::domain::date::write_day;
use crate::domain::rulebook::same_standard;
use crate::domain::{Model, ModelDraft};

/// One thing that the register does not have of a model: the field, what the list says, and what the register has there;
/// empty where it has nothing.
struct More {
    field: Field,
    ours: String,
    theirs: String,
}

impl More {
    fn kind(&self) -> RemarkKind {
        match self.field {
            // By what it is approved to and what it holds it goes onto a job.
            Field::Standard | Field::Strength(..) | Field::RatedLoad => RemarkKind::LookAt,
            _ => RemarkKind::Other,
        }
    }
}

fn more(draft: &ModelDraft, model: &Model) -> Vec<More> {
    let kept = model.draft();
    let nothing = |field, ours: &str| More {
        field,
        ours: ours.to_owned(),
        theirs: String::new(),
    };
    let mut found = Vec::new();
    for ours in &draft.ratings {
        let mut theirs = kept.ratings.iter();
        if !theirs.any(|theirs| theirs.mode == ours.mode && theirs.kind == ours.kind) {
            found.extend(rated(ours, model).map(|field| nothing(field, &ours.value)));
        }
    }
    for (key, ours) in &draft.attributes {
        if !kept.attributes.contains_key(key)
            && let Some(attribute) = attributes_named(key).find(|one| !one.is_confirmation())
        {
            found.push(nothing(Field::Attribute(attribute.key), ours));
        }
    }
    for ours in &draft.approvals {
        let mut theirs = kept.approvals.iter();
        if theirs.any(|theirs| same_standard(&theirs.standard, &ours.standard)) {
            let numbers = NUMBERS.iter().filter(|(_, number)| {
                !number(ours).is_empty() && of_standard(&kept, ours, *number).is_empty()
            });
            found.extend(numbers.map(|(field, number)| nothing(*field, number(ours))));
        } else if other_standard(&kept, draft).is_none() {
            let theirs: Vec<String> = kept.approvals.iter().map(title).collect();
            found.push(More {
                theirs: theirs.join(" and "),
                ..nothing(Field::Standard, &title(ours))
            });
        }
    }
    if !draft.price.is_empty() && draft.price != kept.price {
        found.push(More {
            theirs: kept.price.clone(),
            ..nothing(Field::Price, &draft.price)
        });
    }
    found
}

impl Assembly<'_> {
    /// Tells what the rows of a model say of it and the register does not have.
    pub(super) fn tell_not_taken(&mut self, group: &Group, model: &Model) {
        let rows: Vec<u32> = group.numbers.iter().copied().collect();
        for one in more(&group.draft(&mut Remarks::default()), model) {
            let kind = one.kind();
            let said = group.said.get(&one.field).into_iter().flatten();
            let said: Vec<u32> = said.flat_map(|one| one.rows.iter().copied()).collect();
            let sentence = not_taken(&one, model);
            let rows = if said.is_empty() { &rows } else { &said };
            self.remarks.add_rows(kind, rows, &sentence);
        }
    }

    /// Says in the notes of items that come in which standards the list names of them and the register does not have of their
    /// model: by those they go onto a job.
    pub(super) fn note_standards(&mut self, group: &Group, model: &Model) {
        for one in more(&group.draft(&mut Remarks::default()), model) {
            if one.field != Field::Standard {
                continue;
            }
            let doubt = format!(
                "The list of {} says {} as standard; the register has {} for the model.",
                write_day(self.today),
                one.ours,
                if one.theirs.is_empty() {
                    "none"
                } else {
                    &one.theirs
                }
            );
            let said = group.said.get(&one.field).into_iter().flatten();
            let said: Vec<u32> = said.flat_map(|one| one.rows.iter().copied()).collect();
            let all = group.numbers.iter().copied().collect();
            for row in if said.is_empty() { all } else { said } {
                self.doubts.entry(row).or_default().push(doubt.clone());
            }
        }
    }

    /// What the rows of items that are there already say of their model otherwise than the register: asked where the list
    /// updates them, and else told.
    pub(super) fn of_there(&mut self, group: &Group, model: &Model) {
        self.tell_not_taken(group, model);
        if self.answers.update {
            self.note_standards(group, model);
            return self.settle_there(group, model);
        }
        for (field, (theirs, said)) in group.against_register(model) {
            for (ours, rows) in said {
                let theirs = theirs.clone();
                let one = More {
                    field,
                    ours,
                    theirs,
                };
                self.remarks
                    .add_rows(one.kind(), &rows, &not_taken(&one, model));
            }
        }
    }
}

fn not_taken(one: &More, model: &Model) -> String {
    let field = lower_first(&one.field.label()).replace(", loaded as usual", "");
    let theirs = if one.theirs.is_empty() {
        "nothing"
    } else {
        &one.theirs
    };
    format!(
        "The list says {} as {field} of {}; the register has {theirs} there. It stays as it is in the register: where the list is right, revise the record of the model.",
        shortened(&one.ours),
        shortened(&model.title())
    )
}
