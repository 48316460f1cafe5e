//! What is not on record of the models that might go at a position, each told once for all its items.

use crate::{
    domain::{Candidate, Mend, Model, ModelId, Refusal, kit_strength::KitGap},
    view::{Shell, reason::Reason, words},
};

/// What is not on the record of one model.
pub struct ModelLack {
    /// How many of its items were looked at, and which model it is.
    pub which: String,
    /// The model.
    pub model: String,
    /// What is not on record, in a few words each.
    pub lacks: Vec<String>,
    /// The same in full, each with its rule.
    pub reasons: Vec<Reason>,
    /// Where all of it is written down in one form; none where this person may not.
    pub mend: Option<(&'static str, String)>,
}

/// Whether a reason is that something is not on the record of the item's own model.
pub(super) fn is_of_model(refusal: &Refusal, model: &Model) -> bool {
    refusal.lacks.is_some() && refusal.mend == Some(Mend::ModelRecord(model.id))
}

/// Whether a gap is that something is not on the record of the item's model.
pub(super) fn is_of_record(gap: &KitGap) -> bool {
    !gap.lacks.is_empty()
}

/// Whether the item can never go here, whatever is written down: then its record is not what is in the way.
fn is_out_of_place(candidate: &Candidate) -> bool {
    candidate.refusals.iter().any(Refusal::is_for_good)
}

/// What is not on record of the models of the candidates, each with its model, in the order of the candidates. Left out
/// are models that have no place here at all; and nothing is told where a candidate may go and lacks nothing, since
/// then that one is chosen.
pub(super) fn by_model(candidates: &[Candidate], shell: &Shell) -> Vec<(ModelId, ModelLack)> {
    let clean = |one: &Candidate| one.refusals.is_empty() && one.gaps.is_empty();
    if candidates.iter().any(clean) {
        return Vec::new();
    }
    let mut models: Vec<&Model> = Vec::new();
    for candidate in candidates.iter().filter(|one| !is_out_of_place(one)) {
        if !models.iter().any(|model| model.id == candidate.model.id) {
            models.push(&candidate.model);
        }
    }
    let lacks = models
        .into_iter()
        .map(|model| (model.id, of(model, candidates, shell)));
    lacks.filter(|(_, lack)| !lack.lacks.is_empty()).collect()
}

fn of(model: &Model, candidates: &[Candidate], shell: &Shell) -> ModelLack {
    let own: Vec<&Candidate> = candidates
        .iter()
        .filter(|candidate| candidate.model.id == model.id)
        .collect();
    let mend = Reason::link(Mend::ModelRecord(model.id), shell);
    let mut lack = ModelLack {
        which: format!(
            "{} of {}",
            words::count(own.len(), "item", "items"),
            model.title()
        ),
        model: model.title(),
        lacks: Vec::new(),
        reasons: Vec::new(),
        mend: mend.map(|(_, href)| ("Write all of it on the model's record", href)),
    };
    for candidate in own {
        let refusals = candidate.refusals.iter();
        for refusal in refusals.filter(|refusal| is_of_model(refusal, model)) {
            let what = refusal.lacks.clone().unwrap_or_default();
            lack.and(what, Reason::of(refusal, shell));
        }
        for gap in candidate.gaps.iter().filter(|gap| is_of_record(gap)) {
            lack.and(gap.lacks.clone(), Reason::of_gap(gap, None, shell));
        }
    }
    lack
}

impl ModelLack {
    /// One more thing that is not on record, unless it was told of another item.
    fn and(&mut self, what: String, mut reason: Reason) {
        if !self.lacks.contains(&what) {
            reason.mend = None;
            self.lacks.push(what);
            self.reasons.push(reason);
        }
    }

    /// A model to test with.
    pub(super) fn sample() -> Self {
        use crate::view::PROBE;
        Self {
            which: PROBE.to_owned(),
            model: PROBE.to_owned(),
            lacks: vec![PROBE.to_owned()],
            reasons: vec![Reason::sample()],
            mend: Reason::sample().mend,
        }
    }
}
