//! Finds discs on a page that was read back, and measures them: a thin lens on a
//! helicoid turns the ring by travel · m / m(close), the knob by the gearing more.

use markwright::gear::{Sense, Side};
use markwright::units::Unit;

use super::driven::Driven;
use super::many::crosses;
use super::measure::{figure, share, usual};
use super::reader::{Bend, Line, Read, Words};

/// How far a tick may be off its angle, in degrees.
pub const TRUE: f64 = 0.02;
/// The height of figures is this part of the type size (the face's own H).
const CAPITAL: f64 = 1493.0 / 2048.0;

/// A disc as it was found, everything about its middle: right, down.
#[derive(Debug)]
pub struct Found {
    pub outer: f64,
    pub inner: f64,
    pub lines: Vec<Line>,
    pub bends: Vec<Bend>,
    pub words: Vec<Words>,
    pub fills: Vec<Vec<(f64, f64)>>,
}

fn near(one: f64, other: f64, within: f64) -> bool {
    (one - other).abs() < within
}

fn radius((x, y): (f64, f64)) -> f64 {
    (x * x + y * y).sqrt()
}

/// Degrees clockwise from the top.
fn angle((x, y): (f64, f64)) -> f64 {
    libm::atan2(x, -y).to_degrees()
}

/// Every disc of a page, in the order they were drawn.
pub fn found(page: &Read) -> Vec<Found> {
    // A full circle is twelve pieces; of each disc the rim comes first, then the
    // hole.
    let dashed: Vec<&Bend> = page.bends.iter().filter(|bend| bend.dashed).collect();
    assert_eq!(dashed.len() % 24, 0, "two cut circles a disc");
    let circle = |pieces: &[&Bend]| {
        let across = [pieces[0].points[0], pieces[6].points[0]];
        let middle = (
            (across[0].0 + across[1].0) / 2.0,
            (across[0].1 + across[1].1) / 2.0,
        );
        let from = |(x, y): (f64, f64)| radius((x - middle.0, y - middle.1));
        let first = from(pieces[0].points[0]);
        for piece in pieces {
            for tenth in 0..=10 {
                let here = from(piece.at(f64::from(tenth) / 10.0));
                assert!(near(here, first, 0.001), "{here} is not {first}");
            }
        }
        (middle, first)
    };
    let discs = dashed.chunks(24).map(|pieces| {
        let (middle, outer) = circle(&pieces[..12]);
        let (same, inner) = circle(&pieces[12..]);
        assert!(near(middle.0, same.0, 0.001) && near(middle.1, same.1, 0.001));
        let moved = |(x, y): (f64, f64)| (x - middle.0, y - middle.1);
        let inside = |at: (f64, f64)| radius(moved(at)) < outer + 0.001;
        let lines = page
            .lines
            .iter()
            .filter(|line| inside(line.from) && inside(line.to));
        let bends = page.bends.iter().filter(|bend| !bend.dashed);
        let bends = bends.filter(|bend| inside(bend.points[0]) && inside(bend.points[3]));
        let words = page.words.iter().filter(|words| inside(words.at));
        let fills = page
            .fills
            .iter()
            .filter(|fill| fill.iter().all(|&at| inside(at)));
        Found {
            outer,
            inner,
            lines: lines
                .map(|line| Line {
                    from: moved(line.from),
                    to: moved(line.to),
                    ..*line
                })
                .collect(),
            bends: bends
                .map(|bend| Bend {
                    points: bend.points.map(moved),
                    ..*bend
                })
                .collect(),
            words: words
                .map(|words| Words {
                    at: moved(words.at),
                    end: moved(words.end),
                    ..words.clone()
                })
                .collect(),
            fills: fills
                .map(|fill| fill.iter().map(|&at| moved(at)).collect())
                .collect(),
        }
    });
    discs.collect()
}

/// How the disc turns to close focus, seen from the knob's side: the eight cases
/// written out, +1 clockwise.
pub fn turns(driven: &Driven) -> f64 {
    use Sense::{Clockwise, CounterClockwise};
    let (ring, side) = (driven.lens.sense, driven.side.unwrap_or(Side::Left));
    match (ring, side, driven.reversed) {
        (Clockwise, Side::Left, false) => -1.0,
        (Clockwise, Side::Left, true) => 1.0,
        (Clockwise, Side::Right, false) => 1.0,
        (Clockwise, Side::Right, true) => -1.0,
        (CounterClockwise, Side::Left, false) => 1.0,
        (CounterClockwise, Side::Left, true) => -1.0,
        (CounterClockwise, Side::Right, false) => -1.0,
        (CounterClockwise, Side::Right, true) => 1.0,
    }
}

/// The four corners of words, from the foot of the first letter round.
pub fn corners(words: &Words) -> [(f64, f64); 4] {
    let (dx, dy) = (words.end.0 - words.at.0, words.end.1 - words.at.1);
    let length = radius((dx, dy)).max(1e-9);
    let up = words.size * CAPITAL / length;
    let head = |(x, y): (f64, f64)| (x + dy * up, y - dx * up);
    [words.at, words.end, head(words.end), head(words.at)]
}

impl Found {
    /// The radii at which ticks begin: the rim, and the circles inside it.
    pub fn tracks(&self) -> Vec<f64> {
        let mut radii = vec![self.outer];
        // Twelve pieces that go round.
        let mut bends = self.bends.as_slice();
        while let [first, rest @ ..] = bends {
            let round = radius(first.points[0]);
            let same = bends.iter().take(12).filter(|bend| {
                let middle = radius(bend.at(0.5));
                near(middle, round, 0.002) && near(angle_between(bend), 30.0, 0.01)
            });
            if same.count() == 12 {
                radii.push(round);
                bends = &bends[12..];
            } else {
                bends = rest;
            }
        }
        radii.sort_by(|one, other| other.total_cmp(one));
        // Within the last circle are the words of the disc.
        radii.pop();
        radii
    }

    /// Lines along a radius that begin at a track: their angles and how far they
    /// reach inward.
    pub fn ticks(&self, track: f64) -> Vec<(f64, f64)> {
        let ticks = self.lines.iter().filter_map(|line| {
            let [one, other] = [line.from, line.to].map(radius);
            let (foot, top) = if one > other {
                (line.from, line.to)
            } else {
                (line.to, line.from)
            };
            let (out, reach) = (one.max(other), (one - other).abs());
            let turned = (angle(foot) - angle(top)).rem_euclid(360.0);
            let along = turned.min(360.0 - turned) * out.to_radians() < 0.02;
            (near(out, track, 0.005) && along && reach > 0.3).then_some((angle(foot), reach))
        });
        ticks.collect()
    }

    /// The arrow's way: +1 clockwise.
    pub fn arrow(&self) -> f64 {
        let arrow = self
            .fills
            .iter()
            .find(|fill| fill.len() > 10)
            .expect("an arrow");
        // Its tip is drawn first, its tail in the middle.
        let turned = (angle(arrow[0]) - angle(arrow[arrow.len() / 2])).rem_euclid(360.0);
        if turned < 180.0 { 1.0 } else { -1.0 }
    }

    /// The numbers of turns with the angles of their tags.
    pub fn tags(&self) -> Vec<(String, f64, f64)> {
        let tags = self.words.iter().filter(|words| {
            let middle = middle(words);
            self.fills.iter().any(|fill| {
                fill.len() == 4 && {
                    let around = mean(fill);
                    radius((around.0 - middle.0, around.1 - middle.1)) < 0.5
                }
            })
        });
        tags.map(|words| (words.text.clone(), angle(middle(words)), radius(words.at)))
            .collect()
    }

    /// Whether the words stand on the face, one after the other on a circle.
    pub fn says(&self, words: &str) -> bool {
        let all: Vec<&str> = self.words.iter().map(|words| words.text.as_str()).collect();
        let squeezed = |words: &str| words.split_whitespace().collect::<String>();
        squeezed(&all.concat()).contains(&squeezed(words))
    }
}

fn angle_between(bend: &Bend) -> f64 {
    let turned = (angle(bend.points[3]) - angle(bend.points[0])).rem_euclid(360.0);
    turned.min(360.0 - turned)
}

fn middle(words: &Words) -> (f64, f64) {
    mean(&corners(words))
}

fn mean(points: &[(f64, f64)]) -> (f64, f64) {
    let count = points.len() as f64;
    let sum = points
        .iter()
        .fold((0.0, 0.0), |sum, at| (sum.0 + at.0, sum.1 + at.1));
    (sum.0 / count, sum.1 / count)
}

/// Where on its own turn a place on the page is, and every place it could be.
struct Reading {
    /// Degrees of knob at the top of the page.
    top: f64,
    turns: f64,
    /// Where turns begin, in degrees of knob; `None` with one turn.
    begin: Option<f64>,
}

impl Reading {
    /// Degrees of knob at an angle of the page on a track, the nearest to one that
    /// is expected.
    fn knob(&self, page: f64, track: usize, expected: f64) -> f64 {
        let bare = self.top - self.turns * page;
        match self.begin {
            Some(begin) => {
                let within = (bare - begin).rem_euclid(360.0);
                begin + 360.0 * track as f64 + within
            }
            None => expected + (bare - expected + 180.0).rem_euclid(360.0) - 180.0,
        }
    }
}

/// Measures a disc: every tick where the law and the gearing put it, what must be
/// there there, every figure beside its tick. How many ticks, or what is wrong.
pub fn measured(driven: &Driven, speed: usize, disc: &Found, align: f64) -> Result<usize, String> {
    let lens = &driven.lens;
    let gearing = driven.gearing(speed);
    let knob = |distance: f64| lens.travel * share(lens, distance) * gearing;
    let whole = lens.travel * gearing;
    let tracks = disc.tracks();
    let (outer, inner) = (driven.outer.unwrap_or(92.0), driven.inner.unwrap_or(38.0));
    if !near(disc.outer * 2.0, outer, 1e-3) || !near(disc.inner * 2.0, inner, 1e-3) {
        return Err(format!(
            "cut at {} and {}",
            disc.outer * 2.0,
            disc.inner * 2.0
        ));
    }
    let mut expected = usual(lens.unit);
    expected.retain(|&distance| distance >= lens.close_focus);
    expected.extend([lens.close_focus, f64::INFINITY, align]);
    expected.extend(&lens.engraved);
    let mut places: Vec<f64> = expected.iter().map(|&distance| knob(distance)).collect();
    let stops = [
        driven.beyond.0.map(|it| -it),
        driven.beyond.1.map(|it| lens.travel + it),
    ];
    places.extend(stops.into_iter().flatten().map(|turn| turn * gearing));
    let mut reading = Reading {
        top: knob(align),
        turns: turns(driven),
        begin: None,
    };
    if tracks.len() > 1 {
        // The longest line from the rim is where turns end.
        let rim = disc.ticks(disc.outer);
        let seam = rim
            .into_iter()
            .max_by(|one, other| one.1.total_cmp(&other.1));
        let seam = seam.ok_or("no seam")?.0;
        let bare = reading.top - reading.turns * seam;
        // The first turn has infinity on it.
        reading.begin = Some(bare - (bare / 360.0).ceil() * 360.0);
        let numbers: Vec<String> = disc.tags().into_iter().map(|tag| tag.0).collect();
        let wanted: Vec<String> = (1..=tracks.len())
            .map(|number| number.to_string())
            .collect();
        if numbers != wanted {
            return Err(format!("turns {numbers:?} on {} tracks", tracks.len()));
        }
    }
    let closest = |at: f64, among: &[f64]| {
        let off = among.iter().map(|other| (other - at).abs());
        off.fold(f64::MAX, f64::min)
    };
    let mut found: Vec<f64> = Vec::new();
    for (index, &track) in tracks.iter().enumerate() {
        for (page, reach) in disc.ticks(track) {
            let is_seam = reading.begin.is_some_and(|begin| {
                let off = (reading.top - reading.turns * page - begin).rem_euclid(360.0);
                off.min(360.0 - off) < 0.05
            });
            if is_seam && reach > 4.5 {
                continue;
            }
            let nearest = places.iter().map(|&at| reading.knob(page, index, at));
            let nearest = nearest
                .min_by(|&one, &other| closest(one, &places).total_cmp(&closest(other, &places)));
            let at = nearest.ok_or("no places")?;
            if closest(at, &places) > TRUE {
                return Err(format!(
                    "a tick at {at:.3}° of knob on turn {} is {:.3}° off",
                    index + 1,
                    closest(at, &places)
                ));
            }
            found.push(at);
        }
    }
    for distance in [f64::INFINITY, lens.close_focus, align] {
        if closest(knob(distance), &found) > TRUE {
            return Err(format!(
                "no tick for {distance} mm at {:.3}°",
                knob(distance)
            ));
        }
    }
    if found
        .iter()
        .any(|at| *at < -whole || *at > whole * 2.0 + 1.0)
    {
        return Err("a tick far beyond the scale".into());
    }
    let drawn = expected.iter().map(|&distance| (distance, knob(distance)));
    let drawn = drawn.filter(|mark| closest(mark.1, &found) <= TRUE);
    let (distances, places): (Vec<f64>, Vec<f64>) = drawn.unzip();
    figures(driven, disc, &tracks, &reading, (&distances, &places))?;
    Ok(found.len())
}

/// Every figure of the tracks beside the tick it means, in the order of those.
fn figures(
    driven: &Driven,
    disc: &Found,
    tracks: &[f64],
    reading: &Reading,
    (expected, found): (&[f64], &[f64]),
) -> Result<(), String> {
    let lens = &driven.lens;
    let tags = disc.tags();
    let is_tag = |words: &Words| {
        let at = (angle(middle(words)), radius(words.at));
        tags.iter()
            .any(|tag| near(tag.1, at.0, 1e-6) && near(tag.2, at.1, 1e-6))
    };
    let bare = |words: &str| words.trim_start_matches('≈').to_owned();
    let is_figure = |words: &Words| {
        let text = bare(&words.text);
        figure(&text, lens.unit).is_some() || ["ft", "m"].contains(&text.as_str())
    };
    // Words of the face stand farther in than any figure.
    let face = disc.words.iter().filter(|words| !is_figure(words));
    let face = face.map(|words| radius(words.at)).fold(0.0, f64::max);
    let mut seen: Vec<(f64, f64)> = Vec::new();
    for (index, words) in disc.words.iter().enumerate() {
        let at = middle(words);
        if radius(words.at) < face + 1.5 || is_tag(words) {
            continue;
        }
        let next = disc.words.get(index + 1);
        let close = next
            .is_some_and(|next| radius((next.at.0 - words.end.0, next.at.1 - words.end.1)) < 1.0);
        let unit = match next.map(|next| next.text.as_str()) {
            Some("ft") if close => Unit::Feet,
            Some("m") if close => Unit::Metres,
            _ => lens.unit,
        };
        let Some(distance) = figure(&bare(&words.text), unit) else {
            continue;
        };
        let out = radius(at);
        let track = tracks.iter().rposition(|&track| track > out);
        let track = track.ok_or("a figure beyond the rim")?;
        let relative = |other: f64| {
            if distance == other {
                0.0
            } else {
                (other / distance - 1.0).abs()
            }
        };
        // Figures are rounded: the tick meant is the nearest in distance.
        let places = expected.iter().zip(found);
        let meant = places.min_by(|one, other| relative(*one.0).total_cmp(&relative(*other.0)));
        let (&meant, &place) = meant.ok_or("no ticks")?;
        if relative(meant) > 0.01 {
            return Err(format!("a figure for {distance} mm without its tick"));
        }
        let here = reading.knob(angle(at), track, place);
        let arc = (here - place).abs().to_radians() * out;
        if arc > 15.0 {
            return Err(format!(
                "the figure for {distance} mm is {arc:.1} mm from its tick"
            ));
        }
        seen.push((place, here));
    }
    seen.sort_by(|one, other| one.0.total_cmp(&other.0));
    if seen.windows(2).any(|pair| pair[0].1 >= pair[1].1) {
        return Err("figures out of the order of their ticks".into());
    }
    if seen.len() < 2 {
        return Err("hardly a figure".into());
    }
    Ok(())
}

/// The first two of words that overlap, of those on a page or a disc.
pub fn overlapping(words: &[Words]) -> Option<(&Words, &Words)> {
    words.iter().enumerate().find_map(|(index, one)| {
        let others = words[index + 1..].iter();
        let other = others
            .into_iter()
            .find(|other| overlap(&corners(one), &corners(other)));
        other.map(|other| (one, other))
    })
}

/// Whether two upright or turned rectangles share more than a hundredth of a
/// millimetre: no side of either has all of the other beyond it.
fn overlap(one: &[(f64, f64); 4], other: &[(f64, f64); 4]) -> bool {
    let apart = |of: &[(f64, f64); 4]| {
        (0..2).any(|side| {
            let (from, to) = (of[side], of[side + 1]);
            let (dx, dy) = (to.0 - from.0, to.1 - from.1);
            let length = radius((dx, dy)).max(1e-9);
            let along = |at: &(f64, f64)| (at.0 * dx + at.1 * dy) / length;
            let range = |of: &[(f64, f64); 4]| {
                let all = of.iter().map(along);
                all.fold((f64::MAX, f64::MIN), |(low, high), at| {
                    (low.min(at), high.max(at))
                })
            };
            let (one, other) = (range(one), range(other));
            one.1 <= other.0 + 0.01 || other.1 <= one.0 + 0.01
        })
    };
    !apart(one) && !apart(other)
}

/// A point as the words lie: along their baseline, up from it.
fn as_read(words: &Words, (x, y): (f64, f64)) -> (f64, f64) {
    let (dx, dy) = (words.end.0 - words.at.0, words.end.1 - words.at.1);
    let length = radius((dx, dy)).max(1e-9);
    let (x, y) = (x - words.at.0, y - words.at.1);
    ((x * dx + y * dy) / length, (x * dy - y * dx) / length)
}

/// The first line or curve that runs through words of a disc.
pub fn crossed(disc: &Found) -> Option<String> {
    for words in &disc.words {
        let width = radius((words.end.0 - words.at.0, words.end.1 - words.at.1));
        let rim = 0.05;
        let at = super::reader::Box::between((rim, rim), (width - rim, words.height() - rim));
        let through = |from, to| crosses(as_read(words, from), as_read(words, to), &at);
        if let Some(line) = disc.lines.iter().find(|line| through(line.from, line.to)) {
            return Some(format!("{line:?} through {words:?}"));
        }
        let bent = disc.bends.iter().find(|bend| {
            (0..8).any(|step| {
                let at = |step: i32| bend.at(f64::from(step) / 8.0);
                through(at(step), at(step + 1))
            })
        });
        if let Some(bend) = bent {
            return Some(format!("{bend:?} through {words:?}"));
        }
    }
    None
}

/// The first words of a disc that do not lie between hole and rim.
pub fn outside(disc: &Found) -> Option<&Words> {
    disc.words.iter().find(|words| {
        let corners = corners(words);
        let far = corners.iter().any(|&at| radius(at) > disc.outer - 0.1);
        // The middle of the foot is nearest to the middle of the disc.
        let foot = mean(&corners[..2]);
        far || radius(foot) < disc.inner + 0.2
    })
}
