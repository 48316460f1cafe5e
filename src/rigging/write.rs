//! Writes a rig back as the sheet that it would be read from.

use serde::Serialize;
use toml::ser::ValueSerializer;

use super::Carried;
use super::{
    Angle, Body, BodyKind, BodySheet, Bridle, BridleSheet, Chain, ChainSheet, Element,
    ElementSheet, LegSheet, LineSheet, Position, PositionSheet, Rig, Rope, RopeSheet, Sheet, Span,
    Tripod, TripodSheet,
};

impl Rig {
    /// The sheet of the rig. Read again, it gives the same rig.
    pub fn sheet(&self) -> Sheet {
        let bridles = || self.bridles.iter();
        Sheet {
            key: self.key.clone(),
            title: self.title.clone(),
            when: self.when.clone(),
            limits: self.limits.clone(),
            only_lowers: self.only_lowers,
            bodies: self.bodies.iter().map(body).collect(),
            positions: self
                .positions
                .iter()
                .map(|at| self.position_sheet(at))
                .collect(),
            ropes: self
                .ropes
                .iter()
                .map(|rope| self.rope_sheet(rope))
                .collect(),
            chains: self
                .chains
                .iter()
                .map(|chain| self.chain_sheet(chain))
                .collect(),
            bridles: bridles()
                .filter(|bridle| bridle.span.is_none())
                .map(|bridle| self.bridle_sheet(bridle))
                .collect(),
            lines: bridles()
                .filter_map(|bridle| Some(self.line_sheet(bridle, bridle.span?)))
                .collect(),
            tripods: self
                .tripods
                .iter()
                .map(|tripod| self.tripod_sheet(tripod))
                .collect(),
        }
    }

    /// The sheet of the rig as TOML.
    pub fn sheet_text(&self) -> String {
        self.sheet().to_toml()
    }

    fn position_sheet(&self, position: &Position) -> PositionSheet {
        PositionSheet {
            key: position.key.clone(),
            title: position.title.clone(),
            accepts: position.accepts.clone(),
            loaded: position.loaded,
            body: position.body.map(|body| self.bodies[body].key.clone()),
            optional: position.optional,
        }
    }

    fn rope_sheet(&self, rope: &Rope) -> RopeSheet {
        RopeSheet {
            position: self.key_of(rope.position),
            duty: rope.duty,
            path: rope
                .path
                .iter()
                .map(|element| self.element_sheet(element))
                .collect(),
        }
    }

    fn element_sheet(&self, element: &Element) -> ElementSheet {
        match *element {
            Element::Hand => ElementSheet::Hand {},
            Element::Sheave {
                position,
                sheave,
                between,
                capture,
            } => ElementSheet::Sheave {
                position: self.key_of(position),
                sheave: Some(sheave),
                between_degrees: turned(between),
                capture,
            },
            Element::Post {
                position,
                wrap,
                off_in_hauling,
            } => ElementSheet::Post {
                position: self.key_of(position),
                wrap_degrees: wrap,
                off_in_hauling,
            },
            Element::Capture { position } => ElementSheet::Capture {
                position: self.key_of(position),
            },
            Element::Grab { position } => ElementSheet::Grab {
                position: self.key_of(position),
            },
            Element::End {
                body,
                position,
                becket,
                ref knot,
            } => ElementSheet::End {
                position: position.map(|position| self.key_of(position)),
                body: position.is_none().then(|| self.bodies[body].key.clone()),
                becket,
                knot: knot.clone(),
            },
        }
    }

    fn chain_sheet(&self, chain: &Chain) -> ChainSheet {
        let (carries_body, carries_position) = self.carried(chain.carries);
        ChainSheet {
            carries_body,
            carries_position,
            positions: self.keys_of(&chain.positions),
        }
    }

    fn bridle_sheet(&self, bridle: &Bridle) -> BridleSheet {
        let (carries_body, carries_position) = self.carried(bridle.carries);
        let legs = bridle.legs.iter().map(|leg| LegSheet {
            off_degrees: leg.off,
            positions: self.keys_of(&leg.positions),
        });
        BridleSheet {
            carries_body,
            carries_position,
            legs: legs.collect(),
        }
    }

    /// A line has two legs: the first and the second side.
    fn line_sheet(&self, bridle: &Bridle, span: Span) -> LineSheet {
        let (carries_body, carries_position) = self.carried(bridle.carries);
        let side = |leg: usize| self.keys_of(&bridle.legs[leg].positions);
        LineSheet {
            carries_body,
            carries_position,
            span_metres: span.across,
            sag_metres: span.sag,
            from_first_metres: Some(span.from_first),
            first: side(0),
            second: side(1),
        }
    }

    fn tripod_sheet(&self, tripod: &Tripod) -> TripodSheet {
        TripodSheet {
            position: self.key_of(tripod.position),
            leg_degrees: tripod.off,
        }
    }

    fn carried(&self, carried: Carried) -> (Option<String>, Option<String>) {
        match carried {
            Carried::Body(body) => (Some(self.bodies[body].key.clone()), None),
            Carried::Position(position) => (None, Some(self.key_of(position))),
        }
    }

    fn key_of(&self, position: usize) -> String {
        self.positions[position].key.clone()
    }

    fn keys_of(&self, positions: &[usize]) -> Vec<String> {
        positions
            .iter()
            .map(|&position| self.key_of(position))
            .collect()
    }
}

fn body(body: &Body) -> BodySheet {
    BodySheet {
        key: body.key.clone(),
        title: body.title.clone(),
        kind: body.kind,
        line_degrees: turned(body.line).filter(|_| body.kind == BodyKind::Travelling),
    }
}

/// An angle that says more than being left out would.
fn turned(angle: Angle) -> Option<Angle> {
    (angle != Angle::NONE).then_some(angle)
}

impl Sheet {
    /// The sheet as TOML, in the order and layout of the sheets that come with the program: what a rope
    /// meets on a line each.
    pub fn to_toml(&self) -> String {
        let mut text = Text::default();
        text.line("key", &self.key);
        text.line("title", &self.title);
        text.line("when", &self.when);
        text.list("limits", &self.limits);
        text.line_if("only_lowers", self.only_lowers.then_some(true));
        for body in &self.bodies {
            text.table("body", body);
        }
        for position in &self.positions {
            text.table("position", position);
        }
        for rope in &self.ropes {
            text.head("rope");
            text.line("position", &rope.position);
            text.line_if(
                "duty",
                Some(rope.duty).filter(|duty| *duty != super::Duty::Main),
            );
            text.list("path", &rope.path);
        }
        for chain in &self.chains {
            text.table("chain", chain);
        }
        for bridle in &self.bridles {
            text.head("bridle");
            text.line_if("carries_body", bridle.carries_body.as_ref());
            text.line_if("carries_position", bridle.carries_position.as_ref());
            for leg in &bridle.legs {
                text.table("bridle.leg", leg);
            }
        }
        for line in &self.lines {
            text.table("line", line);
        }
        for tripod in &self.tripods {
            text.table("tripod", tripod);
        }
        text.0
    }
}

/// A TOML text that is being written.
#[derive(Default)]
struct Text(String);

impl Text {
    fn line(&mut self, name: &str, value: &impl Serialize) {
        let value = inline(value);
        self.0.extend([name, " = ", &value, "\n"]);
    }

    fn line_if(&mut self, name: &str, value: Option<impl Serialize>) {
        if let Some(value) = value {
            self.line(name, &value);
        }
    }

    /// A list with an entry on each line.
    fn list(&mut self, name: &str, entries: &[impl Serialize]) {
        let entries = entries
            .iter()
            .map(|entry| format!("    {},\n", inline(entry)));
        let entries: String = entries.collect();
        let between = if entries.is_empty() { "" } else { "\n" };
        self.0.extend([name, " = [", between, &entries, "]\n"]);
    }

    fn head(&mut self, name: &str) {
        self.0.extend(["\n[[", name, "]]\n"]);
    }

    /// A table of fields that are values or lists of values.
    fn table(&mut self, name: &str, table: &impl Serialize) {
        self.head(name);
        let fields =
            toml::to_string(table).expect("a sheet holds texts, numbers and lists of them");
        self.0.push_str(&fields);
    }
}

/// A value on one line.
fn inline(value: &impl Serialize) -> String {
    let mut text = String::new();
    let written = value.serialize(ValueSerializer::new(&mut text));
    written.expect("a sheet holds texts, numbers and tables of them");
    text
}
