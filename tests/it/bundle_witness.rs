//! Witnesses in a bundle: told apart by whether their key was given, and none whose signature does not hold.

use std::process::Command;

use ed25519_dalek::SigningKey;
use ropeloft::{
    domain::signed_note::{Note, Signs, Verifier},
    export::bundle::{Fault, check},
};

use crate::{
    bundle::{grown, whole},
    bundle_resigned::{head, lines, resigned},
    client::signing_secret,
    world::{World, on_sqlite},
};

const NAME: &str = "yard.example/w";
const AT: u64 = 1_772_400_000;

fn witness(seed: u8) -> (SigningKey, Verifier) {
    let key = SigningKey::from_bytes(&[seed; 32]);
    let verifier = Verifier::new(NAME, Signs::Seen, key.verifying_key()).unwrap();
    (key, verifier)
}

/// The record in a file that names a witness, signed by one whose key that is or is not, and signed anew by the server.
async fn witnessed(world: &World, text: &str, by: &SigningKey, named: &Verifier) -> String {
    let mut lines = lines(text);
    let head = head(&mut lines);
    let mut note = Note::read(&head.checkpoint).unwrap();
    note.witness(NAME, by, AT).unwrap();
    head.checkpoint = note.whole();
    head.keys.push(named.text());
    resigned(world, &lines, world.entries().await, 1)
}

fn said(fault: Result<ropeloft::export::bundle::Checked, Fault>) -> String {
    fault.expect_err("it is refused").to_string()
}

on_both_databases! {
    async fn a_witness_is_trusted_by_its_own_key_alone(world) {
        let auditor = grown(&world, 3).await;
        let text = whole(auditor.get("/history/bundle").await);
        let own = signing_secret().verifier(world.team, 1).unwrap();
        let (key, real) = witness(9);
        let cosigned = witnessed(&world, &text, &key, &real).await;
        for (given, team, trusted) in [
            (vec![], false, false),
            (vec![own.clone()], true, false),
            (vec![own.clone(), real.clone()], true, true),
            (vec![real.clone()], false, true),
        ] {
            let checked = check(cosigned.as_bytes(), &given).unwrap();
            assert_eq!(checked.signed, std::slice::from_ref(&own));
            let [one] = &checked.witnesses[..] else { panic!("{:?}", checked.witnesses) };
            assert_eq!((checked.trusted, one.trusted, one.by.at), (team, trusted, Some(AT)));
        }
        // One that is made up stands in the file under the name of another.
        let (key, made_up) = witness(8);
        let forged = witnessed(&world, &text, &key, &made_up).await;
        let checked = check(forged.as_bytes(), std::slice::from_ref(&own)).unwrap();
        assert!(!checked.witnesses[0].trusted);
        let fault = said(check(forged.as_bytes(), &[own.clone(), real.clone()]));
        assert!(fault.contains("the witness yard.example/w, whose key you gave, did not sign it"), "{fault}");
        let fault = said(check(text.as_bytes(), std::slice::from_ref(&real)));
        assert!(fault.contains("did not sign it"), "{fault}");
    }

    async fn a_signature_of_a_witness_that_does_not_hold_is_refused(world) {
        let auditor = grown(&world, 3).await;
        let text = whole(auditor.get("/history/bundle").await);
        let own = signing_secret().verifier(world.team, 1).unwrap();
        let (key, real) = witness(9);
        let mut lines = lines(&witnessed(&world, &text, &key, &real).await);
        let first = head(&mut lines);
        // Another moment: it is signed with the one that was.
        let mut note = Note::read(&first.checkpoint).unwrap();
        note.witness(NAME, &key, AT + 1).unwrap();
        let note = note.whole();
        let (before, last) = note.trim_end().rsplit_once('\n').unwrap();
        let mut last = last.to_owned();
        let at = last.len() - 9;
        let other = if last.as_bytes()[at] == b'A' { "B" } else { "A" };
        last.replace_range(at..=at, other);
        first.checkpoint = format!("{before}\n{last}\n");
        let forged = resigned(&world, &lines, world.entries().await, 1);
        for given in [vec![], vec![own.clone()], vec![own.clone(), real.clone()], vec![real.clone()]] {
            let fault = said(check(forged.as_bytes(), &given));
            assert!(fault.contains("the signature of \"yard.example/w\" does not belong to this text"), "{fault}");
        }
    }

    async fn no_witness_signs_in_the_place_of_the_team(world) {
        let auditor = grown(&world, 3).await;
        let text = whole(auditor.get("/history/bundle").await);
        let (key, real) = witness(9);
        let mut lines = lines(&witnessed(&world, &text, &key, &real).await);
        let first = head(&mut lines);
        let note = Note::read(&first.checkpoint).unwrap();
        let mut alone = Note::of(note.text().to_owned()).unwrap();
        alone.witness(NAME, &key, AT).unwrap();
        first.checkpoint = alone.whole();
        let fault = said(check(resigned(&world, &lines, world.entries().await, 1).as_bytes(), &[]));
        assert!(fault.contains("none of the keys that are known signed this"), "{fault}");
    }
}

#[tokio::test]
async fn the_command_tells_of_a_witness_what_its_signature_is_worth() {
    on_sqlite(async |world| {
        let auditor = grown(&world, 3).await;
        let text = whole(auditor.get("/history/bundle").await);
        let (key, real) = witness(9);
        let file = world.folder.path().join("record.bundle");
        std::fs::write(&file, witnessed(&world, &text, &key, &real).await).unwrap();
        let own = signing_secret().verifier(world.team, 1).unwrap().text();
        let verify = |keys: &[&str]| {
            let keys = keys.iter().flat_map(|key| ["--key", key]);
            let mut order = Command::new(env!("CARGO_BIN_EXE_ropeloft"));
            let done = order.arg("verify").arg(&file).args(keys).output().unwrap();
            let said = [done.stdout, done.stderr].concat();
            (done.status.success(), String::from_utf8_lossy(&said).into_owned())
        };
        for keys in [&[][..], &[own.as_str()]] {
            let (ok, said) = verify(keys);
            assert!(ok && said.contains(&format!("  signed    {own}\n")), "{said}");
            assert!(said.contains("  witness   yard.example/w, 2026-03-01 21:20 UTC: claimed by the file, nothing here proves it"), "{said}");
            assert!(!said.contains("signed    yard"), "{said}");
        }
        let (ok, said) = verify(&[&own, &real.text()]);
        assert!(ok && said.contains("2026-03-01 21:20 UTC: by the key that you gave"), "{said}");
        assert!(!said.contains("taken from the file itself"), "{said}");
        let (ok, said) = verify(&[&own, &witness(8).1.text()]);
        assert!(!ok && said.contains("did not sign it"), "{said}");
    })
    .await;
}
