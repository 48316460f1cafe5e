//! Every template renders with every sample, is well-formed, and lets no typed text break out.

use std::collections::BTreeSet;

use ropeloft::view::{PROBE, samples};

use crate::source::sources;

/// Elements that have no end tag.
const VOID: [&str; 8] = ["br", "hr", "img", "input", "link", "meta", "source", "wbr"];

struct Tag {
    name: String,
    closes: bool,
    closed: bool,
    attributes: String,
}

/// The tags of a page in order; what stands in a script or a comment is none of ours.
fn tags(html: &str) -> Vec<Tag> {
    let mut tags = Vec::new();
    let mut rest = html;
    while let Some(at) = rest.find('<') {
        rest = &rest[at + 1..];
        if rest.starts_with('!') {
            continue;
        }
        let mut quoted = false;
        let end = rest
            .char_indices()
            .find(|(_, c)| {
                quoted ^= *c == '"';
                *c == '>' && !quoted
            })
            .map(|(at, _)| at)
            .expect("a tag ends");
        let text = &rest[..end];
        rest = &rest[end..];
        let closes = text.starts_with('/');
        let text = text.trim_start_matches('/');
        let name_end = text
            .find(|c: char| c.is_whitespace() || c == '/')
            .unwrap_or(text.len());
        tags.push(Tag {
            name: text[..name_end].to_ascii_lowercase(),
            closes,
            closed: text.ends_with('/'),
            attributes: text[name_end..].to_owned(),
        });
    }
    tags
}

fn attribute<'a>(tag: &'a Tag, name: &str) -> Option<&'a str> {
    let from = tag.attributes.find(&format!(" {name}=\""))? + name.len() + 3;
    tag.attributes[from..].split('"').next()
}

#[test]
fn every_sample_is_well_formed() {
    for sample in samples() {
        let mut open: Vec<String> = Vec::new();
        for tag in tags(&sample.html) {
            if tag.closes {
                assert_eq!(
                    open.pop().as_deref(),
                    Some(tag.name.as_str()),
                    "{}: </{}> closes something else",
                    sample.template,
                    tag.name
                );
            } else if !tag.closed && !VOID.contains(&tag.name.as_str()) {
                open.push(tag.name);
            }
        }
        assert!(open.is_empty(), "{}: {open:?} stay open", sample.template);
    }
}

#[test]
fn no_typed_text_breaks_out() {
    for sample in samples() {
        assert!(
            !sample.html.contains(PROBE) && !sample.html.contains("<script>alert"),
            "{} lets typed text out unescaped",
            sample.template
        );
    }
}

#[test]
fn ids_are_unique_and_what_names_an_id_finds_it() {
    for sample in samples() {
        let tags = tags(&sample.html);
        let mut ids = BTreeSet::new();
        for tag in &tags {
            if let Some(id) = attribute(tag, "id") {
                assert!(ids.insert(id), "{}: two ids {id}", sample.template);
            }
        }
        for tag in &tags {
            for name in ["for", "aria-describedby", "aria-labelledby"] {
                for id in attribute(tag, name)
                    .into_iter()
                    .flat_map(str::split_whitespace)
                {
                    assert!(
                        ids.contains(id),
                        "{}: {name}=\"{id}\" finds nothing",
                        sample.template
                    );
                }
            }
        }
    }
}

#[test]
fn every_input_has_a_label_and_every_page_a_heading() {
    for sample in samples() {
        let tags = tags(&sample.html);
        let labelled: BTreeSet<&str> = tags
            .iter()
            .filter(|tag| tag.name == "label")
            .filter_map(|tag| attribute(tag, "for"))
            .collect();
        let mut inside = false;
        for tag in &tags {
            if tag.name == "label" {
                inside = !tag.closes;
            }
            let is_input = ["input", "select", "textarea"].contains(&tag.name.as_str())
                && !tag.closes
                && !["hidden", "submit"].contains(&attribute(tag, "type").unwrap_or(""));
            let has_label = inside
                || attribute(tag, "id").is_some_and(|id| labelled.contains(id))
                || attribute(tag, "aria-label").is_some();
            assert!(
                !is_input || has_label,
                "{}: no label for{}",
                sample.template,
                tag.attributes
            );
        }
        let headings = tags.iter().filter(|tag| tag.name == "h1" && !tag.closes);
        assert_eq!(headings.count(), 1, "{}: one h1", sample.template);
        let mains = tags.iter().filter(|tag| tag.name == "main" && !tag.closes);
        assert_eq!(mains.count(), 1, "{}: one main", sample.template);
    }
}

#[test]
fn every_page_has_a_sample() {
    let sampled: BTreeSet<&str> = samples().iter().map(|sample| sample.template).collect();
    let missing: Vec<String> = sources("templates", &[".html"])
        .iter()
        .filter(|source| source.text.contains("{% extends"))
        .filter_map(|source| source.path.strip_prefix("templates/").map(str::to_owned))
        .filter(|path| !sampled.contains(path.as_str()))
        .collect();
    assert!(
        missing.is_empty(),
        "no sample in view::samples: {missing:?}"
    );
}
