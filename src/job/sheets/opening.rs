//! The drawing that a crew builds from: the opening with its points, its frame and what stands beside it.

use super::builder::key;
use crate::drawing::{At, Drawing, Edge, Form, Ink, at};
use crate::job::layout::{OnCeiling, Use};
use crate::job::{Job, Plan};
use crate::measure::Length;
use crate::rules::Say;
use crate::trade::placement::Axis;
use crate::trade::solid::Span;

/// The opening seen from above, *ahead* upwards and *left* to the left: joists, frame, facing, shutter, walls, points.
pub(super) fn opening(job: &Job, plan: &Plan) -> Drawing {
    let layout = &plan.layout;
    let turned = |along: Span, across: Span| match layout.axis {
        Axis::Ahead => (along, across),
        Axis::Left => (across, along),
    };
    // From ahead and left to paper.
    let corners = |ahead: Span, left: Span| (at(-left.high, ahead.low), at(-left.low, ahead.high));
    let put = |it: OnCeiling| -> At {
        at(
            it.from_left - layout.mark.from_left,
            it.from_start - layout.mark.from_start,
        )
    };
    let margin = Length::sixteenths(20);
    let (mut ahead, mut left) = turned(layout.along, layout.across);
    let reach = |span: &mut Span, to: Span| {
        *span = Span::new(span.low.min(to.low), span.high.max(to.high));
    };
    reach(&mut ahead, layout.shutter.0);
    reach(&mut left, layout.shutter.1);
    let thick = layout.joist_thickness;
    let (bay_ahead, bay_left) = turned(
        layout.along,
        Span::new(layout.bay.low - thick, layout.bay.high + thick),
    );
    reach(&mut ahead, bay_ahead);
    reach(&mut left, bay_left);
    for piece in &layout.pieces {
        if piece.used.stands_on_ceiling() && piece.used != Use::Doubler
            || matches!(piece.used, Use::FacingEnd | Use::FacingSide)
        {
            let (a, l) = turned(piece.along, piece.across);
            reach(&mut ahead, a);
            reach(&mut left, l);
        }
    }
    if let Some(hall) = job.scene.hall.known {
        // The hall's walls, where they are near.
        let near = Length::inches(14);
        if hall.left.low > left.low - near && hall.left.high < left.high + near {
            reach(&mut left, hall.left);
        }
    }
    let low = at(-left.high - margin, ahead.low - margin);
    let high = at(-left.low + margin, ahead.high + margin);
    let mut drawing = Drawing::new(key("Opening and frame, from above"), low, high);
    let beyond = Length::feet(2);
    let whole_along = match layout.axis {
        Axis::Ahead => Span::new(low.y - beyond, high.y + beyond),
        Axis::Left => Span::new(-high.x - beyond, -low.x + beyond),
    };
    let joists = job.scene.joists.known.as_ref();
    let offsets = joists.map_or(&[][..], |it| &it.offsets);
    for &joist in offsets {
        let own = Span::about(joist, thick);
        let mut draw = |ink, along: Span| {
            let (ahead, left) = turned(along, own);
            let (a, b) = corners(ahead, left);
            drawing.rectangle(ink, a, b);
        };
        match layout.cuts.iter().find(|cut| cut.joist == joist) {
            Some(cut) => {
                draw(Ink::Joist, Span::new(whole_along.low, cut.out.low));
                draw(Ink::CutJoist, cut.out);
                draw(Ink::Joist, Span::new(cut.out.high, whole_along.high));
            }
            None => draw(Ink::Joist, whole_along),
        }
    }
    for piece in &layout.pieces {
        let ink = match piece.used {
            Use::Header | Use::Doubler => Ink::Header,
            Use::Side | Use::EndBlock | Use::Ledger => Ink::Block,
            Use::Packing => Ink::Packing,
            Use::FacingEnd | Use::FacingSide => Ink::Facing,
            // What goes higher up, or comes off again, would hide the rest.
            Use::Temporary | Use::DamEnd | Use::DamSide | Use::QuietEnd | Use::QuietSide => {
                continue;
            }
        };
        let (ahead, left) = turned(piece.along, piece.across);
        let (a, b) = corners(ahead, left);
        drawing.rectangle(ink, a, b);
    }
    let (a, b) = corners(layout.shutter.0, layout.shutter.1);
    drawing.rectangle(Ink::Shutter, a, b);
    if let Some(hall) = job.scene.hall.known {
        let (a, b) = corners(hall.ahead, hall.left);
        drawing.rectangle(Ink::Wall, a, b);
    }
    let points = layout.corners.map(put);
    drawing.add(Ink::Opening, Form::Area(points.to_vec()));
    drawing.add(Ink::Diagonal, Form::Line(vec![points[0], points[2]]));
    drawing.add(Ink::Diagonal, Form::Line(vec![points[1], points[3]]));
    drawing.add(Ink::Mark, Form::Cross(at(Length::ZERO, Length::ZERO)));
    // Numbers stand within their corners; the table says where each is.
    let inside = Length::inches(3);
    for (index, point) in points.into_iter().enumerate() {
        let x = if index == 0 || index == 3 {
            inside
        } else {
            -inside
        };
        let y = if index < 2 { inside } else { -inside };
        let place = at(point.x + x, point.y + y);
        let number = (index + 1).to_string();
        drawing.letter(place, number);
    }
    let probe = put(layout.probe);
    drawing.letter(probe, "P".to_owned());
    // From the probe to the joists' faces.
    let [low_face, high_face] = layout.probe_to_faces;
    let face = |by: Length| match layout.axis {
        Axis::Ahead => at(probe.x - by, probe.y),
        Axis::Left => at(probe.x, probe.y + by),
    };
    for by in [high_face, -low_face] {
        if by.abs() > Length::inches(4) {
            drawing.distance(probe, face(by));
        }
    }
    let middle = put(layout.middle);
    let size = Say::new(key("opening {down} × {across}"))
        .with("down", layout.down_the_hall())
        .with("across", layout.across_the_hall());
    drawing.words(at(middle.x, points[0].y + Length::inches(7)), size, false);
    let diagonals = Say::new(key("diagonals {length}")).with("length", layout.diagonal);
    drawing.words(
        at(middle.x, points[2].y - Length::inches(7)),
        diagonals,
        false,
    );
    let (ahead, left) = turned(layout.along, layout.across);
    drawing.measure(Edge::Bottom, 0, -left.high, -left.low, None);
    drawing.measure(Edge::Left, 0, ahead.low, ahead.high, None);
    if let Some(hall) = job.scene.hall.known {
        drawing.measure(Edge::Bottom, 0, -hall.left.high, -left.high, None);
        drawing.measure(Edge::Bottom, 0, -left.low, -hall.left.low, None);
        drawing.measure(
            Edge::Bottom,
            1,
            -hall.left.high,
            -hall.left.low,
            Some(key("hall")),
        );
    }
    let across_edge = match layout.axis {
        Axis::Ahead => Edge::Top,
        Axis::Left => Edge::Right,
    };
    let on = |it: Length| if layout.axis == Axis::Ahead { -it } else { it };
    drawing.measure(
        across_edge,
        0,
        on(layout.bay.low),
        on(layout.bay.high),
        Some(key("joist to joist")),
    );
    drawing
}
