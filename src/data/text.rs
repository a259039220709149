//! Bytes to text, or what is wrong with them.

use super::fault::{Fault, Kind, Place};
use super::keys::most;

/// The text of a file: UTF-8 with or without a byte-order mark, every kind of
/// line end become `\n`.
///
/// # Errors
/// A [`Fault`]: too large, or no text in UTF-8.
pub(super) fn text(file: &str, bytes: Vec<u8>) -> Result<String, Fault> {
    if bytes.len() > most::BYTES {
        let message = format!(
            "the file holds {} bytes; at most {} are read",
            bytes.len(),
            most::BYTES
        );
        return Err(Fault::new(Kind::TooLarge, message).at(Place::in_file(file)));
    }
    let no_text = |place: Place, message: &str| {
        Fault::new(Kind::NotText, message)
            .at(place)
            .with_help("save it again as plain text in UTF-8")
    };
    if looks_like_utf16(&bytes) {
        let place = Place::in_file(file);
        return Err(no_text(place, "the file is text in UTF-16, not in UTF-8"));
    }
    if let Some(at) = bytes.iter().position(|&byte| byte == 0) {
        let place = spot(file, &bytes, at);
        return Err(no_text(place, "a zero byte stands in the text"));
    }
    let text = String::from_utf8(bytes).map_err(|error| {
        let place = spot(file, error.as_bytes(), error.utf8_error().valid_up_to());
        no_text(place, "a character that is not UTF-8 stands here")
    })?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(&text);
    Ok(text.replace("\r\n", "\n").replace('\r', "\n"))
}

/// A byte-order mark of UTF-16, or zero bytes in every other place.
fn looks_like_utf16(bytes: &[u8]) -> bool {
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return true;
    }
    let start = &bytes[..bytes.len().min(512)];
    let zeros = |odd: usize| {
        let places = start.iter().skip(odd).step_by(2);
        places.filter(|&&byte| byte == 0).count() * 2 > start.len() / 2
    };
    start.len() >= 4 && (zeros(0) != zeros(1))
}

/// Line and column of a byte, in characters as far as the text can be read.
fn spot(file: &str, bytes: &[u8], at: usize) -> Place {
    let before = String::from_utf8_lossy(&bytes[..at]);
    let before = before.replace("\r\n", "\n").replace('\r', "\n");
    let before = before.strip_prefix('\u{feff}').unwrap_or(&before);
    let last = before.rsplit('\n').next().unwrap_or("");
    Place {
        line: Some(before.matches('\n').count() + 1),
        column: Some(last.chars().count() + 1),
        ..Place::in_file(file)
    }
}
