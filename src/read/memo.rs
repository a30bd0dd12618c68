//! What was made of a text before: the cells of a schedule repeat, so sizes, ratings, materials and words are looked at once.

use std::cell::RefCell;
use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};
use std::thread::LocalKey;

/// So many texts are kept; then it begins anew.
const MOST: usize = 8_192;
/// A longer text is a sentence, and seldom comes twice.
const LONGEST: usize = 80;

/// A short and quick hash: the texts are cells, and nobody gains by making theirs collide but a slower reading.
#[derive(Default)]
pub(crate) struct Quick(u64);

impl Hasher for Quick {
    fn finish(&self) -> u64 {
        self.0 ^ (self.0 >> 29)
    }

    fn write(&mut self, bytes: &[u8]) {
        for piece in bytes.chunks(8) {
            let mut word = [0; 8];
            word[..piece.len()].copy_from_slice(piece);
            self.0 = (self.0.rotate_left(5) ^ u64::from_le_bytes(word)).wrapping_mul(0x517c_c1b7_2722_0a95);
        }
    }
}

/// A map by text.
pub(crate) type ByText<T> = HashMap<String, T, BuildHasherDefault<Quick>>;

/// What is kept of one kind.
pub(crate) type Memo<T> = RefCell<ByText<T>>;

/// What was made of the text before, or is made of it now.
pub(crate) fn once<T: Clone>(memo: &'static LocalKey<Memo<T>>, text: &str, make: impl FnOnce(&str) -> T) -> T {
    if text.is_empty() || text.len() > LONGEST {
        return make(text);
    }
    if let Some(known) = memo.with_borrow(|known| known.get(text).cloned()) {
        return known;
    }
    let made = make(text);
    memo.with_borrow_mut(|known| {
        if known.len() >= MOST {
            known.clear();
        }
        known.insert(text.to_string(), made.clone());
    });
    made
}
