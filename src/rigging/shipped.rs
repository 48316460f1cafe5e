//! The rigs that come with the program.

use super::Rig;

/// The rigs that come with the program, simplest first.
pub fn shipped() -> &'static [Rig] {
    todo!("lands next")
}

/// The shipped rig with this key.
pub fn shipped_rig(key: &str) -> Option<&'static Rig> {
    shipped().iter().find(|rig| rig.key() == key)
}
