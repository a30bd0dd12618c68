//! The categories of goods, named as in the record. Their titles, usual basis, unit and place in a set's order are
//! data: `catalogs/trade/categories.csv`.

use std::fmt;
use std::str::FromStr;

macro_rules! categories { ($($variant:ident $name:literal),* $(,)?) => {
    /// What kind of good a line is.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
    pub enum Category { $(#[doc = concat!("`", $name, "`")] $variant),* }

    impl Category {
        /// All of them, in the usual order of a set.
        pub const ALL: &'static [Category] = &[$(Category::$variant),*];

        /// The name in the record.
        pub fn name(self) -> &'static str {
            match self { $(Category::$variant => $name),* }
        }
    }
} }

categories! {
    Hinge "hinge", ContinuousHinge "continuous-hinge", Pivot "pivot", SpringHinge "spring-hinge",
    PowerTransfer "power-transfer",
    FlushBolt "flush-bolt", SurfaceBolt "surface-bolt", DustProofStrike "dust-proof-strike", Coordinator "coordinator",
    MortiseLock "mortise-lock", BoredLock "bored-lock", InterconnectedLock "interconnected-lock", Deadlock "deadlock",
    ExitDevice "exit-device", Mullion "mullion", Strike "strike",
    Cylinder "cylinder", Core "core", Keying "keying", KeyCabinet "key-cabinet",
    ElectricStrike "electric-strike", ElectromagneticLock "electromagnetic-lock",
    PushPlate "push-plate", Pull "pull", PushPullBar "push-pull-bar",
    Closer "closer", Operator "operator", OverheadStop "overhead-stop", Stop "stop", MagneticHolder "magnetic-holder",
    KickDownHolder "kick-down-holder",
    ProtectionPlate "protection-plate",
    Threshold "threshold", Gasketing "gasketing", Sweep "sweep", DoorBottom "door-bottom", Astragal "astragal",
    RainDrip "rain-drip",
    PowerSupply "power-supply", PositionSwitch "position-switch", RequestToExit "request-to-exit", Reader "reader",
    Actuator "actuator", Wiring "wiring",
    LatchGuard "latch-guard", Viewer "viewer", CoatHook "coat-hook", Sign "sign", MailSlot "mail-slot",
    LouverOrLite "louver-or-lite", FrameGuard "frame-guard", Silencer "silencer", Other "other",
}

impl fmt::Display for Category {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl FromStr for Category {
    type Err = String;
    fn from_str(name: &str) -> Result<Self, String> {
        Category::ALL
            .iter()
            .copied()
            .find(|category| category.name() == name)
            .ok_or_else(|| format!("\"{name}\" is not a category"))
    }
}
