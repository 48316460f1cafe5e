//! Reads what was typed into a sheet, and brings the faults of the sheet back to the fields of the form.

use serde::de::DeserializeOwned;

use super::{ElementDraft, RigDraft, RopeDraft};
use crate::domain::entered::{EnteredLength, LengthUnit, split_number};
use crate::domain::rating::word as word_of;
use crate::domain::{FieldErrors, fault_fields};
use crate::rigging::{
    Angle, BodySheet, BridleSheet, ChainSheet, Duty, ElementSheet, Faults, LegSheet, Length,
    LineSheet, PositionSheet, Rig, RopeSheet, Sheet, TripodSheet,
};

impl RigDraft {
    /// The rig that was typed in, with its sheet.
    ///
    /// # Errors
    /// Every field that does not hold; where all do, what is wrong with how they go together, at its place.
    pub fn check(&self) -> Result<Rig, FieldErrors> {
        let sheet = self.sheet()?;
        Rig::from_sheet(sheet).map_err(|faults| self.fields_of(&faults))
    }

    /// The sheet that was typed in, without looking whether it is a rig.
    ///
    /// # Errors
    /// Every number and word that cannot be read.
    pub fn sheet(&self) -> Result<Sheet, FieldErrors> {
        let mut wrong = FieldErrors::default();
        let limits = self.limits.lines().map(str::trim);
        let sheet = Sheet {
            key: text(&self.key),
            title: text(&self.title),
            when: text(&self.when),
            limits: limits.filter(|line| !line.is_empty()).map(text).collect(),
            only_lowers: ticked(&self.only_lowers),
            bodies: self.bodies(&mut wrong),
            positions: self.positions(&mut wrong),
            ropes: rows(&self.rope, |at, rope| rope.sheet(at, &mut wrong)),
            chains: rows(&self.chain, |_, chain| {
                let (carries_body, carries_position) = carried(&chain.carries);
                Some(ChainSheet {
                    carries_body,
                    carries_position,
                    positions: names(&chain.positions),
                })
            }),
            bridles: self.bridles(&mut wrong),
            lines: self.lines(&mut wrong),
            tripods: rows(&self.tripod, |at, tripod| {
                let field = format!("tripod[{at}][leg_degrees]");
                Some(TripodSheet {
                    position: text(&tripod.position),
                    leg_degrees: angle(&mut wrong, &field, &tripod.leg_degrees)?,
                })
            }),
        };
        wrong.or(|| sheet)
    }

    fn bodies(&self, wrong: &mut FieldErrors) -> Vec<BodySheet> {
        rows(&self.body, |at, body| {
            let field = |part: &str| format!("body[{at}][{part}]");
            let kind = word(wrong, &field("kind"), &body.kind);
            let line = maybe_angle(wrong, &field("line_degrees"), &body.line_degrees);
            Some(BodySheet {
                key: text(&body.key),
                title: text(&body.title),
                kind: kind?,
                line_degrees: line,
            })
        })
    }

    fn positions(&self, wrong: &mut FieldErrors) -> Vec<PositionSheet> {
        rows(&self.position, |at, position| {
            let field = format!("position[{at}][loaded]");
            Some(PositionSheet {
                key: text(&position.key),
                title: text(&position.title),
                accepts: names(&position.accepts),
                loaded: word(wrong, &field, &position.loaded)?,
                body: maybe_text(&position.body),
                optional: ticked(&position.optional),
            })
        })
    }

    fn bridles(&self, wrong: &mut FieldErrors) -> Vec<BridleSheet> {
        rows(&self.bridle, |at, bridle| {
            let (carries_body, carries_position) = carried(&bridle.carries);
            let legs = rows(&bridle.leg, |leg_at, leg| {
                let field = format!("bridle[{at}][leg][{leg_at}][off_degrees]");
                Some(LegSheet {
                    off_degrees: angle(wrong, &field, &leg.off_degrees)?,
                    positions: names(&leg.positions),
                })
            });
            Some(BridleSheet {
                carries_body,
                carries_position,
                legs,
            })
        })
    }

    fn lines(&self, wrong: &mut FieldErrors) -> Vec<LineSheet> {
        rows(&self.line, |at, line| {
            let field = |part: &str| format!("line[{at}][{part}]");
            let (carries_body, carries_position) = carried(&line.carries);
            let span = length(wrong, &field("span_metres"), &line.span_metres);
            let sag = length(wrong, &field("sag_metres"), &line.sag_metres);
            let given = line.from_first_metres.trim();
            let from_first = match given {
                "" => None,
                given => length(wrong, &field("from_first_metres"), given),
            };
            Some(LineSheet {
                carries_body,
                carries_position,
                span_metres: span?,
                sag_metres: sag?,
                from_first_metres: from_first,
                first: names(&line.first),
                second: names(&line.second),
            })
        })
    }

    /// The faults of the draft's sheet under the names of its fields.
    pub fn fields_of(&self, faults: &Faults) -> FieldErrors {
        let mut wrong = fault_fields(faults);
        for error in &mut wrong.0 {
            error.field = self.field_of(&error.field);
        }
        wrong
    }

    /// The field of the form for a field of the sheet: what is one choice here is two fields there.
    fn field_of(&self, field: &str) -> String {
        if field.starts_with("limits") {
            return "limits".to_owned();
        }
        let Some((row, last)) = field
            .strip_suffix(']')
            .and_then(|field| field.rsplit_once('['))
        else {
            return field.to_owned();
        };
        match last {
            "carries_body" | "carries_position" => format!("{row}[carries]"),
            "body" | "position" if self.is_end(row) => format!("{row}[tied]"),
            _ => field.to_owned(),
        }
    }

    /// Whether `rope[0][path][2]` is a made end.
    fn is_end(&self, row: &str) -> bool {
        let element = || {
            let numbers = row.strip_prefix("rope[")?.strip_suffix(']')?;
            let (rope, element) = numbers.split_once("][path][")?;
            let rope = self.rope.get(rope.parse::<usize>().ok()?)?;
            rope.path.get(element.parse::<usize>().ok()?)
        };
        element().is_some_and(|element| element.meets == "end")
    }
}

impl RopeDraft {
    fn sheet(&self, at: usize, wrong: &mut FieldErrors) -> Option<RopeSheet> {
        let duty = match self.duty.trim() {
            "" => Some(Duty::Main),
            duty => word(wrong, &format!("rope[{at}][duty]"), duty),
        };
        let path = rows(&self.path, |element_at, element| {
            element.sheet(&format!("rope[{at}][path][{element_at}]"), wrong)
        });
        Some(RopeSheet {
            position: text(&self.position),
            duty: duty?,
            path,
        })
    }
}

impl ElementDraft {
    fn sheet(&self, row: &str, wrong: &mut FieldErrors) -> Option<ElementSheet> {
        let field = |part: &str| format!("{row}[{part}]");
        let position = text(&self.position);
        match self.meets.trim() {
            "hand" => Some(ElementSheet::Hand {}),
            "sheave" => {
                let between = maybe_angle(wrong, &field("between_degrees"), &self.between_degrees);
                Some(ElementSheet::Sheave {
                    position,
                    sheave: number(wrong, &field("sheave"), &self.sheave),
                    between_degrees: between,
                    capture: ticked(&self.capture),
                })
            }
            "post" => Some(ElementSheet::Post {
                position,
                wrap_degrees: angle(wrong, &field("wrap_degrees"), &self.wrap_degrees)?,
                off_in_hauling: ticked(&self.off_in_hauling),
            }),
            "capture" => Some(ElementSheet::Capture { position }),
            "grab" => Some(ElementSheet::Grab { position }),
            "end" => {
                let becket = self.tied.trim().strip_prefix("becket:");
                let (body, position) = match becket {
                    Some(position) => (None, Some(position.to_owned())),
                    None => carried(&self.tied),
                };
                Some(ElementSheet::End {
                    position,
                    body,
                    becket: becket.is_some(),
                    knot: text(&self.knot),
                })
            }
            _ => {
                let sentence = "Choose what the rope meets here, or remove this row.";
                wrong.add(field("meets"), "choice", sentence);
                None
            }
        }
    }
}

/// The sheet of every row; one that cannot be read is noted, and the whole is not used.
fn rows<T, U>(drafts: &[T], mut read: impl FnMut(usize, &T) -> Option<U>) -> Vec<U> {
    let rows = drafts.iter().enumerate();
    rows.filter_map(|(at, draft)| read(at, draft)).collect()
}

fn text(typed: &str) -> String {
    typed.trim().to_owned()
}

fn maybe_text(typed: &str) -> Option<String> {
    Some(text(typed)).filter(|text| !text.is_empty())
}

fn ticked(typed: &str) -> bool {
    matches!(typed.trim(), "yes" | "on" | "true")
}

/// Names with commas between.
fn names(typed: &str) -> Vec<String> {
    let names = typed.split(',').map(str::trim);
    names
        .filter(|name| !name.is_empty())
        .map(str::to_owned)
        .collect()
}

/// A body or a position that is carried or tied to.
fn carried(typed: &str) -> (Option<String>, Option<String>) {
    match typed.trim().split_once(':') {
        Some(("body", key)) => (Some(key.to_owned()), None),
        Some(("position", key)) => (None, Some(key.to_owned())),
        _ => (None, None),
    }
}

/// One of the words that a field takes.
fn word<T: DeserializeOwned>(wrong: &mut FieldErrors, field: &str, typed: &str) -> Option<T> {
    let word = word_of(typed);
    if word.is_none() {
        let given: String = typed.trim().chars().take(60).collect();
        let sentence = match given.as_str() {
            "" => "Choose one from the list.".to_owned(),
            given => format!("Choose one from the list, not \"{given}\"."),
        };
        wrong.add(field, "choice", sentence);
    }
    word
}

fn maybe_angle(wrong: &mut FieldErrors, field: &str, typed: &str) -> Option<Angle> {
    match typed.trim() {
        "" => None,
        typed => angle(wrong, field, typed),
    }
}

/// An angle in degrees, with its sign or without.
fn angle(wrong: &mut FieldErrors, field: &str, typed: &str) -> Option<Angle> {
    let read = split_number(typed).filter(|(_, unit)| {
        matches!(
            unit.to_lowercase().as_str(),
            "" | "°" | "deg" | "degree" | "degrees"
        )
    });
    let Some((degrees, _)) = read else {
        let given: String = typed.trim().chars().take(60).collect();
        let sentence = format!("Write an angle in degrees, such as 30, not \"{given}\".");
        wrong.add(field, "number", sentence);
        return None;
    };
    let angle = Angle::from_degrees(degrees);
    wrong.keep(
        field,
        "range",
        angle.map_err(|error| format!("The {error}.")),
    )
}

/// A length; in metres if no unit is written.
fn length(wrong: &mut FieldErrors, field: &str, typed: &str) -> Option<Length> {
    let length = EnteredLength::read(typed, Some(LengthUnit::Metre));
    wrong
        .keep(field, "unit", length)
        .map(EnteredLength::quantity)
}

/// The number of a sheave; nothing if it is left empty.
fn number(wrong: &mut FieldErrors, field: &str, typed: &str) -> Option<u8> {
    let typed = typed.trim();
    if typed.is_empty() {
        return None;
    }
    let number = typed.parse().ok();
    if number.is_none() {
        let given: String = typed.chars().take(60).collect();
        let sentence = format!("Write the number of the sheave, 1 or more, not \"{given}\".");
        wrong.add(field, "number", sentence);
    }
    number
}
