//! Which windows and doors must stand open while the fan runs on high: the fewest that do.

use super::WithFan;
use super::backdraft::End;
use crate::house::air::{in_the_opening, vent_need};
use crate::house::inlets::ToOpen;
use crate::measure::quantity::Area;
use crate::trade::airflow::windows_for_flow;

/// The most that windows can be added to and still count as a mend: as many again.
pub(super) const MORE_WINDOWS: f64 = 2.0;

/// The fewest windows and doors with which every flame keeps within its limit and the fan has the opening that its airflow
/// takes; `None` where rooms and windows are not measured, or not enough. With `any_door` doors that were said to be
/// shut are opened, too.
pub(super) fn least(with: &WithFan, any_door: bool) -> Option<ToOpen> {
    let house = with.at.house;
    let (air, inlets) = (house.air, with.at.inlets);
    if !inlets.known || !air.exhausts.whole() || !air.flames.whole() {
        return None;
    }
    let flow = windows_for_flow(with.fan.rated_airflow(), false);
    let speed = with.fan.high();
    let end = End::worst(with, &vent_need(with), &in_the_opening(with));
    let limit = air.flames.unmeasured().next().map(|it| it.in_hall());
    let need = limit.map_or(Area::ZERO, |limit| end.windows(speed, limit));
    // Where all windows together stand the wind, the fewest must stand it, too.
    let all = match any_door {
        true => inlets.doors_open(),
        false => inlets.as_said(),
    };
    let windproof = limit.filter(|limit| end.keeps_in_wind(speed, all, *limit));
    inlets.least(need.max(flow), any_door, |opened| {
        windproof.is_none_or(|limit| end.keeps_in_wind(speed, opened, limit))
    })
}
