//! Small disks in memory that really get full, for tests.
#![allow(dead_code, reason = "each test uses its part")]

use std::io::Write;
use std::path::Path;
use std::process::Command;

/// The kernel's number for the right to mount (CAP_SYS_ADMIN, capability.h).
const RIGHT_TO_MOUNT: u32 = 21;

/// Whether a small disk can be mounted in a name space of its own. Where this program has the right to, it must be
/// possible when every test is wanted; elsewhere, as in a container without it, that is said on standard error.
pub fn may_mount() -> bool {
    let folder = tempfile::tempdir().expect("a folder");
    let tried = on_small_disk(folder.path(), "64k", &Command::new("true")).output();
    if tried.as_ref().is_ok_and(|output| output.status.success()) {
        return true;
    }
    let must = std::env::var_os("JOISTLIGHT_TEST_ALL").is_some();
    assert!(
        !(must && has_right()),
        "a small disk cannot be mounted, though this user may mount: {tried:?}"
    );
    // Past the harness, which keeps what a test that passes prints.
    let note = "this user may not mount a small disk: the check with a full one is left out\n";
    let _ = std::io::stderr().write_all(note.as_bytes());
    false
}

fn has_right() -> bool {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|it| it.strip_prefix("CapEff:"));
    let rights = line.and_then(|it| u64::from_str_radix(it.trim(), 16).ok());
    rights.is_some_and(|it| it >> RIGHT_TO_MOUNT & 1 == 1)
}

/// The same command with a disk of this size at `folder`, which is gone when the command has ended.
pub fn on_small_disk(folder: &Path, size: &str, command: &Command) -> Command {
    let script = r#"mount -t tmpfs -o "size=$1" none "$2" && shift 2 && exec "$@""#;
    let mut inside = Command::new("unshare");
    inside
        .args(["--mount", "--map-root-user", "sh", "-c", script, "sh", size])
        .arg(folder)
        .arg(command.get_program())
        .args(command.get_args());
    for (name, value) in command.get_envs() {
        match value {
            Some(value) => inside.env(name, value),
            None => inside.env_remove(name),
        };
    }
    inside
}
