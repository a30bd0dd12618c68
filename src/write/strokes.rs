//! Letters as strokes, as on technical drawings: each is a few lines on a grid four wide and six high. Drawn by us, so
//! that pictures need no font. Small letters are drawn as capitals.

/// Letters and their strokes: points `xy` from the lower left, strokes parted by commas.
const LETTERS: &[(char, &str)] = &[
    ('A', "002640,1232"),
    ('B', "00063645443303,3342413000"),
    ('C', "4536160501103041"),
    ('D', "00063645413000"),
    ('E', "40000646,0333"),
    ('F', "000646,0333"),
    ('G', "45361605011030414323"),
    ('H', "0006,4046,0343"),
    ('I', "1030,2026,1636"),
    ('J', "4641301001"),
    ('K', "0006,460340"),
    ('L', "060040"),
    ('M', "0006234640"),
    ('N', "00064046"),
    ('O', "100105163645413010"),
    ('P', "00063645443303"),
    ('Q', "100105163645413010,2240"),
    ('R', "00063645443303,2340"),
    ('S', "011030414233130405163645"),
    ('T', "2026,0646"),
    ('U', "060110304146"),
    ('V', "062046"),
    ('W', "0610233046"),
    ('X', "0046,0640"),
    ('Y', "062346,2320"),
    ('Z', "06460040"),
    ('0', "100105163645413010"),
    ('1', "152620,1030"),
    ('2', "05163645430040"),
    ('3', "05163645443323,334241301001"),
    ('4', "30360242"),
    ('5', "46060434433241301001"),
    ('6', "45361605011030414233130204"),
    ('7', "064610"),
    ('8', "13040516364544331302011030414233"),
    ('9', "0110304145361605041333"),
    ('-', "1333"),
    ('/', "0046"),
    ('.', "2021"),
    (',', "2110"),
    (':', "2021,2324"),
    (';', "2110,2324"),
    ('\'', "2624"),
    ('"', "1614,3634"),
    ('(', "30212536"),
    (')', "10212516"),
    ('+', "2125,0343"),
    ('=', "0242,0444"),
    ('&', "4004051625241401103042"),
    ('%', "0046,05151606,30414030"),
    ('#', "1016,3036,0242,0444"),
    ('?', "05163645442322,2021"),
    ('*', "2125,0343,0145"),
];
/// Width of a letter with the gap after it, in halves of the grid's parts.
const STEP: i32 = 11;
/// Height of the grid.
const HIGH: i32 = 6;

/// How long a text is at a height of letters.
pub fn length(words: &str, height: i32) -> i32 {
    let letters = i32::try_from(words.chars().count()).unwrap_or(0);
    ((letters * STEP - 3) * height / (2 * HIGH)).max(0)
}

/// How far from the start of a text its letter of an index begins.
pub fn place(index: usize, height: i32) -> i32 {
    i32::try_from(index).unwrap_or(0) * STEP * height / (2 * HIGH)
}

/// The lines of a letter, right and down from its lower left corner.
pub fn letter(letter: char, height: i32) -> Vec<Vec<(i32, i32)>> {
    let large = letter.to_uppercase().next().unwrap_or(letter);
    let Some((_, strokes)) = LETTERS.iter().find(|(known, _)| *known == large) else {
        // A letter that is not known is a box, never left out.
        let (right, top) = (4 * height / HIGH, -height);
        let empty = letter.is_whitespace();
        return if empty { Vec::new() } else { vec![vec![(0, 0), (right, 0), (right, top), (0, top), (0, 0)]] };
    };
    let strokes = strokes.split(',').filter(|stroke| stroke.len() >= 4);
    strokes
        .map(|stroke| {
            let digits: Vec<i32> =
                stroke.chars().filter_map(|digit| digit.to_digit(10)).map(|digit| digit as i32).collect();
            digits.chunks_exact(2).map(|at| (at[0] * height / HIGH, -at[1] * height / HIGH)).collect()
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_letter_stays_on_its_grid() {
        for (letter, strokes) in LETTERS {
            for stroke in strokes.split(',').filter(|stroke| !stroke.is_empty()) {
                assert!(stroke.len() % 2 == 0, "{letter}: {stroke}");
                for (index, digit) in stroke.chars().enumerate() {
                    let most = if index % 2 == 0 { 4 } else { 6 };
                    assert!(digit.to_digit(10).is_some_and(|digit| digit <= most), "{letter}: {stroke}");
                }
            }
        }
    }

    #[test]
    fn words_end_where_they_are_long() {
        let rightmost = letter('H', 600).into_iter().flatten().map(|(x, _)| place(1, 600) + x).max();
        assert_eq!(rightmost, Some(length("EH", 600)));
    }
}
