//! Damages inputs: bytes flipped, cut, doubled, swapped between inputs, and words that readers care about put in.

/// A small generator of numbers: the same seed tries the same damage.
pub struct Dice(pub u64);

impl Dice {
    /// A number below the bound.
    pub fn roll(&mut self, below: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % below.max(1) as u64) as usize
    }
}

/// Longest input that is tried; a longer one is cut.
const LONGEST: usize = 1 << 18;

/// Letters that mean something to one reader or another.
const LETTERS: &[u8] = b"0123456789-/\"'.,;:()[]{}<>=\n\t x";

/// One input damaged one to six times. `other` is a second input to take pieces from.
pub fn damage(dice: &mut Dice, input: &[u8], other: &[u8], words: &[&str]) -> Vec<u8> {
    let mut bytes = input.to_vec();
    for _ in 0..=dice.roll(6) {
        let at = dice.roll(bytes.len() + 1);
        let power = dice.roll(7);
        let length = 1 + dice.roll(1 << power);
        let end = (at + length).min(bytes.len());
        match dice.roll(9) {
            0 if !bytes.is_empty() => {
                let at = at.min(bytes.len() - 1);
                bytes[at] ^= 1 << dice.roll(8);
            }
            1 if !bytes.is_empty() => {
                let at = at.min(bytes.len() - 1);
                bytes[at] = dice.roll(256) as u8;
            }
            2 => drop(bytes.drain(at..end)),
            3 => {
                let piece = bytes[at..end].to_vec();
                let to = dice.roll(bytes.len() + 1);
                bytes.splice(to..to, piece);
            }
            4 if !other.is_empty() => {
                let from = dice.roll(other.len());
                let piece = other[from..(from + length).min(other.len())].to_vec();
                bytes.splice(at..at, piece);
            }
            5 => bytes.truncate(at.max(bytes.len() / 2)),
            6 => {
                let letter = LETTERS[dice.roll(LETTERS.len())];
                bytes.splice(at..end, [letter]);
            }
            _ if !words.is_empty() => {
                let word = words[dice.roll(words.len())].as_bytes().to_vec();
                bytes.splice(at..if dice.roll(2) == 0 { at } else { end }, word);
            }
            _ => {}
        }
        bytes.truncate(LONGEST);
    }
    bytes
}
