//! The outside trim of exit devices on a line of its own: it is no good by itself, and tells how the devices work.

use rust_decimal::Decimal;

use crate::complete::act::{Act, Out, Rule, page};
use crate::complete::job::Job;
use crate::complete::spec::{Grade, Spec};
use crate::complete::trims::OF_DEVICE;
use crate::finding::{Answer, Effect, Kind, Weight};
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::function::{self, FunctionKind};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "device-trim",
        Kind::Assumption,
        Weight::Goods,
        "Trim of exit devices on a line of its own",
        "a line of a set names trim and no lock, and the set has exit devices of which neither trim nor another function is said",
        "the trim is the devices': they have its trim and the function that it names, and the line is no good of its own; where it counts fewer than the devices they are priced without, and it is asked",
        "",
        ("common practice", "common practice"),
        ("RIM EXIT DEVICE and LEVER TRIM, CLASSROOM", "RIM EXIT DEVICE and CLASSROOM LOCK"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; exit-device 1 type=rim; other 1 kind=device-trim trim=lever function_name=classroom; closer 1; stop 1",
    quiet: "door 101 36x84 hm; hinge 3; exit-device 1 type=rim; closer 1; stop 1",
};

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let ours = |spec: &&Spec| spec.excluded.is_none() || job.ruled_out.contains(&spec.id);
        let is_trim = |spec: &&Spec| spec.category == Some(Category::Other) && spec.word(names::KIND) == OF_DEVICE;
        let trims: Vec<&Spec> = job.sets[set].specs.iter().filter(is_trim).filter(ours).collect();
        let [trim] = trims.as_slice() else { continue };
        let devices: Vec<&Spec> =
            job.lines_of(set, &[Category::ExitDevice]).into_iter().filter(|spec| suits(spec, trim)).collect();
        if devices.is_empty() {
            continue;
        }
        out.acts.push(Act::Exclude { line: trim.id, why: "goes with the exit device of the set".to_owned() });
        let open: Vec<&Spec> = devices.into_iter().filter(|spec| !spec.says(names::FUNCTION)).collect();
        let count = |specs: &[&Spec], door| specs.iter().map(|spec| spec.count_at(door)).sum::<Decimal>();
        let fewer = job.doors(set).any(|door| trim.count_at(door) < count(&open, door));
        let said = said(trim);
        let told: Vec<String> = said.iter().map(|(_, value)| value.to_string()).collect();
        let about = format!("job:{}", told.join(" "));
        if fewer {
            ask(job, out, (set, trim), &open, &said, &about);
            continue;
        }
        for (spec, (attribute, value)) in open.iter().flat_map(|spec| said.iter().map(move |one| (spec, one))) {
            out.fill(spec.id, *attribute, value.clone(), Grade::Assumed);
        }
        let says = "Trim on a line of its own, in a set with exit devices: it is the devices', and no good of its own.";
        out.say(out.about_lines(job, set, &[trim.id], job.numbers(set), &about, says));
    }
}

/// Whether the trim may be that of a device: nothing is said of it that another trim or function contradicts.
fn suits(device: &Spec, trim: &Spec) -> bool {
    let agrees = |attribute: Attr| {
        let known = !device.says(attribute) || trim.value(attribute).is_none();
        known || device.value(attribute) == trim.value(attribute)
    };
    let exit_only = function::find(FunctionKind::Exit, device.word(names::FUNCTION))
        .is_some_and(|function| function.behaviour.ends_with("no trim"));
    agrees(names::TRIM) && agrees(names::FUNCTION_NAME) && !(device.says(names::FUNCTION) && exit_only)
}

/// What a line of trim says of a device: its trim, and the function of the name where there is one such.
fn said(trim: &Spec) -> Vec<(Attr, Value)> {
    let mut said: Vec<(Attr, Value)> =
        [names::TRIM].into_iter().filter_map(|name| Some((name, trim.value(name)?.clone()))).collect();
    let thumb = trim.word(names::TRIM) == "thumb-piece";
    let word = |word: &str| word == "thumb-piece" && thumb;
    let name = trim.word(names::FUNCTION_NAME);
    if let [one] = function::candidates(FunctionKind::Exit, name, &word).as_slice() {
        said.push((names::FUNCTION, Value::text(one.number)));
    }
    said
}

/// Fewer trims than devices: which of them have it is asked.
fn ask(
    job: &Job,
    out: &mut Out,
    (set, trim): (usize, &Spec),
    open: &[&Spec],
    said: &[(Attr, Value)],
    about: &str,
) {
    let says = "Trim of exit devices on a line of its own, and fewer of it than of the devices: which of them have it is not said.";
    let mut finding = out.about_lines(job, set, &[trim.id], job.numbers(set), about, says);
    finding.kind = Kind::Question;
    finding.priced_as = "devices without it".to_owned();
    let each = open.iter().flat_map(|spec| {
        said.iter().map(move |(attribute, value)| Effect::Set {
            lines: vec![spec.id],
            attribute: *attribute,
            value: value.clone(),
        })
    });
    finding.answers = vec![
        Answer::new("devices without it", Effect::Nothing),
        Answer::new("all devices have it", Effect::Several(each.collect())),
    ];
    if let [device] = open
        && let Some(does) = parted(job, set, trim, device, said)
    {
        finding.answers.insert(1, Answer::new("as many devices as there is trim", does));
    }
    finding.help = "say which leaf has the trim; write its device on a row of its own".to_owned();
    out.say(finding);
}

/// So many devices as there is trim have it, and the line so many fewer.
fn parted(job: &Job, set: usize, trim: &Spec, device: &Spec, said: &[(Attr, Value)]) -> Option<Effect> {
    let mut doors = job.doors(set);
    let first = doors.next()?;
    let (some, all) = (trim.count_at(first), device.count_at(first));
    let same = |door| trim.count_at(door) == some && device.count_at(door) == all;
    if !doors.all(same) || some.is_zero() || device.basis != crate::read::schedule::Basis::Opening {
        return None;
    }
    let count: Decimal = job.doors(set).map(|door| Decimal::from(door.count)).sum();
    let mut attributes = device.asked();
    attributes.extend(said.iter().cloned());
    Some(Effect::Several(vec![
        Effect::Quantity { line: device.id, quantity: all - some },
        Effect::Add { category: Category::ExitDevice, attributes, quantity: some * count },
    ]))
}

#[cfg(test)]
mod tests {
    use crate::complete::example::{completed, speaks};
    use crate::finding::Kind;
    use crate::trade::attribute::names;

    const SET: &str = "door 101 36x84 hm; hinge 3; closer 1; stop 1; exit-device 1 type=rim";

    #[test]
    fn the_devices_have_the_trim_and_the_function_that_it_names() {
        for (trim, function) in [("function_name=classroom", "08"), ("function_name=passage", "14")] {
            let job = completed(&format!("{SET}; other 1 kind=device-trim trim=lever {trim}"));
            assert!(speaks(&job, "device-trim"));
            let specs = &job.sets[0].specs;
            assert_eq!((specs[3].word(names::TRIM), specs[3].word(names::FUNCTION)), ("lever", function));
            assert!(specs[4].excluded.is_some());
        }
    }

    #[test]
    fn a_device_that_only_lets_out_has_none_and_fewer_trims_are_asked() {
        let job = completed(&format!("{SET} function=01 trim=none; other 1 kind=device-trim trim=lever"));
        assert!(!speaks(&job, "device-trim") && job.sets[0].specs[4].excluded.is_none());
        let pair = "door 101 72x84 hm pair; hinge 6; closer 2; stop 2; exit-device 2 type=surface-vertical-rod";
        let job = completed(&format!("{pair}; other 1 kind=device-trim trim=lever function_name=classroom"));
        let asked = job.findings.iter().find(|finding| finding.code == "device-trim").unwrap();
        assert_eq!((asked.kind, asked.answers.len()), (Kind::Question, 3));
        assert_ne!(job.sets[0].specs[3].word(names::FUNCTION), "08");
    }
}
