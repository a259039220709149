//! What a lens is called.

use core::fmt;

/// What a lens is called: 1 to 40 letters, digits, `-`, `_`, `.` and inner
/// spaces, not beginning or ending with a dot. It names files.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LensId(String);

/// A text that cannot name a lens.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NoLensId;

impl fmt::Display for NoLensId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(
            "a lens id is 1 to 40 letters, digits, - _ . and inner spaces, and neither begins \
             nor ends with a dot",
        )
    }
}

impl core::error::Error for NoLensId {}

impl LensId {
    /// An id from a text.
    ///
    /// # Errors
    /// [`NoLensId`] when it could not name a file everywhere.
    pub fn new(text: &str) -> Result<Self, NoLensId> {
        let allowed = |c: char| c.is_alphanumeric() || matches!(c, '-' | '_' | '.' | ' ');
        let good = (1..=40).contains(&text.chars().count())
            && text.chars().all(allowed)
            && !text.starts_with(['.', ' '])
            && !text.ends_with(['.', ' ']);
        if good {
            Ok(Self(text.to_owned()))
        } else {
            Err(NoLensId)
        }
    }

    /// The id.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for LensId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}
