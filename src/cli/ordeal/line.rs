//! The database on a server cannot be reached, and then it can again.

use std::time::{Duration, Instant};

use hyper::StatusCode;
use rand::{RngExt, rngs::StdRng};
use tokio::time::sleep;

use super::{
    Failure, Ground, House,
    account::Account,
    client::Client,
    crew::Bears,
    figures::Figures,
    load::Load,
    relay::{Relay, Way},
    server::Server,
};
use crate::store::address::{by_way_of, listens};

/// How soon `/health` has to say that the database does not answer.
const NOTICED: Duration = Duration::from_secs(10);
/// How soon it has to say that it does again.
const BACK: Duration = Duration::from_secs(30);
/// How long the way is silent: longer than a request may take.
const SILENT: Duration = Duration::from_secs(32);
/// How long the clients write before and after.
const AROUND: Duration = Duration::from_secs(1);

/// Cuts the way to the database so often, every second time by silence.
///
/// # Errors
/// The first thing that is not as it must be.
pub(super) async fn line(
    ground: &Ground,
    address: &str,
    cuts: u32,
) -> Result<Vec<Figures>, Failure> {
    let began = Instant::now();
    let there = listens(address).ok_or("the address of the database cannot be read")?;
    let relay = Relay::to(there).await?;
    let mut house = House::found(address, ground.folder.join("line")).await?;
    house.served = by_way_of(address, relay.port).ok_or("the address leads to no server")?;
    let mut chance = ground.chance("line", 0);
    let server = Server::start(ground, &house).await?;
    let mut load = Load::gather(ground, &house, &server, "line").await?;
    let mut account = Account::default();
    let doors = [server.door(&house)];
    let mut slowest = (Duration::ZERO, Duration::ZERO);
    for cut in 1..=cuts {
        let way = if cut % 2 == 0 { Way::Silent } else { Way::Cut };
        let at = |error: Failure| format!("the way to PostgreSQL, cut {cut} ({way:?}): {error}");
        let mut watcher = server.client(&house);
        let fault = away_and_back(&relay, way, &mut watcher, &mut chance);
        let (noticed, back) = load.on(&doors, Bears::Away, fault).await.map_err(at)?;
        slowest = (slowest.0.max(noticed), slowest.1.max(back));
        load.calm(&doors, AROUND).await.map_err(at)?;
        account.settle(&house, &mut load.crews).await.map_err(at)?;
    }
    server.end().await?;
    account.rebuild(&house).await?;
    let mut figures = Figures::new("The way to PostgreSQL, cut and joined again");
    figures.line("cuts", cuts.div_ceil(2));
    figures.line("silences", cuts / 2);
    let seconds = |time: Duration| format!("{:.1} s at most", time.as_secs_f64());
    figures.line("until /health said so", seconds(slowest.0));
    figures.line("until it served again by itself", seconds(slowest.1));
    account.tell(&mut figures);
    figures.line("seconds", began.elapsed().as_secs());
    Ok(vec![figures])
}

/// Takes the database away and gives it back. Says how long it took until the server told of it, and until it served again.
async fn away_and_back(
    relay: &Relay,
    way: Way,
    watcher: &mut Client,
    chance: &mut StdRng,
) -> Result<(Duration, Duration), Failure> {
    sleep(AROUND).await;
    sleep(Duration::from_millis(chance.random_range(0..300))).await;
    relay.make(way);
    let noticed = until(watcher, StatusCode::SERVICE_UNAVAILABLE, NOTICED).await;
    let for_long = match way {
        Way::Silent => SILENT,
        Way::Open | Way::Cut => Duration::from_millis(chance.random_range(500..2000)),
    };
    if noticed.is_ok() {
        sleep(for_long).await;
    }
    relay.make(Way::Open);
    let back = until(watcher, StatusCode::OK, BACK).await?;
    sleep(AROUND).await;
    Ok((noticed?, back))
}

/// Waits until `/health` answers with this status.
async fn until(
    watcher: &mut Client,
    status: StatusCode,
    patience: Duration,
) -> Result<Duration, Failure> {
    let began = Instant::now();
    loop {
        let answer = watcher.get("/health").await?;
        if answer.status == status {
            return Ok(began.elapsed());
        }
        if began.elapsed() > patience {
            let (told, seconds) = (answer.told(), patience.as_secs());
            return Err(format!("/health still answers {told} after {seconds} seconds").into());
        }
        sleep(Duration::from_millis(50)).await;
    }
}
