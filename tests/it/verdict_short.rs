//! A verdict is read from the top: what stands in sight is short, what is folded is whole, and nothing is told twice.

use serde_json::json;

use crate::{
    fitness_case::{Thing, full_kit},
    job_given::{fill, planned},
    strength_of_kit_coverage::belayed,
    verdict::plain,
    world::World,
};

/// A page in two: what is in sight, and what stands in its folds, each fold under its name.
fn parts(page: &str) -> (String, Vec<(String, String)>) {
    let main = page.split("<main").nth(1).unwrap();
    let main = main.split("</main>").next().unwrap();
    let mut pieces = main.split("<details");
    let mut sight = pieces.next().unwrap().to_owned();
    let mut folds = Vec::new();
    for piece in pieces {
        let (fold, rest) = piece.split_once("</details>").unwrap();
        let (name, fold) = fold.split_once("</summary>").unwrap();
        let name = name.split_once("<summary>").unwrap().1;
        folds.push((plain(name), plain(fold)));
        sight.push_str(name);
        sight.push_str(rest);
    }
    (plain(&sight), folds)
}

fn count(text: &str) -> usize {
    text.split(' ').count()
}

/// The page of the verdict on a kit, and the job.
async fn page_of(world: &World, kit: &[Thing], plan: serde_json::Value) -> (String, String) {
    world.shelve(kit).await;
    let crew = world.visitor(&world.crew).await;
    let job = planned(&crew, plan).await;
    fill(&crew, &job, kit).await;
    (crew.get(&format!("/jobs/{job}/verdict")).await.text, job)
}

on_both_databases! {
    async fn what_is_needed_first_is_in_sight_and_all_else_is_folded_by_name(world) {
        let plan = json!({"rig": "tripod-with-belay", "between_anchors": "2.17 m", "load": "100 kg"});
        let (page, _) = page_of(&world, &belayed(), plan).await;
        let (sight, folds) = parts(&page);
        for words in [
            "Weakest link",
            "Pull at the hand to haul",
            "Hold at the hand to lower",
            "Hauling rope enough: 70 m needed, R-1 is 80 m long",
            "Belay rope enough: ",
            "Gear all 13 items on the list may go",
            "Each position at its worst",
            "it approves no rig",
        ] {
            assert!(sight.contains(words), "{words}\n{sight}");
        }
        let named: Vec<&str> = folds.iter().map(|(name, _)| name.as_str()).collect();
        for name in [
            "What each position meets and holds, and what was taken off",
            "How long the ropes must be, and what the rig gains",
            "Which approvals cover this rig",
            "What the answer hangs on most",
            "All forces: every part of the rope and every body, in every phase",
            "What is asked, and by which rule",
            "What the numbers rest on",
            "What this rig asks for: 8 points",
            "What else it leaves out: 11 points",
        ] {
            assert!(named.contains(&name), "{name}: {named:?}");
        }
        let folded: usize = folds.iter().map(|(_, fold)| count(fold)).sum();
        assert!(folded > count(&sight), "{} in sight, {folded} folded", count(&sight));
        // Every caution is on the page, the first in sight.
        for caution in ropeloft::rigging::CAUTIONS {
            let whole = plain(&page).replace("&#39;", "'");
            assert!(whole.contains(caution), "{caution}");
        }
    }

    async fn each_position_stands_once_in_the_short_table_and_the_weakest_link_among_them(world) {
        let kit = full_kit();
        let (page, _) = page_of(&world, &kit, json!({"load": "160 kg"})).await;
        let short = page.split("Each position at its worst, in short</caption>").nth(1).unwrap();
        let short = short.split("</table>").next().unwrap();
        let whole = page.split("Every position at its worst</caption>").nth(1).unwrap();
        let whole = whole.split("</table>").next().unwrap();
        assert_eq!(short.matches("weakest link").count(), 1);
        assert!(short.matches("<tr>").count() <= whole.matches("<tr>").count());
        for thing in &kit {
            let named = format!("{} {}</span>", thing.model.kind.word(), thing.item.mark);
            assert!(short.contains(&named), "{named}: {short}");
            let failing = whole.matches("does not hold").count();
            assert_eq!(short.matches("does not hold").count(), failing, "what fails is never folded");
        }
    }

    async fn what_many_items_have_noted_alike_is_told_once(world) {
        let mut kit = full_kit();
        let seen = "Markings seen and readable: A. Brook, 2026-02-20; said for all items when the list was brought in.";
        for thing in &mut kit {
            thing.item.note = seen.into();
        }
        kit[1].item.note = format!("Cam replaced in 2024.\n{seen}");
        let (_, job) = page_of(&world, &kit, json!({"load": "100 kg"})).await;
        let crew = world.visitor(&world.crew).await;
        let page = crew.get(&format!("/jobs/{job}")).await.text;
        assert_eq!(page.matches("Markings seen and readable").count(), 1, "{page}");
        let (sight, folds) = parts(&page);
        assert!(sight.contains("Note: Cam replaced in 2024."), "{sight}");
        let (_, told) = folds.iter().find(|(name, _)| name == "Noted of several of these items alike").unwrap();
        for thing in &kit {
            assert!(told.contains(&thing.item.mark), "{}: {told}", thing.item.mark);
        }
        // At a position and in a proposal likewise; a remark of fewer than three stays where it is.
        let proposed = planned(&crew, json!({"starts_at": "2026-03-05T08:00", "ends_at": "2026-03-05T16:00"})).await;
        let page = crew.get(&format!("/jobs/{proposed}/proposal")).await.text;
        assert_eq!(page.matches("Markings seen and readable").count(), 1, "{page}");
        let page = crew.get(&format!("/jobs/{proposed}/positions/head-connector")).await.text;
        assert_eq!(page.matches("Markings seen and readable").count(), 2, "{page}");
    }

    async fn a_verdict_that_cannot_be_said_yet_shows_what_it_asks(world) {
        let crew = world.visitor(&world.crew).await;
        world.shelve(&full_kit()).await;
        let job = planned(&crew, json!({"load": "100 kg"})).await;
        let page = crew.get(&format!("/jobs/{job}/verdict")).await.text;
        assert!(page.contains("<details open><summary>What is asked, and by which rule"), "{page}");
        assert!(!page.contains("Each position at its worst"), "{page}");
    }
}
