//! What became unfit while its kit is with a crew.

use crate::{
    domain::{Issue, ItemId},
    view::part::{Answer, Tone},
};

/// What of a kit is not fit any more since it was issued: the answer, and every reason at its item.
pub(in crate::view) struct Since {
    /// Which items.
    pub(in crate::view) answer: Answer,
    /// Each reason with the mark and the page of its item.
    pub(in crate::view) lines: Vec<(String, String, String)>,
}

impl Since {
    /// What is told of these items, with what is to be done first; nothing where all are fit.
    pub(in crate::view) fn of(
        issue: &Issue,
        since: &[(ItemId, Vec<String>)],
        first: &str,
    ) -> Option<Self> {
        let lines = issue.lines.iter();
        let unfit = lines.filter_map(|line| {
            let found = since.iter().find(|(item, _)| *item == line.item);
            found.map(|(_, reasons)| (line, reasons))
        });
        let unfit: Vec<_> = unfit.collect();
        let marks: Vec<&str> = unfit.iter().map(|(line, _)| line.mark.as_str()).collect();
        let reasons = unfit.iter().flat_map(|(line, reasons)| {
            let href = format!("/items/{}", line.item);
            let one = move |reason: &String| (line.mark.clone(), href.clone(), reason.clone());
            reasons.iter().map(one)
        });
        (!marks.is_empty()).then(|| Self {
            answer: Answer::new(
                Tone::Stop,
                format!("Not fit any more since it was issued: {}", marks.join(", ")),
            )
            .why(first),
            lines: reasons.collect(),
        })
    }
}
