//! What the events of one survey come to: how far the job is, which bundle the list shows, which ones wait.

use super::Status;
use crate::digest::Sha256Hex;
use crate::office::log::{Event, What};
use crate::survey::When;
use std::cmp::Ordering;

/// More bundles of one survey than any device writes.
pub(super) const REVISION_MOST: u32 = 10_000;
/// The beginning of 2020 in UTC: no survey is older than this program.
const FIRST: i64 = 1_577_836_800;
/// How much a device's clock may be ahead: a day, for whoever set the wrong date line.
const AHEAD: i64 = 24 * 60 * 60;

/// Why a survey's own count and clock cannot be believed at a moment; nothing where they can.
pub(in crate::office) fn unbelievable(
    revision: u32,
    times: &[(&'static str, When)],
    now: When,
) -> Option<String> {
    if revision > REVISION_MOST {
        return Some(format!(
            "revision: {revision} is more than any device counts to (at most {REVISION_MOST}); hand the survey over again from the device."
        ));
    }
    let mut times = times.iter();
    times.find_map(|(field, when)| {
        if when.unix_seconds() < FIRST {
            return Some(format!(
                "{field}: {when} is before 2020; set the device's clock and hand the survey over again."
            ));
        }
        (when.unix_seconds() > now.unix_seconds() + AHEAD).then(|| {
            format!(
                "{field}: {when} is more than a day ahead; set the device's clock and hand the survey over again."
            )
        })
    })
}

/// A bundle, as far as its order among the others of its survey goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Version {
    pub(super) bundle: Sha256Hex,
    revision: u32,
    changed: i64,
    /// Whether count and clock could be believed when it came in; earlier programs let others in, too.
    believable: bool,
}

impl Version {
    /// How it stands to another one; nothing where its count says one thing and its clock another.
    fn order(&self, other: &Version) -> Option<Ordering> {
        let count = self.revision.cmp(&other.revision);
        let clock = self.changed.cmp(&other.changed);
        match (self.believable.cmp(&other.believable), count, clock) {
            (Ordering::Equal, Ordering::Equal, Ordering::Equal) => {
                Some(self.bundle.cmp(&other.bundle))
            }
            (Ordering::Equal, one, same) | (Ordering::Equal, same, one)
                if same == Ordering::Equal || one == same =>
            {
                Some(one)
            }
            (Ordering::Equal, _, _) => None,
            (believed, _, _) => Some(believed),
        }
    }
}

/// What the events of one survey come to.
#[derive(Debug, Clone, Default)]
pub(super) struct Job {
    /// How far the job is.
    pub(super) status: Status,
    /// The day that was agreed on.
    pub(super) date: Option<String>,
    /// Who builds it.
    pub(super) crew: Option<String>,
    /// The bundle that the list shows.
    pub(super) shown: Option<Version>,
    /// The bundles that somebody has to look at before one of them is shown.
    pub(super) waiting: Vec<Version>,
    /// All bundles, as they came in.
    pub(super) versions: Vec<Version>,
    /// The last event.
    pub(super) event: u64,
}

impl Job {
    /// Reads the events of one survey, the first one first.
    pub(super) fn of(events: &[Event]) -> Job {
        let mut job = Job::default();
        for event in events {
            job.read(event);
        }
        job
    }

    fn read(&mut self, event: &Event) {
        self.event = event.event;
        match &event.what {
            What::TakenIn {
                bundle,
                revision,
                changed,
                ..
            } => {
                let believable = unbelievable(*revision, &[("", *changed)], event.at).is_none();
                self.came(Version {
                    bundle: *bundle,
                    revision: *revision,
                    changed: changed.unix_seconds(),
                    believable,
                });
            }
            What::Marked {
                status, date, crew, ..
            } => {
                self.status = *status;
                if date.is_some() {
                    self.date.clone_from(date);
                    self.crew.clone_from(crew);
                }
            }
            What::Accepted { bundle, .. } => {
                let one = self.versions.iter().find(|one| one.bundle == *bundle);
                if let Some(one) = one {
                    self.shown = Some(*one);
                    self.waiting.clear();
                }
            }
            _ => {}
        }
    }

    fn came(&mut self, version: Version) {
        self.versions.push(version);
        let Some(shown) = self.shown else {
            self.shown = Some(version);
            return;
        };
        match version.order(&shown) {
            Some(Ordering::Less | Ordering::Equal) => {}
            // Nobody relies on a job that is new: its latest revision counts.
            Some(Ordering::Greater) if self.status == Status::New => {
                self.shown = Some(version);
                self.waiting
                    .retain(|one| one.order(&version) != Some(Ordering::Less));
            }
            // The very same survey in another file changes nothing.
            Some(Ordering::Greater)
                if (version.revision, version.changed) == (shown.revision, shown.changed) => {}
            Some(Ordering::Greater) | None => self.waiting.push(version),
        }
    }

    /// Whether count and clock of this bundle could be believed when it came in.
    pub(super) fn believes(&self, bundle: &Sha256Hex) -> bool {
        self.versions
            .iter()
            .any(|one| one.bundle == *bundle && one.believable)
    }

    /// The checksums of the bundles that wait, as the list keeps them.
    pub(super) fn waiting_text(&self) -> String {
        let all: Vec<String> = self
            .waiting
            .iter()
            .map(|one| one.bundle.to_string())
            .collect();
        all.join(" ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn version(revision: u32, changed: i64) -> Version {
        Version {
            bundle: Sha256Hex::of(
                &[revision.to_be_bytes(), (changed as u32).to_be_bytes()].concat(),
            ),
            revision,
            changed,
            believable: true,
        }
    }

    #[test]
    fn count_and_clock_must_agree() {
        let order = |a: (u32, i64), b: (u32, i64)| version(a.0, a.1).order(&version(b.0, b.1));
        assert_eq!(order((2, 5), (1, 5)), Some(Ordering::Greater));
        assert_eq!(order((2, 5), (2, 6)), Some(Ordering::Less));
        assert_eq!(order((3, 9), (2, 6)), Some(Ordering::Greater));
        assert_eq!(order((1, 4), (2, 6)), Some(Ordering::Less));
        assert_eq!(order((3, 5), (2, 6)), None);
        assert_eq!(order((1, 9), (2, 6)), None);
        let absurd = Version {
            believable: false,
            ..version(u32::MAX, i64::from(u32::MAX))
        };
        assert_eq!(absurd.order(&version(1, 1)), Some(Ordering::Less));
        assert_eq!(version(1, 1).order(&absurd), Some(Ordering::Greater));
    }

    #[test]
    fn a_count_or_a_clock_that_cannot_be_is_named() {
        let now: When = "2026-05-03T18:20:00-07:00".parse().unwrap();
        let why = |revision: u32, changed: &str| {
            unbelievable(revision, &[("changed", changed.parse().unwrap())], now)
        };
        assert_eq!(why(12, "2026-05-03T18:20:00-07:00"), None);
        assert_eq!(why(10_000, "2026-05-04T18:20:00-07:00"), None);
        assert!(
            why(10_001, "2026-05-03T18:20:00-07:00")
                .unwrap()
                .starts_with("revision: 10001")
        );
        assert!(
            why(1, "2026-05-04T18:20:01-07:00")
                .unwrap()
                .starts_with("changed: 2026-05-04")
        );
        assert!(
            why(1, "2019-12-31T23:59:59Z")
                .unwrap()
                .contains("before 2020")
        );
        assert_eq!(why(1, "2020-01-01T00:00:00Z"), None);
    }
}
