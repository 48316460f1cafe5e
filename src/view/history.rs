//! The history: of the team, of an item, of a job.

use askama::Template;

use super::{
    Shell,
    file_choice::FileChoice,
    form::{Choices, Form},
    part::{Empty, Pager, SectionNav},
    past::Past,
    sieve::Sieve,
};
use crate::domain::{Change, Person};

/// What the history is narrowed to, as it was typed.
pub struct HistoryBar {
    /// The kind of change.
    pub kind: String,
    /// The person.
    pub by: String,
    /// The first day.
    pub from: String,
    /// The last day.
    pub until: String,
    /// Everybody who may have recorded something.
    pub people: Choices,
}

impl HistoryBar {
    /// People to choose from.
    pub fn people(people: &[Person]) -> Choices {
        let all = (String::new(), "everybody".to_owned());
        let people = people.iter();
        let people = people.map(|person| (person.id.to_string(), person.name.clone()));
        std::iter::once(all).chain(people).collect()
    }

    fn kinds(&self) -> Choices {
        let all = ("", "everything");
        let kinds = std::iter::once(all).chain(Change::KINDS);
        kinds
            .map(|(key, word)| (key.to_owned(), word.to_owned()))
            .collect()
    }
}

/// What was done, the newest first.
#[derive(Template)]
#[template(path = "history/list.html")]
pub struct HistoryPage {
    /// The frame.
    pub shell: Shell,
    /// The way back to the item: its mark and its page.
    pub crumb: Option<(String, String)>,
    /// The pages of the job.
    pub nav: Option<SectionNav>,
    /// Whether it is the whole team's.
    pub of_team: bool,
    /// How many entries the team's record has.
    pub entries: String,
    /// The root of the tree over them.
    pub root: String,
    /// What it is narrowed to.
    pub bar: HistoryBar,
    /// What was wrong in that.
    pub form: Form,
    /// The entries of this page.
    pub past: Past,
    /// The pages before and behind.
    pub pager: Pager,
    /// Whether something was left out on purpose.
    pub is_narrowed: bool,
    /// The page without what it is narrowed to.
    pub action: String,
    /// All of it as a file.
    pub file: FileChoice,
    /// What else can be taken along.
    pub others: Vec<FileChoice>,
    /// It with its proofs, narrowed by days at most; none where nobody signs.
    pub bundle: Option<String>,
}

impl HistoryPage {
    fn sieve(&self) -> Sieve {
        let (form, bar) = (&self.form, &self.bar);
        Sieve::new(self.action.as_str())
            .filter(form.choice("kind", "What", &bar.kind, bar.kinds()))
            .filter(form.choice("by", "Recorded by", &bar.by, &bar.people))
            .filter(form.typed("date", "from", "Recorded from", &bar.from))
            .filter(form.typed("date", "until", "Recorded until", &bar.until))
    }

    fn empty(&self) -> Empty {
        if self.is_narrowed || self.pager.first.is_some() {
            Empty::new(
                "Nothing was recorded that fits this.",
                "Take something out of it.",
            )
            .step("Show everything", self.action.as_str())
        } else {
            Empty::new(
                "Nothing was recorded yet.",
                "What is done from now on stands here.",
            )
        }
    }

    fn bundle_words(&self) -> &'static str {
        match (
            self.of_team,
            self.bar.from.is_empty() && self.bar.until.is_empty(),
        ) {
            (true, true) => "The whole record",
            (true, false) => "The record of these days",
            (false, _) => "This record",
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::{PROBE, past};
        use crate::domain::FieldErrors;
        let page = |past: Past, wrong: &FieldErrors| Self {
            shell: Shell::sample("History"),
            crumb: Some((PROBE.to_owned(), "/items/1".to_owned())),
            nav: None,
            of_team: true,
            entries: "3,412".to_owned(),
            root: "00".repeat(32),
            bar: HistoryBar {
                kind: PROBE.to_owned(),
                by: PROBE.to_owned(),
                from: PROBE.to_owned(),
                until: PROBE.to_owned(),
                people: vec![(PROBE.to_owned(), PROBE.to_owned())],
            },
            form: Form::new(wrong),
            past,
            pager: Pager::default(),
            is_narrowed: true,
            action: "/history".to_owned(),
            file: FileChoice::sample(),
            others: vec![FileChoice::sample().named(PROBE)],
            bundle: Some("/history/bundle".to_owned()),
        };
        vec![
            page(past::sample(), &FieldErrors::default()),
            page(Past::default(), &FieldErrors::one("from", "date", PROBE)),
        ]
    }
}
