//! A kit's files as they were first read, one of them with another content.

use std::cell::RefCell;
use std::collections::BTreeMap;

use crate::data::fault::Fault;
use crate::data::files::Files;

type Read = Result<Option<Vec<u8>>, Fault>;
type Listed = Result<Vec<String>, Fault>;

/// Files that stand still while one of them grows: what somebody else writes
/// meanwhile is met when the kit is read anew, not in the middle of a line.
pub(in crate::data) struct Overlay<'a> {
    files: &'a dyn Files,
    read: RefCell<BTreeMap<String, Read>>,
    listed: RefCell<BTreeMap<String, Listed>>,
    own: String,
    content: Option<Vec<u8>>,
}

impl<'a> Overlay<'a> {
    /// The files, `own` being left out until it has a content.
    pub fn without(files: &'a dyn Files, own: &str) -> Self {
        Self {
            files,
            read: RefCell::default(),
            listed: RefCell::default(),
            own: own.to_owned(),
            content: None,
        }
    }

    /// Calls the growing file otherwise.
    pub fn rename(&mut self, own: &str) {
        own.clone_into(&mut self.own);
    }

    /// Gives the growing file a content, or none.
    pub fn set(&mut self, content: Option<Vec<u8>>) {
        self.content = content;
    }
}

impl Files for Overlay<'_> {
    fn read(&self, name: &str) -> Read {
        if name == self.own {
            return Ok(self.content.clone());
        }
        let mut known = self.read.borrow_mut();
        let read = known.entry(name.to_owned());
        read.or_insert_with(|| self.files.read(name)).clone()
    }

    fn list(&self, folder: &str) -> Listed {
        let mut known = self.listed.borrow_mut();
        let listed = known.entry(folder.to_owned());
        let mut names = listed.or_insert_with(|| self.files.list(folder)).clone()?;
        let own = self.own.strip_prefix(folder);
        if let Some(own) = own.and_then(|name| name.strip_prefix('/')) {
            names.retain(|name| name != own);
            names.extend(self.content.is_some().then(|| own.to_owned()));
            names.sort();
        }
        Ok(names)
    }
}
