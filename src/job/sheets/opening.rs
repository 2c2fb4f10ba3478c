//! Two drawings of the opening: on the ceiling with its locating holes, and the frame in the attic.

use crate::drawing::{At, Drawing, Edge, Form, Ink, at};
use crate::job::Job;
use crate::job::layout::{Layout, OnCeiling, Use};
use crate::measure::Length;
use crate::rules::Say;
use crate::trade::fan::Fan;
use crate::trade::placement::Axis;
use crate::trade::solid::Span;

use super::builder::key;

/// The opening on the ceiling: the reference corner, the holes, the diagonals. Seen from above, as the plan is; from
/// below it is the same with left and right as one looks down the hall.
pub(super) fn on_ceiling(job: &Job, layout: &Layout) -> Drawing {
    // On paper the corner is the origin: to the right is away from the left wall, upwards is down the hall.
    let put = |it: OnCeiling| at(it.from_left, it.from_start);
    let margin = Length::inches(5);
    let shutter = shutter(layout, job.fan);
    let wide = match job.scene.hall.known {
        Some(hall) => hall.left.length(),
        None => shutter.1.x + margin,
    };
    let top = shutter.1.y + Length::inches(10);
    let low = at(-margin, -margin);
    let high = at(wide + margin, top);
    let mut drawing = Drawing::new(key("Opening on the ceiling"), low, high);
    let corner = at(Length::ZERO, Length::ZERO);
    let walls = vec![
        at(Length::ZERO, top),
        corner,
        at(wide, Length::ZERO),
        at(wide, top),
    ];
    drawing.add(Ink::Wall, Form::Line(walls));
    drawing.rectangle(Ink::Shutter, shutter.0, shutter.1);
    let [a, b, c, d] = layout.corners.map(put);
    drawing.add(Ink::Opening, Form::Area(vec![a, b, c, d]));
    drawing.add(Ink::Diagonal, Form::Line(vec![a, c]));
    drawing.add(Ink::Diagonal, Form::Line(vec![b, d]));
    drawing.add(Ink::Mark, Form::Cross(put(layout.mark)));
    for (hole, say) in layout.corners.iter().zip([
        key("corner near the start wall and the left wall"),
        key("corner near the start wall, on the right"),
        key("far corner on the right"),
        key("far corner near the left wall"),
    ]) {
        hole_at(&mut drawing, put(*hole), say);
    }
    hole_at(
        &mut drawing,
        put(layout.middle),
        key("middle of the opening: drill this one first"),
    );
    drawing.measure(Edge::Bottom, 0, Length::ZERO, a.x, None);
    drawing.measure(Edge::Bottom, 0, a.x, b.x, Some(key("opening")));
    drawing.measure(Edge::Bottom, 1, Length::ZERO, b.x, None);
    drawing.measure(Edge::Left, 0, Length::ZERO, a.y, None);
    drawing.measure(Edge::Left, 0, a.y, d.y, Some(key("opening")));
    drawing.measure(Edge::Left, 1, Length::ZERO, d.y, None);
    drawing
}

fn hole_at(drawing: &mut Drawing, place: At, say: &'static str) {
    drawing.add(
        Ink::Hole,
        Form::Round {
            middle: place,
            radius: Length::sixteenths(6),
        },
    );
    drawing.number(place, true, Say::new(say), None);
}

/// The shutter's corners on the ceiling, from the reference corner.
fn shutter(layout: &Layout, fan: &Fan) -> (At, At) {
    let (down, across) = match layout.axis {
        Axis::Ahead => (fan.shutter.length, fan.shutter.width),
        Axis::Left => (fan.shutter.width, fan.shutter.length),
    };
    let ahead = Span::about(layout.middle.from_start, down);
    let left = Span::about(layout.middle.from_left, across);
    (at(left.low, ahead.low), at(left.high, ahead.high))
}

/// The frame in the attic, seen from above: joists, cuts, headers, blocks, temporary boards.
pub(super) fn frame(layout: &Layout, joists: &[Length]) -> Drawing {
    let axis = layout.axis;
    // The mark is the origin; ahead is upwards, left is to the left.
    let put = |along: Length, across: Length| match axis {
        Axis::Ahead => at(-across, along),
        Axis::Left => at(-along, across),
    };
    let corners = |along: Span, across: Span| {
        let (a, b) = (put(along.low, across.low), put(along.high, across.high));
        (
            at(a.x.min(b.x), a.y.min(b.y)),
            at(a.x.max(b.x), a.y.max(b.y)),
        )
    };
    let reach = Length::inches(24);
    let temporary = layout.of(Use::Temporary).map(|it| it.along);
    let (mut near, mut far) = (layout.along.low - reach, layout.along.high + reach);
    for board in temporary {
        near = near.min(board.low - Length::inches(4));
        far = far.max(board.high + Length::inches(4));
    }
    let beside = Length::inches(13);
    let along = Span::new(near, far);
    let across = Span::new(layout.bay.low - beside, layout.bay.high + beside);
    let (low, high) = corners(along, across);
    let mut drawing = Drawing::new(key("Frame in the attic, seen from above"), low, high);
    let half = layout.joist_thickness / 2;
    for &joist in joists {
        let own = Span::new(joist - half, joist + half);
        let mut draw = |ink, along: Span| {
            let (a, b) = corners(along, own);
            drawing.rectangle(ink, a, b);
        };
        match layout.cuts.iter().find(|cut| cut.joist == joist) {
            Some(cut) => {
                draw(Ink::Joist, Span::new(along.low, cut.out.low));
                draw(Ink::CutJoist, cut.out);
                draw(Ink::Joist, Span::new(cut.out.high, along.high));
            }
            None => draw(Ink::Joist, along),
        }
    }
    for piece in &layout.pieces {
        let ink = match piece.used {
            Use::Header | Use::Doubler => Ink::Header,
            Use::Side | Use::Packing | Use::EndBlock | Use::Ledger => Ink::Block,
            Use::Temporary => Ink::Temporary,
            // Facing lies flat over all this and would hide it.
            Use::FacingEnd | Use::FacingSide | Use::QuietEnd | Use::QuietSide => continue,
        };
        let (a, b) = corners(piece.along, piece.across);
        drawing.rectangle(ink, a, b);
    }
    let (a, b) = corners(layout.along, layout.across);
    drawing.rectangle(Ink::Opening, a, b);
    let (along_edge, across_edge) = match axis {
        Axis::Ahead => (Edge::Left, Edge::Bottom),
        Axis::Left => (Edge::Bottom, Edge::Left),
    };
    let on_along = |it: Length| if axis == Axis::Ahead { it } else { -it };
    let on_across = |it: Length| if axis == Axis::Ahead { -it } else { it };
    let mut measure_along = |lane, from: Length, to: Length, what| {
        drawing.measure(along_edge, lane, on_along(from), on_along(to), what);
    };
    measure_along(0, layout.along.low, layout.along.high, Some(key("opening")));
    if let Some(cut) = layout.cuts.first() {
        measure_along(0, cut.out.low, layout.along.low, None);
        measure_along(0, layout.along.high, cut.out.high, None);
        measure_along(1, cut.out.low, cut.out.high, Some(key("cut out")));
    }
    let mut measure_across = |lane, from: Length, to: Length, what| {
        drawing.measure(across_edge, lane, on_across(from), on_across(to), what);
    };
    measure_across(0, layout.bay.low, layout.across.low, None);
    measure_across(
        0,
        layout.across.low,
        layout.across.high,
        Some(key("opening")),
    );
    measure_across(0, layout.across.high, layout.bay.high, None);
    measure_across(
        1,
        layout.bay.low,
        layout.bay.high,
        Some(key("between joists")),
    );
    drawing
}
