//! Models through their doors.

use axum::http::StatusCode;

use crate::item_given::{ROPE, model, one_rope, with};

/// Whether a field of this id is there with this text in it.
fn holds(html: &str, id: &str, value: &str) -> bool {
    let field = format!("id=\"{id}\"");
    let Some(at) = html.find(&field) else {
        return false;
    };
    let tag = html[at..].split('>').next().unwrap();
    tag.contains(&format!("value=\"{value}\""))
}

/// Whether a choice of this id has this key chosen.
fn chosen(html: &str, id: &str, key: &str) -> bool {
    let Some(at) = html.find(&format!("<select id=\"{id}\"")) else {
        return false;
    };
    let select = html[at..].split("</select>").next().unwrap();
    select.contains(&format!("value=\"{key}\" selected"))
}

on_both_databases! {
    async fn a_model_comes_back_as_it_went_in(world) {
        let officer = world.visitor(&world.officer).await;
        let fields = with(&ROPE, &[
            ("ratings[1][mode]", "terminated"),
            ("ratings[1][value]", "22,5 kN"),
            ("ratings[1][kind]", "breaking"),
            ("ratings[1][source]", "test"),
            ("approvals[1][standard]", "CI 1801"),
            ("approvals[1][rope_least]", "7/16"),
            ("instructions", "<i>shelf 3</i>"),
        ]);
        let wrong = officer.post("/models", &fields).await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY, "a range needs both ends");
        let fields = with(&fields, &[
            ("approvals[1][rope_least]", "0.4375 in"),
            ("approvals[1][rope_most]", "12.7 mm"),
            ("approvals[1][rope_kinds]", "low-stretch, static, dynamic"),
            ("approvals[1][rated_load]", "600 lb"),
            ("approvals[1][least_strands]", "2"),
            ("examine_every_months", "6"),
        ]);
        let id = model(&officer, &fields).await;
        let form = officer.get(&format!("/models/{id}/edit")).await.text;
        for (field, text) in [
            ("f-maker", "Tarn &#38; Fell"),
            ("f-name", "Line 11"),
            ("f-ratings-0-value", "7000 lbf"),
            ("f-ratings-1-value", "22.5 kN"),
            ("f-approvals-0-standard", "EN 1891"),
            ("f-approvals-0-class", "A"),
            ("f-approvals-1-rope_least", "0.4375 in"),
            ("f-approvals-1-rope_most", "12.7 mm"),
            ("f-approvals-1-rated_load", "600 lb"),
            ("f-approvals-1-least_strands", "2"),
            ("f-attributes-diameter", "11 mm"),
            ("f-life_years_from_made", "10"),
            ("f-examine_every_months", "6"),
        ] {
            assert!(holds(&form, field, text), "{field} holds {text}: {form}");
        }
        assert!(chosen(&form, "f-ratings-1-mode", "terminated"), "{form}");
        assert!(chosen(&form, "f-ratings-1-source", "test"));
        assert!(chosen(&form, "f-approvals-1-rope_kinds", "low-stretch, static, dynamic"));
        assert!(chosen(&form, "f-life_support", "yes"));
        assert!(form.contains("&#60;i&#62;shelf 3&#60;/i&#62;"));
        let page = officer.get(&format!("/models/{id}")).await.text;
        // 7000 lbf * 4.4482216152605 N per lbf = 31.14 kN.
        assert!(page.contains("31.1 kN") && page.contains("as entered: 7000 lbf"), "{page}");
        assert!(page.contains("6 months"), "the shorter interval binds");
        let notice = "/notices/new?maker=Tarn%20%26%20Fell&#38;model=Line%2011";
        assert!(page.contains(notice), "{page}");
        let form = officer.get(&notice.replace("&#38;", "&")).await.text;
        assert!(holds(&form, "f-maker", "Tarn &#38; Fell") && holds(&form, "f-model_name", "Line 11"));
    }

    async fn every_wrong_field_is_named_and_keeps_its_text(world) {
        let officer = world.visitor(&world.officer).await;
        let before = world.entries().await;
        let long = "x".repeat(10_000);
        let fields = with(&ROPE, &[
            ("maker", ""),
            ("name", &long),
            ("life_support", "perhaps"),
            ("ratings[0][value]", "NaN kN"),
            ("ratings[1][mode]", "terminated"),
            ("ratings[1][value]", "-5 kN"),
            ("ratings[1][kind]", "breaking"),
            ("ratings[1][source]", "paper"),
            ("ratings[2][mode]", "straight"),
            ("ratings[2][value]", "1e30 kN"),
            ("ratings[2][kind]", "breaking"),
            ("ratings[2][source]", "paper"),
            ("ratings[3][mode]", "straight"),
            ("ratings[3][value]", "22 kg"),
            ("ratings[3][kind]", "breaking"),
            ("ratings[3][source]", "paper"),
            ("approvals[0][standard]", ""),
            ("approvals[0][rated_load]", "<b>heavy</b>"),
            ("attributes[diameter]", "11"),
            ("attributes[fibre]", "wool"),
            ("life_years_from_made", "-1"),
            ("examine_every_months", "100000"),
        ]);
        let answer = officer.post("/models", &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", answer.text);
        for field in [
            "f-maker", "f-name", "f-life_support", "f-ratings-0-value", "f-ratings-1-value",
            "f-ratings-2-value", "f-ratings-3-value", "f-approvals-0-standard",
            "f-approvals-0-rated_load", "f-attributes-diameter", "f-attributes-fibre",
            "f-life_years_from_made", "f-examine_every_months",
        ] {
            assert!(answer.text.contains(&format!("id=\"{field}-wrong-1\"")), "{field}: {}", answer.text);
        }
        assert!(holds(&answer.text, "f-ratings-0-value", "NaN kN"));
        assert!(holds(&answer.text, "f-approvals-0-rated_load", "&#60;b&#62;heavy&#60;/b&#62;"));
        assert!(holds(&answer.text, "f-name", &long));
        assert!(chosen(&answer.text, "f-attributes-fibre", "wool"), "nothing typed is lost");
        assert_eq!(world.entries().await, before);
    }

    async fn one_more_row_keeps_what_was_typed_and_stores_nothing(world) {
        let officer = world.visitor(&world.officer).await;
        let before = world.entries().await;
        let fields = with(&ROPE, &[("more", "approvals"), ("name", "")]);
        let answer = officer.post("/models?id=0190a000-0000-7000-8000-000000000003", &fields).await;
        assert_eq!(answer.status, StatusCode::OK);
        assert!(answer.text.contains("action=\"/models?id=0190a000-0000-7000-8000-000000000003\""));
        assert!(holds(&answer.text, "f-approvals-0-standard", "EN 1891"));
        assert!(holds(&answer.text, "f-approvals-1-standard", ""), "{}", answer.text);
        let fields = with(&ROPE, &[("more", "ratings")]);
        let answer = officer.post("/models", &fields).await;
        assert!(holds(&answer.text, "f-ratings-1-value", ""));
        assert_eq!(world.entries().await, before);
    }

    async fn a_row_left_blank_is_passed_over(world) {
        let officer = world.visitor(&world.officer).await;
        let id = model(&officer, &with(&ROPE, &[
            ("ratings[1][mode]", ""), ("ratings[1][value]", " "),
            ("ratings[1][kind]", "breaking"), ("ratings[1][source]", "marking"),
            ("approvals[1][standard]", ""),
        ])).await;
        let form = officer.get(&format!("/models/{id}/edit")).await.text;
        assert!(form.contains("id=\"f-ratings-0-value\"") && !form.contains("id=\"f-ratings-1-value\""));
    }

    async fn maker_and_name_are_taken_once(world) {
        let given = one_rope(&world).await;
        let before = world.entries().await;
        let answer = given.officer.post("/models", &with(&ROPE, &[("name", "LINE  11")])).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(answer.text.contains("id=\"f-name-wrong-1\""), "{}", answer.text);
        assert_eq!(world.entries().await, before);
    }

    async fn another_team_sees_no_model(world) {
        let given = one_rope(&world).await;
        let outsider = world.visitor(&world.outsider).await;
        for path in [format!("/models/{}", given.model), format!("/models/{}/edit", given.model)] {
            assert_eq!(outsider.get(&path).await.status, StatusCode::NOT_FOUND);
        }
        let fields = with(&ROPE, &[("revision", "1")]);
        let answer = outsider.post(&format!("/models/{}", given.model), &fields).await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND);
        assert!(!outsider.get("/models").await.text.contains("Line 11"));
    }

    async fn a_stale_edit_of_a_model_shows_both_versions(world) {
        let given = one_rope(&world).await;
        let path = format!("/models/{}", given.model);
        let first = with(&ROPE, &[("revision", "1"), ("ratings[0][value]", "30 kN")]);
        assert_eq!(given.officer.post(&path, &first).await.status, StatusCode::SEE_OTHER);
        let second = with(&ROPE, &[("revision", "1"), ("note", "mine")]);
        let answer = given.officer.post(&path, &second).await;
        assert_eq!(answer.status, StatusCode::CONFLICT, "{}", answer.text);
        assert!(answer.text.contains("straight; 7000 lbf; breaking; paper"), "{}", answer.text);
        assert!(answer.text.contains("straight; 30 kN; breaking; paper"));
        assert!(answer.text.contains("<td data-label=\"You typed\">mine</td>"));
        assert!(answer.text.contains("name=\"revision\" value=\"2\""));
        let again = with(&ROPE, &[("revision", "2"), ("note", "mine")]);
        assert_eq!(given.officer.post(&path, &again).await.status, StatusCode::SEE_OTHER);
    }

    async fn a_model_keeps_its_kind(world) {
        let given = one_rope(&world).await;
        let fields = [
            ("kind", "helmet"), ("maker", "Tarn & Fell"), ("name", "Line 11"),
            ("life_support", "yes"), ("revision", "1"),
        ];
        let answer = given.officer.post(&format!("/models/{}", given.model), &fields).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(answer.text.contains("A model keeps its kind"), "{}", answer.text);
    }

    async fn only_those_who_keep_the_register_change_models(world) {
        let given = one_rope(&world).await;
        for actor in [&world.crew, &world.auditor] {
            let client = world.visitor(actor).await;
            assert_eq!(client.get(&format!("/models/{}", given.model)).await.status, StatusCode::OK);
            for path in ["/models/new".to_owned(), format!("/models/{}/edit", given.model)] {
                assert_eq!(client.get(&path).await.status, StatusCode::FORBIDDEN);
            }
            assert_eq!(client.post("/models", &ROPE).await.status, StatusCode::FORBIDDEN);
        }
    }

    async fn what_no_form_of_ours_sends_gets_a_clear_answer(world) {
        let officer = world.visitor(&world.officer).await;
        let before = world.entries().await;
        let many = "9".repeat(40);
        for fields in [
            vec![("kind", "balloon")],
            with(&ROPE, &[("colour", "red")]),
            with(&ROPE, &[("ratings", "x")]),
            with(&ROPE, &[("ratings[0][value][x]", "x")]),
            with(&ROPE, &[("maker[", "x")]),
        ] {
            let answer = officer.post("/models", &fields).await;
            assert_eq!(answer.status, StatusCode::BAD_REQUEST, "{fields:?}");
        }
        for path in [
            "/models/new?kind=balloon", "/models?kind=x", "/models?after=zz",
            &format!("/models?after={many}"),
        ] {
            assert_eq!(officer.get(path).await.status, StatusCode::BAD_REQUEST, "{path}");
        }
        for path in ["/models/x", "/models/0190a000-0000-7000-8000-000000000009"] {
            assert_eq!(officer.get(path).await.status, StatusCode::NOT_FOUND, "{path}");
        }
        let rows: Vec<(String, String)> = (0..60)
            .map(|at| (format!("approvals[{at}][standard]"), "EN 567".to_owned()))
            .collect();
        let rows: Vec<(&str, &str)> = rows.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
        let answer = officer.post("/models", &with(&ROPE, &rows)).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "too many approvals");
        assert_eq!(world.entries().await, before);
    }
}
