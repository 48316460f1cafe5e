//! An address is its owner's: a letter with a code goes there, and nothing else until the code has come back.

use axum::http::StatusCode;
use ropeloft::domain::{AddressProof, ErrandState, ProofState};
use time::Duration;

use crate::{
    client::{Answer, Client},
    digest::{choose, code_in, errands, letters, work},
};

const HOUSE: Option<&str> = Some("https://gear.example.org");
const AGAIN: &str = "/settings/letters/again";
const CONFIRM: &str = "/settings/letters/confirm";

/// What the page says of the address.
async fn page(client: &Client) -> String {
    client.get("/settings/letters").await.text
}

/// What the next page will say on top: it comes in a cookie.
fn said(answer: &Answer) -> String {
    let (_, rest) = answer.header("set-cookie").split_once('=').unwrap();
    let words = hex::decode(rest.split(';').next().unwrap()).unwrap();
    String::from_utf8(words).unwrap()
}

async fn take(client: &Client, code: &str) -> StatusCode {
    client.post(CONFIRM, &[("code", code)]).await.status
}

on_both_databases! {
    async fn nothing_goes_to_an_address_before_its_code_has_come_back(world) {
        let folder = tempfile::tempdir().unwrap();
        let officer = world.visitor(&world.officer).await;
        choose(&officer, &[("when_quiet", "yes")]).await;
        assert!(page(&officer).await.contains("officer@example.org is not confirmed"));
        // The day of the digest comes, and only the letter that asks goes out.
        world.clock.advance(Duration::days(1));
        assert_eq!(work(&world, folder.path(), HOUSE).await, 1);
        assert_eq!(work(&world, folder.path(), HOUSE).await, 0);
        let all = letters(folder.path());
        assert_eq!(all.len(), 1);
        for said in ["Subject: North shaft team: is this your address?", "Please confirm that it is yours",
            "https://gear.example.org/settings/letters/confirm?code=", "It holds until 2026-03-04", "do nothing", "text/html"] {
            assert!(all[0].contains(said), "{said} is missing: {}", all[0]);
        }
        let code = code_in(&all[0]);
        let errand = errands(&world).await.remove(0);
        assert_eq!((errand.state, errand.told.as_str()), (ErrandState::Done, "Sent."));
        assert!(!format!("{errand:?}").contains(&code), "the code is kept nowhere but in the letter");
        // To look at the link confirms nothing: programs look at links too.
        let looked = officer.get(&format!("{CONFIRM}?code={code}")).await;
        assert!(looked.status == StatusCode::OK && looked.text.contains(&format!("value=\"{code}\"")), "{}", looked.text);
        assert!(page(&officer).await.contains("is not confirmed"));
        let crew = world.visitor(&world.crew).await;
        assert_eq!(take(&crew, &code).await, StatusCode::UNPROCESSABLE_ENTITY, "it was sent to somebody else");
        for wrong in ["", "abc", &code[1..], &code.to_uppercase()] {
            let answer = officer.post(CONFIRM, &[("code", wrong)]).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{wrong}");
            assert!(answer.text.contains("href=\"#f-code\""), "{}", answer.text);
        }
        assert_eq!(take(&officer, &format!(" {code}\n")).await, StatusCode::SEE_OTHER);
        assert!(page(&officer).await.contains("officer@example.org is confirmed"));
        assert_eq!(take(&officer, &code).await, StatusCode::UNPROCESSABLE_ENTITY, "it works once");
        assert_eq!(work(&world, folder.path(), HOUSE).await, 1);
        assert!(letters(folder.path()).iter().any(|letter| letter.contains("Nothing is overdue")));
        // Another address begins anew, and the proved one is not used behind its back.
        choose(&officer, &[("address", "other@example.org"), ("when_quiet", "yes")]).await;
        assert!(page(&officer).await.contains("other@example.org is not confirmed"));
        world.clock.advance(Duration::weeks(1));
        let officer = world.visitor(&world.officer).await;
        let next = tempfile::tempdir().unwrap();
        assert_eq!(work(&world, next.path(), None).await, 1);
        let all = letters(next.path());
        assert!(all[0].contains("other@example.org") && all[0].contains("Write this code on the page"), "{}", all[0]);
        assert_eq!(take(&officer, &code_in(&all[0])).await, StatusCode::SEE_OTHER);
    }

    async fn a_code_ends_and_letters_that_ask_are_few(world) {
        let officer = world.visitor(&world.officer).await;
        choose(&officer, &[]).await;
        let sent = async |wanted: usize| {
            let folder = tempfile::tempdir().unwrap();
            assert_eq!(work(&world, folder.path(), HOUSE).await, wanted);
            letters(folder.path()).first().map(|letter| code_in(letter))
        };
        let first = sent(1).await.unwrap();
        let soon = officer.post(AGAIN, &[]).await;
        assert_eq!(soon.location(), "/settings/letters");
        assert!(said(&soon).starts_with("No letter was sent to confirm the address: the next may be asked for from 2026-03-01 09:35"), "{}", said(&soon));
        assert_eq!(sent(0).await, None);
        world.clock.advance(Duration::minutes(5));
        let again = officer.post(AGAIN, &[]).await;
        assert!(said(&again).starts_with("Your address is confirmed by a letter once this server sends some"), "{}", said(&again));
        let second = sent(1).await.unwrap();
        assert_eq!(take(&officer, &first).await, StatusCode::UNPROCESSABLE_ENTITY, "a later letter makes it void");
        world.clock.advance(Duration::hours(48));
        let officer = world.visitor(&world.officer).await;
        assert_eq!(take(&officer, &second).await, StatusCode::UNPROCESSABLE_ENTITY, "it has ended");
        for count in 1..=7 {
            // Neither another address nor patience brings more than five within a day.
            choose(&officer, &[("address", &format!("{count}@example.org"))]).await;
            sent(usize::from(count <= 5)).await;
            world.clock.advance(Duration::minutes(5));
        }
        assert!(said(&officer.post(AGAIN, &[]).await).starts_with("No letter was sent to confirm the address"));
        assert!(page(&officer).await.contains("7@example.org is not confirmed"));
        let crew = world.visitor(&world.crew).await;
        assert_eq!(said(&crew.post(AGAIN, &[]).await), "There is nothing to confirm.");
    }

    async fn an_address_from_before_stays_in_use(world) {
        let folder = tempfile::tempdir().unwrap();
        let officer = world.visitor(&world.officer).await;
        choose(&officer, &[("when_quiet", "yes")]).await;
        let before = AddressProof {
            person: world.officer.person, address: "officer@example.org".to_owned(), state: ProofState::Before,
            asked_at: None, ends_at: None, counted_from: None, letters: 0,
        };
        let mut tx = world.database.write(world.team).await.unwrap();
        tx.ask_for_proof(&before).await.unwrap();
        tx.commit().await.unwrap();
        assert!(page(&officer).await.contains("in use before addresses were confirmed"));
        assert_eq!(work(&world, folder.path(), None).await, 1, "the letter that was asked for");
        assert_eq!(errands(&world).await[0].told, "This address is not asked about any more.");
        world.clock.advance(Duration::days(1));
        assert_eq!(work(&world, folder.path(), None).await, 1);
        assert!(letters(folder.path())[0].contains("Nothing is overdue"));
        // A letter that was asked for while the address held does not go where it holds no more.
        world.clock.advance(Duration::weeks(1));
        ropeloft::deed::digest::prepare(&world.bare_desk()).await.unwrap();
        let asked = AddressProof { state: ProofState::Asked, ..before };
        let mut tx = world.database.write(world.team).await.unwrap();
        tx.ask_for_proof(&asked).await.unwrap();
        tx.commit().await.unwrap();
        assert_eq!(work(&world, folder.path(), None).await, 1);
        assert_eq!(errands(&world).await[0].told, "The address is not confirmed, so nothing was sent.");
    }
}
