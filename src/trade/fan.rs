//! A fan's sheet, and the list of fans that an office offers.
//!
//! The list is a TOML file. The one that comes with the program has generic sizes: airflow, blade and
//! frame from an extension-service table (University of Missouri Extension, "Sizing attic and
//! window fans", extension.missouri.edu/webster/sizing-fans.aspx), the rest invented and marked so.

use super::source::Status;
use crate::list_file::{ListError, ListFile};
use crate::measure::Length;
use crate::measure::quantity::{Airflow, Area, Current, Force, MotorPower, Pressure};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};
use std::sync::LazyLock;
use toml::Spanned;

/// How the motor drives the blades.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Drive {
    /// Motor and blades on one shaft.
    Direct,
    /// Motor beside the blades, with a belt.
    Belt,
}

/// How the fan's speed is set, which decides the wires to the switch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Control {
    /// On and off.
    OneSpeed,
    /// Two fixed speeds.
    TwoSpeeds,
    /// Any speed, by a control in the wall.
    Variable,
}

/// One speed of a fan.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Speed {
    /// What the sheet calls it.
    pub name: String,
    /// Marked motor current at this speed, where it is marked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub current: Option<Current>,
    /// Airflow against static pressure, from no pressure upwards; airflow never rises with pressure.
    pub curve: Vec<CurvePoint>,
}

/// One point of a fan curve.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CurvePoint {
    /// Static pressure across the fan.
    pub pressure: Pressure,
    /// Airflow at that pressure.
    pub airflow: Airflow,
}

/// A length along and a width across; for boxes a height too.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Rectangle {
    /// The side along the joists.
    pub length: Length,
    /// The side across the joists.
    pub width: Length,
}

/// A box.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Boxed {
    /// The side along the joists.
    pub length: Length,
    /// The side across the joists.
    pub width: Length,
    /// Upwards.
    pub height: Length,
}

/// A fan's sheet.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Fan {
    /// A short name of the office's own, unique in the list.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// Blade diameter, which gives the fan its class.
    pub blade: Length,
    /// How the blades are driven.
    pub drive: Drive,
    /// How its speed is set.
    pub control: Control,
    /// Motor power, where the sheet gives it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub motor: Option<MotorPower>,
    /// Weight with shutter and frame.
    pub weight: Force,
    /// Outer size of the fan on its frame, as it stands on the joists.
    pub frame: Boxed,
    /// The largest piece that must be carried up through the hatch.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub largest_piece: Option<Boxed>,
    /// The opening in ceiling and joists when joists are cut and headed.
    pub opening: Rectangle,
    /// Outer size of the shutter on the ceiling.
    pub shutter: Rectangle,
    /// Where the shutter's fixed vane lies, from the middle of its width.
    #[serde(default)]
    pub fixed_vane: Length,
    /// Clear space over the joists, where the sheet asks for another than the usual cube.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clear_space: Option<Boxed>,
    /// Whether it may stand over joists that are left whole.
    pub over_whole_joists: bool,
    /// The least joist spacing for that, where the sheet gives one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub whole_joist_spacing: Option<Length>,
    /// Net free vent area that the sheet asks for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vent_area: Option<Area>,
    /// Its speeds, the fastest first.
    pub speeds: Vec<Speed>,
    /// How sure airflow, blade and frame are.
    pub sizes_status: Status,
    /// How sure the rest is.
    pub rest_status: Status,
}

/// The static pressure at which airflow is rated: 0.1 in of water (HVI 916 and 920, from memory).
pub fn rating_pressure() -> Pressure {
    Pressure::from_in_wg(0.1)
}

impl Speed {
    /// Airflow at a static pressure: straight lines between the sheet's points, level before the first, and
    /// past the last on along the last line until no flow is left.
    ///
    /// # Examples
    /// ```
    /// use joistlight::measure::quantity::Pressure;
    /// use joistlight::trade::fan::generic;
    /// let speed = &generic().fans[0].speeds[0];
    /// let (none, some) = (Pressure::from_pa(0.0), Pressure::from_pa(10.0));
    /// assert!(speed.airflow_at(some) < speed.airflow_at(none));
    /// ```
    pub fn airflow_at(&self, pressure: Pressure) -> Airflow {
        let pa = pressure.pa();
        let points = &self.curve;
        let (first, last) = (points[0], points[points.len() - 1]);
        if pa <= first.pressure.pa() || points.len() == 1 {
            return first.airflow;
        }
        let upper = points
            .iter()
            .position(|p| p.pressure.pa() >= pa)
            .unwrap_or(points.len() - 1);
        let (a, b) = (points[upper - 1], points[upper]);
        let slope = (b.airflow.cfm() - a.airflow.cfm()) / (b.pressure.pa() - a.pressure.pa());
        let cfm = a.airflow.cfm() + slope * (pa - a.pressure.pa());
        debug_assert!(last.pressure.pa() >= first.pressure.pa());
        Airflow::from_cfm(cfm.max(0.0))
    }
}

impl Fan {
    /// The fastest speed.
    pub fn high(&self) -> &Speed {
        &self.speeds[0]
    }

    /// The slowest speed.
    pub fn low(&self) -> &Speed {
        &self.speeds[self.speeds.len() - 1]
    }

    /// Airflow at the rating pressure and the fastest speed.
    pub fn rated_airflow(&self) -> Airflow {
        self.high().airflow_at(rating_pressure())
    }

    /// The area that the blades sweep, which the shutter's free area must not fall below (US Navy MO-114 volume 3,
    /// sections 5.1 and 5.2, navalfacilities.tpub.com/mo114_3; confirmed).
    ///
    /// # Examples
    /// Blades of 24 in sweep π ft².
    /// ```
    /// use joistlight::trade::fan::generic;
    /// assert!((generic().fans[0].swept_area().ft2() - std::f64::consts::PI).abs() < 1e-9);
    /// ```
    pub fn swept_area(&self) -> Area {
        Area::from_in2(std::f64::consts::FRAC_PI_4 * self.blade.to_in().powi(2))
    }

    /// The clear space over the joists: its sheet's, or a cube of 36 in (common practice, no source).
    pub fn clear_space(&self) -> Boxed {
        self.clear_space.unwrap_or(Boxed {
            length: Length::inches(36),
            width: Length::inches(36),
            height: Length::inches(36),
        })
    }

    /// How sure the sheet is on the whole: invented where any of it is, else as sure as what is not size.
    ///
    /// # Examples
    /// ```
    /// use joistlight::trade::{fan::generic, source::Status};
    /// // Airflow, blade and frame were read in print, the rest is made up.
    /// let fan = &generic().fans[0];
    /// assert_eq!(fan.sizes_status, Status::Confirmed);
    /// assert_eq!(fan.sheet_status(), Status::Invented);
    /// ```
    pub fn sheet_status(&self) -> Status {
        if self.sizes_status == Status::Invented {
            Status::Invented
        } else {
            self.rest_status
        }
    }

    /// The largest piece to be carried up: its sheet's, or the whole frame.
    pub fn largest_piece(&self) -> Boxed {
        self.largest_piece.unwrap_or(self.frame)
    }
}

/// The fans that an office offers.
#[derive(Debug, Clone, PartialEq, Serialize, JsonSchema)]
pub struct FanList {
    /// What the office calls the list.
    pub name: String,
    /// The list's version, in the office's own counting.
    pub version: String,
    /// SHA-256 of the file's text, lower-case hex.
    pub sha256: String,
    /// The fans.
    pub fans: Vec<Fan>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct RawList {
    name: String,
    version: String,
    fan: Vec<Spanned<Fan>>,
}

/// Reads a fan list; `file` names it in errors.
///
/// # Errors
/// The first thing wrong, with its line and field.
pub fn read(file: &str, text: &str) -> Result<FanList, ListError> {
    let list = ListFile { file, text };
    let raw: RawList = list.read()?;
    let refuse = |offset, field, what| list.refuse(offset, field, what);
    if raw.fan.is_empty() {
        return Err(refuse(0, "fan".into(), "the list has no fan in it".into()));
    }
    let mut fans: Vec<Fan> = Vec::with_capacity(raw.fan.len());
    for (index, spanned) in raw.fan.into_iter().enumerate() {
        let start = spanned.span().start;
        let fan = spanned.into_inner();
        let wrong = |field: &str, what: String| {
            // The field's own line, where it stands below the fan's heading.
            let key = field.split(['.', '[']).next().unwrap_or(field);
            let body = &text[start.min(text.len())..];
            let end = body
                .get(2..)
                .and_then(|rest| rest.find("[[fan]]"))
                .map_or(body.len(), |at| at + 2);
            let mut offset = start;
            for line in body[..end].split_inclusive('\n') {
                if line.trim_start().split(['=', '.', ' ']).next() == Some(key) {
                    break;
                }
                offset += line.len();
            }
            let offset = if offset >= start + end { start } else { offset };
            Err(refuse(offset, format!("fan[{index}].{field}"), what))
        };
        if fan.id.is_empty()
            || !fan
                .id
                .chars()
                .all(|c| c.is_ascii_alphanumeric() || c == '-')
        {
            return wrong(
                "id",
                "an id has only letters, digits and hyphens, and at least one of them".into(),
            );
        }
        if fans.iter().any(|other| other.id == fan.id) {
            return wrong(
                "id",
                format!("“{}” is already the id of an earlier fan", fan.id),
            );
        }
        if fan.name.trim().is_empty() {
            return wrong("name", "a fan needs a name".into());
        }
        let piece = fan.largest_piece();
        let space = fan.clear_space();
        let lengths = [
            ("blade", fan.blade),
            ("frame.length", fan.frame.length),
            ("frame.width", fan.frame.width),
            ("frame.height", fan.frame.height),
            ("largest_piece.length", piece.length),
            ("largest_piece.width", piece.width),
            ("largest_piece.height", piece.height),
            ("clear_space.length", space.length),
            ("clear_space.width", space.width),
            ("clear_space.height", space.height),
            ("opening.length", fan.opening.length),
            ("opening.width", fan.opening.width),
            ("shutter.length", fan.shutter.length),
            ("shutter.width", fan.shutter.width),
        ];
        for (field, length) in lengths {
            if length <= Length::ZERO || length > Length::feet(20) {
                return wrong(field, format!("{length} is not between 0 and 20 ft"));
            }
        }
        if fan.shutter.length < fan.opening.length || fan.shutter.width < fan.opening.width {
            return wrong(
                "shutter",
                "the shutter must cover the opening on both sides".into(),
            );
        }
        if fan.fixed_vane.abs() * 2 >= fan.shutter.width {
            return wrong(
                "fixed_vane",
                "the fixed vane must lie within the shutter's width".into(),
            );
        }
        if fan.weight.lb() <= 0.0 || fan.weight.lb() > 2000.0 {
            return wrong(
                "weight",
                format!("{} is not between 0 and 2000 lb", fan.weight),
            );
        }
        if fan.speeds.is_empty() {
            return wrong("speeds", "a fan needs at least one speed".into());
        }
        for (number, speed) in fan.speeds.iter().enumerate() {
            let curve = &speed.curve;
            if curve.len() < 2 {
                return wrong(
                    &format!("speeds[{number}].curve"),
                    "a curve needs at least two points".into(),
                );
            }
            if curve[0].pressure.pa() != 0.0 {
                return wrong(
                    &format!("speeds[{number}].curve"),
                    "the first point must be at no pressure".into(),
                );
            }
            for pair in curve.windows(2) {
                if pair[1].pressure <= pair[0].pressure || pair[1].airflow >= pair[0].airflow {
                    return wrong(
                        &format!("speeds[{number}].curve"),
                        "pressure must rise and airflow must fall from point to point".into(),
                    );
                }
            }
        }
        fans.push(fan);
    }
    Ok(FanList {
        name: raw.name,
        version: raw.version,
        sha256: Sha256::digest(text.as_bytes())
            .iter()
            .map(|b| format!("{b:02x}"))
            .collect(),
        fans,
    })
}

/// The text of the list that comes with the program.
pub const GENERIC: &str = include_str!("fans.toml");

/// The list that comes with the program.
pub fn generic() -> &'static FanList {
    static LIST: LazyLock<FanList> =
        LazyLock::new(|| read("fans.toml", GENERIC).unwrap_or_else(|error| panic!("{error}")));
    &LIST
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_generic_list_has_the_extension_tables_airflow_and_frames() {
        // University of Missouri Extension, "Sizing attic and window fans" (confirmed).
        for (blade, frame, cfm) in [
            (24, 32, 5400.0),
            (30, 37, 7500.0),
            (36, 41, 10_500.0),
            (42, 47, 12_400.0),
        ] {
            let fan = generic()
                .fans
                .iter()
                .find(|f| {
                    f.blade == Length::inches(blade) && (f.rated_airflow().cfm() - cfm).abs() < 0.5
                })
                .unwrap_or_else(|| panic!("{blade}"));
            assert_eq!(fan.frame.length, Length::inches(frame));
            assert_eq!(fan.sizes_status, Status::Confirmed);
        }
    }

    #[test]
    fn a_bad_list_is_refused_with_line_and_field() {
        let cases = [
            ("name = \"x\"\nversion = 3\n", 2, "version"),
            (
                &GENERIC.replace("weight = \"38 lb\"", "weight = \"-38 lb\"")[..],
                0,
                "weight",
            ),
            (
                &GENERIC.replace("weight = \"38 lb\"", "weight = \"9999 lb\"")[..],
                0,
                "weight",
            ),
            (
                &GENERIC.replace("weight = \"38 lb\"", "wait = \"38 lb\"")[..],
                0,
                "wait",
            ),
            (
                &GENERIC.replace("blade = \"24 in\"", "blade = \"24 inx\"")[..],
                0,
                "blade",
            ),
        ];
        for (text, line, field) in cases {
            let error = read("office.toml", text).unwrap_err();
            assert!(
                error.field.contains(field) || error.what.contains(field),
                "{error}"
            );
            let line = if line > 0 {
                line
            } else {
                let bad = text
                    .lines()
                    .zip(GENERIC.lines())
                    .position(|(a, b)| a != b)
                    .unwrap();
                bad + 1
            };
            assert_eq!(error.line, line, "{error}");
            assert!(error.to_string().starts_with("office.toml, line "));
        }
        let twice = GENERIC.replace("id = \"direct-30\"", "id = \"direct-24\"");
        assert!(read("x", &twice).unwrap_err().field.ends_with(".id"));
        assert!(read("x", "fan = [").is_err());
    }
}
