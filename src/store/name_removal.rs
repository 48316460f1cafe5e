//! A name goes out of the records: its row behind the seal, and every record in the tables that shows it.

use uuid::Uuid;

use super::{
    StoreError, WriteTx,
    ledger::unsigned,
    statement::{Statement, find_by},
    tx::{change_any, change_one, find_all},
};
use crate::domain::{
    Hash, NameRemoval, PersonId,
    sealed_name::{each_name, names_in, removed_name},
};

/// A table whose records hold names: its name, the kind of the change that writes them, how rows are found that may
/// hold one, and how one is written again.
struct Named {
    table: &'static str,
    kind: &'static str,
    find: &'static str,
    save: &'static str,
}

macro_rules! named {
    ($table:literal, $kind:literal) => {
        Named {
            table: $table,
            kind: $kind,
            find: concat!("SELECT id, record FROM ", $table, " WHERE team_id = "),
            save: concat!(
                "UPDATE ",
                $table,
                " SET record = $3 WHERE team_id = $1 AND id = $2"
            ),
        }
    };
}

const NAMED: [Named; 8] = [
    named!("qualification", "qualification-recorded"),
    named!("examination", "examination-recorded"),
    named!("kit_issue", "kit-issued"),
    named!("function_check", "function-check-signed"),
    named!("kit_return", "kit-returned"),
    named!("crew_plan", "crew-planned"),
    named!("guest_link", "guest-link-made"),
    named!("examination_round", "round-planned"),
];

/// How many records are written again before the next are looked for.
const AT_ONCE: u32 = 500;

#[derive(sqlx::FromRow)]
struct NamedRow {
    id: Uuid,
    record: String,
}

#[derive(sqlx::FromRow)]
struct PlainRow {
    seq: i64,
    kind: String,
    payload: String,
}

impl WriteTx {
    /// Puts what stands for a removed name in the place of each of these names, and forgets what their seals were made
    /// of. In a ledger that is replayed the names are gone already, and nothing is left to do.
    pub(super) async fn remove_names(&mut self, removal: &NameRemoval) -> Result<(), StoreError> {
        for seal in removal.hashes() {
            let known = self.names_behind(&[seal].into()).await?.pop();
            let Some(known) = known else { continue };
            let instead = removed_name(&seal);
            for named in &NAMED {
                self.rename_in(named, &known.name, &instead).await?;
            }
            if let Some(person) = removal.person {
                self.rename_person(person, &known.name, &instead).await?;
            }
            self.forget_name(&seal).await?;
        }
        Ok(())
    }

    async fn rename_in(
        &mut self,
        named: &Named,
        name: &str,
        instead: &str,
    ) -> Result<(), StoreError> {
        let mut after = Uuid::nil();
        loop {
            let mut statement = Statement::new(named.find);
            statement.bind(self.team.0).sql(" AND id > ").bind(after);
            statement.sql(" AND record LIKE ").bind(like(name));
            statement
                .sql(" ESCAPE '!' ORDER BY id LIMIT ")
                .bind(AT_ONCE);
            let rows: Vec<NamedRow> = find_by!(self.conn, statement)?;
            let Some(last) = rows.last() else {
                return Ok(());
            };
            after = last.id;
            for row in rows {
                let mut record = serde_json::from_str(&row.record)
                    .map_err(|e| StoreError::corrupt(named.table, "record")(e.into()))?;
                let mut found = false;
                each_name(named.kind, &mut record, &mut |place| {
                    if place.as_str() == Some(name) {
                        *place = instead.into();
                        found = true;
                    }
                });
                if found {
                    let (team, record) = (self.team, record.to_string());
                    change_any!(self.conn, named.save, team.0, row.id, record)?;
                }
            }
        }
    }

    async fn rename_person(
        &mut self,
        person: PersonId,
        name: &str,
        instead: &str,
    ) -> Result<(), StoreError> {
        const NAME: &str = "
            UPDATE person
               SET name = $4
             WHERE team_id = $1
               AND id = $2
               AND name = $3";
        const SIGN_IN: &str = "
            UPDATE person
               SET sign_in = $4
             WHERE team_id = $1
               AND id = $2
               AND sign_in = $3";
        let team = self.team;
        change_any!(self.conn, NAME, team.0, person.0, name, instead)?;
        change_any!(self.conn, SIGN_IN, team.0, person.0, name, instead).map(drop)
    }

    async fn forget_name(&mut self, seal: &Hash) -> Result<(), StoreError> {
        const SQL: &str = "
            DELETE FROM ledger_name
             WHERE team_id = $1
               AND seal = $2";
        let team = self.team;
        change_one!(self.conn, "ledger_name", SQL, team.0, seal.as_slice())
    }

    /// The first entry that holds a name as it is: entries did before names were sealed.
    pub async fn first_in_plain(&mut self, name: &str) -> Result<Option<u64>, StoreError> {
        const SQL: &str = "
            SELECT seq, kind, payload
              FROM ledger_entry
             WHERE team_id = $1
               AND seq > $2
               AND payload LIKE $3 ESCAPE '!'
             ORDER BY seq
             LIMIT $4";
        let (team, mut after) = (self.team, 0);
        loop {
            let rows: Vec<PlainRow> = find_all!(
                self.conn,
                SQL,
                team.0,
                after,
                like(name),
                i64::from(AT_ONCE)
            )?;
            let Some(last) = rows.last() else {
                return Ok(None);
            };
            after = last.seq;
            for row in rows {
                let mut entry = serde_json::from_str(&row.payload)
                    .map_err(|e| StoreError::corrupt("ledger_entry", "payload")(e.into()))?;
                if names_in(&row.kind, &mut entry)
                    .iter()
                    .any(|one| one == name)
                {
                    return unsigned("ledger_entry", "seq", row.seq).map(Some);
                }
            }
        }
    }

    /// The entries in which a text stands as somebody typed it, in whatever letters, at most `limit`: of a name that is sealed
    /// these are notes, findings and reasons.
    pub async fn entries_that_say(
        &mut self,
        text: &str,
        limit: u32,
    ) -> Result<Vec<u64>, StoreError> {
        let within = |text: &str| {
            let json = serde_json::Value::from(text).to_string();
            format!("%{}%", escaped(json.trim_matches('"')))
        };
        let mut statement = Statement::new("SELECT seq FROM ledger_entry WHERE team_id = ");
        statement.bind(self.team.0).sql(" AND (payload LIKE ");
        statement
            .bind(within(text))
            .sql(" ESCAPE '!' OR LOWER(payload) LIKE ");
        statement.bind(within(&text.to_lowercase()));
        statement
            .sql(" ESCAPE '!') ORDER BY seq LIMIT ")
            .bind(limit);
        let rows: Vec<(i64,)> = find_by!(self.conn, statement)?;
        let seqs = rows.into_iter();
        seqs.map(|(seq,)| unsigned("ledger_entry", "seq", seq))
            .collect()
    }

    /// Forgets what a person signs in with and where letters went: no record of the team's.
    pub async fn forget_account(&mut self, person: PersonId) -> Result<(), StoreError> {
        const TABLES: [&str; 7] = [
            "DELETE FROM credential WHERE team_id = $1 AND person_id = $2",
            "DELETE FROM session WHERE team_id = $1 AND person_id = $2",
            "DELETE FROM api_token WHERE team_id = $1 AND person_id = $2",
            "DELETE FROM calendar WHERE team_id = $1 AND person_id = $2",
            "DELETE FROM digest WHERE team_id = $1 AND person_id = $2",
            "DELETE FROM address_proof WHERE team_id = $1 AND person_id = $2",
            "DELETE FROM preference WHERE team_id = $1 AND person_id = $2",
        ];
        let team = self.team;
        for sql in TABLES {
            change_any!(self.conn, sql, team.0, person.0)?;
        }
        Ok(())
    }
}

/// What a record looks like that holds a name as a JSON text.
fn like(name: &str) -> String {
    format!("%{}%", escaped(&serde_json::Value::from(name).to_string()))
}

/// A text of which no sign stands for another.
fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for sign in text.chars() {
        if matches!(sign, '%' | '_' | '!') {
            escaped.push('!');
        }
        escaped.push(sign);
    }
    escaped
}
