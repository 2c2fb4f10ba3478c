//! Writing the bundle, beside the window.

use super::*;

impl Session {
    /// The page that writes the bundle.
    pub fn hand_over(&self) -> &HandOver {
        &self.hand_over
    }

    /// Where the bundle lies that was written of the open survey as it stands now; none of another house, and none from
    /// before the last change.
    pub fn written(&self) -> Option<&Path> {
        let (path, of) = self.hand_over.written.as_ref()?;
        (self.open()?.survey() == of).then_some(path.as_path())
    }

    /// Writes the bundle of the open survey into this folder, beside the window.
    pub fn write_bundle(&mut self, folder: &Path) {
        if self.hand_over.progress.is_some() {
            return;
        }
        self.hand_over.written = None;
        self.hand_over.trouble.clear();
        self.hand_over.folder = folder.to_owned();
        let reader = self.reader();
        let Some(open) = &mut self.open else { return };
        if let Err(error) = open.held.next_revision() {
            self.hand_over.trouble = self.told(&error);
            return;
        }
        self.judge();
        let Some(open) = &self.open else { return };
        let stop = Arc::new(AtomicBool::new(false));
        self.hand_over.progress = Some(0.0);
        self.hand_over.stop = Some(Arc::clone(&stop));
        let survey = open.survey().clone();
        let fans = self.fans.clone();
        let assessment = open.judged.assessment().clone();
        let pictures = open.held.folder().to_owned();
        let folder = folder.to_owned();
        let job: Job = Job::new(move |report: &Report| {
            let progress = |at: bundle::Progress| {
                #[allow(clippy::cast_precision_loss)]
                let share = at.done as f32 / at.total.max(1) as f32;
                report.meanwhile(Box::new(move |session: &mut Session| {
                    session.hand_over.progress = Some(share);
                }));
            };
            let contents = Contents {
                survey: &survey,
                assessment: &assessment,
                fans: &fans,
                pictures: &pictures,
                ways: reader.ways,
                language: reader.language,
            };
            let watch = Watch {
                stop: Some(&stop),
                progress: Some(&progress),
            };
            let written = std::fs::create_dir_all(&folder)
                .map_err(|error| format!("{}: {error}.", folder.display()))
                .and_then(|()| {
                    bundle::write(&contents, &folder, watch).map_err(|error| error.to_string())
                })
                .map(|path| (path, survey));
            Box::new(move |session: &mut Session| session.bundle_written(written))
        });
        self.jobs.push(job.or(|session| {
            session.bundle_over();
            session.on_job_panicked();
        }));
    }

    /// Nothing is being written any more.
    fn bundle_over(&mut self) {
        self.hand_over.progress = None;
        self.hand_over.stop = None;
    }

    pub(super) fn bundle_written(&mut self, written: Result<(PathBuf, Survey), String>) {
        self.bundle_over();
        match written {
            Ok(written) => self.hand_over.written = Some(written),
            Err(trouble) => self.hand_over.trouble = self.told(&trouble),
        }
    }

    /// Stops the writing of the bundle; nothing is left of it.
    pub fn stop_bundle(&mut self) {
        if let Some(stop) = &self.hand_over.stop {
            stop.store(true, Ordering::Relaxed);
        }
    }
}
