//! Goods that the invented jobs have, each with wordings that name its category beyond doubt, and the uses of sets.

/// One kind of good.
pub struct Kind {
    /// Category, as `catalogs/trade/categories.csv` names it.
    pub category: &'static str,
    /// Pieces at a single door.
    pub single: u32,
    /// Pieces at a pair.
    pub pair: u32,
    /// `EA`, `PR` or `SET`: the unit it is usually counted in.
    pub unit: &'static str,
    /// A column of a matrix may be called so.
    pub column: &'static str,
    /// A finish that it may have.
    pub finish: &'static str,
    /// How it is written.
    pub words: &'static [&'static str],
}

const fn kind(
    category: &'static str,
    (single, pair): (u32, u32),
    unit: &'static str,
    column: &'static str,
    finish: &'static str,
    words: &'static [&'static str],
) -> Kind {
    Kind { category, single, pair, unit, column, finish, words }
}

/// Every kind. Wordings of one kind say the same.
pub const KINDS: &[Kind] = &[
    kind(
        "hinge",
        (3, 6),
        "EA",
        "HINGES",
        "652",
        &[
            "Hinges",
            "Hinge, ball bearing, 4-1/2 x 4-1/2",
            "Butt hinges 4.5 x 4.5",
            "Full mortise hinge BB 4-1/2 x 4-1/2 NRP",
        ],
    ),
    kind(
        "continuous-hinge",
        (1, 2),
        "EA",
        "CONT. HINGE",
        "628",
        &["Continuous hinge", "Continuous geared hinge", "Cont. hinge, full surface"],
    ),
    kind(
        "mortise-lock",
        (1, 1),
        "EA",
        "LOCK",
        "626",
        &["Mortise lock, storeroom F07", "Mortise lockset - storeroom function", "Mort. lock storeroom F07"],
    ),
    kind(
        "mortise-lock",
        (1, 1),
        "EA",
        "LOCK",
        "630",
        &["Mortise lock, classroom F05", "Mortise classroom lockset", "Mort lock classroom"],
    ),
    kind(
        "bored-lock",
        (1, 1),
        "EA",
        "LOCK",
        "626",
        &["Cylindrical lock, office F82", "Cylindrical lockset - entry/office", "Cyl. lock, office F82"],
    ),
    kind(
        "bored-lock",
        (1, 1),
        "EA",
        "LATCH",
        "626",
        &["Cylindrical latchset, passage F75", "Cylindrical passage set", "Cyl. passage latch F75"],
    ),
    kind(
        "exit-device",
        (1, 2),
        "EA",
        "EXIT DEVICE",
        "630",
        &["Rim exit device", "Exit device, rim", "Rim panic device, night latch"],
    ),
    kind(
        "exit-device",
        (1, 2),
        "EA",
        "EXIT DEVICE",
        "630",
        &["Surface vertical rod exit device", "Exit device, surface vertical rod", "SVR exit device"],
    ),
    kind("closer", (1, 2), "EA", "CLOSER", "689", &["Surface closer", "Door closer", "Closer, parallel arm", "Closer"]),
    kind("stop", (1, 2), "EA", "STOP", "626", &["Wall stop", "Wall stop, concave", "Wall bumper"]),
    kind("stop", (1, 2), "EA", "STOP", "626", &["Floor stop", "Floor stop, dome", "Dome stop"]),
    kind(
        "overhead-stop",
        (1, 2),
        "EA",
        "OH STOP",
        "630",
        &["Overhead stop", "Overhead stop, surface mounted", "OH stop"],
    ),
    kind(
        "protection-plate",
        (1, 2),
        "EA",
        "KICK PLATE",
        "630",
        &["Kick plate", "Kickplate 10 x 34", "Kick plate 8\" x 2\" LDW"],
    ),
    kind(
        "threshold",
        (1, 1),
        "EA",
        "THRESHOLD",
        "AL",
        &["Threshold", "Saddle threshold 5\" x 1/2\"", "Threshold, aluminum"],
    ),
    kind(
        "gasketing",
        (1, 1),
        "SET",
        "SEALS",
        "BLK",
        &["Smoke gasketing", "Perimeter seals", "Weatherstripping", "Gasketing"],
    ),
    kind("sweep", (1, 2), "EA", "SWEEP", "AL", &["Door sweep", "Sweep, neoprene", "Sweep"]),
    kind("door-bottom", (1, 2), "EA", "DOOR BOTTOM", "AL", &["Automatic door bottom", "Auto. door bottom, mortised"]),
    kind("silencer", (3, 2), "EA", "SILENCERS", "GRY", &["Silencers", "Door silencers", "Silencer"]),
    kind("push-plate", (1, 2), "EA", "PUSH PLATE", "630", &["Push plate", "Push plate 4 x 16"]),
    kind("pull", (1, 2), "EA", "PULL", "630", &["Door pull", "Pull", "Pull, 10\" CTC"]),
    kind("flush-bolt", (0, 2), "EA", "FLUSH BOLTS", "626", &["Manual flush bolts", "Flush bolt, manual"]),
    kind("dust-proof-strike", (0, 1), "EA", "DUST PROOF STRIKE", "626", &["Dust proof strike", "Dustproof strike"]),
    kind("coordinator", (0, 1), "EA", "COORDINATOR", "BLK", &["Coordinator", "Door coordinator"]),
    kind("astragal", (0, 1), "EA", "ASTRAGAL", "600", &["Astragal", "Overlapping astragal"]),
    kind(
        "electric-strike",
        (1, 1),
        "EA",
        "ELECTRIC STRIKE",
        "630",
        &["Electric strike", "Electric strike, fail secure, 24VDC", "Elec. strike 24 VDC"],
    ),
    kind("power-transfer", (1, 1), "EA", "POWER TRANSFER", "", &["Power transfer", "Electric power transfer"]),
    kind("power-supply", (1, 1), "EA", "POWER SUPPLY", "", &["Power supply", "Power supply 24VDC"]),
    kind("position-switch", (1, 2), "EA", "DOOR CONTACT", "", &["Door position switch", "Door contact"]),
    kind("reader", (1, 1), "EA", "CARD READER", "", &["Card reader", "Proximity card reader"]),
];

/// What a set is for: its title, leaves, whether its doors are rated or outside, and the kinds of its goods by category and
/// the place among those of the category.
pub struct Use {
    /// Title.
    pub title: &'static str,
    /// Rooms that its doors lead to.
    pub rooms: &'static [&'static str],
    /// Leaves of its doors.
    pub leaves: u32,
    /// Its goods.
    pub goods: &'static [(&'static str, usize)],
}

/// Uses of sets.
pub const USES: &[Use] = &[
    Use {
        title: "Office",
        rooms: &["OFFICE", "MANAGER", "MEETING"],
        leaves: 1,
        goods: &[("hinge", 0), ("bored-lock", 0), ("stop", 0), ("silencer", 0)],
    },
    Use {
        title: "Storage",
        rooms: &["STORAGE", "SUPPLIES", "JANITOR"],
        leaves: 1,
        goods: &[
            ("hinge", 0),
            ("mortise-lock", 0),
            ("closer", 0),
            ("protection-plate", 0),
            ("stop", 0),
            ("silencer", 0),
        ],
    },
    Use {
        title: "Classroom",
        rooms: &["CLASSROOM", "READING ROOM"],
        leaves: 1,
        goods: &[
            ("hinge", 0),
            ("mortise-lock", 1),
            ("closer", 0),
            ("protection-plate", 0),
            ("stop", 1),
            ("silencer", 0),
        ],
    },
    Use {
        title: "Stair",
        rooms: &["STAIR 1", "STAIR 2"],
        leaves: 1,
        goods: &[
            ("hinge", 0),
            ("exit-device", 0),
            ("closer", 0),
            ("protection-plate", 0),
            ("stop", 0),
            ("gasketing", 0),
        ],
    },
    Use {
        title: "Toilet",
        rooms: &["WOMEN", "MEN", "STAFF TOILET"],
        leaves: 1,
        goods: &[
            ("hinge", 0),
            ("push-plate", 0),
            ("pull", 0),
            ("closer", 0),
            ("protection-plate", 0),
            ("stop", 0),
            ("silencer", 0),
        ],
    },
    Use {
        title: "Corridor Pair",
        rooms: &["CORRIDOR", "HALL"],
        leaves: 2,
        goods: &[
            ("hinge", 0),
            ("exit-device", 1),
            ("closer", 0),
            ("protection-plate", 0),
            ("stop", 0),
            ("gasketing", 0),
        ],
    },
    Use {
        title: "Storage Pair",
        rooms: &["BULK STORAGE", "RECEIVING"],
        leaves: 2,
        goods: &[
            ("hinge", 0),
            ("mortise-lock", 0),
            ("flush-bolt", 0),
            ("dust-proof-strike", 0),
            ("coordinator", 0),
            ("closer", 0),
            ("overhead-stop", 0),
            ("astragal", 0),
        ],
    },
    Use {
        title: "Exterior Single",
        rooms: &["VESTIBULE", "ENTRY"],
        leaves: 1,
        goods: &[
            ("continuous-hinge", 0),
            ("exit-device", 0),
            ("closer", 0),
            ("overhead-stop", 0),
            ("threshold", 0),
            ("gasketing", 0),
            ("sweep", 0),
        ],
    },
    Use {
        title: "Server Room",
        rooms: &["SERVER ROOM", "RECORDS"],
        leaves: 1,
        goods: &[
            ("hinge", 0),
            ("mortise-lock", 0),
            ("electric-strike", 0),
            ("closer", 0),
            ("stop", 0),
            ("power-supply", 0),
            ("position-switch", 0),
            ("reader", 0),
        ],
    },
    Use {
        title: "Music Room",
        rooms: &["MUSIC ROOM", "PRACTICE"],
        leaves: 1,
        goods: &[("hinge", 0), ("bored-lock", 1), ("closer", 0), ("stop", 1), ("gasketing", 0), ("door-bottom", 0)],
    },
];

/// The kind at a place among those of a category.
pub fn of((category, nth): (&str, usize)) -> usize {
    let alike = KINDS.iter().enumerate().filter(|(_, kind)| kind.category == category);
    alike.map(|(at, _)| at).nth(nth).unwrap_or_else(|| panic!("no kind {category} {nth}"))
}

/// The rooms of a use, by its title.
pub fn rooms(title: &str) -> &'static [&'static str] {
    USES.iter().find(|one| one.title == title).map_or(&["ROOM"], |one| one.rooms)
}
