//! Groups of words that stand for each other in the spellings of a list: `{magnetic}|em|electromagnetic`, and a spelling
//! `{magnetic} holder` for both.

use std::collections::BTreeMap;

/// The groups of a list, by their name in braces.
pub type Groups<'t> = BTreeMap<&'t str, Vec<&'t str>>;

/// The groups that a list defines: lines whose first field is a name in braces.
pub fn groups(text: &str) -> Groups<'_> {
    let fields = text.lines().map(|line| line.split('|').map(str::trim));
    let named = fields.filter_map(|mut fields| {
        let name = fields.next().filter(|name| is_group(name))?;
        Some((name, fields.filter(|words| !words.is_empty()).collect()))
    });
    named.collect()
}

/// Whether the first field of a line is the name of a group.
pub fn is_group(name: &str) -> bool {
    name.starts_with('{') && name.ends_with('}')
}

/// The spellings that one spelling with groups stands for.
///
/// # Errors
/// A group that the list does not have.
pub fn spelled(phrase: &str, groups: &Groups) -> Result<Vec<String>, String> {
    let Some((before, rest)) = phrase.split_once('{') else { return Ok(vec![phrase.to_owned()]) };
    let unknown = || format!("\"{phrase}\" names a group of words that the list does not have");
    let (name, behind) = rest.split_once('}').ok_or_else(unknown)?;
    let words = groups.get(format!("{{{name}}}").as_str()).ok_or_else(unknown)?;
    let ends = spelled(behind, groups)?;
    Ok(words.iter().flat_map(|word| ends.iter().map(move |end| format!("{before}{word}{end}"))).collect())
}

#[cfg(test)]
mod tests {
    use super::{groups, spelled};

    #[test]
    fn a_spelling_with_groups_stands_for_each_of_their_words() {
        let groups = groups("{a}|em|mag\n{b}|floor|floor mounted\nmounting=floor|{a} {b}\n");
        let all = spelled("{a} {b} holder", &groups).unwrap();
        assert_eq!(
            all.join(", "),
            "em floor holder, em floor mounted holder, mag floor holder, mag floor mounted holder"
        );
        assert_eq!(spelled("plain", &groups).unwrap(), ["plain"]);
        assert!(spelled("{c} holder", &groups).is_err() && spelled("{a holder", &groups).is_err());
    }
}
