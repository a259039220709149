//! What a tape is lined up on, and what that is checked at.

use super::figure::{called_in, named_figure};
use super::{Alignment, NoTape, Places, Reference, ReferenceKind, TapeWish};
use crate::units::{FocusDistance, Length};

/// Closer than this two marks are one: no print and no eye parts them.
const ONE_MARK: Length = Length::mm(0.01);

/// A mark, and its distance where the tape has a place of its own for that.
type Found = (Alignment, Option<FocusDistance>);

/// Where the tape is lined up and where that is checked: two references well
/// apart, away from the crowd near infinity.
pub(super) fn alignment(
    places: &Places<'_>,
    wish: &TapeWish,
) -> Result<(Found, Option<Found>), NoTape> {
    let law = places.law;
    let (_, near) = law.reach();
    let length = places.own_end()?.to_mm();
    let mut references = wish.references.clone();
    references.retain(|reference| reference.at.to_mm() <= length);
    references.sort_by(|a, b| a.at.to_mm().total_cmp(&b.at.to_mm()));
    let nearest_to = |share: f64| {
        references.iter().min_by(|a, b| {
            let off = |r: &Reference| (r.at.to_mm() - share * length).abs();
            off(a).total_cmp(&off(b))
        })
    };
    let named = |distance| named_figure(distance, called_in(distance, wish.engraved, wish.unit));
    let [put, meets] = places.surface.meeting();
    let words = |distance: FocusDistance, first: bool| {
        let named = named(distance);
        let place = match wish.reference {
            ReferenceKind::Engraved => format!("its own engraved {named}"),
            ReferenceKind::ByEye if places.attached.is_some() => {
                format!("{named} with nothing attached")
            }
            ReferenceKind::ByEye => named,
            ReferenceKind::Ends if distance.is_infinite() => "its infinity mark".into(),
            ReferenceKind::Ends => format!("its close-focus mark ({named})"),
        };
        match (wish.reference, first) {
            (ReferenceKind::ByEye, true) => {
                format!("focus by eye on a chart at {place}, {put}")
            }
            (ReferenceKind::ByEye, false) => {
                format!("check by eye at {place}: {meets}")
            }
            (_, true) => format!("set the ring to {place}, {put}"),
            (_, false) => format!("check: at {place} {meets}"),
        }
    };
    let made = |reference: &Reference, first: bool| {
        let told = Some(reference.distance).filter(|&distance| law.tells(distance));
        let measured = told.and_then(|distance| places.of_mark(distance).ok());
        let at = measured.filter(|&at| (at - reference.at).abs() <= ONE_MARK);
        let alignment = Alignment {
            at: at.unwrap_or(reference.at),
            distance: reference.distance,
            named: named(reference.distance),
            words: words(reference.distance, first),
        };
        (alignment, told)
    };
    let Some(&first) = nearest_to(0.6) else {
        // Nothing on the ring is known but its end.
        let end = Reference {
            distance: near,
            at: places.own_end()?,
        };
        return Ok((made(&end, true), None));
    };
    let check = nearest_to(0.25)
        .filter(|other| other.distance != first.distance)
        .or_else(|| {
            references
                .iter()
                .rev()
                .find(|other| other.distance != first.distance)
        });
    Ok((made(&first, true), check.map(|check| made(check, false))))
}
