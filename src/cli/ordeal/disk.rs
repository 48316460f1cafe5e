//! The disk takes nothing more, and then it does again.
//!
//! Two ways: a file system of memory that is made small, which gives the very error of a full disk, where this machine
//! lets one be made; and a limit on how large a file may grow, which every Linux has.

use std::{
    io::Write,
    path::{Path, PathBuf},
    process::{ChildStdin, Command, Stdio},
    time::{Duration, Instant},
};

use tokio::time::sleep;

use super::{
    Failure, Ground, House,
    account::{Account, grown_from, seal},
    crew::Bears,
    figures::Figures,
    load::Load,
    made,
    server::{Server, command},
};

/// How long the clients write at a time.
const WRITING: Duration = Duration::from_secs(1);
/// How often they do until the disk has to be full.
const TIMES: u32 = 30;
/// How many bytes are left when there is to be no room.
const LEFT: u64 = 200 * 1024;

/// Fills the disk both ways, as far as this machine lets it.
///
/// # Errors
/// The first thing that is not as it must be.
pub(super) async fn disk(ground: &Ground) -> Result<Vec<Figures>, Failure> {
    let mut all = Vec::new();
    for (name, heading) in [
        ("limit", "A file may not grow any more, SQLite"),
        ("disk", "A full file system, SQLite"),
    ] {
        if !can(name) {
            let mut figures = Figures::new(heading);
            figures.line("left out", "this machine does not let it be made");
            all.push(figures);
            continue;
        }
        let at = |error: Failure| format!("{heading}: {error}");
        let filled = Box::pin(filled(ground, name, heading)).await;
        all.push(filled.map_err(at)?);
    }
    Ok(all)
}

/// Whether this machine lets it be done.
fn can(name: &str) -> bool {
    let line: &[&str] = match name {
        "limit" => &["prlimit", "--version"],
        _ => &[
            "unshare",
            "--user",
            "--map-root-user",
            "--mount",
            "mount",
            "-t",
            "tmpfs",
            "none",
            "/tmp",
        ],
    };
    let quiet = Command::new(line[0])
        .args(&line[1..])
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    quiet.is_ok_and(|status| status.success())
}

async fn filled(ground: &Ground, name: &str, heading: &str) -> Result<Figures, Failure> {
    let began = Instant::now();
    let file = ground.file(name);
    let mut house = House::found(&file, ground.folder.join(name)).await?;
    let (server, mut room) = match name {
        "limit" => Room::of_files(ground, &house).await?,
        _ => Room::of_a_file_system(ground, &mut house).await?,
    };
    let mut load = Load::gather(ground, &house, &server, name).await?;
    let mut account = Account::default();
    let doors = [server.door(&house)];
    load.calm(&doors, WRITING).await?;
    let mut client = server.client(&house);
    let seal = seal(&mut client).await?;
    room.fill().await?;
    let turned_away = |load: &Load| load.crews.iter().any(|crew| !crew.turned_away.is_empty());
    for _ in 0..TIMES {
        let writing = async {
            sleep(WRITING).await;
            Ok(())
        };
        load.on(&doors, Bears::Full, writing).await?;
        if turned_away(&load) {
            break;
        }
    }
    if !turned_away(&load) {
        return Err("nothing was turned away, so the disk was not full".into());
    }
    for path in ["/api/v1/items", "/api/v1/jobs", "/api/v1/ledger", "/health"] {
        client.read(path).await?;
    }
    grown_from(&mut client, &seal).await?;
    room.make().await?;
    load.calm(&doors, WRITING).await?;
    grown_from(&mut client, &seal).await?;
    server.end().await?;
    room.leave(&mut house).await?;
    account.settle(&house, &mut load.crews).await?;
    account.rebuild(&house).await?;
    house.undamaged().await?;
    let mut figures = Figures::new(heading);
    account.tell(&mut figures);
    figures.line("read meanwhile", "items, jobs, ledger, a proof, /health");
    figures.line("seconds", began.elapsed().as_secs());
    Ok(figures)
}

/// How much room there is.
enum Room {
    /// As much as the limit of a process lets its files grow.
    Files { process: u32, file: PathBuf },
    /// As much as a file system of memory has, which takes orders.
    FileSystem {
        orders: Option<ChildStdin>,
        after: PathBuf,
    },
}

/// Where what is put before the program is run by the shell: a write beyond the limit must fail and not end the process.
const IGNORING: &str = "trap '' XFSZ; exec \"$@\"";

/// Run with the folder of the database, the one in which it is left at the end, and the program. The file system is seen by
/// this shell and what it runs alone; it goes on as long as somebody may order.
const SMALL: &str = r#"
folder=$1 after=$2; shift 2
cp -a "$folder" "$after.part" || exit 1
mount -t tmpfs -o size=256m none "$folder" || exit 1
cp -a "$after.part/." "$folder" && rm -r "$after.part" || exit 1
exec 3<&0
(
    while read -r order left; do
        used=$(($(df -k "$folder" | awk 'NR == 2 { print $3 }')))
        case $order in
            fill) mount -o remount,size=$((used + left))k none "$folder" ;;
            room) mount -o remount,size=256m none "$folder" ;;
        esac
        touch "${after%.after}.done"
    done
    cp -a "$folder" "$after.part" && mv "$after.part" "$after"
) <&3 >/dev/null &
exec "$@" </dev/null
"#;

impl Room {
    /// A server whose files can be kept from growing.
    async fn of_files(ground: &Ground, house: &House) -> Result<(Server, Self), Failure> {
        let before = ["sh", "-c", IGNORING, "sh"].map(str::to_owned);
        let server = Server::run(command(ground, house, &before)?).await?;
        let (process, file) = (server.id(), house.folder.join("gear.db"));
        Ok((server, Self::Files { process, file }))
    }

    /// A server on a file system of memory. The log of the server lies beside it.
    async fn of_a_file_system(
        ground: &Ground,
        house: &mut House,
    ) -> Result<(Server, Self), Failure> {
        let folder = house.folder.clone();
        let after = folder.with_extension("after");
        made(&folder.with_extension("beside"))?.clone_into(&mut house.folder);
        let mut before = [
            "unshare",
            "--user",
            "--map-root-user",
            "--mount",
            "sh",
            "-c",
            SMALL,
            "sh",
        ]
        .map(str::to_owned)
        .to_vec();
        before.extend([&folder, &after].map(|path| path.display().to_string()));
        let mut command = command(ground, house, &before)?;
        command.stdin(Stdio::piped());
        let mut server = Server::run(command).await?;
        let orders = server.process().stdin.take();
        Ok((server, Self::FileSystem { orders, after }))
    }

    /// Leaves little of it.
    async fn fill(&mut self) -> Result<(), Failure> {
        match self {
            Self::Files { process, file } => {
                let wal = file.with_extension("db-wal");
                let largest = length(file).max(length(&wal));
                limit(*process, &(largest + LEFT).to_string())
            }
            Self::FileSystem { .. } => self.order(&format!("fill {}", LEFT / 1024)).await,
        }
    }

    /// Makes room again.
    async fn make(&mut self) -> Result<(), Failure> {
        match self {
            Self::Files { process, .. } => limit(*process, "unlimited"),
            Self::FileSystem { .. } => self.order("room").await,
        }
    }

    /// Says how to see what is left once the server has ended.
    async fn leave(self, house: &mut House) -> Result<(), Failure> {
        let Self::FileSystem { orders, after } = self else {
            return Ok(());
        };
        drop(orders);
        wait_for(&after).await?;
        house.database = format!("sqlite:{}", after.join("gear.db").display());
        Ok(())
    }

    /// Gives an order and waits until it is done.
    async fn order(&mut self, order: &str) -> Result<(), Failure> {
        let Self::FileSystem { orders, after } = self else {
            return Ok(());
        };
        let done = after.with_extension("done");
        let orders = orders.as_mut().ok_or("nobody takes orders")?;
        writeln!(orders, "{order}")?;
        wait_for(&done).await?;
        Ok(std::fs::remove_file(&done)?)
    }
}

async fn wait_for(path: &Path) -> Result<(), Failure> {
    for _ in 0..200 {
        if path.exists() {
            return Ok(());
        }
        sleep(Duration::from_millis(50)).await;
    }
    Err(format!("{} did not come about", path.display()).into())
}

fn length(path: &Path) -> u64 {
    std::fs::metadata(path).map_or(0, |file| file.len())
}

/// Sets how large a file of the process may grow, in bytes.
fn limit(process: u32, bytes: &str) -> Result<(), Failure> {
    let set = Command::new("prlimit")
        .args(["--pid", &process.to_string(), &format!("--fsize={bytes}:")])
        .status()?;
    if set.success() {
        Ok(())
    } else {
        Err("the limit of a process could not be set".into())
    }
}
