//! The rows of a model's form that come several times: its approvals and its ratings.

use super::super::{
    attribute::keeping,
    form::{Choices, Field, Form},
    rated::source_words,
};
use crate::{
    domain::{
        ApprovalDraft, Gear, Kind, LimitDraft, RatingDraft, RatingSource, checklist::measured,
    },
    rigging::StrengthKind,
};

/// The fields of one approval or rating.
#[derive(Clone, Debug)]
pub(super) struct Row {
    /// Its number for people, from 1.
    pub number: usize,
    /// Its fields.
    pub fields: Vec<Field>,
}

/// The approvals; one that is empty is passed over when the form is sent.
pub(super) fn approvals(form: &Form, gear: &Gear, drafts: &[ApprovalDraft]) -> Vec<Row> {
    let rows = drafts.iter().enumerate();
    rows.map(|(at, draft)| Row {
        number: at + 1,
        fields: approval(form, gear, &at.to_string(), draft),
    })
    .collect()
}

/// The fields of one approval; `at` is what stands for it in their names.
pub(super) fn approval(form: &Form, gear: &Gear, at: &str, draft: &ApprovalDraft) -> Vec<Field> {
    let name = |part: &str| format!("approvals[{at}][{part}]");
    let mut fields = vec![
        form.line(&name("standard"), "Standard", &draft.standard)
            .hint("As marked, such as EN 567. A year or a class behind it goes to its own field."),
        form.line(&name("edition"), "Edition", &draft.edition)
            .hint("The year, if it is marked."),
        form.line(&name("class"), "Class, type or grade", &draft.class),
        form.number(&name("rope_least"), "Thinnest rope", &draft.rope_least)
            .hint("With its unit, such as 10 mm."),
        form.number(&name("rope_most"), "Thickest rope", &draft.rope_most)
            .hint("With its unit, such as 12 mm."),
        form.choice(
            &name("rope_kinds"),
            "Kinds of rope",
            &draft.rope_kinds,
            rope_kinds(&draft.rope_kinds),
        ),
        form.number(&name("rated_load"), "Rated load", &draft.rated_load)
            .hint("With its unit, such as 200 kg."),
    ];
    if draft.far_out(gear).is_some() {
        let (name, given) = (name("confirmed"), draft.rated_load.trim());
        fields.push(confirm(form, &name, given, draft.is_confirmed()));
    }
    fields.extend([
        form.number(
            &name("least_strands"),
            "Fewest strands",
            &draft.least_strands,
        )
        .hint("Where it may only be used in a tackle of so many."),
        form.number(&name("most_persons"), "Most persons", &draft.most_persons)
            .hint("Where it is approved for so many at once."),
        form.line(&name("set_with"), "In a set with", &draft.set_with)
            .hint("Where the approval is for a set: the other models, with a semicolon between."),
    ]);
    fields
}

/// Asked only of what such gear hardly ever has, and again where another such figure is written.
fn confirm(form: &Form, name: &str, given: &str, is_confirmed: bool) -> Field {
    let label = format!("{given} is no slip: the maker states just this");
    form.tick_of(name, &label, given, is_confirmed)
}

fn rope_kinds(typed: &str) -> Choices {
    let choices = [
        ("", "not said"),
        ("low-stretch", "low-stretch"),
        ("low-stretch, static", "low-stretch and static"),
        ("static", "static"),
        ("dynamic", "dynamic"),
        ("low-stretch, static, dynamic", "all three"),
    ]
    .map(|(key, word)| (key.to_owned(), word.to_owned()))
    .into();
    keeping(choices, typed)
}

/// The ratings; one without way of loading and value is passed over when the form is sent.
pub(super) fn ratings(form: &Form, of: (Kind, &Gear), drafts: &[RatingDraft]) -> Vec<Row> {
    let rows = drafts.iter().enumerate();
    rows.map(|(at, draft)| Row {
        number: at + 1,
        fields: rating(form, of, None, (&at.to_string(), draft)),
    })
    .collect()
}

/// The fields of one rating; `at` is what stands for it in their names, `only` the one kind of rating that counts.
pub(super) fn rating(
    form: &Form,
    (kind, gear): (Kind, &Gear),
    only: Option<StrengthKind>,
    (at, draft): (&str, &RatingDraft),
) -> Vec<Field> {
    let name = |part: &str| format!("ratings[{at}][{part}]");
    let mut modes = vec![(String::new(), "choose".to_owned())];
    let of_kind = kind.modes().iter();
    modes.extend(of_kind.map(|mode| (mode.key().to_owned(), mode.words().to_owned())));
    let kinds = [
        StrengthKind::Breaking,
        StrengthKind::WorkingLimit,
        StrengthKind::RatedLoad,
    ]
    .into_iter()
    .filter(|kind| only.is_none_or(|only| only == *kind))
    .map(|kind| (kind.key().to_owned(), kind.words().to_owned()))
    .collect();
    let which = only.map_or_else(String::new, |only| {
        format!(
            "Another rating alone does not do here; its {} is asked.",
            only.words()
        )
    });
    let sources = RatingSource::ALL
        .map(|source| (source.key().to_owned(), source_words(source).to_owned()))
        .into();
    let mut fields = vec![
        form.choice(
            &name("mode"),
            "Loaded",
            &draft.mode,
            keeping(modes, &draft.mode),
        ),
        form.number(&name("value"), "Holds", &draft.value)
            .hint("With its unit as printed, such as 22 kN or 5000 lbf. A rated load or a working limit in kg or lb counts as its weight, with g = 9.80665 m/s²: 140 kg is 140 kgf, which is 1.37 kN."),
        form.choice(
            &name("kind"),
            "Kind of rating",
            &draft.kind,
            keeping(kinds, &draft.kind),
        )
        .hint(&which),
        form.choice(
            &name("source"),
            "Read",
            &draft.source,
            keeping(sources, &draft.source),
        ),
    ];
    if draft.far_out(gear).is_some() {
        let (name, given) = (name("confirmed"), draft.value.trim());
        fields.push(confirm(form, &name, given, draft.is_confirmed()));
    }
    fields
}

/// The limits of what is measured; one without a value is passed over when the form is sent.
pub(super) fn limits(form: &Form, kind: Kind, drafts: &[LimitDraft]) -> Vec<Row> {
    let rows = drafts.iter().enumerate();
    rows.map(|(at, draft)| Row {
        number: at + 1,
        fields: limit(form, kind, at, draft),
    })
    .collect()
}

fn limit(form: &Form, kind: Kind, at: usize, draft: &LimitDraft) -> Vec<Field> {
    let name = |part: &str| format!("limits[{at}][{part}]");
    let mut of = vec![(String::new(), "choose".to_owned())];
    of.extend(measured(kind).into_iter().filter_map(|one| {
        let measure = one.measure?;
        Some((one.key, measure.of))
    }));
    vec![
        form.choice(
            &name("criterion"),
            "What is measured",
            &draft.criterion,
            keeping(of, &draft.criterion),
        ),
        form.number(&name("least"), "At least", &draft.least)
            .hint("With its unit, such as 3 mm."),
        form.number(&name("most"), "At most", &draft.most)
            .hint("With its unit, such as 1 mm."),
        form.line(&name("source"), "Where it was read", &draft.source)
            .hint("The paper and its page."),
    ]
}

/// The words for what a criterion of a kind measures; its key where nothing is known of it.
pub(super) fn measured_word(kind: Kind, key: &str) -> String {
    let mut all = measured(kind).into_iter();
    let found = all.find(|one| one.key == key).and_then(|one| one.measure);
    found.map_or_else(|| key.to_owned(), |measure| measure.of)
}
