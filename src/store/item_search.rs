//! How a list of items is searched: what leads, and what is only asked of each item.
//!
//! There are two courses. If some filter or word leaves few items, those are looked up and sorted. Otherwise the
//! list is walked in its order, along an index, until the page is full; since every filter leaves many, that is
//! soon. Which it is, is counted beforehand, never further than [`FEW`]: the databases guess, and SQLite guesses
//! without knowing what is in the tables.

use uuid::Uuid;

use super::{
    ItemFilter, ItemSort, StoreError, Tx,
    due::NO_DAY,
    item_group::MARKINGS_UNKNOWN,
    item_word::end_of_range,
    model::{MOST_WORDS, holding},
    statement::{Statement, Value, find_by},
};
use crate::domain::{ItemState, Kind, date::write_day, words};

/// So many items at most are few.
const FEW: u32 = 1000;

/// Put behind a column, it keeps the databases from following an index of that column: they look for bare columns.
const OFF_INDEX: &str = " || ''";

/// How the list is searched.
pub(super) struct Course {
    team: Uuid,
    /// The words, the one that leads (if one does) the first.
    words: Vec<Word>,
    /// Whether the first word leads.
    word_leads: bool,
    /// Whether anything leads; if nothing does, the list is walked in its order.
    leads: bool,
    /// Filters that leave few.
    kind: Few,
    state: Few,
    due: Few,
    life: Few,
    markings: Few,
    /// Whether the walk is along the due days.
    along_due: bool,
}

/// Whether a filter leaves few items.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Few {
    Yes,
    No,
}

struct Word {
    word: String,
    /// How many items have it, by their own words or their model's, as far as [`FEW`].
    few: Few,
}

impl Few {
    fn of(count: u32) -> Self {
        if count <= FEW { Self::Yes } else { Self::No }
    }
}

impl Tx {
    pub(super) async fn course(
        &mut self,
        filter: &ItemFilter,
        sort: ItemSort,
    ) -> Result<Course, StoreError> {
        let mut wanted = Vec::new();
        for word in words(&filter.search).into_iter().take(MOST_WORDS) {
            let few = Few::of(self.count_having(&word).await?);
            wanted.push(Word { word, few });
        }
        // The longest of the rare ones is likely to be the rarest.
        wanted.sort_by_key(|word| (word.few == Few::No, std::cmp::Reverse(word.word.len())));
        let word_leads = wanted.first().is_some_and(|word| word.few == Few::Yes);
        let kind = filter.kind.map(|kind| Value::from(kind.key()));
        let state = filter.state.map(|state| Value::from(state.key()));
        let due = filter.due_before.map(|day| Value::from(write_day(day)));
        let model = filter.model.map(|model| Value::from(model.0));
        let store = filter.store.map(|store| Value::from(store.0));
        let kind = self.leaves(" AND kind = ", kind).await?;
        let state = self.leaves(" AND state = ", state).await?;
        let due = self.leaves(" AND due_order < ", due).await?;
        let life = filter.life_before.map(|day| Value::from(write_day(day)));
        let life = self.leaves(" AND life_order < ", life).await?;
        let markings = filter.markings_unknown;
        let markings = markings.then(|| Value::from(MARKINGS_UNKNOWN));
        let markings = self.leaves(" AND markings = ", markings).await?;
        let model = self.leaves(" AND model_id = ", model).await?;
        let store = self.leaves(" AND store_id = ", store).await?;
        Ok(Course {
            team: self.team.0,
            words: wanted,
            word_leads,
            leads: word_leads
                || [kind, state, due, life, markings, model, store].contains(&Few::Yes),
            kind,
            state,
            due,
            life,
            markings,
            along_due: sort == ItemSort::Due,
        })
    }

    /// Whether a filter leaves few items; one that is not set leaves many.
    async fn leaves(
        &mut self,
        condition: &'static str,
        value: Option<Value>,
    ) -> Result<Few, StoreError> {
        let Some(value) = value else {
            return Ok(Few::No);
        };
        let mut statement = Statement::new("SELECT 1 AS found FROM item WHERE team_id = ");
        statement.bind(self.team.0).sql(condition).bind(value);
        Ok(Few::of(self.count_few(statement).await?))
    }

    /// How many items have a word, counted no further than just beyond [`FEW`].
    async fn count_having(&mut self, word: &str) -> Result<u32, StoreError> {
        let team = self.team.0;
        let mut own = Statement::new("SELECT 1 AS found FROM item_word w WHERE ");
        push_range(&mut own, team, word);
        let own = self.count_few(own).await?;
        if own > FEW {
            return Ok(own);
        }
        let mut of_model = Statement::new("SELECT 1 AS found FROM item f WHERE f.team_id = ");
        of_model.bind(team).sql(" AND f.model_id IN ");
        push_models(&mut of_model, team, word);
        Ok(own + self.count_few(of_model).await?)
    }

    async fn count_few(&mut self, rows: Statement) -> Result<u32, StoreError> {
        let mut statement = Statement::new("SELECT COUNT(*) FROM (");
        statement.pieces.extend(rows.pieces);
        statement.sql(" LIMIT ").bind(FEW + 1).sql(") AS few");
        let counts: Vec<(i64,)> = find_by!(self.conn, statement)?;
        let count = counts.first().map_or(0, |(count,)| *count);
        Ok(u32::try_from(count).unwrap_or(FEW + 1))
    }
}

impl Course {
    /// What stands behind the columns that are sorted by.
    pub(super) fn order_suffix(&self) -> &'static str {
        if self.leads { OFF_INDEX } else { "" }
    }

    /// Adds the tables and the conditions.
    pub(super) fn push(&self, statement: &mut Statement, filter: &ItemFilter) {
        let mut words = self.words.as_slice();
        if self.word_leads
            && let [leading, others @ ..] = words
        {
            words = others;
            // A cross join is gone through in the order in which it is written.
            statement.sql("(SELECT w.item_id FROM item_word w WHERE ");
            push_range(statement, self.team, &leading.word);
            statement.sql(" UNION SELECT f.id FROM item f WHERE f.team_id = ");
            statement.bind(self.team).sql(" AND f.model_id IN ");
            push_models(statement, self.team, &leading.word);
            statement.sql(") AS found CROSS JOIN item i WHERE i.id = found.item_id AND ");
        } else {
            statement.sql("item i WHERE ");
        }
        statement.sql("i.team_id = ").bind(self.team);
        for word in words {
            statement.sql(" AND (i.model_id IN ");
            push_models(statement, self.team, &word.word);
            statement.sql(" OR EXISTS (SELECT 1 FROM item_word w WHERE w.item_id = i.id AND ");
            push_range(statement, self.team, &word.word);
            statement.sql("))");
        }
        self.push_filter(statement, filter);
    }

    fn push_filter(&self, statement: &mut Statement, filter: &ItemFilter) {
        if let Some(model) = filter.model {
            statement.sql(" AND i.model_id = ").bind(model.0);
        }
        if let Some(store) = filter.store {
            statement.sql(" AND i.store_id = ").bind(store.0);
        }
        if let Some(kind) = filter.kind {
            statement.sql(" AND i.kind").sql(self.suffix(self.kind));
            statement.sql(" = ").bind(kind.key());
        }
        if let Some(state) = filter.state {
            statement.sql(" AND i.state").sql(self.suffix(self.state));
            statement.sql(" = ").bind(state.key());
        }
        if filter.without_retired {
            statement.sql(" AND i.state || '' <> ");
            statement.bind(ItemState::Retired.key());
        }
        if filter.look_asked {
            statement
                .sql(" AND i.look_asked = ")
                .bind(Value::Flag(true));
        }
        if let Some(day) = filter.due_before {
            let along = self.due == Few::Yes || (self.along_due && !self.leads);
            statement.sql(" AND i.due_order");
            statement.sql(if along { "" } else { OFF_INDEX });
            statement.sql(" < ").bind(write_day(day));
        }
        if let Some(day) = filter.due_from {
            let along = self.along_due && !self.leads;
            statement.sql(" AND i.due_order");
            statement.sql(if along { "" } else { OFF_INDEX });
            statement.sql(" >= ").bind(write_day(day));
            statement.sql(" AND i.due_order || '' < ").bind(NO_DAY);
        }
        if filter.never_passed {
            statement.sql(" AND i.due_order || '' = ").bind(NO_DAY);
            // What is retired has no due day either.
            statement
                .sql(" AND i.state || '' <> ")
                .bind(ItemState::Retired.key());
        }
        self.push_markings(statement, filter);
        self.push_life(statement, filter);
    }

    fn push_markings(&self, statement: &mut Statement, filter: &ItemFilter) {
        if filter.markings_unknown {
            statement
                .sql(" AND i.markings")
                .sql(self.suffix(self.markings));
            statement.sql(" = ").bind(MARKINGS_UNKNOWN);
            statement
                .sql(" AND i.state || '' <> ")
                .bind(ItemState::Retired.key());
            for kind in beside_the_rig() {
                statement.sql(" AND i.kind || '' <> ").bind(kind.key());
            }
        }
    }

    /// When lives end.
    fn push_life(&self, statement: &mut Statement, filter: &ItemFilter) {
        if let Some(day) = filter.life_before {
            let leads = self.life == Few::Yes;
            statement.sql(" AND i.life_order");
            statement.sql(if leads { "" } else { OFF_INDEX });
            statement.sql(" < ").bind(write_day(day));
        }
        if let Some(day) = filter.life_from {
            statement
                .sql(" AND i.life_order || '' >= ")
                .bind(write_day(day));
            statement.sql(" AND i.life_order || '' < ").bind(NO_DAY);
        }
        if filter.life_open {
            statement.sql(" AND i.life_order || '' = ").bind(NO_DAY);
            statement
                .sql(" AND i.state || '' <> ")
                .bind(ItemState::Retired.key());
        }
    }

    /// What stands behind a column that is compared: of those that could lead, only what leaves few may.
    fn suffix(&self, few: Few) -> &'static str {
        if self.leads && few == Few::No {
            OFF_INDEX
        } else {
            ""
        }
    }
}

/// The kinds of whose markings no job asks.
fn beside_the_rig() -> impl Iterator<Item = Kind> {
    let all = Kind::ALL.iter().copied();
    all.filter(|kind| kind.is_beside_the_rig())
}

/// That a word of `w` begins with `word`.
fn push_range(statement: &mut Statement, team: Uuid, word: &str) {
    statement.sql("w.team_id = ").bind(team);
    statement.sql(" AND w.word >= ").bind(word);
    statement.sql(" AND w.word < ").bind(end_of_range(word));
}

/// The models whose kind or name holds `word`.
fn push_models(statement: &mut Statement, team: Uuid, word: &str) {
    statement.sql("(SELECT m.id FROM model m WHERE m.team_id = ");
    statement.bind(team);
    statement.sql(" AND m.search LIKE ").bind(holding(word));
    statement.sql(" ESCAPE '\\')");
}
