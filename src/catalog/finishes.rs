//! Which of a line's finishes meets an asked finish, look or base metal.

/// Looks with their code on each base, from ANSI/BHMA A156.18 as public finish tables restate it.
const LOOKS: &[(&str, &[(&str, &str)])] = &[
    ("bright-brass", &[("605", "brass"), ("632", "steel")]),
    ("satin-brass", &[("606", "brass"), ("633", "steel")]),
    ("satin-bronze", &[("612", "bronze"), ("639", "steel")]),
    ("oil-rubbed-bronze", &[("613", "bronze"), ("640", "steel"), ("703", "aluminum"), ("704", "zinc"), ("695", "any")]),
    ("satin-nickel", &[("619", "brass"), ("646", "steel")]),
    ("flat-black", &[("622", "brass"), ("631", "steel"), ("693", "any"), ("711", "aluminum")]),
    ("bright-chromium", &[("625", "brass"), ("651", "steel")]),
    ("satin-chromium", &[("626", "brass"), ("652", "steel"), ("682", "zinc"), ("702", "aluminum"), ("689", "any")]),
    ("satin-aluminum", &[("628", "aluminum"), ("689", "any")]),
    ("bright-stainless", &[("629", "stainless")]),
    ("satin-stainless", &[("630", "stainless"), ("689", "any")]),
    ("dark-bronze", &[("710", "aluminum"), ("690", "any")]),
    ("prime-coat", &[("600", "steel")]),
];
/// Looks that stand in for each other where the nearest is good enough.
const NEAR: &[&[&str]] = &[
    &["satin-chromium", "satin-stainless", "satin-aluminum", "satin-nickel"],
    &["oil-rubbed-bronze", "dark-bronze", "satin-bronze"],
    &["bright-chromium", "bright-stainless"],
    &["bright-brass", "satin-brass"],
];

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

/// The look of a code.
pub(super) fn look_of(code: &str) -> Option<&'static str> {
    LOOKS.iter().find(|(_, codes)| codes.iter().any(|(own, _)| *own == code)).map(|(look, _)| *look)
}

/// The base metal of a code; `None` when any or unknown.
pub(super) fn base_of(code: &str) -> Option<&'static str> {
    let codes = LOOKS.iter().flat_map(|(_, codes)| codes.iter());
    codes.filter(|(own, _)| *own == code).map(|(_, base)| *base).find(|base| *base != "any")
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
    let wanted = look.or(finish.and_then(look_of));
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
    let has_look = |code: &str, look: &str| {
        LOOKS.iter().any(|(name, codes)| *name == look && codes.iter().any(|(own, _)| *own == code))
    };
    if let Some(code) = made.iter().find(|code| has_look(code, wanted) && fits_base(code)) {
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
    if near_allowed {
        let family = NEAR.iter().find(|family| family.contains(&wanted));
        let near = family.and_then(|family| {
            let looks = family.iter().filter(|look| **look != wanted);
            looks.flat_map(|look| made.iter().filter(move |code| has_look(code, look))).find(|code| fits_base(code))
        });
        if let Some(code) = near {
            return Finish::Near(
                code,
                format!("finish {}: {code}, the nearest made{}", finish.unwrap_or(wanted), on(code)),
            );
        }
    }
    Finish::None
}
