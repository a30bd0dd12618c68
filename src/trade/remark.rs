//! What remarks, room names and materials speak of besides rooms and ratings: an existing frame, a door that does not
//! swing, carpet. The data is `catalogs/trade/remark_matters.csv`.

use std::sync::OnceLock;

use super::table;

const TABLE: &str = include_str!("../../catalogs/trade/remark_matters.csv");

/// A matter, a word of the table: `existing`, `carpet`.
pub type Matter = &'static str;

/// The row of the words that deny what follows them.
const DENIED: Matter = "denied";

type Named = (Matter, Vec<Vec<String>>);

fn plain_words(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

fn matters_of_table() -> &'static [Named] {
    static NAMED: OnceLock<Vec<Named>> = OnceLock::new();
    NAMED.get_or_init(|| {
        table::rows(TABLE).iter().map(|row| (row.get(0), row.get(1).split('|').map(plain_words).collect())).collect()
    })
}

/// The words of a matter, as the table has them.
pub fn words_of(wanted: Matter) -> impl Iterator<Item = &'static str> {
    let rows = table::rows(TABLE).iter().filter(move |row| row.get(0) == wanted);
    rows.flat_map(|row| row.get(1).split('|'))
}

/// The matters that texts speak of, by whole words within one text.
pub fn matters(texts: &[&str]) -> Vec<Matter> {
    let texts: Vec<Vec<String>> =
        texts.iter().map(|text| plain_words(text)).filter(|words| !words.is_empty()).collect();
    if texts.is_empty() {
        return Vec::new();
    }
    // "Do not grout frame", "no louver", "delete weather seal" speak of none.
    let denied = |words: &[String], at: usize| {
        let denies = |word: &String| words_of(DENIED).any(|no| no == word);
        at.checked_sub(1).and_then(|before| words.get(before)).is_some_and(denies)
    };
    let speaks = |name: &Vec<String>| {
        let in_text = |words: &Vec<String>| {
            let mut windows = words.windows(name.len()).enumerate();
            windows.any(|(at, window)| window == name.as_slice() && !denied(words, at))
        };
        texts.iter().any(in_text)
    };
    let named = matters_of_table().iter().filter(|(matter, _)| *matter != DENIED);
    named.filter(|(_, names)| names.iter().any(speaks)).map(|(matter, _)| *matter).collect()
}

#[cfg(test)]
mod tests {
    use super::matters;

    #[test]
    fn matters_are_heard_by_whole_words_of_one_text() {
        assert_eq!(matters(&["INSTALL IN EXISTING FRAME"]), ["existing"]);
        assert_eq!(matters(&["Overhead coiling door, motor operated"]), ["not-swinging"]);
        assert_eq!(matters(&["STC-45", "carpet"]), ["carpet", "sound"]);
        assert!(matters(&["GATEHOUSE CARPETING STORE, SOUNDING"]).is_empty());
        assert!(matters(&["STORE, EXISTING", "FRAME HM"]).is_empty());
        assert!(matters(&["NO CARPET", "do not carpet", "Fire rated, delete weather seal"]).is_empty());
        assert!(matters(&[""]).is_empty());
    }
}
