//! Figures of a kit that can be read but hardly be true: warnings, for a wrong
//! mark makes a wrong tape and nothing else would say so.

use super::fault::{Fault, Kind, Place, shortened};
use crate::gear::{Kit, Lens, Mark, MarkKind, MarkSet, Marks};
use crate::scale::{LensLaw, Zero};

/// A mark this share of the scale off its neighbours' line was hardly read there.
const SLIP: f64 = 0.02;
/// A smaller share than this does nobody harm, sure as it may be.
const LEAST: f64 = 0.002;
/// Marks and travel may differ by this share, and by [`TURN`] degrees more.
const TRAVEL: f64 = 0.02;
/// See [`TRAVEL`].
const TURN: f64 = 3.0;

/// What is doubtful in a kit.
pub(super) fn doubts(kit: &Kit) -> Vec<Fault> {
    let mut out = Vec::new();
    for (lens, marks) in &kit.lenses {
        let Some(marks) = marks else { continue };
        let file = format!("marks/{}.csv", lens.id().as_str());
        let mut judged = Vec::new();
        // What is engraved is so on every camera.
        let mut engraved = false;
        for camera in &kit.cameras {
            let camera = camera.name.as_deref();
            let Ok(law) = LensLaw::of(lens, Some(marks), camera) else {
                continue;
            };
            // Two cameras' laws may go through the same marks.
            let set = law.marks.as_ref().and_then(|set| set.camera);
            let on_the_ring = |set: &MarkSet<'_>| set.kind == MarkKind::Engraved;
            engraved |= law.marks.as_ref().is_some_and(on_the_ring);
            if !judged.contains(&set) {
                judged.push(set);
                out.extend(of_engraving(marks, &law, &file));
                out.extend(of_a_slip(lens, &law, &file));
                out.extend(of_travel(lens, &law, &file));
            }
            out.extend(of_another_camera(camera, &law, &file));
        }
        if kit.cameras.len() > 1 && judged.contains(&None) && !engraved {
            out.push(of_no_camera(&file));
        }
    }
    out.extend(of_names(kit));
    out
}

/// Marks that are used for a camera they were not taken on.
fn of_another_camera(camera: Option<&str>, law: &LensLaw<'_>, file: &str) -> Option<Fault> {
    let (camera, other) = (camera?, law.of_another_camera(camera)?);
    let message = format!(
        "no marks of this lens were taken on camera {camera}: those of camera {other} are used \
         for it"
    );
    let warning = Fault::warning(Kind::Missing, message).at(column(file));
    Some(warning.with_help("verify them by eye on that camera, or add its own"))
}

/// Marks that may be those of any of several cameras.
fn of_no_camera(file: &str) -> Fault {
    let message = "nobody said on which camera these marks were taken: they are used for all";
    Fault::warning(Kind::Missing, message)
        .at(column(file))
        .with_help("write its name in the column camera")
}

fn column(file: &str) -> Place {
    Place {
        key: Some("camera".into()),
        ..Place::in_file(file)
    }
}

/// Rows that name cameras while the only camera of the kit has no name.
fn of_names(kit: &Kit) -> Vec<Fault> {
    if kit.cameras.iter().any(|camera| camera.name.is_some()) {
        return Vec::new();
    }
    let marks = kit.lenses.iter().flat_map(|(lens, marks)| {
        let file = format!("marks/{}.csv", lens.id().as_str());
        let rows = marks.iter().flat_map(|marks| marks.rows());
        rows.map(move |row| (file.clone(), None, row.camera.as_deref()))
    });
    let prep = kit.prep.iter();
    let prep = prep.map(|row| ("prep.csv".into(), Some(row.line), row.camera.as_deref()));
    let shots = kit.shots.iter();
    let shots = shots.map(|row| ("shots.csv".into(), Some(row.line), row.camera.as_deref()));
    let mut told: Vec<(String, &str)> = Vec::new();
    let mut out = Vec::new();
    for (file, line, name) in marks.chain(prep).chain(shots) {
        let Some(name) = name else { continue };
        if told.iter().any(|known| *known == (file.clone(), name)) {
            continue;
        }
        let message = format!(
            "camera \"{}\" is named here, but the only camera in kit.toml has no name: nobody \
             knows whether it is that one",
            shortened(name)
        );
        let place = Place {
            line,
            key: Some("camera".into()),
            ..Place::in_file(&file)
        };
        out.push(
            Fault::warning(Kind::UnknownId, message)
                .at(place)
                .with_help(format!(
                    "name the camera in kit.toml: write [camera.{}] instead of [recording]",
                    shortened(name)
                )),
        );
        told.push((file, name));
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

/// The one mark that does not belong to the others, if one does not: by more
/// than chance, or by so much that chance does not matter.
fn of_a_slip(lens: &Lens, law: &LensLaw<'_>, file: &str) -> Option<Fault> {
    let odd = law.odd_mark(lens)?;
    let off = odd.share.value();
    (off > SLIP || (odd.is_sure && off > LEAST)).then(|| {
        let percent = if off < 0.01 {
            format!("{:.1}", off * 100.0)
        } else {
            format!("{:.0}", off * 100.0)
        };
        let message =
            format!("this mark stands {percent} % of the scale off the line of the others");
        Fault::warning(Kind::OutOfOrder, message)
            .at(at(file, odd.mark))
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
