//! Bringing a list in through the pages, as a browser without JavaScript does.

use axum::http::StatusCode;

use crate::client::{Answer, Client};

const LIST: &str = "\
Tag,Type,Maker,Model,Store,Made,MBS (kN),Colour
R-1,Rope,Calder Lines,Ghyll <b>11</b>,Van 2,04/05/2021,32,red
G-1,Thingummy,Calder Lines,Sniff,Van 2,,,grey
";

/// Sends a file as the form of the page does.
async fn upload(client: &Client, name: &str, bytes: &[u8]) -> Answer {
    let fields = [("file", Some(name), bytes)];
    client.upload("/import", &fields).await
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
            "Nothing can be taken in yet: 5 questions to answer. The list has 2 rows.",
            "written with the day first or with the month first?",
            "What does &#34;Thingummy&#34; mean as kind of gear?",
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
            ("field-0", "kind"), ("word-0", "thinGUMMY"), ("meaning-0", "leave-out"),
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

    async fn units_are_asked_for_kept_and_used(world) {
        const BARE: &str = "Tag,Type,Maker,Model,Store,PPE,MBS (kN),Length,Rope dia\nR-1,Rope,Calder Lines,Ghyll 11,Van 2,yes,32,60,11\n";
        let officer = world.visitor(&world.officer).await;
        let page = upload(&officer, "gear.csv", BARE.as_bytes()).await.location().to_owned();
        let asked = officer.get(&page).await.text;
        for words in [
            "In which unit are the numbers under &#34;Length&#34; (H, 1 cell, such as &#34;60&#34; in row 2): mm, cm, m, in or ft?",
            "<dt>Columns that wait for a unit</dt><dd>Length; Rope dia</dd>",
            "Its numbers wait for a unit.",
            "<details><summary>The columns",
        ] {
            assert!(asked.contains(words), "{words}\n{asked}");
        }
        // How many rows come in is said before the columns are.
        let place = |words: &str| asked.find(words).unwrap_or_else(|| panic!("{words}\n{asked}"));
        assert!(place("Items that would come in") < place("Asked") && place("Asked") < place("<summary>The columns"));
        let wrong = officer.post(&page, &[("unit-7", "furlong"), ("heading-7", "Length")]).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        let one = [("unit-7", "m"), ("heading-7", "Length"), ("heading-8", "Rope dia"), ("silent-strength-source", "paper")];
        assert_eq!(officer.post(&page, &one).await.status, StatusCode::SEE_OTHER);
        let kept = officer.get(&page).await.text;
        assert!(kept.contains("The numbers under &#34;Length&#34; are in"), "{kept}");
        assert!(kept.contains("<option value=\"m\" selected>m</option>"), "{kept}");
        assert!(kept.contains("<dd>Rope dia</dd>"), "{kept}");
        let both = [one.as_slice(), &[("unit-8", "mm")]].concat();
        assert_eq!(officer.post(&page, &both).await.status, StatusCode::SEE_OTHER);
        let ready = officer.get(&page).await.text;
        for words in ["1 item can be taken in", "<dt>Items that come in</dt><dd>1</dd>", "<details><summary>"] {
            assert!(ready.contains(words), "{words}\n{ready}");
        }
        // Taken back, it is asked for again.
        assert_eq!(officer.post(&page, &one).await.status, StatusCode::SEE_OTHER);
        assert!(officer.get(&page).await.text.contains("<dd>Rope dia</dd>"));
        officer.post(&page, &both).await;
        let taken = officer.post(&format!("{page}/take"), &[]).await;
        assert_eq!((taken.status, taken.location()), (StatusCode::SEE_OTHER, "/items"));
        let mut tx = world.database.read(world.team).await.unwrap();
        let item = tx.item_marked("R-1").await.unwrap().unwrap();
        assert_eq!(item.attributes.typed()["length"], "60 m");
        let model = tx.model(item.model).await.unwrap().unwrap();
        assert_eq!(model.attributes.typed()["diameter"], "11 mm");
    }

    async fn the_page_counts_the_rows_and_opens_the_columns_where_they_are_in_doubt(world) {
        const MIXED: &str = "Tag,Type,Maker,Model,Store,PPE,S/N,Serial\n1,helmet,F,D,B,yes,5,\n2,helmet,F,D,B,yes,,6\n";
        let officer = world.visitor(&world.officer).await;
        let page = upload(&officer, "gear.csv", MIXED.as_bytes()).await.location().to_owned();
        let text = officer.get(&page).await.text;
        assert!(text.contains("<dt>Rows that wait for an answer</dt><dd>1</dd>"), "{text}");
        assert!(text.contains("<details open>"), "two columns are one field: {text}");
        let wrong = "Tag,Type,Maker,Model,Store,PPE,Made\n1,helmet,F,D,B,yes,2020\n1,helmet,F,D,B,yes,soon\n3,whatsit,F,D,B,yes,\n";
        let page = upload(&officer, "gear.csv", wrong.as_bytes()).await.location().to_owned();
        let text = officer.get(&page).await.text;
        for words in [
            "<dt>Items that would come in</dt><dd>1</dd>",
            "<dt>Rows that wait for an answer</dt><dd>1</dd>",
            "<dt>Rows that are refused</dt><dd>1</dd>",
        ] {
            assert!(text.contains(words), "{words}\n{text}");
        }
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
