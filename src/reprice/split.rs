//! Pairs the lines of two quotes piece by piece. A line whose good differs by opening stands in the record in pieces, and an
//! addendum may change which opening has which good; so the pieces of paired lines are cut until each old piece and its new
//! one serve the same openings. A good that changed at one opening then shows as that and nothing else.

use std::collections::BTreeMap;

use rust_decimal::Decimal;

use super::flat::{Flat, Side};
use super::pairs::{self, Pairs};

/// The lines of both sides cut to pieces, and which piece is which.
#[derive(Debug, Default)]
pub(super) struct Cut<'a> {
    pub(super) old: Vec<Flat<'a>>,
    pub(super) new: Vec<Flat<'a>>,
    pub(super) pairs: Pairs,
}

/// Where a line or an addition belongs: additions by rule and category, lines by set alone.
type Home<'k> = (bool, Option<usize>, &'k str, &'k str);
/// Pieces of each line, by index.
type Groups = Vec<Vec<usize>>;
/// Shares of a piece: opening and quantity.
type Shares = Vec<(usize, Decimal)>;

/// Pairs lines within paired sets, additions within rule, category and paired set, and cuts the pieces.
pub(super) fn lines<'a>(old: &Side<'a>, new: &Side<'a>, sets: &Pairs, openings: &Pairs) -> Cut<'a> {
    let mut cut = Cut::default();
    let mut homes: BTreeMap<Home, (Groups, Groups)> = BTreeMap::new();
    let mut lost = Vec::new();
    for group in groups(old) {
        let first = &old.lines[group[0]];
        let set = first.set.map(|set| sets.new_of(set));
        match set {
            Some(None) => lost.push(group),
            _ => homes.entry(home(first, set.flatten())).or_default().0.push(group),
        }
    }
    for group in groups(new) {
        let first = &new.lines[group[0]];
        homes.entry(home(first, first.set)).or_default().1.push(group);
    }
    for (home, (olds, news)) in homes {
        let heads = |side: &Side<'a>, groups: &[Vec<usize>]| -> Vec<_> {
            groups.iter().map(|group| side.lines[group[0]].line).collect()
        };
        let found = if home.0 {
            let mut found = Pairs::default();
            (0..olds.len().min(news.len())).for_each(|at| found.add(at, at, "same rule, category and set"));
            found
        } else {
            pairs::lines(&heads(old, &olds), &heads(new, &news))
        };
        let pieces = |side: &Side<'a>, group: &[usize]| -> Vec<Flat<'a>> {
            group.iter().map(|index| side.lines[*index].clone()).collect()
        };
        for (at, group) in olds.iter().enumerate() {
            let mine = pieces(old, group);
            match found.to_new.get(&at) {
                Some((other, why)) => {
                    cut.pair(matched(mine, pieces(new, &news[*other]), openings), why);
                }
                None => cut.lone(mine, found.doubt_old(at), true),
            }
        }
        for (at, group) in news.iter().enumerate().filter(|(at, _)| !found.to_old.contains_key(at)) {
            cut.lone(pieces(new, group), found.doubt_new(at), false);
        }
    }
    for group in lost {
        cut.lone(group.iter().map(|index| old.lines[*index].clone()).collect(), None, true);
    }
    cut
}

fn home<'k>(flat: &Flat<'k>, set: Option<usize>) -> Home<'k> {
    let category = if flat.is_addition { flat.line.category.as_deref().unwrap_or_default() } else { "" };
    (flat.is_addition, set, flat.line.rule.as_str(), category)
}

/// Pieces of one line: neighbours of one place and text; additions: all of one home.
fn groups(side: &Side) -> Groups {
    let mut groups = Groups::new();
    let mut additions: BTreeMap<Home, usize> = BTreeMap::new();
    for (index, flat) in side.lines.iter().enumerate() {
        if flat.is_addition {
            let group = *additions.entry(home(flat, flat.set)).or_insert_with(|| {
                groups.push(Vec::new());
                groups.len() - 1
            });
            groups[group].push(index);
            continue;
        }
        let same = groups.last().and_then(|group| group.first()).is_some_and(|first| {
            let first = &side.lines[*first];
            !first.is_addition
                && first.set == flat.set
                && first.line.origin.is_some()
                && first.line.origin == flat.line.origin
                && first.line.text == flat.line.text
        });
        match groups.last_mut().filter(|_| same) {
            Some(group) => group.push(index),
            None => groups.push(vec![index]),
        }
    }
    groups
}

impl<'a> Cut<'a> {
    fn pair(&mut self, pieces: Vec<(Option<Flat<'a>>, Option<Flat<'a>>)>, why: &str) {
        for (old, new) in pieces {
            if old.is_some() && new.is_some() {
                self.pairs.add(self.old.len(), self.new.len(), why);
            }
            self.old.extend(old);
            self.new.extend(new);
        }
    }

    fn lone(&mut self, pieces: Vec<Flat<'a>>, doubt: Option<&str>, is_old: bool) {
        let list = if is_old { &mut self.old } else { &mut self.new };
        list.extend(pieces.into_iter().map(|piece| Flat { doubt: doubt.map(str::to_owned), ..piece }));
    }
}

/// The pieces of two paired lines, cut so that partners serve the same openings.
fn matched<'a>(old: Vec<Flat<'a>>, new: Vec<Flat<'a>>, openings: &Pairs) -> Vec<(Option<Flat<'a>>, Option<Flat<'a>>)> {
    if old.len() == 1 && new.len() == 1 {
        return old.into_iter().map(Some).zip(new.into_iter().map(Some)).collect();
    }
    let mut at: BTreeMap<usize, (Shares, Shares)> = BTreeMap::new();
    let mut rest: (Vec<Shares>, Vec<Shares>) = (vec![Vec::new(); old.len()], vec![Vec::new(); new.len()]);
    for (piece, flat) in old.iter().enumerate() {
        for (opening, share) in &flat.shares {
            match openings.new_of(*opening) {
                Some(there) => at.entry(there).or_default().0.push((piece, *share)),
                None => rest.0[piece].push((*opening, *share)),
            }
        }
    }
    for (piece, flat) in new.iter().enumerate() {
        for (opening, share) in &flat.shares {
            at.entry(*opening).or_default().1.push((piece, *share));
        }
    }
    let mut both: BTreeMap<(usize, usize), (Shares, Shares)> = BTreeMap::new();
    for (opening, (mut olds, mut news)) in at {
        let before = openings.to_old.get(&opening).copied().unwrap_or(opening);
        let same = |one: usize, two: usize| old[one].line.good == new[two].line.good;
        while let Some((from, to)) = next_pair(&olds, &news, same) {
            let ((one, was), (two, is)) = (olds.remove(from), news.remove(to));
            let shares = both.entry((one, two)).or_default();
            shares.0.push((before, was));
            shares.1.push((opening, is));
        }
        olds.into_iter().for_each(|(piece, share)| rest.0[piece].push((before, share)));
        news.into_iter().for_each(|(piece, share)| rest.1[piece].push((opening, share)));
    }
    joined(old, new, both, rest)
}

/// The next two pieces at an opening that belong together: those with the same good first.
fn next_pair(olds: &Shares, news: &Shares, same: impl Fn(usize, usize) -> bool) -> Option<(usize, usize)> {
    let equal = olds
        .iter()
        .enumerate()
        .find_map(|(from, (one, _))| news.iter().position(|(two, _)| same(*one, *two)).map(|to| (from, to)));
    equal.or((!olds.is_empty() && !news.is_empty()).then_some((0, 0)))
}

/// Flats of the cut pieces. What no partner takes goes with the largest part of its piece; lots too.
fn joined<'a>(
    old: Vec<Flat<'a>>,
    new: Vec<Flat<'a>>,
    mut both: BTreeMap<(usize, usize), (Shares, Shares)>,
    rest: (Vec<Shares>, Vec<Shares>),
) -> Vec<(Option<Flat<'a>>, Option<Flat<'a>>)> {
    let mut alone: (Vec<usize>, Vec<usize>) = (Vec::new(), Vec::new());
    let mut lots: BTreeMap<((usize, usize), bool), Decimal> = BTreeMap::new();
    for (piece, shares) in rest.0.iter().enumerate() {
        let most = both.iter().filter(|(key, _)| key.0 == piece).max_by_key(|(_, shares)| shares.0.len());
        match most.map(|(key, _)| *key) {
            Some(key) => {
                both.entry(key).or_default().0.extend(shares);
                lots.insert((key, true), old[piece].lot);
            }
            None => alone.0.push(piece),
        }
    }
    for (piece, shares) in rest.1.iter().enumerate() {
        let most = both.iter().filter(|(key, _)| key.1 == piece).max_by_key(|(_, shares)| shares.1.len());
        match most.map(|(key, _)| *key) {
            Some(key) => {
                both.entry(key).or_default().1.extend(shares);
                lots.insert((key, false), new[piece].lot);
            }
            None => alone.1.push(piece),
        }
    }
    let mut pieces = Vec::new();
    for (key, (was, is)) in both {
        let lot = |is_old: bool| lots.get(&(key, is_old)).copied().unwrap_or_default();
        pieces.push((
            Some(Flat { shares: was, lot: lot(true), ..old[key.0].clone() }),
            Some(Flat { shares: is, lot: lot(false), ..new[key.1].clone() }),
        ));
    }
    let same = |one: usize, two: usize| old[one].line.good == new[two].line.good;
    let numbered = |list: &[usize]| list.iter().map(|piece| (*piece, Decimal::ZERO)).collect::<Shares>();
    let (mut olds, mut news) = (numbered(&alone.0), numbered(&alone.1));
    while let Some((from, to)) = next_pair(&olds, &news, same) {
        let ((one, _), (two, _)) = (olds.remove(from), news.remove(to));
        pieces.push((Some(old[one].clone()), Some(new[two].clone())));
    }
    pieces.extend(olds.iter().map(|(piece, _)| (Some(old[*piece].clone()), None)));
    pieces.extend(news.iter().map(|(piece, _)| (None, Some(new[*piece].clone()))));
    pieces
}
