//! The team itself: its name, the rulebook that new jobs start from, the time zone it lives in, and for whom and where
//! its gear is examined.

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use super::{DeedError, Desk, permit, rulebook};
use crate::domain::{
    Actor, Change, Deed, FieldErrors, Team, TeamId, Zone,
    rulebook::{Rulebook, rulebook as shipped_rulebook, shipped},
};

/// A team as typed in.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[serde(default)]
pub struct TeamDraft {
    /// The name.
    pub name: String,
    /// The rulebook's key.
    pub rulebook: String,
    /// The name of the time zone; empty leaves it as it is.
    pub time_zone: String,
    /// `yes` where a second competent person confirms a return from quarantine, `no` where not; empty leaves it.
    pub return_by_two: String,
    /// Name and address of the employer, in several lines; none leaves it, an empty one takes it away.
    pub employer: Option<String>,
    /// The address of the premises, in several lines; none leaves it, an empty one takes it away.
    pub premises: Option<String>,
    /// The [`mark`] of the team as it was shown; empty if the newest is meant.
    pub seen: String,
}

impl TeamDraft {
    /// The team that is to be founded; it can work by a rulebook that comes with the program alone.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn found(&self, id: TeamId) -> Result<Team, FieldErrors> {
        let mut wrong = FieldErrors::default();
        check_rulebook(&mut wrong, self.rulebook.trim());
        both(wrong, self.check(&Team::new(id, "", "")))
    }

    /// The team `was` with what was typed in; what was left out stays. Whether it has the rulebook is for the deed to
    /// say.
    ///
    /// # Errors
    /// Every field that does not hold.
    pub fn check(&self, was: &Team) -> Result<Team, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let name = wrong.line("name", &self.name);
        let rulebook = wrong.line("rulebook", &self.rulebook);
        let time_zone = match self.time_zone.trim() {
            "" => Some(was.time_zone.clone()),
            name => wrong.keep("time_zone", "choice", Zone::read(name)),
        };
        let return_by_two = match self.return_by_two.trim() {
            "" => was.return_by_two,
            text => wrong.tick("return_by_two", text),
        };
        let mut address = |field: &str, typed: &Option<String>, kept: &String| match typed {
            Some(text) => wrong.address(field, text),
            None => kept.clone(),
        };
        let employer = address("employer", &self.employer, &was.employer);
        let premises = address("premises", &self.premises, &was.premises);
        wrong.or(|| Team {
            id: was.id,
            name,
            rulebook,
            time_zone: time_zone.unwrap_or_default(),
            return_by_two,
            employer,
            premises,
        })
    }
}

/// What was checked, unless something was wrong before; each field has what was found first.
fn both(mut wrong: FieldErrors, checked: Result<Team, FieldErrors>) -> Result<Team, FieldErrors> {
    match checked {
        Ok(team) => wrong.or(|| team),
        Err(mut more) => {
            more.0
                .retain(|error| wrong.on(&error.field).next().is_none());
            wrong.0.extend(more.0);
            Err(wrong)
        }
    }
}

/// Notes under `rulebook` if none of this key comes with the program.
pub(super) fn check_rulebook(wrong: &mut FieldErrors, key: &str) {
    if shipped_rulebook(key).is_none() {
        let keys: Vec<&str> = shipped().iter().map(Rulebook::key).collect();
        wrong.add(
            "rulebook",
            "choice",
            format!("Choose a rulebook ({}), not \"{key}\".", keys.join(", ")),
        );
    }
}

/// The team.
pub async fn show(desk: &Desk, actor: &Actor) -> Result<Team, DeedError> {
    permit(actor, Deed::Read)?;
    let mut tx = desk.database.read(actor.team).await?;
    let team = tx.this_team().await?;
    team.map(|(team, _)| team)
        .ok_or(DeedError::NotFound("team"))
}

/// Changes what is settled for the team: its name, rulebook, time zone, employer and the like. Jobs that are planned keep their rulebook and their moments.
///
/// # Errors
/// Every field that does not hold; [`DeedError::Stale`].
pub async fn revise(desk: &Desk, actor: &Actor, draft: &TeamDraft) -> Result<(), DeedError> {
    permit(actor, Deed::KeepPeople)?;
    let mut tx = desk.database.write(actor.team).await?;
    let (was, _) = tx.this_team().await?.ok_or(DeedError::NotFound("team"))?;
    let mut wrong = FieldErrors::default();
    rulebook::check_home(&mut tx, &mut wrong, draft.rulebook.trim()).await?;
    let team = both(wrong, draft.check(&was))?;
    if !draft.seen.is_empty() && draft.seen != mark(&was) {
        return Err(DeedError::Stale(FieldErrors::default()));
    }
    if team == was {
        return Ok(());
    }
    tx.record(actor, desk.clock.now(), Change::TeamRevised(team))
        .await?;
    Ok(tx.commit().await?)
}

/// A short mark of the team as it stands, to find out whether somebody else saved meanwhile.
pub fn mark(team: &Team) -> String {
    let two = if team.return_by_two { "two" } else { "one" };
    let text = format!(
        "{}\u{0}{}\u{0}{}\u{0}{two}\u{0}{}\u{0}{}",
        team.name, team.rulebook, team.time_zone, team.employer, team.premises
    );
    hex::encode(&Sha256::digest(text)[..8])
}
