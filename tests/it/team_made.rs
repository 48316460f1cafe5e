//! More than one team on a server, made from its console.

use std::process::{Command, Output};

use crate::world::{World, on_postgres, on_sqlite};

fn add(world: &World, sign_in: &str, role: &str, rest: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_ropeloft"))
        .args(["user", "add", "--name", "Ilse Warte", "--role", role])
        .args(["--sign-in", sign_in])
        .args(rest)
        .env("ROPELOFT_DATABASE", &world.address)
        .env("ROPELOFT_PASSWORD", "a long pass phrase 7")
        .output()
        .unwrap()
}

async fn one_more(world: World) {
    let refused = |sign_in: &str, role: &str, rest: &[&str]| {
        let done = add(&world, sign_in, role, rest);
        assert_eq!(done.status.code(), Some(1));
        String::from_utf8(done.stderr).unwrap()
    };
    let east = ["--team", "East shaft team", "--new-team"];
    let slip = refused("ilse", "admin", &east[..2]);
    assert!(
        slip.contains("there is no such team") && slip.contains("--new-team"),
        "{slip}"
    );
    let role = refused("ilse", "crew", &east);
    assert!(role.contains("must be an admin"), "{role}");
    let taken = refused(
        "ilse",
        "admin",
        &["--team", "north shaft TEAM", "--new-team"],
    );
    assert!(
        taken.contains("There is a team \"North shaft team\" on this server already"),
        "{taken}"
    );
    let made = add(&world, "ilse", "admin", &east);
    assert!(
        made.status.success(),
        "{}",
        String::from_utf8_lossy(&made.stderr)
    );
    // Whoever comes later needs no more than the name.
    let second = add(&world, "otto", "crew", &east[..2]);
    assert!(
        second.status.success(),
        "{}",
        String::from_utf8_lossy(&second.stderr)
    );
    let mut door = world.database.door().await.unwrap();
    let of = async |door: &mut ropeloft::store::Door, sign_in: &str| {
        let (team, _) = door.person_by_sign_in(sign_in).await.unwrap().unwrap();
        team
    };
    let team = of(&mut door, "ilse").await;
    assert_eq!(team, of(&mut door, "otto").await);
    assert_ne!(team, world.team);
}

#[tokio::test]
async fn a_team_is_made_beside_others_in_sqlite() {
    on_sqlite(one_more).await;
}

#[tokio::test]
async fn a_team_is_made_beside_others_in_postgres() {
    on_postgres(one_more).await;
}
