//! What random rigs hang from or stand on: chains, bridles, lines and tripods.

use serde_json::{Value, json};

use crate::rigging_draft::Draft;

/// What anchors, and pulleys on them, hang from or stand on.
pub fn hang(draft: &mut Draft) {
    for anchor in draft.anchors() {
        if draft.is_pulled(&anchor) && draft.chance(0.7) {
            let on = json!({"carries_body": anchor});
            held_by(draft, on);
        }
    }
    for item in draft.items_on_anchors() {
        if draft.chance(0.3) {
            let on = json!({"carries_position": item});
            held_by(draft, on);
        }
    }
    let load = draft.load();
    let row = row(draft);
    draft.list("chain", json!({"carries_body": load, "positions": row}));
}

/// Links in a row.
fn row(draft: &mut Draft) -> Vec<String> {
    (0..draft.count(1, 2))
        .map(|_| draft.position("connector", None))
        .collect()
}

fn held_by(draft: &mut Draft, mut on: Value) {
    match draft.count(0, 6) {
        0..=2 => {
            on["positions"] = json!(row(draft));
            draft.list("chain", on);
        }
        3 | 4 => {
            let count = draft.one_of(&[2, 2, 3, 4]);
            let legs: Vec<Value> = (0..count)
                .map(|_| json!({"off_degrees": draft.number(5.0, 84.0), "positions": row(draft)}))
                .collect();
            on["leg"] = json!(legs);
            draft.list("bridle", on);
            draft.features.insert(
                [
                    "",
                    "",
                    "a bridle of two legs",
                    "a bridle of three legs",
                    "a bridle of four legs",
                ][count],
            );
        }
        5 => {
            let span = draft.number(5.0, 60.0);
            let sag = span * draft.number(0.006, 0.3);
            on["span_metres"] = json!(span);
            on["sag_metres"] = json!(sag);
            on["first"] = json!(row(draft));
            on["second"] = json!(row(draft));
            if draft.chance(0.5) {
                on["from_first_metres"] = json!(draft.number(sag, span - sag));
            }
            draft.list("line", on);
            draft.features.insert("a line across a span");
        }
        _ => {
            let tripod = draft.position("tripod", None);
            on["positions"] = json!([tripod]);
            draft.list("chain", on);
            let leg = draft.number(5.0, 45.0);
            draft.list("tripod", json!({"position": tripod, "leg_degrees": leg}));
            draft.features.insert("a tripod");
        }
    }
}
