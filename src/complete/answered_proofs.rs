//! Tests over what answers do to additions and to the rules after them.

use rust_decimal::Decimal;

use super::act::{Out, Rule};
use super::example::{completed, completed_by};
use super::job::Job;
use super::rules::RULES;
use super::spec::Completed;
use super::told::{Answers, Scope, Told};
use crate::finding::{Answer, Effect, Finding, Kind};
use crate::terms::Terms;
use crate::trade::attribute::{Value, names};
use crate::trade::category::Category;

fn question<'j>(job: &'j Completed, code: &str) -> &'j Finding {
    job.findings
        .iter()
        .find(|finding| finding.code == code && finding.kind == Kind::Question)
        .unwrap_or_else(|| panic!("{code} is not asked: {:#?}", job.findings))
}

fn answered(text: &str, terms: &Terms, code: &str, words: &str) -> Completed {
    let job = completed_by(RULES, text, terms, &Answers::new());
    let mut answers = Answers::new();
    answers.questions.insert(question(&job, code).id.clone(), Told::plain(words));
    completed_by(RULES, text, terms, &answers)
}

fn asking(code: &str) -> Terms {
    let mut terms = Terms::default();
    terms.rules.insert(code.to_owned(), "ask".to_owned());
    terms
}

/// Goods that an answer adds are as long or as wide as each of its doors wants them.
#[test]
fn goods_that_an_answer_adds_have_the_measures_of_their_doors() {
    let text = "door 101 36x84 hm exterior RHR; door 102 72x84 pair hm exterior RHR; hinge 3 leaf; \
                mortise-lock 1 function=F07; closer 1 leaf stop=true";
    let job = answered(text, &Terms::default(), "rain-drip", "a rain drip for each opening");
    let drip = job.added.iter().find(|added| added.category == Category::RainDrip).unwrap();
    let length = |opening: usize| drip.varies[&opening][&names::LENGTH].clone();
    assert_eq!((length(0), length(1)), (Value::Length("40".parse().unwrap()), Value::Length("76".parse().unwrap())));
}

/// A coordinator is as long as the opening of its pair is wide, added or listed; one that says its length, or stands at a
/// single door, keeps what was taken before.
#[test]
fn coordinators_are_as_long_as_their_pairs_are_wide() {
    let doors = "door 101 60x84 pair hm 90min; door 102 96x84 pair hm 90min; door 103 36x84 hm NR; hinge 3 leaf; \
                 flush-bolt 1 action=automatic; mortise-lock 1 function=F07; closer 1 leaf; stop 1 leaf";
    let added = completed(doors);
    let added = added.added.iter().find(|added| added.category == Category::Coordinator).unwrap();
    let listed = completed(&format!("{doors}; coordinator 1"));
    let listed = listed.sets[0].specs.last().unwrap();
    for varies in [&added.varies, &listed.varies] {
        let length = |opening: usize| varies.get(&opening).and_then(|own| own.get(&names::LENGTH)).cloned();
        assert_eq!(length(0), Some(Value::Length("60".parse().unwrap())));
        assert_eq!(length(1), Some(Value::Length("96".parse().unwrap())));
        assert_eq!(length(2), None);
    }
    let said = completed(&format!("{doors}; coordinator 1 length=72"));
    assert!(said.sets[0].specs.last().unwrap().varies.is_empty());
}

/// A plate is 2 in narrower than a single leaf, 1 in than a leaf of a pair.
#[test]
fn plates_that_an_answer_adds_are_as_wide_as_their_leaves() {
    let text = "door 101 36x84 hm; door 102 96x84 pair hm; hinge 3 leaf; mortise-lock 1 function=F07; closer 1 leaf; stop 1 leaf";
    let job = completed(text);
    let plates = job.findings.iter().find(|finding| finding.code == "plate-missing").unwrap();
    let mut answers = Answers::new();
    answers.questions.insert(plates.id.clone(), Told::plain("a kick plate for each leaf"));
    let job = completed_by(RULES, text, &Terms::default(), &answers);
    let added = job.added.iter().find(|added| added.category == Category::ProtectionPlate).unwrap();
    let width = |opening: usize| added.varies[&opening][&names::WIDTH].clone();
    assert_eq!((width(0), width(1)), (Value::Length("34".parse().unwrap()), Value::Length("47".parse().unwrap())));
}

/// A wired hinge that is left out takes no ordinary hinge's place.
#[test]
fn a_wired_hinge_left_out_leaves_the_leaf_its_hinges() {
    let text = "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07 electrified=fail-secure; stop 1";
    let hinges = |job: &Completed| {
        let plain: Decimal = job.sets[0]
            .specs
            .iter()
            .filter(|spec| spec.category == Some(Category::Hinge))
            .map(|spec| spec.at.get(&0).copied().unwrap_or(spec.quantity))
            .sum();
        let added = job.added.iter().filter(|added| added.category == Category::Hinge && added.ours);
        (plain, added.flat_map(|added| &added.shares).map(|(_, share)| *share).sum::<Decimal>())
    };
    let terms = asking("power-transfer");
    let before = completed_by(RULES, text, &terms, &Answers::new());
    assert_eq!(hinges(&before), (Decimal::TWO, Decimal::ONE));
    let after = answered(text, &terms, "power-transfer", "leave it out");
    assert_eq!(hinges(&after), (Decimal::from(3), Decimal::ZERO));
}

/// Bolts that an answer adds bring what the rules want beside bolts.
#[test]
fn the_rules_see_what_an_answer_adds() {
    let text = "door 101 72x84 pair hm stud; hinge 6; mortise-lock 1 function=F07; stop 2";
    let strikes = |job: &Completed| job.added.iter().any(|added| added.category == Category::DustProofStrike);
    assert!(!strikes(&completed(text)));
    let job = completed(text);
    let bolts = question(&job, "inactive-leaf").answers.iter().find(|answer| answer.value.contains("bolt")).unwrap();
    assert!(strikes(&answered(text, &Terms::default(), "inactive-leaf", &bolts.value.clone())));
}

/// Leaving out is offered where the finding's own addition can be left out, not wherever the rule added anything.
#[test]
fn leaving_out_is_offered_for_what_was_added_here() {
    fn run(job: &Job, out: &mut Out) {
        for set in 0..job.sets.len() {
            if set == 0 {
                out.add(set, Category::Closer, Default::default(), vec![(0, Decimal::ONE)], "for tests");
            }
            out.say(out.about_set(job, set, job.numbers(set), "about", "spoken of"));
        }
    }
    let fire = RULES.iter().find(|rule| rule.page.code == "fire-closer").unwrap();
    let rule = Rule { run, ..*fire };
    let text = "door 101 36x84 hm set=1; door 201 36x84 hm set=2; hinge 3; @2 hinge 3";
    let job = completed_by(&[rule], text, &asking("fire-closer"), &Answers::new());
    let offered = |set: &str| {
        let of_set = |finding: &&Finding| finding.code == "fire-closer" && finding.set.as_deref() == Some(set);
        job.findings.iter().find(of_set).unwrap().answers.len()
    };
    assert_eq!((offered("1"), offered("2")), (2, 0));
}

/// Answers that an older record gives as the tables write them are heard by what they set.
#[test]
fn answers_of_older_records_are_heard() {
    let set = |words: &str, value: Value| {
        Answer::new(words, Effect::Set { lines: Vec::new(), attribute: names::HOLD_OPEN, value })
    };
    let flags = [set("with hold open", Value::Flag(true)), set("without hold open", Value::Flag(false))];
    let lengths =
        [set("1-1/8", Value::Length("1.125".parse().unwrap())), set("1-1/4", Value::Length("1.25".parse().unwrap()))];
    let picks = |all: &[Answer], given: &str| super::answers::offered(all, given).map(|answer| answer.value.clone());
    assert_eq!(picks(&flags, "true").as_deref(), Some("with hold open"));
    assert_eq!(picks(&flags, "False").as_deref(), Some("without hold open"));
    assert_eq!(picks(&flags, "perhaps"), None);
    assert_eq!(picks(&lengths, &Value::Length("1.25".parse().unwrap()).to_string()).as_deref(), Some("1-1/4"));
    // Two answers that set the same are told apart by their words alone.
    let twice = [set("for all doors", Value::Flag(true)), set("for pairs only", Value::Flag(true))];
    assert_eq!(picks(&twice, "true"), None);
}

/// A question that offers only to leave things as they are takes an answer in words.
#[test]
fn words_answer_a_question_with_nothing_to_choose() {
    let text = "door 101 36x84 hm stud remark=existing_frame; hinge 3; electric-strike 1 electrified=fail-secure; \
                mortise-lock 1 function=F07; stop 1";
    let job = answered(text, &Terms::default(), "retrofit-wiring", "surface strike by the owner");
    let says: Vec<_> = job.findings.iter().filter(|finding| finding.code == "answer-in-words").collect();
    assert_eq!(says.len(), 1, "{:#?}", job.findings);
    assert!(job.findings.iter().all(|finding| finding.code != "answer-not-offered"));
    assert!(job.findings.iter().all(|finding| finding.code != "retrofit-wiring" || finding.kind == Kind::Note));
    let job = answered(text, &Terms::default(), "retrofit-wiring", "as written");
    assert!(job.findings.iter().all(|finding| finding.code != "answer-in-words"));
}

/// Two answers for the whole job that say different things settle no third question, and are shown.
#[test]
fn answers_that_disagree_settle_nothing_and_are_said() {
    let doors = "door 101 36x84 hm set=1; door 102 36x84 hm set=2; door 103 36x84 hm set=3";
    let sets: Vec<String> = (1..=3)
        .map(|set| format!("@{set} hinge 2 height=4.5; @{set} mortise-lock 1 function=F07; @{set} stop 1"))
        .collect();
    let text = format!("{doors}; {}", sets.join("; "));
    let job = completed(&text);
    let asked: Vec<&Finding> =
        job.findings.iter().filter(|finding| finding.kind == Kind::Question && finding.code == "hinge-count").collect();
    assert!(asked.len() >= 3, "{:#?}", job.findings);
    let mut answers = Answers::new();
    for (question, answer) in asked.iter().zip([0, 1]) {
        let told = Told {
            answer: question.answers[answer].value.clone(),
            scope: Scope::Job,
            code: question.code.to_owned(),
            ..Told::default()
        };
        answers.questions.insert(question.id.clone(), told);
    }
    let after = completed_by(RULES, &text, &Terms::default(), &answers);
    let third = after.findings.iter().find(|finding| finding.id == asked[2].id).unwrap();
    assert_eq!(third.kind, Kind::Question);
    assert!(
        after.findings.iter().any(|finding| finding.code == super::reach::DISAGREE && finding.says.contains(&third.id))
    );
}

/// A third hinge is one for each leaf.
#[test]
fn a_third_hinge_on_a_pair_is_two() {
    let text = "door 101 72x58 pair hm; hinge 2; hinge 2 conductors=6";
    let job = completed(text);
    let asked = question(&job, "electrified-hinge-place");
    let third = asked.answers.iter().find(|answer| answer.value.contains("third")).unwrap();
    let crate::finding::Effect::Quantity { quantity, .. } = third.does else { panic!("{third:?}") };
    assert_eq!(quantity, Decimal::from(4));
}

/// An exit device at the one door of a set that wants it is priced: that door's lock goes, the others keep theirs.
#[test]
fn an_exit_device_at_some_doors_leaves_the_others_their_locks() {
    let text = "door 101 36x84 hm room=AUDITORIUM set=1; door 102 36x84 hm room=OFFICE set=1; hinge 3; \
                mortise-lock 1 function=F07 finish=626; closer 1; stop 1";
    let job = completed(text);
    let asked = question(&job, "panic-hardware");
    assert_eq!(asked.openings, ["101"]);
    let job = answered(text, &Terms::default(), "panic-hardware", "an exit device instead of the lock");
    let lock = job.sets[0].specs.iter().find(|spec| spec.category == Some(Category::MortiseLock)).unwrap();
    assert_eq!((lock.at.get(&0), lock.at.get(&1)), (Some(&Decimal::ZERO), None));
    let device = job.added.iter().find(|added| added.category == Category::ExitDevice).unwrap();
    assert_eq!(device.shares, [(0, Decimal::ONE)]);
    assert!(!device.selection.candidates.is_empty(), "it has a price");
}

/// A supply is enough for what is held with its margin, and for the largest at its start beside the others.
#[test]
fn a_supply_is_sized_by_what_is_taken_at_the_start_too() {
    let text = "door 101 36x84 hm stud; hinge 3; mortise-lock 1 function=F07; electric-strike 1 fail=secure voltage=12; \
                request-to-exit 1; stop 1; power-supply 1";
    let mut terms = Terms::default();
    terms.electrical.voltage = Some(12);
    let job = completed_by(RULES, text, &terms, &Answers::new());
    let says = &job.findings.iter().find(|finding| finding.code == "supply-size").unwrap().says;
    assert!(says.contains("2 A taken") && says.contains("0.625 A; 1.05 A for a moment"), "{says}");
}

/// Hands are part of the question about other facts, where there is one; alone they are asked about alone.
#[test]
fn what_the_schedule_lacks_is_one_question() {
    let lines = "hinge 3; mortise-lock 1 function=F07; closer 1; stop 1";
    let asked = |door: &str| -> Vec<&'static str> {
        let job = completed(&format!("{door}; {lines}"));
        let about = ["facts-missing", "hand-missing"];
        let questions = job.findings.iter().filter(|finding| finding.kind == Kind::Question);
        questions.map(|finding| finding.code).filter(|code| about.contains(code)).collect()
    };
    assert_eq!(asked("door 101 36x84 hm thick=1.75 NR"), ["hand-missing"]);
    assert_eq!(asked("door 101 36x84 hm thick=1.75 NR LH"), [""; 0]);
    assert_eq!(asked("door 101 hm thick=1.75 NR"), ["facts-missing"]);
}

/// A door that names a set which is not there gets the one that the answer names, and its goods; nothing else moves.
#[test]
fn a_set_that_is_near_can_be_picked() {
    let text =
        "door 101 36x84 hm set=12A; door 102 36x84 hm set=12; @12 hinge 3; @12 mortise-lock 1 function=F07; @12 stop 1";
    let before = completed(text);
    assert_eq!(before.sets[0].openings, vec![1]);
    let after = answered(text, &Terms::default(), "set-not-defined", "set 12");
    assert_eq!(after.sets[0].openings, vec![0, 1]);
    let note = after.findings.iter().find(|finding| finding.code == "set-not-defined").unwrap();
    assert!(note.kind == Kind::Note && note.says.contains("Answered: set 12"), "{}", note.says);
    assert!(!after.findings.iter().any(|finding| finding.code == "answer-not-asked"));
}

/// An answer is not lost when the line goes beside which its question had the longer id, nor when one comes.
#[test]
fn lines_that_come_and_go_leave_other_answers_alone() {
    let one = "door 101 36x84 hm; hinge 3; exit-device 1 type=rim; closer 1; stop 1";
    let two =
        "door 101 36x84 hm; hinge 3; exit-device 1 type=rim; exit-device 1 type=rim electrified=trim; closer 1; stop 1";
    let asked = |job: &Completed| -> Vec<Finding> {
        let all = job.findings.iter().filter(|finding| finding.code == "undecided-attribute");
        all.filter(|finding| finding.excerpt == "exit-device 1 type=rim").cloned().collect()
    };
    for (first, then) in [(one, two), (two, one)] {
        for question in asked(&completed(first)) {
            let same = |other: &Finding| other.attribute == question.attribute;
            if !asked(&completed(then)).iter().any(same) {
                continue;
            }
            let told = Told {
                code: question.code.to_owned(),
                wording: question.excerpt.clone(),
                ..Told::plain(question.answers[1].value.clone())
            };
            let mut answers = Answers::new();
            answers.questions.insert(question.id.clone(), told);
            let job = completed_by(RULES, then, &Terms::default(), &answers);
            let still = asked(&job).iter().any(|other| same(other) && other.kind == Kind::Question);
            assert!(
                !still,
                "{} is asked again: {:#?}",
                question.id,
                job.findings.iter().map(|f| &f.id).collect::<Vec<_>>()
            );
        }
    }
}
