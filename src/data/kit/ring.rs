//! The ring of a row of `lenses.csv`.

use super::follow::SENSES;
use crate::data::fault::Kind;
use crate::data::faults::Faults;
use crate::data::fields::Fields;
use crate::gear::{HardStops, Ring, RingProblem, RingWritten, Round, Travel, WitnessEdge};

/// Reads the ring's columns; nothing where a fault was told.
pub(super) fn ring(fields: &Fields, faults: &mut Faults) -> Option<Ring> {
    fields.either("ring_circumference_mm", "ring_diameter_mm", faults);
    fields.either("travel_deg", "travel_mm", faults);
    let round = fields.mm("ring_circumference_mm", faults);
    let across = fields.mm("ring_diameter_mm", faults);
    let turn = fields.deg("travel_deg", faults);
    let arc = fields.mm("travel_mm", faults);
    let stops = [
        ("both", HardStops::Both),
        ("infinity", HardStops::Infinity),
        ("near", HardStops::Near),
        ("none", HardStops::None),
    ];
    let witness = [("rear", WitnessEdge::Rear), ("front", WitnessEdge::Front)];
    let written = RingWritten {
        sense: fields.choice("sense", &SENSES, faults),
        round: round
            .map(Round::Circumference)
            .or(across.map(Round::Diameter)),
        travel: turn.map(Travel::Turn).or(arc.map(Travel::Arc)),
        beyond_infinity: fields.deg("beyond_inf_deg", faults),
        beyond_near: fields.deg("beyond_near_deg", faults),
        stops: fields.choice("stops", &stops, faults),
        witness: fields.choice("witness", &witness, faults),
        band: fields.mm("band_mm", faults),
        marks_diameter: fields.mm("marks_diameter_mm", faults),
        tape_thickness: fields.mm("tape_thickness_mm", faults),
    };
    match Ring::new(written) {
        Ok(ring) => Some(ring),
        Err(problems) => {
            for problem in problems {
                tell_ring(fields, &problem, faults);
            }
            None
        }
    }
}

fn tell_ring(fields: &Fields, problem: &RingProblem, faults: &mut Faults) {
    let (name, reason) = match problem {
        RingProblem::ArcOnUnknownRing => {
            let unread = fields.has("ring_circumference_mm") || fields.has("ring_diameter_mm");
            if !unread {
                let message = "travel_mm needs ring_circumference_mm or ring_diameter_mm";
                fields.fault("travel_mm", Kind::Missing, message, None, faults);
            }
            return;
        }
        RingProblem::Round(reason) if fields.has("ring_diameter_mm") => {
            ("ring_diameter_mm", reason)
        }
        RingProblem::Round(reason) => ("ring_circumference_mm", reason),
        RingProblem::Travel(reason) if fields.has("travel_mm") => ("travel_mm", reason),
        RingProblem::Travel(reason) => ("travel_deg", reason),
        RingProblem::BeyondInfinity(reason) => ("beyond_inf_deg", reason),
        RingProblem::BeyondNear(reason) => ("beyond_near_deg", reason),
        RingProblem::Band(reason) => ("band_mm", reason),
        RingProblem::MarksDiameter(reason) => ("marks_diameter_mm", reason),
        RingProblem::TapeThickness(reason) => ("tape_thickness_mm", reason),
    };
    fields.fault(
        name,
        Kind::from(reason),
        reason.to_string(),
        reason.help(),
        faults,
    );
}
