//! What the building and the electrical scope of a job may be told to be. A word that is none of those that are known would do
//! nothing, and nobody would know: it is refused, with the key it stands at.

use crate::trade::finish;
use crate::trade::inches::Inches;
use crate::trade::wire;
use rust_decimal::Decimal;

use super::{Building, Electrical, Terms};

/// Who furnishes.
const WHOSE: &[&str] = &["ours", "others"];
/// Fail modes.
const MODES: &[&str] = &["fail-safe", "fail-secure"];
/// Papers of the letter.
const PAPERS: &[&str] = &["letter", "a4"];

/// Doors are no thinner and no thicker than this, inches: common practice.
const THICKNESSES: [i64; 2] = [1, 4];

impl Building {
    /// The thickness of leaves where the schedule is silent: `1-3/8`, `1 3/8"`, `1.375`.
    pub fn thickness(&self) -> Option<Inches> {
        inches(self.default_thickness.as_deref()?)
    }
}

/// A length in inches as it is written, with a fraction or with decimals.
fn inches(text: &str) -> Option<Inches> {
    let plain = text.trim().to_lowercase();
    let plain = ["inches", "inch", "in.", "in", "\"", "\u{201d}", "\u{2033}"]
        .into_iter()
        .find_map(|unit| plain.strip_suffix(unit))
        .unwrap_or(&plain)
        .trim();
    let Some((before, below)) = plain.split_once('/') else { return plain.parse().ok() };
    let (whole, above) = before.trim().rsplit_once(['-', ' ']).unwrap_or(("0", before));
    let number = |text: &str| text.trim().parse::<i64>().ok();
    let whole = whole.trim_end_matches(['-', ' ']);
    Inches::fraction(number(whole)?, number(above)?, number(below)?)
}

impl Terms {
    /// Words that the keys of building, electrical scope and proposal may hold.
    pub(super) fn check_words(&mut self) -> Result<(), String> {
        let Electrical { power_supplies, readers, wiring, fail_mode, .. } = &mut self.electrical;
        one_of("electrical.power_supplies", power_supplies, WHOSE)?;
        one_of("electrical.readers", readers, WHOSE)?;
        one_of("electrical.wiring", wiring, WHOSE)?;
        one_of("electrical.fail_mode", fail_mode, MODES)?;
        one_of("proposal.paper", &mut self.proposal.paper, PAPERS)?;
        let building = &self.building;
        if let Some(text) = &building.default_thickness {
            let bounds = THICKNESSES.map(Inches::whole);
            let fits = building.thickness().is_some_and(|inches| inches >= bounds[0] && inches <= bounds[1]);
            if !fits {
                return Err(format!(
                    "building.default_thickness is \"{text}\", and no leaf is so thick\n  help: write inches in quotes, such as \
                     \"1-3/8\" or \"1.75\""
                ));
            }
        }
        if let Some(text) = building.default_finish.as_deref().filter(|text| finish::look_of(text).is_none()) {
            return Err(format!(
                "building.default_finish is \"{text}\", which is no finish that is known\n  help: write its code, such as \
                 \"626\" or \"US26D\""
            ));
        }
        self.electrical.check()
    }
}

impl Electrical {
    /// Numbers that sums are made of.
    fn check(&self) -> Result<(), String> {
        for (key, gauge) in [("feeder_gauge", self.feeder_gauge), ("hinge_gauge", self.hinge_gauge)] {
            if let Some(gauge) = gauge.filter(|gauge| wire::resistance(*gauge).is_none()) {
                return Err(format!(
                    "electrical.{key} is {gauge}, which is no gauge of wire that is known\n  help: write the AWG number, such as 18"
                ));
            }
        }
        let most = |key: &str, given: Option<u32>, most: u32, unit: &str| match given {
            Some(given) if given == 0 || given > most => Err(format!(
                "electrical.{key} is {given}, and {unit} of hardware go from 1 to {most}\n  help: correct it, or take it out"
            )),
            _ => Ok(()),
        };
        // Beyond any that hardware is made or wired for: common practice.
        most("voltage", self.voltage, 240, "volts")?;
        most("feeder_feet", self.feeder_feet, 10_000, "feet of feeders")?;
        // Hinges and transfers carry a dozen conductors or so: common practice.
        match self.spare_conductors {
            Some(spare) if Decimal::from(spare) > Decimal::from(20) => {
                Err(format!("electrical.spare_conductors is {spare}, and no hinge has so many\n  help: two are usual"))
            }
            _ => Ok(()),
        }
    }
}

/// Holds a key to the words that it may be, in small letters.
fn one_of(key: &str, given: &mut Option<String>, known: &[&str]) -> Result<(), String> {
    let Some(text) = given else { return Ok(()) };
    let plain = text.trim().to_lowercase().replace([' ', '_'], "-");
    if !known.contains(&plain.as_str()) {
        let all = known.iter().map(|word| format!("\"{word}\"")).collect::<Vec<_>>().join(" or ");
        return Err(format!(
            "{key} is \"{text}\", which is none of the words that are known there\n  help: write {all}"
        ));
    }
    *text = plain;
    Ok(())
}

#[cfg(test)]
mod tests {
    use crate::terms::Terms;

    #[test]
    fn a_thickness_is_read_as_it_is_written() {
        for (text, inches) in
            [("1-3/8", "1.375"), ("1 3/8\\\"", "1.375"), ("1.75", "1.75"), ("1 - 3/4 in", "1.75"), ("2", "2")]
        {
            let terms = Terms::parse(&format!("[building]\ndefault_thickness = \"{text}\""), "job.toml").unwrap();
            assert_eq!(terms.building.thickness().map(|inches| inches.to_string()).as_deref(), Some(inches), "{text}");
        }
    }

    #[test]
    fn what_would_do_nothing_is_refused_with_its_key() {
        for (section, line) in [
            ("building", "default_thickness = \"standard\""),
            ("building", "default_thickness = \"44\""),
            ("building", "default_finish = \"shiny\""),
            ("electrical", "fail_mode = \"secure\""),
            ("electrical", "power_supplies = \"us\""),
            ("electrical", "readers = \"security\""),
            ("electrical", "hinge_gauge = 99"),
            ("electrical", "voltage = 0"),
            ("proposal", "paper = \"A3\""),
        ] {
            let key = line.split(' ').next().unwrap();
            let said = Terms::parse(&format!("[{section}]\n{line}"), "job.toml").unwrap_err();
            assert!(said.contains(&format!("{section}.{key}")) && said.contains("help:"), "{line}: {said}");
        }
        let terms =
            Terms::parse("[electrical]\nfail_mode = \"Fail Safe\"\npower_supplies = \"Ours\"", "job.toml").unwrap();
        assert_eq!(terms.electrical.fail_mode.as_deref(), Some("fail-safe"));
        assert_eq!(terms.electrical.power_supplies.as_deref(), Some("ours"));
    }
}
