//! A job as typed in.

mod length;
mod load;

use serde::{Deserialize, Serialize};

use super::entered::{EnteredError, EnteredForce, EnteredLength, EnteredMass, ForceUnit, MassUnit};
use super::rating::optional;
use super::{
    FieldErrors, Job, JobId, JobState, LoadCase, Setup, Site, StoreId, Which, Zone, read_moment,
    write_moment,
};

/// A job as typed in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, utoipa::ToSchema)]
#[serde(default, deny_unknown_fields)]
pub struct JobDraft {
    /// One line that says what it is.
    pub title: String,
    /// Where.
    pub place: String,
    /// The start with its offset (RFC 3339), such as `2026-03-01T08:00:00+01:00`. Without one it is on the clocks of the
    /// reader's zone: the team's on the pages, UTC in the API. Where the clocks are put back over a time, the first is
    /// meant, and for the end the second, so that gear is held rather too long than too short.
    pub starts_at: String,
    /// The end likewise.
    pub ends_at: String,
    /// The depth with its unit.
    pub depth: String,
    /// The load: a mass with its unit, a weight such as `2 kN` (whose mass counts), or `1 person`, `2 persons`. Empty is the people of `case`, each with the mass that
    /// the rulebook plans with.
    pub load: String,
    /// For how many people: `one-person`, `two-persons` or `rescue`; empty where the load alone says it.
    pub case: String,
    /// The id of the store, or of the bag, that a proposed kit takes from before all others; may be empty.
    pub first_from: String,
    /// The rulebook's key.
    pub rulebook: String,
    /// The rig's key.
    pub rig: String,
    /// From the edge up to where the rig hangs.
    pub head_gap: String,
    /// What the pulleys and connectors take of the height.
    pub block_length: String,
    /// Rope kept at the hand.
    pub tail: String,
    /// Rope in knots.
    pub knots: String,
    /// How far a travelling pulley goes before it is set back; empty where the rig has none.
    pub throw: String,
    /// From one anchor to the other; empty where the rope runs between none.
    pub between_anchors: String,
    /// The girth of the thickest body that a strop or a sling of the rig goes round, such as 1.6 m for a column that is
    /// 0.4 m square; empty where nobody said it, and then it is not judged.
    pub anchor_girth: String,
    /// `yes` where the rope gets wet.
    pub wet: String,
    /// What one hauler pulls.
    pub pull_each: String,
    /// The rope that goes through the hands in a second; empty where the team counts with no speed.
    pub hand_speed: String,
    /// What the whole crew pulls if the load is stuck; empty where that is not judged.
    pub stuck_pull: String,
    /// How far the load drops before a belay is tight; empty where a catch is not judged.
    pub catch_slack: String,
    /// The rope from the belay device to the load.
    pub catch_rope: String,
    /// The factor asked of a stuck load and a catch; empty for the rulebook's.
    pub exceptional_factor: String,
    /// `yes` where a competent person has planned the line across a span that the rig hangs from.
    pub line_planned: String,
    /// `yes` where own harnesses are worn that are not in the register; what is on the list is judged all the same.
    pub own_harness: String,
    /// What may harm people there, and what is done about it.
    pub hazards: String,
    /// What the rope runs over, and how it is kept off it.
    pub edge: String,
    /// What the rig hangs from.
    pub anchors: String,
    /// A note on anything else.
    pub note: String,
}

impl Default for JobDraft {
    /// A blank form. The lengths and the pull are starting points that everybody sees and can change.
    fn default() -> Self {
        let blank = String::new;
        Self {
            title: blank(),
            place: blank(),
            starts_at: blank(),
            ends_at: blank(),
            depth: blank(),
            load: blank(),
            case: blank(),
            first_from: blank(),
            rulebook: blank(),
            rig: blank(),
            head_gap: "2.1 m".to_owned(),
            block_length: "0.6 m".to_owned(),
            tail: "3 m".to_owned(),
            knots: "1 m".to_owned(),
            throw: blank(),
            between_anchors: blank(),
            anchor_girth: blank(),
            wet: blank(),
            pull_each: "0.25 kN".to_owned(),
            hand_speed: blank(),
            stuck_pull: blank(),
            catch_slack: blank(),
            catch_rope: blank(),
            exceptional_factor: blank(),
            line_planned: blank(),
            own_harness: blank(),
            hazards: blank(),
            edge: blank(),
            anchors: blank(),
            note: blank(),
        }
    }
}

/// The longest time a job may hold its items.
const LONGEST_DAYS: i64 = 366;

impl JobDraft {
    /// The job that was typed in; times without an offset are on the clocks of `zone`. Whether rulebook and rig exist is
    /// for the deed to say.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self, id: JobId, revision: u32, zone: &Zone) -> Result<Job, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let title = wrong.line("title", &self.title);
        let place = wrong.line("place", &self.place);
        let starts_at = read_moment(&self.starts_at, zone, Which::First);
        let starts_at = wrong.keep("starts_at", "date", starts_at);
        let ends_at = read_moment(&self.ends_at, zone, Which::Second);
        let ends_at = wrong.keep("ends_at", "date", ends_at);
        if let (Some(from), Some(until)) = (starts_at, ends_at) {
            if until <= from {
                wrong.add("ends_at", "range", "The end must be after the start.");
            } else if (until - from).whole_days() > LONGEST_DAYS {
                wrong.add(
                    "ends_at",
                    "range",
                    format!("A job may hold its items for {LONGEST_DAYS} days at most."),
                );
            }
        }
        let depth = length(&mut wrong, "depth", &self.depth, 1000.0);
        let depth =
            depth.and_then(|depth| wrong.keep("depth", "range", length::deep_enough(depth)));
        let case = self.case(&mut wrong);
        let load = self.load(case, &mut wrong);
        let first_from = self.first_from(&mut wrong);
        let rulebook = wrong.line("rulebook", &self.rulebook);
        let rig = wrong.line("rig", &self.rig);
        let setup = self.setup(&mut wrong);
        let site = self.site(&mut wrong);
        let note = wrong.note("note", &self.note);
        if let (Some(depth), Some(setup)) = (depth, &setup) {
            wrong.keep("catch_rope", "range", length::rope_in_play(setup, depth));
        }
        match (starts_at, ends_at, depth, load, setup) {
            (Some(starts_at), Some(ends_at), Some(depth), Some(load), Some(setup))
                if wrong.is_empty() =>
            {
                Ok(Job {
                    id,
                    revision,
                    title,
                    place,
                    starts_at,
                    ends_at,
                    depth,
                    load,
                    case,
                    first_from,
                    rulebook,
                    rig,
                    setup,
                    site,
                    note,
                    state: JobState::Planned,
                    issued: None,
                })
            }
            _ => Err(wrong),
        }
    }

    fn first_from(&self, wrong: &mut FieldErrors) -> Option<StoreId> {
        optional(&self.first_from, |text| {
            let read = text.trim().parse::<StoreId>();
            let read = read.map_err(|_| "Choose a store from the list, or leave it open.");
            wrong.keep("first_from", "choice", read)
        })
    }

    fn site(&self, wrong: &mut FieldErrors) -> Site {
        Site {
            hazards: wrong.note("hazards", &self.hazards),
            edge: wrong.note("edge", &self.edge),
            anchors: wrong.note("anchors", &self.anchors),
        }
    }

    fn setup(&self, wrong: &mut FieldErrors) -> Option<Setup> {
        let head_gap = length(wrong, "head_gap", &self.head_gap, 50.0);
        let block_length = length(wrong, "block_length", &self.block_length, 10.0);
        let tail = length(wrong, "tail", &self.tail, 200.0);
        let knots = length(wrong, "knots", &self.knots, 20.0);
        let mut may_be = |field: &'static str, text: &str, most: f64| {
            optional(text, |text| length(wrong, field, text, most))
        };
        let throw = may_be("throw", &self.throw, 100.0);
        let between_anchors = may_be("between_anchors", &self.between_anchors, 200.0);
        let anchor_girth = may_be("anchor_girth", &self.anchor_girth, 50.0);
        let hand_speed = may_be("hand_speed", &self.hand_speed, 5.0);
        let catch_slack = may_be("catch_slack", &self.catch_slack, 100.0);
        let catch_rope = may_be("catch_rope", &self.catch_rope, 1000.0);
        if catch_slack.is_some() != catch_rope.is_some() {
            let missing = match catch_slack {
                Some(_) => "catch_rope",
                None => "catch_slack",
            };
            let why =
                "A catch is judged by its slack and the rope in play: write both, or neither.";
            wrong.add(missing, "required", why);
        }
        if anchor_girth.is_some_and(|girth| girth.quantity().metres() <= 0.0) {
            let why = "Nothing is no girth: measure round the anchor, or leave this empty.";
            wrong.add("anchor_girth", "range", why);
        }
        let pull_each = pull(wrong, "pull_each", &self.pull_each, 2.0);
        let stuck_pull = optional(&self.stuck_pull, |text| {
            pull(wrong, "stuck_pull", text, 50.0)
        });
        Some(Setup {
            head_gap: head_gap?,
            block_length: block_length?,
            tail: tail?,
            knots: knots?,
            throw,
            between_anchors,
            anchor_girth,
            wet: wrong.tick("wet", &self.wet),
            pull_each: pull_each?,
            hand_speed,
            stuck_pull,
            catch_slack,
            catch_rope,
            exceptional_factor: optional(&self.exceptional_factor, |text| {
                exceptional_factor(wrong, text)
            }),
            line_planned: wrong.tick("line_planned", &self.line_planned),
            own_harness: wrong.tick("own_harness", &self.own_harness),
        })
    }
}

/// A force, or a mass whose weight is meant: who pulls knows kilograms better than newtons.
fn force_or_weight(text: &str) -> Result<EnteredForce, String> {
    let entered = match EnteredMass::read(text, None) {
        Ok(mass) => {
            let unit = match mass.unit() {
                MassUnit::Kilogram => ForceUnit::KilogramForce,
                MassUnit::Pound => ForceUnit::PoundForce,
            };
            EnteredForce::new(mass.value(), unit).map_err(EnteredError::from)
        }
        Err(beyond @ EnteredError::Bounds(_)) => Err(beyond),
        Err(_) => EnteredForce::read(text, None),
    };
    entered.map_err(|error| {
        if matches!(error, EnteredError::Bounds(_)) {
            return error.to_string();
        }
        let given: String = text.trim().chars().take(60).collect();
        format!("Write a force with its unit, such as 0.25 kN or 56 lbf, or the mass that weighs as much, such as 25 kg, not \"{given}\".")
    })
}

/// What people pull, from 10 N to so many kilonewtons.
fn pull(
    wrong: &mut FieldErrors,
    field: &str,
    text: &str,
    most_kilonewtons: f64,
) -> Option<EnteredForce> {
    let pull = wrong.keep(field, "unit", force_or_weight(text))?;
    if !(0.01..=most_kilonewtons).contains(&pull.quantity().kilonewtons()) {
        wrong.add(
            field,
            "range",
            format!("This must be between 0.01 and {most_kilonewtons} kN, not {pull}."),
        );
    }
    Some(pull)
}

/// A factor for what may go wrong; below one the part would break as planned.
fn exceptional_factor(wrong: &mut FieldErrors, text: &str) -> Option<f64> {
    match text.trim().replace(',', ".").parse::<f64>() {
        Ok(factor) if (1.0..=100.0).contains(&factor) => Some(factor),
        _ => {
            let given: String = text.trim().chars().take(40).collect();
            wrong.add(
                "exceptional_factor",
                "range",
                format!("Write a factor from 1 to 100, such as 2, not \"{given}\"."),
            );
            None
        }
    }
}

fn length(
    wrong: &mut FieldErrors,
    field: &str,
    text: &str,
    most_metres: f64,
) -> Option<EnteredLength> {
    let length = wrong.keep(field, "unit", EnteredLength::read_planned(text))?;
    if length.quantity().metres() > most_metres {
        wrong.add(
            field,
            "range",
            format!("This must be at most {most_metres} m, not {length}."),
        );
    }
    Some(length)
}

/// What may be left empty, as it would be typed.
fn typed(value: Option<impl ToString>) -> String {
    value.map(|value| value.to_string()).unwrap_or_default()
}

fn tick(is: bool) -> String {
    if is { "yes" } else { "" }.to_owned()
}

impl Job {
    /// The job as it would be typed on the clocks of `zone`.
    pub fn draft(&self, zone: &Zone) -> JobDraft {
        JobDraft {
            title: self.title.clone(),
            place: self.place.clone(),
            starts_at: write_moment(self.starts_at, zone),
            ends_at: write_moment(self.ends_at, zone),
            depth: self.depth.to_string(),
            load: self.typed_load(),
            case: self.case.map_or("", LoadCase::key).to_owned(),
            first_from: typed(self.first_from),
            rulebook: self.rulebook.clone(),
            rig: self.rig.clone(),
            head_gap: self.setup.head_gap.to_string(),
            block_length: self.setup.block_length.to_string(),
            tail: self.setup.tail.to_string(),
            knots: self.setup.knots.to_string(),
            throw: typed(self.setup.throw),
            between_anchors: typed(self.setup.between_anchors),
            anchor_girth: typed(self.setup.anchor_girth),
            wet: tick(self.setup.wet),
            pull_each: self.setup.pull_each.to_string(),
            hand_speed: typed(self.setup.hand_speed),
            stuck_pull: typed(self.setup.stuck_pull),
            catch_slack: typed(self.setup.catch_slack),
            catch_rope: typed(self.setup.catch_rope),
            exceptional_factor: typed(self.setup.exceptional_factor),
            line_planned: tick(self.setup.line_planned),
            own_harness: tick(self.setup.own_harness),
            hazards: self.site.hazards.clone(),
            edge: self.site.edge.clone(),
            anchors: self.site.anchors.clone(),
            note: self.note.clone(),
        }
    }
}
