//! Photos and documents for programs, and a bucket to keep them in.

use std::{
    collections::BTreeMap,
    sync::{Arc, Mutex},
};

use axum::{
    Router,
    body::{Body, Bytes},
    extract::State,
    http::{HeaderMap, Method, Request, StatusCode, Uri, header},
    response::{IntoResponse, Response},
};
use image::ImageFormat;
use ropeloft::{
    deed::{
        DeedError, Desk,
        attachment::{self, Bearer, Sent},
    },
    domain::{AttachmentId, FileHash},
    store::{Files, FilesError},
};
use serde_json::json;
use uuid::Uuid;

use crate::{
    attachment_given::{document, file, photo, picture},
    item_given::{examine, one_rope},
    paper_reader::{checked, flat, photos_of, structure_of, text_of},
    store_rebuild::again,
    world::World,
};

on_both_databases! {
    async fn a_program_sends_a_file_twice_and_it_is_there_once(world) {
        let given = one_rope(&world).await;
        let (officer, id) = (&given.officer, Uuid::now_v7());
        let path = format!("/api/v1/attachments/{id}?item={}&caption=a%20tag&name=tag.jpg", given.item);
        let before = world.entries().await;
        let first = officer.put_file(&path, "image/jpeg", &photo(1)).await;
        assert_eq!(first.status, StatusCode::CREATED, "{}", first.text);
        let one = first.json();
        assert_eq!((&one["caption"], &one["name"], &one["kind"]), (&json!("a tag"), &json!("tag.jpg"), &json!("photo")));
        assert_eq!(one["to"], json!({"record": "item", "item": given.item}));
        let again_sent = officer.put_file(&path, "image/jpeg", &photo(1)).await;
        assert_eq!((again_sent.status, again_sent.json()), (StatusCode::OK, one.clone()));
        assert_eq!((world.entries().await, world.kept_files()), (before + 1, 2));
        let other = officer.put_file(&path, "image/jpeg", &photo(2)).await;
        assert_eq!(other.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(other.json()["fields"][0]["field"], "id");
        let hash = one["thumbnail"]["sha256"].as_str().unwrap();
        let file = officer.get(&format!("/api/v1/attachments/{id}/files/{hash}")).await;
        assert_eq!(FileHash::of(&file.bytes).as_str(), hash);
        let done = officer.json(Method::POST, &format!("/api/v1/attachments/{id}/withdraw"), &json!({"reason": "wrong item"})).await;
        assert_eq!((done.status, &done.json()["withdrawn"]["reason"]), (StatusCode::OK, &json!("wrong item")));
        assert_eq!(officer.get(&format!("/api/v1/attachments/{id}/files/{hash}")).await.status, StatusCode::NOT_FOUND);
        assert_eq!(officer.get(&format!("/api/v1/attachments/{id}")).await.json()["withdrawn"]["reason"], "wrong item");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn what_a_program_sends_wrong_is_told(world) {
        let given = one_rope(&world).await;
        let (officer, before) = (&given.officer, world.entries().await);
        let path = |rest: &str| format!("/api/v1/attachments/{}?item={}{rest}", Uuid::now_v7(), given.item);
        let text = officer.put_file(&path("&caption=x"), "text/html", b"<b>").await;
        assert_eq!(text.status, StatusCode::UNSUPPORTED_MEDIA_TYPE);
        assert!(text.json()["detail"].as_str().unwrap().contains("image/jpeg, image/png, image/webp, application/pdf"));
        let lie = officer.put_file(&path("&caption=x"), "application/pdf", &photo(1)).await;
        assert_eq!((lie.status, &lie.json()["fields"][0]["field"]), (StatusCode::UNPROCESSABLE_ENTITY, &json!("Content-Type")));
        let bare = officer.put_file(&path(""), "application/pdf", &document()).await;
        assert_eq!(bare.json()["fields"][0]["field"], "caption");
        let nowhere = format!("/api/v1/attachments/{}?caption=x", Uuid::now_v7());
        assert_eq!(officer.put_file(&nowhere, "application/pdf", &document()).await.status, StatusCode::BAD_REQUEST);
        let large = officer.put_file(&path("&caption=x"), "image/png", &vec![0; 21 * 1024 * 1024]).await;
        assert_eq!(large.status, StatusCode::PAYLOAD_TOO_LARGE);
        assert!(large.json()["detail"].as_str().unwrap().contains("at most 20 MiB"), "{}", large.text);
        let crew = world.visitor(&world.crew).await;
        assert_eq!(crew.put_file(&path("&caption=x"), "image/jpeg", &photo(1)).await.status, StatusCode::FORBIDDEN);
        assert_eq!((world.entries().await, world.kept_files()), (before, 0));
    }

    async fn what_is_to_be_put_only_where_nothing_is_says_so_where_something_is(world) {
        let given = one_rope(&world).await;
        let (officer, id) = (&given.officer, Uuid::now_v7());
        let path = format!("/api/v1/attachments/{id}?item={}&caption=a%20tag", given.item);
        let put = async |mark: &str, shade: u8| {
            let request = Request::builder().method(Method::PUT).uri(&path).header(header::HOST, "gear.test").header(header::CONTENT_TYPE, "image/jpeg")
                .header(header::IF_NONE_MATCH, mark);
            officer.send(request.body(Body::from(photo(shade))).unwrap()).await
        };
        assert_eq!(put("*", 1).await.status, StatusCode::CREATED);
        let before = world.entries().await;
        for shade in [1, 2] {
            let there = put(" * ", shade).await;
            assert_eq!(there.status, StatusCode::PRECONDITION_FAILED, "{}", there.text);
            assert_eq!(there.json()["type"], "/problem/there");
        }
        let marked = put("\"abc\"", 1).await;
        assert_eq!(marked.status, StatusCode::BAD_REQUEST, "{}", marked.text);
        assert!(marked.json()["detail"].as_str().unwrap().contains("must be *"), "{}", marked.text);
        assert_eq!(world.entries().await, before);
        assert_eq!(officer.put_file(&path, "image/jpeg", &photo(1)).await.status, StatusCode::OK, "without it a repeat is none");
    }

    async fn a_bucket_keeps_files_as_a_folder_does(world) {
        let given = one_rope(&world).await;
        let item = Bearer::Item(ropeloft::domain::ItemId(given.item.parse().unwrap()));
        let bucket = Bucket::open().await;
        let desk = bucket.desk(&world);
        let send = async |shade| {
            let sent = Sent { name: "a.jpg".into(), bytes: photo(shade).into() };
            let of = (AttachmentId::new(), item);
            attachment::attach(&desk, &world.officer, of, "a tag", vec![sent]).await
        };
        let put = send(1).await.unwrap();
        let file = &put.new[0].file;
        let name = format!("/gear/evidence/{}/{}/{}", world.team, &file.sha256.as_str()[..2], file.sha256);
        assert!(bucket.0.objects.lock().unwrap().contains_key(&name), "{name}");
        let bytes = attachment::bytes(&desk, &world.officer, file).await.unwrap();
        assert_eq!(FileHash::of(&bytes), file.sha256);
        let before = world.entries().await;
        *bucket.0.shut.lock().unwrap() = true;
        let failed = send(2).await.unwrap_err();
        assert!(matches!(failed, DeedError::Files(FilesError::Failed(_))), "{failed:?}");
        assert_eq!(world.entries().await, before, "nothing was recorded");
        *bucket.0.shut.lock().unwrap() = false;
        bucket.0.objects.lock().unwrap().clear();
        let gone = attachment::bytes(&desk, &world.officer, file).await.unwrap_err();
        assert!(matches!(gone, DeedError::Files(FilesError::Missing(_))), "{gone:?}");
    }

    async fn papers_name_each_photo_by_its_hash(world) {
        let given = one_rope(&world).await;
        let fields = [("kind", "intake"), ("on", "2026-02-20"), ("verdict", "fit"), ("markings_readable", "yes")];
        examine(&given.officer, &given.item, &fields).await;
        let looks = given.officer.get(&format!("/api/v1/items/{}/examinations", given.item)).await.json();
        let look = looks["examinations"][0]["id"].as_str().unwrap();
        let mut hashes = Vec::new();
        for (shade, record) in [(1, format!("item={}", given.item)), (2, format!("examination={look}"))] {
            given.officer.put_on(&record, &format!("shade {shade}"), "a.jpg", &photo(shade)).await;
            hashes.push(given.officer.on_record(&record).await[0]["file"]["sha256"].as_str().unwrap().to_owned());
        }
        for (path, wanted) in [(format!("/items/{}/record.pdf", given.item), [true, true]), (format!("/examinations/{look}/report.pdf"), [false, true])] {
            let paper = given.officer.get(&path).await;
            checked(&paper.bytes);
            let Some(text) = text_of(&paper.bytes) else { return };
            // A hash is broken off where its column ends, and the reader goes line by line.
            let first = |hash: &str| text.contains(&hash[..16]);
            assert_eq!([first(&hashes[0]), first(&hashes[1])], wanted, "{path}: {text}");
            assert!(text.contains("shade 2"), "{path}: {text}");
        }
    }

    async fn papers_show_photos_and_tell_them_to_whoever_cannot_see_them(world) {
        let given = one_rope(&world).await;
        let fields = [("kind", "intake"), ("on", "2026-02-20"), ("verdict", "fit"), ("markings_readable", "yes")];
        examine(&given.officer, &given.item, &fields).await;
        let looks = given.officer.get(&format!("/api/v1/items/{}/examinations", given.item)).await.json();
        let look = looks["examinations"][0]["id"].as_str().unwrap();
        let of_look = format!("examination={look}");
        given.officer.put_on(&format!("item={}", given.item), "a cut, 4 m from the end", "a.jpg", &photo(1)).await;
        let large = file(&picture(1600, 1200, 40), ImageFormat::Jpeg);
        given.officer.put_on(&of_look, "the glazed \u{201e}sheath\u{201c}", "b.jpg", &large).await;
        let gone = format!("attachments/{}/withdraw", given.officer.on_record(&of_look).await[0]["id"].as_str().unwrap());
        let (record, report) = (format!("/items/{}/record.pdf", given.item), format!("/examinations/{look}/report.pdf"));
        for (path, widths, told) in [(&record, vec![64, 1600], 2), (&report, vec![1600], 1)] {
            let paper = given.officer.get(path).await;
            assert_eq!(paper.status, StatusCode::OK, "{}", paper.text);
            checked(&paper.bytes);
            assert!(paper.bytes.len() < 9 * 1024 * 1024);
            let (Some(mut found), Some(structure)) = (photos_of(&paper.bytes), structure_of(&paper.bytes)) else { return };
            found.sort_unstable();
            assert_eq!(found, widths, "{path}");
            assert_eq!(structure.matches("Figure").count(), told, "{path}: {structure}");
            assert!(holds(&paper.bytes, "/Alt"), "{path}");
        }
        let withdrawn = given.officer.json(Method::POST, &format!("/api/v1/{gone}"), &json!({"reason": "wrong item"})).await;
        assert_eq!(withdrawn.status, StatusCode::OK, "{}", withdrawn.text);
        assert_eq!(photos_of(&given.officer.get(&report).await.bytes), Some(Vec::new()));
        // A storage that has lost a photo holds up no paper, and the paper says so.
        std::fs::remove_dir_all(world.folder.path().join("files")).unwrap();
        let paper = given.officer.get(&record).await;
        checked(&paper.bytes);
        assert_eq!(photos_of(&paper.bytes), Some(Vec::new()));
        let text = flat(&text_of(&paper.bytes).unwrap());
        assert!(text.contains("cannot be shown here") && text.contains("a cut, 4 m from"), "{text}");
    }

    async fn without_a_storage_nothing_is_taken(world) {
        let given = one_rope(&world).await;
        let item = Bearer::Item(ropeloft::domain::ItemId(given.item.parse().unwrap()));
        let desk = world.bare_desk();
        let before = world.entries().await;
        let sent = Sent { name: "a.jpg".into(), bytes: photo(1).into() };
        let none = attachment::attach(&desk, &world.officer, (AttachmentId::new(), item), "a tag", vec![sent]).await.unwrap_err();
        let problem = ropeloft::web::Problem::from(none);
        assert_eq!(problem.status(), StatusCode::SERVICE_UNAVAILABLE);
        assert!(problem.to_string().contains("ROPELOFT_FILES"), "{problem}");
        assert_eq!(world.entries().await, before);
    }
}

fn holds(bytes: &[u8], text: &str) -> bool {
    bytes
        .windows(text.len())
        .any(|window| window == text.as_bytes())
}

/// A bucket as far as this program uses one: objects are put and got, each request signed by the key.
struct Bucket(Arc<Objects>, String);

#[derive(Default)]
struct Objects {
    objects: Mutex<BTreeMap<String, Bytes>>,
    shut: Mutex<bool>,
}

impl Bucket {
    async fn open() -> Self {
        let objects = Arc::<Objects>::default();
        let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await.unwrap();
        let address = format!("http://{}", listener.local_addr().unwrap());
        let router = Router::new().fallback(object).with_state(objects.clone());
        tokio::spawn(async move { axum::serve(listener, router).await.unwrap() });
        Self(objects, address)
    }

    fn desk(&self, world: &World) -> Desk {
        let variables = [
            ("AWS_ENDPOINT", self.1.as_str()),
            ("AWS_ALLOW_HTTP", "true"),
            ("AWS_REGION", "north-1"),
            ("AWS_ACCESS_KEY_ID", "the-key"),
            ("AWS_SECRET_ACCESS_KEY", "the-secret"),
            ("HOME", "/nowhere"),
        ];
        let variables = variables.map(|(name, value)| (name.to_owned(), value.to_owned()));
        Desk {
            files: Files::open("s3://gear/evidence", variables.into_iter()).unwrap(),
            ..world.desk()
        }
    }
}

async fn object(
    State(bucket): State<Arc<Objects>>,
    method: Method,
    uri: Uri,
    headers: HeaderMap,
    body: Bytes,
) -> Response {
    let signed = headers[header::AUTHORIZATION].to_str().unwrap();
    assert!(
        signed.starts_with("AWS4-HMAC-SHA256 Credential=the-key/"),
        "{signed}"
    );
    if *bucket.shut.lock().unwrap() {
        return StatusCode::FORBIDDEN.into_response();
    }
    let mut objects = bucket.objects.lock().unwrap();
    match method {
        Method::PUT => {
            assert_eq!(
                headers["x-amz-content-sha256"],
                FileHash::of(&body).as_str()
            );
            objects.insert(uri.path().to_owned(), body);
            [(header::ETAG, "\"1\"")].into_response()
        }
        Method::GET => match objects.get(uri.path()) {
            Some(bytes) => {
                let marks = [
                    (header::ETAG, "\"1\""),
                    (header::LAST_MODIFIED, "Sun, 01 Mar 2026 09:30:00 GMT"),
                ];
                (marks, bytes.clone()).into_response()
            }
            None => StatusCode::NOT_FOUND.into_response(),
        },
        _ => StatusCode::METHOD_NOT_ALLOWED.into_response(),
    }
}
