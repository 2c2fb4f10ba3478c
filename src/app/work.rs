//! Work beside a window: pictures, bundles, intake. A job runs on a thread of its own and hands back what is to be
//! done in the window's session with what came of it; the window looks for that a few times a second while anything runs.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::mpsc::Sender;

/// What a job hands back.
pub type Done<S> = Box<dyn FnOnce(&mut S) + Send>;

type Work<S> = Box<dyn FnOnce(&Report<S>) -> Done<S> + Send>;

/// Work that is to be done beside the window.
pub struct Job<S> {
    work: Work<S>,
    fallen: Done<S>,
}

impl<S> Job<S> {
    /// A job; it can report while it runs.
    pub fn new(work: impl FnOnce(&Report<S>) -> Done<S> + Send + 'static) -> Job<S> {
        Job {
            work: Box::new(work),
            fallen: Box::new(|_| {}),
        }
    }

    /// What is to be done in the session where a fault of ours ends the work before it hands anything back, so that
    /// nobody waits for it.
    #[must_use]
    pub fn or(self, fallen: impl FnOnce(&mut S) + Send + 'static) -> Job<S> {
        Job {
            fallen: Box::new(fallen),
            ..self
        }
    }

    /// Does the work here and now, and hands back what came of it. (On a phone a fault ends the whole program: it is
    /// built without unwinding.)
    pub fn run(self, report: &Report<S>) -> Done<S> {
        let Job { work, fallen } = self;
        catch_unwind(AssertUnwindSafe(|| work(report))).unwrap_or(fallen)
    }
}

impl<S> std::fmt::Debug for Job<S> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Job")
    }
}

/// What comes from a running job.
pub(super) enum Word<S> {
    /// It goes on.
    Meanwhile(Done<S>),
    /// It is over.
    Over(Done<S>),
}

/// How a job reports while it runs.
pub struct Report<S>(Option<Sender<Word<S>>>);

impl<S> Report<S> {
    pub(super) fn to(sender: Sender<Word<S>>) -> Report<S> {
        Report(Some(sender))
    }

    /// A report that nobody reads.
    pub fn to_nobody() -> Report<S> {
        Report(None)
    }

    /// Has something done in the session while the job goes on.
    pub fn meanwhile(&self, done: Done<S>) {
        if let Some(sender) = &self.0 {
            // Nobody listens any more once the window is closed.
            let _ = sender.send(Word::Meanwhile(done));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    type Said = Vec<&'static str>;

    #[test]
    fn work_that_falls_hands_back_what_is_to_be_done_then() {
        let fallen = Job::new(|_: &Report<Said>| -> Done<Said> { panic!("a fault") })
            .or(|said: &mut Said| said.push("fallen"));
        let whole = Job::new(|_: &Report<Said>| -> Done<Said> {
            Box::new(|said: &mut Said| said.push("whole"))
        })
        .or(|said: &mut Said| said.push("fallen"));
        let mut said = Said::new();
        for job in [fallen, whole] {
            job.run(&Report::to_nobody())(&mut said);
        }
        assert_eq!(said, ["fallen", "whole"]);
    }
}
