//! What an answer rests on that nobody said.

/// Something the answer rests on that nobody said.
#[derive(Clone, Debug, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Assumption {
    /// Its name in the JSON contract.
    pub kind: &'static str,
    /// In words, for people.
    pub message: String,
}

impl Assumption {
    /// An assumption by its name, in words.
    #[must_use]
    pub fn new(kind: &'static str, message: impl Into<String>) -> Self {
        Self {
            kind,
            message: message.into(),
        }
    }
}
