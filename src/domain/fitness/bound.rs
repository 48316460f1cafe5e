//! Whether what else a record says lies inside the rulebook's limits: a diameter, a length, an arrest force.

use super::{Question, refusal};
use crate::domain::rulebook::{Bound, Measure};
use crate::domain::{Refusal, RefusalCode, Value};

pub(super) fn check(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    let candidate = &question.candidate;
    let model = candidate.model;
    let recorded = |bound: &Bound| -> Option<&Value> {
        let key = &bound.attribute;
        let item = &candidate.item.attributes.0;
        model.attributes.0.get(key).or_else(|| item.get(key))
    };
    let bounds = question.plan.rulebook.bounds().iter();
    for bound in
        bounds.filter(|bound| bound.kind == model.kind && bound.speaks_of(&model.approvals))
    {
        let Some(value) = recorded(bound).and_then(Measure::of) else {
            continue;
        };
        if !bound.holds(value) {
            let (has, asked) = (value.plain(), bound.value.plain());
            let refusal = refusal(
                RefusalCode::OutOfBounds,
                format!(
                    "{}: {} asks for {} {}, and it is {value}: take another item, or mend the record if it is wrong.",
                    bound.label(),
                    bound.title(),
                    bound.side.words(),
                    bound.value
                ),
                &bound.from,
                format!("{}: {value}", bound.attribute),
            );
            refusals.push(refusal.by(has.min(asked), has.max(asked)));
        }
    }
}
