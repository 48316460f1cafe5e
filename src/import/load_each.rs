//! A rated load for each of several approvals: "150 kg to EN 341 A; 250 kg to EN 12841 C", or the standard before its load.

use crate::domain::{
    ApprovalDraft, WrittenStandard,
    entered::{EnteredForce, EnteredMass},
    rulebook::{same_class, same_standard},
    standards_in,
};

/// How it is written, where somebody is to write it.
pub(super) const SUCH_AS: &str = "150 kg to EN 341 A; 250 kg to EN 12841 C";

/// Words between a load and the standard that rates it; common practice, no source.
const BETWEEN: [&str; 9] = [
    "to", "for", "under", "by", "as", "per", "nach", "selon", "max",
];

/// A load with the standard that rates it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Rated {
    load: String,
    standard: WrittenStandard,
}

/// The loads of a text in which every part names one with its standard; none where any does not.
pub(super) fn read(text: &str) -> Option<Vec<Rated>> {
    let text = text.replace(['\n', '\r'], ";").replace(", ", ";");
    let text = text.replace(" and ", ";").replace(" + ", ";");
    let parts = text.split(';').map(str::trim);
    let parts: Vec<&str> = parts.filter(|part| !part.is_empty()).collect();
    let rated: Option<Vec<Rated>> = parts.into_iter().map(part).collect();
    rated.filter(|rated| !rated.is_empty())
}

/// The same as it is kept until the approvals are known.
pub(super) fn text(rated: &[Rated]) -> String {
    let each = rated
        .iter()
        .map(|one| format!("{} to {}", one.load, one.standard.title()));
    each.collect::<Vec<_>>().join("; ")
}

/// One load and one standard, whichever stands first.
fn part(part: &str) -> Option<Rated> {
    let words: Vec<&str> = part
        .split([' ', '(', ')', '=', '\t'])
        .map(|word| word.trim_end_matches(':'))
        .filter(|word| !word.is_empty())
        .collect();
    let is_between = |word: &&str| BETWEEN.contains(&word.to_lowercase().as_str());
    let lead = words.iter().take_while(|word| is_between(word)).count();
    let words = &words[lead..];
    for at in [2, 1] {
        let Some(behind) = words.len().checked_sub(at).filter(|rest| *rest > 0) else {
            continue;
        };
        for (load, standard) in [
            (&words[..at], &words[at..]),
            (&words[behind..], &words[..behind]),
        ] {
            let names = standard.iter().copied().filter(|word| !is_between(word));
            let named = names.collect::<Vec<_>>().join(" ");
            if let (Some(load), Some(standard)) = (load_of(&load.join(" ")), only(&named)) {
                return Some(Rated { load, standard });
            }
        }
    }
    None
}

/// The one standard that a text names.
fn only(text: &str) -> Option<WrittenStandard> {
    match standards_in(text).as_slice() {
        [one] if one.is_numbered() && one.rest.is_empty() => Some(one.clone()),
        _ => None,
    }
}

/// A mass or a force above nothing, as the register writes it.
pub(super) fn load_of(text: &str) -> Option<String> {
    let mass = EnteredMass::read(text, None).ok();
    let mass = mass.filter(|mass| mass.value() > 0.0);
    let force = || EnteredForce::read(text, None).ok();
    mass.map(|mass| mass.to_string()).or_else(|| {
        let force = force().filter(|force| force.value() > 0.0);
        force.map(|force| force.to_string())
    })
}

impl Rated {
    /// The load.
    pub(super) fn load(&self) -> &str {
        &self.load
    }

    /// Whether it is the load of an approval: of its standard, and of its class where both name one.
    fn is_of(&self, approval: &ApprovalDraft) -> bool {
        let (ours, theirs) = (&self.standard.class, &approval.class);
        let is_open = ours.is_empty() || theirs.is_empty();
        same_standard(&self.standard.standard, &approval.standard)
            && (is_open || same_class(Some(ours), Some(theirs)))
    }
}

/// Puts a load to an approval; whether such gear can have it was asked before it came here.
pub(super) fn rate(approval: &mut ApprovalDraft, load: &str) {
    load.clone_into(&mut approval.rated_load);
    load.clone_into(&mut approval.confirmed);
}

/// Puts each load to its approval. What is of none of them is handed back, to be kept otherwise.
pub(super) fn put(rated: &[Rated], approvals: &mut [ApprovalDraft]) -> Vec<String> {
    let mut left = Vec::new();
    for one in rated {
        let mut own: Vec<&mut ApprovalDraft> = approvals
            .iter_mut()
            .filter(|approval| one.is_of(approval))
            .collect();
        match own.as_mut_slice() {
            [] => left.push(text(std::slice::from_ref(one))),
            own => {
                for approval in own {
                    rate(approval, &one.load);
                }
            }
        }
    }
    left
}

/// How a load for each of these standards would be written, the first with the load that is known.
pub(super) fn example(load: &str, standards: &[String]) -> String {
    match standards {
        [one, other, ..] => format!("{load} to {one}; 250 kg to {other}"),
        _ => SUCH_AS.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_load_is_read_with_its_standard() {
        for line in [
            "150 kg to EN 341 A; 250 kg to EN 12841 C",
            "EN 341 A: 150 kg; EN 12841 C: 250 kg",
            "EN 341 A 150kg, EN 12841 C 250kg",
            "150 kg (EN 341 A) and 250 kg (EN 12841 C)",
            "max 150 kg under EN 341 class A\n250 kg for EN 12841 type C",
        ] {
            let read = read(line).unwrap_or_else(|| panic!("{line}"));
            assert_eq!(
                text(&read),
                "150 kg to EN 341 class A; 250 kg to EN 12841 class C",
                "{line}"
            );
        }
    }

    #[test]
    fn an_edition_stays_with_its_standard() {
        let read = read("EN 341:2011 A: 150 kg").unwrap();
        assert_eq!(text(&read), "150 kg to EN 341:2011 class A");
    }

    #[test]
    fn a_load_goes_to_its_approval_however_both_are_spelt() {
        let approval = |standard: &str, class: &str| ApprovalDraft {
            standard: standard.to_owned(),
            class: class.to_owned(),
            ..ApprovalDraft::default()
        };
        let rated = read("150 kg to EN 341 A; 250 kg to BS EN 12841 type C").unwrap();
        let mut approvals = [
            approval("BS EN 341", "type A"),
            approval("EN12841", "C"),
            approval("EN 12841", "B"),
        ];
        assert_eq!(put(&rated, &mut approvals), Vec::<String>::new());
        let loads = approvals.each_ref().map(|one| one.rated_load.as_str());
        assert_eq!(loads, ["150 kg", "250 kg", ""]);
    }

    #[test]
    fn what_names_no_standard_or_two_is_none_of_these() {
        for line in [
            "150 kg",
            "150 kg / 250 kg",
            "EN 341 A",
            "150 kg to EN 341; 250 kg",
            "150 kg to EN 341 EN 12841",
            "0 kg to EN 341",
            "150 to EN 341",
            "",
        ] {
            assert_eq!(read(line), None, "{line}");
        }
    }
}
