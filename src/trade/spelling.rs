//! Names that are misspelt, and the known one that is meant.

/// The known name nearest to a misspelt one, if any is near.
pub fn nearest<'a>(name: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    known
        .into_iter()
        .map(|candidate| (strsim::damerau_levenshtein(name, candidate), candidate))
        .filter(|(distance, candidate)| *distance <= 1 + candidate.len() / 4)
        .min()
        .map(|(_, candidate)| candidate)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_near_name_is_offered_and_a_far_one_is_not() {
        assert_eq!(nearest("heihgt", ["height", "width"]), Some("height"));
        assert_eq!(nearest("colour", ["height", "width"]), None);
    }
}
