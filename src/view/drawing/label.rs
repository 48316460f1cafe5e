//! Finds a free place for every word: no two share a place, and none covers a sign.

use super::figure::{Align, Back, FRAME, Label};
use super::frame::{Area, Point, at, step};
use super::size::Size;

/// How far a label keeps from what it must not touch.
const APART: f64 = 2.0;
/// The height of a line of words over that of letters.
pub(super) const LINE: f64 = 1.25;
/// The width of a disc for a number over the height of letters.
const DISC: f64 = 1.45;

/// Where labels stand so far, and what they keep clear of.
pub(super) struct Placer<'a> {
    pub size: &'a Size,
    pub labels: Vec<Label>,
    pub solid: Vec<Area>,
    /// Ropes: a label may stand on its own, and on no other if there is a choice.
    pub strands: Vec<(Point, Point)>,
    /// How far to the left and right words may stand, as long as there is a place.
    pub room: (f64, f64),
}

/// Words that want a place.
pub(super) struct Words {
    pub class: &'static str,
    pub lines: Vec<(String, bool)>,
    pub back: Back,
}

impl Words {
    /// One line on the paper.
    pub fn line(class: &'static str, words: String, heavy: bool) -> Self {
        Self {
            class,
            lines: vec![(words, heavy)],
            back: Back::Paper,
        }
    }

    /// A number on a disc.
    pub fn disc(number: usize) -> Self {
        Self {
            back: Back::Disc,
            ..Self::line("d-number", number.to_string(), true)
        }
    }

    /// The room that they take.
    pub fn extent(&self, size: &Size) -> (f64, f64) {
        if self.back == Back::Disc {
            return (size.text * DISC, size.text * DISC);
        }
        let wide = self.lines.iter().map(|(words, _)| size.wide(words));
        let count = u32::try_from(self.lines.len()).unwrap_or(u32::MAX);
        let frame = if self.back == Back::Frame {
            2.0 * FRAME
        } else {
            0.0
        };
        (
            wide.fold(0.0, f64::max) + 4.0 + frame,
            size.text * LINE * f64::from(count) + frame,
        )
    }

    /// The label at a place.
    pub fn at(self, area: Area, size: &Size, align: Align) -> Label {
        Label {
            class: self.class,
            area,
            lines: self.lines,
            align,
            text: size.text,
            back: self.back,
        }
    }
}

impl Placer<'_> {
    /// Whether nothing stands in a box yet.
    pub fn is_free(&self, area: Area) -> bool {
        let wide = area.grown(APART);
        let labels = self.labels.iter().map(|label| label.area);
        let mut taken = labels.chain(self.solid.iter().copied());
        !taken.any(|other| other.meets(wide))
    }

    fn cuts(&self, area: Area) -> bool {
        let mut strands = self.strands.iter();
        strands.any(|&(from, to)| area.is_cut(from, to))
    }

    fn put(&mut self, words: Words, area: Area, align: Align) -> Area {
        let label = words.at(area, self.size, align);
        self.labels.push(label);
        area
    }

    /// On a strand, as near as can be to a share of it; beside it if it is full.
    pub fn on_strand(&mut self, words: Words, (from, to): (Point, Point), share: f64) -> Area {
        let (wide, high) = words.extent(self.size);
        let length = from.far(to).max(1.0);
        let steps = (length / 3.0).ceil().min(400.0);
        let side = (to - from).unit().left();
        let beside = side.x.abs() * wide / 2.0 + side.y.abs() * high / 2.0 + 7.0;
        for aside in [0.0, beside, -beside] {
            let mut gone = 0.0;
            while gone <= 2.0 * steps {
                // Out from the wanted share to both sides in turn.
                let away = (gone / 2.0).ceil() / steps * if gone % 2.0 < 0.5 { 1.0 } else { -1.0 };
                let along = share + away;
                gone += 1.0;
                if !(0.02..=0.98).contains(&along) {
                    continue;
                }
                let center = from.toward(to, along) + side * aside;
                let area = Area::round(center, wide, high);
                if self.is_free(area) && (aside == 0.0 || !self.cuts(area)) {
                    return self.put(words, area, Align::Middle);
                }
            }
        }
        self.near(words, from.toward(to, share), 0.0)
    }

    /// Near a point, clear of strands if there is such a place.
    pub fn near(&mut self, words: Words, center: Point, radius: f64) -> Area {
        let (wide, high) = words.extent(self.size);
        let ways = [90.0, 270.0, 180.0, 0.0, 135.0, 225.0, 45.0, 315.0];
        let fits = |area: Area| area.from.x >= self.room.0 && area.to.x <= self.room.1;
        for (clear, inside, far) in [
            (true, true, 60.0),
            (false, true, 2000.0),
            (false, false, 4000.0),
        ] {
            let mut out = radius + 3.0;
            while out <= far {
                for way in ways {
                    let way = step(way);
                    let middle =
                        center + at(way.x * (out + wide / 2.0), way.y * (out + high / 2.0));
                    let area = Area::round(middle, wide, high);
                    let is_good = (!inside || fits(area)) && !(clear && self.cuts(area));
                    if is_good && self.is_free(area) {
                        return self.put(words, area, Align::Middle);
                    }
                }
                out += if out < 100.0 { 4.0 } else { 40.0 };
            }
        }
        // So many labels that the page is full: below all of them.
        let bottom = self.labels.iter().map(|label| label.area.to.y);
        let bottom = bottom.fold(center.y, f64::max) + APART * 2.0 + high;
        let area = Area::round(at(center.x, bottom), wide, high);
        self.put(words, area, Align::Middle)
    }
}
