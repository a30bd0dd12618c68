//! Fire and smoke ratings as schedules write them. The words are `catalogs/trade/ratings.csv`.

/// A rating cell, read. The words stay, whatever was made of them.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Rating {
    /// The cell as written; empty when blank.
    pub text: String,
    /// Minutes, when the words settle them; `Some(0)` when they say "not rated", `None` when blank or unknown.
    pub minutes: Option<u32>,
    /// Rated, by the words, without saying how long (`YES`, `FR`, `UL`).
    pub rated_unknown: bool,
    /// Smoke and draft label; `None` when nothing is said.
    pub smoke: Option<bool>,
    /// Temperature-rise limit, degrees Fahrenheit at 30 minutes.
    pub temperature_rise: Option<u32>,
    /// The cell gives the rating of the wall, not of the door (`2 HR WALL`): minutes of the wall.
    pub wall_minutes: Option<u32>,
}

impl Rating {
    /// Whether the door is to be checked as a fire door.
    pub fn is_fire_door(&self) -> bool {
        self.rated_unknown || self.wall_minutes.is_some() || self.minutes.is_some_and(|minutes| minutes > 0)
    }
}
