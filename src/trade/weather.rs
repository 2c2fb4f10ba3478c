//! What wind and warm air do to the pressure outdoors at a wall, and in a room below the open windows.
//!
//! # Units
//! Wind speed, heights and temperatures in; pressures out.
//!
//! # Source
//! * Wind on the walls of a low-rise house: FSEC-CR-163-86 (ASHRAE 448-RP), surface averages of a square plan, wind at
//!   eave height in the open: +0.603 on the side it blows on, −0.443 on the two beside it, −0.364 behind (confirmed).
//! * On a low roof: −0.5, the middle of −0.3 to −0.8 in the same tables (confirmed).
//! * Wind of 10 mph as the evening to be judged in: an average of 5 to 10 Pa is likely to high for a low house (confirmed).
//! * Stack: `Δp[Pa] = 3460·h[m]·(1/T_out − 1/T_in)`, the standard form (confirmed).
//!
//! # Examples
//! ```
//! use joistlight::trade::opening::standard_air;
//! use joistlight::trade::weather::{Face, JUDGED_WIND, wind_pressure};
//! let pa = |face| wind_pressure(face, JUDGED_WIND, standard_air()).pa();
//! assert!((pa(Face::Windward) - 7.239).abs() < 0.01);
//! assert!((pa(Face::Beside) + 5.318).abs() < 0.01);
//! assert!((pa(Face::Behind) + 4.370).abs() < 0.01);
//! ```

use super::source::Source;
use crate::measure::Length;
use crate::measure::quantity::{Density, Pressure, Speed, Temperature};

/// Where the wind's pressures come from.
pub const WIND_SOURCE: Source = Source::confirmed(
    "FSEC-CR-163-86 (ASHRAE 448-RP): wind pressures on low-rise houses, surface averages; 10 mph at eave height",
);
/// Where the stack's pressure comes from.
pub const STACK_SOURCE: Source = Source::confirmed(
    "Stack pressure of warm air, 3460·h·(1/T outdoors − 1/T indoors) Pa, standard form: Building Science Insight 075",
);

/// The wind that a house is judged in.
pub const JUDGED_WIND: Speed = Speed::from_fpm(10.0 * 88.0);

/// How a surface stands to the wind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Face {
    /// The wind blows on it.
    Windward,
    /// The wind blows along it.
    Beside,
    /// It lies behind the house.
    Behind,
    /// A low roof.
    Roof,
}

impl Face {
    const fn coefficient(self) -> f64 {
        match self {
            Face::Windward => 0.603,
            Face::Beside => -0.443,
            Face::Behind => -0.364,
            Face::Roof => -0.5,
        }
    }
}

/// What the wind puts on a surface, over still air.
pub fn wind_pressure(face: Face, wind: Speed, air: Density) -> Pressure {
    let speed = wind.m_per_s();
    Pressure::from_pa(face.coefficient() * 0.5 * air.kg_per_m3() * speed * speed)
}

/// By how much a room stands below outdoors for lying this far under the open windows of a house whose air is warmer.
///
/// # Examples
/// ```
/// use joistlight::measure::{Length, Temperature};
/// use joistlight::trade::weather::stack;
/// let pa = stack(Length::mm(5000), Temperature::from_f(70.0), Temperature::from_f(80.0)).pa();
/// assert!((pa - 1.09).abs() < 0.01, "{pa}");
/// let pa = stack(Length::mm(5000), Temperature::from_f(50.0), Temperature::from_f(72.0)).pa();
/// assert!((pa - 2.53).abs() < 0.01, "{pa}");
/// ```
pub fn stack(below: Length, outdoors: Temperature, indoors: Temperature) -> Pressure {
    let metres = below.to_m();
    Pressure::from_pa((3460.0 * metres * (1.0 / outdoors.k() - 1.0 / indoors.k())).max(0.0))
}
