//! A client that writes one thing after the other, each under an id of its own, and sends again what was not acknowledged.

use std::{collections::BTreeMap, net::SocketAddr, sync::Arc, time::Duration};

use hyper::{StatusCode, header};
use rand::{RngExt, rngs::StdRng};
use serde_json::{Value, json};
use time::OffsetDateTime;
use tokio::sync::watch;
use uuid::Uuid;

use super::{
    client::{Answer, Client},
    gear::{Gear, Placed, RIG},
    write::{Seal, What, Write},
};
use crate::domain::{Zone, date::write_day, write_moment};

/// How long is waited before what was turned away is sent again.
const PAUSE: Duration = Duration::from_millis(100);
/// How many minutes lie between the beginnings of two jobs of one crew. A kit is with one job at a time.
const SLOT: u32 = 10;

/// What a client bears without calling it a fault.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Bears {
    /// Nothing: every write is done.
    Nothing,
    /// That the connection breaks, since the server was killed.
    Breaks,
    /// That it is asked to come again later.
    Away,
    /// That there is no room.
    Full,
}

impl Bears {
    /// Whether an answer is what must be answered then.
    fn bears(self, answer: &Answer) -> bool {
        let body = answer.json();
        let kind = body["type"].as_str().unwrap_or_default();
        match self {
            Self::Nothing | Self::Breaks => false,
            Self::Away => {
                answer.status == StatusCode::SERVICE_UNAVAILABLE
                    && answer.headers.contains_key(header::RETRY_AFTER)
                    && ["/problem/away", "/problem/busy", "/problem/slow"].contains(&kind)
            }
            Self::Full => {
                answer.status == StatusCode::INSUFFICIENT_STORAGE && kind == "/problem/full"
            }
        }
    }
}

/// A write that was sent, and what was answered, if it was acknowledged.
#[derive(Debug)]
pub(super) struct Tried {
    pub(super) write: Write,
    pub(super) answer: Option<Value>,
}

/// A client with a kit of its own.
pub(super) struct Crew {
    name: String,
    chance: StdRng,
    gear: Arc<Gear>,
    kit: Vec<Placed>,
    takes: Uuid,
    began: OffsetDateTime,
    /// Items that it added and that are acknowledged.
    items: Vec<Uuid>,
    /// How many writes it has thought of.
    thought: u32,
    /// How many jobs.
    jobs: u32,
    /// What it writes next, the last first.
    next: Vec<Write>,
    /// What it sent since somebody looked.
    pub(super) tried: Vec<Tried>,
    /// How many requests it sent.
    pub(super) sent: u64,
    /// How often it was turned away, and as what.
    pub(super) turned_away: BTreeMap<String, u64>,
    /// The first answer that is not as it must be.
    pub(super) fault: Option<String>,
}

impl Crew {
    pub(super) fn new(
        name: String,
        chance: StdRng,
        gear: Arc<Gear>,
        kit: Vec<Placed>,
        (takes, began): (Uuid, OffsetDateTime),
    ) -> Self {
        Self {
            name,
            chance,
            gear,
            kit,
            takes,
            began,
            items: Vec::new(),
            thought: 0,
            jobs: 0,
            next: Vec::new(),
            tried: Vec::new(),
            sent: 0,
            turned_away: BTreeMap::new(),
            fault: None,
        }
    }

    /// Writes until it is told to stop, or something is not as it must be.
    pub(super) async fn work(
        mut self,
        server: (SocketAddr, String),
        mut stop: watch::Receiver<bool>,
        bears: Bears,
    ) -> Self {
        let mut client = Client::new(server.0, &server.1);
        while !*stop.borrow() {
            let Some(write) = self.next_write() else {
                break;
            };
            self.sent += 1;
            let answer = client.post(&write.path(), &write.body).await;
            self.note_sent(&write);
            match answer {
                Ok(answer) if answer.status.is_success() => {
                    if let Err(fault) = self.acknowledged(&write, &answer) {
                        self.fault = Some(fault);
                        break;
                    }
                }
                Ok(answer) if bears.bears(&answer) => {
                    let kind = answer.json()["title"]
                        .as_str()
                        .unwrap_or_default()
                        .to_owned();
                    *self.turned_away.entry(kind).or_default() += 1;
                    tokio::select! {
                        () = tokio::time::sleep(PAUSE) => {}
                        _ = stop.changed() => {}
                    }
                }
                Ok(answer) => {
                    let told = answer.told();
                    self.fault = Some(format!("the {} is answered {told}", write.words()));
                    break;
                }
                Err(_) if bears == Bears::Breaks => break,
                Err(error) => {
                    self.fault = Some(format!("the {} is not answered: {error}", write.words()));
                    break;
                }
            }
        }
        self
    }

    /// One write that was sent stands there once, however often it was sent.
    fn note_sent(&mut self, write: &Write) {
        let last = self.tried.last();
        let is_again = last.is_some_and(|last| last.answer.is_none() && same(&last.write, write));
        if !is_again {
            let write = write.clone();
            self.tried.push(Tried {
                write,
                answer: None,
            });
        }
    }

    fn acknowledged(&mut self, write: &Write, answer: &Answer) -> Result<(), String> {
        let body = answer.json();
        let is_named = match write.what {
            What::Kit => body.as_array().map(Vec::len) == Some(write.lines.len()),
            What::Checkpoint => Seal::read(&body).is_ok(),
            _ => body["id"] == write.id.to_string(),
        };
        if !is_named {
            return Err(format!(
                "the {} is answered {}",
                write.words(),
                answer.told()
            ));
        }
        if write.what == What::Item {
            self.items.push(write.id);
        }
        if let Some(last) = self.tried.last_mut() {
            last.answer = Some(body);
        }
        self.next.pop();
        Ok(())
    }

    /// What is written next: what was not acknowledged yet, or something new.
    fn next_write(&mut self) -> Option<Write> {
        if self.next.is_empty() {
            let mut thought = match self.chance.random_range(0..10) {
                0..4 => vec![self.item()],
                4..7 => vec![self.examination()],
                7..9 => self.job(),
                _ => vec![checkpoint()],
            };
            thought.reverse();
            self.next = thought;
        }
        self.next.last().cloned()
    }

    fn item(&mut self) -> Write {
        self.thought += 1;
        let mark = format!("{}-{}", self.name, self.thought);
        let model = self.chance.random_range(0..6);
        write(
            What::Item,
            Uuid::nil(),
            self.gear.item(model, &mark, self.began),
        )
    }

    /// Somebody looked at an item before it was used.
    fn examination(&mut self) -> Write {
        let item = match self.items.len() {
            0 => self.kit[0].item,
            count => self.items[self.chance.random_range(0..count)],
        };
        let today = write_day(self.began.date());
        let body = json!({"kind": "pre-use", "on": today, "verdict": "fit"});
        write(What::Examination, item, body)
    }

    /// A job from its plan to the day when its kit is taken back.
    fn job(&mut self) -> Vec<Write> {
        self.jobs += 1;
        let minutes = i64::from(SLOT) * i64::from(self.jobs);
        let from = self.began + time::Duration::days(1) + time::Duration::minutes(minutes);
        let until = from + time::Duration::minutes(i64::from(SLOT) - 1);
        let plan = json!({
            "title": format!("Well {} of {}", self.jobs, self.name), "place": "South works",
            "starts_at": write_moment(from, &Zone::UTC), "ends_at": write_moment(until, &Zone::UTC),
            "depth": "15 m", "load": "120 kg", "rulebook": "european", "rig": RIG,
        });
        let plan = write(What::Job, Uuid::nil(), plan);
        let job = plan.id;
        let mut kit = write(What::Kit, job, json!({}));
        let lines = self.kit.iter().map(|placed| {
            let Placed { item, position } = placed;
            let id = Uuid::now_v7();
            kit.lines.push(id);
            json!({"id": id.to_string(), "item": item.to_string(), "position": position})
        });
        kit.body = json!({"lines": lines.collect::<Vec<_>>()});
        let issue = write(What::Issue, job, json!({"to": self.takes.to_string()}));
        let back = Write {
            id: issue.id,
            ..write(What::TakeBack, job, json!({"reason": "the well is dry"}))
        };
        vec![plan, kit, issue, back]
    }
}

fn write(what: What, of: Uuid, body: Value) -> Write {
    Write {
        what,
        id: Uuid::now_v7(),
        of,
        lines: Vec::new(),
        body,
    }
}

fn checkpoint() -> Write {
    write(What::Checkpoint, Uuid::nil(), json!({}))
}

/// Whether two are one write: sent again it keeps its id.
fn same(one: &Write, other: &Write) -> bool {
    (one.what, one.id) == (other.what, other.id)
}
