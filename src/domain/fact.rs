//! What jobs ask of a model and its record lacks: each fact with the fields in which it is written down, and many
//! facts of one model written onto its record at once.

use std::collections::BTreeMap;

use super::{
    ApprovalDraft, FieldErrors, Kind, Model, ModelDraft, RatingDraft, RatingSource, confirmation_of,
};
use crate::rigging::{LoadingMode, StrengthKind};

/// What stands in the name of a field for an approval that is not on record yet.
const NEW: &str = "new";

/// One thing that is not on the record of a model.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fact {
    /// What is written down about its kind, by its key.
    Attribute(&'static str),
    /// What it holds, loaded so; and of which kind the rating must be, where only one kind will do.
    Strength(LoadingMode, Option<StrengthKind>),
    /// The diameters of rope, of the approval with this title; none where it has none that could tell them.
    RopeRange(Option<String>),
    /// The kinds of rope, of the approval with this title.
    RopeKinds(String),
    /// The rated load, of the approval with this title.
    RatedLoad(String),
    /// An approval that is asked for.
    Approval,
}

impl Fact {
    /// The fields that are written for it, by their names: `attributes[becket]`, `ratings[basket][value]`,
    /// `approvals[to EN 567][rope_least]`. What belongs together is asked together.
    pub fn fields(&self) -> Vec<String> {
        match self {
            Self::Attribute(key) => {
                let keys: &[&str] = match *key {
                    "efficiency" => &[
                        "efficiency",
                        "efficiency-low",
                        "efficiency-high",
                        "efficiency-source",
                    ],
                    "friction" => &["friction-low", "friction", "friction-high"],
                    "elongation" => &["elongation", "elongation-test"],
                    _ => return vec![format!("attributes[{key}]")],
                };
                keys.iter()
                    .map(|key| format!("attributes[{key}]"))
                    .collect()
            }
            Self::Strength(mode, _) => ["value", "kind"]
                .map(|part| format!("ratings[{}][{part}]", mode.key()))
                .into(),
            Self::RopeRange(Some(title)) => {
                of_approval(&handle(title), &["rope_least", "rope_most"])
            }
            Self::RopeKinds(title) => of_approval(&handle(title), &["rope_kinds"]),
            Self::RatedLoad(title) => of_approval(&handle(title), &["rated_load"]),
            Self::RopeRange(None) | Self::Approval => of_approval(
                NEW,
                &[
                    "standard",
                    "class",
                    "rope_least",
                    "rope_most",
                    "rope_kinds",
                    "rated_load",
                ],
            ),
        }
    }

    /// The fields with what stands in them before anybody writes: what the record has of them, and what alone will do.
    pub fn opened(&self, model: &Model) -> Vec<(String, String)> {
        let there = model.attributes.typed();
        let opened = |name: String| {
            let known = match (self, Field::of(&name)) {
                (_, Some(Field::Attribute(key))) => there.get(key).cloned(),
                (Self::Strength(_, Some(kind)), Some(Field::Rating(_, "kind"))) => {
                    Some(kind.key().to_owned())
                }
                _ => None,
            };
            (name, known.unwrap_or_default())
        };
        // Of a range of ropes the end that is known is not asked for again.
        let is_open = |name: &String| match self {
            Self::RopeRange(Some(_)) => on_record(model, name).is_none(),
            _ => true,
        };
        let fields = self.fields().into_iter().filter(is_open);
        fields.map(opened).collect()
    }
}

fn of_approval(at: &str, parts: &[&str]) -> Vec<String> {
    let parts = parts.iter();
    parts
        .map(|part| format!("approvals[{at}][{part}]"))
        .collect()
}

/// An approval in the name of a field, where brackets have a meaning of their own.
fn handle(title: &str) -> String {
    format!("to {}", title.replace('[', "(").replace(']', ")"))
}

/// The field of a model that a name stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Field<'a> {
    /// An attribute, by its key.
    Attribute(&'a str),
    /// A part of the rating in the way of loading with this key.
    Rating(&'a str, &'a str),
    /// A part of an approval, by how the name calls the approval.
    Approval(&'a str, &'a str),
}

impl<'a> Field<'a> {
    /// Reads a name; none where it is that of no such field.
    pub fn of(name: &'a str) -> Option<Self> {
        let (list, rest) = name.strip_suffix(']')?.split_once('[')?;
        match (list, rest.split_once("][")) {
            ("attributes", None) => Some(Self::Attribute(rest)),
            ("ratings", Some((mode, part))) => Some(Self::Rating(mode, part)),
            ("approvals", Some((at, part))) => Some(Self::Approval(at, part)),
            _ => None,
        }
    }
}

/// What the record has under the name of a field; none where it has nothing there.
pub fn on_record(model: &Model, name: &str) -> Option<String> {
    let draft = model.draft();
    let text = match Field::of(name)? {
        Field::Attribute(key) => draft.attributes.get(key)?.clone(),
        Field::Rating(mode, part) => {
            let rating = draft.ratings.iter().find(|one| one.mode == mode)?;
            match part {
                "value" => rating.value.clone(),
                "kind" => rating.kind.clone(),
                _ => return None,
            }
        }
        Field::Approval(at, part) => {
            let approval = draft.approvals.iter().find(|one| called(one) == at)?;
            match part {
                "rope_least" => approval.rope_least.clone(),
                "rope_most" => approval.rope_most.clone(),
                "rope_kinds" => approval.rope_kinds.clone(),
                "rated_load" => approval.rated_load.clone(),
                _ => String::new(),
            }
        }
    };
    (!text.is_empty()).then_some(text)
}

/// How a name calls an approval, for people: "Approval to EN 567 class B".
pub fn approval_words(at: &str) -> String {
    match at {
        NEW => "Approval that is not on record yet".to_owned(),
        at => format!("Approval {at}"),
    }
}

/// What was written of one model, by the names of the fields, and where it was read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Written {
    /// `marking`, `paper`, `test` or `not-known`.
    pub source: String,
    /// The texts by the names of their fields.
    pub fields: BTreeMap<String, String>,
}

/// The record of a model with what was written, and how the form calls what the record calls by its place in a list.
struct Laid {
    draft: ModelDraft,
    names: Vec<(String, String)>,
}

impl Written {
    /// The model with what was written, its note telling what was read where; none where nothing new was written.
    /// What is empty stays as it is on record. `said` stands behind it: "said on 4 May 2027".
    ///
    /// # Errors
    /// Every field that does not hold, under the name that it has here; `source` where it is not said where something
    /// was read.
    pub fn onto(&self, model: &Model, said: &str) -> Result<Option<Model>, FieldErrors> {
        let there = model.draft();
        let mut wrong = FieldErrors::default();
        let mut laid = self.laid(&there, &mut wrong);
        if wrong.is_empty() && laid.draft == there {
            return Ok(None);
        }
        if self.is_only_assumed() {
            say_where_read(&mut laid, &there, ("assumed", said));
        } else if let Some(source) =
            wrong.keep("source", "choice", RatingSource::read(&self.source))
        {
            let read = source.read_words();
            say_where_read(&mut laid, &there, (&read, said));
        }
        match laid.draft.check(model.id, model.revision + 1) {
            Ok(model) if wrong.is_empty() => return Ok(Some(model)),
            Ok(_) => {}
            Err(found) => self.blame(found, &laid.names, model, &mut wrong),
        }
        Err(wrong)
    }

    /// Whether nothing was written but an efficiency that is assumed, which nobody read anywhere.
    fn is_only_assumed(&self) -> bool {
        let how = self.fields.get("attributes[efficiency-source]");
        let mut written = self.fields.iter();
        how.is_some_and(|how| how == "assumed")
            && written.all(|(name, text)| {
                text.trim().is_empty() || name.starts_with("attributes[efficiency")
            })
    }

    fn laid(&self, there: &ModelDraft, wrong: &mut FieldErrors) -> Laid {
        let mut laid = Laid {
            draft: there.clone(),
            names: Vec::new(),
        };
        let filled = self.fields.iter();
        let filled = filled.map(|(name, text)| (name.as_str(), text.trim()));
        for (name, text) in filled.filter(|(_, text)| !text.is_empty()) {
            match Field::of(name) {
                Some(Field::Attribute(key)) => {
                    laid.draft
                        .attributes
                        .insert(key.to_owned(), text.to_owned());
                }
                Some(Field::Rating(mode, "value")) => self.rate(&mut laid, mode, text),
                // Of which kind a rating is, and whether it is really so, is read with its value.
                Some(Field::Rating(_, "kind" | "confirmed")) => {}
                Some(Field::Approval(at, part)) => {
                    approve(&mut laid, (name, at, part), text, wrong);
                }
                _ => wrong.add(name, "choice", "No such thing is written down of a model."),
            }
        }
        laid
    }

    fn rate(&self, laid: &mut Laid, mode: &str, value: &str) {
        let part = |part| self.fields.get(&format!("ratings[{mode}][{part}]"));
        let rating = RatingDraft {
            mode: mode.to_owned(),
            value: value.to_owned(),
            kind: part("kind").cloned().unwrap_or_default(),
            source: self.source.clone(),
            confirmed: part("confirmed").cloned().unwrap_or_default(),
        };
        let ratings = &mut laid.draft.ratings;
        let same = |one: &RatingDraft| one.mode == rating.mode && one.kind == rating.kind;
        let at = ratings.iter().position(same).unwrap_or(ratings.len());
        laid.names
            .push((format!("ratings[{at}]"), format!("ratings[{mode}]")));
        match ratings.get_mut(at) {
            Some(there) => *there = rating,
            None => ratings.push(rating),
        }
    }

    /// Puts what the record's check found under the names that the fields have here; what none of them is to blame for
    /// is told beside the source, with the record that it is about.
    fn blame(
        &self,
        found: FieldErrors,
        names: &[(String, String)],
        model: &Model,
        wrong: &mut FieldErrors,
    ) {
        for error in found.0 {
            let renamed = names.iter().find_map(|(place, name)| {
                let rest = error.field.strip_prefix(place.as_str())?;
                Some(format!("{name}{rest}"))
            });
            let field = renamed.unwrap_or_else(|| error.field.clone());
            let is_of_source = field.ends_with("][source]");
            if self.fields.contains_key(&field) {
                wrong.add(field, &error.code, error.message);
            } else if !is_of_source {
                let message = format!(
                    "The record of {} does not hold as it stands ({}): {} Mend it on its own page first.",
                    model.title(),
                    error.field,
                    error.message
                );
                wrong.add("source", &error.code, message);
            }
        }
    }
}

fn approve(
    laid: &mut Laid,
    (name, at, part): (&str, &str, &str),
    text: &str,
    wrong: &mut FieldErrors,
) {
    let form = format!("approvals[{at}]");
    let known = laid.names.iter().find(|(_, name)| *name == form);
    let place = known.and_then(|(place, _)| {
        place
            .strip_prefix("approvals[")?
            .strip_suffix(']')?
            .parse()
            .ok()
    });
    let place = place.or_else(|| match at {
        NEW => Some(laid.draft.approvals.len()),
        _ => laid
            .draft
            .approvals
            .iter()
            .position(|one| called(one) == at),
    });
    let Some(place) = place else {
        let message = format!(
            "The record has no approval {at} any more: open it, and write this where it belongs."
        );
        wrong.add(name, "choice", message);
        return;
    };
    if place == laid.draft.approvals.len() {
        laid.draft.approvals.push(ApprovalDraft::default());
    }
    if known.is_none() {
        laid.names.push((format!("approvals[{place}]"), form));
    }
    let approval = &mut laid.draft.approvals[place];
    let field = match part {
        "standard" => &mut approval.standard,
        "class" => &mut approval.class,
        "rope_least" => &mut approval.rope_least,
        "rope_most" => &mut approval.rope_most,
        "rope_kinds" => &mut approval.rope_kinds,
        "rated_load" => &mut approval.rated_load,
        "confirmed" => &mut approval.confirmed,
        _ => {
            wrong.add(
                name,
                "choice",
                "No such thing is written down of an approval here.",
            );
            return;
        }
    };
    text.clone_into(field);
}

fn called(approval: &ApprovalDraft) -> String {
    let title = approval.check().map(|approval| approval.title());
    handle(&title.unwrap_or_else(|_| approval.standard.clone()))
}

/// Says in the model's note where that was read which has no source of its own on record: all but the ratings.
fn say_where_read(laid: &mut Laid, there: &ModelDraft, (source, said): (&str, &str)) {
    let Laid { draft, names } = laid;
    let kind = Kind::from_word(&draft.kind);
    let label = |key: &String| {
        let attribute = kind.and_then(|kind| kind.attribute(key));
        attribute
            .map_or(key.as_str(), |attribute| attribute.label)
            .to_owned()
    };
    let new = draft.attributes.iter();
    let new = new.filter(|(key, text)| there.attributes.get(*key) != Some(*text));
    let new = new.filter(|(key, _)| confirmation_of(key).is_none());
    // What is assumed was not read, and says so itself.
    let assumed = draft.attributes.get("efficiency-source");
    let assumed = assumed.is_some_and(|how| how == "assumed") && source != "assumed";
    let new = new.filter(|(key, _)| !(assumed && key.starts_with("efficiency")));
    let mut read: Vec<String> = new.map(|(key, _)| label(key)).collect();
    let approvals = names.iter();
    let approvals = approvals.filter_map(|(_, name)| name.strip_prefix("approvals["));
    read.extend(approvals.map(|at| approval_words(at.trim_end_matches(']'))));
    if read.is_empty() {
        return;
    }
    if !draft.note.is_empty() {
        draft.note.push('\n');
    }
    let line = format!("{}: {source}; {said}.", read.join(", "));
    draft.note.push_str(&line);
}
