//! Machines' tokens in the store.

use ropeloft::{
    domain::{PersonId, Role, TokenId},
    store::{StoreError, Token},
};
use time::Duration;

use crate::world::{START, World};

fn token(world: &World) -> Token {
    Token {
        id: TokenId::new(),
        person: world.admin.person,
        label: "gate scanner".into(),
        role: Role::Crew,
        created_at: START,
        expires_at: Some(START + Duration::days(30)),
        revoked_at: None,
    }
}

on_both_databases! {
    async fn a_token_acts_in_its_own_role_until_it_ends(world) {
        let token = token(&world);
        let mut tx = world.database.write(world.team).await.unwrap();
        tx.add_token(&token, &[5; 32]).await.unwrap();
        assert_eq!(tx.tokens().await.unwrap(), std::slice::from_ref(&token));
        tx.commit().await.unwrap();
        let mut door = world.database.door().await.unwrap();
        let signed = door.bearer(&[5; 32], START).await.unwrap().unwrap();
        assert_eq!(signed.actor.role, Role::Crew);
        assert_eq!(signed.actor.person, world.admin.person);
        assert_eq!(signed.person.role, Role::Admin);
        assert_eq!(door.bearer(&[6; 32], START).await.unwrap(), None);
        let end = token.expires_at.unwrap();
        assert_eq!(door.bearer(&[5; 32], end).await.unwrap(), None);
    }

    async fn a_token_without_end_acts_until_it_is_revoked_and_is_revoked_once(world) {
        let token = Token { expires_at: None, ..token(&world) };
        let mut tx = world.database.write(world.team).await.unwrap();
        tx.add_token(&token, &[5; 32]).await.unwrap();
        tx.commit().await.unwrap();
        let later = START + Duration::days(4000);
        let mut door = world.database.door().await.unwrap();
        assert!(door.bearer(&[5; 32], later).await.unwrap().is_some());
        drop(door);
        let mut tx = world.database.write(world.other_team).await.unwrap();
        let refused = tx.revoke_token(token.id, later).await.unwrap_err();
        assert!(matches!(refused, StoreError::Stale { table: "api_token" }));
        drop(tx);
        let mut tx = world.database.write(world.team).await.unwrap();
        tx.revoke_token(token.id, later).await.unwrap();
        assert!(tx.revoke_token(token.id, later).await.is_err());
        assert_eq!(tx.tokens().await.unwrap()[0].revoked_at, Some(later));
        tx.commit().await.unwrap();
        let mut door = world.database.door().await.unwrap();
        assert_eq!(door.bearer(&[5; 32], START).await.unwrap(), None);
    }

    async fn nobody_has_no_token(world) {
        let token = Token { person: PersonId::new(), ..token(&world) };
        let mut tx = world.database.write(world.team).await.unwrap();
        let refused = tx.add_token(&token, &[5; 32]).await.unwrap_err();
        assert!(matches!(refused, StoreError::Unlinked), "{refused:?}");
    }

    async fn another_team_sees_no_token(world) {
        let mut tx = world.database.write(world.team).await.unwrap();
        tx.add_token(&token(&world), &[5; 32]).await.unwrap();
        tx.commit().await.unwrap();
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert_eq!(tx.tokens().await.unwrap(), []);
    }
}
