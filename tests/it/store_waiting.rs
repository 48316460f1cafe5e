//! What waits in the store between two requests: kept answers and import drafts.

use ropeloft::{
    domain::PersonId,
    store::{ImportDraft, Posted, Stage, StoreError, WriteTx},
};
use time::OffsetDateTime;
use uuid::Uuid;

use crate::world::START;

pub fn posted(at: OffsetDateTime) -> Posted {
    Posted {
        request_hash: [3; 32],
        posted_at: at,
        stage: Stage::Answered {
            status: 201,
            body: "{\"id\":\"é\"}".into(),
        },
    }
}

/// Takes a key and answers what was posted under it.
pub async fn keep_posted(tx: &mut WriteTx, key: &str, posted: &Posted) -> Result<(), StoreError> {
    let at = posted.posted_at;
    tx.take_key_of_post(key, &posted.request_hash, (at, at))
        .await?;
    let Stage::Answered { status, body } = &posted.stage else {
        return Ok(());
    };
    tx.answer_post(key, (*status, body), at).await
}

pub fn draft(id: Uuid, person: PersonId, at: OffsetDateTime) -> ImportDraft {
    ImportDraft {
        id,
        person,
        created_at: at,
        file_name: "gear 2025.csv".into(),
        bytes: vec![0, 255, 10, 13],
        mapping: "{}".into(),
    }
}

on_both_databases! {
    async fn an_answer_is_kept_once_per_key_and_team(world) {
        let mut tx = world.database.write(world.team).await.unwrap();
        assert_eq!(tx.posted("k").await.unwrap(), None);
        keep_posted(&mut tx, "k", &posted(START)).await.unwrap();
        tx.commit().await.unwrap();
        let mut tx = world.database.write(world.other_team).await.unwrap();
        assert_eq!(tx.posted("k").await.unwrap(), None);
        keep_posted(&mut tx, "k", &posted(START)).await.unwrap();
        drop(tx);
        let mut tx = world.database.write(world.team).await.unwrap();
        assert_eq!(tx.posted("k").await.unwrap(), Some(posted(START)));
        let refused = keep_posted(&mut tx, "k", &posted(START)).await.unwrap_err();
        assert!(matches!(refused, StoreError::Stale { .. }), "{refused:?}");
        let again = tx.take_key_of_post("k", &[3; 32], (START, START)).await.unwrap();
        assert!(!again, "it has an answer");
    }

    async fn a_draft_is_kept_replaced_and_dropped(world) {
        let mut one = draft(Uuid::now_v7(), world.officer.person, START);
        let mut tx = world.database.write(world.team).await.unwrap();
        tx.keep_import_draft(&one).await.unwrap();
        assert_eq!(tx.import_draft(one.id).await.unwrap(), Some(one.clone()));
        one.mapping = "{\"Mark\":\"mark\"}".into();
        tx.keep_import_draft(&one).await.unwrap();
        let later = draft(Uuid::now_v7(), world.officer.person, START + time::Duration::HOUR);
        tx.keep_import_draft(&later).await.unwrap();
        let all: Vec<Uuid> = tx.import_drafts().await.unwrap().iter().map(|draft| draft.id).collect();
        assert_eq!(all, [later.id, one.id], "the newest first");
        tx.drop_import_draft(later.id).await.unwrap();
        tx.commit().await.unwrap();
        let mut tx = world.database.read(world.other_team).await.unwrap();
        assert!(tx.import_drafts().await.unwrap().is_empty());
        assert_eq!(tx.import_draft(one.id).await.unwrap(), None);
        let mut tx = world.database.write(world.team).await.unwrap();
        assert_eq!(tx.import_draft(one.id).await.unwrap(), Some(one.clone()));
        tx.drop_import_draft(one.id).await.unwrap();
        assert_eq!(tx.import_draft(one.id).await.unwrap(), None);
    }

    async fn a_draft_of_nobody_is_refused(world) {
        let mut tx = world.database.write(world.team).await.unwrap();
        let one = draft(Uuid::now_v7(), PersonId::new(), START);
        let refused = tx.keep_import_draft(&one).await.unwrap_err();
        assert!(matches!(refused, StoreError::Unlinked), "{refused:?}");
    }
}
