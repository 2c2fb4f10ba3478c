//! How long one judgement takes, and how it grows. Prints figures; nothing is asserted.
//!
//! Run with `cargo bench --no-default-features --features office --bench assess`.

#[path = "large.rs"]
mod large;

use joistlight::rules::{Outcome, assess, matters::what_matters};
use joistlight::survey::FieldRef;
use joistlight::trade::codes::Codes;
use joistlight::trade::fan::FanList;
use large::{LARGE, Size, eight, half_way, survey};
use std::hint::black_box;
use std::time::Instant;

/// The processor's time that this thread has taken so far, in milliseconds: whatever else the machine does.
fn spent() -> f64 {
    let mut time = libc::timespec {
        tv_sec: 0,
        tv_nsec: 0,
    };
    // SAFETY: `time` is a value of this function.
    unsafe { libc::clock_gettime(libc::CLOCK_THREAD_CPUTIME_ID, &mut time) };
    time.tv_sec as f64 * 1e3 + time.tv_nsec as f64 / 1e6
}

/// The median of the processor's time in milliseconds.
fn median(mut work: impl FnMut()) -> f64 {
    let begun = Instant::now();
    let mut times = Vec::new();
    while times.len() < 20 || (begun.elapsed().as_secs_f64() < 1.0 && times.len() < 2000) {
        let start = spent();
        work();
        times.push(spent() - start);
    }
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

fn judged(size: Size, fans: &FanList) -> f64 {
    let survey = survey(size);
    let codes = Codes::default();
    median(|| {
        black_box(assess(black_box(&survey), fans, &codes));
    })
}

fn growth(what: &str, fans: &FanList, sizes: &[usize], with: impl Fn(usize) -> Size) {
    println!("\ngrowth with {what} (the rest as above)");
    let mut before: Option<(usize, f64)> = None;
    for &count in sizes {
        let time = judged(with(count), fans);
        let ratio = before.map_or(String::new(), |(less, then)| {
            format!(
                "   {:4.2} times the time for {:4.2} times as many",
                time / then,
                count as f64 / less as f64
            )
        });
        println!("{count:>6}  median {time:8.3} ms{ratio}");
        before = Some((count, time));
    }
}

fn main() {
    let fans = eight();
    let large = survey(LARGE);
    let codes = Codes::default();
    let assessment = assess(&large, &fans, &codes);
    println!(
        "{} spots, {} fans, {} joists and {} obstructions each, {} vents",
        LARGE.spots,
        fans.fans.len(),
        LARGE.joists,
        LARGE.obstructions,
        LARGE.vents
    );
    for spot in &assessment.spots {
        // What keeps the best choice from fitting, so that nobody takes an early "no" for a fast judgement.
        let choice = spot.choices.iter().max_by_key(|choice| choice.verdict);
        let fails: Vec<&str> = choice
            .into_iter()
            .flat_map(|choice| assessment.bearing_on(spot, choice))
            .filter(|finding| finding.outcome == Outcome::Fails)
            .map(|finding| finding.rule)
            .collect();
        println!(
            "  spot {}: {} {}",
            spot.spot.0,
            spot.verdict.label(),
            fails.join(", ")
        );
        let place = choice
            .into_iter()
            .flat_map(|choice| &choice.findings)
            .find(|finding| finding.rule == "place");
        if let Some(place) = place {
            println!("    {}", place.say.english());
        }
    }
    println!(
        "judging and what still matters median {:8.3} ms",
        judged(LARGE, &fans)
    );
    // What happens at every key: the digits so far are read into the survey, everything is judged, what still matters
    // is told.
    let mut typed = large.clone();
    let at = FieldRef::spot("attic.clear_height", large.spots[0].id);
    let mut digits = ["7", "75", "75 1/2"].into_iter().cycle();
    let keystroke = median(|| {
        let text = digits.next().expect("endless");
        typed
            .type_in(at, text, &Default::default())
            .expect("a length");
        black_box(what_matters(&assess(black_box(&typed), &fans, &codes)));
    });
    println!("one keystroke     median {keystroke:8.3} ms: read in, judged, what still matters");
    let json = median(|| {
        black_box(serde_json::to_vec(black_box(&assessment)).expect("JSON"));
    });
    println!("as JSON           median {json:8.3} ms");
    let crowded = Size {
        crowded: true,
        ..LARGE
    };
    println!(
        "things everywhere that anybody can move: judging  median {:8.3} ms",
        judged(crowded, &fans)
    );
    let half_way = half_way(crowded);
    println!(
        "the same with a third of the answers missing: judging and what still matters  median {:8.3} ms, {} answers matter",
        median(|| {
            let assessment = assess(black_box(&half_way), &fans, &codes);
            black_box(what_matters(black_box(&assessment)));
        }),
        what_matters(&assess(&half_way, &fans, &codes))
            .iter()
            .map(|spot| spot.matters.len())
            .sum::<usize>(),
    );
    growth(
        "obstructions",
        &fans,
        &[25, 50, 100, 200, 400],
        |obstructions| Size {
            obstructions,
            ..LARGE
        },
    );
    growth(
        "obstructions everywhere",
        &fans,
        &[25, 50, 100, 200, 400],
        |obstructions| Size {
            obstructions,
            ..crowded
        },
    );
    growth("vents", &fans, &[15, 30, 60, 120, 240], |vents| Size {
        vents,
        ..LARGE
    });
    growth("joists", &fans, &[10, 20, 40, 80], |joists| Size {
        joists,
        ..LARGE
    });
}
