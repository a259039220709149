//! Where a kit's files come from: a folder, or memory.

use std::collections::BTreeMap;

use super::fault::Fault;

/// A folder of files, however it is kept. Names are relative to the kit, with
/// `/` between folder and file.
pub trait Files {
    /// The bytes of a file; `None` when there is none.
    ///
    /// # Errors
    /// A [`Fault`] when it is there and cannot be read.
    fn read(&self, name: &str) -> Result<Option<Vec<u8>>, Fault>;

    /// The names of the files directly in a folder, without the folder's; none
    /// when there is no such folder.
    ///
    /// # Errors
    /// A [`Fault`] when it is there and cannot be read.
    fn list(&self, folder: &str) -> Result<Vec<String>, Fault>;
}

/// Files held in memory.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct MemoryFiles(BTreeMap<String, Vec<u8>>);

impl MemoryFiles {
    /// No files yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// With one more file, or another content for it.
    #[must_use]
    pub fn with(mut self, name: &str, content: impl Into<Vec<u8>>) -> Self {
        self.0.insert(name.to_owned(), content.into());
        self
    }
}

impl Files for MemoryFiles {
    fn read(&self, name: &str) -> Result<Option<Vec<u8>>, Fault> {
        Ok(self.0.get(name).cloned())
    }

    fn list(&self, folder: &str) -> Result<Vec<String>, Fault> {
        let inside = |name: &String| {
            let rest = name.strip_prefix(folder)?.strip_prefix('/')?;
            (!rest.contains('/')).then(|| rest.to_owned())
        };
        Ok(self.0.keys().filter_map(inside).collect())
    }
}
