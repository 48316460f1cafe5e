//! What would make a rig pass, what moves the answer most, and which approvals cover it.

use askama::Template;

use crate::{
    domain::{
        Units,
        kit_strength::{Coverage, KitVerdict, factor_words},
    },
    rigging::{Arrest, Assessment, Band, End, Force, Length, Mass, Remedy, Rig, Swing},
    view::{
        part::{Badge, Facts, Tone, html_parts},
        words,
    },
};

/// The most inputs that are shown.
const MOST_SWINGS: usize = 8;

/// What would have to change, and what the answer hangs on.
#[derive(Clone, Debug, Default, Template)]
#[template(path = "job/change.html")]
pub struct Changes {
    /// What would make it pass, a sentence each.
    pub remedies: Vec<String>,
    /// What moves the least factor most.
    pub swings: Vec<SwingRow>,
    /// The approvals of the devices.
    pub approvals: Vec<ApprovalRow>,
    /// Stuck load, catch, legs: what is asked beside the work as planned.
    pub besides: Facts,
}

html_parts!(Changes);

/// One input with the least factor at two of its values.
#[derive(Clone, Debug)]
pub struct SwingRow {
    /// The input.
    pub input: String,
    /// The first value, with the factor there.
    pub one: String,
    /// The other.
    pub other: String,
}

/// One approval of one device.
#[derive(Clone, Debug)]
pub struct ApprovalRow {
    /// The position.
    pub position: String,
    /// The device.
    pub item: String,
    /// The approval.
    pub approval: String,
    /// Whether it covers the rig.
    pub badge: Badge,
    /// Why it does not.
    pub against: Vec<String>,
}

impl Changes {
    /// The changes of a verdict.
    pub fn new(verdict: &KitVerdict, rig: &Rig, units: Units) -> Self {
        let assessment = verdict.assessment.as_ref();
        Self {
            remedies: assessment
                .map(|assessment| remedies(assessment, units))
                .unwrap_or_default(),
            swings: verdict
                .swings
                .iter()
                .flatten()
                .take(MOST_SWINGS)
                .map(SwingRow::new)
                .collect(),
            approvals: verdict
                .approvals
                .iter()
                .map(|coverage| ApprovalRow::new(coverage, rig))
                .collect(),
            besides: assessment
                .map(|assessment| besides(assessment, verdict.asked.load_kg, units))
                .unwrap_or_default(),
        }
    }

    /// Parts to test with.
    pub fn sample(probe: &str) -> Self {
        Self {
            remedies: vec![probe.to_owned()],
            swings: vec![SwingRow {
                input: probe.to_owned(),
                one: probe.to_owned(),
                other: probe.to_owned(),
            }],
            approvals: vec![ApprovalRow {
                position: probe.to_owned(),
                item: probe.to_owned(),
                approval: probe.to_owned(),
                badge: Badge::new(Tone::Stop, probe),
                against: vec![probe.to_owned()],
            }],
            besides: Facts::default().and(probe, probe),
        }
    }
}

fn remedies(assessment: &Assessment, units: Units) -> Vec<String> {
    let remedies = &assessment.remedies;
    let stronger = |remedy: &Remedy| {
        format!(
            "{}: an item with a {} of {} or more, loaded {}, in place of {} (asked {}).",
            remedy.title,
            remedy.kind.words(),
            units.force_enough(remedy.needed),
            remedy.mode.words(),
            remedy.item,
            remedy.phase.words()
        )
    };
    let mut said: Vec<String> = remedies.stronger.iter().map(stronger).collect();
    if said.len() > 1 {
        said.push("All of these together.".to_owned());
    }
    if let Some(Ok(mass)) = remedies.lighter.map(Force::mass) {
        said.push(format!(
            "Or with the items as they are: a load of at most {}, all counted.",
            match units {
                Units::Metric => format!("{:.0} kg", mass.kilograms().floor()),
                Units::Us => format!("{:.0} lb", mass.pounds().floor()),
            }
        ));
    }
    let catch = assessment.catch.as_ref().filter(|catch| !catch.passes);
    said.extend(catch.map(|catch| softer(catch, units)));
    said
}

/// What would make a catch that is too hard soft enough.
fn softer(catch: &Arrest, units: Units) -> String {
    let Some(slack) = catch.most_slack else {
        return "Even without slack the catch is too hard: a rope that stretches more, a device that gives rope at a lower force, or a lighter load.".to_owned();
    };
    // Rounded down, so that what is written is little enough.
    let down = |number: f64| (number * 100.0).floor() / 100.0;
    let slack = match units {
        Units::Metric => Length::from_metres(down(slack.metres())),
        Units::Us => Length::from_feet(down(slack.feet())),
    }
    .unwrap_or(slack);
    format!(
        "A drop of at most {} before the belay is tight, with this rope and as much of it in play; or a rope that stretches more.",
        words::length(slack, units)
    )
}

impl SwingRow {
    fn new(swing: &Swing) -> Self {
        let end = |end: &End| match end.factor {
            Some(factor) => format!("{}: factor {}", end.value, factor_words(factor)),
            None => format!("{}: no answer there", end.value),
        };
        Self {
            input: swing.input.clone(),
            one: end(&swing.one),
            other: end(&swing.other),
        }
    }
}

impl ApprovalRow {
    fn new(coverage: &Coverage, rig: &Rig) -> Self {
        let title = rig.position(&coverage.position).map(|place| place.title());
        let badge = match (coverage.covers(), coverage.asked) {
            (true, true) => Badge::new(Tone::Fit, "covers this rig"),
            (true, false) => Badge::new(Tone::Fit, "covers it, not asked for"),
            (false, _) => Badge::new(Tone::Stop, "does not cover it"),
        };
        Self {
            position: title.unwrap_or(&coverage.position).to_owned(),
            item: coverage.item.clone(),
            approval: coverage.approval.clone(),
            badge,
            against: coverage.against.clone(),
        }
    }
}

/// What the work as planned does not show: a catch, a stuck load, the legs, the speed.
fn besides(assessment: &Assessment, load_kg: f64, units: Units) -> Facts {
    let mut facts = Facts::default().wide();
    let range = |band: Band<Force>| {
        format!(
            "{} to {}",
            words::force(band.low(), units),
            words::force(band.high(), units)
        )
    };
    if let Some(catch) = &assessment.catch {
        facts = facts.and_from(
            "Peak of the catch",
            range(catch.peak),
            format!(
                "Spring model with a fall factor of {}, and 30 % more as measured peaks came up to; modulus {}.",
                words::digits(catch.fall_factor.ratio(), 2),
                catch.modulus_source
            ),
        );
        if let Some(limit) = &catch.limit {
            let passes = if catch.passes { "kept" } else { "not kept" };
            facts = facts
                .and_from(
                    "On one person",
                    range(catch.on_body),
                    on_one(limit.body, load_kg, units),
                )
                .and_from(
                    "Most that a person may be stopped with",
                    format!("{}: {passes}", words::force(limit.force, units)),
                    limit.source.clone(),
                );
        }
    }
    if let Some(stuck) = assessment.forces(crate::rigging::Phase::StuckLoad) {
        facts = facts.and_from(
            "Pull on a stuck load",
            words::force(stuck.load.high(), units),
            "What the whole crew puts on what the load hangs on, whatever it weighs.",
        );
    }
    if let Some(speed) = assessment.rope.load_speed {
        let minutes = assessment.rope.seconds.unwrap_or_default() / 60.0;
        facts = facts.and_from(
            "Speed of the load",
            format!("{} m/s", words::digits(speed.metres_per_second(), 2)),
            format!(
                "{} minutes over the whole depth, resets and pauses on top.",
                words::digits(minutes, 2)
            ),
        );
    }
    legs(assessment, facts, units)
}

/// Which share of the peak one person takes: of what the job's load is more than one, else all of it.
fn on_one(body: Option<Mass>, load_kg: f64, units: Units) -> String {
    let load = Mass::from_kilograms(load_kg).ok();
    let load_words = load.map_or_else(String::new, |load| {
        format!(" of {}", words::mass(load, units))
    });
    match body {
        Some(body) if body.kilograms() < load_kg => {
            let body = words::mass(body, units);
            format!(
                "All of the load{load_words} is slowed down alike, and one person of it, counted with the {body} that the rulebook plans for, takes that share of the peak."
            )
        }
        _ => format!(
            "The whole load{load_words} is counted as one person, who takes all of the peak."
        ),
    }
}

/// The largest force along each leg, over all phases.
fn legs(assessment: &Assessment, mut facts: Facts, units: Units) -> Facts {
    let Some(first) = assessment.phases.first() else {
        return facts;
    };
    for (at, leg) in first.legs.iter().enumerate() {
        let of = |force: fn(&crate::rigging::LegForce) -> Force| {
            let all = assessment
                .phases
                .iter()
                .filter_map(|forces| forces.legs.get(at));
            let most = all
                .map(force)
                .max_by(|a, b| a.newtons().total_cmp(&b.newtons()));
            most.map(|most| words::force(most, units))
                .unwrap_or_default()
        };
        let name = match leg.leg {
            0 => format!("Leg of {} that is pushed most", leg.of),
            number => format!("Leg {number} of {}", leg.of),
        };
        facts = facts.and_from(
            name,
            of(|leg| leg.along.high()),
            format!("Of it to the side: {}.", of(|leg| leg.aside.high())),
        );
    }
    facts
}
