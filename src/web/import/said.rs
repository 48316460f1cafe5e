//! What was answered before, as the page of a rehearsal shows it.

use super::{
    agreed,
    asked::{Choices, meaning, open, plain, silent, unit},
    competent,
    given::Given,
    maker, people, restricted,
    seen::{self, Looker},
    typed::Fields,
};
use crate::{
    deed::import::ImportFile,
    domain::fold,
    import::{
        Answers, DateOrder, DecimalMark, Differing, Earlier, Field, LessThanDay, Numbered, Offer,
        Question, Ranges, Rehearsal, SeenOf, Stated, Unit, load_choices, says_load, whose,
    },
    view::import::Asked,
};

/// What was answered, some of it taken over from another list.
#[derive(Default)]
pub(super) struct Said {
    pub(super) own: Vec<Asked>,
    pub(super) taken_over: Vec<Asked>,
}

impl Said {
    /// Whether anything is told against what was answered.
    pub(super) fn is_wrong(&self) -> bool {
        let mut all = self.own.iter().chain(&self.taken_over);
        all.any(|asked| asked.field.is_wrong())
    }

    /// Puts an answer to its like: `of` gives it out of all answers.
    pub(super) fn put<T: PartialEq>(
        &mut self,
        asked: Asked,
        file: &ImportFile,
        of: impl Fn(&Answers) -> Option<T>,
    ) {
        let over = file.taken_over.as_ref().and_then(|over| of(&over.answers));
        if over.is_some() && over == of(&file.answers) {
            self.taken_over.push(asked);
        } else {
            self.own.push(asked);
        }
    }
}

/// What was answered before; each can be changed or taken back.
pub(super) fn said(
    given: &mut Given<'_>,
    rehearsal: &Rehearsal,
    file: &ImportFile,
    looker: Looker<'_>,
) -> Said {
    let form = given.fields;
    let mut said = Said::default();
    if rehearsal.sheets.len() > 1 {
        let sheets = rehearsal.sheets.iter();
        let sheets: Choices = sheets.map(|sheet| (sheet.clone(), sheet.clone())).collect();
        let sheet = rehearsal.sheet.clone().unwrap_or_default();
        let asked = plain(form.choice("sheet", "Sheet of the workbook", &sheet, sheets));
        said.put(asked, file, |answers| answers.sheet.clone());
    }
    said_of_writing(form, file, &mut said);
    said_of_descriptions(form, rehearsal, file, &mut said);
    said_of_units(form, rehearsal, file, &mut said);
    said_of_words(form, rehearsal, file, &mut said);
    for (model, field, asked) in agreed::said(form, &file.answers) {
        said.put(asked, file, |answers| {
            let of = answers.agreed.get(&model)?;
            of.get(&field.key()).cloned()
        });
    }
    maker::said(form, rehearsal, file, &mut said);
    let asked = rehearsal.questions.iter();
    let mut asked = asked.filter(|one| matches!(one, Question::Restricted { .. }));
    if asked.next().is_none() && !rehearsal.restricting.is_empty() {
        let label = "Items whose remarks restrict them come in";
        let asked = restricted::ask(form, (rehearsal, &file.answers), label);
        said.put(asked, file, |answers| answers.restricted);
    }
    said.own.extend(competent::said(form, &file.answers));
    said_of_silence(form, rehearsal, file, &mut said);
    said_of_sight(given, rehearsal, &mut said, looker);
    for (title, key, asked) in given.said() {
        let of = |answers: &Answers| {
            let read = answers.sources.get(&title).and_then(|read| read.get(&key));
            let read = read.copied().or(answers.source)?;
            Some((answers.models.get(&title)?.get(&key).cloned()?, read))
        };
        said.put(asked, file, of);
    }
    said
}

/// What somebody has seen, where it is not asked any more.
fn said_of_sight(given: &Given<'_>, rehearsal: &Rehearsal, said: &mut Said, looker: Looker<'_>) {
    let told = rehearsal.foreseen.as_ref().or(rehearsal.foretold.as_ref());
    for (of, as_said) in &given.answers.seen {
        let mut reasons = told.iter().flat_map(|told| &told.reasons);
        if reasons.any(|reason| reason.offer == Offer::Seen(*of)) {
            continue;
        }
        let rows = told.and_then(|told| told.seen.get(of).cloned());
        let rows = rows.unwrap_or_else(|| as_said.rows.iter().copied().collect());
        let asked = if *of == SeenOf::MarkingsUnknown {
            seen::markings(given, &rehearsal.headings, &rows)
        } else {
            seen::examined_rows(given, (*of, Some(as_said)), (&rows, looker))
        };
        said.own.extend(asked);
    }
}

/// How days, numbers and marks were said to be written.
fn said_of_writing(form: Fields<'_>, file: &ImportFile, said: &mut Said) {
    let mut put = |name: &str, label: &str, choices: Choices, of: Word| {
        if let Some(value) = of(&file.answers) {
            let asked = form.choice(name, label, value, open(choices));
            said.put(plain(asked), file, of);
        }
    };
    put("dates", "Days are written", DateOrder::choices(), |said| {
        said.dates.map(DateOrder::key)
    });
    put(
        "decimal",
        "The decimal mark is",
        DecimalMark::choices(),
        |said| said.decimal.map(DecimalMark::key),
    );
    put(
        "less-than-day",
        "Where a day is only a month or a year",
        LessThanDay::choices(),
        |said| said.less_than_day.map(LessThanDay::key),
    );
    put(
        "ranges",
        "Marks such as R1-R12 are",
        Ranges::choices(),
        |said| said.ranges.map(Ranges::key),
    );
    put(
        "numbered",
        "A row with one mark and a quantity above one stands for",
        Numbered::choices(),
        |said| said.numbered.map(Numbered::key),
    );
    put(
        "differing",
        "Rows that say otherwise of their model than rows before get",
        Differing::choices(),
        |said| said.differing.map(Differing::key),
    );
}

/// The word of an answer, if it was given.
type Word = fn(&Answers) -> Option<&'static str>;

/// What becomes of words that state an attribute; shown as soon as there are any.
fn said_of_descriptions(
    form: Fields<'_>,
    rehearsal: &Rehearsal,
    file: &ImportFile,
    said: &mut Said,
) {
    let stated = file.answers.stated;
    if rehearsal.described > 0 || stated.is_some() {
        let label = "What names and descriptions state and no column holds";
        let value = stated.unwrap_or(Stated::Take).key();
        let asked = form.choice("stated", label, value, Stated::choices());
        said.put(plain(asked), file, |answers| answers.stated);
    }
}

/// In which units numbers were said to be; what does not fit its column any more is asked anew.
fn said_of_units(form: Fields<'_>, rehearsal: &Rehearsal, file: &ImportFile, said: &mut Said) {
    let asked = rehearsal.without_unit();
    let columns = rehearsal.headings.columns.iter();
    for column in columns.filter(|column| !asked.contains(&column.heading.as_str())) {
        let (Some(as_said), Some(field)) = (column.said_unit, column.field()) else {
            continue;
        };
        let label = format!("The numbers under \"{}\" are in", column.heading);
        let units = Unit::of(field).into_iter();
        let choices = units.map(|unit| (unit.sign().to_owned(), unit.words().to_owned()));
        let choices = choices.collect();
        let field = unit(form, column.index, &label, (as_said.sign(), choices));
        said.put(plain(field), file, |answers| {
            answers.units.get(&column.heading).copied()
        });
    }
}

/// Whether it is asked anew what a word means, so that the question alone answers it.
fn is_asked(rehearsal: &Rehearsal, field: Field, word: &str) -> bool {
    let mut asked = rehearsal.questions.iter().chain(&rehearsal.open);
    asked.any(|one| match one {
        Question::Word {
            field: of,
            word: one,
            ..
        } => *of == field && fold(one) == fold(word),
        Question::LoadOf { model, .. } => field == Field::RatedLoad && fold(model) == fold(word),
        Question::Examiner { name, .. } => field == Field::Examiner && fold(name) == fold(word),
        _ => false,
    })
}

/// What words were said to mean; their fields are numbered behind those of the questions.
fn said_of_words(form: Fields<'_>, rehearsal: &Rehearsal, file: &ImportFile, said: &mut Said) {
    let mut number = rehearsal.questions.len() + rehearsal.open.len();
    for (key, words) in &file.answers.words {
        // What remarks mean is told with all of them.
        let Some(field) = Field::from_key(key).filter(|field| *field != Field::Note) else {
            continue;
        };
        for (word, value) in words {
            if is_asked(rehearsal, field, word) {
                continue;
            }
            let question = Question::Word {
                field,
                word: word.clone(),
                rows: 0,
                first_row: 0,
                doubts: None,
                refused: None,
            };
            let (label, choices) = match field {
                Field::Examiner => (
                    format!("The examinations of \"{word}\""),
                    whose([value].into_iter()),
                ),
                Field::RatedLoad if !says_load(word) => (
                    format!("The rated load that the list gives for {word} belongs"),
                    load_choices(std::slice::from_ref(value)),
                ),
                _ => (format!("\"{word}\" means"), question.choices()),
            };
            let choices = (value.as_str(), choices);
            let asked = meaning(form, number, (field, word), &label, choices);
            said.put(asked, file, |answers| {
                answers.words.get(key)?.get(word).cloned()
            });
            number += 1;
        }
    }
}

/// What was said to hold where the list says nothing, as far as it is not asked again.
fn said_of_silence(form: Fields<'_>, rehearsal: &Rehearsal, file: &ImportFile, said: &mut Said) {
    let again = |field: Field| {
        let mut asked = rehearsal.questions.iter();
        asked.any(|one| matches!(one, Question::Silent { field: of, .. } if *of == field))
    };
    let answers = &file.answers;
    // Where each kind has an answer of its own, there may be none for all.
    let (key, none) = (Field::LifeSupport.key(), String::new());
    let only_kinds = !answers.people.is_empty() && !answers.silent.contains_key(&key);
    let of_people = only_kinds.then_some((&key, &none));
    for (key, value) in answers.silent.iter().chain(of_people) {
        let Some(field) = Field::from_key(key).filter(|field| !again(*field)) else {
            continue;
        };
        let question = Question::Silent {
            field,
            rows: 0,
            first_row: 0,
            kinds: Vec::new(),
            names: Vec::new(),
            earlier: Some(Earlier {
                value: value.clone(),
                rows: 0,
            }),
            refused: None,
        };
        let label = format!("Where the list says nothing: {}", field.label());
        let rows = file.answers.silent_rows.get(key).copied();
        let as_said = (value.as_str(), rows, question.choices());
        let mut asked = silent(form, field, &label, as_said);
        if field == Field::LifeSupport {
            asked.fold = people::fold(form, rehearsal, &file.answers);
        }
        said.put(asked, file, |answers| {
            let people = Some(&answers.people).filter(|_| field == Field::LifeSupport);
            let said = answers.silent.get(key);
            (said.is_some() || people.is_some_and(|people| !people.is_empty()))
                .then(|| (said.cloned(), people.cloned()))
        });
    }
}
