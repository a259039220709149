//! What a sheet is about: lens, camera, date.

use crate::gear::Fitted;

/// What identifies a lens on every sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Names {
    /// The kit's title.
    pub title: Option<String>,
    /// Focal length in mm, as figures.
    pub focal: String,
    /// The widest stop, as `T2.1`.
    pub widest: Option<String>,
    /// The lens's id.
    pub id: Option<String>,
    /// What the lens is called.
    pub label: Option<String>,
    /// Its serial number.
    pub serial: Option<String>,
    /// The camera it was measured on, which alone it holds for.
    pub camera: Option<String>,
    /// The date as it was given.
    pub prepared: Option<String>,
}

impl Names {
    /// The same with what is attached to the lens, which alone the sheet holds
    /// for.
    #[must_use]
    pub fn with_attached(self, attached: &Fitted) -> Self {
        if !attached.voids_the_scale() {
            return self;
        }
        let with = attached.attached_in_short();
        let label = match self.label {
            Some(label) => format!("{label} {with}"),
            None => with,
        };
        Self {
            label: Some(label),
            ..self
        }
    }
}
