//! The answer in words, for the terminal.

use std::fmt::Display;

use super::answer::{Answer, KitAnswer};
use crate::{
    cli::columns::Columns,
    domain::Units,
    rigging::{
        Assessment, Band, Check, Force, Forces, Judged, PartStrength, PositionNeed, SafetyFactor,
        Swing, digits_down,
    },
};

/// How many inputs are told of those that move the answer.
const MOST_SWINGS: usize = 8;

/// The whole answer.
pub(super) fn told(answer: &Answer) -> String {
    let mut parts = vec![head(answer)];
    match &answer.kit {
        Some(kit) => parts.extend(of_kit(kit)),
        None => parts.extend([positions(answer), tensions(answer)]),
    }
    parts.push(block("Limits of this rig", &answer.limits));
    parts.push(block("What no such answer can know", &answer.cautions));
    parts.retain(|part| !part.is_empty());
    parts.join("\n")
}

fn head(answer: &Answer) -> String {
    let strands = answer.outline.strands_at_load;
    let gain = short(answer.outline.ideal_advantage.ratio());
    let lowers = if answer.only_lowers {
        "It only lowers.\n"
    } else {
        ""
    };
    format!(
        "{} ({})\n{}\n{lowers}Strands at the load: {strands}. Load over hand force without friction: {gain} : 1.\n",
        answer.title, answer.key, answer.when
    )
}

/// A number with at most three decimals, none that say nothing.
fn short(number: f64) -> String {
    let text = format!("{number:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

fn block(title: &str, lines: &[String]) -> String {
    if lines.is_empty() {
        return String::new();
    }
    let lines: Vec<String> = lines.iter().map(|line| format!("  - {line}\n")).collect();
    format!("{title}:\n{}", lines.concat())
}

fn positions(answer: &Answer) -> String {
    let mut table = Columns::under(["position", "title", "takes", "is loaded"]);
    for need in &answer.outline.needs {
        let modes: Vec<&str> = need.modes.iter().map(|mode| mode.words()).collect();
        table.row([&need.position, &need.title, &takes(need), &modes.join("; ")]);
    }
    format!("Positions:\n{table}")
}

fn takes(need: &PositionNeed) -> String {
    let sheaves = match need.sheaves {
        0 => None,
        1 => Some("1 sheave".to_owned()),
        count => Some(format!("{count} sheaves")),
    };
    let becket = need.becket.then(|| "a becket".to_owned());
    let capture = need.capture.then(|| "progress capture".to_owned());
    let with: Vec<String> = [sheaves, becket, capture].into_iter().flatten().collect();
    let with = if with.is_empty() {
        String::new()
    } else {
        format!(" with {}", with.join(", "))
    };
    let may = if need.optional {
        " (may stay empty)"
    } else {
        ""
    };
    format!("{}{with}{may}", need.accepts.join(" or "))
}

fn tensions(answer: &Answer) -> String {
    let headings = ["rope", "from", "to", "share of the load"];
    let mut table = Columns::under(headings.into_iter().chain(answer.load.map(|_| "tension")));
    for part in &answer.outline.parts {
        let cells = [
            part.rope.clone(),
            part.from.clone(),
            part.to.clone(),
            format!("{:.4}", part.share),
        ];
        let tension = answer.load.map(|load| {
            let tension = Force::from_newtons(load.newtons() * part.share);
            tension.map_or_else(|error| error.to_string(), |tension| tension.to_string())
        });
        table.row(cells.into_iter().chain(tension));
    }
    format!("Tension without friction:\n{table}")
}

fn of_kit(kit: &KitAnswer) -> Vec<String> {
    let mut parts = vec![format!("{}\n", kit.sentence)];
    let Some(assessment) = &kit.assessment else {
        parts.push(block("What is missing", &kit.missing));
        return parts;
    };
    let ropes = assessment.rope.ropes.iter();
    let ropes: Vec<String> = ropes
        .map(|rope| format!("{} {:.1} m", rope.rope, rope.length.metres()))
        .collect();
    parts.push(format!(
        "Load: {}. People to haul: {}; to hold in lowering: {}. Rope: {}.\n",
        kit.conditions.load,
        assessment.haulers,
        assessment.lowerers,
        ropes.join(", ")
    ));
    parts.push(block("Beware", &assessment.warnings));
    parts.push(forces(assessment));
    parts.push(checks(assessment));
    parts.push(remedies(assessment));
    parts.push(swings(&kit.sensitivity));
    parts.push(block("What the numbers rest on", &assessment.assumptions));
    parts
}

/// The likely value with the ends of its range.
fn band<T: Copy + Display>(band: Band<T>) -> String {
    band.to_string()
}

/// Every force, a row each, by phase.
fn forces(assessment: &Assessment) -> String {
    let phases = &assessment.phases;
    let headings = phases.iter().map(|forces| forces.phase.words());
    let mut table = Columns::under(["force"].into_iter().chain(headings));
    let mut row = |what: String, of: &dyn Fn(&Forces) -> Option<Band<Force>>| {
        let cells = phases
            .iter()
            .map(|forces| of(forces).map_or_else(|| "none".to_owned(), band));
        table.row([what].into_iter().chain(cells));
    };
    row("the hand".to_owned(), &|forces| forces.hand);
    let Some(first) = phases.first() else {
        return String::new();
    };
    for part in &first.parts {
        let same = |forces: &Forces| {
            let mut parts = forces.parts.iter();
            parts
                .find(|other| (&other.rope, other.part) == (&part.rope, part.part))
                .map(|part| part.tension)
        };
        row(
            format!("{}: {} to {}", part.rope, part.from, part.to),
            &same,
        );
    }
    for body in &first.bodies {
        row(body.body.clone(), &|forces| forces.on_body(&body.body));
    }
    for leg in &first.legs {
        let same = |forces: &Forces| {
            let mut legs = forces.legs.iter();
            legs.find(|other| (&other.of, other.leg) == (&leg.of, leg.leg))
                .map(|leg| leg.along)
        };
        let what = match leg.leg {
            0 => format!("the leg of {} that is pushed most", leg.of),
            number => format!("leg {number} of {}", leg.of),
        };
        row(what, &same);
    }
    format!("Forces, likely (lowest to highest):\n{table}")
}

/// The check with the least room at every position.
fn checks(assessment: &Assessment) -> String {
    let headings = [
        "", "position", "item", "worst", "force", "holds", "reaches", "asked",
    ];
    let mut table = Columns::under(headings);
    let mut told: Vec<&str> = Vec::new();
    for check in &assessment.checks {
        if told.contains(&check.position.as_str()) {
            continue;
        }
        told.push(&check.position);
        if let Some(worst) = assessment.worst_of(&check.position) {
            table.row(check_row(worst));
        }
    }
    format!("Worst check of each position:\n{table}")
}

fn check_row(check: &Check) -> [String; 8] {
    let (reaches, asked) = match &check.judged {
        Judged::Factor {
            factor,
            required,
            source,
            ..
        } => (
            format!("factor {}", factor_words(*factor)),
            format!("{} ({source})", short(required.ratio())),
        ),
        Judged::Limit { against, what } => {
            let kind = check.strength.rating.kind.words();
            (kind.to_owned(), format!("{against} ({what})"))
        }
    };
    [
        if check.passes { "passes" } else { "FAILS" }.to_owned(),
        check.position.clone(),
        check.item.clone(),
        format!(
            "{}, loaded {}",
            check.phase.words(),
            check.strength.loaded(check.mode)
        ),
        band(check.force),
        holds(&check.strength),
        reaches,
        asked,
    ]
}

/// What a part holds, with its rating and each share that is left of it: "22.5 kN = 30 kN x 0.75 (knot)".
fn holds(strength: &PartStrength) -> String {
    let effective = strength.effective.to_string();
    if strength.reductions.is_empty() {
        return effective;
    }
    let shares = strength.reductions.iter().map(|taken| {
        let share = short(taken.remaining.share());
        format!(" x {share} ({})", taken.kind.words())
    });
    let shares: String = shares.collect();
    format!("{effective} = {}{shares}", strength.rating.force)
}

fn factor_words(factor: SafetyFactor) -> String {
    factor.to_string()
}

fn remedies(assessment: &Assessment) -> String {
    let stronger = assessment.remedies.stronger.iter().map(|remedy| {
        format!(
            "{} at {}: a {} of {} {}, for {}",
            remedy.item,
            remedy.title,
            remedy.kind.words(),
            Units::Metric.force_enough(remedy.needed),
            remedy.mode.words(),
            remedy.phase.words()
        )
    });
    let mut lines: Vec<String> = stronger.collect();
    if let Some(load) = assessment.remedies.lighter {
        let load = digits_down(load.kilonewtons(), 3);
        lines.push(format!("or a load of at most {load} kN with these items"));
    }
    block("What would do", &lines)
}

fn swings(swings: &[Swing]) -> String {
    if swings.is_empty() {
        return String::new();
    }
    let factor =
        |factor: Option<SafetyFactor>| factor.map_or_else(|| "none".to_owned(), factor_words);
    let mut table = Columns::under(["input", "at", "least factor", "at", "least factor"]);
    for swing in swings.iter().take(MOST_SWINGS) {
        table.row([
            swing.input.clone(),
            swing.one.value.clone(),
            factor(swing.one.factor),
            swing.other.value.clone(),
            factor(swing.other.factor),
        ]);
    }
    format!("What moves the answer most:\n{table}")
}
