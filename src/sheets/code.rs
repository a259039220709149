//! The six characters that say which figures a sheet was made from.

use core::fmt;

/// A sheet's code: six characters without 0, O, 1, I and l, over everything the
/// sheet prints. The same figures give the same code; another figure almost
/// surely another (one in a thousand million).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Code([u8; 6]);

const LETTERS: &[u8; 32] = b"23456789ABCDEFGHJKLMNPQRSTUVWXYZ";

impl Code {
    /// The code of a sheet's content.
    ///
    /// FNV-1a in 64 bits (Fowler, Noll, Vo; from memory), folded to 30.
    #[must_use]
    pub fn of(content: &str) -> Self {
        let hash = content
            .bytes()
            .fold(0xcbf2_9ce4_8422_2325_u64, |hash, byte| {
                (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3)
            });
        let folded = hash ^ (hash >> 34);
        Self(core::array::from_fn(|i| {
            LETTERS[(folded >> (5 * i)) as usize & 31]
        }))
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0
            .iter()
            .try_for_each(|&letter| write!(f, "{}", letter as char))
    }
}

#[cfg(test)]
mod tests {
    use super::Code;

    #[test]
    fn codes_have_six_letters_none_of_which_is_mistaken() {
        for n in 0..2000 {
            let code = Code::of(&format!("sheet {n}")).to_string();
            assert_eq!(code.len(), 6);
            assert!(!code.contains(['0', 'O', '1', 'I', 'l']), "{code}");
        }
    }

    #[test]
    fn another_figure_gives_another_code() {
        assert_eq!(Code::of("2.8 mm"), Code::of("2.8 mm"));
        assert_ne!(Code::of("2.8 mm"), Code::of("2.9 mm"));
    }
}
