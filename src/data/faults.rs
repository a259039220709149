//! Faults as they are found.

use std::collections::BTreeMap;

use super::fault::{Fault, Kind, Place};
use super::keys::most;

/// Every fault of a kit, up to a bound: a file that is wrong throughout is not
/// told without end.
#[derive(Default)]
pub(super) struct Faults {
    list: Vec<Fault>,
    of_file: BTreeMap<String, usize>,
}

impl Faults {
    /// Keeps a fault.
    pub fn push(&mut self, fault: Fault) {
        let file = fault.place.as_ref().and_then(|place| place.file.clone());
        let file = file.unwrap_or_default();
        if self.list.len() > most::FAULTS_OF_A_KIT {
            return;
        }
        let count = self.of_file.entry(file.clone()).or_default();
        *count += 1;
        if *count <= most::FAULTS {
            self.list.push(fault);
        } else if *count == most::FAULTS + 1 {
            let message = format!("more than {} faults: the rest is not told", most::FAULTS);
            self.list
                .push(Fault::new(Kind::TooLarge, message).at(Place::in_file(&file)));
        }
    }

    /// Whether nothing more will be told of a file.
    pub fn are_enough(&self, file: &str) -> bool {
        self.list.len() > most::FAULTS_OF_A_KIT
            || self
                .of_file
                .get(file)
                .is_some_and(|&count| count > most::FAULTS)
    }

    /// All of them, in the order they were found.
    pub fn into_list(self) -> Vec<Fault> {
        self.list
    }
}
