//! Walks the tree of phrases along the tokens of a line, by the words as written and by what they may stand for.

use super::lexicon::Lexicon;
use super::token::Token;
use super::variants::Guess;

/// Dashes and points that may stand between the words of a phrase.
const SIGNS: usize = 8;

/// A walk from one token on.
#[derive(Debug)]
pub struct Walk<'a> {
    /// The lists.
    pub lexicon: &'a Lexicon,
    /// The tokens.
    pub tokens: &'a [Token],
    /// Where it began.
    pub from: usize,
    /// The longest phrase so far: node, token behind it, whether a word of it was guessed.
    pub best: Option<(u32, usize, bool)>,
    /// Other phrases as long, by what abbreviations stand for besides; 0: none.
    pub also: [u32; 2],
    /// Two guesses are as long as each other.
    pub tie: bool,
    /// The longest phrase of words as written or abbreviated.
    pub exact: Option<(u32, usize)>,
}

impl Walk<'_> {
    /// Goes on from a node at a token; `exact` counts the words that were right as written.
    pub fn on(&mut self, node: u32, at: usize, guess: Guess, exact: usize) {
        let Some(first) = self.tokens.get(self.from) else { return };
        let mut at = at;
        let idle = |at: usize| {
            let sign = self.tokens.get(at).filter(|token| token.part == first.part);
            sign.is_some_and(|sign| (sign.is('-') || sign.is('.')) && self.lexicon.step(node, sign.id).is_none())
        };
        let most = at + SIGNS;
        while at > self.from && idle(at) {
            at += 1;
            if at > most {
                return;
            }
        }
        let Some(token) = self.tokens.get(at).filter(|token| token.part == first.part) else { return };
        let [first, second, third] = token.others;
        for (place, word) in [token.id, token.singular, first, second, third].into_iter().enumerate() {
            if word == 0 {
                // What it may stand for fills its places from the front.
                if place >= 2 {
                    break;
                }
                continue;
            }
            let Some(inner) = self.lexicon.step(node, word) else { continue };
            let guessed = if place >= 2 && token.guess != Guess::None { token.guess } else { guess };
            let exact = exact + usize::from(place < 2 || token.guess == Guess::None);
            self.arrive(inner, at + 1, guessed, exact);
            if self.lexicon.goes_on(inner) {
                self.on(inner, at + 1, guessed, exact);
            }
        }
    }

    fn arrive(&mut self, node: u32, next: usize, guess: Guess, exact: usize) {
        if self.lexicon.is_empty_at(node) || guess == Guess::Short && exact == 0 {
            return;
        }
        let guessed = guess != Guess::None;
        if !guessed && self.exact.is_none_or(|(_, reached)| reached < next) {
            self.exact = Some((node, next));
        }
        match self.best {
            Some((_, reached, _)) if reached > next => {}
            Some((known, reached, known_guessed)) if reached == next => {
                if known_guessed && !guessed {
                    (self.best, self.tie) = (Some((node, next, false)), false);
                } else if !known_guessed && !guessed && known != node && !self.also.contains(&node) {
                    if let Some(free) = self.also.iter_mut().find(|also| **also == 0) {
                        *free = node;
                    }
                } else if known_guessed && guessed && !self.lexicon.agree(known, node) {
                    self.tie = true;
                }
            }
            _ => (self.best, self.also, self.tie) = (Some((node, next, guessed)), [0; 2], false),
        }
    }
}
