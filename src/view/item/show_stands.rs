//! How an item stands: its state, where it is, what falls due.

use time::Date;

use super::{
    super::{issue::with_crew, part::Facts, words},
    ItemFile,
};
use crate::domain::{
    ItemState, Life, Zone,
    date::write_day,
    fitness::{due_on, interval_months, interval_of},
};

/// How it stands on a day.
pub(super) fn stands(file: &ItemFile, life: &Life, (today, zone): (Date, &Zone)) -> Facts {
    let item = &file.item;
    let ahead = |day: Date| format!("{}, {}", write_day(day), words::from_today(day, today));
    // A due day is itself still in date, and is said to be.
    let in_date = |day: Date| format!("{}; in date through that day", ahead(day));
    let store = file.store.as_ref();
    let facts = Facts::default()
        .and_from("State", item.state.word(), since(file, zone))
        .and_from(
            "Store",
            store.map(|store| store.name.clone()).unwrap_or_default(),
            file.with_crew
                .as_ref()
                .map(|issue| format!("not there now: {}", with_crew(issue, zone)))
                .unwrap_or_default(),
        );
    let (months, rule) = interval_of(item, &file.model, &file.rulebook);
    let every = words::every(months, &rule);
    let facts = match (item.state, due_on(item, &file.model, &file.rulebook)) {
        (ItemState::Retired, _) => facts.and("Next examination", "none; it is retired"),
        (_, Some((day, binds))) if binds == rule => {
            facts.and_from("Next examination", in_date(day), every)
        }
        (_, Some((day, binds))) => facts.and_from(
            "Next examination",
            in_date(day),
            format!("{binds}; {every}"),
        ),
        (_, None) => facts.and_from("Next examination", "an intake examination, now", every),
    };
    let passed = item
        .last_passed_on
        .map_or_else(|| "never".to_owned(), ahead);
    let facts = facts.and("Last passed", passed);
    let facts = match &item.arduous {
        Some(why) => facts.and_from("Use", "arduous", arduous(file, why)),
        None => facts,
    };
    match life {
        Life::Ends(end) => facts.and_from(
            "Life ends",
            ahead(end.on),
            format!("{}; {}", end.rule, end.source),
        ),
        Life::ByCondition(source) => {
            facts.and_from("Life ends", "by its condition", source.to_string())
        }
        Life::Unknown(why) => facts.and_from("Life ends", "cannot be told", why.clone()),
    }
}

/// Since when it is in its state and why, and that the notice which put it there covers it no more.
fn since(file: &ItemFile, zone: &Zone) -> String {
    let item = &file.item;
    let day = write_day(zone.day(item.state_since));
    let reason = &item.state_reason;
    match &file.let_go {
        Some(gone) => {
            let gone = gone.in_words(zone);
            format!("since {day}: {reason}. {gone}")
        }
        None => format!("since {day}: {reason}"),
    }
}

/// Why the use is arduous, and whether any rule makes the interval shorter for it.
fn arduous(file: &ItemFile, why: &str) -> String {
    let (usual, _) = interval_months(&file.model, &file.rulebook);
    let (months, _) = interval_of(&file.item, &file.model, &file.rulebook);
    if months < usual {
        return format!("{why}; the rule for arduous use binds");
    }
    format!(
        "{why}; the rulebook has no shorter interval for arduous use of {}. Where the maker has one, write it on the model, or name an earlier day at the next examination",
        file.model.kind.one()
    )
}
