//! Rigs by chance, each from a seed: tackles and stacks of tackles, tangles of travelling bodies, belays, pairs of
//! ropes, and whatever the anchors may hang from or stand on.

use rand::{SeedableRng, rngs::StdRng};
use serde_json::{Value, json};

use crate::rigging_draft::Draft;
use crate::rigging_hung::hang;
use crate::rigging_tangle::tangle;

/// A random rig of any kind. It may be one that no mechanics answers.
pub fn any(seed: u64) -> Draft {
    let (seed, bare) = reeving(seed);
    // Many ways to hang a rig do not hold it: another is tried, and now and then the wrong one is kept.
    for attempt in 1..4 {
        let mut draft = reeved_by(seed);
        draft.rng = StdRng::seed_from_u64(seed ^ (attempt << 56));
        hang(&mut draft);
        if draft.chance(0.1) || draft.rig().is_ok() {
            return draft;
        }
    }
    bare
}

/// Ropes and what they run over, and the seed that gave them. Few tangles hold anything, so others are tried.
fn reeving(seed: u64) -> (u64, Draft) {
    for attempt in 0..30 {
        let tried = seed ^ (attempt << 48);
        let mut draft = reeved_by(tried);
        if draft.chance(0.05) || draft.rig().is_ok() {
            return (tried, draft);
        }
    }
    (seed, reeved_by(seed))
}

fn reeved_by(seed: u64) -> Draft {
    let mut draft = Draft::new(seed);
    match seed % 8 {
        0 | 1 => tackle(&mut draft),
        2 => stack(&mut draft),
        3 | 4 => tangle(&mut draft),
        5 => redirects(&mut draft),
        6 => aside(&mut draft),
        _ => twins(&mut draft),
    }
    let twins = draft.features.contains("two ropes that share the load");
    let clamped = draft.features.contains("a clamp in the rope");
    if !twins && !clamped && draft.chance(0.5) {
        draft.capture_somewhere();
    }
    if !twins && draft.chance(0.25) {
        belay(&mut draft);
    }
    draft
}

/// The sheet of a shipped rig.
pub fn shipped_sheet(key: &str) -> String {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/src/rigging/rig");
    std::fs::read_to_string(format!("{folder}/{key}.toml")).unwrap()
}

/// What the hand strand goes over on its way: pulleys at any angle, posts with wraps, a clamp.
fn lead(draft: &mut Draft, most: usize) -> Vec<Value> {
    let mut path = vec![json!({"meets": "hand"})];
    for _ in 0..draft.count(0, most) {
        let anchors = draft.anchors();
        let anchor = if draft.chance(0.3) {
            draft.body_first("anchor")
        } else {
            draft.one_of(&anchors)
        };
        path.push(if draft.chance(0.2) {
            let wrap = wrap(draft);
            draft.post_on(&anchor, wrap)
        } else {
            bent(draft, &anchor)
        });
    }
    path
}

/// Half turns and whole ones, or any angle.
fn wrap(draft: &mut Draft) -> f64 {
    if draft.chance(0.5) {
        draft.one_of(&[180.0, 360.0, 540.0])
    } else {
        draft.number(20.0, 540.0)
    }
}

/// A sheave that turns the rope by any angle.
fn bent(draft: &mut Draft, anchor: &str) -> Value {
    let mut sheave = draft.sheave_on(anchor);
    let between = if draft.chance(0.3) {
        draft.one_of(&[30.0, 45.0, 60.0, 90.0, 120.0])
    } else {
        draft.number(0.0, 175.0)
    };
    sheave["between_degrees"] = json!(between);
    draft.features.insert("a redirect at an angle");
    sheave
}

/// Strands between an anchor and a block, from whatever the rope came over. Gives whether the last one comes down
/// from the anchor.
fn strands(
    draft: &mut Draft,
    path: &mut Vec<Value>,
    (anchor, block): (&str, &str),
    (count, pulled_down): (usize, bool),
) -> bool {
    let mut at_anchor = pulled_down;
    for _ in 0..count - 1 + usize::from(pulled_down) {
        if !at_anchor {
            path.push(draft.sheave_on(block));
        } else if draft.chance(0.1) {
            // Two pulleys beside each other do the half turn together, or three.
            let share = draft.number(5.0, 175.0);
            for between in [share, 180.0 - share] {
                let mut sheave = draft.sheave_on(anchor);
                sheave["between_degrees"] = json!(between);
                path.push(sheave);
            }
            draft.features.insert("half a turn over two sheaves");
        } else {
            path.push(draft.sheave_on(anchor));
        }
        at_anchor = !at_anchor;
    }
    !at_anchor
}

/// A rope that is reeved between an anchor and a block and tied where its last strand ends. On the main line it
/// runs on instead, through a grab on the block, to the load.
fn reeved(
    draft: &mut Draft,
    mut path: Vec<Value>,
    (anchor, block): (&str, &str),
    (count, pulled_down): (usize, bool),
    load: Option<&str>,
) -> Vec<Value> {
    let down = strands(draft, &mut path, (anchor, block), (count, pulled_down));
    if down && draft.chance(0.1) && draft.features.insert("a clamp in the rope") {
        path.push(draft.clamp_on(anchor));
    }
    match (down, load) {
        (true, Some(load)) => {
            path.push(draft.grab_on(block));
            path.push(draft.end_on(load));
            draft.features.insert("a grab on the main line");
        }
        (true, None) => path.push(draft.end_on(block)),
        (false, _) => path.push(draft.end_on(anchor)),
    }
    path
}

/// How many strands, and whether they are pulled down. One strand needs its sheave.
fn shape(draft: &mut Draft, most: usize) -> (usize, bool) {
    let count = draft.count(1, most);
    (count, count == 1 || draft.chance(0.5))
}

/// The names of tackles, pulled up from the load and down from the anchor.
const TACKLES: [[&str; 8]; 2] = [
    ["", "2 up", "3 up", "4 up", "5 up", "6 up", "7 up", "8 up"],
    [
        "1 down", "2 down", "3 down", "4 down", "5 down", "6 down", "7 down", "8 down",
    ],
];

/// A simple tackle of one to eight strands.
fn tackle(draft: &mut Draft) {
    let anchor = draft.body("anchor");
    let load = draft.body("load");
    let (count, down) = shape(draft, 8);
    let path = lead(draft, 2);
    let path = reeved(draft, path, (&anchor, &load), (count, down), None);
    draft.rope("main", path);
    draft.features.insert(TACKLES[usize::from(down)][count - 1]);
}

/// Tackles that pull on each other's hand strand, up to three deep.
fn stack(draft: &mut Draft) {
    let anchor = draft.body("anchor");
    let depth = draft.count(2, 3);
    draft
        .features
        .insert(["", "", "a stack of two", "a stack of three"][depth]);
    let shapes: Vec<(usize, bool)> = (0..depth).map(|_| shape(draft, 4)).collect();
    // An odd number of strands ends at the block, where the rope may run on to the load.
    let main_line = shapes[0].0 % 2 == 1 && draft.chance(0.6);
    // Pulled down, a tackle's end goes against the way of its block.
    let mut upwards = vec![true];
    for (_, down) in &shapes {
        let last = *upwards.last().unwrap();
        upwards.push(last != *down);
    }
    let blocks = blocks_of_stack(draft, &upwards[..depth], main_line);
    let load = draft.load();
    for level in 0..depth {
        let anchor = if upwards[level] {
            anchor.clone()
        } else {
            draft.features.insert("a tackle that pulls downwards");
            draft.body("anchor")
        };
        let path = match blocks.get(level + 1) {
            None => lead(draft, 1),
            Some(next) => vec![pulled_end(draft, next)],
        };
        let line = (level == 0 && main_line).then_some(load.as_str());
        let path = reeved(draft, path, (&anchor, &blocks[level]), shapes[level], line);
        draft.rope("main", path);
    }
}

/// The blocks of a stack from the load outwards, each named above the one that it pulls if it goes up, else below.
fn blocks_of_stack(draft: &mut Draft, upwards: &[bool], main_line: bool) -> Vec<String> {
    let mut order: Vec<usize> = vec![0];
    for (level, up) in upwards.iter().enumerate().skip(1) {
        let before = order.iter().position(|&other| other + 1 == level).unwrap();
        order.insert(before + usize::from(!up), level);
    }
    let mut keys = vec![String::new(); upwards.len()];
    for level in order {
        let is_load = level == 0 && !main_line;
        keys[level] = draft.body(if is_load { "load" } else { "travelling" });
    }
    if main_line {
        draft.body("load");
    }
    keys
}

/// The end of a rope that a travelling body pulls on.
pub fn pulled_end(draft: &mut Draft, body: &str) -> Value {
    if draft.chance(0.5) {
        draft.features.insert("a rope that begins at a grab");
        draft.grab_on(body)
    } else {
        draft.features.insert("a rope that begins at a made end");
        json!({"meets": "end", "body": body, "knot": "bowline"})
    }
}

/// A load on one rope that is turned aside again and again.
fn redirects(draft: &mut Draft) {
    let anchor = draft.body("anchor");
    let load = draft.body("load");
    let mut path = lead(draft, 4);
    path.push(bent(draft, &anchor));
    if draft.chance(0.3) {
        path.push(draft.clamp_on(&anchor));
        draft.features.insert("a clamp in the rope");
    }
    path.push(draft.end_on(&load));
    draft.rope("main", path);
}

/// A tackle that lies along a line of its own and pulls the rope of the load over a corner.
fn aside(draft: &mut Draft) {
    let corner = draft.body("anchor");
    let between = draft.number(1.0, 179.0);
    let block = draft.body_aside(between);
    let far = draft.body("anchor");
    let load = draft.body("load");
    let mut sheave = draft.sheave_on(&corner);
    sheave["between_degrees"] = json!(between);
    let path = vec![
        pulled_end(draft, &block),
        sheave,
        json!({"meets": "end", "body": load, "knot": "figure-eight"}),
    ];
    draft.rope("main", path);
    let shape = shape(draft, 4);
    let path = lead(draft, 1);
    let path = reeved(draft, path, (&far, &block), shape, None);
    draft.rope("main", path);
    draft.features.insert("a body on a line of its own");
}

/// Two ropes that share the load, each with its own brake.
fn twins(draft: &mut Draft) {
    let anchors = [draft.body("anchor"), draft.body("anchor")];
    let load = draft.body("load");
    let shared = draft.chance(0.3);
    let held = draft.chance(0.3);
    for anchor in [&anchors[0], &anchors[usize::from(!shared)]] {
        let mut path = lead(draft, 2);
        if held {
            path.push(draft.clamp_on(anchor));
            draft.features.insert("a clamp on a shared rope");
        }
        let shape = shape(draft, 2);
        let path = reeved(draft, path, (anchor, &load), shape, None);
        draft.rope("twin", path);
    }
    draft.only_lowers = draft.chance(0.5);
    draft.features.insert("two ropes that share the load");
}

/// A rope that stands by, over a redirect or none.
fn belay(draft: &mut Draft) {
    let load = draft.load();
    let mut path = vec![json!({"meets": "hand"})];
    let anchors = draft.anchors();
    let ground = if draft.chance(0.6) {
        draft.body_first("anchor")
    } else {
        draft.one_of(&anchors)
    };
    if draft.chance(0.8) {
        path.push(draft.clamp_on(&ground));
        draft.features.insert("a belay on a device");
    } else {
        let wrap = draft.number(180.0, 720.0);
        path.push(draft.post_on(&ground, wrap));
        draft.features.insert("a belay in the hand");
    }
    for _ in 0..draft.count(0, 2) {
        let over = draft.one_of(&anchors);
        path.push(bent(draft, &over));
        draft.features.insert("a belay over a redirect");
    }
    path.push(json!({"meets": "end", "body": load, "knot": "figure-eight"}));
    draft.rope("belay", path);
}
