//! Cuts a uniform text into tokens: runs of letters, numbers, single signs. Letters and digits that touch are two tokens
//! of one chunk, so that `4.5x4.5bb` can be read and a catalog number can be left whole.

use std::ops::Range;

use rust_decimal::Decimal;

use super::lexicon::Lexicon;
use super::variants::{self, Guess, MOST};

/// What a token is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Letters.
    Word,
    /// Digits, perhaps with a decimal point.
    Number,
    /// One other character.
    Sign(char),
}

/// A token of the uniform text.
#[derive(Debug, Clone, Copy)]
pub struct Token {
    /// What it is.
    pub kind: Kind,
    /// First byte in the uniform text.
    pub start: u32,
    /// End in the uniform text.
    pub end: u32,
    /// White space stands before it.
    pub gap: bool,
    /// It begins a line of its cell.
    pub line: bool,
    /// Index of the cell it stands in.
    pub part: u16,
    /// Run of characters without white space or separators that it belongs to.
    pub chunk: u16,
    /// Number of the word in the lexicon; 0 when it has none.
    pub id: u32,
    /// Number of its singular, when it ends in s.
    pub singular: u32,
    /// Words that it may stand for: of an abbreviation or a misspelling.
    pub others: [u32; MOST],
    /// Whether those are guesses.
    pub guess: Guess,
}

impl Token {
    /// Its bytes in the uniform text.
    pub fn span(&self) -> Range<usize> {
        self.start as usize..self.end as usize
    }

    /// Its text.
    pub fn text<'a>(&self, text: &'a str) -> &'a str {
        text.get(self.span()).unwrap_or("")
    }

    /// Whether it is this sign.
    pub fn is(&self, sign: char) -> bool {
        self.kind == Kind::Sign(sign)
    }

    /// Whether it is a number.
    pub fn is_number(&self) -> bool {
        self.kind == Kind::Number
    }

    /// The number, exact; `None` for words and for numbers beyond any use here.
    pub fn value(&self, text: &str) -> Option<Decimal> {
        if self.kind != Kind::Number {
            return None;
        }
        let mut digits: i64 = 0;
        let mut scale = 0;
        let mut point = false;
        for byte in self.text(text).bytes() {
            match byte {
                b'.' => point = true,
                b'0'..=b'9' => {
                    digits = digits.checked_mul(10)?.checked_add(i64::from(byte - b'0'))?;
                    scale += u32::from(point);
                }
                _ => {}
            }
        }
        (scale <= 12).then(|| Decimal::new(digits, scale))
    }

    /// The number, if it is whole and small.
    pub fn whole(&self, text: &str) -> Option<u32> {
        if self.kind != Kind::Number || self.end - self.start > 6 {
            return None;
        }
        let figure = |number: u32, byte: u8| byte.is_ascii_digit().then(|| number * 10 + u32::from(byte - b'0'));
        self.text(text).bytes().try_fold(0, figure)
    }
}

/// Cuts a text. `part_of` gives the cell of a byte of the uniform text.
pub fn tokens(lexicon: &Lexicon, text: &str, part_of: &dyn Fn(usize) -> u16) -> Vec<Token> {
    let mut tokens = Vec::with_capacity(text.len() / 3 + 4);
    cut(lexicon, text, part_of, &mut tokens);
    tokens
}

/// As `tokens`, behind those that are there.
pub fn cut(lexicon: &Lexicon, text: &str, part_of: &dyn Fn(usize) -> u16, tokens: &mut Vec<Token>) {
    let bytes = text.as_bytes();
    let mut at = 0;
    let (mut gap, mut line, mut chunk) = (true, true, 0u16);
    while let Some(c) = letter(text, at) {
        if c.is_whitespace() {
            line |= c == '\n' || c == '\r';
            gap = true;
            at += c.len_utf8();
            continue;
        }
        let (kind, end) = one(text, at, c);
        let end = if kind == Kind::Word { contracted(lexicon, text, at, end) } else { end };
        let splits = splits(bytes, at, kind);
        if gap || splits {
            chunk = chunk.saturating_add(1);
        }
        let token = Token {
            kind,
            start: at as u32,
            end: end as u32,
            gap,
            line,
            part: part_of(at),
            chunk,
            id: 0,
            singular: 0,
            others: [0; MOST],
            guess: Guess::None,
        };
        if splits {
            chunk = chunk.saturating_add(1);
        }
        words(lexicon, text, token, tokens);
        (gap, line) = (false, false);
        at = end;
    }
}

/// The character at a byte; most are plain ones.
fn letter(text: &str, at: usize) -> Option<char> {
    match text.as_bytes().get(at)? {
        byte if byte.is_ascii() => Some(char::from(*byte)),
        _ => text.get(at..)?.chars().next(),
    }
}

/// Looks a token up in the lexicon; a word that is several run together becomes several tokens.
fn words(lexicon: &Lexicon, text: &str, mut token: Token, tokens: &mut Vec<Token>) {
    look_up(lexicon, text, &mut token);
    if token.kind != Kind::Word || token.id != 0 || token.singular != 0 || token.others[0] != 0 {
        tokens.push(token);
        return;
    }
    let word = token.text(text);
    let digit = |at: Option<usize>| at.and_then(|at| text.as_bytes().get(at)).is_some_and(u8::is_ascii_digit);
    let beside_number = digit(token.span().start.checked_sub(1)) || digit(Some(token.span().end));
    let guess = if beside_number { ([0; MOST], Guess::None) } else { lexicon.variants.nearest(word) };
    // One slip in a long word is likelier than two words that happen to make it.
    let likely = guess.1 == Guess::Spelling && word.len() >= 6;
    // Two whole words of four letters and more are no slip: pullplate, doorloop.
    let two = |lengths: &Vec<usize>| lengths.len() == 2 && lengths.iter().all(|length| *length >= 4);
    let pieces = variants::pieces(lexicon, word, beside_number).filter(|lengths| !likely || two(lengths));
    // mortiselockF13: the letter of a function number behind the words.
    let pieces = pieces.or_else(|| {
        let words = word.strip_suffix('f').filter(|words| words.len() >= 4 && digit(Some(token.span().end)))?;
        let whole = || (lexicon.word(words) != 0).then(|| vec![words.len()]);
        let mut lengths = whole().or_else(|| variants::pieces(lexicon, words, false))?;
        lengths.push(1);
        Some(lengths)
    });
    // Interconn is the beginning of a word rather than two words of which one is of two letters.
    let short = |lengths: &Vec<usize>| guess.1 == Guess::Begun && lengths.iter().any(|length| *length < 3);
    let Some(pieces) = pieces.filter(|lengths| !short(lengths)) else {
        (token.others, token.guess) = guess;
        tokens.push(token);
        return;
    };
    let mut start = token.start;
    for (place, length) in pieces.into_iter().enumerate() {
        let end = start + length as u32;
        let first = place == 0;
        let mut piece = Token { start, end, gap: token.gap && first, line: token.line && first, ..token };
        look_up(lexicon, text, &mut piece);
        tokens.push(piece);
        start = end;
    }
}

/// The numbers of a token's word, its singular, and what it abbreviates.
fn look_up(lexicon: &Lexicon, text: &str, token: &mut Token) {
    let word = token.text(text);
    if token.kind == Kind::Word && word.as_bytes().get(1) == Some(&b'.') {
        // Initials with points: n.i.c. is looked up as nic.
        let joined: String = word.chars().filter(|c| *c != '.').collect();
        token.id = lexicon.word(&joined);
        return;
    }
    token.id = lexicon.word(word);
    if token.kind != Kind::Word {
        return;
    }
    let singular = word.strip_suffix('s').filter(|_| word.len() > 3);
    token.singular = singular.map_or(0, |singular| lexicon.word(singular));
    if token.singular == 0
        && let Some(stem) = word.strip_suffix("es").filter(|_| word.len() > 4)
    {
        // boxes, switches; batteries.
        token.singular = match stem.strip_suffix('i') {
            Some(stem) => lexicon.word(&format!("{stem}y")),
            None => lexicon.word(stem),
        };
    }
    let variants = &lexicon.variants;
    let known = variants.abbreviation(word, token.id).or_else(|| variants.abbreviation(singular?, token.singular));
    for (slot, other) in token.others.iter_mut().zip(known.unwrap_or_default()) {
        *slot = *other;
    }
}

/// O'lapping, mort'd: a word with an apostrophe in it is one where the list of abbreviations has it so.
fn contracted(lexicon: &Lexicon, text: &str, at: usize, end: usize) -> usize {
    let bytes = text.as_bytes();
    if bytes.get(end) != Some(&b'\'') {
        return end;
    }
    let letters = bytes[end + 1..].iter().take_while(|byte| byte.is_ascii_alphabetic()).count();
    let whole = text.get(at..end + 1 + letters).filter(|_| letters > 0);
    if whole.is_some_and(|whole| lexicon.variants.abbreviations.contains_key(whole)) { end + 1 + letters } else { end }
}

/// The token that begins at a byte: its kind and its end.
fn one(text: &str, at: usize, c: char) -> (Kind, usize) {
    let bytes = text.as_bytes();
    let digit = |index: usize| bytes.get(index).is_some_and(u8::is_ascii_digit);
    // 10x.050 and 34 x .050: the x of a size does not take the point away from the number.
    let x = at > 1 && bytes[at - 1] == b'x' && (digit(at - 2) || matches!(bytes[at - 2], b'"' | b'\''));
    let thickness = matches!(bytes.get(at + 1..at + 4), Some(b"050" | b"062")) && at > 0 && digit(at - 1);
    if c.is_ascii_digit()
        || (c == '.' && digit(at + 1) && (thickness || !(at > 0 && bytes[at - 1].is_ascii_alphanumeric() && !x)))
    {
        let mut end = at;
        let mut point = false;
        loop {
            match bytes.get(end) {
                Some(b'0'..=b'9') => end += 1,
                // 8x34.050: a thickness written on to a size without its x.
                Some(b'.')
                    if x && !point
                        && end > at + 1
                        && matches!(bytes.get(end + 1..end + 4), Some(b"050" | b"062"))
                        && !digit(end + 4) =>
                {
                    return (Kind::Number, end);
                }
                Some(b'.') if !point && digit(end + 1) => {
                    point = true;
                    end += 1;
                }
                // 1,200: a comma before exactly three digits parts thousands.
                Some(b',') if !point && (1..=3).contains(&(end - at)) && thousands(bytes, end) => end += 4,
                _ => return (Kind::Number, end),
            }
        }
    }
    if c.is_alphabetic() {
        if let Some(end) = initials(bytes, at) {
            return (Kind::Word, end);
        }
        let mut end = at + c.len_utf8();
        loop {
            match bytes.get(end) {
                Some(byte) if byte.is_ascii_alphabetic() => end += 1,
                Some(byte) if byte.is_ascii() => break,
                _ => match letter(text, end).filter(|c| c.is_alphabetic()) {
                    Some(c) => end += c.len_utf8(),
                    None => break,
                },
            }
        }
        return (Kind::Word, end);
    }
    (Kind::Sign(c), at + c.len_utf8())
}

fn thousands(bytes: &[u8], comma: usize) -> bool {
    let digit = |index: usize| bytes.get(index).is_some_and(u8::is_ascii_digit);
    digit(comma + 1) && digit(comma + 2) && digit(comma + 3) && !digit(comma + 4)
}

/// `n.r.p.` and `o.c.`: two or more single letters, each with its point (the last may lack it).
fn initials(bytes: &[u8], at: usize) -> Option<usize> {
    let letter = |index: usize| bytes.get(index).is_some_and(u8::is_ascii_alphabetic);
    let point = |index: usize| bytes.get(index) == Some(&b'.');
    if at > 0 && letter(at - 1) {
        return None;
    }
    let (mut end, mut count) = (at, 0);
    while letter(end) && point(end + 1) {
        end += 2;
        count += 1;
    }
    if letter(end) && !letter(end + 1) && count > 0 {
        return Some(end + 1);
    }
    (count > 1 && !letter(end)).then_some(end)
}

/// Whether a sign parts two chunks. A slash between digits is a fraction and does not.
fn splits(bytes: &[u8], at: usize, kind: Kind) -> bool {
    match kind {
        Kind::Sign(',' | ';' | ':' | '(' | ')' | '[' | ']' | '&' | '+' | '=' | '*' | '|' | '\\') => true,
        Kind::Sign('/') => {
            let digit = |index: Option<usize>| index.and_then(|i| bytes.get(i)).is_some_and(u8::is_ascii_digit);
            !(digit(at.checked_sub(1)) && digit(Some(at + 1)))
        }
        _ => false,
    }
}
