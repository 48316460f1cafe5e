//! The lists that examinations are done by.

use askama::Template;

use super::{
    Shell, attribute,
    form::{Choices, Form},
};
use crate::domain::{
    Checklist, Criterion, CriterionDraft, FieldErrors, Out, TeamChecklist, entered::LengthUnit,
    key_of,
};

struct Row {
    href: String,
    word: &'static str,
    note: String,
}

/// The list of every kind.
#[derive(Template)]
#[template(path = "checklist/list.html")]
pub struct Checklists {
    /// The frame.
    pub shell: Shell,
    rows: Vec<Row>,
}

impl Checklists {
    /// The newest list of each kind, and how many criteria of it are the team's own.
    pub fn new(shell: Shell, lists: &[(Checklist, usize)]) -> Self {
        let row = |(list, own): &(Checklist, usize)| {
            let all = super::words::count(list.criteria.len(), "criterion", "criteria");
            let note = match own {
                0 => format!("{all}; edition {}", list.edition.shipped),
                own => format!(
                    "{all}, {own} of them your own; edition {}",
                    list.edition.shipped
                ),
            };
            Row {
                href: format!("/checklists/{}", list.edition.kind.key()),
                word: list.edition.kind.word(),
                note,
            }
        };
        Self {
            shell,
            rows: lists.iter().map(row).collect(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        let list = Checklist::newest(crate::domain::Kind::Rope, None);
        vec![Self::new(
            Shell::sample("Checklists"),
            &[(list.clone(), 0), (list, 2)],
        )]
    }
}

struct Line {
    words: String,
    how: String,
    fails: &'static str,
    short: &'static str,
    source: String,
    take_back: Option<String>,
}

/// The list of one kind, and what the team adds to it.
#[derive(Template)]
#[template(path = "checklist/show.html")]
pub struct ShowChecklist {
    /// The frame.
    pub shell: Shell,
    edition: String,
    href: String,
    revision: u32,
    lines: Vec<Line>,
    may_keep: bool,
    form: Form,
    draft: CriterionDraft,
    ways: Choices,
    outs: Choices,
    units: Choices,
}

impl ShowChecklist {
    /// The newest list with what was typed for a further criterion.
    pub fn new(
        shell: Shell,
        (list, own): (&Checklist, Option<&TeamChecklist>),
        may_keep: bool,
        (draft, wrong): (&CriterionDraft, &FieldErrors),
    ) -> Self {
        let href = format!("/checklists/{}", list.edition.kind.key());
        let is_own =
            |key: &str| own.is_some_and(|own| own.criteria.iter().any(|one| one.key == key));
        let lines = list.criteria.iter().map(|one| {
            let take_back = may_keep && is_own(&one.key);
            line(
                one,
                take_back.then(|| format!("{href}/criteria/{}/take-back", one.key)),
            )
        });
        let mut ways: Choices = vec![(String::new(), "Choose".to_owned())];
        ways.extend(TeamChecklist::ways().map(|(key, word)| (key, word.to_owned())));
        let outs = [
            ("", "the item is not fit"),
            ("quarantine", Out::Quarantine.words()),
            ("retire", Out::Retire.words()),
        ];
        let outs = outs.map(|(key, word)| (key.to_owned(), word.to_owned()));
        Self {
            lines: lines.collect(),
            shell,
            edition: list.edition.to_string(),
            href,
            revision: own.map_or(0, |own| own.revision),
            may_keep,
            form: Form::new(wrong),
            ways: attribute::keeping(ways, &draft.by),
            outs: attribute::keeping(outs.into(), &draft.out),
            units: attribute::keeping(units(), &draft.unit),
            draft: draft.clone(),
        }
    }

    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use super::PROBE;
        let typed = |by: &str| CriterionDraft {
            words: PROBE.to_owned(),
            by: by.to_owned(),
            source: PROBE.to_owned(),
            ..CriterionDraft::default()
        };
        let kind = crate::domain::Kind::Rope;
        let measured = CriterionDraft {
            measured: PROBE.to_owned(),
            most: "2 mm".to_owned(),
            ..typed("measure")
        };
        let own = TeamChecklist::with(None, kind, &measured).ok();
        let list = Checklist::newest(kind, own.as_ref());
        let wrong = FieldErrors::one("words", "required", PROBE);
        let shell = || Shell::sample("Checklist: rope");
        vec![
            Self::new(
                shell(),
                (&list, own.as_ref()),
                true,
                (&typed(PROBE), &wrong),
            ),
            Self::new(
                shell(),
                (&Checklist::newest(kind, None), None),
                false,
                (&CriterionDraft::default(), &FieldErrors::default()),
            ),
        ]
    }
}

/// The units that a length is measured in, millimetres first.
fn units() -> Choices {
    let all = LengthUnit::ALL.iter();
    let mut units: Choices = all
        .map(|unit| (key_of(*unit), unit.symbol().to_owned()))
        .collect();
    units.sort_by_key(|(_, symbol)| symbol != "mm");
    units
}

fn line(criterion: &Criterion, take_back: Option<String>) -> Line {
    let mut how = criterion.by.word().to_owned();
    if let Some(measure) = &criterion.measure {
        let points = super::words::count(usize::from(measure.points), "point", "points");
        how = format!("{how}: {} at {points}", measure.of.to_lowercase());
        if let Some(limit) = &criterion.limit {
            how = format!("{how}; {limit}");
        }
    }
    Line {
        words: criterion.words.clone(),
        how,
        fails: match criterion.out {
            None => "not fit",
            Some(Out::Quarantine) => "out at once",
            Some(Out::Retire) => "out for good",
        },
        short: if criterion.quick { "yes" } else { "" },
        source: criterion.from.to_string(),
        take_back,
    }
}
