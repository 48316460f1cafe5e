//! A sheet as it would be typed.

use super::{
    BodyDraft, BridleDraft, ChainDraft, ElementDraft, LegDraft, LineDraft, PositionDraft, RigDraft,
    RopeDraft, TripodDraft,
};
use crate::domain::key_of;
use crate::rigging::{Angle, BodySheet, ElementSheet, Length, PositionSheet, Sheet};

impl From<&Sheet> for RigDraft {
    fn from(sheet: &Sheet) -> Self {
        let ropes = sheet.ropes.iter().map(|rope| RopeDraft {
            position: rope.position.clone(),
            duty: key_of(rope.duty),
            path: rope.path.iter().map(ElementDraft::from).collect(),
        });
        let chains = sheet.chains.iter().map(|chain| ChainDraft {
            carries: carries(chain.carries_body.as_ref(), chain.carries_position.as_ref()),
            positions: chain.positions.join(", "),
        });
        let bridles = sheet.bridles.iter().map(|bridle| BridleDraft {
            carries: carries(
                bridle.carries_body.as_ref(),
                bridle.carries_position.as_ref(),
            ),
            leg: bridle
                .legs
                .iter()
                .map(|leg| LegDraft {
                    off_degrees: degrees(Some(leg.off_degrees)),
                    positions: leg.positions.join(", "),
                })
                .collect(),
        });
        let lines = sheet.lines.iter().map(|line| LineDraft {
            carries: carries(line.carries_body.as_ref(), line.carries_position.as_ref()),
            span_metres: metres(Some(line.span_metres)),
            sag_metres: metres(Some(line.sag_metres)),
            from_first_metres: metres(line.from_first_metres),
            first: line.first.join(", "),
            second: line.second.join(", "),
        });
        let tripods = sheet.tripods.iter().map(|tripod| TripodDraft {
            position: tripod.position.clone(),
            leg_degrees: degrees(Some(tripod.leg_degrees)),
        });
        Self {
            key: sheet.key.clone(),
            title: sheet.title.clone(),
            when: sheet.when.clone(),
            limits: sheet.limits.join("\n"),
            only_lowers: yes(sheet.only_lowers),
            body: sheet.bodies.iter().map(BodyDraft::from).collect(),
            position: sheet.positions.iter().map(PositionDraft::from).collect(),
            rope: ropes.collect(),
            chain: chains.collect(),
            bridle: bridles.collect(),
            line: lines.collect(),
            tripod: tripods.collect(),
        }
    }
}

impl From<&BodySheet> for BodyDraft {
    fn from(body: &BodySheet) -> Self {
        Self {
            key: body.key.clone(),
            title: body.title.clone(),
            kind: key_of(body.kind),
            line_degrees: degrees(body.line_degrees),
        }
    }
}

impl From<&PositionSheet> for PositionDraft {
    fn from(position: &PositionSheet) -> Self {
        Self {
            key: position.key.clone(),
            title: position.title.clone(),
            accepts: position.accepts.join(", "),
            loaded: key_of(position.loaded),
            body: position.body.clone().unwrap_or_default(),
            optional: yes(position.optional),
        }
    }
}

impl From<&ElementSheet> for ElementDraft {
    fn from(sheet: &ElementSheet) -> Self {
        let met = |meets: &str, position: &str| Self {
            meets: meets.to_owned(),
            position: position.to_owned(),
            ..Self::default()
        };
        match sheet {
            ElementSheet::Hand {} => met("hand", ""),
            ElementSheet::Sheave {
                position,
                sheave,
                between_degrees,
                capture,
            } => Self {
                sheave: sheave.map_or_else(String::new, |sheave| sheave.to_string()),
                between_degrees: degrees(*between_degrees),
                capture: yes(*capture),
                ..met("sheave", position)
            },
            ElementSheet::Post {
                position,
                wrap_degrees,
                off_in_hauling,
            } => Self {
                wrap_degrees: degrees(Some(*wrap_degrees)),
                off_in_hauling: yes(*off_in_hauling),
                ..met("post", position)
            },
            ElementSheet::Capture { position } => met("capture", position),
            ElementSheet::Grab { position } => met("grab", position),
            ElementSheet::End {
                position,
                body,
                becket,
                knot,
            } => Self {
                tied: match (position, body) {
                    (Some(position), _) if *becket => format!("becket:{position}"),
                    _ => carries(body.as_ref(), position.as_ref()),
                },
                knot: knot.clone(),
                ..met("end", "")
            },
        }
    }
}

/// A body or a position as one choice; nothing if neither or both are named.
fn carries(body: Option<&String>, position: Option<&String>) -> String {
    match (body, position) {
        (Some(body), None) => format!("body:{body}"),
        (None, Some(position)) => format!("position:{position}"),
        _ => String::new(),
    }
}

fn yes(is: bool) -> String {
    if is { "yes" } else { "" }.to_owned()
}

fn degrees(angle: Option<Angle>) -> String {
    angle.map_or_else(String::new, |angle| angle.degrees().to_string())
}

fn metres(length: Option<Length>) -> String {
    length.map_or_else(String::new, |length| length.metres().to_string())
}
