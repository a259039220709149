//! What the sheets of a kit's lens need: names, references, stops.

use super::names::Names;
use super::surface::Surface;
use super::tape::{NoTape, Reference, ReferenceKind, TapeWish};
use crate::gear::{Camera, HardStops, Kit, Lens, Mark, MarkKind, Marks, Sense};
use crate::scale::{LensLaw, Zero};
use crate::units::{Angle, NOMINAL_STOPS, Stop, Unit};

impl Names {
    /// What identifies a lens of the kit. From measured marks, the camera they
    /// were measured on.
    #[must_use]
    pub fn of(kit: &Kit, lens: &Lens, camera: Option<&Camera>) -> Self {
        let (short, long) = (
            lens.focal().shortest().to_mm(),
            lens.focal().longest().to_mm(),
        );
        let focal = match lens.stands_at() {
            Some(focal) => format!("{}", focal.to_mm()),
            None if short == long => format!("{long}"),
            None => format!("{short}–{long}"),
        };
        // What only says the focal length again is left out.
        let id = Some(lens.id().as_str().to_owned()).filter(|id| *id != focal);
        let label = Some(lens.label().to_owned())
            .filter(|label| *label != format!("{focal} mm") && Some(label) != id.as_ref());
        Self {
            title: Some(kit.title.clone()).filter(|title| !title.is_empty()),
            focal,
            widest: Some(lens.widest().to_string()),
            id,
            label,
            serial: lens.serial().map(str::to_owned),
            camera: camera.and_then(|camera| camera.name.clone()),
            prepared: kit.prepared.clone(),
        }
    }
}

impl TapeWish {
    /// What a tape of a kit's lens needs.
    ///
    /// # Errors
    /// [`NoTape::NoSense`] where nobody said how the ring turns.
    pub fn of(
        lens: &Lens,
        law: &LensLaw<'_>,
        marks: Option<&Marks>,
        names: Names,
        unit: Unit,
    ) -> Result<Self, NoTape> {
        let thickness = lens.ring().tape_thickness();
        let sense = lens.ring().sense().ok_or(NoTape::NoSense)?;
        let on = (&Surface::Ring { thickness }, sense);
        Ok(Self::on(on, (lens, marks), law, names, unit))
    }

    /// What the scale of a kit's lens laid on something that turns so needs.
    pub(super) fn on(
        (surface, sense): (&Surface, Sense),
        (lens, marks): (&Lens, Option<&Marks>),
        law: &LensLaw<'_>,
        names: Names,
        unit: Unit,
    ) -> Self {
        let ring = lens.ring();
        let beyond = |turn: Option<Angle>, stops: &[HardStops]| {
            let stopped = ring.stops().is_none_or(|given| stops.contains(&given));
            turn.filter(|_| stopped)
                .and_then(|turn| surface.of_turn(&law.law, turn))
        };
        let at_infinity = law.law.zero() == Zero::Infinity;
        let (references, reference) = references(law, marks, surface);
        let set = law.marks.as_ref();
        // Marks and corrections are those of one camera.
        let corrected = law.law.correction().is_some();
        let own = set.and_then(|set| set.camera.map(str::to_owned));
        let camera = own.filter(|_| !corrected).or(names.camera.clone());
        let of_one = set.is_some() || corrected;
        Self {
            names: Names {
                camera: camera.filter(|_| of_one),
                ..names
            },
            sense,
            engraved: lens.engraved(),
            witness: ring.witness(),
            thickness: ring.tape_thickness(),
            band: ring.band(),
            unit,
            // Without an infinity mark nobody knows where it begins.
            beyond_infinity: at_infinity.then_some(()).and(beyond(
                ring.beyond_infinity(),
                &[HardStops::Both, HardStops::Infinity],
            )),
            beyond_near: beyond(ring.beyond_near(), &[HardStops::Both, HardStops::Near]),
            references,
            reference,
            measured: set.map_or(Vec::new(), |set| {
                set.rows.iter().map(|row| row.distance).collect()
            }),
            bodies: Vec::new(),
        }
    }
}

/// What can be found on the ring itself: engraved marks; else the marks the law
/// goes through; else the two ends the travel was measured between.
fn references(
    law: &LensLaw<'_>,
    marks: Option<&Marks>,
    surface: &Surface,
) -> (Vec<Reference>, ReferenceKind) {
    let of = |mark: &&Mark| {
        let at = surface.along(law.place_of(mark))?;
        Some(Reference {
            distance: mark.distance,
            at,
        })
    };
    let engraved: Vec<Reference> = marks.map_or(Vec::new(), |marks| {
        let engraved = marks.engraved();
        let sound = engraved.iter().filter(|mark| !law.is_far_off(mark));
        sound.filter_map(of).collect()
    });
    if !engraved.is_empty() {
        return (engraved, ReferenceKind::Engraved);
    }
    if let Some(set) = &law.marks {
        let kind = match set.kind {
            MarkKind::Eye => ReferenceKind::ByEye,
            MarkKind::Read | MarkKind::Engraved => ReferenceKind::Engraved,
        };
        return (set.rows.iter().filter_map(of).collect(), kind);
    }
    let own = law.law.clone().uncorrected();
    let (far, near) = own.reach();
    let ends = [far, near].into_iter().filter_map(|distance| {
        let at = surface.along(own.position(distance).ok()?)?;
        Some(Reference { distance, at })
    });
    (ends.collect(), ReferenceKind::Ends)
}

/// The stops of a card's table face: wide open and the full stops below it, the
/// working stop among them, at most `most`.
#[must_use]
pub fn table_stops(widest: Stop, working: Stop, most: usize) -> Vec<Stop> {
    let full = NOMINAL_STOPS
        .into_iter()
        // A nominal stop within a tenth of a stop of wide open is wide open.
        .filter(|&number| number > widest.number() * 1.035)
        .filter_map(|number| Stop::new(widest.kind(), number).ok());
    let mut stops: Vec<Stop> = core::iter::once(widest).chain(full).take(most).collect();
    let known = |stops: &[Stop]| {
        stops
            .iter()
            .any(|stop| (stop.number() / working.number() - 1.0).abs() < 0.02)
    };
    if working.kind() == widest.kind() && !known(&stops) {
        if stops.len() == most {
            stops.pop();
        }
        stops.push(working);
        stops.sort_by(|a, b| a.number().total_cmp(&b.number()));
    }
    stops
}
