//! A way to a database that can be cut, or fall silent, and be joined again.

use std::io;

use tokio::{
    io::{AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt, split},
    net::{TcpListener, TcpStream},
    sync::watch,
    task::JoinHandle,
};

use crate::store::address::Listens;

/// How the way is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    /// What comes is passed on.
    Open,
    /// Every connection is ended, and each new one as soon as it is made.
    Cut,
    /// Connections stay, and nothing is passed on: what comes is kept until the way is open again.
    Silent,
}

/// Passes on what comes to a port of this machine.
pub(super) struct Relay {
    /// The port.
    pub(super) port: u16,
    way: watch::Sender<Way>,
    passing: JoinHandle<()>,
}

impl Relay {
    /// A way to where a server listens, open at first.
    pub(super) async fn to(there: Listens) -> io::Result<Self> {
        let listener = TcpListener::bind("127.0.0.1:0").await?;
        let port = listener.local_addr()?.port();
        let (way, seen) = watch::channel(Way::Open);
        let passing = tokio::spawn(take_all(listener, there, seen));
        Ok(Self { port, way, passing })
    }

    /// Makes the way otherwise.
    pub(super) fn make(&self, way: Way) {
        self.way.send_replace(way);
    }
}

impl Drop for Relay {
    fn drop(&mut self) {
        self.passing.abort();
    }
}

async fn take_all(listener: TcpListener, there: Listens, way: watch::Receiver<Way>) {
    while let Ok((near, _)) = listener.accept().await {
        if *way.borrow() == Way::Cut {
            continue;
        }
        let (there, way) = (there.clone(), way.clone());
        tokio::spawn(async move {
            tokio::select! {
                // An end on either side is the end of the other.
                _ = reach(near, &there, &way) => {}
                () = becomes(way.clone(), |way| way == Way::Cut) => {}
            }
        });
    }
}

async fn reach(near: TcpStream, there: &Listens, way: &watch::Receiver<Way>) -> io::Result<()> {
    match there {
        Listens::Port(host, port) => {
            let far = TcpStream::connect((host.as_str(), *port)).await?;
            both_ways(near, far, way).await
        }
        #[cfg(unix)]
        Listens::Socket(path) => {
            let far = tokio::net::UnixStream::connect(path).await?;
            both_ways(near, far, way).await
        }
        #[cfg(not(unix))]
        Listens::Socket(_) => Err(io::ErrorKind::Unsupported.into()),
    }
}

async fn both_ways(
    near: TcpStream,
    far: impl AsyncRead + AsyncWrite + Send,
    way: &watch::Receiver<Way>,
) -> io::Result<()> {
    let (near_from, near_to) = near.into_split();
    let (far_from, far_to) = split(far);
    tokio::select! {
        end = pass_on(near_from, far_to, way) => end,
        end = pass_on(far_from, near_to, way) => end,
    }
}

async fn pass_on(
    mut from: impl AsyncRead + Unpin + Send,
    mut to: impl AsyncWrite + Unpin + Send,
    way: &watch::Receiver<Way>,
) -> io::Result<()> {
    let mut bytes = vec![0; 16 * 1024];
    loop {
        let read = from.read(&mut bytes).await?;
        if read == 0 {
            return Ok(());
        }
        becomes(way.clone(), |way| way != Way::Silent).await;
        to.write_all(&bytes[..read]).await?;
    }
}

/// Waits until the way is so. Where nobody can make it otherwise any more, it is what it is.
async fn becomes(mut way: watch::Receiver<Way>, is_so: impl Fn(Way) -> bool) {
    drop(way.wait_for(|way| is_so(*way)).await);
}
