//! The names behind the seals in a team's ledger: written with the entries, given out with them, removed on request.

use std::collections::{BTreeSet, HashMap};

use super::{
    StoreError, Tx, WriteTx,
    ledger::{EntryRow, PAGE, hash},
    statement::{Statement, find_by},
    tx::find_all,
};
use crate::domain::{
    Change, Entry, Hash, Sealed, SealedName,
    sealed_name::{names_in, places, seal_names, seals},
};

#[derive(sqlx::FromRow)]
struct NameRow {
    seal: Vec<u8>,
    salt: Vec<u8>,
    name: String,
}

impl TryFrom<NameRow> for SealedName {
    type Error = StoreError;
    fn try_from(row: NameRow) -> Result<Self, StoreError> {
        Ok(Self {
            seal: hash("ledger_name", "seal", &row.seal)?,
            salt: hash("ledger_name", "salt", &row.salt)?,
            name: row.name,
        })
    }
}

impl Tx {
    /// The names behind these seals, those that were not removed.
    pub async fn names_behind(
        &mut self,
        seals: &BTreeSet<Hash>,
    ) -> Result<Vec<SealedName>, StoreError> {
        let seals: Vec<&[u8]> = seals.iter().map(Hash::as_slice).collect();
        let mut names = Vec::new();
        for seals in seals.chunks(PAGE as usize) {
            let mut statement =
                Statement::new("SELECT seal, salt, name FROM ledger_name WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND seal IN ");
            statement.list(seals.iter().copied());
            let rows: Vec<NameRow> = find_by!(self.conn, statement)?;
            for row in rows {
                names.push(row.try_into()?);
            }
        }
        Ok(names)
    }

    /// These names with their seals, those that have one.
    pub async fn sealed_names(
        &mut self,
        names: &BTreeSet<String>,
    ) -> Result<Vec<SealedName>, StoreError> {
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        let mut sealed = Vec::new();
        for names in names.chunks(PAGE as usize) {
            let mut statement =
                Statement::new("SELECT seal, salt, name FROM ledger_name WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND name IN ");
            statement.list(names.iter().copied());
            let rows: Vec<NameRow> = find_by!(self.conn, statement)?;
            for row in rows {
                sealed.push(row.try_into()?);
            }
        }
        Ok(sealed)
    }

    /// At most [`PAGE`] names of the team whose seals follow `after`, in the order of their seals.
    pub(super) async fn names_after(
        &mut self,
        after: &[u8],
    ) -> Result<Vec<SealedName>, StoreError> {
        const SQL: &str = "
            SELECT seal, salt, name
              FROM ledger_name
             WHERE team_id = $1
               AND seal > $2
             ORDER BY seal
             LIMIT $3";
        let rows: Vec<NameRow> = find_all!(self.conn, SQL, self.team.0, after, i64::from(PAGE))?;
        rows.into_iter().map(SealedName::try_from).collect()
    }

    /// Entries out of their rows, each with the names behind its seals.
    pub(super) async fn sealed(&mut self, rows: Vec<EntryRow>) -> Result<Vec<Sealed>, StoreError> {
        let entries: Result<Vec<Sealed>, _> = rows.into_iter().map(Sealed::try_from).collect();
        let mut entries = entries?;
        let wanted: BTreeSet<Hash> = entries
            .iter()
            .flat_map(|entry| seals(&entry.payload))
            .collect();
        if wanted.is_empty() {
            return Ok(entries);
        }
        let names = self.names_behind(&wanted).await?;
        for entry in &mut entries {
            let mut of_entry: Vec<&SealedName> = Vec::new();
            for seal in seals(&entry.payload) {
                let name = names.iter().find(|name| name.seal == seal);
                of_entry.extend(name.filter(|name| !of_entry.contains(name)));
            }
            entry.names = of_entry.into_iter().cloned().collect();
        }
        Ok(entries)
    }
}

impl WriteTx {
    /// The bytes of new entries, with seals in the place of names; a name that has none yet gets one.
    pub(super) async fn payloads(
        &mut self,
        entries: Vec<Entry<Change>>,
    ) -> Result<Vec<(Entry<Change>, String)>, StoreError> {
        let corrupt =
            |error: serde_json::Error| StoreError::corrupt("ledger_entry", "payload")(error.into());
        let mut named = HashMap::new();
        let mut names = BTreeSet::new();
        for entry in &entries {
            let kind = entry.change.kind();
            if !places(kind).is_empty() {
                let mut json = serde_json::to_value(entry).map_err(corrupt)?;
                names.extend(names_in(kind, &mut json));
                named.insert(entry.seq, json);
            }
        }
        let seals = self.seals_for(names).await?;
        let mut lines = Vec::with_capacity(entries.len());
        for entry in entries {
            let payload = match named.remove(&entry.seq) {
                None => entry.canonical(),
                Some(mut json) => {
                    seal_names(entry.change.kind(), &mut json, &mut |name| seals[name]);
                    serde_json_canonicalizer::to_string(&json)
                }
            };
            lines.push((entry, payload.map_err(corrupt)?));
        }
        Ok(lines)
    }

    async fn seals_for(
        &mut self,
        names: BTreeSet<String>,
    ) -> Result<HashMap<String, Hash>, StoreError> {
        if names.is_empty() {
            return Ok(HashMap::new());
        }
        let known = self.sealed_names(&names).await?.into_iter();
        let mut seals: HashMap<_, _> = known.map(|name| (name.name, name.seal)).collect();
        let new = names.into_iter().filter(|name| !seals.contains_key(name));
        let new: Vec<SealedName> = new
            .map(|name| SealedName::new(rand::random(), &name))
            .collect();
        self.add_names(&new).await?;
        seals.extend(new.into_iter().map(|name| (name.name, name.seal)));
        Ok(seals)
    }

    /// Keeps names under their seals.
    pub(super) async fn add_names(&mut self, names: &[SealedName]) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO ledger_name (team_id, seal, salt, name)
            VALUES ";
        let rows = names.iter().map(|name| {
            vec![
                self.team.0.into(),
                name.seal.as_slice().into(),
                name.salt.as_slice().into(),
                name.name.as_str().into(),
            ]
        });
        let rows = rows.collect();
        self.insert(SQL, rows, "").await
    }
}
