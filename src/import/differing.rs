//! Rows that say otherwise of their model than the rows before, or than the register, where it is said that they are items
//! of a model of their own that is named after what differs.

use super::against::{self, Other};
use super::against_asked::{Held, REGISTER};
use super::answer::{Answers, Differing};
use super::differs_asked::APART;
use super::field::Field;
use super::grouping::{Group, GroupKey, Groups};
use super::known::Known;
use super::remark::Remarks;
use super::row::{Given, ReadRow};
use super::standard;
use crate::domain::{Kind, Model, fold};
use crate::rigging::StrengthKind;

impl Groups {
    /// Gives a row that says otherwise of its model the name of a model of its own, where that was said. What differs
    /// within that is put behind too.
    pub(super) fn apart(
        &mut self,
        row: &mut ReadRow,
        (kind, maker): (Kind, &str),
        (answers, known): (&Answers, &Known),
    ) {
        /// How many things of a model may differ one after the other.
        const MOST: usize = 4;
        let title = format!("{maker} {}", row.text(Field::Model));
        let is_apart = |field: Field| match answers.agreed(&title, field) {
            Some(said) => said == APART,
            None => answers.differing == Some(Differing::Apart),
        };
        for _ in 0..MOST {
            let name = row.text(Field::Model).to_owned();
            let of = (kind, maker, &*name);
            let named = match known.model(maker, &name).filter(|model| model.kind == kind) {
                Some(model) => self.differs_from_register(row, (of, model), (answers, &is_apart)),
                None => self.differs(row, of, (answers, &title, &is_apart)),
            };
            let named: Vec<String> = named
                .into_iter()
                .map(|(field, ours)| in_name(field, &ours))
                .collect();
            if named.is_empty() {
                return;
            }
            let text = format!("{name} ({})", named.join(", "));
            let shown = row.values.get(&Field::Model);
            let shown = shown.map(|given| given.shown.clone()).unwrap_or_default();
            self.renamed.push((row.number, text.clone()));
            row.values.insert(Field::Model, Given { text, shown });
        }
    }

    /// What a row says otherwise than the register and makes a model of its own; that takes over what the register has
    /// where that holds. Nothing while something else has to be answered of the row first.
    fn differs_from_register(
        &mut self,
        row: &mut ReadRow,
        ((kind, maker, name), model): ((Kind, &str, &str), &Model),
        (answers, is_apart): (&Answers, &dyn Fn(Field) -> bool),
    ) -> Vec<(Field, String)> {
        let title = model.title();
        let group = |row: &ReadRow| {
            let mut alone = Group::new(kind, (maker, name), row.number);
            alone.agree(row);
            alone
        };
        let said = group(row).against_register(model);
        let said = said.into_iter();
        let said = said.filter_map(|(field, (theirs, said))| {
            let (ours, _) = said.into_iter().next()?;
            Some((field, theirs, ours))
        });
        let (apart, others): (Vec<_>, Vec<_>) = said.partition(|(field, ..)| is_apart(*field));
        let mut others_held = others.iter();
        let is_settled =
            others_held.all(|(field, ..)| answers.agreed(&title, *field) == Some(REGISTER));
        if apart.is_empty() || !is_settled {
            return Vec::new();
        }
        let mut own = row.clone();
        let draft = group(row).draft(&mut Remarks::default());
        let is_held = |field: Field| others.iter().any(|(held, ..)| *held == field);
        for other in against::register(&draft, model) {
            if is_held(other.field) {
                own.take_over(&other, kind);
            }
        }
        // What cannot be taken over is not passed over: the row stays, and is asked about.
        if group(&own).against_register(model).into_keys().any(is_held) {
            return Vec::new();
        }
        *row = own;
        let held = others.into_iter().map(|(field, theirs, ours)| Held {
            title: title.clone(),
            field,
            theirs,
            ours,
            rows: vec![row.number],
        });
        self.held.extend(held);
        apart
            .into_iter()
            .map(|(field, _, ours)| (field, ours))
            .collect()
    }

    /// What a row says otherwise of its model than the rows before and makes a model of its own; that takes over what was
    /// said to hold of the rest.
    fn differs(
        &mut self,
        row: &mut ReadRow,
        (kind, maker, name): (Kind, &str, &str),
        (answers, title, is_apart): (&Answers, &str, &dyn Fn(Field) -> bool),
    ) -> Vec<(Field, String)> {
        let key: GroupKey = (fold(maker), fold(name));
        let Some(group) = self.all.get_mut(&key).filter(|group| group.kind == kind) else {
            return Vec::new();
        };
        let fields = group.fields_of(row).into_iter();
        let differs = |field| Some((field, group.against_row(row, field)?.0));
        let (apart, others): (Vec<_>, Vec<_>) = fields
            .filter_map(differs)
            .partition(|(field, _)| is_apart(*field));
        for (field, ours) in others.into_iter().filter(|_| !apart.is_empty()) {
            let Some(agreed) = answers.agreed(title, field) else {
                continue;
            };
            let said = group.said.entry(field).or_default();
            if fold(&ours.text) == fold(agreed) {
                // What it says holds of the others too.
                said.push(ours);
                continue;
            }
            let mut said = said.iter();
            let holds = said.find(|one| fold(&one.text) == fold(agreed));
            let later = || self.agreed.get(&(key.clone(), field));
            if let Some(holds) = holds.or_else(later) {
                holds.put_in(row, field);
            }
        }
        apart
            .into_iter()
            .map(|(field, ours)| (field, ours.text))
            .collect()
    }
}

impl ReadRow {
    /// Says what the register has, where it holds.
    fn take_over(&mut self, other: &Other, kind: Kind) {
        let usual = kind.modes().first().copied();
        let as_usual = |field: Field| match field {
            Field::Strength(of, Some(mode)) if Some(mode) == usual => Field::Strength(of, None),
            Field::RatedLoad => Field::Strength(StrengthKind::RatedLoad, None),
            field => field,
        };
        for (field, text) in &other.as_rows {
            let one = as_usual(*field);
            self.values.retain(|there, _| as_usual(*there) != one);
            let (text, shown) = (text.clone(), text.clone());
            self.values.insert(*field, Given { text, shown });
        }
        match other.field {
            Field::RopeRange => self.ropes_of.clear(),
            Field::Standard => {
                let read = standard::read(&other.theirs, &Answers::default());
                self.approvals = read.approvals;
            }
            Field::Class => {
                for approval in &mut self.approvals {
                    if let Some((_, class)) = other.as_rows.first()
                        && !approval.class.is_empty()
                    {
                        approval.class.clone_from(class);
                    }
                }
            }
            _ => {}
        }
    }
}

/// Whether a model is the one of its own that a row was given once: its name is that of the row, and behind it stands,
/// in brackets, what the row says.
pub(super) fn was_apart(row: &ReadRow, kind: Kind, name: &str) -> bool {
    let (name, own) = (fold(name), fold(row.text(Field::Model)));
    let Some(behind) = name.strip_prefix(&own).filter(|_| !own.is_empty()) else {
        return false;
    };
    let mut group = Group::new(kind, (row.text(Field::Maker), &own), row.number);
    group.agree(row);
    let said = group.said.iter();
    let said = said.flat_map(|(field, said)| said.iter().map(|one| in_name(*field, &one.text)));
    let mut said: Vec<String> = said.map(|text| fold(&text)).collect();
    said.sort_by_key(|text| std::cmp::Reverse(text.len()));
    let mut rest = behind.trim().to_owned();
    let bracketed = rest.starts_with('(') && rest.ends_with(')');
    for text in said {
        rest = rest.replacen(&text, "", 1);
    }
    bracketed && rest.chars().all(|c| "(), ".contains(c))
}

/// What differs, as it stands in a model's name.
fn in_name(field: Field, ours: &str) -> String {
    let alone = ours.contains(|c: char| c.is_ascii_digit());
    if alone {
        return ours.to_owned();
    }
    let label = field.label().to_lowercase();
    let label = label.split([',', '(']).next().unwrap_or_default().trim();
    format!("{label} {ours}")
}
