//! What was recorded long after it was done, and what others went by until it was corrected.

use std::collections::HashMap;

use ropeloft::domain::{
    Change, DATED, Entry, Kind, ModelId, ModelKindChanged, Notice, NoticeCorrection, NoticeEnd,
    Zone,
    question::{Question, QuestionDraft},
};
use serde_json::{Value, json};
use time::{
    Date, Duration,
    macros::{date, datetime},
};

use crate::{
    item_given::one_rope,
    past_given::late,
    question::{Known, ask, seqs},
    stock,
    world::START,
};

/// What an entry puts on record or corrects: its id, the day from which it counts where that is not the one of the entry,
/// and what others go by, as JSON.
fn on_record(change: &Change) -> Option<(uuid::Uuid, Option<Date>, Value)> {
    let only = |whole: Value, keys: &[&str]| keys.iter().map(|key| whole[*key].clone()).collect();
    match change {
        Change::ItemAdded(item) | Change::ItemRevised(item) => {
            let keys = ["mark", "serial", "model", "lot", "made", "first_used_on"];
            Some((item.id.0, None, only(json!(item), &keys)))
        }
        Change::ModelAdded(model) | Change::ModelRevised(model) => {
            let keys = [
                "kind",
                "maker",
                "name",
                "approvals",
                "ratings",
                "life",
                "use_limit",
                "examine_every_months",
                "life_support",
                "material",
                "attributes",
                "limits",
            ];
            Some((model.id.0, None, only(json!(model), &keys)))
        }
        Change::NoticeOpened(notice) => Some((notice.id.0, Some(notice.issued_on), json!(notice))),
        Change::NoticeCorrected(to) => {
            Some((to.notice.id.0, Some(to.notice.issued_on), json!(to.notice)))
        }
        _ => None,
    }
}

/// The entries that correct what others go by, each with the day from which what they correct was on record.
fn corrected<'a>(entries: &'a [Entry<Change>], zone: &Zone) -> Vec<(&'a Entry<Change>, Date)> {
    let mut known: HashMap<uuid::Uuid, (Date, Value)> = HashMap::new();
    let mut found = Vec::new();
    for entry in entries {
        if let Change::NoticeWithdrawn(end) = &entry.change {
            found.push((entry, known[&end.notice.0].0));
        }
        if let Change::RopeCut(cut) = &entry.change {
            let rope = known[&cut.rope.0].1.clone();
            for piece in &cut.pieces {
                let mut as_cut = rope.clone();
                as_cut[0] = json!(piece.mark);
                as_cut[1] = json!(piece.serial);
                known.insert(piece.id.0, (zone.day(entry.recorded_at), as_cut));
            }
        }
        let Some((id, issued, now)) = on_record(&entry.change) else {
            continue;
        };
        let since = match known.get(&id) {
            Some((since, was)) => {
                if *was != now {
                    found.push((entry, *since));
                }
                issued.unwrap_or(*since)
            }
            None => issued.unwrap_or_else(|| zone.day(entry.recorded_at)),
        };
        known.insert(id, (since, now));
    }
    found
}

on_both_databases! {
    async fn what_came_late_and_what_was_refused(world) {
        let entries = late(&world, crate::past_given::seed(), 400).await;
        let zone = Known::of(&world).await.zone;
        for days in [0_u16, 14, 60] {
            let draft = QuestionDraft { days: days.to_string(), ..QuestionDraft::default() };
            let found = ask(&world, Question::Late, &draft).await;
            let dated: Vec<&Entry<Change>> = entries.iter().filter(|entry| DATED.contains(&entry.change.kind())).collect();
            let corrected = corrected(&entries, &zone);
            let came = dated.iter().copied().chain(corrected.iter().map(|(entry, _)| *entry)).filter(|entry| {
                let since = corrected.iter().find(|(one, _)| one.seq == entry.seq).map(|(_, since)| *since);
                let done = since.or_else(|| entry.change.done_on(&zone)).unwrap();
                (zone.day(entry.recorded_at) - done).whole_days() > i64::from(days)
            });
            let mut came: Vec<u64> = came.map(|entry| entry.seq).collect();
            came.sort_unstable();
            assert_eq!(seqs(&found), came);
            assert_eq!(usize::try_from(found.tally.of), Ok(dated.len() + corrected.len()));
        }
        let (from, until) = (START.date() - Duration::days(400), START.date() - Duration::days(100));
        let draft = QuestionDraft { from: from.to_string(), until: until.to_string(), ..QuestionDraft::default() };
        let found = ask(&world, Question::Refused, &draft).await;
        let within: Vec<&Entry<Change>> = entries.iter().filter(|entry| (from..=until).contains(&zone.day(entry.recorded_at))).collect();
        let refused: Vec<u64> = within.iter().filter(|entry| entry.change.kind() == "item-refused").map(|entry| entry.seq).collect();
        let put = within.iter().filter(|entry| entry.change.kind() == "kit-line-added").count();
        assert_eq!((usize::try_from(found.tally.of), seqs(&found)), (Ok(put + refused.len()), refused));
    }

    async fn what_was_corrected_says_what_it_was_before(world) {
        let given = one_rope(&world).await;
        let notice = Notice { lots: vec!["L9".into()], ..stock::notice("Tarn & Fell", date!(2026 - 02 - 20)) };
        world.record(Change::NoticeOpened(notice.clone())).await;
        world.clock.advance(datetime!(2026-05-04 09:30 UTC) - START);
        let mut tx = world.database.read(world.team).await.unwrap();
        let mut rope = tx.item_marked("RL-0042").await.unwrap().unwrap();
        let mut model = tx.model(ModelId(given.model.parse().unwrap())).await.unwrap().unwrap();
        drop(tx);
        rope.revision += 1;
        rope.note = "Washed.".into();
        world.record(Change::ItemRevised(rope.clone())).await;
        rope.revision += 1;
        rope.lot = Some("L10".into());
        world.record(Change::ItemRevised(rope)).await;
        model.revision += 1;
        model.kind = Kind::Sling;
        let changed = ModelKindChanged { model, from: Kind::Rope, reason: "It is sewn.".into() };
        world.record(Change::ModelKindChanged(changed)).await;
        let to = Notice { lots: vec!["L10".into()], corrected: 1, ..notice.clone() };
        world.record(Change::NoticeCorrected(Box::new(NoticeCorrection { notice: to, reason: "A slip.".into() }))).await;
        world.record(Change::NoticeWithdrawn(NoticeEnd { notice: notice.id, reason: "All clear.".into() })).await;
        let officer = world.visitor(&world.officer).await;
        let answer = officer.get("/api/v1/questions/recorded-late?days=60&from=2026-05-01").await.json();
        let rows = answer["rows"].as_array().unwrap();
        let told: Vec<(&str, &str, &str)> = rows.iter().map(|row| {
            let text = |key: &str| row[key].as_str().unwrap();
            (text("done_on"), text("about"), text("what"))
        }).collect();
        assert_eq!(told.len(), 4, "{answer}");
        let is = |at: usize, done: &str, about: &str, words: &str| {
            let (done_on, of, what) = told[at];
            assert!((done_on, of) == (done, about) && what.contains(words), "{:?}", told[at]);
        };
        is(0, "2026-03-01", "RL-0042", "lot: L10, before that L9");
        is(1, "2026-03-01", told[1].1, "Kind of gear: sling, before that rope");
        is(2, "2026-02-20", "Look at the rivets", "it covers: Tarn & Fell, every model, lot L10, before that Tarn & Fell, every model, lot L9");
        is(3, "2026-02-20", "Look at the rivets", "withdrawn: until then it covered Tarn & Fell, every model, lot L10");
        let page = officer.get("/questions/recorded-late?days=60&from=2026-05-01").await;
        assert!(page.text.contains(&format!("/notices/{}", notice.id)), "{}", page.text);
    }

    async fn a_recall_tells_what_it_covered_until_a_correction(world) {
        one_rope(&world).await;
        let notice = Notice { lots: vec!["L9".into()], ..stock::notice("Tarn & Fell", date!(2026 - 02 - 20)) };
        world.record(Change::NoticeOpened(notice.clone())).await;
        let asked = format!("/api/v1/questions/recalled-lot?notice={}", notice.id);
        let auditor = world.visitor(&world.auditor).await;
        let fate = async || {
            let answer = auditor.get(&asked).await.json();
            (answer["rows"][0]["fate"].clone(), answer["basis"][0].clone())
        };
        let covered = fate().await.0;
        assert!(covered.as_str().unwrap().ends_with("notice still open for it"), "{covered}");
        let mut tx = world.database.read(world.team).await.unwrap();
        let mut rope = tx.item_marked("RL-0042").await.unwrap().unwrap();
        drop(tx);
        rope.revision += 1;
        rope.lot = Some("L7".into());
        world.record(Change::ItemRevised(rope)).await;
        let (let_out, basis) = fate().await;
        assert!(let_out.as_str().unwrap().ends_with("covered no more, by a correction"), "{let_out}");
        assert!(!basis.as_str().unwrap().contains("corrected"), "{basis}");
        let to = Notice { lots: vec!["L7".into()], corrected: 1, ..notice.clone() };
        world.record(Change::NoticeCorrected(Box::new(NoticeCorrection { notice: to, reason: "A slip.".into() }))).await;
        let (again, basis) = fate().await;
        assert!(again.as_str().unwrap().ends_with("notice still open for it"), "{again}");
        let before = "It was corrected; before that it covered: Tarn & Fell, every model, lot L9.";
        assert!(basis.as_str().unwrap().contains(before), "{basis}");
        // What was another lot before the notice was there was never covered.
        let late = Notice { lots: vec!["L9".into()], ..stock::notice("Tarn & Fell", date!(2026 - 02 - 22)) };
        world.record(Change::NoticeOpened(late.clone())).await;
        let answer = auditor.get(&format!("/api/v1/questions/recalled-lot?notice={}", late.id)).await.json();
        assert_eq!(answer["rows"].as_array().unwrap().len(), 0, "{answer}");
    }
}
