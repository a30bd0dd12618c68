//! Quick hashes for the long tables of flat lists: a list of 200,000 goods has more than a million attribute values. Keys are
//! the user's own figures and words, so nobody chooses them to clash.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

/// A map with the quick hash.
pub(in super::super) type QuickMap<K, V> = HashMap<K, V, BuildHasherDefault<Quick>>;

/// Multiplies and turns, word by word.
#[derive(Debug, Default, Clone, Copy)]
pub(in super::super) struct Quick(u64);

/// Odd, its bits evenly spread: the golden ratio's fraction.
const SPREAD: u64 = 0x9e37_79b9_7f4a_7c15;

impl Quick {
    fn mix(&mut self, word: u64) {
        self.0 = (self.0.rotate_left(23) ^ word).wrapping_mul(SPREAD);
    }
}

impl Hasher for Quick {
    fn write(&mut self, bytes: &[u8]) {
        for chunk in bytes.chunks(8) {
            let mut word = [0; 8];
            word[..chunk.len()].copy_from_slice(chunk);
            self.mix(u64::from_le_bytes(word));
        }
    }

    fn write_u8(&mut self, byte: u8) {
        self.mix(u64::from(byte));
    }

    fn write_u32(&mut self, word: u32) {
        self.mix(u64::from(word));
    }

    fn finish(&self) -> u64 {
        // The table looks at the lowest and the highest bits; the product is good in the high ones.
        self.0 ^ (self.0 >> 32)
    }
}

/// A hash of the letters and digits of a number, whatever its case, spaces and hyphens.
pub(in super::super) fn number_key(number: &str) -> u64 {
    let letters = number.bytes().filter(u8::is_ascii_alphanumeric).map(|letter| letter.to_ascii_uppercase());
    letters.fold(0xcbf2_9ce4_8422_2325, |hash, letter| (hash ^ u64::from(letter)).wrapping_mul(0x0100_0000_01b3))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_is_the_same_however_it_is_written() {
        assert_eq!(number_key("Ab-12 / 3"), number_key("AB123"));
        assert_ne!(number_key("AB123"), number_key("AB132"));
    }
}
