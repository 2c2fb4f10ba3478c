//! The crew's sheet: drawings, cut list, order of work, cautions.

use super::JobSheet;
use super::builder::{Root, SheetBuilder, key, phrase};
use super::labels;
use super::opening;
use crate::job::Plan;
use crate::job::boards::KERF;
use crate::job::cutlist::{CutList, Row, Size};
use crate::job::layout::{BEYOND_CUT, LAP, OnCeiling, Use, facing_width};
use crate::job::materials::Fastener;
use crate::measure::Length;
use crate::rules::{Arg, Finding, Framing, Outcome, Say, Who, number};
use crate::survey::FieldRef;
use crate::trade::insulation_clearance::FROM_MOTOR;
use crate::trade::placement::Axis;
use crate::trade::source::Source;
use crate::typeset::document::{FigureId, Line, Marks};

const SET_BACK: Source =
    Source::practice("a cut joist is set back by the header's thickness, 1 1/2 in for each piece");
const BOARDS: Source = Source::practice("temporary boards lap 6 in over the next joists");
const FACING: Source = Source::practice(
    "facing: ends as long as the opening is wide, sides as long as the opening plus twice the board's width",
);
const PYTHAGORAS: Source = Source::derived("Pythagoras: diagonals of a rectangle");
const SHUTTER: Source = Source::confirmed(
    "US Navy MO-114 vol. 3 §5.1 and §5.2: the shutter's net free area at least the fan's",
);
const STOCK: Source =
    Source::practice("boards are sold in even feet from 8 to 16; a saw cut takes 1/8 in");

const NAIL_SIZES: Source = Source::from_memory("ASTM F1667: nail sizes");
const NAIL_WEIGHT: Source = Source::derived("the nail's shank in steel of 490 lb/ft³");

pub(super) fn write(mut sheet: SheetBuilder) -> JobSheet {
    let nothing = sheet.nothing_to_build();
    if let (false, Some(plan)) = (nothing, sheet.job.plan.as_ref()) {
        asked_first(&mut sheet);
        cautions(&mut sheet);
        at_a_glance(&mut sheet, plan);
        let holes = holes(&mut sheet, plan);
        frame(&mut sheet, plan);
        sheet.put(crate::typeset::document::Block::NewPage);
        cut_list(&mut sheet, plan);
        materials(&mut sheet, plan);
        first_work(&mut sheet);
        order_of_work(&mut sheet, plan, &holes);
        surroundings(&mut sheet);
    } else {
        cautions(&mut sheet);
        surroundings(&mut sheet);
    }
    mind(&mut sheet);
    sheet.finish("crew", key("Crew sheet"))
}

/// What an engineer must have said before anything is cut.
fn asked_first(sheet: &mut SheetBuilder) {
    let mut entries = Vec::new();
    for finding in sheet.job.that(Outcome::Mend) {
        for remedy in finding.remedies.iter().filter(|it| it.who == Who::Engineer) {
            let line = sheet.line(&remedy.what).then(sheet.by_rule(finding.rule));
            entries.push(line);
        }
    }
    entries.dedup();
    if entries.is_empty() {
        return;
    }
    let word = sheet.t(key("Before anything is cut")).to_owned();
    let first = sheet.line(key(
        "A registered design professional must have given this in writing; without it nobody cuts, notches, drills or hangs anything here.",
    ));
    entries.insert(0, first);
    sheet.put(crate::typeset::document::Block::Notice { word, entries });
}

/// The cautions that nobody may skip, first of all.
fn cautions(sheet: &mut SheetBuilder) {
    let mut entries: Vec<Line> = [
        key(
            "The permit, the local code and its inspector go before this sheet. Where what you find differs from it: stop, do not cut, call the office.",
        ),
        key(
            "Structural, electrical and gas work is for people licensed for it where the house stands. The electrician connects the fan; nobody else does.",
        ),
        key(
            "Wear a respirator, eye protection, gloves, long sleeves and a helmet with a lamp. Nobody works in the attic alone.",
        ),
        key(
            "Ladder on firm, level ground; its foot out a quarter of its height; rails 3 ft above the landing; tied or held.",
        ),
        key(
            "Power off at the panel, locked and tagged. Test every wire near a cut with a tester that you prove on a live wire just before and just after.",
        ),
        key("Stand on joists or on boards laid across them, never on the ceiling board."),
        key("Nobody cuts, notches or drills a truss or an I-joist."),
        key(
            "Grains like pebbles, crumbling pipe wrap, old textured ceilings, flaking paint: touch nothing until somebody licensed has tested it.",
        ),
        key(
            "Before the power comes back: turn the blades by hand through a full turn. They must run free, with nothing on them and every hand clear.",
        ),
    ]
    .into_iter()
    .map(|it| sheet.line(it))
    .collect();
    if let Some(thickness) = sheet.at_spot("hall.ceiling_thickness") {
        let saw = sheet.line(
            phrase(key(
                "Set the saw exactly as deep as the ceiling board, {thickness} measured, and look above every cut for wires, pipes and ducts first.",
            ))
            .with("thickness", thickness),
        );
        entries.insert(5, saw);
    } else {
        let saw = sheet.line(key(
            "The ceiling board's thickness was not measured: find it at a locating hole, set the saw exactly as deep, and look above every cut for wires, pipes and ducts first.",
        ));
        entries.insert(5, saw);
    }
    if let Some(heat) = sheet.job.finding("heat") {
        let line = sheet.line(&heat.say).then(sheet.by_rule(heat.rule));
        entries.push(line);
    }
    sheet.cautions(entries);
}

fn diagonal(sheet: &mut SheetBuilder, plan: &Plan) -> FigureId {
    let fan = sheet.job.fan;
    let length = sheet.fan_sheet(key("opening, along the joists"), fan.opening.length);
    let width = sheet.fan_sheet(key("opening, across the joists"), fan.opening.width);
    sheet.figure(
        key("diagonals of the opening"),
        plan.layout.diagonal,
        phrase(key("square root of {a}² + {b}²"))
            .with("a", length)
            .with("b", width),
        [
            Root::Figure(length),
            Root::Figure(width),
            Root::Source(PYTHAGORAS),
        ],
    )
}

fn set_back(sheet: &mut SheetBuilder, plan: &Plan) -> FigureId {
    sheet.figure(
        key("set-back of a cut from the opening's edge"),
        plan.layout.set_back,
        phrase(key("pieces in the header × their thickness")),
        [Root::Rule("joist-strength"), Root::Source(SET_BACK)],
    )
}

fn glance_rows(sheet: &mut SheetBuilder, plan: &Plan) -> Vec<(&'static str, Line)> {
    let layout = &plan.layout;
    let fan = sheet.job.fan;
    let length = sheet.fan_sheet(key("opening, along the joists"), fan.opening.length);
    let width = sheet.fan_sheet(key("opening, across the joists"), fan.opening.width);
    let (down, across) = match layout.axis {
        Axis::Ahead => (length, width),
        Axis::Left => (width, length),
    };
    let diagonal = diagonal(sheet, plan);
    let weight = sheet.fan_sheet(key("weight"), number(fan.weight.lb(), "lb", 0));
    let boxed = |it: crate::trade::fan::Boxed| {
        let value = crate::rules::Say::new(key("{length} × {width} × {height}"))
            .with("length", it.length)
            .with("width", it.width)
            .with("height", it.height);
        Arg::Say(Box::new(value))
    };
    let frame = sheet.fan_size(
        key("fan on its frame, along × across × high"),
        boxed(fan.frame),
    );
    let piece = sheet.fan_sheet(key("largest piece to carry up"), boxed(fan.largest_piece()));
    let mut rows = vec![
        (
            key("Opening, down the hall × across it"),
            sheet.line(
                phrase(key("{down} × {across}"))
                    .with("down", down)
                    .with("across", across),
            ),
        ),
        (
            key("Both diagonals; alike means square"),
            sheet.shown(diagonal),
        ),
        (key("Fan on its frame"), sheet.shown(frame)),
        (key("Largest piece to carry up"), sheet.shown(piece)),
        (key("Weight of the fan"), sheet.shown(weight)),
    ];
    let joists = match (sheet.job.choice.framing, layout.cuts.len()) {
        (Framing::Whole, _) => sheet.line(
            phrase(key("left whole; across the opening: {count}"))
                .with("count", layout.standing.len()),
        ),
        (Framing::Cut, 0) => sheet.line(key("none cut; the opening lies between two")),
        (Framing::Cut, count) => sheet.line(
            phrase(key(
                "{count} cut and headed; headers {headers}, trimmers {trimmers}",
            ))
            .with("count", count)
            .with("headers", layout.plies.headers.label())
            .with("trimmers", layout.plies.trimmers.label()),
        ),
    };
    rows.push((key("Joists"), joists));
    rows
}

fn at_a_glance(sheet: &mut SheetBuilder, plan: &Plan) {
    sheet.section(key("The opening at a glance"));
    let rows = glance_rows(sheet, plan);
    sheet.facts(rows);
}

/// A distance of a hole from one wall.
fn from_wall(sheet: &mut SheetBuilder, name: &'static str, value: Length, start: bool) -> FigureId {
    let mark = sheet.at_spot(if start {
        "hall.mark_from_start"
    } else {
        "hall.mark_from_left"
    });
    let mut roots: Vec<Root> = mark.into_iter().map(Root::Figure).collect();
    roots.push(Root::Rule("place"));
    roots.push(Root::FanSheet(key("opening")));
    let how = if start {
        key(
            "mark from the start wall, plus the opening's place ahead of the mark, plus or minus half its size down the hall",
        )
    } else {
        key(
            "mark from the left wall, less the opening's place to the left of the mark, plus or minus half its size across the hall",
        )
    };
    let wall = if start {
        key("{hole}, from the start wall")
    } else {
        key("{hole}, from the left wall")
    };
    sheet.figure(phrase(wall).with("hole", name), value, phrase(how), roots)
}

/// The figures of the middle hole: to the faces of the joists beside it, on either side.
struct Holes {
    faces: [FigureId; 2],
}

fn holes(sheet: &mut SheetBuilder, plan: &Plan) -> Holes {
    let layout = &plan.layout;
    sheet.section(key("Where to drill"));
    sheet.say(key(
        "The reference corner is where the wall at the start of the hall meets its left wall, as one looks down the hall from its start. Measure each hole from both walls. Walls are seldom square: after the middle hole, the joists count, not the walls.",
    ));
    let drawing = opening::on_ceiling(sheet.job, layout);
    sheet.picture(key("Opening on the ceiling"), drawing, 600.0);
    let all: Vec<(&'static str, OnCeiling)> = layout
        .corners
        .iter()
        .copied()
        .zip(HOLES)
        .map(|(at, name)| (name, at))
        .chain([(key("hole 5, the middle"), layout.middle)])
        .collect();
    let mut rows = Vec::new();
    for (name, at) in all {
        let start = from_wall(sheet, name, at.from_start, true);
        let left = from_wall(sheet, name, at.from_left, false);
        let corner = sheet.figure(
            phrase(key("{hole}, straight from the corner")).with("hole", name),
            at.from_corner(),
            phrase(key("square root of {a}² + {b}²"))
                .with("a", start)
                .with("b", left),
            [
                Root::Figure(start),
                Root::Figure(left),
                Root::Source(PYTHAGORAS),
            ],
        );
        rows.push(vec![
            sheet.line(name),
            sheet.shown(start),
            sheet.shown(left),
            sheet.shown(corner),
        ]);
    }
    sheet.table(
        &[
            (key("Hole"), 2.6, false),
            (key("From the start wall"), 1.5, true),
            (key("From the left wall"), 1.5, true),
            (key("Straight from the corner"), 1.6, true),
        ],
        rows,
    );
    let middle = match layout.axis {
        Axis::Ahead => layout.mark.from_left - layout.middle.from_left,
        Axis::Left => layout.middle.from_start - layout.mark.from_start,
    };
    let mut face = |what: &'static str, value: Length| {
        sheet.figure(
            what,
            value,
            phrase(key(
                "from the opening's middle to the nearer face of the joist that stays on that side",
            )),
            [
                Root::Rule("place"),
                Root::Answer(FieldRef::spot("attic.nearest_joist", sheet.job.spot.id)),
            ],
        )
    };
    let faces = match layout.axis {
        Axis::Ahead => [
            face(
                key("middle hole to the joist on the left"),
                layout.bay.high - middle,
            ),
            face(
                key("middle hole to the joist on the right"),
                middle - layout.bay.low,
            ),
        ],
        Axis::Left => [
            face(
                key("middle hole to the joist ahead"),
                layout.bay.high - middle,
            ),
            face(
                key("middle hole to the joist behind"),
                middle - layout.bay.low,
            ),
        ],
    };
    Holes { faces }
}

const HOLES: [&str; 4] = [
    key("hole 1, start and left"),
    key("hole 2, start and right"),
    key("hole 3, far and right"),
    key("hole 4, far and left"),
];

fn frame(sheet: &mut SheetBuilder, plan: &Plan) {
    let layout = &plan.layout;
    sheet.section(key("The frame"));
    let joists = sheet
        .job
        .scene
        .joists
        .known
        .as_ref()
        .map_or(&[][..], |it| &it.offsets);
    let drawing = opening::frame(layout, joists);
    sheet.picture(key("Frame in the attic, seen from above"), drawing, 470.0);
    if layout.cuts.is_empty() {
        return;
    }
    sheet.part(key("Joist cuts"));
    let length = sheet.fan_sheet(
        key("opening, along the joists"),
        sheet.job.fan.opening.length,
    );
    let back = set_back(sheet, plan);
    let mut rows = Vec::new();
    for cut in &layout.cuts {
        let out = sheet.figure(
            key("length of joist cut out"),
            cut.out.length(),
            phrase(key("{opening} + 2 × {back}"))
                .with("opening", length)
                .with("back", back),
            [
                Root::Figure(length),
                Root::Figure(back),
                Root::Source(SET_BACK),
            ],
        );
        let mut bearing = |value: Length, near: bool| {
            let roots = [
                Root::Answer(FieldRef::spot("attic.mark_from_bearing", sheet.job.spot.id)),
                Root::Answer(FieldRef::spot("attic.bearing_span", sheet.job.spot.id)),
                Root::Rule("place"),
                Root::Figure(back),
            ];
            let (what, how) = if near {
                (
                    key("near cut from the bearing behind or right"),
                    key(
                        "mark from that bearing, plus the opening's near edge along the joists, less the set-back",
                    ),
                )
            } else {
                (
                    key("far cut from the other bearing"),
                    key(
                        "span less the mark from the bearing, less the opening's far edge along the joists, less the set-back",
                    ),
                )
            };
            let figure = sheet.figure(what, value, phrase(how), roots);
            sheet.shown(figure)
        };
        let (near, far) = match cut.from_bearings {
            Some([near, far]) => (bearing(near, true), bearing(far, false)),
            None => (Line::default(), Line::default()),
        };
        let side = sheet.figure(
            key("cut joist's middle from the mark"),
            cut.joist.abs(),
            phrase(key("from the survey's joists")),
            [Root::Rule("place")],
        );
        let where_ = match (layout.axis, cut.joist.is_negative()) {
            _ if cut.joist.is_zero() => sheet.line(key("over the mark")),
            (Axis::Ahead, false) => {
                sheet.line(phrase(key("{by} to the left of the mark")).with("by", side))
            }
            (Axis::Ahead, true) => {
                sheet.line(phrase(key("{by} to the right of the mark")).with("by", side))
            }
            (Axis::Left, false) => {
                sheet.line(phrase(key("{by} ahead of the mark")).with("by", side))
            }
            (Axis::Left, true) => {
                sheet.line(phrase(key("{by} back from the mark")).with("by", side))
            }
        };
        rows.push(vec![where_, sheet.shown(back), near, far, sheet.shown(out)]);
    }
    sheet.table(
        &[
            (key("Joist"), 2.2, false),
            (key("Set back each side"), 1.4, true),
            (key("Near cut, from the bearing behind or right"), 1.8, true),
            (key("Far cut, from the other bearing"), 1.6, true),
            (key("Comes out"), 1.3, true),
        ],
        rows,
    );
    sheet.note(key(
        "Set a cut back by what the header really measures: the thickness of the pieces in your hand goes before this table.",
    ));
}

fn roots_of(row: &Row) -> Vec<Root> {
    match row.used {
        Use::Header | Use::Packing | Use::Side | Use::EndBlock => vec![
            Root::Rule("place"),
            Root::Rule("joist-strength"),
            Root::FanSheet(key("opening")),
        ],
        Use::Ledger => vec![Root::Rule("opening-framing")],
        Use::Doubler => vec![Root::Rule("joist-strength")],
        Use::Temporary => vec![Root::Rule("place"), Root::Source(BOARDS)],
        Use::FacingEnd | Use::FacingSide => {
            vec![Root::FanSheet(key("opening")), Root::Source(FACING)]
        }
        Use::QuietEnd | Use::QuietSide => vec![Root::FanSheet(key("fan frame"))],
    }
}

const fn how_long(used: Use) -> &'static str {
    match used {
        Use::Header | Use::Ledger => key("clear between the faces of the joists that stay"),
        Use::Doubler => key("bearing to bearing, and what rests on both bearings"),
        Use::Side | Use::Packing => key("as long as the opening along the joists"),
        Use::EndBlock => key("clear between two joists, or a joist and its double"),
        Use::Temporary => key("over the joists beside the opening, and 6 in past each"),
        Use::FacingEnd => key("as long as the opening is wide"),
        Use::FacingSide => key("as long as the opening, plus twice the board's width"),
        Use::QuietEnd => key("the fan frame's width less two boards' thickness"),
        Use::QuietSide => key("the fan frame's length"),
    }
}

fn length_of(sheet: &mut SheetBuilder, row: &Row) -> FigureId {
    sheet.figure(
        phrase(key("length: {what}")).with("what", labels::used(row.used)),
        row.length,
        how_long(row.used),
        roots_of(row),
    )
}

/// The length of the pieces of this use, as a figure to lean on.
fn length_used(sheet: &mut SheetBuilder, plan: &Plan, used: Use) -> Option<FigureId> {
    let row = plan.cut_list.rows.iter().find(|it| it.used == used)?;
    Some(length_of(sheet, row))
}

/// What pieces are cut from; measured sizes lead to the rule that asks for them.
fn size_cell(sheet: &mut SheetBuilder, size: Size) -> Line {
    let text = labels::size(size);
    match size {
        Size::TwoByTwo | Size::Nominal(_) => sheet.bare(text),
        Size::Packing { .. } => sheet.led_by_rule(text, "place"),
        Size::Measured { .. } => sheet.led_by_rule(text, "joist-strength"),
    }
}

fn rows_of(sheet: &mut SheetBuilder, list: &CutList) -> Vec<Vec<Line>> {
    list.rows
        .iter()
        .map(|row| {
            let length = length_of(sheet, row);
            vec![
                sheet.led(row.count, length),
                size_cell(sheet, row.size),
                sheet.shown(length),
                Line::plain(format!("{:.0}°", row.ends.deg())),
                sheet.line(labels::used(row.used)),
            ]
        })
        .collect()
}

const CUT_COLUMNS: &[(&str, f32, bool)] = &[
    (key("Pieces"), 0.8, true),
    (key("From"), 1.8, false),
    (key("Length of each"), 1.4, true),
    (key("Ends"), 1.0, true),
    (key("For"), 3.4, false),
];

fn cut_list(sheet: &mut SheetBuilder, plan: &Plan) {
    sheet.section(key("Cut list"));
    sheet.note(key(
        "Joist lumber is of the joists' own size, species and grade, or better. Measure each place before you cut its piece.",
    ));
    let rows = rows_of(sheet, &plan.cut_list);
    sheet.table(CUT_COLUMNS, rows);
    sheet.part(key("Boards to buy"));
    to_buy(sheet, &plan.cut_list);
    sheet.part(key("Quiet box, where it is ordered"));
    sheet.say(key(
        "A box of 2 × 6 on edge under the fan's frame, on the facing boards with the foam strip between, keeps its hum out of the joists.",
    ));
    let rows = rows_of(sheet, &plan.quiet_box);
    sheet.table(CUT_COLUMNS, rows);
    to_buy(sheet, &plan.quiet_box);
}

fn to_buy(sheet: &mut SheetBuilder, list: &CutList) {
    let mut rows = Vec::new();
    for it in &list.buy {
        let size = labels::size(it.size);
        // A piece on a board leads to where its length comes from.
        let piece = |sheet: &mut SheetBuilder, length: Length| {
            let mut alike = list.rows.iter();
            let row = alike.find(|row| row.size == it.size && row.length == length);
            match row {
                Some(row) => {
                    let to = length_of(sheet, row);
                    sheet.led(length, to)
                }
                None => sheet.bare(length),
            }
        };
        match &it.boards {
            Ok(shopping) => {
                for board in &shopping.boards {
                    let stock = sheet.figure(
                        phrase(key("board to buy, {size}")).with("size", size.clone()),
                        crate::rules::number(board.stock.to_ft(), "ft", 0),
                        phrase(key(
                            "least length bought for all pieces of this size, tried to the end; each saw cut takes {kerf}",
                        ))
                        .with("kerf", KERF),
                        [Root::Source(STOCK)],
                    );
                    let mut pieces = Line::default();
                    for (index, length) in board.pieces.iter().enumerate() {
                        if index > 0 {
                            pieces = pieces.then(Line::plain(" + "));
                        }
                        pieces = pieces.then(piece(sheet, *length));
                    }
                    rows.push(vec![size_cell(sheet, it.size), sheet.shown(stock), pieces]);
                }
            }
            Err(error) => rows.push(vec![
                size_cell(sheet, it.size),
                Line::default(),
                Line::plain(error.to_string()),
            ]),
        }
        for order in &it.to_order {
            let length = piece(sheet, order.length);
            rows.push(vec![
                size_cell(sheet, it.size),
                sheet.line(key("to order")),
                sheet.line(
                    phrase(key(
                        "{count} of {length}: longer than boards are usually sold",
                    ))
                    .with("count", order.count)
                    .with("length", length),
                ),
            ]);
        }
    }
    if !rows.is_empty() {
        sheet.table(
            &[
                (key("Size"), 1.6, false),
                (key("Board"), 1.0, true),
                (key("Cut from it"), 4.5, false),
            ],
            rows,
        );
    }
}

fn materials(sheet: &mut SheetBuilder, plan: &Plan) {
    let it = &plan.materials;
    sheet.section(key("Fasteners and the rest"));
    let mut rows = Vec::new();
    for kind in &it.fasteners {
        for nailing in &kind.nailings {
            let places = if nailing.each == 1 {
                nailing.places.to_string()
            } else {
                format!("{} × {}", nailing.places, nailing.each)
            };
            let count = sheet.figure(
                phrase(key("{fastener}: {joint}"))
                    .with("fastener", labels::fastener(kind.kind))
                    .with("joint", labels::joint(nailing.joint)),
                nailing.count(),
                phrase(key("places × fasteners at each: {places}")).with("places", places.clone()),
                [Root::Source(nailing.source)],
            );
            rows.push(vec![
                sheet.line(labels::fastener(kind.kind)),
                sheet.line(labels::joint(nailing.joint)),
                sheet.led(places, count),
                sheet.shown(count),
            ]);
        }
        let take = sheet.figure(
            phrase(key("{fastener}, to take along")).with("fastener", labels::fastener(kind.kind)),
            kind.to_take(),
            phrase(key("all of them, and one spare in ten")),
            [Root::Source(Source::practice(
                "one fastener in ten is bent or dropped",
            ))],
        );
        let weight = kind.weight_sold().map(|sold| {
            sheet.figure(
                phrase(key("{fastener}, weight")).with("fastener", labels::fastener(kind.kind)),
                number(sold.lb(), "lb", 1),
                phrase(key("count × one nail's weight, up to the next half pound")),
                [Root::Source(NAIL_WEIGHT), Root::Source(NAIL_SIZES)],
            )
        });
        let sum = match (kind.kind, weight) {
            (Fastener::DeckScrew, _) | (_, None) => sheet.line(key("to take along, spares in it")),
            (_, Some(weight)) => sheet
                .line(phrase(key("to take along, spares in it: {weight}")).with("weight", weight)),
        };
        rows.push(vec![
            Line::default(),
            sum.strong(),
            Line::default(),
            sheet.shown(take).strong(),
        ]);
    }
    sheet.table(
        &[
            (key("Fastener"), 2.4, false),
            (key("Where"), 3.2, false),
            (key("Places"), 1.0, true),
            (key("Count"), 0.9, true),
        ],
        rows,
    );
    sheet.note(key(
        "Screws are no stand-in for nails in the frame: only screws listed for structural use, driven as their listing says.",
    ));
    others(sheet, plan);
}

fn others(sheet: &mut SheetBuilder, plan: &Plan) {
    let it = &plan.materials;
    let fan = sheet.job.fan;
    let mut rows: Vec<(&'static str, Line)> = Vec::new();
    if let Some(hangers) = it.hangers {
        let text = if hangers.required {
            key("{count}, for headers: {pieces}; the code asks for them here")
        } else {
            key("{count}, for headers: {pieces}; better than nails alone at the headers' ends")
        };
        let count = sheet.figure(
            key("approved hangers"),
            hangers.count,
            phrase(key("one at each end of each header")),
            [Root::Rule("opening-framing")],
        );
        let line = sheet.line(
            phrase(text)
                .with("count", count)
                .with("pieces", hangers.plies.label()),
        );
        rows.push((key("Approved hangers"), line));
    }
    let foam = sheet.figure(
        key("foam strip"),
        it.foam,
        phrase(key("once round the fan's frame")),
        [Root::FanSheet(key("fan frame"))],
    );
    rows.push((key("Foam strip between fan and frame"), sheet.shown(foam)));
    if let Some(dam) = it.dam {
        let height = sheet.figure(
            key("height of the dam over the joists"),
            dam.height,
            phrase(key("depth of the insulation less the joists' depth")),
            [Root::Rule("insulation-clearance")],
        );
        let round = sheet.figure(
            key("length of the dam in all"),
            dam.round,
            phrase(key(
                "once round the fan's frame, {clear} clear on every side",
            ))
            .with("clear", FROM_MOTOR),
            [
                Root::FanSheet(key("fan frame")),
                Root::Rule("insulation-clearance"),
            ],
        );
        let line = sheet.line(
            phrase(key("{height} high over the joists, {round} long in all"))
                .with("height", height)
                .with("round", round),
        );
        rows.push((key("Insulation dam of wood"), line));
    }
    let moved: Vec<Line> = it
        .patches
        .iter()
        .map(|(down, across)| {
            let size = Say::new(key("{down} × {across}"))
                .with("down", *down)
                .with("across", *across);
            sheet.led_by_rule(size, "place")
        })
        .collect();
    let patches = if moved.is_empty() {
        sheet.line(key(
            "none: the shutter's frame covers the cut edge and the holes at the corners",
        ))
    } else {
        let mut line = sheet.line(key("where something on the ceiling was moved: "));
        for (index, one) in moved.into_iter().enumerate() {
            if index > 0 {
                line = line.then(Line::plain("; "));
            }
            line = line.then(one);
        }
        line
    };
    rows.push((key("Ceiling patches"), patches));
    let wires = sheet.ruled("circuit", "wires from switch to fan, ground not counted");
    if let Some(wires) = wires {
        let line = sheet.line(
            phrase(key(
                "{wires} and a ground from the switch to the fan; length and size stand on the electrician's sheet",
            ))
            .with("wires", wires),
        );
        rows.push((key("Cable"), line));
    }
    let shutter = sheet.fan_sheet(
        key("shutter, along × across the joists"),
        Arg::Say(Box::new(
            crate::rules::Say::new(key("{length} × {width}"))
                .with("length", fan.shutter.length)
                .with("width", fan.shutter.width),
        )),
    );
    rows.push((key("Shutter on the ceiling"), sheet.shown(shutter)));
    let blade = sheet.fan_size(key("blade diameter"), fan.blade);
    let swept = sheet.figure(
        key("free area of the shutter, at least"),
        number(fan.swept_area().ft2(), "ft²", 1),
        key("as much as the fan's blades sweep; less makes the fan weak and the shutter loud"),
        [Root::Figure(blade), Root::Source(SHUTTER)],
    );
    rows.push((
        key("Free area of the shutter, at least"),
        sheet.shown(swept),
    ));
    sheet.facts(rows);
}

/// What must be mended first, by others than electricians.
fn first_work(sheet: &mut SheetBuilder) {
    let mut entries = Vec::new();
    for finding in sheet.job.that(Outcome::Mend) {
        if labels::POWER_RULES.contains(&finding.rule)
            || ["opening-framing", "joist-strength"].contains(&finding.rule)
        {
            continue;
        }
        entries.extend(sheet.remedies(finding));
    }
    if !entries.is_empty() {
        sheet.section(key("Work that comes first"));
        sheet.list(Marks::Boxes, entries);
    }
}

fn order_of_work(sheet: &mut SheetBuilder, plan: &Plan, holes: &Holes) {
    let layout = &plan.layout;
    let tolerance = sheet.led_by_rule(sheet.job.scene.tolerance(), "place");
    let diagonal = diagonal(sheet, plan);
    let clear = sheet.led_by_rule(FROM_MOTOR, "insulation-clearance");
    let back = set_back(sheet, plan);
    // What a board is laid by leads to where its length comes from.
    let mut by = |used: Use, text: Arg| match length_used(sheet, plan, used) {
        Some(to) => sheet.led(text, to),
        None => sheet.bare(text),
    };
    let beyond = by(Use::Temporary, BEYOND_CUT.into());
    let lap = by(Use::Temporary, LAP.into());
    let facing = by(Use::FacingEnd, facing_width().into());
    let doubled = layout.of(Use::Doubler).count();
    let doublers = by(Use::Doubler, doubled.into());
    let cuts = !layout.cuts.is_empty();
    sheet.section(key("Order of work"));
    let mut steps: Vec<Line> = Vec::new();
    let mut step = |sheet: &SheetBuilder, it: super::builder::Phrase| steps.push(sheet.line(it));
    step(
        sheet,
        phrase(key(
            "Permit in the house, engineer's paper where one is asked for, cautions read aloud. Dust sheets, doors shut, furnace and air handler off.",
        )),
    );
    step(
        sheet,
        phrase(key(
            "Power off at the panel, locked; test. Keep lamps on another circuit or on batteries.",
        )),
    );
    step(
        sheet,
        phrase(key(
            "Drill hole 5, the middle, and push a wire up. In the attic measure from the wire to the joists' faces: {first} and {second}. Where either is off by more than {tolerance}, stop and measure again; nothing on this sheet holds then.",
        ))
        .with("first", holes.faces[0])
        .with("second", holes.faces[1])
        .with("tolerance", tolerance),
    );
    step(
        sheet,
        phrase(key(
            "Drill holes 1 to 4 along the joists, not along the walls. Measure both diagonals: {diagonal} each.",
        ))
        .with("diagonal", diagonal),
    );
    step(
        sheet,
        phrase(key(
            "Lay boards to kneel on. Clear insulation to {clear} round the fan's frame and build the dam.",
        ))
        .with("clear", clear),
    );
    if cuts {
        step(
            sheet,
            phrase(key(
                "Lay the temporary boards across the joists, {beyond} beyond each cut, lapping {lap} or more over the next joists: two screws in each joist to be cut, one in each next one.",
            ))
            .with("beyond", beyond)
            .with("lap", lap),
        );
    }
    if doubled > 0 && cuts {
        step(
            sheet,
            phrase(key(
                "Bring the {count} doubling pieces up and try them in their places before anything is cut; see first whether such lengths pass the hatch or a gable. Where the headers will hang in hangers, nail them on now, from bearing to bearing.",
            ))
            .with("count", doublers.clone()),
        );
    } else if doubled > 0 {
        step(
            sheet,
            phrase(key(
                "Double the joists: {count} pieces, from bearing to bearing, tight against the joist, nailed before anything is cut. See first whether such lengths pass the hatch or a gable.",
            ))
            .with("count", doublers),
        );
    }
    step(
        sheet,
        phrase(key(
            "Cut the ceiling board from hole to hole, the saw no deeper than the board. Somebody below holds it as it comes free.",
        )),
    );
    if cuts {
        step(
            sheet,
            phrase(key(
                "Cut the joists as the table says, {back} back from the opening on both sides, square. Two people take each piece out.",
            ))
            .with("back", back),
        );
        step(
            sheet,
            phrase(key(
                "Set the headers square to the joists, flush with their tops and bottoms. Hang their ends, or nail them through the trimmers, before a second piece is added to either; then the cut joists to the headers, then a second piece to a header of two.",
            )),
        );
        if doubled > 0 {
            step(
                sheet,
                phrase(key(
                    "Nailed headers: put the doubling pieces on the trimmers now, from bearing to bearing, before any weight comes on the frame.",
                )),
            );
        }
    } else if layout.framing == Framing::Whole {
        step(
            sheet,
            phrase(key(
                "Leave every joist whole. Set the blocks between the joists at both ends of the opening, so that no air goes off between the joists.",
            )),
        );
    } else {
        step(
            sheet,
            phrase(key(
                "Set the pieces across the opening's ends between the two joists, flush with their tops and bottoms.",
            )),
        );
    }
    step(
        sheet,
        phrase(key(
            "Set side pieces and packing, measure the diagonals again, nail the ceiling board to the new frame, nails at most 7 in apart.",
        )),
    );
    step(
        sheet,
        phrase(key(
            "Lay the facing boards, {width} wide, flush with the opening. Seal every gap round the opening with caulk or foam whose label says that it is for fireblocking.",
        ))
        .with("width", facing),
    );
    if cuts {
        step(
            sheet,
            phrase(key(
                "Only now, with all nails and hangers in, take the temporary boards off.",
            )),
        );
    }
    step(
        sheet,
        phrase(key(
            "Foam strip, quiet box where it is ordered, then the fan: lifted, not dropped; two fasteners on each side, no more tightly than the foam allows.",
        )),
    );
    if layout.framing == Framing::Whole && !layout.standing.is_empty() {
        let job = sheet.job;
        let vane = job
            .place
            .as_ref()
            .and_then(|place| Some((place, place.vane(job.fan.fixed_vane, layout.axis)?)));
        let hang = match vane {
            None => phrase(key(
                "Hang the shutter so that its fixed vane lies under the joist in the middle.",
            )),
            Some((place, (by, way))) => phrase(if place.turned {
                key(
                    "Hang the shutter half a turn from the way its sheet shows it, so that its fixed vane lies under the joist {by} {way} from the opening's middle.",
                )
            } else {
                key(
                    "Hang the shutter the way its sheet shows it, so that its fixed vane lies under the joist {by} {way} from the opening's middle.",
                )
            })
            .with("by", by)
            .with("way", way.label()),
        };
        step(sheet, hang);
    } else {
        step(
            sheet,
            phrase(key("Hang the shutter; every vane swings free.")),
        );
    }
    step(
        sheet,
        phrase(key("The electrician connects, by the electrician's sheet.")),
    );
    step(
        sheet,
        phrase(key(
            "Blades free by hand, guard on, nothing in the shutter, nobody's hands near: then power. Windows open first. Low speed, then high.",
        )),
    );
    step(
        sheet,
        phrase(key(
            "With the fan on high look at every flue and chimney: where smoke or hot gas comes back, fan off at once, and it stays off. Test smoke and carbon monoxide alarms.",
        )),
    );
    step(
        sheet,
        phrase(key(
            "Insulation back round the dam, air path at the eaves open, house swept, customer shown how to live with the fan.",
        )),
    );
    sheet.list(Marks::Numbers, steps);
}

/// Plan and section with what stands around.
fn surroundings(sheet: &mut SheetBuilder) {
    let job = sheet.job;
    let chosen = job.place.as_ref().map(|place| (job.fan, place));
    sheet.section(key("What stands around"));
    let plan = crate::drawing::plan(job.spot.id, &job.scene, chosen);
    let section = crate::drawing::section(
        job.spot.id,
        &job.spot.hall,
        &job.spot.attic,
        &job.scene,
        chosen,
    );
    for (title, drawing) in [
        (key("Plan, seen from above"), plan),
        (key("Section"), section),
    ] {
        let open: Vec<&'static str> = drawing.open.clone();
        sheet.picture(title, drawing, 520.0);
        if !open.is_empty() {
            let mut line = sheet.line(key("Not drawn, because it is not measured yet: "));
            for (index, it) in open.into_iter().enumerate() {
                if index > 0 {
                    line = line.then(Line::plain("; "));
                }
                line = line.then(sheet.line(it));
            }
            sheet.put(crate::typeset::document::Block::Note(line));
        }
    }
}

/// What the findings warn of.
fn mind(sheet: &mut SheetBuilder) {
    let findings: Vec<&Finding> = sheet
        .job
        .findings()
        .filter(|it| {
            !labels::POWER_RULES.contains(&it.rule) && !labels::LIVING_RULES.contains(&it.rule)
        })
        .collect();
    let entries = sheet.warnings(findings);
    if !entries.is_empty() {
        sheet.section(key("To mind in this house"));
        sheet.cautions(entries);
    }
}
