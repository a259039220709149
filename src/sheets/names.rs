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
    /// The same with how the lens squeezes and what is attached to it, which
    /// alone the sheet holds for.
    #[must_use]
    pub fn with_attached(self, attached: &Fitted) -> Self {
        let squeeze = attached.squeeze;
        let squeeze = squeeze.map(|squeeze| format!("{}× squeeze", squeeze.ratio.value()));
        let short = Some(attached.attached_in_short()).filter(|_| attached.voids_the_scale());
        let parts: Vec<String> = squeeze.into_iter().chain(short).collect();
        if parts.is_empty() {
            return self;
        }
        let with = parts.join(" ");
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
