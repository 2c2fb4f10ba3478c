//! What `joistlight assess` prints against the schema that `joistlight schema --assessment` prints, by the PyPI
//! library `jsonschema` (JSON Schema draft 2020-12).

use super::python;
use crate::common::{Dice, random_survey};
use joistlight::rules::Assessment;
use serde_json::{Value, json};
use std::path::Path;
use std::process::{Command, Output};

fn joistlight(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_joistlight"))
        .args(arguments)
        .output()
        .expect("joistlight runs")
}

fn printed(arguments: &[&str]) -> Value {
    let output = joistlight(arguments);
    assert!(output.status.success(), "{arguments:?}: {output:?}");
    serde_json::from_slice(&output.stdout).expect("JSON")
}

#[test]
fn every_assessment_fits_the_schema() {
    let seed = 20_261;
    println!("seed {seed}");
    let mut dice = Dice(seed);
    let folder = tempfile::tempdir().expect("a folder");
    let mut good: Vec<Value> = Vec::new();
    for percent in [0, 30, 60, 80, 95, 100, 100] {
        let spots = dice.between(1, 3) as usize;
        let survey = random_survey(&mut dice, spots, percent);
        let file = folder.path().join("survey.json");
        std::fs::write(&file, survey.to_json()).expect("a file");
        good.push(printed(&["assess", utf8(&file)]));
    }
    let fits = |change: fn(&mut Value)| {
        let mut changed = good[3].clone();
        change(&mut changed);
        changed
    };
    let bad = [
        fits(|it| it["version"] = json!(4)),
        fits(|it| it["spots"][0]["verdict"] = json!("perhaps")),
        fits(|it| it["house"] = json!(3)),
        fits(|it| it["codes"]["building"] = json!("IRC 1999")),
        fits(|it| it["spots"][0]["choices"][0]["framing"] = json!("joists removed")),
        fits(|it| {
            it.as_object_mut().expect("an object").remove("fan_list");
        }),
    ];
    let schema = printed(&["schema", "--assessment"]);
    python::check(
        "assessment",
        &json!({ "schema": schema, "good": good, "bad": bad }),
    );
}

fn utf8(path: &Path) -> &str {
    path.to_str().expect("UTF-8")
}

#[test]
fn the_command_prints_what_the_rules_say() {
    let mut dice = Dice(7);
    let survey = random_survey(&mut dice, 2, 90);
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("survey.json");
    std::fs::write(&file, survey.to_json()).expect("a file");
    let fans = joistlight::trade::fan::generic();
    let said: Assessment = joistlight::rules::assess(&survey, fans, &Default::default());
    let said = serde_json::to_string_pretty(&said).expect("JSON");
    let output = joistlight(&["assess", utf8(&file)]);
    assert_eq!(
        String::from_utf8(output.stdout).expect("UTF-8"),
        said + "\n"
    );
}
