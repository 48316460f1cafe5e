//! The pages of the history: of the team, of an item, of a job.

use axum::http::StatusCode;
use ropeloft::domain::{
    Change, Cited, Entry, Event, ItemRefused, ItemStep, ItemStepped, Job, Known, Mentioned,
    ModelId, Names, Refusal, RefusalCode, Shortfall, Told, about,
};
use time::{Date, macros::date};

use crate::{
    chance::Chance,
    stock::{self, Stock},
    verdict::plain,
    world::{START, World},
};

/// A day before the one on which every test begins.
const BEFORE: Date = date!(2026 - 02 - 20);

/// A team that has put one item aside, planned a job, put the other on it, and refused the first.
pub async fn eventful(world: &World) -> (Stock, Job) {
    let stock = world.stock().await;
    let examination = stock::examination(world, &stock.second, BEFORE);
    world
        .record_as(&world.officer, Change::ExaminationRecorded(examination))
        .await
        .unwrap();
    let aside = ItemStepped {
        item: stock.first.id,
        step: ItemStep::Quarantine,
        reason: "burr on the sheave".into(),
        on: BEFORE,
        retired_for: None,
    };
    let aside = Change::ItemStepped(aside);
    world.record_as(&world.officer, aside).await.unwrap();
    let job = Job {
        rig: "four-to-one-pull-down".into(),
        ..stock::job("Shaft 3", 4)
    };
    let planned = Change::JobPlanned(job.clone());
    world.record_as(&world.crew, planned).await.unwrap();
    let put = Change::KitLineAdded(stock::line(&job, &stock.second, None));
    world.record_as(&world.crew, put).await.unwrap();
    let refused = ItemRefused {
        job: job.id,
        item: stock.first.id,
        position: Some("head".into()),
        refusals: vec![refusal("It is in quarantine."), refusal("No approval.")],
    };
    let refused = Change::ItemRefused(refused);
    world.record_as(&world.crew, refused).await.unwrap();
    (stock, job)
}

fn refusal(sentence: &str) -> Refusal {
    Refusal {
        code: RefusalCode::ALL[0],
        sentence: sentence.into(),
        rule: Cited::new("the team's own rule", Known::Setting),
        evidence: "quarantined".into(),
        mend: None,
        lacks: None,
        who: None,
        fact: None,
        short: Shortfall::default(),
    }
}

/// What stands in the list, line by line, without the marks of the page.
fn lines(page: &str) -> Vec<String> {
    let list = page.split("<ol class=\"past sheet\">").nth(1).unwrap_or("");
    let list = list.split("</ol>").next().unwrap();
    let lines = list.split("<li>").skip(1);
    lines.map(plain).collect()
}

on_both_databases! {
    async fn the_team_reads_what_was_done_the_newest_first_with_both_clocks(world) {
        eventful(&world).await;
        let page = world.visitor(&world.auditor).await.get("/history").await;
        assert_eq!(page.status, StatusCode::OK);
        let lines = lines(&page.text);
        assert_eq!(lines.len(), 14, "{lines:#?}");
        assert_eq!(
            lines[0],
            "recorded 2026-03-01 09:30 UTC P-1 refused for the job Shaft 3 It is in quarantine. No approval. \
             recorded by The crew of the north, entry 14 Shaft 3 P-1"
        );
        assert_eq!(
            lines[3],
            "done 2026-02-20 recorded 2026-03-01 09:30 UTC P-1 put in quarantine burr on the sheave \
             recorded by The equipment officer of the north, entry 11 P-1"
        );
        assert!(page.text.contains("This record has 14 entries"), "{}", page.text);
        let mut tx = world.database.read(world.team).await.unwrap();
        let head = tx.head().await.unwrap().unwrap();
        assert!(page.text.contains(&hex::encode(head.root)));
    }

    async fn an_item_and_a_job_have_their_own(world) {
        let (stock, job) = eventful(&world).await;
        let visitor = world.visitor(&world.crew).await;
        let page = visitor.get(&format!("/items/{}/history", stock.first.id)).await;
        let of_item = lines(&page.text);
        assert_eq!(of_item.len(), 4, "{of_item:#?}");
        assert!(of_item[2].contains("P-1 added to the register Fjordwerk Twin 60"), "{of_item:#?}");
        assert!(of_item[3].contains("Model Fjordwerk Twin 60 added"), "{of_item:#?}");
        assert!(page.text.contains(&format!("href=\"/items/{}\"", stock.first.id)));
        let page = visitor.get(&format!("/jobs/{}/history", job.id)).await;
        let of_job = lines(&page.text);
        assert_eq!(of_job.len(), 3, "{of_job:#?}");
        assert!(of_job[2].contains("Job Shaft 3 planned"), "{of_job:#?}");
        assert!(page.text.contains("History of Shaft 3"), "{}", page.text);
    }

    async fn what_was_changed_of_an_item_its_model_and_the_team_is_told_with_what_was_before(world) {
        let stock = world.stock().await;
        let (mut before, mut model, mut other) = (stock.first.clone(), stock.model.clone(), stock.model.clone());
        other.id = ModelId::new();
        other.name = "Twin 40".into();
        world.record(Change::ModelAdded(other.clone())).await;
        // It was held to be of another model for a while.
        before.model = other.id;
        before.revision += 1;
        world.record(Change::ItemRevised(before.clone())).await;
        let mut item = stock.first.clone();
        item.lot = Some("B1907".into());
        item.revision += 2;
        world.record(Change::ItemRevised(item)).await;
        model.examine_every_months = Some(6);
        model.note = "kept dry".into();
        model.revision += 1;
        world.record(Change::ModelRevised(model)).await;
        other.maker = "Nordhaken".into();
        other.revision += 1;
        world.record(Change::ModelRevised(other)).await;
        let (mut team, _) = world.database.read(world.team).await.unwrap().this_team().await.unwrap().unwrap();
        team.rulebook = "uk-lifting".into();
        world.record(Change::TeamRevised(team)).await;
        let crew = world.visitor(&world.crew).await;
        let of_item = lines(&crew.get(&format!("/items/{}/history", stock.first.id)).await.text);
        let told = |at: usize, words: &str| assert!(of_item[at].contains(words), "{words}: {of_item:#?}");
        told(0, "maker: Nordhaken, before that Fjordwerk");
        told(1, "Maker&#39;s interval: 6 months, before that none on record; note: kept dry, before that none on record");
        told(2, "model: Fjordwerk Twin 60, before that Nordhaken Twin 40; lot: B1907, before that not known");
        told(3, "model: Nordhaken Twin 40, before that Fjordwerk Twin 60");
        assert_eq!(of_item.len(), 7, "both models were put on record, too: {of_item:#?}");
        let of_second = lines(&crew.get(&format!("/items/{}/history", stock.second.id)).await.text);
        assert_eq!(of_second.len(), 3, "the other model is none of its: {of_second:#?}");
        let all = lines(&crew.get("/history").await.text);
        assert!(all[0].contains("rulebook: uk-lifting, before that european"), "{all:#?}");
        let file = crew.get(&format!("/items/{}/history.csv", stock.first.id)).await.text;
        assert!(file.contains("lot: B1907, before that not known"), "{file}");
    }

    async fn what_belongs_to_another_team_is_not_found(world) {
        let (stock, job) = eventful(&world).await;
        let outsider = world.visitor(&world.outsider).await;
        for path in [
            format!("/items/{}/history", stock.first.id),
            format!("/jobs/{}/history", job.id),
            format!("/items/{}/history.csv", stock.first.id),
            format!("/jobs/{}/history.csv", job.id),
            // An item is no job.
            format!("/jobs/{}/history", stock.first.id),
        ] {
            assert_eq!(outsider.get(&path).await.status, StatusCode::NOT_FOUND, "{path}");
        }
        let own = outsider.get("/history").await;
        assert_eq!(lines(&own.text).len(), 2, "{}", own.text);
        assert!(!own.text.contains("Shaft 3"));
    }

    async fn it_is_narrowed_by_kind_person_and_days(world) {
        eventful(&world).await;
        let visitor = world.visitor(&world.auditor).await;
        let count = async |query: &str| {
            let page = visitor.get(&format!("/history?{query}")).await;
            assert_eq!(page.status, StatusCode::OK, "{query}");
            lines(&page.text).len()
        };
        assert_eq!(count("kind=item-added").await, 2);
        assert_eq!(count(&format!("by={}", world.officer.person)).await, 2);
        assert_eq!(count(&format!("by={}&kind=item-stepped", world.officer.person)).await, 1);
        assert_eq!(count("from=2026-03-01&until=2026-03-01").await, 9);
        assert_eq!(count("until=2026-02-28").await, 5, "the team and its people");
        assert_eq!(count("from=2026-03-02").await, 0);
        assert_eq!(count(&format!("by={}", world.outsider.person)).await, 0);
    }

    async fn what_cannot_be_read_is_told_field_by_field_and_stays(world) {
        let visitor = world.visitor(&world.auditor).await;
        let page = visitor.get("/history?kind=magic&by=me&from=1.3.2026&until=2026-02-31").await;
        assert_eq!(page.status, StatusCode::UNPROCESSABLE_ENTITY);
        for field in ["kind", "by", "from", "until"] {
            assert!(page.text.contains(&format!("-{field}-wrong-1")) || page.text.contains(&format!("{field}-wrong-1")), "{field}: {}", page.text);
        }
        assert!(page.text.contains("value=\"1.3.2026\""), "{}", page.text);
        let backwards = visitor.get("/history?from=2026-03-02&until=2026-03-01").await;
        assert_eq!(backwards.status, StatusCode::UNPROCESSABLE_ENTITY);
        let file = visitor.get("/history.csv?kind=magic").await;
        assert_eq!(file.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(visitor.get("/history?before=x").await.status, StatusCode::BAD_REQUEST);
    }

    async fn pages_follow_each_other_without_a_gap(world) {
        Chance::new(3).run(&world, &world.admin, 170).await;
        let visitor = world.visitor(&world.auditor).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let size = tx.head().await.unwrap().unwrap().size;
        let (mut path, mut seen) = (Some("/history".to_owned()), Vec::new());
        while let Some(at) = path {
            let page = visitor.get(&at).await;
            seen.extend(lines(&page.text).iter().map(|line| {
                let seq = line.rsplit("entry ").next().unwrap();
                seq.split_whitespace().next().unwrap().parse::<u64>().unwrap()
            }));
            let link = page.text.split("rel=\"next\"").next().unwrap().rsplit("href=\"").next().unwrap();
            path = page.text.contains("rel=\"next\"").then(|| link.split('"').next().unwrap().replace("&#38;", "&"));
        }
        assert_eq!(seen, (1..=size).rev().collect::<Vec<_>>());
    }

    async fn every_change_is_told_by_name_and_in_its_own_words(world) {
        Chance::new(11).run(&world, &world.admin, 400).await;
        let mut tx = world.database.read(world.team).await.unwrap();
        let kept = tx.entries_after(0, 1000).await.unwrap();
        let entries: Vec<Entry<Change>> = kept.iter().map(|kept| kept.entry().unwrap()).collect();
        let kept = kept.into_iter().map(|sealed| ropeloft::store::Kept::try_from(sealed).unwrap()).collect::<Vec<_>>();
        let names = ropeloft::deed::spoken::names(&mut tx, &kept).await.unwrap();
        assert!(Mentioned::by(&entries).items.len() > 3);
        for entry in &entries {
            let told = Told::of(&entry.change, &names);
            let kind = entry.change.kind();
            assert_ne!(told.words, kind.replace('-', " "), "{kind} has words of its own");
            assert!(!told.sentence().contains("record 0"), "{kind}: {}", told.sentence());
            assert!(Change::KINDS.iter().any(|(key, _)| *key == kind), "{kind} can be chosen");
            for name in about(&entry.change, &names) {
                assert!(!name.starts_with("record "), "{kind}: {name}");
            }
        }
    }
}

#[test]
fn what_is_not_known_is_called_by_its_id() {
    let world_less = Event {
        id: ropeloft::domain::EventId::new(),
        item: ropeloft::domain::ItemId::new(),
        kind: ropeloft::domain::EventKind::Drop,
        on: BEFORE,
        reported_by: ropeloft::domain::PersonId::new(),
        note: "Fell off the truck!".into(),
        follows: None,
    };
    let told = Told::of(
        &Change::EventReported(world_less.clone()),
        &Names::default(),
    );
    assert_eq!(
        told.sentence(),
        format!(
            "Event reported: record {} was dropped or hit: Fell off the truck!",
            world_less.item
        )
    );
    assert_eq!(told.done, Some(BEFORE));
    assert!(START.date() > BEFORE);
}
