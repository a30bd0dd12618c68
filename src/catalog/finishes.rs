//! Which of a line's finishes meets an asked finish, look or base metal.

use crate::trade::finish::{find, look_of, same_family};

/// What a line can do about a finish.
pub(super) enum Finish<'a> {
    /// This one is what was asked.
    Asked(&'a str, String),
    /// This one is the nearest made.
    Near(&'a str, String),
    /// Nothing asked narrows it down to one.
    Open,
    /// None will do.
    None,
}

/// The base metal of a code; `None` for paint or an unknown code. Of brass and bronze, brass.
pub(super) fn base_of(code: &str) -> Option<&'static str> {
    find(code).and_then(|finish| finish.bases.first().copied())
}

/// Brass and bronze are one group of base metals.
pub(super) fn same_base(one: &str, other: &str) -> bool {
    let group = |base: &str| if base == "bronze" { "brass".to_owned() } else { base.to_owned() };
    group(one) == group(other)
}

/// The finish of `made` that meets what is asked.
pub(super) fn choose<'a>(
    made: &[&'a str],
    finish: Option<&str>,
    look: Option<&str>,
    base: Option<&str>,
    own_base: Option<&str>,
    near_allowed: bool,
) -> Finish<'a> {
    let fits_base = |code: &str| match (base, base_of(code)) {
        (Some(base), Some(own)) => same_base(base, own) || own_base.is_some(),
        _ => true,
    };
    if let Some(code) = finish.and_then(|finish| made.iter().find(|code| **code == finish)) {
        return Finish::Asked(code, format!("finish {code}: as asked"));
    }
    let wanted = look.or_else(|| finish.and_then(look_of));
    let Some(wanted) = wanted else {
        if finish.is_some() {
            return Finish::None;
        }
        let fitting: Vec<&&str> = made.iter().filter(|code| fits_base(code)).collect();
        return match (fitting.as_slice(), base) {
            ([], _) => Finish::None,
            ([only], Some(base)) if made.len() > 1 => Finish::Asked(only, format!("base {base}: finish {only}")),
            (fitting, Some(base)) if fitting.len() < made.len() => {
                Finish::Asked(fitting[0], format!("base {base}: finish {}", fitting[0]))
            }
            _ => Finish::Open,
        };
    };
    let on = |code: &str| base_of(code).map_or(String::new(), |base| format!(" on {base}"));
    if let Some(code) = made.iter().find(|code| look_of(code) == Some(wanted) && fits_base(code)) {
        let said = match finish {
            Some(finish) => format!("finish {finish}: {code}, the same look{}", on(code)),
            None => format!("finish {code}: {wanted}{}", on(code)),
        };
        // A code that names another base metal is only met by its look where the nearest finish will do.
        return match finish {
            Some(_) if !near_allowed => Finish::None,
            Some(_) => Finish::Near(code, said),
            None => Finish::Asked(code, said),
        };
    }
    let near = made.iter().find(|code| same_family(code, wanted) && fits_base(code));
    match near.filter(|_| near_allowed) {
        Some(code) => {
            let asked = finish.unwrap_or(wanted);
            Finish::Near(code, format!("finish {asked}: {code}, the nearest made{}", on(code)))
        }
        None => Finish::None,
    }
}
