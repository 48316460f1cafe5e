//! What rows of one model say of one field: what is no difference is told apart from what is one.

use super::field::Field;
use super::grouping::{Group, is_of_model};
use super::rope_said::{self, Said};
use super::row::{Given, ReadRow};
use super::unit::Unit;
use super::{rope_uses, standard, unit};
use crate::domain::entered::split_number;
use crate::domain::rulebook::same_class;
use crate::domain::{ApprovalDraft, fold};

/// One thing that rows say of a field of their model.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Variant {
    /// As the register's own forms write it, or in words where it is more than one value.
    pub(super) text: String,
    /// The standards, where it is those.
    pub(super) approvals: Vec<ApprovalDraft>,
    /// The ropes, where it is those.
    ropes: Said,
    pub(super) rows: Vec<u32>,
    /// Whether two units agree here only within rounding.
    pub(super) is_rounded: bool,
}

impl Variant {
    fn new(text: &str, row: u32) -> Self {
        Self {
            text: text.to_owned(),
            approvals: Vec::new(),
            ropes: Said::default(),
            rows: vec![row],
            is_rounded: false,
        }
    }

    /// What a row says of a field.
    pub(super) fn of(row: &ReadRow, field: Field) -> Option<Self> {
        if field == Field::RopeRange {
            let end = |field| row.values.get(&field).map(|given| given.text.clone());
            let ropes = (end(Field::RopeLeast), end(Field::RopeMost));
            let text = rope_uses::in_words(&ropes);
            return (!text.is_empty()).then(|| Self {
                ropes,
                ..Self::new(&text, row.number)
            });
        }
        let given = row.values.get(&field).map(|given| given.text.as_str());
        let text = given.or_else(|| standard::beside(field, &row.approvals))?;
        let approvals = if field == Field::Standard {
            row.approvals.clone()
        } else {
            Vec::new()
        };
        Some(Self {
            approvals,
            ..Self::new(text, row.number)
        })
    }

    /// Makes a row say this of a field.
    pub(super) fn put_in(&self, row: &mut ReadRow, field: Field) {
        let mut put = |field, text: &str| {
            let (text, shown) = (text.to_owned(), text.to_owned());
            row.values.insert(field, Given { text, shown });
        };
        match field {
            Field::RopeRange => {
                for (end, text) in rope_said::fields(Some(self.ropes.clone())) {
                    put(end, &text);
                }
            }
            field => put(field, &self.text),
        }
        match (field, row.approvals.as_mut_slice()) {
            (Field::Standard, _) => row.approvals.clone_from(&self.approvals),
            (Field::Edition, [only]) => only.edition.clone_from(&self.text),
            (Field::Class, [only]) => only.class.clone_from(&self.text),
            _ => {}
        }
    }

    /// Both as one without their rows, where they are no difference: the more that one of them says, and the lower of two
    /// that are rounded.
    fn joined(&self, other: &Self, field: Field) -> Option<Self> {
        let mut both = Self {
            text: self.text.clone(),
            approvals: self.approvals.clone(),
            ropes: self.ropes.clone(),
            rows: Vec::new(),
            is_rounded: self.is_rounded,
        };
        if fold(&self.text) == fold(&other.text) {
            return Some(both);
        }
        if field == Field::Class && same_class(Some(&self.text), Some(&other.text)) {
            return Some(both);
        }
        if field == Field::Standard {
            both.approvals = standard::joined(&self.approvals, &other.approvals)?;
            both.text = standard::titles(&both.approvals);
            return Some(both);
        }
        if field == Field::RopeRange {
            both.ropes = ropes_joined(&self.ropes, &other.ropes)?;
            both.text = rope_uses::in_words(&both.ropes);
            return Some(both);
        }
        let (ours, theirs) = (Size::of(&self.text)?, Size::of(&other.text)?);
        let apart = (ours.value - theirs.value).abs();
        let least = 1e-9 * ours.value.abs().max(theirs.value.abs());
        let is_same = apart <= least;
        let is_rounded = ours.unit != theirs.unit && apart <= ours.half.max(theirs.half);
        if ours.is_length != theirs.is_length || !(is_same || is_rounded) {
            return None;
        }
        both.is_rounded |= !is_same;
        if theirs.value < ours.value {
            both.text.clone_from(&other.text);
        }
        Some(both)
    }
}

/// Two ranges of ropes of which none says otherwise than the other.
fn ropes_joined(one: &Said, other: &Said) -> Option<Said> {
    let end = |one: &Option<String>, other: &Option<String>| match (one, other) {
        (Some(one), Some(other)) => {
            let same = rope_uses::millimetres(one) == rope_uses::millimetres(other);
            same.then(|| Some(one.clone()))
        }
        _ => Some(one.as_ref().or(other.as_ref()).cloned()),
    };
    Some((end(&one.0, &other.0)?, end(&one.1, &other.1)?))
}

/// A quantity, and half of the last place in which it is written.
struct Size {
    value: f64,
    half: f64,
    unit: Unit,
    is_length: bool,
}

impl Size {
    fn of(text: &str) -> Option<Self> {
        let (number, sign) = split_number(text)?;
        let unit = Unit::measured(sign)?;
        let digits = text.trim_end_matches(sign).trim();
        let places = digits
            .rsplit_once(['.', ','])
            .map_or(0, |(_, places)| places.len());
        let half = 0.5 / 10_f64.powi(i32::try_from(places).ok()?);
        let exact = |number: f64| match unit {
            Unit::Length(unit) => unit.quantity(number).ok().map(|it| it.millimetres()),
            Unit::Force(unit) => unit.quantity(number).ok().map(|it| it.newtons()),
            _ => None,
        };
        Some(Self {
            value: exact(number)?,
            half: exact(half)?,
            unit,
            is_length: matches!(unit, Unit::Length(_)),
        })
    }
}

impl Group {
    /// Takes over what a row says of the model; gives whether it says otherwise than an earlier row.
    pub(super) fn agree(&mut self, row: &ReadRow) -> bool {
        let mut differs = false;
        for field in self.fields_of(row) {
            let Some(new) = Variant::of(row, field) else {
                continue;
            };
            let said = self.said.entry(field).or_default();
            let mut there = said.iter().enumerate();
            let there = there.find_map(|(at, one)| Some((at, one.joined(&new, field)?)));
            let (at, changes) = if let Some((at, both)) = there {
                let rows = std::mem::take(&mut said[at].rows);
                let changes = both.text != said[at].text;
                said[at] = Variant { rows, ..both };
                said[at].rows.push(row.number);
                (at, changes)
            } else {
                said.push(new);
                (said.len() - 1, true)
            };
            differs |= at > 0;
            if at == 0 && changes {
                let first = said[0].clone();
                self.take(field, &first);
            }
        }
        for one in &row.ropes_of {
            if !self.ropes_of.contains(one) {
                self.ropes_of.push(one.clone());
            }
        }
        differs
    }

    /// The fields of a model of which a row says something; the ends of its range of ropes are one, and what the cell of a
    /// standard says of edition and class is said of these.
    pub(super) fn fields_of(&self, row: &ReadRow) -> Vec<Field> {
        let fields = row.values.keys().copied();
        let of_model = fields.filter(|field| is_of_model(*field, self.kind));
        let as_one = of_model.map(|field| match field {
            field if unit::is_rope(field) => Field::RopeRange,
            field => field,
        });
        let beside = standard::BESIDE.into_iter();
        let beside = beside.filter(|field| standard::beside(*field, &row.approvals).is_some());
        let mut fields: Vec<Field> = as_one.chain(beside).collect();
        fields.sort();
        fields.dedup();
        fields
    }

    /// What a row says of a field against what the group has of it. Edition and class go with their standard.
    pub(super) fn against_row(&self, row: &ReadRow, field: Field) -> Option<(Variant, &Variant)> {
        let is_beside = standard::BESIDE.contains(&field);
        if is_beside && self.against_row(row, Field::Standard).is_some() {
            return None;
        }
        let (ours, first) = (Variant::of(row, field)?, self.said.get(&field)?.first()?);
        first
            .joined(&ours, field)
            .is_none()
            .then_some((ours, first))
    }

    /// Takes one of the things that its rows say for what holds.
    pub(super) fn take(&mut self, field: Field, one: &Variant) {
        let row = one.rows.first().copied().unwrap_or(self.first_row);
        if field == Field::RopeRange {
            for end in [Field::RopeLeast, Field::RopeMost] {
                self.values.remove(&end);
            }
            for (end, text) in rope_said::fields(Some(one.ropes.clone())) {
                self.values.insert(end, (text, row));
            }
            return;
        }
        match (field, self.approvals.as_mut_slice()) {
            (Field::Standard, _) => self.approvals.clone_from(&one.approvals),
            (Field::Edition, [only]) => only.edition.clone_from(&one.text),
            (Field::Class, [only]) => only.class.clone_from(&one.text),
            _ => {}
        }
        self.values.insert(field, (one.text.clone(), row));
    }
}

/// The one of several things that asks the most caution of whoever uses the gear; none where that is not plain.
pub(super) fn most_cautious(field: Field, said: &[Variant]) -> Option<usize> {
    let least = |of: &dyn Fn(&Variant) -> Option<f64>| {
        let values: Option<Vec<f64>> = said.iter().map(of).collect();
        let values = values?.into_iter().enumerate();
        values
            .min_by(|(_, one), (_, other)| one.total_cmp(other))
            .map(|(at, _)| at)
    };
    match field {
        Field::Strength(..) => least(&|one| Some(Size::of(&one.text)?.value)),
        Field::RatedLoad => {
            let sign = said.first().and_then(|one| split_number(&one.text))?.1;
            Unit::measured(sign)?;
            least(&|one| {
                let (number, unit) = split_number(&one.text)?;
                (unit == sign).then_some(number)
            })
        }
        Field::LifeFromMade
        | Field::LifeFromFirstUse
        | Field::MostHours
        | Field::MostUses
        | Field::MostFalls
        | Field::ExamineEvery => least(&|one| one.text.trim().parse().ok()),
        Field::LifeSupport => said.iter().position(|one| one.text == "no"),
        Field::RopeRange => {
            let mut all = said.iter().map(|one| one.ropes.clone());
            let first = all.next()?;
            let narrow = all.fold(first, |one, other| rope_uses::narrower(&one, &other));
            said.iter().position(|one| {
                ropes_joined(&one.ropes, &narrow).is_some_and(|both| both == one.ropes)
            })
        }
        Field::Standard => {
            let fewest = said
                .iter()
                .enumerate()
                .min_by_key(|(_, one)| one.approvals.len());
            let (at, fewest) = fewest?;
            let is_in = |other: &Variant| standard::are_among(&fewest.approvals, &other.approvals);
            said.iter().all(is_in).then_some(at)
        }
        _ => None,
    }
}
