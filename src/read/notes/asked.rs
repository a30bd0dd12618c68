//! General notes that ask for goods, `ALL DOORS TO HAVE SILENCERS`, `PROVIDE DOOR VIEWERS AT ALL GUEST ROOMS`: where no set
//! names them nothing would be counted. Which doors a note means is not settled here; it is asked.

use std::collections::{BTreeMap, HashMap};

use crate::finding::{Finding, Kind, Weight};

use super::keyed;
use super::remarks::{self, KindOfGoods, Wanted, asked_goods};
use crate::read::goods::itemtext;
use crate::read::schedule::{Note, Opening, Schedule, loose_id};
use crate::read::words::{self, plain};

/// The code of what is said here.
pub(crate) const IN_NOTES: &str = "hardware-in-notes";

/// Longer texts are specifications, whose every clause speaks of goods.
const LONGEST: usize = 600;

/// Goods that a note asks for.
struct Asked {
    wanted: Wanted,
    /// For every door.
    every: bool,
    /// For more of them than sets have: `second viewer`.
    more: bool,
    /// For the doors of rooms of this use: `at storage rooms`.
    rooms: Option<String>,
}

/// Kinds of goods that a sentence asks for.
fn asked(text: &str, kinds: &[KindOfGoods]) -> Vec<Asked> {
    let mut found = Vec::new();
    let folded = plain(text);
    let (asks, all) = (words::list("note-asks"), words::list("note-all-doors"));
    let everywhere = words::list("note-everywhere");
    let speaks = || [asks, all, everywhere].iter().any(|list| list.find(&folded).is_some());
    if folded.len() > LONGEST || !speaks() {
        return found;
    }
    for part in folded.split(';').flat_map(|part| part.split(". ")) {
        let every = all.find(part).is_some();
        let others = words::list("hardware-by").find(part).is_some() || itemtext::by_whom(part).is_some();
        if others || !every && asks.find(part).or_else(|| everywhere.find(part)).is_none() {
            continue;
        }
        let verbs = asks.all(part);
        let mut add = |kind: String, named, at: &str| {
            let asked = !remarks::takes_out(part, at) && is_asked(part, at, &verbs, every);
            if asked && !found.iter().any(|known: &Asked| known.wanted.kind == kind) {
                let wanted = Wanted { kind, named, is_out: false, of_others: false };
                found.push(Asked { wanted, every, more: is_more(part, at), rooms: rooms(part) });
            }
        };
        for (kind, list, named) in kinds {
            if let Some(at) = list.find(part) {
                add((*kind).to_string(), vec![*list, *named], at);
            }
        }
        if let Some(at) = words::list("remark-hardware").find(part).filter(|at| !words::list("note-quiet").is(at)) {
            add(at.to_lowercase(), Vec::new(), at);
        }
    }
    found
}

/// Kinds of goods that a note under a set names, whatever its verb, `VERIFY CLOSER SIZE`, and neither takes out nor leaves to
/// others: goods that nothing counts where the set has none.
fn named(text: &str, kinds: &[KindOfGoods]) -> Vec<Asked> {
    let folded = plain(text);
    if folded.len() > LONGEST || itemtext::by_others(&folded) {
        return Vec::new();
    }
    let wanted = |(kind, list, named): &KindOfGoods| {
        let at = list.find(&folded).filter(|at| !remarks::takes_out(&folded, at))?;
        let verb = words::list("set-note").begins(&folded).is_some_and(|verb| words::list("remark-out").is(verb));
        let wanted = Wanted { kind: (*kind).to_string(), named: vec![*list, *named], is_out: false, of_others: false };
        (!verb && !at.is_empty()).then_some(Asked { wanted, every: false, more: false, rooms: None })
    };
    kinds.iter().filter_map(wanted).collect()
}

/// Whether a word such as SECOND stands right before goods, or one word before them.
fn is_more(part: &str, goods: &str) -> bool {
    let lead = part[..words::offset(part, goods)].trim_end();
    let shorter = lead.rsplit_once(' ').map_or("", |(lead, _)| lead);
    [lead, shorter].iter().any(|lead| words::list("note-more").ends(&format!(" {lead}")).is_some())
}

/// The use of rooms at whose doors a part asks for goods: STORAGE of `at all storage rooms`.
fn rooms(part: &str) -> Option<String> {
    let last = words::list("note-of-use");
    words::list("note-where").all(part).into_iter().find_map(|lead| {
        let behind = part[words::offset(part, lead) + lead.len()..].trim_start();
        let bare = |word: &&str| last.is(word.trim_end_matches(['.', ',', ')']));
        // `At all offices`: to the end where no such word stands; `at all doors` names no use.
        let first = behind.split(' ').next().is_some_and(|word| bare(&word));
        let whole = words::list("note-everywhere").is(lead) && !first;
        let noun = behind.split(' ').skip(1).position(|word| bare(&word)).map(|at| at + 1);
        let at = noun.or_else(|| whole.then(|| behind.split(' ').count()));
        let at = at.filter(|at| (1..=MOST_OF_USE).contains(at))?;
        let named: Vec<&str> = behind.split(' ').take(at).collect();
        let named = named.join(" ").trim_end_matches('.').to_string();
        named.bytes().all(|byte| byte.is_ascii_alphabetic() || byte == b' ').then_some(named)
    })
}

/// The use of rooms is named in no more words.
const MOST_OF_USE: usize = 3;

/// The doors of rooms of a use that have a set with goods.
fn doors_of<'s>(schedule: &'s Schedule, used: &[(&str, &str)], named: &str) -> Vec<(&'s Opening, String)> {
    let exterior = words::list("exterior").is(named);
    let stem = format!(" {}", named.strip_suffix('S').filter(|stem| stem.len() > 2).unwrap_or(named));
    let of_use = |door: &&Opening| {
        door.excluded.is_none()
            && (exterior && door.exterior == Some(true) || format!(" {}", plain(&door.room)).contains(&stem))
    };
    let lines: HashMap<String, &str> = used.iter().map(|(id, lines)| (loose_id(id), *lines)).collect();
    let with_set = |door: &'s Opening| Some((door, (*lines.get(&loose_id(door.set.as_deref()?))?).to_string()));
    schedule.openings.iter().filter(of_use).filter_map(with_set).collect()
}

/// Whether a part asks for the goods that it names: they stand behind a verb of supply, or before one, or at the head of a
/// part that speaks of all doors. `Provide blocking for wall stops`, `adjust closers at all doors` ask for none.
fn is_asked(part: &str, goods: &str, verbs: &[&str], every: bool) -> bool {
    let at = words::offset(part, goods);
    let work = words::list("note-work");
    let verb = verbs.iter().map(|verb| (words::offset(part, verb), verb.len())).rfind(|(start, _)| *start < at);
    let Some((start, length)) = verb else {
        let whether = words::list("note-whether").find(&part[..at]).is_some();
        let head = |text: &str| {
            let text = text.trim_start_matches(|sign: char| !sign.is_ascii_alphabetic());
            let all = words::list("note-all-doors").begins(text);
            all.or_else(|| words::list("note-everywhere").begins(text)).is_some()
        };
        let first = || !part[..at].bytes().any(|byte| byte.is_ascii_alphabetic()) || head(part);
        let everywhere = || every || words::list("note-everywhere").find(part).is_some();
        return !whether && work.find(part).is_none() && (!verbs.is_empty() || first() && everywhere());
    };
    let between = &part[start + length..at];
    let between = between.rfind(',').map_or(between, |comma| &between[comma..]);
    let behind_for = between
        .find(" FOR ")
        .is_some_and(|to| !between[..to].trim_matches([',', ' ']).is_empty() && !between[to..].contains(" WITH "));
    !behind_for && work.find(between).is_none()
}

/// Asks about goods that notes ask for and sets do not name: for every door, of each set that lacks them; for some doors,
/// where no set has them.
pub(crate) fn tell(schedule: &mut Schedule) {
    let texts = remarks::lines_of_sets(schedule);
    if texts.is_empty() || schedule.sets.iter().all(|set| set.lines.is_empty()) {
        return;
    }
    let kinds = remarks::kinds();
    let used: Vec<(&str, &str)> = schedule
        .sets
        .iter()
        .filter(|set| !set.lines.is_empty() && set.not_used.is_none())
        .filter_map(|set| Some((set.id.as_str(), texts.get(&loose_id(&set.id))?.as_str())))
        .collect();
    let mut told: BTreeMap<String, Finding> = BTreeMap::new();
    let general = schedule.notes.iter().map(|note| (None, note));
    let of_sets = schedule.sets.iter().flat_map(|set| set.notes.iter().map(|note| (Some(set.id.as_str()), note)));
    for (own, note) in general.chain(of_sets) {
        let told_of_set = own.is_some() && itemtext::is_set_note(&plain(&note.text));
        let found = asked(&note.text, &kinds);
        let found = if found.is_empty() && told_of_set { named(&note.text, &kinds) } else { found };
        if !found.is_empty() && keyed::is_joined(&note.text, &schedule.openings) {
            // It stands beside the doors that it is said of, and is asked there.
            continue;
        }
        for Asked { wanted, every, more, rooms } in found {
            if own.is_none()
                && let Some(finding) = at_doors(schedule, &used, (&wanted, more, rooms.as_deref()), note)
            {
                told.entry(format!("{} {}", wanted.kind, rooms.unwrap_or_default())).or_insert(finding);
                continue;
            }
            let lacking: Vec<&str> = match own.filter(|_| !every) {
                Some(own) => {
                    used.iter().filter(|(id, lines)| *id == own && !wanted.is_in(lines)).map(|(id, _)| *id).collect()
                }
                None => used.iter().filter(|(_, lines)| !wanted.is_in(lines)).map(|(id, _)| *id).collect(),
            };
            let some = own.is_none() || every;
            if lacking.is_empty() || some && !every && lacking.len() < used.len() {
                continue;
            }
            let finding = finding(&wanted.kind, &lacking, lacking.len() == used.len(), note);
            told.entry(wanted.kind).or_insert(finding);
        }
    }
    schedule.findings.extend(told.into_values());
}

/// Asks about goods at the doors that a note names by the use of their rooms, or about more of them than sets have.
fn at_doors(
    schedule: &Schedule,
    used: &[(&str, &str)],
    (wanted, more, rooms): (&Wanted, bool, Option<&str>),
    note: &Note,
) -> Option<Finding> {
    let mut doors = rooms.map(|named| doors_of(schedule, used, named)).unwrap_or_default();
    let by_use = !doors.is_empty();
    if more && !by_use {
        doors = doors_of(schedule, used, "");
    }
    doors.retain(|(_, lines)| wanted.is_in(lines) == more);
    if doors.is_empty() {
        return None;
    }
    let doors: Vec<&Opening> = doors.into_iter().map(|(door, _)| door).collect();
    let kind = &wanted.kind;
    let says = match more {
        true if by_use => format!("a note asks for one more \"{kind}\" than the sets of these doors have"),
        true => format!("a note asks for one more \"{kind}\" at some of the doors whose sets have it"),
        false => format!("a note asks for \"{kind}\" at doors whose sets do not name it, by the use of their rooms"),
    };
    let mut answers = asked_goods(kind, &doors);
    if let Some(first) = answers.first_mut().filter(|_| more) {
        first.value = "as the sets are written".into();
    }
    let priced_as = if more { "as the sets are written" } else { "nothing for it" };
    let finding = Finding {
        openings: doors.iter().map(|door| door.number.clone()).collect(),
        priced_as: priced_as.into(),
        answers,
        ..Finding::new(IN_NOTES, Kind::Question, Weight::Goods, says)
    };
    let finding = finding.at(note.place.clone(), note.text.clone());
    Some(finding.help("ask which doors are meant and who supplies it; add it to the sets that have it"))
}

fn finding(kind: &str, lacking: &[&str], is_all: bool, note: &Note) -> Finding {
    let some = lacking.iter().take(10).copied().collect::<Vec<_>>().join(", ");
    let more = if lacking.len() > 10 { format!(" and {} more", lacking.len() - 10) } else { String::new() };
    let says = match lacking {
        _ if is_all => format!("a note asks for \"{kind}\", which no set names"),
        [one] => format!("a note asks for \"{kind}\", which set {one} does not name"),
        _ => format!("a note asks for \"{kind}\", which the sets {some}{more} do not name"),
    };
    Finding {
        set: lacking.first().filter(|_| lacking.len() == 1).map(|set| (*set).to_string()),
        priced_as: "nothing for it".into(),
        ..Finding::new(IN_NOTES, Kind::Question, Weight::Goods, says)
    }
    .at(note.place.clone(), note.text.clone())
    .help("ask which doors are meant and who supplies it; add it to the sets that have it")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn notes_ask_for_goods_or_do_not() {
        let kinds = remarks::kinds();
        for (text, goods, every) in [
            ("1. All doors to have silencers.", vec!["silencers"], true),
            ("Provide wall stops at all doors unless noted otherwise", vec!["stop"], true),
            ("EXTERIOR DOORS SHALL RECEIVE WEATHERSTRIPPING AND THRESHOLDS", vec!["threshold", "gasketing"], false),
            ("Contractor to field verify all dimensions.", vec![], false),
            ("Provide card readers by security contractor", vec![], false),
            ("All doors without kick plates", vec![], false),
            ("KP = kick plate", vec![], false),
            ("All locksets to have lever trim", vec![], false),
            ("Provide blocking for wall stops at all doors.", vec![], false),
            ("2. Adjust closers at all doors after installation.", vec![], false),
            ("Where closers are required refer to door schedule.", vec![], false),
            ("Provide templates for silencers to frame supplier", vec![], false),
            ("Closers to be adjusted at all doors", vec![], true),
            ("Provide all doors scheduled for egress with panic hardware", vec!["panic"], true),
            ("3. Silencers at all frames", vec!["silencers"], true),
            ("Closers are required at exterior doors", vec!["closer"], false),
            ("Verify swings and provide wall stops, kick plates", vec!["kick plate", "stop"], false),
            ("All doors: wall stops", vec!["stop"], true),
        ] {
            let found = asked(text, &kinds);
            let mut names: Vec<&str> = found.iter().map(|asked| asked.wanted.kind.as_str()).collect();
            names.sort_unstable();
            let mut goods = goods;
            goods.sort_unstable();
            assert_eq!(names, goods, "{text}");
            assert!(found.iter().all(|asked| asked.every == every), "{text}");
        }
    }

    #[test]
    fn notes_ask_for_more_and_name_rooms() {
        let kinds = remarks::kinds();
        for (text, more, rooms_named) in [
            ("Provide second viewer at 43\" AFF at accessible rooms.", true, Some("ACCESSIBLE")),
            ("Provide kick plates at all storage rooms", false, Some("STORAGE")),
            ("Provide an additional door viewer in unit entrances", true, Some("UNIT")),
            ("All doors to have wall stops", false, None),
            ("Provide wall stops at all doors", false, None),
            ("Provide a second lever; add closer", false, None),
        ] {
            let found = asked(text, &kinds);
            assert!(!found.is_empty(), "{text}");
            for asked in found {
                assert_eq!((asked.more, asked.rooms.as_deref()), (more, rooms_named), "{text}");
            }
        }
    }
}
