//! What the rules need to know of an opening, worked out once from the schedule and the job terms: leaves, sizes,
//! rating, exposure, materials, rooms.

use rust_decimal::Decimal;

use super::exposure::Exposure;
use crate::read::schedule::Opening;
use crate::terms::Terms;
use crate::trade::inches::Inches;
use crate::trade::leaf;
use crate::trade::remark::{self, Matter};
use crate::trade::room::{self, Use};

/// Facts of one opening.
#[derive(Debug, Clone)]
pub struct Door {
    /// Index into `Schedule::openings`.
    pub index: usize,
    /// Number as written.
    pub number: String,
    /// How many such openings the row stands for.
    pub count: u32,
    /// 1 or 2.
    pub leaves: u32,
    /// Width of each leaf, active first; empty when no width is known.
    pub leaf_widths: Vec<Inches>,
    /// Width of the opening.
    pub width: Option<Inches>,
    /// Height of the leaf.
    pub height: Option<Inches>,
    /// Thickness of the leaf: the schedule's, else the job's default.
    pub thickness: Option<Inches>,
    /// To be checked as a fire door.
    pub fire: bool,
    /// Minutes, where settled.
    pub minutes: Option<u32>,
    /// Smoke label.
    pub smoke: bool,
    /// Exterior: said, answered, or taken by evidence.
    pub exterior: bool,
    /// On what that rests.
    pub exposure: Exposure,
    /// Whether the room's name is one of doors that often lead outside: `REAR EXIT`.
    pub leads_out: bool,
    /// Swings to the outside, by its hand (`LHR`, `RHR`).
    pub outswing: Option<bool>,
    /// Material of the door, lower case; empty if not said.
    pub door_material: String,
    /// Material of the frame, lower case; empty if not said.
    pub frame_material: String,
    /// `masonry`, `concrete`, `stud`: the schedule's, else the job's default.
    pub wall: Option<String>,
    /// What its rooms are for.
    pub uses: Vec<Use>,
    /// Room, as written, and remarks, lower case.
    pub words: String,
    /// What its remarks, room and materials speak of besides: an existing frame, carpet.
    pub matters: Vec<Matter>,
    /// An answer says that its power supplies are ours.
    pub powered: bool,
    /// Counted: not by others, not existing.
    pub live: bool,
}

impl Door {
    /// Facts of an opening.
    pub fn of(index: usize, opening: &Opening, terms: &Terms) -> Door {
        let leaves = opening.leaves.clamp(1, 2);
        let leaf_widths = match (opening.leaf_widths.as_slice(), opening.width) {
            ([], Some(width)) if leaves == 2 => vec![half(width); 2],
            ([], Some(width)) => vec![width],
            ([], None) => Vec::new(),
            (widths, _) => widths.to_vec(),
        };
        let default_thickness = terms.building.thickness();
        let words = format!("{} {}", opening.room, opening.remarks).to_lowercase();
        let material = |said: &Option<String>| said.clone().unwrap_or_default();
        let (of_door, of_frame) = (material(&opening.door_material), material(&opening.frame_material));
        Door {
            powered: false,
            index,
            number: opening.number.clone(),
            count: opening.count,
            leaves,
            width: opening.width.or_else(|| {
                (!leaf_widths.is_empty()).then(|| leaf_widths.iter().fold(Inches::ZERO, |sum, width| sum + *width))
            }),
            leaf_widths,
            height: opening.height,
            thickness: opening.thickness.or(default_thickness),
            fire: opening.rating.is_fire_door(),
            minutes: opening.rating.minutes,
            smoke: opening.rating.smoke == Some(true),
            exterior: opening.exterior == Some(true),
            exposure: if opening.exterior.is_some() { Exposure::Said } else { Exposure::Inside },
            leads_out: remark::matters(&[&opening.room]).contains(&"leads-out"),
            outswing: opening.hand.as_deref().map(|hand| hand.trim().to_uppercase().ends_with('R') && hand.len() > 2),
            door_material: opening.door_material.clone().unwrap_or_default().to_lowercase(),
            frame_material: opening.frame_material.clone().unwrap_or_default().to_lowercase(),
            wall: opening.wall.clone().or_else(|| terms.building.default_wall.clone()).map(|wall| wall.to_lowercase()),
            uses: room::uses(&opening.room),
            matters: remark::matters(&[&opening.room, &opening.remarks, &of_door, &of_frame]),
            words,
            live: opening.excluded.is_none(),
        }
    }

    /// A pair of doors.
    pub fn is_pair(&self) -> bool {
        self.leaves == 2
    }

    /// Width of the widest leaf.
    pub fn widest_leaf(&self) -> Option<Inches> {
        self.leaf_widths.iter().copied().max()
    }

    /// Frame of hollow metal.
    pub fn hollow_metal_frame(&self) -> bool {
        self.frame_material.contains("hollow-metal") || self.frame_material.contains("steel")
    }

    /// A wall of studs and board, which nobody fills with mortar.
    pub fn stud_wall(&self) -> bool {
        self.wall.as_deref().is_some_and(|wall| ["stud", "gyp", "drywall"].iter().any(|board| wall.contains(board)))
    }

    /// Leaves of wood.
    pub fn is_wood(&self) -> bool {
        self.door_material.contains("wood")
    }

    /// Door or frame of aluminum.
    pub fn aluminum(&self) -> bool {
        self.door_material.contains("alum") || self.frame_material.contains("alum")
    }

    /// Whether a room of the opening has that use.
    pub fn used_as(&self, wanted: Use) -> bool {
        self.uses.contains(&wanted)
    }

    /// Whether remarks, room or materials speak of a matter.
    pub fn speaks_of(&self, wanted: Matter) -> bool {
        self.matters.contains(&wanted)
    }

    /// Estimated weight of the heaviest leaf, pounds.
    pub fn leaf_weight(&self) -> Option<Decimal> {
        leaf::weight(&self.door_material, self.fire, self.widest_leaf()?, self.height?)
    }
}

fn half(width: Inches) -> Inches {
    Inches::new(width.decimal() / Decimal::TWO)
}
