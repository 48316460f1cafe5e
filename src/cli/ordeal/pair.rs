//! Two servers on one database write to one team at once, and two crews reach for one item.

use std::time::{Duration, Instant};

use hyper::StatusCode;
use serde_json::json;
use uuid::Uuid;

use super::{
    Failure, Ground, House,
    account::Account,
    client::Client,
    figures::Figures,
    gear::{Placed, RIG},
    load::Load,
    server::Server,
};
use crate::domain::{Zone, write_moment};

/// How often two crews reach for one item.
const CONTESTS: u32 = 20;

/// Lets two servers write for so many seconds.
///
/// # Errors
/// The first thing that is not as it must be.
pub(super) async fn pair(
    ground: &Ground,
    address: &str,
    seconds: u64,
) -> Result<Vec<Figures>, Failure> {
    let began = Instant::now();
    let at = |error: Failure| format!("two servers on PostgreSQL: {error}");
    let house = House::found(address, ground.folder.join("pair")).await?;
    let one = Server::start(ground, &house).await?;
    let other = Server::start(ground, &house).await?;
    let mut load = Load::gather(ground, &house, &one, "pair").await?;
    let mut account = Account::default();
    let doors = [one.door(&house), other.door(&house)];
    let time = Duration::from_secs(seconds);
    load.calm(&doors, time).await.map_err(at)?;
    account.settle(&house, &mut load.crews).await.map_err(at)?;
    let mut clients = [one.client(&house), other.client(&house)];
    let won = contests(&mut clients, &load).await.map_err(at)?;
    account.settle(&house, &mut load.crews).await.map_err(at)?;
    one.end().await.map_err(at)?;
    other.end().await.map_err(at)?;
    account.rebuild(&house).await.map_err(at)?;
    let mut figures = Figures::new("Two servers on one PostgreSQL, one team");
    account.tell(&mut figures);
    figures.line("times two crews wanted one item", CONTESTS);
    figures.line(
        "won through each server",
        format!("{} and {}", won[0], won[1]),
    );
    figures.line("seconds", began.elapsed().as_secs());
    Ok(vec![figures])
}

/// Has two crews reach for one item at one time, each through a server of its own: one gets it.
async fn contests(clients: &mut [Client; 2], load: &Load) -> Result<[u32; 2], Failure> {
    let kit = load.gear.kit(&mut clients[0], "X", load.began).await?;
    let [one, other] = clients;
    let mut won = [0, 0];
    for contest in 1..=CONTESTS {
        let hour = time::Duration::hours(i64::from(contest));
        let from = load.began + time::Duration::days(1) + hour;
        let (mine, yours) = (planned(one, from).await?, planned(other, from).await?);
        let (first, second) = tokio::join!(reach(one, mine, kit[0]), reach(other, yours, kit[0]),);
        match (first?, second?) {
            (true, false) => won[0] += 1,
            (false, true) => won[1] += 1,
            (true, true) => {
                return Err(format!("item {} is on two jobs at one time", kit[0].item).into());
            }
            (false, false) => return Err("an item was given to neither of two crews".into()),
        }
    }
    Ok(won)
}

async fn planned(client: &mut Client, from: time::OffsetDateTime) -> Result<Uuid, Failure> {
    let until = from + time::Duration::minutes(50);
    let plan = json!({
        "title": "Reached for", "place": "South works", "starts_at": write_moment(from, &Zone::UTC),
        "ends_at": write_moment(until, &Zone::UTC), "depth": "15 m", "load": "120 kg",
        "rulebook": "european", "rig": RIG,
    });
    let job = Uuid::now_v7();
    client
        .make(&format!("/api/v1/jobs?id={job}"), &plan)
        .await?;
    Ok(job)
}

/// Whether the job got the item; a refusal says that another has it.
async fn reach(client: &mut Client, job: Uuid, placed: Placed) -> Result<bool, Failure> {
    let line = json!({"item": placed.item.to_string(), "position": placed.position});
    let path = format!("/api/v1/jobs/{job}/kit");
    let answer = client.post(&path, &line).await?;
    match answer.status {
        StatusCode::CREATED => Ok(true),
        StatusCode::CONFLICT => Ok(false),
        _ => Err(format!("an item that is reached for is answered {}", answer.told()).into()),
    }
}
