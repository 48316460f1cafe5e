//! The form of a rehearsal as it was sent: read into answers, and shown again as it was typed.

use std::collections::{BTreeMap, BTreeSet};

use super::{
    agreed, competent,
    given::SOURCE,
    maker::{self, MAKER_IS},
    people,
    restricted::{self, RESTRICTED},
    seen::{AS_SAID, BY_EXAMINER, ON_ALL},
};
use crate::{
    domain::FieldErrors,
    import::{
        Answers, DateOrder, DecimalMark, Differing, Field, LessThanDay, MakerIs, Markings,
        Numbered, Ranges, ReadIn, Restricted, Seen, SeenOf, Stated, Target, Unit, rows_sent,
        with_unit, wrong_for_model,
    },
    view::form::{self, Form},
};

/// Something for each field of each model, by maker and name in one line and by the field's key.
type OfModels<T> = BTreeMap<String, BTreeMap<String, T>>;

/// Names and values of a form that was sent; none where the page is only looked at.
#[derive(Default)]
pub(super) struct Typed(BTreeMap<String, String>);

impl Typed {
    pub(super) fn new(sent: Vec<(String, String)>) -> Self {
        Self(sent.into_iter().collect())
    }

    /// The form as it was sent along with a file; none of it was where the file came alone.
    pub(super) fn along(sent: Vec<(String, String)>) -> Option<Self> {
        let typed = Self::new(sent);
        typed.0.contains_key("here").then_some(typed)
    }

    /// Whether a field was sent and is empty.
    pub(super) fn left_empty(&self, name: &str) -> bool {
        self.0.get(name).is_some_and(|text| text.trim().is_empty())
    }

    pub(super) fn text(&self, name: &str) -> &str {
        self.0.get(name).map_or("", |text| text.trim())
    }

    /// The answers of the form; a choice that was not made is none.
    pub(super) fn answers(&self, before: &Answers, wrong: &mut FieldErrors) -> Answers {
        let (models, sources) = self.of_models();
        let mut answers = Answers {
            sheet: Some(self.text("sheet").to_owned()).filter(|sheet| !sheet.is_empty()),
            dates: self.word("dates", DateOrder::from_key, wrong),
            decimal: self.word("decimal", DecimalMark::from_key, wrong),
            stated: self.word("stated", Stated::from_key, wrong),
            less_than_day: self.word("less-than-day", LessThanDay::from_key, wrong),
            ranges: self.word("ranges", Ranges::from_key, wrong),
            numbered: self.word("numbered", Numbered::from_key, wrong),
            differing: self.word("differing", Differing::from_key, wrong),
            restricted: self.word(RESTRICTED, Restricted::from_key, wrong),
            competent: competent::kept(self, before),
            maker_is: self.word(MAKER_IS, MakerIs::from_key, wrong),
            makers: maker::sent(self),
            left_out: self.left_out(before),
            update: self.text("update") == "yes",
            seen: self.seen(before),
            markings: Markings::from_key(self.text(&markings())),
            models,
            source: self.word(SOURCE, ReadIn::from_key, wrong),
            sources,
            people: self.people(),
            ..Answers::default()
        };
        // Another sheet has other headings.
        if answers.sheet == before.sheet || before.sheet.is_none() {
            answers.headings = self.of_headings("column-", Target::from_words, wrong);
            answers.units = self.of_headings("unit-", Unit::from_words, wrong);
        }
        for (number, value) in self.numbered("meaning-") {
            let field = self.text(&format!("field-{number}"));
            let word = self.text(&format!("word-{number}"));
            if !field.is_empty() && !competent::records(value) {
                let words = answers.words.entry(field.to_owned()).or_default();
                words.insert(word.to_owned(), value.to_owned());
            }
        }
        restricted::sent(self, &mut answers);
        agreed::sent(self, &mut answers);
        self.silent(before, &mut answers);
        answers
    }

    /// What holds where the list is silent, and for how many rows it was said. Whoever only turns to other rows has not
    /// said again what was said before.
    fn silent(&self, before: &Answers, answers: &mut Answers) {
        let turns = !self.text("go").is_empty() || !self.text("do").is_empty();
        for (field, value) in self.numbered("silent-") {
            let told = self.text(&format!("rows-silent-{field}")).parse().ok();
            let said_before = before.silent.get(field).is_some_and(|said| said == value);
            let rows = match before.silent_rows.get(field) {
                Some(rows) if turns && said_before => Some(*rows),
                _ => told,
            };
            answers.silent.insert(field.to_owned(), value.to_owned());
            if let Some(rows) = rows {
                answers.silent_rows.insert(field.to_owned(), rows);
            }
        }
    }

    /// The kinds of gear of which it was said whether they may hold people.
    fn people(&self) -> BTreeMap<String, String> {
        let said = self.numbered(people::PREFIX);
        let said = said.filter_map(|(kind, said)| {
            let kind = kind.strip_suffix(']')?;
            Some((kind.to_owned(), said.to_owned()))
        });
        said.collect()
    }

    /// Whether anything was sent at all.
    pub(super) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The rows that are left out, once the ticked ones are left out or taken back.
    fn left_out(&self, before: &Answers) -> BTreeSet<u32> {
        let ticked = self.numbered("row-");
        let ticked = ticked.filter_map(|(row, _)| row.parse::<u32>().ok());
        let mut left_out = before.left_out.clone();
        match self.text("do") {
            "leave-out" => left_out.extend(ticked),
            "take-back" => ticked.for_each(|row| {
                left_out.remove(&row);
            }),
            _ => {}
        }
        left_out
    }

    /// The fields whose names begin so and that are not empty.
    pub(super) fn numbered<'a>(
        &'a self,
        prefix: &'a str,
    ) -> impl Iterator<Item = (&'a str, &'a str)> {
        let all = self.0.iter();
        all.filter_map(move |(name, value)| Some((name.strip_prefix(prefix)?, value.trim())))
            .filter(|(_, value)| !value.is_empty())
    }

    /// The number under which the meaning of a word was asked.
    pub(super) fn number_of(&self, field: Field, word: &str) -> Option<&str> {
        let key = field.key();
        let mut words = self
            .numbered("word-")
            .filter(|(_, sent)| *sent == word.trim());
        let of = |number: &str| self.text(&format!("field-{number}")) == key;
        words
            .find(|(number, _)| of(number))
            .map(|(number, _)| number)
    }

    fn word<T>(
        &self,
        name: &str,
        read: impl Fn(&str) -> Option<T>,
        wrong: &mut FieldErrors,
    ) -> Option<T> {
        let text = self.text(name);
        let found = read(text);
        if found.is_none() && !text.is_empty() {
            wrong.add(name, "choice", "Choose one of the list.");
        }
        found
    }

    /// What was said of columns, by the heading that was sent along.
    fn of_headings<T>(
        &self,
        prefix: &str,
        read: impl Fn(&str) -> Option<T> + Copy,
        wrong: &mut FieldErrors,
    ) -> BTreeMap<String, T> {
        let mut found = BTreeMap::new();
        for (number, _) in self.numbered(prefix) {
            let heading = self.text(&format!("heading-{number}"));
            if let Some(value) = self.word(&format!("{prefix}{number}"), read, wrong)
                && !heading.is_empty()
            {
                found.insert(heading.to_owned(), value);
            }
        }
        found
    }

    /// What somebody has seen: markings where it is said so, examinations where their day is. What does not hold of it is
    /// kept, and told with the field.
    fn seen(&self, before: &Answers) -> BTreeMap<SeenOf, Seen> {
        let mut seen = BTreeMap::new();
        for of in SeenOf::ALL {
            let name = format!("seen[{}]", of.key());
            let by = self.text(&format!("{name}[by]")).to_owned();
            let on = self.text(&format!("{name}[on]")).to_owned();
            let mut rows = rows_sent(self.text(&format!("{name}[rows]")));
            let mut each = false;
            let is_said = match (of, self.text(&name)) {
                (SeenOf::MarkingsUnknown, AS_SAID) => {
                    let said = before.seen.get(&of);
                    rows = said.map_or(rows, |said| said.rows.clone());
                    each = said.is_some_and(|said| said.each);
                    said.is_some()
                }
                (SeenOf::MarkingsUnknown, BY_EXAMINER) => {
                    each = true;
                    true
                }
                (_, ON_ALL) => true,
                (SeenOf::MarkingsUnknown, _) => false,
                _ => !on.is_empty(),
            };
            if is_said {
                seen.insert(of, Seen { by, on, rows, each });
            }
        }
        seen
    }

    /// What holds for models and where single ones of it were read, with the models and the field that were sent along.
    /// What does not hold stays as it was typed; what is assumed of all gives way to what is written of one.
    fn of_models(&self) -> (OfModels<String>, OfModels<ReadIn>) {
        let mut models = OfModels::<String>::default();
        let mut sources = OfModels::<ReadIn>::default();
        let by = |number: &str| self.text(&format!("by-{number}"));
        let read = |by: &str| ReadIn::from_key(self.text(by)).filter(|_| by != SOURCE);
        let mut given: Vec<_> = self.numbered("given-").collect();
        given.sort_by_key(|(number, _)| read(by(number)) != Some(ReadIn::Assumed));
        for (number, text) in given {
            let key = self.text(&format!("of-{number}"));
            let Some(field) = Field::from_key(key) else {
                continue;
            };
            let read = read(by(number));
            let right =
                Some(with_unit(field, text)).filter(|text| wrong_for_model(field, text).is_none());
            let text = right.unwrap_or_else(|| text.to_owned());
            let titles = self.text(&format!("model-{number}")).lines();
            for title in titles.map(str::trim).filter(|title| !title.is_empty()) {
                let of = models.entry(title.to_owned()).or_default();
                of.insert(key.to_owned(), text.clone());
                let of = sources.entry(title.to_owned()).or_default();
                match read {
                    Some(read) => of.insert(key.to_owned(), read),
                    None => of.remove(key),
                };
            }
        }
        sources.retain(|_, read| !read.is_empty());
        (models, sources)
    }
}

/// The name of the field that says what is known of the markings.
fn markings() -> String {
    format!("seen[{}]", SeenOf::MarkingsUnknown.key())
}

/// Makes the fields of the page: what was typed stands in them, else what is known.
#[derive(Clone, Copy)]
pub(super) struct Fields<'a> {
    pub(super) form: &'a Form,
    pub(super) typed: &'a Typed,
}

impl Fields<'_> {
    fn value<'a>(&'a self, name: &str, value: &'a str) -> &'a str {
        self.typed.0.get(name).map_or(value, String::as_str)
    }

    pub(super) fn choice(
        &self,
        name: &str,
        label: &str,
        value: &str,
        choices: form::Choices,
    ) -> form::Field {
        let value = self.value(name, value);
        self.form.choice(name, label, value, choices)
    }

    pub(super) fn grouped(
        &self,
        name: &str,
        label: &str,
        value: &str,
        groups: form::Groups,
    ) -> form::Field {
        let value = self.value(name, value);
        self.form.grouped(name, label, value, groups)
    }

    pub(super) fn line(&self, name: &str, label: &str, value: &str) -> form::Field {
        self.form.line(name, label, self.value(name, value))
    }

    pub(super) fn day(&self, name: &str, label: &str, value: &str) -> form::Field {
        self.form
            .typed("date", name, label, self.value(name, value))
    }
}
