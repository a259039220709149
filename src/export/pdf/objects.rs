//! Numbered objects written to a file one after the other.
//!
//! lopdf writes whole documents only; this writes each object as it comes and
//! remembers nothing but where it began.

use std::io::{self, Write};

use lopdf::{Dictionary, Object, ObjectId, StringFormat};

/// The running fingerprint's start and factor (FNV-1a, 128 bit).
const FINGERPRINT: (u128, u128) = (
    0x6c62_272e_07bb_0142_62b8_2175_6295_c58d,
    0x0000_0000_0100_0000_0000_0000_0000_013b,
);

/// A PDF file being written.
pub(super) struct Objects<W: Write> {
    out: Counted<W>,
    next: u32,
    /// Number of each object and the byte at which it begins.
    begins: Vec<(u32, u64)>,
}

/// Counts what passes and takes a fingerprint of it.
struct Counted<W: Write> {
    out: W,
    count: u64,
    fingerprint: u128,
}

impl<W: Write> Write for Counted<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let written = self.out.write(bytes)?;
        self.count += written as u64;
        for &byte in bytes.iter().take(written) {
            self.fingerprint = (self.fingerprint ^ u128::from(byte)).wrapping_mul(FINGERPRINT.1);
        }
        Ok(written)
    }

    fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }
}

impl<W: Write> Objects<W> {
    /// Writes the head of a file; numbers below `first` are given out by hand.
    pub(super) fn begin(out: W, first: u32) -> io::Result<Self> {
        let mut out = Counted {
            out,
            count: 0,
            fingerprint: FINGERPRINT.0,
        };
        // Four bytes above 127 tell transfer programs that this is not text.
        out.write_all(b"%PDF-1.7\n%\xE2\xE3\xCF\xD3\n")?;
        Ok(Self {
            out,
            next: first,
            begins: Vec::new(),
        })
    }

    /// The number that the next object will have.
    pub(super) const fn next(&self) -> u32 {
        self.next
    }

    /// Writes an object under the next number.
    pub(super) fn put(&mut self, object: &Object) -> io::Result<ObjectId> {
        let id = (self.next, 0);
        self.put_as(id, object)?;
        Ok(id)
    }

    /// Writes an object under a number of its own.
    pub(super) fn put_as(&mut self, id: ObjectId, object: &Object) -> io::Result<()> {
        self.next = self.next.max(id.0.saturating_add(1));
        self.begins.push((id.0, self.out.count));
        writeln!(self.out, "{} {} obj", id.0, id.1)?;
        write_object(&mut self.out, object)?;
        self.out.write_all(b"\nendobj\n")
    }

    /// Writes the table of places and the trailer.
    pub(super) fn finish(mut self, trailer: &Dictionary) -> io::Result<()> {
        let table = self.out.count;
        self.begins.sort_unstable();
        write!(self.out, "xref\n0 {}\n0000000000 65535 f \n", self.next)?;
        let mut begins = self.begins.iter().peekable();
        for number in 1..self.next {
            match begins.next_if(|begin| begin.0 == number) {
                Some((_, begin)) => writeln!(self.out, "{begin:010} 00000 n ")?,
                None => self.out.write_all(b"0000000000 00000 f \n")?,
            }
        }
        let id = Object::String(
            self.out.fingerprint.to_be_bytes().to_vec(),
            StringFormat::Hexadecimal,
        );
        let mut trailer = trailer.clone();
        trailer.set("Size", i64::from(self.next));
        trailer.set("ID", vec![id.clone(), id]);
        self.out.write_all(b"trailer\n")?;
        write_dictionary(&mut self.out, &trailer)?;
        write!(self.out, "\nstartxref\n{table}\n%%EOF\n")?;
        self.out.flush()
    }
}

fn write_object(out: &mut impl Write, object: &Object) -> io::Result<()> {
    match object {
        Object::Null => out.write_all(b"null"),
        Object::Boolean(value) => write!(out, "{value}"),
        Object::Integer(value) => write!(out, "{value}"),
        Object::Real(value) => write!(out, "{value}"),
        Object::Name(name) => write_name(out, name),
        Object::String(bytes, StringFormat::Literal) => write_literal(out, bytes),
        Object::String(bytes, StringFormat::Hexadecimal) => {
            out.write_all(b"<")?;
            for byte in bytes {
                write!(out, "{byte:02X}")?;
            }
            out.write_all(b">")
        }
        Object::Array(items) => {
            out.write_all(b"[")?;
            for (index, item) in items.iter().enumerate() {
                if index > 0 {
                    out.write_all(b" ")?;
                }
                write_object(out, item)?;
            }
            out.write_all(b"]")
        }
        Object::Dictionary(entries) => write_dictionary(out, entries),
        Object::Stream(stream) => {
            write_dictionary(out, &stream.dict)?;
            out.write_all(b"\nstream\n")?;
            out.write_all(&stream.content)?;
            out.write_all(b"\nendstream")
        }
        Object::Reference((number, generation)) => write!(out, "{number} {generation} R"),
    }
}

fn write_dictionary(out: &mut impl Write, entries: &Dictionary) -> io::Result<()> {
    out.write_all(b"<<")?;
    for (key, value) in entries {
        write_name(out, key)?;
        out.write_all(b" ")?;
        write_object(out, value)?;
    }
    out.write_all(b">>")
}

fn write_name(out: &mut impl Write, name: &[u8]) -> io::Result<()> {
    out.write_all(b"/")?;
    for &byte in name {
        if byte.is_ascii_graphic() && !b"()<>[]{}/%#".contains(&byte) {
            out.write_all(&[byte])?;
        } else {
            write!(out, "#{byte:02X}")?;
        }
    }
    Ok(())
}

fn write_literal(out: &mut impl Write, bytes: &[u8]) -> io::Result<()> {
    out.write_all(b"(")?;
    for &byte in bytes {
        match byte {
            b'(' | b')' | b'\\' => out.write_all(&[b'\\', byte])?,
            b'\r' => out.write_all(b"\\r")?,
            _ => out.write_all(&[byte])?,
        }
    }
    out.write_all(b")")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(object: &Object) -> String {
        let mut bytes = Vec::new();
        write_object(&mut bytes, object).expect("a vector takes all");
        String::from_utf8(bytes).expect("ASCII")
    }

    #[test]
    fn no_string_or_name_can_end_early() {
        // ISO 32000-1, 7.3.4.2 and 7.3.5: what must be escaped and how.
        let nasty = Object::string_literal(")\\(\r");
        assert_eq!(written(&nasty), "(\\)\\\\\\(\\r)");
        let name = Object::Name(b"A B/#\xE9".to_vec());
        assert_eq!(written(&name), "/A#20B#2F#23#E9");
    }

    #[test]
    fn a_gap_in_the_numbers_is_a_free_entry() {
        let mut bytes = Vec::new();
        let mut objects = Objects::begin(&mut bytes, 1).expect("written");
        objects.put_as((3, 0), &Object::Null).expect("written");
        objects.finish(&Dictionary::new()).expect("written");
        let text = String::from_utf8_lossy(&bytes);
        assert!(text.contains("xref\n0 4\n0000000000 65535 f \n0000000000 00000 f \n"));
    }
}
