//! The demo's house goes through the whole job with its three verdicts.

use joistlight::bundle::{Bundle, Watch};
use joistlight::demo;
use joistlight::office::jobpack::OVERVIEW;
use joistlight::office::register::{Location, Register};
use joistlight::rules::{Verdict, assess};
use joistlight::survey;
use joistlight::trade::codes::Codes;
use joistlight::trade::fan;

#[test]
fn the_demos_house_goes_through_the_whole_job_with_its_three_verdicts() {
    let folder = tempfile::tempdir().unwrap();
    let folder = folder.path().join("demo");
    let demo = demo::run(&folder).unwrap();
    let verdicts: Vec<(&str, Verdict, bool)> = demo
        .summary
        .spots
        .iter()
        .map(|spot| (spot.name.as_str(), spot.verdict, spot.settled))
        .collect();
    assert_eq!(
        verdicts,
        [
            ("By the bedrooms", Verdict::FitsWithWork, true),
            ("By the front door", Verdict::DoesNotFit, true),
            ("Landing", Verdict::NotSettled, false),
        ]
    );

    let mut bundle = Bundle::open(&demo.bundle).unwrap();
    bundle.verify(Watch::default()).unwrap();
    let mut register = Register::open_existing(&Location::Folder(demo.register.clone())).unwrap();
    let id = register.find("DEMO-1").unwrap();
    assert_eq!(&register.current(id).unwrap(), bundle.survey());
    register.check().unwrap();
    let revision = register.bundle_of(id, None).unwrap();
    assert!(revision.differences.same_result());
    let out = folder.join("again.zip");
    register.copy_out(&revision.bundle, &out).unwrap();
    assert!(std::fs::read(&out).unwrap() == std::fs::read(&demo.bundle).unwrap());

    let page = std::fs::read_to_string(demo.job_pack.join(OVERVIEW)).unwrap();
    for words in [
        "By the bedrooms",
        "does not fit",
        "not settled",
        "data:image/jpeg;base64,",
    ] {
        assert!(page.contains(words), "{words}");
    }
    // Complete in itself: it fetches nothing.
    for outside in ["src=\"http", "href=\"http", "url(", "@import", "<script"] {
        assert!(!page.contains(outside), "{outside}");
    }

    // Once more in the same folder, to the byte.
    let bytes = std::fs::read(&demo.bundle).unwrap();
    let again = demo::run(&folder).unwrap();
    assert!(std::fs::read(&again.bundle).unwrap() == bytes);
    assert_eq!(
        std::fs::read_to_string(again.job_pack.join(OVERVIEW)).unwrap(),
        page
    );
}

#[test]
fn the_demo_touches_no_folder_with_something_else_in_it() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("mine.txt"), "mine").unwrap();
    let error = demo::run(folder.path()).unwrap_err().to_string();
    assert!(error.contains("not of the demo"), "{error}");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn the_demos_house_is_measured_where_it_says_so() {
    let survey = demo::survey().unwrap();
    let json = survey.to_json();
    assert_eq!(survey::read("survey.json", &json), Ok(survey.clone()));
    let assessment = assess(&survey, fan::generic(), &Codes::default());
    // Of the two spots that are measured, no rule is left without an answer.
    for spot in &assessment.spots[..2] {
        for choice in &spot.choices {
            for finding in assessment.bearing_on(spot, choice) {
                assert!(
                    finding.missing.is_empty(),
                    "{}: {:?}",
                    finding.rule,
                    finding.missing
                );
            }
        }
    }
}
