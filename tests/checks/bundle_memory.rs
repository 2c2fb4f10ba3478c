//! Memory of a bundle's writer and reader, alone in its process so that nothing else is counted.

use crate::bundles::device;
use joistlight::bundle::{Bundle, Watch};
use std::fs;

/// Set for the child that only writes and verifies: where the device lies.
const FOLDER: &str = "JOISTLIGHT_TEST_FOLDER";

#[test]
fn as_a_child() {
    let Some(folder) = std::env::var_os(FOLDER) else {
        return;
    };
    let device = crate::bundles::reopen(folder.as_ref());
    let before = most_memory_kb();
    let path = device
        .bundle(&device.store.bundles(), Watch::default())
        .unwrap();
    let mut bundle = Bundle::open(&path).unwrap();
    bundle.verify(Watch::default()).unwrap();
    println!("peak {before} {}", most_memory_kb());
}

/// The kernel's count of the most memory that this process ever had (proc(5), VmHWM).
fn most_memory_kb() -> u64 {
    let status = fs::read_to_string("/proc/self/status").unwrap();
    let line = status
        .lines()
        .find(|line| line.starts_with("VmHWM:"))
        .unwrap();
    line.split_whitespace().nth(1).unwrap().parse().unwrap()
}

#[test]
fn memory_does_not_grow_with_the_number_of_pictures() {
    let peak = |photos: u32| -> u64 {
        let made = device(11, photos, (1000, 750));
        let crate::bundles::Device {
            folder,
            store,
            open,
        } = made;
        drop((store, open));
        let output = std::process::Command::new(std::env::current_exe().unwrap())
            .args(["--exact", "bundle_memory::as_a_child", "--nocapture"])
            .env(FOLDER, folder.path())
            .output()
            .unwrap();
        let said = String::from_utf8(output.stdout).unwrap();
        let line = said
            .lines()
            .find_map(|line| line.split_once("peak "))
            .unwrap()
            .1;
        let (before, after) = line.split_once(' ').unwrap();
        let bytes: u64 = fs::read_dir(folder.path().join("bundles"))
            .unwrap()
            .map(|entry| entry.unwrap().metadata().unwrap().len())
            .sum();
        println!(
            "{photos} pictures, bundle of {} kB: from {before} kB to {after} kB",
            bytes / 1000
        );
        after.parse().unwrap()
    };
    let (few, many) = (peak(4), peak(60));
    assert!(
        many < few + 3000,
        "{few} kB with 4 pictures, {many} kB with 60"
    );
}
