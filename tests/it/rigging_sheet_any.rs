//! Any sheet and any rig: what is written is read again, and whatever it says it is answered.

use proptest::prelude::*;
use ropeloft::rigging::{
    Angle, BodyKind, BodySheet, BridleSheet, ChainSheet, Duty, ElementSheet, ITEM_KINDS, LegSheet,
    Length, LineSheet, LoadingMode, PositionSheet, Rig, RopeSheet, Sheet, TripodSheet, shipped,
};

use crate::{
    rigging_kit::tackle,
    rigging_sheet::{ON_A_LINE, comes_back},
};

fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        "[a-z]{1,9}",
        "\\PC{1,40}",
        Just("\"'\\ = [x] # ü".to_owned())
    ]
}

fn key() -> impl Strategy<Value = String> {
    "[a-z0-9-]{1,12}"
}

/// A number with so many decimals as people write; JSON gives those back to the last digit.
fn thousandths(most: u32) -> impl Strategy<Value = f64> {
    (0..most * 1000).prop_map(|number| f64::from(number) / 1000.0)
}

fn angle(most: u32) -> impl Strategy<Value = Angle> {
    thousandths(most).prop_map(|degrees| Angle::from_degrees(degrees).unwrap())
}

fn length() -> impl Strategy<Value = Length> {
    thousandths(500).prop_map(|metres| Length::from_metres(metres).unwrap())
}

fn keys() -> impl Strategy<Value = Vec<String>> {
    prop::collection::vec(key(), 0..4)
}

fn maybe<T: std::fmt::Debug>(some: impl Strategy<Value = T>) -> impl Strategy<Value = Option<T>> {
    prop::option::of(some)
}

fn element() -> impl Strategy<Value = ElementSheet> {
    prop_oneof![
        Just(ElementSheet::Hand {}),
        (key(), maybe(any::<u8>()), maybe(angle(180)), any::<bool>()).prop_map(
            |(position, sheave, between_degrees, capture)| {
                ElementSheet::Sheave {
                    position,
                    sheave,
                    between_degrees,
                    capture,
                }
            }
        ),
        (key(), angle(3600), any::<bool>()).prop_map(|(position, wrap_degrees, off)| {
            ElementSheet::Post {
                position,
                wrap_degrees,
                off_in_hauling: off,
            }
        }),
        key().prop_map(|position| ElementSheet::Capture { position }),
        key().prop_map(|position| ElementSheet::Grab { position }),
        (maybe(key()), maybe(key()), any::<bool>(), text()).prop_map(
            |(position, body, becket, knot)| ElementSheet::End {
                position,
                body,
                becket,
                knot,
            }
        ),
    ]
}

fn bodies() -> impl Strategy<Value = Vec<BodySheet>> {
    let kinds = vec![BodyKind::Anchor, BodyKind::Load, BodyKind::Travelling];
    let body = (
        key(),
        text(),
        prop::sample::select(kinds),
        maybe(angle(360)),
    );
    let body = body.prop_map(|(key, title, kind, line_degrees)| BodySheet {
        key,
        title,
        kind,
        line_degrees,
    });
    prop::collection::vec(body, 0..4)
}

fn positions() -> impl Strategy<Value = Vec<PositionSheet>> {
    let kinds = prop::sample::subsequence(ITEM_KINDS.to_vec(), 0..3);
    let loaded = prop::sample::select(LoadingMode::ALL.to_vec());
    let position = (key(), text(), kinds, loaded, maybe(key()), any::<bool>());
    let position = position.prop_map(
        |(key, title, kinds, loaded, body, optional)| PositionSheet {
            key,
            title,
            accepts: kinds.into_iter().map(str::to_owned).collect(),
            loaded,
            body,
            optional,
        },
    );
    prop::collection::vec(position, 0..5)
}

fn ropes() -> impl Strategy<Value = Vec<RopeSheet>> {
    let duty = prop::sample::select(vec![Duty::Main, Duty::Belay, Duty::Twin]);
    let rope = (key(), duty, prop::collection::vec(element(), 0..6));
    let rope = rope.prop_map(|(position, duty, path)| RopeSheet {
        position,
        duty,
        path,
    });
    prop::collection::vec(rope, 0..3)
}

fn legs() -> impl Strategy<Value = (Vec<BridleSheet>, Vec<LineSheet>, Vec<TripodSheet>)> {
    let leg = (angle(89), keys()).prop_map(|(off_degrees, positions)| LegSheet {
        off_degrees,
        positions,
    });
    let bridle = (maybe(key()), maybe(key()), prop::collection::vec(leg, 0..4));
    let bridle = bridle.prop_map(|(carries_body, carries_position, legs)| BridleSheet {
        carries_body,
        carries_position,
        legs,
    });
    let line = (
        maybe(key()),
        length(),
        length(),
        maybe(length()),
        keys(),
        keys(),
    );
    let line = line.prop_map(|(body, span, sag, from_first, first, second)| LineSheet {
        carries_body: body,
        carries_position: None,
        span_metres: span,
        sag_metres: sag,
        from_first_metres: from_first,
        first,
        second,
    });
    let tripod = (key(), angle(60)).prop_map(|(position, leg_degrees)| TripodSheet {
        position,
        leg_degrees,
    });
    (
        prop::collection::vec(bridle, 0..3),
        prop::collection::vec(line, 0..3),
        prop::collection::vec(tripod, 0..3),
    )
}

/// Any sheet at all, most of them of no rig.
pub fn any_sheet() -> impl Strategy<Value = Sheet> {
    let chain = (maybe(key()), maybe(key()), keys());
    let chain = chain.prop_map(|(carries_body, carries_position, positions)| ChainSheet {
        carries_body,
        carries_position,
        positions,
    });
    let whole = (
        key(),
        text(),
        text(),
        prop::collection::vec(text(), 0..3),
        any::<bool>(),
    );
    let lists = (
        bodies(),
        positions(),
        ropes(),
        prop::collection::vec(chain, 0..3),
        legs(),
    );
    (whole, lists).prop_map(
        |(
            (key, title, when, limits, only_lowers),
            (bodies, positions, ropes, chains, (bridles, lines, tripods)),
        )| Sheet {
            key,
            title,
            when,
            limits,
            only_lowers,
            bodies,
            positions,
            ropes,
            chains,
            bridles,
            lines,
            tripods,
        },
    )
}

/// A rig that comes with the program, or a tackle, or the one on a line, with other words and angles.
fn any_rig() -> impl Strategy<Value = Rig> {
    let mut sheets: Vec<Sheet> = shipped().iter().map(Rig::sheet).collect();
    sheets.push(Rig::parse(ON_A_LINE).unwrap().sheet());
    sheets.extend((2..8).map(|strands| Rig::parse(&tackle(strands, true)).unwrap().sheet()));
    let changes = (
        key(),
        text(),
        text(),
        angle(170),
        thousandths(40),
        thousandths(9),
    );
    (prop::sample::select(sheets), changes).prop_filter_map(
        "most changes leave a rig",
        |(mut sheet, (key, title, when, between, off, sag))| {
            sheet.key = key;
            sheet.title.clone_from(&title);
            sheet.limits.push(when.clone());
            sheet.when = when;
            sheet.positions[0].title = title;
            if let Some(ElementSheet::Sheave {
                between_degrees, ..
            }) = sheet.ropes[0].path.get_mut(1)
            {
                *between_degrees = Some(between);
            }
            for leg in sheet.bridles.iter_mut().flat_map(|bridle| &mut bridle.legs) {
                leg.off_degrees = Angle::from_degrees(off).unwrap();
            }
            for line in &mut sheet.lines {
                line.sag_metres = Length::from_metres(sag).unwrap();
            }
            Rig::from_sheet(sheet).ok()
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn a_rig_is_read_again_as_it_is_written(rig in any_rig()) {
        comes_back(&rig);
    }

    #[test]
    fn a_sheet_is_read_again_as_it_is_written(sheet in any_sheet()) {
        let text = sheet.to_toml();
        let again: Sheet = toml::from_str(&text).unwrap();
        prop_assert_eq!(&again, &sheet, "{}", text);
        let json = serde_json::to_string(&sheet).unwrap();
        let again: Sheet = serde_json::from_str(&json).unwrap();
        prop_assert_eq!(&again, &sheet, "{}", json);
        // Whatever it says, it is answered and not fallen over.
        let checked = Rig::from_sheet(sheet);
        prop_assert!(checked.is_ok() || checked.is_err_and(|faults| faults.iter().count() > 0));
    }

    #[test]
    fn any_text_is_answered(text in "\\PC{0,200}") {
        prop_assert!(Rig::from_toml(&text).is_err());
    }
}
