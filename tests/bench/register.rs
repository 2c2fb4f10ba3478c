//! How long a page of the list takes in a register of 100,000 surveys. Prints figures; nothing is asserted.
//!
//! Run with `cargo bench --no-default-features --features office --bench register`, with another number of surveys as
//! `… --bench register -- 10000`. The rows are written straight into the tables; the register that is measured
//! reads them as it reads its own.

#[path = "../office/server.rs"]
#[allow(dead_code)]
mod server;

use joistlight::office::register::{Location, Register, Sort, Status, Wanted};
use joistlight::rules::Verdict;
use std::time::Instant;

const STREETS: [&str; 40] = [
    "fern", "juniper", "oak", "birch", "willow", "alder", "cedar", "maple", "aspen", "hazel",
    "rowan", "elm", "ash", "beech", "larch", "spruce", "pine", "holly", "ivy", "moss", "heather",
    "bracken", "clover", "thistle", "bramble", "nettle", "sorrel", "yarrow", "tansy", "mallow",
    "sedge", "reed", "rush", "flax", "barley", "rye", "oat", "millet", "clay", "marl",
];
const NAMES: [&str; 25] = [
    "ada", "bel", "cato", "dora", "emil", "fay", "gus", "hana", "ivo", "june", "kit", "lena",
    "milo", "nora", "otto", "pia", "quin", "rosa", "sam", "tess", "ugo", "vera", "wim", "xena",
    "yuri",
];

/// What is written for each survey: id, job, client, address, surveyor, day, verdict, status, missing, words.
struct Row {
    id: String,
    job: String,
    client: String,
    address: String,
    surveyor: String,
    visited: i64,
    verdict: i64,
    status: i64,
    missing: i64,
    words: String,
}

fn row(number: i64) -> Row {
    let n = usize::try_from(number).expect("a number");
    let pick = |from: &[&'static str], by: usize| from[(n * by + n / 7) % from.len()];
    let client = format!("{} {}ton", pick(&NAMES, 3), pick(&STREETS, 11));
    let address = format!("{} {} row, exampleville", n % 900 + 1, pick(&STREETS, 7));
    let surveyor = format!("{} sample", NAMES[n % 12]);
    let id = format!("{number:08x}-0000-4000-8000-{:012x}", n * 7919 % 1_000_003);
    let mut words: Vec<String> = joistlight::office::search::words_in(&format!(
        "{id} job {number} {client} {address} {surveyor} hall bedroom landing closet switch beside door note {} {}",
        pick(&STREETS, 13),
        pick(&NAMES, 17),
    ));
    words.sort();
    words.dedup();
    Row {
        job: format!("job {number}"),
        visited: 1_700_000_000 + (number * 7919 % 60_000_000),
        verdict: number % 4,
        status: number / 3 % 5,
        missing: number * 31 % 40,
        words: words.join(" "),
        id,
        client,
        address,
        surveyor,
    }
}

const SUMMARY: &str = r#"{"verdict":"fits with work","settled":true,"spots":[{"spot":1,"name":"By the bedrooms","verdict":"fits with work","settled":true,"fan":"direct-30","framing":"joists left whole","work":["exhaust-vents"],"against":[],"missing":0}]}"#;

const INSERT: &str = "INSERT INTO survey (number, id, bundle, revision, revisions, taken, visited, visited_at, job,
    job_key, client, client_key, address, surveyor, surveyor_key, verdict, settled, missing, status, summary,
    work, fan_key{words})
    VALUES ($1, $2, $2, 1, 1, $3, $4, '2026-05-03T18:20:00-07:00', $5, $5, $6, $6, $7, $8, $8, $9, 1, $10, $11, $12,
    CAST($9 AS BIGINT) + 1, 'direct-30'{value})";

/// The statement for one database: SQLite keeps a survey's words in its row as well.
fn insert(words: &str, value: &str) -> String {
    INSERT.replace("{words}", words).replace("{value}", value)
}

fn fill(location: &Location, count: i64) {
    drop(Register::open(location).expect("a register"));
    match location {
        Location::Folder(folder) => {
            let mut file = rusqlite::Connection::open(folder.join("register.sqlite")).expect("it");
            let all = file.transaction().expect("a transaction");
            {
                let insert = insert(", words", ", ' ' || $13").replace('$', "?");
                let mut survey = all.prepare(&insert).expect("a statement");
                let mut words = all
                    .prepare("INSERT INTO words (rowid, text) VALUES (?1, ?2)")
                    .expect("a statement");
                for number in 1..=count {
                    let row = row(number);
                    survey
                        .execute(rusqlite::params![
                            number,
                            row.id,
                            row.visited + 90_000,
                            row.visited,
                            row.job,
                            row.client,
                            row.address,
                            row.surveyor,
                            row.verdict,
                            row.missing,
                            row.status,
                            SUMMARY,
                            row.words
                        ])
                        .expect("a row");
                    words
                        .execute(rusqlite::params![number, row.words])
                        .expect("words");
                }
            }
            all.commit().expect("a commit");
        }
        Location::Server(address) => {
            let mut client =
                postgres::Client::connect(address, postgres::NoTls).expect("a connection");
            let mut all = client.transaction().expect("a transaction");
            let survey = all.prepare(&insert("", "")).expect("a statement");
            let words = all
                .prepare(
                    "UPDATE survey SET words = array_to_tsvector(string_to_array($2, ' ')) WHERE number = $1",
                )
                .expect("a statement");
            for number in 1..=count {
                let row = row(number);
                all.execute(
                    &survey,
                    &[
                        &number,
                        &row.id,
                        &(row.visited + 90_000),
                        &row.visited,
                        &row.job,
                        &row.client,
                        &row.address,
                        &row.surveyor,
                        &row.verdict,
                        &row.missing,
                        &row.status,
                        &SUMMARY,
                    ],
                )
                .expect("a row");
                all.execute(&words, &[&number, &row.words]).expect("words");
            }
            all.batch_execute(
                "INSERT INTO word_row (number, words) SELECT number, words FROM survey;
                 INSERT INTO vocabulary (word, surveys)
                     SELECT word, count(*) FROM survey, unnest(tsvector_to_array(words)) AS word GROUP BY word;",
            )
            .expect("the counts of words");
            all.commit().expect("a commit");
            client
                .batch_execute("VACUUM ANALYZE")
                .expect("vacuum and analyze");
        }
    }
}

fn measure(location: &Location, count: i64) {
    let begun = Instant::now();
    fill(location, count);
    println!(
        "\n{location}: {count} surveys written in {:.1} s; load of the machine {}",
        begun.elapsed().as_secs_f64(),
        std::fs::read_to_string("/proc/loadavg")
            .unwrap_or_default()
            .trim()
    );
    let mut register = Register::open(location).expect("a register");
    let search = |words: &str| Wanted {
        words: words.into(),
        ..Wanted::default()
    };
    let sorted = |sort: Sort, descending: bool| Wanted {
        sort,
        descending,
        ..Wanted::default()
    };
    let middle = usize::try_from(count / 2).expect("a number");
    let wanted: Vec<(String, Wanted)> = [
        ("the first page", Wanted::default()),
        (
            "a page in the middle",
            Wanted {
                skip: middle,
                ..Wanted::default()
            },
        ),
        ("a rare word", search("job 77 birch")),
        ("a word of one survey in forty", search("juniper")),
        ("a word of every survey", search("exampleville")),
        ("the beginning of a word", search("ju ex")),
        (
            "every survey's word, by client",
            Wanted {
                sort: Sort::Client,
                descending: false,
                ..search("exampleville")
            },
        ),
        (
            "a verdict and a status",
            Wanted {
                verdict: Some(Verdict::FitsWithWork),
                status: Some(Status::Quoted),
                ..Wanted::default()
            },
        ),
        (
            "a surveyor's, from a day on",
            Wanted {
                surveyor: Some("Dora Sample".into()),
                from: Some(1_730_000_000),
                ..Wanted::default()
            },
        ),
    ]
    .into_iter()
    .map(|(name, wanted)| (name.to_owned(), wanted))
    .chain(Sort::ALL.iter().map(|sort| {
        let name = format!("by {}, the least first", sort.code());
        (name, sorted(*sort, false))
    }))
    .collect();
    for (what, wanted) in &wanted {
        let mut times = Vec::new();
        let mut all = 0;
        for _ in 0..15 {
            let start = Instant::now();
            all = register.list(wanted).expect("a page").all;
            times.push(start.elapsed().as_secs_f64() * 1e3);
        }
        times.sort_by(f64::total_cmp);
        println!(
            "{what:<34} of {all:>7}: median {:7.2} ms, worst {:7.2} ms",
            times[7], times[14]
        );
    }
}

fn main() {
    let count = std::env::args()
        .find_map(|argument| argument.parse().ok())
        .unwrap_or(100_000);
    let folder = tempfile::tempdir().expect("a folder");
    let mut memory = 0.0;
    for part in [count / 10, count] {
        let location = Location::Folder(folder.path().join(part.to_string()));
        measure(&location, part);
        memory = peak();
    }
    println!("peak of memory so far {memory:.0} MB");
    if let Some(server) = server::fresh() {
        measure(&server, count);
    }
}

/// The most memory that this program had, in MB.
fn peak() -> f64 {
    // SAFETY: plain numbers, for which nought is a value, and a pointer to them.
    let usage = unsafe {
        let mut usage: libc::rusage = std::mem::zeroed();
        libc::getrusage(libc::RUSAGE_SELF, &mut usage);
        usage
    };
    usage.ru_maxrss as f64 / 1024.0
}
