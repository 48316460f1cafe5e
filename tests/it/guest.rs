//! An outside auditor gets in by a link, on its days, reads everything and changes nothing.

use axum::http::{Method, StatusCode, header};
use ropeloft::{
    domain::{Change, Deed, GuestLinkId, Person, Role},
    web::{Access, table},
};
use serde_json::{Value, json};
use time::Duration;

use crate::{
    client::{Answer, Client},
    history::eventful,
    issue::under,
    name_removal::where_it_stands,
    paper_reader::{flat, text_of},
    store_rebuild::again,
    world::World,
};

pub const NAME: &str = "Ada Brook";

/// A link for [`NAME`] from today until the ninth, made by a program: what it says, and the path that opens it.
pub async fn link(world: &World) -> (Value, String) {
    let made = make(world, &draft()).await;
    assert_eq!(made.status, StatusCode::CREATED, "{}", made.text);
    let link = made.json();
    let address = link["address"].as_str().unwrap().to_owned();
    (link["record"].clone(), address)
}

fn draft() -> Value {
    json!({"name": NAME, "organisation": "Lowland Surveys", "reason": "Yearly audit", "until": "2026-03-09"})
}

async fn make(world: &World, draft: &Value) -> Answer {
    let admin = world.visitor(&world.admin).await;
    admin.json(Method::POST, "/api/v1/guest-links", draft).await
}

/// Somebody who opened a link.
pub async fn sitting(world: &World, address: &str) -> Client {
    let opened = world.stranger().post(address, &[]).await;
    assert_eq!(opened.status, StatusCode::SEE_OTHER, "{}", opened.text);
    let cookie = opened.header(header::SET_COOKIE);
    assert!(
        cookie.contains("HttpOnly") && cookie.contains("SameSite=Lax"),
        "{cookie}"
    );
    let mut guest = world.stranger();
    guest.cookie = cookie.split(';').next().map(str::to_owned);
    guest
}

pub async fn withdraw(world: &World, link: &Value, reason: &str) -> Answer {
    let admin = world.visitor(&world.admin).await;
    let path = format!(
        "/api/v1/guest-links/{}/withdraw",
        link["id"].as_str().unwrap()
    );
    admin
        .json(Method::POST, &path, &json!({ "reason": reason }))
        .await
}

/// The lines of a bundle.
pub fn lines(bytes: &[u8]) -> Vec<Value> {
    let lines = std::str::from_utf8(bytes).unwrap().lines();
    lines
        .map(|line| serde_json::from_str(line).unwrap())
        .collect()
}

/// An address of the table with an id of nothing in the place of each variable part.
fn address(path: &str) -> String {
    let parts = path.split('/').map(|part| {
        if part.starts_with('{') {
            uuid::Uuid::nil().to_string()
        } else {
            part.to_owned()
        }
    });
    parts.collect::<Vec<_>>().join("/")
}

on_both_databases! {
    async fn whoever_has_the_address_gets_in_by_a_press_and_nobody_else(world) {
        let admin = world.visitor(&world.admin).await;
        let fields = [("name", NAME), ("organisation", "Lowland Surveys"), ("reason", "Yearly audit"), ("from", ""), ("until", "2026-03-09")];
        let made = admin.post("/guests", &fields).await;
        assert_eq!(made.status, StatusCode::OK, "{}", made.text);
        assert_eq!(made.header(header::CACHE_CONTROL), "no-store");
        let secret = made.text.split("/guest/").nth(1).unwrap()[..64].to_owned();
        assert_eq!(where_it_stands(&world, &secret).await, Vec::<String>::new());
        let list = admin.get("/guests").await;
        assert!(list.text.contains("Ada Brook of Lowland Surveys") && !list.text.contains(&secret), "{}", list.text);

        let path = format!("/guest/{secret}");
        let stranger = world.stranger();
        let seen = stranger.get(&path).await;
        assert_eq!(seen.status, StatusCode::OK);
        for words in ["North shaft team", "Ada Brook of Lowland Surveys", "2026-03-09", "is noted", "Open the record"] {
            assert!(seen.text.contains(words), "{words}: {}", seen.text);
        }
        assert_eq!(seen.header(header::SET_COOKIE), "", "looking opens nothing");
        let wrong = stranger.get(&format!("/guest/{}", "0".repeat(64))).await;
        assert_eq!(wrong.status, StatusCode::NOT_FOUND);
        assert!(wrong.text.contains("There is no such page."), "{}", wrong.text);

        let guest = sitting(&world, &path).await;
        let start = guest.get("/").await;
        assert_eq!(start.status, StatusCode::OK);
        assert!(start.text.contains("you read this record as an outside auditor"), "{}", start.text);
        assert!(!start.text.contains("name=\"person\"") && !start.text.contains("/settings"), "{}", start.text);
        assert_eq!(guest.get("/api/v1/me").await.json()["role"], "auditor");
        let people = admin.get("/api/v1/people").await;
        assert!(!people.text.contains(NAME), "{}", people.text);
        let history = guest.get("/history").await;
        assert!(history.text.contains("Link for the outside auditor Ada Brook of Lowland Surveys made"), "{}", history.text);

        let left = guest.post("/leave", &[]).await;
        assert_eq!(left.status, StatusCode::SEE_OTHER);
        assert!(guest.get("/items").await.location().starts_with("/sign-in"));
    }

    async fn it_reads_and_exports_everything_and_changes_nothing(world) {
        let (stock, job) = eventful(&world).await;
        world.take_key().await;
        let (link, path) = link(&world).await;
        let guest = sitting(&world, &path).await;
        let head = async || world.database.read(world.team).await.unwrap().head().await.unwrap();
        let before = head().await;
        let mut asked = 0;
        for route in table().iter().filter(|route| route.access != Access::Open) {
            let body = json!({});
            let answer = guest.json(route.method.clone(), &address(route.path), &body).await;
            asked += 1;
            let open = match route.access {
                Access::May(deed) => matches!(deed, Deed::Read | Deed::Export | Deed::SeeReads),
                Access::Anyone => true,
                Access::InPerson | Access::Member | Access::Open => false,
            };
            assert_eq!(answer.status != StatusCode::FORBIDDEN, open, "{} {}: {}", route.method, route.path, answer.status);
            assert!(!open || route.method == Method::GET, "{} {}", route.method, route.path);
        }
        for path in [
            format!("/items/{}", stock.first.id),
            format!("/items/{}/history", stock.first.id),
            format!("/items/{}/record.pdf", stock.first.id),
            format!("/jobs/{}", job.id),
            "/exports/history?as=xlsx".to_owned(),
            "/exports/items?as=pdf".to_owned(),
            "/history/bundle".to_owned(),
            "/api/v1/items".to_owned(),
        ] {
            assert_eq!(guest.get(&path).await.status, StatusCode::OK, "{path}");
            asked += 1;
        }
        assert_eq!(head().await, before, "nothing was recorded");
        let admin = world.visitor(&world.admin).await;
        let now = admin.get(&format!("/api/v1/guest-links/{}", link["id"].as_str().unwrap())).await;
        assert_eq!(now.json()["reads"], asked, "each is noted: {}", now.text);
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.tokens().await.unwrap(), []);
        assert_eq!(tx.people().await.unwrap().len(), 4);
    }

    async fn what_is_taken_along_says_who_took_it(world) {
        let (stock, _) = eventful(&world).await;
        world.take_key().await;
        let (_, path) = link(&world).await;
        let guest = sitting(&world, &path).await;
        let told = "Exported by outside auditor: Ada Brook of Lowland Surveys by the link of The administrator of the north";
        for path in [format!("/items/{}/record.pdf", stock.first.id), "/exports/history?as=pdf".to_owned(), "/due.pdf".to_owned()] {
            let paper = guest.get(&path).await;
            let Some(text) = text_of(&paper.bytes) else { continue };
            let text = flat(&text);
            assert!(text.contains(told), "{path}: {text}");
        }
        let bundle = guest.get("/history/bundle").await;
        let first = &lines(&bundle.bytes)[0];
        assert_eq!(format!("Exported by {}", first["bundle"]["exported_by"].as_str().unwrap()), told);
        let own = world.visitor(&world.auditor).await.get("/history/bundle").await;
        assert_eq!(lines(&own.bytes)[0]["bundle"].get("exported_by"), None);
    }

    async fn it_lets_in_on_its_days_alone(world) {
        let mut later = draft();
        later["from"] = json!("2026-03-03");
        let made = make(&world, &later).await.json();
        let address = made["address"].as_str().unwrap();
        let early = world.stranger().get(address).await;
        assert_eq!(early.status, StatusCode::FORBIDDEN);
        assert!(early.text.contains("This link opens on 2026-03-03"), "{}", early.text);
        assert_eq!(world.stranger().post(address, &[]).await.header(header::SET_COOKIE), "");

        world.clock.advance(Duration::days(2));
        let guest = sitting(&world, address).await;
        assert_eq!(guest.get("/items").await.status, StatusCode::OK);
        world.clock.advance(Duration::hours(12));
        let over = guest.get("/items").await;
        assert_eq!(over.status, StatusCode::GONE);
        assert!(over.text.contains("has lasted 12 hours and is over"), "{}", over.text);
        let sign_in = guest.get("/sign-in").await;
        assert_eq!(sign_in.status, StatusCode::OK, "whoever was turned out can sign in");

        // The last day ends at midnight, and the sitting with it.
        world.clock.advance(Duration::days(6));
        assert_eq!(world.clock.now().date().to_string(), "2026-03-09");
        let guest = sitting(&world, address).await;
        assert_eq!(guest.get("/items").await.status, StatusCode::OK);
        world.clock.advance(Duration::minutes(150));
        for answer in [guest.get("/items").await, guest.get("/api/v1/items").await, world.stranger().get(address).await] {
            assert_eq!(answer.status, StatusCode::GONE);
            assert!(answer.text.contains("This link has ended on 2026-03-09"), "{}", answer.text);
        }
        let refused = withdraw(&world, &made["record"], "late").await;
        assert_eq!(refused.status, StatusCode::CONFLICT, "{}", refused.text);
    }

    async fn once_withdrawn_it_turns_out_whoever_sits_there(world) {
        let (made, path) = link(&world).await;
        let guest = sitting(&world, &path).await;
        assert_eq!(guest.get("/items").await.status, StatusCode::OK);
        assert_eq!(under(&withdraw(&world, &made, "  ").await.json(), "reason").len(), 1);
        let done = withdraw(&world, &made, "The audit is done").await;
        assert_eq!(done.json()["state"], "withdrawn", "{}", done.text);
        for answer in [guest.get("/items").await, guest.get("/exports/items").await, world.stranger().get(&path).await, world.stranger().post(&path, &[]).await] {
            assert_eq!(answer.status, StatusCode::GONE);
            assert!(answer.text.contains("This link was withdrawn on 2026-03-01 09:30"), "{}", answer.text);
            assert!(!answer.text.contains("The audit is done"), "{}", answer.text);
        }
        let again = withdraw(&world, &made, "twice").await;
        assert_eq!(again.status, StatusCode::CONFLICT);
        assert!(again.text.contains("withdrawn already"), "{}", again.text);
        let admin = world.visitor(&world.admin).await;
        let list = admin.get("/guests").await;
        assert!(list.text.contains("by The administrator of the north: The audit is done"), "{}", list.text);
    }

    async fn a_link_is_shut_while_its_maker_may_not_sign_in(world) {
        let (_, path) = link(&world).await;
        let guest = sitting(&world, &path).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let maker = tx.person(world.admin.person).await.unwrap().unwrap();
        drop(tx);
        world.record(Change::PersonRevised(Person { active: false, ..maker })).await;
        let shut = guest.get("/items").await;
        assert_eq!(shut.status, StatusCode::GONE);
        assert!(shut.text.contains("This link is shut"), "{}", shut.text);
        assert_eq!(world.stranger().get(&path).await.status, StatusCode::FORBIDDEN);
    }

    async fn what_does_not_hold_is_told_field_by_field(world) {
        let long = "x".repeat(10_000);
        for (field, value, words) in [
            ("name", "", "must not be empty"),
            ("name", " \t ", "must not be empty"),
            ("name", long.as_str(), "Keep this to 200 characters; 10000 were given."),
            ("organisation", long.as_str(), "Keep this to 200 characters; 10000 were given."),
            ("reason", "", "Write the reason"),
            ("reason", long.as_str(), "Keep this to 4000 characters; 10000 were given."),
            ("until", "", "90 days are the most"),
            ("until", "next week", "next week"),
            ("until", "2026-02-28", "from 2026-03-01 to 2026-05-29; 2026-02-28 was given."),
            ("until", "2026-05-30", "from 2026-03-01 to 2026-05-29; 2026-05-30 was given."),
            ("from", "2026-02-28", "begins today, 2026-03-01, or on a day up to 2027-03-02; 2026-02-28 was given."),
            ("from", "2026-03-10", "from 2026-03-10 to 2026-06-07; 2026-03-09 was given."),
        ] {
            let mut draft = draft();
            draft[field] = json!(value);
            let refused = make(&world, &draft).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{field} {value}");
            let told = refused.json()["fields"].to_string();
            assert!(told.contains(words), "{field}: {told}");
        }
        let mut most = draft();
        most["until"] = json!("2026-05-29");
        assert_eq!(make(&world, &most).await.status, StatusCode::CREATED);

        let admin = world.visitor(&world.admin).await;
        let page = admin.post("/guests", &[("name", "<b>Ada</b>"), ("until", "2026-02-01")]).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.text.contains("&#60;b&#62;Ada") && !page.text.contains("<b>Ada"), "{}", page.text);
        let mut bold = draft();
        bold["name"] = json!("<b>Ada</b>");
        let bold = make(&world, &bold).await.json();
        let welcome = world.stranger().get(bold["address"].as_str().unwrap()).await;
        assert!(welcome.text.contains("&#60;b&#62;Ada") && !welcome.text.contains("<b>Ada"), "{}", welcome.text);
    }

    async fn nobody_reaches_a_link_who_may_not(world) {
        let (made, _) = link(&world).await;
        let id = made["id"].as_str().unwrap();
        let paths = ["/api/v1/guest-links".to_owned(), format!("/api/v1/guest-links/{id}/reads"), format!("/guests/{id}")];
        for path in &paths {
            for (actor, status) in [(&world.crew, StatusCode::FORBIDDEN), (&world.officer, StatusCode::FORBIDDEN), (&world.auditor, StatusCode::OK)] {
                assert_eq!(world.visitor(actor).await.get(path).await.status, status, "{path}");
            }
        }
        let file = format!("/exports/reads?link={id}");
        let officer = world.visitor(&world.officer).await;
        assert_eq!(officer.get(&file).await.status, StatusCode::FORBIDDEN);
        // A token in the role of an auditor gives an officer no more than an officer may.
        let made = officer.post("/settings/tokens", &[("label", "x"), ("role", "auditor"), ("days", "1")]).await;
        let token = made.text.split("ropeloft_").nth(1).unwrap()[..64].to_owned();
        let mut program = world.stranger();
        program.token = Some(format!("ropeloft_{token}"));
        assert_eq!(program.get("/api/v1/items").await.status, StatusCode::OK);
        for path in [&paths[0], &paths[1], &file] {
            assert_eq!(program.get(path).await.status, StatusCode::FORBIDDEN, "{path}");
        }
        let auditor = world.visitor(&world.auditor).await;
        let refused = auditor.json(Method::POST, &format!("/api/v1/guest-links/{id}/withdraw"), &json!({"reason": "x"})).await;
        assert_eq!(refused.status, StatusCode::FORBIDDEN);

        let mut away = world.outsider.clone();
        let mut tx = world.database.read(world.other_team).await.unwrap();
        let person = tx.person(away.person).await.unwrap().unwrap();
        drop(tx);
        away.role = Role::Admin;
        let admin = Person { role: Role::Admin, ..person };
        world.record_as(&away, Change::PersonRevised(admin)).await.unwrap();
        let away = world.visitor(&away).await;
        for path in &paths[1..] {
            assert_eq!(away.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
        }
        let exported = away.get(&format!("/exports/reads?link={id}")).await;
        assert_eq!(exported.status, StatusCode::NOT_FOUND);
        let gone = away.json(Method::POST, &format!("/api/v1/guest-links/{id}/withdraw"), &json!({"reason": "x"})).await;
        assert_eq!(gone.status, StatusCode::NOT_FOUND);
    }

    async fn who_tries_many_addresses_is_held_off(world) {
        let (_, path) = link(&world).await;
        let stranger = world.stranger();
        for tried in 0..10 {
            let wrong = stranger.get(&format!("/guest/{tried:064}")).await;
            assert_eq!(wrong.status, StatusCode::NOT_FOUND, "{tried}");
        }
        assert_eq!(stranger.post(&format!("/guest/{:064}", 11), &[]).await.status, StatusCode::TOO_MANY_REQUESTS);
        assert_eq!(stranger.get(&path).await.status, StatusCode::TOO_MANY_REQUESTS);
        world.clock.advance(Duration::minutes(16));
        assert_eq!(stranger.get(&path).await.status, StatusCode::OK);
    }

    async fn what_is_sent_twice_is_made_once_and_its_address_is_kept_nowhere(world) {
        let admin = world.visitor(&world.admin).await;
        let path = format!("/api/v1/guest-links?id={}", GuestLinkId::new());
        let first = admin.json_once(&path, "k1", &draft()).await;
        assert_eq!(first.status, StatusCode::CREATED, "{}", first.text);
        let address = first.json()["address"].as_str().unwrap().to_owned();
        assert_eq!(where_it_stands(&world, address.trim_start_matches("/guest/")).await, Vec::<String>::new());
        let second = admin.json_once(&path, "k1", &draft()).await;
        assert_eq!(second.status, StatusCode::CONFLICT);
        assert!(second.text.contains("it was shown once"), "{}", second.text);
        assert_eq!(admin.get("/api/v1/guest-links").await.json()["links"].as_array().unwrap().len(), 1);
    }

    async fn the_name_goes_on_request_and_the_tables_follow_from_the_ledger(world) {
        let (made, path) = link(&world).await;
        sitting(&world, &path).await.get("/items").await;
        withdraw(&world, &made, "The audit is done").await;
        assert_eq!(again(&world).await.differences, []);
        let mut entries = where_it_stands(&world, NAME).await;
        entries.sort_unstable();
        assert_eq!(entries, ["guest_link.record", "ledger_name.name"].map(str::to_owned));
        let admin = world.visitor(&world.admin).await;
        let asked = json!({"name": NAME, "reason": "Request of 2026-02-27"});
        let done = admin.json(Method::POST, "/api/v1/name-removals", &asked).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
        assert_eq!(where_it_stands(&world, NAME).await, Vec::<String>::new());
        assert_eq!(again(&world).await.differences, []);
        let list = admin.get("/guests").await;
        assert!(list.text.contains("Removed name"), "{}", list.text);
    }
}
