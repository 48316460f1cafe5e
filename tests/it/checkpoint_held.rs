//! What was changed behind the record's own hashes is found where a checkpoint is held against it; nothing is signed that
//! does not go on from what was signed; and a witness signs in its time, once, under its own name.

use axum::http::{Method, StatusCode};
use ed25519_dalek::SigningKey;
use ropeloft::{
    deed::{DeedError, checkpoint},
    domain::{
        Change, Held, NotAllowed, SigningSecret, WitnessDraft, WitnessId,
        checkpoint::{Checkpoint, origin},
        signed_note::{Note, Signs, Verifier},
    },
    store::KeptCheckpoint,
};
use serde_json::json;
use time::Duration;

use crate::{
    checkpoint::form_urlencoded,
    client::signing_secret,
    stock,
    store_rebuild::{again, tamper, told},
    world::World,
};

/// A record that grew, and its last checkpoint.
pub async fn sealed(world: &World) -> KeptCheckpoint {
    world.take_key().await;
    for number in 0..9 {
        let bay = stock::store(&format!("Bay {number}"));
        world.record(Change::StoreAdded(bay)).await;
    }
    let secret = signing_secret();
    let made = checkpoint::make(&world.desk(), &world.admin, Some(&secret)).await;
    made.unwrap()
}

/// What comes of holding a checkpoint against the record.
async fn held(world: &World, kept: &KeptCheckpoint) -> Held {
    let held = checkpoint::hold(&world.desk(), &world.auditor, &kept.note, 0).await;
    held.unwrap().0
}

/// Keeps a checkpoint of the record's own key over another root, as if the record had been another one.
async fn keep_another(world: &World, size: u64, key: &SigningKey) {
    let checkpoint = Checkpoint {
        origin: origin(world.team),
        size,
        root: [1; 32],
        made_at: Some(world.clock.now()),
    };
    let mut note = Note::of(checkpoint.to_string()).unwrap();
    note.sign(&origin(world.team), key).unwrap();
    let kept = KeptCheckpoint {
        size,
        made_at: world.clock.now(),
        note: note.whole(),
    };
    let mut tx = world.database.write(world.team).await.unwrap();
    tx.keep_checkpoint(&kept).await.unwrap();
    tx.commit().await.unwrap();
}

/// A witness, and its key.
fn witness(name: &str) -> (WitnessDraft, SigningKey) {
    let key = SigningKey::from_bytes(&[9; 32]);
    let verifier = Verifier::new(name, Signs::Seen, key.verifying_key());
    let draft = WitnessDraft {
        verifier: verifier.unwrap().text(),
        who: "The yard".to_owned(),
    };
    (draft, key)
}

/// Each is done to the database and undone again; the first entry that it is told of is that with "Bay 4", or its neighbour.
const TAMPERED: [(&str, &str, &str); 3] = [
    (
        "UPDATE ledger_entry SET payload = replace(payload, 'Bay 4', 'Bay X') WHERE payload LIKE '%Bay 4%'",
        "UPDATE ledger_entry SET payload = replace(payload, 'Bay X', 'Bay 4') WHERE payload LIKE '%Bay X%'",
        "its bytes do not have its leaf hash",
    ),
    (
        "UPDATE ledger_entry SET kind = 'item-added' WHERE payload LIKE '%Bay 4%'",
        "UPDATE ledger_entry SET kind = 'store-added' WHERE payload LIKE '%Bay 4%'",
        "its columns do not say what its bytes say",
    ),
    (
        "UPDATE ledger_name SET name = name || 'x'",
        "UPDATE ledger_name SET name = substr(name, 1, length(name) - 1)",
        "a name in it is not the one that was sealed",
    ),
];

on_both_databases! {
    async fn what_was_changed_behind_its_hashes_is_found_and_named(world) {
        let kept = sealed(&world).await;
        let size = kept.size;
        let whole = Held::GoesOn { size, signed: vec![1], read: (0, size) };
        assert_eq!(held(&world, &kept).await, whole);
        let bay = size - 4;
        for (done, undone, what) in TAMPERED {
            tamper(&world, done).await;
            let found = held(&world, &kept).await;
            let Held::Changed { what: told, .. } = &found else { panic!("{done}: {found:?}") };
            let named = what.starts_with("a name") || told.contains(&format!("entry {bay} "));
            assert!(told.contains(what) && named, "{done}: {told}");
            tamper(&world, undone).await;
            assert_eq!(held(&world, &kept).await, whole, "{undone}");
        }
        // Two entries that changed places.
        tamper(&world, "UPDATE ledger_entry SET payload = (SELECT e.payload FROM ledger_entry e WHERE e.team_id = ledger_entry.team_id AND e.seq = ledger_entry.seq - 1) WHERE payload LIKE '%Bay 8%'").await;
        let Held::Changed { what, .. } = held(&world, &kept).await else { panic!("unseen") };
        assert!(what.contains(&format!("entry {size} ")), "{what}");
    }

    async fn an_entry_that_is_gone_or_hashed_anew_is_named(world) {
        let kept = sealed(&world).await;
        let bay = kept.size - 4;
        let auditor = world.visitor(&world.auditor).await;
        let proof = format!("/api/v1/ledger/inclusion?seq={}", kept.size);
        assert_eq!(auditor.get(&proof).await.status, StatusCode::OK);
        // The leaf of another, and bytes that have it: what stands above does not.
        tamper(&world, "UPDATE ledger_entry SET payload = (SELECT e.payload FROM ledger_entry e WHERE e.team_id = ledger_entry.team_id AND e.seq = ledger_entry.seq - 1), leaf_hash = (SELECT e.leaf_hash FROM ledger_entry e WHERE e.team_id = ledger_entry.team_id AND e.seq = ledger_entry.seq - 1) WHERE payload LIKE '%Bay 8%'").await;
        let Held::Changed { what, .. } = held(&world, &kept).await else { panic!("unseen") };
        assert!(what.contains(&format!("entry {} ", kept.size)), "{what}");
        let refused = auditor.get(&proof).await;
        assert_eq!(refused.status, StatusCode::CONFLICT, "{}", refused.text);
        assert!(refused.text.contains("changed behind its own hashes"), "{}", refused.text);
        // No bundle is begun that would break off.
        let bundle = auditor.get("/history/bundle").await;
        assert_eq!(bundle.status, StatusCode::CONFLICT, "{}", bundle.text);
        assert!(bundle.text.contains("changed behind its own hashes"), "{}", bundle.text);
        tamper(&world, "DELETE FROM ledger_subject WHERE seq IN (SELECT e.seq FROM ledger_entry e WHERE e.payload LIKE '%Bay 4%')").await;
        tamper(&world, "DELETE FROM ledger_entry WHERE payload LIKE '%Bay 4%'").await;
        let Held::Changed { what, .. } = held(&world, &kept).await else { panic!("unseen") };
        assert!(what.contains(&format!("entry {bay} ")) && what.contains("missing"), "{what}");
        let query = form_urlencoded(&kept.note);
        let page = auditor.get(&format!("/history/checkpoints?note={query}")).await;
        assert!(page.text.contains("changed behind its own hashes") && page.text.contains(&format!("entry {bay} ")), "{}", page.text);
    }

    async fn a_part_is_read_and_the_kept_hashes_of_the_rest_are_taken(world) {
        let kept = sealed(&world).await;
        let size = kept.size;
        tamper(&world, "UPDATE ledger_entry SET payload = replace(payload, 'Bay 1', 'Bay X') WHERE payload LIKE '%Bay 1%'").await;
        let from = size - 4;
        let part = checkpoint::hold(&world.desk(), &world.auditor, &kept.note, from).await.unwrap().0;
        assert_eq!(part, Held::GoesOn { size, signed: vec![1], read: (from, size) }, "what is not read is not told of");
        let beyond = checkpoint::hold(&world.desk(), &world.auditor, &kept.note, size + 9).await.unwrap().0;
        assert_eq!(beyond, Held::GoesOn { size, signed: vec![1], read: (size, size) });
        assert!(matches!(held(&world, &kept).await, Held::Changed { .. }));
    }

    async fn a_record_that_is_not_what_was_signed_is_not_signed_again(world) {
        let kept = sealed(&world).await;
        let secret = signing_secret();
        assert_eq!(again(&world).await.checkpoints, 2);
        let mut tx = world.database.read(world.team).await.unwrap();
        assert_eq!(tx.checkpoints_kept().await.unwrap(), 2);
        drop(tx);
        keep_another(&world, kept.size, &secret.key(world.team, 1)).await;
        world.record(Change::StoreAdded(stock::store("Later"))).await;
        let refused = |done: Result<(), DeedError>| {
            let refused = NotAllowed::NotTheSignedRecord { size: kept.size };
            assert!(matches!(&done, Err(DeedError::NotAllowed(why)) if *why == refused), "{done:?}");
        };
        refused(checkpoint::make(&world.desk(), &world.officer, Some(&secret)).await.map(drop));
        refused(checkpoint::take_key(&world.desk(), &world.admin, Some(&secret), "why").await.map(drop));
        world.clock.advance(Duration::days(2));
        checkpoint::keep_making(&world.desk(), &secret).await.unwrap();
        let seals = checkpoint::list(&world.desk(), &world.auditor, Some(&secret), None).await.unwrap();
        assert_eq!((seals.checkpoints.len(), seals.unlike), (2, Some(kept.size)));
        let auditor = world.visitor(&world.auditor).await;
        let bundle = auditor.get("/history/bundle").await;
        assert_eq!(bundle.status, StatusCode::CONFLICT);
        assert!(bundle.text.contains(&format!("its own last checkpoint, of {} entries", kept.size)), "{}", bundle.text);
        let page = auditor.get("/history/checkpoints").await;
        assert!(page.text.contains("This record is not the one of its own last checkpoint"), "{}", page.text);
        let words = format!("the checkpoint of {} entries: what was signed is another root than that of these entries", kept.size);
        assert_eq!(told(&world).await, [words]);
    }

    async fn a_kept_checkpoint_that_nobody_signed_or_that_is_longer_is_told(world) {
        let kept = sealed(&world).await;
        let secret = signing_secret();
        keep_another(&world, kept.size, &SigningKey::from_bytes(&[3; 32])).await;
        keep_another(&world, kept.size + 5, &secret.key(world.team, 1)).await;
        assert_eq!(told(&world).await, [
            format!("the checkpoint of {} entries: the ledger has {} entries", kept.size + 5, kept.size),
            format!("the checkpoint of {} entries: key 1, which signed then, did not sign it", kept.size),
        ]);
        let refused = checkpoint::make(&world.desk(), &world.officer, Some(&secret)).await.unwrap_err();
        let longer = NotAllowed::NotTheSignedRecord { size: kept.size + 5 };
        assert!(matches!(&refused, DeedError::NotAllowed(why) if *why == longer), "{refused:?}");
    }

    async fn a_witness_signs_in_its_time_and_once(world) {
        let kept = sealed(&world).await;
        let (draft, key) = witness("yard.example/w");
        checkpoint::name_witness(&world.desk(), &world.admin, WitnessId::new(), &draft).await.unwrap();
        world.clock.advance(Duration::hours(1));
        let bring = async |after: Duration| {
            let mut note = Note::read(&kept.note).unwrap();
            let at = u64::try_from((kept.made_at + after).unix_timestamp()).unwrap();
            note.witness("yard.example/w", &key, at).unwrap();
            checkpoint::witnessed(&world.desk(), &world.officer, kept.size, &note.whole()).await
        };
        for wrong in [Duration::minutes(-6), Duration::minutes(66), Duration::days(365), Duration::days(-3900)] {
            let DeedError::Invalid(wrong) = bring(wrong).await.unwrap_err() else { panic!("{wrong}") };
            assert_eq!(wrong.0[0].code, "moment");
            assert!(wrong.0[0].message.contains("clocks may differ by 5 minutes"), "{wrong:?}");
        }
        let first = bring(Duration::minutes(-4)).await.unwrap();
        let again = bring(Duration::minutes(30)).await.unwrap();
        assert_eq!(first, again, "the first stays");
        let now = checkpoint::show(&world.desk(), &world.auditor, Some(kept.size)).await.unwrap();
        assert_eq!(now.note.matches('\u{2014}').count(), 2);
        let (draft, _) = witness(&origin(world.team));
        let refused = checkpoint::name_witness(&world.desk(), &world.admin, WitnessId::new(), &draft).await;
        let Err(DeedError::Invalid(wrong)) = refused else { panic!("{refused:?}") };
        assert_eq!((wrong.0[0].field.as_str(), wrong.0[0].code.as_str()), ("verifier", "name"));
    }

    async fn a_key_that_none_before_it_signed_for_is_told(world) {
        sealed(&world).await;
        let admin = world.visitor(&world.admin).await;
        let taken = admin.json(Method::POST, "/api/v1/ledger/keys", &json!({"reason": "A year is over"})).await;
        assert_eq!(taken.status, StatusCode::CREATED, "{}", taken.text);
        let other = SigningSecret::new([8; 32]);
        checkpoint::take_key(&world.desk(), &world.admin, Some(&other), "The secret got out").await.unwrap();
        let keys = admin.get("/api/v1/ledger/keys").await.json();
        let vouched: Vec<_> = keys.as_array().unwrap().iter().map(|key| key["vouched"].clone()).collect();
        assert_eq!(vouched, [json!(false), json!(true), json!(null)]);
        let page = admin.get("/history/checkpoints").await;
        assert_eq!(page.text.matches("The key before it did not sign for it").count(), 1);
        assert!(page.text.contains("This server has another secret"), "{}", page.text);
        assert_eq!(told(&world).await, Vec::<String>::new(), "old checkpoints hold with their keys");
    }
}
