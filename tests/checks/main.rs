//! Everything that is tested without a window, in one program, so that it is built and linked once.

#[path = "../made/bundles.rs"]
mod bundles;
#[path = "../common/mod.rs"]
mod common;
#[cfg(unix)]
#[path = "../made/disks.rs"]
mod disks;
#[path = "../common/files.rs"]
mod files;
#[path = "../made/pictures.rs"]
mod pictures;
#[path = "../made/zips.rs"]
mod zips;

#[cfg(feature = "office")]
#[path = "../office/mod.rs"]
mod office;
#[path = "../outside/mod.rs"]
mod outside;

mod bundle;
#[cfg(target_os = "linux")]
mod bundle_memory;
mod bundle_refused;
mod findings_stand;
mod from_memory;
mod needs;
mod photo;
#[cfg(feature = "office")]
mod quote;
#[cfg(feature = "office")]
mod sheets;
mod slips;
mod still_matters;
mod store;
#[cfg(unix)]
mod store_crash;
mod translations;

/// What lies in a folder, by name, in order.
fn names_in(folder: &std::path::Path) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}
