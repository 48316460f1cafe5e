//! The first set-up: a team and its first administrator, made by whoever can read the server's console.

use serde::{Deserialize, Serialize};
use time::{Date, Duration};

use super::{DeedError, Desk, password, person::sign_in_taken, session, team::check_rulebook};
use crate::{
    domain::{
        Actor, Change, FieldErrors, Holder, NotAllowed, Person, PersonDraft, Qualification,
        QualificationDraft, QualificationId, Role, Team, TeamId, Zone, date::write_day,
    },
    store::StoreError,
};

/// Under what attempts at the code are counted; no sign-in name has a blank.
const COUNTED_AS: &str = "first set-up";
const WINDOW: Duration = Duration::minutes(15);
const TRIES: u64 = 10;

/// What is typed to set the house up.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct SetupDraft {
    /// The code from the server's console.
    pub code: String,
    /// The team's name.
    pub team: String,
    /// The key of the team's rulebook.
    pub rulebook: String,
    /// The name of the team's time zone.
    pub time_zone: String,
    /// The first administrator's name.
    pub name: String,
    /// Their sign-in name.
    pub sign_in: String,
    /// Their password.
    pub password: String,
    /// `yes` where the team holds this first person competent to examine every kind of gear.
    pub competent: String,
    /// Since which day; must be there with `competent`.
    pub competent_since: String,
    /// Why the team holds them competent.
    pub evidence: String,
}

/// Whether the house is still to be set up.
pub async fn is_open(desk: &Desk) -> Result<bool, DeedError> {
    Ok(desk.database.door().await?.nobody_yet().await?)
}

/// Lays out the code for the set-up: the one that is given, or one made up. None if the house is set up.
pub async fn lay_out_code(desk: &Desk, given: Option<&str>) -> Result<Option<String>, DeedError> {
    if !is_open(desk).await? {
        return Ok(None);
    }
    let offered = given.map_or_else(new_code, str::to_owned);
    let mut door = desk.database.write_door().await?;
    let code = door.lay_out_setup_code(&offered).await?;
    door.commit().await?;
    Ok(code)
}

/// Makes the team and its first administrator. `given` is the code of the server's settings, which
/// goes before the one that was laid out.
///
/// # Errors
/// [`DeedError::Invalid`] with every wrong field; [`NotAllowed::AlreadySetUp`] if somebody was first.
pub async fn set_up(
    desk: &Desk,
    draft: &SetupDraft,
    given: Option<&str>,
    address: &str,
) -> Result<Actor, DeedError> {
    if !is_open(desk).await? {
        return Err(NotAllowed::AlreadySetUp.into());
    }
    note_attempt(desk, address).await?;
    let checked = check(desk, draft, given).await;
    // The code is gone once somebody was first; that is what the others are told, not that theirs is wrong.
    if checked.is_err() && !is_open(desk).await? {
        return Err(NotAllowed::AlreadySetUp.into());
    }
    let (team, person, qualification) = checked?;
    let hash = password::hashed(&draft.password).await?;
    let now = desk.clock.now();
    let founded = desk.database.found_team(&team, &person, now).await;
    let mut tx = founded.map_err(sign_in_taken)?;
    tx.end_setup(now).await.map_err(|error| match error {
        StoreError::Stale { .. } => NotAllowed::AlreadySetUp.into(),
        other => DeedError::from(other),
    })?;
    let who = Actor {
        team: team.id,
        person: person.id,
        role: person.role,
    };
    if let Some(qualification) = qualification {
        let change = Change::QualificationRecorded(qualification);
        tx.record(&who, now, change).await?;
    }
    tx.set_password_hash(person.id, &hash, now).await?;
    tx.commit().await?;
    Ok(who)
}

async fn check(
    desk: &Desk,
    draft: &SetupDraft,
    given: Option<&str>,
) -> Result<(Team, Person, Option<Qualification>), DeedError> {
    let laid_out = desk.database.door().await?.setup_code().await?;
    let right = given.map(str::to_owned).or(laid_out);
    let mut wrong = FieldErrors::default();
    // Compared by hash, so that the time it takes says nothing about where the first wrong letter is.
    let typed = session::hash_of(&folded(&draft.code));
    if right.map(|code| session::hash_of(&folded(&code))) != Some(typed) {
        wrong.add(
            "code",
            "wrong",
            "This is not the code. The server wrote it to its console when it started.",
        );
    }
    let team = wrong.line("team", &draft.team);
    check_rulebook(&mut wrong, &draft.rulebook);
    let time_zone = zone(&mut wrong, draft.time_zone.trim());
    let person = PersonDraft {
        name: draft.name.clone(),
        sign_in: draft.sign_in.clone(),
        role: Role::Admin.key().to_owned(),
        password: draft.password.clone(),
    };
    let today = time_zone.clone().unwrap_or_default().day(desk.clock.now());
    let qualification = draft.qualification(today, &mut wrong);
    match person.check() {
        Ok(person) => {
            let team = wrong.or(|| Team {
                time_zone: time_zone.unwrap_or_default(),
                ..Team::new(TeamId::new(), team, draft.rulebook.as_str())
            })?;
            let qualification = qualification.map(|mut one| {
                one.holder = Holder::Person(person.id);
                one
            });
            Ok((team, person, qualification))
        }
        Err(more) => {
            wrong.0.extend(more.0);
            Err(wrong.into())
        }
    }
}

/// The team's days begin in it, so it is chosen, never taken for granted.
fn zone(wrong: &mut FieldErrors, name: &str) -> Option<Zone> {
    if name.is_empty() {
        let sentence = "Choose the time zone in which your team lives.";
        wrong.add("time_zone", "required", sentence);
        return None;
    }
    wrong.keep("time_zone", "choice", Zone::read(name))
}

impl SetupDraft {
    /// That the first person is competent, if the form says so; whose it is stands in it once there is a person.
    fn qualification(&self, today: Date, wrong: &mut FieldErrors) -> Option<Qualification> {
        if !wrong.tick("competent", &self.competent) {
            return None;
        }
        if self.competent_since.trim().is_empty() {
            let sentence = format!(
                "Say since which day, as your team holds it; {} if it is from today on.",
                write_day(today)
            );
            wrong.add("competent_since", "required", sentence);
            return None;
        }
        let draft = QualificationDraft {
            name: "the first person".to_owned(),
            from: self.competent_since.clone(),
            evidence: self.evidence.clone(),
            ..QualificationDraft::default()
        };
        match draft.check(QualificationId::new(), today) {
            Ok(one) => Some(one),
            Err(part) => {
                wrong.0.extend(part.0.into_iter().map(|mut error| {
                    if error.field == "from" {
                        "competent_since".clone_into(&mut error.field);
                    }
                    error
                }));
                None
            }
        }
    }
}

/// The code without what is easily typed otherwise.
fn folded(code: &str) -> String {
    code.chars()
        .filter(char::is_ascii_alphanumeric)
        .collect::<String>()
        .to_ascii_uppercase()
}

async fn note_attempt(desk: &Desk, address: &str) -> Result<(), DeedError> {
    let now = desk.clock.now();
    let mut door = desk.database.write_door().await?;
    let (tries, _) = door
        .failed_sign_ins(COUNTED_AS, address, now - WINDOW)
        .await?;
    if tries >= TRIES {
        return Err(DeedError::TooMany {
            retry_after: WINDOW.unsigned_abs(),
            words: "Too many attempts at the set-up. Wait 15 minutes, then try again.".to_owned(),
        });
    }
    door.note_failed_sign_in(COUNTED_AS, address, now).await?;
    Ok(door.commit().await?)
}

/// Twelve letters and digits that are not mistaken for each other, in three groups.
fn new_code() -> String {
    const LETTERS: &[u8] = b"23456789ABCDEFGHJKLMNPQRSTUVWXYZ";
    let mut code = String::with_capacity(14);
    for (at, byte) in rand::random::<[u8; 12]>().into_iter().enumerate() {
        if at > 0 && at % 4 == 0 {
            code.push('-');
        }
        code.push(char::from(LETTERS[usize::from(byte) % LETTERS.len()]));
    }
    code
}
