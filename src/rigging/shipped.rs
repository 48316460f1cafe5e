//! The rigs that come with the program.

use std::sync::LazyLock;

use super::Rig;

/// Their sheets, simplest first.
const SHEETS: [&str; 16] = [
    include_str!("rig/one-to-one-redirect.toml"),
    include_str!("rig/two-to-one.toml"),
    include_str!("rig/three-to-one.toml"),
    include_str!("rig/three-to-one-redirect.toml"),
    include_str!("rig/four-to-one-pull-down.toml"),
    include_str!("rig/four-to-one-clamp.toml"),
    include_str!("rig/four-to-one-from-load.toml"),
    include_str!("rig/five-to-one.toml"),
    include_str!("rig/six-to-one.toml"),
    include_str!("rig/nine-to-one.toml"),
    include_str!("rig/four-to-one-brake-post.toml"),
    include_str!("rig/bridle-high-point.toml"),
    include_str!("rig/tripod-with-belay.toml"),
    include_str!("rig/tripod-with-belay-clamp.toml"),
    include_str!("rig/tripod-with-high-belay.toml"),
    include_str!("rig/twin-tension-lower.toml"),
];

/// The rigs that come with the program, simplest first.
pub fn shipped() -> &'static [Rig] {
    static RIGS: LazyLock<Vec<Rig>> = LazyLock::new(|| {
        let read = |sheet| Rig::parse(sheet).expect("a test reads every sheet that ships");
        SHEETS.into_iter().map(read).collect()
    });
    &RIGS
}

/// The shipped rig with this key.
pub fn shipped_rig(key: &str) -> Option<&'static Rig> {
    shipped().iter().find(|rig| rig.key() == key)
}
