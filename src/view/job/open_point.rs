//! What stands open in a verdict, each with the way to where it is put right.

use crate::{
    domain::{Deed, KitList, kit_strength::KitGap},
    view::{Shell, reason::Reason},
};

/// What is missing, each with the way to where it is mended; an empty position is filled.
pub(super) fn gaps(list: &KitList, shell: &Shell) -> Vec<Reason> {
    let gaps = list.verdict.gaps.iter().map(|gap| {
        let mut reason = Reason::of_gap(gap, list.mend(gap), shell);
        if let ("empty", Some(key), true) = (gap.code, &gap.position, shell.may(Deed::PlanJob)) {
            let href = format!("/jobs/{}/positions/{key}", list.job.id);
            reason.mend = Some(("Choose an item", href));
        }
        reason
    });
    let mut gaps: Vec<Reason> = gaps.collect();
    gaps.extend(unworn(list, shell));
    gaps
}

/// That what a person hangs in is not judged, with the ways to have it judged, or to say whose it is.
fn unworn(list: &KitList, shell: &Shell) -> Vec<Reason> {
    let Some(unworn) = &list.verdict.unworn else {
        return Vec::new();
    };
    let reason = |sentence: &str, mend: Option<(&'static str, String)>| Reason {
        sentence: sentence.to_owned(),
        evidence: String::new(),
        source: String::new(),
        mend: mend.filter(|_| shell.may(Deed::PlanJob)),
    };
    let id = list.job.id;
    let plan = format!("/jobs/{id}/edit#f-own_harness");
    let choose = unworn.position.as_ref();
    let choose = choose.map(|key| ("Choose an item", format!("/jobs/{id}/positions/{key}")));
    let mut reasons = vec![reason(&unworn.sentence, choose)];
    if unworn.is_own {
        reasons[0].mend = reason("", Some(("Change the plan", plan))).mend;
    } else if list.job.may_change().is_ok() && shell.may(Deed::PlanJob) {
        reasons.push(reason(
            "If an own harness is worn that is not in this register, say so in the plan: the verdict then says whose it is.",
            Some(("Say so in the plan", plan)),
        ));
    }
    reasons
}

/// What is missing to judge a catch, each with the way to where it is given.
pub(super) fn catch_lacks(list: &KitList, shell: &Shell) -> Vec<Reason> {
    in_plan(list, &list.verdict.catch_lacks, shell)
}

/// What nobody said of the plan, each with the way to where it is said.
pub(super) fn unsaid(list: &KitList, shell: &Shell) -> Vec<Reason> {
    in_plan(list, &list.verdict.unsaid, shell)
}

/// Gaps that lead to their field of the plan, where they are of it.
fn in_plan(list: &KitList, gaps: &[KitGap], shell: &Shell) -> Vec<Reason> {
    let may_plan = list.job.may_change().is_ok();
    let gaps = gaps.iter().map(|gap| {
        let mut reason = Reason::of_gap(gap, list.mend(gap), shell);
        let field = match gap.code {
            "no-catch-slack" => "?part=catch#f-catch_slack",
            "no-catch-rope" => "?part=catch#f-catch_rope",
            "no-catch-factor" => "?part=catch#f-exceptional_factor",
            "belay-aside" => "#f-between_anchors",
            "no-girth" => "#f-anchor_girth",
            _ => return reason,
        };
        let href = format!("/jobs/{}/edit{field}", list.job.id);
        reason.mend = reason
            .mend
            .filter(|_| may_plan)
            .map(|(words, _)| (words, href));
        reason
    });
    gaps.collect()
}
