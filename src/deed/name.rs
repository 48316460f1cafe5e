//! Somebody's name goes out of the records, on lawful request; what they did stays, under what stands for the name.

use std::collections::BTreeSet;

use time::Date;

use super::{DeedError, Desk, permit};
use crate::{
    domain::{
        Actor, Change, Deed, FieldErrors, Holder, MOST_TYPED, NameRemoval, NameRemovalDraft,
        Person, PersonId, Qualification, SealedName, date::write_day,
    },
    store::{Direction, EntryFilter, StoreError, Tx, WriteTx},
};

/// How many links are read at once.
const LINKS: u32 = 200;
/// How many removals are shown.
const REMOVALS: u32 = 50;

/// Removes a name: of a person of the team every name that the account ever had, and all that they sign in with. The
/// addresses on their qualifications go with it.
///
/// What somebody wrote into notes and reasons, files that were put on records and files that were taken away stay as
/// they are; the removal says in which entries the name was typed.
///
/// # Errors
/// Every field that does not hold: an account that is open, one's own, a name that is not the account's or that
/// another account has too, one that no record holds, one that stands in an entry as it is, one of an outside auditor
/// whose link lets in.
pub async fn remove(
    desk: &Desk,
    actor: &Actor,
    draft: &NameRemovalDraft,
) -> Result<NameRemoval, DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let (name, reason) = draft.check()?;
    let mut tx = desk.database.write(actor.team).await?;
    let people = tx.people().await?;
    let person = chosen(draft, &people)?;
    held_against(person, actor, &name, &people)?;
    let mut names = match person {
        Some(person) => names_of_account(&mut tx, person).await?,
        None => tx.sealed_names(&[name.clone()].into()).await?,
    };
    if names.is_empty() {
        let sentence = "No record holds exactly this name where records name people.";
        return Err(FieldErrors::one("name", "unknown", sentence).into());
    }
    let addresses = addresses(&mut tx, person, &names).await?;
    names.extend(addresses);
    for name in &names {
        if let Some(seq) = tx.first_in_plain(&name.name).await? {
            let sentence = format!(
                "Entry {seq} holds this name as it is: it is older than the way in which names are kept apart. It cannot \
                 be taken out without breaking the record."
            );
            return Err(FieldErrors::one("name", "plain", sentence).into());
        }
    }
    let now = desk.clock.now();
    let today = tx.day(now).await?;
    not_of_an_open_link(&mut tx, &names, today).await?;
    let removal = NameRemoval {
        seals: names.iter().map(|name| hex::encode(name.seal)).collect(),
        person: person.map(|person| person.id),
        reason,
        typed_in: typed_in(&mut tx, &names).await?,
    };
    tx.record(actor, now, Change::NamesRemoved(removal.clone()))
        .await?;
    if let Some(person) = person {
        tx.forget_account(person.id).await?;
    }
    tx.commit().await?;
    // What is removed is removed from every record, whether or not there is room now to write the file anew.
    if let Err(error) = desk.database.write_anew().await {
        tracing::warn!(error = %error, "Could not write the file anew after a name was removed");
    }
    Ok(removal)
}

/// The addresses on the qualifications of whoever is named. One that somebody else's qualification has too stays, since
/// one text has one seal: it is theirs as well, such as that of a firm.
async fn addresses(
    tx: &mut Tx,
    person: Option<&Person>,
    names: &[SealedName],
) -> Result<Vec<SealedName>, StoreError> {
    let all = tx.qualifications().await?.into_iter();
    let (theirs, others): (Vec<_>, Vec<_>) = all.partition(|one| match &one.holder {
        Holder::Person(id) => person.is_some_and(|person| person.id == *id),
        Holder::Outside { name, .. } => names.iter().any(|known| known.name == *name),
    });
    let mut addresses = ever_on(tx, &theirs).await?;
    for other in ever_on(tx, &others).await? {
        addresses.remove(&other);
    }
    tx.sealed_names(&addresses).await
}

/// Every address that some qualifications have or had.
async fn ever_on(tx: &mut Tx, some: &[Qualification]) -> Result<BTreeSet<String>, StoreError> {
    let ids: Vec<_> = some.iter().map(|one| one.id.0).collect();
    let kinds = &["qualification-recorded", "qualification-addressed"];
    let entries = tx.entries_about(&ids, kinds).await?.into_iter();
    let before = entries.filter_map(|kept| match kept.entry.change {
        Change::QualificationRecorded(one) => Some(one.address),
        Change::QualificationAddressed(one) => Some(one.address),
        _ => None,
    });
    let now = some.iter().map(|one| one.address.clone());
    let all = now.chain(before);
    Ok(all.filter(|address| !address.is_empty()).collect())
}

/// The entries in which one of the names was typed.
async fn typed_in(tx: &mut WriteTx, names: &[SealedName]) -> Result<Vec<u64>, StoreError> {
    let mut found = BTreeSet::new();
    for name in names {
        found.extend(tx.entries_that_say(&name.name, MOST_TYPED).await?);
    }
    Ok(found.into_iter().take(MOST_TYPED as usize).collect())
}

/// Refuses the name of an outside auditor whose link lets in, today or later: nobody could tell any more who reads.
async fn not_of_an_open_link(
    tx: &mut WriteTx,
    names: &[SealedName],
    today: Date,
) -> Result<(), DeedError> {
    let mut after = None;
    loop {
        let page = tx.guest_links(after.as_ref(), LINKS).await?;
        let mut links = page.rows.iter().map(|kept| &kept.link);
        let open = links.find(|link| {
            let lets_in = link.withdrawn.is_none() && link.until >= today;
            lets_in && names.iter().any(|name| name.name == link.name)
        });
        if let Some(link) = open {
            let until = write_day(link.until);
            let sentence = format!(
                "A link lets somebody of this name in until {until}. Withdraw it first, on the page of outside auditors."
            );
            return Err(FieldErrors::one("name", "open", sentence).into());
        }
        after = page.next;
        if after.is_none() {
            return Ok(());
        }
    }
}

/// The last names that were removed, the last first, each with its entry.
///
/// # Errors
/// [`DeedError::Forbidden`] to whoever does not keep the people.
pub async fn removed(desk: &Desk, actor: &Actor) -> Result<Vec<(u64, NameRemoval)>, DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let mut tx = desk.database.read(actor.team).await?;
    let filter = EntryFilter {
        kind: Some("names-removed"),
        ..EntryFilter::default()
    };
    let span = tx.entry_span(&filter).await?;
    let kept = tx.entries(&filter, span, Direction::Down, REMOVALS).await?;
    let removals = kept.into_iter().filter_map(|kept| match kept.entry.change {
        Change::NamesRemoved(removal) => Some((kept.entry.seq, removal)),
        _ => None,
    });
    Ok(removals.collect())
}

/// The person whose account is named, if one is.
fn chosen<'a>(
    draft: &NameRemovalDraft,
    people: &'a [Person],
) -> Result<Option<&'a Person>, DeedError> {
    let id = draft.person.trim();
    if id.is_empty() {
        return Ok(None);
    }
    let id = id.parse().map(PersonId).ok();
    let person = people.iter().find(|person| Some(person.id) == id);
    person.map(Some).ok_or(DeedError::NotFound("person"))
}

/// Refuses what would take the name of the wrong person.
fn held_against(
    person: Option<&Person>,
    actor: &Actor,
    name: &str,
    people: &[Person],
) -> Result<(), FieldErrors> {
    let others = people.iter().filter(|other| person != Some(other));
    let same = others.filter(|other| other.name == name).count();
    let mut wrong = FieldErrors::default();
    match person {
        Some(person) if person.id == actor.person => {
            let sentence = "This is you. Another administrator does it.";
            wrong.add("person", "self", sentence);
        }
        Some(person) if person.active => {
            let sentence = "This account is open. Close it first: take away \"May sign in\".";
            wrong.add("person", "open", sentence);
        }
        Some(person) if person.name != name => {
            let sentence = format!("The account's name is \"{}\".", person.name);
            wrong.add("name", "other", sentence);
        }
        None if same > 0 => {
            let sentence =
                "An account of the team has this name. Remove it from that account's page.";
            wrong.add("name", "account", sentence);
        }
        Some(_) if same > 0 => {
            let sentence = "Another account has the same name, and records that name people do not tell the two apart. \
                            Change the other account's name first, by an initial, say.";
            wrong.add("name", "shared", sentence);
        }
        _ => (),
    }
    wrong.or(|| ())
}

/// Every name and sign-in name that an account ever had and that is still there.
async fn names_of_account(tx: &mut Tx, person: &Person) -> Result<Vec<SealedName>, StoreError> {
    let mut seals = BTreeSet::new();
    let mut before = None;
    loop {
        let page = tx.history_of(person.id.0, before, 500).await?;
        let Some(last) = page.last() else { break };
        before = Some(last.seq);
        let of_account = page
            .iter()
            .filter(|entry| matches!(entry.kind.as_str(), "person-added" | "person-revised"));
        seals.extend(of_account.flat_map(|entry| entry.names.iter().map(|name| name.seal)));
    }
    tx.names_behind(&seals).await
}
