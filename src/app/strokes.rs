//! Arrows and rings on a picture, as the window draws them; the report draws the same.

use crate::survey::Stroke;
use std::fmt::Write as _;

/// Shorter than this, in thousandths of the width, is no stroke but a tap.
const LEAST: f64 = 25.0;

/// The radius of the ring that a tap makes, in thousandths of the width.
const USUAL_RING: u16 = 90;

/// The length of an arrow's barbs, in thousandths of the width.
const BARB: f64 = 60.0;

/// A place on a picture as the survey keeps it, from shares of width and height.
fn place(x: f32, y: f32) -> [u16; 2] {
    [x, y].map(|share| (f64::from(share) * 1000.0).round().clamp(0.0, 1000.0) as u16)
}

/// What was drawn from one place to another, shares of width and height; `tall` is the picture's height to its
/// width. A tap makes a ring of a usual size, and no arrow.
pub fn stroke(ring: bool, from: (f32, f32), to: (f32, f32), tall: f64) -> Option<Stroke> {
    let along = f64::from(to.0 - from.0) * 1000.0;
    let down = f64::from(to.1 - from.1) * 1000.0 * tall;
    let long = along.hypot(down);
    match (ring, long >= LEAST) {
        (true, true) => Some(Stroke::Ring {
            middle: place(from.0, from.1),
            radius: long.round().min(1000.0) as u16,
        }),
        (true, false) => Some(Stroke::Ring {
            middle: place(from.0, from.1),
            radius: USUAL_RING,
        }),
        (false, true) => Some(Stroke::Arrow {
            from: place(from.0, from.1),
            to: place(to.0, to.1),
        }),
        (false, false) => None,
    }
}

/// The lines of strokes as the window's paths take them: places in thousandths of the width.
pub fn lines<'a>(strokes: impl IntoIterator<Item = &'a Stroke>, tall: f64) -> String {
    let at = |place: [u16; 2]| (f64::from(place[0]), f64::from(place[1]) * tall);
    let mut out = String::new();
    for stroke in strokes {
        let _ = match *stroke {
            Stroke::Ring { middle, radius } => {
                let ((x, y), r) = (at(middle), f64::from(radius));
                write!(
                    out,
                    "M {:.1} {y:.1} A {r:.1} {r:.1} 0 1 0 {:.1} {y:.1} A {r:.1} {r:.1} 0 1 0 {:.1} {y:.1} ",
                    x - r,
                    x + r,
                    x - r
                )
            }
            Stroke::Arrow { from, to } => {
                let ((x0, y0), (x1, y1)) = (at(from), at(to));
                let turn = (y1 - y0).atan2(x1 - x0);
                let barb = |by: f64| {
                    let (sin, cos) = (turn + by).sin_cos();
                    (x1 - BARB * cos, y1 - BARB * sin)
                };
                let (a, b) = (barb(0.5), barb(-0.5));
                write!(
                    out,
                    "M {x0:.1} {y0:.1} L {x1:.1} {y1:.1} M {:.1} {:.1} L {x1:.1} {y1:.1} L {:.1} {:.1} ",
                    a.0, a.1, b.0, b.1
                )
            }
        };
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_drag_makes_a_stroke_within_the_picture_and_a_tap_no_arrow() {
        assert_eq!(
            stroke(false, (0.1, 0.2), (0.5, 0.9), 0.75),
            Some(Stroke::Arrow {
                from: [100, 200],
                to: [500, 900]
            })
        );
        // 300 thousandths of the width to the right, and 0.4 of the height, which is 400 of them.
        assert_eq!(
            stroke(true, (0.5, 0.5), (0.8, 0.9), 1.0),
            Some(Stroke::Ring {
                middle: [500, 500],
                radius: 500
            })
        );
        assert_eq!(stroke(false, (0.5, 0.5), (0.505, 0.5), 0.75), None);
        assert!(stroke(true, (0.5, 0.5), (0.5, 0.5), 0.75).is_some());
        // A finger that leaves the picture draws to its edge.
        assert_eq!(
            stroke(false, (0.5, 0.5), (1.7, -0.4), 0.75),
            Some(Stroke::Arrow {
                from: [500, 500],
                to: [1000, 0]
            })
        );
    }

    #[test]
    fn a_ring_is_round_whatever_the_picture_s_shape() {
        let ring = Stroke::Ring {
            middle: [500, 500],
            radius: 100,
        };
        let text = lines([&ring], 0.5);
        assert!(text.starts_with("M 400.0 250.0 A 100.0 100.0"), "{text}");
    }
}
