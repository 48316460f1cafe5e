//! Models: what makers sell.

use std::collections::HashMap;

use uuid::Uuid;

use super::{
    Cursor, Page, StoreError, Tx, WriteTx,
    due::{DayTerms, read_terms},
    page,
    place::searchable,
    record,
    record::RecordRow,
    statement::{Statement, find_by},
    tx::{change_any, change_one, find, find_all},
};
use crate::domain::{Kind, Model, ModelId, fold};

/// Which models are listed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ModelFilter {
    /// Words that must stand in the kind, the maker's or the model's name.
    pub search: String,
    /// Of this kind alone.
    pub kind: Option<Kind>,
}

#[derive(sqlx::FromRow)]
struct ModelRow {
    id: Uuid,
    title_folded: String,
    record: String,
}

impl Tx {
    /// The model of this id.
    pub async fn model(&mut self, id: ModelId) -> Result<Option<Model>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM model
             WHERE team_id = $1
               AND id = $2";
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, id.0)?;
        record::one("model", row)
    }

    /// The models of these ids; those that are not there are left out.
    pub async fn models_of(
        &mut self,
        ids: &[ModelId],
    ) -> Result<HashMap<ModelId, Model>, StoreError> {
        let mut found = HashMap::new();
        for some in ids.chunks(MOST_AT_ONCE) {
            let mut statement = Statement::new("SELECT record FROM model WHERE team_id = ");
            statement.bind(self.team.0).sql(" AND id IN ");
            statement.list(some.iter().map(|id| id.0));
            let rows: Vec<RecordRow> = find_by!(self.conn, statement)?;
            let models: Vec<Model> = record::all("model", &rows)?;
            found.extend(models.into_iter().map(|model| (model.id, model)));
        }
        Ok(found)
    }

    /// The models of this maker, however it is spelt in case and blanks.
    pub async fn models_of_maker(&mut self, maker: &str) -> Result<Vec<Model>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM model
             WHERE team_id = $1
               AND maker_folded = $2
             ORDER BY title_folded, id";
        let rows: Vec<RecordRow> = find_all!(self.conn, SQL, self.team.0, searchable(maker))?;
        record::all("model", &rows)
    }

    /// Every model, by maker and name, with how many items of it there are.
    pub async fn models_counted(&mut self) -> Result<Vec<(Model, u64)>, StoreError> {
        const SQL: &str = "
            SELECT m.record,
                   (SELECT COUNT(*)
                      FROM item i
                     WHERE i.team_id = m.team_id
                       AND i.model_id = m.id) AS items
              FROM model m
             WHERE m.team_id = $1
             ORDER BY m.title_folded, m.id";
        let rows: Vec<(String, i64)> = find_all!(self.conn, SQL, self.team.0)?;
        let rows = rows.into_iter();
        rows.map(|(text, items)| Ok((record::read("model", &text)?, items.unsigned_abs())))
            .collect()
    }

    /// The model of this maker and name, however they are spelt in case and blanks; the first, if there are several.
    pub async fn model_named(
        &mut self,
        maker: &str,
        name: &str,
    ) -> Result<Option<Model>, StoreError> {
        const SQL: &str = "
            SELECT record
              FROM model
             WHERE team_id = $1
               AND title_folded = $2
               AND maker_folded = $3
             ORDER BY id
             LIMIT 1";
        let title = searchable(&format!("{maker} {name}"));
        let maker = searchable(maker);
        let row: Option<RecordRow> = find!(self.conn, SQL, self.team.0, title, maker)?;
        record::one("model", row)
    }

    /// A page of models by maker and name, after `after`.
    pub async fn models(
        &mut self,
        filter: &ModelFilter,
        after: Option<&Cursor>,
        limit: u32,
    ) -> Result<Page<Model>, StoreError> {
        let mut statement =
            Statement::new("SELECT id, title_folded, record FROM model WHERE team_id = ");
        statement.bind(self.team.0);
        if let Some(kind) = filter.kind {
            statement.sql(" AND kind = ").bind(kind.key());
        }
        for word in searchable(&filter.search)
            .split_whitespace()
            .take(MOST_WORDS)
        {
            statement.sql(" AND search LIKE ").bind(holding(word));
            statement.sql(" ESCAPE '\\'");
        }
        if let Some(after) = after {
            let [title] = after.key().ok_or(StoreError::Cursor)?;
            statement
                .sql(" AND (title_folded, id) > (")
                .bind(title.as_str());
            statement.sql(", ").bind(after.id()).sql(")");
        }
        statement.sql(" ORDER BY title_folded, id");
        page::limit(&mut statement, limit);
        let rows: Vec<ModelRow> = find_by!(self.conn, statement)?;
        Page::cut(
            rows,
            limit,
            |row| Cursor::new([row.title_folded.clone()], row.id),
            |row| record::read("model", &row.record),
        )
    }
}

/// The most words that one search is made of; what is written beyond them is passed over.
pub(super) const MOST_WORDS: usize = 8;

/// The most ids in one statement.
pub(super) const MOST_AT_ONCE: usize = 500;

/// A pattern for what holds `word` anywhere.
pub(super) fn holding(word: &str) -> String {
    let mut pattern = String::from("%");
    for c in word.chars() {
        if matches!(c, '%' | '_' | '\\') {
            pattern.push('\\');
        }
        pattern.push(c);
    }
    pattern.push('%');
    pattern
}

/// Where the words of a search are looked for.
fn searched(model: &Model) -> String {
    fold(&format!("{} {}", model.kind.word(), model.title()))
}

/// What stands in the rows of items though it is their model's.
#[derive(Clone)]
pub(super) struct OfModel {
    pub(super) kind: String,
    pub(super) terms: DayTerms,
}

impl WriteTx {
    pub(super) async fn add_model(&mut self, model: &Model) -> Result<(), StoreError> {
        const SQL: &str = "
            INSERT INTO model
                   (team_id, id, revision, kind, maker_folded, title_folded, search, record, interval_months,
                    arduous_months, life_terms)
            VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)";
        let terms = self.day_terms_of(model).await?;
        let team = self.team;
        change_any!(
            self.conn,
            SQL,
            team.0,
            model.id.0,
            i64::from(model.revision),
            model.kind.key(),
            fold(&model.maker),
            fold(&model.title()),
            searched(model),
            record::write("model", model)?,
            i64::from(terms.intervals.usual),
            i64::from(terms.intervals.arduous),
            terms.kept_limits()?,
        )
        .map(drop)
    }

    pub(super) async fn revise_model(&mut self, model: &Model) -> Result<(), StoreError> {
        const SQL: &str = "
            UPDATE model
               SET revision = $3, kind = $4, maker_folded = $5, title_folded = $6, search = $7,
                   record = $8, interval_months = $9, arduous_months = $10, life_terms = $11
             WHERE team_id = $1
               AND id = $2
               AND revision = $3 - 1";
        // The kind stands on the items too, so that they are listed by it from one index.
        const ITEMS: &str = "
            UPDATE item
               SET kind = $3
             WHERE team_id = $1
               AND model_id = $2
               AND kind <> $3";
        let before = match self.of_model(model.id).await {
            Err(StoreError::Unlinked) => return Err(StoreError::Stale { table: "model" }),
            there => there?.terms,
        };
        let terms = self.day_terms_of(model).await?;
        let team = self.team;
        change_one!(
            self.conn,
            "model",
            SQL,
            team.0,
            model.id.0,
            i64::from(model.revision),
            model.kind.key(),
            fold(&model.maker),
            fold(&model.title()),
            searched(model),
            record::write("model", model)?,
            i64::from(terms.intervals.usual),
            i64::from(terms.intervals.arduous),
            terms.kept_limits()?,
        )?;
        change_any!(self.conn, ITEMS, team.0, model.id.0, model.kind.key())?;
        if terms != before {
            self.set_days(model.id, &terms).await?;
        }
        Ok(())
    }

    /// What the items of a model take over from it.
    pub(super) async fn of_model(&mut self, model: ModelId) -> Result<OfModel, StoreError> {
        const SQL: &str = "
            SELECT kind, interval_months, arduous_months, life_terms
              FROM model
             WHERE team_id = $1
               AND id = $2";
        let team = self.team;
        let row: Option<(String, i64, i64, String)> = find!(self.conn, SQL, team.0, model.0)?;
        let (kind, usual, arduous, life) = row.ok_or(StoreError::Unlinked)?;
        let terms = read_terms(&kind, (usual, arduous), &life)?;
        Ok(OfModel { kind, terms })
    }
}
