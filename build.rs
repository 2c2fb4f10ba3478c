//! Makes the tables of translations, and compiles the window's `.slint` files when the `ui` feature is on.

use std::fmt::Write as _;
use std::path::Path;

fn main() {
    version();
    built();
    translations();
    #[cfg(feature = "ui")]
    compile_window();
}

/// What `--version` says: the version, and for a release build the commit it is made from.
///
/// A development build does not ask, since every commit would then compile the window anew.
fn version() {
    println!("cargo::rerun-if-changed=build.rs");
    let version = std::env::var("CARGO_PKG_VERSION").expect("cargo says which");
    let commit = match std::env::var("PROFILE").as_deref() {
        Ok("release") => commit(),
        _ => Some("development build".to_owned()),
    };
    match commit {
        Some(commit) => println!("cargo::rustc-env=JOISTLIGHT_VERSION={version} ({commit})"),
        None => println!("cargo::rustc-env=JOISTLIGHT_VERSION={version}"),
    }
}

/// The commit of this checkout; `None` where the sources are no checkout.
fn commit() -> Option<String> {
    let git = |arguments: &[&str]| {
        let output = std::process::Command::new("git")
            .args(arguments)
            .output()
            .ok()?;
        let text = String::from_utf8(output.stdout).ok()?;
        output.status.success().then(|| text.trim().to_owned())
    };
    println!(
        "cargo::rerun-if-changed={}",
        git(&["rev-parse", "--git-path", "logs/HEAD"])?
    );
    git(&["rev-parse", "--short=10", "HEAD"])
}

/// When the program was built, in seconds since 1970: no clock that is right is before it. Whoever builds the same
/// program twice names the moment (<https://reproducible-builds.org/specs/source-date-epoch/>).
fn built() {
    println!("cargo::rerun-if-env-changed=SOURCE_DATE_EPOCH");
    let named = std::env::var("SOURCE_DATE_EPOCH").ok();
    let built = named.and_then(|it| it.parse().ok()).unwrap_or_else(|| {
        let now = std::time::UNIX_EPOCH.elapsed();
        now.map_or(0, |since| since.as_secs())
    });
    println!("cargo::rustc-env=JOISTLIGHT_BUILT={built}");
}

/// One sorted table a language, from the same `.po` files that the window's texts come from.
fn translations() {
    let mut out = String::new();
    for (language, table) in [("es", "ES")] {
        let file = format!("ui/lang/{language}/LC_MESSAGES/joistlight.po");
        println!("cargo::rerun-if-changed={file}");
        let catalogue = rspolib::pofile(file.as_str()).unwrap_or_else(|e| panic!("{file}: {e}"));
        let mut rows: Vec<(String, String)> = catalogue
            .entries
            .into_iter()
            .filter(|entry| !entry.obsolete)
            .filter_map(|entry| Some((entry.msgid, entry.msgstr.filter(|s| !s.is_empty())?)))
            .collect();
        rows.sort();
        for pair in rows.windows(2) {
            assert!(
                pair[0].0 != pair[1].0,
                "{file}: “{}” stands there twice",
                pair[0].0
            );
        }
        writeln!(out, "static {table}: &[(&str, &str)] = &{rows:?};").expect("a string");
    }
    let folder = std::env::var_os("OUT_DIR").expect("cargo says where");
    std::fs::write(Path::new(&folder).join("words.rs"), out).expect("words.rs can be written");
}

/// One root, so that nothing is generated twice. Fonts and pictures go into the program: what the
/// window shows depends on no file of the machine.
#[cfg(feature = "ui")]
fn compile_window() {
    use slint_build::{CompilerConfiguration, DefaultTranslationContext, EmbedResourcesKind};
    let config = CompilerConfiguration::new()
        .with_style("fluent".into())
        .embed_resources(EmbedResourcesKind::EmbedFiles)
        .with_bundled_translations("ui/lang")
        .with_default_translation_context(DefaultTranslationContext::None)
        // Tests find elements by name; what is shipped need not carry their names.
        .with_debug_info(std::env::var_os("CARGO_FEATURE_DRIVE").is_some());
    // The office's window is no part of a phone's program.
    let root = match std::env::var_os("CARGO_FEATURE_OFFICE") {
        Some(_) => "ui/desk.slint",
        None => "ui/main.slint",
    };
    slint_build::compile_with_config(root, config).unwrap_or_else(|e| panic!("{root}: {e}"));
    if std::env::var_os("CARGO_FEATURE_DRIVE").is_some() {
        compile_faults();
    }
}

/// The small window with faults made on purpose, by which the tests of the screens show that they find each.
#[cfg(feature = "ui")]
fn compile_faults() {
    use slint_build::{CompilerConfiguration, EmbedResourcesKind};
    let config = CompilerConfiguration::new()
        .with_style("fluent".into())
        .embed_resources(EmbedResourcesKind::EmbedFiles)
        .with_debug_info(true);
    let root = std::env::var_os("CARGO_MANIFEST_DIR").expect("cargo says where");
    let input = Path::new(&root).join("tests/screens/faults.slint");
    println!("cargo::rerun-if-changed={}", input.display());
    let folder = std::env::var_os("OUT_DIR").expect("cargo says where");
    let output = Path::new(&folder).join("faults.rs");
    slint_build::compile_with_output_path(input, output, config).expect("faults.slint compiles");
}
