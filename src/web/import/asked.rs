//! What is asked of a list, and what its columns are read as, as the page of its rehearsal shows it.

use super::{agreed, competent, maker, people, restricted, seen::Looker, typed::Fields};
use crate::{
    import::{Answers, ColumnUse, Differing, Field, Question, Rehearsal, Target, offered},
    view::{
        form,
        import::{Asked, ColumnLine},
    },
};

pub(super) type Choices = Vec<(String, String)>;

/// A field with nothing beside it.
pub(super) fn plain(field: form::Field) -> Asked {
    Asked {
        field,
        hidden: Vec::new(),
        fold: None,
    }
}

/// With a first line that chooses nothing.
pub(super) fn open(mut choices: Choices) -> Choices {
    choices.insert(0, (String::new(), "Choose".to_owned()));
    choices
}

/// What has to be answered; of headings only those that nobody knows, before all else.
pub(super) fn asked(
    form: Fields<'_>,
    (rehearsal, answers): (&Rehearsal, &Answers),
    looker: Looker<'_>,
) -> Vec<Asked> {
    let mut asked = Vec::new();
    for line in columns(form, rehearsal, Known::No) {
        asked.push(Asked {
            hidden: vec![(line.heading_name, line.heading)],
            ..plain(line.field)
        });
    }
    for (number, question) in rehearsal.questions.iter().enumerate() {
        let (choices, sentence) = (question.choices(), question.sentence());
        match question {
            // Unknown headings stand on top; the others may stay open, and are asked with what jobs say.
            Question::Heading { .. }
            | Question::RopeEnd { .. }
            | Question::LoadOf { .. }
            | Question::Life { .. } => {}
            Question::DateOrder { .. }
            | Question::DecimalMark { .. }
            | Question::LessThanDay { .. }
            | Question::Ranges { .. }
            | Question::Numbered { .. }
            | Question::Unit { .. } => asked.push(of_writing(form, question)),
            Question::Differs { .. } => asked.extend(agreed::ask(form, number, question)),
            Question::Restricted { .. } => {
                asked.push(restricted::ask(form, (rehearsal, answers), &sentence));
            }
            Question::Word { field, word, .. } => {
                let of = (*field, word.as_str());
                asked.push(meaning(form, number, of, &sentence, ("", choices)));
            }
            Question::Silent { names, .. } if !names.is_empty() => {
                asked.extend(maker::ask(form, question, answers));
            }
            Question::Examiner { .. } | Question::Silent { .. } => {
                let is_last = competent::is_last(&rehearsal.questions[number..]);
                let from = asked.len();
                asked.extend(of_records(form, (number, question), (looker, is_last)));
                if question.is_silent_of(Field::LifeSupport) {
                    asked[from].fold = people::fold(form, rehearsal, answers);
                }
            }
        }
    }
    asked.extend(differing(form, rehearsal));
    asked.extend(made_of(form, rehearsal));
    asked
}

/// Asks how the list is written; what was said of an earlier list is chosen already.
fn of_writing(form: Fields<'_>, question: &Question) -> Asked {
    let (choices, sentence) = (question.choices(), question.sentence());
    let before = question.before();
    plain(match question {
        Question::Unit { column, .. } => unit(form, *column, &sentence, (before, choices)),
        _ => form.choice(name_of_list(question), &sentence, before, open(choices)),
    })
}

/// Asks of what single models are made; it may stay open.
fn made_of(form: Fields<'_>, rehearsal: &Rehearsal) -> Vec<Asked> {
    let open = rehearsal.open.iter().enumerate();
    let asked = open.filter_map(|(at, question)| {
        let Question::Word { field, word, .. } = question else {
            return None;
        };
        let number = rehearsal.questions.len() + at;
        let (sentence, choices) = (question.sentence(), question.choices());
        let mut asked = meaning(form, number, (*field, word), &sentence, ("", choices));
        asked.field = asked.field.may();
        Some(asked)
    });
    asked.collect()
}

/// The name of the field of what is asked once of the whole list.
fn name_of_list(question: &Question) -> &'static str {
    match question {
        Question::DateOrder { .. } => "dates",
        Question::DecimalMark { .. } => "decimal",
        Question::LessThanDay { .. } => "less-than-day",
        Question::Numbered { .. } => "numbered",
        _ => "ranges",
    }
}

/// Offers a model of its own for rows that say otherwise of their model than the rows before.
fn differing(form: Fields<'_>, rehearsal: &Rehearsal) -> Option<Asked> {
    let rows = rehearsal.differing;
    let mut questions = rehearsal.questions.iter();
    let is_asked = questions.any(|one| matches!(one, Question::Differs { register: None, .. }));
    let (above, hint) = if is_asked {
        (
            ", as is asked above",
            "Leave this open where each is answered above. It goes before those answers.",
        )
    } else {
        (
            "; what holds was answered",
            "Leave this open to keep those answers. It goes before them.",
        )
    };
    let label = match rows {
        0 => return None,
        1 => format!("1 row says otherwise of its model than a row before{above}"),
        rows => format!("{rows} rows say otherwise of their models than rows before{above}"),
    };
    let field = form.choice("differing", &label, "", open(Differing::choices()));
    Some(plain(field.may().hint(hint)))
}

/// What is asked of whoever examined (the last of them told so), and where the list is silent.
fn of_records(
    form: Fields<'_>,
    (number, question): (usize, &Question),
    (looker, is_last): (Looker<'_>, bool),
) -> Vec<Asked> {
    let (sentence, choices) = (question.sentence(), question.choices());
    match question {
        Question::Examiner { name, rows, .. } if name.is_empty() => {
            let said = ("", Some(*rows), choices);
            vec![silent(form, Field::Examiner, &sentence, said)]
        }
        Question::Examiner { .. } => competent::ask(form, (number, question), (looker, is_last)),
        Question::Silent {
            field,
            rows,
            earlier,
            ..
        } => {
            let value = earlier.as_ref().map_or("", |earlier| &earlier.value);
            let said = (value, Some(*rows), choices);
            vec![silent(form, *field, &sentence, said)]
        }
        _ => Vec::new(),
    }
}

pub(super) fn meaning(
    form: Fields<'_>,
    number: usize,
    (field, word): (Field, &str),
    label: &str,
    (value, choices): (&str, Choices),
) -> Asked {
    let name = format!("meaning-{number}");
    Asked {
        hidden: vec![
            (format!("field-{number}"), field.key()),
            (format!("word-{number}"), word.to_owned()),
        ],
        ..plain(form.choice(&name, label, value, open(choices)))
    }
}

/// The heading is sent along where the column stands.
pub(super) fn unit(
    form: Fields<'_>,
    column: usize,
    label: &str,
    (value, choices): (&str, Choices),
) -> form::Field {
    form.choice(&format!("unit-{column}"), label, value, open(choices))
}

/// What holds where the list is silent; for how many rows it is said is sent along.
pub(super) fn silent(
    form: Fields<'_>,
    field: Field,
    label: &str,
    (value, rows, choices): (&str, Option<usize>, Choices),
) -> Asked {
    let name = format!("silent-{}", field.key());
    let rows = rows.map(|rows| (format!("rows-{name}"), rows.to_string()));
    let field = if choices.is_empty() {
        form.line(&name, label, value).must()
    } else {
        form.choice(&name, label, value, open(choices))
    };
    Asked {
        hidden: rows.into_iter().collect(),
        ..plain(field)
    }
}

/// Whether it is known what a column is.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Known {
    Yes,
    No,
}

/// The columns of which it is known what they are, or those of which it is not.
pub(super) fn columns(form: Fields<'_>, rehearsal: &Rehearsal, known: Known) -> Vec<ColumnLine> {
    let waiting = rehearsal.without_unit();
    let columns = rehearsal.headings.columns.iter().filter(|column| {
        let unknown = matches!(column.becomes, ColumnUse::Unknown(_));
        unknown == (known == Known::No)
    });
    let line = |column: &crate::import::Column| {
        let (value, hint) = match &column.becomes {
            ColumnUse::Field(field) => (field.key(), String::new()),
            ColumnUse::InNote => (Target::InNote.key(), String::new()),
            ColumnUse::LeftOut => (Target::LeaveOut.key(), String::new()),
            ColumnUse::Unknown(likely) => {
                let other = likely
                    .first()
                    .and_then(|field| rehearsal.headings.of(*field));
                let already = other.zip(likely.first()).map(|(other, field)| {
                    format!(
                        " \"{}\" is read as \"{}\" already.",
                        other.heading,
                        field.label()
                    )
                });
                let already = already.unwrap_or_default();
                match &column.guess {
                    Some(guess) => (
                        guess.target.key(),
                        format!("{already} {}", guess.sentence()),
                    ),
                    None => (String::new(), format!("{already} Say what it is.")),
                }
            }
        };
        let label = format!("{}: {}", column.letters(), column.heading);
        let example = if column.example.is_empty() {
            "Nothing stands in it.".to_owned()
        } else {
            format!("Such as \"{}\".", column.example)
        };
        let waits = if waiting.contains(&column.heading.as_str()) {
            " Its numbers wait for a unit."
        } else {
            ""
        };
        let name = format!("column-{}", column.index);
        let mut groups = offered(column);
        if known == Known::No {
            groups.insert(0, (String::new(), open(Vec::new())));
        }
        ColumnLine {
            heading: column.heading.clone(),
            heading_name: format!("heading-{}", column.index),
            field: form
                .grouped(&name, &label, &value, groups)
                .hint(&format!("{example}{hint}{waits}")),
        }
    };
    columns.map(line).collect()
}
