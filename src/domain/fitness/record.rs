//! What speaks against an item by its own record, wherever it is to go.

use super::{Own, Question, own_rule, refusal};
use crate::domain::date::write_day;
use crate::domain::rulebook::{Mark, StrengthAsked};
use crate::domain::{
    Cited, Item, ItemState, Known, Life, Mend, Model, Notice, Reach, Refusal, RefusalCode, used,
};

pub(super) fn check(own: &Own<'_>, refusals: &mut Vec<Refusal>) {
    state(own, refusals);
    look_asked(own, refusals);
    end_of_life(own, refusals);
    used_up(own, refusals);
    examination(own, refusals);
    identity(own, refusals);
    notices(own, refusals);
    life_support(own, refusals);
}

fn state(own: &Own<'_>, refusals: &mut Vec<Refusal>) {
    let item = own.item;
    let (code, sentence, rule) = match item.state {
        ItemState::InService => return,
        ItemState::Retired => (
            RefusalCode::Retired,
            "It is retired, and that is for good: take another item.",
            "what is retired stays out of use",
        ),
        ItemState::Quarantined if item.event_hold.is_some_and(|hold| !hold.examined) => (
            RefusalCode::Quarantined,
            "It is in quarantine for what happened to it: have an after-event examination find it fit and have it returned to \
             service, or take another item.",
            "what something happened to is examined for that before it is used",
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
        write_day(own.zone.day(item.state_since)),
        item.state_reason
    );
    let refusal = refusal(code, sentence, &own_rule(rule), evidence);
    refusals.push(match item.state {
        ItemState::Retired => refusal,
        _ => refusal.mended(Mend::ItemState(item.id)),
    });
}

/// What somebody saw on it when it came back from a job.
fn look_asked(own: &Own<'_>, refusals: &mut Vec<Refusal>) {
    let Some(asked) = own.item.look_asked.as_ref() else {
        return;
    };
    let refusal = refusal(
        RefusalCode::LookAsked,
        "Whoever counted it back wants it looked at: have it examined by a competent person.",
        &own_rule("what somebody doubts is looked at before it goes out again"),
        format!("since {}: {}", write_day(asked.on), asked.note),
    );
    refusals.push(refusal.mended(Mend::Examination(own.item.id)));
}

fn end_of_life(own: &Own<'_>, refusals: &mut Vec<Refusal>) {
    match own.days().life(own.item, own.model) {
        Life::Ends(end) if end.on <= own.last_day() => refusals.push(refusal(
            RefusalCode::PastLife,
            match own.job_end.filter(|job| *job >= end.on) {
                Some(_) => format!(
                    "Its life ends on {}, before the job is over: take another item.",
                    write_day(end.on)
                ),
                None => format!(
                    "Its life ended on {}: take another item.",
                    write_day(end.on)
                ),
            },
            &end.source,
            format!("{}; {}", end.rule, own.last_day_words()),
        )),
        Life::Unknown(why) => refusals.push(
            refusal(
                RefusalCode::LifeUnknown,
                "The end of its life cannot be told: write the date made on its record.",
                &own_rule("what is not known is never a pass"),
                why,
            )
            .mended(Mend::ItemRecord(own.item.id)),
        ),
        Life::Ends(_) | Life::ByCondition(_) => {}
    }
}

fn used_up(own: &Own<'_>, refusals: &mut Vec<Refusal>) {
    for used in used(own.item.usage, own.model) {
        if used.reach == Reach::UsedUp {
            refusals.push(refusal(
                RefusalCode::UsedUp,
                format!("It has {} behind it: take another item.", used.words),
                &Cited::new(
                    "maker's limit of use, as entered for the model",
                    Known::Setting,
                ),
                "sum of the log of use, with that of the rope it was part of",
            ));
        }
    }
}

fn examination(own: &Own<'_>, refusals: &mut Vec<Refusal>) {
    let refusal = match own.days().due_on(own.item, own.model) {
        None if !own.model.kind.is_examined_first() => return,
        None => refusal(
            RefusalCode::NeverExamined,
            "No thorough examination that it passed is on record: have it examined by a competent person, or record the one that it had.",
            &own_rule("nothing is used before it passed an intake or periodic examination"),
            "no intake, periodic or after-event examination that ended in fit is on record",
        ),
        Some((until, rule)) if until < own.last_day() => refusal(
            RefusalCode::Overdue,
            match own.job_end.filter(|job| *job > until) {
                Some(_) => format!(
                    "Its examination is in date until {} only, and the job lasts longer: have it examined.",
                    write_day(until)
                ),
                None => format!(
                    "Its examination was due on {}: have it examined.",
                    write_day(until)
                ),
            },
            &rule,
            format!(
                "last passed on {}; {}",
                own.item.last_passed_on.map(write_day).unwrap_or_default(),
                own.last_day_words()
            ),
        ),
        Some(_) => return,
    };
    refusals.push(refusal.mended(Mend::Examination(own.item.id)));
}

fn identity(own: &Own<'_>, refusals: &mut Vec<Refusal>) {
    let item = own.item;
    // It is asked of what may hold a person.
    if own.model.kind.is_beside_the_rig() {
        return;
    }
    let rule = own.rulebook.identity();
    for mark in &rule.asks {
        let (code, sentence, evidence) = match mark {
            Mark::Serial if is_blank(item.serial.as_ref()) => (
                RefusalCode::SerialUnknown,
                "Its serial is not known: read it on the item and write it on the record.",
                "no serial on record",
            ),
            Mark::SerialOrLot if is_blank(item.serial.as_ref()) && is_blank(item.lot.as_ref()) => (
                RefusalCode::SerialUnknown,
                "Neither its serial nor its lot is known: read one of them on the item and write it on the record.",
                "no serial and no lot on record",
            ),
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
                "Nobody noted whether its markings can be read: look, and say so with an examination.",
                "nothing noted about the markings",
            ),
            _ => continue,
        };
        let mend = match code {
            // Whoever examines it has it in hand and reads what is marked on it.
            RefusalCode::MarkingsUnknown => Mend::Examination(item.id),
            _ => Mend::ItemRecord(item.id),
        };
        refusals.push(refusal(code, sentence, &rule.from, evidence).mended(mend));
    }
}

fn is_blank(text: Option<&String>) -> bool {
    text.is_none_or(|text| text.trim().is_empty())
}

fn notices(own: &Own<'_>, refusals: &mut Vec<Refusal>) {
    let closed = |notice| {
        let closings = own.closings.iter();
        closings
            .filter(|closing| closing.item == own.item.id)
            .any(|closing| closing.notice == notice)
    };
    for notice in own.notices {
        if notice.covers(own.item, own.model) && !closed(notice.id) {
            let sentence = format!(
                "The open safety notice \"{}\" covers it: do what the notice says and close it for this item.",
                notice.title
            );
            refusals.push(of_notice(notice, sentence, (own.item, own.model)));
        }
    }
    let still = own.still_open.iter();
    for (_, notice) in still.filter(|(item, _)| *item == own.item.id) {
        let sentence = format!(
            "The safety notice \"{}\" is open for it still: it covered it until its record was corrected. Do what the notice says and close it for this item.",
            notice.title
        );
        refusals.push(of_notice(notice, sentence, (own.item, own.model)));
    }
}

fn of_notice(notice: &Notice, sentence: String, (item, model): (&Item, &Model)) -> Refusal {
    let issued = write_day(notice.issued_on);
    let from = format!("safety notice of {}, {issued}", notice.issuer);
    let made = item.made.map(|made| made.to_string());
    let evidence = format!(
        "{} {}, lot {}, made {}",
        model.maker,
        model.name,
        item.lot.as_deref().unwrap_or("not known"),
        made.unwrap_or_else(|| "not known".to_owned())
    );
    let from = Cited::new(from, Known::Read);
    refusal(RefusalCode::Notice, sentence, &from, evidence).mended(Mend::Notice(notice.id))
}

pub(super) fn elsewhere(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    let job = question.plan.job;
    for other in question.circumstances.elsewhere {
        // A job that ends at the moment the other starts leaves the item free.
        if job.starts_at < other.ends_at && other.starts_at < job.ends_at {
            let words = other.words(question.circumstances.zone);
            let sentence = if other.is_out {
                format!(
                    "It is out with the crew of \"{}\" and was not counted back: have it counted back, or take another item.",
                    other.title
                )
            } else {
                format!(
                    "It is on another job at that time, {words}: take another item, or have it taken off there."
                )
            };
            let refusal = refusal(
                RefusalCode::OnAnotherJob,
                sentence,
                &own_rule("an item is on one job at a time"),
                words,
            );
            refusals.push(refusal.held_by(&other.who));
        }
    }
}

fn life_support(own: &Own<'_>, refusals: &mut Vec<Refusal>) {
    let model = own.model;
    // A helmet holds nobody, so nobody asks its maker whether it may.
    let carries = own.rulebook.strength_asked(model.kind) != StrengthAsked::Nothing;
    if carries && !model.life_support {
        let refusal = refusal(
            RefusalCode::NotLifeSupport,
            "Its maker does not allow it for holding people: take an item that is meant for it, or mend the model's record if it is wrong.",
            &Cited::new(
                "maker's statement, as entered for the model",
                Known::Setting,
            ),
            format!("{} is entered as not for life support", model.title()),
        );
        refusals.push(refusal.mended(Mend::ModelRecord(model.id)));
    }
}
