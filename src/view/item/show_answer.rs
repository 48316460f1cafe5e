//! The answer of an item's page: may it be chosen, and if not, why not.

use time::Date;

use super::{
    super::{
        part::{Answer, Tone},
        words,
    },
    ItemFile,
};
use crate::domain::{
    ItemState, Life, Standing, Zone,
    date::write_day,
    fitness::{due, due_on},
    rulebook::{Mark, StrengthAsked},
    standings,
};

/// The answer, and whatever else stands against the item, a sentence each.
pub(super) fn answer(
    file: &ItemFile,
    life: &Life,
    (today, zone): (Date, &Zone),
) -> (Answer, Vec<String>) {
    let due = due(&file.item, &file.model, &file.rulebook, today);
    let all = standings(&file.item, life, &due, today);
    let mut reasons = Vec::new();
    let open = file.notices.iter().filter(|(_, closing)| closing.is_none());
    let covered = open.map(|(notice, _)| {
        format!(
            "The safety notice \"{}\" covers it and is not closed for it.",
            notice.title
        )
    });
    let stops = all.iter().filter(|standing| standing.stops());
    reasons.extend(stops.skip(1).map(|standing| sentence(*standing, life)));
    reasons.extend(covered);
    reasons.extend(gaps(file));
    let answer = match all.first() {
        Some(first) if first.stops() => stopped(*first, file, life, (today, zone)),
        _ if !reasons.is_empty() => not_yet(&mut reasons),
        Some(first) => soon(*first, today),
        None => fit(file, (today, zone)),
    };
    (answer, reasons)
}

fn stopped(first: Standing, file: &ItemFile, life: &Life, (today, zone): (Date, &Zone)) -> Answer {
    let item = &file.item;
    let since = write_day(zone.day(item.state_since));
    let because = item.state_reason.trim_end_matches('.');
    match first {
        Standing::Retired => {
            Answer::new(Tone::Out, format!("Not to be used: retired since {since}"))
                .why(format!("Because: {because}. Retired is for good."))
        }
        Standing::Quarantined => Answer::new(
            Tone::Hold,
            format!("Not to be used: in quarantine since {since}"),
        )
        .why(format!(
            "Because: {because}. It leaves quarantine only by a competent person's decision."
        )),
        Standing::Missing => {
            Answer::new(Tone::Hold, format!("Not to be used: missing since {since}"))
                .why(format!("Because: {because}."))
        }
        Standing::PastLife(day) => Answer::new(
            Tone::Stop,
            format!("Not to be used: its life ended on {}", write_day(day)),
        )
        .why(sentence(first, life)),
        Standing::Overdue(day) => Answer::new(
            Tone::Stop,
            format!("Overdue since {}: examine it before use", write_day(day)),
        )
        .why(format!(
            "Its examination was due {}.",
            words::from_today(day, today)
        )),
        Standing::NeverPassed => {
            Answer::new(Tone::Stop, "Not to be used: never passed an examination")
                .why("Record its intake examination first.")
        }
        Standing::LifeUnknown => Answer::new(
            Tone::Stop,
            "Not to be used: the end of its life cannot be told",
        )
        .why(sentence(first, life)),
        Standing::DueSoon(_) | Standing::LifeEndsSoon(_) => soon(first, today),
    }
}

/// In service and in date, yet something else speaks against it.
fn not_yet(reasons: &mut Vec<String>) -> Answer {
    let first = reasons.remove(0);
    Answer::new(Tone::Stop, "In date, but no job will take it").why(first)
}

fn soon(first: Standing, today: Date) -> Answer {
    let answer = |what: &str, day: Date| {
        Answer::new(
            Tone::Watch,
            format!("Fit to be chosen; {what} {}", words::from_today(day, today)),
        )
    };
    match first {
        Standing::LifeEndsSoon(day) => answer("its life ends", day)
            .why(format!("The first day without it is {}.", write_day(day))),
        Standing::DueSoon(day) => answer("examination due", day)
            .why(format!("On {} it is still in date.", write_day(day))),
        _ => Answer::new(Tone::Watch, "Fit to be chosen"),
    }
}

fn fit(file: &ItemFile, (today, zone): (Date, &Zone)) -> Answer {
    let due = due_on(&file.item, &file.model, &file.rulebook);
    let next = due.map(|(day, _)| {
        format!(
            "The next examination is due on {}, {}.",
            write_day(day),
            words::from_today(day, today)
        )
    });
    let job = file.jobs.first().map(|job| {
        format!(
            " The job \"{}\" has it until {}.",
            job.title,
            zone.words(job.ends_at)
        )
    });
    Answer::new(Tone::Fit, "Fit to be chosen")
        .why(next.unwrap_or_default() + &job.unwrap_or_default())
}

fn sentence(standing: Standing, life: &Life) -> String {
    match (standing, life) {
        (Standing::PastLife(_), Life::Ends(end)) => {
            format!("Its life ended on {}: {}.", write_day(end.on), end.rule)
        }
        (Standing::LifeUnknown, Life::Unknown(why)) => why.clone(),
        (Standing::NeverPassed, _) => {
            "It never passed an examination: record its intake.".to_owned()
        }
        (Standing::Overdue(day), _) => {
            format!("Its examination was due on {}.", write_day(day))
        }
        _ => String::new(),
    }
}

/// What the record lacks, so that a job would refuse the item. Retired ones are asked nothing more.
fn gaps(file: &ItemFile) -> Vec<String> {
    let (item, model) = (&file.item, &file.model);
    let mut gaps = Vec::new();
    if item.state == ItemState::Retired {
        return gaps;
    }
    for mark in &file.rulebook.identity().asks {
        let gap = match mark {
            Mark::Serial if item.serial.is_none() => {
                "Its serial is not known: write it down from the marking."
            }
            Mark::Made if item.made.is_none() => {
                "When it was made is not known: write it down from the marking or the papers."
            }
            Mark::Markings if item.markings_readable.is_none() => {
                "Nobody has noted whether its markings can be read: look, and write it down."
            }
            Mark::Markings if item.markings_readable == Some(false) => {
                "Its markings cannot be read."
            }
            _ => continue,
        };
        gaps.push(gap.to_owned());
    }
    let carries = file.rulebook.strength_asked(model.kind) != StrengthAsked::Nothing;
    if carries && !model.life_support {
        gaps.push("Its model is not for holding people.".to_owned());
    }
    gaps
}
