//! What lies over the foot: the keypad, lists to pick from, the menu.

use super::*;

impl Session {
    pub(super) fn typing(&mut self) -> Option<(&mut Typed, &mut String, Kind, FieldRef)> {
        match &mut self.sheet {
            Some(Sheet::Keys {
                at,
                kind,
                typed,
                trouble,
            }) => Some((typed, trouble, *kind, *at)),
            _ => None,
        }
    }

    /// A figure, or a key of a keyboard.
    pub fn key(&mut self, text: &str) {
        if let Some((typed, trouble, ..)) = self.typing() {
            trouble.clear();
            typed.press(text);
        }
    }

    /// A key beside the figures.
    pub fn extra_key(&mut self, key: &str) {
        let ways = self.key_ways();
        let now = (self.now)();
        let Some(at) = self.typing().map(|(.., at)| at) else {
            return;
        };
        let before = self.answer(at);
        if let Some((typed, trouble, kind, _)) = self.typing() {
            trouble.clear();
            if key == "now" {
                *typed = Typed::new(
                    now.to_string()
                        .get(..16)
                        .unwrap_or("")
                        .replace('T', " ")
                        .as_str(),
                );
            } else {
                typed.extra(key, kind, before.as_ref(), &ways);
            }
        }
    }

    /// Rubs out the last figure.
    pub fn erase(&mut self) {
        if let Some((typed, trouble, ..)) = self.typing() {
            trouble.clear();
            typed.erase();
        }
    }

    /// Takes the answer back: not measured.
    pub fn wipe(&mut self) {
        if let Some(at) = self.typing().map(|(.., at)| at)
            && self.commit(at, "")
        {
            self.sheet = None;
        }
    }

    /// The answer of the entry before, or of the spot before, to the same question.
    pub fn last_like(&self, at: FieldRef) -> Option<Value> {
        let open = self.open.as_ref()?;
        if let Some(now) = open.survey().answer(at) {
            return Some(now);
        }
        if let Some(item) = at.item {
            let list = fields::list_of_item_field(at.field)?;
            let ids = open.survey().list(list.id, at.spot)?.ids();
            let here = ids.iter().position(|id| *id == item)?;
            return ids[..here].iter().rev().find_map(|id| {
                open.survey().answer(FieldRef {
                    item: Some(*id),
                    ..at
                })
            });
        }
        let spot = at.spot?;
        let here = open.survey().spots.iter().position(|s| s.id == spot)?;
        open.survey().spots[..here].iter().rev().find_map(|s| {
            open.survey().answer(FieldRef {
                spot: Some(s.id),
                ..at
            })
        })
    }

    /// Commits what is typed; where it is taken, the next thing that still matters here comes up. With nothing
    /// typed the keypad goes away.
    pub fn accept(&mut self) -> bool {
        self.take(false)
    }

    /// Commits what is typed and opens the next question that is not answered, whether it matters or not. With
    /// nothing typed the question is left for later.
    pub fn accept_and_next(&mut self) {
        match self.sheet {
            Some(Sheet::Picks { .. }) => self.later(),
            _ => {
                self.take(true);
            }
        }
    }

    fn take(&mut self, any: bool) -> bool {
        let ways = self.key_ways();
        let Some((typed, _, _, at)) = self.typing() else {
            return false;
        };
        let text = typed.text().to_owned();
        if text.is_empty() {
            if any {
                self.go_on(at, true);
            } else {
                self.sheet = None;
            }
            return true;
        }
        if self.commit_as(at, &text, &ways) {
            self.go_on(at, any);
            return true;
        }
        false
    }

    /// Whether there is another question to leave this one for.
    pub fn has_next(&self) -> bool {
        match &self.sheet {
            Some(Sheet::Keys { at, .. } | Sheet::Picks { at }) => {
                self.next_after(*at, true).is_some()
            }
            _ => false,
        }
    }

    /// An answer was picked from the sheet.
    pub fn pick_from_sheet(&mut self, option: usize) {
        match self.sheet.take() {
            Some(Sheet::Picks { at }) => self.picked(at, option),
            Some(Sheet::Leave { stop, .. }) => self.go_left(stop, option),
            Some(Sheet::Subjects) => {
                if let Some(subject) = Subject::ALL.get(option) {
                    self.tie.subject = *subject;
                }
            }
            Some(Sheet::Setting { key }) => self.set(key, option),
            Some(Sheet::Files { seek, entries, .. }) => {
                let paths = entries.into_iter().nth(option).map(|entry| entry.paths);
                match paths.as_deref() {
                    None | Some([]) => {}
                    Some([folder]) if folder.is_dir() => self.look_in(seek, folder),
                    Some([file]) if seek == Seek::FanList => {
                        let name = file.file_name().unwrap_or_default().to_string_lossy();
                        self.take_list_file(file, &name);
                    }
                    Some(files) => self.take_all(files),
                }
            }
            Some(Sheet::Menu) => {
                if let Some((item, _)) = self.menu().get(option) {
                    match *item {
                        MenuItem::Go(view) => self.go(view),
                        MenuItem::Undo => self.undo(),
                        MenuItem::Redo => self.redo(),
                        #[cfg(feature = "office")]
                        MenuItem::Desk => self.desk_wish = true,
                    }
                }
            }
            other => self.sheet = other,
        }
    }

    /// Puts the sheet away; what was typed is dropped.
    pub fn put_away(&mut self) {
        self.sheet = None;
        self.every = false;
    }

    /// Opens the menu.
    pub fn open_menu(&mut self) {
        self.sheet = match self.sheet {
            Some(Sheet::Menu) => None,
            _ => Some(Sheet::Menu),
        };
    }

    /// What the menu offers here.
    pub fn menu(&self) -> Vec<(MenuItem, String)> {
        let reader = self.reader();
        let mut menu = Vec::new();
        if let Some(open) = &self.open {
            menu.push((MenuItem::Go(View::Verdict), reader.tr("Verdict")));
            menu.push((MenuItem::Go(View::FirstVisit), reader.tr("First visit")));
            menu.push((MenuItem::Go(View::Customer), reader.tr("For the customer")));
            menu.push((MenuItem::Go(View::Drawing), reader.tr("Drawings")));
            menu.push((MenuItem::Go(View::Photos), reader.tr("Pictures")));
            menu.push((
                MenuItem::Go(View::HandOver),
                reader.tr("Hand over to the office"),
            ));
            if open.held.can_undo() {
                menu.push((MenuItem::Undo, reader.tr("Undo the last change")));
            }
            if open.held.can_redo() {
                menu.push((MenuItem::Redo, reader.tr("Make it again")));
            }
            menu.push((MenuItem::Go(View::Surveys), reader.tr("All surveys")));
        }
        #[cfg(feature = "office")]
        if self.device.abilities().desk {
            menu.push((MenuItem::Desk, reader.tr("The office: intake and register")));
        }
        menu.push((MenuItem::Go(View::Settings), reader.tr("Settings")));
        menu.push((MenuItem::Go(View::About), reader.tr("About joistlight")));
        menu
    }

    /// Opens the list of what a picture can show.
    pub fn open_subjects(&mut self) {
        self.sheet = Some(Sheet::Subjects);
    }

    /// The keys for the answer that is being typed.
    pub fn layout(&self) -> Option<Layout> {
        match &self.sheet {
            Some(Sheet::Keys { kind, .. }) => Layout::of(*kind, &self.key_ways()),
            _ => None,
        }
    }

    /// The key left of the nought was pressed.
    pub fn corner_key(&mut self) {
        match self.layout().map(|layout| layout.corner) {
            Some(Corner::Point) => self.key("."),
            Some(Corner::Sign) => self.extra_key("sign"),
            Some(Corner::None) | None => {}
        }
    }

    /// The survey as it would be with what is being typed, where that can be read.
    pub fn survey_while_typing(&self) -> Option<Survey> {
        let (Some(Sheet::Keys { at, typed, .. }), Some(open)) = (&self.sheet, &self.open) else {
            return None;
        };
        if typed.is_empty() {
            return None;
        }
        let mut survey = open.survey().clone();
        let ways = self.key_ways();
        let taken = match self.part_writes(*at, typed.text(), &ways) {
            None => survey.type_in(*at, typed.text(), &ways),
            Some(writes) => writes.and_then(|writes| {
                writes
                    .into_iter()
                    .try_for_each(|(at, value)| survey.put(at, Some(value)))
            }),
        };
        taken.ok().map(|_| survey)
    }

    /// The finding that what is being typed decides, as it would be with it.
    pub fn finding_while_typing(&self) -> Option<Told> {
        let (Some(Sheet::Keys { at, .. }), Some(open)) = (&self.sheet, &self.open) else {
            return None;
        };
        let Some(survey) = self.survey_while_typing() else {
            return open.judged.decided_by(at, None).cloned();
        };
        Judged::at(
            &survey,
            &self.fans,
            &self.settings.codes,
            &self.reader(),
            open.spot,
            &open.picked,
        )
        .decided_by(at, Some(&open.judged))
        .cloned()
    }
}
