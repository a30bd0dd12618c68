//! Letters of other alphabets and typesetters' signs, and the plain ones that they stand for.

/// The vulgar fractions that have a letter of their own.
pub fn fraction(letter: char) -> Option<&'static str> {
    Some(match letter {
        '\u{BC}' => "1/4",
        '\u{BD}' => "1/2",
        '\u{BE}' => "3/4",
        '\u{215B}' => "1/8",
        '\u{215C}' => "3/8",
        '\u{215D}' => "5/8",
        '\u{215E}' => "7/8",
        '\u{2153}' => "1/3",
        '\u{2154}' => "2/3",
        _ => return None,
    })
}

/// The number in a circle, `③`, black or of other forms too.
pub fn circled(letter: char) -> Option<u32> {
    let runs =
        [('\u{2460}', 20), ('\u{2776}', 10), ('\u{2780}', 10), ('\u{278A}', 10), ('\u{24F5}', 10), ('\u{2474}', 20)];
    runs.into_iter().find_map(|(first, many)| {
        let at = (letter as u32).checked_sub(first as u32)?;
        (at < many).then_some(at + 1)
    })
}

/// Wrong quotes, odd hyphens, odd spaces and full-width letters as the plain ones they stand for.
pub fn straight(letter: char) -> char {
    match letter {
        '\u{2018}' | '\u{2019}' | '\u{201A}' | '\u{201B}' | '\u{2032}' | '\u{00B4}' | '`' | '\u{02B9}' | '\u{02BC}' => {
            '\''
        }
        '\u{201C}' | '\u{201D}' | '\u{201E}' | '\u{201F}' | '\u{2033}' | '\u{02BA}' | '\u{3003}' => '"',
        '\u{2010}'..='\u{2015}' | '\u{2212}' | '\u{00AD}' | '\u{FE58}' | '\u{FE63}' => '-',
        '\u{00D7}' | '\u{2715}' | '\u{2A2F}' => 'x',
        '\u{2044}' | '\u{2215}' => '/',
        '\u{00A0}' | '\u{2000}'..='\u{200B}' | '\u{202F}' | '\u{205F}' | '\u{3000}' | '\u{FEFF}' => ' ',
        // Full-width forms stand in the order of ASCII, 0xFEE0 above it.
        '\u{FF01}'..='\u{FF5E}' => char::from_u32(letter as u32 - 0xFEE0).unwrap_or(letter),
        other => other,
    }
}
