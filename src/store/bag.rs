//! Lists of bags, and how they were checked.

use super::{
    Recorded, StoreError, Tx, WriteTx, record,
    record::RecordRow,
    tx::{change_any, change_one, find, find_all},
};
use crate::domain::{Bag, BagCheck, BagCheckId, Change, ItemMoved, StoreId};

impl Tx {
    /// The list of a bag; none where the place has none.
    pub async fn bag(&mut self, store: StoreId) -> Result<Option<Bag>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM bag
             WHERE team_id = $1
               AND store_id = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, store.0)?;
        record::one("bag", row)
    }

    /// Every list of the team.
    pub async fn bags(&mut self) -> Result<Vec<Bag>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM bag
             WHERE team_id = $1
             ORDER BY store_id";
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, self.team.0)?;
        record::all("bag", &rows)
    }

    /// A check by its id.
    pub async fn bag_check(&mut self, id: BagCheckId) -> Result<Option<BagCheck>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM bag_check
             WHERE team_id = $1
               AND id = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        record::one("bag_check", row)
    }

    /// How a bag was checked last.
    pub async fn last_bag_check(&mut self, store: StoreId) -> Result<Option<BagCheck>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM bag_check
             WHERE team_id = $1
               AND store_id = $2
             ORDER BY seq DESC
             LIMIT 1";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, store.0)?;
        record::one("bag_check", row)
    }
}

impl WriteTx {
    /// Applies what is done with bags and with what lies in them.
    pub(super) async fn apply_bag(
        &mut self,
        change: &Change,
        recorded: Recorded,
    ) -> Result<(), StoreError> {
        match change {
            Change::BagListed(bag) if bag.revision == 1 => self.add_bag(bag).await,
            Change::BagListed(bag) => self.revise_bag(bag).await,
            Change::BagChecked(check) => self.add_bag_check(check, recorded).await,
            Change::ItemMoved(moved) => self.move_item(moved).await,
            // Imports, refusals and verdicts stand in the history alone; a verdict that was kept is read from there. The
            // rest is applied by its caller.
            _ => Ok(()),
        }
    }

    async fn add_bag(&mut self, bag: &Bag) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO bag (team_id, store_id, revision, record)
            VALUES ($1, $2, $3, $4)";
        let team = self.team;
        let text = record::write("bag", bag)?;
        let revision = i64::from(bag.revision);
        change_any!(self.conn, SQL, team.0, bag.store.0, revision, text).map(drop)
    }

    async fn revise_bag(&mut self, bag: &Bag) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE bag
               SET revision = $3, record = $4
             WHERE team_id = $1
               AND store_id = $2
               AND revision = $3 - 1";
        let team = self.team;
        let text = record::write("bag", bag)?;
        let revision = i64::from(bag.revision);
        change_one!(self.conn, "bag", SQL, team.0, bag.store.0, revision, text)
    }

    async fn add_bag_check(
        &mut self,
        check: &BagCheck,
        recorded: Recorded,
    ) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO bag_check (team_id, id, store_id, seq, record)
            VALUES ($1, $2, $3, $4, $5)";
        let team = self.team;
        let text = record::write("bag_check", check)?;
        let seq = recorded.seq_column();
        change_any!(self.conn, SQL, team.0, check.id.0, check.store.0, seq, text).map(drop)
    }

    async fn move_item(&mut self, moved: &ItemMoved) -> Result<(), StoreError> {
        let item = self.item_there(moved.item).await?;
        self.save_item(&item.moved(moved.to)).await
    }
}
