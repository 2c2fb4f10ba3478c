//! The opening's place, against a search over every 1/16 in of the hall, from the same survey file.

use super::python;
use crate::common::Dice;
use joistlight::house::scene::{Placed, Scene};
use joistlight::measure::{Length, Reading, Tape};
use joistlight::rules::Framing;
use joistlight::survey::{FieldRef, FlueKind, ItemId, Survey, Ways};
use joistlight::trade::fan::{Boxed, Fan, FanList, Rectangle, generic};
use joistlight::trade::placement::{Place, Which};
use serde::Serialize;
use serde_json::{Value, json};

#[derive(Serialize)]
struct Hall {
    survey: Survey,
    fans: Vec<Fan>,
    answers: Vec<Value>,
}

fn sixteenths(n: i64) -> String {
    let (sign, n) = if n < 0 { ("-", -n) } else { ("", n) };
    format!("{sign}{} {}/16 in", n / 16, n % 16)
}

struct Builder<'a> {
    survey: Survey,
    dice: &'a mut Dice,
}

impl Builder<'_> {
    fn spot(&self) -> ItemId {
        self.survey.spots[0].id
    }

    fn set(&mut self, field: &'static str, text: &str) {
        let at = FieldRef::spot(field, self.spot());
        self.survey
            .type_in(at, text, &Ways::default())
            .unwrap_or_else(|error| panic!("{field} ← {text}: {error}"));
    }

    /// A length between two numbers of inches, on the 1/16 in grid.
    fn length(&mut self, field: &'static str, least: i64, most: i64) -> i64 {
        let n = self.dice.between(least * 16, most * 16);
        self.set(field, &sixteenths(n));
        n
    }

    fn item(&mut self, list: &str) -> ItemId {
        let (id, spot) = (self.survey.fresh_id(), self.spot());
        self.survey
            .list_mut(list, Some(spot))
            .expect("the list")
            .add(id);
        id
    }

    fn put(&mut self, id: ItemId, field: &'static str, text: &str) {
        let at = FieldRef::spot(field, self.spot()).item(id);
        self.survey
            .type_in(at, text, &Ways::default())
            .unwrap_or_else(|error| panic!("{field} ← {text}: {error}"));
    }

    fn put_length(&mut self, id: ItemId, field: &'static str, least: i64, most: i64) -> i64 {
        let n = self.dice.between(least * 16, most * 16);
        self.put(id, field, &sixteenths(n));
        n
    }

    fn obstruction(&mut self, reach: i64) {
        let id = self.item("attic.obstructions");
        let mover = *self
            .dice
            .pick(&["nobody", "nobody", "electrician", "anybody"]);
        self.put(id, "obstruction.mover", mover);
        let kind = *self.dice.pick(&[
            "pipe",
            "other",
            "brace",
            "truss web",
            "recessed light",
            "appliance",
            "flue",
            "flue",
        ]);
        self.put(id, "obstruction.kind", kind);
        if kind == "flue" {
            let flues: Vec<&str> = FlueKind::ALL.iter().map(|it| it.code()).collect();
            let flue = *self.dice.pick(&flues);
            self.put(id, "obstruction.flue", flue);
        }
        self.put_length(id, "obstruction.ahead", -reach, reach);
        self.put_length(id, "obstruction.left", -50, 50);
        let shape = *self.dice.pick(&["box", "run", "run", "upright"]);
        self.put(id, "obstruction.shape", shape);
        let bottom = self.put_length(id, "obstruction.bottom", -6, 38);
        match shape {
            "box" => {
                self.put_length(id, "obstruction.size_along", 1, 60);
                self.put_length(id, "obstruction.size_across", 1, 30);
            }
            "run" => {
                self.put_length(id, "obstruction.to_ahead", -reach, reach);
                self.put_length(id, "obstruction.to_left", -50, 50);
                let diameter = self.put_length(id, "obstruction.diameter", 1, 10);
                let rise = self.dice.between(-160, 160) * self.dice.between(0, 1);
                let top = bottom + diameter + rise;
                self.put(id, "obstruction.top", &sixteenths(top));
                return;
            }
            _ => {
                self.put_length(id, "obstruction.diameter", 1, 14);
            }
        }
        let height = self.dice.between(16, 800);
        self.put(id, "obstruction.top", &sixteenths(bottom + height));
    }

    fn fixture(&mut self, reach: i64) {
        let id = self.item("hall.fixtures");
        let kind = *self
            .dice
            .pick(&["light", "smoke alarm", "register", "hatch", "other"]);
        self.put(id, "fixture.kind", kind);
        self.put_length(id, "fixture.ahead", -reach, reach);
        self.put_length(id, "fixture.left", -30, 30);
        self.put_length(id, "fixture.size_along", 3, 30);
        self.put_length(id, "fixture.size_across", 3, 16);
    }

    fn hall(&mut self) {
        let length = self.length("hall.length", 36, 200);
        let width = self.length("hall.width", 28, 66);
        let from_start = self.dice.between(0, length);
        self.set("hall.mark_from_start", &sixteenths(from_start));
        let from_left = self.dice.between(0, width);
        self.set("hall.mark_from_left", &sixteenths(from_left));
        let reach = length / 16;
        let along = self.dice.chance(50);
        self.set(
            "attic.joist_run",
            if along {
                "along the hall"
            } else {
                "across the hall"
            },
        );
        if self.dice.chance(60) {
            self.set("attic.framing", "sawn joists");
            let span = self.length("attic.bearing_span", 20, 160);
            let from = self.dice.between(0, span);
            self.set("attic.mark_from_bearing", &sixteenths(from));
        } else {
            self.set("attic.framing", "trusses");
        }
        if self.dice.chance(20) {
            self.set("attic.nominal_size", "other");
            let thickness = 2 * self.dice.between(4, 20);
            self.set("attic.joist_thickness", &sixteenths(thickness));
        } else {
            self.set("attic.nominal_size", "2x8");
        }
        if self.dice.chance(40) {
            self.set("attic.joists_even", "yes");
            self.length("attic.joist_spacing", 10, 30);
            self.length("attic.nearest_joist", -12, 12);
        } else {
            self.set("attic.joists_even", "no");
            let mut at = self.dice.between(-16 * reach, -8 * reach);
            while at < 16 * reach {
                let id = self.item("attic.joists");
                self.put(id, "joist.at", &sixteenths(at));
                at += self.dice.between(8 * 16, 28 * 16);
            }
            self.set("attic.joists.complete", "yes");
        }
        let fall = *self
            .dice
            .pick(&["ahead", "back", "left", "right", "level", "level"]);
        self.set("attic.roof_fall", fall);
        self.length("attic.roof_height", 28, 90);
        if fall != "level" {
            let pitch = self.dice.between(1, 12);
            self.set("attic.roof_slope", &format!("{pitch}:12"));
            self.length("attic.ridge_distance", 0, 90);
        }
        for _ in 0..self.dice.between(0, 6) {
            self.obstruction(reach);
        }
        self.set("attic.obstructions.complete", "yes");
        for _ in 0..self.dice.between(0, 3) {
            self.fixture(reach);
        }
        self.set("hall.fixtures.complete", "yes");
    }
}

/// A fan whose edges lie on the 1/16 in grid.
fn fan(dice: &mut Dice, number: i64) -> Fan {
    let eighths = |n: i64| Length::sixteenths(2 * n);
    let mut side = |least: i64, most: i64| dice.between(least * 8, most * 8);
    let (long, wide) = (side(12, 34), side(12, 34));
    let rim = side(1, 4);
    let vane = side(-5, 5);
    let space = [side(14, 40), side(14, 40), side(10, 40)];
    let frame = [side(14, 40), side(14, 40), side(8, 24)];
    let boxed = |[length, width, height]: [i64; 3]| Boxed {
        length: eighths(length),
        width: eighths(width),
        height: eighths(height),
    };
    Fan {
        id: format!("fan-{number}"),
        opening: Rectangle {
            length: eighths(long),
            width: eighths(wide),
        },
        shutter: Rectangle {
            length: eighths(long + 2 * rim),
            width: eighths(wide + 2 * rim),
        },
        fixed_vane: if dice.chance(50) {
            Length::ZERO
        } else {
            eighths(vane)
        },
        clear_space: dice.chance(60).then(|| boxed(space)),
        frame: boxed(frame),
        ..generic().fans[0].clone()
    }
}

fn as_json(place: &Place, scene: &Scene) -> Value {
    let moves: Vec<u32> = place
        .moves
        .iter()
        .map(|it| match it.which {
            Which::InAttic(index) => scene.obstacles.known[index].id.0,
            Which::OnCeiling(index) => scene.ceiling.known[index].id.0,
            Which::Hole(index) => scene.opening(index).expect("an opening").id.0,
        })
        .collect();
    json!({
        "ahead": place.ahead.to_in(),
        "left": place.left.to_in(),
        "cut": place.cut.iter().map(|at| at.to_in()).collect::<Vec<_>>(),
        "standing": place.standing.iter().map(|at| at.to_in()).collect::<Vec<_>>(),
        "trimmers": [place.trimmers.0.to_in(), place.trimmers.1.to_in()],
        "off": place.off_centre.to_in(),
        "moves": moves,
    })
}

#[test]
fn no_place_on_the_grid_is_better() {
    let seed = super::seed();
    println!("seed {seed}");
    let mut dice = Dice(seed ^ 0x9_1ACE);
    let halls: Vec<Hall> = (0..360)
        .map(|number| {
            let now = "2026-05-03T18:20:00-07:00".parse().expect("a date");
            let id = uuid::Uuid::from_u128(number);
            let mut builder = Builder {
                survey: Survey::begin(id, now, Tape::Sixteenth),
                dice: &mut dice,
            };
            builder.hall();
            let survey = builder.survey;
            let fans = FanList {
                fans: (0..2).map(|number| fan(&mut dice, number)).collect(),
                ..generic().clone()
            };
            let scene = Scene::of(&survey.spots[0], &fans, survey.tape);
            let mut answers = Vec::new();
            for fan in &fans.fans {
                for framing in Framing::ALL {
                    let answer = match scene.place(fan, framing) {
                        Placed::Found { place, others } => json!({
                            "place": as_json(&place, &scene),
                            "others": others.iter().map(|it| as_json(it, &scene)).collect::<Vec<_>>(),
                        }),
                        Placed::Nowhere(nowhere) => json!({
                            "nowhere": nowhere.why.english(),
                            "closest": nowhere.closest.map(|it| as_json(&it, &scene)),
                        }),
                        Placed::Unknown => panic!("everything is measured: {}", survey.id),
                    };
                    answers.push(json!({
                        "fan": fan.id,
                        "cut": framing == Framing::Cut,
                        "answer": answer,
                    }));
                }
            }
            Hall {
                survey,
                fans: fans.fans,
                answers,
            }
        })
        .collect();
    python::check("placement", &halls);
}

/// How good what came of a search is: free places before those with things to move, then fewest joists cut or things moved.
fn rank(placed: &Placed) -> i64 {
    match placed {
        Placed::Found { place, .. } if place.moves.is_empty() => 2000 - place.cut.len() as i64,
        Placed::Found { place, .. } => 1000 - place.moves.len() as i64,
        Placed::Nowhere(_) => 0,
        Placed::Unknown => panic!("everything is measured"),
    }
}

#[test]
fn more_room_never_makes_a_place_worse() {
    let seed = super::seed();
    println!("seed {seed}");
    let mut dice = Dice(seed ^ 0x3_0033);
    let mut better = 0;
    for number in 0..1000_u128 {
        let now = "2026-05-03T18:20:00-07:00".parse().expect("a date");
        let mut builder = Builder {
            survey: Survey::begin(uuid::Uuid::from_u128(number), now, Tape::Sixteenth),
            dice: &mut dice,
        };
        builder.hall();
        let survey = builder.survey;
        let fans = FanList {
            fans: (0..2).map(|number| fan(&mut dice, number)).collect(),
            ..generic().clone()
        };
        let wider = |field: fn(&mut Survey) -> &mut Option<Reading>, by: i64| {
            let mut more = survey.clone();
            let reading = field(&mut more).as_mut().expect("measured");
            *reading = Reading::new(reading.length() + Length::inches(by), reading.system());
            more
        };
        let mut roomier = vec![
            wider(|it| &mut it.spots[0].hall.length, 30),
            wider(|it| &mut it.spots[0].attic.roof_height, 12),
        ];
        for gone in 0..survey.spots[0].attic.obstructions.items.len() {
            let mut more = survey.clone();
            more.spots[0].attic.obstructions.items.remove(gone);
            roomier.push(more);
        }
        for gone in 0..survey.spots[0].hall.fixtures.items.len() {
            let mut more = survey.clone();
            more.spots[0].hall.fixtures.items.remove(gone);
            roomier.push(more);
        }
        let ranks = |survey: &Survey| -> Vec<i64> {
            let scene = Scene::of(&survey.spots[0], &fans, survey.tape);
            let choices = fans
                .fans
                .iter()
                .flat_map(|fan| Framing::ALL.map(|it| (fan, it)));
            choices
                .map(|(fan, framing)| rank(&scene.place(fan, framing)))
                .collect()
        };
        let before = ranks(&survey);
        for (which, more) in roomier.iter().enumerate() {
            for (had, has) in before.iter().zip(ranks(more)) {
                assert!(
                    has >= *had,
                    "house {number}, change {which}: {had} became {has}"
                );
                better += i32::from(has > *had);
            }
        }
    }
    assert!(better > 1000, "{better}");
}
