//! Draws habits by chance, the same for the same seed, and remembers those that were drawn.

use crate::jobs::Dice;

/// A hand that writes as it happens to write.
pub struct Pen {
    dice: Dice,
    /// What was drawn, for the report.
    pub habits: Vec<String>,
}

impl Pen {
    /// A pen of one seed; seeds near each other give drawings that have nothing in common.
    pub fn new(seed: u64) -> Pen {
        let mut mixed = seed.wrapping_add(1).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed ^= mixed >> 27;
        Pen { dice: Dice(mixed | 1), habits: Vec::new() }
    }

    /// A number below the bound.
    pub fn roll(&mut self, below: usize) -> usize {
        self.dice.roll(1 << 20) % below.max(1)
    }

    /// True so many times of a hundred.
    pub fn chance(&mut self, percent: usize) -> bool {
        self.roll(100) < percent
    }

    /// One of several, unremembered: what differs from row to row.
    pub fn pick<T: Copy>(&mut self, of: &[T]) -> T {
        of[self.roll(of.len())]
    }

    /// One of several, as the habit of the whole rendering.
    pub fn habit<'w>(&mut self, name: &str, of: &[&'w str]) -> &'w str {
        let drawn = self.pick(of);
        self.habits.push(format!("{name}: {drawn}"));
        drawn
    }

    /// Whether the rendering has a habit that so many of a hundred have.
    pub fn has(&mut self, name: &str, percent: usize) -> bool {
        let drawn = self.chance(percent);
        if drawn {
            self.habits.push(name.to_owned());
        }
        drawn
    }

    /// The same in another order.
    pub fn shuffled<T: Clone>(&mut self, of: &[T]) -> Vec<T> {
        let mut all = of.to_vec();
        for at in (1..all.len()).rev() {
            let other = self.roll(at + 1);
            all.swap(at, other);
        }
        all
    }
}
