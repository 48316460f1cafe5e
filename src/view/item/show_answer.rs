//! The answer of an item's page: may it be chosen, and if not, why not.

use time::Date;

use super::{
    super::{
        Shell,
        examination::watched_words,
        issue::with_crew,
        part::{Answer, Tone},
        reason::Reason,
        words,
    },
    ItemFile,
};
use crate::domain::{
    Criterion, Life, Reach, RefusalCode, ReturnAsked, Standing, Used, Zone,
    checklist::Watched,
    date::write_day,
    fitness::{Own, due, due_on, wherever},
    kit_strength::{KitGap, gaps_wherever},
    standings, used,
};

/// The answer, and whatever else stands against the item.
pub(super) struct Verdict {
    pub answer: Answer,
    /// Why jobs refuse it, beside what the answer says.
    pub reasons: Vec<Reason>,
    /// What a verdict on a kit would lack on its record.
    pub gaps: Vec<Reason>,
}

/// Whether the item may be chosen, and every reason for which any job would refuse it.
pub(super) fn answer(file: &ItemFile, life: &Life, today: Date, shell: &Shell) -> Verdict {
    let zone = &shell.zone;
    let due = due(&file.item, &file.model, &file.rulebook, today);
    let all = standings(&file.item, life, &due, today);
    let stop = all.first().copied().filter(|first| first.stops());
    if stop == Some(Standing::Retired) {
        // What is retired is asked nothing more.
        return Verdict {
            answer: stopped(Standing::Retired, file, life, (today, zone)),
            reasons: Vec::new(),
            gaps: Vec::new(),
        };
    }
    let (notices, closings): (Vec<_>, Vec<_>) = file.notices.iter().cloned().unzip();
    let closings: Vec<_> = closings.into_iter().flatten().collect();
    let still_open = file.still_open.iter();
    let still_open: Vec<_> = still_open.map(|one| (file.item.id, one.clone())).collect();
    let mut refusals = wherever(&Own {
        item: &file.item,
        model: &file.model,
        rulebook: &file.rulebook,
        home: None,
        notices: &notices,
        closings: &closings,
        still_open: &still_open,
        today,
        job_end: None,
        zone,
    });
    // The first of them is the answer itself.
    refusals.retain(|refusal| Some(refusal.code) != stop.and_then(code_of));
    let gaps = gaps_wherever(&file.model);
    let answer = match (stop, all.first()) {
        (Some(stop), _) => stopped(stop, file, life, (today, zone)),
        _ if refusals.iter().any(|one| one.code == RefusalCode::UsedUp) => spent(file),
        _ if !refusals.is_empty() => not_yet(refusals.len(), file),
        _ if !gaps.is_empty() => lacking(gaps.len()),
        _ if nearly_used_up(file).is_some() => near(file),
        (None, Some(first)) => soon(*first, today),
        (None, None) => fit(file, (today, zone)),
    };
    let answer = where_it_is(answer, file, zone);
    let mend = |gap: &KitGap| gap.mend_of_model(file.model.id);
    Verdict {
        answer,
        reasons: Reason::all(&refusals, shell),
        gaps: gaps
            .iter()
            .map(|gap| Reason::of_gap(gap, mend(gap), shell))
            .collect(),
    }
}

/// The same answer, with where the item is before whether it is fit: with a crew, or not found in its store.
fn where_it_is(answer: Answer, file: &ItemFile, zone: &Zone) -> Answer {
    let (words, why) = match (&file.with_crew, &file.unseen) {
        (Some(issue), _) => (
            "Not there now.",
            format!(
                "It is {}, and must be counted back before it goes elsewhere.",
                with_crew(issue, zone)
            ),
        ),
        (None, Some(check)) => (
            "Not found in its store.",
            format!(
                "It was not in {} when that was last looked through on {}: look for it, or report it missing.",
                check.name,
                write_day(check.on)
            ),
        ),
        (None, None) => return answer,
    };
    let tone = match answer.tone {
        Tone::Fit => Tone::Watch,
        other => other,
    };
    let fit = format!("{words} {}", answer.words);
    Answer::new(tone, fit).why(format!("{why} {}", answer.why))
}

/// The reason that says what a standing says.
fn code_of(standing: Standing) -> Option<RefusalCode> {
    Some(match standing {
        Standing::Retired => RefusalCode::Retired,
        Standing::Quarantined => RefusalCode::Quarantined,
        Standing::Missing => RefusalCode::Missing,
        Standing::PastLife(_) => RefusalCode::PastLife,
        Standing::LifeUnknown => RefusalCode::LifeUnknown,
        Standing::NeverPassed => RefusalCode::NeverExamined,
        Standing::Overdue(_) => RefusalCode::Overdue,
        Standing::DueSoon(_) | Standing::LifeEndsSoon(_) => return None,
    })
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
        .why(format!("Because: {because}. {}", way_back(file))),
        Standing::Missing => {
            Answer::new(Tone::Hold, format!("Not to be used: missing since {since}"))
                .why(format!(
                    "Because: {because}. Once it is found, put it in quarantine: an after-event examination has to find it fit."
                ))
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
        Standing::NeverPassed => Answer::new(
            Tone::Stop,
            "Not to be used: no passed examination is on record",
        )
        .why("Record its intake examination first."),
        Standing::LifeUnknown => Answer::new(
            Tone::Stop,
            "Not to be used: the end of its life cannot be told",
        )
        .why(sentence(first, life)),
        Standing::DueSoon(_) | Standing::LifeEndsSoon(_) => soon(first, today),
    }
}

/// What leads out of quarantine.
fn way_back(file: &ItemFile) -> String {
    if let Some(why) = file.unanswered.refusal() {
        return why;
    }
    let mut words = file.unanswered.in_words(&file.item);
    words.push(decision(file));
    words.join(" ")
}

/// Whose decision brings it back, where no thorough examination speaks against it.
fn decision(file: &ItemFile) -> String {
    match file.item.event_hold {
        None => "It leaves quarantine only by a competent person's decision.".to_owned(),
        Some(hold) if hold.examined => {
            "An after-event examination found it fit; it waits to be returned to service."
                .to_owned()
        }
        Some(hold) => format!(
            "An after-event examination on {} or later must find it fit, then it may be returned to service.",
            write_day(hold.since)
        ),
    }
}

/// In service and in date, yet something else speaks against it.
fn not_yet(reasons: usize, file: &ItemFile) -> Answer {
    Answer::new(Tone::Stop, "In date, but no job will take it").why(format!(
        "Under {} there {} against it.",
        file.rulebook.title(),
        match reasons {
            1 => "is 1 reason".to_owned(),
            n => format!("are {n} reasons"),
        }
    ))
}

/// As much use as the maker allows is behind it: that ends its life as a day would.
fn spent(file: &ItemFile) -> Answer {
    let limits = used(file.item.usage, &file.model).into_iter();
    let spent = limits.filter(|used| used.reach == Reach::UsedUp);
    let spent: Vec<String> = spent.map(|used| used.words).collect();
    Answer::new(Tone::Stop, "Not to be used: it is used up").why(format!(
        "It has {} behind it, and the maker allows no more.",
        spent.join(" and ")
    ))
}

/// The first of the maker's limits of use that is near.
fn nearly_used_up(file: &ItemFile) -> Option<Used> {
    let mut limits = used(file.item.usage, &file.model).into_iter();
    limits.find(|used| used.reach == Reach::Near)
}

/// Fit, and nearly used up.
fn near(file: &ItemFile) -> Answer {
    let used = nearly_used_up(file)
        .map(|used| used.words)
        .unwrap_or_default();
    Answer::new(Tone::Watch, "Fit to be chosen; soon used up").why(format!(
        "It has {used} behind it; once nothing is left no job takes it."
    ))
}

/// Fit, but a verdict on the kit would find too little on its record.
fn lacking(gaps: usize) -> Answer {
    let lacks = words::count(gaps, "thing", "things");
    Answer::new(
        Tone::Watch,
        format!("Fit to be chosen; a verdict on the kit lacks {lacks}"),
    )
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
        _ => String::new(),
    }
}

/// That somebody asked for its return from quarantine, and that another one must confirm it.
pub(super) fn asked(file: &ItemFile) -> Option<String> {
    let asked = file.item.return_asked.as_ref()?;
    Some(asked_in_words(asked, &file.asked_by))
}

/// The same, of what was asked by whoever is called so.
pub(super) fn asked_in_words(asked: &ReturnAsked, by: &str) -> String {
    format!(
        "{by} asked for its return to service, found fit on {}: {} Another competent person confirms it; until then it stays in quarantine.",
        write_day(asked.on),
        asked.reason
    )
}

/// What is to be watched, and what was seen of it.
pub(super) fn watching_row((criterion, watched): &(Criterion, Watched)) -> (String, String) {
    (criterion.words.clone(), watched_words(watched))
}
