//! A job as typed in.

use serde::{Deserialize, Serialize};

use super::entered::{EnteredForce, EnteredLength, EnteredMass};
use super::rating::optional;
use super::{
    FieldErrors, Job, JobId, JobState, Load, Setup, Which, Zone, read_moment, write_moment,
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
    /// The load: a mass with its unit, or `1 person`, `2 persons`.
    pub load: String,
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
    /// `yes` where the rope gets wet.
    pub wet: String,
    /// What one hauler pulls.
    pub pull_each: String,
    /// A note.
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
            rulebook: blank(),
            rig: blank(),
            head_gap: "2.1 m".to_owned(),
            block_length: "0.6 m".to_owned(),
            tail: "3 m".to_owned(),
            knots: "1 m".to_owned(),
            throw: blank(),
            between_anchors: blank(),
            wet: blank(),
            pull_each: "0.25 kN".to_owned(),
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
        let load = self.load(&mut wrong);
        let rulebook = wrong.line("rulebook", &self.rulebook);
        let rig = wrong.line("rig", &self.rig);
        let setup = self.setup(&mut wrong);
        let note = wrong.note("note", &self.note);
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
                    rulebook,
                    rig,
                    setup,
                    note,
                    state: JobState::Planned,
                })
            }
            _ => Err(wrong),
        }
    }

    fn load(&self, wrong: &mut FieldErrors) -> Option<Load> {
        let text = self.load.trim().to_lowercase();
        if let Some(count) = text
            .strip_suffix("persons")
            .or_else(|| text.strip_suffix("person"))
        {
            return match count.trim().parse::<u8>() {
                Ok(count) if (1..=4).contains(&count) => Some(Load::Persons(count)),
                _ => {
                    wrong.add(
                        "load",
                        "range",
                        format!("Write 1 to 4 persons, not \"{}\".", self.load.trim()),
                    );
                    None
                }
            };
        }
        let mass = wrong.keep("load", "unit", EnteredMass::read(&self.load, None))?;
        let kilograms = mass.quantity().kilograms();
        if !(1.0..=2000.0).contains(&kilograms) {
            wrong.add(
                "load",
                "range",
                format!("The load must be between 1 and 2000 kg, not {mass}."),
            );
        }
        Some(Load::Mass(mass))
    }

    fn setup(&self, wrong: &mut FieldErrors) -> Option<Setup> {
        let head_gap = length(wrong, "head_gap", &self.head_gap, 50.0);
        let block_length = length(wrong, "block_length", &self.block_length, 10.0);
        let tail = length(wrong, "tail", &self.tail, 200.0);
        let knots = length(wrong, "knots", &self.knots, 20.0);
        let throw = optional(&self.throw, |text| length(wrong, "throw", text, 100.0));
        let between_anchors = optional(&self.between_anchors, |text| {
            length(wrong, "between_anchors", text, 200.0)
        });
        let pull_each = wrong.keep(
            "pull_each",
            "unit",
            EnteredForce::read(&self.pull_each, None),
        );
        if let Some(pull) = pull_each
            && !(10.0..=2000.0).contains(&pull.quantity().newtons())
        {
            wrong.add(
                "pull_each",
                "range",
                format!("One hauler pulls between 0.01 and 2 kN, not {pull}."),
            );
        }
        let wet = matches!(self.wet.trim(), "yes" | "on" | "true");
        Some(Setup {
            head_gap: head_gap?,
            block_length: block_length?,
            tail: tail?,
            knots: knots?,
            throw,
            between_anchors,
            wet,
            pull_each: pull_each?,
        })
    }
}

fn length(
    wrong: &mut FieldErrors,
    field: &str,
    text: &str,
    most_metres: f64,
) -> Option<EnteredLength> {
    let length = wrong.keep(field, "unit", EnteredLength::read(text, None))?;
    if length.quantity().metres() > most_metres {
        wrong.add(
            field,
            "range",
            format!("This must be at most {most_metres} m, not {length}."),
        );
    }
    Some(length)
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
            load: self.load.to_string(),
            rulebook: self.rulebook.clone(),
            rig: self.rig.clone(),
            head_gap: self.setup.head_gap.to_string(),
            block_length: self.setup.block_length.to_string(),
            tail: self.setup.tail.to_string(),
            knots: self.setup.knots.to_string(),
            throw: self
                .setup
                .throw
                .map(|throw| throw.to_string())
                .unwrap_or_default(),
            between_anchors: self
                .setup
                .between_anchors
                .map(|length| length.to_string())
                .unwrap_or_default(),
            wet: if self.setup.wet { "yes" } else { "" }.to_owned(),
            pull_each: self.setup.pull_each.to_string(),
            note: self.note.clone(),
        }
    }
}
