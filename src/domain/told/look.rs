//! What was looked at, and by whom, in words.

use super::{Names, Told};
use crate::domain::date::write_day;
use crate::domain::{
    Change, Danger, Examination, Finding, Holder, Qualification, ReturnAsked, counted,
};

/// An examination in words.
pub(super) fn examined(examination: &Examination, names: &Names) -> Told {
    let due = examination
        .next_due_on
        .map(|day| format!(", next due {}", write_day(day)))
        .unwrap_or_default();
    let markings = match examination.markings_readable {
        Some(true) => ", markings can be read",
        Some(false) => ", markings cannot be read",
        None => "",
    };
    let listed = examination.checklist.map(|list| {
        let count = |outcome| examination.answered(outcome).count();
        let (failed, watched) = (count(Finding::Fail), count(Finding::Watch));
        format!(", by the list {list}: {failed} failed, {watched} to watch")
    });
    let listed = listed.unwrap_or_default();
    let danger = match examination.report.danger {
        Some(danger @ (Danger::Now | Danger::By(_))) => format!(", {}", danger.words()),
        Some(Danger::None) | None => String::new(),
    };
    Told::new(format!(
        "{} of {} by {}: {}{markings}{due}{listed}{danger}",
        examination.kind.word(),
        names.of(examination.item.0),
        examination.examiner,
        examination.verdict.word(),
    ))
    .why(examination.findings.as_str())
    .on(examination.on)
}

/// That somebody asked for a return from quarantine, in words.
pub(super) fn return_asked(asked: &ReturnAsked, names: &Names) -> Told {
    Told::new(format!(
        "Return of {} to service asked for; another competent person confirms it",
        names.of(asked.item.0)
    ))
    .why(asked.reason.as_str())
    .on(asked.on)
}

/// What happened to a qualification, in words.
pub(super) fn qualified(change: &Change, names: &Names) -> Told {
    match change {
        Change::QualificationRecorded(one) => Told::new(format!(
            "{} recorded as competent to examine {}, {}",
            holder(one, names),
            one.kinds_words(),
            one.days_words()
        ))
        .why(one.evidence.as_str()),
        Change::QualificationEnded(end) => Told::new(format!(
            "{} ended; it held until {}",
            names.of(end.qualification.0),
            write_day(end.ended.on)
        ))
        .why(end.ended.reason.as_str()),
        Change::QualificationAddressed(one) => Told::new(format!(
            "Address of {} is now {}",
            names.of(one.qualification.0),
            one.address.replace('\n', ", ")
        )),
        other => Told::new(other.kind()),
    }
}

/// A round of examinations.
pub(super) fn round(change: &Change) -> Told {
    match change {
        Change::RoundPlanned(round) => {
            let items = counted(round.items.len(), "item", "items");
            let (from, to) = (write_day(round.from), write_day(round.to));
            Told::new(format!(
                "Round of examinations {} planned: {items}, {from} to {to}",
                round.name
            ))
            .why(match round.examiner.as_str() {
                "" => String::new(),
                name => format!("for {name}"),
            })
        }
        Change::RoundClosed(closing) => {
            let left = match closing.left.len() {
                0 => "every item examined".to_owned(),
                n => counted(n, "item not examined", "items not examined"),
            };
            let mut reasons: Vec<&str> =
                closing.left.iter().map(|one| one.reason.as_str()).collect();
            reasons.sort_unstable();
            reasons.dedup();
            Told::new(format!(
                "Round of examinations {} closed: {left}",
                closing.name
            ))
            .why(reasons.join("; "))
            .on(closing.on)
        }
        other => Told::new(other.kind()),
    }
}

fn holder(one: &Qualification, names: &Names) -> String {
    match &one.holder {
        Holder::Person(person) => names.of(person.0),
        Holder::Outside { name, body } if body.is_empty() => name.clone(),
        Holder::Outside { name, body } => format!("{name} ({body})"),
    }
}

/// What a qualification is about: itself, and the person of the team.
pub(super) fn about(one: &Qualification, names: &Names) -> Vec<String> {
    let mut about = vec![format!("qualification of {}", holder(one, names))];
    if let Holder::Person(person) = one.holder {
        about.push(names.of(person.0));
    }
    about
}

/// A plan that complete sets are counted for, or no longer.
pub(super) fn pinned(change: &Change) -> Told {
    match change {
        Change::PlanPinned(pin) => {
            Told::new(format!("Plan pinned for complete sets: {}", pin.words()))
        }
        Change::PlanUnpinned(removed) => {
            Told::new(format!("Plan pinned no longer: {}", removed.pin.words()))
        }
        other => Told::new(other.kind()),
    }
}

/// The rig of a plan that is or was pinned.
pub(super) fn pinned_rig(change: &Change) -> Vec<String> {
    match change {
        Change::PlanPinned(pin) => vec![pin.rig.clone()],
        Change::PlanUnpinned(removed) => vec![removed.pin.rig.clone()],
        _ => Vec::new(),
    }
}
