//! The digest: chosen by a person, asked for when its day has come, written and sent as an errand.

use time::{Date, Duration, OffsetDateTime};

use super::{
    DeedError, Desk,
    errand::Failed,
    notice::covered_in,
    proof::{self, Asked},
};
use crate::{
    domain::{
        Actor, DayRange, Digest, DigestChoice, DigestDraft, DigestPart, Errand, ErrandId,
        ErrandKind, Every, Item, ItemState, NewErrand, PersonId, date::write_day, fitness::due_on,
        life,
    },
    export::digest::{html, plain, subject},
    outgoing::mail::{Letter, Mailer, is_address},
    store::{Counts, Direction, ItemFilter, ItemSort, Tx},
};

/// How many items a part of a letter names.
const MOST_LINES: usize = 25;
/// How many items are read at once.
const PAGE: u32 = 500;
/// How many notices are looked at, the last issued first.
const NOTICES: u32 = 50;

/// What one has chosen.
pub async fn choice(desk: &Desk, actor: &Actor) -> Result<DigestChoice, DeedError> {
    let mut tx = desk.database.read(actor.team).await?;
    let chosen = tx.digest_of(actor.person).await?;
    Ok(chosen.unwrap_or(DigestChoice {
        person: actor.person,
        address: String::new(),
        every: Every::Never,
        when_quiet: false,
        since: tx.day(desk.clock.now()).await?,
    }))
}

/// Keeps what one has chosen, and has a letter ask at an address that is not proved.
///
/// # Errors
/// [`DeedError::Invalid`] with every field that does not hold.
pub async fn choose(desk: &Desk, actor: &Actor, draft: &DigestDraft) -> Result<Asked, DeedError> {
    let mut tx = desk.database.read(actor.team).await?;
    let today = tx.day(desk.clock.now()).await?;
    drop(tx);
    let choice = draft.check(actor.person, today, is_address)?;
    let mut door = desk.database.write_door().await?;
    door.set_digest(actor.team, &choice).await?;
    door.commit().await?;
    proof::ask(desk, actor, &choice.address, false).await
}

/// Asks for every digest whose day has come; each once, however many servers ask.
pub async fn prepare(desk: &Desk) -> Result<(), DeedError> {
    let now = desk.clock.now();
    let mut door = desk.database.door().await?;
    let wanted = door.wanted_digests().await?;
    drop(door);
    for one in wanted {
        let day = one.choice.every.last_day(now, &one.zone);
        let asked = one.asked_on;
        let day = day.filter(|day| *day >= one.choice.since && asked.is_none_or(|on| on < *day));
        let Some(day) = day else { continue };
        let errand = NewErrand {
            id: ErrandId::new(),
            team: one.team,
            kind: ErrandKind::Mail,
            about: one.choice.person.0,
            once: one.choice.once(day),
            payload: String::new(),
            due_at: now,
        };
        let mut door = desk.database.write_door().await?;
        door.add_errand(&errand, now).await?;
        door.digest_asked((one.team, one.choice.person), day)
            .await?;
        door.commit().await?;
    }
    Ok(())
}

/// Writes a digest as things stand now and sends it, or the letter that asks for an address. `house` is how people reach the server, if that is known.
///
/// # Errors
/// [`Failed`] where it did not go out.
pub async fn send(
    desk: &Desk,
    errand: &Errand,
    mailer: Option<&Mailer>,
    house: Option<&str>,
) -> Result<String, Failed> {
    let Some(mailer) = mailer else {
        return Err(Failed::now(
            "This server has no way to send letters: ROPELOFT_SMTP_URL is not set.",
        ));
    };
    if errand.payload == proof::PAYLOAD {
        return proof::send(desk, errand, mailer, house).await;
    }
    let written = write(desk, errand).await.map_err(|error| {
        tracing::warn!(error = %error, "A digest could not be written");
        Failed::now("The letter could not be written; the log of the server says why.")
    })?;
    let (choice, digest) = match written {
        Ok(written) => written,
        Err(unsent) => return Ok(unsent.to_owned()),
    };
    if digest.parts.is_empty() && !choice.when_quiet {
        return Ok("There was nothing to say, so nothing was sent.".to_owned());
    }
    let letter = Letter {
        id: errand.id.to_string(),
        to: choice.address,
        name: digest.name.clone(),
        subject: subject(&digest),
        plain: plain(&digest, house),
        html: html(&digest, house),
        end_at: house.map(|house| format!("{house}/settings/letters")),
    };
    match mailer.send(&letter).await {
        Ok(()) => Ok("Sent.".to_owned()),
        Err(unsent) if unsent.for_good => Err(Failed::for_good(unsent.why)),
        Err(unsent) => Err(Failed::now(unsent.why)),
    }
}

/// The digest, or why none goes out.
type Written = Result<(DigestChoice, Digest), &'static str>;

async fn write(desk: &Desk, errand: &Errand) -> Result<Written, DeedError> {
    let now = desk.clock.now();
    let mut tx = desk.database.read(errand.team).await?;
    let person = PersonId(errand.about);
    let choice = tx.digest_of(person).await?;
    let choice = choice.filter(|choice| choice.every != Every::Never);
    let proof = tx.address_proof(person).await?;
    let person = tx.person(person).await?.filter(|person| person.active);
    let (Some(choice), Some(person)) = (choice, person) else {
        return Ok(Err("Nobody wants it any more."));
    };
    if proof.is_none_or(|proof| !proof.covers(&choice.address)) {
        return Ok(Err("The address is not confirmed, so nothing was sent."));
    }
    let (team, _) = tx.this_team().await?.ok_or(DeedError::NotFound("team"))?;
    let days = choice.every.days_ahead();
    let parts = parts(&mut tx, now, days).await?;
    let counts = tx.counts(now, days).await?;
    Ok(Ok((
        choice,
        Digest {
            team: team.name,
            on: tx.day(now).await?,
            name: person.name,
            answer: answer(&counts, days),
            parts,
        },
    )))
}

/// How things stand in one line. What was never examined is not overdue, and no job takes it: the line does not leave it
/// out.
fn answer(counts: &Counts, days: u16) -> String {
    let falls = match counts.due_soon {
        0 => format!("nothing falls due within {days} days"),
        1 => format!("1 falls due within {days} days"),
        n => format!("{n} fall due within {days} days"),
    };
    let items = |n: u64| match n {
        1 => "1 item".to_owned(),
        n => format!("{n} items"),
    };
    match (counts.overdue, counts.never_passed) {
        (0, 0) => format!("Nothing is overdue; {falls}"),
        (0, never) => format!(
            "Nothing is overdue, but {} never passed an examination; {falls}",
            items(never)
        ),
        (over, never) => {
            let are = if over == 1 { "is" } else { "are" };
            let never = match never {
                0 => String::new(),
                n => format!("{n} never passed an examination, "),
            };
            format!("{} {are} overdue, {never}{falls}", items(over))
        }
    }
}

/// What is to be said; parts without an item are left out.
async fn parts(tx: &mut Tx, now: OffsetDateTime, days: u16) -> Result<Vec<DigestPart>, DeedError> {
    let today = tx.day(now).await?;
    let mut parts = Vec::new();
    for list in due_lists(today, days)
        .into_iter()
        .chain(other_lists(today, days))
    {
        parts.extend(part(tx, &list, today).await?);
    }
    parts.extend(open_notices(tx).await?);
    Ok(parts)
}

/// A list that a letter tells of.
struct List {
    /// What is said of one item, and of several.
    words: [&'static str; 2],
    /// What stands behind the question mark of its page.
    query: String,
    filter: ItemFilter,
}

fn in_state(state: ItemState) -> ItemFilter {
    ItemFilter {
        state: Some(state),
        ..ItemFilter::default()
    }
}

/// The first day that is not looked ahead to.
fn end(today: Date, days: u16) -> Date {
    today + Duration::days(i64::from(days) + 1)
}

fn due_lists(today: Date, days: u16) -> [List; 3] {
    let mut overdue = in_state(ItemState::InService);
    overdue.due_before = Some(today);
    let mut soon = in_state(ItemState::InService);
    (soon.due_from, soon.due_before) = (Some(today), Some(end(today, days)));
    let mut never = in_state(ItemState::InService);
    never.never_passed = true;
    [
        List {
            words: [
                "item is past its examination day",
                "items are past their examination day",
            ],
            query: "state=in-service&due=overdue&sort=due".to_owned(),
            filter: overdue,
        },
        List {
            words: ["item falls due soon", "items fall due soon"],
            query: format!("state=in-service&due={days}&sort=due"),
            filter: soon,
        },
        List {
            words: [
                "item never passed an examination",
                "items never passed an examination",
            ],
            query: "state=in-service&due=never".to_owned(),
            filter: never,
        },
    ]
}

fn other_lists(today: Date, days: u16) -> [List; 3] {
    let tomorrow = today + Duration::DAY;
    let end = end(today, days);
    let mut ended = in_state(ItemState::InService);
    ended.life_before = Some(tomorrow);
    let mut ends = in_state(ItemState::InService);
    (ends.life_from, ends.life_before) = (Some(tomorrow), Some(end));
    let soon = DayRange {
        from: tomorrow,
        to: end.previous_day(),
    };
    [
        List {
            words: [
                "item is past the end of its life",
                "items are past the end of their lives",
            ],
            query: "state=in-service&life=over".to_owned(),
            filter: ended,
        },
        List {
            words: [
                "item comes to the end of its life soon",
                "items come to the end of their lives soon",
            ],
            query: format!("state=in-service&life={soon}"),
            filter: ends,
        },
        List {
            words: [
                "item waits in quarantine for a decision",
                "items wait in quarantine for a decision",
            ],
            query: "state=quarantined".to_owned(),
            filter: in_state(ItemState::Quarantined),
        },
    ]
}

async fn part(tx: &mut Tx, list: &List, today: Date) -> Result<Option<DigestPart>, DeedError> {
    let order = (ItemSort::Due, Direction::Up);
    let (mut lines, mut count, mut after) = (Vec::new(), 0_usize, None);
    loop {
        let page = tx.items(&list.filter, order, after.as_ref(), PAGE).await?;
        count += page.rows.len();
        let room = MOST_LINES.saturating_sub(lines.len());
        let named: Vec<Item> = page.rows.into_iter().take(room).collect();
        lines.extend(lines_of(tx, &named, today).await?);
        after = page.next;
        if after.is_none() {
            break;
        }
    }
    Ok((count > 0).then(|| DigestPart {
        words: format!("{count} {}", list.words[usize::from(count != 1)]),
        list: format!("/items?{}", list.query),
        more: count - lines.len(),
        lines,
    }))
}

/// What is said of each item, with its page.
async fn lines_of(
    tx: &mut Tx,
    items: &[Item],
    today: Date,
) -> Result<Vec<(String, String)>, DeedError> {
    let rulebook = super::rulebook::home(tx).await?;
    let models: Vec<_> = items.iter().map(|item| item.model).collect();
    let models = tx.models_of(&models).await?;
    let stores = tx.stores().await?;
    let lines = items.iter().filter_map(|item| {
        let model = models.get(&item.model)?;
        let store = stores.iter().find(|store| store.id == item.store);
        let store = store.map_or("", |store| store.name.as_str());
        let due = match due_on(item, model, &rulebook) {
            Some((day, _)) if day < today => format!("was due on {}", write_day(day)),
            Some((day, _)) => format!("in date until {}", write_day(day)),
            None => "never examined".to_owned(),
        };
        let ends: Option<Date> = life(item, model, &rulebook).ends_on();
        // A life that ends on a day is over on it.
        let ends = ends.map(|day| {
            let ends = if day <= today { "ended" } else { "ends" };
            format!(", life {ends} {}", write_day(day))
        });
        let line = format!(
            "{}, {}, {store}: {due}{}",
            item.mark,
            model.title(),
            ends.unwrap_or_default()
        );
        Some((line, format!("/items/{}", item.id)))
    });
    Ok(lines.collect())
}

/// The notices that are open for an item.
async fn open_notices(tx: &mut Tx) -> Result<Option<DigestPart>, DeedError> {
    let mut lines = Vec::new();
    for notice in tx.notices(None, NOTICES).await?.rows {
        let covered = covered_in(tx, notice.id, None, 1).await?;
        if covered.open > 0 {
            let line = format!(
                "{}, open for {} of {}",
                notice.title, covered.open, covered.all
            );
            lines.push((line, format!("/notices/{}", notice.id)));
        }
    }
    let words = match lines.len() {
        0 => return Ok(None),
        1 => "1 safety notice is open".to_owned(),
        n => format!("{n} safety notices are open"),
    };
    Ok(Some(DigestPart {
        words,
        list: "/notices".to_owned(),
        lines,
        more: 0,
    }))
}
