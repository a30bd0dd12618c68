//! The leaf in its frame, to scale: hinges, lock, strike, bolts, closer, plates and the way of the wires, each where the
//! preps say, with its height from the floor and from the head. What has no place of its own is listed below the drawing.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive as _;

use super::scene::{Anchor, Fill, Pen, Scene, broken};
use crate::trade::inches::Inches;

/// One thing prepared, as the drawing needs it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Mark {
    /// `door`, `frame`, `electrical`.
    pub trade: &'static str,
    /// `active`, `inactive`, or empty.
    pub leaf: &'static str,
    /// What it is.
    pub what: String,
    /// Height of its centre above the floor.
    pub above: Option<Inches>,
}

/// What is drawn.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Drawn {
    /// Widths of the leaves, active first.
    pub leaves: Vec<Inches>,
    /// Height of the leaf.
    pub height: Inches,
    /// Hand as written; empty if not given.
    pub hand: String,
    /// What is prepared.
    pub marks: Vec<Mark>,
    /// Conductors of the electrified hinge, if one is there.
    pub conductors: Option<Decimal>,
    /// Heights of plates at the foot of the leaf.
    pub plates: Vec<Inches>,
    /// Whether a guard keeps mortar out of the cut-out.
    pub guard: bool,
}

const FACE: i32 = 200;
const LETTER: i32 = 230;
const LINE: i32 = 340;
const LEFT: i32 = 7_000;
const TOP: i32 = 1_900;

/// Hundredths of an inch, for drawing only.
fn hundredths(length: Inches) -> i32 {
    length.decimal().saturating_mul(Decimal::ONE_HUNDRED).trunc().to_i32().unwrap_or(0)
}

/// A leader with its words: where it points, and the lines.
struct Label {
    at: (i32, i32),
    lines: Vec<String>,
}

struct Sheet<'a> {
    drawn: &'a Drawn,
    scene: Scene,
    left: Vec<Label>,
    right: Vec<Label>,
    below: Vec<String>,
    /// Inner edges of the opening.
    from: i32,
    to: i32,
    head: i32,
    floor: i32,
}

/// The drawing of a type; `title` stands above it.
pub fn scene(drawn: &Drawn, title: &str) -> Scene {
    let width: i32 = drawn.leaves.iter().map(|leaf| hundredths(*leaf)).sum();
    let height = hundredths(drawn.height);
    let mut sheet = Sheet {
        drawn,
        scene: Scene { words: title.to_owned(), ..Scene::default() },
        left: Vec::new(),
        right: Vec::new(),
        below: Vec::new(),
        from: LEFT + FACE,
        to: LEFT + FACE + width,
        head: TOP + FACE,
        floor: TOP + FACE + height,
    };
    sheet.scene.width = sheet.to + FACE + LEFT;
    sheet.outline();
    for index in 0..drawn.leaves.len() {
        sheet.leaf(index);
    }
    sheet.frame();
    sheet.labels();
    sheet.dimensions();
    sheet.legend(title);
    sheet.scene
}

impl Sheet<'_> {
    fn is_pair(&self) -> bool {
        self.drawn.leaves.len() > 1
    }

    /// Whether the hinges of a leaf, counted from the left, are on its left edge.
    fn hinged_left(&self, index: usize) -> bool {
        if self.is_pair() { index == 0 } else { !self.drawn.hand.trim().to_uppercase().starts_with('R') }
    }

    /// Whether a leaf, counted from the left, is the active one. The hand of a pair is that of its active leaf.
    fn is_active(&self, index: usize) -> bool {
        !self.is_pair() || (index == 0) == self.drawn.hand.trim().to_uppercase().starts_with('L')
    }

    /// Left and right edge of a leaf.
    fn edges(&self, index: usize) -> (i32, i32) {
        let widths: Vec<i32> = self.drawn.leaves.iter().map(|leaf| hundredths(*leaf)).collect();
        match (widths.as_slice(), self.is_active(0)) {
            ([one, _], true) | ([_, one], false) if index == 0 => (self.from, self.from + one),
            ([one, _], true) | ([_, one], false) => (self.from + one, self.to),
            _ => (self.from, self.to),
        }
    }

    fn level(&self, above: Inches) -> i32 {
        self.floor - hundredths(above)
    }

    fn outline(&mut self) {
        let (from, to, head, floor) = (self.from, self.to, self.head, self.floor);
        let high = floor - head + FACE;
        for x in [from - FACE, to] {
            self.scene.area((x, head - FACE), (FACE, high), Pen::Heavy, Fill::Light);
        }
        self.scene.area((from - FACE, head - FACE), (to - from + 2 * FACE, FACE), Pen::Heavy, Fill::Light);
        self.scene.line(&[(from - 1_500, floor), (to + 1_500, floor)], Pen::Heavy);
        for index in 0..self.drawn.leaves.len() {
            let (left, right) = self.edges(index);
            self.scene.area((left, head), (right - left, floor - head), Pen::Heavy, Fill::White);
        }
    }

    /// Words with the heights of a point: above the floor, below the head.
    fn heights(&self, above: Inches) -> String {
        format!("{} up, {} down", above.in_fractions(), (self.drawn.height - above).in_fractions())
    }

    fn label(&mut self, is_left: bool, at: (i32, i32), lines: Vec<String>) {
        if is_left { self.left.push(Label { at, lines }) } else { self.right.push(Label { at, lines }) }
    }

    /// Everything on one leaf.
    fn leaf(&mut self, index: usize) {
        let name = if self.is_active(index) { "active" } else { "inactive" };
        let marks: Vec<Mark> = self
            .drawn
            .marks
            .iter()
            .filter(|mark| mark.trade != "frame" && (mark.leaf.is_empty() || mark.leaf == name))
            // Bolts hold the leaf that stands, whichever leaf the set's row names.
            .filter(|mark| !mark.what.contains("bolts"))
            .cloned()
            .collect();
        self.plates(index);
        self.wires(index, &marks);
        for mark in &marks {
            if !self.hinge(index, mark) && !self.lock(index, mark) && !self.upper(index, mark) {
                self.list(mark);
            }
        }
        let bolts = self.drawn.marks.iter().any(|mark| mark.trade == "door" && mark.what.contains("bolts"));
        if bolts && (!self.is_active(index) || !self.is_pair()) {
            self.bolts(index);
        }
    }

    fn list(&mut self, mark: &Mark) {
        let height = mark.above.map(|above| format!(" at {}", self.heights(above))).unwrap_or_default();
        let words = format!("{}: {}{height}", mark.trade, mark.what);
        if !self.below.contains(&words) {
            self.below.push(words);
        }
    }

    fn plates(&mut self, index: usize) {
        let (left, right) = self.edges(index);
        for plate in self.drawn.plates.clone() {
            let high = hundredths(plate);
            let corner = (left + 100, self.floor - high - 50);
            self.scene.area(corner, (right - left - 200, high), Pen::Plain, Fill::None);
            if index == 0 {
                let at = (if self.hinged_left(0) { right - 600 } else { left + 600 }, self.floor - high / 2);
                self.label(!self.hinged_left(0), at, vec![format!("plate {} high", plate.in_fractions())]);
            }
        }
    }

    /// The hinge edge of a leaf and the direction away from the leaf.
    fn hinge_edge(&self, index: usize) -> (i32, i32) {
        let (left, right) = self.edges(index);
        if self.hinged_left(index) { (left, -1) } else { (right, 1) }
    }

    fn lock_edge(&self, index: usize) -> (i32, i32) {
        let (left, right) = self.edges(index);
        if self.hinged_left(index) { (right, -1) } else { (left, 1) }
    }

    fn hinge(&mut self, index: usize, mark: &Mark) -> bool {
        let (x, out) = self.hinge_edge(index);
        let is_left = out < 0;
        if mark.what.contains("continuous hinge") {
            self.scene.area((x - 60, self.head + 30), (120, self.floor - self.head - 60), Pen::Plain, Fill::Light);
            self.label(is_left, (x, self.head + 900), vec!["continuous hinge,".into(), "full height".into()]);
            return true;
        }
        if mark.what.contains("pivot") {
            for y in [self.head, self.floor - 250] {
                self.scene.area((x - 125, y), (250, 250), Pen::Plain, Fill::Black);
            }
            self.label(is_left, (x, self.floor - 125), vec!["pivots".into()]);
            return true;
        }
        let (Some(above), true) = (mark.above, mark.what.contains("hinge")) else { return false };
        let y = self.level(above);
        let wired = mark.what.contains("electrified");
        self.scene.area((x - 70, y - 225), (140, 450), Pen::Plain, if wired { Fill::Black } else { Fill::White });
        let lines = if wired {
            let count = self.drawn.conductors.map(|count| format!(", {} wires", count.normalize())).unwrap_or_default();
            vec![format!("electrified hinge{count}"), self.heights(above)]
        } else {
            vec!["hinge".to_owned(), self.heights(above)]
        };
        self.label(is_left, (x + out * 70, y), lines);
        true
    }

    fn lock(&mut self, index: usize, mark: &Mark) -> bool {
        let Some(above) = mark.above else { return false };
        let (x, inward) = self.lock_edge(index);
        let y = self.level(above);
        let what = mark.what.split([',', ':']).next().unwrap_or_default().to_owned();
        if mark.what.contains("exit device") {
            let (left, right) = self.edges(index);
            self.scene.area((left + 300, y - 120), (right - left - 600, 240), Pen::Plain, Fill::White);
        } else if mark.what.contains("viewer") {
            let (left, right) = self.edges(index);
            self.scene.area(((left + right) / 2 - 60, y - 60), (120, 120), Pen::Plain, Fill::White);
        } else if ["lock", "strike", "cylinder", "mail"].iter().any(|word| mark.what.contains(word)) {
            let (wide, high) =
                if mark.what.contains("bored") || mark.what.contains("dead") { (320, 220) } else { (400, 800) };
            let left = if inward < 0 { x - wide } else { x };
            self.scene.area((left, y - high / 2), (wide, high), Pen::Plain, Fill::White);
            self.scene.line(&[(x + inward * 275, y), (x + inward * 725, y)], Pen::Heavy);
        } else {
            return false;
        }
        let is_left = if self.is_pair() { index == 0 } else { inward > 0 };
        self.label(is_left, (x + inward * 275, y), vec![what, self.heights(above)]);
        true
    }

    /// What is at the head of the leaf.
    fn upper(&mut self, index: usize, mark: &Mark) -> bool {
        let (x, out) = self.hinge_edge(index);
        let box_from = |from: i32, wide: i32| if out < 0 { x + from } else { x - from - wide };
        let (at, words) = if mark.what.contains("closer") {
            let left = box_from(500, 1_200);
            self.scene.area((left, self.head + 120), (1_200, 240), Pen::Plain, Fill::White);
            ((left + 600, self.head + 240), "closer")
        } else if mark.what.contains("overhead stop") {
            let left = box_from(300, 1_600);
            self.scene.area((left, self.head + 20), (1_600, 90), Pen::Plain, Fill::Light);
            ((left + 800, self.head + 60), "overhead stop")
        } else if mark.what.contains("switch") {
            let left = box_from(2_600, 150);
            self.scene.area((left, self.head), (150, 150), Pen::Plain, Fill::Black);
            ((left + 75, self.head + 75), "magnet of switch")
        } else if mark.what.contains("power transfer") {
            let y = (self.head + self.floor) / 2 - 600;
            let left = box_from(0, 150);
            self.scene.area((left, y - 450), (150, 900), Pen::Plain, Fill::Black);
            self.label(out < 0, (x, y), vec!["power transfer,".into(), "height by template".into()]);
            return true;
        } else {
            return mark.what.contains("raceway");
        };
        let is_left = if self.is_pair() { index == 0 } else { out > 0 };
        self.label(is_left, at, vec![words.to_owned()]);
        true
    }

    fn bolts(&mut self, index: usize) {
        let (x, inward) = self.lock_edge(index);
        let left = if inward < 0 { x - 130 } else { x + 10 };
        for y in [self.head + 20, self.floor - 720] {
            self.scene.area((left, y), (120, 700), Pen::Plain, Fill::Black);
        }
        self.label(index == 0, (left + 60, self.floor - 400), vec!["flush bolts,".into(), "top and bottom".into()]);
    }

    /// The way of the wires: from the frame above, down the jamb, over the electrified hinge, through the leaf to the lock.
    fn wires(&mut self, index: usize, marks: &[Mark]) {
        let (x, out) = self.hinge_edge(index);
        let transfer = marks.iter().find(|mark| mark.what.contains("electrified") && mark.what.contains("hinge"));
        let by_device = marks.iter().any(|mark| mark.what.contains("power transfer"));
        let y = match transfer.and_then(|mark| mark.above) {
            Some(above) => self.level(above),
            None if by_device => (self.head + self.floor) / 2 - 600,
            None => return,
        };
        let jamb = x + out * 120;
        if self.drawn.guard {
            let left = if out < 0 { x - FACE - 260 } else { x + FACE };
            self.scene.area((left, y - 350), (260, 700), Pen::Plain, Fill::None);
            self.label(out < 0, (left + 130, y + 300), vec!["mortar guard".into()]);
        }
        self.scene.line(&[(x, y), (jamb, y), (jamb, self.head - FACE - 450)], Pen::Wire);
        self.label(out < 0, (jamb, self.head - FACE - 300), vec!["wires in the frame".into()]);
        let lock = marks.iter().filter(|mark| mark.what.contains("lock") || mark.what.contains("exit device"));
        if let Some(above) = lock.filter_map(|mark| mark.above).next() {
            let (edge, inward) = self.lock_edge(index);
            let end = if marks.iter().any(|mark| mark.what.contains("exit device")) {
                x - out * 900
            } else {
                edge + inward * 400
            };
            self.scene.line(&[(x, y), (end, y), (end, self.level(above))], Pen::Wire);
            let words = if marks.iter().any(|mark| mark.what.contains("raceway")) {
                "raceway in the leaf"
            } else {
                "wires in the leaf"
            };
            let is_left = if self.is_pair() { index == 0 } else { out > 0 };
            self.label(is_left, (end, (y + self.level(above)) / 2), vec![words.to_owned()]);
        }
    }

    /// What is prepared in the frame.
    fn frame(&mut self) {
        for mark in self.drawn.marks.clone().into_iter().filter(|mark| mark.trade == "frame") {
            let active = (0..self.drawn.leaves.len()).find(|index| self.is_active(*index)).unwrap_or(0);
            let (x, inward) = self.lock_edge(active);
            match (mark.what.contains("strike"), mark.above) {
                (true, Some(above)) if !self.is_pair() => {
                    let y = self.level(above);
                    let left = if inward < 0 { x } else { x - 110 };
                    self.scene.area((left, y - 240), (110, 480), Pen::Plain, Fill::Black);
                    let what = mark.what.split(',').next().unwrap_or_default().to_owned();
                    self.label(
                        inward > 0,
                        (x - inward * 55, y - 200),
                        vec![format!("{what} {}", above.in_fractions())],
                    );
                }
                _ => self.list(&mark),
            }
        }
    }

    /// Words beside the drawing, one below the other, each with a line to what it names.
    fn labels(&mut self) {
        for is_left in [true, false] {
            let mut labels = std::mem::take(if is_left { &mut self.left } else { &mut self.right });
            labels.sort_by_key(|label| label.at.1);
            let high = |label: &Label| i32::try_from(label.lines.len()).unwrap_or(1) * LINE + 80;
            let all: i32 = labels.iter().map(high).sum();
            // The column may begin above the head where the words are many.
            let mut y = (self.floor - all).min(self.head - FACE - 600).max(700);
            let edge = if is_left { self.from - FACE - 900 } else { self.to + FACE + 900 };
            let mut left_over = all;
            for label in labels {
                let room = high(&label);
                let last = self.floor + 200 - left_over;
                y = y.max((label.at.1 - room / 2).min(last.max(y)));
                let middle = y + room / 2;
                let bend = if is_left { edge + 500 } else { edge - 500 };
                self.scene.line(&[label.at, (bend, middle), (edge, middle)], Pen::Thin);
                let (x, anchor) = if is_left { (edge - 120, Anchor::End) } else { (edge + 120, Anchor::Start) };
                for (line, words) in label.lines.iter().enumerate() {
                    let foot = y + LINE * (i32::try_from(line).unwrap_or(0) + 1) - 40;
                    self.scene.words((x, foot), LETTER, anchor, words.as_str());
                }
                y += room;
                left_over -= room;
            }
        }
    }

    /// Width of each leaf below, height of the leaf in its middle.
    fn dimensions(&mut self) {
        let y = self.floor + 500;
        for index in 0..self.drawn.leaves.len() {
            let (left, right) = self.edges(index);
            self.scene.line(&[(left, y), (right, y)], Pen::Thin);
            for x in [left, right] {
                self.scene.line(&[(x, self.floor + 100), (x, y + 150)], Pen::Thin);
                self.scene.line(&[(x - 90, y + 90), (x + 90, y - 90)], Pen::Plain);
            }
            let wide = Inches::new(Decimal::new(i64::from(right - left), 2));
            let name = match (self.is_pair(), self.is_active(index)) {
                (false, _) => "",
                (true, true) => " active",
                (true, false) => " inactive",
            };
            let words = format!("{}{name}", wide.in_fractions());
            self.scene.words(((left + right) / 2, y + 420), LETTER, Anchor::Middle, words);
        }
        let (left, right) = self.edges(0);
        let x = left + (right - left) * 5 / 12;
        self.scene.line(&[(x, self.head), (x, self.floor)], Pen::Thin);
        for y in [self.head, self.floor] {
            self.scene.line(&[(x - 90, y + 90), (x + 90, y - 90)], Pen::Plain);
        }
        let words = format!("{} high", self.drawn.height.in_fractions());
        self.scene.words((x + 150, self.head + 1_100), LETTER, Anchor::Start, words);
    }

    fn legend(&mut self, title: &str) {
        self.scene.words((400, 700), 320, Anchor::Start, title);
        let hand = if self.drawn.hand.is_empty() {
            "hand not given: it may be the other way round".to_owned()
        } else {
            format!("hand {}, seen from the outside", self.drawn.hand)
        };
        let mut notes = vec![
            format!("{hand}; up: above the finished floor, down: below the head, to the centre, inches"),
            "scale 1/2 in to the foot; makers' templates and the frame drawing decide".to_owned(),
        ];
        notes.extend(self.below.iter().map(|words| format!("- {words}")));
        let most = usize::try_from((self.scene.width - 800) / LETTER * 12 / 11).unwrap_or(40);
        let mut y = self.floor + 1_500;
        for note in &notes {
            for line in broken(note, most) {
                self.scene.words((400, y), LETTER, Anchor::Start, line);
                y += LINE;
            }
        }
        self.scene.height = y + 200;
    }
}
