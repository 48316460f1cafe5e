//! The words for what stands against the items of a list.

use super::field::Field;
use crate::domain::fitness::grips_rope;
use crate::domain::kit_strength::{KitGap, mode_unknown};
use crate::domain::{Kind, Model, Refusal, RefusalCode as Code};
use crate::rigging::{LoadingMode, StrengthKind};

/// What is wrong with some rows, and what to do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Words {
    pub(super) code: &'static str,
    pub(super) sentence: &'static str,
    pub(super) to_do: &'static str,
}

const IN_FILE: &str = "Write it in the list, or on each item's record later.";
const OF_MODEL: &str =
    "Read it on the item or in its papers, and write it here for all items of the model.";

/// Where the date made is asked for already.
pub(super) const MADE_TELLS_IT: &str = "The date made, asked for beside, tells this too.";
const OF_ALL_MADE: &str = "Read it on the items or in their papers. Where it is one for all of a model or of a lot, write it here: a year or a month is enough. Else write it in the list.";

/// The words for a reason that refuses an item; `unreadable` is whether its markings were looked at in vain.
pub(super) fn of_refusal(refusal: &Refusal, unreadable: bool) -> Words {
    let (sentence, to_do) = match refusal.code {
        Code::MarkingsUnknown if unreadable => (
            "Their markings cannot be read, as the list says.",
            "Retire them, or have the maker mark them anew.",
        ),
        Code::MarkingsUnknown => (
            "Their markings are not looked at yet.",
            "They come in all the same, and wait for a first look: open each on the bench, or plan a round, and say with its examination or check before use whether they can be read.",
        ),
        Code::NeverExamined => (
            "The list tells of no examination that they passed.",
            "Have them examined by a competent person. Where that was done on one day, say it here for all; where on several, write the days in the list.",
        ),
        Code::Overdue => (
            "Their last examination is too long ago.",
            "Have them examined. Where that was done on one day since, say it here for all; where on several, write the days in the list.",
        ),
        Code::PastLife => (
            "Their life is over.",
            "Look whether the day made is right in the list. If it is, retire them.",
        ),
        Code::LifeUnknown => (
            "When their life ends cannot be told, since it is not written down when they were made.",
            OF_ALL_MADE,
        ),
        Code::MadeUnknown => ("It is not written down when they were made.", OF_ALL_MADE),
        Code::SerialUnknown => (
            "They have no serial or lot that the rulebook asks for.",
            IN_FILE,
        ),
        Code::Notice => (
            "An open safety notice of the team covers them.",
            "They come in and go to quarantine. Do what the notice says, then close it for each.",
        ),
        Code::RopeTooShort => ("How long the rope is, is not written down.", IN_FILE),
        code => of_model(code),
    };
    Words {
        code: refusal.code.key(),
        sentence,
        to_do,
    }
}

/// The words for what a model's record lacks, and what to do.
fn of_model(code: Code) -> (&'static str, &'static str) {
    match code {
        Code::NotLifeSupport => (
            "They may not hold people, as the list or your answer says.",
            "Put that right if it is wrong; else they stay in the register, for other use.",
        ),
        Code::NotApproved => (
            "An approval that the rulebook asks for is not written down.",
            OF_MODEL,
        ),
        Code::RatedLoad => (
            "The rated load of their approval is not written down.",
            OF_MODEL,
        ),
        // Such as a cord so thin that no standard says what it must hold.
        Code::StrengthUnknown => (
            "How much they hold, or what the rulebook asks gear of their size to hold, is not known.",
            OF_MODEL,
        ),
        Code::StrengthBelowMinimum => (
            "They hold less than the rulebook asks.",
            "Look whether the strength is right in the list. If it is, no job takes them.",
        ),
        Code::LacksPart => ("How many sheaves they have is not written down.", OF_MODEL),
        Code::RopeDiameter => ("How thick the rope is, is not written down.", OF_MODEL),
        Code::RopeKind => ("What kind of rope it is, is not written down.", OF_MODEL),
        _ => ("Something else speaks against them.", IN_FILE),
    }
}

/// The words for what a verdict would lack.
pub(super) fn of_gap(gap: &KitGap) -> Words {
    let sentence = match gap.code {
        "no-efficiency" => {
            "How well their sheaves turn is not written down, and no verdict is said without it."
        }
        _ => {
            "Whether their sheave turns one way only is not written down, and no verdict on a rig that needs its capture is said without it."
        }
    };
    Words {
        code: gap.code,
        sentence,
        to_do: OF_MODEL,
    }
}

/// The words for what single positions of rigs ask.
pub(super) fn of_somewhere(gap: &KitGap) -> Words {
    let sentence = match gap.code {
        "becket-unknown" => "Whether they have a becket is not written down.",
        "capture-unknown" => "Whether they capture the progress of the rope is not written down.",
        "belays-unknown" => {
            "Whether their maker lets them belay somebody else is not written down."
        }
        "not-approved" => {
            "An approval that a position asks for is not among those that are written down."
        }
        "rope-range" => "Which diameters of rope they take is not written down.",
        "range-unapproved" => {
            "Which diameters of rope they take, and by which approval, is not written down."
        }
        "rope-kinds" => "Which kinds of rope they take is not written down.",
        "no-friction" => "How rope rubs on them is written down only in part.",
        "basket-unknown" => "How much they hold in a basket is not written down.",
        "becket-strength" => "How much their becket holds is not written down.",
        code if mode_unknown(code).is_some() => {
            "How much they hold as a rig loads them is not written down."
        }
        _ => "Something that a position asks is not written down.",
    };
    let to_do = match gap.code {
        "range-unapproved" => {
            "An approval says it: write the standard here, and the range is asked then."
        }
        "not-approved" => {
            "Write it on the model's record if they have it; without it they do not go there."
        }
        "no-friction" => {
            "Write the low end, the likely value and the high end on the model's record once it is in, or none of the three."
        }
        _ => OF_MODEL,
    };
    Words {
        code: gap.code,
        sentence,
        to_do,
    }
}

/// What no job refuses a model for, but a verdict leaves unjudged while it is not on record: its ends, what its maker
/// allows it to be loaded with, what its capture may grip.
pub(super) fn of_papers(model: &Model) -> impl Iterator<Item = Words> {
    let has = |of: Option<StrengthKind>, mode: Option<LoadingMode>| {
        let mut ratings = model.ratings.iter();
        ratings.any(|one| {
            of.is_none_or(|of| one.kind == of) && mode.is_none_or(|mode| one.mode == mode)
        })
    };
    let is_yes = |key: &str| model.attributes.yes_no(key) == Some(true);
    let (limit, breaks) = (StrengthKind::WorkingLimit, StrengthKind::Breaking);
    let is_pulley = model.kind == Kind::Pulley;
    let all = [
        (
            model.kind == Kind::Rope && !has(Some(breaks), Some(LoadingMode::Terminated)),
            "paper-ends",
            "How much the ropes hold with the ends that they are used with, such as knots, papers often state beside what they hold without.",
        ),
        (
            (is_pulley || model.kind == Kind::Tripod) && !has(Some(limit), None),
            "paper-limit",
            "How much their maker allows tripods and pulleys to be loaded with, papers often state beside what breaks them.",
        ),
        (
            is_pulley && is_yes("becket") && !has(Some(limit), Some(LoadingMode::Becket)),
            "paper-becket",
            "How much their maker allows the becket of pulleys to be loaded with, papers often state.",
        ),
        (
            is_pulley && is_yes("capture") && !has(None, Some(LoadingMode::Body)),
            "paper-grip",
            "How much the progress capture of pulleys may hold, papers often state.",
        ),
    ];
    let open = all.into_iter().filter(|(is_open, ..)| *is_open);
    open.map(|(_, code, sentence)| Words {
        code,
        sentence,
        to_do: "It may stay open: then no verdict judges it. Read it in the papers, and write it here for all items of the model.",
    })
}

/// The field that one answer fills for all items of a model of this kind, where one does. The papers of what grips a
/// rope state the load that may be carried with it.
pub(super) fn field(code: &str, kind: Kind) -> Option<Field> {
    Some(match code {
        "strength-unknown" | "body-unknown" if grips_rope(kind) => Field::RatedLoad,
        "made-unknown" | "life-unknown" => Field::Made,
        "not-approved" | "range-unapproved" => Field::Standard,
        "rated-load" => Field::RatedLoad,
        "strength-unknown" => Field::Strength(StrengthKind::Breaking, None),
        "lacks-part" => Field::Attribute("sheaves"),
        "rope-diameter" => Field::Attribute("diameter"),
        "rope-kind" => Field::Attribute("rope-kind"),
        "no-efficiency" => Field::Attribute("efficiency"),
        "becket-unknown" => Field::Attribute("becket"),
        "capture-unknown" => Field::Attribute("capture"),
        "belays-unknown" => Field::Attribute("belays"),
        "no-turning" => Field::Attribute("one-way-sheave"),
        "rope-range" => Field::RopeRange,
        "rope-kinds" => Field::RopeKinds,
        "paper-ends" => Field::Strength(StrengthKind::Breaking, Some(LoadingMode::Terminated)),
        "paper-limit" => Field::Strength(StrengthKind::WorkingLimit, None),
        "paper-becket" => Field::Strength(StrengthKind::WorkingLimit, Some(LoadingMode::Becket)),
        "paper-grip" => Field::Strength(StrengthKind::WorkingLimit, Some(LoadingMode::Body)),
        strength => Field::Strength(StrengthKind::Breaking, Some(mode_unknown(strength)?)),
    })
}
