//! What an item is, fact by fact, in words.

use time::{Date, OffsetDateTime};

use super::{BesideThen, Fact, model_facts};
use crate::domain::fitness::due;
use crate::domain::{Item, Life, Names, Zone, date::write_day, life};

/// The facts of an item on a day, held against what stood around it. Models, places, people and other items are called as
/// they are called today.
pub fn item_facts(
    item: &Item,
    beside: &BesideThen,
    names: &Names,
    (on, zone): (Date, &Zone),
) -> Vec<Fact> {
    let mut facts = vec![
        Fact::new("State", item.state.word()),
        Fact::new("Why", item.state_reason.as_str()),
        Fact::new(
            "In this state since it was recorded on",
            moment(item.state_since, zone),
        ),
    ];
    facts.extend(held_against(item, beside, on));
    facts.extend([
        Fact::new(
            "Last passed a thorough examination",
            day(item.last_passed_on),
        ),
        Fact::new("Next due, as that one said", day(item.next_due_on)),
        Fact::new("Mark", item.mark.as_str()),
        Fact::new("Model", names.of(item.model.0)),
    ]);
    facts.extend(beside.model(item).map(model_facts).into_iter().flatten());
    facts.extend([
        Fact::new("Place", names.of(item.store.0)),
        Fact::new("Serial", text(item.serial.as_ref())),
        Fact::new("Lot", text(item.lot.as_ref())),
        Fact::new(
            "Made",
            item.made.map_or_else(unknown, |made| made.to_string()),
        ),
        Fact::new("Bought", day(item.bought_on)),
        Fact::new(
            "First used",
            item.first_used_on
                .map_or_else(unknown, |first| first.to_string()),
        ),
        Fact::new("Markings", markings(item.markings_readable)),
        Fact::new(
            "Arduous use",
            item.arduous.clone().unwrap_or_else(|| "no".to_owned()),
        ),
        Fact::new("Note", none_if_empty(&item.note)),
        Fact::new("Use that was logged", none_if_empty(&item.usage.words())),
    ]);
    let typed = item.attributes.typed().into_iter();
    facts.extend(
        typed.map(|(key, value)| Fact::new(format!("Its {}", key.replace('-', " ")), value)),
    );
    facts.extend(holds(item, names));
    facts
}

/// What its examination, its life and the notices about it say, by which rulebook.
fn held_against(item: &Item, beside: &BesideThen, on: Date) -> Vec<Fact> {
    let open = beside.open_notices(item).into_iter();
    let open: Vec<String> = open
        .map(|notice| {
            let (title, issued) = (&notice.title, write_day(notice.issued_on));
            format!("\"{title}\", issued on {issued}: {}", notice.action)
        })
        .collect();
    let mut facts = vec![Fact::new("Open notices", none_if_empty(&open.join("; ")))];
    let Some(model) = beside.model(item) else {
        return facts;
    };
    let rulebook = beside.rulebook();
    let due = due(item, model, rulebook, on);
    let until = due
        .until()
        .map(|until| format!(", until {}", write_day(until)));
    let due = format!("{}{}", due.word(), until.unwrap_or_default());
    facts.extend([
        Fact::new("Examination on that day", due),
        Fact::new("Life", life_words(&life(item, model, rulebook), on)),
        Fact::new("Rulebook of the team", beside.rulebook_words()),
    ]);
    facts
}

fn life_words(life: &Life, on: Date) -> String {
    match life {
        Life::Ends(end) if end.on <= on => {
            format!("over since {}: {}", write_day(end.on), end.rule)
        }
        Life::Ends(end) => format!("ends on {}: {}", write_day(end.on), end.rule),
        Life::ByCondition(_) => "by condition".to_owned(),
        Life::Unknown(why) => why.clone(),
    }
}

/// What holds it back, and what it was cut from and into.
fn holds(item: &Item, names: &Names) -> Vec<Fact> {
    let mut facts = Vec::new();
    let mut add = |title: &str, value: Option<String>| {
        facts.extend(value.map(|value| Fact::new(title, value)));
    };
    add(
        "Held for an event of",
        item.event_hold.map(|hold| {
            let examined = if hold.examined {
                ", examined since"
            } else {
                ", not examined since"
            };
            format!("{}{examined}", write_day(hold.since))
        }),
    );
    add(
        "Return asked for",
        item.return_asked.as_ref().map(|asked| {
            format!(
                "by {} on {}: {}",
                names.of(asked.by.0),
                write_day(asked.on),
                asked.reason
            )
        }),
    );
    add(
        "To be looked at",
        item.look_asked.as_ref().map(|asked| {
            format!(
                "since it came back from {} on {}: {}",
                names.of(asked.job.0),
                write_day(asked.on),
                asked.note
            )
        }),
    );
    add(
        "Retired",
        item.retired
            .as_ref()
            .map(|retired| format!("on {}: {}", write_day(retired.on), retired.because.word())),
    );
    let from = item.whole_ropes().first();
    add(
        "Cut from",
        from.map(|rope| format!("{} on {}", names.of(rope.item.0), write_day(rope.on))),
    );
    add(
        "Cut into",
        item.cut_into.as_ref().map(|into| {
            let pieces: Vec<String> = into.pieces.iter().map(|piece| names.of(piece.0)).collect();
            format!("{} on {}", pieces.join(", "), write_day(into.on))
        }),
    );
    facts
}

fn unknown() -> String {
    "not known".to_owned()
}

fn day(day: Option<Date>) -> String {
    day.map_or_else(unknown, write_day)
}

fn text(text: Option<&String>) -> String {
    text.cloned().unwrap_or_else(unknown)
}

fn none_if_empty(text: &str) -> String {
    if text.is_empty() {
        "none".to_owned()
    } else {
        text.to_owned()
    }
}

fn markings(readable: Option<bool>) -> &'static str {
    match readable {
        Some(true) => "readable",
        Some(false) => "cannot be read",
        None => "nobody looked",
    }
}

fn moment(at: OffsetDateTime, zone: &Zone) -> String {
    zone.words(at)
}
