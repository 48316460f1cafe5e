//! Rows that an outside auditor takes along say by whom they were taken, and a file without rows that it is whole.

use calamine::{Reader as _, Xlsx};

use crate::{
    client::Client,
    guest::{lines, link, sitting},
};

on_both_databases! {
    async fn rows_that_are_taken_along_say_who_took_them(world) {
        world.stock().await;
        let (_, path) = link(&world).await;
        let guest = sitting(&world, &path).await;
        let who = "outside auditor: Ada Brook of Lowland Surveys by the link of The administrator of the north";
        // Rows say it where a reader of rows finds it; of the team's own nobody is told.
        let own = world.visitor(&world.auditor).await;
        let csv = |bytes: Vec<u8>| {
            let mut reader = csv::ReaderBuilder::new().from_reader(std::io::Cursor::new(bytes));
            let headings = reader.headers().unwrap().clone();
            (headings, reader.records().map(Result::unwrap).collect::<Vec<_>>())
        };
        let (headings, rows) = csv(guest.get("/exports/items?as=csv").await.bytes);
        assert_eq!(headings.iter().rev().take(3).collect::<Vec<_>>(), ["taken_by", "end", "key"]);
        let last = headings.len() - 1;
        let said: Vec<(&str, &str)> = rows.iter().map(|row| (&row[last - 1], &row[last])).collect();
        assert_eq!(said, [("", ""), ("2", who)]);
        let (headings, rows) = csv(guest.get("/exports/items?as=csv&q=nothing-is-called-so").await.bytes);
        assert_eq!((rows.len(), &rows[0][headings.len() - 2], &rows[0][headings.len() - 1]), (1, "0", who));
        assert!(rows[0].iter().take(headings.len() - 2).all(str::is_empty));
        let (headings, rows) = csv(own.get("/exports/items?as=csv&q=nothing-is-called-so").await.bytes);
        assert_eq!((rows.len(), &headings[headings.len() - 1], &rows[0][headings.len() - 1]), (1, "end", "0"));
        let lines_of = async |client: &Client| lines(&client.get("/exports/items?as=json-lines").await.bytes);
        assert_eq!(lines_of(&guest).await.last().unwrap()["end"]["taken_by"], who);
        assert_eq!(lines_of(&own).await.last().unwrap()["end"].get("taken_by"), None);
        for (client, names) in [(&guest, vec!["Rows 1", "Taken along"]), (&own, vec!["Rows 1"])] {
            let book = client.get("/exports/items?as=xlsx").await.bytes;
            let mut book = Xlsx::new(std::io::Cursor::new(book)).unwrap();
            assert_eq!(book.sheet_names(), names);
            if names.len() > 1 {
                let sheet = book.worksheet_range("Taken along").unwrap();
                assert_eq!(sheet.get_value((1, 0)).unwrap().to_string(), who);
            }
        }
    }
}
