//! Editions of the codes as data, since their figures changed from one to the next.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Edition of the residential building code (IRC).
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub enum Building {
    /// IRC 2012.
    #[serde(rename = "IRC 2012")]
    Irc2012,
    /// IRC 2015.
    #[serde(rename = "IRC 2015")]
    Irc2015,
    /// IRC 2018.
    #[serde(rename = "IRC 2018")]
    Irc2018,
    /// IRC 2021.
    #[serde(rename = "IRC 2021")]
    Irc2021,
    /// IRC 2024.
    #[serde(rename = "IRC 2024")]
    Irc2024,
}

/// Edition of an energy code that sizes whole-house fans, where one is in force.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub enum Energy {
    /// No such code; airflow is sized by air changes alone.
    #[serde(rename = "none")]
    None,
    /// California Title 24 Part 6, 2013.
    #[serde(rename = "California 2013")]
    California2013,
    /// California Title 24 Part 6, 2016 to 2025.
    #[serde(rename = "California 2016 and later")]
    California2016,
}

/// Edition of the electrical code (NEC, NFPA 70).
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema,
)]
pub enum Electrical {
    /// NEC 2014.
    #[serde(rename = "NEC 2014")]
    Nec2014,
    /// NEC 2017.
    #[serde(rename = "NEC 2017")]
    Nec2017,
    /// NEC 2020.
    #[serde(rename = "NEC 2020")]
    Nec2020,
    /// NEC 2023.
    #[serde(rename = "NEC 2023")]
    Nec2023,
}

/// The editions by which a survey is judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Codes {
    /// The building code.
    pub building: Building,
    /// The energy code.
    pub energy: Energy,
    /// The electrical code.
    pub electrical: Electrical,
}

impl Default for Codes {
    fn default() -> Self {
        Codes {
            building: Building::Irc2021,
            energy: Energy::None,
            electrical: Electrical::Nec2020,
        }
    }
}

macro_rules! words {
    ($($name:ident: $($variant:ident $text:literal),+;)+) => {$(
        impl $name {
            /// All editions, oldest first.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];
            /// How files, options and screens spell it.
            pub const fn code(self) -> &'static str {
                match self { $(Self::$variant => $text),+ }
            }
            /// The edition spelled so.
            pub fn from_code(code: &str) -> Option<Self> {
                match code { $($text => Some(Self::$variant),)+ _ => None }
            }
        }
    )+};
}

words! {
    Building: Irc2012 "IRC 2012", Irc2015 "IRC 2015", Irc2018 "IRC 2018", Irc2021 "IRC 2021", Irc2024 "IRC 2024";
    Energy: None "none", California2013 "California 2013", California2016 "California 2016 and later";
    Electrical: Nec2014 "NEC 2014", Nec2017 "NEC 2017", Nec2020 "NEC 2020", Nec2023 "NEC 2023";
}
