//! What single positions of the shipped rigs ask of a model, beyond what every job asks: found by the rules by which
//! an item is chosen for a position.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use uuid::Uuid;

use super::{KitGap, gaps_of};
use crate::domain::fact::Fact;
use crate::domain::fitness::{Circumstances, KitItem, Plan, fitness, is_right_kind};
use crate::domain::rulebook::{Rulebook, When};
use crate::domain::{
    Approval, Attributes, FieldErrors, Item, ItemId, Job, JobDraft, JobId, Kind, Mend, Model,
    ModelId, Refusal, RefusalCode as Code, Where, Zone,
};
use crate::rigging::{LoadingMode, Position, Rig, shipped};

/// The shipped rigs, each planned for one person under a rulebook.
pub struct Somewhere<'a> {
    rulebook: &'a Rulebook,
    plans: Vec<Plan<'a>>,
}

/// What is open, by its code, with the words for what is not on record, and the rigs that ask.
type Asked<'a> = BTreeMap<&'static str, (String, Vec<&'a str>)>;

/// What positions of the shipped rigs ask of a model.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct AskedSomewhere {
    /// What its record does not say, each told with the rigs that ask.
    pub gaps: Vec<KitGap>,
    /// Every position that must be filled and that nothing on record closes to it.
    pub places: Vec<OpenPlace>,
}

/// A position that a model may take, once its record says what is asked there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenPlace {
    /// The rig's place among the shipped ones.
    pub rig: usize,
    /// The position's key.
    pub position: String,
    /// What the record does not say, by its codes; nothing where the model may take the position as it stands.
    pub codes: BTreeSet<&'static str>,
}

impl<'a> Somewhere<'a> {
    /// The shipped rigs under a rulebook.
    pub fn new(rulebook: &'a Rulebook) -> Self {
        let plans = jobs().iter().zip(shipped());
        Self {
            rulebook,
            plans: plans
                .map(|(job, rig)| Plan::new(job, rulebook, rig))
                .collect(),
        }
    }

    /// What the record of a model does not say and some position of a shipped rig asks, each told with the rigs.
    /// What `refusals`, the reasons against the item on every job, ask already is left out.
    pub fn asked(&self, item: &Item, model: &Model, refusals: &[Refusal]) -> AskedSomewhere {
        let probe = self.as_if_approved(model);
        let said: BTreeSet<&'static str> = refusals
            .iter()
            .filter_map(|refusal| code_of(refusal, model))
            .collect();
        let is_said = |sentence: &str| refusals.iter().any(|one| one.sentence == sentence);
        let (mut asked, mut places) = (Asked::new(), Vec::new());
        let mut unapproved = Asked::new();
        let mut goes_somewhere = false;
        for (rig, plan) in self.plans.iter().enumerate() {
            let at = open_at(plan, item, &probe);
            let mut here = Vec::new();
            goes_somewhere |= !at.open.is_empty();
            for (code, sentence) in at.closed.into_iter().filter(|(_, one)| !is_said(one)) {
                note(&mut unapproved, (code, sentence), plan.rig.title());
            }
            for (place, mut open) in at.open {
                open.retain(|(code, _)| !said.contains(code));
                if !place.is_optional() {
                    places.push(OpenPlace {
                        rig,
                        position: place.key().to_owned(),
                        codes: open.iter().map(|(code, _)| *code).collect(),
                    });
                }
                here.append(&mut open);
            }
            for lacking in here {
                note(&mut asked, lacking, plan.rig.title());
            }
        }
        // What goes elsewhere need not be approved for everything; what is made to capture is there to do it.
        if !goes_somewhere || model.attributes.yes_no("capture") == Some(true) {
            asked.append(&mut unapproved);
        }
        // How much a becket holds is asked once it is known that there is one.
        if asked.contains_key("becket-unknown") {
            asked.remove("becket-strength");
        }
        let gaps = asked.into_iter().map(|(code, (lacks, rigs))| KitGap {
            code,
            position: None,
            sentence: if code == NOT_APPROVED {
                format!("{lacks} So {}.", ask(&rigs))
            } else {
                format!("{}, and {} for it.", lack(code, &lacks), ask(&rigs))
            },
            lacks,
            fact: None,
        });
        AskedSomewhere {
            gaps: gaps.collect(),
            places,
        }
    }

    /// A model that has no approval, as it would be with those that the rulebook asks for: what they must say
    /// of ropes is asked with them.
    fn as_if_approved(&self, model: &Model) -> Model {
        let mut model = model.clone();
        if model.approvals.is_empty() {
            let uses = [When::Captures, When::Grabs];
            let asked = self.rulebook.approvals_asked(model.kind, &uses);
            let approvals = asked.filter_map(|asked| {
                let one = asked.any_of.first()?;
                Some(Approval {
                    standard: one.standard.clone(),
                    class: one.classes.first().cloned(),
                    ..Approval::default()
                })
            });
            model.approvals = approvals.collect();
        }
        model
    }
}

/// Notes what is asked with the rig that asks it, each rig once.
fn note<'a>(asked: &mut Asked<'a>, (code, lacks): (&'static str, String), rig: &'a str) {
    let (_, rigs) = asked.entry(code).or_insert((lacks, Vec::new()));
    if rigs.last() != Some(&rig) {
        rigs.push(rig);
    }
}

/// A job of one person for each shipped rig.
fn jobs() -> &'static [Job] {
    static JOBS: LazyLock<Vec<Job>> = LazyLock::new(|| {
        let job = |rig: &Rig| {
            let draft = JobDraft {
                title: rig.title().to_owned(),
                place: rig.title().to_owned(),
                starts_at: "2026-03-02T08:00:00Z".to_owned(),
                ends_at: "2026-03-02T16:00:00Z".to_owned(),
                depth: "15 m".to_owned(),
                load: "1 person".to_owned(),
                rulebook: "european".to_owned(),
                rig: rig.key().to_owned(),
                ..JobDraft::default()
            };
            let job = draft.check(JobId(Uuid::nil()), 1, &Zone::UTC);
            job.expect("a test plans every rig that ships")
        };
        shipped().iter().map(job).collect()
    });
    &JOBS
}

/// What is asked of a model at the positions of a rig, each by its code with the words for it.
struct AtRig<'a> {
    /// The positions that it may take, with what its record leaves open there.
    open: Vec<(&'a Position, Vec<(&'static str, String)>)>,
    /// Why it may not take others, where its record could say more.
    closed: Vec<(&'static str, String)>,
}

/// The word for programs for an approval that is asked for where others are on record.
const NOT_APPROVED: &str = "not-approved";

/// That nothing but an approval keeps a model from a position, whose record has others: it may be to be had, or not, so
/// the place stays closed. Of a model that is not said to be able to do there what is asked, nothing is told.
fn unapproved(refusals: &[Refusal], model: &Model) -> Option<(&'static str, String)> {
    let is_one = |refusal: &Refusal| refusal.code == Code::NotApproved && refusal.lacks.is_none();
    let is_able = |refusal: &Refusal| refusal.code != Code::LacksPart || refusal.lacks.is_none();
    let mut closing = refusals.iter().filter(|refusal| closes(refusal, model));
    let only = closing.clone().all(is_one) && refusals.iter().all(is_able);
    let first = closing.next().filter(|_| only)?;
    Some((NOT_APPROVED, first.sentence.clone()))
}

/// What the record of a model leaves open at each of the positions of a rig that may take it.
fn open_at<'a>(plan: &Plan<'a>, item: &Item, model: &Model) -> AtRig<'a> {
    let rope = rope(item, model);
    let rope_item = Item {
        id: ItemId(Uuid::max()),
        ..item.clone()
    };
    let places = plan.rig.positions().iter();
    let ropes: Vec<KitItem<'_>> = places
        .clone()
        .filter(|place| is_right_kind(Kind::Rope, place))
        .map(|place| KitItem {
            item: &rope_item,
            model: &rope,
            position: Some(place.key()),
        })
        .collect();
    let (mut open, mut closed) = (Vec::new(), Vec::new());
    for place in places.filter(|place| is_right_kind(model.kind, place)) {
        let candidate = KitItem {
            item,
            model,
            position: Some(place.key()),
        };
        let kit = if model.kind == Kind::Rope {
            &[][..]
        } else {
            ropes.as_slice()
        };
        let circumstances = Circumstances {
            kit,
            notices: &[],
            closings: &[],
            still_open: &[],
            elsewhere: &[],
            today: plan.job.ends_at.date(),
            zone: &Zone::UTC,
        };
        let refusals = fitness(candidate, plan, &circumstances);
        if refusals.iter().any(|refusal| closes(refusal, model)) {
            closed.extend(unapproved(&refusals, model));
            continue;
        }
        let lacking = refusals.iter().filter_map(|refusal| {
            let lacks = refusal.lacks.clone()?;
            Some((code_of(refusal, model)?, lacks))
        });
        let mut here: Vec<_> = lacking.collect();
        let gaps = friction(model).then(|| gaps_of(plan, &candidate, &refusals));
        let gaps = gaps.into_iter().flatten();
        here.extend(
            gaps.filter(|gap| gap.code == "no-friction")
                .map(|gap| (gap.code, gap.lacks)),
        );
        open.push((place, here));
    }
    AtRig { open, closed }
}

/// A rope as the devices of the trade take it, so that it is asked what each of them takes.
fn rope(item: &Item, like: &Model) -> Model {
    let typed = [("diameter", "11 mm"), ("rope-kind", "low-stretch")];
    let typed = typed.map(|(key, value)| (key.to_owned(), value.to_owned()));
    let typed = BTreeMap::from(typed);
    Model {
        id: ModelId(item.id.0),
        kind: Kind::Rope,
        approvals: Vec::new(),
        ratings: Vec::new(),
        attributes: Attributes::check(
            Kind::Rope,
            Where::Model,
            &typed,
            &mut FieldErrors::default(),
        ),
        ..like.clone()
    }
}

/// Whether friction is on record, in part at least: then a verdict takes it from there.
fn friction(model: &Model) -> bool {
    let keys = ["friction", "friction-low", "friction-high"];
    keys.iter()
        .any(|key| model.attributes.number(key).is_some())
}

/// Whether what is on record speaks against the model at a position, so that nothing more has to be known for it. What
/// waits for its maker's word to belay may not go there as it stands; of a descender that is not asked here, since few papers
/// say it.
fn closes(refusal: &Refusal, model: &Model) -> bool {
    if refusal.fact == Some(Fact::Attribute("belays")) && model.kind == Kind::Descender {
        return true;
    }
    let of_rope = matches!(refusal.code, Code::RopeDiameter | Code::RopeKind);
    let of_model = refusal.mend == Some(Mend::ModelRecord(model.id));
    let facts = matches!(
        refusal.code,
        Code::WrongKind | Code::RatedLoad | Code::Strands | Code::OutOfBounds
    );
    refusal.lacks.is_none() && !of_rope && (facts || of_model)
}

/// The word for programs for what a reason says is not on the model's record; none where it says something else.
fn code_of(refusal: &Refusal, model: &Model) -> Option<&'static str> {
    let lacks = refusal.lacks.as_deref()?;
    if refusal.mend != Some(Mend::ModelRecord(model.id)) {
        return None;
    }
    Some(match refusal.code {
        Code::LacksPart if lacks.contains("becket") => "becket-unknown",
        Code::LacksPart | Code::CapturesHere if lacks.contains("capture") => "capture-unknown",
        Code::LacksPart if lacks.contains("belay") => "belays-unknown",
        Code::RopeDiameter if model.kind != Kind::Rope && model.approvals.is_empty() => {
            "range-unapproved"
        }
        Code::RopeDiameter if model.kind != Kind::Rope => "rope-range",
        Code::RopeKind if model.kind != Kind::Rope => "rope-kinds",
        // One that is known in no way of loading is written down in the usual one first.
        Code::StrengthUnknown => {
            strength_code(lacks).or_else(|| usual_strength(model.kind.modes().first().copied()?))?
        }
        // The ropes that devices are held against here are made up.
        Code::RopeDiameter | Code::RopeKind => return None,
        other => other.key(),
    })
}

/// The words for programs for a strength that is not known, in each way of loading.
const STRENGTHS: [(LoadingMode, &str); 10] = [
    (LoadingMode::Straight, "straight-unknown"),
    (LoadingMode::Terminated, "terminated-unknown"),
    (LoadingMode::MajorAxis, "major-axis-unknown"),
    (LoadingMode::GateOpen, "gate-open-unknown"),
    (LoadingMode::MinorAxis, "minor-axis-unknown"),
    (LoadingMode::Axle, "axle-unknown"),
    (LoadingMode::Becket, "becket-strength"),
    (LoadingMode::Basket, "basket-unknown"),
    (LoadingMode::Choked, "choked-unknown"),
    (LoadingMode::Body, "body-unknown"),
];

fn strength_code(lacks: &str) -> Option<&'static str> {
    let all = STRENGTHS.iter();
    let mut named = all.filter(|(mode, _)| lacks.ends_with(mode.words()));
    named.next().map(|(_, code)| *code)
}

fn usual_strength(mode: LoadingMode) -> Option<&'static str> {
    let mut all = STRENGTHS.iter();
    all.find(|(one, _)| *one == mode).map(|(_, code)| *code)
}

/// The way of loading of which a gap says that the strength is not known; none where it says something else.
pub fn mode_unknown(code: &str) -> Option<LoadingMode> {
    let mut all = STRENGTHS.iter();
    all.find(|(_, one)| *one == code).map(|(mode, _)| *mode)
}

fn lack(code: &str, lacks: &str) -> String {
    match code {
        "becket-unknown" => "Whether it has a becket is not known".to_owned(),
        "capture-unknown" => "Whether it captures the progress of the rope is not known".to_owned(),
        "belays-unknown" => {
            "Whether its maker lets it belay somebody else is not known".to_owned()
        }
        "rope-range" => "Which diameters of rope it takes is not known".to_owned(),
        "range-unapproved" => {
            "Which diameters of rope it takes is not known, and no approval is on record that says it"
                .to_owned()
        }
        "rope-kinds" => "Which kinds of rope it takes is not known".to_owned(),
        "no-friction" => "The friction of rope on it is on record only in part".to_owned(),
        "becket-strength" => "How much its becket holds is not known".to_owned(),
        _ => format!("Its {lacks} is not known"),
    }
}

fn ask(rigs: &[&str]) -> String {
    match rigs {
        [one] => format!("the rig \"{one}\" asks"),
        [one, rest @ ..] if rest.len() == 1 => {
            format!("the rigs \"{one}\" and \"{}\" ask", rest[0])
        }
        [one, rest @ ..] => format!("the rig \"{one}\" and {} others ask", rest.len()),
        [] => "some rig asks".to_owned(),
    }
}
