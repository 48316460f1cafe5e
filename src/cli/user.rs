//! Keeps people from the server's console, for when nobody can sign in to do it.

use std::io::{BufRead, Write};

use clap::{Args, Subcommand};

use super::{Outcome, printed::line, record::Address};
use crate::{
    deed::{DeedError, Desk, person, team::TeamDraft},
    domain::{Clock, PersonDraft, Role, TeamId},
    store::{Database, Files},
};

/// People who may sign in
#[derive(Args)]
pub(super) struct User {
    #[command(flatten)]
    at: Address,
    #[command(subcommand)]
    order: Order,
}

#[derive(Subcommand)]
enum Order {
    /// Add a person; the password is read from `ROPELOFT_PASSWORD` or from the standard input
    Add {
        /// The name as it is to stand in the history
        #[arg(long)]
        name: String,
        /// What the person writes when signing in
        #[arg(long)]
        sign_in: String,
        /// officer, crew, auditor or admin
        #[arg(long)]
        role: String,
        /// The team's name; the first one on this server is made, others where `--new-team` says so
        #[arg(long)]
        team: Option<String>,
        /// Make the team that `--team` names beside those that are there, with this person as its first admin
        #[arg(long, requires = "team")]
        new_team: bool,
        /// The key of the rulebook of a team that is made
        #[arg(long, default_value = "european")]
        rulebook: String,
        /// The time zone of a team that is made, such as Europe/Berlin
        #[arg(long, default_value = "UTC")]
        time_zone: String,
    },
    /// Set a person's password and sign them out everywhere; read as above
    Password {
        /// What the person writes when signing in
        #[arg(long)]
        sign_in: String,
    },
}

impl User {
    pub(super) async fn run(self) -> Outcome {
        let database = Database::open(&self.at.database).await?;
        database.migrate().await?;
        let desk = Desk {
            database: database.clone(),
            clock: Clock::System,
            files: Files::unset(),
        };
        match self.order {
            Order::Add {
                name,
                sign_in,
                role,
                team,
                new_team,
                rulebook,
                time_zone,
            } => {
                let draft = PersonDraft {
                    name,
                    sign_in,
                    role,
                    password: password()?,
                };
                let team = team.map(|name| TeamDraft {
                    name,
                    rulebook,
                    time_zone,
                    ..TeamDraft::default()
                });
                if let Some(team) = team.as_ref().filter(|_| new_team) {
                    found(&desk, team, &draft).await?;
                } else {
                    add(&desk, team, &draft).await?;
                }
                line(format_args!(
                    "{} can sign in as {}.",
                    draft.name,
                    draft.sign_in.to_lowercase()
                ))?;
            }
            Order::Password { sign_in } => {
                told(person::reset_from_console(&desk, &sign_in, &password()?).await)?;
                line(format_args!("The password of {sign_in} is set."))?;
            }
        }
        database.close().await;
        Ok(())
    }
}

async fn add(desk: &Desk, team: Option<TeamDraft>, draft: &PersonDraft) -> Outcome {
    let teams = desk.database.door().await?.teams().await?;
    let chosen = teams
        .iter()
        .find(|there| team.as_ref().is_none_or(|team| team.name == there.name));
    let names: Vec<&str> = teams.iter().map(|team| team.name.as_str()).collect();
    match (teams.as_slice(), chosen, team) {
        ([], _, Some(team)) => found(desk, &team, draft).await?,
        ([], _, None) => return Err("there is no team yet: name the first one with --team".into()),
        ([_], Some(there), _) | ([_, _, ..], Some(there), Some(_)) => {
            told(person::add_from_console(desk, there.id, draft).await)?;
        }
        ([_, _, ..], Some(_), None) => {
            return Err(format!("name one of the teams with --team: {}", names.join(", ")).into());
        }
        (_, None, _) => {
            let names = names.join(", ");
            return Err(format!(
                "there is no such team; there are: {names}. Say --new-team to make one more"
            )
            .into());
        }
    }
    Ok(())
}

/// Makes a team with its first person.
async fn found(desk: &Desk, team: &TeamDraft, draft: &PersonDraft) -> Outcome {
    if draft.role != Role::Admin.key() {
        return Err("the first person of a team must be an admin, who can let others in".into());
    }
    let team = told(team.found(TeamId::new()).map_err(DeedError::from))?;
    told(person::found_from_console(desk, &team, draft).await)
}

/// Every wrong field on a line of its own.
fn told<T>(done: Result<T, DeedError>) -> Result<T, Box<dyn std::error::Error + Send + Sync>> {
    done.map_err(|error| match error {
        DeedError::Invalid(wrong) => wrong
            .0
            .iter()
            .fold(String::from("nothing was done"), |text, error| {
                text + "\n  " + &error.field + ": " + &error.message
            })
            .into(),
        other => other.into(),
    })
}

/// The password from the environment, or one line of the standard input.
fn password() -> Result<String, std::io::Error> {
    if let Ok(password) = std::env::var("ROPELOFT_PASSWORD") {
        return Ok(password);
    }
    eprint!("Password (it shows as you type): ");
    std::io::stderr().flush()?;
    let mut line = String::new();
    std::io::stdin().lock().read_line(&mut line)?;
    Ok(line.trim_end_matches(['\r', '\n']).to_owned())
}
