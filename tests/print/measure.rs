//! Finds tapes on a page that was read back, and measures them against the law
//! of a thin lens on a helicoid, worked out here once more.

use markwright::gear::{Sense, Side, WitnessEdge};
use markwright::units::Unit;

use super::lenses::Lens;
use super::reader::{Box, Line, Read, Words};

/// How far a tick may be off its place, in millimetres.
pub const TRUE: f64 = 0.05;
/// Ticks closer than this may lack one.
const CROWDED: f64 = 0.85;
/// The height of figures is this part of the type size (the face's own H).
const CAPITAL: f64 = 1493.0 / 2048.0;

/// A cut outline with what is in it, turned to be read: along from left to
/// right, up from the bottom.
#[derive(Debug)]
pub struct Piece {
    pub length: f64,
    pub height: f64,
    pub lines: Vec<Line>,
    pub words: Vec<(String, Box)>,
    pub fills: Vec<Vec<(f64, f64)>>,
}

fn near(one: f64, other: f64) -> bool {
    (one - other).abs() < 0.02
}

/// Every tape's pieces on a page, in the order they stand on it.
pub fn pieces(page: &Read) -> Vec<Piece> {
    let mut edges: Vec<&Line> = page
        .lines
        .iter()
        .filter(|line| line.dashed && near(line.from.0, line.to.0))
        .filter(|line| (line.to.1 - line.from.1).abs() > 26.0)
        .collect();
    edges.sort_by(|one, other| one.from.0.total_cmp(&other.from.0));
    // The outline of the bank card is wider than any tape is high.
    let pieces = edges.chunks(2).map(|pair| piece(page, pair));
    pieces.filter(|piece| piece.height < 40.0).collect()
}

fn piece(page: &Read, pair: &[&Line]) -> Piece {
    let [left, right] = pair else {
        panic!("an outline has two long edges: {pair:?}");
    };
    let bottom = left.from.1.max(left.to.1);
    let top = left.from.1.min(left.to.1);
    let (low, high) = (left.from.0, right.from.0);
    // The page is read with its right edge toward one.
    let turned = |(x, y): (f64, f64)| (bottom - y, high - x);
    let inside = |(x, y): (f64, f64)| {
        (low - 0.01..=high + 0.01).contains(&x) && (top - 0.01..=bottom + 0.01).contains(&y)
    };
    let lines = page
        .lines
        .iter()
        .filter(|line| !line.dashed && inside(line.from) && inside(line.to))
        .map(|line| Line {
            from: turned(line.from),
            to: turned(line.to),
            ..*line
        });
    let words = page.words.iter().filter(|words| inside(words.at));
    let fills = page
        .fills
        .iter()
        .filter(|corners| corners.iter().all(|&corner| inside(corner)));
    Piece {
        length: bottom - top,
        height: high - low,
        lines: lines.collect(),
        words: words.map(|words| upright(words, turned)).collect(),
        fills: fills
            .map(|corners| corners.iter().map(|&corner| turned(corner)).collect())
            .collect(),
    }
}

fn upright(words: &Words, turned: impl Fn((f64, f64)) -> (f64, f64)) -> (String, Box) {
    let (at, end) = (turned(words.at), turned(words.end));
    let high = (end.0, at.1 + words.size * CAPITAL);
    (words.text.clone(), Box { low: at, high })
}

impl Piece {
    /// Places along the piece of the lines that stand on one long edge, with
    /// how far they reach.
    pub fn ticks(&self, on_top: bool) -> Vec<(f64, f64)> {
        let edge = if on_top { self.height } else { 0.0 };
        let ticks = self.lines.iter().filter_map(|line| {
            let upright = near(line.from.0, line.to.0);
            let foot = if near(line.from.1, edge) {
                Some(line.to.1)
            } else {
                near(line.to.1, edge).then_some(line.from.1)
            };
            let reach = (foot? - edge).abs();
            (upright && reach > 0.3).then_some((line.from.0, reach))
        });
        ticks.collect()
    }

    /// Places of the lines across the whole tape of a width.
    fn across(&self, width: f64) -> Vec<f64> {
        let across = self.lines.iter().filter(|line| {
            let upright = near(line.from.0, line.to.0) && near(line.width, width);
            upright && near((line.to.1 - line.from.1).abs(), self.height)
        });
        across.map(|line| line.from.0).collect()
    }

    /// Which way the large arrow points: +1 right, −1 left.
    pub fn arrow(&self) -> f64 {
        let arrow = self.fills.iter().find(|corners| corners.len() == 7);
        let arrow = arrow.expect("an arrow");
        // Its tip is drawn first.
        let middle = arrow.iter().map(|corner| corner.0).sum::<f64>() / 7.0;
        (arrow[0].0 - middle).signum()
    }
}

/// Whether nearer marks are to the right, and ticks on the top edge, as the
/// tape is read (see the test of each in `tape.rs`).
pub fn lie(lens: &Lens, side: Side) -> (bool, bool) {
    let nearer_right = match (lens.sense, side) {
        (Sense::Clockwise, Side::Left) | (Sense::CounterClockwise, Side::Right) => false,
        (Sense::Clockwise, Side::Right) | (Sense::CounterClockwise, Side::Left) => true,
    };
    let on_top = (lens.witness == WitnessEdge::Front) == (side == Side::Left);
    (nearer_right, on_top)
}

/// The share of the ring's travel at which a distance stands: a thin lens on a
/// helicoid moves by f m.
pub fn share(lens: &Lens, distance: f64) -> f64 {
    // Image plane to object, thin lens: D = f (2 + m + 1/m).
    let magnification = |distance: f64| {
        if distance.is_infinite() {
            return 0.0;
        }
        let twice = 2.0 * lens.focal;
        let rest = distance - twice;
        // The smaller root, without the loss of a difference.
        twice / (rest + (rest * rest - twice * twice).sqrt())
    };
    magnification(distance) / magnification(lens.close_focus)
}

/// The place of a distance along the tape: π (d + h) θ / 360.
fn place(lens: &Lens, distance: f64) -> f64 {
    let turn = lens.travel * share(lens, distance);
    let diameter = lens.diameter.expect("a ring") + lens.thickness;
    std::f64::consts::PI * diameter * turn / 360.0
}

/// How far along the tape prep day moved every distance: G δ, toward infinity.
fn moved(lens: &Lens) -> f64 {
    let Some((off, _)) = lens.off else { return 0.0 };
    let m = |distance: f64| {
        let rest = distance - 2.0 * lens.focal;
        2.0 * lens.focal / (rest + (rest * rest - 4.0 * lens.focal * lens.focal).sqrt())
    };
    let gain = lens.travel / (lens.focal * m(lens.close_focus));
    let diameter = lens.diameter.expect("a ring") + lens.thickness;
    std::f64::consts::PI * diameter * gain * off / 360.0
}

/// Millimetres of a figure on a ring, in the unit of its scale; signs of feet
/// and inches are feet and inches on any.
pub fn figure(words: &str, unit: Unit) -> Option<f64> {
    if words == "∞" {
        return Some(f64::INFINITY);
    }
    if unit == Unit::Metres && !words.contains(['′', '″']) {
        return words.parse::<f64>().ok().map(|metres| metres * 1000.0);
    }
    let eighths = ["⅛", "¼", "⅜", "½", "⅝", "¾", "⅞"];
    let inches = |words: &str| -> Option<f64> {
        if let Some((whole, part)) = words.split_once(' ') {
            let (over, under) = part.split_once('⁄')?;
            let part = over.parse::<f64>().ok()? / under.parse::<f64>().ok()?;
            return Some(whole.parse::<f64>().ok()? + part);
        }
        let part = eighths.iter().zip(1..).find(|part| words.ends_with(part.0));
        let whole = part.map_or(words, |part| words.trim_end_matches(part.0));
        let whole = if whole.is_empty() {
            0.0
        } else {
            whole.parse().ok()?
        };
        Some(whole + part.map_or(0.0, |part| f64::from(part.1) / 8.0))
    };
    match words.split_once('′') {
        Some((feet, rest)) => Some((feet.parse::<f64>().ok()? * 12.0 + inches(rest)?) * 25.4),
        None => match words.strip_suffix('″') {
            Some(words) => inches(words).map(|inches| inches * 25.4),
            None => words.parse::<f64>().ok().map(|feet| feet * 304.8),
        },
    }
}

/// Distances that the table of worths wants marked, in millimetres.
pub fn usual(unit: Unit) -> Vec<f64> {
    let name = if unit == Unit::Feet { "feet" } else { "metres" };
    let table = include_str!("../../charts/worths.csv");
    let rows = table.lines().filter_map(|row| {
        let mut cells = row.split(',');
        let (of, distance) = (cells.next()?, cells.next()?);
        let words = match distance {
            "inf" => "∞".to_owned(),
            _ => distance
                .trim_end_matches(['m', '"', '\''])
                .replace('\'', "′"),
        };
        // 6" has lost its sign above: it is the only kind without feet.
        let words = if distance.ends_with('"') && !distance.contains('\'') {
            format!("{words}″")
        } else {
            words
        };
        (of == name).then(|| figure(&words, unit).expect("a distance"))
    });
    rows.collect()
}

/// Measures a tape in its pieces: every tick within 0.05 mm of where the law
/// puts it, every mark there, every figure beside its own tick. How many ticks,
/// or what is wrong.
pub fn measured(lens: &Lens, side: Side, pieces: &[Piece]) -> Result<usize, String> {
    let (nearer_right, on_top) = lie(lens, side);
    let sign = if nearer_right { 1.0 } else { -1.0 };
    // From the witness edge: ticks with their places along the scale.
    let mut found: Vec<f64> = Vec::new();
    let mut figures: Vec<(f64, f64)> = Vec::new();
    let (mut zero, mut foot) = (None, None);
    for (number, piece) in pieces.iter().enumerate() {
        let joints = if pieces.len() > 1 {
            piece.across(0.35)
        } else {
            Vec::new()
        };
        let far_joint = joints.iter().copied().map(|at| sign * at).reduce(f64::min);
        let near_joint = joints.iter().copied().map(|at| sign * at).reduce(f64::max);
        let ticks: Vec<f64> = piece
            .ticks(on_top)
            .into_iter()
            .filter(|tick| tick.1 < piece.height - 0.1)
            .map(|tick| sign * tick.0)
            .collect();
        // The scale begins at infinity, and goes on at the joint.
        let start = match zero {
            None => ticks.iter().copied().fold(f64::MAX, f64::min),
            Some(reached) => far_joint.ok_or("no joint")? - reached,
        };
        found.extend(ticks.iter().map(|tick| tick - start));
        if number + 1 < pieces.len() {
            zero = Some(near_joint.ok_or("no joint")? - start);
        }
        foot = foot.or_else(|| large_foot(piece, on_top));
        // What stands beyond the fine line across is the tail's.
        let inner = |at: &f64| *at > 0.1 && *at < piece.length - 0.1;
        let tail = piece.across(0.25).into_iter().find(inner);
        let tail = tail.map_or(f64::MAX, |at| sign * at);
        for (index, (words, at)) in piece.words.iter().enumerate() {
            if sign * at.low.0 >= tail {
                continue;
            }
            let edge = if on_top { at.high.1 } else { at.low.1 };
            let unit = unit_beside(piece, index).unwrap_or(lens.unit);
            if let Some(distance) =
                figure(words, unit).filter(|_| foot.is_some_and(|foot| near(edge, foot)))
            {
                figures.push((distance, sign * (at.low.0 + at.high.0) / 2.0 - start));
            }
        }
    }
    against_the_law(lens, &found, &figures)
}

/// The unit a figure has beside it.
pub fn unit_beside(piece: &Piece, index: usize) -> Option<Unit> {
    let (_, at) = &piece.words[index];
    let (words, beside) = piece.words.get(index + 1)?;
    let close = (0.0..1.0).contains(&(beside.low.0 - at.high.0));
    match words.as_str() {
        "ft" if close => Some(Unit::Feet),
        "m" if close => Some(Unit::Metres),
        _ => None,
    }
}

/// Where the large ∞ has its edge nearest the witness edge.
fn large_foot(piece: &Piece, on_top: bool) -> Option<f64> {
    let infinite = piece.words.iter().filter(|(words, _)| words == "∞");
    let edges = infinite.map(|(_, at)| if on_top { at.high.1 } else { at.low.1 });
    edges.reduce(if on_top { f64::max } else { f64::min })
}

fn against_the_law(lens: &Lens, found: &[f64], figures: &[(f64, f64)]) -> Result<usize, String> {
    let mut expected = usual(lens.unit);
    expected.retain(|&distance| distance >= lens.close_focus);
    expected.push(lens.close_focus);
    expected.extend(&lens.engraved);
    let mut places: Vec<f64> = expected
        .iter()
        .map(|&distance| place(lens, distance))
        .collect();
    // The ring's own marks stay where they are when distances move.
    let own = lens.engraved.iter().chain([&lens.close_focus]);
    places.extend(own.map(|&distance| place(lens, distance) + moved(lens)));
    let closest = |at: f64, among: &[f64]| {
        let off = among.iter().map(|other| (other - at).abs());
        off.fold(f64::MAX, f64::min)
    };
    for &tick in found {
        let off = closest(tick, &places);
        if off > TRUE {
            return Err(format!("a tick at {tick:.3} mm is {off:.3} mm off"));
        }
    }
    // Triangles cover what is beside them.
    let covered = |at: f64| {
        let lined_up = lens.engraved.iter().chain([&lens.close_focus]);
        let mut marks = lined_up.map(|&distance| place(lens, distance));
        let moved = moved(lens);
        marks.any(|mark| (mark - at).abs() < 1.7 || (mark + moved - at).abs() < 1.7)
    };
    for (&distance, &at) in expected.iter().zip(&places) {
        let off = closest(at, found);
        // Of two marks whose figures would be alike there is one.
        let alike = |other: &f64| *other != distance && (other / distance - 1.0).abs() < 0.01;
        if expected.iter().any(alike) {
            continue;
        }
        if off > CROWDED && !covered(at) {
            return Err(format!("no tick for {distance} mm at {at:.3} mm"));
        }
    }
    let mut in_order: Vec<(f64, f64)> = Vec::new();
    for &(distance, middle) in figures {
        // Figures are rounded: the tick meant is the nearest in distance.
        let relative = |other: f64| {
            if distance == other {
                0.0
            } else {
                (other / distance - 1.0).abs()
            }
        };
        let meant = expected
            .iter()
            .copied()
            .filter(|&other| closest(place(lens, other), found) <= TRUE)
            .min_by(|&one, &other| relative(one).total_cmp(&relative(other)));
        let meant = meant.expect("ticks");
        if relative(meant) > 0.01 {
            return Err(format!("a figure for {distance} mm without its tick"));
        }
        let at = place(lens, meant);
        if (middle - at).abs() > 14.1 {
            return Err(format!("the figure for {distance} mm is far from its tick"));
        }
        in_order.push((at, middle));
    }
    in_order.sort_by(|one, other| one.0.total_cmp(&other.0));
    if in_order.windows(2).any(|pair| pair[0].1 >= pair[1].1) {
        return Err("figures out of the order of their ticks".into());
    }
    if in_order.len() < 2 {
        return Err("hardly a figure".into());
    }
    Ok(found.len())
}
