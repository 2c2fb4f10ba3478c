//! Work beside the window: pictures, bundles. A job runs on a thread of its own and hands back what is to be
//! done in the session with what came of it; the window looks for that a few times a second while anything runs.

use super::session::Session;
use std::sync::mpsc::Sender;

/// What a job hands back.
pub type Done = Box<dyn FnOnce(&mut Session) + Send>;

/// Work that is to be done beside the window.
pub struct Job(Box<dyn FnOnce(&Report) -> Done + Send>);

impl Job {
    /// A job; it can report while it runs.
    pub fn new(work: impl FnOnce(&Report) -> Done + Send + 'static) -> Job {
        Job(Box::new(work))
    }

    /// Does the work here and now, and hands back what came of it.
    pub fn run(self, report: &Report) -> Done {
        (self.0)(report)
    }
}

impl std::fmt::Debug for Job {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Job")
    }
}

/// What comes from a running job.
pub(super) enum Word {
    /// It goes on.
    Meanwhile(Done),
    /// It is over.
    Over(Done),
}

/// How a job reports while it runs.
pub struct Report(Option<Sender<Word>>);

impl Report {
    pub(super) fn to(sender: Sender<Word>) -> Report {
        Report(Some(sender))
    }

    /// A report that nobody reads.
    pub fn to_nobody() -> Report {
        Report(None)
    }

    /// Has something done in the session while the job goes on.
    pub fn meanwhile(&self, done: Done) {
        if let Some(sender) = &self.0 {
            // Nobody listens any more once the window is closed.
            let _ = sender.send(Word::Meanwhile(done));
        }
    }
}
