//! The known name nearest to one that is not known.

/// The known name that takes the fewest single-letter edits, if that is at most
/// a third of its letters.
pub(crate) fn nearest<'a>(wanted: &str, known: &[&'a str]) -> Option<&'a str> {
    // Long names are no slips of the pen, and comparing them costs time.
    if wanted.len() > 100 {
        return None;
    }
    known
        .iter()
        .map(|name| (edits(wanted, name), *name))
        .min_by_key(|(edits, _)| *edits)
        .filter(|(edits, name)| *edits <= name.chars().count().max(3) / 3)
        .map(|(_, name)| name)
}

/// Edit distance: letters inserted, dropped or changed (Levenshtein).
fn edits(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, letter) in a.chars().enumerate() {
        let mut diagonal = row[0];
        row[0] = i + 1;
        for j in 0..b.len() {
            let change = diagonal + usize::from(b[j] != letter);
            diagonal = row[j + 1];
            row[j + 1] = change.min(row[j] + 1).min(diagonal + 1);
        }
    }
    row[b.len()]
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn a_slip_of_the_pen_finds_its_name() {
        let known = ["focal_mm", "close_focus", "t_number"];
        assert_eq!(nearest("focal_m", &known), Some("focal_mm"));
        assert_eq!(nearest("closefocus", &known), Some("close_focus"));
        assert_eq!(nearest("colour", &known), None);
    }
}
