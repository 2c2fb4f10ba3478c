//! Bundles and survey files against other people's programs: `unzip -t` (Info-ZIP), Python's `bagit` (the
//! Library of Congress's BagIt library) and `jsonschema` (draft 2020-12).

use super::python;
use crate::bundles::device;
use crate::common::{Dice, random_survey};
use joistlight::bundle::Watch;
use joistlight::survey::{self, fields};
use serde::Serialize;
use serde_json::{Value, json};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

#[derive(Serialize)]
struct Cases {
    /// Folders, each with one bundle in it.
    bundles: Vec<PathBuf>,
    schema: Value,
    /// Surveys that our reader takes.
    taken: Vec<Value>,
    /// Surveys that our reader refuses for what a schema can say, and why.
    refused: Vec<(String, Value)>,
    /// Surveys with something odd in one place; whether our reader takes them is in `ours`.
    odd: Vec<(String, Value)>,
    ours: Vec<bool>,
}

#[test]
fn bundles_and_survey_files_pass_other_peoples_checks() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/outside/bag");
    let _ = fs::remove_dir_all(&folder);
    let mut bundles = Vec::new();
    for (seed, photos) in [(1, 0), (2, 1), (3, 7)] {
        let into = folder.join(seed.to_string());
        fs::create_dir_all(&into).unwrap();
        let device = device(seed, photos, (200, 150));
        let path = device.bundle(&into, Watch::default()).unwrap();
        unzip_tests(&path);
        bundles.push(into);
    }

    let seed = super::seed();
    println!("seed {seed}");
    let mut dice = Dice(seed);
    let json_of = |survey: &survey::Survey| serde_json::to_value(survey).unwrap();
    let surveys: Vec<Value> = (0..60)
        .map(|turn| {
            json_of(&random_survey(
                &mut dice,
                1 + turn % 3,
                10 + (turn as i64 * 7) % 90,
            ))
        })
        .collect();
    let takes = |json: &Value| survey::read("a", json.to_string().as_bytes()).is_ok();
    assert!(surveys.iter().all(takes));

    let whole = &surveys[surveys.len() - 1];
    let refused = broken(whole);
    for (why, json) in &refused {
        assert!(!takes(json), "{why}");
    }
    let odd = odd(&surveys, &mut dice);
    let ours: Vec<bool> = odd.iter().map(|(_, json)| takes(json)).collect();
    let count = ours.iter().filter(|taken| **taken).count();
    println!("{count} of {} odd surveys are taken", odd.len());
    assert!(count > 50 && count < odd.len() - 50);
    python::check(
        "bag",
        &Cases {
            bundles,
            schema: survey::schema(),
            taken: surveys,
            refused,
            odd,
            ours,
        },
    );
}

fn unzip_tests(bundle: &Path) {
    let output = Command::new("unzip")
        .arg("-t")
        .arg(bundle)
        .output()
        .expect("unzip (Debian: apt-get install unzip)");
    let said = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success(), "{said}");
    let last = said.lines().last().unwrap_or_default();
    assert!(last.starts_with("No errors detected"), "{said}");
    assert!(output.stderr.is_empty());
}

/// The survey with one thing wrong, in many ways.
fn broken(whole: &Value) -> Vec<(String, Value)> {
    let mut cases = Vec::new();
    let mut case = |why: &str, break_it: &dyn Fn(&mut Value)| {
        let mut json = whole.clone();
        break_it(&mut json);
        cases.push((why.to_owned(), json));
    };
    case("another format", &|j| j["format"] = json!("another"));
    case("a newer version", &|j| j["version"] = json!(3));
    case("an unknown field", &|j| j["mood"] = json!("good"));
    case("an unknown answer", &|j| {
        j["arrival"]["mood"] = json!("good")
    });
    case("an id that is none", &|j| j["id"] = json!("seven"));
    case("a negative revision", &|j| j["revision"] = json!(-1));
    case("a date that is none", &|j| j["begun"] = json!(20_260_503));
    case("a length without a unit", &|j| {
        j["spots"][0]["attic"]["roof_height"] = json!("36")
    });
    case("a length that is a number", &|j| {
        j["spots"][0]["attic"]["roof_height"] = json!(36)
    });
    case("a length below nothing", &|j| {
        j["spots"][0]["attic"]["roof_height"] = json!("-36 in")
    });
    case("an area in inches", &|j| {
        j["flame"]["openable_window_area"] = json!("36 in")
    });
    case("a word that is none", &|j| {
        j["spots"][0]["attic"]["framing"] = json!("bamboo")
    });
    case("yes as a word", &|j| {
        j["arrival"]["private_attic"] = json!("yes")
    });
    case("a year before houses", &|j| {
        j["arrival"]["year_built"] = json!(1066)
    });
    case("a year with a fraction", &|j| {
        j["arrival"]["year_built"] = json!(1966.5)
    });
    case("a text that is too long", &|j| {
        j["arrival"]["client"] = json!("x".repeat(4001))
    });
    case("a list that is none", &|j| j["vents"]["vents"] = json!([]));
    case("a spot without an id", &|j| j["spots"][0] = json!({}));
    case("no tape", &|j| {
        drop(j.as_object_mut().unwrap().remove("tape"))
    });
    let photo = |sha256: &str, width: u32| json!([{"id": 0, "subject": "house", "sha256": sha256, "width": width, "height": 3}]);
    let digest = "0".repeat(64);
    case("a picture without a digest", &|j| {
        j["photos"] = photo("../../x", 4)
    });
    case("a picture without width", &|j| {
        j["photos"] = photo(&digest, 0)
    });
    case("a stroke out of the picture", &|j| {
        j["photos"] = photo(&digest, 4);
        j["photos"][0]["strokes"] = json!([{"stroke": "ring", "middle": [0, 1001], "radius": 3}]);
    });
    case("a stroke of no kind", &|j| {
        j["photos"] = photo(&digest, 4);
        j["photos"][0]["strokes"] = json!([{"stroke": "star", "middle": [0, 1], "radius": 3}]);
    });
    cases
}

/// Surveys in which one answer is replaced by something that some field takes, or none.
fn odd(surveys: &[Value], dice: &mut Dice) -> Vec<(String, Value)> {
    let texts = [
        "36 in",
        "36 1/2 in",
        "36.5 in",
        "3 ft",
        "914 mm",
        "91.4 cm",
        "0 in",
        "-3 in",
        "-0 in",
        "36 5/4 in",
        "36 1/3 in",
        "036 in",
        "1e3 in",
        " 36 in",
        "36in",
        "36 ft 2 in",
        "999999 in",
        "120 ft²",
        "120 ft2",
        "12 m²",
        "-12 ft²",
        "-0 ft²",
        "-0 V",
        "-5 V",
        "18 in³",
        "118.5 V",
        "15 A",
        "110 °F",
        "43 °C",
        "-300 °C",
        "25 %",
        "101 %",
        "5:12",
        "0:12",
        "5.5:12",
        "-5:12",
        "40000 Btu/h",
        "11.7 kW",
        "5000 ft",
        "-100 ft",
        "yes",
        "other",
        "drywall",
        "2026-05-03T18:20:00-07:00",
        "2026-05-03T18:20:00Z",
        "2026-13-03T18:20:00Z",
        "2026-05-03",
        "",
    ];
    let others = [
        json!(null),
        json!(0),
        json!(7),
        json!(1966),
        json!(-1),
        json!(1.5),
        json!(true),
        json!([]),
    ];
    let slots: Vec<_> = fields::SECTIONS
        .iter()
        .flat_map(|(_, of_spot, slots)| slots.iter().map(move |slot| (*of_spot, slot)))
        .collect();
    (0..1500)
        .map(|_| {
            let mut json = dice.pick(surveys).clone();
            let (of_spot, slot) = *dice.pick(&slots);
            let value = match dice.chance(75) {
                true => json!(dice.pick(&texts)),
                false => dice.pick(&others).clone(),
            };
            let section = slot.id.split('.').next().unwrap();
            let record = match of_spot {
                true => &mut json["spots"][0][section],
                false => &mut json[section],
            };
            record[slot.name] = value.clone();
            (format!("{} = {value}", slot.id), json)
        })
        .collect()
}
