//! What is missing before the question about a kit can be answered, and where it can be mended.

use serde::Serialize;

use super::conditions::conditions;
use super::outfit::outfit;
use super::{KitItem, Plan};
use crate::domain::fact::Fact;
use crate::domain::{JobId, Kind, Mend, Model, ModelId, Refusal, RefusalCode};
use crate::rigging::{Gap, LoadingMode, assess};

/// One thing that is missing before the question can be answered.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, utoipa::ToSchema)]
pub struct KitGap {
    /// A stable word for programs.
    pub code: &'static str,
    /// The position that it is about, if it is about one.
    pub position: Option<String>,
    /// What is missing, and what to do.
    pub sentence: String,
    /// What is not on the model's record, in a few words; empty where that is not what is missing.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub lacks: String,
    /// The same as what would have to be written on the model's record.
    #[serde(skip)]
    pub fact: Option<Fact>,
}

impl KitGap {
    /// A gap at a position; what is not on record follows from its code.
    pub(super) fn at(code: &'static str, position: Option<&str>, sentence: String) -> Self {
        Self {
            code,
            position: position.map(str::to_owned),
            sentence,
            lacks: lacks(code).to_owned(),
            fact: fact(code),
        }
    }

    /// Where it can be mended: on the record of the model that stands at the position, or in the plan.
    pub fn mend(&self, job: JobId, model: Option<ModelId>) -> Option<Mend> {
        match self.code {
            "not-given" | "line" | "no-catch-slack" | "no-catch-rope" | "no-catch-factor"
            | "belay-aside" | "rope-aside" | "no-girth" => Some(Mend::JobPlan(job)),
            _ => self.mend_of_model(model?),
        }
    }

    /// The record of the model that it is about, if that is where it can be mended.
    pub fn mend_of_model(&self, model: ModelId) -> Option<Mend> {
        let on_record = matches!(
            self.code,
            "no-efficiency"
                | "no-friction"
                | "no-turning"
                | "no-capture"
                | "no-rating"
                | "no-modulus"
        );
        on_record.then_some(Mend::ModelRecord(model))
    }

    /// Whether it keeps only a catch from being judged; all else is judged without it.
    pub fn is_of_catch_alone(&self) -> bool {
        matches!(
            self.code,
            "no-modulus" | "no-catch-slack" | "no-catch-rope" | "no-catch-factor" | "belay-aside"
        )
    }

    /// Whether a reason asks for an approval or its rated load, which may say what it holds too.
    fn waits_for(&self, refusal: &Refusal) -> bool {
        let of_approval = matches!(
            refusal.code,
            RefusalCode::NotApproved | RefusalCode::RatedLoad
        );
        of_approval && refusal.lacks.is_some() && self.lacks.ends_with(LoadingMode::Body.words())
    }

    /// Whether a reason that refuses the item says the same already.
    fn is_said_by(&self, refusal: &Refusal) -> bool {
        matches!(
            (self.code, refusal.code),
            ("no-rating", RefusalCode::StrengthUnknown) | ("no-capture", RefusalCode::LacksPart)
        ) || self.code == "no-rating" && self.waits_for(refusal)
    }
}

/// What is not on the model's record where this is the gap.
fn lacks(code: &str) -> &'static str {
    match code {
        "no-efficiency" => "efficiency of its sheaves",
        "no-friction" => "friction of rope on it, with its range",
        "no-turning" => "whether its sheave turns one way only",
        "no-modulus" => "elongation and how it was measured",
        _ => "",
    }
}

/// The fact that is not on the model's record where this is the gap.
fn fact(code: &str) -> Option<Fact> {
    let key = match code {
        "no-efficiency" => "efficiency",
        "no-friction" => "friction",
        "no-turning" => "one-way-sheave",
        "no-modulus" => "elongation",
        _ => return None,
    };
    Some(Fact::Attribute(key))
}

/// What the record of one item lacks for the verdict at the position that it takes, all at once: told
/// where it is chosen, not first when the kit is whole. What `refusals` say already is left out.
pub fn gaps_of(plan: &Plan<'_>, item: &KitItem<'_>, refusals: &[Refusal]) -> Vec<KitGap> {
    let kit = [*item];
    let (outfit, mut gaps) = outfit(plan, &kit);
    let (conditions, catch_lacks) = conditions(plan, &kit);
    if plan.job.setup.catch_slack.is_some() {
        gaps.extend(catch_lacks);
    }
    if let Err(found) = assess(plan.rig, &outfit, &conditions) {
        let better = found.iter().filter(|gap| !said_better(gap, &gaps));
        let more: Vec<KitGap> = better.map(KitGap::from).collect();
        gaps.extend(more);
    }
    gaps.retain(|gap| {
        gap.position.as_deref() == item.position
            && gap.position.is_some()
            && !matches!(gap.code, "empty" | "no-such-position")
            && !refusals.iter().any(|refusal| gap.is_said_by(refusal))
    });
    gaps
}

/// What the record of a model lacks for a verdict, whatever rig it is put into.
pub fn gaps_wherever(model: &Model) -> Vec<KitGap> {
    let attributes = &model.attributes;
    let gap = |code, sentence: &str| KitGap::at(code, None, sentence.to_owned());
    let mut gaps = Vec::new();
    if model.kind == Kind::Pulley && attributes.number("efficiency").is_none() {
        gaps.push(gap(
            "no-efficiency",
            "The efficiency of its sheaves is not known, and no verdict is said without it: write it on the model's record, with its range.",
        ));
    }
    if attributes.yes_no("capture") == Some(true) && attributes.yes_no("one-way-sheave").is_none() {
        gaps.push(gap(
            "no-turning",
            "Whether its sheave turns only one way, so that it stands still when rope is let out, is not known, and no verdict on a rig that needs its capture is said without it: write it on the model's record.",
        ));
    }
    gaps
}

/// Whether a gap of the mechanics is told more exactly by one of the records.
pub(super) fn said_better(gap: &Gap, own: &[KitGap]) -> bool {
    matches!(
        gap,
        Gap::NoEfficiency { .. } | Gap::NoCapture { .. } | Gap::NoFriction { .. }
    ) && own
        .iter()
        .any(|other| other.position.as_deref() == gap.position())
}

impl From<&Gap> for KitGap {
    fn from(gap: &Gap) -> Self {
        let code = match gap {
            Gap::Empty { .. } => "empty",
            Gap::NoSuchPosition { .. } => "no-such-position",
            Gap::NoEfficiency { .. } => "no-efficiency",
            Gap::NoFriction { .. } => "no-friction",
            Gap::NoCapture { .. } => "no-capture",
            Gap::NoRating { .. } => "no-rating",
            Gap::NotGiven { .. } => "not-given",
            Gap::Line { .. } => "line",
            Gap::Rig { .. } => "rig",
        };
        let mut own = Self::at(code, gap.position(), gap.to_string());
        if let Gap::NoRating { mode, .. } = gap {
            own.lacks = format!("strength {}", mode.words());
            own.fact = Some(Fact::Strength(*mode, None));
        }
        own
    }
}
