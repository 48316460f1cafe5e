//! What a result rests on and what makes it worse than it looks, in sentences.

use super::{
    Angle, Band, BridleAngle, Conditions, Efficiency, Forces, Outfit, Phase, Position, Rig,
    Turning, Wetness, Wheel,
};

/// What the numbers rest on.
pub(super) fn assumptions(rig: &Rig, outfit: &Outfit, conditions: &Conditions) -> Vec<String> {
    let mut said = vec![
        format!(
            "The load hangs still or moves slowly and pulls with {}; the weight of rope and blocks is not counted.",
            conditions.load
        ),
        "Strands run side by side unless the rig says otherwise, and the crew pulls in line with them.".to_owned(),
        "A sheave loses the same share of the pull in both directions; at rest each sheave by itself may \
         stand anywhere between hauling and lowering."
            .to_owned(),
        "Every range of friction is computed in all combinations of its ends, and each part is judged on the worst."
            .to_owned(),
        format!(
            "A part passes with exactly the factor that is asked for: {} by {}.",
            conditions.required.factor, conditions.required.source
        ),
        "Knots are counted with the low end of the lists that were read, and not at all where the maker states \
         the strength with terminations."
            .to_owned(),
        "A rope's bends over sheaves and the grip of a clamp take nothing off its strength here.".to_owned(),
        format!(
            "Each person is counted with a pull of {}; spare hands come on top.",
            conditions.pull_each
        ),
        "The length of rope is that with the load at the bottom; rope round sheaves and posts is not counted."
            .to_owned(),
    ];
    if rig.has_belay() && !conditions.exceptional.belay_aside {
        said.push(
            "At rest on the belay the main rope is slack or gone and the load hangs still. The belay was pulled towards \
             the load, so that its sheaves rub as in lowering or not at all, and its brake as in lowering."
                .to_owned(),
        );
    }
    said.extend(
        rig.positions()
            .iter()
            .filter_map(|position| of_position(position, outfit)),
    );
    said.push(of_water(conditions.wetness).to_owned());
    said
}

/// What makes the result worse than it looks.
pub(super) fn warnings(rig: &Rig, phases: &[Forces], conditions: &Conditions) -> Vec<String> {
    let mut warnings = warnings_of_legs(rig);
    warnings.extend(warnings_of_belay(rig, conditions));
    for forces in phases {
        let Some(advantage) = forces.advantage else {
            continue;
        };
        if forces.phase == Phase::Hauling && advantage.low().ratio() < 1.0 {
            warnings.push(
                "With this friction hauling can take more force than lifting the load by hand: use pulleys that \
                 turn better, or a simpler rig."
                    .to_owned(),
            );
        }
    }
    warnings
}

/// Wide bridles, lines across a span, tripods.
fn warnings_of_legs(rig: &Rig) -> Vec<String> {
    let mut warnings = Vec::new();
    for (index, bridle) in rig.bridles().iter().enumerate() {
        let of = rig.words_of_bridle(index);
        if let Some(line) = bridle.span() {
            warnings.push(format!(
                "A line across a span carries {of}, and was computed with a sag of {:.2} m on {:.1} m: \
                 measure the sag under load. Half of it doubles the pull on the ends, and a load that \
                 moves along the line, a second load or wind are not in these numbers.",
                line.sag().metres(),
                line.across().metres()
            ));
            continue;
        }
        let included = Angle::from_degrees(bridle.included_degrees());
        let warning = included
            .ok()
            .and_then(|angle| BridleAngle::of(angle).warning());
        warnings.extend(warning.map(|warning| format!("At {of}: {warning}")));
    }
    warnings
}

/// A belay that shares something with the main rope, or whose catch nobody asked for.
fn warnings_of_belay(rig: &Rig, conditions: &Conditions) -> Vec<String> {
    let mut warnings = Vec::new();
    let shared = rig.shared_with_belay();
    if !shared.is_empty() {
        warnings.push(format!(
            "The belay does not stand alone: it shares {} with the main rope.",
            shared.join(" and ")
        ));
    }
    if rig.has_belay() && conditions.exceptional.belay_aside {
        warnings.push(
            "The belay leaves its head further aside than the rig counts with, or it cannot be told that it does not: it is \
             not judged, neither at rest nor in a fall, and it may pull over what the head stands on."
                .to_owned(),
        );
    }
    if rig.catches() && conditions.exceptional.catch.is_none() {
        warnings.push(
            "The catch is not judged: nothing here says that the belay holds a fall. Give the slack and the \
             rope in play in the plan, and the stretch of the rope on its model, to have it judged too."
                .to_owned(),
        );
    }
    warnings.extend(factor_of_exceptions(rig, conditions));
    warnings
}

/// By which factor a stuck load and a catch are judged, where they are planned: the usual one is made for slow movement,
/// and a catch is not held to it.
fn factor_of_exceptions(rig: &Rig, conditions: &Conditions) -> Vec<String> {
    let exceptional = &conditions.exceptional;
    let usual = conditions.required.factor;
    let stuck = exceptional.stuck_pull.is_some();
    let catch = exceptional.catch.is_some() && rig.catches();
    let judged = match (stuck, catch) {
        (false, false) => return Vec::new(),
        (true, false) => "A stuck load is",
        (false, true) => "A catch is",
        (true, true) => "A stuck load and a catch are",
    };
    if let Some(own) = &exceptional.required {
        return vec![format!(
            "{judged} held to the plan's own factor, {}, not to the {usual} of the rest.",
            own.factor
        )];
    }
    let mut said = Vec::new();
    if stuck {
        said.push(format!(
            "A stuck load is held to the factor of the rest, {usual}, since the plan sets none for it; what that factor \
             is meant for stands with its source."
        ));
    }
    if catch {
        said.push(match &exceptional.in_a_catch {
            Some(factor) => format!(
                "A catch is held to the factor for a catch, {} ({}), not to the {usual} of the rest.",
                factor.factor, factor.source
            ),
            None => format!(
                "The catch is not judged: no factor for a catch is set. The plan sets none, the rulebook has no figure for a \
                 catch, and the factor of the rest, {usual}, is not made for one. Only what would break at the \
                 peak fails. Set your team's factor in the plan to have it judged."
            ),
        });
    }
    said
}

fn of_position(position: &Position, outfit: &Outfit) -> Option<String> {
    let title = position.title();
    let Some(item) = outfit.at(position.key()) else {
        return Some(format!(
            "Nothing is fitted at {title}; the rig does without it and nothing is checked there."
        ));
    };
    if let Some(post) = &item.post {
        return Some(format!(
            "Friction of rope on {}: {} ({}).",
            item.label,
            numbers(
                post.friction.low().coefficient(),
                post.friction.likely().coefficient(),
                post.friction.high().coefficient()
            ),
            post.source
        ));
    }
    let wheel = item.wheel.as_ref().filter(|_| position.sheaves() > 0)?;
    let mut said = format!(
        "Efficiency of the sheaves of {}: {} ({}).",
        item.label,
        share(wheel.efficiency),
        wheel.source
    );
    if let Some(standing) = of_capture(position, wheel) {
        said.push(' ');
        said.push_str(&standing);
    }
    Some(said)
}

fn of_capture(position: &Position, wheel: &Wheel) -> Option<String> {
    match &wheel.turning {
        Turning::OneWay { friction, source } if position.needs_capture() => Some(format!(
            "While lowering, its captured sheave stands still and the rope rubs on it with a coefficient of {} ({source}).",
            numbers(
                friction.low().coefficient(),
                friction.likely().coefficient(),
                friction.high().coefficient()
            ),
        )),
        Turning::OneWay { .. } => Some(
            "It turns one way only, but the rig has no capture there: it is counted as turning freely.".to_owned(),
        ),
        Turning::Cam if position.needs_capture() => Some(
            "While lowering, its cam is let go of and its sheave turns as it does while hauling."
                .to_owned(),
        ),
        Turning::Free | Turning::Cam => None,
    }
}

fn of_water(wetness: Wetness) -> &'static str {
    match wetness {
        Wetness::Dry => "The gear stays dry.",
        Wetness::Wet => {
            "The gear may be wet: rope of nylon is counted with what water leaves of it in pull tests. For other fibres, and \
             for sewn textile such as a harness or a sling, no figure with a source is known, and the same is assumed. \
             Friction may change too."
        }
    }
}

fn share(band: Band<Efficiency>) -> String {
    numbers(
        band.low().share(),
        band.likely().share(),
        band.high().share(),
    )
}

fn numbers(low: f64, likely: f64, high: f64) -> String {
    if low < high {
        format!("{likely} (from {low} to {high})")
    } else {
        format!("{likely}")
    }
}
