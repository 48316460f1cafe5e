//! What was read by a link of an outside auditor, and the sittings in which it was read. Reads are added and never
//! changed; no deed reaches them.

use time::OffsetDateTime;

use super::{
    Cursor, Direction, Page, StoreError, Tx, WriteDoor,
    ledger::{hash, signed, unsigned},
    page,
    statement::{Statement, find_by},
    tx::{change_any, change_one, find},
};
use crate::domain::{GuestLinkId, GuestRead, Hash, TeamId};

#[derive(sqlx::FromRow)]
struct ReadRow {
    number: i64,
    read_at: OffsetDateTime,
    method: String,
    path: String,
    status: i64,
    file: Option<String>,
    chain: Vec<u8>,
}

impl TryFrom<ReadRow> for (GuestRead, Hash) {
    type Error = StoreError;

    fn try_from(row: ReadRow) -> Result<Self, StoreError> {
        let status = u16::try_from(row.status);
        let read = GuestRead {
            number: unsigned("guest_read", "number", row.number)?,
            at: row.read_at,
            method: row.method,
            path: row.path,
            status: status.map_err(|e| StoreError::corrupt("guest_read", "status")(e.into()))?,
            file: row.file,
        };
        Ok((read, hash("guest_read", "chain", &row.chain)?))
    }
}

#[derive(sqlx::FromRow)]
struct LastRow {
    reads: i64,
    chain: Vec<u8>,
}

impl Tx {
    /// A page of what was read by a link behind `after`, each with its chain.
    pub async fn guest_reads(
        &mut self,
        link: GuestLinkId,
        direction: Direction,
        after: Option<&Cursor>,
        limit: u32,
    ) -> Result<Page<(GuestRead, Hash)>, StoreError> {
        let mut statement = Statement::new(
            "SELECT number, read_at, method, path, status, file, chain FROM guest_read WHERE team_id = ",
        );
        statement.bind(self.team.0).sql(" AND link_id = ");
        statement.bind(link.0);
        if let Some(after) = after {
            let [number] = after.key().ok_or(StoreError::Cursor)?;
            let number: i64 = number.parse().map_err(|_| StoreError::Cursor)?;
            statement.sql(" AND number").sql(direction.beyond());
            statement.bind(number);
        }
        statement.sql(direction.either(" ORDER BY number", " ORDER BY number DESC"));
        page::limit(&mut statement, limit);
        let rows: Vec<ReadRow> = find_by!(self.conn, statement)?;
        Page::cut(
            rows,
            limit,
            |row| Cursor::new([row.number.to_string()], link.0),
            <(GuestRead, Hash)>::try_from,
        )
    }
}

impl WriteDoor {
    /// Opens a sitting by a link.
    ///
    /// # Errors
    /// [`StoreError::Unlinked`] if there is no such link.
    pub async fn add_guest_sitting(
        &mut self,
        sitting: &Hash,
        (team, link): (TeamId, GuestLinkId),
        (opened_at, expires_at): (OffsetDateTime, OffsetDateTime),
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO guest_sitting (hash, team_id, link_id, opened_at, expires_at)
            VALUES ($1, $2, $3, $4, $5)";
        change_any!(
            self.conn,
            SQL,
            sitting.as_slice(),
            team.0,
            link.0,
            opened_at,
            expires_at
        )
        .map(drop)
    }

    /// Ends a sitting; one that has ended already is left so.
    pub async fn end_guest_sitting(&mut self, sitting: &Hash) -> Result<(), StoreError> {
        const SQL: &str = "
            DELETE FROM guest_sitting
             WHERE hash = $1";
        change_any!(self.conn, SQL, sitting.as_slice()).map(drop)
    }

    /// Notes a read by a link under the next number, chained to the one before it. The link's row is the lock: of two
    /// servers the second waits for the first.
    ///
    /// # Errors
    /// [`StoreError::Stale`] if there is no such link, or nothing that opens it.
    pub async fn note_guest_read(
        &mut self,
        (team, link): (TeamId, GuestLinkId),
        read: GuestRead,
    ) -> Result<GuestRead, StoreError> {
        const LAST: &str = "
            UPDATE guest_key
               SET reads = reads
             WHERE team_id = $1
               AND link_id = $2
         RETURNING reads, chain";
        const READ: &str = "
            INSERT INTO guest_read
                   (team_id, link_id, number, read_at, method, path, status, file, chain)
            VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)";
        const NEXT: &str = "
            UPDATE guest_key
               SET reads = $3, chain = $4, last_read_at = $5
             WHERE team_id = $1
               AND link_id = $2";
        let last: Option<LastRow> = find!(self.conn, LAST, team.0, link.0)?;
        let last = last.ok_or(StoreError::Stale { table: "guest_key" })?;
        let read = GuestRead {
            number: unsigned("guest_key", "reads", last.reads)? + 1,
            ..read
        };
        let before = hash("guest_key", "chain", &last.chain)?;
        let chain = read.chain(&before);
        let chain = chain.map_err(|e| StoreError::corrupt("guest_read", "chain")(e.into()))?;
        let number = signed(read.number);
        change_any!(
            self.conn,
            READ,
            team.0,
            link.0,
            number,
            read.at,
            read.method.as_str(),
            read.path.as_str(),
            i64::from(read.status),
            read.file.as_deref(),
            chain.as_slice()
        )?;
        change_one!(
            self.conn,
            "guest_key",
            NEXT,
            team.0,
            link.0,
            number,
            chain.as_slice(),
            read.at
        )?;
        Ok(read)
    }
}
