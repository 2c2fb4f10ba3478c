//! Runs a check's Python half.

use serde::Serialize;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The virtual environment's interpreter; made, with the pinned packages, at the first call.
fn interpreter() -> &'static Path {
    static PYTHON: OnceLock<PathBuf> = OnceLock::new();
    PYTHON.get_or_init(|| {
        let requirements = root().join("tests/outside/requirements.txt");
        let wanted = std::fs::read_to_string(&requirements).expect("requirements.txt");
        let home = match std::env::var_os("JOISTLIGHT_VENV") {
            Some(home) => PathBuf::from(home),
            None => root().join("target/outside/venv"),
        };
        let python = home.join("bin/python");
        let stamp = home.join("joistlight-requirements.txt");
        if std::fs::read_to_string(&stamp).is_ok_and(|had| had == wanted) {
            return python;
        }
        std::fs::create_dir_all(home.parent().expect("a folder")).expect("target/outside");
        run(Command::new("python3").args(["-m", "venv"]).arg(&home));
        run(Command::new(&python)
            .args([
                "-m",
                "pip",
                "install",
                "--quiet",
                "--disable-pip-version-check",
                "-r",
            ])
            .arg(&requirements));
        std::fs::write(&stamp, wanted).expect("stamp");
        python
    })
}

fn run(command: &mut Command) -> String {
    let output = command.output().unwrap_or_else(|error| {
        panic!("{command:?}: {error} (Debian: apt-get install python3-venv)")
    });
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(
        output.status.success(),
        "{command:?} failed:\n{text}\n{}",
        String::from_utf8_lossy(&output.stderr)
    );
    text
}

/// Writes `cases` as JSON and has `tests/outside/NAME.py` check them; what it prints is printed.
pub fn check(name: &str, cases: &impl Serialize) {
    let folder = root().join("target/outside");
    std::fs::create_dir_all(&folder).expect("target/outside");
    let file = folder.join(format!("{name}.json"));
    std::fs::write(&file, serde_json::to_vec(cases).expect("cases")).expect("cases file");
    let script = root().join(format!("tests/outside/{name}.py"));
    print!("{}", run(Command::new(interpreter()).arg(script).arg(file)));
}
