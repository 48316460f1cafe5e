//! A server is killed at random moments while clients write, and started again.

use std::time::{Duration, Instant};

use rand::{RngExt, rngs::StdRng};
use tokio::time::sleep;

use super::{
    Failure, Ground, House,
    account::{Account, grown_from, read_again, seal},
    crew::Bears,
    figures::Figures,
    load::Load,
    server::{Server, command},
    write::Seal,
};

/// The longest time that a server serves before it is killed, in milliseconds.
const LONGEST: u64 = 600;
/// How long the clients write at the end, when nobody kills any more.
const CALM: Duration = Duration::from_secs(1);
/// The longest time that one which is killed while it starts has for it, in milliseconds.
const STARTING: u64 = 150;

/// Kills a server `kills` times; after each so many, the tables are made again.
///
/// # Errors
/// The first thing that is not as it must be.
pub(super) async fn kills(
    ground: &Ground,
    postgres: Option<&str>,
    (kills, rebuild_every): (u32, u32),
) -> Result<Vec<Figures>, Failure> {
    let began = Instant::now();
    let (name, engine) = match postgres {
        Some(_) => ("kills-postgres", "PostgreSQL"),
        None => ("kills", "SQLite"),
    };
    let own = ground.file(name);
    let house = House::found(postgres.unwrap_or(&own), ground.folder.join(name)).await?;
    let mut chance = ground.chance(name, 0);
    let mut server = Server::start(ground, &house).await?;
    let mut load = Load::gather(ground, &house, &server, name).await?;
    let mut account = Account::default();
    let mut while_starting = 0;
    for kill in 1..=kills {
        let at = |error: Failure| format!("{engine}, kill {kill}: {error}");
        let killed = killed(&mut server, &house, &mut load, &mut chance).await;
        let seal = killed.map_err(at)?;
        if chance.random_range(0..4) == 0 {
            kill_while_starting(ground, &house, &mut chance).await?;
            while_starting += 1;
        }
        server = Server::start(ground, &house).await.map_err(at)?;
        let mut client = server.client(&house);
        let looked = async {
            grown_from(&mut client, &seal).await?;
            read_again(&mut client, &load.crews).await?;
            account.settle(&house, &mut load.crews).await?;
            if kill % rebuild_every == 0 {
                account.rebuild(&house).await?;
                eprintln!("{engine}: {kill} of {kills} kills");
            }
            Ok(())
        };
        looked.await.map_err(at)?;
    }
    let at = |error: Failure| format!("{engine}, at the end: {error}");
    let door = [server.door(&house)];
    load.calm(&door, CALM).await.map_err(at)?;
    account.settle(&house, &mut load.crews).await.map_err(at)?;
    server.end().await.map_err(at)?;
    account.rebuild(&house).await.map_err(at)?;
    if postgres.is_none() {
        house.undamaged().await.map_err(at)?;
    }
    let mut figures = Figures::new(format!("Killed at random moments, on {engine}"));
    figures.line("kills", kills);
    figures.line("and while it started", while_starting);
    account.tell(&mut figures);
    figures.line("seconds", began.elapsed().as_secs());
    Ok(vec![figures])
}

/// Kills the server while the clients write. Gives the checkpoint that was made before.
async fn killed(
    server: &mut Server,
    house: &House,
    load: &mut Load,
    chance: &mut StdRng,
) -> Result<Seal, Failure> {
    let seal = seal(&mut server.client(house)).await?;
    let door = [server.door(house)];
    let wait = Duration::from_millis(chance.random_range(1..=LONGEST));
    let kill = async {
        sleep(wait).await;
        server.kill()
    };
    load.on(&door, Bears::Breaks, kill).await?;
    Ok(seal)
}

/// A server that takes up what the last one left is killed over it.
async fn kill_while_starting(
    ground: &Ground,
    house: &House,
    chance: &mut StdRng,
) -> Result<(), Failure> {
    let mut process = command(ground, house, &[])?.spawn()?;
    sleep(Duration::from_millis(chance.random_range(1..=STARTING))).await;
    process.kill()?;
    process.wait()?;
    Ok(())
}
