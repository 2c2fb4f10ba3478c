//! What lies over the foot: the keypad, lists to pick from, the menu.

use super::*;

impl Session {
    /// Puts this over the foot, or takes away what is there. It takes nothing for a moment.
    pub(super) fn show_sheet(&mut self, sheet: Option<Sheet>) {
        match (&self.sheet, &sheet) {
            (_, Some(_)) => {
                self.guard.came_up();
                self.asked = self.asked.wrapping_add(1);
            }
            (Some(_), None) => self.guard.went_away(),
            (None, None) => {}
        }
        self.sheet = sheet;
    }

    /// A number that is another for each sheet that came up.
    pub fn sheet_number(&self) -> i32 {
        self.asked
    }

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

    /// Whether what is typed counts; where it comes too early, that is said.
    fn takes_typed(&mut self) -> bool {
        let takes = self.guard.takes_typed();
        if !takes {
            let text = self
                .reader()
                .tr("Not taken: this question had only just come up. Type it again.");
            if let Some((_, trouble, ..)) = self.typing() {
                *trouble = text;
            }
        }
        takes
    }

    /// A figure, or a key of a keyboard.
    pub fn key(&mut self, text: &str) {
        if !self.takes_typed() {
            return;
        }
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
        if !self.takes_typed() {
            return;
        }
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
        if !self.guard.takes() {
            return;
        }
        if let Some((typed, trouble, ..)) = self.typing() {
            trouble.clear();
            typed.erase();
        }
    }

    /// Empties what is typed; where nothing is, takes the answer back. The keys stay.
    pub fn clear(&mut self) {
        if !self.guard.takes_key("clear") {
            return;
        }
        let Some((typed, trouble, _, at)) = self.typing() else {
            return;
        };
        trouble.clear();
        if !typed.is_empty() {
            *typed = Typed::default();
        } else if self.answer(at).is_some() && self.commit(at, "") {
            let what = fields::label_of(at.field);
            let text = Say::new("Taken back: {what}.").with("what", what);
            self.say(self.reader().said(&text), Some(Undo::Change));
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
        self.guard.takes_key("done") && self.take(false)
    }

    /// Commits what is typed and opens the next question that is not answered, whether it matters or not. With
    /// nothing typed the question is left for later.
    pub fn accept_and_next(&mut self) {
        if !self.guard.takes_key("next") {
            return;
        }
        match self.sheet {
            Some(Sheet::Picks { .. }) => self.later(),
            _ => {
                self.take(true);
            }
        }
    }

    pub(super) fn take(&mut self, any: bool) -> bool {
        let ways = self.key_ways();
        let Some((typed, _, _, at)) = self.typing() else {
            return false;
        };
        let text = typed.text().to_owned();
        if text.is_empty() {
            if any {
                self.go_on(at, true);
            } else {
                self.show_sheet(None);
            }
            return true;
        }
        let expected = self.next_after(at, self.every || any);
        if !self.commit_as(at, &text, &ways) {
            return false;
        }
        match expected.filter(|next| self.is_dropped(*next, at, self.every || any)) {
            // What is typed on for the question that was to come must not go into another.
            Some(dropped) => {
                self.close_sheet();
                self.say_dropped(dropped);
            }
            None => self.go_on(at, any),
        }
        true
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

    /// An answer was picked from the sheet by its number, or by Return. None about hazards or life is.
    pub fn pick_by_key(&mut self, option: usize) {
        match self.sheet {
            Some(Sheet::Picks { at }) if safety::is_of_life(at.field) => {
                let text = self
                    .reader()
                    .tr("Tap this answer, or mark it with the arrow keys and press the space bar.");
                self.say(text, None);
            }
            _ => self.pick_from_sheet(option),
        }
    }

    /// An answer was picked from the sheet.
    pub fn pick_from_sheet(&mut self, option: usize) {
        if self.sheet.is_none() || !self.guard.takes_key("pick") {
            return;
        }
        let sheet = self.sheet.clone();
        self.show_sheet(None);
        match sheet {
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
            // Nothing to pick on them.
            other @ (Some(Sheet::Keys { .. }) | None) => self.sheet = other,
        }
    }

    /// Puts the sheet away; what was typed is dropped.
    pub fn close_sheet(&mut self) {
        self.show_sheet(None);
        self.every = false;
    }

    /// Opens the menu.
    pub fn open_menu(&mut self) {
        match self.sheet {
            // The second tap of the finger that opened it.
            Some(Sheet::Menu) if !self.guard.takes() => {}
            Some(Sheet::Menu) => self.show_sheet(None),
            _ => self.show_sheet(Some(Sheet::Menu)),
        }
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
        self.show_sheet(Some(Sheet::Subjects));
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

    /// What keeps everybody out of the attic: the act, and why. It is told while the reading is typed already.
    pub fn stay_out(&self) -> Option<(String, String)> {
        let open = self.open.as_ref()?;
        let typed = match &self.sheet {
            Some(Sheet::Keys { at, typed, .. }) if !typed.is_empty() => {
                let mut survey = open.survey().clone();
                let taken = survey.type_in(*at, typed.text(), &self.key_ways());
                taken.is_ok().then_some(survey)
            }
            _ => None,
        };
        let air = rules::too_hot(typed.as_ref().unwrap_or(open.survey()))?;
        let reader = self.reader();
        let act = Say::new("Do not go in: {air} in the attic.")
            .with("air", Value::Temperature(air).show(&reader.ways));
        let why = reader.tr("Too hot to work in. Come back in the cool of the morning.");
        Some((reader.said(&act), why))
    }

    /// The finding that what is being typed decides, as it would be with it.
    pub fn finding_while_typing(&self) -> Option<Told> {
        let (Some(Sheet::Keys { at, typed, .. }), Some(open)) = (&self.sheet, &self.open) else {
            return None;
        };
        let reader = self.reader();
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
        if typed.is_empty() || taken.is_err() {
            return open.judged.decided_by(at, None).cloned();
        }
        Judged::at(
            &survey,
            &self.fans,
            &self.settings.codes,
            &reader,
            open.spot,
            &open.picked,
        )
        .decided_by(at, Some(&open.judged))
        .cloned()
    }
}
