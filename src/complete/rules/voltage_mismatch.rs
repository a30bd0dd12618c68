//! Devices and supplies of different voltage.

use std::collections::BTreeSet;

use crate::complete::act::{Out, Rule, page};
use crate::complete::gather::set_answer;
use crate::complete::job::Job;
use crate::complete::spec::Spec;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "voltage-mismatch",
        Kind::Question,
        Weight::Goods,
        "Devices and supply of different voltage",
        "electrified goods of one set name different voltages, or another than the power supply of the set or the job terms; or they are asked for with alternating current",
        "priced as written, each voltage named being an answer; for alternating current as for direct",
        "the same watts need half the current at 24 V",
        ("integrators' threads; a dealer's page on 12 and 24 V", "reported"),
        ("a strike of 12 V and a supply of 24 V", "both of 24 V"),
    ),
    run,
    fires: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07; electric-strike 1 for=mortise voltage=12 fail=secure; power-supply 1 voltage=24 amps=2",
    quiet: "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07; electric-strike 1 for=mortise voltage=24 fail=secure; power-supply 1 voltage=24 amps=2",
};

const ELECTRIC: &[Category] = &[
    Category::MortiseLock, Category::BoredLock, Category::ExitDevice, Category::Deadlock, Category::ElectricStrike,
    Category::ElectromagneticLock, Category::RequestToExit, Category::PowerSupply,
];

fn volts(spec: &Spec) -> Option<String> {
    spec.value(names::VOLTAGE).filter(|_| spec.says(names::VOLTAGE)).map(ToString::to_string)
}

fn run(job: &Job, out: &mut Out) {
    let of_job = job.terms.electrical.voltage.map(|volts| volts.to_string());
    for set in 0..job.sets.len() {
        let lines: Vec<&Spec> = job.lines_of(set, ELECTRIC).into_iter().filter(|spec| volts(spec).is_some()).collect();
        alternating(job, out, set);
        let supplied = lines.iter().any(|spec| spec.category == Some(Category::PowerSupply));
        let mut said: BTreeSet<String> = lines.iter().filter_map(|spec| volts(spec)).collect();
        said.extend(of_job.clone().filter(|_| !supplied && !said.is_empty()));
        if said.len() < 2 || job.doors(set).next().is_none() {
            continue;
        }
        let ids: Vec<_> = lines.iter().map(|spec| spec.id).collect();
        let all: Vec<String> = said.iter().map(|volts| format!("{volts} V")).collect();
        let mut says = format!("Electrified goods of one set name {}.", all.join(" and "));
        if let Some(volts) = of_job.as_ref().filter(|_| !supplied) {
            says = format!("Electrified goods of the set name another voltage than the job's {volts} V: {}.", all.join(", "));
        }
        let mut finding = out.about_lines(job, set, &ids, job.numbers(set), "volts", says);
        finding.priced_as = "as written".to_owned();
        finding.attribute = Some(names::VOLTAGE);
        finding.answers = vec![Answer::new("as written", Effect::Nothing)];
        finding.answers.extend(said.iter().map(|volts| set_answer(format!("{volts} V"), &ids, names::VOLTAGE, voltage(volts))));
        finding.help = "ask those who do the access control; low-voltage work by licensed practice".to_owned();
        out.say(finding);
    }
}

/// `24VAC`, `24 V AC`: alternating current serves momentary strikes; what stays under power wants direct current.
fn is_alternating(words: &str) -> bool {
    let words: Vec<String> = words.split(|letter: char| !letter.is_alphanumeric()).map(str::to_lowercase).collect();
    let volts = |word: &str| word.strip_suffix('v').unwrap_or(word).chars().all(|letter| letter.is_ascii_digit());
    words.iter().any(|word| word.strip_suffix("vac").is_some_and(volts)) || words.windows(2).any(|pair| pair[1] == "ac" && volts(&pair[0]))
}

fn alternating(job: &Job, out: &mut Out, set: usize) {
    let lines: Vec<&Spec> = job.lines_of(set, ELECTRIC).into_iter().filter(|spec| spec.category != Some(Category::PowerSupply) && is_alternating(&spec.wording.text)).collect();
    let ids: Vec<_> = lines.iter().map(|spec| spec.id).collect();
    if ids.is_empty() || job.doors(set).next().is_none() {
        return;
    }
    let mut finding = out.about_lines(job, set, &ids, job.numbers(set), "job:ac", "Electrified goods are asked for with alternating current: it serves strikes that are let go for a moment; whatever stays under power wants direct current.");
    finding.priced_as = "for direct current".to_owned();
    finding.help = "ask those who do the access control which current there is; low-voltage work by licensed practice".to_owned();
    out.say(finding);
}

fn voltage(text: &str) -> Value {
    text.parse().map_or_else(|_| Value::text(text), Value::Number)
}

#[cfg(test)]
mod tests {
    use super::is_alternating;

    #[test]
    fn alternating_current_is_heard() {
        assert!(["ELECTRIC STRIKE 24VAC", "STRIKE 24 VAC FAIL SECURE", "STRIKE 12V AC", "STRIKE 24 AC"].iter().all(|words| is_alternating(words)));
        assert!(!["STRIKE 24VDC", "VACANCY LOCK 24", "AC CONTROL STRIKE"].iter().any(|words| is_alternating(words)));
    }
}
