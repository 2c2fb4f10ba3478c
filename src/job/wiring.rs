//! What the electrician needs: cable, box and switch.
//!
//! # Units
//! Lengths, volumes in in³, currents in A.
//!
//! # Source
//! Wires to the fan: two and a ground for one speed or any speed, three and a ground for two fixed speeds; one tenth of
//! the run more is bought for bends and ends (common practice, no source). Box: NEC 314.16, see
//! [`box_fill`](crate::trade::box_fill). Switch: [`disconnect`](crate::trade::disconnect).
//!
//! # Examples
//! ```
//! use joistlight::job::wiring::cable_to_buy;
//! use joistlight::measure::Length;
//! // 52 ft and a tenth: 57.2 ft, so 58 ft.
//! assert_eq!(cable_to_buy(Length::feet(52)), Length::feet(58));
//! ```

use super::Job;
use crate::measure::{Current, Length, Volume};
use crate::need::{Circuit, Need};
use crate::trade::box_fill::{StandardBox, smallest_box};
use crate::trade::fan::Control;

/// The wires, the box and the switch.
#[derive(Debug, Clone, PartialEq)]
pub struct Wiring {
    /// How the fan's speed is set.
    pub control: Control,
    /// Insulated wires from the switch to the fan; the ground comes on top.
    pub wires: u32,
    /// The run, one way, as it was measured.
    pub run: Option<Length>,
    /// The cable to buy for it, in whole feet.
    pub cable: Option<Length>,
    /// Room that the switch box needs.
    pub box_needed: Option<Volume>,
    /// A box of the code's table with that room.
    pub standard_box: Option<StandardBox>,
    /// The least rating of the switch.
    pub switch: Option<Current>,
    /// The circuit or the wire that is to be run; none where what is there serves.
    pub circuit: Option<Circuit>,
}

/// The cable to buy for a run one way: a tenth more, in whole feet.
pub fn cable_to_buy(run: Length) -> Length {
    let with_spare = (run + run / 10).to_ft();
    Length::feet((with_spare - 1e-9).ceil().clamp(0.0, 1e6) as i64)
}

/// What the findings say of wires, box and switch.
pub fn wiring(job: &Job) -> Wiring {
    let control = job.fan.control;
    let run = job.survey.power.one_way_run.map(|it| it.length());
    let box_needed = job
        .figure("switch-box", "room needed in the box", "in³")
        .filter(|in3| *in3 > 0.0)
        .map(Volume::from_in3);
    Wiring {
        control,
        wires: match control {
            Control::OneSpeed | Control::Variable => 2,
            Control::TwoSpeeds => 3,
        },
        run,
        cable: run.map(cable_to_buy),
        box_needed,
        standard_box: box_needed.and_then(smallest_box),
        switch: job
            .figure("switch-rating", "least rating of the switch", "A")
            .map(Current::from_a),
        circuit: job.needs().find_map(|need| match need {
            Need::Circuit(circuit) => Some(*circuit),
            _ => None,
        }),
    }
}
