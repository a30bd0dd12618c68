//! The outside trim of exit devices on a line of its own: it is no good by itself, and tells how the devices work.

use rust_decimal::Decimal;

use crate::complete::act::{Act, Out, Rule, by_hand, page};
use crate::complete::door::Door;
use crate::complete::job::Job;
use crate::complete::spec::{Grade, Spec};
use crate::complete::trims::OF_DEVICE;
use crate::finding::{Answer, Effect, Finding, Kind, LineId, Weight};
use crate::read::schedule::Basis;
use crate::trade::attribute::{Attr, Value, names};
use crate::trade::category::Category;
use crate::trade::function::{self, Function, FunctionKind};

/// The rule.
pub const RULE: Rule = Rule {
    page: page(
        "device-trim",
        Kind::Assumption,
        Weight::Goods,
        "Trim of exit devices on a line of its own",
        "a line of a set names trim and no lock, and the set has exit devices of which neither trim nor another function is said",
        "the trim is the devices': they have its trim and the function that it names, and the line is no good of its own; where it counts fewer than the devices they are priced without, and it is asked, as are more trim than devices and another finish",
        "",
        ("common practice", "common practice"),
        ("RIM EXIT DEVICE and LEVER TRIM, CLASSROOM", "RIM EXIT DEVICE and CLASSROOM LOCK"),
    ),
    run,
    fires: "door 101 36x84 hm; hinge 3; exit-device 1 type=rim; other 1 kind=device-trim trim=lever function_name=classroom; closer 1; stop 1",
    quiet: "door 101 36x84 hm; hinge 3; exit-device 1 type=rim; closer 1; stop 1",
};

/// What is said of the trim as it is of the device.
const PASSED_ON: [Attr; 4] = [names::TRIM, names::FUNCTION, names::CYLINDER, names::KEYED];

fn run(job: &Job, out: &mut Out) {
    for set in 0..job.sets.len() {
        let ours = |spec: &&Spec| spec.excluded.is_none() || job.ruled_out.contains(&spec.id);
        let is_trim = |spec: &&Spec| spec.category == Some(Category::Other) && spec.word(names::KIND) == OF_DEVICE;
        let trims: Vec<&Spec> = job.sets[set].specs.iter().filter(is_trim).filter(ours).collect();
        let [trim, others @ ..] = trims.as_slice() else { continue };
        let told = said(trim);
        let devices: Vec<&Spec> =
            job.lines_of(set, &[Category::ExitDevice]).into_iter().filter(|spec| suits(spec, trim)).collect();
        // Trims that say different things may be of different devices, or locks.
        if devices.is_empty() || others.iter().any(|other| said(other) != told) {
            continue;
        }
        let why = "goes with the exit device of the set";
        out.acts.extend(trims.iter().map(|trim| Act::Exclude { line: trim.id, why: why.to_owned() }));
        let open: Vec<&Spec> = devices.iter().copied().filter(|spec| !spec.says(names::FUNCTION)).collect();
        Trim { set, lines: trims, said: told, devices, open }.told(job, out);
    }
}

/// The trim of a set, and the devices that may have it.
struct Trim<'s> {
    set: usize,
    /// Lines that say the same.
    lines: Vec<&'s Spec>,
    said: Vec<(Attr, Value)>,
    devices: Vec<&'s Spec>,
    /// Devices of which no function is said.
    open: Vec<&'s Spec>,
}

/// How many the lines are at a door.
fn count(specs: &[&Spec], door: &Door) -> Decimal {
    specs.iter().map(|spec| spec.count_at(door)).sum()
}

/// Whether the trim may be that of a device: nothing is said of it that another trim or function contradicts.
fn suits(device: &Spec, trim: &Spec) -> bool {
    let agrees = |attribute: Attr| {
        let known = !device.says(attribute) || trim.value(attribute).is_none();
        known || device.value(attribute) == trim.value(attribute)
    };
    let exit_only = function::find(FunctionKind::Exit, device.word(names::FUNCTION))
        .is_some_and(is_bare);
    agrees(names::TRIM) && agrees(names::FUNCTION_NAME) && !(device.says(names::FUNCTION) && exit_only)
}

/// What a line of trim says of a device: its trim, and the function of the name where there is one such.
fn said(trim: &Spec) -> Vec<(Attr, Value)> {
    let mut said: Vec<(Attr, Value)> =
        PASSED_ON.into_iter().filter_map(|name| Some((name, trim.value(name)?.clone()))).collect();
    if trim.value(names::FUNCTION).is_some() {
        return said;
    }
    let thumb = trim.word(names::TRIM) == "thumb-piece";
    let word = |word: &str| word == "thumb-piece" && thumb;
    let name = trim.word(names::FUNCTION_NAME);
    if let [one] = function::candidates(FunctionKind::Exit, name, &word).as_slice() {
        said.push((names::FUNCTION, Value::text(one.number)));
    }
    said
}

impl Trim<'_> {
    /// Gives the devices the trim, or asks.
    fn told(&self, job: &Job, out: &mut Out) {
        // A device that says its trim, as one that an answer adds, has had its share.
        let (having, lacking): (Vec<&Spec>, Vec<&Spec>) =
            self.devices.iter().copied().partition(|spec| spec.says(names::TRIM));
        let lacking: Vec<&Spec> = lacking.into_iter().filter(|spec| !spec.says(names::FUNCTION)).collect();
        let fewer = |door: &Door| count(&self.lines, door) < count(&lacking, door) + count(&having, door);
        if job.doors(self.set).any(fewer) {
            return self.ask_which(job, out);
        }
        for (spec, (attribute, value)) in self.open.iter().flat_map(|spec| self.said.iter().map(move |one| (spec, one))) {
            out.fill(spec.id, *attribute, value.clone(), Grade::Assumed);
        }
        if job.doors(self.set).any(|door| count(&self.lines, door) > count(&self.devices, door)) {
            return self.ask_more(job, out);
        }
        if let Some(look) = self.lines.iter().find_map(|trim| trim.value(names::LOOK).filter(|_| trim.says(names::LOOK))) {
            let others: Vec<&Spec> =
                self.devices.iter().copied().filter(|spec| spec.says(names::LOOK) && spec.value(names::LOOK) != Some(look)).collect();
            if !others.is_empty() {
                return self.ask_look(job, out, &others, look);
            }
        }
        let says = "Trim on a line of its own, in a set with exit devices: it is the devices', and no good of its own.";
        out.say(self.finding(job, out, "", says));
    }

    fn finding(&self, job: &Job, out: &Out, about: &str, says: &str) -> Finding {
        let told: Vec<String> = self.said.iter().map(|(_, value)| value.to_string()).collect();
        let lines: Vec<LineId> = self.lines.iter().map(|trim| trim.id).collect();
        let about = format!("job:{}{about}", told.join(" "));
        out.about_lines(job, self.set, &lines, job.numbers(self.set), &about, says)
    }

    /// Fewer trims than devices: which of them have it is asked.
    fn ask_which(&self, job: &Job, out: &mut Out) {
        let says = "Trim of exit devices on a line of its own, and fewer of it than of the devices: which of them have it is not said.";
        let mut finding = self.finding(job, out, "", says);
        finding.kind = Kind::Question;
        finding.priced_as = "devices without it".to_owned();
        let each = self.open.iter().flat_map(|spec| {
            self.said.iter().map(move |(attribute, value)| Effect::Set {
                lines: vec![spec.id],
                attribute: *attribute,
                value: value.clone(),
            })
        });
        let all = if self.is_even(job) {
            Answer::new("all devices have it", Effect::Several(each.collect()))
        } else {
            by_hand("the devices at its doors have it, to be written into the lines")
        };
        finding.answers = vec![Answer::new("devices without it", Effect::Nothing), all];
        if let [device] = self.open.as_slice()
            && let Some((some, all)) = self.counts(job, device)
        {
            finding.answers.insert(1, Answer::new("as many devices as there is trim", self.parted(job, device, (some, all))));
        }
        finding.help = "say which leaf has the trim; write its device on a row of its own".to_owned();
        out.say(finding);
    }

    /// More trim than devices: whether a device is lacking is asked.
    fn ask_more(&self, job: &Job, out: &mut Out) {
        let says = "Trim of exit devices on a line of its own, and more of it than of the devices: a device may be lacking, or the trim is that of a lock.";
        let mut finding = self.finding(job, out, " more", says);
        finding.kind = Kind::Question;
        finding.priced_as = "the devices have it, and no more of them".to_owned();
        finding.answers = vec![Answer::new("the devices have it", Effect::Nothing)];
        if let [device] = self.devices.as_slice()
            && let Some((some, _)) = self.counts(job, device)
        {
            let more = Effect::Quantity { line: device.id, quantity: some };
            finding.answers.push(Answer::new("as many devices as there is trim", more));
        }
        finding.answers.push(by_hand("the rest is another good, to be written into the lines"));
        finding.help = "ask whether a device is lacking; write another good on a row of its own".to_owned();
        out.say(finding);
    }

    /// The trim has another finish than the devices.
    fn ask_look(&self, job: &Job, out: &mut Out, others: &[&Spec], look: &Value) {
        let says = format!("Trim of exit devices on a line of its own, in another finish than the devices ({look}): they are priced in theirs.");
        let mut finding = self.finding(job, out, &format!(" {look}"), &says);
        finding.kind = Kind::Question;
        finding.priced_as = "the finish of the devices".to_owned();
        let lines = others.iter().map(|spec| spec.id).collect();
        finding.answers = vec![
            Answer::new("the finish of the devices", Effect::Nothing),
            Answer::new("the finish of the trim", Effect::Set { lines, attribute: names::LOOK, value: look.clone() }),
        ];
        finding.help = "ask which finish the devices and their trim have".to_owned();
        out.say(finding);
    }

    /// Whether there is as much of the trim at all doors.
    fn is_even(&self, job: &Job) -> bool {
        let counts: Vec<Decimal> = job.doors(self.set).map(|door| count(&self.lines, door)).collect();
        counts.windows(2).all(|two| two.first() == two.last())
    }

    /// How many there are of the trim and of a device, where these are the same at all doors.
    fn counts(&self, job: &Job, device: &Spec) -> Option<(Decimal, Decimal)> {
        let mut doors = job.doors(self.set);
        let first = doors.next()?;
        let (some, all) = (count(&self.lines, first), device.count_at(first));
        let same = |door| count(&self.lines, door) == some && device.count_at(door) == all;
        (doors.all(same) && !some.is_zero() && device.basis == Basis::Opening).then_some((some, all))
    }

    /// So many devices as there is trim have it, and the line so many fewer.
    fn parted(&self, job: &Job, device: &Spec, (some, all): (Decimal, Decimal)) -> Effect {
        let openings: Decimal = job.doors(self.set).map(|door| Decimal::from(door.count)).sum();
        let mut attributes = device.asked();
        attributes.extend(self.said.iter().cloned());
        let mut effects = vec![Effect::Quantity { line: device.id, quantity: all - some }];
        // The others are without: else they would have the trim, of which there is then as much as of them.
        if let Some(bare) = function::all().iter().find(|function| is_bare(function)) {
            let value = Value::text(bare.number);
            effects.push(Effect::Set { lines: vec![device.id], attribute: names::FUNCTION, value });
        }
        effects.push(Effect::Exclude { lines: self.lines.iter().map(|trim| trim.id).collect() });
        effects.push(Effect::Add { category: Category::ExitDevice, attributes, quantity: some * openings });
        Effect::Several(effects)
    }
}

/// Whether a function of exit devices only lets out.
fn is_bare(function: &Function) -> bool {
    function.kind == FunctionKind::Exit && function.behaviour.ends_with("no trim")
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
