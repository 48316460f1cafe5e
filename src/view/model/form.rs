//! The form of a model: new, being changed, or refused.

use askama::Template;

use super::{
    super::{
        Shell, attribute,
        form::{Choices, Field, Form},
        stale::{Lines, Stale},
    },
    rows::{self, Row},
};
use crate::domain::{FieldErrors, Gear, Kind, Material, ModelDraft, ModelId, Where};

/// Which model the form is about.
#[derive(Clone, Copy, Debug)]
pub enum ModelTarget {
    /// A new one, under an id that was made when the form was opened.
    New(ModelId),
    /// One that is there, with the revision that was opened.
    There(ModelId, u32),
}

/// The form.
#[derive(Template)]
#[template(path = "model/form.html")]
pub struct ModelForm {
    /// The frame.
    pub shell: Shell,
    form: Form,
    action: String,
    back: String,
    revision: Option<u32>,
    kind: Kind,
    kind_href: Option<String>,
    which: Vec<Field>,
    ratings: Vec<Row>,
    approvals: Vec<Row>,
    limits: Vec<Row>,
    attributes: Vec<Field>,
    life: Vec<Field>,
    by_condition: Field,
    notes: Vec<Field>,
    stale: Option<Stale>,
}

impl ModelForm {
    /// The form with what was typed for a model of this kind.
    pub fn new(
        shell: Shell,
        target: ModelTarget,
        kind: Kind,
        draft: &ModelDraft,
        wrong: &FieldErrors,
    ) -> Self {
        let form = Form::new(wrong);
        let kind_href = match target {
            ModelTarget::New(_) => None,
            ModelTarget::There(id, _) => Some(format!("/models/{id}/kind")),
        };
        let (action, back, revision) = match target {
            ModelTarget::New(id) => (format!("/models?id={id}"), "/models".to_owned(), None),
            ModelTarget::There(id, revision) => {
                let page = format!("/models/{id}");
                let back = shell.back_or(page.clone());
                (shell.keeping_back(page), back, Some(revision))
            }
        };
        let gear = Gear::typed(kind, draft);
        let typed = &draft.attributes;
        let mut attributes = attribute::fields(&form, kind, Where::Model, typed);
        attributes.extend(attribute::strays(&form, Some(kind), Where::Model, typed));
        Self {
            which: which(&form, kind, draft),
            ratings: rows::ratings(&form, (kind, &gear), &draft.ratings),
            approvals: rows::approvals(&form, &gear, &draft.approvals),
            limits: rows::limits(&form, kind, &draft.limits),
            attributes,
            life: life(&form, draft),
            by_condition: form.tick(
                "life_by_condition",
                "The maker sets no years; the condition decides",
                !draft.life_by_condition.is_empty(),
            ),
            notes: vec![
                form.line("price", "Price of one", &draft.price)
                    .hint("What one costs to replace, with the currency's letters, such as 129.90 EUR. Counted where items reach their end."),
                form.note(
                    "instructions",
                    "Where the instructions and papers are",
                    &draft.instructions,
                )
                .rows(2),
                form.note("note", "Note", &draft.note).rows(2),
            ],
            stale: None,
            shell,
            form,
            action,
            back,
            revision,
            kind,
            kind_href,
        }
    }

    /// The same, beside what somebody else saved meanwhile.
    #[must_use]
    pub fn beside(mut self, typed: &ModelDraft, stored: &ModelDraft) -> Self {
        self.stale = Some(Stale::between(
            lines(self.kind, typed),
            lines(self.kind, stored),
        ));
        self
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::super::{PROBE, gear};
        let model = gear::model();
        let mut draft = model.draft();
        draft
            .attributes
            .insert("stray".to_owned(), PROBE.to_owned());
        draft.ratings.push(crate::domain::RatingDraft {
            mode: PROBE.to_owned(),
            value: PROBE.to_owned(),
            kind: PROBE.to_owned(),
            source: PROBE.to_owned(),
            confirmed: PROBE.to_owned(),
        });
        draft.limits.push(crate::domain::LimitDraft {
            criterion: PROBE.to_owned(),
            least: PROBE.to_owned(),
            most: PROBE.to_owned(),
            source: PROBE.to_owned(),
        });
        let mut wrong = FieldErrors::one("ratings[1][value]", "unit", PROBE);
        wrong.add("name", "taken", PROBE);
        let blank = ModelDraft::default();
        let there = ModelTarget::There(model.id, 2);
        let shell = || Shell::sample("Model");
        vec![
            Self::new(shell(), there, Kind::Rope, &draft, &wrong).beside(&draft, &blank),
            Self::new(
                shell(),
                ModelTarget::New(model.id),
                Kind::Pulley,
                &blank,
                &FieldErrors::default(),
            ),
        ]
    }
}

fn which(form: &Form, kind: Kind, draft: &ModelDraft) -> Vec<Field> {
    let usual = match kind.material().key() {
        key if kind.is_of_several_materials() => format!("not known: taken as {key}"),
        key => format!("usual: {key}"),
    };
    let mut materials: Choices = vec![(String::new(), usual)];
    materials.extend(Material::ALL.map(|m| (m.key().to_owned(), m.key().to_owned())));
    let people = [("", "choose"), ("yes", "yes"), ("no", "no")]
        .map(|(key, word)| (key.to_owned(), word.to_owned()))
        .into();
    let mut fields = vec![
        form.line("maker", "Maker", &draft.maker).must(),
        form.line("name", "Model", &draft.name)
            .hint("The maker's name for it.")
            .must(),
        form.choice(
            "material",
            "Made of",
            &draft.material,
            attribute::keeping(materials, &draft.material),
        ),
    ];
    if !kind.is_beside_the_rig() {
        let people = form.choice(
            "life_support",
            "May it hold people?",
            &draft.life_support,
            attribute::keeping(people, &draft.life_support),
        );
        fields.insert(2, people);
    }
    fields
}

fn life(form: &Form, draft: &ModelDraft) -> Vec<Field> {
    vec![
        form.number(
            "life_years_from_made",
            "Years from the day made",
            &draft.life_years_from_made,
        ),
        form.number(
            "life_years_from_first_use",
            "Years from the first use",
            &draft.life_years_from_first_use,
        ),
        form.number("most_uses", "Most uses", &draft.most_uses)
            .hint("Where the maker counts them."),
        form.number("most_hours", "Most hours of use", &draft.most_hours),
        form.number("most_falls", "Most falls held", &draft.most_falls)
            .hint("Where the maker says that it may hold some and stay in use."),
        form.number(
            "examine_every_months",
            "Examine every so many months",
            &draft.examine_every_months,
        )
        .hint("The maker's; the shorter of this and the rulebook's binds."),
    ]
}

/// A draft as lines to compare.
fn lines(kind: Kind, draft: &ModelDraft) -> Lines {
    let mut lines: Lines = [
        ("Maker", &draft.maker),
        ("Model", &draft.name),
        ("May hold people", &draft.life_support),
        ("Made of", &draft.material),
        ("Years from the day made", &draft.life_years_from_made),
        ("Years from the first use", &draft.life_years_from_first_use),
        ("By condition", &draft.life_by_condition),
        ("Most uses", &draft.most_uses),
        ("Most hours of use", &draft.most_hours),
        ("Most falls held", &draft.most_falls),
        ("Examine every so many months", &draft.examine_every_months),
        ("Price of one", &draft.price),
        ("Instructions", &draft.instructions),
        ("Note", &draft.note),
    ]
    .map(|(name, text)| (name.to_owned(), text.clone()))
    .into();
    let ratings = draft.ratings.iter().filter(|rating| !rating.is_blank());
    lines.extend(ratings.enumerate().map(|(at, rating)| {
        let parts = [&rating.mode, &rating.value, &rating.kind, &rating.source];
        (format!("Rating {}", at + 1), joined(&parts))
    }));
    let approvals = draft.approvals.iter().filter(|a| !a.is_blank());
    lines.extend(approvals.enumerate().map(|(at, approval)| {
        let parts = [
            &approval.standard,
            &approval.edition,
            &approval.class,
            &approval.rope_least,
            &approval.rope_most,
            &approval.rope_kinds,
            &approval.rated_load,
            &approval.least_strands,
            &approval.most_persons,
            &approval.set_with,
        ];
        (format!("Approval {}", at + 1), joined(&parts))
    }));
    let limits = draft.limits.iter().filter(|limit| !limit.is_blank());
    lines.extend(limits.enumerate().map(|(at, limit)| {
        let parts = [&limit.criterion, &limit.least, &limit.most, &limit.source];
        (format!("Limit {}", at + 1), joined(&parts))
    }));
    lines.extend(attribute::lines(Some(kind), &draft.attributes));
    lines
}

fn joined(parts: &[&String]) -> String {
    let parts = parts.iter().map(|part| part.trim());
    let parts: Vec<&str> = parts.filter(|part| !part.is_empty()).collect();
    parts.join("; ")
}
