//! Numbers behind the name of a maker: in a column of makers and models, `Sealwright 171` is the number 171 of that maker, and no
//! length, finish or voltage.

use super::assemble::Builder;
use super::reading::Heard;
use super::token::{Kind, Token};
use super::variants::{Guess, MOST};
use crate::evidence::Evidence;
use crate::read::schedule::PartRole;
use crate::trade::attribute::names;
use crate::trade::finish;

/// `Voltane 914`: the name of a maker before its number is no misspelling of a label.
pub(super) fn no_misspelled_names(tokens: &mut [Token], roles: &[PartRole]) {
    let named = |token: &Token| roles.get(usize::from(token.part)) == Some(&PartRole::Maker);
    for at in 1..tokens.len() {
        let (before, number) = (&tokens[at - 1], &tokens[at]);
        let numbered = number.is_number() && number.gap && number.part == before.part && named(number);
        if numbered && before.kind == Kind::Word && before.guess != Guess::None {
            tokens[at - 1].others = [0; MOST];
        }
    }
}

/// `Dunmere 608 | Gray`: a bare number behind a maker's name that could be the code of a finish. The column of finishes wins over it,
/// and where that says nothing the number is a finish only if the goods are usual in it.
pub(super) fn no_finish_of_numbers(builder: &mut Builder) {
    let numbers: Vec<Evidence> =
        builder.codes.iter().filter(|(_, by)| is_number_of_maker(builder, by)).map(|(_, by)| by.clone()).collect();
    if numbers.is_empty() {
        return;
    }
    let category = builder.category();
    let column = says_finish(builder);
    builder.codes.retain(|(code, by)| {
        let usual = || finish::find(code).is_some_and(|code| category.is_some_and(|goods| finish::suits(goods, code)));
        !numbers.contains(by) || !column && usual()
    });
}

/// Whether the column of finishes says anything of the finish.
fn says_finish(builder: &Builder) -> bool {
    let within = |by: &Evidence| {
        let mut parts = builder.scope.parts.iter().filter(|part| part.role == PartRole::Finish);
        parts.any(|part| part.span.start <= by.span.start && by.span.end <= part.span.end)
    };
    let of_look = builder.looks.iter().map(|(_, by)| by);
    let mut said = builder.codes.iter().map(|(_, by)| by).chain(of_look);
    let attribute = |name| match builder.attributes.get(name) {
        Some(Heard::Found(_, by)) => within(by),
        _ => false,
    };
    said.any(within) || attribute(&names::FINISH) || attribute(&names::BASE)
}

/// Whether words are the last of a cell of makers or numbers that has nothing but a name before them, which no list knows.
fn is_number_of_maker(builder: &Builder, by: &Evidence) -> bool {
    let cell = builder.scope.parts.iter().find(|part| {
        let numbers = matches!(part.role, PartRole::Maker | PartRole::CatalogNumber);
        numbers && part.span.start < by.span.start && by.span.end == part.span.end
    });
    let Some(before) = cell.and_then(|cell| builder.scope.original.get(cell.span.start..by.span.start)) else {
        return false;
    };
    let bare = builder.scope.original.get(by.span.clone()).is_some_and(|code| code.bytes().all(|b| b.is_ascii_digit()));
    let name = |word: &str| word.len() > 2 && word.chars().all(char::is_alphabetic);
    let words: Vec<&str> = before.split_whitespace().collect();
    let known = builder.scope.placed.iter().any(|placed| {
        let span = builder.scope.span(placed.claim);
        span.start < by.span.start && by.span.start - before.len() <= span.start
    });
    bare && !known && matches!(words.as_slice(), [one] if name(one)) && before.ends_with(char::is_whitespace)
}

#[cfg(test)]
mod tests {
    use crate::read::schedule::{PartRole, Wording};
    use crate::trade::attribute::{Attr, Value, names};
    use crate::trade::category::Category;
    use crate::understand::lexicon::Lexicon;
    use crate::understand::reading::{Heard, Reading};
    use crate::understand::{Surroundings, understand};

    fn read(cells: &[(PartRole, &str)]) -> Reading {
        let lexicon = Lexicon::load(&[]).unwrap();
        let mut wording = Wording::default();
        cells.iter().for_each(|(role, text)| wording.push(*role, text, None));
        understand(&lexicon, &wording, &Surroundings::default()).remove(0)
    }

    fn of(reading: &Reading, attribute: Attr) -> Option<String> {
        reading.attributes.get(&attribute).and_then(Heard::found).map(Value::to_string)
    }

    #[test]
    fn a_number_behind_a_makers_name_is_no_length_finish_or_voltage() {
        use PartRole::{CatalogNumber, Description, Finish, Maker};
        let read = |name: &str, role: PartRole, number: &str, finish: &str| {
            read(&[(Description, name), (role, number), (Finish, finish)])
        };
        let threshold = read("Saddle threshold 5\" x 1/2\" aluminum", Maker, "Sealwright 171", "Mill");
        assert_eq!(of(&threshold, names::LENGTH), None);
        for role in [Maker, CatalogNumber] {
            let stop = read("Wall stop", role, "Dunmere 612", "630");
            assert_eq!(of(&stop, names::FINISH).as_deref(), Some("630"));
        }
        assert_eq!(of(&read("Power supply", Maker, "Voltane 914", ""), names::VOLTAGE), None);
        assert_eq!(of(&read("Coordinator", Maker, "Dunmere 672", ""), names::FINISH), None);
    }

    #[test]
    fn sizes_and_the_only_finish_of_a_line_stand() {
        use PartRole::{CatalogNumber, Description, Maker};
        let lock = read(&[(Description, "Mortise lock"), (Maker, "Brackwell 626")]);
        assert_eq!(of(&lock, names::FINISH).as_deref(), Some("626"));
        let lock = read(&[(Description, "Mortise lock"), (CatalogNumber, "M70 F04 626")]);
        assert_eq!(of(&lock, names::FINISH).as_deref(), Some("626"));
        let sweep = read(&[(Description, "Door sweep"), (Maker, "Sealwright 36\"")]);
        assert_eq!(of(&sweep, names::LENGTH).as_deref(), Some("36"));
        let plate = read(&[(Description, "Kick plate"), (Maker, "Dunmere 10 x 34")]);
        assert_eq!(of(&plate, names::WIDTH).as_deref(), Some("34"));
    }

    #[test]
    fn a_stop_at_a_hinge_pin_is_no_hinge() {
        use PartRole::{Description, Quantity};
        let category = |cells: &[(PartRole, &str)]| read(cells).category.found().copied();
        let stop = [(Description, "Stop"), (Quantity, "1"), (Description, "Hinge pin, adjustable")];
        assert_eq!(category(&stop), Some(Category::Stop));
        assert_eq!(category(&[(Description, "Hinges 4.5 x 4.5, hinge pin stainless")]), Some(Category::Hinge));
        assert_eq!(
            category(&[(Description, "Hinge"), (Quantity, "3"), (Description, "Continuous hinge")]),
            Some(Category::ContinuousHinge)
        );
    }
}
