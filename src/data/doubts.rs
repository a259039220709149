//! Figures of a kit that can be read but hardly be true: warnings, for a wrong
//! mark makes a wrong tape and nothing else would say so.

use super::fault::{Fault, Kind, Place};
use crate::gear::{Kit, Lens, Mark, Marks};
use crate::scale::{LensLaw, Zero};

/// A mark this share of the scale off its neighbours' line was hardly read there.
const SLIP: f64 = 0.02;
/// Marks and travel may differ by this share, and by [`TURN`] degrees more.
const TRAVEL: f64 = 0.02;
/// See [`TRAVEL`].
const TURN: f64 = 3.0;

/// What is doubtful in a kit.
pub(super) fn doubts(kit: &Kit) -> Vec<Fault> {
    let camera = kit
        .cameras
        .first()
        .and_then(|camera| camera.name.as_deref());
    let mut out = Vec::new();
    for (lens, marks) in &kit.lenses {
        let Some(marks) = marks else { continue };
        let Ok(law) = LensLaw::of(lens, Some(marks), camera) else {
            continue;
        };
        let file = format!("marks/{}.csv", lens.id().as_str());
        out.extend(of_engraving(marks, &law, &file));
        out.extend(of_a_slip(lens, &law, &file));
        out.extend(of_travel(lens, &law, &file));
    }
    out
}

fn at(file: &str, mark: &Mark) -> Place {
    Place {
        key: Some(format!("distance {}", mark.written)),
        ..Place::in_file(file)
    }
}

/// Engraved marks far from where the marks found by eye put their distance.
fn of_engraving(marks: &Marks, law: &LensLaw<'_>, file: &str) -> Vec<Fault> {
    let far_off = marks
        .engraved()
        .into_iter()
        .filter(|mark| law.is_far_off(mark));
    far_off
        .map(|mark| {
            let message = "this engraved mark stands far from where the other marks put its \
                           distance; no tape is lined up on it";
            Fault::warning(Kind::OutOfOrder, message)
                .at(at(file, mark))
                .with_help("read it again")
        })
        .collect()
}

/// The one mark that is most off the line of the others, if it is off at all.
fn of_a_slip(lens: &Lens, law: &LensLaw<'_>, file: &str) -> Option<Fault> {
    let (mark, off) = law.worst_mark(lens)?;
    (off > SLIP).then(|| {
        let message = format!(
            "this mark stands {:.0} % of the scale off the line of the others",
            off * 100.0
        );
        Fault::warning(Kind::OutOfOrder, message)
            .at(at(file, mark))
            .with_help("read it again; if it stands, the scale is uneven there")
    })
}

/// Marks that span another turn than the travel written down.
fn of_travel(lens: &Lens, law: &LensLaw<'_>, file: &str) -> Option<Fault> {
    let travel = lens.ring().travel()?.to_deg();
    let span = law.law.position(lens.close_focus()).ok()?.turn()?.to_deg();
    let off = (span - travel).abs();
    (law.law.zero() == Zero::Infinity && off > TURN + TRAVEL * travel).then(|| {
        let message = format!(
            "the marks span {span:.0}° of ring, but lenses.csv says {travel:.0}° of travel"
        );
        Fault::warning(Kind::OutOfRange, message)
            .at(Place::in_file(file))
            .with_help("check travel, ring circumference and the unit of the positions")
    })
}
