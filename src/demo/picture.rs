//! The photos of the demo: drawn here, pixel by pixel, so that they are nobody's and the same at every run.

use std::{io::Cursor, sync::LazyLock};

use image::{ImageFormat, Rgb, RgbImage};
use serde::Deserialize;

use super::DemoError;
use crate::import::{Incoming, incoming};

/// What a photo shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum Picture {
    /// Webbing from which the sewn label has come off.
    Label,
    /// The gate of a connector, with grit in its hinge.
    Gate,
    /// A rope with a stain.
    Stain,
}

/// Every photo, as it came in.
static ALL: LazyLock<Result<Vec<(Picture, Incoming)>, DemoError>> = LazyLock::new(|| {
    let all = [Picture::Label, Picture::Gate, Picture::Stain];
    all.into_iter()
        .map(|picture| Ok((picture, taken(picture)?)))
        .collect()
});

/// All the photos.
pub(super) fn all() -> Result<impl Iterator<Item = &'static Incoming>, DemoError> {
    let all = ALL.as_ref().map_err(Clone::clone)?;
    Ok(all.iter().map(|(_, incoming)| incoming))
}

impl Picture {
    /// The photo as it came in.
    pub(super) fn incoming(self) -> Result<&'static Incoming, DemoError> {
        let all = ALL.as_ref().map_err(Clone::clone)?;
        let found = all.iter().find(|(picture, _)| *picture == self);
        found
            .map(|(_, incoming)| incoming)
            .ok_or_else(|| DemoError::at("photo", "it was not taken"))
    }
}

const SIDES: (u32, u32) = (960, 720);

fn taken(picture: Picture) -> Result<Incoming, DemoError> {
    let drawn = RgbImage::from_fn(SIDES.0, SIDES.1, |x, y| {
        let at = (i64::from(x), i64::from(y));
        let ink = match picture {
            Picture::Label => webbing(at),
            Picture::Gate => connector(at),
            Picture::Stain => rope(at),
        };
        let [red, green, blue] = ink.unwrap_or_else(|| bench(at));
        // The light falls from the upper left, and no picture of a camera is without grain.
        let light = 70 - (at.0 + 2 * at.1) * 90 / 2400 + grain(at) % 9;
        Rgb([red, green, blue].map(|part| u8::try_from((part + light).clamp(0, 255)).unwrap_or(0)))
    });
    let mut bytes = Cursor::new(Vec::new());
    let fault = |error: &dyn std::fmt::Display| DemoError::at("photo", error);
    drawn
        .write_to(&mut bytes, ImageFormat::Png)
        .map_err(|error| fault(&error))?;
    incoming(bytes.into_inner().into()).map_err(|unfit| fault(&unfit))
}

type At = (i64, i64);
type Ink = [i64; 3];

/// A number that looks like chance and is the same at every run.
fn grain((x, y): At) -> i64 {
    let mixed = (x * 7919 + y * 104_729) ^ (x * y + 31 * x);
    (mixed ^ (mixed >> 7)).rem_euclid(97)
}

/// The planks of a workbench.
fn bench((x, y): At) -> Ink {
    let seam = y.rem_euclid(240) < 4;
    let fibre = (y * 3 + x / 40 + grain((x / 60, y))).rem_euclid(7);
    if seam {
        [52, 44, 36]
    } else {
        [118 + fibre, 98 + fibre, 74 + fibre]
    }
}

/// A band of webbing from the left to the right, with the clean place of its label and the holes of the stitches.
fn webbing((x, y): At) -> Option<Ink> {
    let across = y - 360 - (x - 480) / 12;
    if across.abs() > 150 {
        return None;
    }
    let weave = (x + across).rem_euclid(12) / 4 + (x - across).rem_euclid(12) / 4;
    let edge = across.abs() > 138;
    let place = (330..640).contains(&x) && across.abs() < 96;
    let rim = place && !((342..628).contains(&x) && across.abs() < 84);
    Some(if rim && (x + across).rem_euclid(14) < 5 {
        [34, 28, 24]
    } else if place {
        [196 + weave * 3, 122 + weave * 3, 52]
    } else if edge {
        [74, 40, 20]
    } else {
        [158 + weave * 6, 84 + weave * 5, 30 + weave * 2]
    })
}

/// The body of a connector as a ring, its gate on the right, and grit where the gate turns.
fn connector((x, y): At) -> Option<Ink> {
    let (dx, dy) = ((x - 470) * 3 / 4, y - 360);
    let far = dx * dx + dy * dy;
    let ring = (200 * 200..262 * 262).contains(&far);
    let hinge = (x - 745) * (x - 745) + (y - 470) * (y - 470);
    let grit = hinge < 70 * 70 && grain((x / 5, y / 5)) % 5 < 2;
    if grit && (ring || hinge < 46 * 46) {
        return Some([66, 46, 26]);
    }
    if hinge < 22 * 22 {
        return Some([92, 94, 100]);
    }
    let gate = ring && dx > 120 && (-150..112).contains(&dy);
    let shine = (far / 900).rem_euclid(9);
    match (gate, ring) {
        (true, _) => Some([96 + shine, 104 + shine, 128 + shine]),
        (_, true) => Some([150 + shine * 3, 154 + shine * 3, 160 + shine * 3]),
        _ => None,
    }
}

/// Two turns of a kernmantle rope, the upper one with a dark stain.
fn rope((x, y): At) -> Option<Ink> {
    [230, 480].into_iter().find_map(|middle| {
        let across = y - middle - (x - 480) * (x - 480) / 9000;
        if across.abs() > 78 {
            return None;
        }
        let round = across * across / 110;
        let (one, other) = (
            (x + across * 2).rem_euclid(56),
            (x - across * 2).rem_euclid(56),
        );
        let tracer = one < 14;
        let braid = if other < 4 || one < 4 { 26 } else { 0 };
        let (dx, dy) = ((x - 560) / 2, y - middle - 10);
        let blot = dx * dx + dy * dy + grain((x / 12, y / 12)) * 12;
        let [red, green, blue] = match (middle, tracer) {
            (230, _) if blot < 5200 => [72, 64, 34],
            (_, true) => [30, 74, 142],
            _ => [176, 176, 168],
        };
        Some([
            red - round - braid,
            green - round - braid,
            blue - round - braid,
        ])
    })
}
