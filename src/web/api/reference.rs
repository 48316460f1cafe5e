//! The kinds of gear, for programs.

use axum::Json;
use serde::Serialize;
use utoipa::ToSchema;

use crate::{
    domain::{Kind, Takes, Where, key_of},
    web::Signed,
};

/// A kind of gear and what is written down about it.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct KindJson {
    key: &'static str,
    word: &'static str,
    /// The ways of loading in which it may be rated.
    modes: Vec<String>,
    attributes: Vec<AttributeJson>,
}

/// One thing that is written down about a kind.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct AttributeJson {
    key: &'static str,
    label: &'static str,
    /// model or item: whether all items of a model share it.
    on: &'static str,
    /// length, mass, force, count, number, share, yes-no, choice or text.
    takes: &'static str,
    /// The words of a choice.
    choices: &'static [&'static str],
}

fn takes(takes: Takes) -> (&'static str, &'static [&'static str]) {
    match takes {
        Takes::Length => ("length", &[]),
        Takes::Mass => ("mass", &[]),
        Takes::Force => ("force", &[]),
        Takes::Count => ("count", &[]),
        Takes::Number => ("number", &[]),
        Takes::Share => ("share", &[]),
        Takes::YesNo => ("yes-no", &[]),
        Takes::Choice(words) => ("choice", words),
        Takes::Text => ("text", &[]),
    }
}

impl From<Kind> for KindJson {
    fn from(kind: Kind) -> Self {
        let attributes = kind.attributes().iter().map(|attribute| {
            let (takes, choices) = takes(attribute.takes);
            AttributeJson {
                key: attribute.key,
                label: attribute.label,
                on: if attribute.on == Where::Model {
                    "model"
                } else {
                    "item"
                },
                takes,
                choices,
            }
        });
        Self {
            key: kind.key(),
            word: kind.word(),
            modes: kind.modes().iter().map(key_of).collect(),
            attributes: attributes.collect(),
        }
    }
}

/// Every kind of gear.
#[derive(Serialize, ToSchema)]
pub(in crate::web) struct KindsJson {
    kinds: Vec<KindJson>,
}

/// Kinds of gear and their attributes
#[utoipa::path(get, path = "/api/v1/kinds", tag = "reference", responses((status = 200, body = KindsJson)))]
pub(in crate::web) async fn api_kinds(_: Signed) -> Json<KindsJson> {
    Json(KindsJson {
        kinds: Kind::ALL.iter().copied().map(KindJson::from).collect(),
    })
}
