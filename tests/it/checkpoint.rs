//! Checkpoints: made, signed, witnessed, kept elsewhere and held against the record.

use axum::http::{Method, StatusCode};
use ed25519_dalek::SigningKey;
use ropeloft::{
    deed::{DeedError, checkpoint, person::found_from_console},
    domain::{
        Change, Held, NotAllowed, PersonDraft, SigningSecret, Team, TeamId, WitnessDraft,
        WitnessId,
        checkpoint::{Checkpoint, origin},
        signed_note::{Note, Signs, Verifier},
        tree_proof::{check_consistency, check_inclusion},
    },
    store::KeptCheckpoint,
};
use serde_json::{Value, json};
use time::Duration;

use crate::{client::signing_secret, stock, store_rebuild::again, world::World};

async fn grow(world: &World, name: &str) {
    world.record(Change::StoreAdded(stock::store(name))).await;
}

fn said(kept: &KeptCheckpoint) -> Checkpoint {
    Checkpoint::read(Note::read(&kept.note).unwrap().text()).unwrap()
}

fn witness_key() -> SigningKey {
    SigningKey::from_bytes(&[9; 32])
}

fn witness() -> WitnessDraft {
    let verifier = Verifier::new("yard.example/w", Signs::Seen, witness_key().verifying_key());
    WitnessDraft {
        verifier: verifier.unwrap().text(),
        who: "The yard".to_owned(),
    }
}

/// A text in the query of an address.
pub fn form_urlencoded(text: &str) -> String {
    format!(
        "%{}",
        hex::encode(text)
            .as_bytes()
            .chunks(2)
            .map(|byte| String::from_utf8_lossy(byte))
            .collect::<Vec<_>>()
            .join("%")
    )
}

/// The key that signs for this team, as an auditor wrote it down.
fn known(world: &World, number: u32) -> Verifier {
    signing_secret().verifier(world.team, number).unwrap()
}

on_both_databases! {
    async fn a_checkpoint_says_how_far_the_record_has_grown(world) {
        let (desk, secret) = (world.desk(), signing_secret());
        let refused = checkpoint::make(&desk, &world.officer, None).await.unwrap_err();
        assert!(matches!(refused, DeedError::NotAllowed(NotAllowed::NoSigningSecret)), "{refused:?}");
        // The first that is asked for takes the first key with it.
        checkpoint::make(&desk, &world.officer, Some(&secret)).await.unwrap();
        checkpoint::begin(&desk, &world.admin, Some(&secret)).await.unwrap();
        grow(&world, "Shelf").await;
        let made = checkpoint::make(&desk, &world.officer, Some(&secret)).await.unwrap();
        let again = checkpoint::make(&desk, &world.officer, Some(&secret)).await.unwrap();
        assert_eq!(made, again);
        let head = world.database.read(world.team).await.unwrap().head().await.unwrap().unwrap();
        let says = said(&made);
        assert_eq!((says.size, says.root, says.origin.as_str()), (head.size, head.root, origin(world.team).as_str()));
        assert_eq!(says.made_at, Some(world.clock.now()));
        let signed = Note::read(&made.note).unwrap().signed_by(&[known(&world, 1)]).unwrap();
        assert_eq!(signed.len(), 1);
        let seals = checkpoint::list(&desk, &world.auditor, Some(&secret), None).await.unwrap();
        assert_eq!((seals.signers.keys.len(), seals.checkpoints.len(), seals.can_sign), (1, 2, true));
    }

    async fn the_next_key_is_vouched_for_by_the_one_before(world) {
        let (desk, secret) = (world.desk(), signing_secret());
        checkpoint::begin(&desk, &world.admin, Some(&secret)).await.unwrap();
        let unreasoned = checkpoint::take_key(&desk, &world.admin, Some(&secret), " ").await;
        assert!(matches!(unreasoned, Err(DeedError::Invalid(_))));
        let officer = checkpoint::take_key(&desk, &world.officer, Some(&secret), "why").await;
        assert!(matches!(officer, Err(DeedError::Forbidden(_))));
        let key = checkpoint::take_key(&desk, &world.admin, Some(&secret), "A server was given away").await.unwrap();
        assert_eq!((key.number, key.verifier), (2, known(&world, 2).text()));
        let first = checkpoint::show(&desk, &world.auditor, None).await.unwrap();
        let note = Note::read(&first.note).unwrap();
        assert_eq!(note.signed_by(&[known(&world, 1)]).unwrap().len(), 1);
        assert_eq!(note.signed_by(&[known(&world, 2)]).unwrap().len(), 1);
        grow(&world, "Shelf").await;
        let second = checkpoint::make(&desk, &world.admin, Some(&secret)).await.unwrap();
        let note = Note::read(&second.note).unwrap();
        assert!(note.signed_by(&[known(&world, 1)]).is_err());
        assert_eq!(note.signed_by(&[known(&world, 2)]).unwrap().len(), 1);
        // Another secret makes other keys: such a server signs nothing until a key of its own is taken.
        let other = SigningSecret::new([8; 32]);
        grow(&world, "Bay").await;
        let refused = checkpoint::make(&desk, &world.admin, Some(&other)).await.unwrap_err();
        assert!(matches!(refused, DeedError::NotAllowed(NotAllowed::NoSigningSecret)));
        let third = checkpoint::take_key(&desk, &world.admin, Some(&other), "The secret was lost").await.unwrap();
        assert_eq!(third.number, 3);
        let kept = checkpoint::show(&desk, &world.auditor, None).await.unwrap();
        assert_eq!(kept.note.matches('\u{2014}').count(), 1);
    }

    async fn a_team_that_was_made_without_the_server_gets_its_first_key_by_itself(world) {
        let (desk, secret) = (world.desk(), signing_secret());
        let founded = Team::new(TeamId::new(), "East shaft team", "european");
        let first = PersonDraft {
            name: "Ilse Warte".to_owned(),
            sign_in: "ilse-east".to_owned(),
            role: "admin".to_owned(),
            password: "a long pass phrase 7".to_owned(),
        };
        found_from_console(&desk, &founded, &first).await.unwrap();
        for _ in 0..2 {
            checkpoint::keep_making(&desk, &secret).await.unwrap();
            for team in [world.team, founded.id] {
                let keys = world.database.read(team).await.unwrap().ledger_keys().await.unwrap();
                let [(_, key)] = keys.as_slice() else { panic!("{keys:?}") };
                assert_eq!(key.verifier, secret.verifier(team, 1).unwrap().text());
            }
        }
        // A team without an administrator waits for one.
        let open = world.database.door().await.unwrap().teams_without_key().await.unwrap();
        assert!(!open.contains(&founded.id) && !open.contains(&world.team), "{open:?}");
        assert_eq!(again(&world).await.differences, []);
    }

    async fn one_is_made_a_day_while_the_record_grows(world) {
        let (desk, secret) = (world.desk(), signing_secret());
        checkpoint::begin(&desk, &world.admin, Some(&secret)).await.unwrap();
        let count = async || {
            checkpoint::keep_making(&desk, &secret).await.unwrap();
            checkpoint::list(&desk, &world.auditor, None, None).await.unwrap().checkpoints.len()
        };
        grow(&world, "Shelf").await;
        assert_eq!(count().await, 1, "it is not a day yet");
        world.clock.advance(Duration::days(1) + Duration::seconds(1));
        assert_eq!(count().await, 2);
        world.clock.advance(Duration::days(9));
        assert_eq!(count().await, 2, "nothing grew");
        grow(&world, "Bay").await;
        assert_eq!(count().await, 3);
    }

    async fn a_team_whose_key_this_server_cannot_make_is_not_waited_for(world) {
        let (desk, secret) = (world.desk(), signing_secret());
        checkpoint::begin(&desk, &world.admin, Some(&secret)).await.unwrap();
        grow(&world, "Shelf").await;
        world.clock.advance(Duration::days(2));
        // Somebody writes while it is looked: who asks for this ledger's lock waits.
        let writing = world.database.write(world.team).await.unwrap();
        let looked = async |secret: &SigningSecret| {
            let look = checkpoint::keep_making(&desk, secret);
            tokio::time::timeout(std::time::Duration::from_millis(700), look).await.is_ok()
        };
        assert!(looked(&SigningSecret::new([8; 32])).await, "another secret makes no key of this team");
        assert!(!looked(&secret).await, "whoever can sign waits for the lock");
        drop(writing);
        checkpoint::keep_making(&desk, &secret).await.unwrap();
        let seals = checkpoint::list(&desk, &world.auditor, None, None).await.unwrap();
        assert_eq!(seals.checkpoints.len(), 2);
    }

    async fn what_was_kept_is_held_against_the_record(world) {
        let (desk, secret) = (world.desk(), signing_secret());
        checkpoint::begin(&desk, &world.admin, Some(&secret)).await.unwrap();
        let kept = checkpoint::show(&desk, &world.auditor, None).await.unwrap();
        let size = kept.size;
        for name in ["Shelf", "Bay", "Van"] {
            grow(&world, name).await;
        }
        let hold = async |note: &str| checkpoint::hold(&desk, &world.auditor, note, 0).await;
        let goes_on = Held::GoesOn { size, signed: vec![1], read: (0, size) };
        assert_eq!(hold(&kept.note).await.unwrap(), (goes_on.clone(), size + 3));
        // As a form or a letter brings it.
        let pasted = format!("\n  {}\n\n", kept.note.replace('\n', "\r\n"));
        assert_eq!(hold(&pasted).await.unwrap().0, goes_on);
        let says = said(&kept);
        let signed = |says: &Checkpoint, key: &SigningKey| {
            let mut note = Note::of(says.to_string()).unwrap();
            note.sign(&says.origin, key).unwrap();
            note.whole()
        };
        let stranger = SigningKey::from_bytes(&[3; 32]);
        let unsigned = signed(&says, &stranger);
        assert_eq!(hold(&unsigned).await.unwrap().0, Held::GoesOn { size, signed: Vec::new(), read: (0, size) });
        let other = Checkpoint { root: [1; 32], ..says.clone() };
        let ours = signing_secret().key(world.team, 1);
        assert_eq!(hold(&signed(&other, &ours)).await.unwrap().0, Held::Differs { size });
        let longer = Checkpoint { size: size + 4, ..says.clone() };
        assert_eq!(hold(&signed(&longer, &ours)).await.unwrap().0, Held::Shorter { size: size + 4 });
        let foreign = Checkpoint { origin: "yard/record".to_owned(), ..says };
        let held = hold(&signed(&foreign, &stranger)).await.unwrap().0;
        assert_eq!(held, Held::OtherRecord { origin: "yard/record".to_owned() });
        for broken in ["", "no note", &kept.note.replace(&format!("\n{size}\n"), "\n77\n")] {
            assert!(matches!(hold(broken).await, Err(DeedError::Invalid(_))), "{broken}");
        }
    }

    async fn a_witness_signs_too(world) {
        let (desk, secret) = (world.desk(), signing_secret());
        checkpoint::begin(&desk, &world.admin, Some(&secret)).await.unwrap();
        let kept = checkpoint::show(&desk, &world.auditor, None).await.unwrap();
        let mut note = Note::read(&kept.note).unwrap();
        let at = u64::try_from(world.clock.now().unix_timestamp()).unwrap();
        note.witness("yard.example/w", &witness_key(), at).unwrap();
        let bring = async || checkpoint::witnessed(&desk, &world.officer, kept.size, &note.whole()).await;
        assert!(matches!(bring().await, Err(DeedError::Invalid(_))), "nobody named them yet");
        let id = WitnessId::new();
        let officer = checkpoint::name_witness(&desk, &world.officer, id, &witness()).await;
        assert!(matches!(officer, Err(DeedError::Forbidden(_))));
        let plain = WitnessDraft { verifier: known(&world, 1).text(), ..witness() };
        let refused = checkpoint::name_witness(&desk, &world.admin, id, &plain).await;
        assert!(matches!(refused, Err(DeedError::Invalid(_))), "a key without a moment");
        for _ in 0..2 {
            checkpoint::name_witness(&desk, &world.admin, id, &witness()).await.unwrap();
        }
        let twice = checkpoint::name_witness(&desk, &world.admin, WitnessId::new(), &witness()).await;
        assert!(matches!(twice, Err(DeedError::Invalid(_))));
        assert_eq!(bring().await.unwrap()[0].at, Some(at));
        let now = checkpoint::show(&desk, &world.auditor, Some(kept.size)).await.unwrap();
        assert_eq!(now.note, note.whole());
        checkpoint::end_witness(&desk, &world.admin, id, "They closed").await.unwrap();
        assert!(matches!(bring().await, Err(DeedError::Invalid(_))));
        let again = checkpoint::end_witness(&desk, &world.admin, id, "They closed").await;
        assert!(matches!(again, Err(DeedError::NotFound(_))));
        let now = checkpoint::show(&desk, &world.auditor, Some(kept.size)).await.unwrap();
        assert_eq!(now.note, note.whole(), "what they signed stays");
    }

    async fn programs_read_checkpoints_and_proofs(world) {
        let (desk, secret) = (world.desk(), signing_secret());
        checkpoint::begin(&desk, &world.admin, Some(&secret)).await.unwrap();
        let old = said(&checkpoint::show(&desk, &world.auditor, None).await.unwrap());
        for number in 0..9 {
            grow(&world, &format!("Bay {number}")).await;
        }
        let client = world.visitor(&world.auditor).await;
        let refused = client.json(Method::POST, "/api/v1/checkpoints", &json!({})).await;
        assert_eq!(refused.status, StatusCode::FORBIDDEN);
        let officer = world.visitor(&world.officer).await;
        let made = officer.json(Method::POST, "/api/v1/checkpoints", &json!({})).await;
        assert_eq!(made.status, StatusCode::OK);
        let latest = client.get("/api/v1/checkpoints/latest").await;
        assert!(latest.header("content-type").starts_with("text/plain"));
        assert_eq!(Some(latest.text.as_str()), made.json()["note"].as_str());
        let new = Checkpoint::read(Note::read(&latest.text).unwrap().text()).unwrap();
        let hashes = |json: &Value| -> Vec<[u8; 32]> {
            let all = json["proof"].as_array().unwrap().iter();
            all.map(|one| hex::decode(one.as_str().unwrap()).unwrap().try_into().unwrap()).collect()
        };
        let grown = client.get(&format!("/api/v1/ledger/consistency?old={}", old.size)).await.json();
        check_consistency((old.size, &old.root), (new.size, &new.root), &hashes(&grown)).unwrap();
        let entry = client.get(&format!("/api/v1/ledger/inclusion?seq=3&size={}", new.size)).await.json();
        let leaf = hex::decode(entry["leaf"].as_str().unwrap()).unwrap().try_into().unwrap();
        check_inclusion(2, new.size, leaf, &hashes(&entry), &new.root).unwrap();
        for path in ["ledger/inclusion?seq=0", "ledger/inclusion?seq=999", "ledger/inclusion", "ledger/consistency?old=9&new=8",
            "ledger/consistency?old=-1", "checkpoints/1", "checkpoints/x"] {
            let answer = client.get(&format!("/api/v1/{path}")).await;
            assert!(answer.status.is_client_error(), "{path}: {}", answer.status);
        }
        let stranger = world.stranger().get("/api/v1/checkpoints/latest").await;
        assert_eq!(stranger.status, StatusCode::UNAUTHORIZED);
    }

    async fn pages_make_and_compare_checkpoints(world) {
        let (desk, secret) = (world.desk(), signing_secret());
        let client = world.visitor(&world.officer).await;
        let page = client.get("/history/checkpoints").await;
        assert!(page.text.contains("Nobody signs this record yet"));
        let early = world.visitor(&world.auditor).await.get("/api/v1/ledger/bundle").await;
        assert_eq!(early.status, StatusCode::CONFLICT);
        assert!(early.text.contains("has no key yet"), "{}", early.text);
        checkpoint::begin(&desk, &world.admin, Some(&secret)).await.unwrap();
        grow(&world, "Shelf").await;
        let made = client.post("/history/checkpoints", &[]).await;
        let page = client.get(made.location()).await;
        assert!(page.text.contains("key 1"), "{}", page.text);
        let file = client.get(&format!("{}/note", made.location())).await;
        let note = file.text;
        let auditor = world.visitor(&world.auditor).await;
        let compare = async |note: &str| {
            let query = form_urlencoded(note);
            auditor.get(&format!("/history/checkpoints?note={query}")).await
        };
        let held = compare(&note).await;
        assert!(held.text.contains("was changed since"), "{}", held.text);
        let wrong = compare("what I typed").await;
        assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
        assert!(wrong.text.contains("what I typed") && wrong.text.contains("Nothing was compared"), "{}", wrong.text);
        let key = client.post("/history/checkpoints/keys", &[("reason", "mine")]).await;
        assert_eq!(key.status, StatusCode::FORBIDDEN);
        let admin = world.visitor(&world.admin).await;
        let key = admin.post("/history/checkpoints/keys", &[("reason", "A year is over")]).await;
        assert_eq!(key.location(), "/history/checkpoints");
        let held = compare(&note).await;
        assert!(held.text.contains("signed with key 1 of this record, which was put aside at entry"), "{}", held.text);
        let draft = witness();
        let fields = [("who", draft.who.as_str()), ("verifier", "NAME+1+2")];
        let refused = admin.post("/history/checkpoints/witnesses", &fields).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
        let fields = [("who", draft.who.as_str()), ("verifier", &draft.verifier)];
        admin.post("/history/checkpoints/witnesses", &fields).await;
        assert!(admin.get("/history/checkpoints").await.text.contains("yard.example/w"));
    }
}
