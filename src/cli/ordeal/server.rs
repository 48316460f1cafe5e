//! A server of this program, as a process of its own.

use std::{
    fs::File,
    io::{BufRead, BufReader},
    net::SocketAddr,
    process::{Child, ChildStdout, Command, Stdio},
    time::Duration,
};

use tokio::{sync::oneshot, time::timeout};

use super::{Failure, Ground, House, client::Client};

/// How long a server may take until it serves.
const STARTING: Duration = Duration::from_mins(1);
/// How long one may take to end.
const ENDING: Duration = Duration::from_secs(30);

/// A server that serves. It is killed when this is dropped.
pub(super) struct Server {
    process: Child,
    /// Where it listens.
    pub(super) address: SocketAddr,
}

/// The command that serves a house. `before` is what stands before the program, such as a shell that sets a limit.
pub(super) fn command(
    ground: &Ground,
    house: &House,
    before: &[String],
) -> Result<Command, Failure> {
    let mut command = match before.split_first() {
        Some((first, rest)) => {
            let mut command = Command::new(first);
            command.args(rest).arg(&ground.program);
            command
        }
        None => Command::new(&ground.program),
    };
    for (name, _) in std::env::vars_os() {
        // Settings of another server are none of this one's.
        if name.to_string_lossy().starts_with("ROPELOFT_") {
            command.env_remove(name);
        }
    }
    let log = File::options()
        .create(true)
        .append(true)
        .open(house.folder.join("server.log"))?;
    command
        .arg("serve")
        .env("ROPELOFT_DATABASE", &house.served)
        .env("ROPELOFT_SIGNING_SECRET", &house.secret)
        .env("ROPELOFT_FILES", house.folder.join("files"))
        .env("ROPELOFT_LISTEN", "127.0.0.1:0")
        .env("ROPELOFT_LOG", "warn")
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(log);
    Ok(command)
}

impl Server {
    /// Starts a server and waits until it serves.
    pub(super) async fn start(ground: &Ground, house: &House) -> Result<Self, Failure> {
        Self::run(command(ground, house, &[])?).await
    }

    /// Runs what serves, and waits until it does.
    pub(super) async fn run(mut command: Command) -> Result<Self, Failure> {
        let mut process = command.spawn()?;
        let out = process.stdout.take().ok_or("a server without an output")?;
        let mut server = Self {
            process,
            address: SocketAddr::from(([127, 0, 0, 1], 0)),
        };
        let address = timeout(STARTING, where_it_is(out)).await;
        server.address = match address {
            Ok(Ok(address)) => address,
            Ok(Err(_)) => return Err("a server ended while it started; its log says why".into()),
            Err(_) => return Err("a server did not start in time; its log may say why".into()),
        };
        Ok(server)
    }

    /// The number of the process.
    pub(super) fn id(&self) -> u32 {
        self.process.id()
    }

    /// The process itself.
    pub(super) fn process(&mut self) -> &mut Child {
        &mut self.process
    }

    /// A client of it.
    pub(super) fn client(&self, house: &House) -> Client {
        Client::new(self.address, &house.token)
    }

    /// Ends it at once, whatever it does: SIGKILL, where there are signals.
    pub(super) fn kill(&mut self) -> Result<(), Failure> {
        self.process.kill()?;
        self.process.wait()?;
        Ok(())
    }

    /// Asks it to end, as whoever runs it does, and waits for it.
    pub(super) async fn end(mut self) -> Result<(), Failure> {
        let asked = Command::new("sh")
            .args(["-c", "kill -TERM \"$0\"", &self.id().to_string()])
            .status()?;
        if !asked.success() {
            return Err("a server had ended by itself".into());
        }
        let ended = timeout(ENDING, async {
            loop {
                if let Some(status) = self.process.try_wait()? {
                    return Ok::<_, std::io::Error>(status);
                }
                tokio::time::sleep(Duration::from_millis(20)).await;
            }
        });
        match ended.await {
            Ok(Ok(status)) if status.success() => Ok(()),
            Ok(_) => Err("a server ended with an error; its log says why".into()),
            Err(_) => Err("a server did not end when it was asked to".into()),
        }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        // It may have ended already.
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

/// The address that a server prints when it serves.
async fn where_it_is(out: ChildStdout) -> Result<SocketAddr, oneshot::error::RecvError> {
    let (found, address) = oneshot::channel();
    std::thread::spawn(move || {
        let mut found = Some(found);
        // To the end, so that the server never waits for a reader.
        for line in BufReader::new(out).lines().map_while(Result::ok) {
            let address = line.strip_prefix("Ropeloft is open at http://");
            if let Some(Ok(address)) = address.map(str::parse)
                && let Some(found) = found.take()
            {
                // Nobody waits any more where it took too long.
                let _ = found.send(address);
            }
        }
    });
    address.await
}
