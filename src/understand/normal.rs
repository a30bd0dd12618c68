//! Makes the text of a line uniform before it is read: small letters, one kind of quote, dash and space, fraction
//! glyphs spelled out, full-width letters narrowed. Every byte of the result knows the bytes of the original it came from.

use crate::trade::signs;
use std::ops::Range;

/// A text made uniform.
#[derive(Debug)]
pub struct Normal {
    /// The uniform text.
    pub text: String,
    /// For each byte of `text`, the original bytes it came from; `None` when they are the same bytes (plain ASCII).
    origin: Option<Vec<(u32, u32)>>,
}

impl Normal {
    /// The original bytes of a stretch of the uniform text.
    pub fn original(&self, span: Range<usize>) -> Range<usize> {
        let Some(origin) = &self.origin else { return span };
        let start = origin.get(span.start).map_or(0, |bytes| bytes.0 as usize);
        let end = span.end.checked_sub(1).and_then(|last| origin.get(last)).map_or(start, |bytes| bytes.1 as usize);
        start..end.max(start)
    }
}

/// Makes a text uniform.
pub fn normal(text: &str) -> Normal {
    if text.is_ascii() {
        return Normal { text: text.to_ascii_lowercase(), origin: None };
    }
    let mut result = Normal { text: String::with_capacity(text.len()), origin: None };
    let mut origin = Vec::with_capacity(text.len());
    for (at, c) in text.char_indices() {
        let from = (at as u32, (at + c.len_utf8()) as u32);
        let before = result.text.len();
        push(&mut result.text, c);
        origin.extend(std::iter::repeat_n(from, result.text.len() - before));
    }
    result.origin = Some(origin);
    result
}

/// Appends one character in its uniform form.
fn push(text: &mut String, c: char) {
    if let Some(fraction) = signs::fraction(c) {
        // 4½ is 4-1/2; a fraction after anything else stands by itself.
        if text.ends_with(|last: char| last.is_ascii_digit()) {
            text.push('-');
        }
        text.push_str(fraction);
        return;
    }
    text.extend(signs::straight(c).to_lowercase());
}

#[cfg(test)]
mod tests {
    use super::normal;

    #[test]
    fn glyphs_quotes_and_dashes_become_uniform_and_keep_their_place() {
        let text = "4½” × 4½” BB – US26D";
        let normal = normal(text);
        assert_eq!(normal.text, "4-1/2\" x 4-1/2\" bb - us26d");
        let at = normal.text.find("us26d").unwrap();
        assert_eq!(&text[normal.original(at..at + 5)], "US26D");
        let at = normal.text.find("4-1/2\"").unwrap();
        assert_eq!(&text[normal.original(at..at + 6)], "4½”");
    }

    #[test]
    fn plain_text_keeps_its_bytes() {
        let normal = normal("(3) EA HINGE");
        assert_eq!((normal.text.as_str(), normal.original(4..6)), ("(3) ea hinge", 4..6));
    }
}
