//! What somebody has seen of many items at once, as the page of a rehearsal asks for it.

use super::{asked::plain, given::Given};
use crate::{
    domain::Competence,
    import::{Field, Headings, Markings, Reason, Seen, SeenOf, rows_as_sent, rows_in_words},
    view::{form, import::Asked},
};

/// Who looks at the page.
#[derive(Clone, Copy)]
pub(super) struct Looker<'a> {
    pub(super) name: &'a str,
    /// Who is competent, where the looker may record more of them.
    pub(super) competence: Option<&'a Competence>,
}

/// The word that says markings were seen on all items.
pub(super) const ON_ALL: &str = "yes";
/// The word that says the same of the examiner of each row, on the day of its examination.
pub(super) const BY_EXAMINER: &str = "by-examiner";
/// The word that leaves it with what was said before, of the rows it was said of.
pub(super) const AS_SAID: &str = "as-said";

/// Asks what is known of the markings: seen on all, not looked at yet, or told by a column. `rows` are those that it
/// would be said of.
pub(super) fn markings(given: &Given<'_>, headings: &Headings, rows: &[u32]) -> Vec<Asked> {
    let (fields, of) = (given.fields, SeenOf::MarkingsUnknown);
    let name = format!("seen[{}]", of.key());
    let said = given.answers.seen.get(&of);
    let column = headings.of(Field::MarkingsReadable);
    let list = given.answers.markings == Some(Markings::List);
    let value = match said {
        Some(_) => AS_SAID,
        None if list || column.is_some() => Markings::List.key(),
        None => Markings::NotYet.key(),
    };
    let choices = choices(said, rows);
    let told = match column {
        Some(column) => format!(
            "\"{}\" is read as that column; where it says nothing, nobody has looked yet.",
            column.heading
        ),
        None => "For a column, say below under \"The columns\" which one it is.".to_owned(),
    };
    let choice = fields.choice(&name, "What is known of their markings", value, choices);
    let choice = choice.hint(&format!(
        "Say that they were seen only if somebody has had each of them in hand. {} By the examiner of each row, it is your statement, and the note says so; rows without an examination stay as they are. {told}",
        of.recorded()
    ));
    let faults = given.faulty.on("markings").map(str::to_owned);
    // Nobody signs for having seen anything by leaving a field as it came.
    let by = said.map_or("", |seen| seen.by.as_str());
    let on = said.map_or("", |seen| seen.on.as_str());
    let (by, on) = who_and_when(
        given,
        (&name, by, on),
        (
            "If one person has seen them: who",
            "If one person has seen them: on which day",
        ),
    );
    let choice = Asked {
        hidden: vec![(format!("{name}[rows]"), rows_as_sent(rows))],
        ..plain(choice.told(faults))
    };
    vec![choice, plain(by), plain(on)]
}

/// What can be known of the markings; what was said before stays said of the rows it was said of.
fn choices(said: Option<&Seen>, rows: &[u32]) -> form::Choices {
    let as_said = said.map(|seen| {
        let rows: Vec<u32> = seen.rows.iter().copied().collect();
        let of = match rows.as_slice() {
            [] => "all of them".to_owned(),
            rows => format!("{}, as you said", rows_in_words(rows)),
        };
        let by = if seen.each {
            ", by the examiner of each row"
        } else {
            ""
        };
        (AS_SAID.to_owned(), format!("Seen and readable on {of}{by}"))
    });
    let all = match rows.len() {
        1 => "Seen and readable on this item".to_owned(),
        rows => format!("Seen and readable on each of these {rows}"),
    };
    let other = Markings::choices().into_iter();
    as_said
        .into_iter()
        .chain(other)
        .chain([(
            ON_ALL.to_owned(),
            format!("{all}, by one person on one day"),
        )])
        .chain([(
            BY_EXAMINER.to_owned(),
            "Seen and readable, by the examiner of each row on the day it was examined".to_owned(),
        )])
        .collect()
}

/// Asks on which one day all of some items were examined, if they were: a day that is written says so.
pub(super) fn examined(
    given: &Given<'_>,
    (of, reason): (SeenOf, &Reason),
    looker: Looker<'_>,
) -> Vec<Asked> {
    let said = given.answers.seen.get(&of);
    // What was said stays said of the rows that it was said of.
    let rows: Vec<u32> = match said {
        Some(seen) if !seen.rows.is_empty() => seen.rows.iter().copied().collect(),
        _ => reason.rows.clone(),
    };
    examined_rows(given, (of, said), (&rows, looker))
}

/// The same of these rows.
pub(super) fn examined_rows(
    given: &Given<'_>,
    (of, said): (SeenOf, Option<&Seen>),
    (rows, looker): (&[u32], Looker<'_>),
) -> Vec<Asked> {
    let name = format!("seen[{}]", of.key());
    let items = match rows.len() {
        0 => "all items that need it".to_owned(),
        1 => "this item".to_owned(),
        rows => format!("all {rows} items"),
    };
    let by = said.map_or(looker.name, |seen| seen.by.as_str());
    let on = said.map_or("", |seen| seen.on.as_str());
    let when = of.asked(&items);
    let (by, on) = who_and_when(given, (&name, by, on), ("Who examined them", &when));
    let told = match rows {
        [] => of.recorded().to_owned(),
        rows => format!("{} It is said of {}.", of.recorded(), rows_in_words(rows)),
    };
    let on = Asked {
        hidden: vec![(format!("{name}[rows]"), rows_as_sent(rows))],
        ..plain(on.hint(&told))
    };
    vec![on, plain(by)]
}

/// Who has seen something, and when; what of it does not hold is told with it.
fn who_and_when(
    given: &Given<'_>,
    (name, by, on): (&str, &str, &str),
    (who, when): (&str, &str),
) -> (form::Field, form::Field) {
    let fields = given.fields;
    let told = |name: &str| {
        let told = given.faulty.on(name).map(str::to_owned);
        told.collect::<Vec<_>>()
    };
    let (of_by, of_on) = (format!("{name}[by]"), format!("{name}[on]"));
    let by = fields.line(&of_by, who, by).told(told(&of_by));
    (by, fields.day(&of_on, when, on).told(told(&of_on)))
}
