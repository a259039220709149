//! What drives rings, and what stands in front of lenses.

use super::toml::{Source, Table};
use crate::data::faults::Faults;
use crate::data::keys::{FOLLOW, FRONT, HAND_UNIT};
use crate::gear::{Follow, Front, HandUnit, Rods, Sense, Side};
use crate::units::{Length, Ratio, parse};

/// The ring's senses as kits write them.
pub(super) const SENSES: [(&str, Sense); 2] = [
    (Sense::Clockwise.name(), Sense::Clockwise),
    (Sense::CounterClockwise.name(), Sense::CounterClockwise),
];

/// `[follow]`.
pub(super) fn follow(source: &Source<'_>, table: &Table<'_>, faults: &mut Faults) -> Follow {
    let fields = source.fields(table, &FOLLOW, &[], faults);
    let sides = [("left", Side::Left), ("right", Side::Right)];
    let (yes, no) = (("true", true), ("false", false));
    let ratios = fields.numbers("knob_ratio", faults).unwrap_or_default();
    let outer = fields.length("disc_outer", faults);
    let inner = fields.length("disc_inner", faults);
    if let (Some(outer), Some(inner)) = (outer, inner)
        && inner >= outer
    {
        let kind = crate::data::Kind::OutOfRange;
        let message = "the hole is as large as the disc";
        fields.fault("disc_inner", kind, message, None, faults);
    }
    Follow {
        drive_teeth: fields.count("drive_teeth", faults),
        // In range, so they are finite.
        knob_ratios: ratios
            .into_iter()
            .filter_map(|it| Ratio::new(it).ok())
            .collect(),
        knob_side: fields.choice("knob_side", &sides, faults),
        reversed: fields
            .choice("reversed", &[yes, no], faults)
            .unwrap_or(false),
        disc_outer: outer,
        disc_inner: inner,
    }
}

/// `[[hand_unit]]`; nothing where it has no name.
pub(super) fn hand_unit(
    source: &Source<'_>,
    table: &Table<'_>,
    faults: &mut Faults,
) -> Option<HandUnit> {
    let fields = source.fields(table, &HAND_UNIT, &[], faults);
    let wheel_diameter = fields.length("wheel_diameter", faults);
    let usable = fields.deg("usable_deg", faults);
    let sense = fields.choice("sense", &SENSES, faults);
    Some(HandUnit {
        name: fields.words("name")?,
        wheel_diameter,
        usable,
        sense,
    })
}

/// `[front]`.
pub(super) fn front(source: &Source<'_>, table: &Table<'_>, faults: &mut Faults) -> Front {
    let fields = source.fields(table, &FRONT, &[], faults);
    let rods = [
        ("15mm-light", Rods::Light15),
        ("15mm-studio", Rods::Studio15),
        ("19mm-studio", Rods::Studio19),
    ];
    let filter: Option<(Length, Length)> = fields.read("filter", faults, parse::gate);
    Front {
        back_diameter: fields.length("back_diameter", faults),
        stages: fields.count("stages", faults),
        filter,
        rods: fields.choice("rods", &rods, faults),
    }
}
