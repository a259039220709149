//! What a disc says of itself, in circles between its tracks and its hole.

use super::polar::{Polar, angle, arc, point, radial, words_along};
use super::tracks::Tracks;
use crate::draw::tape::On;
use crate::draw::tape::frame::run;
use crate::draw::tape::identity::{Identity, Said};
use crate::draw::tape::lie::{Edge, Lie, Toward};
use crate::draw::tape::line::Line;
use crate::gear::Side;
use crate::scale::{Standing, arc_on_wheel};
use crate::scene::{Ink, Item, Path, Pen, Point, Weight};
use crate::sheets::{Disc, SharpBand};
use crate::units::{Angle, Length};

/// Height of the words.
const WORDS: Length = Length::mm(2.0);
/// From baseline to baseline.
const PITCH: Length = Length::mm(3.1);
/// From the tracks to the words; straight pieces reach out a little.
const TOP: Length = Length::mm(1.3);
/// Under the last line, for what hangs down.
const FOOT: Length = Length::mm(0.5);
/// A focal length on one line.
const LEAST_FOCAL: Length = Length::mm(2.4);
/// Between the focal length and its unit, words and the arrow.
const BESIDE: Length = Length::mm(0.9);
/// The arrow, to be tried: as long as we like it, and as we bear it.
const ARROWS: [f64; 3] = [14.0, 10.0, 6.0];
/// An arrow's head, and half of its breadth.
const HEAD: (Length, Length) = (Length::mm(2.4), Length::mm(0.95));
/// Half the breadth of its shaft.
const SHAFT: Length = Length::mm(0.3);
/// The head of a dimension, and half of its breadth.
const TIP: (Length, Length) = (Length::mm(1.3), Length::mm(0.5));
/// A narrower dimension has its arrows outside.
const NARROW: Length = Length::mm(4.0);
/// How far those reach.
const OUTSIDE: Length = Length::mm(2.8);

/// A circle of words.
#[derive(Clone, Debug)]
struct Row {
    /// Radius of its baseline.
    baseline: Length,
    /// What of it is taken; from the top, clockwise.
    line: Line,
}

impl Row {
    fn page(&self, along: Length) -> Angle {
        angle(along, self.baseline)
    }
}

/// What to try with all sizes of figures, the largest first, before the next.
#[derive(Clone, Copy, Debug)]
pub(super) struct Effort {
    /// Wordings, the fullest first.
    pub(super) wordings: &'static [usize],
    /// Whether the dimension of what is sharp must be there.
    dimension: bool,
    /// Whether the smallest size will do.
    pub(super) last_style: bool,
    /// Whether hardly a figure may be lost to larger ones.
    pub(super) figures: bool,
}

/// Rather figures of 2.2 mm than no dimension, rather none than few words, and
/// rather few words than few figures.
pub(super) const EFFORTS: [Effort; 4] = [
    Effort {
        wordings: &[0, 1, 2],
        dimension: true,
        last_style: false,
        figures: true,
    },
    Effort {
        wordings: &[0, 1, 2],
        dimension: false,
        last_style: true,
        figures: true,
    },
    Effort {
        wordings: &[3],
        dimension: false,
        last_style: true,
        figures: true,
    },
    Effort {
        wordings: &[3],
        dimension: false,
        last_style: true,
        figures: false,
    },
];

/// The words of a disc.
#[derive(Clone, Debug)]
pub(super) struct Face {
    rows: Vec<Row>,
    items: Vec<Item>,
}

impl Face {
    /// Everything a wording says; `None` where it does not fit.
    pub(super) fn of(
        disc: &Disc,
        tracks: &Tracks,
        polar: &Polar,
        (effort, wording): (Effort, usize),
    ) -> Option<Vec<Item>> {
        let lie = Lie {
            nearer: if polar.turns > 0.0 {
                Toward::Left
            } else {
                Toward::Right
            },
            // The tips of triangles point up, to the rim.
            witness: Edge::Top,
        };
        let identity = Identity::of(&disc.scale, lie, On::Ring(Side::Left));
        let said = identity.every_wording().get(wording)?;
        let mut face = Self {
            rows: rows(disc, tracks),
            items: Vec::new(),
        };
        let lines = match face.rows.len() {
            0 => return None,
            1 | 2 => 1,
            _ => 2,
        };
        face.focal(&identity, lines)?;
        let sharp = disc.scale.sharp.as_ref();
        let before = face.items.len();
        let dimension = sharp.and_then(|band| face.dimension(disc, band, polar, lines));
        if effort.dimension && sharp.is_some() && dimension.is_none() {
            return None;
        }
        let of_dimension = before..face.items.len();
        face.arrow(polar)?;
        for said in said {
            face.say(said)?;
        }
        if disc.scale.standing != Standing::Measured {
            face.words("VERIFY BY EYE", Weight::Bold, Length::ZERO)?;
        }
        if disc.speed.1 > 1 {
            let (speed, of) = disc.speed;
            let words = format!("speed {speed} of {of}");
            face.words(&words, Weight::Bold, Length::ZERO)?;
        }
        // A dimension without words says nothing.
        if let Some(band) = sharp
            && !face.tolerance(band, dimension)
        {
            if effort.dimension {
                return None;
            }
            face.items.drain(of_dimension);
        }
        // What the words beside the disc say too.
        if tracks.all.len() > 1 {
            let words = format!("turns 1–{} from the rim inward", tracks.all.len());
            face.words(&words, Weight::Regular, Length::ZERO);
        }
        let action = format!("▲ {}", disc.scale.align.words);
        face.words(&action, Weight::Regular, Length::ZERO);
        Some(face.items)
    }

    /// Words as near to a place as there is room, from the outermost circle inward.
    fn words(&mut self, words: &str, weight: Weight, near: Length) -> Option<()> {
        let width = run(words, weight, WORDS, Point::ORIGIN).width();
        for row in &mut self.rows {
            if let Some(left) = row.line.place(width, near) {
                let middle = row.page(left + width / 2.0);
                let along = words_along(words, (weight, WORDS), row.baseline, middle);
                self.items.extend(along);
                return Some(());
            }
        }
        None
    }

    /// What may be off, in as many words as there is room for, if any.
    fn tolerance(&mut self, band: &SharpBand, near: Option<Length>) -> bool {
        let short = format!("{} is sharp", band.figures);
        let mut wordings = vec![band.words.as_str(), short.as_str()];
        // Figures alone where they are a dimension's.
        wordings.extend(near.map(|_| band.figures.as_str()));
        let near = near.unwrap_or(Length::ZERO);
        wordings
            .into_iter()
            .any(|words| self.words(words, Weight::Regular, near).is_some())
    }

    fn say(&mut self, said: &Said) -> Option<()> {
        self.words(&said.words, said.weight, Length::ZERO)
    }

    /// The focal length on top, as high as some lines.
    fn focal(&mut self, identity: &Identity, lines: usize) -> Option<()> {
        let height = match lines {
            1 => LEAST_FOCAL,
            _ => WORDS + PITCH * (lines - 1) as f64,
        };
        let figure = identity.focal_width * height.to_mm();
        let unit = run("mm", Weight::Regular, WORDS, Point::ORIGIN).width();
        let baseline = self.rows.get(lines - 1)?.baseline;
        let wide = figure + BESIDE + unit;
        for row in self.rows.iter_mut().take(lines) {
            // Farther out the same angle is a longer arc.
            let share = row.baseline.to_mm() / baseline.to_mm();
            let half = wide * (share / 2.0);
            row.line.is_free(-half, half).then_some(())?;
            row.line.take(-half, half);
        }
        let middle = |left: Length, width: Length| angle(left + width / 2.0 - wide / 2.0, baseline);
        let bold = (Weight::Bold, height);
        let at = middle(Length::ZERO, figure);
        self.items
            .extend(words_along(&identity.focal, bold, baseline, at));
        let at = middle(figure + BESIDE, unit);
        let regular = (Weight::Regular, WORDS);
        self.items.extend(words_along("mm", regular, baseline, at));
        Some(())
    }

    /// The arrow, its head where the disc goes.
    fn arrow(&mut self, polar: &Polar) -> Option<()> {
        let words = ["turn this way = nearer", "turn = nearer", "= nearer"];
        let all = words
            .into_iter()
            .flat_map(|words| ARROWS.map(|long| (words, Length::mm(long))));
        for (words, long) in all {
            let wide = run(words, Weight::Bold, WORDS, Point::ORIGIN).width();
            let whole = wide + BESIDE + long;
            for row in &mut self.rows {
                // Beside the focal length, on the side it points to.
                let near = Length::mm(1.0) * polar.turns;
                let Some(left) = row.line.place(whole, near) else {
                    continue;
                };
                let (words_at, from, to) = if polar.turns > 0.0 {
                    (left, left + wide + BESIDE, left + whole)
                } else {
                    (left + long + BESIDE, left + long, left)
                };
                let middle = row.page(words_at + wide / 2.0);
                let bold = (Weight::Bold, WORDS);
                self.items
                    .extend(words_along(words, bold, row.baseline, middle));
                self.items.push(bent_arrow(row, from, to, polar.turns));
                return Some(());
            }
        }
        None
    }

    /// How much of the knob is sharp, under the focal length; where its words had
    /// best stand, `None` where there is no room.
    fn dimension(
        &mut self,
        disc: &Disc,
        band: &SharpBand,
        polar: &Polar,
        lines: usize,
    ) -> Option<Length> {
        let row = self.rows.get_mut(lines)?;
        // Nearest to the top, a whole turn being nothing here.
        let page = polar.page(disc.angle(band.at)).to_deg() % 360.0;
        let page = match page {
            page if page > 180.0 => page - 360.0,
            page if page < -180.0 => page + 360.0,
            page => page,
        };
        let arc_of = |turn: Angle| arc_on_wheel(row.baseline * 2.0, Length::ZERO, turn);
        let middle = arc_of(Angle::deg(page));
        let half = arc_of(disc.angle(band.half));
        let outside = half * 2.0 < NARROW;
        let reach = if outside { OUTSIDE } else { Length::mm(0.2) };
        let (left, right) = (middle - half, middle + half);
        row.line
            .is_free(left - reach, right + reach)
            .then(|| row.line.take(left - reach, right + reach))?;
        let radius = row.baseline + WORDS / 2.0;
        let up = Length::mm(1.1);
        let head = |at: Length, back: f64| {
            let foot = row.page(at + TIP.0 * back);
            let tip = point(radius, row.page(at));
            let corners = [
                tip,
                point(radius + TIP.1, foot),
                point(radius - TIP.1, foot),
            ];
            Item::filled(Path::polygon(&corners), Ink::Black)
        };
        let shaft = |from: Length, to: Length| {
            Item::stroked(arc(radius, row.page(from), row.page(to)), Pen::FINE)
        };
        let mut items: Vec<Item> = [left, right]
            .map(|at| radial(row.page(at), radius - up, radius + up, Pen::FINE))
            .to_vec();
        if outside {
            items.extend([shaft(left - reach, left), shaft(right, right + reach)]);
            items.extend([head(left, -1.0), head(right, 1.0)]);
        } else {
            items.extend([shaft(left, right), head(left, 1.0), head(right, -1.0)]);
        }
        self.items.extend(items);
        Some(right + reach)
    }
}

/// An arrow along a circle.
fn bent_arrow(row: &Row, from: Length, to: Length, way: f64) -> Item {
    let middle = row.baseline + WORDS / 2.0;
    let at = |along: Length, up: Length| point(middle + up, row.page(along));
    let neck = to - HEAD.0 * way;
    let steps = 6;
    let along = |step: i32| from + (neck - from) * (f64::from(step) / f64::from(steps));
    let mut corners = vec![at(to, Length::ZERO), at(neck, HEAD.1)];
    corners.extend((0..=steps).rev().map(|step| at(along(step), SHAFT)));
    corners.extend((0..=steps).map(|step| at(along(step), -SHAFT)));
    corners.push(at(neck, -HEAD.1));
    Item::filled(Path::polygon(&corners), Ink::Black)
}

fn rows(disc: &Disc, tracks: &Tracks) -> Vec<Row> {
    let (outer, inner) = tracks.left(disc);
    let mut rows = Vec::new();
    let mut baseline = outer - TOP - WORDS;
    while baseline - FOOT >= inner {
        let half = arc_on_wheel(baseline * 2.0, Length::ZERO, Angle::deg(180.0));
        // The two ends meet at the bottom.
        let rim = Length::mm(1.0);
        rows.push(Row {
            baseline,
            line: Line::new(rim - half, half - rim),
        });
        baseline = baseline - PITCH;
    }
    rows
}
