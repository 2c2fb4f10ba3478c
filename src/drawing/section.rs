//! The section: the spot cut upright, so that the roof's slope is seen.

use super::plan::{band, describe, ink};
use super::{At, Drawing, Edge, Form, Ink, at};
use crate::house::scene::Scene;
use crate::measure::Length;
use crate::survey::{Attic, FieldRef, Hall, ItemId, attic, hall, obstruction};
use crate::trade::fan::Fan;
use crate::trade::placement::{Axis, Place};
use crate::trade::roof::Fall;
use crate::trade::solid::{Solid, Span};

const BOARD: Length = Length::thousandths_in(1500);
/// How far ceiling and joists are drawn beyond what is shown, so that they have no end at the frame.
const BEYOND: Length = Length::feet(1);

/// Which way one looks.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Look {
    /// Down the hall: left is to the left.
    Ahead,
    /// Across the hall from its left: ahead is to the left.
    Right,
}

impl Look {
    /// The level place on paper of a span ahead and a span left.
    fn span(self, ahead: Span, left: Span) -> Span {
        let it = match self {
            Look::Ahead => left,
            Look::Right => ahead,
        };
        Span::new(-it.high, -it.low)
    }
    /// How far a solid reaches in the direction in which one looks.
    fn depth(self, solid: Solid) -> Span {
        let (ahead, left) = match solid {
            Solid::Block(block) => (block.ahead, block.left),
            Solid::Post(post) => (
                Span::about(post.ahead, post.diameter),
                Span::about(post.left, post.diameter),
            ),
            Solid::Run(run) => {
                let r = run.diameter / 2;
                let span = |a: Length, b: Length| Span::new(a.min(b) - r, a.max(b) + r);
                (
                    span(run.from.ahead, run.to.ahead),
                    span(run.from.left, run.to.left),
                )
            }
        };
        match self {
            Look::Ahead => ahead,
            Look::Right => left,
        }
    }
    fn x(self, ahead: Length, left: Length) -> Length {
        match self {
            Look::Ahead => -left,
            Look::Right => -ahead,
        }
    }
}

/// The section of a spot: ceiling, joists, roof, obstructions with their heights, and the clear space where a place was found.
pub fn section(
    spot: ItemId,
    hall: &Hall,
    attic: &Attic,
    scene: &Scene,
    chosen: Option<(&Fan, &Place)>,
) -> Drawing {
    let field = |name| Some(FieldRef::spot(name, spot));
    let slope = scene.roof.known.and_then(|roof| roof.slope);
    let look = match slope.map(|slope| slope.fall) {
        Some(Fall::Ahead | Fall::Back) => Look::Right,
        _ => Look::Ahead,
    };
    let depth = attic
        .joist_depth
        .map_or(Length::thousandths_in(5500), |it| it.length());
    let board = hall
        .ceiling_thickness
        .map_or(Length::sixteenths(8), |it| it.length());
    let roof_height = attic.roof_height.map(|it| it.length());
    let middle = chosen.map_or(Length::ZERO, |(_, place)| look.x(place.ahead, place.left));
    let space = chosen.map(|(fan, place)| {
        let size = fan.clear_space();
        let axis = scene.axis.known.unwrap_or(Axis::Ahead);
        let (along, across) = match axis {
            Axis::Ahead => (place.ahead, place.left),
            Axis::Left => (place.left, place.ahead),
        };
        let (along, across) = (
            Span::about(along, size.length),
            Span::about(across, size.width),
        );
        let level = match axis {
            Axis::Ahead => look.span(along, across),
            Axis::Left => look.span(across, along),
        };
        (level, size.height)
    });
    let depth_of_space = chosen.map(|(fan, place)| {
        let size = fan.clear_space();
        let (ahead, left) = match scene.axis.known.unwrap_or(Axis::Ahead) {
            Axis::Ahead => (size.length, size.width),
            Axis::Left => (size.width, size.length),
        };
        match look {
            Look::Ahead => Span::about(place.ahead, ahead),
            Look::Right => Span::about(place.left, left),
        }
    });
    let half = Length::inches(42);
    let tall = [
        Some(Length::inches(40)),
        roof_height.map(|it| it + Length::inches(10)),
        // The ridge, where it is in sight.
        scene.roof.known.and_then(|roof| {
            let slope = roof.slope.filter(|slope| slope.ridge < half)?;
            let rise = slope.ridge.to_in() * slope.pitch.rise_per_12() / 12.0;
            Some(roof.height + Length::from_in(rise) + Length::inches(4))
        }),
        space.map(|(_, height)| height + Length::inches(8)),
    ]
    .into_iter()
    .flatten()
    .max()
    .unwrap_or(half)
    .min(Length::feet(8));
    let low = at(middle - half, -depth - board - Length::inches(4));
    let high = at(middle + half, tall);
    let mut drawing = Drawing::new(
        match look {
            Look::Ahead => "Section, looking down the hall",
            Look::Right => "Section, looking to the right",
        },
        low,
        high,
    );

    // The ceiling board, and the joists over it.
    drawing
        .rectangle(
            Ink::Wall,
            at(low.x - BEYOND, -depth - board),
            at(high.x + BEYOND, -depth),
        )
        .field = field(hall::CEILING_THICKNESS.id);
    match (scene.axis.known, &scene.joists.known) {
        (Some(axis), Some(joists)) => {
            let end_on = (axis == Axis::Ahead) == (look == Look::Ahead);
            let width = scene.thickness.known.unwrap_or(BOARD);
            let cut = |offset: &Length| chosen.is_some_and(|(_, place)| place.cut.contains(offset));
            if end_on {
                for offset in &joists.offsets {
                    let x = -*offset;
                    if x - width < low.x || x + width > high.x {
                        continue;
                    }
                    let ink = if cut(offset) {
                        Ink::CutJoist
                    } else {
                        Ink::Joist
                    };
                    drawing
                        .rectangle(
                            ink,
                            at(x - width / 2, -depth),
                            at(x + width / 2, Length::ZERO),
                        )
                        .field = field(attic::JOIST_DEPTH.id);
                }
            } else {
                let opening = chosen.and_then(|(fan, place)| {
                    (!place.cut.is_empty()).then(|| {
                        let along = if axis == Axis::Ahead {
                            place.ahead
                        } else {
                            place.left
                        };
                        let span = Span::about(along, fan.opening.length);
                        Span::new(-span.high, -span.low)
                    })
                });
                let (bottom, top) = (-depth, Length::ZERO);
                match opening {
                    Some(opening) => {
                        for (from, to) in [
                            (low.x - BEYOND, opening.low - BOARD),
                            (opening.high + BOARD, high.x + BEYOND),
                        ] {
                            drawing
                                .rectangle(Ink::Joist, at(from, bottom), at(to, top))
                                .field = field(attic::JOIST_DEPTH.id);
                        }
                        drawing.rectangle(
                            Ink::CutJoist,
                            at(opening.low, bottom),
                            at(opening.high, top),
                        );
                        for from in [opening.low - BOARD, opening.high] {
                            drawing.rectangle(Ink::Header, at(from, bottom), at(from + BOARD, top));
                        }
                    }
                    None => {
                        drawing
                            .rectangle(
                                Ink::Joist,
                                at(low.x - BEYOND, bottom),
                                at(high.x + BEYOND, top),
                            )
                            .field = field(attic::JOIST_DEPTH.id);
                    }
                }
            }
        }
        _ => drawing.open.push("the joists' places"),
    }
    if let Some(insulation) = attic.insulation_depth.map(|it| it.length())
        && !insulation.is_zero()
    {
        let top = -depth + insulation;
        drawing
            .add(
                Ink::Insulation,
                Form::Line(vec![at(low.x, top), at(high.x, top)]),
            )
            .field = field(attic::INSULATION_DEPTH.id);
    }

    // The roof's underside: one plane, or two that meet in the ridge.
    match scene.roof.known {
        None => drawing.open.push("the roof's height and slope"),
        Some(roof) => {
            let mut points: Vec<At> = Vec::new();
            match roof.slope {
                None => {
                    points.push(at(low.x, roof.height));
                    points.push(at(high.x, roof.height));
                }
                Some(slope) => {
                    // On paper the roof rises towards `uphill`: +1 to the right, −1 to the left.
                    let uphill = match slope.fall {
                        Fall::Ahead | Fall::Left => 1,
                        Fall::Back | Fall::Right => -1,
                    };
                    let rise = |run: Length| {
                        Length::from_in(run.to_in() * slope.pitch.rise_per_12() / 12.0)
                    };
                    let ridge_x = slope.ridge * uphill;
                    let ridge_height = roof.height + rise(slope.ridge);
                    let height = |x: Length| ridge_height - rise((x - ridge_x).abs());
                    points.push(at(low.x, height(low.x)));
                    if ridge_x > low.x && ridge_x < high.x {
                        points.push(at(ridge_x, ridge_height));
                    }
                    points.push(at(high.x, height(high.x)));
                }
            }
            drawing.add(Ink::Roof, Form::Line(points)).field = field(attic::ROOF_HEIGHT.id);
            drawing.measure_of(
                field(attic::ROOF_HEIGHT.id),
                Edge::Right,
                0,
                Length::ZERO,
                roof.height,
                Some("roof at the mark"),
            );
        }
    }

    for obstacle in &scene.obstacles.known {
        let at_field = Some(obstruction::BOTTOM.at(spot).item(obstacle.id));
        let (form, middle) = match obstacle.solid {
            Solid::Block(block) => {
                let level = look.span(block.ahead, block.left);
                (
                    Form::Area(vec![
                        at(level.low, block.up.low),
                        at(level.high, block.up.low),
                        at(level.high, block.up.high),
                        at(level.low, block.up.high),
                    ]),
                    at(level.middle(), block.up.middle()),
                )
            }
            Solid::Post(post) => {
                let x = look.x(post.ahead, post.left);
                let r = post.diameter / 2;
                (
                    Form::Area(vec![
                        at(x - r, post.up.low),
                        at(x + r, post.up.low),
                        at(x + r, post.up.high),
                        at(x - r, post.up.high),
                    ]),
                    at(x, post.up.middle()),
                )
            }
            Solid::Run(run) => {
                let from = at(look.x(run.from.ahead, run.from.left), run.from.up);
                let to = at(look.x(run.to.ahead, run.to.left), run.to.up);
                let middle = at((from.x + to.x) / 2, (from.y + to.y) / 2);
                // Seen nearly end on, a run is a circle.
                let form = if (from.x - to.x).abs().max((from.y - to.y).abs()) < run.diameter {
                    Form::Round {
                        middle,
                        radius: run.diameter / 2,
                    }
                } else {
                    Form::Area(band(from, to, run.diameter))
                };
                (form, middle)
            }
        };
        let item = drawing.add(ink(obstacle), form);
        item.field = at_field;
        item.beyond =
            depth_of_space.is_some_and(|space| !space.overlaps(look.depth(obstacle.solid)));
        let small = !matches!(obstacle.solid, Solid::Block(_));
        drawing.number(middle, small, describe(obstacle), at_field);
    }

    if let Some((level, height)) = space {
        drawing.rectangle(
            Ink::ClearSpace,
            at(level.low, Length::ZERO),
            at(level.high, height),
        );
        drawing.measure(Edge::Left, 0, Length::ZERO, height, Some("clear space"));
        drawing.measure(Edge::Bottom, 0, level.low, level.high, Some("clear space"));
    } else {
        drawing.open.push("the place of the opening");
    }
    drawing.measure_of(
        field(attic::JOIST_DEPTH.id),
        Edge::Left,
        0,
        -depth,
        Length::ZERO,
        Some("joist"),
    );
    drawing.add(Ink::Mark, Form::Cross(at(Length::ZERO, Length::ZERO)));
    drawing
}
