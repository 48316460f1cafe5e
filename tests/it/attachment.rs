//! Photos and documents on records, through the pages.

use axum::http::{StatusCode, header};
use ropeloft::{
    domain::{Change, MOST_ATTACHED},
    view::PROBE,
};
use uuid::Uuid;

use crate::{
    attachment_given::{document, photo, telling_photo},
    item_given::{Given, examine, one_rope},
    stock,
    store_rebuild::again,
    world::World,
};

/// The address of the first file that a page shows.
fn source(page: &str) -> &str {
    let rest = page
        .split("<img src=\"/attachments/")
        .nth(1)
        .expect("a photo is shown");
    rest.split('"').next().unwrap()
}

/// The id of the last examination of the item.
async fn last_look(given: &Given) -> String {
    let answer = given
        .officer
        .get(&format!("/api/v1/items/{}/examinations", given.item))
        .await;
    answer.json()["examinations"][0]["id"]
        .as_str()
        .unwrap()
        .to_owned()
}

on_both_databases! {
    async fn a_photo_is_put_on_an_item_and_shown_with_its_caption(world) {
        let given = one_rope(&world).await;
        let (officer, record) = (&given.officer, format!("item={}", given.item));
        let form = officer.get(&format!("/attachments/new?{record}")).await;
        assert_eq!(form.status, StatusCode::OK, "{}", form.text);
        for part in ["enctype=\"multipart/form-data\"", "capture=\"environment\"", " multiple", "RL-0042"] {
            assert!(form.text.contains(part), "{part}: {}", form.text);
        }
        let done = officer.put_on(&record, "cut in the sheath", "IMG 7.jpg", &telling_photo()).await;
        assert_eq!((done.status, done.location()), (StatusCode::SEE_OTHER, format!("/items/{}", given.item).as_str()), "{}", done.text);
        let page = officer.get(done.location()).await.text;
        assert!(page.contains("<span>cut in the sheath</span>") && page.contains("added 2026-03-01"), "{page}");
        let small = officer.get(&format!("/attachments/{}", source(&page))).await;
        assert_eq!(small.header(header::CONTENT_TYPE), "image/jpeg");
        assert_eq!(small.header(header::CACHE_CONTROL), "private, max-age=31536000, immutable");
        assert_eq!(small.header(header::X_CONTENT_TYPE_OPTIONS), "nosniff");
        assert!(small.header(header::CONTENT_SECURITY_POLICY).contains("sandbox"));
        assert_eq!(small.header(header::CONTENT_DISPOSITION), "inline; filename=\"IMG 7.jpg\"; filename*=UTF-8''IMG%207.jpg");
        assert!(!small.text.contains("Exif"));
        let one = &officer.on_record(&record).await[0];
        let shown = officer.get(&format!("/attachments/{}", one["id"].as_str().unwrap())).await.text;
        assert!(shown.contains(one["file"]["sha256"].as_str().unwrap()) && shown.contains("alt=\"cut in the sheath\""), "{shown}");
        let history = officer.get(&format!("/items/{}/history", given.item)).await.text;
        assert!(history.contains("Photo put on RL-0042") && history.contains(one["file"]["sha256"].as_str().unwrap()), "{history}");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn whoever_has_a_file_need_not_ask_again(world) {
        let given = one_rope(&world).await;
        given.officer.put_on(&format!("item={}", given.item), "tag", "a.jpg", &photo(1)).await;
        let page = given.officer.get(&format!("/items/{}", given.item)).await.text;
        let path = format!("/attachments/{}", source(&page));
        let mark = given.officer.get(&path).await.header(header::ETAG).to_owned();
        let request = axum::http::Request::get(&path)
            .header(header::HOST, "gear.test")
            .header(header::IF_NONE_MATCH, &mark)
            .body(axum::body::Body::empty())
            .unwrap();
        let again = given.officer.send(request).await;
        assert_eq!((again.status, again.bytes.len()), (StatusCode::NOT_MODIFIED, 0));
        assert_eq!(world.stranger().get(&path).await.status, StatusCode::SEE_OTHER, "nobody sees it unasked");
    }

    async fn several_go_at_once_all_or_none(world) {
        let given = one_rope(&world).await;
        let (officer, record) = (&given.officer, format!("item={}", given.item));
        let path = format!("/attachments?{record}&id={}", Uuid::now_v7());
        let before = world.entries().await;
        let (first, second) = (photo(1), photo(2));
        let heic = b"\0\0\0\x18ftypheic\0\0\0\0mif1".as_slice();
        let mut fields = vec![
            ("caption", None, b"both ends".as_slice()),
            ("camera", Some("shot.jpg"), first.as_slice()),
            ("files", Some("<b>two</b>.heic"), heic),
        ];
        let wrong = officer.upload(&path, &fields).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(wrong.text.contains("f-files-wrong-1") && wrong.text.contains("A HEIC photo is not read here"), "{}", wrong.text);
        assert!(wrong.text.contains("value=\"both ends\"") && !wrong.text.contains("<b>two"), "{}", wrong.text);
        assert_eq!(world.entries().await, before, "nothing was recorded");
        fields[2] = ("files", Some("two.jpg"), &second);
        for _ in 0..2 {
            let done = officer.upload(&path, &fields).await;
            assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        }
        assert_eq!(world.entries().await, before + 2, "sent twice, recorded once");
        let captions: Vec<String> = officer.on_record(&record).await.iter().map(|one| one["caption"].as_str().unwrap().to_owned()).collect();
        assert_eq!(captions, ["both ends (1 of 2)", "both ends (2 of 2)"]);
        let same = officer.put_on(&record, "the same again", "shot.jpg", &first).await;
        assert_eq!(same.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(same.text.contains("is on this record already"), "{}", same.text);
        let many: Vec<_> = (0..9).map(|_| ("files", Some("a.jpg"), first.as_slice())).collect();
        let many = officer.upload(&path, &many).await;
        assert!(many.text.contains("At most 8 files go at once; 9 were sent"), "{}", many.text);
        assert!(many.text.contains("f-caption-wrong-1"), "all that is wrong at once: {}", many.text);
    }

    async fn a_form_without_a_file_or_a_caption_says_so(world) {
        let given = one_rope(&world).await;
        let record = format!("item={}", given.item);
        let before = world.entries().await;
        let none = given.officer.upload(&format!("/attachments?{record}"), &[("files", Some(""), b"")]).await;
        assert_eq!(none.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(none.text.contains("Choose a file, or take a photo.") && none.text.contains("read out to whoever cannot see it"), "{}", none.text);
        let long = "x".repeat(201);
        let long = given.officer.put_on(&record, &long, "a.jpg", &photo(1)).await;
        assert!(long.text.contains("Keep this to 200 characters; 201 were given."), "{}", long.text);
        assert_eq!(world.entries().await, before);
        for query in ["", "?item=x", "?item=00000000-0000-0000-0000-000000000000&model=00000000-0000-0000-0000-000000000000"] {
            let answer = given.officer.get(&format!("/attachments/new{query}")).await;
            assert_eq!(answer.status, StatusCode::BAD_REQUEST, "{query}");
        }
    }

    async fn markup_in_a_caption_or_a_name_stays_text(world) {
        let given = one_rope(&world).await;
        let record = format!("item={}", given.item);
        // A quote would end the name of the file in the form.
        let done = given.officer.put_on(&record, PROBE, "..\\up\u{202e}<script>alert(1)</script>.jpg", &photo(1)).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
        let one = &given.officer.on_record(&record).await[0];
        assert_eq!(one["name"], "script>.jpg", "a slash ends a folder");
        let id = one["id"].as_str().unwrap();
        for path in [format!("/items/{}", given.item), format!("/attachments/{id}"), format!("/attachments/{id}/withdraw"), format!("/items/{}/history", given.item)] {
            let page = given.officer.get(&path).await;
            assert_eq!(page.status, StatusCode::OK, "{path}");
            assert!(!page.text.contains("<script>alert") && !page.text.contains(PROBE), "{path}: {}", page.text);
        }
    }

    async fn crew_prove_their_looks_and_events_and_nothing_else(world) {
        let given = one_rope(&world).await;
        let crew = world.visitor(&world.crew).await;
        examine(&given.officer, &given.item, &[("kind", "intake"), ("on", "2026-02-20"), ("verdict", "fit"), ("markings_readable", "yes")]).await;
        let intake = format!("examination={}", last_look(&given).await);
        let fields = [("kind", "pre-use"), ("on", "2026-02-28"), ("verdict", "fit"), ("act", "photos")];
        let look = crew.post(&format!("/items/{}/examinations", given.item), &fields).await;
        assert!(look.location().starts_with("/attachments/new?examination="), "{}", look.text);
        let look = look.location().rsplit('?').next().unwrap().to_owned();
        let fields = [("kind", "drop"), ("on", "2026-02-28"), ("note", "from the truck"), ("act", "photos")];
        let event = crew.post(&format!("/items/{}/events", given.item), &fields).await;
        assert!(event.location().starts_with("/attachments/new?event="), "{}", event.text);
        let event = event.location().rsplit('?').next().unwrap().to_owned();
        let (own, model) = (format!("item={}", given.item), format!("model={}", given.model));
        for (at, (record, may)) in [(&look, true), (&event, true), (&intake, false), (&own, false), (&model, false)].into_iter().enumerate() {
            let form = crew.get(&format!("/attachments/new?{record}")).await.status;
            let done = crew.put_on(record, "what I saw", "a.jpg", &photo(u8::try_from(at).unwrap())).await.status;
            let wanted = if may { (StatusCode::OK, StatusCode::SEE_OTHER) } else { (StatusCode::FORBIDDEN, StatusCode::FORBIDDEN) };
            assert_eq!((form, done), wanted, "{record}");
        }
        let page = crew.get(&format!("/items/{}", given.item)).await.text;
        assert!(page.contains("Pre-use check, 2026-02-28"), "{page}");
        assert!(page.contains("It was dropped or hit, 2026-02-28"), "{page}");
        let look = look.split('=').nth(1).unwrap();
        let page = crew.get(&format!("/items/{}/examinations/{look}", given.item)).await.text;
        assert!(page.contains("what I saw") && page.contains("Add photos or documents"), "{page}");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn an_auditor_sees_and_adds_nothing_and_another_team_finds_nothing(world) {
        let given = one_rope(&world).await;
        let record = format!("item={}", given.item);
        given.officer.put_on(&record, "tag", "a.jpg", &photo(1)).await;
        let one = &given.officer.on_record(&record).await[0];
        let id = one["id"].as_str().unwrap();
        let file = format!("/attachments/{id}/{}.jpg", one["file"]["sha256"].as_str().unwrap());
        let auditor = world.visitor(&world.auditor).await;
        let page = auditor.get(&format!("/items/{}", given.item)).await.text;
        assert!(page.contains("<span>tag</span>") && !page.contains("/attachments/new"), "{page}");
        assert_eq!(auditor.get(&file).await.status, StatusCode::OK);
        assert!(!auditor.get(&format!("/attachments/{id}")).await.text.contains("/withdraw"));
        assert_eq!(auditor.put_on(&record, "x", "b.jpg", &photo(2)).await.status, StatusCode::FORBIDDEN);
        assert_eq!(auditor.post(&format!("/attachments/{id}/withdraw"), &[("reason", "x")]).await.status, StatusCode::FORBIDDEN);
        let outsider = world.visitor(&world.outsider).await;
        let paths = [file.clone(), format!("/attachments/{id}"), format!("/attachments/{id}/withdraw"), format!("/attachments/new?{record}"), format!("/api/v1/attachments?{record}"), format!("/api/v1/attachments/{id}")];
        for path in paths {
            assert_eq!(outsider.get(&path).await.status, StatusCode::NOT_FOUND, "{path}");
        }
        assert_eq!(outsider.put_on(&record, "x", "b.jpg", &photo(2)).await.status, StatusCode::NOT_FOUND);
        assert_eq!(outsider.post(&format!("/attachments/{id}/withdraw"), &[("reason", "x")]).await.status, StatusCode::NOT_FOUND);
        let other = format!("/attachments/{id}/{}.jpg", "0".repeat(64));
        for path in [other, file.replace(".jpg", "").replace(id, &Uuid::now_v7().to_string()), format!("/attachments/{id}/..%2f..%2fetc")] {
            assert_eq!(given.officer.get(&path).await.status, StatusCode::NOT_FOUND, "{path}");
        }
    }

    async fn what_is_withdrawn_is_shown_no_more_and_stays_in_the_history(world) {
        let given = one_rope(&world).await;
        let (officer, record) = (&given.officer, format!("item={}", given.item));
        officer.put_on(&record, "the wrong rope", "a.jpg", &photo(1)).await;
        let one = officer.on_record(&record).await[0].clone();
        let (id, hash) = (one["id"].as_str().unwrap(), one["file"]["sha256"].as_str().unwrap());
        let off = format!("/attachments/{id}/withdraw");
        let empty = officer.post(&off, &[("reason", " ")]).await;
        assert_eq!(empty.status, StatusCode::UNPROCESSABLE_ENTITY);
        let crew = world.visitor(&world.crew).await;
        assert_eq!(crew.post(&off, &[("reason", "not mine")]).await.status, StatusCode::FORBIDDEN);
        assert_eq!(officer.post(&off, &[("reason", "it shows another rope")]).await.status, StatusCode::SEE_OTHER);
        let twice = officer.post(&off, &[("reason", "again")]).await;
        assert_eq!(twice.status, StatusCode::CONFLICT);
        assert!(twice.text.contains("was withdrawn already; nothing is left to be done"), "{}", twice.text);
        assert!(!officer.get(&format!("/items/{}", given.item)).await.text.contains("<img src=\"/attachments"));
        assert_eq!(officer.get(&format!("/attachments/{id}/{hash}.jpg")).await.status, StatusCode::NOT_FOUND);
        let page = officer.get(&format!("/attachments/{id}")).await.text;
        assert!(page.contains("Withdrawn on 2026-03-01") && page.contains("it shows another rope") && page.contains(hash), "{page}");
        assert!(!page.contains("<img src=\"/attachments"), "{page}");
        let history = officer.get("/history").await.text;
        assert!(history.contains("Photo withdrawn from RL-0042") && history.contains("it shows another rope"), "{history}");
        let kept = officer.on_record(&record).await;
        assert_eq!(kept[0]["withdrawn"]["reason"], "it shows another rope");
        // The same photo may come back, since the old one is not shown.
        assert_eq!(officer.put_on(&record, "after all", "a.jpg", &photo(1)).await.status, StatusCode::SEE_OTHER);
        assert_eq!(again(&world).await.differences, []);
    }

    async fn whoever_put_it_there_may_withdraw_it(world) {
        let given = one_rope(&world).await;
        let crew = world.visitor(&world.crew).await;
        let fields = [("kind", "drop"), ("on", "2026-02-28"), ("note", "from the truck"), ("act", "photos")];
        let event = crew.post(&format!("/items/{}/events", given.item), &fields).await;
        let record = event.location().rsplit('?').next().unwrap().to_owned();
        crew.put_on(&record, "blurred", "a.jpg", &photo(1)).await;
        let id = crew.on_record(&record).await[0]["id"].as_str().unwrap().to_owned();
        let done = crew.post(&format!("/attachments/{id}/withdraw"), &[("reason", "blurred")]).await;
        assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
    }

    async fn a_model_bears_its_papers_and_its_items_show_them(world) {
        let given = one_rope(&world).await;
        let record = format!("model={}", given.model);
        let done = given.officer.put_on(&record, "instructions of 2024", "Line 11 <manual>.pdf", &document()).await;
        assert_eq!(done.location(), format!("/models/{}", given.model), "{}", done.text);
        for path in [format!("/models/{}", given.model), format!("/items/{}", given.item)] {
            let page = given.officer.get(&path).await.text;
            assert!(page.contains("instructions of 2024") && page.contains("PDF, 1 KiB"), "{path}: {page}");
        }
        let one = &given.officer.on_record(&record).await[0];
        let path = format!("/attachments/{}/{}.pdf", one["id"].as_str().unwrap(), one["file"]["sha256"].as_str().unwrap());
        let file = given.officer.get(&path).await;
        assert_eq!(file.bytes, document());
        assert_eq!(file.header(header::CONTENT_TYPE), "application/pdf");
        assert_eq!(file.header(header::CONTENT_SECURITY_POLICY), "default-src 'none'; sandbox; frame-ancestors 'none'");
        let shown = file.header(header::CONTENT_DISPOSITION);
        assert_eq!(shown, "attachment; filename=\"Line 11 _manual_.pdf\"; filename*=UTF-8''Line%2011%20%3Cmanual%3E.pdf");
        let history = given.officer.get("/history").await.text;
        assert!(history.contains("Document put on the model Tarn &#38; Fell Line 11"), "{history}");
        assert!(history.contains(&format!("href=\"/models/{}\"", given.model)));
    }

    async fn a_record_bears_so_many_and_no_more(world) {
        let given = one_rope(&world).await;
        let record = format!("item={}", given.item);
        given.officer.put_on(&record, "the first", "a.jpg", &photo(1)).await;
        let first = given.officer.on_record(&record).await[0].clone();
        for at in 1..MOST_ATTACHED {
            let mut more: ropeloft::domain::Attachment = serde_json::from_value(first.clone()).unwrap();
            more.id = ropeloft::domain::AttachmentId::new();
            more.file.sha256 = ropeloft::domain::FileHash::of(&at.to_le_bytes());
            world.record(Change::FileAttached(more)).await;
        }
        let full = given.officer.put_on(&record, "one more", "b.jpg", &photo(2)).await;
        assert_eq!(full.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(full.text.contains("at most 40 photos and documents; this one has 40, and 1 were sent"), "{}", full.text);
        let page = given.officer.get(&format!("/items/{}", given.item)).await.text;
        assert!(page.contains("Find the others in its history"), "{page}");
        let mut tx = world.database.read(world.team).await.unwrap();
        let item = tx.item_marked("RL-0042").await.unwrap().unwrap();
        assert_eq!(tx.attachments_in_line(&item, 100).await.unwrap().len(), MOST_ATTACHED);
    }

    async fn where_the_storage_fails_nothing_is_recorded(world) {
        let given = one_rope(&world).await;
        let (officer, record) = (&given.officer, format!("item={}", given.item));
        officer.put_on(&record, "kept before", "a.jpg", &photo(1)).await;
        let one = officer.on_record(&record).await[0].clone();
        let path = format!("/attachments/{}/{}.jpg", one["id"].as_str().unwrap(), one["file"]["sha256"].as_str().unwrap());
        let before = world.entries().await;
        // Something else stands where the folder was.
        let folder = world.folder.path().join("files");
        std::fs::rename(&folder, world.folder.path().join("away")).unwrap();
        std::fs::write(&folder, "no folder").unwrap();
        let failed = officer.put_on(&record, "lost", "b.jpg", &photo(2)).await;
        assert_eq!(failed.status, StatusCode::SERVICE_UNAVAILABLE);
        assert!(failed.text.contains("does not answer; try again in a few minutes. Nothing was recorded."), "{}", failed.text);
        let failed = officer.get(&path).await;
        assert!([StatusCode::SERVICE_UNAVAILABLE, StatusCode::INTERNAL_SERVER_ERROR].contains(&failed.status));
        assert_eq!(officer.get(&format!("/items/{}", given.item)).await.status, StatusCode::OK, "the record is there");
        assert_eq!(world.entries().await, before);
        std::fs::remove_file(&folder).unwrap();
        std::fs::rename(world.folder.path().join("away"), &folder).unwrap();
        assert_eq!(officer.put_on(&record, "kept now", "b.jpg", &photo(2)).await.status, StatusCode::SEE_OTHER);
    }

    async fn bytes_that_were_changed_are_not_shown(world) {
        let given = one_rope(&world).await;
        let (officer, record) = (&given.officer, format!("item={}", given.item));
        officer.put_on(&record, "evidence", "a.jpg", &photo(1)).await;
        let one = officer.on_record(&record).await[0].clone();
        let hash = one["file"]["sha256"].as_str().unwrap();
        let kept = world.folder.path().join("files").join(world.team.to_string()).join(&hash[..2]).join(hash);
        std::fs::write(&kept, photo(9)).unwrap();
        let path = format!("/attachments/{}/{hash}.jpg", one["id"].as_str().unwrap());
        let altered = officer.get(&path).await;
        assert_eq!(altered.status, StatusCode::INTERNAL_SERVER_ERROR);
        assert!(altered.text.contains("its bytes are other ones. It is not given out."), "{}", altered.text);
        assert_ne!(altered.bytes, photo(9));
        std::fs::remove_file(&kept).unwrap();
        let gone = officer.get(&path).await;
        assert_eq!(gone.status, StatusCode::INTERNAL_SERVER_ERROR);
        assert!(gone.text.contains("does not hold this photo or document any more"), "{}", gone.text);
    }

    async fn a_piece_shows_what_was_put_on_the_rope_before_it_was_cut(world) {
        let stock = world.stock().await;
        let officer = world.visitor(&world.officer).await;
        let rope = stock::item("R-1", &stock.model, &stock.store);
        world.record(Change::ItemAdded(rope.clone())).await;
        officer.put_on(&format!("item={}", rope.id), "the whole rope", "a.jpg", &photo(1)).await;
        let piece = stock::item("R-1A", &stock.model, &stock.store);
        world.record(Change::RopeCut(stock::cut(&rope, std::slice::from_ref(&piece)))).await;
        officer.put_on(&format!("item={}", rope.id), "after the cut", "b.jpg", &photo(2)).await;
        let page = officer.get(&format!("/items/{}", piece.id)).await.text;
        assert!(page.contains("the whole rope") && !page.contains("after the cut"), "{page}");
    }
}

impl World {
    /// How many files are in the storage.
    pub fn kept_files(&self) -> usize {
        let mut folders = vec![self.folder.path().join("files")];
        let mut count = 0;
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(folder).into_iter().flatten().flatten() {
                if entry.path().is_dir() {
                    folders.push(entry.path());
                } else {
                    count += 1;
                }
            }
        }
        count
    }
}
