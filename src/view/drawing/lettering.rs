//! The words in a picture: pulls on their strands, hands, load, anchors, numbers of positions.

use super::callout;
use super::figure::{Align, Back, Label, Mark, circle};
use super::frame::{Area, Point, at};
use super::label::{Placer, Words};
use super::note::{Note, notes};
use super::scene::{Place, Scene, Seen};
use super::size::{Fit, NARROW};
use super::symbol;
use super::{Sight, way};
use crate::rigging::{Duty, Element, LoadingMode};

/// How far a ring stands off the item that it marks.
const RING: f64 = 5.0;

/// What lettering adds to a picture.
pub(super) struct Lettered {
    pub marks: Vec<Mark>,
    pub labels: Vec<Label>,
}

/// Writes everything that a picture says.
pub(super) fn letter(sight: &Sight, scene: &mut Scene) -> Lettered {
    let mut placer = Placer {
        size: scene.size,
        labels: Vec::new(),
        solid: scene.solid.clone(),
        strands: scene.plan.runs.clone(),
        room: room(scene),
    };
    let mut marks = Vec::new();
    if !scene.size.is_told() {
        return Lettered {
            marks,
            labels: Vec::new(),
        };
    }
    load(sight, scene, &mut placer);
    pulls(sight, scene, &mut placer);
    holds(sight, scene, &mut placer);
    hands(sight, scene, &mut placer);
    marks.extend(arrows(sight, scene, &mut placer));
    rope_places(scene, &placer);
    let mut notes = notes(sight, scene.size);
    notes.retain(|note| scene.places.contains_key(&note.position));
    marks.extend(rings(sight, scene, &notes));
    if scene.size.fit == Fit::Wide {
        marks.extend(callout::write(scene, &mut placer, &notes));
    } else {
        marks.extend(numbers(scene, &mut placer, &notes));
    }
    Lettered {
        marks,
        labels: placer.labels,
    }
}

/// How far to the left and right words may stand: a narrow picture grows no wider than its drawing.
fn room(scene: &Scene) -> (f64, f64) {
    let art = scene.art();
    let half = match scene.size.fit {
        Fit::Narrow => art.wide().max(NARROW - 12.0) / 2.0,
        _ => f64::INFINITY,
    };
    (art.center().x - half, art.center().x + half)
}

/// The force of the load, in its block.
fn load(sight: &Sight, scene: &Scene, placer: &mut Placer) {
    let Some(block) = scene.load else { return };
    let words = match sight.forces {
        Some(forces) => format!("Load {}", (sight.words)(forces.load.likely())),
        None => "Load".to_owned(),
    };
    let words = Words {
        back: Back::Nothing,
        ..Words::line("d-word", words, true)
    };
    let (wide, high) = words.extent(scene.size);
    let area = Area::round(block.center(), wide, high);
    let label = words.at(area, scene.size, Align::Middle);
    placer.labels.push(label);
}

/// The pull in every part, on its strand. Neighbours stand at different heights.
fn pulls(sight: &Sight, scene: &Scene, placer: &mut Placer) {
    let Some(forces) = sight.forces else { return };
    let web = scene.plan.web;
    for (index, strand) in web.strands.iter().enumerate() {
        let rope = &sight.rig.ropes()[strand.rope];
        let pull = super::pull(sight, forces, rope, strand.part);
        let words = pull.map_or_else(|| "slack".to_owned(), |force| (sight.words)(force));
        let words = Words::line("d-pull", words, true);
        let share = if index % 2 == 0 { 0.42 } else { 0.58 };
        placer.on_strand(words, scene.plan.runs[index], share);
    }
    for (leg, force) in scene.legs.iter().zip(&forces.legs) {
        let along = (sight.words)(force.along.likely());
        // The leg of a tripod is pushed, and has no number.
        let words = match force.leg {
            0 => format!("leg {along}"),
            _ => along,
        };
        let words = Words::line("d-pull", words, true);
        let half = if leg.0.far(leg.1) > 90.0 { 0.45 } else { 0.5 };
        let middle = leg.0.toward(leg.1, half);
        placer.near(words, middle, 6.0);
    }
}

/// What each anchor takes.
fn holds(sight: &Sight, scene: &Scene, placer: &mut Placer) {
    let Some(forces) = sight.forces else { return };
    for &(body, place) in &scene.holds {
        let key = sight.rig.bodies()[body].key();
        let force = forces.on_body(key);
        let Some(force) = force.filter(|force| force.high().newtons() > 0.0) else {
            continue;
        };
        let words = format!("takes {}", (sight.words)(force.likely()));
        placer.near(Words::line("d-word", words, true), place, 12.0);
    }
}

/// "Hand" at every hand, and whose it is where there are several.
fn hands(sight: &Sight, scene: &mut Scene, placer: &mut Placer) {
    let ropes = sight.rig.ropes();
    for (rope, reeved) in ropes.iter().enumerate() {
        if !matches!(reeved.path().first(), Some(Element::Hand)) {
            continue;
        }
        let before = ropes[..rope]
            .iter()
            .filter(|other| other.duty() == reeved.duty());
        let words = match reeved.duty() {
            Duty::Main => "Hand".to_owned(),
            Duty::Belay => "Hand, belay".to_owned(),
            Duty::Twin => format!("Hand {}", before.count() + 1),
        };
        let (end, _) = scene.plan.runs[scene.plan.web.index(rope, 0)];
        placer.near(Words::line("d-word", words, false), end, 12.0);
    }
}

/// An arrow on every strand that runs.
fn arrows(sight: &Sight, scene: &Scene, placer: &mut Placer) -> Vec<Mark> {
    let mut marks = Vec::new();
    let (Some(motion), Some(sign)) = (sight.rig.motion(), way::sign(sight)) else {
        return marks;
    };
    for (index, strand) in scene.plan.web.strands.iter().enumerate() {
        let Some(speed) = motion.of(strand.rope, strand.part) else {
            continue;
        };
        if speed.abs() < 1e-9 {
            continue;
        }
        let (near, far) = scene.plan.runs[index];
        let to_hand = speed * sign > 0.0;
        let (from, to) = if to_hand { (far, near) } else { (near, far) };
        let along = (to - from).unit();
        let shares = (0..46_u8).flat_map(|away| {
            let away = f64::from(away) * 0.02;
            [0.72 + away, 0.72 - away]
        });
        let shares = shares.filter(|share| (0.06..0.94).contains(share));
        let places = shares.map(|share| from.toward(to, share));
        // Where strands stand close, an arrow among them is better than none.
        let free = [15.0, 8.0].into_iter().find_map(|room| {
            let is_free = |place: &Point| placer.is_free(Area::round(*place, room, room));
            places.clone().find(is_free)
        });
        if let Some(place) = free {
            placer.solid.push(Area::round(place, 15.0, 15.0));
            marks.push(symbol::arrow(place, along));
        }
    }
    marks
}

/// A place to point at on every rope: its first strand, clear of words.
fn rope_places(scene: &mut Scene, placer: &Placer) {
    let web = scene.plan.web;
    for (index, rope) in web.rig.ropes().iter().enumerate() {
        let (from, to) = scene.plan.runs[web.index(index, 0)];
        let shares = [0.2, 0.15, 0.25, 0.3, 0.1, 0.35, 0.7, 0.8, 0.9, 0.5];
        let places = shares.iter().map(|&share| from.toward(to, share));
        let free = |place: &Point| placer.is_free(Area::round(*place, 8.0, 8.0));
        let place = places.clone().find(free).unwrap_or(from.toward(to, 0.2));
        scene.place(rope.position(), place, 3.0, Seen::Whole);
    }
}

/// Where the weakest link is: on a rope at its end or on the part that pulls most, else at the item.
fn weakest_place(sight: &Sight, scene: &Scene, note: &Note) -> Option<Place> {
    let weakest = sight.assessment?.weakest.as_ref()?;
    let forces = sight.forces?;
    let places = scene.places.get(&note.position)?;
    if weakest.mode == LoadingMode::Becket {
        let becket = places.iter().find(|place| place.seen == Seen::Becket);
        return becket.or(places.first()).copied();
    }
    let rope = sight.rig.ropes().iter();
    let rope = rope
        .enumerate()
        .find(|(_, rope)| rope.position() == note.position);
    let Some((rope, reeved)) = rope else {
        return places.first().copied();
    };
    let web = scene.plan.web;
    let last = reeved.path().len() - 1;
    let end = |element: usize| Place {
        center: scene
            .plan
            .spots
            .get(&(rope, element))
            .map_or(at(0.0, 0.0), |spot| spot.center),
        radius: 12.0,
        seen: Seen::Whole,
    };
    if weakest.mode == LoadingMode::Terminated {
        let made = [0, last].into_iter();
        let made = made.filter(|&at| matches!(reeved.path()[at], Element::End { .. }));
        let ends = forces.positions.iter().filter(|force| {
            force.position == weakest.position && force.mode == LoadingMode::Terminated
        });
        let mut both = made.zip(ends);
        let found = both.find(|(_, force)| force.spot == weakest.spot);
        return found.map(|(at, _)| end(at));
    }
    let parts = forces
        .parts
        .iter()
        .filter(|part| part.rope == weakest.position);
    let most = parts.max_by(|a, b| {
        let high = |part: &crate::rigging::PartTension| part.tension.high().newtons();
        high(a).total_cmp(&high(b))
    })?;
    let (from, to) = scene.plan.runs[web.index(rope, most.part)];
    Some(Place {
        center: from.toward(to, 0.5),
        radius: 12.0,
        seen: Seen::Whole,
    })
}

/// Two rings round the weakest link, so that it is seen without colour.
fn rings(sight: &Sight, scene: &mut Scene, notes: &[Note]) -> Vec<Mark> {
    let Some(note) = notes.iter().find(|note| note.is_weakest) else {
        return Vec::new();
    };
    let Some(place) = weakest_place(sight, scene, note) else {
        return Vec::new();
    };
    let radius = place.radius + RING;
    // What is said of it points there.
    if let Some(places) = scene.places.get_mut(&note.position) {
        places.insert(
            0,
            Place {
                radius: radius + 4.0,
                ..place
            },
        );
    }
    vec![
        circle("d-weak", place.center, radius),
        circle("d-weak", place.center, radius + 4.0),
    ]
}

/// The number of every position, on a disc beside it, and words at the weakest link.
fn numbers(scene: &Scene, placer: &mut Placer, notes: &[Note]) -> Vec<Mark> {
    let mut marks = Vec::new();
    let weakest_first = notes.iter().filter(|note| note.is_weakest);
    let others = notes.iter().filter(|note| !note.is_weakest);
    for note in weakest_first.chain(others) {
        let Some(place) = scene.places[&note.position].first() else {
            continue;
        };
        if note.is_weakest {
            let words = Words {
                class: "d-word",
                lines: vec![
                    ("Weakest link".to_owned(), true),
                    (note.result.clone(), true),
                ],
                back: Back::Frame,
            };
            placer.near(words, place.center, place.radius + 2.0);
        }
        let words = Words::disc(note.number);
        let area = placer.near(words, place.center, place.radius);
        let center = area.center();
        if center.far(place.center) > place.radius + area.high() + 3.0 {
            let end = place.center + (center - place.center).unit() * place.radius;
            marks.push(super::figure::line("d-lead", &[end, center]));
        }
    }
    marks
}
