//! Adding, removing and moving the rows of a draft, as the buttons of its form ask for it.

use super::{ElementDraft, LegDraft, RigDraft};

/// The most rows of one list; what the sheet takes at most.
const MOST_ROWS: usize = 60;

/// What is done with a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Verb {
    Add,
    Remove,
    Up,
    Down,
}

/// What is looked at next: a row, or the list where there is none any more.
enum Next {
    Row(usize),
    List,
}

/// A row that was added or moved, or the list of one that was removed: `rope[0][path][2]`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Acted(pub String);

impl RigDraft {
    /// Does what a button asks for: `add rope[0][path]`, `remove body[2]`, `up position[3]`,
    /// `down chain[0]`. Nothing if it names no row of the draft.
    pub fn act(&mut self, asked: &str) -> Option<Acted> {
        let (verb, way) = asked.split_once(' ')?;
        let verb = match verb {
            "add" => Verb::Add,
            "remove" => Verb::Remove,
            "up" => Verb::Up,
            "down" => Verb::Down,
            _ => return None,
        };
        let (list, row) = if verb == Verb::Add {
            (way, None)
        } else {
            let (list, row) = way.strip_suffix(']')?.rsplit_once('[')?;
            (list, Some(row.parse().ok()?))
        };
        Some(Acted(match self.list(list, verb, row)? {
            Next::Row(at) => format!("{list}[{at}]"),
            Next::List => list.to_owned(),
        }))
    }

    /// Finds the list and does it.
    fn list(&mut self, list: &str, verb: Verb, row: Option<usize>) -> Option<Next> {
        match list {
            "body" => change(&mut self.body, verb, row),
            "position" => change(&mut self.position, verb, row),
            "rope" => change(&mut self.rope, verb, row),
            "chain" => change(&mut self.chain, verb, row),
            "bridle" => {
                let done = change(&mut self.bridle, verb, row);
                // A bridle has two legs or more.
                if let (Verb::Add, Some(new)) = (verb, self.bridle.last_mut()) {
                    new.leg = vec![LegDraft::default(); 2];
                }
                done
            }
            "line" => change(&mut self.line, verb, row),
            "tripod" => change(&mut self.tripod, verb, row),
            _ => {
                let (outer, inner) = list.strip_suffix(']')?.split_once("][")?;
                let (outer, at) = outer.split_once('[')?;
                let at: usize = at.parse().ok()?;
                match (outer, inner) {
                    ("rope", "path") => met(&mut self.rope.get_mut(at)?.path, verb, row),
                    ("bridle", "leg") => change(&mut self.bridle.get_mut(at)?.leg, verb, row),
                    _ => None,
                }
            }
        }
    }
}

/// A path ends at a made end, so what is added goes before it.
fn met(path: &mut Vec<ElementDraft>, verb: Verb, row: Option<usize>) -> Option<Next> {
    let done = change(path, verb, row)?;
    if verb == Verb::Add && path.len() > 2 && path[path.len() - 2].meets == "end" {
        let (new, end) = (path.len() - 1, path.len() - 2);
        path.swap(new, end);
        return Some(Next::Row(end));
    }
    Some(done)
}

fn change<T: Default>(list: &mut Vec<T>, verb: Verb, row: Option<usize>) -> Option<Next> {
    match (verb, row) {
        (Verb::Add, None) if list.len() < MOST_ROWS => {
            list.push(T::default());
            Some(Next::Row(list.len() - 1))
        }
        (Verb::Remove, Some(row)) if row < list.len() => {
            list.remove(row);
            let left = row < list.len();
            Some(if left { Next::Row(row) } else { Next::List })
        }
        (Verb::Up, Some(row)) if row > 0 && row < list.len() => {
            list.swap(row - 1, row);
            Some(Next::Row(row - 1))
        }
        (Verb::Down, Some(row)) if row + 1 < list.len() => {
            list.swap(row, row + 1);
            Some(Next::Row(row + 1))
        }
        _ => None,
    }
}
