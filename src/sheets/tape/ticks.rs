//! Which marks a tape has.

use super::figure::{called_in, ring_figure};
use super::{NoTape, Places, Tick};
use crate::sheets::worth::{Duty, FINE, Worth, usual_marks};
use crate::units::{FocusDistance, Unit};

/// A mark somebody measured, among the usual ones.
const MEASURED: u32 = 20;
/// Usual marks of at least this worth are long.
const MAJOR: u32 = 70;

/// Marks at the usual distances, the required ones in the ring's own unit, and
/// the measured ones that are round in the tape's.
pub(super) fn ticks(
    places: &Places<'_>,
    unit: Unit,
    engraved: Option<Unit>,
    required: &[FocusDistance],
    measured: &[FocusDistance],
) -> Result<Vec<Tick>, NoTape> {
    let usual = usual_marks(unit);
    let fine = places.fine_marks(unit);
    let unusual = if fine.is_empty() {
        MEASURED
    } else {
        FINE.points()
    };
    let worth = |distance: FocusDistance| {
        usual
            .iter()
            .find(|mark| mark.0 == distance)
            .map_or(unusual, |mark| mark.1.points())
    };
    let required = required.iter().map(|&distance| {
        (
            distance,
            called_in(distance, engraved, unit),
            Duty::Required,
        )
    });
    let wanted = measured
        .iter()
        .copied()
        .filter(|&distance| called_in(distance, None, unit) == unit)
        .chain(usual.iter().map(|mark| mark.0))
        .chain(fine)
        .map(|distance| (distance, unit, Duty::Wanted));
    let mut out: Vec<Tick> = Vec::new();
    for (distance, unit, duty) in required.chain(wanted).filter(|mark| places.tells(mark.0)) {
        let beyond = places.standing_at(distance) != places.law.standing();
        let mark = if beyond { "≈" } else { "" };
        let figure = format!("{mark}{}", ring_figure(distance, unit));
        // Two ticks a hair apart must not carry the same figure: the usual mark
        // gives way to the one that is required or was measured.
        if out
            .iter()
            .any(|tick| tick.figure == figure && tick.unit == unit)
        {
            continue;
        }
        out.push(Tick {
            at: places.along(distance)?,
            figure,
            unit,
            worth: Worth::of(worth(distance)),
            duty,
            major: duty == Duty::Required || worth(distance) >= MAJOR,
            beyond,
            doubt: places.doubt(distance),
        });
    }
    out.sort_by(|a, b| a.at.to_mm().total_cmp(&b.at.to_mm()));
    Ok(out)
}
