//! The drawings of the present spot, on their own page and wherever else they stand.

use super::{Shown, model, update};
use crate::app::canvas::{self, Colours, Painted, Rgb, View};
use crate::app::judge::Way;
use crate::app::place::{Key, Place};
use crate::app::reader::Reader;
use crate::app::session::{self, Session};
use crate::app::{
    DrawingAdapter, DrawingKind, DrawnInk, DrawnLine, Handle, MainWindow, Theme, act,
};
use crate::drawing::{Drawing, Fitting, Sheet, plan, section};
use crate::measure::Tape;
use crate::rules::{Say, Scene};
use crate::survey::{FieldRef, ItemId, Spot};
use crate::trade::fan::FanList;
use slint::{Color, ComponentHandle, Image, Rgba8Pixel, SharedPixelBuffer, SharedString};
use std::cell::{OnceCell, RefCell};
use std::rc::Rc;

/// The largest letters: larger ones leave no room for what they name. One can look from nearer instead.
const LETTERS_MOST: f32 = 20.0;
const LETTERS: f32 = 14.0;

/// What a drawing is made from; where that is the same, so is the drawing.
#[derive(Debug, Clone, PartialEq)]
struct From {
    spot: Spot,
    tape: Tape,
    fans: FanList,
    way: Option<Way>,
    reader: Reader,
}

/// The drawings of the present spot, made when somebody looks at them.
#[derive(Default)]
pub struct Drawings {
    from: Option<From>,
    colours: Colours,
    letters: f32,
    /// The thing that is entered now, which small drawings show above all.
    entered: Option<ItemId>,
    version: i32,
    made: OnceCell<Option<[Drawing; 2]>>,
}

impl Drawings {
    fn of(&self, kind: DrawingKind) -> Option<&Drawing> {
        let both = self.made.get_or_init(|| self.from.as_ref().map(make));
        both.as_ref().map(|both| match kind {
            DrawingKind::Plan => &both[0],
            DrawingKind::Section => &both[1],
        })
    }

    /// The sheet for a view; one that does not stand `alone` is small, and looked at from near.
    fn sheet(&self, kind: DrawingKind, alone: bool, view: &View) -> Option<Sheet> {
        let (drawing, from) = (self.of(kind)?, self.from.as_ref()?);
        let near;
        let drawing = if alone {
            drawing
        } else {
            near = drawing.near(self.entered);
            &near
        };
        let fit = Fitting {
            width: view.width * view.zoom,
            height: view.height * view.zoom,
            letters: self.letters,
            usual_scale: false,
        };
        Some(Sheet::lay(
            drawing,
            fit,
            &|length| from.reader.length(length),
            &|word| from.reader.tr(word),
        ))
    }

    fn paint(
        &self,
        (kind, alone): (DrawingKind, bool),
        view: &View,
        colours: &Colours,
        scale: f32,
    ) -> Image {
        let (Some(sheet), Some(from)) = (self.sheet(kind, alone, view), &self.from) else {
            return Image::default();
        };
        let bar = from.reader.length(sheet.bar.1);
        image(&canvas::paint(&sheet, view, colours, scale, &bar))
    }
}

fn image(painted: &Painted) -> Image {
    Image::from_rgba8_premultiplied(SharedPixelBuffer::<Rgba8Pixel>::clone_from_slice(
        &painted.rgba,
        painted.width,
        painted.height,
    ))
}

fn make(from: &From) -> [Drawing; 2] {
    let scene = Scene::of(&from.spot, &from.fans, from.tape);
    let found = from.way.as_ref().and_then(|way| {
        let fan = from.fans.fans.iter().find(|fan| fan.id == way.fan)?;
        Some((fan, scene.place(fan, way.framing).found()?.clone()))
    });
    let chosen = found.as_ref().map(|(fan, place)| (*fan, place));
    let spot = &from.spot;
    [
        plan(spot.id, &scene, chosen),
        section(spot.id, &spot.hall, &spot.attic, &scene, chosen),
    ]
}

fn view(width: f32, height: f32, zoom: f32, right: f32, down: f32) -> View {
    View {
        width,
        height,
        zoom,
        right,
        down,
    }
}

pub fn connect(window: &MainWindow, app: &Handle, drawings: &Rc<RefCell<Drawings>>) {
    let adapter = window.global::<DrawingAdapter>();
    let (held, weak) = (Rc::clone(drawings), window.as_weak());
    adapter.on_picture(move |kind, alone, width, height, zoom, right, down, _| {
        let Some(window) = weak.upgrade() else {
            return Image::default();
        };
        let view = view(width, height, zoom, right, down);
        if view.width < 1.0 || view.height < 1.0 {
            return Image::default();
        }
        // Read here, so that the picture follows the shade whoever changes it.
        let colours = colours(&window);
        let scale = window.window().scale_factor();
        held.borrow().paint((kind, alone), &view, &colours, scale)
    });
    let (held, handle) = (Rc::clone(drawings), app.clone());
    adapter.on_touched(move |kind, alone, width, height, zoom, right, down, x, y| {
        let view = view(width, height, zoom, right, down);
        let touched = {
            let drawings = held.borrow();
            let sheet = drawings.sheet(kind, alone, &view);
            sheet.and_then(|mut sheet| {
                // A finger within what the frame cuts is meant for it all the same.
                sheet.strokes.append(&mut sheet.areas);
                canvas::touched(&sheet, &view, (x, y))
            })
        };
        if let Some(at) = touched {
            act(&handle, move |session| session.go_field(at));
        }
    });
    let (handle, weak) = (app.clone(), window.as_weak());
    adapter.on_pick_kind(move |kind| {
        if let Some(window) = weak.upgrade() {
            window.global::<DrawingAdapter>().set_kind(kind);
        }
        act(&handle, |_| {});
    });
    let handle = app.clone();
    adapter.on_go(move |key: SharedString| {
        if let Some(Key::Field(at)) = Key::parse(&key) {
            act(&handle, move |session| session.go_field(at));
        }
    });
}

fn colours(window: &MainWindow) -> Colours {
    let theme = window.global::<Theme>();
    let rgb = |colour: Color| -> Rgb { [colour.red(), colour.green(), colour.blue()] };
    Colours {
        ground: rgb(theme.get_ground()),
        ink: rgb(theme.get_ink()),
        soft: rgb(theme.get_soft()),
        chalk: rgb(theme.get_chalk()),
        work: rgb(theme.get_work()),
        fails: rgb(theme.get_fails()),
        holds: rgb(theme.get_holds()),
        open: rgb(theme.get_open()),
        wood: rgb(theme.get_wood()),
        blade: rgb(theme.get_blade()),
        blade_ink: rgb(theme.get_blade_ink()),
    }
}

pub fn show(window: &MainWindow, session: &Session, shown: &mut Shown) {
    let on_page = session.view() == session::View::Drawing;
    if !(on_page || session.place().is_some()) {
        return;
    }
    let Some(open) = session.open() else { return };
    let typed = session.survey_while_typing();
    let Some(spot) = typed.as_ref().unwrap_or(open.survey()).spot(open.spot) else {
        return;
    };
    let adapter = window.global::<DrawingAdapter>();
    if let Some(session::Sheet::Keys { at, .. }) = session.sheet()
        && let Some(kind) = drawn(*at)
    {
        adapter.set_shown(kind);
    }
    let reader = session.reader();
    let way = open.judged.spot().and_then(|spot| {
        let choice = &spot.choices[open.judged.way_index(spot)?];
        Some(Way {
            fan: choice.fan.clone(),
            framing: choice.framing,
        })
    });
    let from = From {
        spot: spot.clone(),
        tape: open.survey().tape,
        fans: session.fans.clone(),
        way,
        reader,
    };
    let colours = colours(window);
    let letters = (LETTERS * session.settings.text_size.factor()).min(LETTERS_MOST);
    let entered = match session.place() {
        Some(Place::Item { item, .. }) => Some(item),
        _ => None,
    };
    let mut changed = false;
    {
        let mut held = shown.drawings.borrow_mut();
        if held.from.as_ref() != Some(&from) {
            held.from = Some(from);
            held.made = OnceCell::new();
            changed = true;
        }
        if held.colours != colours || held.letters != letters || held.entered != entered {
            held.colours = colours;
            held.letters = letters;
            held.entered = entered;
            changed = true;
        }
        if changed {
            held.version += 1;
        }
    }
    let held = shown.drawings.borrow();
    let name = session.spot_title(session.spot_index());
    for (kind, words) in [
        (
            DrawingKind::Plan,
            "Plan of {spot}, drawn from its measurements",
        ),
        (
            DrawingKind::Section,
            "Section of {spot}, drawn from its measurements",
        ),
    ] {
        let label = reader.said(&Say::new(words).with("spot", name.clone()));
        match kind {
            DrawingKind::Plan => adapter.set_plan_label(label.into()),
            DrawingKind::Section => adapter.set_section_label(label.into()),
        }
    }
    if on_page {
        details(window, session, &held);
    }
    adapter.set_version(held.version);
}

/// The drawing on which an answer is seen: heights in the section, the floor in the plan; nothing of what is not
/// drawn.
pub(super) fn drawn(at: FieldRef) -> Option<DrawingKind> {
    match at.field {
        "attic.roof_height"
        | "attic.roof_slope"
        | "attic.ridge_distance"
        | "attic.clear_height"
        | "attic.joist_depth"
        | "attic.insulation_depth"
        | "hall.ceiling_height"
        | "hall.ceiling_thickness"
        | "obstruction.bottom"
        | "obstruction.top" => Some(DrawingKind::Section),
        "hall.length"
        | "hall.width"
        | "hall.mark_from_start"
        | "hall.mark_from_left"
        | "attic.joist_spacing"
        | "attic.nearest_joist"
        | "attic.clear_length"
        | "attic.clear_width" => Some(DrawingKind::Plan),
        _ => None,
    }
}

fn details(window: &MainWindow, session: &Session, held: &Drawings) {
    let adapter = window.global::<DrawingAdapter>();
    let reader = session.reader();
    let Some(drawing) = held.of(adapter.get_kind()) else {
        return;
    };
    let lines = drawing
        .key
        .iter()
        .map(|line| DrawnLine {
            number: line.number.to_string().into(),
            text: reader.said(&line.say).into(),
            field: line
                .field
                .map_or(SharedString::new(), |at| Key::Field(at).to_string().into()),
        })
        .collect();
    update(adapter.get_lines(), lines, |rows| adapter.set_lines(rows));
    let scale = window.window().scale_factor();
    let inks = drawing
        .inks()
        .into_iter()
        .map(|ink| DrawnInk {
            sample: image(&canvas::sample(ink, &held.colours, scale)),
            label: reader.tr(ink.label()).into(),
        })
        .collect();
    adapter.set_inks(model(inks));
    let open: Vec<String> = drawing.open.iter().map(|it| reader.tr(it)).collect();
    adapter.set_open(if open.is_empty() {
        SharedString::new()
    } else {
        format!(
            "{}{}",
            reader.tr("Not drawn, because it is not measured yet: "),
            open.join("; ")
        )
        .into()
    });
    let of = match held.from.as_ref().and_then(|from| from.way.as_ref()) {
        Some(way) => {
            let fan = session.fans.fans.iter().find(|fan| fan.id == way.fan);
            format!(
                "{}: {}, {}",
                reader.tr(drawing.title),
                reader
                    .language
                    .name(fan.map_or(way.fan.as_str(), |fan| fan.name.as_str())),
                reader.tr(way.framing.label())
            )
        }
        None => reader.tr(drawing.title),
    };
    let hall = match adapter.get_kind() {
        DrawingKind::Plan => hall(session, drawing),
        DrawingKind::Section => None,
    };
    adapter.set_of(match hall {
        Some(hall) => format!("{of}\n{}", reader.said(&hall)).into(),
        None => of.into(),
    });
}

/// How long and wide the hall is, in words: beside a small drawing its dimensions have no room for theirs.
fn hall(session: &Session, plan: &Drawing) -> Option<Say> {
    let open = session.open()?;
    let hall = &open.survey().spot(open.spot)?.hall;
    let say = if plan.goes_on() {
        Say::new(
            "The hall is {length} long and {width} wide. A thin line with zigzags: it goes on there.",
        )
    } else {
        Say::new("The hall is {length} long and {width} wide.")
    };
    Some(
        say.with("length", hall.length?.length())
            .with("width", hall.width?.length()),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::drawing::contrast::contrast;
    use crate::drawing::{Ink, Mark, Text};
    use crate::measure::Length;

    /// The colours of a shade as `theme.slint` has them.
    fn shade(name: &str) -> Colours {
        let theme = include_str!("../../../ui/theme.slint");
        let head = format!("property <Colours> {name}: {{");
        let from = theme.find(&head).expect("the shade") + head.len();
        let block = &theme[from..];
        let block = &block[..block.find("};").expect("its end")];
        let rgb = |role: &str| -> Rgb {
            let hex = block
                .split(',')
                .filter_map(|it| it.trim().split_once(": #"))
                .find(|(name, _)| *name == role)
                .unwrap_or_else(|| panic!("{role} in {block}"))
                .1;
            [0, 2, 4].map(|at| u8::from_str_radix(&hex[at..at + 2], 16).expect("a colour"))
        };
        Colours {
            ground: rgb("ground"),
            ink: rgb("ink"),
            soft: rgb("soft"),
            chalk: rgb("chalk"),
            work: rgb("work"),
            fails: rgb("fails"),
            holds: rgb("holds"),
            open: rgb("open"),
            wood: rgb("wood"),
            blade: rgb("blade"),
            blade_ink: rgb("blade-ink"),
        }
    }

    /// The strongest contrast to the ground among these pixels: that of a line's or a stem's core, since its edges are
    /// blended into the ground.
    fn strongest(painted: &Painted, ground: Rgb) -> f64 {
        painted
            .rgba
            .chunks_exact(4)
            .map(|it| contrast([it[0], it[1], it[2]], ground))
            .fold(1.0, f64::max)
    }

    /// Text at least 7 : 1 (WCAG 2.2, success criterion 1.4.6), lines at least 3 : 1 (1.4.11), in the pixels that are
    /// shown.
    #[test]
    fn every_ink_and_word_stands_out_in_every_shade() {
        assert!((contrast([0; 3], [255; 3]) - 21.0).abs() < 1e-9);
        let mut grounds = Vec::new();
        for name in ["dark", "light", "contrast"] {
            let colours = shade(name);
            assert!(!grounds.contains(&colours.ground), "{name}");
            grounds.push(colours.ground);
            // Four times as large, so that even the thinnest line has a core.
            let scale = 4.0;
            for ink in Ink::ALL {
                let ratio = strongest(&canvas::sample(*ink, &colours, scale), colours.ground);
                assert!(ratio >= 3.0, "{ink:?}, {name}: {ratio:.2}");
            }
            let view = view(80.0, 40.0, 1.0, 0.0, 0.0);
            for mark in [Mark::Dimension, Mark::DimensionUp, Mark::Number] {
                let sheet = Sheet {
                    width: view.width,
                    height: view.height,
                    letters: LETTERS,
                    px_per_in: 1.0,
                    one_to: 96.0,
                    strokes: Vec::new(),
                    areas: Vec::new(),
                    texts: vec![Text {
                        at: (40.0, 20.0),
                        text: "4".to_owned(),
                        mark,
                        field: None,
                    }],
                    bar: (0.0, Length::ZERO),
                };
                let painted = canvas::paint(&sheet, &view, &colours, scale, "");
                let ratio = strongest(&painted, colours.ground);
                assert!(ratio >= 7.0, "{mark:?}, {name}: {ratio:.2}");
            }
        }
    }
}
