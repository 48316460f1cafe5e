//! What becomes of an item while it is on a list, or out with another crew: everybody who plans with it sees it at once.

use axum::http::{Method, StatusCode};
use ropeloft::domain::fitness::Plan;
use ropeloft::domain::proposal::{Stock, propose};
use ropeloft::domain::{Change, ItemId, ItemStep, ItemStepped};
use serde_json::{Value, json};
use time::{Duration, macros::date};

use crate::{
    client::Client,
    fitness_case::{self, Thing},
    issue::{issued, passing, under},
    job_given::{fill, plan, planned},
    proposal,
    store_rebuild::again,
    world::World,
};

/// The day after, with the same plan.
fn next_day() -> Value {
    json!({"title": "Next day", "starts_at": "2026-03-03T08:00", "ends_at": "2026-03-03T16:00"})
}

/// Everything a crew looks at before it goes: the page of the job, its verdict, its issue, the start.
async fn seen(crew: &Client, job: &str) -> [(&'static str, String); 4] {
    [
        ("job", crew.get(&format!("/jobs/{job}")).await.text),
        (
            "verdict",
            crew.get(&format!("/jobs/{job}/verdict")).await.text,
        ),
        ("issue", crew.get(&format!("/jobs/{job}/issues")).await.text),
        ("start", crew.get("/").await.text),
    ]
}

/// The reasons against an item of the list, as programs get them.
async fn codes(crew: &Client, job: &str, thing: &Thing) -> Vec<String> {
    let read = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
    let kit = read["kit"].as_array().unwrap().iter();
    let mut kit = kit.filter(|entry| entry["item"]["id"] == json!(thing.item.id));
    let refusals = kit.next().unwrap()["refusals"].as_array().unwrap().clone();
    refusals
        .iter()
        .map(|one| one["code"].as_str().unwrap().to_owned())
        .collect()
}

#[track_caller]
fn all_say(pages: &[(&'static str, String)], words: &str) {
    for (page, text) in pages {
        assert!(
            text.contains(words),
            "{page} does not say {words:?}: {text}"
        );
    }
}

/// Counts the whole kit of an issue back as fine.
pub async fn count_back(crew: &Client, job: &str, issue: &Value) {
    let path = format!(
        "/api/v1/jobs/{job}/issues/{}/returns",
        issue["id"].as_str().unwrap()
    );
    let done = crew
        .json(
            Method::POST,
            &path,
            &json!({"hours": "1", "uses": "1", "rest": "fine"}),
        )
        .await;
    assert_eq!(done.status, StatusCode::CREATED, "{}", done.text);
}

fn retired(world: &World, thing: &Thing) -> Change {
    let on = world.clock.now().date();
    Change::ItemStepped(ItemStepped {
        item: thing.item.id,
        step: ItemStep::Retire,
        reason: "core shot seen".into(),
        on,
        retired_for: None,
    })
}

#[test]
fn what_is_with_another_crew_is_passed_over_where_another_will_do() {
    let mut things = proposal::strong_kit();
    let mut other = things[0].clone();
    other.item.id = ItemId::new();
    other.item.mark = "R-9".into();
    // It would lose to the first by its length and its mark.
    let other = other.with(&[("length", "99 m")]);
    things.push(other);
    let job = fitness_case::job(|_| {});
    let plan = Plan::of(&job).unwrap();
    let mut stock = proposal::stock(&things, &[]);
    let first = |stock: &Stock<'_>| propose(&plan, stock).picks[0].item;
    assert_eq!(first(&stock), things[0].item.id);
    stock.items[0].is_out = true;
    assert_eq!(first(&stock), things[6].item.id);
    // Where there is no other, it is taken still.
    stock.items.pop();
    assert_eq!(first(&stock), things[0].item.id);
}

on_both_databases! {
    async fn what_is_out_may_be_planned_with_for_later_and_says_with_whom_it_is(world) {
        let crew = world.visitor(&world.crew).await;
        let (first, kit) = passing(&world, &crew).await;
        let issue = issued(&world, &crew, &first).await;
        let second = planned(&crew, next_day()).await;
        let words = "It is with the crew of &quot;Pump well&quot;, taken by The crew of the north; that job ends on";
        let plain = "It is with the crew of \"Pump well\", taken by The crew of the north; that job ends on";
        // Where it is chosen, proposed, and on the list: a caution, no refusal.
        let choose = crew.get(&format!("/jobs/{second}/positions/rope")).await.text;
        assert!(choose.contains("may go once it is counted back") && (choose.contains(words) || choose.contains("It is with the crew of")), "{choose}");
        let candidates = crew.get(&format!("/api/v1/jobs/{second}/candidates?position=rope")).await.json();
        assert_eq!(candidates["rows"][0]["with_crew"]["title"], "Pump well");
        assert_eq!(candidates["rows"][0]["refusals"], json!([]));
        let proposal = crew.get(&format!("/api/v1/jobs/{second}/proposal")).await.json();
        assert!(proposal["picks"][0]["why"].to_string().contains(&plain.replace('"', "\\\"")), "{proposal}");
        fill(&crew, &second, &kit).await;
        let page = crew.get(&format!("/jobs/{second}")).await.text;
        assert_eq!(page.matches("may go once it is counted back").count(), kit.len(), "{page}");
        let read = crew.get(&format!("/api/v1/jobs/{second}")).await.json();
        assert_eq!(read["kit"][0]["with_crew"]["taken_by"], "The crew of the north");
        assert_eq!(codes(&crew, &second, &kit[0]).await, Vec::<String>::new());
        // Its own job does not say so of itself.
        assert!(!crew.get(&format!("/jobs/{first}")).await.text.contains("once it is counted back"));
        count_back(&crew, &first, &issue).await;
        assert!(!crew.get(&format!("/jobs/{second}")).await.text.contains("counted back"));
        issued(&world, &crew, &second).await;
        assert_eq!(again(&world).await.differences, []);
    }

    async fn a_job_that_has_begun_cannot_have_what_is_not_back(world) {
        let crew = world.visitor(&world.crew).await;
        let (first, kit) = passing(&world, &crew).await;
        let issue = issued(&world, &crew, &first).await;
        let second = planned(&crew, next_day()).await;
        fill(&crew, &second, &kit[..1]).await;
        world.clock.advance(Duration::days(2));
        let crew = world.visitor(&world.crew).await;
        assert_eq!(codes(&crew, &second, &kit[0]).await, ["on-another-job"]);
        all_say(&seen(&crew, &second).await, &kit[0].item.mark);
        let page = crew.get(&format!("/jobs/{second}")).await.text;
        assert!(page.contains("was not counted back"), "{page}");
        let wanted = json!({"item": kit[1].item.mark, "position": "head"});
        let refused = crew.json(Method::POST, &format!("/api/v1/jobs/{second}/kit"), &wanted).await;
        assert_eq!(refused.status, StatusCode::CONFLICT, "{}", refused.text);
        assert!(refused.text.contains("out with the crew of"), "{}", refused.text);
        let hands = json!({"by": world.officer.person.to_string(), "to": world.crew.person.to_string()});
        let done = crew.json(Method::POST, &format!("/api/v1/jobs/{second}/issues"), &hands).await;
        let reasons = under(&done.json(), "kit");
        assert_eq!(reasons.iter().filter(|reason| reason.contains("counted back")).count(), 1, "{reasons:?}");
        count_back(&crew, &first, &issue).await;
        assert_eq!(codes(&crew, &second, &kit[0]).await, Vec::<String>::new());
    }

    async fn what_is_retired_or_recalled_on_a_list_shows_on_every_page_at_once(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, kit) = passing(&world, &crew).await;
        assert!(!crew.get("/").await.text.contains("may not go"));
        world.record(retired(&world, &kit[0])).await;
        assert_eq!(codes(&crew, &job, &kit[0]).await, ["retired"]);
        let pages = seen(&crew, &job).await;
        all_say(&pages, &kit[0].item.mark);
        all_say(&pages[..2], "may not go");
        all_say(&pages[3..], "may not go");
        let officer = world.visitor(&world.officer).await;
        let notice = [("title", "Cam spring breaks"), ("issuer", "Fjordwerk"), ("issued_on", "2026-02-01"), ("maker", "Fjordwerk"), ("action", "Send them back")];
        let opened = officer.post(&format!("/notices?id={}", uuid::Uuid::now_v7()), &notice).await;
        assert_eq!(opened.status, StatusCode::SEE_OTHER, "{}", opened.text);
        // On the lists of two jobs it is the same item.
        let second = planned(&crew, next_day()).await;
        for thing in &kit[1..3] {
            let line = Change::KitLineAdded(ropeloft::domain::KitLine {
                id: ropeloft::domain::KitLineId::new(),
                job: second.parse().unwrap(),
                item: thing.item.id,
                position: None,
            });
            world.record(line).await;
        }
        let home = crew.get("/").await.text;
        assert!(home.contains(&format!("Recalled while on a job: {} items", kit.len())), "{home}");
        let recalled = codes(&crew, &job, &kit[1]).await;
        assert!(recalled.iter().any(|code| code == "notice"), "{recalled:?}");
        let pages = seen(&crew, &job).await;
        all_say(&pages, &kit[1].item.mark);
        assert!(pages[3].1.contains("Recalled while on a job"), "{}", pages[3].1);
    }

    async fn what_is_recalled_while_it_is_out_shows_on_its_issue_and_at_the_start(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, kit) = passing(&world, &crew).await;
        let issue = issued(&world, &crew, &job).await;
        let officer = world.visitor(&world.officer).await;
        let notice = [("title", "Sheath slips"), ("issuer", "Fjordwerk"), ("issued_on", "2026-02-01"), ("maker", "Fjordwerk"), ("action", "Send them back")];
        officer.post(&format!("/notices?id={}", uuid::Uuid::now_v7()), &notice).await;
        let record = crew.get(&format!("/jobs/{job}/issues/{}", issue["id"].as_str().unwrap())).await.text;
        assert!(record.contains(&format!("Not fit any more since it was issued: {}", kit[0].item.mark)), "{record}");
        let home = crew.get("/").await.text;
        assert!(home.contains("Recalled while on a job") && home.contains(&format!("may not go: {}", kit[0].item.mark)), "{home}");
        // A rope that is on a job, out or not, is not cut.
        let pieces = [("pieces[0][mark]", "R-1A"), ("pieces[0][length]", "40 m"), ("pieces[1][mark]", "R-1B"), ("pieces[1][length]", "40 m"), ("waste", "0 m"), ("marked", "yes"), ("reason", "two are wanted")];
        let cut = officer.post(&format!("/items/{}/cuts?id={}", kit[0].item.id, uuid::Uuid::now_v7()), &pieces).await;
        assert_eq!(cut.status, StatusCode::CONFLICT, "{}", cut.text);
        assert!(cut.text.contains("on a planned job"), "{}", cut.text);
    }

    async fn what_is_out_stands_first_of_what_is_recalled_then_the_nearest_job(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, kit) = passing(&world, &crew).await;
        issued(&world, &crew, &job).await;
        // Each of 12 later jobs has the same item, the farthest planned first.
        for day in (11..=22_u8).rev() {
            let at = |hour: u8| format!("2026-05-{day:02}T{hour:02}:00");
            let later = json!({"title": format!("In May, on {day}"), "starts_at": at(8), "ends_at": at(16)});
            let later = planned(&crew, later).await;
            let line = Change::KitLineAdded(ropeloft::domain::KitLine {
                id: ropeloft::domain::KitLineId::new(),
                job: later.parse().unwrap(),
                item: kit[0].item.id,
                position: None,
            });
            world.record(line).await;
        }
        let officer = world.visitor(&world.officer).await;
        let maker = kit[0].model.maker.as_str();
        let notice = [("title", "Cracks"), ("issuer", "Fjordwerk"), ("issued_on", "2026-02-01"), ("maker", maker), ("model_name", kit[0].model.name.as_str()), ("action", "Send it back")];
        let opened = officer.post(&format!("/notices?id={}", uuid::Uuid::now_v7()), &notice).await;
        assert_eq!(opened.status, StatusCode::SEE_OTHER, "{}", opened.text);
        let lines = |page: &str| {
            let list = page.split("id=\"recalls\"").nth(1).unwrap();
            let list = list.split("</section>").next().unwrap();
            let lines = list.split("<li>").skip(1);
            lines.map(|line| line.split("</li>").next().unwrap().to_owned()).collect::<Vec<_>>()
        };
        let home = crew.get("/").await.text;
        let (all, out) = (lines(&home), kit.len());
        assert_eq!(all.len(), 10, "{home}");
        let with_crew = all.iter().take_while(|line| line.contains("with its crew now; job from ")).count();
        assert!(with_crew >= 1 && with_crew <= out, "{all:?}");
        for (line, day) in all[with_crew..].iter().zip(11..) {
            assert!(line.contains(&format!("In May, on {day}<")), "{line}");
        }
        let more = with_crew + 12 - 10;
        let link = format!("<a href=\"/?all=recalled#recalls\">and {more} more: see all of them</a>");
        assert!(home.contains(&link), "{home}");
        let whole = crew.get("/?all=recalled").await.text;
        assert_eq!(lines(&whole).len(), with_crew + 12);
        assert!(!whole.contains("more: see all of them"), "{whole}");
    }

    async fn a_job_that_is_moved_past_the_life_of_an_item_says_so_at_once(world) {
        let crew = world.visitor(&world.crew).await;
        let (job, kit) = passing(&world, &crew).await;
        // Made in May 2022 with ten years of life.
        let moved = plan(&json!({"starts_at": "2032-06-01T08:00", "ends_at": "2032-06-01T16:00"}));
        let done = crew.json_if(Method::PUT, &format!("/api/v1/jobs/{job}"), "\"1\"", &moved).await;
        assert_eq!(done.status, StatusCode::OK, "{}", done.text);
        for thing in &kit {
            let codes = codes(&crew, &job, thing).await;
            assert!(codes.iter().any(|code| code == "past-life"), "{codes:?}");
        }
        let pages = seen(&crew, &job).await;
        all_say(&pages, &kit[0].item.mark);
        all_say(&pages[..2], "may not go");
        assert!(pages[3].1.contains(&format!("and {} more", kit.len() - 3)), "{}", pages[3].1);
        assert_eq!(world.clock.now().date(), date!(2026 - 03 - 01));
    }

    async fn a_code_on_an_item_puts_it_on_the_list_as_its_mark_does(world) {
        let crew = world.visitor(&world.crew).await;
        let kit = crate::issue::strong_kit();
        world.shelve(&kit).await;
        let officer = world.visitor(&world.officer).await;
        let put = |thing: &Thing, code: &'static str| {
            let path = format!("/items/{}/tags", thing.item.id);
            let officer = &officer;
            async move {
                let done = officer.post(&path, &[("text", code)]).await;
                assert_eq!(done.status, StatusCode::SEE_OTHER, "{}", done.text);
            }
        };
        put(&kit[0], "(01)06291041500213(21)77").await;
        put(&kit[1], "any sticker").await;
        let job = planned(&crew, json!({})).await;
        let path = format!("/jobs/{job}/kit");
        // As a scanner sends it, with the sign of its symbol and a separator at the end.
        let gs1 = "]d2010629104150021321\u{37}7\u{1d}";
        for (code, position) in [(gs1, "rope"), (" any sticker ", "head"), (kit[2].item.mark.as_str(), "foot")] {
            let done = crew.post(&path, &[("item", code), ("position", position)]).await;
            assert_eq!(done.status, StatusCode::SEE_OTHER, "{code}: {}", done.text);
        }
        let read = crew.get(&format!("/api/v1/jobs/{job}")).await.json();
        let on: Vec<&Value> = read["kit"].as_array().unwrap().iter().map(|entry| &entry["item"]["id"]).collect();
        assert_eq!(on, [&json!(kit[0].item.id), &json!(kit[1].item.id), &json!(kit[2].item.id)]);
        // A piece of the same product that nobody has, and nothing at all: refused, and what was typed stays.
        for code in ["(01)06291041500213(21)78", "no such"] {
            let refused = crew.post(&path, &[("item", code), ("position", "anchor")]).await;
            assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text);
            assert!(refused.text.contains("or has this code") && refused.text.contains(&format!("value=\"{code}\"")), "{}", refused.text);
        }
        // What speaks against an item does so however it is named.
        let twice = crew.post(&path, &[("item", gs1), ("position", "")]).await;
        assert!(twice.text.contains("on this list already") || twice.status == StatusCode::CONFLICT, "{}", twice.text);
        // Another team's code leads nowhere.
        let outsider = world.visitor(&world.outsider).await;
        assert_eq!(outsider.post(&path, &[("item", gs1), ("position", "rope")]).await.status, StatusCode::NOT_FOUND);
    }
}
