//! The parts of the editor's form: what each row of a rig has for fields.

use super::row::{Rows, RowsOf};
use crate::{
    domain::{ElementDraft, RigDraft, RopeDraft, key_of},
    rigging::{BodyKind, Duty, LoadingMode, knots},
    view::{
        attribute::keeping,
        form::{Choices, Field, Form},
    },
};

/// How many fields of a position stand in sight: what goes there, and its kinds.
const FIRST_OF_POSITION: usize = 2;

/// The lists of a draft as rows.
pub(super) fn lists(form: &Form, action: &str, draft: &RigDraft) -> Vec<Rows> {
    let names = Names::of(draft);
    let made = Lists {
        form,
        action,
        draft,
        names,
    };
    // Who starts from another rig changes names and kinds first: the rest is folded away until it is wanted. A sheet
    // whose ropes meet no item yet is written from blank.
    let mut met = draft.rope.iter().flat_map(|rope| &rope.path);
    let is_blank = met.all(|element| element.position.trim().is_empty());
    vec![
        made.positions(),
        made.bodies().folded(is_blank),
        made.ropes().folded(is_blank),
        made.chains().folded(is_blank),
        made.bridles().folded(is_blank),
        made.lines().folded(is_blank),
        made.tripods().folded(is_blank),
    ]
}

/// What may be chosen: the bodies and positions of the draft.
struct Names {
    bodies: Choices,
    positions: Choices,
}

impl Names {
    fn of(draft: &RigDraft) -> Self {
        let named = |key: &str, title: &str| {
            let words = if title.trim().is_empty() { key } else { title };
            (key.to_owned(), words.to_owned())
        };
        let bodies = draft.body.iter();
        let positions = draft.position.iter();
        Self {
            bodies: bodies.map(|body| named(&body.key, &body.title)).collect(),
            positions: positions.map(|at| named(&at.key, &at.title)).collect(),
        }
    }

    /// A body or the item at a position, as one choice; for an end also the becket of one.
    fn carried(&self, beckets: bool) -> Choices {
        let prefixed = |prefix: &str, (key, words): &(String, String), what: &str| {
            (format!("{prefix}:{key}"), format!("{words}{what}"))
        };
        let bodies = self.bodies.iter();
        let positions = self.positions.iter();
        let mut all = choose();
        all.extend(bodies.map(|body| prefixed("body", body, " (body)")));
        all.extend(positions.clone().map(|at| prefixed("position", at, "")));
        if beckets {
            all.extend(positions.map(|at| prefixed("becket", at, ", its becket")));
        }
        all
    }
}

fn choose() -> Choices {
    vec![(String::new(), "Choose …".to_owned())]
}

fn with(first: Choices, rest: &Choices) -> Choices {
    first.into_iter().chain(rest.iter().cloned()).collect()
}

struct Lists<'a> {
    form: &'a Form,
    action: &'a str,
    draft: &'a RigDraft,
    names: Names,
}

impl Lists<'_> {
    fn list(&self, list: impl Into<String>, noun: &'static str) -> RowsOf<'_> {
        RowsOf::new(self.form, self.action, list, noun)
    }

    /// A choice that keeps what was typed, though it is none of the list.
    fn choice(&self, name: &str, label: &str, typed: &str, choices: Choices) -> Field {
        let choices = keeping(choices, typed);
        self.form.choice(name, label, typed, choices)
    }

    fn bodies(&self) -> Rows {
        let list = self.list("body", "body");
        let kinds = [
            (BodyKind::Anchor, "anchor: stands still"),
            (BodyKind::Travelling, "travelling: moves with the rope"),
            (BodyKind::Load, "the load"),
        ];
        let kinds = kinds.map(|(kind, words)| (key_of(kind), words.to_owned()));
        let rows = self.draft.body.iter().enumerate().map(|(at, body)| {
            let name = |part: &str| list.name(at, part);
            let kinds = with(choose(), &kinds.to_vec());
            let fields = vec![
                self.form
                    .line(&name("title"), "What it is", &body.title)
                    .must(),
                self.form.line(&name("key"), "Key", &body.key),
                self.choice(&name("kind"), "Kind", &body.kind, kinds),
                self.form
                    .number(
                        &name("line_degrees"),
                        "Off the line of the load",
                        &body.line_degrees,
                    )
                    .unit("degrees")
                    .only("travelling"),
            ];
            (body.title.clone(), fields, None)
        });
        let hint = "What ropes pull on, from the top down: of two bodies that a strand joins, the upper \
                    stands first. Just one is the load. A key has lower-case letters, digits and hyphens; where it \
                    is empty it is made from the name.";
        list.rows("Bodies", hint, rows.collect())
    }

    fn positions(&self) -> Rows {
        let list = self.list("position", "position");
        let modes = LoadingMode::ALL.map(|mode| (mode.key().to_owned(), mode.words().to_owned()));
        let rows = self
            .draft
            .position
            .iter()
            .enumerate()
            .map(|(at, position)| {
                let name = |part: &str| list.name(at, part);
                let nothing = vec![(String::new(), "none: a rope, or a link".to_owned())];
                let fields = vec![
                    self.form
                        .line(&name("title"), "What goes here", &position.title)
                        .must(),
                    self.form
                        .line(&name("accepts"), "Kinds of item", &position.accepts)
                        .must(),
                    self.form.tick(
                        &name("optional"),
                        "May stay empty",
                        !position.optional.is_empty(),
                    ),
                    self.form.line(&name("key"), "Key", &position.key),
                    self.choice(
                        &name("loaded"),
                        "Is loaded",
                        &position.loaded,
                        with(choose(), &modes.to_vec()),
                    ),
                    self.choice(
                        &name("body"),
                        "Is part of",
                        &position.body,
                        with(nothing, &self.names.bodies),
                    ),
                ];
                (position.title.clone(), fields, None)
            });
        let hint = "Each place that needs an item, the ropes among them. Kinds, with commas between: rope, \
                    pulley, rope clamp, connector, sling, anchor device, tripod, descender, swivel, rigging \
                    plate, harness, litter, lanyard.";
        list.rows("Positions", hint, rows.collect())
            .folding(FIRST_OF_POSITION, "Key, loading, body, place in the list")
    }

    fn ropes(&self) -> Rows {
        let list = self.list("rope", "rope");
        let duties = [
            (Duty::Main, "carries or moves the load"),
            (Duty::Belay, "belay: slack until it catches"),
            (Duty::Twin, "one of two that share the load"),
        ];
        let duties = duties.map(|(duty, words)| (key_of(duty), words.to_owned()));
        let rows = self.draft.rope.iter().enumerate().map(|(at, rope)| {
            let name = |part: &str| list.name(at, part);
            let positions = with(choose(), &self.names.positions);
            let fields = vec![
                self.choice(
                    &name("position"),
                    "Position of the rope",
                    &rope.position,
                    positions,
                ),
                self.choice(&name("duty"), "Is there to", &rope.duty, duties.to_vec()),
            ];
            (
                self.title_of(&rope.position),
                fields,
                Some(self.path(at, rope)),
            )
        });
        let hint = "Each rope with what it meets, one thing after the other, from the hand (or a made end, or a \
                    grab) to the end that is made fast.";
        list.rows("Ropes", hint, rows.collect())
    }

    fn title_of(&self, key: &str) -> String {
        let mut positions = self.names.positions.iter();
        let found = positions.find(|(other, _)| other == key);
        found.map(|(_, words)| words.clone()).unwrap_or_default()
    }

    fn path(&self, rope: usize, draft: &RopeDraft) -> Rows {
        let list = self.list(format!("rope[{rope}][path]"), "thing met");
        let rows = draft.path.iter().enumerate();
        let rows = rows.map(|(at, element)| {
            let fields = self.element(|part| list.name(at, part), element);
            (self.met(element), fields, None)
        });
        list.rows("What it meets, from the hand on", "", rows.collect())
    }

    fn met(&self, element: &ElementDraft) -> String {
        match element.meets.as_str() {
            "hand" => "the hand".to_owned(),
            "end" => "made end".to_owned(),
            _ => self.title_of(&element.position),
        }
    }

    fn element(&self, name: impl Fn(&str) -> String, element: &ElementDraft) -> Vec<Field> {
        let meets = [
            ("", "Choose …"),
            ("hand", "the hand"),
            ("sheave", "a sheave"),
            ("post", "a post, bar or brake"),
            ("capture", "a clamp that captures it"),
            ("grab", "a grab that holds on to it"),
            ("end", "its made end"),
        ];
        let meets = meets.map(|(key, words)| (key.to_owned(), words.to_owned()));
        let knots = knots()
            .iter()
            .map(|knot| (knot.key.clone(), knot.title.clone()));
        let knots = with(choose(), &knots.collect());
        let positions = with(choose(), &self.names.positions);
        let (form, item) = (self.form, "sheave post capture grab");
        vec![
            self.choice(&name("meets"), "Meets", &element.meets, meets.to_vec()),
            self.choice(&name("position"), "Position", &element.position, positions)
                .only(item),
            form.number(&name("sheave"), "Sheave number", &element.sheave)
                .only("sheave"),
            form.number(
                &name("between_degrees"),
                "Angle between the strands",
                &element.between_degrees,
            )
            .unit("degrees")
            .only("sheave"),
            form.tick(
                &name("capture"),
                "Captures the rope",
                !element.capture.is_empty(),
            )
            .only("sheave"),
            form.number(
                &name("wrap_degrees"),
                "Goes round it by",
                &element.wrap_degrees,
            )
            .unit("degrees")
            .only("post"),
            form.tick(
                &name("off_in_hauling"),
                "Taken off for hauling",
                !element.off_in_hauling.is_empty(),
            )
            .only("post"),
            self.choice(
                &name("tied"),
                "Tied to",
                &element.tied,
                self.names.carried(true),
            )
            .only("end"),
            self.choice(&name("knot"), "Knot", &element.knot, knots)
                .only("end"),
        ]
    }

    fn carries(&self, name: &str, typed: &str) -> Field {
        self.choice(name, "Carries", typed, self.names.carried(false))
    }

    fn row_of_positions(&self, name: &str, label: &str, typed: &str) -> Field {
        self.form.line(name, label, typed).must()
    }

    fn chains(&self) -> Rows {
        let list = self.list("chain", "chain");
        let rows = self.draft.chain.iter().enumerate().map(|(at, chain)| {
            let fields = vec![
                self.carries(&list.name(at, "carries"), &chain.carries),
                self.row_of_positions(
                    &list.name(at, "positions"),
                    "Positions in it",
                    &chain.positions,
                )
                .wide(),
            ];
            (String::new(), fields, None)
        });
        let hint = "Positions in line, each of which takes the whole force of what they carry: a body, or the \
                    item at a position. Keys of positions, with commas between.";
        list.rows("Chains", hint, rows.collect())
    }

    fn bridles(&self) -> Rows {
        let list = self.list("bridle", "bridle");
        let rows = self.draft.bridle.iter().enumerate().map(|(at, bridle)| {
            let legs = self.list(format!("bridle[{at}][leg]"), "leg");
            let rows = bridle.leg.iter().enumerate().map(|(leg_at, leg)| {
                let off = legs.name(leg_at, "off_degrees");
                let positions = legs.name(leg_at, "positions");
                let fields = vec![
                    self.form
                        .number(&off, "Off the line of the load", &leg.off_degrees)
                        .unit("degrees"),
                    self.row_of_positions(&positions, "Positions in it", &leg.positions),
                ];
                (String::new(), fields, None)
            });
            let legs = legs.rows("Legs, of two the first to the left", "", rows.collect());
            let fields = vec![self.carries(&list.name(at, "carries"), &bridle.carries)];
            (String::new(), fields, Some(legs))
        });
        let hint = "Two legs or more that carry an anchor, each off the line of the load by an angle that is \
                    measured.";
        list.rows("Bridles", hint, rows.collect())
    }

    fn lines(&self) -> Rows {
        let list = self.list("line", "line");
        let rows = self.draft.line.iter().enumerate().map(|(at, line)| {
            let name = |part: &str| list.name(at, part);
            let number = |part: &str, label: &str, typed: &str| {
                self.form.number(&name(part), label, typed).unit("m")
            };
            let fields = vec![
                self.carries(&name("carries"), &line.carries),
                number("span_metres", "Span", &line.span_metres),
                number("sag_metres", "Sag under load", &line.sag_metres),
                number(
                    "from_first_metres",
                    "From the first end to what it carries",
                    &line.from_first_metres,
                ),
                self.row_of_positions(&name("first"), "Positions at the first end", &line.first),
                self.row_of_positions(&name("second"), "Positions at the second end", &line.second),
            ];
            (String::new(), fields, None)
        });
        let hint = "A line across a span that carries an anchor. It pulls many times the load on its ends, and a \
                    job with it is refused until it says that a competent person has planned the line.";
        list.rows("Lines across a span", hint, rows.collect())
    }

    fn tripods(&self) -> Rows {
        let list = self.list("tripod", "tripod");
        let rows = self.draft.tripod.iter().enumerate().map(|(at, tripod)| {
            let name = |part: &str| list.name(at, part);
            let positions = with(choose(), &self.names.positions);
            let fields = vec![
                self.choice(&name("position"), "Stands at", &tripod.position, positions),
                self.form
                    .number(
                        &name("leg_degrees"),
                        "Legs off the upright",
                        &tripod.leg_degrees,
                    )
                    .unit("degrees"),
            ];
            (String::new(), fields, None)
        });
        let hint = "A tripod at a position of a chain that an anchor hangs in.";
        list.rows("Tripods", hint, rows.collect())
    }
}
