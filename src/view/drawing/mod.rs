//! The drawing of a rig: bodies, ropes, links and legs in their places, with every pull on its strand.
//!
//! A picture is worked out from the rig alone, whoever wrote its sheet; nothing here knows a rig by name.
//!
//! 1. `web` sees which parts of rope run along one line and hang together.
//! 2. `group` lays each such group out in a frame of its own: bodies at their levels, strands side by
//!    side in columns, in the `order` in which the fewest things cross. `plan` turns every group to its
//!    true angle and joins them at the sheaves that turn the rope aside.
//! 3. `station`, with `block` and `device`, draws bodies and all that is on them, `chain` what holds them,
//!    `cord` the ropes.
//! 4. `lettering` finds each word a place of its own; `callout` names the positions beside the drawing.
//! 5. [`Drawing`] writes itself as SVG: shapes, patterns and words, and no colour but that of the text.

mod block;
mod callout;
mod chain;
mod cord;
mod device;
mod figure;
mod frame;
mod group;
mod label;
mod lettering;
mod note;
mod order;
mod paper;
mod plan;
mod scene;
mod size;
mod sketch;
mod station;
mod symbol;
mod told;
mod way;
mod web;

pub use figure::{Align, Back, Drawing, Label, Mark, Step};
pub(super) use figure::{circle, line, shape};
pub use frame::{Area, Point};
pub use size::Fit;
pub(super) use size::wide;
pub use sketch::{Sketch, Spot};
pub use way::way;

use crate::rigging::{Assessment, Element, Force, Forces, Phase, Rig, Rope};
use frame::at;
use plan::Plan;
use scene::Scene;
use size::{NARROW, Size};
use web::Web;

/// Round the picture.
const MARGIN: f64 = 6.0;

/// What a picture shows.
#[derive(Clone, Copy)]
pub struct Sight<'a> {
    /// The rig.
    pub rig: &'a Rig,
    /// Its forces in one phase; without them no pull is shown.
    pub forces: Option<&'a Forces>,
    /// Its checks, for factors and the weakest link. An optional position that has none is left out.
    pub assessment: Option<&'a Assessment>,
    /// How a force is written.
    pub words: &'a dyn Fn(Force) -> String,
}

/// Draws a rig. `id` names the parts of the picture and must be unique on the page.
pub fn draw(sight: &Sight, fit: Fit, id: &str) -> Drawing {
    let web = Web::new(sight.rig);
    let size = Size::new(fit, columns(sight.rig), shown(sight));
    let plan = Plan::new(&web, &size);
    let mut scene = Scene::new(&plan, &size);
    let phase = sight.forces.map(|forces| forces.phase);
    scene.holds_by_capture =
        phase.is_some_and(|phase| phase == Phase::Held || phase.is_held_by_another());
    station::draw(&mut scene);
    ropes(sight, &mut scene);
    let lettered = lettering::letter(sight, &mut scene);
    let mut drawing = Drawing {
        id: id.to_owned(),
        class: match fit {
            Fit::Wide => "drawing is-wide",
            Fit::Narrow => "drawing is-narrow",
            Fit::Small => "drawing is-small",
        },
        area: Area::across(at(0.0, 0.0), at(0.0, 0.0)),
        title: told::title(sight),
        desc: if size.is_told() {
            told::desc(sight, &size)
        } else {
            String::new()
        },
        marks: [scene.back, scene.ropes, scene.front, lettered.marks].concat(),
        labels: lettered.labels,
        strands: plan.runs.clone(),
        legs: scene.legs,
    };
    drawing.area = drawing.bounds().grown(MARGIN);
    if fit == Fit::Narrow {
        let lack = (NARROW - drawing.area.wide()).max(0.0) / 2.0;
        drawing.area.from.x -= lack;
        drawing.area.to.x += lack;
    }
    drawing
}

/// How many strands stand side by side, at most.
fn columns(rig: &Rig) -> f64 {
    let ropes = rig.ropes().iter();
    let turns = ropes.map(|rope| {
        let bends = rope
            .path()
            .iter()
            .filter(|met| web::bend(met) != web::Bend::On);
        u32::try_from(bends.count()).unwrap_or(u32::MAX)
    });
    turns.map(|turns| f64::from(turns) + 1.3).sum()
}

/// Which positions are there.
fn shown(sight: &Sight) -> Vec<bool> {
    let positions = sight.rig.positions().iter();
    let shown = positions.map(|position| {
        let checked = sight.assessment.is_none_or(|assessment| {
            let mut checks = assessment.checks.iter();
            checks.any(|check| check.position == position.key())
        });
        checked || !position.is_optional()
    });
    shown.collect()
}

/// The likely pull in a part of a rope; `None` if it is slack.
fn pull(sight: &Sight, forces: &Forces, rope: &Rope, part: usize) -> Option<Force> {
    let key = sight.rig.positions()[rope.position()].key();
    let mut parts = forces.parts.iter();
    let found = parts.find(|found| found.rope == key && found.part == part)?;
    (found.tension.high().newtons() > 0.0).then(|| found.tension.likely())
}

/// Draws every rope.
fn ropes(sight: &Sight, scene: &mut Scene) {
    let phase = sight.forces.map(|forces| forces.phase);
    let hauled = matches!(phase, Some(Phase::Hauling | Phase::StuckLoad));
    let is_off = |element: &Element| {
        let off = matches!(
            element,
            Element::Post {
                off_in_hauling: true,
                ..
            }
        );
        hauled && off
    };
    let looks = cord::looks(sight.rig.ropes().iter().map(|rope| rope.duty()));
    for (index, (rope, look)) in sight.rig.ropes().iter().zip(looks).enumerate() {
        let is_slack = |part: usize| {
            sight
                .forces
                .is_some_and(|forces| pull(sight, forces, rope, part).is_none())
        };
        let marks = cord::marks(scene.plan, index, look, is_slack, is_off);
        scene.ropes.extend(marks);
        if matches!(rope.path().first(), Some(Element::Hand)) {
            let (end, far) = scene.plan.runs[scene.plan.web.index(index, 0)];
            let marks = symbol::hand(end, (far - end).unit());
            scene.put(marks);
        }
    }
}
