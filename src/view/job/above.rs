//! What candidates have in common against them: told once above them, and counted.

use super::lack::is_of_model;
use crate::{
    domain::{Candidate, ModelId, Refusal, RefusalCode},
    view::{Shell, reason::Reason},
};

/// What is told above the rows.
pub(super) struct Above<'a> {
    /// The reasons that all of them have.
    pub shared: Vec<&'a Refusal>,
    /// The models of which it is told there what is not on record.
    pub lacking: Vec<ModelId>,
}

impl Above<'_> {
    pub(super) fn tells(&self, refusal: &Refusal, candidate: &Candidate) -> bool {
        let mut shared = self.shared.iter();
        self.tells_as_lacking(refusal, candidate) || shared.any(|other| is_same(other, refusal))
    }

    pub(super) fn tells_as_lacking(&self, refusal: &Refusal, candidate: &Candidate) -> bool {
        self.lacking.contains(&candidate.model.id) && is_of_model(refusal, &candidate.model)
    }

    /// Where it stands what is against items of which none may go; `is_counted` where some of it is counted above them.
    pub(super) fn where_told(&self, is_counted: bool) -> &'static str {
        match (!self.lacking.is_empty(), is_counted) {
            (true, false) => {
                "Nothing speaks against them but what is not on record of their models: it stands below, each model once."
            }
            (true, true) => {
                "What is not on record stands below, each model once; what else is against them is counted here."
            }
            (false, _) if self.shared.is_empty() => {
                "No reason holds for all of them; what is against each stands beside it."
            }
            (false, _) => {
                "What holds for all of them is told once; what else is against one stands beside it."
            }
        }
    }
}

/// Whether two reasons say the same, whatever they looked at.
fn is_same(one: &Refusal, other: &Refusal) -> bool {
    one.code == other.code && one.sentence == other.sentence
}

/// The reasons that every one of the candidates has, where there are several and none may go.
pub(super) fn shared(candidates: &[Candidate]) -> Vec<&Refusal> {
    let [first, rest @ ..] = candidates else {
        return Vec::new();
    };
    if rest.is_empty() {
        return Vec::new();
    }
    let everybody = |refusal: &&Refusal| {
        rest.iter().all(|candidate| {
            let mut refusals = candidate.refusals.iter();
            refusals.any(|other| is_same(refusal, other))
        })
    };
    first.refusals.iter().filter(everybody).collect()
}

/// A shared reason: what was looked at and where it is mended are told only where they are alike for all.
fn told_once(refusal: &Refusal, candidates: &[Candidate], shell: &Shell) -> Reason {
    let mut reason = Reason::of(refusal, shell);
    let all = || {
        let refusals = candidates.iter().flat_map(|candidate| &candidate.refusals);
        refusals.filter(|other| is_same(refusal, other))
    };
    if all().any(|other| other.looked_at() != refusal.looked_at()) {
        reason.evidence.clear();
    }
    if all().any(|other| other.mend != refusal.mend) {
        reason.mend = None;
    }
    reason
}

/// What is against the candidates, each with how many have it, the most frequent first; what `told` says is told
/// elsewhere is left out. What is said of each in other words is told in a few that fit all.
pub(super) fn grouped(
    candidates: &[Candidate],
    told: impl Fn(&Refusal, &Candidate) -> bool,
    shell: &Shell,
) -> Vec<Reason> {
    let mut groups: Vec<Vec<&Refusal>> = Vec::new();
    for candidate in candidates {
        let mut own: Vec<&Refusal> = Vec::new();
        for refusal in &candidate.refusals {
            if !told(refusal, candidate) && !own.iter().any(|other| is_alike(other, refusal)) {
                own.push(refusal);
            }
        }
        for refusal in own {
            match groups.iter_mut().find(|group| is_alike(group[0], refusal)) {
                Some(group) => group.push(refusal),
                None => groups.push(vec![refusal]),
            }
        }
    }
    groups.sort_by_key(|group| (std::cmp::Reverse(group.len()), group[0].code));
    let reasons = groups.iter().map(|with| {
        let first = with[0];
        let mut reason = told_once(first, candidates, shell);
        if with.iter().any(|other| !is_same(first, other)) {
            reason.sentence = shell.units.beside(first.brief());
            reason.evidence.clear();
            reason.mend = None;
            if with.iter().any(|other| other.rule != first.rule) {
                reason.source.clear();
            }
        }
        let count = match with.len() {
            all if all == candidates.len() => format!("All {all}"),
            some => format!("{some} of {}", candidates.len()),
        };
        reason.sentence = format!("{count}: {}", reason.sentence);
        reason
    });
    reasons.collect()
}

/// Whether two reasons are counted together: what part is lacking is told of each part.
fn is_alike(one: &Refusal, other: &Refusal) -> bool {
    match one.code {
        RefusalCode::LacksPart => is_same(one, other),
        code => code == other.code,
    }
}
