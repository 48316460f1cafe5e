//! The gear that clients write about: of invented makers, and strong enough for the 4:1 that every job rigs.

use serde_json::{Value, json};
use time::OffsetDateTime;
use uuid::Uuid;

use super::{Failure, House, client::Client};
use crate::domain::date::write_day;

/// What a kit has at each position of the rig.
const POSITIONS: [&str; 6] = [
    "rope",
    "head",
    "foot",
    "anchor",
    "head-connector",
    "load-connector",
];
/// The rig of every job.
pub(super) const RIG: &str = "four-to-one-pull-down";

/// A store and a model for each position.
pub(super) struct Gear {
    store: Uuid,
    models: Vec<Uuid>,
}

/// An item of a kit, and where it goes.
#[derive(Clone, Copy)]
pub(super) struct Placed {
    pub(super) item: Uuid,
    pub(super) position: &'static str,
}

impl Gear {
    /// Adds store and models, and holds the administrator competent to examine.
    pub(super) async fn bring(client: &mut Client, house: &House) -> Result<Self, Failure> {
        let competent = json!({
            "person": house.admin.to_string(), "from": "2020-01-01", "evidence": "made up for the ordeal",
        });
        client.make("/api/v1/qualifications", &competent).await?;
        let store = Uuid::now_v7();
        let path = format!("/api/v1/stores?id={store}");
        client.make(&path, &json!({"name": "Bay"})).await?;
        let mut models = Vec::new();
        for model in models_of_a_kit() {
            let id = Uuid::now_v7();
            let path = format!("/api/v1/models?id={id}");
            client.make(&path, &model).await?;
            models.push(id);
        }
        Ok(Self { store, models })
    }

    /// Adds a kit, every item of it examined and fit.
    pub(super) async fn kit(
        &self,
        client: &mut Client,
        name: &str,
        today: OffsetDateTime,
    ) -> Result<Vec<Placed>, Failure> {
        let mut kit = Vec::new();
        for (number, position) in POSITIONS.into_iter().enumerate() {
            let item = Uuid::now_v7();
            let draft = self.item(number, &format!("{name}-{position}"), today);
            client
                .make(&format!("/api/v1/items?id={item}"), &draft)
                .await?;
            let intake = json!({
                "kind": "intake", "on": write_day(today.date()), "verdict": "fit", "rest": "pass",
                "markings_readable": "yes",
            });
            let path = format!("/api/v1/items/{item}/examinations");
            client.make(&path, &intake).await?;
            kit.push(Placed { item, position });
        }
        Ok(kit)
    }

    /// An item for the position of this number, as typed in.
    pub(super) fn item(&self, number: usize, mark: &str, today: OffsetDateTime) -> Value {
        let number = number % self.models.len();
        let mut draft = json!({
            "model": self.models[number].to_string(), "store": self.store.to_string(), "mark": mark,
            "serial": format!("S-{mark}"), "lot": "L1", "made": (today.year() - 2).to_string(),
            "markings_readable": "yes",
        });
        if POSITIONS[number] == "rope" {
            draft["attributes"] = json!({"length": "80 m"});
        }
        draft
    }
}

/// The models, in the order of the positions.
fn models_of_a_kit() -> [Value; 6] {
    let pulley = |name: &str, approvals: Value, ratings: Value, more: Value| {
        let mut attributes = json!({
            "sheaves": "2", "efficiency": "0.92", "efficiency-low": "0.92", "efficiency-high": "0.92",
            "efficiency-source": "maker",
        });
        if let (Some(all), Some(more)) = (attributes.as_object_mut(), more.as_object()) {
            all.extend(more.clone());
        }
        model("pulley", name, approvals, ratings, attributes)
    };
    let for_rope = json!({"standard": "EN 12278", "rope_least": "8 mm", "rope_most": "13 mm"});
    let captures = json!({
        "standard": "EN 567", "rope_least": "8 mm", "rope_most": "13 mm", "rope_kinds": "low-stretch, dynamic",
    });
    let connector = |name: &str| {
        let ratings = json!([rated("major-axis", "22 kN"), rated("minor-axis", "8 kN")]);
        let approvals = json!([{"standard": "EN 362", "class": "B"}]);
        model("connector", name, approvals, ratings, json!({}))
    };
    [
        model(
            "rope",
            "Line 11",
            json!([{"standard": "EN 1891", "class": "A"}]),
            json!([rated("straight", "30 kN")]),
            json!({"diameter": "11 mm", "rope-kind": "low-stretch", "fibre": "polyamide"}),
        ),
        pulley(
            "Twin with cam",
            json!([for_rope, captures]),
            json!([rated("axle", "36 kN"), rated("becket", "12 kN")]),
            json!({"capture": "yes", "one-way-sheave": "no", "becket": "yes"}),
        ),
        pulley(
            "Twin",
            json!([for_rope]),
            json!([rated("axle", "22 kN")]),
            json!({}),
        ),
        model(
            "tripod",
            "Tripod 3",
            json!([{"standard": "EN 795", "class": "B"}]),
            json!([rated("body", "22 kN")]),
            json!({}),
        ),
        connector("Bow 22 upper"),
        connector("Bow 22 lower"),
    ]
}

fn rated(mode: &str, value: &str) -> Value {
    json!({"mode": mode, "value": value, "kind": "breaking", "source": "marking"})
}

fn model(kind: &str, name: &str, approvals: Value, ratings: Value, attributes: Value) -> Value {
    json!({
        "kind": kind, "maker": "Fjordwerk", "name": name, "life_support": "yes", "approvals": approvals,
        "ratings": ratings, "attributes": attributes, "life_years_from_made": "10",
    })
}
