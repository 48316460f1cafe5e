//! Bringing a list in through the pages, as a browser without JavaScript does.

use axum::{
    body::Body,
    http::{Method, Request, StatusCode, header},
};

use crate::client::{Answer, Client};

const LIST: &str = "\
Tag,Type,Maker,Model,Store,Made,MBS (kN),Colour
R-1,Rope,Calder Lines,Ghyll <b>11</b>,Van 2,04/05/2021,32,red
G-1,Gas meter,Calder Lines,Sniff,Van 2,,,grey
";

/// Sends a file as the form of the page does.
async fn upload(client: &Client, name: &str, bytes: &[u8]) -> Answer {
    let mut body = format!(
        "--edge\r\nContent-Disposition: form-data; name=\"file\"; filename=\"{name}\"\r\nContent-Type: text/csv\r\n\r\n"
    )
    .into_bytes();
    body.extend_from_slice(bytes);
    body.extend_from_slice(b"\r\n--edge--\r\n");
    let request = Request::builder()
        .method(Method::POST)
        .uri("/import")
        .header(header::HOST, "gear.test")
        .header("sec-fetch-site", "same-origin")
        .header(header::CONTENT_TYPE, "multipart/form-data; boundary=edge")
        .body(Body::from(body))
        .unwrap();
    client.send(request).await
}

on_both_databases! {
    async fn a_list_is_brought_answered_and_taken_in(world) {
        let officer = world.visitor(&world.officer).await;
        assert!(officer.get("/import").await.text.contains("multipart/form-data"));
        let sent = upload(&officer, "gear.csv", LIST.as_bytes()).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER);
        let page = sent.location().to_owned();
        let asked = officer.get(&page).await;
        assert_eq!(asked.status, StatusCode::OK);
        for words in [
            "Nothing can be taken in yet: 5 questions to answer, in 2 rows.",
            "written with the day first or with the month first?",
            "What does &#34;Gas meter&#34; mean as kind of gear?",
            "Ghyll &#60;b&#62;11&#60;/b&#62;",
            "Say what it is.",
        ] {
            assert!(asked.text.contains(words), "{words}\n{}", asked.text);
        }
        assert!(!asked.text.contains("Take in"));
        let early = officer.post(&format!("{page}/take"), &[]).await;
        assert_eq!(early.status, StatusCode::CONFLICT);
        let wrong = officer.post(&page, &[("dates", "backwards"), ("column-0", "nonsense"), ("heading-0", "Tag")]).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(wrong.text.contains("Nothing was saved: 2 things to mend."));
        let answers = [
            ("dates", "day-first"),
            ("field-0", "kind"), ("word-0", "gas METER"), ("meaning-0", "leave-out"),
            ("silent-life-support", "yes"), ("silent-strength-source", "paper"),
            ("heading-7", "Colour"), ("column-7", "in-note"),
        ];
        assert_eq!(officer.post(&page, &answers).await.status, StatusCode::SEE_OTHER);
        let ready = officer.get(&page).await;
        assert!(ready.text.contains("1 item can be taken in, with 1 new model and 1 new store; 1 row left out."), "{}", ready.text);
        assert!(ready.text.contains("Take in 1 item"));
        let taken = officer.post(&format!("{page}/take"), &[]).await;
        assert_eq!((taken.status, taken.location()), (StatusCode::SEE_OTHER, "/items"));
        let mut tx = world.database.read(world.team).await.unwrap();
        let item = tx.item_marked("R-1").await.unwrap().unwrap();
        assert_eq!(item.made.unwrap().to_string(), "2021-05-04");
        assert_eq!(item.note, "Colour: red");
        assert_eq!(officer.get(&page).await.status, StatusCode::NOT_FOUND);
    }

    async fn a_waiting_list_is_seen_by_those_of_its_team_who_keep_the_register(world) {
        let officer = world.visitor(&world.officer).await;
        let page = upload(&officer, "gear.csv", LIST.as_bytes()).await.location().to_owned();
        let status = async |client: Client| client.get(&page).await.status;
        assert_eq!(status(world.visitor(&world.admin).await).await, StatusCode::OK);
        assert_eq!(status(world.visitor(&world.outsider).await).await, StatusCode::NOT_FOUND);
        assert_eq!(status(world.visitor(&world.crew).await).await, StatusCode::FORBIDDEN);
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.post(&format!("{page}/take"), &[]).await.status, StatusCode::NOT_FOUND);
        outsider.post(&format!("{page}/drop"), &[]).await;
        assert_eq!(officer.get(&page).await.status, StatusCode::OK);
        assert_eq!(officer.post(&format!("{page}/drop"), &[]).await.status, StatusCode::SEE_OTHER);
        assert_eq!(officer.get(&page).await.status, StatusCode::NOT_FOUND);
    }

    async fn what_is_no_list_is_refused_with_a_sentence(world) {
        let officer = world.visitor(&world.officer).await;
        let cases: [(&str, &[u8], &str); 4] = [
            ("", b"", "Choose a file."),
            ("gear.pdf", b"%PDF-1.7", "cannot be read"),
            ("gear.csv", b"", "The file is empty."),
            ("gear.xlsx", b"PK\x03\x04", "The workbook is damaged"),
        ];
        for (name, bytes, words) in cases {
            let answer = upload(&officer, name, bytes).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{name}");
            assert!(answer.text.contains(words), "{name}: {}", answer.text);
        }
        for size in [20 * 1024 * 1024 + 1, 21 * 1024 * 1024] {
            let answer = upload(&officer, "gear.csv", &vec![b'x'; size]).await;
            assert_eq!(answer.status, StatusCode::PAYLOAD_TOO_LARGE);
            assert!(answer.text.contains("This is too large: at most 20 MiB can be sent here."));
        }
        let plain = officer.post("/import", &[("file", "x")]).await;
        assert_eq!(plain.status, StatusCode::UNSUPPORTED_MEDIA_TYPE);
    }
}
