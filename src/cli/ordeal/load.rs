//! Clients that write at once.

use std::{net::SocketAddr, sync::Arc, time::Duration};

use time::OffsetDateTime;
use tokio::{sync::watch, time::sleep};

use super::{
    Failure, Ground, House,
    crew::{Bears, Crew},
    gear::Gear,
    server::Server,
};
use crate::domain::Clock;

/// The clients of a part.
pub(super) struct Load {
    pub(super) crews: Vec<Crew>,
    /// The store and the models of all of them.
    pub(super) gear: Arc<Gear>,
    pub(super) began: OffsetDateTime,
}

impl Load {
    /// Brings gear to a server, a kit for each client.
    pub(super) async fn gather(
        ground: &Ground,
        house: &House,
        server: &Server,
        part: &str,
    ) -> Result<Self, Failure> {
        let mut client = server.client(house);
        let began = Clock::System.now();
        let gear = Arc::new(Gear::bring(&mut client, house).await?);
        let mut crews = Vec::new();
        for number in 1..=ground.clients {
            let name = format!("C{number}");
            let kit = gear.kit(&mut client, &name, began).await?;
            crews.push(Crew::new(
                name,
                ground.chance(part, number),
                gear.clone(),
                kit,
                (house.crew.0, began),
            ));
        }
        Ok(Self { crews, gear, began })
    }

    /// Lets all write, shared out among the servers, while something else is done; then stops them.
    ///
    /// # Errors
    /// The first answer that is not as it must be; else what was done meanwhile ended in.
    pub(super) async fn on<T>(
        &mut self,
        servers: &[(SocketAddr, String)],
        bears: Bears,
        meanwhile: impl Future<Output = Result<T, Failure>>,
    ) -> Result<T, Failure> {
        let (stop, stopped) = watch::channel(false);
        let crews = std::mem::take(&mut self.crews);
        let working = crews.into_iter().zip(servers.iter().cycle());
        let working = working
            .map(|(crew, server)| tokio::spawn(crew.work(server.clone(), stopped.clone(), bears)));
        let working: Vec<_> = working.collect();
        let done = meanwhile.await;
        stop.send_replace(true);
        for crew in working {
            self.crews.push(crew.await?);
        }
        let fault = self.crews.iter_mut().find_map(|crew| crew.fault.take());
        match fault {
            Some(fault) => Err(fault.into()),
            None => done,
        }
    }

    /// Lets all write for a while in which nothing is done to the servers, so that every write must be done.
    ///
    /// # Errors
    /// The first that is not.
    pub(super) async fn calm(
        &mut self,
        servers: &[(SocketAddr, String)],
        time: Duration,
    ) -> Result<(), Failure> {
        let writing = async {
            sleep(time).await;
            Ok(())
        };
        self.on(servers, Bears::Nothing, writing).await
    }
}

impl Server {
    /// Where it is and what is shown there.
    pub(super) fn door(&self, house: &House) -> (SocketAddr, String) {
        (self.address, house.token.clone())
    }
}
