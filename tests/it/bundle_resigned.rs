//! What whoever signs could make up: bundles of days that leave some out, lines behind the end, and keys that the record
//! did not take. Both readers refuse them alike.

use ropeloft::{
    deed::checkpoint,
    domain::{
        Change, SigningSecret,
        checkpoint::origin,
        signed_note::{Note, Verifier},
    },
    export::bundle::{End, Head, Line, Runs, Scope, check, end_text, written},
};
use sha2::{Digest, Sha256};

use crate::{
    bundle::{grown, held, named, says_apart, says_apart_by, whole},
    client::signing_secret,
    stock,
    world::World,
};

pub fn lines(text: &str) -> Vec<Line> {
    text.lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect()
}

pub fn head(lines: &mut [Line]) -> &mut Head {
    let Some(Line::Bundle(head)) = lines.first_mut() else {
        panic!("no beginning")
    };
    head
}

/// The lines with an end that belongs to them, signed with the team's own key of this number.
pub fn resigned(world: &World, lines: &[Line], size: u64, number: u32) -> String {
    let mut entries = Runs::default();
    let mut text = String::new();
    for line in lines {
        match line {
            Line::End(_) => break,
            Line::Entry(entry) => entries.push(entry.seq),
            _ => {}
        }
        text += &written(line).unwrap();
    }
    let entries = entries.text();
    let bytes = Sha256::digest(&text).into();
    let mut note = Note::of(end_text(world.team, size, &entries, &bytes)).unwrap();
    let key = signing_secret().key(world.team, number);
    note.sign(&origin(world.team), &key).unwrap();
    let note = note.whole();
    text + &written(&Line::End(End { entries, note })).unwrap()
}

/// A record of three days, an entry or more on each, and its bundle of the second.
async fn three_days(world: &World) -> (Vec<Line>, u64) {
    let auditor = grown(world, 0).await;
    for name in ["Second", "Third"] {
        world.clock.advance(time::Duration::days(1));
        world.record(Change::StoreAdded(stock::store(name))).await;
    }
    let text = whole(
        auditor
            .get("/history/bundle?from=2026-03-02&until=2026-03-02")
            .await,
    );
    let checked = held(&text).unwrap();
    assert!(checked.head.is_proved_whole() && checked.entries.len() == 1);
    let size = world.entries().await;
    let beside = lines(&text)
        .into_iter()
        .filter(|line| matches!(line, Line::Beside(_)));
    assert_eq!(beside.count(), 2);
    assert_eq!(
        resigned(world, &lines(&text), size, 1),
        text,
        "as the server writes it"
    );
    (lines(&text), size)
}

/// Both readers refuse it at this entry.
fn refused(text: &str, seq: u64, why: &str) {
    let fault = held(text).unwrap_err();
    assert_eq!(named(&fault), Some(seq), "{why}: {fault}");
    says_apart(text, false, &format!("FAULT: entry {seq} "));
}

on_both_databases! {
    async fn no_day_is_left_out_of_a_bundle_of_days_by_whoever_signs_it(world) {
        let (lines, size) = three_days(&world).await;
        let (before, within, behind) = (size - 2, size - 1, size);
        let lie = |change: &dyn Fn(&mut Scope)| {
            let mut lines = lines.clone();
            change(&mut head(&mut lines).of);
            resigned(&world, &lines, size, 1)
        };
        let day = time::Duration::DAY;
        let longer = lie(&|of| if let Scope::Time { before, .. } = of { *before = before.map(|at| at + day); });
        refused(&longer, behind, "the day after is of the time and is not given");
        let earlier = lie(&|of| if let Scope::Time { from, .. } = of { *from = from.map(|at| at - day); });
        refused(&earlier, before, "the day before is of the time and is not given");
        let open = lie(&|of| if let Scope::Time { before, .. } = of { *before = None; });
        refused(&open, behind, "it is said to go on to the end");
        let other = lie(&|of| if let Scope::Time { from, before, .. } = of { (*from, *before) = (from.map(|at| at + day), before.map(|at| at + day)); });
        refused(&other, within, "what is given is of another day");
        // Nothing at all: the entries beside it must be there.
        let mut none = lines.clone();
        if let Scope::Time { first, last, .. } = &mut head(&mut none).of {
            (*first, *last) = (1, 0);
        }
        none.truncate(1);
        none.push(Line::Past([1, size]));
        refused(&resigned(&world, &none, size, 1), 1, "no entry is there to show it");
        let beyond = lie(&|of| if let Scope::Time { last, .. } = of { *last = size + 1; });
        held(&beyond).unwrap_err();
        says_apart(&beyond, false, "FAULT");
        let hidden = lines.iter().map(|line| match line {
            Line::Beside(one) if one.seq == behind => Line::Past([behind, behind]),
            other => other.clone(),
        });
        refused(&resigned(&world, &hidden.collect::<Vec<_>>(), size, 1), behind, "the entry behind is hidden");
    }

    async fn a_bundle_of_days_of_the_first_form_claims_no_more_than_it_proves(world) {
        let (mut lines, size) = three_days(&world).await;
        head(&mut lines).form = 1;
        for line in &mut lines {
            if let Line::Beside(one) = line {
                *line = Line::Past([one.seq, one.seq]);
            }
        }
        let text = resigned(&world, &lines, size, 1);
        assert!(!held(&text).unwrap().head.is_proved_whole());
        says_apart(&text, true, "1 entries of");
        says_apart(&text, true, "That none is left out rests on the server's signature");
    }

    async fn what_stands_behind_the_end_or_in_the_first_line_is_seen_by_both(world) {
        let auditor = grown(&world, 3).await;
        let text = whole(auditor.get("/history/bundle").await);
        let entry = text.lines().find(|line| line.starts_with("{\"entry\"")).unwrap();
        for (changed, words) in [
            (format!("{text}{entry}\n"), "behind the end"),
            (text.replacen("North shaft team", "South shaft team", 1), "the end does not belong"),
            (text.replacen("bundle\":", "bundle\": ", 1), "the end does not belong"),
        ] {
            held(&changed).unwrap_err();
            says_apart(&changed, false, words);
        }
    }

    async fn from_an_older_key_one_goes_on_to_the_next(world) {
        let auditor = grown(&world, 3).await;
        let desk = world.desk();
        let secret = signing_secret();
        for reason in ["A year is over", "And another"] {
            checkpoint::take_key(&desk, &world.admin, Some(&secret), reason).await.unwrap();
            world.record(Change::StoreAdded(stock::store(reason))).await;
        }
        let text = whole(auditor.get("/history/bundle").await);
        let key = |number| secret.verifier(world.team, number).unwrap();
        let with = |text: &str, key: Verifier| check(text.as_bytes(), &[key]);
        for (number, led) in [(1, 2), (2, 1), (3, 0)] {
            let checked = with(&text, key(number)).unwrap();
            assert!(checked.trusted && checked.handed_over.len() == led, "key {number}: {:?}", checked.handed_over);
        }
        says_apart(&text, true, "Holds");
        says_apart_by(&text, &[&key(3).text()], true, "Signed with the key that you gave");
        says_apart_by(&text, &[&key(1).text()], false, "from an older one only `ropeloft verify` goes on");
        // Of a handover everything counts: the entry, its place, and that this record goes on from it.
        let size = world.entries().await;
        let forged = |change: &dyn Fn(&mut Head)| {
            let mut lines = lines(&text);
            change(head(&mut lines));
            resigned(&world, &lines, size, 3)
        };
        let other = secret.verifier(world.team, 9).unwrap().text();
        let another_key = forged(&|head| head.handovers[0].entry = head.handovers[0].entry.replace(&key(2).text(), &other));
        let no_beginning = forged(&|head| head.handovers[0].consistency[0] = "00".repeat(32));
        let out_of_place = forged(&|head| { head.handovers[0].inclusion.pop(); });
        for forged in [another_key, no_beginning, out_of_place] {
            let fault = with(&forged, key(1)).unwrap_err().to_string();
            assert!(fault.contains("its proofs do not hold"), "{fault}");
        }
        let silent = forged(&|head| head.handovers.clear());
        let fault = with(&silent, key(1)).unwrap_err().to_string();
        assert!(fault.contains("ask the team for its key on another way") && fault.contains(&key(3).text()), "{fault}");
        // A key of another secret is signed for by none before it.
        let other = SigningSecret::new([8; 32]);
        checkpoint::take_key(&desk, &world.admin, Some(&other), "The secret got out").await.unwrap();
        let kept = checkpoint::show(&desk, &world.auditor, None).await.unwrap();
        let apart = Note::read(&kept.note).unwrap();
        assert!(apart.signed_by(&[key(3)]).is_err() && apart.signed_by(&[other.verifier(world.team, 4).unwrap()]).is_ok());
    }
}
