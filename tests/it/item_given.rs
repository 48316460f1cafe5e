//! What a story about the register begins with: stores, models and items, all added through their doors.

use axum::http::StatusCode;
use ropeloft::domain::{Change, Holder, Qualification, QualificationId};
use time::macros::date;
use uuid::Uuid;

use crate::{client::Client, world::World};

/// Fields of a form.
pub type Fields<'a> = Vec<(&'a str, &'a str)>;

/// A rope of an invented maker with everything that a job asks for.
pub const ROPE: [(&str, &str); 13] = [
    ("kind", "rope"),
    ("maker", "Tarn & Fell"),
    ("name", "Line 11"),
    ("life_support", "yes"),
    ("ratings[0][mode]", "straight"),
    ("ratings[0][value]", "7000 lbf"),
    ("ratings[0][kind]", "breaking"),
    ("ratings[0][source]", "paper"),
    ("approvals[0][standard]", "EN 1891"),
    ("approvals[0][class]", "A"),
    ("attributes[diameter]", "11 mm"),
    ("attributes[rope-kind]", "low-stretch"),
    ("life_years_from_made", "10"),
];

/// `fields` with those of `other` in place of the ones with the same name.
pub fn with<'a>(fields: &[(&'a str, &'a str)], other: &[(&'a str, &'a str)]) -> Fields<'a> {
    let mut all: Fields = fields.to_vec();
    for (name, text) in other {
        match all.iter_mut().find(|(known, _)| known == name) {
            Some(field) => field.1 = text,
            None => all.push((name, text)),
        }
    }
    all
}

/// Adds a record through the door of its list and gives its id.
async fn add(client: &Client, list: &str, fields: &[(&str, &str)]) -> String {
    let id = Uuid::now_v7().to_string();
    let answer = client.post(&format!("{list}?id={id}"), fields).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    id
}

/// Adds a store.
pub async fn store(client: &Client, name: &str) -> String {
    add(client, "/stores", &[("name", name)]).await
}

/// Adds a model.
pub async fn model(client: &Client, fields: &[(&str, &str)]) -> String {
    add(client, "/models", fields).await
}

/// Adds an item.
pub async fn item(client: &Client, fields: &[(&str, &str)]) -> String {
    add(client, "/items", fields).await
}

/// An officer at work, with one rope in one store.
pub struct Given {
    pub officer: Client,
    pub store: String,
    pub model: String,
    pub item: String,
}

/// One rope in one store: in service, and not yet examined.
pub async fn one_rope(world: &World) -> Given {
    world.hold_competent().await;
    let officer = world.visitor(&world.officer).await;
    let store = store(&officer, "Bay 1").await;
    let model = model(&officer, &ROPE).await;
    let fields = rope_fields(&model, &store);
    let item = item(&officer, &fields).await;
    Given {
        officer,
        store,
        model,
        item,
    }
}

/// The fields of a rope.
pub fn rope_fields<'a>(model: &'a str, store: &'a str) -> Fields<'a> {
    vec![
        ("mark", "RL-0042"),
        ("model", model),
        ("store", store),
        ("serial", "S-77<1>"),
        ("lot", "L9"),
        ("made", "2021"),
        ("bought_on", "2021-06-01"),
        ("first_used_on", "2021-07-01"),
        ("markings_readable", "yes"),
        ("attributes[length]", "60 m"),
        ("note", "kept with the blue bag"),
    ]
}

/// Records an examination of an item, by the list: what `fields` do not answer passes.
pub async fn examine(client: &Client, item: &str, fields: &[(&str, &str)]) {
    let fields = with(&[("rest", "pass")], fields);
    let answer = client
        .post(&format!("/items/{item}/examinations"), &fields)
        .await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
}

/// Somebody from outside whom the team of every story holds competent.
pub const OUTSIDE: &str = "A. Brook & Co";

impl World {
    /// Holds whoever keeps the register, and [`OUTSIDE`], competent to examine everything, since long ago.
    pub async fn hold_competent(&self) {
        let outside = Holder::Outside {
            name: OUTSIDE.into(),
            body: "Brook Inspection".into(),
        };
        let people = [&self.officer, &self.admin].map(|actor| Holder::Person(actor.person));
        for holder in people.into_iter().chain([outside]) {
            let one = Qualification {
                id: QualificationId::new(),
                holder,
                kinds: Vec::new(),
                from: date!(2000 - 01 - 01),
                until: None,
                evidence: "a course".into(),
                address: String::new(),
                ended: None,
            };
            self.record(Change::QualificationRecorded(one)).await;
        }
    }

    /// How many entries the team's ledger has: nothing was stored if it did not grow.
    pub async fn entries(&self) -> u64 {
        let mut tx = self.database.read(self.team).await.unwrap();
        tx.head().await.unwrap().unwrap().size
    }
}
