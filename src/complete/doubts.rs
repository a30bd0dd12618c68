//! Turns what was read in several ways, or not read, into findings: the reading room keeps all candidates; here one is
//! taken provisionally, by the place where it stands if that says something, and the others are the answers.

use rust_decimal::Decimal;

use crate::evidence::By;
use crate::finding::{Answer, Effect, Finding, Kind, Weight};
use crate::read::schedule::Basis;
use crate::trade::attribute::{Attr, Attributes, Value, names};
use crate::trade::category::Category;
use crate::trade::function::{self, Function, FunctionKind};
use crate::trade::wording;
use crate::understand::reading::{Heard, Unit};

use super::both;
use super::build::{AMBIGUOUS, likely};
use super::gather::set_answer;
use super::job::Job;
use super::rules::function_by_kind;
use super::select::{choice, title, words_of};
use super::spec::{CompletedSet, From, Spec};

/// The findings of the readings of all lines, as the rules have left them.
pub fn findings(job: &Job, settled: &[CompletedSet]) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (index, set) in settled.iter().enumerate() {
        for spec in set.specs.iter().filter(|spec| spec.excluded.is_none()) {
            of_line(job, index, spec, &mut findings);
        }
    }
    findings
}

/// "Hardware by others", and every line of the set is; or "except cylinders", and it holds nothing else: both agree.
pub fn settled_by_set(job: &Job, finding: &Finding) -> bool {
    let keyed = [Category::Cylinder, Category::Core, Category::Keying];
    let excerpt = finding.excerpt.to_lowercase();
    let cylinders = excerpt.contains("except") && excerpt.contains("cyl");
    let agrees = |set: &CompletedSet| {
        let mut ours = set.specs.iter().filter(|spec| spec.excluded.is_none()).peekable();
        let left_out = ours.peek().is_none() && !set.specs.is_empty();
        left_out || cylinders && ours.peek().is_some() && ours.all(|spec| spec.is_any(&keyed))
    };
    let of_it = |set: &&CompletedSet| finding.set.as_deref() == Some(set.id.as_str());
    finding.code == "hardware-by-others-with-set" && job.sets.iter().filter(of_it).any(agrees)
}

fn of_line(job: &Job, set: usize, spec: &Spec, findings: &mut Vec<Finding>) {
    let start = findings.len();
    let mut with_function = false;
    if let Heard::Ambiguous(candidates) = &spec.reading.category {
        let categories: Vec<Category> = candidates.iter().map(|(category, _)| *category).collect();
        let with = kind_and_function(spec, &categories).inspect(|_| with_function = true);
        findings.extend(with.or_else(|| both::offered(job, spec, &categories)));
    }
    for (attribute, heard) in &spec.reading.attributes {
        if with_function && *attribute == names::FUNCTION {
            continue;
        }
        // An answer, or a rule that knows the door, has settled it, and says so itself.
        let open = match spec.attributes.get(attribute).map(|sourced| &sourced.from) {
            Some(From::Answer(_)) => false,
            Some(From::Rule(code, _)) => *code == AMBIGUOUS,
            _ => true,
        };
        if let (Heard::Ambiguous(candidates), true) = (heard, open) {
            let mut values: Vec<Value> = candidates.iter().map(|(value, _)| value.clone()).collect();
            let of_kind = function_by_kind::of_kind(spec);
            if *attribute == names::FUNCTION && !of_kind.is_empty() {
                values = of_kind;
            }
            findings.extend(ambiguous_value(job, spec, *attribute, &values));
        }
    }
    for doubt in &spec.reading.doubts {
        // Said above, with its candidates as answers.
        let said = match doubt.attribute {
            Some(attribute) => is_ambiguous(spec, attribute),
            None => matches!(spec.reading.category, Heard::Ambiguous(_)),
        };
        if doubt.code == AMBIGUOUS && said {
            continue;
        }
        // What is asked above, with candidates for answers, is not asked again.
        let open = [REFUSED, WHOSE, FURTHER].contains(&doubt.code)
            || doubt.attribute.is_some_and(|attribute| !spec.says(attribute) && !is_ambiguous(spec, attribute));
        let kind = if open { Kind::Question } else { Kind::Note };
        let mut finding = Finding::new(doubt.code, kind, Weight::Goods, doubt.says.clone());
        finding.id = format!("{} {}", words_at(spec, &doubt.span), spec.words());
        if [SOME, WHOSE].contains(&doubt.code) {
            // One question for all sets that have the words, as often at each door and leaf.
            let often = if spec.basis == Basis::Leaf { "each leaf" } else { "" };
            finding.id = format!("job:{} {} {often}", words_at(spec, &doubt.span), spec.words());
        }
        finding.attribute = doubt.attribute;
        finding.priced_as = match doubt.code {
            REFUSED => "as if it were wanted",
            WHOSE => "as if the good were supplied",
            FURTHER => "as so many more",
            _ if open => "as read, the doubtful words left aside",
            _ => "",
        }
        .to_owned();
        finding.answers = match doubt.code {
            REFUSED => vec![
                Answer::new("it is wanted all the same", Effect::Nothing),
                Answer::new("leave it out", Effect::Exclude { lines: vec![spec.id] }),
            ],
            WHOSE | OF_ANOTHER => vec![
                Answer::new("the good is supplied", Effect::Nothing),
                Answer::new("leave it out", Effect::Exclude { lines: vec![spec.id] }),
            ],
            FURTHER => further(job, (set, spec), &doubt.span),
            _ => some_of_them(job, (set, spec), &doubt.span),
        };
        findings.push(finding);
    }
    findings.extend(two_counts(job, spec).or_else(|| both::pivots(job, spec)));
    if spec.category.is_none() {
        let mut finding = Finding::new(
            NOT_READ,
            Kind::Question,
            Weight::Goods,
            "This line was not understood; it is not counted and not priced.",
        );
        finding.id = spec.words();
        finding.priced_as = "not priced".to_owned();
        finding.help = "write it in full, or teach the words with `pintle teach`".to_owned();
        findings.push(finding);
    } else if let Some(finding) = super::also_named::asked(job, spec) {
        findings.push(finding);
    } else if let Some(says) = unread(spec) {
        let mut finding = Finding::new("words-not-read", Kind::Note, Weight::Goods, says);
        finding.id = format!("job:{}", spec.words());
        finding.help = "check that nothing that costs money is in them".to_owned();
        findings.push(finding);
    }
    let numbers = job.numbers(set);
    for finding in &mut findings[start..] {
        // Where no door is counted, nothing hangs on the answer.
        if numbers.is_empty() && !job.sets[set].openings.is_empty() && finding.kind == Kind::Question {
            finding.kind = Kind::Note;
        }
        finding.set = Some(job.sets[set].id.clone());
        finding.openings = numbers.clone();
        finding.lines = vec![spec.id];
        finding.place = Some(spec.place.clone());
        finding.excerpt = spec.words();
    }
}

/// A line of which no word tells what it is.
pub const NOT_READ: &str = "line-not-read";
/// Words that refuse the good of the line, and nothing else in it.
const REFUSED: &str = "refused-good";

/// "By others" or "existing" that may be said of the good or of something beside it.
pub(in crate::complete) const WHOSE: &str = "remark-of-whom";

/// The same, of something that the words name.
pub(super) const OF_ANOTHER: &str = "remark-of-another";

/// Said of some of the goods only.
const SOME: &str = "some-of-them";

/// A smaller count of another kind behind the first.
const FURTHER: &str = "further-count";

/// So many more, which is a line of its own already, or so many of those counted first.
fn further(job: &Job, (set, spec): (usize, &Spec), span: &std::ops::Range<usize>) -> Vec<Answer> {
    let more = Answer::new("so many more", Effect::Nothing);
    let counts = |other: &&Spec| {
        let by = other.reading.quantity.evidence.as_ref();
        other.id != spec.id && other.place == spec.place && by.is_some_and(|by| by.span == *span)
    };
    let some = job.lines(set).find(counts).filter(|some| some.unit == spec.unit && some.quantity < spec.quantity);
    let of_them = match some {
        Some(some) => Answer::new(
            format!("{} of the {}", some.quantity.normalize(), spec.quantity.normalize()),
            Effect::Quantity { line: spec.id, quantity: spec.quantity - some.quantity },
        ),
        None => Answer::new("so many of those counted first", Effect::ByHand),
    };
    vec![more, of_them]
}

/// Counts offered as answers, at most, where the words say "some".
const COUNTS: u32 = 5;

/// What is said of some of the goods of a line: said of none, of so many, of all.
fn some_of_them(job: &Job, (set, spec): (usize, &Spec), span: &std::ops::Range<usize>) -> Vec<Answer> {
    let said: Vec<(Attr, Value)> = spec
        .reading
        .quantity
        .some
        .iter()
        .filter(|(of, ..)| of == span)
        .map(|(_, attribute, value)| (*attribute, value.clone()))
        .collect();
    if said.is_empty() {
        return Vec::new();
    }
    let sets = said.iter().map(|(attribute, value)| Effect::Set {
        lines: vec![spec.id],
        attribute: *attribute,
        value: value.clone(),
    });
    let mut answers = vec![Answer::new("said of none", Effect::Nothing)];
    let counts = so_many(spec, span);
    let parted = counts.iter().filter_map(|(some, all)| {
        let does = parted(job, (set, spec), &said, (*some, *all))?;
        Some(Answer::new(format!("said of {some} of the {all}"), does))
    });
    answers.extend(parted);
    answers.push(Answer::new("said of all", Effect::Several(sets.collect())));
    if answers.len() == 2 {
        answers.push(Answer::new("some of them, in a line of their own", Effect::ByHand));
    }
    answers
}

/// Of how many of how many something may be said: as many as the words count, or any number of them where they say "some".
fn so_many(spec: &Spec, span: &std::ops::Range<usize>) -> Vec<(Decimal, Decimal)> {
    let Some(all) = spec.reading.quantity.amount.filter(|all| all.fract().is_zero()) else { return Vec::new() };
    let words = words_at(spec, span);
    let counted = words.split(' ').next().and_then(|word| word.parse::<Decimal>().ok());
    match counted {
        Some(some) => vec![(some.normalize(), all.normalize())],
        None => {
            (1..=COUNTS).map(Decimal::from).filter(|some| *some < all).map(|some| (some, all.normalize())).collect()
        }
    }
}

/// So many of the goods of a line become goods of their own that have what is said, and the line the others.
fn parted(
    job: &Job,
    (set, spec): (usize, &Spec),
    said: &[(Attr, Value)],
    (some, all): (Decimal, Decimal),
) -> Option<Effect> {
    let category = spec.category?;
    if spec.unit != Unit::Each || spec.quantity.is_zero() || some >= all {
        return None;
    }
    let doors: Decimal = match spec.basis {
        Basis::Lot => spec.quantity,
        _ => job.doors(set).map(|door| spec.count_at(door) * Decimal::from(door.count)).sum(),
    };
    let quantity = doors * some / spec.quantity;
    if !quantity.fract().is_zero() {
        return None;
    }
    // What the others have they have too, so far as a good can have both.
    let with = |mut attributes: Attributes| {
        attributes.extend(said.iter().cloned());
        attributes
    };
    let whole = spec.attributes.iter().map(|(attribute, sourced)| (*attribute, sourced.value.clone())).collect();
    let fits = |attributes: &Attributes| !job.select(category, attributes.clone()).candidates.is_empty();
    let attributes = Some(with(whole)).filter(fits).unwrap_or_else(|| with(spec.asked()));
    // Lines of one wording are asked about together, each with its new quantity.
    Some(Effect::Several(vec![
        Effect::Several(vec![Effect::Quantity { line: spec.id, quantity: all - some }]),
        Effect::Add { category, attributes, quantity: quantity.normalize() },
    ]))
}

/// Two different counts in the words of one line: `1 PR ... 3 EA`.
fn two_counts(job: &Job, spec: &Spec) -> Option<Finding> {
    let (other, evidence) = spec.reading.quantity.conflict.as_ref()?;
    let taken = spec.reading.quantity.amount?;
    // A line that is not understood is asked about whole, nobody counts nothing, and a set of silencers is as many as a door has.
    if spec.category.is_none() || other.is_zero() || spec.is_set_of(Category::Silencer) {
        return None;
    }
    let says = format!(
        "The line gives two counts: {} and, by \"{}\", {}.",
        taken.normalize(),
        words_at(spec, &evidence.span),
        other.normalize()
    );
    let fixed = job.fixed.contains(&spec.id);
    let kind = if fixed { Kind::Note } else { Kind::Question };
    let mut finding = Finding::new("unit-quantity", kind, Weight::Goods, says);
    finding.id = format!("counts {}", spec.words());
    finding.priced_as = taken.normalize().to_string();
    finding.answers = [taken, *other]
        .map(|count| Answer::new(count.normalize().to_string(), Effect::Quantity { line: spec.id, quantity: count }))
        .to_vec();
    finding.help = "say which count holds".to_owned();
    Some(finding)
}

fn is_ambiguous(spec: &Spec, attribute: Attr) -> bool {
    matches!(spec.reading.attributes.get(&attribute), Some(Heard::Ambiguous(_)))
}

fn words_at(spec: &Spec, span: &std::ops::Range<usize>) -> String {
    spec.wording.text.get(span.clone()).unwrap_or("").trim().to_owned()
}

/// The words that nothing read, if they are more than signs.
fn unread(spec: &Spec) -> Option<String> {
    let words = spec.reading.unread.iter().map(|span| words_at(spec, span));
    let words: Vec<String> = words.filter(|words| words.chars().any(char::is_alphanumeric)).collect();
    (!words.is_empty()).then(|| format!("Words that were not understood: \"{}\".", words.join("\", \"")))
}

pub(super) fn ambiguous_category(spec: &Spec, candidates: &[Category]) -> Option<Finding> {
    let taken = spec.category?;
    // An answer chose something else than the first reading: nothing is open any more.
    if likely(candidates) != Some(taken) {
        return None;
    }
    if candidates.len() < 2 {
        return Some(one_guess(spec, taken));
    }
    let names: Vec<String> = candidates.iter().map(|category| title(*category)).collect();
    let says = format!("The words can mean {}.", names.join(" or "));
    let mut finding = Finding::new("ambiguous-word", Kind::Question, Weight::Goods, says);
    // Which kind of lock is a matter of the whole job.
    let locks = candidates
        .iter()
        .all(|category| FunctionKind::of(*category).is_some() || *category == Category::InterconnectedLock);
    finding.id = if locks { format!("job:category {}", names.join(" ")) } else { of_words("category", spec) };
    finding.priced_as = title(taken);
    finding.answers = candidates
        .iter()
        .map(|category| Answer::new(title(*category), Effect::Category { lines: vec![spec.id], category: *category }))
        .collect();
    finding.help = "say which is meant".to_owned();
    Some(finding)
}

/// What a question about the words of a line is of: a code or a short name means the same in every set of the job, whatever
/// its count.
fn of_words(about: &str, spec: &Spec) -> String {
    let words = spec.words();
    let counted = words.split_once(' ').filter(|(count, _)| count.bytes().all(|sign| sign.is_ascii_digit()));
    let code = counted.map_or(&*words, |(_, code)| code.trim());
    if code.split_whitespace().count() > 2 { format!("{about} {words}") } else { format!("job:{about} {code}") }
}

/// Words that can mean one good, or nothing that is sold.
fn one_guess(spec: &Spec, taken: Category) -> Finding {
    let span = spec.reading.named_at().unwrap_or_default();
    let by = match &spec.reading.category {
        Heard::Ambiguous(all) => all.first().map(|(_, evidence)| &evidence.by),
        _ => None,
    };
    let says = match by {
        Some(By::Context(around)) => {
            format!(
                "No words of the line name a good. It is {around}: taken for {} until you say.",
                wording::with_article(&title(taken))
            )
        }
        _ => format!("\"{}\" can mean {}, and nothing beside it decides.", words_at(spec, &span), title(taken)),
    };
    let mut finding = Finding::new("ambiguous-word", Kind::Question, Weight::Goods, says);
    finding.id = of_words("category", spec);
    finding.priced_as = title(taken);
    finding.answers = vec![
        Answer::new(title(taken), Effect::Nothing),
        Answer::new("leave it out", Effect::Exclude { lines: vec![spec.id] }),
    ];
    finding.help = "say what is meant".to_owned();
    finding
}

/// A lock that may be of several kinds, with a function that has another number in each: one question names both.
fn kind_and_function(spec: &Spec, categories: &[Category]) -> Option<Finding> {
    let open = matches!(spec.attributes.get(&names::FUNCTION)?.from, From::Rule(AMBIGUOUS, _));
    let Some(Heard::Ambiguous(values)) = spec.reading.attributes.get(&names::FUNCTION) else { return None };
    if !open || categories.len() < 2 || likely(categories) != spec.category {
        return None;
    }
    let mut answers = Vec::new();
    for category in categories {
        let kind = FunctionKind::of(*category);
        let numbers: Vec<&Function> =
            values.iter().filter_map(|(value, _)| function::find(kind?, value.as_text()?)).collect();
        let becomes = Effect::Category { lines: vec![spec.id], category: *category };
        if numbers.is_empty() {
            answers.push(Answer::new(title(*category), becomes.clone()));
        }
        for number in &numbers {
            let value = Value::text(number.number);
            let set = Effect::Set { lines: vec![spec.id], attribute: names::FUNCTION, value };
            // What the number does is told where the kind alone does not tell it.
            let behaves = if numbers.len() > 1 { format!(" ({})", number.behaviour) } else { String::new() };
            let words = format!("{} {}{behaves}", title(*category), number.number);
            answers.push(Answer::new(words, Effect::Several(vec![becomes.clone(), set])));
        }
    }
    let name = spec.reading.attributes.get(&names::FUNCTION_NAME).and_then(Heard::found);
    let name = name.map_or(String::new(), |name| format!(" \"{name}\""));
    let kinds: Vec<String> = categories.iter().map(|category| title(*category)).collect();
    let says =
        format!("The words can mean {}; the number of the function{name} follows from that.", kinds.join(" or "));
    let mut finding = Finding::new("ambiguous-word", Kind::Question, Weight::Goods, says);
    // Which kind of lock is a matter of the whole job.
    finding.id = format!("job:category {}{name}", kinds.join(" "));
    finding.priced_as = answers.first()?.value.clone();
    finding.answers = answers;
    finding.help = "say which is meant".to_owned();
    Some(finding)
}

fn ambiguous_value(job: &Job, spec: &Spec, attribute: Attr, candidates: &[Value]) -> Option<Finding> {
    let taken = candidates.first()?;
    if candidates.len() < 2 {
        return None;
    }
    let names: Vec<String> = candidates.iter().map(|value| choice(None, attribute, value)).collect();
    let says = format!("The {} can be read as {}.", words_of(attribute), wording::list(&names, "or"));
    // Where every reading leads to the same good, there is nothing to ask.
    let same = spec.category.is_some_and(|category| {
        let good = |value: &Value| {
            let mut asked = spec.asked();
            asked.insert(attribute, value.clone());
            let selection = job.select(category, asked);
            // Two makers may have one number.
            selection.candidates.first().map(|best| (best.good.maker.clone(), best.good.designation.clone()))
        };
        good(taken).is_some() && candidates.iter().all(|value| good(value) == good(taken))
    });
    let kind = if same { Kind::Assumption } else { Kind::Question };
    let says = if same { format!("{says} The good is the same either way.") } else { says };
    let mut finding = Finding::new("ambiguous-word", kind, Weight::Goods, says);
    // Functions by name, and finishes by the metal beneath, are asked once for the job.
    let whole_job = matches!(attribute, names::FUNCTION | names::FINISH);
    finding.id = if whole_job {
        let category = spec.category.map_or("", Category::name);
        format!("job:{attribute} {category} {}", names.join(" "))
    } else {
        format!("{attribute} {}", spec.words())
    };
    finding.attribute = Some(attribute);
    if kind == Kind::Question {
        finding.help = "say which is meant".to_owned();
        finding.priced_as = wording::said(attribute, taken);
        finding.answers = candidates
            .iter()
            .map(|value| set_answer(choice(spec.category, attribute, value), &[spec.id], attribute, value.clone()))
            .collect();
    }
    Some(finding)
}
