//! A PostgreSQL server of the tests' own: on loopback, in a temporary folder, gone when the tests end.

use joistlight::office::register::Location;
use std::io::Write;
use std::net::TcpListener;
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::{Duration, Instant};

/// The newest of Debian's PostgreSQL versions, where one is installed.
fn programs() -> Option<PathBuf> {
    let mut versions: Vec<PathBuf> = std::fs::read_dir("/usr/lib/postgresql")
        .ok()?
        .flatten()
        .map(|entry| entry.path().join("bin"))
        .filter(|bin| bin.join("initdb").is_file())
        .collect();
    versions.sort();
    versions.pop()
}

/// The server refuses to run as root; then it runs as the user that Debian's package makes for it.
fn server_user() -> Option<(u32, u32)> {
    // SAFETY: asks for a number.
    if unsafe { libc::geteuid() } != 0 {
        return None;
    }
    let id = |option: &str| -> u32 {
        let output = Command::new("id").args([option, "postgres"]).output();
        let output = output.expect("id");
        String::from_utf8_lossy(&output.stdout)
            .trim()
            .parse()
            .expect("a user postgres")
    };
    Some((id("-u"), id("-g")))
}

fn as_user(command: &mut Command, user: Option<(u32, u32)>) -> &mut Command {
    match user {
        Some((user, group)) => command.uid(user).gid(group),
        None => command,
    }
}

fn start(bin: &Path) -> u16 {
    let user = server_user();
    let folder = tempfile::Builder::new()
        .prefix("joistlight-postgres-")
        .tempdir()
        .expect("a folder")
        .keep();
    if let Some((user, group)) = user {
        std::os::unix::fs::chown(&folder, Some(user), Some(group)).expect("chown");
    }
    let data = folder.join("data");
    let made = as_user(&mut Command::new(bin.join("initdb")), user)
        .current_dir(&folder)
        .args([
            "--auth=trust",
            "--username=office",
            "--encoding=UTF8",
            "--locale=C.UTF-8",
        ])
        .arg("--no-sync")
        .arg(&data)
        .output()
        .expect("initdb");
    assert!(made.status.success(), "{made:?}");
    // The number is free now; that somebody else takes it within the next second is unlikely.
    let port = TcpListener::bind("127.0.0.1:0")
        .and_then(|listener| listener.local_addr())
        .expect("a port")
        .port();
    // The shell ends the server when the pipe to it closes, which happens however the tests end.
    let script = r#"
        "$1/postgres" -D "$2/data" -p "$3" -k "$2" -c listen_addresses=127.0.0.1 -c max_connections=60 \
            >"$2/log" 2>&1 &
        server=$!
        cat >/dev/null
        kill -QUIT $server
        wait $server
        rm -rf "$2"
    "#;
    #[expect(clippy::zombie_processes, reason = "it outlives the tests by design")]
    let mut guard = as_user(&mut Command::new("sh"), user)
        .current_dir(&folder)
        .args(["-c", script, "sh"])
        .arg(bin)
        .arg(&folder)
        .arg(port.to_string())
        .stdin(Stdio::piped())
        .spawn()
        .expect("sh");
    std::mem::forget(guard.stdin.take());
    let begin = Instant::now();
    while let Err(error) = postgres::Client::connect(&address(port, "postgres"), postgres::NoTls) {
        assert!(
            begin.elapsed() < Duration::from_secs(60),
            "{error}\n{}",
            std::fs::read_to_string(folder.join("log")).unwrap_or_default()
        );
        std::thread::sleep(Duration::from_millis(50));
    }
    port
}

fn address(port: u16, database: &str) -> String {
    format!("postgres://office@127.0.0.1:{port}/{database}")
}

/// An empty database on the server, which is started at the first call; `None` where PostgreSQL is not installed,
/// which the test command does not put up with.
pub fn fresh() -> Option<Location> {
    static PORT: OnceLock<Option<u16>> = OnceLock::new();
    static COUNT: AtomicU32 = AtomicU32::new(0);
    let port = *PORT.get_or_init(|| match programs() {
        Some(bin) => Some(start(&bin)),
        None => {
            let must = std::env::var_os("JOISTLIGHT_TEST_ALL").is_some();
            assert!(
                !must,
                "PostgreSQL is missing (Debian: apt-get install postgresql)"
            );
            let note = "PostgreSQL is not installed: the checks with it are left out\n";
            let _ = std::io::stderr().write_all(note.as_bytes());
            None
        }
    });
    let port = port?;
    let name = format!("register{}", COUNT.fetch_add(1, Ordering::Relaxed));
    postgres::Client::connect(&address(port, "postgres"), postgres::NoTls)
        .and_then(|mut client| client.batch_execute(&format!("CREATE DATABASE {name}")))
        .expect("a database");
    Some(Location::Server(address(port, &name)))
}

/// Runs a test on a register in a folder, and then on one on a server.
pub fn on_both(test: impl Fn(&Location)) {
    let folder = tempfile::tempdir().expect("a folder");
    test(&Location::Folder(folder.path().join("register")));
    if let Some(server) = fresh() {
        test(&server);
    }
}

/// Runs statements on the register's tables behind its back.
pub fn behind_its_back(location: &Location, sql: &str) {
    match location {
        Location::Folder(folder) => {
            let file = rusqlite::Connection::open(folder.join("register.sqlite")).unwrap();
            file.execute_batch(sql).unwrap();
        }
        Location::Server(address) => {
            let mut client = postgres::Client::connect(address, postgres::NoTls).unwrap();
            client.batch_execute(sql).unwrap();
        }
    }
}
