//! Links of outside auditors: from the ledger, with what opens each and how far its reads have come beside it.

use time::OffsetDateTime;
use uuid::Uuid;

use super::{
    Cursor, Door, Page, StoreError, Tx, WriteTx,
    ledger::{hash, signed, unsigned},
    page, record,
    statement::{Statement, find_by},
    team::zone,
    tx::{change_any, change_one, find, find_all},
};
use crate::domain::{
    Change, GuestLink, GuestLinkEnd, GuestLinkId, GuestReads, Hash, KeptGuest, TeamId, Zone,
};

/// A link that somebody comes with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct GuestAtDoor {
    /// The link.
    pub kept: KeptGuest,
    /// The team.
    pub team: TeamId,
    /// The team's name.
    pub team_name: String,
    /// The team's time zone.
    pub zone: Zone,
}

#[derive(sqlx::FromRow)]
struct GuestRow {
    record: String,
    counted: i64,
    maker: String,
    maker_active: bool,
    reads: Option<i64>,
    chain: Option<Vec<u8>>,
    last_read_at: Option<OffsetDateTime>,
}

impl TryFrom<GuestRow> for KeptGuest {
    type Error = StoreError;

    fn try_from(row: GuestRow) -> Result<Self, StoreError> {
        let chain = row.chain.as_deref();
        Ok(Self {
            link: record::read("guest_link", &row.record)?,
            maker: row.maker,
            maker_active: row.maker_active,
            reads: unsigned("guest_key", "reads", row.reads.unwrap_or(0))?,
            chain: chain.map_or(Ok(Hash::default()), |chain| {
                hash("guest_key", "chain", chain)
            })?,
            last_read_at: row.last_read_at,
            counted: unsigned("guest_link", "counted", row.counted)?,
        })
    }
}

#[derive(sqlx::FromRow)]
struct DoorRow {
    team_id: Uuid,
    team_name: String,
    time_zone: String,
    #[sqlx(flatten)]
    guest: GuestRow,
}

impl TryFrom<DoorRow> for GuestAtDoor {
    type Error = StoreError;

    fn try_from(row: DoorRow) -> Result<Self, StoreError> {
        Ok(Self {
            kept: row.guest.try_into()?,
            team: TeamId(row.team_id),
            team_name: row.team_name,
            zone: zone(&row.time_zone)?,
        })
    }
}

#[derive(sqlx::FromRow)]
struct SittingRow {
    expires_at: OffsetDateTime,
    #[sqlx(flatten)]
    door: DoorRow,
}

const KEPT: &str = "
    SELECT l.record, l.counted, p.name AS maker, p.active AS maker_active, k.reads, k.chain,
           k.last_read_at
      FROM guest_link l
      JOIN person p
        ON p.team_id = l.team_id
       AND p.id = l.by_id
      LEFT JOIN guest_key k
        ON k.team_id = l.team_id
       AND k.link_id = l.id
     WHERE l.team_id = ";

impl Door {
    /// The link whose address has this hash, however it stands.
    pub async fn guest_behind(&mut self, key: &Hash) -> Result<Option<GuestAtDoor>, StoreError> {
        const SQL: &str = "
            SELECT l.team_id, t.name AS team_name, t.time_zone, l.record, l.counted,
                   p.name AS maker, p.active AS maker_active, k.reads, k.chain, k.last_read_at
              FROM guest_key k
              JOIN guest_link l
                ON l.team_id = k.team_id
               AND l.id = k.link_id
              JOIN person p
                ON p.team_id = l.team_id
               AND p.id = l.by_id
              JOIN team t
                ON t.id = l.team_id
             WHERE k.hash = $1";
        let row: Option<DoorRow> = find!(self.conn, SQL, key.as_slice())?;
        row.map(GuestAtDoor::try_from).transpose()
    }

    /// The link by which the sitting of this hash was opened, however it stands, and when the sitting ends.
    pub async fn guest_sitting(
        &mut self,
        sitting: &Hash,
    ) -> Result<Option<(GuestAtDoor, OffsetDateTime)>, StoreError> {
        const SQL: &str = "
            SELECT s.expires_at, l.team_id, t.name AS team_name, t.time_zone, l.record, l.counted,
                   p.name AS maker, p.active AS maker_active, k.reads, k.chain, k.last_read_at
              FROM guest_sitting s
              JOIN guest_link l
                ON l.team_id = s.team_id
               AND l.id = s.link_id
              JOIN person p
                ON p.team_id = l.team_id
               AND p.id = l.by_id
              JOIN team t
                ON t.id = l.team_id
              JOIN guest_key k
                ON k.team_id = l.team_id
               AND k.link_id = l.id
             WHERE s.hash = $1";
        let row: Option<SittingRow> = find!(self.conn, SQL, sitting.as_slice())?;
        row.map(|row| Ok((row.door.try_into()?, row.expires_at)))
            .transpose()
    }

    /// The links of every team whose reads the ledger has not all taken up.
    pub async fn guests_to_count(&mut self) -> Result<Vec<(TeamId, GuestLinkId)>, StoreError> {
        const SQL: &str = "
            SELECT l.team_id, l.id
              FROM guest_link l
              JOIN guest_key k
                ON k.team_id = l.team_id
               AND k.link_id = l.id
             WHERE k.reads > l.counted";
        let rows: Vec<(Uuid, Uuid)> = find_all!(self.conn, SQL)?;
        let ids = rows.into_iter();
        Ok(ids
            .map(|(team, id)| (TeamId(team), GuestLinkId(id)))
            .collect())
    }
}

impl Tx {
    /// A page of the team's links after `after`, the newest first.
    pub async fn guest_links(
        &mut self,
        after: Option<&Cursor>,
        limit: u32,
    ) -> Result<Page<KeptGuest>, StoreError> {
        let mut statement = Statement::new(KEPT);
        statement.bind(self.team.0);
        if let Some(after) = after {
            let [] = after.key().ok_or(StoreError::Cursor)?;
            statement.sql(" AND l.id < ").bind(after.id());
        }
        statement.sql(" ORDER BY l.id DESC");
        page::limit(&mut statement, limit);
        let rows: Vec<GuestRow> = find_by!(self.conn, statement)?;
        let rows: Result<Vec<KeptGuest>, _> = rows.into_iter().map(KeptGuest::try_from).collect();
        Page::cut(
            rows?,
            limit,
            |kept| Cursor::new([], kept.link.id.0),
            Ok::<_, StoreError>,
        )
    }

    /// One link of the team.
    pub async fn guest_link(&mut self, id: GuestLinkId) -> Result<Option<KeptGuest>, StoreError> {
        let mut statement = Statement::new(KEPT);
        statement.bind(self.team.0).sql(" AND l.id = ").bind(id.0);
        let mut rows: Vec<GuestRow> = find_by!(self.conn, statement)?;
        rows.pop().map(KeptGuest::try_from).transpose()
    }
}

impl WriteTx {
    /// Keeps the hash of what opens a link.
    ///
    /// # Errors
    /// [`StoreError::Unlinked`] if the team has no such link, [`StoreError::Taken`] if it is kept already.
    pub async fn add_guest_key(&mut self, id: GuestLinkId, key: &Hash) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO guest_key (team_id, link_id, hash, reads, chain)
            VALUES ($1, $2, $3, 0, $4)";
        let (team, start) = (self.team, Hash::default());
        change_any!(
            self.conn,
            SQL,
            team.0,
            id.0,
            key.as_slice(),
            start.as_slice()
        )
        .map(drop)
    }

    /// Applies that an outside auditor was let in, is let in no longer, or has read.
    pub(super) async fn apply_guest(&mut self, change: &Change) -> Result<(), StoreError> {
        match change {
            Change::GuestLinkMade(link) => self.add_guest_link(link).await,
            Change::GuestLinkWithdrawn(end) => self.withdraw_guest_link(end).await,
            Change::GuestReadsCounted(reads) => self.count_guest_reads(reads).await,
            // The rest is applied by its caller.
            _ => Ok(()),
        }
    }

    async fn add_guest_link(&mut self, link: &GuestLink) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO guest_link (team_id, id, by_id, counted, record)
            VALUES ($1, $2, $3, 0, $4)";
        let team = self.team.0;
        let text = record::write("guest_link", link)?;
        change_any!(self.conn, SQL, team, link.id.0, link.by.0, text).map(drop)
    }

    async fn withdraw_guest_link(&mut self, end: &GuestLinkEnd) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE guest_link
               SET record = $3
             WHERE team_id = $1
               AND id = $2";
        let there = self.guest_link(end.link).await?;
        let there = there.filter(|kept| kept.link.withdrawn.is_none());
        let there = there.ok_or(StoreError::Stale {
            table: "guest_link",
        })?;
        let withdrawn = GuestLink {
            withdrawn: Some(end.withdrawn.clone()),
            ..there.link
        };
        let team = self.team.0;
        let text = record::write("guest_link", &withdrawn)?;
        change_one!(self.conn, "guest_link", SQL, team, end.link.0, text)
    }

    async fn count_guest_reads(&mut self, reads: &GuestReads) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE guest_link
               SET counted = $3
             WHERE team_id = $1
               AND id = $2
               AND counted < $3";
        let team = self.team.0;
        let count = signed(reads.reads);
        change_one!(self.conn, "guest_link", SQL, team, reads.link.0, count)
    }
}
