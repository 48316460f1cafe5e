//! What single positions of the shipped rigs ask of a model, beyond what every job asks.

use std::collections::BTreeMap;

use super::KitGap;
use crate::domain::{Kind, Model};
use crate::rigging::{LoadingMode, shipped};

/// What the record of a model does not say and some position of a shipped rig asks, each told with the rigs.
pub fn gaps_somewhere(model: &Model) -> Vec<KitGap> {
    let mut asked: BTreeMap<&'static str, Vec<&str>> = BTreeMap::new();
    for rig in shipped() {
        for place in rig.positions() {
            let accepts = |word: &String| Kind::from_word(word) == Some(model.kind);
            if !place.accepts().iter().any(accepts) {
                continue;
            }
            let parts = [
                ("becket-unknown", place.needs_becket()),
                ("capture-unknown", place.needs_capture()),
            ];
            let parts = parts.into_iter().filter(|(_, needed)| *needed);
            let modes = rig.modes(place.key()).into_iter().filter_map(code_of);
            for code in parts.map(|(code, _)| code).chain(modes) {
                let rigs = asked.entry(code).or_default();
                if rigs.last() != Some(&rig.title()) {
                    rigs.push(rig.title());
                }
            }
        }
    }
    let open = asked.into_iter().filter(|(code, _)| is_open(code, model));
    open.map(|(code, rigs)| KitGap {
        code,
        position: None,
        lacks: String::new(),
        sentence: format!("{}, and {} for it.", lack(code), ask(&rigs)),
    })
    .collect()
}

/// The ways of loading that are not the usual one of what hangs in them.
fn code_of(mode: LoadingMode) -> Option<&'static str> {
    match mode {
        LoadingMode::Basket => Some("basket-unknown"),
        LoadingMode::Becket => Some("becket-strength"),
        _ => None,
    }
}

fn is_open(code: &str, model: &Model) -> bool {
    let unknown = |key| model.kind == Kind::Pulley && model.attributes.yes_no(key).is_none();
    let unrated = |mode| {
        let mut ratings = model.ratings.iter();
        model.kind.modes().contains(&mode) && !ratings.any(|rating| rating.mode == mode)
    };
    match code {
        "becket-unknown" => unknown("becket"),
        "capture-unknown" => unknown("capture"),
        "basket-unknown" => unrated(LoadingMode::Basket),
        _ => model.attributes.yes_no("becket") == Some(true) && unrated(LoadingMode::Becket),
    }
}

fn lack(code: &str) -> &'static str {
    match code {
        "becket-unknown" => "Whether it has a becket is not known",
        "capture-unknown" => "Whether it captures the progress of the rope is not known",
        "basket-unknown" => "How much it holds in a basket is not known",
        _ => "How much its becket holds is not known",
    }
}

fn ask(rigs: &[&str]) -> String {
    match rigs {
        [one] => format!("the rig \"{one}\" asks"),
        [one, rest @ ..] if rest.len() == 1 => {
            format!("the rigs \"{one}\" and \"{}\" ask", rest[0])
        }
        [one, rest @ ..] => format!("the rig \"{one}\" and {} others ask", rest.len()),
        [] => "some rig asks".to_owned(),
    }
}
