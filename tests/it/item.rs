//! Items through the doors of their form and their page.

use axum::http::StatusCode;
use uuid::Uuid;

use crate::item_given::{examine, item, model, one_rope, rope_fields, store, with};

/// The answer of a page: its words and what stands below them.
fn answer(html: &str) -> &str {
    let from = html.find("class=\"answer").expect("the page has an answer");
    html[from..].split("</div>").next().unwrap()
}

on_both_databases! {
    async fn an_item_comes_back_as_it_went_in(world) {
        let given = one_rope(&world).await;
        let form = given.officer.get(&format!("/items/{}/edit", given.item)).await.text;
        for value in [
            "RL-0042", "S-77&#60;1&#62;", "L9", "2021", "2021-06-01", "2021-07-01", "60 m",
        ] {
            assert!(form.contains(&format!("value=\"{value}\"")), "{value}: {form}");
        }
        assert!(form.contains(&format!("value=\"{}\" selected", given.store)));
        assert!(form.contains(&format!("value=\"{}\" selected", given.model)));
        assert!(form.contains("value=\"yes\" selected"));
        assert!(form.contains("kept with the blue bag</textarea>"));
        let page = given.officer.get(&format!("/items/{}", given.item)).await.text;
        for words in ["RL-0042", "Tarn &#38; Fell Line 11", "S-77&#60;1&#62;", "60 m", "Bay 1", "EN 1891 class A"] {
            assert!(page.contains(words), "{words}: {page}");
        }
        assert!(page.contains("only the year is known; counted from 1 January"), "{page}");
        assert!(page.contains("2031-01-01"), "ten years from 1 January 2021");
    }

    async fn a_form_sent_twice_adds_one_item(world) {
        let given = one_rope(&world).await;
        let before = world.entries().await;
        let path = format!("/items?id={}", Uuid::now_v7());
        let fields = with(&rope_fields(&given.model, &given.store), &[("mark", "RL-0043"), ("serial", "S-78")]);
        for _ in 0..2 {
            assert_eq!(given.officer.post(&path, &fields).await.status, StatusCode::SEE_OTHER);
        }
        assert_eq!(world.entries().await, before + 1);
    }

    async fn a_mark_and_a_serial_are_taken_once(world) {
        let given = one_rope(&world).await;
        let before = world.entries().await;
        let fields = with(&rope_fields(&given.model, &given.store), &[("mark", "rl-0042")]);
        let answer = given.officer.post("/items", &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        for field in ["f-mark-wrong-1", "f-serial-wrong-1"] {
            assert!(answer.text.contains(field), "{field}: {}", answer.text);
        }
        assert!(answer.text.contains("value=\"rl-0042\""));
        assert_eq!(world.entries().await, before);
        // An item is not in its own way.
        let fields = with(&rope_fields(&given.model, &given.store), &[("revision", "1"), ("note", "new")]);
        let answer = given.officer.post(&format!("/items/{}", given.item), &fields).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text);
    }

    async fn nothing_is_bought_before_it_was_made(world) {
        let given = one_rope(&world).await;
        let fields = |made, bought| {
            let own = [("mark", "RL-0043"), ("serial", "S-78"), ("made", made), ("bought_on", bought), ("first_used_on", "")];
            with(&rope_fields(&given.model, &given.store), &own)
        };
        let slip = given.officer.post("/items", &fields("2021-05-02", "2020-06-01")).await;
        assert_eq!(slip.status, StatusCode::UNPROCESSABLE_ENTITY);
        let told = "It cannot be bought before it was made, 2021-05-02, as 2020-06-01 is.";
        assert!(slip.text.contains(told) && slip.text.contains("value=\"2020-06-01\""), "{}", slip.text);
        // Within the month or the year that is known of it, it may be.
        item(&given.officer, &fields("2021-05", "2021-05-01")).await;
    }

    async fn every_wrong_field_of_an_item_is_named_and_keeps_its_text(world) {
        let given = one_rope(&world).await;
        let before = world.entries().await;
        let long = "m".repeat(10_000);
        let fields = [
            ("mark", long.as_str()),
            ("model", given.model.as_str()),
            ("store", "nowhere"),
            ("serial", "two\nlines"),
            ("made", "2026-13"),
            ("bought_on", "01/02/2024"),
            ("first_used_on", "2027-01-01"),
            ("markings_readable", "perhaps"),
            ("attributes[length]", "-60 m"),
            ("attributes[wings]", "<b>2</b>"),
            ("note", "kept"),
        ];
        let answer = given.officer.post("/items", &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", answer.text);
        for field in [
            "mark", "store", "serial", "made", "bought_on", "first_used_on", "markings_readable",
            "attributes-length", "attributes-wings",
        ] {
            assert!(answer.text.contains(&format!("id=\"f-{field}-wrong-1\"")), "{field}: {}", answer.text);
        }
        for text in [&long, "2026-13", "01/02/2024", "-60 m", "&#60;b&#62;2&#60;/b&#62;", "kept</textarea>"] {
            assert!(answer.text.contains(text), "{text:.40} is lost");
        }
        for (made, length) in [("", "NaN m"), ("2026-03-02", "1e99 m"), ("1899", "60 kN"), ("x", "60")] {
            let fields = with(&rope_fields(&given.model, &given.store), &[
                ("mark", "RL-1"), ("serial", ""), ("made", made), ("attributes[length]", length),
                ("first_used_on", ""),
            ]);
            let answer = given.officer.post("/items", &fields).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{made} {length}");
            assert!(answer.text.contains(&format!("value=\"{length}\"")));
        }
        assert_eq!(world.entries().await, before);
    }

    async fn an_item_without_a_model_or_of_another_teams_is_refused(world) {
        let given = one_rope(&world).await;
        let outsider = world.visitor(&world.outsider).await;
        let theirs = store(&outsider, "Shed").await;
        for (model, store) in [("", theirs.as_str()), (given.model.as_str(), theirs.as_str())] {
            let fields = with(&rope_fields(model, store), &[("mark", "X1"), ("serial", "X1")]);
            let answer = outsider.post("/items", &fields).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
            assert!(answer.text.contains("id=\"f-model-wrong-1\""), "{}", answer.text);
            assert!(answer.text.contains("value=\"60 m\""), "nothing typed is lost");
        }
        let path = format!("/items/new?model={}", given.model);
        assert_eq!(outsider.get(&path).await.status, StatusCode::NOT_FOUND);
    }

    async fn another_team_sees_no_item(world) {
        let given = one_rope(&world).await;
        let outsider = world.visitor(&world.outsider).await;
        let page = format!("/items/{}", given.item);
        for path in ["", "/edit", "/step?step=quarantine", "/examinations/new", "/events/new"] {
            let answer = outsider.get(&format!("{page}{path}")).await;
            assert_eq!(answer.status, StatusCode::NOT_FOUND, "{path}");
        }
        let fields = with(&rope_fields(&given.model, &given.store), &[("revision", "1")]);
        assert_eq!(outsider.post(&page, &fields).await.status, StatusCode::NOT_FOUND);
        for (path, fields) in [
            ("step", vec![("step", "retire"), ("reason", "mine")]),
            ("examinations", vec![("kind", "intake"), ("on", "2026-03-01"), ("verdict", "fit")]),
            ("events", vec![("kind", "drop"), ("on", "2026-03-01"), ("note", "x")]),
        ] {
            let answer = outsider.post(&format!("{page}/{path}"), &fields).await;
            assert_eq!(answer.status, StatusCode::NOT_FOUND, "{path}");
        }
        assert!(!outsider.get("/items").await.text.contains("RL-0042"));
        for id in ["x", "0190a000-0000-7000-8000-000000000009"] {
            assert_eq!(given.officer.get(&format!("/items/{id}")).await.status, StatusCode::NOT_FOUND);
        }
    }

    async fn a_stale_edit_of_an_item_shows_both_versions(world) {
        let given = one_rope(&world).await;
        let path = format!("/items/{}", given.item);
        let fields = rope_fields(&given.model, &given.store);
        let first = with(&fields, &[("revision", "1"), ("serial", "S-80")]);
        assert_eq!(given.officer.post(&path, &first).await.status, StatusCode::SEE_OTHER);
        let before = world.entries().await;
        let second = with(&fields, &[("revision", "1"), ("serial", "S-81"), ("attributes[length]", "58 m")]);
        let answer = given.officer.post(&path, &second).await;
        assert_eq!(answer.status, StatusCode::CONFLICT);
        for words in [
            "<td data-label=\"You typed\">S-81</td>", "<td data-label=\"Stored now\">S-80</td>",
            "<td data-label=\"You typed\">58 m</td>", "<td data-label=\"Stored now\">60 m</td>",
            "name=\"revision\" value=\"2\"", "value=\"S-81\"",
        ] {
            assert!(answer.text.contains(words), "{words}: {}", answer.text);
        }
        assert_eq!(world.entries().await, before);
        let lost = given.officer.post(&path, &fields).await;
        assert_eq!(lost.status, StatusCode::BAD_REQUEST, "without its revision");
    }

    async fn the_answer_says_whether_it_may_be_chosen(world) {
        let given = one_rope(&world).await;
        let page = format!("/items/{}", given.item);
        let read = async || given.officer.get(&page).await.text;
        assert!(answer(&read().await).contains("no passed examination is on record"));
        examine(&given.officer, &given.item, &[("kind", "intake"), ("on", "2026-02-20"), ("verdict", "fit")]).await;
        let text = read().await;
        assert!(answer(&text).contains("Fit to be chosen"), "{}", answer(&text));
        assert!(answer(&text).contains("tone-fit"));
        world.clock.advance(time::Duration::days(345));
        let client = world.visitor(&world.officer).await;
        let text = client.get(&page).await.text;
        assert!(answer(&text).contains("tone-watch") && answer(&text).contains("Fit to be chosen; examination due in"), "{}", answer(&text));
        world.clock.advance(time::Duration::days(30));
        let client = world.visitor(&world.officer).await;
        let text = client.get(&page).await.text;
        assert!(answer(&text).contains("Overdue since 2027-02-20"), "{}", answer(&text));
        client.post(&format!("{page}/step"), &[("step", "quarantine"), ("reason", "sheath cut")]).await;
        let text = client.get(&page).await.text;
        assert!(answer(&text).contains("in quarantine since 2027-03-11"), "{}", answer(&text));
        assert!(answer(&text).contains("Because: sheath cut"));
        assert!(text.contains("Its examination was due on 2027-02-20: have it examined."), "all reasons are given: {text}");
    }

    async fn a_gap_in_the_record_is_said_in_the_answer(world) {
        let given = one_rope(&world).await;
        let fields = with(&rope_fields(&given.model, &given.store), &[
            ("mark", "RL-2"), ("serial", ""), ("lot", ""), ("markings_readable", ""),
        ]);
        let id = item(&given.officer, &fields).await;
        examine(&given.officer, &id, &[("kind", "intake"), ("on", "2026-02-20"), ("verdict", "fit")]).await;
        let text = given.officer.get(&format!("/items/{id}")).await.text;
        assert!(answer(&text).contains("no job will take it"), "{}", answer(&text));
        // Its examination noted that the markings can be read.
        assert!(answer(&text).contains("there is 1 reason against it"), "{}", answer(&text));
        assert!(text.contains("Neither its serial nor its lot is known") && text.contains(&format!("/items/{id}/edit")), "{text}");
    }

    async fn the_form_follows_from_the_kind_of_the_model(world) {
        let given = one_rope(&world).await;
        let helmet = model(&given.officer, &[
            ("kind", "helmet"), ("maker", "Tarn & Fell"), ("name", "Dome"), ("life_support", "no"),
        ]).await;
        let form = given.officer.get(&format!("/items/new?model={helmet}")).await.text;
        assert!(form.contains("name=\"attributes[size]\"") && !form.contains("name=\"attributes[length]\""), "{form}");
        assert!(form.contains("action=\"/items?id="));
        let pick = given.officer.get("/items/new?q=dome").await.text;
        assert!(pick.contains(&format!("/items/new?model={helmet}")) && !pick.contains("Line 11"), "{pick}");
    }

    async fn the_history_of_the_record_has_both_clocks(world) {
        let given = one_rope(&world).await;
        world.clock.advance(time::Duration::days(2));
        examine(&given.officer, &given.item, &[
            ("kind", "intake"), ("on", "2026-02-20"), ("verdict", "fit"), ("findings", "like new"),
        ]).await;
        let step = [("step", "quarantine"), ("reason", "sheath cut"), ("on", "2026-02-21")];
        given.officer.post(&format!("/items/{}/step", given.item), &step).await;
        let text = given.officer.get(&format!("/items/{}", given.item)).await.text;
        let past = &text[text.find("History of its record").unwrap()..];
        assert!(past.contains("2026-03-03 09:30 UTC") && past.contains("done 2026-02-21"), "{past}");
        // The examination has its row above, and is not told a second time.
        assert_eq!(text.matches("like new").count(), 1, "{text}");
        assert!(past.contains("recorded by The equipment officer of the north"));
        assert!(past.contains("RL-0042 added to the register"));
    }

    async fn roles_see_only_what_they_may_do(world) {
        let given = one_rope(&world).await;
        let page = format!("/items/{}", given.item);
        let auditor = world.visitor(&world.auditor).await;
        let text = auditor.get(&page).await.text;
        for words in ["/edit", "/step?", "/examinations/new", "/events/new"] {
            assert!(!text.contains(words), "the auditor is offered {words}");
        }
        for path in ["/items/new".to_owned(), format!("{page}/edit"), format!("{page}/events/new")] {
            assert_eq!(auditor.get(&path).await.status, StatusCode::FORBIDDEN, "{path}");
        }
        let crew = world.visitor(&world.crew).await;
        let text = crew.get(&page).await.text;
        for words in ["step?step=quarantine", "step?step=report-missing", "/events/new"] {
            assert!(text.contains(words), "the crew is offered {words}");
        }
        for words in ["/edit", "step?step=retire", "step?step=return"] {
            assert!(!text.contains(words), "the crew is offered {words}");
        }
        let fields = rope_fields(&given.model, &given.store);
        assert_eq!(crew.post("/items", &fields).await.status, StatusCode::FORBIDDEN);
    }
}
