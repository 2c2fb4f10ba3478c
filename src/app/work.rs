//! Work beside a window: pictures, bundles, intake. A job runs on a thread of its own and hands back what is to be
//! done in the window's session with what came of it; the window looks for that a few times a second while anything runs.

use super::session::Session;
use std::sync::mpsc::Sender;

/// What a job hands back.
pub type Done<S = Session> = Box<dyn FnOnce(&mut S) + Send>;

type Work<S> = Box<dyn FnOnce(&Report<S>) -> Done<S> + Send>;

/// Work that is to be done beside the window.
pub struct Job<S = Session>(Work<S>);

impl<S> Job<S> {
    /// A job; it can report while it runs.
    pub fn new(work: impl FnOnce(&Report<S>) -> Done<S> + Send + 'static) -> Job<S> {
        Job(Box::new(work))
    }

    /// Does the work here and now, and hands back what came of it.
    pub fn run(self, report: &Report<S>) -> Done<S> {
        (self.0)(report)
    }
}

impl<S> std::fmt::Debug for Job<S> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Job")
    }
}

/// What comes from a running job.
pub(super) enum Word<S = Session> {
    /// It goes on.
    Meanwhile(Done<S>),
    /// It is over.
    Over(Done<S>),
}

/// How a job reports while it runs.
pub struct Report<S = Session>(Option<Sender<Word<S>>>);

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
