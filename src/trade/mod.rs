//! The trade's arithmetic, one computation a file; knows nothing of surveys or screens.
//!
//! * [`source`] — where a figure comes from, and how sure that is.
//! * [`codes`] — editions of the codes as data, since their figures changed.
//! * [`fan`] — a fan's sheet, and the list of fans that an office offers.
//! * [`solid`] — boxes, round runs and posts, and the room that a fan needs among them.
//! * [`roof`] — the height of a roof over a rectangle, and the clearance square to it.
//! * [`passage`] — what passes through a hatch, straight or tipped.
//! * [`placement`] — where in a hall the opening goes.
//! * [`section`] — cross-sections of lumber: dressed sizes or as measured, and their properties.
//! * [`lumber`] — design values by species, grade and depth, and the factors that adjust them.
//! * [`beam`] — a beam on two supports: reactions, shear, moment, deflection, exact anywhere.
//! * [`span`] — how far a ceiling joist may span; the code's own table, computed.
//! * [`notch`] — notches and holes that solid joists may have.
//! * [`attic_load`] — what ceiling joists have to carry, with and without storage.
//! * [`opening_frame`] — headers, trimmers, hangers and ledgers of an opening by the code's rule of thumb.
//! * [`fastening`] — what a nail carries, and how many hold a header's end.
//! * [`frame_strength`] — joists left whole under a fan, or cut, headed and trimmed: every check with its use ratio.
//! * [`sizing`] — what it takes for joists to carry a fan where it goes.
//! * [`clearance`] — how far wood stays away from flues, chimneys, lights and heating equipment.
//! * [`airflow`] — how much air a house needs for fan cooling, by air changes and by floor area.
//! * [`opening`] — flow through an opening, and the density of the air that flows.
//! * [`network`] — windows, ceiling opening, fan and attic vents in series: airflow and pressures.
//! * [`zones`] — rooms, hall and attic joined by openings, leaks, exhausts and a fan: every pressure and airflow.
//! * [`leakage`] — how leaky a house is, and what an attic under pressure sends back through the ceiling.
//! * [`weather`] — what wind and warm air do to pressures at walls and below windows.
//! * [`vent_area`] — net free vent area: what is there, what is needed, what to add.
//! * [`backdraft`] — how far below outdoors a house may be pulled, appliance by appliance.
//! * [`motor`] — the current of a fan's motor, and what it asks of wire and breaker.
//! * [`conductor`] — what current a copper wire may carry in a hot attic.
//! * [`attic_peak`] — how hot an attic gets on a summer afternoon.
//! * [`voltage_drop`] — how much voltage is lost on the way to the fan, and how long the way may be.
//! * [`box_fill`] — how much room the things in a switch box take, and which box has it.
//! * [`cable_protection`] — where a cable in the attic needs guard strips.
//! * [`disconnect`] — how the fan is cut off for work on it, and what its switch must be rated for.
//! * [`heat_index`] — how hot the attic feels to the one who crawls in it.
//! * [`lead_paint`] — whether cutting the ceiling falls under the federal rule for lead paint.
//! * [`insulation_clearance`] — how far insulation stays away from the fan.

pub mod airflow;
pub mod attic_load;
pub mod attic_peak;
pub mod backdraft;
pub mod beam;
pub mod box_fill;
pub mod cable_protection;
pub mod clearance;
pub mod codes;
pub mod conductor;
pub mod disconnect;
pub mod fan;
pub mod fastening;
pub mod frame_strength;
pub mod heat_index;
pub mod insulation_clearance;
pub mod lead_paint;
pub mod leakage;
pub mod lumber;
pub mod motor;
pub mod network;
pub mod notch;
pub mod opening;
pub mod opening_frame;
pub mod passage;
pub mod placement;
pub mod roof;
pub mod section;
pub mod sizing;
pub mod solid;
pub mod source;
pub mod span;
pub mod vent_area;
pub mod voltage_drop;
pub mod weather;
pub mod zones;
