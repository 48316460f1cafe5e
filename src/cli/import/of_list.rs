//! What is said on the command line of nothing that the list has is refused: it would be of no effect, and nobody told.

use crate::{
    cli::Outcome,
    import::{Answers, Rehearsal, Unheard},
};

/// Refuses what is said of words and rows that the list does not have.
pub(super) fn there(unheard: &Unheard) -> Outcome {
    let words = unheard.words.iter().map(|why| format!("--word: {why}"));
    let rows = unheard.rows.iter().map(|why| format!("--leave-out: {why}"));
    let all: Vec<String> = words.chain(rows).collect();
    match all.as_slice() {
        [] => Ok(()),
        all => Err(all.join("\n  ").into()),
    }
}

/// Refuses what is said of a model that the list does not name: it would be of no effect, and nobody told.
pub(super) fn its_models(answers: &Answers, rehearsal: &Rehearsal) -> Outcome {
    for (below, title) in answers.of_models() {
        let option = match below {
            "agreed" => "--agreed",
            "sources" => "--source",
            _ => "--model",
        };
        if let Some(why) = rehearsal.named.none_is(&title) {
            return Err(format!("{option}: {why}").into());
        }
    }
    Ok(())
}
