//! A recall does not forget what it covered until the record of a model, or the model of an item, was corrected.

use ropeloft::domain::{
    Change, Kind, ModelId,
    question::{Cell, Question, QuestionDraft, To},
};
use time::macros::date;

use crate::{question::ask, stock, world::World};

/// The items that a recall touched, each with what became of it.
async fn touched(world: &World, draft: &QuestionDraft) -> Vec<(uuid::Uuid, String)> {
    let found = ask(world, Question::Recalled, draft).await;
    let rows = found.rows.into_iter();
    let mut all: Vec<(uuid::Uuid, String)> = rows
        .map(|row| match &row.cells[..] {
            [Cell::Record(To::Item(id), _), _, _, Cell::Text(fate), ..] => (id.0, fate.clone()),
            other => panic!("{other:?}"),
        })
        .collect();
    all.sort();
    all
}

on_both_databases! {
    async fn a_corrected_model_takes_nothing_out_unsaid(world) {
        let stock = world.stock().await;
        let mut notice = stock::notice(&stock.model.maker, date!(2026 - 02 - 20));
        notice.model_name.clone_from(&stock.model.name);
        world.record(Change::NoticeOpened(notice.clone())).await;
        let by_notice = QuestionDraft { notice: notice.id.to_string(), ..QuestionDraft::default() };
        let by_words = QuestionDraft { maker: stock.model.maker.clone(), model: stock.model.name.clone(), ..QuestionDraft::default() };
        let mut both = [stock.first.id.0, stock.second.id.0];
        both.sort();
        for draft in [&by_notice, &by_words] {
            let ids: Vec<_> = touched(&world, draft).await.into_iter().map(|(id, _)| id).collect();
            assert_eq!(ids, both);
        }
        let mut model = stock.model.clone();
        for (maker, name) in [(stock.model.maker.as_str(), "Twin 61"), ("Nordhaken", "Twin 61")] {
            maker.clone_into(&mut model.maker);
            name.clone_into(&mut model.name);
            model.revision += 1;
            world.record(Change::ModelRevised(model.clone())).await;
            for draft in [&by_notice, &by_words] {
                let told = touched(&world, draft).await;
                assert_eq!(told.iter().map(|(id, _)| *id).collect::<Vec<_>>(), both, "{maker} {name}");
                assert!(told.iter().all(|(_, fate)| fate.contains("covered no more, by a correction")), "{told:?}");
            }
        }
        // A model that was never so called is not touched.
        let other = QuestionDraft { maker: "Nordhaken".to_owned(), model: "Twin 60".to_owned(), ..QuestionDraft::default() };
        assert_eq!(touched(&world, &other).await, []);
    }

    async fn an_item_that_is_said_to_be_of_another_model_stands_there_still(world) {
        let stock = world.stock().await;
        let mut notice = stock::notice(&stock.model.maker, date!(2026 - 02 - 20));
        notice.model_name.clone_from(&stock.model.name);
        world.record(Change::NoticeOpened(notice.clone())).await;
        let mut other = stock::model(Kind::Pulley, &stock.model.maker, "Twin 40");
        other.id = ModelId::new();
        world.record(Change::ModelAdded(other.clone())).await;
        let mut item = stock.first.clone();
        (item.model, item.revision) = (other.id, item.revision + 1);
        world.record(Change::ItemRevised(item)).await;
        let draft = QuestionDraft { notice: notice.id.to_string(), ..QuestionDraft::default() };
        let told = touched(&world, &draft).await;
        let gone: Vec<_> = told.iter().filter(|(_, fate)| fate.contains("covered no more")).map(|(id, _)| *id).collect();
        assert_eq!((told.len(), gone), (2, vec![stock.first.id.0]), "{told:?}");
    }
}
