//! What speaks against an item by its own record, wherever it is to go.

use super::{Question, due_on, own_rule, refusal};
use crate::domain::date::write_day;
use crate::domain::rulebook::{Mark, StrengthAsked};
use crate::domain::{Cited, ItemState, Known, Life, Refusal, RefusalCode, life};

pub(super) fn check(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    state(question, refusals);
    end_of_life(question, refusals);
    examination(question, refusals);
    identity(question, refusals);
    notices(question, refusals);
    elsewhere(question, refusals);
    life_support(question, refusals);
}

fn state(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    let item = question.candidate.item;
    let (code, sentence, rule) = match item.state {
        ItemState::InService => return,
        ItemState::Retired => (
            RefusalCode::Retired,
            "It is retired, and that is for good: take another item.",
            "what is retired stays out of use",
        ),
        ItemState::Quarantined => (
            RefusalCode::Quarantined,
            "It is in quarantine: have it examined and returned to service, or take another item.",
            "what is in quarantine waits for a competent person's decision",
        ),
        ItemState::Missing => (
            RefusalCode::Missing,
            "It is reported missing: find it and have it examined, or take another item.",
            "what was out of sight is examined before it is used",
        ),
    };
    let evidence = format!(
        "{} since {}: {}",
        item.state.word(),
        write_day(question.circumstances.zone.day(item.state_since)),
        item.state_reason
    );
    refusals.push(refusal(code, sentence, &own_rule(rule), evidence));
}

fn end_of_life(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    match life(
        question.candidate.item,
        question.candidate.model,
        question.plan.rulebook,
    ) {
        Life::Ends(end) if end.on <= question.last_day() => refusals.push(refusal(
            RefusalCode::PastLife,
            format!(
                "Its life ends on {}, before the job is over: take another item.",
                write_day(end.on)
            ),
            &end.source,
            format!("{}; {}", end.rule, question.last_day_words()),
        )),
        Life::Unknown(why) => refusals.push(refusal(
            RefusalCode::LifeUnknown,
            "The end of its life cannot be told: write the date made on its record.",
            &own_rule("what is not known is never a pass"),
            why,
        )),
        Life::Ends(_) | Life::ByCondition(_) => {}
    }
}

fn examination(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    let candidate = &question.candidate;
    match due_on(candidate.item, candidate.model, question.plan.rulebook) {
        None => refusals.push(refusal(
            RefusalCode::NeverExamined,
            "It never passed a thorough examination: have it examined by a competent person.",
            &own_rule("nothing is used before it passed an intake or periodic examination"),
            "no intake, periodic or after-event examination that ended in fit is on record",
        )),
        Some((until, rule)) if until < question.last_day() => refusals.push(refusal(
            RefusalCode::Overdue,
            format!(
                "Its examination is in date until {} only, and the job lasts longer: have it examined.",
                write_day(until)
            ),
            &rule,
            format!(
                "last passed on {}; {}",
                candidate.item.last_passed_on.map(write_day).unwrap_or_default(),
                question.last_day_words()
            ),
        )),
        Some(_) => {}
    }
}

fn identity(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    let item = question.candidate.item;
    let rule = question.plan.rulebook.identity();
    for mark in &rule.asks {
        let (code, sentence, evidence) = match mark {
            Mark::Serial
                if item
                    .serial
                    .as_deref()
                    .is_none_or(|serial| serial.trim().is_empty()) =>
            {
                (
                    RefusalCode::SerialUnknown,
                    "Its serial is not known: read it on the item and write it on the record.",
                    "no serial on record",
                )
            }
            Mark::Made if item.made.is_none() => (
                RefusalCode::MadeUnknown,
                "It is not known when it was made: read it on the item or in its papers and write it down.",
                "no date made on record",
            ),
            Mark::Markings if item.markings_readable == Some(false) => (
                RefusalCode::MarkingsUnknown,
                "Its markings cannot be read: retire it, or have the maker mark it anew.",
                "markings noted as not readable",
            ),
            Mark::Markings if item.markings_readable.is_none() => (
                RefusalCode::MarkingsUnknown,
                "Nobody noted whether its markings can be read: look, and write it on the record.",
                "nothing noted about the markings",
            ),
            _ => continue,
        };
        refusals.push(refusal(code, sentence, &rule.from, evidence));
    }
}

fn notices(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    let candidate = &question.candidate;
    let closed = |notice| {
        let closings = question.circumstances.closings.iter();
        closings
            .filter(|closing| closing.item == candidate.item.id)
            .any(|closing| closing.notice == notice)
    };
    for notice in question.circumstances.notices {
        if notice.covers(candidate.item, candidate.model) && !closed(notice.id) {
            refusals.push(refusal(
                RefusalCode::Notice,
                format!(
                    "The open safety notice \"{}\" covers it: do what the notice says and close it for this item.",
                    notice.title
                ),
                &Cited::new(
                    format!(
                        "safety notice of {}, {}",
                        notice.issuer,
                        write_day(notice.issued_on)
                    ),
                    Known::Read,
                ),
                format!(
                    "{} {}, lot {}, made {}",
                    candidate.model.maker,
                    candidate.model.name,
                    candidate.item.lot.as_deref().unwrap_or("not known"),
                    candidate
                        .item
                        .made
                        .map_or_else(|| "not known".to_owned(), |made| made.to_string())
                ),
            ));
        }
    }
}

fn elsewhere(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    let job = question.plan.job;
    for other in question.circumstances.elsewhere {
        // A job that ends at the moment the other starts leaves the item free.
        if job.starts_at < other.ends_at && other.starts_at < job.ends_at {
            refusals.push(refusal(
                RefusalCode::OnAnotherJob,
                format!(
                    "It is on another job at that time, {}: take another item, or have it taken off there.",
                    other.words(question.circumstances.zone)
                ),
                &own_rule("an item is on one job at a time"),
                other.words(question.circumstances.zone),
            ));
        }
    }
}

fn life_support(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    let model = question.candidate.model;
    // A helmet holds nobody, so nobody asks its maker whether it may.
    let carries = question.plan.rulebook.strength_asked(model.kind) != StrengthAsked::Nothing;
    if carries && !model.life_support {
        refusals.push(refusal(
            RefusalCode::NotLifeSupport,
            "Its maker does not allow it for holding people: take an item that is meant for it.",
            &Cited::new(
                "maker's statement, as entered for the model",
                Known::Setting,
            ),
            format!("{} is entered as not for life support", model.title()),
        ));
    }
}
