//! Whether it is known what an item holds, and whether that is as much as the rulebook asks of its class.

use super::approval::{grips_rope, uses};
use super::place::position;
use super::{Plan, Question, own_rule, refusal};
use crate::domain::fact::Fact;
use crate::domain::rulebook::{FurtherPerson, Minimum, Rulebook, StrengthAsked, When};
use crate::domain::{Mend, Model, Rating, Refusal, RefusalCode};
use crate::rigging::{LoadingMode, StrengthKind};

pub(super) fn check(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    known(question, refusals);
    let plan = question.plan;
    minimums(
        question.candidate.model,
        plan.rulebook,
        Some(plan),
        refusals,
    );
    rated_force(question, refusals);
}

/// The ways in which the item is loaded at its position; none for a spare.
fn modes(question: &Question<'_>) -> Vec<LoadingMode> {
    let candidate = &question.candidate;
    let place = position(question.plan.rig, candidate.position, candidate.model.kind);
    place.map_or_else(Vec::new, |place| question.plan.rig.modes(place.key()))
}

/// What the model's record must say of its strength before anything hangs on it.
pub(super) fn own_strength(model: &Model, rulebook: &Rulebook, refusals: &mut Vec<Refusal>) {
    known_at_all(model, rulebook, refusals);
    minimums(model, rulebook, None, refusals);
}

/// Whether a rating is of the kind that the rulebook asks for.
fn counts(asked: StrengthAsked, rating: &Rating) -> bool {
    match asked {
        StrengthAsked::Breaking => rating.kind == StrengthKind::Breaking,
        StrengthAsked::Any | StrengthAsked::Approval | StrengthAsked::Nothing => true,
    }
}

/// Whether an approval says what may hang on a model by its body, or is asked for with a reason of its own. A harness
/// is taken by its approval; a device that grips a rope by the load to which one rates it.
fn is_of_approval(model: &Model, rulebook: &Rulebook, uses: &[When]) -> bool {
    match rulebook.strength_asked(model.kind) {
        StrengthAsked::Approval | StrengthAsked::Nothing => true,
        StrengthAsked::Any if grips_rope(model.kind) => {
            let mut asked = rulebook.approvals_asked(model.kind, uses);
            let mut approvals = model.approvals.iter();
            asked.any(|asked| asked.rated_load)
                || approvals.any(|approval| approval.rated_load.is_some())
        }
        StrengthAsked::Any | StrengthAsked::Breaking => false,
    }
}

/// `mode` is the way of loading that is asked for; none where any will do.
fn unknown(model: &Model, asked: StrengthAsked, mode: Option<LoadingMode>) -> Refusal {
    let (what, kind) = match asked {
        StrengthAsked::Breaking => ("breaking strength", Some(StrengthKind::Breaking)),
        _ => ("strength", None),
    };
    let how = mode.map_or("in any way of loading", LoadingMode::words);
    refusal(
        RefusalCode::StrengthUnknown,
        format!(
            "Its {what} {how} is not known: write it on the model's record, or take another item."
        ),
        &own_rule("what is not known is never a pass"),
        format!("ratings on record: {}", ratings(model)),
    )
    .mended(Mend::ModelRecord(model.id))
    .lacking(
        format!("{what} {how}"),
        Fact::Strength(mode.unwrap_or(model.kind.modes()[0]), kind),
    )
}

/// One way of loading at least must be known; a helmet carries nobody.
fn known_at_all(model: &Model, rulebook: &Rulebook, refusals: &mut Vec<Refusal>) {
    let asked = rulebook.strength_asked(model.kind);
    let mut ratings = model.ratings.iter();
    let is_rated = ratings.any(|rating| counts(asked, rating));
    if !is_rated && !is_of_approval(model, rulebook, &[]) {
        refusals.push(unknown(model, asked, None));
    }
}

fn known(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    let model = question.candidate.model;
    let rulebook = question.plan.rulebook;
    let ways = modes(question);
    if ways.is_empty() {
        return known_at_all(model, rulebook, refusals);
    }
    let asked = rulebook.strength_asked(model.kind);
    let answered = |mode: LoadingMode| {
        let mut rated = model.ratings.iter().filter(|rating| counts(asked, rating));
        rated.any(|rating| answering(mode).contains(&rating.mode))
    };
    let by_approval = is_of_approval(model, rulebook, &uses(&question.candidate, question.plan));
    let is_open =
        |mode: &&LoadingMode| !(answered(**mode) || by_approval && **mode == LoadingMode::Body);
    let mut open: Vec<_> = ways.iter().filter(is_open).collect();
    // What answers for a rope answers for its ends, so that one sentence will do for both.
    open.dedup_by_key(|mode| answering(**mode)[0]);
    refusals.extend(
        open.into_iter()
            .map(|mode| unknown(model, asked, Some(*mode))),
    );
}

/// The ways of loading whose rating answers for one; a rope's plain strength answers for its ends, less
/// the knot, and a strength with ends for the plain rope.
fn answering(mode: LoadingMode) -> &'static [LoadingMode] {
    use LoadingMode as Mode;
    match mode {
        Mode::Straight | Mode::Terminated => &[Mode::Straight, Mode::Terminated],
        Mode::MajorAxis => &[Mode::MajorAxis],
        Mode::GateOpen => &[Mode::GateOpen],
        Mode::MinorAxis => &[Mode::MinorAxis],
        Mode::Axle => &[Mode::Axle],
        Mode::Becket => &[Mode::Becket],
        Mode::Basket => &[Mode::Basket],
        Mode::Choked => &[Mode::Choked],
        Mode::Body => &[Mode::Body],
    }
}

fn ratings(model: &Model) -> String {
    if model.ratings.is_empty() {
        return "none".to_owned();
    }
    let one = |rating: &Rating| {
        format!(
            "{} {} {}",
            rating.kind.words(),
            rating.value,
            rating.mode.words()
        )
    };
    model.ratings.iter().map(one).collect::<Vec<_>>().join("; ")
}

/// Held against the rulebook's minimums; a plan tells how many further persons they grow for.
fn minimums(
    model: &Model,
    rulebook: &Rulebook,
    plan: Option<&Plan<'_>>,
    refusals: &mut Vec<Refusal>,
) {
    let of_it = |minimum: &&Minimum| {
        let mut materials = minimum.material.iter();
        minimum.kind == model.kind && materials.all(|material| *material == model.material)
    };
    let of_it = || rulebook.minimums().iter().filter(of_it);
    let more = plan.map_or(0, |plan| plan.persons().saturating_sub(1));
    let load = plan.map_or_else(String::new, |plan| {
        format!("; load of the job {}", plan.job.load)
    });
    let speaking: Vec<&Minimum> = of_it()
        .filter(|minimum| minimum.speaks_of(&model.approvals))
        .collect();
    if speaking.iter().all(|minimum| minimum.class.is_none()) {
        class_unknown(of_it(), model, refusals);
    }
    for minimum in speaking
        .iter()
        .filter(|minimum| fits_diameter(minimum, model))
    {
        let same_way = model
            .ratings
            .iter()
            .filter(|rating| rating.kind == StrengthKind::Breaking && rating.mode == minimum.mode);
        let further = rulebook.further_for(minimum).map(|further| (further, more));
        for rating in same_way.filter(|rating| !minimum.reached_by(rating.value, further)) {
            let refusal = refusal(
                RefusalCode::StrengthBelowMinimum,
                format!(
                    "Its breaking strength {} is {}, and {} asks for at least {}{}{}: take another item, or mend the record if it is wrong.",
                    minimum.mode.words(),
                    rating.value,
                    minimum.title(),
                    minimum.at_least,
                    by_material(model, minimum),
                    further.filter(|_| more > 0).map(added).unwrap_or_default(),
                ),
                &minimum.from,
                format!("{} by {}{load}", rating.value, rating.source.key()),
            );
            let asked = minimum.asked_of(rating.value, further);
            let refusal = refusal.by(rating.value.quantity().newtons(), asked);
            refusals.push(refusal.mended(Mend::ModelRecord(model.id)));
        }
    }
    by_diameter(&speaking, model, refusals);
}

/// Where no class is known by which a minimum goes, the item must reach that of every class.
fn class_unknown<'a>(
    minimums: impl Iterator<Item = &'a Minimum>,
    model: &Model,
    refusals: &mut Vec<Refusal>,
) {
    let open = minimums.filter_map(|minimum| {
        let approval = minimum.open_class(&model.approvals)?;
        let mut ratings = model.ratings.iter();
        let short = ratings.find(|rating| {
            rating.kind == StrengthKind::Breaking
                && rating.mode == minimum.mode
                && !minimum.reached_by(rating.value, None)
        })?;
        Some((minimum, approval, short))
    });
    let by_most = |one: &(&Minimum, _, _), other: &(&Minimum, _, _)| {
        let newtons = |minimum: &Minimum| minimum.at_least.quantity().newtons();
        newtons(one.0).total_cmp(&newtons(other.0))
    };
    let Some((minimum, approval, short)) = open.max_by(by_most) else {
        return;
    };
    let class = match &approval.class {
        None => "is not known".to_owned(),
        Some(class) => format!("is \"{class}\", which the rulebook does not know"),
    };
    let sentence = format!(
        "Its breaking strength {} is {}, and its class of {} {class}: {} asks for at least {}. Write the class on the model's record, or take another item.",
        minimum.mode.words(),
        short.value,
        approval.standard,
        minimum.title(),
        minimum.at_least,
    );
    let evidence = format!(
        "{}; {} by {}",
        approval.title(),
        short.value,
        short.source.key()
    );
    let refusal = refusal(
        RefusalCode::StrengthUnknown,
        sentence,
        &minimum.from,
        evidence,
    );
    refusals.push(refusal.mended(Mend::ModelRecord(model.id)));
}

/// That a minimum goes by a material that nobody wrote down, to stand behind it.
fn by_material(model: &Model, minimum: &Minimum) -> String {
    let taken = model.material_taken();
    let taken = taken.filter(|_| minimum.material.is_some());
    taken.map_or_else(String::new, |taken| format!(" ({taken})"))
}

/// What the persons beyond the first add, in words.
fn added((further, more): (&FurtherPerson, u8)) -> String {
    let persons = if more == 1 { "person" } else { "persons" };
    format!(
        ", and {} more for each of {more} further {persons} ({})",
        further.adds, further.from
    )
}

fn fits_diameter(minimum: &Minimum, model: &Model) -> bool {
    minimum.diameter.is_none_or(|wanted| {
        let has = model.attributes.length("diameter");
        has.is_some_and(|has| {
            (has.quantity().millimetres() - wanted.quantity().millimetres()).abs() < 1e-6
        })
    })
}

/// Where the minimum goes by the diameter, there must be one for the item's.
fn by_diameter(speaking: &[&Minimum], model: &Model, refusals: &mut Vec<Refusal>) {
    let mut by_diameter = speaking.iter().filter(|minimum| minimum.diameter.is_some());
    let Some(first) = by_diameter.next() else {
        return;
    };
    if speaking.iter().any(|minimum| fits_diameter(minimum, model)) {
        return;
    }
    let (sentence, evidence) = match model.attributes.length("diameter") {
        None => (
            format!(
                "What {} asks it to hold goes by the diameter, which is not known: write it on the model's record.",
                first.title()
            ),
            "no diameter on record".to_owned(),
        ),
        Some(diameter) => (
            format!(
                "What {} asks a diameter of {diameter} to hold is not known: take an item of another diameter.",
                first.title()
            ),
            format!("diameter {diameter}"),
        ),
    };
    let mut refusal = refusal(
        RefusalCode::StrengthUnknown,
        sentence,
        &first.from,
        evidence,
    );
    if model.attributes.length("diameter").is_none() {
        refusal = refusal.lacking("diameter", Fact::Attribute("diameter"));
    }
    refusals.push(refusal.mended(Mend::ModelRecord(model.id)));
}

/// A load that the maker or an examiner allows must not be below the job's.
fn rated_force(question: &Question<'_>, refusals: &mut Vec<Refusal>) {
    let model = question.candidate.model;
    let ways = modes(question);
    let weight = question.plan.load_on(&question.candidate).weight();
    let limit = question.plan.rulebook.limit();
    for rating in &model.ratings {
        let here = ways.is_empty() || ways.contains(&rating.mode);
        if here && rating.kind == StrengthKind::RatedLoad && rating.value.quantity() < weight {
            refusals.push(refusal(
                RefusalCode::RatedLoad,
                format!(
                    "Its rated load {} is {}, and it would carry {}: take an item for more, or plan a lighter load.",
                    rating.mode.words(),
                    rating.value,
                    rating.value.unit().words(weight)
                ),
                &limit.from,
                format!(
                    "rated load {} by {}; {}",
                    rating.value,
                    rating.source.key(),
                    question.plan.load_evidence(&question.candidate)
                ),
            ).by(rating.value.quantity().newtons(), weight.newtons()));
        }
    }
}
