//! The editor of a rig, as a browser without JavaScript uses it, and the look that one with it asks for.

use axum::http::StatusCode;
use ropeloft::{
    domain::{LARGEST_RIG, RigDraft},
    rigging::{Rig, shipped, shipped_rig},
};
use serde_json::Value;

use crate::{
    client::{Answer, Client},
    own_rig::added,
    rigging_sheet::ON_A_LINE,
    world::on_sqlite,
};

/// The fields of a draft, as its form sends them.
pub fn fields(draft: &RigDraft) -> Vec<(String, String)> {
    fn walk(value: &Value, name: String, into: &mut Vec<(String, String)>) {
        match value {
            Value::String(text) => into.push((name, text.clone())),
            Value::Array(rows) => {
                for (at, row) in rows.iter().enumerate() {
                    walk(row, format!("{name}[{at}]"), into);
                }
            }
            Value::Object(parts) => {
                for (part, value) in parts {
                    let name = match name.as_str() {
                        "" => part.clone(),
                        outer => format!("{outer}[{part}]"),
                    };
                    walk(value, name, into);
                }
            }
            _ => {}
        }
    }
    let mut into = Vec::new();
    walk(
        &serde_json::to_value(draft).unwrap(),
        String::new(),
        &mut into,
    );
    into
}

pub async fn sent(client: &Client, path: &str, draft: &RigDraft, more: &[(&str, &str)]) -> Answer {
    let fields = fields(draft);
    let mut all: Vec<(&str, &str)> = fields
        .iter()
        .map(|(name, text)| (name.as_str(), text.as_str()))
        .collect();
    all.extend(more);
    client.post(path, &all).await
}

fn ours(key: &str) -> RigDraft {
    let mut draft = RigDraft::from(&shipped_rig("three-to-one").unwrap().sheet());
    key.clone_into(&mut draft.key);
    "Our lift".clone_into(&mut draft.title);
    draft
}

#[tokio::test]
async fn a_rig_is_written_from_another_looked_at_and_saved() {
    on_sqlite(async |world| {
        let officer = world.visitor(&world.officer).await;
        let page = officer.get("/rigs/new?from=three-to-one").await;
        assert_eq!(page.status, StatusCode::OK);
        assert!(page.text.contains("value=\"our-three-to-one\""));
        assert!(page.text.contains("name=\"rope[0][path][2][position]\""));
        assert!(
            page.text.contains("1 strand at the load, 3 : 1"),
            "{}",
            page.text
        );
        let looked = sent(&officer, "/rigs", &ours("our-lift"), &[("act", "look")]).await;
        assert_eq!(looked.status, StatusCode::OK);
        assert!(looked.text.contains("1 strand at the load, 3 : 1"));
        assert!(looked.text.contains(">1/3<"));
        assert!(
            !officer.get("/rigs").await.text.contains("our-lift"),
            "a look stores nothing"
        );
        let note = ("note", "written for the pump well");
        let saved = sent(
            &officer,
            "/rigs",
            &ours("our-lift"),
            &[("act", "save"), note],
        )
        .await;
        assert_eq!(saved.location(), "/rigs/our-lift", "{}", saved.text);
        let shown = officer.get("/rigs/our-lift").await.text;
        for words in [
            "Our lift",
            "version 1",
            "written for the pump well",
            "officer of the north",
            "3 : 1",
        ] {
            assert!(shown.contains(words), "{words}");
        }
    })
    .await;
}

#[tokio::test]
async fn a_rig_is_changed_and_who_saves_second_is_told() {
    on_sqlite(async |world| {
        let officer = world.visitor(&world.officer).await;
        let saved = sent(&officer, "/rigs", &ours("our-lift"), &[("act", "save")]).await;
        assert_eq!(saved.location(), "/rigs/our-lift", "{}", saved.text);
        let edit = officer.get("/rigs/our-lift/edit").await;
        assert!(edit.text.contains("name=\"revision\" value=\"1\""));
        let mut next = ours("our-lift");
        "Our better lift".clone_into(&mut next.title);
        let path = "/rigs/our-lift/edit";
        let saved = sent(&officer, path, &next, &[("act", "save"), ("revision", "1")]).await;
        assert_eq!(saved.location(), "/rigs/our-lift", "{}", saved.text);
        let stale = sent(
            &officer,
            path,
            &ours("our-lift"),
            &[("act", "save"), ("revision", "1")],
        )
        .await;
        assert_eq!(stale.status, StatusCode::CONFLICT);
        assert!(
            stale.text.contains("Somebody else wrote version 2")
                && stale.text.contains("value=\"Our lift\"")
        );
        assert!(stale.text.contains("name=\"revision\" value=\"2\""));
        let first = officer.get("/rigs/our-lift?version=1").await.text;
        assert!(first.contains("<h1>Our lift</h1>") && first.contains("there is a newer one"));
        assert_eq!(
            officer.get("/rigs/our-lift?version=3").await.status,
            StatusCode::NOT_FOUND
        );
    })
    .await;
}

#[tokio::test]
async fn every_rig_that_ships_opens_in_the_editor_and_comes_back_from_it() {
    on_sqlite(async |world| {
        let officer = world.visitor(&world.officer).await;
        for rig in shipped() {
            let page = officer.get(&format!("/rigs/new?from={}", rig.key())).await;
            assert_eq!(page.status, StatusCode::OK, "{}", rig.key());
            let draft = RigDraft::from(&rig.sheet());
            let text = sent(&officer, "/rigs", &draft, &[("act", "text")]).await;
            assert!(text.text.contains("name=\"text\""), "{}", rig.key());
            let written = rig.sheet_text();
            let form = officer
                .post("/rigs", &[("act", "form"), ("text", &written)])
                .await;
            assert!(form.text.contains("name=\"body[0][key]\""), "{}", rig.key());
            assert!(!form.text.contains("aria-invalid"), "{}", rig.key());
        }
    })
    .await;
}

#[tokio::test]
async fn what_is_wrong_stands_at_its_field_and_nothing_typed_is_lost() {
    on_sqlite(async |world| {
        let officer = world.visitor(&world.officer).await;
        let mut draft = ours("our-lift");
        draft.position[1].accepts = "pulley, string".to_owned();
        draft.rope[0].path[2].position = "nowhere".to_owned();
        draft.rope[0].path[4].knot = "granny".to_owned();
        for (act, status) in [
            ("look", StatusCode::OK),
            ("save", StatusCode::UNPROCESSABLE_ENTITY),
        ] {
            let page = sent(
                &officer,
                "/rigs",
                &draft,
                &[("act", act), ("note", "my note")],
            )
            .await;
            assert_eq!(page.status, status, "{act}");
            for field in [
                "f-position-1-accepts",
                "f-rope-0-path-2-position",
                "f-rope-0-path-4-knot",
            ] {
                assert!(
                    page.text.contains(&format!("id=\"{field}-wrong-1\"")),
                    "{act}: {field}"
                );
                assert!(
                    page.text.contains(&format!("href=\"#{field}\"")),
                    "{act}: {field}"
                );
            }
            for typed in [
                "pulley, string",
                "value=\"nowhere\" selected",
                "value=\"granny\" selected",
                "my note",
            ] {
                assert!(page.text.contains(typed), "{act}: {typed}");
            }
            assert_eq!(
                page.text.contains("Nothing was saved: 3 things"),
                act == "save"
            );
        }
        let mut shipped = ours("three-to-one");
        shipped.position[1].accepts = "pulley".to_owned();
        let page = sent(&officer, "/rigs", &shipped, &[("act", "save")]).await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.text.contains("id=\"f-key-wrong-1\""));
    })
    .await;
}

#[tokio::test]
async fn rows_are_added_moved_and_removed_by_buttons() {
    on_sqlite(async |world| {
        let officer = world.visitor(&world.officer).await;
        let draft = ours("our-lift");
        let page = sent(&officer, "/rigs", &draft, &[("act", "add rope[0][path]")]).await;
        assert_eq!(page.status, StatusCode::OK);
        assert!(page.text.contains("name=\"rope[0][path][5][meets]\""));
        assert!(
            page.text.contains("No rig yet: 1 thing to mend"),
            "{}",
            page.text
        );
        let page = sent(&officer, "/rigs", &draft, &[("act", "remove body[1]")]).await;
        assert!(!page.text.contains("name=\"body[2][key]\"") && page.text.contains("No rig yet"));
        let page = sent(&officer, "/rigs", &draft, &[("act", "up position[1]")]).await;
        assert!(
            page.text
                .contains("name=\"position[0][key]\" value=\"anchor-pulley\""),
            "{}",
            page.text
        );
        // The button says where the page is opened after it.
        assert!(
            page.text
                .contains("value=\"up position[1]\" formaction=\"/rigs?id=")
        );
        let odd = sent(&officer, "/rigs", &draft, &[("act", "burn body[0]")]).await;
        assert_eq!(odd.status, StatusCode::OK);
    })
    .await;
}

#[tokio::test]
async fn a_text_is_edited_directly_and_its_faults_name_their_lines() {
    on_sqlite(async |world| {
        let officer = world.visitor(&world.officer).await;
        let remarked = format!("# As we rig it.\n{}", ON_A_LINE.trim_start());
        let crlf = remarked.replace('\n', "\r\n");
        let saved = officer
            .post("/rigs", &[("act", "save"), ("text", &crlf), ("note", "")])
            .await;
        assert_eq!(saved.location(), "/rigs/on-a-line", "{}", saved.text);
        let edit = officer.get("/rigs/on-a-line/edit").await.text;
        assert!(edit.contains("# As we rig it."), "remarks open as text");
        assert_eq!(
            officer.get("/rigs/on-a-line/sheet/toml").await.text,
            remarked
        );
        let wrong = remarked.replace("accepts = [\"tripod\"]", "accepts = [\"trestle\"]");
        let page = officer
            .post("/rigs", &[("act", "save"), ("text", &wrong)])
            .await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(
            page.text.contains("line 16, column 40: position stand"),
            "{}",
            page.text
        );
        assert!(page.text.contains("trestle"));
        let broken = officer
            .post("/rigs", &[("act", "form"), ("text", "key = ")])
            .await;
        assert_eq!(broken.status, StatusCode::OK);
        assert!(broken.text.contains("line 1, column ") && broken.text.contains("name=\"text\""));
        let json = serde_json::to_string(&Rig::parse(ON_A_LINE).unwrap().sheet()).unwrap();
        let form = officer
            .post("/rigs", &[("act", "form"), ("text", &json)])
            .await;
        assert!(
            form.text
                .contains("name=\"line[0][span_metres]\" value=\"30\""),
            "{}",
            form.text
        );
        let key = officer
            .post("/rigs", &[("act", "save"), ("text", &remarked)])
            .await;
        assert_eq!(key.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(key.text.contains("that of your rig"), "{}", key.text);
    })
    .await;
}

#[tokio::test]
async fn a_look_while_typing_is_the_part_of_the_page_alone() {
    on_sqlite(async |world| {
        let officer = world.visitor(&world.officer).await;
        let good = sent(
            &officer,
            "/rigs/look",
            &ours("our-lift"),
            &[("tab", "form"), ("revision", "1"), ("note", "")],
        )
        .await;
        assert_eq!(good.status, StatusCode::OK);
        assert!(good.text.contains("1 strand at the load, 3 : 1") && !good.text.contains("<html"));
        let wrong = officer.post("/rigs/look", &[("text", "<script>")]).await;
        assert_eq!(wrong.status, StatusCode::OK);
        assert!(wrong.text.contains("href=\"#f-text\"") && !wrong.text.contains("<script>"));
        let crew = world.visitor(&world.crew).await;
        assert_eq!(
            crew.post("/rigs/look", &[("text", "")]).await.status,
            StatusCode::FORBIDDEN
        );
    })
    .await;
}

/// Sends a file as a browser does.
async fn file(client: &Client, bytes: &[u8]) -> Answer {
    use axum::{body::Body, http::Request};
    let mut body =
        b"--x\r\ncontent-disposition: form-data; name=\"file\"; filename=\"rig.toml\"\r\n\r\n"
            .to_vec();
    body.extend_from_slice(bytes);
    body.extend_from_slice(b"\r\n--x--\r\n");
    let request = Request::builder()
        .method("POST")
        .uri("/rigs/file")
        .header("host", "gear.test")
        .header("sec-fetch-site", "same-origin")
        .header("content-type", "multipart/form-data; boundary=x");
    client.send(request.body(Body::from(body)).unwrap()).await
}

#[tokio::test]
async fn a_file_opens_in_the_editor_and_what_is_no_file_of_ours_is_told() {
    on_sqlite(async |world| {
        let officer = world.visitor(&world.officer).await;
        let good = file(&officer, ON_A_LINE.as_bytes()).await;
        assert_eq!(good.status, StatusCode::OK);
        assert!(
            good.text
                .contains("name=\"tripod[0][leg_degrees]\" value=\"20\""),
            "{}",
            good.text
        );
        let wrong = file(&officer, b"key = \"a\"\ntitle = ").await;
        assert!(wrong.text.contains("line 2, column ") && wrong.text.contains("name=\"text\""));
        let bytes = file(&officer, &[0xff, 0xfe]).await;
        assert_eq!(bytes.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(bytes.text.contains("id=\"f-file-wrong-1\""));
        let empty = file(&officer, b"").await;
        assert_eq!(
            empty.status,
            StatusCode::OK,
            "an empty file is an empty text"
        );
        let large = file(&officer, &vec![b'#'; LARGEST_RIG + 1]).await;
        assert_eq!(large.status, StatusCode::PAYLOAD_TOO_LARGE);
        assert!(
            !officer.get("/rigs").await.text.contains("on-a-line"),
            "a file is stored when it is saved"
        );
    })
    .await;
}

#[tokio::test]
async fn the_history_leads_to_the_rig() {
    on_sqlite(async |world| {
        let officer = world.visitor(&world.officer).await;
        let made = added(&officer, "our-lift").await;
        let id = made["own"]["id"].as_str().unwrap();
        let page = officer.get(&format!("/rigs/{id}")).await;
        assert_eq!(page.status, StatusCode::OK);
        assert!(
            officer
                .get("/history")
                .await
                .text
                .contains(&format!("/rigs/{id}"))
        );
    })
    .await;
}
