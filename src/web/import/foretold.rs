//! What jobs will say of the items of a list, as the page of a rehearsal shows it, with what one answer mends.

use std::collections::BTreeSet;

use super::{
    asked::{open, plain},
    typed::Fields,
};
use crate::{
    domain::{Competence, date::write_day},
    import::{
        Answers, Field, Foretold, OfModel, Offer, ReadIn, Reason, Seen, SeenOf, read_in,
        rows_as_sent, rows_in_words, usual_unit,
    },
    view::{
        import::{Asked, ForetoldLine, ForetoldSheet},
        part::{Answer, Tone},
        words::count,
    },
};

/// Who looks at the page, and when.
#[derive(Clone, Copy)]
pub(super) struct Looker<'a> {
    pub(super) name: &'a str,
    pub(super) today: time::Date,
    /// Who is competent, where the looker may record more of them.
    pub(super) competence: Option<&'a Competence>,
}

/// Numbers the fields of models in the order in which they stand on the page.
pub(super) struct Given<'a> {
    fields: Fields<'a>,
    answers: &'a Answers,
    /// Model and field of each that is on the page.
    shown: Vec<(String, String)>,
}

impl<'a> Given<'a> {
    pub(super) fn new(fields: Fields<'a>, answers: &'a Answers) -> Self {
        Self {
            fields,
            answers,
            shown: Vec::new(),
        }
    }

    /// Asks where something was read: a value that is on the page already, or those that are typed beside it.
    pub(super) fn ask_where(
        &self,
        name: &str,
        label: &str,
        field: Field,
        read: Option<ReadIn>,
    ) -> Asked {
        let value = read.map_or("", ReadIn::key);
        let choices = read_in(field).map(|read| (read.key().to_owned(), read.words().to_owned()));
        let choices = open(choices.collect());
        plain(self.fields.choice(name, label, value, choices))
    }

    /// Where what was said of a field of a model was read.
    fn read(&self, title: &str, key: &str) -> Option<ReadIn> {
        self.answers.sources.get(title)?.get(key).copied()
    }

    /// Asks for a field of a model; `by` is the name of the field that says where it was read.
    pub(super) fn ask(&mut self, (title, field): (&str, Field), label: &str, by: &str) -> Asked {
        let (number, key, of) = (self.shown.len(), field.key(), field);
        let said = self.answers.models.get(title);
        let said = said.and_then(|fields| fields.get(&key));
        let name = format!("given-{number}");
        let value = said.map_or("", String::as_str);
        let field = match choices(field) {
            Some(choices) => self.fields.choice(&name, label, value, choices),
            None => self.fields.line(&name, label, value),
        };
        let field = match usual_unit(of) {
            Some(unit) => field.unit(unit),
            None => field,
        };
        self.shown.push((title.to_owned(), key.clone()));
        Asked {
            hidden: vec![
                (format!("model-{number}"), title.to_owned()),
                (format!("of-{number}"), key),
                (format!("by-{number}"), by.to_owned()),
            ],
            ..plain(field)
        }
    }

    /// What was said of models and is asked no more, each with the model and the field.
    pub(super) fn said(&mut self) -> Vec<(String, String, Asked)> {
        let mut said = Vec::new();
        for (title, fields) in &self.answers.models {
            for key in fields.keys() {
                let shown = self
                    .shown
                    .iter()
                    .any(|(of, field)| of == title && field == key);
                if let Some(field) = Field::from_key(key).filter(|_| !shown) {
                    let by = format!("source-{}", self.shown.len());
                    let label = format!("{title}: {}", field.label());
                    let asked = self.ask((title, field), &label, &by);
                    said.push((title.clone(), key.clone(), asked));
                    let label = format!("{label}, where it was read");
                    let read = self.read(title, key);
                    let asked = self.ask_where(&by, &label, field, read);
                    said.push((title.clone(), key.clone(), asked));
                }
            }
        }
        said
    }
}

/// What can be chosen for a field of a model; none where it is written.
fn choices(field: Field) -> Option<Vec<(String, String)>> {
    let words = field.choices();
    let words = words.iter().map(|word| (word.clone(), word.clone()));
    (!field.choices().is_empty()).then(|| open(words.collect()))
}

pub(super) fn foretold(
    foretold: &Foretold,
    given: &mut Given<'_>,
    looker: Looker<'_>,
) -> ForetoldSheet {
    let answer = match foretold.sentence() {
        Some(sentence) => Answer::new(Tone::Stop, sentence)
            .why("Each reason stands below with what mends it. You may also take the list in as it is, and mend each item later."),
        None => Answer::new(Tone::Fit, "Nothing stands against any of the items on every job."),
    };
    let out = match foretold.out {
        0 => String::new(),
        out => format!(
            "{} out of service, as the list says: nobody asks more of what is in quarantine, missing or retired.",
            count(out, "item comes in", "items come in")
        ),
    };
    ForetoldSheet {
        answer,
        rulebook: foretold.rulebook.clone(),
        out,
        reasons: foretold
            .reasons
            .iter()
            .map(|reason| line(reason, given, looker))
            .collect(),
        at_positions: foretold
            .at_positions
            .iter()
            .map(|reason| line(reason, given, looker))
            .collect(),
    }
}

fn line(reason: &Reason, given: &mut Given<'_>, looker: Looker<'_>) -> ForetoldLine {
    let items = count(reason.rows.len(), "item", "items");
    let mut line = ForetoldLine {
        sentence: reason.sentence.to_owned(),
        items: items.clone(),
        // What is wrong with a field must not be hidden.
        open: matches!(reason.offer, Offer::Seen(_)) || given.fields.form.is_wrong(),
        rows: format!("{items}: {}", rows_in_words(&reason.rows)),
        to_do: reason.to_do.clone(),
        rule: reason.rule.clone(),
        asked: Vec::new(),
        models: Vec::new(),
    };
    match &reason.offer {
        Offer::InFile => {}
        Offer::Seen(of) => {
            let said = given.answers.seen.get(of);
            // What was said of other rows is said anew of all of them, or no more.
            let mut rows = said.map_or_else(BTreeSet::new, |seen| seen.rows.clone());
            rows.extend(&reason.rows);
            let rows: Vec<u32> = rows.into_iter().collect();
            line.asked = seen(given.fields, *of, (said, Ticked::No), (&rows, looker));
        }
        Offer::Models(models) => {
            let by = format!("source-of-{}", reason.code);
            for model in models {
                offer(model, given, (&mut line, &by));
            }
            let mut asked = models.iter().filter(|model| model.id.is_none());
            if let Some(field) = asked.clone().find_map(|model| model.field) {
                let read = asked.find_map(|model| given.read(&model.title, &field.key()));
                let asked = given.ask_where(&by, "Where you read what you write here", field, read);
                line.asked.push(asked);
            }
        }
    }
    line
}

/// Asks for what a model lacks, or shows where it can be mended.
fn offer(model: &OfModel, given: &mut Given<'_>, (line, by): (&mut ForetoldLine, &str)) {
    let items = count(model.items, "item", "items");
    let of = format!("{} {} ({items})", model.kind.word(), model.title);
    match (model.id, model.field) {
        (None, Some(field)) => {
            let label = format!("{of}: {}", field.label());
            let mut asked = given.ask((&model.title, field), &label, by);
            asked.field = asked
                .field
                .hint(&format!("{} {}", model.lack(), how(field)));
            line.asked.push(asked);
        }
        (id, _) => line.models.push((
            format!("{of}. {}", model.sentence),
            id.map(|id| format!("/models/{id}/edit")),
        )),
    }
}

/// How a value is written, where that is not plain from its unit.
fn how(field: Field) -> &'static str {
    match field {
        Field::RatedLoad => "With its unit: \"200 kg\" or \"2 kN\".",
        Field::Standard => "With its class, where it has one: \"EN 1891 A\".",
        Field::Attribute("efficiency") => "As a share or in per cent: \"0.92\" or \"92 %\".",
        field if usual_unit(field).is_some() => {
            "A number alone is in this unit; others are written with theirs."
        }
        _ => "",
    }
}

/// Whether something was said of these very rows.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Ticked {
    Yes,
    No,
}

/// Asks whether somebody has seen something of the items.
pub(super) fn seen(
    fields: Fields<'_>,
    of: SeenOf,
    (said, ticked): (Option<&Seen>, Ticked),
    (rows, looker): (&[u32], Looker<'_>),
) -> Vec<Asked> {
    let name = format!("seen[{}]", of.key());
    let items = match (rows.len(), of) {
        (0, SeenOf::MarkingsUnknown) => "all items".to_owned(),
        (0, _) => "All items that need it".to_owned(),
        (1, SeenOf::MarkingsUnknown) => "this item".to_owned(),
        (1, _) => "This item".to_owned(),
        (rows, SeenOf::MarkingsUnknown) => format!("these {rows} items"),
        (rows, _) => format!("These {rows} items"),
    };
    let today = write_day(looker.today);
    let day = match (said, of) {
        (Some(seen), _) => seen.on.as_str(),
        (None, SeenOf::MarkingsUnknown) => &today,
        (None, _) => "",
    };
    let by = said.map_or(looker.name, |seen| seen.by.as_str());
    let (who, when) = match of {
        SeenOf::MarkingsUnknown => ("Who has seen them", "On which day"),
        _ => ("Who examined them", "On which day they were examined"),
    };
    let ticked = ticked == Ticked::Yes;
    let tick = fields.tick(&name, &format!("{}.", of.statement(&items)), ticked);
    let told = if rows.is_empty() {
        of.recorded().to_owned()
    } else {
        format!("{} It is said of {}.", of.recorded(), rows_in_words(rows))
    };
    let asked = [
        tick.hint(&told),
        fields.line(&format!("{name}[by]"), who, by),
        fields.day(&format!("{name}[on]"), when, day).must(),
    ];
    let mut asked = asked.map(plain);
    asked[0].hidden = vec![(format!("{name}[rows]"), rows_as_sent(rows))];
    asked.into()
}
