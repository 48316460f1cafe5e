//! Bags: what is in one and whether all of it is fit, the form of its list, and looking through it.

mod check;
mod form;
mod show;

pub use check::CheckForm;
pub use form::BagForm;
pub use show::{Allowed, PlaceSheet};

use crate::domain::{InPlace, Store};

/// The name of a place, with the store that it lies in: "Bag 3 (in Van)".
fn name_of(place: &InPlace) -> String {
    let name = &place.store.name;
    match around(place) {
        Some(store) => format!("{name} (in {})", store.name),
        None => name.clone(),
    }
}

/// The store that a bag lies in.
fn around(place: &InPlace) -> Option<&Store> {
    let within = place.bag.as_ref()?.within?;
    place.stores.iter().find(|store| store.id == within)
}

/// A bag with an item in it that speaks against itself, to test with.
fn sample() -> InPlace {
    use super::gear;
    use crate::domain::{
        Bag, BagCheck, BagCheckId, BagPart, Belonging, Contents, Inside, Kind, Packed, StoreId,
    };
    let (item, model, store) = (gear::item(), gear::model(), gear::store());
    let parts = vec![
        BagPart {
            what: Belonging::Kind(Kind::Rope),
            count: 2,
        },
        BagPart {
            what: Belonging::Model(model.id),
            count: 1,
        },
    ];
    let packed = Packed {
        item: item.id,
        model: model.id,
        kind: model.kind,
    };
    InPlace {
        bag: Some(Bag {
            store: store.id,
            revision: 2,
            within: Some(StoreId::new()),
            parts: parts.clone(),
        }),
        words: vec!["rope".to_owned(), super::PROBE.to_owned()],
        stores: vec![store.clone()],
        bags: Vec::new(),
        contents: Contents::of(&parts, &[packed]),
        checked: Some(BagCheck {
            id: BagCheckId::new(),
            store: store.id,
            name: super::PROBE.to_owned(),
            on: gear::TODAY,
            present: vec![item.id],
            missing: vec![item.id],
            others: vec![item.id],
            lacking: Some(1),
            note: super::PROBE.to_owned(),
        }),
        elsewhere: vec![item.clone()],
        items: vec![Inside {
            item,
            model,
            refusals: vec![refusal()],
            with_crew: Some(super::issue::sample_out()),
        }],
        more: true,
        rulebook: super::PROBE.to_owned(),
        store,
    }
}

fn refusal() -> crate::domain::Refusal {
    use crate::domain::{Cited, Known, Refusal, RefusalCode};
    Refusal {
        code: RefusalCode::Overdue,
        sentence: super::PROBE.to_owned(),
        rule: Cited::new(super::PROBE, Known::Setting),
        evidence: super::PROBE.to_owned(),
        who: None,
        mend: None,
        lacks: None,
        fact: None,
        short: crate::domain::Shortfall::default(),
    }
}
