//! How long it takes to save one answer, and to list many surveys. Prints figures; nothing is asserted.
//!
//! Run with `cargo bench --no-default-features --features office --bench store`; the folder is made under
//! `target`, so that the disk is the one the project lies on.

use joistlight::measure::Tape;
use joistlight::store::Store;
use joistlight::survey::{FieldRef, Survey, Ways, When, fields};
use std::path::Path;
use std::time::{Duration, Instant};
use uuid::Uuid;

fn now() -> When {
    "2026-05-03T18:20:00-07:00".parse().unwrap()
}

/// A survey with `spots` spots and `items` answered items in each list.
fn survey(spots: usize, items: usize) -> Survey {
    let mut survey = Survey::begin(Uuid::new_v4(), now(), Tape::default());
    while survey.spots.len() < spots {
        survey.add_spot();
    }
    let ids: Vec<_> = survey.spots.iter().map(|spot| Some(spot.id)).collect();
    for list in fields::LISTS {
        for spot in if list.of_spot { &ids[..] } else { &[None] } {
            for _ in 0..items {
                let id = survey.fresh_id();
                survey.list_mut(list.id, *spot).unwrap().add(id);
            }
        }
    }
    for at in survey.places() {
        // Whatever the field takes of these.
        let texts = ["12 3/16 in", "7", "yes", "other"];
        let _ = texts
            .iter()
            .any(|text| survey.type_in(at, text, &Ways::default()).is_ok());
    }
    survey
}

fn show(what: &str, times: &mut [Duration]) {
    times.sort();
    let at = |share: usize| times[times.len() * share / 100].as_secs_f64() * 1e3;
    println!(
        "{what:<58} median {:8.3} ms   95 % {:8.3} ms",
        at(50),
        at(95)
    );
}

fn main() {
    let target = Path::new(env!("CARGO_MANIFEST_DIR")).join("target");
    let folder = tempfile::tempdir_in(target).unwrap();
    let store = Store::open(folder.path()).unwrap();
    for (name, spots, items) in [("usual", 2, 6), ("large", 6, 60)] {
        let survey = survey(spots, items);
        let bytes = survey.to_json().len();
        let mut open = store.begin(survey).unwrap();
        let at = FieldRef::house("arrival.client");
        let mut times: Vec<Duration> = (0..200)
            .map(|turn| {
                let text = turn.to_string();
                let begun = Instant::now();
                open.type_in(now(), at, &text, &Ways::default()).unwrap();
                begun.elapsed()
            })
            .collect();
        show(
            &format!("save one answer, {name} survey of {} kB", bytes / 1000),
            &mut times,
        );
    }
    let small = survey(2, 6);
    for _ in 0..500 {
        store
            .begin(Survey {
                id: Uuid::new_v4(),
                ..small.clone()
            })
            .unwrap();
    }
    let begun = Instant::now();
    let count = store.list().unwrap().0.len();
    show(
        &format!("list {count} surveys, read anew"),
        &mut [begun.elapsed()],
    );
    std::thread::sleep(Duration::from_secs(3));
    store.list().unwrap();
    let mut times: Vec<Duration> = (0..20)
        .map(|_| {
            let begun = Instant::now();
            store.list().unwrap();
            begun.elapsed()
        })
        .collect();
    show(&format!("list {count} surveys, from the index"), &mut times);
    drop(store);
    let mut times: Vec<Duration> = (0..5)
        .map(|_| {
            let begun = Instant::now();
            let store = Store::open(folder.path()).unwrap();
            store.list().unwrap();
            begun.elapsed()
        })
        .collect();
    show(
        &format!("open the store and list {count} surveys"),
        &mut times,
    );
}
