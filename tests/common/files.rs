//! Finds the sources that a test reads.

use std::path::{Path, PathBuf};

/// The checkout.
pub fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The files below a folder of the checkout whose names end so, in order; or the one file that it is.
pub fn files(under: &str, ending: &str) -> Vec<PathBuf> {
    let start = root().join(under);
    if start.is_file() {
        return vec![start];
    }
    let mut found = Vec::new();
    for entry in std::fs::read_dir(&start).unwrap_or_else(|e| panic!("{under}: {e}")) {
        let path = entry.unwrap().path();
        let inner = path.strip_prefix(root()).unwrap().to_str().unwrap();
        if path.is_dir() {
            found.extend(files(inner, ending));
        } else if inner.ends_with(ending) {
            found.push(path);
        }
    }
    found.sort();
    found
}
