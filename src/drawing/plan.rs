//! The plan: the spot seen from above, *ahead* upwards and *left* to the left.

use super::{At, Drawing, Edge, Form, Ink, at};
use crate::house::scene::{Obstacle, Scene};
use crate::measure::Length;
use crate::rules::Say;
use crate::survey::{FieldRef, ItemId, Mover, attic, fixture, hall, obstruction};
use crate::trade::fan::Fan;
use crate::trade::placement::{Axis, Place};
use crate::trade::solid::{Solid, Span};

const BOARD: Length = Length::thousandths_in(1500);
/// How far joists are drawn beyond what is shown, so that the frame cuts them wherever it is.
const BEYOND: Length = Length::feet(10);

/// The rectangle ahead × left on paper.
fn corners(ahead: Span, left: Span) -> (At, At) {
    (at(-left.high, ahead.low), at(-left.low, ahead.high))
}

/// A span along the joists and one across them, as ahead and left.
fn turned(axis: Axis, along: Span, across: Span) -> (Span, Span) {
    match axis {
        Axis::Ahead => (along, across),
        Axis::Left => (across, along),
    }
}

/// What is shown of an obstacle in a sentence: what, where from and to in height, who could move it.
pub(super) fn describe(obstacle: &Obstacle) -> Say {
    let (low, high) = height(obstacle.solid);
    Say::new("{what}: {low} to {high} over the joists; {mover}")
        .with(
            "what",
            obstacle
                .kind
                .map_or("Something in the way", |kind| kind.label()),
        )
        .with("low", low)
        .with("high", high)
        .with(
            "mover",
            match obstacle.mover {
                None => "not said who could move it",
                Some(Mover::Nobody) => "nobody can move it",
                Some(mover) => mover.label(),
            },
        )
}

fn height(solid: Solid) -> (Length, Length) {
    match solid {
        Solid::Block(block) => (block.up.low, block.up.high),
        Solid::Post(post) => (post.up.low, post.up.high),
        Solid::Run(run) => {
            let r = run.diameter / 2;
            (
                run.from.up.min(run.to.up) - r,
                run.from.up.max(run.to.up) + r,
            )
        }
    }
}

/// Whether a number on it would hide it.
fn is_small(ahead: Span, left: Span) -> bool {
    let least = Length::inches(10);
    ahead.high - ahead.low < least && left.high - left.low < least
}

/// The ink for an obstacle.
pub(super) fn ink(obstacle: &Obstacle) -> Ink {
    match obstacle.mover {
        Some(Mover::Nobody) | None => Ink::Fixed,
        Some(_) => Ink::Movable,
    }
}

/// The four corners of a run `diameter` wide between two points on paper.
pub(super) fn band(from: At, to: At, diameter: Length) -> Vec<At> {
    let (dx, dy) = ((to.x - from.x).to_in(), (to.y - from.y).to_in());
    let length = dx.hypot(dy);
    let half = diameter.to_in() / 2.0;
    let (nx, ny) = if length > 0.0 {
        (
            Length::from_in(-dy / length * half),
            Length::from_in(dx / length * half),
        )
    } else {
        (Length::from_in(half), Length::ZERO)
    };
    vec![
        at(from.x + nx, from.y + ny),
        at(to.x + nx, to.y + ny),
        at(to.x - nx, to.y - ny),
        at(from.x - nx, from.y - ny),
    ]
}

/// The plan of a spot: hall, joists, obstructions, and where a place was found the opening with its framing.
pub fn plan(spot: ItemId, scene: &Scene, chosen: Option<(&Fan, &Place)>) -> Drawing {
    let field = |name| Some(FieldRef::spot(name, spot));
    let margin = Length::inches(6);
    // Long halls are shown round the spot only; without a hall, as much of the attic.
    let reach = Length::feet(6);
    let (mut ahead, mut left) = match scene.hall.known {
        Some(hall) => (hall.ahead, hall.left),
        None => (Span::new(-reach, reach), Span::new(-reach, reach)),
    };
    let clear = chosen.map(|(fan, place)| {
        let axis = scene.axis.known.unwrap_or(Axis::Ahead);
        let space = fan.clear_space();
        let (along, across) = match axis {
            Axis::Ahead => (place.ahead, place.left),
            Axis::Left => (place.left, place.ahead),
        };
        turned(
            axis,
            Span::about(along, space.length),
            Span::about(across, space.width),
        )
    });
    if let Some((clear_ahead, clear_left)) = clear {
        ahead = Span::new(
            ahead.low.min(clear_ahead.low),
            ahead.high.max(clear_ahead.high),
        );
        left = Span::new(left.low.min(clear_left.low), left.high.max(clear_left.high));
    }
    let middle = chosen.map_or((Length::ZERO, Length::ZERO), |(_, place)| {
        (place.ahead, place.left)
    });
    let shown_ahead = Span::new(
        ahead.low.max(middle.0 - reach) - margin,
        ahead.high.min(middle.0 + reach) + margin,
    );
    let shown_left = Span::new(
        left.low.max(middle.1 - reach) - margin,
        left.high.min(middle.1 + reach) + margin,
    );
    let (low, high) = corners(shown_ahead, shown_left);
    let mut drawing = Drawing::new("Plan, seen from above", low, high);
    drawing.middle = at(-middle.1, middle.0);

    if let Some(hall) = scene.hall.known {
        let (a, b) = corners(hall.ahead, hall.left);
        drawing.rectangle(Ink::Wall, a, b).field = field(hall::WIDTH.id);
        drawing.measure_of(
            field(hall::WIDTH.id),
            Edge::Bottom,
            1,
            a.x,
            b.x,
            Some("hall"),
        );
        drawing.measure_of(
            field(hall::LENGTH.id),
            Edge::Left,
            1,
            a.y,
            b.y,
            Some("hall"),
        );
    } else {
        drawing
            .open
            .push("the hall's size and the mark's place in it");
    }

    match (scene.axis.known, &scene.joists.known) {
        (Some(axis), Some(joists)) => {
            let half = scene.thickness.known.unwrap_or(BOARD) / 2;
            let along = match axis {
                Axis::Ahead => shown_ahead,
                Axis::Left => shown_left,
            };
            let along = Span::new(along.low - BEYOND, along.high + BEYOND);
            let across = match axis {
                Axis::Ahead => shown_left,
                Axis::Left => shown_ahead,
            };
            let opening = chosen.map(|(fan, place)| {
                let middle = if axis == Axis::Ahead {
                    place.ahead
                } else {
                    place.left
                };
                Span::about(middle, fan.opening.length)
            });
            let mut places: Vec<Length> = Vec::new();
            for &offset in &joists.offsets {
                if offset - half >= across.low && offset + half <= across.high {
                    places.push(offset);
                }
                let own = Span::new(offset - half, offset + half);
                let mut draw = |ink, along: Span| {
                    let (a, l) = turned(axis, along, own);
                    let (low, high) = corners(a, l);
                    drawing.rectangle(ink, low, high).field = field(attic::NEAREST_JOIST.id);
                };
                let cut = chosen.is_some_and(|(_, place)| place.cut.contains(&offset));
                match opening {
                    Some(opening) if cut => {
                        // Cut back by the header's thickness on both sides.
                        draw(Ink::Joist, Span::new(along.low, opening.low - BOARD));
                        draw(Ink::CutJoist, Span::new(opening.low, opening.high));
                        draw(Ink::Joist, Span::new(opening.high + BOARD, along.high));
                    }
                    _ => draw(Ink::Joist, along),
                }
            }
            let edge = if axis == Axis::Ahead {
                Edge::Top
            } else {
                Edge::Right
            };
            for pair in places.windows(2) {
                let turn = |offset: Length| if axis == Axis::Ahead { -offset } else { offset };
                let of = if joists.spacing.is_some() {
                    field(attic::JOIST_SPACING.id)
                } else {
                    field(attic::JOISTS_EVEN.id)
                };
                drawing.measure_of(of, edge, 0, turn(pair[0]), turn(pair[1]), None);
            }
            if let (Some((_, place)), Some(opening)) = (chosen, opening)
                && !place.cut.is_empty()
            {
                let between = Span::new(place.trimmers.0 + half, place.trimmers.1 - half);
                for header in [
                    Span::new(opening.low - BOARD, opening.low),
                    Span::new(opening.high, opening.high + BOARD),
                ] {
                    let (a, l) = turned(axis, header, between);
                    let (low, high) = corners(a, l);
                    drawing.rectangle(Ink::Header, low, high);
                }
            }
        }
        _ => drawing.open.push("the joists' places"),
    }

    for thing in &scene.ceiling.known {
        let (a, b) = corners(thing.ahead, thing.left);
        let at_field = Some(fixture::KIND.at(spot).item(thing.id));
        drawing.rectangle(Ink::Fixture, a, b).field = at_field;
        let say = Say::new("{what}, on the ceiling").with(
            "what",
            thing
                .kind
                .map_or("Something on the ceiling", |kind| kind.label()),
        );
        drawing.number(
            at(-thing.left.middle(), thing.ahead.middle()),
            is_small(thing.ahead, thing.left),
            say,
            at_field,
        );
    }

    if let Some((clear_ahead, clear_left)) = clear {
        let (a, b) = corners(clear_ahead, clear_left);
        drawing.rectangle(Ink::ClearSpace, a, b);
    }
    if let Some((fan, place)) = chosen {
        let axis = scene.axis.known.unwrap_or(Axis::Ahead);
        let (along, across) = match axis {
            Axis::Ahead => (place.ahead, place.left),
            Axis::Left => (place.left, place.ahead),
        };
        for (ink, size) in [(Ink::Shutter, fan.shutter), (Ink::Opening, fan.opening)] {
            let (a, l) = turned(
                axis,
                Span::about(along, size.length),
                Span::about(across, size.width),
            );
            let (low, high) = corners(a, l);
            drawing.rectangle(ink, low, high);
            if ink == Ink::Opening {
                drawing.measure(Edge::Bottom, 0, low.x, high.x, Some("opening"));
                drawing.measure(Edge::Left, 0, low.y, high.y, Some("opening"));
                if let Some(hall) = scene.hall.known {
                    drawing.measure(Edge::Bottom, 0, -hall.left.high, low.x, None);
                    drawing.measure(Edge::Bottom, 0, high.x, -hall.left.low, None);
                    drawing.measure(Edge::Left, 0, hall.ahead.low, low.y, None);
                }
            }
        }
    } else {
        drawing.open.push("the place of the opening");
    }

    for obstacle in &scene.obstacles.known {
        let at_field = Some(obstruction::KIND.at(spot).item(obstacle.id));
        let (form, middle) = match obstacle.solid {
            Solid::Block(block) => {
                let (a, b) = corners(block.ahead, block.left);
                (
                    Form::Area(vec![a, at(b.x, a.y), b, at(a.x, b.y)]),
                    at(-block.left.middle(), block.ahead.middle()),
                )
            }
            Solid::Run(run) => {
                let (from, to) = (
                    at(-run.from.left, run.from.ahead),
                    at(-run.to.left, run.to.ahead),
                );
                (
                    Form::Area(band(from, to, run.diameter)),
                    at((from.x + to.x) / 2, (from.y + to.y) / 2),
                )
            }
            Solid::Post(post) => {
                let middle = at(-post.left, post.ahead);
                (
                    Form::Round {
                        middle,
                        radius: post.diameter / 2,
                    },
                    middle,
                )
            }
        };
        drawing.add(ink(obstacle), form).field = at_field;
        let small = match obstacle.solid {
            Solid::Post(_) => true,
            Solid::Block(block) => is_small(block.ahead, block.left),
            Solid::Run(_) => false,
        };
        drawing.number(middle, small, describe(obstacle), at_field);
    }
    drawing.add(Ink::Mark, Form::Cross(at(Length::ZERO, Length::ZERO)));
    drawing
}
