//! A model of the file against the same model in the register.

use super::approvals::title;
use super::field::Field;
use super::field::attributes_named;
use super::rope_uses;
use crate::domain::entered::EnteredForce;
use crate::domain::rulebook::{same_class, same_standard};
use crate::domain::{ApprovalDraft, Model, ModelDraft, RatingDraft, fold};
use crate::rigging::{LoadingMode, StrengthKind};

/// What file and register say otherwise of one field of a model.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Other {
    pub(super) field: Field,
    pub(super) ours: String,
    pub(super) theirs: String,
    /// What the register has, as a list would say it in the fields of a row.
    pub(super) as_rows: Vec<(Field, String)>,
}

/// Where file and register say two things of one model.
pub(super) fn register(draft: &ModelDraft, model: &Model) -> Vec<Other> {
    let kept = model.draft();
    let differs = |field: Field, ours: &str, theirs: &str| Other {
        field,
        ours: ours.to_owned(),
        theirs: theirs.to_owned(),
        as_rows: vec![(field, theirs.to_owned())],
    };
    let mut found = Vec::new();
    for (key, ours) in &draft.attributes {
        if let Some(theirs) = kept.attributes.get(key)
            && fold(theirs) != fold(ours)
            && let Some(attribute) = attributes_named(key).find(|one| !one.is_confirmation())
        {
            found.push(differs(Field::Attribute(attribute.key), ours, theirs));
        }
    }
    for ours in &draft.ratings {
        let same = |theirs: &&RatingDraft| theirs.mode == ours.mode && theirs.kind == ours.kind;
        let theirs: Vec<_> = kept.ratings.iter().filter(same).collect();
        if !theirs.is_empty()
            && theirs
                .iter()
                .all(|theirs| !same_force(&theirs.value, &ours.value))
        {
            let field = rated(ours, model);
            found.extend(field.map(|field| differs(field, &ours.value, &theirs[0].value)));
        }
    }
    found.extend(other_standard(&kept, draft));
    for ours in &draft.approvals {
        found.extend(other_ropes(&kept, ours));
        let load: Number = |approval| &approval.rated_load;
        if let Some(theirs) = other_number(&kept, ours, load) {
            found.push(differs(Field::RatedLoad, load(ours), theirs));
        }
        if let Some(theirs) = other_class(&kept, ours) {
            found.push(Other {
                field: Field::Class,
                ours: format!("{} class {}", ours.standard, ours.class),
                theirs: format!("class {theirs}"),
                as_rows: vec![(Field::Class, theirs.to_owned())],
            });
        }
    }
    let single = [
        (Field::Material, &draft.material, &kept.material),
        (Field::LifeSupport, &draft.life_support, &kept.life_support),
    ];
    for (field, ours, theirs) in single {
        if !ours.is_empty() && fold(ours) != fold(theirs) {
            found.push(differs(field, ours, theirs));
        }
    }
    found
}

/// The field of a strength; that of the usual way of loading has none of its own.
pub(super) fn rated(rating: &RatingDraft, model: &Model) -> Option<Field> {
    let kinds = [
        StrengthKind::Breaking,
        StrengthKind::WorkingLimit,
        StrengthKind::RatedLoad,
    ];
    let mut kinds = kinds.into_iter();
    let kind = kinds.find(|kind| kind.key() == rating.kind)?;
    let mut modes = LoadingMode::ALL.into_iter();
    let mode = modes.find(|mode| mode.key() == rating.mode);
    let usual = model.kind.modes().first().copied();
    Some(Field::Strength(
        kind,
        mode.filter(|mode| Some(*mode) != usual),
    ))
}

/// Whether two strengths are one: in two units they may be apart by what the finer of them rounds.
pub(super) fn same_force(ours: &str, theirs: &str) -> bool {
    let read = |text: &str| EnteredForce::read_with_weight(text).ok();
    let (Some(one), Some(other)) = (read(ours), read(theirs)) else {
        return fold(ours) == fold(theirs);
    };
    let apart = (one.quantity().newtons() - other.quantity().newtons()).abs();
    let rounds = if one.unit() == other.unit() {
        0.0
    } else {
        last_place(one).min(last_place(other))
    };
    apart <= rounds
}

/// One of the last place that a force is written with, in newtons.
fn last_place(force: EnteredForce) -> f64 {
    let written = force.value().to_string();
    let places = written
        .split_once('.')
        .map_or(0, |(_, places)| places.len());
    let one = 0.1_f64.powi(i32::try_from(places).unwrap_or(0));
    let one = force.unit().quantity(one);
    one.map_or(0.0, |one| one.newtons())
}

/// What the register has of a number by the same standard, where none of it is the file's.
fn other_number<'a>(kept: &'a ModelDraft, ours: &ApprovalDraft, number: Number) -> Option<&'a str> {
    let (ours, theirs) = (number(ours), of_standard(kept, ours, number));
    let differ = theirs.iter().all(|theirs| fold(theirs) != fold(ours));
    theirs
        .first()
        .copied()
        .filter(|_| differ && !ours.is_empty())
}

/// The range of ropes that the register has by the same standard, where one of its ends is not the file's: both ends are
/// one range.
fn other_ropes(kept: &ModelDraft, ours: &ApprovalDraft) -> Option<Other> {
    let ends: [(Field, Number); 2] = [
        (Field::RopeLeast, |approval| &approval.rope_least),
        (Field::RopeMost, |approval| &approval.rope_most),
    ];
    let differs = |(_, end): &(Field, Number)| other_number(kept, ours, *end).is_some();
    let (_, differing) = *ends.iter().find(|end| differs(end))?;
    let mut theirs = kept.approvals.iter();
    let theirs = theirs.find(|theirs| {
        same_standard(&theirs.standard, &ours.standard) && !differing(theirs).is_empty()
    })?;
    let range = |of: &ApprovalDraft| {
        let ends = ends.map(|(_, end)| Some(end(of).to_owned()).filter(|text| !text.is_empty()));
        let [least, most] = ends;
        rope_uses::in_words(&(least, most))
    };
    let as_rows = ends.map(|(field, end)| (field, end(theirs).to_owned()));
    let as_rows = as_rows.into_iter().filter(|(_, text)| !text.is_empty());
    Some(Other {
        field: Field::RopeRange,
        ours: range(ours),
        theirs: range(theirs),
        as_rows: as_rows.collect(),
    })
}

/// The standards that the register has, where none of the file's is among them.
pub(super) fn other_standard(kept: &ModelDraft, draft: &ModelDraft) -> Option<Other> {
    let is_kept = |ours: &ApprovalDraft| {
        let mut kept = kept.approvals.iter();
        kept.any(|theirs| same_standard(&theirs.standard, &ours.standard))
    };
    let titles = |of: &ModelDraft| {
        let titles: Vec<String> = of.approvals.iter().map(title).collect();
        titles.join("; ")
    };
    let (ours, theirs) = (titles(draft), titles(kept));
    let is_other = !ours.is_empty() && !theirs.is_empty();
    (is_other && !draft.approvals.iter().any(is_kept)).then(|| Other {
        field: Field::Standard,
        ours,
        as_rows: vec![(Field::Standard, theirs.clone())],
        theirs,
    })
}

/// A class that the register has by the same standard, where none of them is the file's.
fn other_class<'a>(kept: &'a ModelDraft, ours: &ApprovalDraft) -> Option<&'a str> {
    let theirs = of_standard(kept, ours, |approval| &approval.class);
    let same = |theirs: &&str| same_class(Some(theirs), Some(&ours.class));
    let is_other = !ours.class.is_empty() && !theirs.iter().any(same);
    theirs.first().copied().filter(|_| is_other)
}

/// A number of an approval, as it is typed.
pub(super) type Number = fn(&ApprovalDraft) -> &str;

pub(super) const NUMBERS: [(Field, Number); 3] = [
    (Field::RopeLeast, |approval| &approval.rope_least),
    (Field::RopeMost, |approval| &approval.rope_most),
    (Field::RatedLoad, |approval| &approval.rated_load),
];

/// What a model's approvals by the same standard say of a number.
pub(super) fn of_standard<'a>(
    kept: &'a ModelDraft,
    ours: &ApprovalDraft,
    number: Number,
) -> Vec<&'a str> {
    let approvals = kept.approvals.iter();
    let same = approvals.filter(|theirs| same_standard(&theirs.standard, &ours.standard));
    same.map(number).filter(|text| !text.is_empty()).collect()
}
