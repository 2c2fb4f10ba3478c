//! Before climbing down: what is still missing in the attic or at the vents is shown before the stop is left.

use super::*;
use crate::rules::pictures::{NeededPicture, needed};

/// Where the surveyor was going.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Onward {
    /// To a page.
    Page(View),
    /// To an answer.
    Field(FieldRef),
    /// One page back.
    Back,
}

/// One thing that is missing at a stop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Left {
    /// An answer that can still change a verdict.
    Answer(FieldRef),
    /// A picture of this, of a spot or of an entry.
    Picture(Tie),
}

impl Session {
    /// What is missing at a stop: the answers that still matter, of every spot, and the pictures that are needed;
    /// each with its words.
    pub fn left_behind(&self, stop: Stop) -> Vec<(Left, String)> {
        let Some(open) = &self.open else {
            return Vec::new();
        };
        let reader = self.reader();
        let several = open.survey().spots.len() > 1;
        let mut left: Vec<(Left, String)> = Vec::new();
        let mut spots: Vec<ItemId> = open.survey().spots.iter().map(|spot| spot.id).collect();
        // The present spot first: that is where one lies.
        spots.sort_by_key(|spot| *spot != open.spot);
        for spot in spots {
            let questions = Seen {
                survey: open.survey(),
                spot,
                reader: &reader,
                judged: &open.judged,
                troubles: &open.troubles,
                quick: None,
            }
            .questions(stop);
            for at in questions.into_iter().filter(|at| open.judged.matters(at)) {
                if left.iter().any(|(there, _)| *there == Left::Answer(at)) {
                    continue;
                }
                left.push((Left::Answer(at), self.missing_label(at, several)));
            }
        }
        let pictures = needed(open.survey())
            .into_iter()
            .filter(|picture| picture.stop == stop && !picture.taken);
        for picture in pictures {
            let tie = Tie {
                subject: picture.what,
                spot: picture.spot,
                item: picture.item,
            };
            left.push((Left::Picture(tie), self.picture_label(&picture, several)));
        }
        left
    }

    fn missing_label(&self, at: FieldRef, several: bool) -> String {
        let reader = self.reader();
        let mut label = reader.tr(fields::label_of(at.field));
        if let (Some(item), Some(list), Some(open)) =
            (at.item, fields::list_of_item_field(at.field), &self.open)
        {
            let entry = Place::Item { list, item }.title(
                open.survey(),
                at.spot.unwrap_or(open.spot),
                &reader,
            );
            label = format!("{entry}: {label}");
        }
        if let (true, Some(spot), Some(open)) = (several, at.spot, &self.open)
            && let Some(number) = open.survey().spots.iter().position(|it| it.id == spot)
        {
            label = format!("{}: {label}", self.spot_title(number));
        }
        label
    }

    fn picture_label(&self, picture: &NeededPicture, several: bool) -> String {
        let reader = self.reader();
        let what = match picture.of {
            Some(of) => format!("{} ({})", reader.tr(picture.what.label()), reader.tr(of)),
            None => reader.tr(picture.what.label()),
        };
        let label = reader.said(&Say::new("Picture: {what}").with("what", what));
        match (several, picture.spot, &self.open) {
            (true, Some(spot), Some(open)) => {
                let number = open.survey().spots.iter().position(|it| it.id == spot);
                match number {
                    Some(number) => format!("{}: {label}", self.spot_title(number)),
                    None => label,
                }
            }
            _ => label,
        }
    }

    /// Whether going on is held up by what is missing in the attic or at the vents; the list is up then.
    pub(super) fn held_up(&mut self, onward: Onward) -> bool {
        let Some(open) = &self.open else { return false };
        let from = open.stop;
        let to = match onward {
            Onward::Page(View::Place(place)) => Some(place.stop()),
            Onward::Field(at) => Place::of(at).map(Place::stop),
            Onward::Page(View::Surveys | View::HandOver) => None,
            Onward::Back if self.at.back_closes_survey() => None,
            // A look at the walk, the verdict or the pictures leaves nobody's place.
            Onward::Page(_) | Onward::Back => return false,
        };
        if to == Some(from)
            || !matches!(from, Stop::Attic | Stop::Vents)
            || !open.worked
            || open.asked
            || self.left_behind(from).is_empty()
        {
            return false;
        }
        if let Some(open) = &mut self.open {
            open.asked = true;
        }
        self.show_sheet(Some(Sheet::Leave { stop: from, onward }));
        true
    }

    /// Leaves the stop as it is.
    pub fn leave_anyway(&mut self) {
        let Some(Sheet::Leave { onward, .. }) = self.sheet else {
            return;
        };
        if !self.guard.takes_key("leave") {
            return;
        }
        self.show_sheet(None);
        match onward {
            Onward::Page(view) => self.go(view),
            Onward::Field(at) => self.go_field(at),
            Onward::Back => self.go_back(),
        }
    }

    /// Something was done where the surveyor stands: leaving is asked about, once.
    pub(super) fn note_work(&mut self) {
        let here = match self.view() {
            // Pictures are taken where one stands.
            View::Photos => self.open.as_ref().map(|open| open.stop),
            _ => self.place().map(Place::stop),
        };
        if let Some(open) = self.open.as_mut().filter(|open| Some(open.stop) == here) {
            open.worked = true;
            open.asked = false;
        }
    }

    /// Goes to one of the things that are missing at a stop.
    pub(super) fn go_left(&mut self, stop: Stop, option: usize) {
        match self.left_behind(stop).into_iter().nth(option) {
            Some((Left::Answer(at), _)) => self.go_field(at),
            Some((Left::Picture(tie), _)) => {
                self.tie = tie;
                self.go(View::Photos);
            }
            None => {}
        }
    }
}
