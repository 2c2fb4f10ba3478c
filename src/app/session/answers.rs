//! Answers: every one goes through one commit, which has it on disk before anything else happens.

use super::*;

impl Session {
    /// A row was tapped.
    pub fn tap(&mut self, key: Key) {
        match key {
            Key::Field(at) => self.open_keys(at),
            Key::Entry { list, item } => self.go(View::Place(Place::Item { list, item })),
            Key::Add(list) => self.add_entry(list),
            Key::Another => self.add_copy(),
            Key::CopySpot => self.add_spot(true),
            Key::RemoveSpot => self.remove_spot(),
            Key::NoneSeen => self.none_seen(),
            Key::Full => self.turn_form(),
            Key::AsLast => self.as_last(),
            Key::AsSpot => self.as_spot(),
            Key::Side => {}
            Key::Photos => {
                if let Some(place) = self.place() {
                    self.tie_to(place);
                }
                self.go(View::Photos);
            }
            Key::Next => {
                if let Some(stop) = self.place().and_then(|place| next_stop(place.stop())) {
                    self.go_stop(stop);
                }
            }
            Key::Nothing => {}
        }
    }

    /// A figure was typed into a row: it opens the keys and is the first on them.
    pub fn open_keys_with(&mut self, at: FieldRef, text: &str) {
        self.open_keys(at);
        self.guard.was_meant();
        self.key(text);
    }

    /// An answer was tapped in its row; see [`Session::pick`].
    pub fn pick_in_row(&mut self, at: FieldRef, option: Option<usize>) {
        if self.guard.takes_answer(at, safety::is_of_life(at.field)) {
            self.pick(at, option);
        }
    }

    /// Opens the keypad or the list of answers for a field. A hazard has neither: it is answered in its row, which
    /// is brought into view.
    pub fn open_keys(&mut self, at: FieldRef) {
        let Some(kind) = fields::kind_of(at.field) else {
            return;
        };
        if safety::is_hazard(at.field) {
            self.close_sheet();
            self.show = Some(Key::Field(at));
            self.bookmark();
            return;
        }
        let sheet = match kind {
            Kind::Choice(_) | Kind::YesNo | Kind::Complete => Some(Sheet::Picks { at }),
            Kind::Text if flow::asked_in_turn(at.field) => Some(Sheet::Picks { at }),
            _ => Layout::of(kind, &self.reader().ways).map(|_| Sheet::Keys {
                at,
                kind,
                typed: Typed::default(),
                trouble: String::new(),
            }),
        };
        self.show_sheet(sheet);
        self.show = Some(Key::Field(at));
        self.bookmark();
    }

    /// An answer was picked from those side by side; `None` takes it back.
    pub fn pick(&mut self, at: FieldRef, option: Option<usize>) {
        let text = match (fields::kind_of(at.field), option) {
            (_, None) => "",
            (Some(Kind::YesNo | Kind::Complete), Some(0)) => "yes",
            (Some(Kind::YesNo), Some(_)) => "no",
            (Some(Kind::Choice(words)), Some(n)) => match words.get(n) {
                Some(word) => word.code,
                None => return,
            },
            _ => return,
        };
        self.commit(at, text);
    }

    /// Words are being typed into a field; they are committed by [`Session::flush`].
    pub fn edit_words(&mut self, at: FieldRef, text: &str) {
        if self.draft.as_ref().is_some_and(|(there, _)| *there != at) {
            self.flush();
        }
        self.draft = Some((at, text.to_owned()));
    }

    /// Commits the words that were typed last. Everything that a tap does begins with this.
    pub fn flush(&mut self) {
        if let Some((at, text)) = self.draft.take() {
            self.commit(at, &text);
        }
    }

    /// The program goes to the back, where the system may end it: what is being typed is on the disk first.
    pub fn on_background(&mut self) {
        self.tray.on_background();
        self.flush();
        let typed = match &self.sheet {
            Some(Sheet::Keys { at, typed, .. }) if !typed.is_empty() => Some(store::HalfTyped {
                field: at.field.to_owned(),
                text: typed.text().to_owned(),
                turned: self.keys_turned,
            }),
            _ => None,
        };
        self.note_half_typed(typed);
    }

    /// What was on the keys when the program was ended is on them again, where the same keys are up.
    pub(super) fn type_again(&mut self) {
        let before = self.open.as_ref().and_then(|open| open.held.half_typed());
        if let Some(before) = before.cloned()
            && let Some(Sheet::Keys { at, typed, .. }) = &mut self.sheet
            && at.field == before.field
        {
            *typed = Typed::new(&before.text);
            self.keys_turned = before.turned;
        }
        self.note_half_typed(None);
    }

    /// A disk that refuses costs a few figures; it is not worth a message while the program goes.
    pub(super) fn note_half_typed(&mut self, typed: Option<store::HalfTyped>) {
        if let Some(open) = &mut self.open {
            let _ = open.held.note_half_typed(typed);
        }
    }

    /// One more or one less.
    pub fn step(&mut self, at: FieldRef, by: i32) {
        let Some(kind) = fields::kind_of(at.field) else {
            return;
        };
        let ways = self.reader().ways;
        let before = self.answer(at);
        let mut typed = Typed::default();
        typed.extra(
            if by < 0 { "less" } else { "more" },
            kind,
            before.as_ref(),
            &ways,
        );
        if !typed.is_empty() {
            self.commit(at, typed.text());
        }
    }

    /// The one way in which an answer gets into the survey: read, put in its place, and on disk.
    ///
    /// A text that is refused changes nothing and leaves its reason at the field; so does a disk that
    /// cannot be written to. Returns whether the answer was taken.
    pub fn commit(&mut self, at: FieldRef, text: &str) -> bool {
        let ways = self.reader().ways;
        self.commit_as(at, text, &ways)
    }

    /// The same, read in another way than the settings say.
    pub(super) fn commit_as(&mut self, at: FieldRef, text: &str, ways: &Ways) -> bool {
        let now = (self.now)();
        let writes = self.part_writes(at, text, ways);
        let Some(open) = &mut self.open else {
            return false;
        };
        let text = match fields::kind_of(at.field) {
            Some(Kind::When) if !text.trim().is_empty() => {
                when_typed(text.trim(), &now.to_string())
            }
            _ => text.to_owned(),
        };
        let done = match writes {
            None => open.held.type_in(now, at, &text, ways),
            Some(writes) => open.held.change(now, |survey| {
                for (at, value) in writes? {
                    survey.put(at, Some(value))?;
                }
                Ok(())
            }),
        };
        match done {
            Ok(()) => {
                open.troubles.remove(&at);
                self.changed();
                true
            }
            Err(error) => {
                let trouble = match error {
                    // The label stands beside the sentence already.
                    ChangeError::Refused(fields::FieldError::Answer { source, .. }) => {
                        sentence(&self.told(&source))
                    }
                    other => self.told(&other),
                };
                self.trouble_at(at, trouble);
                false
            }
        }
    }

    pub(super) fn trouble_at(&mut self, at: FieldRef, trouble: String) {
        if let Some(Sheet::Keys {
            at: there,
            trouble: shown,
            ..
        }) = &mut self.sheet
            && *there == at
        {
            *shown = trouble;
            return;
        }
        if let Some(open) = &mut self.open {
            open.troubles.insert(at, trouble);
        }
    }

    /// Changes the survey by other than an answer; on disk when this returns.
    pub(super) fn change<T>(
        &mut self,
        change: impl FnOnce(&mut Survey, ItemId) -> Option<T>,
    ) -> Option<T> {
        let now = (self.now)();
        let open = self.open.as_mut()?;
        let spot = open.spot;
        match open
            .held
            .change(now, |survey| Ok::<_, Infallible>(change(survey, spot)))
        {
            Ok(done) => {
                self.changed();
                done
            }
            Err(error) => {
                self.say(self.told(&error), None);
                None
            }
        }
    }

    /// The survey is another than before: it is judged anew, and what was said of the change before is over.
    fn changed(&mut self) {
        if self
            .notice
            .as_ref()
            .is_some_and(|it| it.undo == Some(Undo::Change))
        {
            self.notice = None;
        }
        self.note_work();
        self.judge();
    }

    pub(super) fn judge(&mut self) {
        let reader = self.reader();
        if let Some(open) = &mut self.open {
            open.judged = Judged::at(
                open.survey(),
                &self.fans,
                &self.settings.codes,
                &reader,
                open.spot,
                &open.picked,
            );
            let best = open
                .judged
                .assessment()
                .spots
                .iter()
                .map(|spot| spot.verdict)
                .max();
            // The list of surveys shows it; where it cannot be kept, the list shows an older one.
            let _ = open.held.note_verdict(best);
        }
    }

    /// The answer there is now.
    pub fn answer(&self, at: FieldRef) -> Option<Value> {
        self.open.as_ref()?.survey().answer(at)
    }
}

/// The text with a full stop.
fn sentence(text: &str) -> String {
    let text = crate::app::reader::capital(text);
    if text.ends_with(['.', '?', '!']) {
        text
    } else {
        text + "."
    }
}
