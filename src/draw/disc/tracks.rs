//! The tracks of a disc, one for each turn of the knob, from outside in.

use super::polar::{self, Polar, angle, radial};
use super::scale;
use crate::draw::tape::figures::{Collision, Marks, Scale, Stretch};
use crate::draw::tape::lie::Toward;
use crate::draw::tape::unit::unit_width;
use crate::gear::Sense;
use crate::numerics::math;
use crate::scene::{Ink, Item, Path, Pen, Point, TextRun};
use crate::sheets::{Disc, Tick, Worth};
use crate::units::{Angle, Length};

/// How high things are on a track.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Style {
    /// Long ticks.
    pub(super) long: Length,
    /// Between ticks and figures.
    gap: Length,
    /// Figures of major marks.
    major: Length,
    /// Figures of others.
    minor: Length,
}

impl Style {
    const fn of(long: f64, gap: f64, major: f64, minor: f64) -> Self {
        Self {
            long: Length::mm(long),
            gap: Length::mm(gap),
            major: Length::mm(major),
            minor: Length::mm(minor),
        }
    }

    /// Whether there is none smaller.
    pub(super) fn is_last(self) -> bool {
        STYLES.last() == Some(&self)
    }

    /// Shorter ticks, where leaders begin.
    pub(super) fn short(self) -> Length {
        self.long * 0.72
    }

    /// Ticks without a figure.
    pub(super) fn bare(self) -> Length {
        self.long * 0.48
    }
}

/// From the largest to the smallest that we bear.
pub(super) const STYLES: [Style; 5] = [
    Style::of(3.8, 0.6, 4.2, 3.2),
    Style::of(3.0, 0.5, 3.4, 2.8),
    Style::of(2.5, 0.5, 2.8, 2.4),
    Style::of(2.1, 0.4, 2.4, 2.2),
    Style::of(1.8, 0.4, 2.0, 2.0),
];

/// Between a track and the next.
const BETWEEN: Length = Length::mm(0.6);
/// Figures keep this from where a turn ends.
const CLEAR: Length = Length::mm(0.8);
/// The tag with the number of a turn.
const TAG: Length = Length::mm(3.0);
/// No tick stands nearer to where a turn ends, if that can be.
const FROM_SEAM: Length = Length::mm(0.9);
/// Room for a hard stop's hatching at an end.
const ENDS: Length = Length::mm(2.8);
/// How many places are tried for where turns end.
const SEAMS: u32 = 24;
/// More turns than this are no scale one reads.
const MOST: usize = 24;
/// Room kept at the hole for what the disc must say.
const LEAST_FACE: Length = Length::mm(3.8);
/// From the hole to anything.
const FROM_HOLE: Length = Length::mm(1.0);

/// Why the turns of a knob get no tracks.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum NoTracks {
    /// There is room for so many tracks only.
    Turns {
        /// How many.
        room: usize,
    },
    /// Figures collide.
    Figures(Collision),
}

/// One turn of the knob.
#[derive(Clone, Debug)]
pub(super) struct Track {
    /// Where its ticks stand.
    pub(super) outer: Length,
    /// Where its figures stand.
    pub(super) baseline: Length,
    /// Where it ends.
    pub(super) inner: Length,
    /// The turn of the knob it begins at; it ends a turn later.
    pub(super) from: Angle,
    /// Its ticks, in arcs along the circle of the baselines.
    ticks: Vec<Tick>,
}

/// Where the parts of a track are, the rim first.
type Radii = (Length, Length, Length);

/// The knob at the hard stops beyond infinity and beyond close focus.
pub(super) type Stops = [Option<Angle>; 2];

/// All turns of a knob.
#[derive(Clone, Debug)]
pub(super) struct Tracks {
    pub(super) all: Vec<Track>,
    /// The hard stops that are drawn.
    pub(super) stops: Stops,
    style: Style,
}

/// The knob at the first and the last of what is to be drawn.
fn span(disc: &Disc, stops: Stops) -> (Angle, Angle) {
    let scale = &disc.scale;
    let lined_up = [Some(scale.align.at), scale.check.as_ref().map(|it| it.at)];
    let lined_up = lined_up.into_iter().flatten().map(|at| disc.angle(at));
    let ticks = scale.marks.iter().map(|tick| disc.angle(tick.at));
    let stops = stops.into_iter().flatten();
    let end = disc.angle(scale.length);
    let all = lined_up.chain(stops).chain(ticks);
    all.fold((end, end), |(low, high), at| {
        (
            if at < low { at } else { low },
            if at > high { at } else { high },
        )
    })
}

/// How many turns the scale takes.
pub(super) fn turns(disc: &Disc) -> usize {
    let (from, to) = span(disc, [None, None]);
    ((to - from).to_deg() / 360.0).ceil().max(1.0) as usize
}

impl Tracks {
    /// The fewest tracks that take the scale.
    pub(super) fn of(disc: &Disc, style: Style) -> Result<Self, NoTracks> {
        let radii = radii(disc, style);
        let least = turns(disc);
        let mut fault = NoTracks::Turns { room: radii.len() };
        let [far, near] = stops(disc);
        // A turn more where figures must not meet at the end of one; but rather a
        // stop in words only than a turn more for it.
        for count in [least, least + 1] {
            let Some(radii) = radii.get(..count) else {
                break;
            };
            for stops in [[far, near], [far, None], [None, near], [None, None]] {
                match Self::with(disc, style, radii, stops) {
                    Ok(tracks) => return Ok(tracks),
                    Err(found) => fault = found.unwrap_or(fault),
                }
            }
        }
        Err(fault)
    }

    fn with(
        disc: &Disc,
        style: Style,
        radii: &[Radii],
        stops: Stops,
    ) -> Result<Self, Option<NoTracks>> {
        let count = radii.len();
        let (from, to) = span(disc, stops);
        // At the innermost track angles are widest.
        let innermost = radii.last().ok_or(None)?.1;
        let before = match count {
            1 => ENDS,
            _ => TAG + CLEAR * 3.0 + style.minor,
        };
        let before = angle(before, innermost);
        let slack = Angle::deg(360.0 * count as f64) - (to - from) - before;
        if slack < angle(ENDS, innermost) {
            return Err(None);
        }
        let mut collision = None;
        let mut crowded = None;
        for step in 0..SEAMS {
            let share = f64::from(step) / f64::from(SEAMS);
            // One turn has its free part half before and half after its scale.
            let share = match count {
                1 => (share + 0.5) % 1.0,
                _ => share,
            };
            let begin = from - before - slack * (share * 0.98);
            let tracks = Self {
                all: all(disc, radii, begin),
                stops,
                style,
            };
            match tracks.collision(disc) {
                Some(found) => {
                    collision.get_or_insert(found);
                }
                None if tracks.clear_of_seams(disc) => return Ok(tracks),
                None => {
                    crowded.get_or_insert(tracks);
                }
            }
        }
        crowded.ok_or(collision.map(NoTracks::Figures))
    }

    /// The scale of a track with its figures chosen.
    fn scale<'a>(
        &self,
        disc: &Disc,
        track: &'a Track,
        references: &'a [Length],
    ) -> Result<Scale<'a>, Collision> {
        let marks = Marks {
            ticks: &track.ticks,
            unit: disc.scale.unit,
            references,
            least: Worth::NONE,
        };
        let figures = [self.style.major, self.style.minor];
        Scale::large(marks, self.stretch(disc, track), figures)
    }

    /// Where the figures of a track may stand.
    fn stretch(&self, disc: &Disc, track: &Track) -> Stretch {
        let from = track.along(track.from);
        let to = track.along(track.to());
        let (low, high) = match self.all.len() {
            1 => (CLEAR, CLEAR),
            _ => (TAG + CLEAR * 2.0, CLEAR),
        };
        let [far_stop, near_stop] = self
            .stops
            .map(|at| at.filter(|&at| track.has(at)))
            .map(|at| at.map(|at| track.along(at)));
        let (low, high) = (from + low, to - high);
        Stretch {
            from,
            to,
            clear_from: far_stop.map_or(low, |at| low.max(at + CLEAR)),
            clear_to: near_stop.map_or(high, |at| high.min(at - CLEAR)),
            nearer: match disc.sense {
                Sense::Clockwise => Toward::Left,
                Sense::CounterClockwise => Toward::Right,
            },
        }
    }

    /// The sum of what its figures are worth.
    pub(super) fn worth(&self, disc: &Disc) -> u64 {
        let of_track = |track: &Track| {
            let references = track.references(disc);
            let scale = self.scale(disc, track, &references);
            scale.map_or(0, |scale| scale.worth())
        };
        self.all.iter().map(of_track).sum()
    }

    fn collision(&self, disc: &Disc) -> Option<Collision> {
        self.all.iter().find_map(|track| {
            let references = track.references(disc);
            self.scale(disc, track, &references).err()
        })
    }

    /// Whether nothing stands close to where a turn ends.
    fn clear_of_seams(&self, disc: &Disc) -> bool {
        let Some(first) = self.all.first() else {
            return true;
        };
        let near = angle(FROM_SEAM, first.outer).to_deg();
        let check = disc.scale.check.as_ref().map(|check| check.at);
        let ticks = disc.scale.marks.iter().map(|tick| tick.at);
        let places = ticks.chain([disc.scale.align.at]).chain(check);
        let places = places.map(|at| disc.angle(at));
        places.chain(self.stops.into_iter().flatten()).all(|at| {
            let beyond = (at - first.from).to_deg() % 360.0;
            beyond >= near && 360.0 - beyond >= near
        })
    }

    /// Everything on the tracks.
    pub(super) fn items(&self, disc: &Disc, polar: &Polar) -> Vec<Item> {
        let mut items = Vec::new();
        for (index, track) in self.all.iter().enumerate() {
            let references = track.references(disc);
            // It was chosen before, and there was room.
            if let Ok(scale) = self.scale(disc, track, &references) {
                let on = scale::On {
                    disc,
                    track,
                    stops: self.stops,
                    style: self.style,
                    polar,
                };
                items.extend(on.items(&scale, self.stretch(disc, track)));
            }
            if self.all.len() > 1 {
                items.push(self.tag(track, index + 1, polar));
            }
            // From the next turn, and at last from the words of the disc.
            let circle = Path::circle(Point::ORIGIN, track.inner);
            items.push(Item::stroked(circle, Pen::FINE));
        }
        if let [first, .., last] = self.all.as_slice() {
            let seam = polar.page(first.from);
            items.push(radial(seam, first.outer, last.inner, Pen::HEAVY));
        }
        items
    }

    /// The number of a turn, white on black so that it is no distance.
    fn tag(&self, track: &Track, number: usize, polar: &Polar) -> Item {
        let high = self.style.minor.min(Length::mm(2.4));
        let pad = Length::mm(0.35);
        let middle = track.from + angle(CLEAR / 2.0 + TAG / 2.0, track.baseline);
        let half = TAG / 2.0;
        let corners = [
            Point::new(-half, pad),
            Point::new(half, pad),
            Point::new(half, -high - pad),
            Point::new(-half, -high - pad),
        ];
        // Which way the scale runs decides on which side of the seam it is.
        let figure = TextRun::new(&number.to_string(), high, Point::ORIGIN);
        let figure = figure.bold().inked(Ink::White).middle();
        let ground = Item::filled(Path::polygon(&corners), Ink::Black);
        let items = vec![ground, figure.into()];
        polar::put(track.baseline, polar.page(middle), items)
    }

    /// What is left for words: from the tracks to the hole.
    pub(super) fn left(&self, disc: &Disc) -> (Length, Length) {
        let inner = self.all.last().map(|track| track.inner);
        (
            inner.unwrap_or(disc.knob.radius),
            disc.inner / 2.0 + FROM_HOLE,
        )
    }
}

impl Track {
    /// The turn of the knob it ends at.
    pub(super) fn to(&self) -> Angle {
        self.from + Angle::deg(360.0)
    }

    /// Whether a turn of the knob is on it.
    pub(super) fn has(&self, turn: Angle) -> bool {
        turn >= self.from && turn < self.to()
    }

    /// A turn of the knob as an arc along the circle of the baselines.
    pub(super) fn along(&self, turn: Angle) -> Length {
        crate::scale::arc_on_wheel(self.baseline * 2.0, Length::ZERO, turn)
    }

    /// An arc along the rim as one along the circle of the baselines.
    pub(super) fn to_baseline(&self, disc: &Disc, along: Length) -> Length {
        along * (self.baseline.to_mm() / disc.knob.radius.to_mm())
    }

    /// The marks with triangles.
    fn references(&self, disc: &Disc) -> Vec<Length> {
        let check = disc.scale.check.as_ref().map(|check| check.at);
        let both = core::iter::once(disc.scale.align.at).chain(check);
        both.map(|at| self.to_baseline(disc, at)).collect()
    }
}

/// Every turn with its ticks, the first beginning at a turn of the knob.
fn all(disc: &Disc, radii: &[Radii], begin: Angle) -> Vec<Track> {
    let track = |(index, &(outer, baseline, inner)): (usize, &Radii)| {
        let mut track = Track {
            outer,
            baseline,
            inner,
            from: begin + Angle::deg(360.0 * index as f64),
            ticks: Vec::new(),
        };
        let here = disc.scale.marks.iter();
        let here = here.filter(|tick| track.has(disc.angle(tick.at)));
        let on_baseline = here.map(|tick| Tick {
            at: track.to_baseline(disc, tick.at),
            doubt: tick.doubt.map(|doubt| track.to_baseline(disc, doubt)),
            ..tick.clone()
        });
        track.ticks = on_baseline.collect();
        track
    };
    radii.iter().enumerate().map(track).collect()
}

/// The knob at the hard stops that are known.
pub(super) fn stops(disc: &Disc) -> Stops {
    let scale = &disc.scale;
    let far = scale.before.map(|before| -before);
    let near = scale.after.map(|after| scale.length + after);
    [far, near].map(|at| at.map(|at| disc.angle(at)))
}

/// For as many tracks as there is room for.
fn radii(disc: &Disc, style: Style) -> Vec<Radii> {
    let least = disc.inner / 2.0 + FROM_HOLE + LEAST_FACE;
    // Half of the widest figure, with a unit beside it.
    let half = |tick: &Tick| {
        let high = if tick.major { style.major } else { style.minor };
        let run = TextRun::new(&tick.figure, high, Point::ORIGIN).bold();
        run.width() / 2.0 + unit_width(tick.unit)
    };
    let widest = disc.scale.marks.iter().map(half);
    let widest = widest.fold(Length::ZERO, Length::max).to_mm();
    let mut radii = Vec::new();
    let mut outer = disc.knob.radius;
    while radii.len() < MOST {
        let top = (outer - style.long - style.gap).to_mm();
        if top <= widest * 1.5 {
            break;
        }
        // The upper corners of a straight figure are the farthest out.
        let middle = math::sqrt(top * top - widest * widest);
        let baseline = Length::mm(middle) - style.major;
        let inner = baseline - BETWEEN;
        if inner < least {
            break;
        }
        radii.push((outer, baseline, inner));
        outer = inner;
    }
    radii
}
