//! What stands in sight in the editor of a rig, and what is folded away: nothing is lost by it.

use std::collections::BTreeSet;

use ropeloft::{domain::RigDraft, rigging::shipped_rig};

use crate::{
    rig_editor::{fields, sent},
    world::on_sqlite,
};

/// The summaries of the parts of a page that are folded away, and of those that stand open.
fn folds(page: &str) -> (Vec<String>, Vec<String>) {
    let (mut folded, mut open) = (Vec::new(), Vec::new());
    for part in page.split("<details class=\"sheet\"").skip(1) {
        let (tag, rest) = part.split_once('>').unwrap();
        let words = rest
            .split_once("<summary>")
            .unwrap()
            .1
            .split_once('<')
            .unwrap()
            .0;
        let words = words.split(':').next().unwrap().to_owned();
        if tag.contains("open") {
            &mut open
        } else {
            &mut folded
        }
        .push(words);
    }
    (folded, open)
}

/// The names of the fields of a page.
fn names(page: &str) -> BTreeSet<String> {
    let named = page.split(" name=\"").skip(1);
    let named = named.map(|rest| rest.split('"').next().unwrap().to_owned());
    named.filter(|name| name != "act").collect()
}

fn copied() -> RigDraft {
    let mut draft = RigDraft::from(&shipped_rig("tripod-with-belay").unwrap().sheet());
    "our-tripod-with-belay".clone_into(&mut draft.key);
    draft.name_all();
    draft
}

#[tokio::test]
async fn a_copy_shows_names_and_kinds_first_and_loses_nothing() {
    on_sqlite(async |world| {
        let officer = world.visitor(&world.officer).await;
        let page = officer.get("/rigs/new?from=tripod-with-belay").await.text;
        let (folded, open) = folds(&page);
        assert_eq!(
            folded,
            [
                "Bodies",
                "Ropes",
                "Chains",
                "Bridles",
                "Lines across a span",
                "Tripods"
            ]
        );
        assert!(open.is_empty(), "{open:?}");
        assert!(page.contains(
            "<summary>Bodies: the head of the tripod, the anchor of the belay, the load</summary>"
        ));
        assert!(page.contains("<summary>Bridles: none</summary>"));
        // Every field of the draft is on the page, in sight or not.
        let there = names(&page);
        let draft = copied();
        let of_draft = fields(&draft);
        for (name, _) in &of_draft {
            assert!(there.contains(name), "{name}");
        }
        // In sight are the rig's own fields, and of a position what goes there, its kinds and whether it may stay empty.
        let seen = names(&in_sight(&page));
        assert!(seen.contains("title") && seen.contains("position[0][accepts]"));
        assert!(!seen.contains("position[0][loaded]") && !seen.contains("rope[0][duty]"));
        assert!(
            seen.len() * 3 < there.len(),
            "{} of {} in sight",
            seen.len(),
            there.len()
        );
    })
    .await;
}

/// A page without what is folded away.
fn in_sight(page: &str) -> String {
    let mut seen = String::new();
    let mut hidden: Vec<bool> = Vec::new();
    for part in page.split_inclusive('>') {
        if part.contains("<details") {
            hidden.push(!part.contains(" open"));
        }
        if !hidden.contains(&true) {
            seen.push_str(part);
        }
        if part.contains("</details>") {
            hidden.pop();
        }
    }
    seen
}

#[tokio::test]
async fn what_is_wrong_or_was_just_changed_stands_open() {
    on_sqlite(async |world| {
        let officer = world.visitor(&world.officer).await;
        let draft = copied();
        let page = sent(&officer, "/rigs", &draft, &[("act", "add rope[0][path]")])
            .await
            .text;
        assert_eq!(folds(&page).1, ["Ropes"]);
        let page = sent(&officer, "/rigs", &draft, &[("act", "add bridle")])
            .await
            .text;
        assert_eq!(folds(&page).1, ["Bridles"]);
        // A word that is none is told of itself, what only a rig says of itself after it.
        let mut wrong = draft.clone();
        "sideways".clone_into(&mut wrong.position[2].loaded);
        let page = sent(&officer, "/rigs", &wrong, &[("act", "save")])
            .await
            .text;
        let seen = names(&in_sight(&page));
        assert!(seen.contains("position[2][loaded]") && !seen.contains("position[1][loaded]"));
        let mut wrong = draft.clone();
        "granny".clone_into(&mut wrong.rope[1].path[3].knot);
        let page = sent(&officer, "/rigs", &wrong, &[("act", "save")])
            .await
            .text;
        assert_eq!(folds(&page).1, ["Ropes"]);
        assert!(names(&in_sight(&page)).contains("rope[1][path][3][knot]"));
    })
    .await;
}

#[tokio::test]
async fn a_rig_from_blank_has_its_parts_open() {
    on_sqlite(async |world| {
        let officer = world.visitor(&world.officer).await;
        let page = officer.get("/rigs/new").await.text;
        let open = folds(&page).1;
        assert!(open.contains(&"Bodies".to_owned()), "{open:?}");
        assert!(names(&in_sight(&page)).contains("rope[0][duty]"));
    })
    .await;
}
