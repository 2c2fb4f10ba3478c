//! How long it takes to save one answer, and to list many surveys. Prints figures; nothing is asserted.
//!
//! Run with `cargo bench --no-default-features --features office --bench store`; the folder is made under
//! `target`, so that the disk is the one the project lies on.

use joistlight::measure::Tape;
use joistlight::store::Store;
use joistlight::survey::{FieldRef, Survey, Ways, When, fields};
use std::fs;
use std::io::Write;
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
    // What the disk alone takes for the same, in the same run, so that ratios mean something on any machine.
    let bytes = survey(2, 6).to_json();
    let mut times: Vec<Duration> = (0..200)
        .map(|_| {
            let begun = Instant::now();
            let (part, whole) = (folder.path().join("a.part"), folder.path().join("a"));
            let mut file = fs::File::create(&part).unwrap();
            file.write_all(&bytes).unwrap();
            file.sync_all().unwrap();
            fs::rename(&part, &whole).unwrap();
            fs::File::open(folder.path()).unwrap().sync_all().unwrap();
            begun.elapsed()
        })
        .collect();
    show(
        "the disk alone: write, sync, rename, sync the folder",
        &mut times,
    );
    let mut journal = fs::File::create(folder.path().join("journal")).unwrap();
    let mut times: Vec<Duration> = (0..200)
        .map(|_| {
            let begun = Instant::now();
            journal.write_all(&bytes[..200]).unwrap();
            journal.sync_data().unwrap();
            begun.elapsed()
        })
        .collect();
    show(
        "the disk alone: append 200 bytes to a journal, sync",
        &mut times,
    );
    let mut edited = survey(2, 6);
    let mut times: Vec<Duration> = (0..200)
        .map(|turn| {
            let begun = Instant::now();
            let before = edited.clone();
            let at = FieldRef::house("arrival.client");
            edited
                .type_in(at, &turn.to_string(), &Ways::default())
                .unwrap();
            assert!(before != edited && edited.to_json().len() > 1000);
            begun.elapsed()
        })
        .collect();
    show(
        "without the disk: copy, change, compare, write as JSON",
        &mut times,
    );
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
