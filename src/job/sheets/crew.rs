//! The crew's sheet: the first page is enough to build from, the second is for looking things up.

use super::builder::{Root, SheetBuilder, key, phrase};
use super::{labels, opening};
use crate::job::Plan;
use crate::job::boards::KERF;
use crate::job::cutlist::{CutList, Row, Size};
use crate::job::layout::{BEYOND_CUT, LAP, OnCeiling, Use};
use crate::job::materials::Fastener;
use crate::job::steps::Step;
use crate::measure::Length;
use crate::rules::{Arg, Framing, Outcome, Say, Who, number};
use crate::survey::{FieldRef, Subject};
use crate::trade::insulation_clearance::FROM_MOTOR;
use crate::trade::source::{Source, Status};
use crate::typeset::document::{Block, Document, FigureId, Line, Marks};

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

pub(super) fn write(mut sheet: SheetBuilder, tight: u8) -> (Document, SheetBuilder) {
    let nothing = sheet.nothing_to_build();
    if let (false, Some(plan)) = (nothing, sheet.job.plan.as_ref()) {
        first(&mut sheet);
        opening_and_holes(&mut sheet, plan, tight);
        lists(&mut sheet, plan);
        order_of_work(&mut sheet, plan);
        if tight >= 2 {
            // A house with more to say has them first on the second page.
            sheet.put(Block::NewPage);
            cautions(&mut sheet);
        } else {
            cautions(&mut sheet);
            sheet.put(Block::NewPage);
        }
        look_up(&mut sheet, plan, tight);
    } else {
        cautions(&mut sheet);
        surroundings(&mut sheet, 360.0);
    }
    sheet.finish("crew", "C", key("Crew sheet"))
}

/// What comes before the first cut, and who does it.
fn first(sheet: &mut SheetBuilder) {
    let job = sheet.job;
    let mut entries = Vec::new();
    let mut others = Vec::new();
    for finding in job.that(Outcome::Mend) {
        for remedy in &finding.remedies {
            let line = sheet.line(&remedy.what).then(sheet.by_rule(finding.rule));
            if remedy.who == Who::Engineer {
                let who = sheet.line(key("Engineer, in writing: ")).strong();
                entries.push(who.then(line));
                continue;
            }
            // Framing stands in the order of work; wires and vents on sheets of their own.
            let elsewhere = labels::POWER_RULES.contains(&finding.rule)
                || labels::VENT_RULES.contains(&finding.rule)
                || ["opening-framing", "joist-strength", "insulation-clearance"]
                    .contains(&finding.rule);
            if !elsewhere {
                let who = sheet.t(remedy.who.label());
                others.push(Line::plain(format!("{who}: ")).strong().then(line));
            }
        }
    }
    entries.dedup();
    let office = sheet.line(key("Office: ")).strong();
    let permit = if job.fan.rest_status == Status::Invented {
        let size = |it: &SheetBuilder, length: Length, width: Length| {
            it.bare(
                Say::new(key("{length} × {width}"))
                    .with("length", length)
                    .with("width", width),
            )
        };
        let opening = size(sheet, job.fan.opening.length, job.fan.opening.width);
        let frame = size(sheet, job.fan.frame.length, job.fan.frame.width);
        sheet.line(
            phrase(key(
                "permit on site. This fan's sizes are made up for trying out: measure the fan that came. Opening {opening}, frame {frame}. One differs: STOP, call.",
            ))
            .with("opening", opening)
            .with("frame", frame),
        )
    } else {
        sheet.line(key("permit on site. Measure the fan that came against this sheet. One size differs: STOP, call."))
    };
    entries.push(office.then(permit));
    let plan = job.plan.as_ref();
    if plan.is_some_and(|it| !it.vents.is_empty()) {
        let who = sheet.line(key("Vents, sheet V: ")).strong();
        let say = sheet.line(key(
            "vents added before the fan first runs. Done? Sheet V signed.",
        ));
        entries.push(who.then(say).then(sheet.by_rule("exhaust-vents")));
    }
    let who = sheet.line(key("Electrician, sheet E: ")).strong();
    let say = sheet.line(key("power off, locked, tested before the first hole."));
    entries.push(who.then(say));
    for (_, off) in plan.map_or(&[][..], |it| &it.alarms) {
        let who = sheet.line(key("Electrician, sheet E: ")).strong();
        let off = sheet.led_by_rule(*off, "smoke-alarms");
        let say =
            phrase(key("move the smoke alarm: it is {off} from the shutter.")).with("off", off);
        entries.push(who.then(sheet.line(say)));
    }
    entries.extend(others);
    let aside = sheet.line(key("before you cut"));
    sheet.section_with(key("First"), aside);
    sheet.put(Block::List {
        marks: Marks::Boxes,
        entries,
        columns: 2,
    });
}

/// A distance of a hole from one wall.
fn from_wall(sheet: &mut SheetBuilder, name: &str, value: Length, start: bool) -> FigureId {
    let mark = sheet.at_spot(if start {
        "hall.mark_from_start"
    } else {
        "hall.mark_from_left"
    });
    let mut roots: Vec<Root> = mark.into_iter().map(Root::Figure).collect();
    roots.push(Root::Rule("place"));
    roots.push(Root::FanSheet(key("opening")));
    let (wall, how) = if start {
        (
            key("{hole}, from the start wall"),
            key("mark from the start wall, plus its place ahead of the mark"),
        )
    } else {
        (
            key("{hole}, from the left wall"),
            key("mark from the left wall, less its place to the left of the mark"),
        )
    };
    let wall = phrase(wall).with("hole", name.to_owned());
    sheet.figure(wall, value, phrase(how), roots)
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

/// From the probe to the joists' faces beside it.
fn faces(sheet: &mut SheetBuilder, plan: &Plan) -> [FigureId; 2] {
    let spot = sheet.job.spot.id;
    let names = [
        key("from P to the nearest joist face, one way"),
        key("from P to the nearest joist face, the other way"),
    ];
    let mut names = names.into_iter();
    plan.layout.probe_to_faces.map(|value| {
        sheet.figure(
            names.next().unwrap_or_default(),
            value,
            phrase(key("where the joist was measured, less where P goes")),
            [
                Root::Rule("place"),
                Root::Answer(FieldRef::spot("attic.nearest_joist", spot)),
            ],
        )
    })
}

fn opening_and_holes(sheet: &mut SheetBuilder, plan: &Plan, tight: u8) {
    let layout = &plan.layout;
    let mut left = sheet.apart();
    let aside = left.line(key("seen from above, in the attic"));
    left.section_with(key("Opening and frame"), aside);
    let drawing = opening::opening(left.job, plan);
    let legend = drawing.inks();
    let (width, height) = match tight {
        0 | 2 => (402.0, 400.0),
        1 | 3 => (402.0, 330.0),
        _ => (402.0, 240.0),
    };
    left.picture(drawing, width, height);
    let mut right = left.beside();
    let aside = right.line(key("P first"));
    right.section_with(key("Find it"), aside);
    let mut rows = Vec::new();
    let names: [(&'static str, OnCeiling); 5] = [
        (key("P, probe"), layout.probe),
        (key("1, near left"), layout.corners[0]),
        (key("2, near right"), layout.corners[1]),
        (key("3, far right"), layout.corners[2]),
        (key("4, far left"), layout.corners[3]),
    ];
    for (name, at) in names {
        let told = right.t(name).to_owned();
        let start = from_wall(&mut right, &told, at.from_start, true);
        let left = from_wall(&mut right, &told, at.from_left, false);
        rows.push(vec![
            Line::plain(told).strong(),
            right.shown(start),
            right.shown(left),
        ]);
    }
    right.table(
        &[
            (key("Point"), 1.3, false),
            (key("from start wall"), 1.2, true),
            (key("from left wall"), 1.2, true),
        ],
        rows,
    );
    right.note(key(
        "Start wall: front end of the hall; left as you look down the hall from there. After P, joists rule, not walls.",
    ));
    let tolerance = right.led_by_rule(right.job.scene.tolerance(), "place");
    let aside = right.line(phrase(key("within {tolerance}")).with("tolerance", tolerance));
    right.section_with(key("Check"), aside);
    let [low, high] = faces(&mut right, plan);
    let both = right
        .shown(low)
        .then(Line::plain(" · "))
        .then(right.shown(high));
    let mut rows = vec![(key("P to the joist on either side"), both.strong())];
    let bay = right.figure(
        key("clear between the joists beside the opening"),
        layout.bay.length(),
        phrase(key(
            "from face to face of the joists that stay on both sides",
        )),
        [Root::Rule("place")],
    );
    rows.push((key("Outer joists, face to face"), right.shown(bay).strong()));
    let diagonals = diagonal(&mut right, plan);
    rows.push((key("Diagonals, both"), right.shown(diagonals).strong()));
    if !layout.cuts.is_empty() {
        let back = set_back(&mut right, plan);
        rows.push((
            key("Cut joists back from the opening"),
            right.shown(back).strong(),
        ));
        let out = layout.cuts[0].out.length();
        let length = right.fan_sheet(
            key("opening, along the joists"),
            right.job.fan.opening.length,
        );
        let out = right.figure(
            key("length of joist cut out"),
            out,
            phrase(key("{opening} + 2 × {back}"))
                .with("opening", length)
                .with("back", back),
            [
                Root::Figure(length),
                Root::Figure(back),
                Root::Source(SET_BACK),
            ],
        );
        let count = layout.cuts.len();
        let line = right.line(
            phrase(key("{count} × {out}"))
                .with("count", count)
                .with("out", out),
        );
        rows.push((key("Comes out of the joists"), line.strong()));
    }
    right.facts(rows);
    let covered: Vec<String> = (1..=4)
        .filter(|it| layout.holes[it - 1].is_none())
        .map(|it| it.to_string())
        .collect();
    if !covered.is_empty() {
        right.note(
            phrase(key(
                "Drill nothing at corner {corners}: a joist or a piece of the frame lies over it.",
            ))
            .with("corners", covered.join(", ")),
        );
    }
    right.say(key("Off by more: STOP, call. Do not shift the opening."));
    right.legend(legend);
    let columns = vec![(1.32, left.take()), (1.0, right.take())];
    sheet.join(right, columns);
}

fn roots_of(used: Use) -> Vec<Root> {
    match used {
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
        Use::DamEnd | Use::DamSide => vec![
            Root::FanSheet(key("fan frame")),
            Root::Rule("insulation-clearance"),
        ],
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
        Use::DamEnd => key("the fan frame, and 3 in clear on both sides"),
        Use::DamSide => key("the fan frame, 3 in clear and a board's thickness on both sides"),
        Use::QuietEnd => key("the fan frame's width less two boards' thickness"),
        Use::QuietSide => key("the fan frame's length"),
    }
}

fn length_of(sheet: &mut SheetBuilder, row: &Row) -> FigureId {
    sheet.figure(
        phrase(key("length: {what}")).with("what", labels::used(row.used)),
        row.length,
        how_long(row.used),
        roots_of(row.used),
    )
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
                sheet.bare(row.count),
                size_cell(sheet, row.size),
                sheet.shown(length),
                sheet.line(labels::used(row.used)),
            ]
        })
        .collect()
}

/// What is bought for a list, in one line.
fn to_buy(sheet: &mut SheetBuilder, list: &CutList) -> Line {
    let mut all = Line::default();
    for it in &list.buy {
        let mut lengths: Vec<(Length, u32)> = Vec::new();
        let boards = it.boards.iter().flat_map(|it| &it.boards);
        for board in boards {
            match lengths
                .iter_mut()
                .find(|(length, _)| *length == board.stock)
            {
                Some((_, count)) => *count += 1,
                None => lengths.push((board.stock, 1)),
            }
        }
        lengths.extend(it.to_order.iter().map(|it| (it.length, it.count)));
        for (length, count) in lengths {
            let size = labels::size(it.size);
            let value = match length.to_ft() {
                feet if feet.fract() == 0.0 => number(feet, "ft", 0),
                _ => length.into(),
            };
            let stock = sheet.figure(
                phrase(key("board to buy, {size}, {length}"))
                    .with("size", size.clone())
                    .with("length", value.clone()),
                value,
                phrase(key(
                    "least length bought for all pieces of this size, tried to the end; each saw cut takes {kerf}",
                ))
                .with("kerf", KERF),
                [Root::Source(STOCK)],
            );
            if !all.is_empty() {
                all = all.then(Line::plain(" · "));
            }
            let say = phrase(key("{size}: {count} of {length}"))
                .with("size", size)
                .with("count", count)
                .with("length", stock);
            all = all.then(sheet.line(say));
        }
    }
    all
}

fn lists(sheet: &mut SheetBuilder, plan: &Plan) {
    let mut left = sheet.apart();
    let aside = left.line(key("all ends square; measure each place first"));
    left.section_with(key("Cut list"), aside);
    let rows = rows_of(&mut left, &plan.cut_list);
    left.table(
        &[
            (key("pcs"), 0.45, true),
            (key("stock"), 2.0, false),
            (key("length"), 1.1, true),
            (key("for"), 2.6, false),
        ],
        rows,
    );
    let mut buy = to_buy(&mut left, &plan.cut_list);
    for row in &plan.cut_list.rows {
        if let Size::Packing { .. } = row.size {
            let size = size_cell(&mut left, row.size);
            let length = length_of(&mut left, row);
            let say = phrase(key("{size}: {count} of {length}"))
                .with("size", size)
                .with("count", row.count)
                .with("length", length);
            buy = buy.then(Line::plain(" · ")).then(left.line(say));
        }
    }
    let foam = left.figure(
        key("foam strip"),
        plan.materials.foam,
        phrase(key("once round the fan's frame")),
        [Root::FanSheet(key("fan frame"))],
    );
    let foam = left.line(phrase(key("foam strip {length}")).with("length", foam));
    let word = left.line(key("Buy: ")).strong();
    let line = word.then(buy).then(Line::plain(" · ")).then(foam);
    left.put(Block::Paragraph(line));
    let mut right = left.beside();
    let aside = right.line(key("nails, no screws, in the frame"));
    right.section_with(key("Fasteners"), aside);
    let mut rows = Vec::new();
    for kind in &plan.materials.fasteners {
        let mut places = Line::default();
        for (index, nailing) in kind.nailings.iter().enumerate() {
            if index > 0 {
                places = places.then(Line::plain("; "));
            }
            let what = labels::joint(nailing.joint);
            let count = right.figure(
                phrase(key("{fastener}: {joint}"))
                    .with("fastener", labels::fastener(kind.kind))
                    .with("joint", what),
                if nailing.each == 1 {
                    nailing.count()
                } else {
                    nailing.each
                },
                phrase(key("places × fasteners at each: {places}"))
                    .with("places", format!("{} × {}", nailing.places, nailing.each)),
                [Root::Source(nailing.source)],
            );
            let told = if nailing.each == 1 {
                key("{joint}, {count} in all")
            } else {
                key("{joint}, {count} each")
            };
            places = places.then(right.line(phrase(told).with("joint", what).with("count", count)));
        }
        let take = right.figure(
            phrase(key("{fastener}, to take along")).with("fastener", labels::fastener(kind.kind)),
            kind.to_take(),
            phrase(key("all of them, and one spare in ten")),
            [Root::Source(Source::practice(
                "one fastener in ten is bent or dropped",
            ))],
        );
        let mut what = right.line(labels::fastener(kind.kind));
        if let (Fastener::Nail(_), Some(weight)) = (kind.kind, kind.weight_sold()) {
            what =
                what.then(right.bare(
                    Say::new(key(" ({weight})")).with("weight", number(weight.lb(), "lb", 1)),
                ));
        }
        rows.push(vec![right.shown(take).strong(), what, places]);
    }
    if let Some(hangers) = plan.materials.hangers {
        let text = if hangers.required {
            key("headers' ends: the code asks for them here")
        } else {
            key("headers' ends: better than nails alone")
        };
        rows.push(vec![
            right.bare(hangers.count).strong(),
            right.line(
                phrase(key("approved hangers, header of {pieces}"))
                    .with("pieces", hangers.plies.label()),
            ),
            right.line(text).then(right.by_rule("opening-framing")),
        ]);
    }
    right.table(
        &[
            (key("take"), 0.45, true),
            (key("what"), 2.2, false),
            (key("where"), 2.6, false),
        ],
        rows,
    );
    let columns = vec![(1.0, left.take()), (1.0, right.take())];
    sheet.join(right, columns);
}

fn order_of_work(sheet: &mut SheetBuilder, plan: &Plan) {
    let aside = sheet.line(key("tick as you go"));
    sheet.section_with(key("Order of work"), aside);
    let entries = plan.steps.iter().map(|it| step(sheet, plan, *it)).collect();
    sheet.put(Block::List {
        marks: Marks::Steps,
        entries,
        columns: 2,
    });
}

fn step(sheet: &mut SheetBuilder, plan: &Plan, step: Step) -> Line {
    let dam = plan.layout.of(Use::DamEnd).next().is_some();
    let text = match step {
        Step::Protect => {
            key("Dust sheets up, doors shut, furnace and air handler off. Read the cautions aloud.")
        }
        Step::Probe => key("Drill P, push a wire up, check it from the attic."),
        Step::Clear if dam => {
            let clear = sheet.led_by_rule(FROM_MOTOR, "insulation-clearance");
            return sheet.line(
                phrase(key("Lay boards to kneel on. Clear insulation and set the dam, {clear} clear of the fan's frame on every side."))
                    .with("clear", clear),
            );
        }
        Step::Clear => {
            let clear = sheet.led_by_rule(FROM_MOTOR, "insulation-clearance");
            return sheet.line(
                phrase(key("Lay boards to kneel on. Clear insulation to {clear} from the fan's frame on every side."))
                    .with("clear", clear),
            );
        }
        Step::Corners => key(
            "Square corners 1 to 4 off the joists. Drill just inside each corner, check both diagonals.",
        ),
        Step::HoldUp => {
            let (beyond, lap) = (sheet.bare(BEYOND_CUT), sheet.bare(LAP));
            return sheet.line(
                phrase(key("Screw the temporary boards across the joists, {beyond} beyond each cut, {lap} past the outer joists: two screws in each joist to be cut, one in each outer joist."))
                    .with("beyond", beyond)
                    .with("lap", lap),
            );
        }
        Step::DoubleFirst => key(
            "Double the joists: pieces tight beside them, bearing to bearing, nailed before anything is cut. See first whether such lengths pass the hatch or a gable.",
        ),
        Step::TryDoublers => key(
            "Bring the doubling pieces up and try them before anything is cut. See first whether such lengths pass the hatch or a gable. Headers in hangers: nail them on now.",
        ),
        Step::CutBoardUnderJoists | Step::CutBoard => {
            let thickness = sheet.at_spot("hall.ceiling_thickness");
            let saw = match thickness {
                Some(it) => {
                    sheet.line(phrase(key("saw {thickness} deep, no more")).with("thickness", it))
                }
                None => sheet.line(key("saw as deep as the board, no more: measure it at P")),
            };
            let text = if step == Step::CutBoardUnderJoists {
                key(
                    "Look above each line for wires, pipes, ducts. Cut 1–2–3–4, {saw}. The board is nailed to the joist in the opening: cut beside it, pull its nails, pry down; helper below.",
                )
            } else {
                key(
                    "Look above each line for wires, pipes, ducts. Cut 1–2–3–4, {saw}. Helper below holds the board. Pull its nails from joists that will be cut.",
                )
            };
            return sheet.line(phrase(text).with("saw", saw));
        }
        Step::CutJoists => {
            let back = set_back(sheet, plan);
            return sheet.line(
                phrase(key("Cut the joists square, {back} back from the opening: what the headers in your hand measure goes first. Two people take each piece out."))
                    .with("back", back),
            );
        }
        Step::Headers => key(
            "Headers flush with the joists. Hang their ends, or nail through the trimmers, before a second piece goes on either. Then the cut joists to the headers, then the second pieces.",
        ),
        Step::DoubleAfter => key(
            "Nailed headers: doubling pieces on the trimmers now, bearing to bearing, before any weight comes on.",
        ),
        Step::Blocks => key(
            "Packing and side pieces, then the blocks: end-nail at outer joists, toenail at a joist in the opening. Every joist stays whole.",
        ),
        Step::EndPieces => key(
            "Pieces across the opening's ends between the two joists, flush; then packing and side pieces.",
        ),
        Step::Sides => key("Side pieces and packing beside the joists."),
        Step::NailBoard => {
            key("Diagonals again. Nail the ceiling board to the new frame, at most 7 in apart.")
        }
        Step::Facing => key(
            "Facing flush with the opening. Seal every gap with caulk or foam labeled for fireblocking.",
        ),
        Step::LetGo => key("All nails and hangers in? Only now take the temporary boards off."),
        Step::Fan => key(
            "Foam strip, quiet box where ordered, then the fan: through the hatch on edge, two people, lifted, not dropped. Two screws a side, foam not crushed.",
        ),
        Step::ShutterUnderJoist => {
            let job = sheet.job;
            let vane = job
                .place
                .as_ref()
                .and_then(|place| Some((place, place.vane(job.fan.fixed_vane, plan.layout.axis)?)));
            let Some((place, (by, way))) = vane else {
                return sheet.line(key(
                    "Shutter up, its fixed vane under the joist in the middle.",
                ));
            };
            return sheet.line(
                phrase(if place.turned {
                    key("Shutter up, half a turn from the way its sheet shows it: fixed vane under the joist {by} {way} from the opening's middle.")
                } else {
                    key("Shutter up, the way its sheet shows it: fixed vane under the joist {by} {way} from the opening's middle.")
                })
                .with("by", by)
                .with("way", way.label()),
            );
        }
        Step::Shutter => key("Shutter up; every vane swings free."),
        Step::Connect => key("Electrician connects, sheet E."),
        Step::Run => key(
            "Blades turn free by hand, guard on, hands clear, windows open (sheet H): power. Low, then high.",
        ),
        Step::Draft => key(
            "On high, check the draft at every flue and chimney. Smoke or hot gas comes back: fan off, stays off, STOP, call.",
        ),
        Step::HandOver => {
            key("Alarms tested, insulation back, eaves open, swept. Hand over sheet H.")
        }
    };
    sheet.line(text)
}

/// The cautions of this house, and those a careful trade would insist on.
fn cautions(sheet: &mut SheetBuilder) {
    let mut entries: Vec<Line> = [
        key("Permit, local code and inspector outrank this sheet. House differs: stop, do not cut, call the office."),
        key("Stand on joists or boards; the ceiling will not hold you. Nobody works in the attic alone."),
        key("Cut, notch or drill no truss, I-joist, rafter or brace, and no joist but as drawn here."),
        key("Wiring, gas and structural work: licensed trades only. Prove the tester, test each wire near a cut, prove it again."),
        key("Ladder firm and level, 4 up to 1 out, tied or held, 3 ft above the landing."),
        key("Respirator, goggles, gloves, sleeves, helmet with a lamp."),
        key("Pebbly fill, crumbling wrap, old wiring, flaking paint: hands off until somebody licensed has tested it. Call."),
    ]
    .into_iter()
    .map(|it| sheet.line(it))
    .collect();
    if let Some(heat) = sheet.job.finding("heat") {
        let line = sheet.line(&heat.say).then(sheet.by_rule(heat.rule));
        entries.push(line);
    }
    // What its rule warns of, once.
    let job = sheet.job;
    let findings = job.findings().filter(|it| {
        it.outcome != Outcome::Holds
            && it.rule != "heat"
            && !labels::POWER_RULES.contains(&it.rule)
            && !labels::LIVING_RULES.contains(&it.rule)
            && !labels::VENT_RULES.contains(&it.rule)
    });
    let warned = sheet.warnings(findings);
    entries.extend(warned);
    sheet.cautions(key("Cautions for this house"), entries);
}

/// Section and plan with what stands around.
fn surroundings(sheet: &mut SheetBuilder, height: f32) {
    let job = sheet.job;
    let chosen = job.place.as_ref().map(|place| (job.fan, place));
    let plan = crate::drawing::plan(job.spot.id, &job.scene, chosen);
    let (hall, attic) = (&job.spot.hall, &job.spot.attic);
    let section = crate::drawing::section(job.spot.id, hall, attic, &job.scene, chosen);
    for (title, drawing) in [
        (key("Section"), section),
        (key("Around the spot, from above"), plan),
    ] {
        sheet.section(title);
        sheet.drawn(drawing, 680.0, height);
    }
}

fn look_up(sheet: &mut SheetBuilder, plan: &Plan, tight: u8) {
    let (section_high, around_high) = if tight >= 2 {
        (290.0, 390.0)
    } else {
        (390.0, 430.0)
    };
    let job = sheet.job;
    let chosen = job.place.as_ref().map(|place| (job.fan, place));
    let around = crate::drawing::plan(job.spot.id, &job.scene, chosen);
    let (hall, attic) = (&job.spot.hall, &job.spot.attic);
    let section = crate::drawing::section(job.spot.id, hall, attic, &job.scene, chosen);
    let key_lines = sheet.key_of(&around);
    let mut left = sheet.apart();
    let mut legend = section.inks();
    legend.extend(around.inks());
    legend.sort();
    legend.dedup();
    left.section(key("Section"));
    left.picture(section, 396.0, section_high);
    left.section(key("Around the spot, from above"));
    left.picture(around, 396.0, around_high);
    left.legend(legend);
    let mut right = left.beside();
    let here = |it: &crate::survey::Photo| it.spot == Some(job.spot.id);
    let photos = right.photos(4, |it| {
        here(it)
            && matches!(
                it.subject,
                Subject::HallCeiling
                    | Subject::SpotFromAbove
                    | Subject::Obstruction
                    | Subject::Hatch
            )
    });
    if !photos.is_empty() {
        right.section(key("Photos"));
        for pair in photos.chunks(2) {
            right.put(Block::Photos(pair.to_vec()));
        }
    }
    if !key_lines.is_empty() {
        let aside = right.line(key("numbers as on the plan"));
        right.section_with(key("What is there"), aside);
        right.put(Block::List {
            marks: Marks::Dashes,
            entries: key_lines,
            columns: 1,
        });
    }
    let notes = [&job.survey.wrap_up.notes, &job.survey.wrap_up.agreed];
    let notes: Vec<Line> = notes
        .into_iter()
        .flatten()
        .map(|it| Line::plain(format!("“{it}”")))
        .collect();
    if !notes.is_empty() {
        right.section(key("Surveyor's notes"));
        right.put(Block::List {
            marks: Marks::Dashes,
            entries: notes,
            columns: 1,
        });
    }
    wood_and_load(&mut right, plan);
    let aside = right.line(key("write down, hand back"));
    right.section_with(key("Built as drawn"), aside);
    right.blanks(&[
        (key("Diagonals, one and the other"), ""),
        (key("Outer joists, face to face"), ""),
        (key("Draft at the water heater, fan on high"), "Pa"),
        (key("Lead hand, date"), ""),
    ]);
    let columns = vec![(1.25, left.take()), (1.0, right.take())];
    sheet.join(right, columns);
}

fn wood_and_load(sheet: &mut SheetBuilder, plan: &Plan) {
    sheet.section(key("Wood and load"));
    let fan = sheet.job.fan;
    let weight = sheet.fan_sheet(key("weight"), number(fan.weight.lb(), "lb", 0));
    let boxed = |it: crate::trade::fan::Boxed| {
        let value = Say::new(key("{length} × {width} × {height}"))
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
    let blade = sheet.fan_size(key("blade diameter"), fan.blade);
    let swept = sheet.figure(
        key("free area of the shutter, at least"),
        number(fan.swept_area().ft2(), "ft²", 1),
        key("as much as the fan's blades sweep; less makes the fan weak and the shutter loud"),
        [Root::Figure(blade), Root::Source(SHUTTER)],
    );
    let joists = match (sheet.job.choice.framing, plan.layout.cuts.len()) {
        (Framing::Whole, _) => sheet.line(
            phrase(key("left whole; across the opening: {count}"))
                .with("count", plan.layout.standing.len()),
        ),
        (Framing::Cut, 0) => sheet.line(key("none cut; the opening lies between two")),
        (Framing::Cut, count) => sheet.line(
            phrase(key(
                "{count} cut and headed; headers {headers}, trimmers {trimmers}",
            ))
            .with("count", count)
            .with("headers", plan.layout.plies.headers.label())
            .with("trimmers", plan.layout.plies.trimmers.label()),
        ),
    };
    let rows = vec![
        (key("Joists"), joists.then(sheet.by_rule("joist-strength"))),
        (key("Weight of the fan"), sheet.shown(weight)),
        (key("Fan on its frame"), sheet.shown(frame)),
        (key("Largest piece to carry up"), sheet.shown(piece)),
        (
            key("Free area of the shutter, at least"),
            sheet.shown(swept),
        ),
    ];
    sheet.facts(rows);
    let quiet = to_buy(sheet, &plan.quiet_box);
    let word = sheet.line(key("Quiet box, only if ordered: ")).strong();
    sheet.put(Block::Note(word.then(quiet)));
}
