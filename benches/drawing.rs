//! The drawing of every shipped rig, from its sheet to SVG. To hold: 5 ms a drawing.

use std::hint::black_box;
use std::time::Duration;

use criterion::{Criterion, criterion_group, criterion_main};
use ropeloft::{
    rigging::{Force, Outfit, Phase, shipped, solve},
    view::drawing::{Fit, Sight, draw},
};

/// Each rig under a load, for a desk and for a phone, with the pull in every part.
fn drawings(criterion: &mut Criterion) {
    let load = Force::from_kilonewtons(1.0).unwrap();
    let words = |force: Force| format!("{:.2} kN", force.kilonewtons());
    let mut group = criterion.benchmark_group("draw a rig");
    group.sample_size(20);
    group.warm_up_time(Duration::from_millis(200));
    group.measurement_time(Duration::from_millis(600));
    for rig in shipped() {
        let forces = solve(rig, &Outfit::default(), load, Phase::Frictionless).unwrap();
        let sight = Sight {
            rig,
            forces: Some(&forces),
            assessment: None,
            words: &words,
        };
        for (name, fit) in [("wide", Fit::Wide), ("narrow", Fit::Narrow)] {
            group.bench_function(format!("{} {name}", rig.key()), |bench| {
                bench.iter(|| black_box(draw(&sight, fit, "bench").to_string()));
            });
        }
    }
    group.finish();
}

criterion_group!(benches, drawings);
criterion_main!(benches);
