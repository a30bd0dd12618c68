//! A matrix whose title leaves it to another section, `ACCESS CONTROL DOOR MATRIX - FOR REFERENCE (FURNISHED UNDER 28 13 00)`:
//! none of its goods are ours, and its doors stand in the schedule of doors.

use super::headings::Meaning as M;
use super::table::{Doubt, Holds, Table};
use crate::read::goods::itemtext;
use crate::read::sets::section;
use crate::read::sheet::Sheet;
use crate::read::words::{self, plain};
use crate::terms::ReadTerms;

/// The code of what is asked about such a table.
pub(crate) const CODE: &str = "matrix-of-another-section";

/// So many rows above the headings may be the title.
const ABOVE: usize = 4;

/// Passes over a table of doors against goods whose title leaves it to others, and has it asked about.
pub(crate) fn leave_out(sheet: &Sheet, first: usize, table: &mut Table, terms: Option<&ReadTerms>) {
    let told = terms.is_some_and(|terms| terms.holds.is_some());
    if told || table.holds != Holds::Matrix || table.has(M::Set) {
        return;
    }
    let Some(title) = title(sheet, first) else { return };
    let column = table.columns.first().map_or(0, |column| column.index);
    let says = format!(
        "the title of the matrix, \"{title}\", leaves it to others: its goods are in no price, and its doors are not counted again"
    );
    table.doubts.push(Doubt { code: CODE, column, says });
    table.holds = Holds::Passed;
    table.why = format!("its title, \"{title}\", leaves it to others");
}

/// Whether a table is passed over for its title.
pub(crate) fn is(table: &Table) -> bool {
    table.holds == Holds::Passed && table.doubts.iter().any(|doubt| doubt.code == CODE)
}

/// The title above the headings that says so: the nearest rows of few cells.
fn title(sheet: &Sheet, first: usize) -> Option<String> {
    let above = sheet.rows[first.saturating_sub(ABOVE)..first].iter().rev().take_while(|row| row.cells.len() <= 2);
    above.map(|row| row.joined()).find(|text| of_others(&plain(text)))
}

/// `FURNISHED UNDER 28 13 00`, `BY DIVISION 28`; and for reference, or by someone else, where the title speaks of what others
/// mostly furnish. A note above the headings, `ACCESS CONTROL BY OTHERS`, is no title, and one that names hardware is ours.
fn of_others(folded: &str) -> bool {
    let Some(table) = words::list("title-of-table").all(folded).pop() else { return false };
    // `DOOR SCHEDULE - CARD READERS BY DIVISION 28`: what others have is said of the readers alone.
    let behind = &folded[words::offset(folded, table) + table.len()..];
    let until = words::list("furnished-under").find(behind).map_or(behind.len(), |by| words::offset(behind, by));
    let of_some = ["matrix-of-others", "goods-mostly-of-others", "hardware"];
    if words::list("title-of-hardware").find(folded).is_some()
        || of_some.iter().any(|list| words::list(list).find(&behind[..until]).is_some())
    {
        return false;
    }
    let led = words::list("furnished-under").all(folded);
    let another = |word: &&str| {
        let behind = folded[words::offset(folded, word) + word.len()..].trim_start();
        let end = behind.find([',', ';', ')', '/']).unwrap_or(behind.len());
        let named = behind[..end].trim_end_matches(['.', ' ']);
        let other = |digits: String| !section::is_ours(&digits) && !digits.starts_with("08");
        section::number(named).is_some_and(other) || section::division(named).is_some_and(|division| division != 8)
    };
    let padded = format!(" {folded}");
    let by_others = || itemtext::by_whom(&padded).is_some() && words::list("by-us").find(&padded).is_none();
    let mostly = || words::list("matrix-of-others").find(folded).is_some();
    led.iter().any(another) || mostly() && (words::list("for-reference").find(folded).is_some() || by_others())
}

#[cfg(test)]
mod tests {
    use super::of_others;

    #[test]
    fn titles_leave_a_matrix_to_another_section() {
        for (title, others) in [
            ("ACCESS CONTROL DOOR MATRIX - FOR REFERENCE (FURNISHED UNDER 28 13 00)", true),
            ("SECURITY DOOR SCHEDULE (BY DIVISION 28)", true),
            ("DOOR MATRIX - WORK OF SECTION 281300", true),
            ("ACCESS CONTROL MATRIX - FOR REFERENCE ONLY", true),
            ("ACCESS CONTROL MATRIX - BY SECURITY CONTRACTOR", true),
            ("DOOR HARDWARE MATRIX", false),
            ("DOOR HARDWARE MATRIX - FURNISHED UNDER 08 71 00", false),
            ("DOOR MATRIX (DOORS FURNISHED UNDER SECTION 08 11 13)", false),
            ("DOOR HARDWARE MATRIX - FOR REFERENCE SEE A-601", false),
            ("ACCESS CONTROL HARDWARE MATRIX", false),
            ("DOOR SCHEDULE - CARD READERS BY DIVISION 28", false),
            ("DOOR SCHEDULE - ACCESS CONTROL BY DIVISION 28", false),
            ("DOOR SCHEDULE, SECURITY BY OWNER", false),
            ("ACCESS CONTROL BY OTHERS", false),
            ("LOW VOLTAGE WIRING BY DIVISION 26", false),
            ("NOTE: FIRE ALARM TIE-IN BY ELECTRICAL CONTRACTOR", false),
            ("DOOR HARDWARE MATRIX - CARD ACCESS BY OWNER", false),
            ("HOSPITAL SECURITY UPGRADE DOOR HARDWARE MATRIX - FOR COORDINATION", false),
            ("SPECIFIED IN 087100 - ACCESS CONTROL BY SECURITY DIVISION 28", false),
            ("DOOR HARDWARE MATRIX - 28 MARCH", false),
        ] {
            assert_eq!(of_others(title), others, "{title}");
        }
    }
}
