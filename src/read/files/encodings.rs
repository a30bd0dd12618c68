//! The bytes of a text file into text: which encoding they are in, and what in them is of none or of another.

use chardetng::{EncodingDetector, Iso2022JpDetection, Utf8Detection};
use encoding_rs::{Encoding, UTF_8};

use super::misdecoded;
use crate::read::sheet::{Oddity, Sheet};

/// Bytes to text. UTF-8 with a few bad bytes stays UTF-8 with those bytes taken as Windows-1252, and says so.
pub(crate) fn decode(bytes: &[u8], sheet: &mut Sheet) -> String {
    let (encoding, mark) = Encoding::for_bom(bytes).map_or((UTF_8, 0), |(encoding, mark)| (encoding, mark));
    if encoding != UTF_8 {
        return strays_told(encoding.decode(bytes).0.into_owned(), encoding.name(), sheet);
    }
    let bytes = bytes.get(mark..).unwrap_or_default();
    if let Some(encoding) = unmarked_utf16(bytes) {
        let text = encoding.decode(bytes).0.into_owned();
        let first = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
        sheet.oddities.push(Oddity {
            code: "encoding-guessed",
            row: 1,
            excerpt: first.chars().take(120).collect(),
            says: format!("the file does not say how its letters are kept; it was read as {}", encoding.name()),
            help: "check a few words with accents or fractions; save the file as UTF-8 or as xlsx",
        });
        return strays_told(text, encoding.name(), sheet);
    }
    if let Ok(text) = std::str::from_utf8(bytes) {
        return strays_told(text.to_string(), UTF_8.name(), sheet);
    }
    if mark > 0 || has_multibyte(bytes) {
        return mend(bytes, sheet);
    }
    // A schedule in Western letters has few bytes outside ASCII: fractions, dashes, quotes. Only a text full of others is
    // left to the detector, which takes a single fraction for a letter of another alphabet.
    let high = bytes.iter().filter(|byte| !byte.is_ascii()).count();
    if high * 5 < bytes.len() {
        let text = encoding_rs::WINDOWS_1252.decode(bytes).0.into_owned();
        return strays_told(text, encoding_rs::WINDOWS_1252.name(), sheet);
    }
    let mut detector = EncodingDetector::new(Iso2022JpDetection::Deny);
    detector.feed(bytes, true);
    let encoding = detector.guess(None, Utf8Detection::Deny);
    let encoding = if encoding == UTF_8 { encoding_rs::WINDOWS_1252 } else { encoding };
    strays_told(encoding.decode(bytes).0.into_owned(), encoding.name(), sheet)
}

/// Signs that no text has: what stands for bytes that mean nothing in an encoding, and the codes of control that a byte of
/// another one becomes.
fn is_stray(letter: char) -> bool {
    matches!(letter, '\0' | '\u{80}'..='\u{84}' | '\u{86}'..='\u{9f}' | char::REPLACEMENT_CHARACTER)
}

/// So many lines with such signs are told one by one.
const MOST_TOLD: usize = 10;

/// The same text, and of each line with such signs that it has them.
fn strays_told(text: String, encoding: &str, sheet: &mut Sheet) -> String {
    let text = misdecoded::of_text(text, sheet);
    if !text.contains(is_stray) {
        return text;
    }
    let ends = if text.contains('\n') { '\n' } else { '\r' };
    let strays: Vec<(&str, u32)> = text.split(ends).zip(1u32..).filter(|(line, _)| line.contains(is_stray)).collect();
    let more = strays.len().saturating_sub(MOST_TOLD);
    let told = strays.iter().take(MOST_TOLD).enumerate().map(|(at, (line, number))| {
        let others = if at + 1 == MOST_TOLD && more > 0 { format!(", and in {more} lines behind it") } else { String::new() };
        Oddity {
            code: "stray-byte",
            row: *number,
            excerpt: line.trim().chars().take(120).collect(),
            says: format!(
                "something in line {number}{others} is no letter of the encoding of the file ({encoding}); a sign is lost there"
            ),
            help: "check the word in the file",
        }
    });
    sheet.oddities.extend(told);
    text
}

/// Text of two bytes a letter without the mark that says so: in Western words every other byte is zero, in the first or in the
/// second place.
pub(crate) fn unmarked_utf16(bytes: &[u8]) -> Option<&'static Encoding> {
    let head = &bytes[..bytes.len().min(4000) & !1];
    let zeros = |from: usize| head.iter().skip(from).step_by(2).filter(|byte| **byte == 0).count();
    let (first, second, pairs) = (zeros(0), zeros(1), head.len() / 2);
    if !bytes.len().is_multiple_of(2) || pairs < 4 {
        return None;
    }
    match (first * 50 < pairs, second * 50 < pairs) {
        (true, false) if second * 10 > pairs * 8 => Some(encoding_rs::UTF_16LE),
        (false, true) if first * 10 > pairs * 8 => Some(encoding_rs::UTF_16BE),
        _ => None,
    }
}

/// Whether some well-formed multi-byte UTF-8 stands in it, so that a bad byte is a stray one.
fn has_multibyte(bytes: &[u8]) -> bool {
    bytes.utf8_chunks().any(|chunk| !chunk.valid().is_ascii())
}

fn mend(bytes: &[u8], sheet: &mut Sheet) -> String {
    let mut text = String::with_capacity(bytes.len());
    let mut line = 1u32;
    for chunk in bytes.utf8_chunks() {
        line += chunk.valid().matches('\n').count() as u32;
        text.push_str(chunk.valid());
        if !chunk.invalid().is_empty() {
            let (guess, _) = encoding_rs::WINDOWS_1252.decode_without_bom_handling(chunk.invalid());
            sheet.oddities.push(Oddity {
                code: "stray-byte",
                row: line,
                excerpt: guess.to_string(),
                says: format!(
                    "a byte in line {line} does not belong to the encoding of the file (UTF-8); it was read as \"{guess}\""
                ),
                help: "check the word in the file",
            });
            text.push_str(&guess);
        }
    }
    misdecoded::of_text(text, sheet)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The text, and the lines of which it is told that they hold a stray byte.
    fn decoded(bytes: &[u8]) -> (String, Vec<u32>) {
        let mut sheet = Sheet::new(&"t".into(), "");
        let text = decode(bytes, &mut sheet);
        assert!(sheet.oddities.iter().all(|odd| ["stray-byte", "encoding-guessed"].contains(&odd.code)));
        (text, sheet.oddities.iter().filter(|odd| odd.code == "stray-byte").map(|odd| odd.row).collect())
    }

    fn utf16(text: &str, little: bool) -> Vec<u8> {
        text.encode_utf16().flat_map(|unit| if little { unit.to_le_bytes() } else { unit.to_be_bytes() }).collect()
    }

    #[test]
    fn encodings_are_found_and_nothing_is_told_of_whole_texts() {
        let text = "DOOR,SIZE\n101,4\u{bd}\n";
        let marked = |mark: &[u8], bytes: Vec<u8>| [mark, &bytes].concat();
        for bytes in [
            marked(&[0xFF, 0xFE], utf16(text, true)),
            marked(&[0xFE, 0xFF], utf16(text, false)),
            utf16(text, true),
            utf16(text, false),
            marked(&[0xEF, 0xBB, 0xBF], text.into()),
            text.into(),
            b"DOOR,SIZE\n101,4\xBD\n".to_vec(),
        ] {
            assert_eq!(decoded(&bytes), (text.to_string(), vec![]));
        }
    }

    #[test]
    fn a_stray_byte_is_told_in_every_encoding() {
        assert_eq!(
            decoded(b"DOOR,ROOM\n101,CAF\xC3\x89\n102,4\xBD\n"),
            ("DOOR,ROOM\n101,CAFÉ\n102,4½\n".into(), vec![3])
        );
        // With a mark, one half sign of another encoding is stray however plain the rest.
        assert_eq!(decoded(b"\xEF\xBB\xBFDOOR,ROOM\n101,4\xBD\n"), ("DOOR,ROOM\n101,4½\n".into(), vec![2]));
        // A byte that Windows-1252 gives no sign.
        assert_eq!(decoded(b"DOOR,ROOM\n101,4\xBD\n102,CAF\x8D\n").1, [3]);
        assert_eq!(decoded(b"DOOR,ROOM\n101,HA\0LL\n").1, [2]);
        // A half of a letter of two, and a byte too many at the end.
        let mut half = [&[0xFF, 0xFE], &utf16("DOOR,ROOM\n101,", true)[..]].concat();
        half.extend([0x00, 0xD8]);
        half.extend(utf16("\n102,HALL\n", true));
        assert_eq!(decoded(&half).1, [2]);
        let mut odd = [&[0xFE, 0xFF], &utf16("DOOR,ROOM\n101,HALL\n", false)[..]].concat();
        odd.push(0x41);
        assert_eq!(decoded(&odd).1, [3]);
    }
}
