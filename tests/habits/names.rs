//! How an office names sets and lists doors.

use crate::job::{Door, Set};
use crate::pen::Pen;

/// Habits of headings of sets and of lists of doors.
pub struct Names {
    heading: &'static str,
    title: &'static str,
    upper: bool,
    list: &'static str,
    label: &'static str,
    range: &'static str,
    unused: &'static str,
}

impl Names {
    /// Draws them.
    pub fn draw(pen: &mut Pen) -> Names {
        Names {
            heading: pen.habit(
                "heading of a set",
                &[
                    "HARDWARE SET ",
                    "HARDWARE SET NO. ",
                    "SET: ",
                    "HW-",
                    "Set No. ",
                    "HARDWARE GROUP NO. ",
                    "GROUP ",
                    "Set #",
                    "HW SET ",
                    "HDW SET: ",
                    "Heading #",
                    "SET ",
                    "Hardware Set: ",
                ],
            ),
            title: pen.habit("title of a set", &["", " - ", " \u{2013} ", ": ", " (", "  "]),
            upper: pen.has("titles in upper case", 50),
            list: pen.habit("list of doors", &[", ", ", ", ",", " ", "; ", " & ", " AND ", " / "]),
            label: pen.habit(
                "label of doors",
                &[
                    "DOORS: ",
                    "Doors: ",
                    "DOOR NO.: ",
                    "DOOR NUMBERS: ",
                    "OPENINGS: ",
                    "Door(s): ",
                    "FOR DOORS ",
                    "Doors ",
                    "For use on Door #(s): ",
                ],
            ),
            range: pen.habit("range of doors", &["", "", "-", " - ", " THRU ", " to "]),
            unused: pen.habit("not used", &["NOT USED", "Not Used", "(NOT USED)", "NOT USED.", "RESERVED"]),
        }
    }

    /// A set's id, perhaps behind what its label leads with.
    pub fn heading(&self, set: &Set) -> String {
        let head = format!("{}{}", self.heading, set.id);
        if set.not_used {
            return format!("{head} - {}", self.unused);
        }
        let title = if self.upper { set.title.to_uppercase() } else { set.title.to_owned() };
        match self.title {
            "" => head,
            " (" => format!("{head} ({title})"),
            parted => format!("{head}{parted}{title}"),
        }
    }

    /// The words for what is not used.
    pub fn unused(&self) -> &'static str {
        self.unused
    }

    /// The label before a list of doors.
    pub fn label(&self) -> &'static str {
        self.label
    }

    /// Doors in a list, runs of them as ranges.
    pub fn list(&self, doors: &[&Door], all: &[Door]) -> String {
        let mut parts: Vec<String> = Vec::new();
        let place = |door: &Door| all.iter().position(|one| one.number == door.number);
        let mut at = 0;
        while at < doors.len() {
            let mut end = at;
            while end + 1 < doors.len()
                && follows(&doors[end].number, &doors[end + 1].number)
                && place(doors[end]).map(|one| one + 1) == place(doors[end + 1])
            {
                end += 1;
            }
            let (first, last) = (&doors[at].number, &doors[end].number);
            // A dash between numbers that have dashes themselves says nothing to anybody.
            let dashed = self.range.contains('-') && first.contains('-');
            if end > at + 1 && !self.range.is_empty() && !dashed {
                parts.push(format!("{first}{}{last}", self.range));
            } else {
                parts.extend(doors[at..=end].iter().map(|door| door.number.clone()));
            }
            at = end + 1;
        }
        match (self.list, parts.split_last()) {
            (" & " | " AND ", Some((last, rest))) if !rest.is_empty() => {
                format!("{}{}{last}", rest.join(", "), self.list)
            }
            // Spaces part numbers only where nothing within them has spaces.
            (" ", _) if self.range.contains(' ') => parts.join(", "),
            (between, _) => parts.join(between),
        }
    }
}

/// Whether a number is the next: both end in figures, the same but for the last of them, one more.
fn follows(one: &str, other: &str) -> bool {
    let split = |text: &str| {
        let digits = text.chars().rev().take_while(char::is_ascii_digit).count();
        let (lead, tail) = text.split_at(text.len() - digits);
        (lead.to_owned(), tail.len(), tail.parse::<u32>().unwrap_or(0))
    };
    let ((lead, long, number), (other_lead, other_long, next)) = (split(one), split(other));
    lead == other_lead && long == other_long && long > 0 && number + 1 == next
}
