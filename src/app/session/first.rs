//! The first visit, and the page that is shown to the customer.

use super::*;
use crate::rules::first_visit::{self, FirstAnswer, Standing};
use crate::survey::Reach;
use crate::words::Language;

impl Session {
    /// Begins a survey with its ten first answers.
    pub fn begin_first_visit(&mut self) {
        self.begin_survey();
        if self.open.is_some() {
            self.go(View::FirstVisit);
        }
    }

    /// The first answers of the present spot, from the hall floor and through the hatch.
    pub fn first_answers(&self) -> Vec<FirstAnswer> {
        let Some(open) = &self.open else {
            return Vec::new();
        };
        let matters: Vec<_> = open.judged.open().copied().collect();
        first_visit::answers(open.survey(), open.spot, &matters)
    }

    /// The rows of the first answers.
    pub(super) fn first_rows(&self, seen: &Seen) -> Vec<Row> {
        let answers = self.first_answers();
        let mut rows = Vec::new();
        for reach in Reach::ALL {
            let mut of = answers.iter().filter(|it| it.reach == reach).peekable();
            if of.peek().is_some() {
                rows.push(seen.heading(reach.label()));
            }
            rows.extend(of.filter_map(|it| {
                let slot = fields::slot(it.field.field)?;
                Some(seen.field(slot, it.field))
            }));
        }
        rows
    }

    /// Whether the open survey has this answer.
    pub fn survey_holds(&self, at: FieldRef) -> bool {
        self.answer(at).is_some()
    }

    /// How far the present spot has come.
    pub fn standing(&self) -> Option<Standing> {
        let open = self.open.as_ref()?;
        let spot = open.judged.spot()?;
        Some(first_visit::standing(open.judged.assessment(), spot))
    }

    /// Who reads the customer's page: its language can be another than that of the rest.
    pub fn customer_reader(&self) -> Reader {
        let reader = self.reader();
        Reader {
            language: self.customer.unwrap_or(reader.language),
            ..reader
        }
    }

    /// Turns the customer's page into another language; nothing else is turned.
    pub fn set_customer_language(&mut self, language: Language) {
        self.customer = Some(language);
    }
}
