//! Why a row of `lenses.csv` is no lens, in words and with its place.

use crate::data::fault::{Fault, Kind, Place};
use crate::data::faults::Faults;
use crate::data::fields::Fields;
use crate::gear::LensProblem;
use crate::optics::NoBreathing;
use crate::units::{FocusDistance, Length, Unit, show};

/// Neither stop is there.
pub(super) fn stop_missing(fields: &Fields, faults: &mut Faults) {
    let message = "neither t_number nor f_number is there";
    let help = "give the widest stop: t_number 2.1, f_number 1.9 or both".to_owned();
    fields.fault("t_number", Kind::Missing, message, Some(help), faults);
}

/// A row whose lens cannot be as written.
pub(super) struct Written<'a> {
    pub fields: &'a Fields,
    pub close_focus: FocusDistance,
    pub unit: Unit,
    pub zoom: &'a [Place],
    pub breathing: Option<Place>,
}

impl Written<'_> {
    pub fn tell(&self, problem: &LensProblem, faults: &mut Faults) {
        let fields = self.fields;
        let mut say = |name: &str, kind: Kind, message: String| {
            fields.fault(name, kind, message, None, faults);
        };
        match problem {
            LensProblem::NoStop => stop_missing(fields, faults),
            LensProblem::TBelowF { f, t } => {
                let message = format!(
                    "T{} is below f/{}: more light would come out than went in",
                    t.value(),
                    f.value()
                );
                say("t_number", Kind::OutOfRange, message);
            }
            LensProblem::LightDisagrees {
                given_by_stops,
                written,
            } => {
                let message = format!(
                    "f- and T-number give a transmittance of {:.3}, which is over a tenth of a \
                     stop from {}",
                    given_by_stops.value(),
                    written.value()
                );
                say("transmittance", Kind::OutOfRange, message);
            }
            LensProblem::Light(reason) => {
                let message = format!("f-number, T-number and transmittance: {reason}");
                say("transmittance", Kind::from(reason), message);
            }
            LensProblem::FocalOrder => {
                let message = "a zoom goes from its shortest to its longest focal length";
                say("focal_mm", Kind::OutOfOrder, message.into());
            }
            LensProblem::CardFocalOutside(_) => {
                let message = "a card's focal length lies outside the zoom's";
                say("card_focals", Kind::OutOfRange, message.into());
            }
            LensProblem::NoZoom => {
                let message = "one focal length, but card_focals or a file in zoom/";
                say("focal_mm", Kind::OutOfRange, message.into());
            }
            LensProblem::ZoomRowOutside(row) => {
                let message = "this focal length lies outside the zoom's";
                let fault = Fault::new(Kind::OutOfRange, message);
                let place = self.zoom.get(*row).cloned();
                faults.push(Fault { place, ..fault });
            }
            LensProblem::ZoomRowTwice(row) => {
                let message = "this focal length stands there already";
                let fault = Fault::new(Kind::Duplicate, message);
                let place = self.zoom.get(*row).cloned();
                faults.push(Fault { place, ..fault });
            }
            LensProblem::Breathing(reason) => {
                let kind = match reason {
                    NoBreathing::TooFew => Kind::TooFew,
                    NoBreathing::NotPossible => Kind::OutOfRange,
                    NoBreathing::NotMonotone => Kind::OutOfOrder,
                };
                let fault = Fault::new(kind, reason.to_string());
                let place = self.breathing.clone();
                faults.push(Fault { place, ..fault });
            }
            LensProblem::BreathingZoom => {
                let message = "how a lens breathes is for one with a single focal length";
                let fault = Fault::new(Kind::OutOfRange, message);
                let place = self.breathing.clone();
                faults.push(Fault { place, ..fault });
            }
            LensProblem::CloseFocusInfinite => {
                let message = "close focus must be a finite distance";
                say("close_focus", Kind::NotFinite, message.into());
            }
            LensProblem::Inside4f { limit } => {
                let close = show::exact_distance(self.close_focus, self.unit);
                let (message, help) = inside_4f("close focus", &close, *limit, self.unit);
                let place = fields.place_of("close_focus");
                let fault = Fault::new(Kind::Inside4f, message)
                    .at(place)
                    .with_help(help);
                faults.push(Fault {
                    nearest: Some(limit.to_mm()),
                    ..fault
                });
            }
            LensProblem::FrontUnknown => {
                let message = "a scale that counts from the front needs front_distance_mm";
                say("front_distance_mm", Kind::Missing, message.into());
            }
        }
    }
}

/// A distance nearer than any setting could focus: message and help.
pub(super) fn inside_4f(what: &str, distance: &str, limit: Length, unit: Unit) -> (String, String) {
    let limit = show::rounded(limit, show::Step::TenthsOfMm(10), show::Round::Up)
        + &match unit {
            Unit::Feet => format!(" ({})", show::nearest_16th(limit)),
            Unit::Metres => String::new(),
        };
    (
        format!(
            "{what} {distance} is nearer than four focal lengths and the hiatus, {limit}: no \
             setting of such a lens focuses there"
        ),
        "check the distance, and hiatus_mm or entrance_pupil_mm where the lens has them".into(),
    )
}
