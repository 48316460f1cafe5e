//! Tags through their doors.

use axum::http::{Method, StatusCode};
use serde_json::json;

use crate::{
    client::Client,
    item_given::{Given, ROPE, model, one_rope, rope_fields, store, with},
};

const SERIALISED: &str = "(01)09521234543213(10)L7(21)A-1(11)240300";

/// Puts a code on an item through the form.
async fn put(client: &Client, item: &str, text: &str) -> crate::client::Answer {
    client
        .post(&format!("/items/{item}/tags"), &[("text", text)])
        .await
}

/// Another rope of the same model.
async fn another(given: &Given) -> String {
    let fields = [
        ("model", given.model.as_str()),
        ("store", &given.store),
        ("mark", "R-2"),
    ];
    crate::item_given::item(&given.officer, &fields).await
}

on_both_databases! {
    async fn a_code_opens_its_item_however_it_is_scanned(world) {
        let given = one_rope(&world).await;
        let (officer, item) = (&given.officer, &given.item);
        let answer = put(officer, item, SERIALISED).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        let crew = world.visitor(&world.crew).await;
        for code in [
            "%2801%2909521234543213%2821%29A-1",
            "%5Dd20109521234543213112403001727123110L7%1D21A-1",
            "010952123454321321A-1%1D10OTHER",
            "https%3A%2F%2Fid.example.org%2F01%2F09521234543213%2F21%2FA-1",
            "010952123454321321A-1%E2%90%9D10L7",
        ] {
            let answer = crew.get(&format!("/scan?code={code}")).await;
            assert_eq!(answer.status, StatusCode::SEE_OTHER, "{code}: {}", answer.text);
            assert_eq!(answer.location(), format!("/items/{item}"));
        }
        let page = crew.get(&format!("/items/{item}")).await;
        assert!(page.text.contains("(01)09521234543213(10)L7(21)A-1(11)240300"), "{}", page.text);
        assert!(!page.text.contains("/tags/new"), "crew may not put tags on");
        // A mark is found as well.
        assert_eq!(crew.get("/scan?code=rl-0042").await.location(), format!("/items/{item}"));
    }

    async fn a_scan_finds_a_serial_and_minds_no_case(world) {
        let given = one_rope(&world).await;
        let crew = world.visitor(&world.crew).await;
        let found = format!("/items/{}", given.item);
        assert_eq!(crew.get("/scan?code=s-77%3C1%3E").await.location(), found);
        put(&given.officer, &given.item, "RFID-04A1B2").await;
        for code in ["RFID-04A1B2", "rfid-04a1b2"] {
            assert_eq!(crew.get(&format!("/scan?code={code}")).await.location(), found, "{code}");
        }
        let api = crew.get("/api/v1/scan?code=S-77%3C1%3E").await.json();
        assert_eq!(api["item"]["mark"], "RL-0042");
        // Two models may have one serial: somebody chooses, and nobody is led to add a third.
        let other = model(&given.officer, &with(&ROPE, &[("name", "Line 9")])).await;
        let fields = with(&rope_fields(&other, &given.store), &[("mark", "RL-9")]);
        crate::item_given::item(&given.officer, &fields).await;
        let page = crew.get("/scan?code=S-77%3C1%3E").await.text;
        for words in ["Several items may be meant by this", ">RL-0042</a>", ">RL-9</a>"] {
            assert!(page.contains(words), "{words}: {page}");
        }
        let page = given.officer.get("/scan?code=S-77%3C1%3E").await.text;
        assert!(!page.contains("Add an item with this code"), "{page}");
    }

    async fn a_code_is_on_one_item_of_the_team(world) {
        let given = one_rope(&world).await;
        let (officer, first, second) = (&given.officer, &given.item, another(&given).await);
        put(officer, first, SERIALISED).await;
        let before = world.entries().await;
        let answer = put(officer, &second, "]d2010952123454321321A-1").await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(answer.text.contains("already"), "{}", answer.text);
        assert!(answer.text.contains("value=\"]d2010952123454321321A-1\""), "{}", answer.text);
        for shared in ["(01)09521234543213", "(01)09521234543213(10)L7", "(01)09521234543214(21)A", ""] {
            let answer = put(officer, &second, shared).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{shared}");
            assert!(answer.text.contains("href=\"#f-text\""), "{}", answer.text);
        }
        assert_eq!(world.entries().await, before);
        // Another team may have the same.
        let outsider = world.visitor(&world.outsider).await;
        let (place, model) = (store(&outsider, "Bay").await, model(&outsider, &ROPE).await);
        let other = crate::item_given::item(&outsider, &rope_fields(&model, &place)).await;
        assert_eq!(put(&outsider, &other, SERIALISED).await.status, StatusCode::SEE_OTHER);
        // And an item may have several.
        assert_eq!(put(officer, first, "MRN 7").await.status, StatusCode::SEE_OTHER);
        let tags = officer.get(&format!("/api/v1/items/{first}/tags")).await.json();
        assert_eq!(tags["tags"].as_array().unwrap().len(), 2);
    }

    async fn a_tag_is_taken_off_with_a_reason_and_its_code_may_go_on_another(world) {
        let given = one_rope(&world).await;
        let (officer, first, second) = (&given.officer, &given.item, another(&given).await);
        put(officer, first, "MRN 7").await;
        let tags = officer.get(&format!("/api/v1/items/{first}/tags")).await.json();
        let tag = tags["tags"][0]["id"].as_str().unwrap().to_owned();
        let off = format!("/items/{first}/tags/{tag}/off");
        assert!(officer.get(&off).await.text.contains("MRN 7"));
        let before = world.entries().await;
        let answer = officer.post(&off, &[("reason", " ")]).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(world.entries().await, before);
        let elsewhere = officer.post(&format!("/items/{second}/tags/{tag}/off"), &[("reason", "x")]).await;
        assert_eq!(elsewhere.status, StatusCode::NOT_FOUND);
        let answer = officer.post(&off, &[("reason", "the sticker came off")]).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
        assert_eq!(officer.post(&off, &[("reason", "again")]).await.status, StatusCode::NOT_FOUND);
        assert_eq!(put(officer, &second, "MRN 7").await.status, StatusCode::SEE_OTHER);
        assert_eq!(officer.get("/scan?code=MRN%207").await.location(), format!("/items/{second}"));
        let history = officer.get(&format!("/items/{first}/history")).await;
        assert!(history.text.contains("Tag MRN 7 taken off"), "{}", history.text);
        assert!(history.text.contains("the sticker came off"), "{}", history.text);
    }

    async fn an_unknown_code_is_read_out_and_offered_to_an_item_or_a_new_one(world) {
        let given = one_rope(&world).await;
        let (officer, item) = (&given.officer, &given.item);
        let scan = "/scan?code=%2801%2909521234543213%2810%29L7%2821%29A-1%2811%29240300";
        let page = officer.get(scan).await;
        assert_eq!(page.status, StatusCode::OK);
        for said in ["No item has this code", ">A-1 <", ">L7 <", "2024-03", "/items/new?tag=", "action=\"/tags\""] {
            assert!(page.text.contains(said), "{said}: {}", page.text);
        }
        // On an item that is there.
        let answer = officer.post("/tags", &[("text", SERIALISED), ("mark", "no such")]).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(answer.text.contains("No item has the mark &#34;no such&#34;"), "{}", answer.text);
        assert!(answer.text.contains("value=\"(01)09521234543213(10)L7(21)A-1(11)240300\""), "{}", answer.text);
        let answer = officer.post("/tags", &[("text", SERIALISED), ("mark", "RL-0042")]).await;
        assert_eq!(answer.location(), format!("/items/{item}"), "{}", answer.text);
        // The next piece of the same product is of the same model, with what its code says.
        let page = officer.get("/scan?code=%2801%2909521234543213%2810%29L7%2821%29A-2%2811%29240300").await;
        let model = given.model.as_str();
        assert!(page.text.contains(&format!("model={model}")), "{}", page.text);
        let form = officer.get(&format!("/items/new?model={model}&tag=%2801%2909521234543213%2810%29L7%2821%29A-2%2811%29240300")).await;
        for said in ["value=\"A-2\"", "value=\"L7\"", "value=\"2024-03\"", "name=\"tag\""] {
            assert!(form.text.contains(said), "{said}: {}", form.text);
        }
        let fields = [("model", model), ("store", given.store.as_str()), ("mark", "R-9"),
            ("serial", "A-2"), ("tag", "(01)09521234543213(21)A-2")];
        let before = world.entries().await;
        let taken = officer.post("/items", &with(&fields, &[("tag", SERIALISED)])).await;
        assert_eq!(taken.status, StatusCode::UNPROCESSABLE_ENTITY, "the item must not be added without its code");
        assert!(taken.text.contains("href=\"#f-tag\""), "{}", taken.text);
        assert_eq!(world.entries().await, before);
        let added = officer.post("/items", &fields).await;
        assert_eq!(added.status, StatusCode::SEE_OTHER, "{}", added.text);
        assert_eq!(officer.get("/scan?code=010952123454321321A-2").await.location(), added.location());
    }

    async fn our_own_code_has_a_short_address_behind_the_sign_in(world) {
        let given = one_rope(&world).await;
        let (officer, item) = (&given.officer, &given.item);
        let id = uuid::Uuid::now_v7();
        for _ in 0..2 {
            let answer = officer.post(&format!("/items/{item}/tags/own?id={id}"), &[]).await;
            assert_eq!(answer.location(), format!("/items/{item}"), "{}", answer.text);
        }
        let tags = officer.get(&format!("/api/v1/items/{item}/tags")).await.json();
        assert_eq!(tags["tags"].as_array().unwrap().len(), 1);
        let code = tags["tags"][0]["text"].as_str().unwrap().replace('-', "");
        let path = format!("/t/{code}");
        assert_eq!(officer.get(&path).await.location(), format!("/items/{item}"));
        assert_eq!(officer.get(&path.to_lowercase()).await.location(), format!("/items/{item}"));
        assert_eq!(officer.get(&format!("/scan?code={code}")).await.location(), format!("/items/{item}"));
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.get(&path).await.status, StatusCode::NOT_FOUND);
        assert_eq!(outsider.get(&format!("/scan?code={code}")).await.status, StatusCode::OK);
        let mut wrong = path.clone();
        wrong.replace_range(path.len() - 1.., if path.ends_with('A') { "C" } else { "A" });
        assert_eq!(officer.get(&wrong).await.status, StatusCode::NOT_FOUND);
        let stranger = world.stranger();
        let answer = stranger.get(&path).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER);
        assert!(answer.location().starts_with("/sign-in"), "{}", answer.location());
    }

    async fn both_doors_say_the_same_and_only_the_register_s_keepers_write(world) {
        let given = one_rope(&world).await;
        let (officer, item) = (&given.officer, &given.item);
        let crew = world.visitor(&world.crew).await;
        let path = format!("/api/v1/items/{item}/tags");
        let body = json!({ "text": SERIALISED });
        assert_eq!(crew.json(Method::POST, &path, &body).await.status, StatusCode::FORBIDDEN);
        assert_eq!(crew.post(&format!("/items/{item}/tags"), &[("text", "x")]).await.status, StatusCode::FORBIDDEN);
        let put = officer.json(Method::POST, &path, &body).await;
        assert_eq!(put.status, StatusCode::CREATED, "{}", put.text);
        assert_eq!(put.json()["kind"], "gs1");
        let found = crew.get("/api/v1/scan?code=010952123454321321A-1").await.json();
        assert_eq!(found["item"]["id"], item.as_str());
        assert_eq!(found["words"], "(01)09521234543213(21)A-1");
        let wrong = crew.get("/api/v1/scan?code=%2801%2909521234543214").await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(wrong.json()["fields"][0]["field"], "code");
        let tag = put.json()["id"].as_str().unwrap().to_owned();
        let off = format!("{path}/{tag}/off");
        assert_eq!(officer.json(Method::POST, &off, &json!({})).await.status, StatusCode::UNPROCESSABLE_ENTITY);
        let off = officer.json(Method::POST, &off, &json!({ "reason": "moved" })).await;
        assert_eq!(off.status, StatusCode::OK, "{}", off.text);
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.get(&path).await.status, StatusCode::NOT_FOUND);
        assert_eq!(outsider.json(Method::POST, &path, &body).await.status, StatusCode::NOT_FOUND);
    }

    async fn a_code_that_cannot_be_read_is_told_on_the_page(world) {
        let crew = world.visitor(&world.crew).await;
        let page = crew.get("/scan?code=%2801%2909521234543214").await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.text.contains("should end in 3"), "{}", page.text);
        assert!(page.text.contains("value=\"(01)09521234543214\""), "{}", page.text);
        assert!(page.text.contains("Nothing was opened"), "{}", page.text);
        assert_eq!(crew.get("/scan").await.status, StatusCode::OK);
        let odd = crew.get("/scan?code=a%00b").await;
        assert_eq!(odd.status, StatusCode::UNPROCESSABLE_ENTITY);
    }

    async fn a_code_that_reads_as_another_item_is_refused_and_what_may_mean_two_is_asked(world) {
        let given = one_rope(&world).await;
        let second = another(&given).await;
        let before = world.entries().await;
        for (item, text, of) in [(&second, "rl-0042", "RL-0042 is the mark of another item"), (&second, "s-77<1>", "This is the serial of another item, RL-0042")] {
            let refused = put(&given.officer, item, text).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{text}: {}", refused.text);
            assert!(refused.text.contains(of), "{text}: {}", refused.text);
        }
        assert_eq!(world.entries().await, before);
        // Its own mark may be on an item.
        assert_eq!(put(&given.officer, &second, "R-2").await.status, StatusCode::SEE_OTHER);
        // And a mark that a code on another item reads as is none for a new one.
        assert_eq!(put(&given.officer, &given.item, "BOX-7").await.status, StatusCode::SEE_OTHER);
        let draft = json!({"model": given.model, "store": given.store, "mark": "box-7"});
        let refused = given.officer.json(Method::POST, "/api/v1/items", &draft).await;
        assert_eq!((refused.status, refused.json()["fields"][0]["code"].clone()), (StatusCode::UNPROCESSABLE_ENTITY, json!("taken")));
        assert!(refused.text.contains("The code on a tag of RL-0042 reads box-7"), "{}", refused.text);
        // Nor is such a serial, for a new item or one that is there; what it has already stays.
        let draft = json!({"model": given.model, "store": given.store, "mark": "R-9", "serial": "box-7"});
        let refused = given.officer.json(Method::POST, "/api/v1/items", &draft).await;
        assert_eq!((refused.status, refused.json()["fields"][0]["field"].clone()), (StatusCode::UNPROCESSABLE_ENTITY, json!("serial")), "{}", refused.text);
        assert!(refused.text.contains("The code on a tag of RL-0042 reads box-7: whoever scans it would not know which is meant."), "{}", refused.text);
        let own = json!({"model": given.model, "store": given.store, "mark": "R-9", "serial": "box-8"});
        let own = given.officer.json(Method::POST, "/api/v1/items", &own).await;
        assert_eq!(own.status, StatusCode::CREATED, "{}", own.text);
        // One from before that was refused: the scan asks, and nothing is done to either by a list of codes.
        let tag = ropeloft::domain::tag::TagDraft { text: "RL-0042".into() };
        let tag = tag.check(ropeloft::domain::TagId::new(), second.parse().unwrap()).unwrap();
        world.record(ropeloft::domain::Change::TagAdded(tag)).await;
        let page = given.officer.get("/bench?code=RL-0042").await.text;
        assert!(page.contains("Several items may be meant by this") && page.contains("RL-0042: ") && page.contains("R-2: "), "{page}");
        let scan = given.officer.get("/api/v1/scan?code=rl-0042").await.json();
        assert_eq!((scan["item"].is_null(), scan["several"].as_array().unwrap().len()), (true, 2), "{scan}");
        assert_eq!(given.officer.get("/scan?code=RL-0042").await.status, StatusCode::OK);
        let job = crate::stock::rigged("Shaft 3", 4);
        world.record(ropeloft::domain::Change::JobPlanned(job.clone())).await;
        let refused = given.officer.json(Method::POST, &format!("/api/v1/jobs/{}/kit", job.id), &json!({"item": "RL-0042"})).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
        assert!(refused.text.contains("RL-0042 is the mark of one item and a code on another, R-2"), "{}", refused.text);
    }
}
