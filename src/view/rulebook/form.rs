//! The form of a team's own rulebook: the numbers of its base, and what the team sets otherwise.

use askama::Template;

use super::line::Source;
use crate::{
    domain::{
        FieldErrors, RulebookId,
        rulebook::{Numbered, Rulebook, RulebookDraft, Stricter},
    },
    view::{
        Shell,
        form::{Field, Form},
        part::{SectionNav, Tone},
    },
};

/// Which rulebook the form is about.
#[derive(Clone, Debug)]
pub enum RulebookTarget {
    /// A new one, under an id that was made when the form was opened.
    New(RulebookId),
    /// One that is there, by its key, with the version that was opened.
    There(String, u32),
}

/// Numbers of one sort.
struct Group {
    title: &'static str,
    rows: Vec<Row>,
}

/// One number: what it is of, what it is at the base, and the fields.
struct Row {
    of: String,
    there: String,
    source: Source,
    law: Option<String>,
    number: Field,
    reason: Field,
}

/// The form.
#[derive(Template)]
#[template(path = "rulebook/form.html")]
pub struct RulebookForm {
    /// The frame.
    pub shell: Shell,
    form: Form,
    action: String,
    back: String,
    sheet: String,
    revision: Option<u32>,
    draft: RulebookDraft,
    base: String,
    parts: SectionNav,
    groups: Vec<Group>,
    stale: bool,
}

/// The sorts of numbers by how the names of their rules begin.
const SORTS: [(&str, &[&str]); 6] = [
    (
        "For the whole rig",
        &["factor", "person", "depth", "arrest"],
    ),
    ("Breaking strengths", &["minimum", "further-person"]),
    ("Limits on what a record says", &["bound"]),
    ("Months between examinations", &["interval"]),
    ("Years of life", &["life"]),
    ("Months to keep papers", &["retention"]),
];

impl RulebookForm {
    /// The form with what was typed; `own` is what the numbers are where nothing was typed.
    pub fn new(
        shell: Shell,
        target: &RulebookTarget,
        (own, base): (&Rulebook, &Rulebook),
        draft: &RulebookDraft,
        wrong: &FieldErrors,
    ) -> Self {
        let form = Form::new(wrong);
        let (action, back, sheet, revision) = match target {
            RulebookTarget::New(id) => (
                format!("/rulebooks?id={id}"),
                "/rulebooks".to_owned(),
                "/rulebooks/sheet".to_owned(),
                None,
            ),
            RulebookTarget::There(key, revision) => (
                format!("/rulebooks/{key}"),
                format!("/rulebooks/{key}"),
                format!("/rulebooks/{key}/sheet"),
                Some(*revision),
            ),
        };
        let group = |(title, beginnings): &(&'static str, &[&str])| Group {
            title,
            rows: own
                .numbers()
                .into_iter()
                .filter(|number| {
                    let rule = number.rule();
                    beginnings.iter().any(|word| rule.starts_with(word))
                })
                .map(|number| row(&form, number, base, (own, draft)))
                .collect(),
        };
        let groups = SORTS.iter().map(group);
        let groups: Vec<Group> = groups.filter(|group| !group.rows.is_empty()).collect();
        let parts = (1..).zip(&groups);
        let parts = parts.map(|(at, group)| (group.title, format!("#sort-{at}")));
        let parts = SectionNav::on_this_page(parts);
        Self {
            shell,
            action,
            back,
            sheet,
            revision,
            draft: draft.clone(),
            base: base.title().to_owned(),
            parts,
            groups,
            form,
            stale: false,
        }
    }

    /// The same, after somebody else saved a newer version.
    #[must_use]
    pub fn after_another(mut self) -> Self {
        self.stale = true;
        self
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::view::{PROBE, gear};
        let base = gear::rulebook();
        let mut draft = RulebookDraft {
            key: PROBE.to_owned(),
            title: PROBE.to_owned(),
            based_on: base.key().to_owned(),
            ..RulebookDraft::default()
        };
        draft.numbers.insert("factor".to_owned(), PROBE.to_owned());
        draft.reasons.insert("factor".to_owned(), PROBE.to_owned());
        let mut wrong = FieldErrors::one("numbers[factor]", "number", PROBE);
        wrong.add("reasons[person]", "required", PROBE);
        let id = RulebookId(uuid::Uuid::nil());
        let targets = [
            RulebookTarget::New(id),
            RulebookTarget::There("own".to_owned(), 2),
        ];
        targets
            .map(|target| {
                let shell = Shell::sample("A rulebook of your own");
                Self::new(shell, &target, (base, base), &draft, &wrong).after_another()
            })
            .into()
    }
}

fn row(
    form: &Form,
    number: &dyn Numbered,
    base: &Rulebook,
    (own, draft): (&Rulebook, &RulebookDraft),
) -> Row {
    let rule = number.rule();
    let amount = number.amount().to_string();
    let typed = draft.numbers.get(&rule).filter(|text| !text.is_empty());
    let kept = own.looser().iter().find(|one| one.rule == rule);
    let kept = kept.map(|one| one.reason.clone()).unwrap_or_default();
    let reason = draft.reasons.get(&rule).cloned().unwrap_or(kept);
    let numbers = base.numbers();
    let was = numbers.iter().find(|was| was.rule() == rule);
    let there = was.map_or_else(|| "nothing".to_owned(), |was| was.amount().to_string());
    let law = was.filter(|was| was.cited().law).map(|was| {
        let side = match was.stricter() {
            Stricter::Higher => "less",
            Stricter::Lower => "more",
        };
        format!("This is law: it may not be {side} than {there}.")
    });
    Row {
        of: number.of(),
        there,
        source: was.map_or_else(|| number.cited().into(), |was| was.cited().into()),
        law,
        number: form
            .line(
                &format!("numbers[{rule}]"),
                "Number",
                typed.map_or(amount.as_str(), String::as_str),
            )
            .must(),
        reason: form
            .line(
                &format!("reasons[{rule}]"),
                "Reason where it asks less",
                &reason,
            )
            .wide(),
    }
}
