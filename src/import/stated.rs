//! What the words of a name or a description state: "Double pulley", "Low stretch rope 11 mm".
//!
//! Common practice, no source: only words that mean one thing in the trade are in the list. "Static" is
//! not: some call a low-stretch rope so, others do not.

use super::field::Field;
use super::locking_said;
use super::negation::{self, Said as Word};
use super::number;
use super::rope_length;
use super::rope_said::{self, Said};
use super::rope_words;
use super::synonym::{each, plain_words};
use crate::domain::entered::LengthUnit;
use crate::domain::{Kind, Material};

/// What the words state of a kind of gear, each value once and as the register's own forms write it.
///
/// Words that say two things of one attribute say none of it.
pub(super) fn stated(kind: Kind, text: &str) -> Vec<(Field, String)> {
    let words = format!(" {} ", plain_words(text));
    let mut found: Vec<(Field, String)> = Vec::new();
    let mut put = |field: Field, value: String| {
        if !found.contains(&(field, value.clone())) {
            found.push((field, value));
        }
    };
    for (kinds, key, value, written) in PHRASES {
        if !kinds.contains(&kind) || kind.attribute(key).is_none() {
            continue;
        }
        for said in each(written).flat_map(|phrase| negation::said(&words, phrase)) {
            match said {
                Word::So { .. } | Word::Not if *value == "yes" => {
                    let value = if said == Word::Not { "no" } else { "yes" };
                    put(Field::Attribute(key), value.to_owned());
                }
                Word::So { before }
                    if *key != "sheaves" || !each(NO_SHEAVES).any(|one| one == before) =>
                {
                    put(Field::Attribute(key), (*value).to_owned());
                }
                _ => {}
            }
        }
    }
    if kind == Kind::Connector {
        for locking in locking_said::behind_name(text) {
            put(Field::Attribute("locking"), locking.to_owned());
        }
    }
    for material in materials(text) {
        put(Field::Material, material.key().to_owned());
    }
    if kind.attribute("diameter").is_some() {
        for diameter in diameters(text) {
            put(Field::Attribute("diameter"), diameter);
        }
    }
    if let Some(length) = rope_length::stated(kind, text) {
        put(Field::Attribute("length"), length);
    }
    for (end, value) in rope_said::fields(ropes(kind, text)) {
        put(end, value);
    }
    let twice = |field: Field| found.iter().filter(|(one, _)| *one == field).count() > 1;
    let usual = (Field::Material, kind.material().key().to_owned());
    let is_told = |one: &&(Field, String)| kind.is_of_several_materials() || **one != usual;
    let clear = found.iter().filter(is_told).filter(|one| !twice(one.0));
    clear.cloned().collect()
}

/// The materials that words name, or that are plain from what they name: a strap is of textile, a clamp of metal.
pub(super) fn materials(text: &str) -> impl Iterator<Item = Material> {
    let words = format!(" {} ", plain_words(text));
    let named = move |list: &str| each(list).any(|phrase| words.contains(&format!(" {phrase} ")));
    let all = MATERIALS.into_iter();
    all.filter_map(move |(material, written)| named(written).then_some(material))
}

/// The thinnest and the thickest rope that a text says a device takes; one of them alone where it says no more.
pub(super) fn ropes(kind: Kind, text: &str) -> Option<Said> {
    rope_words::takes_rope(kind)
        .then(|| rope_words::range(text))
        .flatten()
}

/// The numbers of a text that name a unit of thickness.
pub(super) fn diameters(text: &str) -> Vec<String> {
    let found = number::with_words(text).filter_map(|(written, word)| {
        let value = written.value(None, None).ok()?;
        // "11 in service" names no inch: no rope is so thick.
        let unit = LengthUnit::from_symbol(word).filter(|unit| match unit {
            LengthUnit::Millimetre => true,
            LengthUnit::Inch => value <= 2.0,
            _ => false,
        })?;
        Some(format!("{value} {}", unit.symbol()))
    });
    found.collect()
}

/// Words of which "double" and its like may speak in front of them, other than sheaves.
const NO_SHEAVES: &str = "bearing, bearings, ball, needle, action, rated, ended, end, person, man, rope, ropes, lock, \
     locking, speed, stage, sided, wall, use, sealed, shielded";

type Phrase = (&'static [Kind], &'static str, &'static str, &'static str);

const PHRASES: &[Phrase] = &[
    (
        &[Kind::Pulley],
        "sheaves",
        "1",
        "single, one sheave, 1 sheave, one wheel, 1 wheel, einfachrolle, einfach, poulie simple",
    ),
    (
        &[Kind::Pulley],
        "sheaves",
        "2",
        "double, twin, dual, two sheave, two sheaves, 2 sheave, 2 sheaves, two wheel, 2 wheel, doppelrolle, \
         doppelseilrolle, doppelumlenkrolle, zweifachrolle, zweifach",
    ),
    (
        &[Kind::Pulley],
        "sheaves",
        "3",
        "triple, three sheave, three sheaves, 3 sheave, 3 sheaves, three wheel, 3 wheel, dreifachrolle, dreifach",
    ),
    (
        &[Kind::Pulley],
        "sheaves",
        "4",
        "quad, quadruple, four sheave, four sheaves, 4 sheave, 4 sheaves, four wheel, 4 wheel, vierfachrolle, vierfach",
    ),
    (
        &[Kind::Pulley],
        "becket",
        "yes",
        "becket, beckets, beckett, hundsfott",
    ),
    (
        &[Kind::Pulley],
        "capture",
        "yes",
        "progress capture, progress capturing, captures progress, capture pulley, rope capture, rücklaufsperre, \
         poulie bloqueuse",
    ),
    (
        &[Kind::Pulley],
        "side-plates",
        "fixed",
        "fixed side plates, fixed side, fixed plates, fixed cheek, fixed cheeks",
    ),
    (
        &[Kind::Pulley],
        "side-plates",
        "swinging",
        "swinging side plates, swing side, swinging side, swing plate, swing plates, swing cheek, swing cheeks, \
         swingcheek, swinging cheek, swinging cheeks",
    ),
    (
        &[Kind::Pulley, Kind::Swivel],
        "bearing",
        "ball",
        "ball bearing, ball bearings",
    ),
    (
        &[Kind::Pulley],
        "bearing",
        "needle",
        "needle bearing, needle bearings",
    ),
    (
        &[Kind::Rope],
        "rope-kind",
        "low-stretch",
        "low stretch, lowstretch, semi static, semistatic",
    ),
    (&[Kind::Rope], "rope-kind", "dynamic", "dynamic"),
    (
        &[Kind::Rope],
        "construction",
        "kernmantle",
        "kernmantle, kernmantel",
    ),
    (
        &[Kind::Rope, Kind::Cord],
        "fibre",
        "polyamide",
        "polyamide, nylon",
    ),
    (&[Kind::Rope, Kind::Cord], "fibre", "polyester", "polyester"),
    (&[Kind::Rope, Kind::Cord], "fibre", "aramid", "aramid"),
    (
        &[Kind::Connector],
        "locking",
        "screw",
        "screw gate, screwgate, screw lock, screwlock, screw locking, screw sleeve",
    ),
    (
        &[Kind::Connector],
        "locking",
        "triple",
        "triple lock, triplelock, triple locking, triple action, tri lock, trilock, three way, 3 way",
    ),
    (
        &[Kind::Connector],
        "locking",
        "twist",
        "twist lock, twistlock, twist locking",
    ),
    (
        &[Kind::Connector],
        "locking",
        "none",
        "non locking, nonlocking, snap gate, snapgate, wire gate, wiregate, plain gate",
    ),
    (
        &[Kind::RopeClamp],
        "handed",
        "left",
        "left, left hand, left handed",
    ),
    (
        &[Kind::RopeClamp],
        "handed",
        "right",
        "right, right hand, right handed",
    ),
    (&[Kind::Sling], "made-how", "sewn", "sewn"),
    (&[Kind::Sling], "made-how", "knotted", "knotted, tied"),
    (
        &[Kind::Sling],
        "made-how",
        "wire",
        "wire, wire rope, steel cable",
    ),
    (&[Kind::Sling], "made-how", "chain", "chain"),
];

const MATERIALS: [(Material, &str); 2] = [
    (
        Material::Metal,
        "steel, stainless, aluminium, aluminum, alu, alloy, titanium, wire, chain, metal, bolt, clamp, roller, rollers, eyebolt",
    ),
    (
        Material::Textile,
        "textile, webbing, polyester, polyamide, nylon, aramid, tape, strap, straps, canvas, velcro, mat, sleeve",
    ),
];

/// What was read, as tests compare it: field and value of each.
#[cfg(test)]
pub(super) fn told(stated: impl IntoIterator<Item = (super::field::Field, String)>) -> Vec<String> {
    let stated = stated.into_iter();
    stated
        .map(|(field, value)| format!("{} {value}", field.key()))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_that_mean_one_thing_are_read() {
        for (kind, text, read) in [
            (Kind::Pulley, "Double pulley", &["attribute-sheaves 2"][..]),
            (
                Kind::Rope,
                "Low stretch rope 10,5mm x 60 m",
                &[
                    "attribute-rope-kind low-stretch",
                    "attribute-diameter 10.5 mm",
                    "attribute-length 60 m",
                ],
            ),
            (
                Kind::Rope,
                "Rope 7/16\" nylon",
                &["attribute-fibre polyamide", "attribute-diameter 0.4375 in"],
            ),
            (
                Kind::Connector,
                "Steel karabiner, Triple Lock",
                &["attribute-locking triple"],
            ),
            (
                Kind::Cord,
                "Cord 7mm 60m",
                &["attribute-diameter 7 mm", "attribute-length 60 m"],
            ),
            (Kind::Rope, "Rope, 200 ft", &["attribute-length 200 ft"]),
            (Kind::Connector, "Screwgate", &["attribute-locking screw"]),
            (
                Kind::Connector,
                "Karabiner alloy, pear, screw",
                &["attribute-locking screw"],
            ),
            (
                Kind::Connector,
                "Karabiner oval twist",
                &["attribute-locking twist"],
            ),
            (
                Kind::Connector,
                "Karabiner steel, 3-way",
                &["attribute-locking triple"],
            ),
            (
                Kind::AnchorDevice,
                "Webbing anchor strap",
                &["material textile"],
            ),
            (
                Kind::Sling,
                "Wire sling",
                &["attribute-made-how wire", "material metal"],
            ),
        ] {
            assert_eq!(told(stated(kind, text)), read, "{text}");
        }
    }

    #[test]
    fn a_pulleys_name_says_its_parts() {
        for (kind, text, read) in [
            (
                Kind::Pulley,
                "Double pulley with becket",
                &["attribute-sheaves 2", "attribute-becket yes"][..],
            ),
            (
                Kind::Pulley,
                "Releasable double pulley with progress capture",
                &["attribute-sheaves 2", "attribute-capture yes"],
            ),
            (
                Kind::Pulley,
                "Swing-cheek single pulley, no becket",
                &[
                    "attribute-sheaves 1",
                    "attribute-becket no",
                    "attribute-side-plates swinging",
                ],
            ),
            (
                Kind::Pulley,
                "Dreifachrolle mit Rücklaufsperre",
                &["attribute-sheaves 3", "attribute-capture yes"],
            ),
            (
                Kind::Pulley,
                "Double ball bearing pulley",
                &["attribute-bearing ball"],
            ),
        ] {
            assert_eq!(told(stated(kind, text)), read, "{text}");
        }
    }

    #[test]
    fn words_that_mean_nothing_or_two_things_are_not() {
        for (kind, text) in [
            (Kind::Pulley, "Single or double pulley"),
            (Kind::Pulley, "Pulley without capture or becket"),
            (Kind::Pulley, "Pulley with becket, or without becket"),
            (Kind::Connector, "Double action"),
            (Kind::Rope, "Static rope 11"),
            (Kind::Rope, "Rope 11 in service"),
            (Kind::Rope, "Rope 60 m, cut to 45 m"),
            (Kind::Rope, "Rope 2 x 60 m"),
            (Kind::Rope, "Rope 50-60 m"),
            (Kind::Rope, "Rope 48 ft 6 in"),
            (Kind::Sling, "Sling 2 m"),
            (Kind::Rope, "Rope 9 mm or 11 mm"),
            (Kind::Harness, "Double triple 11 mm"),
        ] {
            assert!(
                told(stated(kind, text)).is_empty(),
                "{text}: {:?}",
                told(stated(kind, text))
            );
        }
    }
}
