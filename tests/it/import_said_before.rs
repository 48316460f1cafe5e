//! How an earlier list was said to be written: offered for the next with the same headings, and never taken over unasked.

on_both_databases! {
    async fn how_a_list_is_written_is_asked_of_the_next_with_the_last_answer_offered(world) {
        let officer = world.visitor(&world.officer).await;
        let list = |maker: &str, mark: &str, made: &str, length: &str| format!(
            "Tag;Type;Maker;Model;Store;PPE;Made;Length\n{mark};Rope;{maker};Line;Van 2;yes;{made};{length}\n");
        let send = async |text: String| {
            let page = officer.upload("/import", &[("file", Some("gear.csv"), text.as_bytes())]).await.location().to_owned();
            (officer.get(&page).await.text, page)
        };
        let (first, page) = send(list("Calder", "R-1", "03/04/2021", "1,200")).await;
        assert!(!first.contains("For the last list you said"), "{first}");
        let said = [("dates", "day-first"), ("decimal", "point"), ("unit-7", "ft"), ("heading-7", "Length")];
        officer.post(&page, &said).await;
        let ready = officer.get(&page).await.text;
        assert!(ready.contains("1 item can be taken in"), "{ready}");
        // Another maker's list may be written otherwise, whether the first came in or not.
        let (next, page) = send(list("Fellside", "R-2", "05/06/2021", "1,500")).await;
        for words in [
            "For the last list you said the day first; this one may be written otherwise. Is &#34;05/06/2021&#34;",
            "For the last list you said a point; this one may be written otherwise. Is the decimal mark of &#34;1,500&#34;",
            "<option value=\"day-first\" selected>", "<option value=\"point\" selected>",
        ] {
            assert!(next.contains(words), "{words}: {next}");
        }
        assert!(!next.contains("1 item can be taken in"), "{next}");
        officer.post(&page, &[("dates", "month-first"), ("decimal", "comma")]).await;
        let unit = officer.get(&page).await.text;
        assert!(unit.contains("For the last list you said ft; this one may be written otherwise. In which unit") && unit.contains("<option value=\"ft\" selected>"), "{unit}");
        officer.post(&page, &[("dates", "month-first"), ("decimal", "comma"), ("unit-7", "m"), ("heading-7", "Length")]).await;
        let ready = officer.get(&page).await.text;
        assert!(ready.contains("1 item can be taken in"), "{ready}");
        // What a list settles by itself is not asked, and stays offered to the one after it.
        let (plain, page) = send(list("Fellside", "R-3", "25/06/2021", "60.5 m")).await;
        assert!(plain.contains("1 item can be taken in") && !plain.contains("For the last list"), "{plain}");
        officer.post(&page, &[("here", "all:0")]).await;
        let (last, _) = send(list("Fellside", "R-4", "05/06/2021", "40")).await;
        assert!(last.contains("For the last list you said the month first") && last.contains("For the last list you said m;"), "{last}");
    }
}
