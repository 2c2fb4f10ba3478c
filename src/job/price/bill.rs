//! What one fan at one spot takes: things to buy, tasks to do, fees to pay, in exact amounts.
//!
//! It follows from the plan and from the work that the choice needs, each thing once, so that it tells the amounts that
//! the sheets tell. Names are those of the price list.
//!
//! # Units
//! Counts, pounds or feet, by [`Item::unit`]; hours by the price list.
//!
//! # Source
//! Boards, fasteners, foam: the plan's cut list and materials. Vents: the first kind that the vent sheet names for each
//! gap. Cable: the run as measured and a tenth. The winter cover and a kit of flashing and sealant for each vent on the
//! roof: common practice, no source.

use crate::job::cutlist::Size;
use crate::job::materials::Fastener;
use crate::job::vents::Gap;
use crate::job::{Job, Plan};
use crate::measure::{Current, Length};
use crate::need::{Circuit, Need};
use crate::rules::wires::gauge;
use crate::rules::{Outcome, Say, Who};
use crate::survey::{FieldRef, power};
use crate::trade::conductor::Gauge;
use crate::trade::fan::Control;
use crate::trade::fastening::Nail;
use crate::trade::opening_frame::Plies;
use crate::trade::section::Nominal;
use crate::trade::vent_area::{NEW_BOX, NEW_RIDGE, NEW_STRIP, NEW_TURBINE, NewVent};
use rust_decimal::Decimal;

/// How a thing is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unit {
    /// Whole ones.
    Each,
    /// Pounds.
    Pound,
    /// Feet.
    Foot,
}

impl Unit {
    /// As it stands behind an amount.
    pub const fn sign(self) -> &'static str {
        match self {
            Unit::Each => "ea",
            Unit::Pound => "lb",
            Unit::Foot => "ft",
        }
    }
}

/// What part of the job something belongs to; the customer's price has a line for each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// The fan with its shutter and winter cover.
    Fan,
    /// Opening, frame, dam, ceiling.
    Opening,
    /// Vents.
    Vents,
    /// Circuit, switch, disconnect, alarms.
    Electrician,
    /// Permit and test.
    Fees,
}

impl Part {
    /// All of them, in the order of the quote.
    pub const ALL: [Part; 5] = [
        Part::Fan,
        Part::Opening,
        Part::Vents,
        Part::Electrician,
        Part::Fees,
    ];
}

/// Something that is bought.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// The fan with its shutter, by its id in the fan list.
    Fan(String),
    /// The insulated cover for winter.
    WinterCover,
    /// A board as sold.
    Board(Size, Length),
    /// A board longer than is usually sold.
    LongBoard(Size, Length),
    /// Nails by weight.
    Nails(Nail),
    /// Deck screws.
    DeckScrews,
    /// Approved hangers for headers of so many pieces.
    Hanger(Plies),
    /// Foam strip.
    Foam,
    /// A piece of ceiling board for a hole that is left.
    CeilingPatch,
    /// A vent, or a foot of it.
    Vent(NewVent),
    /// Flashing and sealant for a vent on the roof.
    RoofKit,
    /// Cable with so many insulated wires and a ground.
    Cable(Gauge, u32),
    /// The switch.
    Switch(Control),
    /// A larger switch box.
    SwitchBox,
    /// The breaker of a circuit of its own.
    Breaker(Current),
    /// A disconnect in sight of the fan.
    Disconnect,
}

/// A vent's name in the price list.
fn vent(it: &NewVent) -> &'static str {
    match it.name {
        name if name == NEW_BOX.name => "box vent",
        name if name == NEW_RIDGE.name => "ridge vent",
        name if name == NEW_TURBINE.name => "turbine vent",
        name if name == NEW_STRIP.name => "soffit strip",
        _ => "under-eave vent",
    }
}

fn nominal(it: Nominal) -> &'static str {
    match it {
        Nominal::TwoByFour => "2x4",
        Nominal::TwoBySix => "2x6",
        Nominal::TwoByEight => "2x8",
        Nominal::TwoByTen => "2x10",
        Nominal::TwoByTwelve => "2x12",
    }
}

fn size(it: Size) -> String {
    match it {
        Size::TwoByTwo => "2x2".to_owned(),
        Size::Nominal(it) => nominal(it).to_owned(),
        Size::Packing { thickness, depth } => format!("plywood {thickness} x {depth}"),
        Size::Measured { thickness, depth } => format!("{thickness} x {depth} as measured"),
    }
}

impl Item {
    /// Its name in the price list and on the order list.
    ///
    /// # Examples
    /// ```
    /// use joistlight::job::cutlist::Size;
    /// use joistlight::job::price::bill::Item;
    /// use joistlight::measure::Length;
    /// use joistlight::trade::section::Nominal;
    /// let board = Item::Board(Size::Nominal(Nominal::TwoByEight), Length::feet(10));
    /// assert_eq!(board.name(), "2x8, 10 ft");
    /// ```
    pub fn name(&self) -> String {
        match self {
            Item::Fan(id) => format!("fan {id}"),
            Item::WinterCover => "winter cover".to_owned(),
            Item::Board(it, length) => format!("{}, {} ft", size(*it), whole_feet(*length)),
            Item::LongBoard(it, length) => format!("{}, {length} or longer", size(*it)),
            Item::Nails(Nail::Drywall) => "ring-shank drywall nails".to_owned(),
            Item::Nails(Nail::Common4d) => "4d common nails".to_owned(),
            Item::Nails(Nail::Common6d) => "6d common nails".to_owned(),
            Item::Nails(Nail::Common8d) => "8d common nails".to_owned(),
            Item::Nails(Nail::Common10d) => "10d common nails".to_owned(),
            Item::Nails(_) => "12d common nails".to_owned(),
            Item::DeckScrews => "deck screws".to_owned(),
            Item::Hanger(Plies::Single) => "header hanger, single".to_owned(),
            Item::Hanger(Plies::Double) => "header hanger, double".to_owned(),
            Item::Foam => "foam strip".to_owned(),
            Item::CeilingPatch => "ceiling board patch".to_owned(),
            Item::Vent(it) => vent(it).to_owned(),
            Item::RoofKit => "vent flashing and sealant".to_owned(),
            Item::Cable(gauge, wires) => {
                let gauge = gauge.label();
                let number = gauge.strip_suffix(" AWG").unwrap_or(gauge);
                format!("cable {number}/{wires} with ground")
            }
            Item::Switch(Control::OneSpeed) => "switch, on and off".to_owned(),
            Item::Switch(Control::TwoSpeeds) => "switch, two speeds".to_owned(),
            Item::Switch(Control::Variable) => "speed control".to_owned(),
            Item::SwitchBox => "switch box".to_owned(),
            Item::Breaker(it) => format!("breaker, {} A", it.a()),
            Item::Disconnect => "disconnect".to_owned(),
        }
    }

    /// How it is counted.
    pub fn unit(&self) -> Unit {
        match self {
            Item::Nails(_) => Unit::Pound,
            Item::Foam | Item::Cable(..) => Unit::Foot,
            Item::Vent(it) if [NEW_RIDGE.name, NEW_STRIP.name].contains(&it.name) => Unit::Foot,
            _ => Unit::Each,
        }
    }

    /// What part of the job it belongs to.
    pub const fn part(&self) -> Part {
        match self {
            Item::Fan(_) | Item::WinterCover => Part::Fan,
            Item::Vent(_) | Item::RoofKit => Part::Vents,
            Item::Cable(..)
            | Item::Switch(_)
            | Item::SwitchBox
            | Item::Breaker(_)
            | Item::Disconnect => Part::Electrician,
            _ => Part::Opening,
        }
    }
}

/// Something that is done.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Task {
    /// The opening and its frame, joists left whole.
    OpeningWhole,
    /// The opening and its frame, joists cut and headed.
    OpeningCut,
    /// Each joist that is cut.
    CutJoist,
    /// The dam that holds insulation back.
    Dam,
    /// A hole in the ceiling that is patched.
    Patch,
    /// The fan set, the shutter hung.
    SetFan,
    /// A vent put in, or a foot of it.
    Vent(NewVent),
    /// A circuit of its own, from the panel.
    OwnCircuit,
    /// Switch and fan connected.
    Connect,
    /// A larger switch box.
    SwitchBox,
    /// A disconnect at the fan.
    Disconnect,
    /// A smoke alarm moved.
    MoveAlarm,
}

impl Task {
    /// Its name in the price list.
    pub fn name(self) -> String {
        match self {
            Task::OpeningWhole => "opening and frame, joists whole".to_owned(),
            Task::OpeningCut => "opening and frame, joists cut".to_owned(),
            Task::CutJoist => "each joist cut".to_owned(),
            Task::Dam => "insulation dam".to_owned(),
            Task::Patch => "patch in the ceiling".to_owned(),
            Task::SetFan => "set fan and shutter".to_owned(),
            Task::Vent(it) => format!("put in {}", vent(&it)),
            Task::OwnCircuit => "circuit of its own".to_owned(),
            Task::Connect => "connect switch and fan".to_owned(),
            Task::SwitchBox => "larger switch box".to_owned(),
            Task::Disconnect => "disconnect at the fan".to_owned(),
            Task::MoveAlarm => "move smoke alarm".to_owned(),
        }
    }

    /// What part of the job it belongs to.
    pub const fn part(self) -> Part {
        match self {
            Task::Vent(_) => Part::Vents,
            Task::OwnCircuit
            | Task::Connect
            | Task::SwitchBox
            | Task::Disconnect
            | Task::MoveAlarm => Part::Electrician,
            _ => Part::Opening,
        }
    }
}

/// A fee.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fee {
    /// The permit.
    Permit,
    /// The technician's draft test, where something in the house burns fuel.
    DraftTest,
}

impl Fee {
    /// Its name in the price list.
    pub const fn name(self) -> &'static str {
        match self {
            Fee::Permit => "permit",
            Fee::DraftTest => "draft test",
        }
    }
}

/// What keeps a bill from being whole.
#[derive(Debug, Clone, PartialEq)]
pub enum Gapped {
    /// An answer that is missing.
    NotMeasured(FieldRef),
    /// No boards can be named for pieces of this size.
    NoBoards(Size),
    /// No wire of the tables serves.
    NoWire,
}

/// Work that is quoted apart, by who does it.
#[derive(Debug, Clone, PartialEq)]
pub struct Apart {
    /// Who.
    pub who: Who,
    /// What.
    pub what: Say,
}

/// Everything for one job.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bill {
    /// Things to buy, with amounts.
    pub items: Vec<(Item, Decimal)>,
    /// Tasks, with how many times.
    pub tasks: Vec<(Task, Decimal)>,
    /// Fees.
    pub fees: Vec<Fee>,
    /// What could not be counted.
    pub gaps: Vec<Gapped>,
    /// Work that no task stands for.
    pub apart: Vec<Apart>,
}

fn whole_feet(length: Length) -> i64 {
    (length.to_ft() - 1e-9).ceil() as i64
}

impl Bill {
    /// The bill for a job; none where there is nothing to build.
    pub fn of(job: &Job) -> Option<Bill> {
        let plan = job.plan.as_ref()?;
        let mut bill = Bill::default();
        bill.item(Item::Fan(job.fan.id.clone()), 1);
        bill.item(Item::WinterCover, 1);
        bill.wood(plan);
        bill.frame(plan);
        for gap in &plan.vents {
            bill.vents(gap);
        }
        bill.power(job, plan);
        bill.fees.push(Fee::Permit);
        let burning = &job.survey.flame.appliances;
        if !burning.items.is_empty() || !burning.complete {
            bill.fees.push(Fee::DraftTest);
        }
        bill.apart(job);
        Some(bill)
    }

    fn item(&mut self, item: Item, count: impl Into<Decimal>) {
        let count = count.into();
        match self.items.iter_mut().find(|(it, _)| *it == item) {
            Some((_, all)) => *all += count,
            None if count > Decimal::ZERO => self.items.push((item, count)),
            None => {}
        }
    }

    fn task(&mut self, task: Task, count: impl Into<Decimal>) {
        let count = count.into();
        match self.tasks.iter_mut().find(|(it, _)| *it == task) {
            Some((_, all)) => *all += count,
            None if count > Decimal::ZERO => self.tasks.push((task, count)),
            None => {}
        }
    }

    fn wood(&mut self, plan: &Plan) {
        for to_buy in &plan.cut_list.buy {
            match &to_buy.boards {
                Ok(shopping) => {
                    for board in &shopping.boards {
                        self.item(Item::Board(to_buy.size, board.stock), 1);
                    }
                }
                Err(_) => self.gaps.push(Gapped::NoBoards(to_buy.size)),
            }
            for long in &to_buy.to_order {
                self.item(Item::LongBoard(to_buy.size, long.length), long.count);
            }
        }
    }

    fn frame(&mut self, plan: &Plan) {
        let it = &plan.materials;
        for fasteners in &it.fasteners {
            match fasteners.kind {
                Fastener::Nail(nail) => {
                    let halves = fasteners.weight_sold().map_or(0.0, |it| it.lb() * 2.0);
                    // Whole halves, so that nothing is lost on the way to a decimal.
                    let pounds = Decimal::new(halves.round() as i64 * 5, 1);
                    self.item(Item::Nails(nail), pounds);
                }
                Fastener::DeckScrew => self.item(Item::DeckScrews, fasteners.to_take()),
            }
        }
        if let Some(hangers) = it.hangers.filter(|it| it.required) {
            self.item(Item::Hanger(hangers.plies), hangers.count);
        }
        self.item(Item::Foam, whole_feet(it.foam));
        self.item(Item::CeilingPatch, it.patches.len() as u64);
        let cuts = plan.layout.cuts.len() as u64;
        if cuts > 0 {
            self.task(Task::OpeningCut, 1);
            self.task(Task::CutJoist, cuts);
        } else {
            self.task(Task::OpeningWhole, 1);
        }
        self.task(Task::Dam, u32::from(it.dam.is_some()));
        self.task(Task::Patch, it.patches.len() as u64);
        self.task(Task::SetFan, 1);
    }

    fn vents(&mut self, gap: &Gap) {
        // The kind that the vent sheet leads with.
        let Some((vent, count)) = gap.choices.first() else {
            return;
        };
        let (item, task) = (Item::Vent(*vent), Task::Vent(*vent));
        if vent.upper && item.unit() == Unit::Each {
            self.item(Item::RoofKit, *count);
        }
        self.item(item, *count);
        self.task(task, *count);
    }

    fn power(&mut self, job: &Job, plan: &Plan) {
        let circuit = job.needs().find_map(|need| match need {
            Need::Circuit(it) => Some(*it),
            _ => None,
        });
        let as_it_is = Circuit {
            own: None,
            wire: job.survey.power.wire_size.map(gauge),
            run: None,
        };
        let circuit = circuit.unwrap_or(as_it_is);
        match circuit.wire {
            Some(gauge) => match plan.wiring.cable {
                Some(cable) => {
                    let cable = whole_feet(cable);
                    self.item(Item::Cable(gauge, plan.wiring.wires), cable);
                }
                None => self.lacks(power::ONE_WAY_RUN.id),
            },
            // The answer is missing, or the remedy found no wire.
            None if circuit == as_it_is => self.lacks(power::WIRE_SIZE.id),
            None => self.gaps.push(Gapped::NoWire),
        }
        self.item(Item::Switch(plan.wiring.control), 1);
        self.task(Task::Connect, 1);
        if let Some(breaker) = circuit.own {
            self.item(Item::Breaker(breaker), 1);
            self.task(Task::OwnCircuit, 1);
        }
        if job.needs().any(|it| matches!(it, Need::SwitchBox(_))) {
            self.item(Item::SwitchBox, 1);
            self.task(Task::SwitchBox, 1);
        }
        let disconnect = job.finding("disconnect");
        if disconnect.is_some_and(|it| it.outcome == Outcome::Mend) {
            self.item(Item::Disconnect, 1);
            self.task(Task::Disconnect, 1);
        }
        self.task(Task::MoveAlarm, plan.alarms.len() as u64);
    }

    fn lacks(&mut self, field: &'static str) {
        self.gaps.push(Gapped::NotMeasured(FieldRef::house(field)));
    }

    /// Work that stands on no line of the bill.
    fn apart(&mut self, job: &Job) {
        for task in &job.choice.work {
            let counted = match task.need {
                Some(
                    Need::Vents(_)
                    | Need::Circuit(_)
                    | Need::SwitchBox(_)
                    | Need::Switch(_)
                    | Need::Headers { .. }
                    | Need::Trimmers(_)
                    | Need::Doubled { .. }
                    | Need::Insulation { .. },
                ) => true,
                Some(_) => false,
                None => task.rules == ["disconnect"],
            };
            let apart = Apart {
                who: task.who,
                what: task.what.clone(),
            };
            if !counted && !self.apart.contains(&apart) {
                self.apart.push(apart);
            }
        }
    }
}
