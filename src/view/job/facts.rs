//! One form for all that the records of models lack for the open positions of a job.

use std::collections::{BTreeMap, BTreeSet};

use askama::Template;

use crate::{
    domain::{
        FieldErrors, Model, RatingSource,
        fact::{Written, on_record},
        proposal::Lacking,
    },
    rigging::Rig,
    view::{
        Shell,
        form::{Choices, Field, Form, id_of},
        model::{FactGroup, fact_groups},
        part::{Empty, SectionNav, Tone},
    },
};

/// What is not on the records of models, with the fields to write it down.
#[derive(Template)]
#[template(path = "job/facts.html")]
pub struct FactsSheet {
    /// The frame.
    pub shell: Shell,
    /// The pages of the job.
    pub nav: SectionNav,
    /// Where the form is sent.
    pub action: String,
    /// The proposed kit, to which it leads back.
    pub back: String,
    /// What was wrong.
    pub form: Form,
    /// Where all of it was read.
    pub source: Field,
    /// The models.
    pub models: Vec<FactsOf>,
    /// What to do where nothing is lacking that could be written here.
    pub nothing: Option<Empty>,
    /// How many models more there are than are asked for at once.
    pub more: usize,
    /// Whether this person may write it down.
    pub may: bool,
    /// Who may.
    pub who: String,
}

/// What is asked of one model.
pub struct FactsOf {
    /// The id of its part of the form.
    pub id: String,
    /// The model.
    pub title: String,
    /// Its page.
    pub href: String,
    /// What waits for it, and what else does; may be empty.
    pub why: String,
    /// What is not on record, in a few words each.
    pub lacks: Vec<String>,
    /// The name of the field with the version of its record.
    pub revision_name: String,
    /// The version of its record.
    pub revision: u32,
    /// The fields.
    pub groups: Vec<FactGroup>,
    /// Where what is said of this one was read.
    pub source: Field,
    /// Whether that is in sight at once: somebody chose it, or it is wrong.
    pub own_source: bool,
    /// What is wrong with its record as a whole.
    pub messages: Vec<String>,
}

/// What is shown of one model.
pub struct Asked<'a> {
    /// The model.
    pub model: &'a Model,
    /// What it lacks; none where it lacks nothing any more and its fields keep what was typed.
    pub lacking: Option<&'a Lacking>,
    /// What stands in its fields.
    pub written: Written,
    /// Whether somebody typed it, so that what is on record beside it is told.
    pub is_typed: bool,
}

/// Where something was read, `first` standing for no choice.
fn sources(first: &str) -> Choices {
    let mut choices = vec![(String::new(), first.to_owned())];
    choices.extend(
        RatingSource::ALL.map(|source| (source.key().to_owned(), source.words().to_owned())),
    );
    choices
}

/// The choice for the whole page.
pub fn source_of_all(form: &Form, typed: &str) -> Field {
    form.choice("source", "Where you read it", typed, sources("choose"))
        .hint("Holds for all below; say so where nobody knows it any more. An efficiency that you assume needs none.")
}

impl FactsOf {
    /// The part of the form for one model; `hints` are those that the parts before it have told already.
    pub fn new(
        (form, wrong): (&Form, &FieldErrors),
        rig: &Rig,
        asked: &Asked<'_>,
        hints: &mut BTreeSet<String>,
    ) -> Self {
        let model = asked.model;
        let below = format!("models[{}]", model.id);
        let facts = asked.lacking.map_or(&[][..], |lacking| &lacking.facts);
        let written = (&asked.written.fields, facts);
        let mut groups = fact_groups(form, &below, model, written);
        if asked.is_typed {
            told(&mut groups, asked, &below);
        }
        for group in &mut groups {
            let fields = std::mem::take(&mut group.fields).into_iter();
            group.fields = fields.map(|field| field.hint_once(hints)).collect();
        }
        let source = form
            .below(&below)
            .choice(
                "source",
                "Where this was read",
                &asked.written.source,
                sources("as chosen on top"),
            )
            .may();
        let record = format!("{below}[record]");
        Self {
            id: id_of(&record),
            title: model.title(),
            href: format!("/models/{}", model.id),
            why: asked
                .lacking
                .map(|lacking| why(lacking, rig))
                .unwrap_or_default(),
            lacks: asked
                .lacking
                .map(|lacking| lacking.lacks.clone())
                .unwrap_or_default(),
            revision_name: format!("{below}[revision]"),
            revision: model.revision,
            groups,
            own_source: source.is_filled(),
            source,
            messages: wrong.on(&record).map(str::to_owned).collect(),
        }
    }
}

/// Tells with each field what the record has there otherwise than it was typed.
fn told(groups: &mut [FactGroup], asked: &Asked<'_>, below: &str) {
    let recorded: BTreeMap<String, String> = asked
        .written
        .fields
        .iter()
        .filter_map(|(name, typed)| {
            let there = on_record(asked.model, name)?;
            let differs = !typed.trim().is_empty() && there != typed.trim();
            differs.then(|| (crate::domain::nested(below, name), there))
        })
        .collect();
    for group in groups {
        let fields = std::mem::take(&mut group.fields).into_iter();
        let fields = fields.map(|field| {
            let mut all = recorded.iter();
            match all.find(|(name, _)| field.is_called(name)) {
                Some((_, there)) => field.told([format!(
                    "On record now: {there}. Saving replaces it with what stands here."
                )]),
                None => field,
            }
        });
        group.fields = fields.collect();
    }
}

/// What waits for the facts of a model, and what else stands against its items.
fn why(lacking: &Lacking, rig: &Rig) -> String {
    let titles: Vec<String> = lacking
        .positions
        .iter()
        .filter_map(|key| rig.position(key))
        .map(|position| format!("\"{}\"", position.title()))
        .collect();
    let codes = lacking.besides.iter().map(|code| code.words());
    let codes = codes.collect::<Vec<_>>().join("; ");
    let rest = match (lacking.items, lacking.ready) {
        (0, _) => String::new(),
        (1, 1) => " Nothing else stands against its 1 item.".to_owned(),
        (all, ready) if all == ready => format!(" Nothing else stands against its {all} items."),
        (1, 0) => format!(" More stands against its 1 item: {codes}."),
        (all, 0) => format!(" More stands against all of its {all} items: {codes}."),
        (all, ready) => format!(
            " Nothing else stands against {ready} of its {all} items; against the others: {codes}."
        ),
    };
    format!("Asked for {}.{rest}", titles.join(", "))
}

impl FactsSheet {
    /// Pages to test with.
    pub fn samples() -> Vec<Self> {
        use crate::view::{PROBE, gear};
        let model = gear::model();
        let below = format!("models[{}]", model.id);
        let names = [
            "attributes[diameter]",
            "ratings[straight][value]",
            "ratings[straight][kind]",
            "approvals[to EN 1891][rope_least]",
        ];
        let written = Written {
            source: PROBE.to_owned(),
            fields: names.map(|name| (name.to_owned(), PROBE.to_owned())).into(),
        };
        let mut wrong = FieldErrors::one(format!("{below}[attributes][diameter]"), "unit", PROBE);
        wrong.add(format!("{below}[record]"), "stale", PROBE);
        let form = Form::new(&wrong);
        let asked = Asked {
            model: &model,
            lacking: None,
            written,
            is_typed: true,
        };
        let of_model = |rig| FactsOf {
            why: PROBE.to_owned(),
            lacks: vec![PROBE.to_owned()],
            ..FactsOf::new((&form, &wrong), rig, &asked, &mut BTreeSet::new())
        };
        let sheet = |may, nothing: Option<Empty>| Self {
            shell: Shell::sample(PROBE),
            nav: SectionNav {
                label: "Job".to_owned(),
                links: Vec::new(),
                here: String::new(),
            },
            action: "/jobs/1/proposal/facts".to_owned(),
            back: "/jobs/1/proposal".to_owned(),
            source: source_of_all(&form, PROBE),
            models: crate::rigging::shipped()
                .iter()
                .take(1)
                .map(of_model)
                .collect(),
            form: form.clone(),
            nothing,
            more: 2,
            may,
            who: PROBE.to_owned(),
        };
        vec![
            sheet(true, None),
            sheet(false, None),
            sheet(true, Some(Empty::new(PROBE, PROBE))),
        ]
    }
}
