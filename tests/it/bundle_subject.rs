//! What a bundle is said to be of is held against its entries by both readers, whoever signs it, and both tell what rests on
//! the server's word.

use std::ffi::OsStr;

use ropeloft::{
    domain::{Change, Item, ItemId, Kind, ModelId},
    export::bundle::{Checked, Head, Line, Scope},
};
use time::macros::date;

use crate::{
    bundle::{apart, grown, held, named, says_apart, says_apart_by, whole},
    bundle_resigned::{head, lines, resigned},
    client::{Client, signing_secret},
    stock,
    world::{World, on_sqlite},
};

const BY_WORD: &str =
    "That none is left out rests on the server's signature: its word, not a proof.";
const BY_FILE: &str = "Signed with a key of the file: hold it against the one given to you: ";

/// The history of an item, as the server writes it.
async fn of_item(auditor: &Client, item: ItemId) -> String {
    whole(auditor.get(&format!("/items/{item}/history/bundle")).await)
}

/// The same file with another first line, signed by the server.
async fn lie(world: &World, text: &str, change: impl FnOnce(&mut Head)) -> String {
    let mut lines = lines(text);
    change(head(&mut lines));
    resigned(world, &lines, world.entries().await, 1)
}

/// Both readers refuse it.
fn refused(text: &str, why: &str, words: &str) {
    let fault = held(text).expect_err(why).to_string();
    assert!(fault.contains(words), "{why}: {fault}");
    says_apart(text, false, "FAULT: ");
}

/// Which entries call what it is of so: the team, and the item or the job.
fn by(checked: &Checked) -> Vec<Option<u64>> {
    checked.namings.iter().map(|one| one.entry).collect()
}

on_both_databases! {
    async fn what_a_bundle_is_of_is_told_by_both(world) {
        let auditor = grown(&world, 6).await;
        let stock = world.stock().await;
        let job = stock::job("Pump well", 2);
        world.record(Change::JobPlanned(job.clone())).await;
        let size = world.entries().await;

        let item = of_item(&auditor, stock.first.id).await;
        let namings = by(&held(&item).unwrap());
        assert!(namings[0].is_none() && namings[1].is_some(), "{namings:?}");
        let mark = &stock.first.mark;
        let what = format!("Holds: the history of the item '{mark}' of 'North shaft team', as the server alone calls team {}", world.team);
        says_apart(&item, true, &what);
        says_apart(&item, true, &format!("entries of {size} that the record had as of '2026-03-01T"));
        says_apart(&item, true, BY_WORD);
        let key = signing_secret().verifier(world.team, 1).unwrap().text();
        says_apart(&item, true, &format!("{BY_FILE}{key}"));
        says_apart_by(&item, &[&key], true, &format!("Signed with the key that you gave: {key}"));

        let of_job = whole(auditor.get(&format!("/api/v1/ledger/bundle?job={}", job.id)).await);
        assert_eq!(by(&held(&of_job).unwrap()), [None, Some(size)]);
        says_apart(&of_job, true, "Holds: the history of the job 'Pump well' of 'North shaft team'");
        says_apart(&of_job, true, BY_WORD);

        let record = whole(auditor.get("/history/bundle").await);
        assert!(by(&held(&record).unwrap())[0].is_some());
        says_apart(&record, true, "Holds: the whole record of 'North shaft team', as an entry calls team");
        says_apart(&record, true, "That none is left out the tree proves.");

        let days = whole(auditor.get("/history/bundle?until=2026-03-01").await);
        says_apart(&days, true, "Holds: what was recorded from 'its beginning' on, before '2026-03-02T00:00:00Z', of");
        says_apart(&days, true, "That none is left out the tree proves.");
    }

    async fn an_item_bundle_whose_ids_are_not_those_of_its_entries_is_refused_by_both(world) {
        let auditor = grown(&world, 6).await;
        let stock = world.stock().await;
        let (own, other, model) = (stock.first.id.0, stock.second.id.0, stock.model.id.0);
        let text = of_item(&auditor, stock.first.id).await;
        let first = held(&text).unwrap().entries.text();
        let first: u64 = first.split(['-', ',']).next().unwrap().parse().unwrap();
        let with = async |ids: Vec<uuid::Uuid>, mark: &str| {
            let (ids, mark) = (ids.clone(), mark.to_owned());
            lie(&world, &text, move |head| head.of = Scope::Item { ids: ids.clone(), mark: mark.clone() }).await
        };
        let mark = &stock.first.mark;
        let another = with(vec![other], mark).await;
        assert_eq!(named(&held(&another).unwrap_err()), Some(first), "another item's id");
        says_apart(&another, false, &format!("FAULT: entry {first} does not belong"));
        refused(&with(vec![own, model, other], mark).await, "one more id", "no entry is about it");
        let without = with(vec![own], mark).await;
        assert_eq!(named(&held(&without).unwrap_err()), Some(first), "the model is none of its own");
        says_apart(&without, false, &format!("FAULT: entry {first} does not belong"));
        let behind = with(vec![other, own, model], &stock.second.mark).await;
        refused(&behind, "its entries under another item", "no entry is about it");
        refused(&with(Vec::new(), mark).await, "no id at all", "does not belong");
        let called = with(vec![own, model], &stock.second.mark).await;
        let words = format!("calls it {mark}, and the first line {}", stock.second.mark);
        refused(&called, "another mark", &words);
        says_apart(&called, false, &format!("calls it '{mark}', the first line '{}'", stock.second.mark));
        let team = lie(&world, &text, |head| "South shaft team".clone_into(&mut head.team_name)).await;
        assert_eq!(by(&held(&team).unwrap())[0], None, "a name that no entry in the file says");
        says_apart(&team, true, "of 'South shaft team', as the server alone calls team");
    }

    async fn a_mark_is_the_one_that_the_last_entry_says(world) {
        let auditor = grown(&world, 0).await;
        let stock = world.stock().await;
        let mut item = stock.first.clone();
        item.mark = "NEW-7".into();
        item.revision += 1;
        world.record(Change::ItemRevised(item)).await;
        let text = of_item(&auditor, stock.first.id).await;
        assert_eq!(by(&held(&text).unwrap())[1], Some(world.entries().await));
        says_apart(&text, true, "the history of the item 'NEW-7'");
        let old = lie(&world, &text, |head| {
            if let Scope::Item { mark, .. } = &mut head.of {
                mark.clone_from(&stock.first.mark);
            }
        });
        refused(&old.await, "the mark that it had before", "calls it NEW-7");
    }

    async fn a_rope_it_was_cut_from_its_model_and_a_notice_belong_and_nothing_else_does(world) {
        let auditor = grown(&world, 0).await;
        let stock = world.stock().await;
        let rope = stock::item("R-1", &stock.model, &stock.store);
        world.record(Change::ItemAdded(rope.clone())).await;
        let notice = stock::notice(&stock.model.maker, date!(2026 - 02 - 20));
        world.record(Change::NoticeOpened(notice.clone())).await;
        let piece = stock::item("R-1A", &stock.model, &stock.store);
        world.record(Change::RopeCut(stock::cut(&rope, std::slice::from_ref(&piece)))).await;
        let cut = world.entries().await;
        let mut model = stock.model.clone();
        model.name = "Twin 61".into();
        model.revision += 1;
        world.record(Change::ModelRevised(model)).await;
        let renamed = world.entries().await;
        let text = of_item(&auditor, piece.id).await;
        let checked = held(&text).unwrap();
        assert_eq!(by(&checked), [None, Some(cut)]);
        let Scope::Item { ids, .. } = &checked.head.of else { panic!("of an item") };
        assert_eq!(ids, &[piece.id.0, rope.id.0, stock.model.id.0, notice.id.0]);
        says_apart(&text, true, "the history of the item 'R-1A'");
        assert!(checked.entries.text().ends_with(&renamed.to_string()), "{}", checked.entries.text());
        // The rope is no piece of its piece.
        let turned = lie(&world, &text, |head| {
            head.of = Scope::Item { ids: vec![rope.id.0, piece.id.0, stock.model.id.0, notice.id.0], mark: "R-1".to_owned() };
        });
        refused(&turned.await, "the rope under the name of its piece's history", "is no rope that it was cut from");
        let without = lie(&world, &text, |head| {
            head.of = Scope::Item { ids: vec![piece.id.0, rope.id.0, stock.model.id.0], mark: "R-1A".to_owned() };
        });
        refused(&without.await, "the notice belongs to nothing", "does not belong");
    }

    async fn a_model_that_no_entry_says_the_item_was_of_is_refused_by_both(world) {
        let auditor = grown(&world, 0).await;
        let stock = world.stock().await;
        let mut other = stock::model(Kind::Pulley, "Nordhaken", "Twin 40");
        other.id = ModelId::new();
        world.record(Change::ModelAdded(other.clone())).await;
        for (revision, model) in [(2, other.id), (3, stock.model.id)] {
            let item = Item { model, revision, ..stock.first.clone() };
            world.record(Change::ItemRevised(item)).await;
        }
        let text = of_item(&auditor, stock.first.id).await;
        let Scope::Item { ids, .. } = held(&text).unwrap().head.of else { panic!("of an item") };
        assert_eq!(ids.iter().filter(|id| [stock.model.id.0, other.id.0].contains(id)).count(), 2, "{ids:?}");
        says_apart(&text, true, "the history of the item");
        let mut lines = lines(&text);
        for line in &mut lines {
            if let Line::Entry(entry) = line
                && entry.payload.contains("item-revised")
                && entry.payload.contains(&other.id.to_string())
            {
                *line = Line::Past([entry.seq, entry.seq]);
            }
        }
        let without = resigned(&world, &lines, world.entries().await, 1);
        refused(&without, "nothing says that it was of that model", "no model that it was of");
    }

    async fn a_job_and_a_record_are_called_what_their_entries_say(world) {
        let auditor = grown(&world, 0).await;
        let job = stock::job("Pump well", 2);
        world.record(Change::JobPlanned(job.clone())).await;
        let text = whole(auditor.get(&format!("/api/v1/ledger/bundle?job={}", job.id)).await);
        let titled = lie(&world, &text, |head| {
            head.of = Scope::Job { id: job.id.0, title: "Valve pit".to_owned() };
        });
        refused(&titled.await, "another title", "calls it Pump well, and the first line Valve pit");
        let record = whole(auditor.get("/history/bundle").await);
        let named = lie(&world, &record, |head| "South shaft team".clone_into(&mut head.team_name)).await;
        refused(&named, "another team's name", "calls it North shaft team");
    }

    async fn days_before_a_team_was_renamed_hold_under_its_name_of_today(world) {
        let auditor = grown(&world, 0).await;
        world.clock.advance(time::Duration::days(2));
        // Between those days and the new name, so that the entry beside them does not say it.
        world.record(Change::StoreAdded(stock::store("Late bay"))).await;
        let (mut team, _) = world.database.read(world.team).await.unwrap().this_team().await.unwrap().unwrap();
        team.name = "Deep shaft team".into();
        world.record(Change::TeamRevised(team)).await;
        let before = whole(auditor.get("/history/bundle?until=2026-03-01").await);
        assert_eq!(by(&held(&before).unwrap()), [None]);
        says_apart(&before, true, "of 'Deep shaft team', as the server alone calls team");
        let since = whole(auditor.get("/history/bundle?from=2026-03-02").await);
        assert_eq!(by(&held(&since).unwrap()), [Some(world.entries().await)]);
        let old = lie(&world, &since, |head| "North shaft team".clone_into(&mut head.team_name)).await;
        refused(&old, "the name that it had before", "calls it Deep shaft team");
    }
}

#[tokio::test]
async fn the_program_apart_ends_every_fault_with_one_line() {
    on_sqlite(async |world| {
        let auditor = grown(&world, 0).await;
        let text = whole(auditor.get("/history/bundle").await);
        let key = signing_secret().verifier(world.team, 1).unwrap().text();
        let (short, end) = key.split_at(key.len() - 3);
        let turned: String = end.chars().rev().collect();
        for key in [
            "none",
            "",
            short,
            &format!("{short}{turned}"),
            &key[1..],
            "a+b",
            "a+b+c+d",
        ] {
            says_apart_by(&text, &[key], false, "FAULT: ");
        }
        let entry = text.lines().nth(1).unwrap();
        for changed in [
            String::new(),
            "\n".to_owned(),
            "no bundle\n".to_owned(),
            "[]\n".to_owned(),
            "{}\n".to_owned(),
            format!("{entry}\n{text}"),
            format!("{text}\n"),
            text.replacen('{', "{{", 1),
            text.replacen("\"of\":{\"team\":{}}", "\"of\":{}", 1),
            text.replacen("\"checkpoint\"", "\"chequepoint\"", 1),
        ] {
            says_apart(&changed, false, "FAULT: ");
        }
        for words in [&[][..], &[OsStr::new("/nowhere/at/all")]] {
            if let Some((ok, said)) = apart(words) {
                assert!(
                    !ok && said.starts_with("FAULT: ") && said.lines().count() == 1,
                    "{said}"
                );
            }
        }
    })
    .await;
}
